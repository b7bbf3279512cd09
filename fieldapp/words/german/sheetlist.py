"""The list of sheets in German: its groups, what each would do, its figures in a line."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.german.figures import (
    KINDS,
    NBSP,
    cable_wire,
    decimal,
    metres,
    plain_number,
    several,
    speeds,
    with_unit,
)
from fieldapp.words.german.plans import kind_word
from fieldapp.words.german.reel import METALS

GROUPS = {"own": "Eigene", "used": "In diesem Auftrag", "starter": "Mitgelieferte"}


def sheets_title(thing: str) -> str:
    """Over the list of sheets."""
    return f"Datenblatt für {thing}"


def sheets_group(group: str) -> str:
    """Over those of one sort."""
    return GROUPS[group]


def sheets_instead(kind: str) -> str:
    """Over those of another kind of box."""
    return f"Stattdessen: {kind_word(kind)}"


def sheet_in_use() -> str:
    """At the one in use."""
    return "hier in Gebrauch"


def sheet_used_by(number: int) -> str:
    """At one that other things use."""
    return "einmal in Gebrauch" if number == 1 else f"{number}-mal in Gebrauch"


def sheet_generic() -> str:
    """At a starter sheet."""
    return "allgemein: durch Werte des Herstellers ersetzen"


def sheet_trying() -> str:
    """While it is worked out what a sheet would do."""
    return "wird gerechnet"


def sheet_unfit() -> str:
    """At one that the plan cannot take."""
    return "passt hier nicht"


def sheet_outcome(works: bool, holds: bool, low_volts: float | None, more: int) -> str:
    """What the far end gets with a sheet at worst, and what more it would break."""
    if not works:
        return "läuft nicht"
    first = "läuft auch im schlimmsten Fall" if holds else "läuft nur im Normalfall"
    if holds and low_volts is not None:
        first = f"mindestens {with_unit(low_volts)}"
    return f"{first}, {several(more, 'ein Mangel', 'Mängel')} mehr" if more > 0 else first


def type_own() -> str:
    """The slab under the list."""
    return "Datenblatt eintippen"


def type_own_more() -> str:
    """Under it."""
    return "vom Hersteller, Frage für Frage"


def cable_figures(category: str, awg: float, metal: str, stranded: bool, ohms: float) -> str:
    """A cable in one line."""
    named = f"Cat{NBSP}{category}, " if category else ""
    gauge = f"{cable_wire(awg)}, " if awg else ""
    wire = f"{METALS[metal]}, Litze" if stranded else METALS[metal]
    return f"{named}{gauge}{wire}, {decimal(ohms)}{NBSP}Ω/km"


def feed_figures(
    volts: float, watts: float | None, class_: int | None, always: bool, pairs: int
) -> str:
    """A source or an injector in one line."""
    most = f", {plain_number(watts)}{NBSP}W" if watts is not None else ""
    shown = f", Klasse{NBSP}{class_}" if class_ is not None else ""
    over, when = several(pairs, "ein Paar", "Paare"), "immer" if always else "auf Anfrage"
    return f"{plain_number(volts)}{NBSP}V{most}{shown}, {over}, {when}"


def box_figures(
    cutoff: float, own: float, reach: float | None, anew: float | None, out: float | None
) -> str:
    """A box that draws watts in one line: its cut-off, own watts, span reach, what it makes."""
    parts = [f"aus unter {plain_number(cutoff)}{NBSP}V", f"zieht {plain_number(own)}{NBSP}W"]
    if reach is not None:
        parts.append(f"reicht {metres(reach)}")
    if anew is not None:
        most = f" und {plain_number(out)}{NBSP}W" if out is not None else ""
        parts.append(f"erzeugt {plain_number(anew)}{NBSP}V{most} neu")
    return ", ".join(parts)


def passive_figures(ohms: float, mbps: tuple[int, ...]) -> str:
    """An arrestor or a joint in one line."""
    fast = f", {speeds(mbps)}{NBSP}Mb/s" if mbps and tuple(mbps) != (1000,) else ""
    return f"{plain_number(ohms)}{NBSP}Ω je Ader{fast}"


def endpoint_figures(usual: float, most: float, cutoff: float, class_: int | None) -> str:
    """What hangs at the end in one line."""
    shown = f", Klasse{NBSP}{class_}" if class_ is not None else ""
    drawn = f"{plain_number(usual)}{NBSP}W, höchstens {plain_number(most)}{NBSP}W"
    return f"{drawn}, aus unter {plain_number(cutoff)}{NBSP}V{shown}"


def meter_figures(percents: Mapping[str, float]) -> str:
    """A meter in one line: what it reads, and its percent."""
    return "; ".join(f"{KINDS[kind]} {plain_number(one)}{NBSP}%" for kind, one in percents.items())
