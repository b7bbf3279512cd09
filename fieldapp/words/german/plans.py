"""The sentences of the plan in German: its fields, and what it answers."""

from __future__ import annotations

import re

from fieldapp.words import units
from fieldapp.words.english.plans import meter_title, plan_value  # noqa: F401
from fieldapp.words.german.figures import (
    NBSP,
    decimal,
    length,
    metres,
    plain_number,
    typed_with_unit,
    wire,
    with_unit,
)


def plan_line(length_m: float, boxes: int) -> str:
    """Under the job's name in the plan."""
    return f"Plan, {metres(length_m)}, {boxes} {'Box' if boxes == 1 else 'Boxen'}"


def done_button() -> str:
    """Out of the plan."""
    return "Fertig"


def site_label() -> str:
    """The site's name field."""
    return "Name des Standorts"


def type_a_value() -> str:
    """Under the slab while a field holds nothing that can be kept."""
    return "Namen tippen"


def plan_answer(low: float, spare: float) -> str:
    """The plan's first line when nothing breaks."""
    left = f"{with_unit(spare)} übrig"
    return f"Alles hält, auch im schlimmsten Fall: **{with_unit(low)}**, {left}."


def would_bear(share: float, spare: list[tuple[str, float]]) -> str:
    """How much more the volts would bear: in all, and at each endpoint alone."""
    times = f"die {decimal(share)}-fache" if share < 100 else "mehr als die 100-fache"
    each = " oder ".join(f"{watts:.0f}{NBSP}W mehr an {name}" for name, watts in spare)
    alone = f", oder für {each}" if each else ""
    return f"Die Volt reichen für **{times} Last**{alone}."


def name_of(box: str) -> str:
    """The name of a box's name field."""
    return f"Name von {box}"


# ---------------------------------------------------------------- the editor


def at_best(volts: float) -> str:
    """At the upper end of the fan."""
    return f"höchstens {with_unit(volts)}"


def at_worst(volts: float) -> str:
    """At the lower end of the fan."""
    return f"mindestens {with_unit(volts)}"


def span_title(span: str, a: str, b: str) -> str:
    """Over what can be done with a span."""
    return f"**{span}**, {a} bis {b}"


def box_title(box: str, kind: str, stop: str) -> str:
    """Over what can be done with a box."""
    return ", ".join(word for word in (f"**{box}**", kind_word(kind), stop) if word)


_KINDS = {
    "source": "Quelle",
    "injector": "Einspeiser",
    "long-span": "Weitstreckenbox",
    "repeater": "Repeater",
    "splitter": "Verteiler",
    "arrestor": "Ableiter",
    "joint": "Verbinder",
    "endpoint": "Endpunkt",
    "cable": "Kabel",
    "meter": "Messgerät",
}


def kind_word(kind: str) -> str:
    """A kind of box, of cable or of meter in words."""
    return _KINDS.get(kind, kind)


def put_into(span: str) -> str:
    """Over the boxes that a span can be opened for."""
    return f"In {span} einsetzen"


def its_cables(box: str) -> str:
    """Over the cables that end at a box."""
    return f"Kabel an {box}"


def nothing_chosen() -> str:
    """Over the list of all there is."""
    return "Alles, von der Einspeisung nach außen"


def turn_button() -> str:
    """A box the other way round."""
    return "Umdrehen"


def move_button() -> str:
    """A box to another stop."""
    return "Umsetzen …"


def take_out_button() -> str:
    """A box out of the run."""
    return "Herausnehmen"


def move_title(box: str) -> str:
    """Over the stops that a box can be moved to."""
    return f"Wo steht **{box}**?"


def stop_choice(name: str, at_m: float) -> str:
    """A stop in a list."""
    return f"{name}, {metres(at_m)}"


def new_stop_button() -> str:
    """A stop that the plan does not have yet."""
    return "Neuer Ort"


def new_stop_name() -> str:
    """The field of a new stop's name."""
    return "Name des Orts"


def stop_side() -> str:
    """Instead of the slab until it is chosen."""
    return "Drinnen oder draußen?"


def new_stop_slab(digits: str) -> str:
    """Make the new stop, and the box at it."""
    return f"Ort bei {typed_with_unit(digits, 'metres')} anlegen"


def new_stop_more(box: str) -> str:
    """Under it."""
    return f"dort kommt {box} hin"


def bond_line(earth: str, lead: float | None, mm2: float | None) -> str:
    """How a box is bonded."""
    said = f"geerdet an {earth}"
    said += f", Leitung {length(lead)}" if lead is not None else ""
    return said + (f", {wire(mm2)}" if mm2 is not None else "")


def no_bond() -> str:
    """A box without a bond."""
    return "keine Erdverbindung"


def bond_button(bonded: bool) -> str:
    """To the earths a box can be bonded to."""
    return "Andere Erde" if bonded else "Erden an …"


def lead_button(lead: float | None) -> str:
    """The length of a bond's lead."""
    return f"Leitung {length(lead)}" if lead is not None else "Leitung, Länge"


def mm2_button(mm2: float | None) -> str:
    """How thick a bond's lead is."""
    return wire(mm2) if mm2 is not None else f"Leitung, {units.wire_unit()}"


def bond_title(box: str) -> str:
    """Over the earths."""
    return f"An welche Erde kommt **{box}**?"


def earth_choice(earth: str, name: str, stop: str, at_m: float) -> str:
    """An earth in a list."""
    named = f"{earth}, {name}" if name and name != earth else earth
    return f"**{named}**, {stop}, {metres(at_m)}"


def new_earth(stop: str) -> str:
    """An earth that the plan does not have yet."""
    return f"Neue Erde bei {stop}" if stop else "Neue Erde"


def duplicate_button() -> str:
    """Copy the plan."""
    return "Auftrag kopieren"


def copy_title(title: str) -> str:
    """The title of a copy; a copy of a copy is one more of the same, in whatever language."""
    return f"{re.sub(r', (copy|Kopie)( [0-9]+)?$', '', title)}, Kopie"


def its_sheet() -> str:
    """To the sheets that a thing can have."""
    return "Datenblatt"


def what_if() -> str:
    """To a value that can be tried."""
    return "Probieren"


# ---------------------------------------------------------------- figures on the pad


PLAN_FIGURES = {
    "length": "Länge von {thing}",
    "lead": "Erdleitung von {thing}",
    "mm2": "Erdleitung von {thing}",
    "stop": "Neuer Ort für {thing}",
}
"""over the pad of a figure"""
FIGURE_MEANT = {
    "length": "von {a} bis {b}",
    "lead": "von {thing} bis zur Erde",
    "mm2": "wie dick ihr Kupfer ist",
    "stop": "wie weit auf der Linie",
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
    return "Querschnitt tippen" if kind == units.WIRE else "Länge tippen"


def figure_planned(value: float | None, kind: str) -> str:
    """Under it: what the plan says now."""
    if value is None:
        return "noch nicht im Plan"
    return f"im Plan {wire(value) if kind == units.WIRE else length(value)}"


def speak_plan_box(box: str) -> str:
    """The drawing beside a finding, for a screen reader."""
    return f"{box}, wie geplant"


# ---------------------------------------------------------------- a new run


def how_far() -> str:
    """The first question of a new run."""
    return "Wie weit ist es, in einem Stück?"


def what_load() -> str:
    """The second question."""
    return "Was braucht das ferne Ende?"


def far_metres(digits: str) -> str:
    """The distance as typed."""
    return typed_with_unit(digits or "0", "metres")


def watts_choice() -> str:
    """Over the watts."""
    return "Watt am fernen Ende"


def speed_choice() -> str:
    """Over the speeds."""
    return "Megabit je Sekunde"


def ground_choice() -> str:
    """Over indoors and outdoors."""
    return "wo das Kabel liegt"


def outdoors(yes: bool) -> str:
    """One of the two."""
    return "draußen" if yes else "drinnen"


def watts_value(value: float) -> str:
    """A choice of watts."""
    return f"{plain_number(value)}{NBSP}W"


def mbps_value(value: int) -> str:
    """A choice of speed."""
    return f"{plain_number(value)}{NBSP}Mb/s"


def next_button() -> str:
    """To the second question."""
    return "Weiter: was daran hängt"


def lay_button() -> str:
    """Make the plan."""
    return "Linie anlegen"


def lay_more() -> str:
    """Under it."""
    return "ein erster Plan, frei zu ändern"


def run_title(length_m: float) -> str:
    """The title of a new run until it has a name."""
    return f"Linie über {metres(length_m)}"
