"""The sentences of the sheets from below: repairs, two plans, another point, a known load."""

from __future__ import annotations

from typing import Any

from fieldapp.words.english.figures import NBSP, length, reach_of

MENDED = (
    "made the end again",
    "swapped the box",
    "swapped the cable",
    "changed a setting",
)
"""ready words for what was mended"""

# ---------------------------------------------------------------- what was mended


def mended() -> str:
    """The quiet button that logs a repair."""
    return "Log a repair"


def mended_where() -> str:
    """The first question."""
    return "Where did you mend?"


def mended_what() -> str:
    """The second one."""
    return "What was done?"


def mended_own() -> str:
    """Own words for what was done."""
    return "Something else"


def keep_mended() -> str:
    """The slab that keeps it."""
    return "Keep it as mended"


def mended_missing() -> str:
    """Under it while one of both is missing."""
    return "still needed: where, and what"


def mended_strikes() -> str:
    """Under it: what follows."""
    return "older readings are struck"


def boxes_kind(kind: str) -> str:
    """A box's kind, as the trade says it."""
    return {"long-span": "long span"}.get(kind, kind)


# ---------------------------------------------------------------- taken back


def taken_back() -> str:
    """The word on a reading that was taken back."""
    return "taken back"


def put_elsewhere(digits: str) -> str:
    """The title over the points."""
    return f"Put {digits} on another point"


def taken_back_line() -> str:
    """What becomes of it."""
    return "It stays in the record, **struck through**."


# ---------------------------------------------------------------- two plans


def place_of_path(path: str) -> str:
    """A place in the plan, in words: ``C2, length``."""
    parts = path.split("/")
    thing = parts[1] if len(parts) > 1 else ""
    what = PATHS.get(parts[-1], parts[-1].replace("_", " "))
    if len(parts) == 2 and thing not in PATHS:
        return thing
    return f"{thing}, {what}" if thing and thing != parts[-1] else what


def thing_of(at: str) -> str:
    """What a hold's tag says of a place: ``C4`` of a path into the plan, else the place itself."""
    parts = at.split("/")
    return parts[1] if len(parts) > 1 else at.removeprefix("bond.")


PATHS = {
    "length_m": "length",
    "name": "name",
    "title": "name of the job",
    "sheet": "its sheet",
    "cable": "its cable",
    "stop": "its stop",
    "x_pinout": "order of the wires",
}


def conflict_value(path: str, value: Any) -> str:
    """A plan's value, as one of two that stand against each other."""
    if value is None:
        return "taken out"
    if isinstance(value, dict) and "expected" in value:
        value = value["expected"]
    if isinstance(value, bool | dict | list | tuple):
        return "put in"
    if isinstance(value, float | int):
        return length(value) if path.endswith("length_m") else f"{value:g}"
    return str(value)


def choose() -> str:
    """The button of such a hold."""
    return "Choose"


def choose_title(path: str) -> str:
    """The sheet's sentence."""
    return f"**Two plans for {place_of_path(path)}.** Which one is so?"


def gone_conflict() -> str:
    """The choice was made elsewhere in between."""
    return "This is settled already."


def written_by(by: str, in_force: bool) -> str:
    """Under a value: who wrote it, and whether it is the one in force now."""
    who = f"by {by}" if by else "nobody signed it"
    return f"{who}, in force now" if in_force else who


def plans_disagree(path: str) -> str:
    """On Run and in the plan, where two plans stand against each other."""
    return f"Two plans for {place_of_path(path)}: choose"


# ---------------------------------------------------------------- a known load


def load_title() -> str:
    """The sheet's sentence."""
    return "**A known load** in place of a box"


def load_box() -> str:
    """The first question."""
    return "In place of which box?"


def load_watts() -> str:
    """The second one."""
    return "How much does it draw?"


def watts(value: float) -> str:
    """``15 W``"""
    return f"{value:g}{NBSP}W"


def unplugged() -> str:
    """No load at all: the box is only taken off."""
    return "unplugged"


def load_state(box: str, value: float | None) -> str:
    """What stands there instead of a box."""
    if value is None:
        return ""
    return f"{watts(value)} for {box}" if value else f"{box} {unplugged()}"


def load_slab(box: str, value: float) -> str:
    """The slab of the sheet."""
    return f"{watts(value)} in place of {box}" if value else f"{box} is {unplugged()}"


def load_held() -> str:
    """Under it: what is fitted for a test must come out again."""
    return "it holds you here until it is out"


def more_watts() -> str:
    """The button that sets one watt more."""
    return f"1{NBSP}W more"


def less_watts() -> str:
    """The button that sets one watt less."""
    return f"1{NBSP}W less"


# ---------------------------------------------------------------- odd things, and small ones


def oddities(number: int) -> str:
    """The quiet line that leads to them."""
    return "1 odd thing in the log" if number == 1 else f"{number} odd things in the log"


def oddities_title() -> str:
    """The sheet's sentence."""
    return "**What is odd in the log.** Nothing was lost; this is how it was read."


def would_have_shown(ohms: float) -> str:
    """The least that this reading would have told."""
    return f"It would have shown **{reach_of(ohms, 'loop_ohms')}** too many."
