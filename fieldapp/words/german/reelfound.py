"""What a reel is found to be, in German: each finding in a sentence, and the one sentence of its page."""

from __future__ import annotations

from collections.abc import Callable

from engine.say import Say
from fieldapp.words.german.figures import (
    metres,
)
from fieldapp.words.german.reel import _of_metal, odds
from fieldapp.words.german.said import says, sentence


@says("reel-no-marks")
def _no_marks(span: str, wanted_m: float) -> str:
    return f"**Beide Längenmarken** der Trommel ablesen; {span} braucht {metres(wanted_m)}."


@says("reel-one-mark")
def _one_mark(span: str, mark_m: float) -> str:
    return f"Eine Marke zeigt {metres(mark_m)}. **Jetzt die am anderen Ende.**"


@says("reel-short")
def _short(span: str, by_m: float) -> str:
    return f"Sie ist **{metres(max(by_m, 1))} zu kurz für {span}**."


@says("reel-long-enough")
def _long_enough(span: str, length_m: float, spare_m: float) -> str:
    return f"Sie ist lang genug für {span}, {metres(spare_m)} bleiben übrig."


@says("reel-not-measured")
def _not_measured(span: str) -> str:
    return "Ein Paar am anderen Ende der Trommel verbinden, dann die Schleife messen."


@says("reel-as-sheet")
def _as_sheet(span: str, metal: str) -> str:
    return f"Die Adern sind {_of_metal(metal)}, wie im Datenblatt."


@says("reel-unclear")
def _unclear(span: str, metal: str) -> str:
    return f"Dieser Messwert zeigt nicht, ob die Adern {_of_metal(metal)} sind wie im Datenblatt."


@says("reel-metal")
def _metal(span: str, metal: str, chance: float) -> str:
    return f"Anders als im Datenblatt sind die Adern {_of_metal(metal)}: {odds(chance)}."


@says("reel-thin")
def _thin(span: str, chance: float) -> str:
    return f"Die Adern sind mindestens ein Drahtmaß zu dünn: {odds(chance)}."


@says("reel-longer")
def _longer(span: str, chance: float) -> str:
    return f"Auf der Trommel liegt mehr Kabel, als die Marken sagen: {odds(chance)}."


@says("reel-other")
def _other(span: str, low: bool) -> str:
    return f"Kein Kabel für {span} zeigt so {'wenig' if low else 'viel'}. Noch einmal messen."


LENGTHS: dict[str, Callable[..., str]] = {
    "reel-short": lambda span, by_m: f"ist **{metres(max(by_m, 1))} zu kurz für {span}**",
    "reel-long-enough": lambda **_: "ist lang genug",
}


WIRES: dict[str, Callable[..., str]] = {
    "reel-not-measured": lambda **_: ". Jetzt **ein Paar** davon",
    "reel-as-sheet": lambda metal, **_: f"**die Adern sind {_of_metal(metal)}**",
    "reel-unclear": lambda **_: "**die Adern bleiben unklar**",
    "reel-metal": lambda metal, chance, **_: (
        f"**die Adern sind {_of_metal(metal)}**: {odds(chance)}"
    ),
    "reel-thin": lambda chance, **_: f"**die Adern sind zu dünn**: {odds(chance)}",
    "reel-longer": lambda chance, **_: f"**eine Marke stimmt nicht**: {odds(chance)}",
    "reel-other": lambda low, **_: (
        f"sie zeigt **{'weniger' if low else 'mehr'} Ohm als jedes Kabel**"
    ),
}
"""half sentences by code: of the length, of the wire"""


def reel_finding(number: int, length: Say, wire: Say) -> str:
    """The finding in one sentence: ``Trommel 2 ist lang genug, und die Adern sind aus Kupfer.``"""
    if length.code not in LENGTHS:
        return sentence(length)
    first = LENGTHS[length.code](**length.parts)
    second = WIRES[wire.code](**wire.parts)
    if wire.code == "reel-not-measured":
        second = second if length.code == "reel-long-enough" else ""
        return f"Trommel {number} {first}{second}."
    agree = (length.code == "reel-long-enough") == (wire.code == "reel-as-sheet")
    return f"Trommel {number} {first}, {'und' if agree else 'aber'} {second}."
