"""The sentences of signing the record, and of what a signature stands for, in German."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words.german.figures import several
from fieldapp.words.german.said import says

SIGN_ROLES = ("Errichter", "Kontakt", "Eigentümer")
"""what those who sign are, most often; ours"""


def sign_title() -> str:
    """The head of the page, and the quiet button that leads to it."""
    return "Bericht unterschreiben"


def sign_what(readings: int, done: int, steps: int) -> str:
    """What is signed: the log as it stands."""
    read = several(readings, "einen Messwert", "Messwerte")
    told = f"{done} von {steps} {'Schritt' if steps == 1 else 'Schritten'}"
    return f"Du unterschreibst **{read}** und **{told}**, wie sie jetzt stehen."


def sign_name_label() -> str:
    """Over the name of who signs."""
    return "Name"


def sign_role_label() -> str:
    """Over what they are, where none of the ready words is it."""
    return "Oder in eigenen Worten"


def sign_hint() -> str:
    """In the empty field."""
    return "Mit dem Finger zeichnen"


def sign_again() -> str:
    """Empties the field."""
    return "Neu zeichnen"


def sign_slab() -> str:
    """The slab."""
    return "Unterschreiben"


def sign_as(name: str, role: str, drawn: bool) -> str:
    """Under it: as whom, and that a drawing is not needed."""
    who = f"als {name}, {role}" if role else f"als {name}"
    return who if drawn else f"{who}; nur Name"


def sign_lacks() -> str:
    """In its place while there is no name."""
    return "Erst einen Namen tippen"


def sign_caution() -> str:
    """What nobody here can promise."""
    return "Ob ein auf dem Handy gezeichneter Name reicht, entscheidet, wer den Bericht bekommt."


def speak_sign_field(strokes: int) -> str:
    """The field, for who does not see it."""
    drawn = {0: "leer, das darf so bleiben", 1: "1 Strich gezeichnet"}.get(
        strokes, f"{strokes} Striche gezeichnet"
    )
    return f"Feld, um den Namen zu zeichnen: {drawn}."


def speak_signature(name: str) -> str:
    """A drawn name, for who does not see it."""
    return f"Name, gezeichnet von {name}" if name else "Ein gezeichneter Name"


# ---------------------------------------------------------------- signatures that stand


def signed_head() -> str:
    """Over the signatures."""
    return "Unterschriften"


def signed_by_nobody() -> str:
    """While there is none."""
    return "Noch hat niemand unterschrieben."


def signed_who(name: str, role: str) -> str:
    """Whose it is."""
    return ", ".join(part for part in (name or "Ohne Namen", role) if part)


def signed_state(tied: bool, holds: bool | None, since: int) -> str:
    """What a signature still stands for."""
    if not tied:
        return "An keinen Stand des Protokolls gebunden."
    if holds is None:
        return "Ein Teil des Unterschriebenen ist nicht hier."
    if not holds:
        return "Was hier steht, ist nicht, was unterschrieben wurde."
    if not since:
        return "Seither kam nichts dazu."
    return f"Seither kam etwas dazu: {several(since, 'ein Eintrag', 'Einträge')}."


def speak_take_back(name: str) -> str:
    """The button that takes a signature back."""
    return f"Unterschrift von {name} zurücknehmen" if name else "Unterschrift zurücknehmen"


@says("strip-signed")
def _strip_signed(by: str) -> str:
    return f"Unterschrieben von {by}."


# ---------------------------------------------------------------- in the record


def record_sum(name: str, groups: Sequence[str]) -> str:
    """What was signed, as its sum."""
    who = name or "jemand"
    return f"SHA-256 über das, was {who} unterschrieben hat: {' '.join(groups)}"


def record_sum_how() -> str:
    """Where it is told how to come to the same sum."""
    return (
        "Diese Prüfsumme geht über den zuerst vereinbarten Plan und alles, was bis dahin "
        "eingetragen war."
    )
