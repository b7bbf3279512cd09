"""The list of sheets to choose one from: its groups, what each would do, its figures in a line."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.english.figures import (
    KINDS,
    NBSP,
    cable_wire,
    count,
    metres,
    speeds,
    with_unit,
)
from fieldapp.words.english.plans import kind_word
from fieldapp.words.english.reel import METALS

GROUPS = {"own": "Your own", "used": "In use in this job", "starter": "Starter sheets"}


def sheets_title(thing: str) -> str:
    """Over the list of sheets."""
    return f"A sheet for {thing}"


def sheets_group(group: str) -> str:
    """Over those of one sort."""
    return GROUPS[group]


def sheets_instead(kind: str) -> str:
    """Over those of another kind of box."""
    return f"Instead of it: {kind_word(kind)}"


def sheet_in_use() -> str:
    """At the one in use."""
    return "in use here"


def sheet_used_by(number: int) -> str:
    """At one that other things use."""
    return "in use once" if number == 1 else f"in use {count(number)} times"


def sheet_generic() -> str:
    """At a starter sheet."""
    return "generic: replace with your maker's numbers"


def sheet_trying() -> str:
    """While it is worked out what a sheet would do."""
    return "working it out"


def sheet_unfit() -> str:
    """At one that the plan cannot take."""
    return "does not fit here"


def sheet_outcome(works: bool, holds: bool, low_volts: float | None, more: int) -> str:
    """What the far end gets with a sheet at worst, and what more it would break."""
    if not works:
        first = "does not run"
    elif not holds:
        first = "runs, but not at worst"
    elif low_volts is None:
        first = "runs, even at worst"
    else:
        first = f"{with_unit(low_volts)} at worst"
    if more <= 0 or not works:
        return first
    return f"{first}, {count(more)} {'finding' if more == 1 else 'findings'} more"


def type_own() -> str:
    """The slab under the list."""
    return "Type a maker's sheet"


def type_own_more() -> str:
    """Under it."""
    return "one question a screen"


def cable_figures(category: str, awg: float, metal: str, stranded: bool, ohms: float) -> str:
    """A cable in one line."""
    named = f"Cat{NBSP}{category}, " if category else ""
    gauge = cable_wire(awg) if awg else ""
    wire = " ".join(word for word in (gauge, "stranded" if stranded else "", METALS[metal]) if word)
    return f"{named}{wire}, {ohms:.1f}{NBSP}Ω/km"


def feed_figures(
    volts: float, watts: float | None, class_: int | None, always: bool, pairs: int
) -> str:
    """A source or an injector in one line."""
    most = f", {watts:g}{NBSP}W" if watts is not None else ""
    shown = f", class {class_}" if class_ is not None else ""
    when = "always on" if always else "on request"
    return f"{volts:g}{NBSP}V{most}{shown}, {count(pairs)} pairs, {when}"


def box_figures(
    cutoff: float, own: float, reach: float | None, anew: float | None, out: float | None
) -> str:
    """A box that draws watts in one line: its cut-off, own watts, span reach, what it makes."""
    parts = [f"stops below {cutoff:g}{NBSP}V", f"draws {own:g}{NBSP}W"]
    if reach is not None:
        parts.append(f"reaches {metres(reach)}")
    if anew is not None:
        most = f" and {out:g}{NBSP}W" if out is not None else ""
        parts.append(f"makes {anew:g}{NBSP}V{most} anew")
    return ", ".join(parts)


def passive_figures(ohms: float, mbps: tuple[int, ...]) -> str:
    """An arrestor or a joint in one line."""
    fast = f", {speeds(mbps)}{NBSP}Mb/s" if mbps and tuple(mbps) != (1000,) else ""
    return f"{ohms:g}{NBSP}Ω a wire{fast}"


def endpoint_figures(usual: float, most: float, cutoff: float, class_: int | None) -> str:
    """What hangs at the end in one line."""
    shown = f", class {class_}" if class_ is not None else ""
    return f"{usual:g}{NBSP}W, {most:g}{NBSP}W at most, stops below {cutoff:g}{NBSP}V{shown}"


def meter_figures(percents: Mapping[str, float]) -> str:
    """A meter in one line: what it reads, and its percent."""
    return ", ".join(f"{KINDS[kind]} {value:g}{NBSP}%" for kind, value in percents.items())
