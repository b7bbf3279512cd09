"""The sentences of two plans beside each other."""

from __future__ import annotations

from math import inf

from fieldapp.words.english.figures import NBSP, metres, speed, with_unit
from fieldapp.words.english.plans import kind_word
from fieldapp.words.english.sheetnames import held_together

COMPARED = {
    "works": "works as expected",
    "works-at-worst": "works at worst",
    "end-volts-worst": "the same at worst",
    "watts-to-spare": "watts to spare there",
    "load-share": "bears its load",
    "slowest-link": "slowest link",
    "link-margin-db": "lowest link margin",
    "link-margin-m": "least reach to spare",
    "stops": "findings that stop it",
    "minutes": "work for one person",
}
"""the figures of two plans, by their codes"""


def compared(code: str, of: str) -> str:
    """What a row tells: a figure, a kind of box, or a cable."""
    if code == "boxes":
        return f"boxes: {kind_word(of)}"
    if code == "cable":
        return held_together(of)
    return f"volts at {of}" if code == "end-volts" else COMPARED[code]


def far_ends(this: str, other: str) -> str:
    """The endpoints that are compared: the farthest of each plan, in volts."""
    if this == other:
        return f"the far end, {this}"
    return f"the far ends, {this} and {other}"


def compared_value(code: str, value: float | None) -> str:
    """One plan's figure with its unit."""
    if value is None:
        return "none"
    if code in ("works", "works-at-worst"):
        return "yes" if value else "no"
    if value == inf:
        return "no limit"
    return {
        "watts-to-spare": lambda: with_unit(value, "watts"),
        "load-share": lambda: f"{value:.1f}{NBSP}times",
        "slowest-link": lambda: speed(value),
        "link-margin-db": lambda: f"{value:.1f}{NBSP}dB",
        "link-margin-m": lambda: metres(value),
        "minutes": lambda: hours(value),
        "stops": lambda: f"{value:.0f}",
        "boxes": lambda: f"{value:.0f}",
        "cable": lambda: metres(value),
    }.get(code, lambda: with_unit(value))()


def hours(minutes_: float) -> str:
    """``6 h 24 min``"""
    whole, rest = divmod(round(minutes_), 60)
    return f"{whole}{NBSP}h {rest}{NBSP}min" if whole else f"{rest}{NBSP}min"


def speak_compared(what: str, this: str, other: str) -> str:
    """A row for a screen reader."""
    return f"{what}: here {this}, there {other}."


def this_plan() -> str:
    """Over the figures of the plan in hand, and at its line's end."""
    return "this plan"


def line_end(name: str, volts: float | None) -> str:
    """At the end of a line: whose it is, and how many volts are left."""
    return f"{name} {with_unit(volts)}" if volts is not None else name


def speak_two_lines(this: str, other: str) -> str:
    """Both lines for a screen reader, each with what is written at its end."""
    return f"Two runs from the feed outwards. At their far ends: {this}; {other}."


def compare_button() -> str:
    """Two plans beside each other."""
    return "Compare"


def another_button() -> str:
    """Compare with another job."""
    return "Another"


def beside(title: str) -> str:
    """Under the title: what it is compared with."""
    return f"beside {title}"


def compare_with() -> str:
    """Over the jobs to choose from."""
    return "Compare with which job?"


def nothing_beside() -> str:
    """No other job can be read."""
    return "There is **no other job** on this phone to compare with."


def gone_beside() -> str:
    """The job that was asked for is not here, or cannot be read."""
    return "**That job** is not on this phone, or cannot be read."


def copy_to_compare() -> str:
    """Under the slab that copies the job."""
    return "then change the copy, and compare"


def needs_title(name: str) -> str:
    """Over what one plan takes more of."""
    return f"Beyond the other, **{name}** needs"


def need_line(name: str, amount: float, cable: bool) -> str:
    """One thing it needs."""
    name = held_together(name)
    return f"{metres(amount)} of {name}" if cable else f"{amount:.0f} × {name}"


def needs_nothing() -> str:
    """Nothing more is to be bought."""
    return "nothing more"


def open_job(title: str) -> str:
    """To the other job."""
    return f"Open {title}"


# ---------------------------------------------------------------- a row of Jobs


def more_button() -> str:
    """What else can be done with a job of the list."""
    return "More"


def speak_more(title: str) -> str:
    """The same for a screen reader, with the job's name."""
    return f"More for {title}"


def more_title(title: str) -> str:
    """Over what can be done with it."""
    return f"What about **{title}**?"


def plan_button() -> str:
    """To its plan."""
    return "Its plan"


def compare_job() -> str:
    """Beside another job."""
    return "Compare it with another"
