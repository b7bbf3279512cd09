"""The sentences of the plan: its fields, and what it answers."""

from __future__ import annotations

from typing import Any

from fieldapp.words.figures import NBSP, metres, with_unit


def plan_line(length_m: float, boxes: int) -> str:
    """Under the job's name in the plan."""
    return f"plan, {metres(length_m)}, {boxes} boxes"


def done_button() -> str:
    """Out of the plan."""
    return "Done"


def site_label() -> str:
    """The site's name field."""
    return "Name of the site"


def plan_value(value: Any) -> str:
    """A plan's value as it is put into a field; a band shows what is expected."""
    if isinstance(value, dict):
        value = value.get("expected", "")
    if isinstance(value, float | int):
        return f"{value:g}"
    return str(value or "")


def type_a_value() -> str:
    """Under the slab while a field holds nothing that can be kept."""
    return "type a name, or metres"


def plan_answer(low: float, spare: float) -> str:
    """The plan's first line when nothing breaks."""
    return f"Nothing breaks, even at worst: **{with_unit(low)}**, {with_unit(spare)} to spare."


def would_bear(share: float, spare: list[tuple[str, float]]) -> str:
    """How much more the volts would bear: in all, and at each endpoint alone."""
    times = f"{share:.1f}" if share < 100 else "more than 100"
    each = " or ".join(f"{watts:.0f}{NBSP}W more at {name}" for name, watts in spare)
    alone = f", or {each}" if each else ""
    return f"The volts would bear **{times} times the load**{alone}."


def length_of(span: str, a: str, b: str) -> str:
    """The name of a length's field."""
    return f"Metres of {span}, {a} to {b}"


def name_of(box: str) -> str:
    """The name of a box's name field."""
    return f"Name of {box}"
