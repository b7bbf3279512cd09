"""The sentences of signing the record, and of what a signature stands for."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words.english.figures import count
from fieldapp.words.english.said import says

SIGN_ROLES = ("Installer", "Site contact", "Owner")
"""what those who sign are, most often; ours"""


def sign_title() -> str:
    """The head of the page, and the quiet button that leads to it."""
    return "Sign the record"


def sign_what(readings: int, done: int, steps: int) -> str:
    """What is signed: the log as it stands."""
    read = "1 reading" if readings == 1 else f"{count(readings)} readings"
    return f"You sign **{read}** and **{count(done)} of {count(steps)} steps**, as they stand now."


def sign_name_label() -> str:
    """Over the name of who signs."""
    return "Name"


def sign_role_label() -> str:
    """Over what they are, where none of the ready words is it."""
    return "Or in own words"


def sign_hint() -> str:
    """In the empty field."""
    return "Draw here with a finger"


def sign_again() -> str:
    """Empties the field."""
    return "Draw again"


def sign_slab() -> str:
    """The slab."""
    return "Sign"


def sign_as(name: str, role: str, drawn: bool) -> str:
    """Under it: as whom, and that a drawing is not needed."""
    who = f"as {name}, {role}" if role else f"as {name}"
    return who if drawn else f"{who}; no drawing"


def sign_lacks() -> str:
    """In its place while there is no name."""
    return "Type a name to sign"


def sign_caution() -> str:
    """What nobody here can promise."""
    return "Whether a name drawn on a phone is enough is for whoever receives it."


def speak_sign_field(strokes: int) -> str:
    """The field, for who does not see it."""
    drawn = {0: "empty; it may stay so", 1: "1 stroke drawn"}.get(
        strokes, f"{strokes} strokes drawn"
    )
    return f"Field to draw a name in: {drawn}."


def speak_signature(name: str) -> str:
    """A drawn name, for who does not see it."""
    return f"Name as drawn by {name}" if name else "A name as drawn"


# ---------------------------------------------------------------- signatures that stand


def signed_head() -> str:
    """Over the signatures."""
    return "Signatures"


def signed_by_nobody() -> str:
    """While there is none."""
    return "Nobody has signed it yet."


def signed_who(name: str, role: str) -> str:
    """Whose it is."""
    return ", ".join(part for part in (name or "No name", role) if part)


def signed_state(tied: bool, holds: bool | None, since: int) -> str:
    """What a signature still stands for."""
    if not tied:
        return "Not tied to a state of the log."
    if holds is None:
        return "Some of what was signed is not here."
    if not holds:
        return "What is here is not what was signed."
    if not since:
        return "Nothing has come since."
    return f"The log has grown since: {_entries(since)}."


def _entries(number: int) -> str:
    return "1 entry" if number == 1 else f"{count(number)} entries"


def speak_take_back(name: str) -> str:
    """The button that takes a signature back."""
    return f"Take back the signature of {name}" if name else "Take back the signature"


@says("strip-signed")
def _strip_signed(by: str) -> str:
    return f"Signed by {by}."


# ---------------------------------------------------------------- in the record


def record_sum(name: str, groups: Sequence[str]) -> str:
    """What was signed, as its sum."""
    who = name or "somebody"
    return f"SHA-256 of what {who} signed: {' '.join(groups)}"


def record_sum_how() -> str:
    """Where it is told how to come to the same sum."""
    return "That is the sum of the plan as first agreed and of all that was logged before."
