"""What a reel is found to be: each finding in a sentence, and the one sentence of its page."""

from __future__ import annotations

from collections.abc import Callable

from engine.say import Say
from fieldapp.words.english.figures import (
    metres,
)
from fieldapp.words.english.reel import METALS, odds, reel_sleeve_name
from fieldapp.words.english.said import says, sentence


@says("reel-no-marks")
def _no_marks(span: str, wanted_m: float) -> str:
    return f"Read **both marks** of the reel for {span}; {metres(wanted_m)} are wanted."


@says("reel-one-mark")
def _one_mark(span: str, mark_m: float) -> str:
    return f"One mark reads {metres(mark_m)}. **Now the other end's.**"


@says("reel-short")
def _short(span: str, by_m: float) -> str:
    return f"It is **{metres(max(by_m, 1))} short of {span}**."


@says("reel-long-enough")
def _long_enough(span: str, length_m: float, spare_m: float) -> str:
    return f"It is long enough for {span}, with {metres(spare_m)} to spare."


@says("reel-not-measured")
def _not_measured(span: str) -> str:
    return "Join one pair at the far end of the reel and measure its loop."


@says("reel-as-sheet")
def _as_sheet(span: str, metal: str) -> str:
    return f"Its wire is {METALS.get(metal, metal)}, as the sheet says."


@says("reel-unclear")
def _unclear(span: str, metal: str) -> str:
    return f"This reading cannot tell whether its wire is the sheet's {METALS.get(metal, metal)}."


@says("reel-metal")
def _metal(span: str, metal: str, chance: float) -> str:
    return f"Its wire is not the sheet's: {METALS.get(metal, metal)}, {odds(chance)}."


@says("reel-thin")
def _thin(span: str, chance: float) -> str:
    return f"Its wire is a gauge or more too thin, {odds(chance)}."


@says("reel-longer")
def _longer(span: str, chance: float) -> str:
    return f"More cable lies on it than its marks say, {odds(chance)}."


@says("reel-other")
def _other(span: str, low: bool) -> str:
    return f"No wire for {span} shows so {'little' if low else 'much'}. Measure once more."


LENGTHS: dict[str, Callable[..., str]] = {
    "reel-short": lambda span, by_m: f"is **{metres(max(by_m, 1))} short of {span}**",
    "reel-long-enough": lambda **_: "is long enough",
}


WIRES: dict[str, Callable[..., str]] = {
    "reel-not-measured": lambda **_: ". Now **one pair** of it",
    "reel-as-sheet": lambda metal, **_: f"**its wire is {METALS.get(metal, metal)}**",
    "reel-unclear": lambda **_: "**its wire is unclear**",
    "reel-metal": lambda metal, chance, **_: (
        f"**its wire is {reel_sleeve_name(metal)}**: {odds(chance)}"
    ),
    "reel-thin": lambda chance, **_: f"**its wire is too thin**: {odds(chance)}",
    "reel-longer": lambda chance, **_: f"**a mark is wrong**: {odds(chance)}",
    "reel-other": lambda low, **_: f"its ohms are **{'less' if low else 'more'} than any wire's**",
}
"""half sentences by code: of the length, of the wire"""


def reel_finding(number: int, length: Say, wire: Say) -> str:
    """The finding in one sentence: ``Reel 2 is long enough, and its wire is copper.``"""
    if length.code not in LENGTHS:
        return sentence(length)
    first = LENGTHS[length.code](**length.parts)
    second = WIRES[wire.code](**wire.parts)
    if wire.code == "reel-not-measured":
        second = second if length.code == "reel-long-enough" else ""
        return f"Reel {number} {first}{second}."
    agree = (length.code == "reel-long-enough") == (wire.code == "reel-as-sheet")
    return f"Reel {number} {first}, {'and' if agree else 'but'} {second}."
