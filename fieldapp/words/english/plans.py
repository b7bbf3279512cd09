"""The sentences of the plan: its fields, and what it answers."""

from __future__ import annotations

import re
from typing import Any

from fieldapp.words import units
from fieldapp.words.english.figures import NBSP, length, metres, typed_with_unit, wire, with_unit


def plan_line(length_m: float, boxes: int) -> str:
    """Under the job's name in the plan."""
    return f"plan, {metres(length_m)}, {boxes} {'box' if boxes == 1 else 'boxes'}"


def done_button() -> str:
    """Out of the plan."""
    return "Done"


def site_label() -> str:
    """The site's name field."""
    return "Name of the site"


def plan_value(value: Any) -> str:
    """A name of the plan as it is put into a field."""
    return str(value or "")


def type_a_value() -> str:
    """Under the slab while a field holds nothing that can be kept."""
    return "type a name"


def plan_answer(low: float, spare: float) -> str:
    """The plan's first line when nothing breaks."""
    return f"Nothing breaks, even at worst: **{with_unit(low)}**, {with_unit(spare)} to spare."


def would_bear(share: float, spare: list[tuple[str, float]]) -> str:
    """How much more the volts would bear: in all, and at each endpoint alone."""
    times = f"{share:.1f}" if share < 100 else "more than 100"
    each = " or ".join(f"{watts:.0f}{NBSP}W more at {name}" for name, watts in spare)
    alone = f", or {each}" if each else ""
    return f"The volts would bear **{times} times the load**{alone}."


def name_of(box: str) -> str:
    """The name of a box's name field."""
    return f"Name of {box}"


# ---------------------------------------------------------------- the editor


def at_best(volts: float) -> str:
    """At the upper end of the fan."""
    return f"{with_unit(volts)} at best"


def at_worst(volts: float) -> str:
    """At the lower end of the fan."""
    return f"{with_unit(volts)} at worst"


def span_title(span: str, a: str, b: str) -> str:
    """Over what can be done with a span."""
    return f"**{span}**, {a} to {b}"


def box_title(box: str, kind: str, stop: str) -> str:
    """Over what can be done with a box."""
    return ", ".join(word for word in (f"**{box}**", kind_word(kind), stop) if word)


def kind_word(kind: str) -> str:
    """A kind of box in words."""
    return {"long-span": "long-span unit"}.get(kind, kind)


def put_into(span: str) -> str:
    """Over the boxes that a span can be opened for."""
    return f"Put into {span}"


def its_cables(box: str) -> str:
    """Over the cables that end at a box."""
    return f"Cables at {box}"


def nothing_chosen() -> str:
    """Over the list of all there is."""
    return "All of it, from the feed outwards"


def turn_button() -> str:
    """A box the other way round."""
    return "Turn round"


def move_button() -> str:
    """A box to another stop."""
    return "Move to …"


def take_out_button() -> str:
    """A box out of the run."""
    return "Take out"


def move_title(box: str) -> str:
    """Over the stops that a box can be moved to."""
    return f"Where does **{box}** stand?"


def stop_choice(name: str, at_m: float) -> str:
    """A stop in a list."""
    return f"{name}, {metres(at_m)}"


def new_stop_button() -> str:
    """A stop that the plan does not have yet."""
    return "A new stop"


def new_stop_name() -> str:
    """The field of a new stop's name."""
    return "Its name"


def stop_side() -> str:
    """Instead of the slab until it is chosen."""
    return "Indoors or outdoors?"


def new_stop_slab(digits: str) -> str:
    """Make the new stop, and the box at it."""
    return f"Make the stop at {typed_with_unit(digits, 'metres')}"


def new_stop_more(box: str) -> str:
    """Under it."""
    return f"{box} goes there"


def bond_line(earth: str, lead: float | None, mm2: float | None) -> str:
    """How a box is bonded."""
    said = f"bonded to {earth}"
    said += f", lead {length(lead)}" if lead is not None else ""
    return said + (f", {wire(mm2)}" if mm2 is not None else "")


def no_bond() -> str:
    """A box without a bond."""
    return "no bond to earth"


def bond_button(bonded: bool) -> str:
    """To the earths a box can be bonded to."""
    return "Another earth" if bonded else "Bond to …"


def lead_button(lead: float | None) -> str:
    """The length of a bond's lead."""
    return f"lead {length(lead)}" if lead is not None else "lead, length"


def mm2_button(mm2: float | None) -> str:
    """How thick a bond's lead is."""
    return wire(mm2) if mm2 is not None else f"lead, {units.wire_unit()}"


def bond_title(box: str) -> str:
    """Over the earths."""
    return f"Which earth is **{box}** bonded to?"


def earth_choice(earth: str, name: str, stop: str, at_m: float) -> str:
    """An earth in a list."""
    named = f"{earth}, {name}" if name and name != earth else earth
    return f"**{named}**, {stop}, {metres(at_m)}"


def new_earth(stop: str) -> str:
    """An earth that the plan does not have yet."""
    return f"A new earth at {stop}" if stop else "A new earth"


def duplicate_button() -> str:
    """Copy the plan."""
    return "Duplicate this job"


def copy_title(title: str) -> str:
    """The title of a copy; a copy of a copy is one more of the same."""
    return f"{re.sub(r', copy( [0-9]+)?$', '', title)}, copy"


def its_sheet() -> str:
    """To the sheets that a thing can have."""
    return "Its sheet"


def what_if() -> str:
    """To a value that can be tried."""
    return "What if"


def meter_title(meter: str, name: str) -> str:
    """A meter in the list of all there is."""
    return f"**{meter}**, {name}" if name and name != meter else f"**{meter}**"


# ---------------------------------------------------------------- figures on the pad


PLAN_FIGURES = {
    "length": "Length of {thing}",
    "lead": "Earth lead of {thing}",
    "mm2": "Earth lead of {thing}",
    "stop": "A new stop for {thing}",
}
"""over the pad of a figure"""
FIGURE_MEANT = {
    "length": "from {a} to {b}",
    "lead": "from {thing} to the earth",
    "mm2": "how thick its copper is",
    "stop": "how far along the run",
}
"""what is typed"""


def figure_title(name: str, thing: str) -> str:
    """Over the pad."""
    return PLAN_FIGURES[name].format(thing=thing)


def figure_meant(name: str, thing: str, a: str = "", b: str = "") -> str:
    """Under it: what is typed."""
    return FIGURE_MEANT[name].format(thing=thing, a=a, b=b)


def figure_wanted(kind: str) -> str:
    """Instead of the slab while nothing is typed that can stand."""
    return "Type how thick it is" if kind == units.WIRE else "Type the length"


def figure_planned(value: float | None, kind: str) -> str:
    """Under it: what the plan says now."""
    if value is None:
        return "not in the plan yet"
    return f"{wire(value) if kind == units.WIRE else length(value)} in the plan"


def speak_plan_box(box: str) -> str:
    """The drawing beside a finding, for a screen reader."""
    return f"{box} as it is planned"


# ---------------------------------------------------------------- a new run


def how_far() -> str:
    """The first question of a new run."""
    return "How far is it, in one go?"


def what_load() -> str:
    """The second question."""
    return "What does the far end need?"


def far_metres(digits: str) -> str:
    """The distance as typed."""
    return typed_with_unit(digits or "0", "metres")


def watts_choice() -> str:
    """Over the watts."""
    return "watts at the far end"


def speed_choice() -> str:
    """Over the speeds."""
    return "megabits a second"


def ground_choice() -> str:
    """Over indoors and outdoors."""
    return "where the cable runs"


def outdoors(yes: bool) -> str:
    """One of the two."""
    return "outdoors" if yes else "indoors"


def watts_value(value: float) -> str:
    """A choice of watts."""
    return f"{value:g}{NBSP}W"


def mbps_value(value: int) -> str:
    """A choice of speed."""
    return f"{value}{NBSP}Mb/s"


def next_button() -> str:
    """To the second question."""
    return "Then what it feeds"


def lay_button() -> str:
    """Make the plan."""
    return "Lay the run"


def lay_more() -> str:
    """Under it."""
    return "a first plan; change any part of it"


def run_title(length_m: float) -> str:
    """The title of a new run until it has a name."""
    return f"Run of {metres(length_m)}"
