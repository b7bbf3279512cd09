"""What is asked for a data sheet of one's own, and how an answer is told."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from fieldapp.words import units
from fieldapp.words.english.figures import (
    KINDS,
    NBSP,
    cable_wire,
    capital,
    count,
    length,
    tied,
    unit_of,
)
from fieldapp.words.english.findings import WANTS
from fieldapp.words.english.plans import kind_word
from fieldapp.words.english.reel import METALS
from fieldapp.words.english.said import says

ASKED: Mapping[str, tuple[str, str, str]] = {
    "volts": ("How many volts does it give?", "V", "at its contacts, while it feeds"),
    "watts_max": ("How many watts can it give?", "W", "the most from this one port"),
    "grants": ("When does it give power?", "", ""),
    "pairs": ("Over how many pairs does power run?", "", ""),
    "speeds_mbps": ("At which speeds does it link?", "", "press all that it can"),
    "outdoor": ("Is it made for outdoors?", "", ""),
    "power": ("How does power get past it?", "", ""),
    "own_watts": ("How many watts does it draw itself?", "W", "without what hangs behind it"),
    "out_volts": ("How many volts does it make?", "V", "at its out side, while it feeds"),
    "efficiency": ("Of 100 W in, how much comes out?", "%", "its efficiency"),
    "out_watts_max": ("How many watts come out at most?", "W", "in all, of what it makes anew"),
    "pairs_out": ("Over how many pairs does it feed on?", "", ""),
    "class": ("Which class does it show?", "", "what it asks of the port that feeds it"),
    "cutoff_volts": ("Below how many volts does it stop?", "V", "while it runs"),
    "on_volts": ("At how many volts does it come on?", "V", "from dark"),
    "ohms_per_conductor": ("How many ohms does it put into each wire?", "Ω", "plugs included"),
    "watts": ("How many watts does it draw?", "W", "the most alone will do"),
    "watts_swing_percent": ("How far does its load move?", "%", "of its watts, in a minute"),
    "category": ("Which category is it?", "", ""),
    "material": ("What is its wire made of?", "", ""),
    "copper_percent": ("How much of the wire is copper?", "%", "by volume"),
    "awg": ("Which gauge is its wire?", "AWG", "in AWG the smaller number is the thicker wire"),
    "stranded": ("Is its wire solid or stranded?", "", ""),
    "ohms_per_km": ("How many ohms has a kilometre?", "Ω/km", "of one wire, at 20 °C"),
    "screened": ("Is it screened?", "", ""),
}
"""a key of a sheet: its question, its unit, what is meant"""
PARTS = {
    "low": "least",
    "expected": "usual",
    "high": "most",
    "percent": "percent",
    "digits": "digits",
    "resolution": "last digit",
}
"""the figures of one answer"""
CHOSEN: Mapping[str, Mapping[Any, str]] = {
    "grants": {"always": "always", "by-class": "when a box asks for it"},
    "power": {"pass-through": "power runs through", "regenerating": "it makes volts anew"},
    "material": METALS,
    "stranded": {True: "stranded", False: "solid"},
    "faces": {**WANTS, "any": "anything"},
}
"""choices that have words of their own"""

# ---------------------------------------------------------------- a sheet of one's own


def own_title(thing: str, changed: str) -> str:
    """In the head of the questions."""
    return changed or f"Own sheet for {thing}"


def own_progress(number: int, of: int) -> str:
    """How far the questions are."""
    return f"question {number} of {of}"


def own_begin() -> str:
    """The first page."""
    return "Which sheet comes nearest?"


def own_begin_why() -> str:
    """Under it."""
    return "Its figures stand ready as answers; type over what your maker says otherwise."


def own_change(title: str) -> str:
    """Change a sheet that is there already."""
    return f"Change {title} itself"


def own_follow(users: tuple[str, ...]) -> str:
    """Who goes by a sheet that is changed."""
    if len(users) == 1:
        return f"{users[0]} follows"
    return f"{count(len(users))} follow: {', '.join(users)}"


def own_question(key: str) -> str:
    """The question of a key: ``ports/in/faces`` is of a port."""
    *way, last = key.split("/")
    if "reach_m" in way:
        return f"How far does {way[1].upper()} reach at {last}{NBSP}Mb/s?"
    if last == "faces":
        return f"What does {way[1].upper()} want to meet?"
    return tied(ASKED[last][0])


def own_question_meter(kind: str) -> str:
    """The question of a kind of reading."""
    return f"{capital(KINDS[kind])}: how far can it be out?"


def own_meant(key: str, meter: bool) -> str:
    """What is meant by it."""
    if meter:
        return "± percent of the reading, and so many of the last digit"
    if "reach_m" in key:
        return "on its own cable, by the maker"
    if key == "awg" and not units.in_gauges():
        return "in brackets the gauge that is printed on cable"
    return tied(ASKED.get(key, ("", "", ""))[2])


def own_unit(key: str, part: str) -> str:
    """The unit of what is typed."""
    if part in ("percent", "digits"):
        return {"percent": "%", "digits": "digits"}[part]
    if part == "resolution":
        return unit_of(key)
    return units.length_unit() if "reach_m" in key else ASKED[key.rpartition("/")[2]][1]


def own_part(part: str) -> str:
    """One of the figures of an answer."""
    return PARTS[part]


def own_choice(key: str, value: Any) -> str:
    """One of the choices."""
    last = key.rpartition("/")[2]
    known = CHOSEN.get(last, {})
    if value in known:
        return capital(known[value])
    if isinstance(value, bool):
        return "Yes" if value else "No"
    if last in ("pairs", "pairs_out"):
        return capital(f"{count(value)} pairs")
    if last == "awg":
        return units.gauge_text(value) if units.in_gauges() else cable_wire(value)
    return f"Cat{NBSP}{value}" if last == "category" else str(value)


def own_figure(value: float) -> str:
    """A figure with no more digits than it has."""
    return f"{value:.7g}"


def own_value(key: str, value: Any, times: float) -> str:
    """What stands in a sheet for a key, in one line; nothing where it does not say."""
    if value is None:
        return "not on the sheet"
    if isinstance(value, Mapping) and "percent" in value:
        unit = unit_of(key)
        last = units.shown(value["resolution"], units.sheet_kind(key, "resolution"))
        steps = f"{own_figure(value['digits'])} × {own_figure(last)}{NBSP}{unit}"
        return f"±({own_figure(value['percent'])}{NBSP}% + {steps})"
    unit = own_unit(key, "") if key.rpartition("/")[2] in ASKED or "reach_m" in key else ""
    behind = f"{NBSP}{unit}" if unit else ""
    if isinstance(value, Mapping):
        low, usual, high = (own_figure(value[k] * times) for k in ("low", "expected", "high"))
        return f"{low} to {high}{behind}, {usual} usual" if low != high else f"{usual}{behind}"
    if isinstance(value, list | tuple):
        return f"{'/'.join(str(one) for one in value)}{NBSP}Mb/s" if value else "none"
    if key == "awg":
        return cable_wire(value)
    if "reach_m" in key:
        return length(value)
    if isinstance(value, float | int) and not isinstance(value, bool) and unit:
        return f"{own_figure(value * times)}{behind}"
    if key == "class":
        return f"class {value}"
    chosen = own_choice(key, value)
    return chosen if chosen.startswith("Cat") else chosen[:1].lower() + chosen[1:]


def own_keep(value: str) -> str:
    """The slab with the template's answer."""
    return f"Keep {value}"


def own_keep_open() -> str:
    """The slab where the template says nothing either."""
    return "Leave it open"


def own_take(value: str) -> str:
    """The slab with what was typed."""
    return f"Take {value}"


def own_type_part(part: str) -> str:
    """The slab while a figure of the answer is missing."""
    return f"Type the {PARTS[part]} too" if part else "Type the figure"


def own_needed() -> str:
    """The slab where the sheet cannot do without."""
    return "Type what the sheet says"


def own_choose() -> str:
    """The slab while nothing is chosen."""
    return "Choose at least one"


def own_without() -> str:
    """The quiet button beside it."""
    return "Not on the sheet"


def own_not_measured() -> str:
    """The same for a kind of reading."""
    return "It does not measure this"


def own_alone(said: str) -> str:
    """What the other figures of an answer are where one stands alone."""
    told = said.partition(" of ")[0]
    return tied(f"the others from it: {told}")


def own_default(said: str) -> str:
    """What is taken where the sheet does not say."""
    return tied(f"without it: {said}")


def own_last() -> str:
    """The last page."""
    return "What is the sheet called?"


def own_name() -> str:
    """The field of its name."""
    return "Maker and type"


def own_use(thing: str) -> str:
    """The slab of the last page."""
    return f"Use it for {thing}"


def own_change_slab(number: int) -> str:
    """The same where a sheet in use is changed."""
    return "Change it" if number == 1 else f"Change it for all {count(number)}"


def own_missing(what: str) -> str:
    """Under the slab while something is missing."""
    return f"still to be answered: {what}"


def own_name_it() -> str:
    """Under the slab while there is no name."""
    return "type its name first"


def own_unchanged() -> str:
    """Under the slab while nothing is changed."""
    return "nothing changed: press an answer"


def own_kind(kind: str) -> str:
    """The kind of the sheet, under its name."""
    return kind_word(kind)


def own_note(by: str, template: str, typed: tuple[str, ...], kept: tuple[str, ...]) -> str:
    """Where the figures of a sheet come from, for whoever reads the file."""
    who = f"by {by}" if by else "on site"
    from_maker = f"Typed {who} from the maker's sheet: {_keys(typed)}." if typed else ""
    left = f"Kept {who} as in {template}: {_keys(kept)}." if kept else ""
    return " ".join(part for part in (from_maker, left) if part)


def _keys(names: tuple[str, ...]) -> str:
    return ", ".join(name.replace("_", " ").replace("/", " ") for name in names)


# ---------------------------------------------------------------- what is refused


@says("own-limits")
def _limits(key: str, part: str, least: float, most: float) -> str:
    kind = units.sheet_kind(key, part)
    least, most = (round(units.shown(one, kind), 7) for one in (least, most))
    unit = own_unit(key, part)
    named = f"The {PARTS[part]}" if part else "It"
    behind = f"{NBSP}{unit}" if unit else ""
    return f"{named} can be **{own_figure(least)} to {own_figure(most)}{behind}**. Type it again."


@says("own-order")
def _order(key: str) -> str:
    return "The least cannot be above the usual, nor the usual above the most."


@says("own-unread")
def _own_unread(key: str) -> str:
    return "A sheet cannot hold that. Type it again."


@says("own-name")
def _own_name(most: int) -> str:
    return f"A name is one line of at most {most} letters."
