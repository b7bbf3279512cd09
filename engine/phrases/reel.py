"""What a reel is found to be, in words."""

from __future__ import annotations

from engine.phrases.book import Phrase, phrase
from engine.phrases.causes import odds


@phrase("reel-no-marks")
def _no_marks(span: str, wanted_m: float) -> Phrase:
    return Phrase(
        f"Read both metre marks of the reel for {span}; {wanted_m:.0f} m are wanted.",
        "The difference of the two is what lies on the reel, whatever its label says.",
    )


@phrase("reel-one-mark")
def _one_mark(span: str, mark_m: float) -> Phrase:
    return Phrase(
        f"One mark of the reel for {span} reads {mark_m:.0f} m. Read the other end's too."
    )


@phrase("reel-short")
def _short(span: str, by_m: float) -> Phrase:
    return Phrase(f"The reel is {by_m:.0f} m short of {span}.")


@phrase("reel-long-enough")
def _long_enough(span: str, length_m: float, spare_m: float) -> Phrase:
    return Phrase(
        f"{length_m:.0f} m lie on the reel: enough for {span}, with {spare_m:.0f} m to spare."
    )


@phrase("reel-not-measured")
def _not_measured(span: str) -> Phrase:
    return Phrase(
        f"Short one pair at the far end of the reel for {span} and measure its loop.",
        "Clad wire resists half as much again as copper, and looks the same in its jacket.",
    )


@phrase("reel-as-sheet")
def _as_sheet(span: str, metal: str) -> Phrase:
    return Phrase(f"Its wire is {metal}, as the sheet of {span} says.")


@phrase("reel-unclear")
def _unclear(span: str, metal: str) -> Phrase:
    return Phrase(f"This reading cannot tell whether the wire is the {metal} that {span} wants.")


@phrase("reel-metal")
def _metal(span: str, metal: str, chance: float) -> Phrase:
    return Phrase(
        f"Its wire is {metal}, not what the sheet of {span} says: {odds(chance)}.",
        "The plan's volts were worked out for the sheet's wire.",
    )


@phrase("reel-thin")
def _thin(span: str, chance: float) -> Phrase:
    return Phrase(
        f"Its wire is a gauge or more thinner than the sheet of {span} says: {odds(chance)}."
    )


@phrase("reel-longer")
def _longer(span: str, chance: float) -> Phrase:
    return Phrase(
        f"There is more cable on this reel than its marks say: {odds(chance)}.",
        "A mark was misread, or the reel was printed anew: the ohms go with the real length.",
    )


@phrase("reel-other")
def _other(span: str, low: bool) -> Phrase:
    way = "less" if low else "more"
    return Phrase(
        f"No wire that {span} could have shows this: {way} than any. Measure once more.",
        "Two pairs mixed up, a short that does not close, or marks of another reel.",
    )
