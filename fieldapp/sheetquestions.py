"""What is asked of a sheet of one's own: a table of keys by kind. What may be answered is the
format's own word: the kind of each key decides between pad, choice and several figures. Pure."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from engine.defaults import DEFAULTS, Default
from engine.edits import GONE, within
from engine.fields import (
    BAD,
    Choice,
    Flag,
    Kind,
    ListOf,
    MapOf,
    Number,
    Quantity,
    Reader,
    Record,
)
from engine.format import METER_KINDS, SHEET_KEYS

Body = Mapping[str, Any]
Path = tuple[str, ...]
BAND = ("low", "expected", "high")


def _always(body: Body) -> bool:
    return True


def _anew(body: Body) -> bool:
    """A box that makes its own volts."""
    return body.get("power") == "regenerating"


def _through(body: Body) -> bool:
    return not _anew(body)


def _clad(body: Body) -> bool:
    return body.get("material") == "clad"


@dataclass(frozen=True)
class Ask:
    """One question: where its answer stands in the sheet, and when it is asked.

    ``absent`` is the row of ``DEFAULTS`` that is taken where the sheet does not say.
    ``unsettles`` are keys that another answer makes doubtful. The pad types the figure
    ``times`` larger than the sheet holds it.
    """

    path: Path
    absent: str = ""
    when: Callable[[Body], bool] = _always
    unsettles: tuple[str, ...] = ()
    times: float = 1.0
    among: tuple[Any, ...] = ()
    """of a choice: those that make sense here"""
    needed: bool = False
    """the sheet must say it, although the format's table does not"""

    @property
    def key(self) -> str:
        """The place as one word."""
        return "/".join(self.path)


def _ask(path: str, **more: Any) -> Ask:
    return Ask(tuple(path.split("/")), **more)


_OHMS = ("ohms_per_km",)
_SPEEDS, _OUTDOOR, _PAIRS = _ask("speeds_mbps"), _ask("outdoor"), _ask("pairs")
_CUTOFF, _ON = _ask("cutoff_volts", absent="cutoff"), _ask("on_volts", absent="turn-on")
_FEED = (_ask("volts"), _ask("watts_max"), _ask("grants"), _PAIRS)
_SIDES = ("long-span", "equipment", "any")
_ACTIVE = (
    _ask("power"),
    _ask("own_watts"),
    _ask("out_volts", when=_anew, needed=True),
    _ask("efficiency", when=_anew, times=100.0),
    _ask("out_watts_max", when=_anew),
    _ask("pairs_out", when=_anew),
    _ask("grants", when=_anew),
    _ask("class"),
    _CUTOFF,
    _ON,
    _ask("ohms_per_conductor", when=_through),
    _PAIRS,
    _SPEEDS,
)
TABLE: Mapping[str, tuple[Ask, ...]] = {
    "source": (*_FEED, _SPEEDS, _OUTDOOR),
    "injector": (*_FEED, _SPEEDS, _OUTDOOR),
    "repeater": (*_ACTIVE, _OUTDOOR),
    "long-span": (
        *_ACTIVE,
        _ask("ports/in/faces", among=_SIDES),
        _ask("ports/out/faces", among=_SIDES),
        _OUTDOOR,
    ),
    "splitter": (*_ACTIVE, _OUTDOOR),
    "arrestor": (_ask("ohms_per_conductor"), _SPEEDS, _PAIRS, _OUTDOOR),
    "joint": (_ask("ohms_per_conductor"), _PAIRS, _OUTDOOR),
    "endpoint": (
        _ask("watts"),
        _ask("watts_swing_percent", absent="swing"),
        _ask("class"),
        _CUTOFF,
        _ON,
        _SPEEDS,
        _OUTDOOR,
    ),
    "cable": (
        _ask("category", absent="category"),
        _ask("material", unsettles=(*_OHMS, "alpha_per_k")),
        _ask("copper_percent", absent="copper-share", when=_clad, unsettles=_OHMS),
        _ask("awg", absent="gauge", unsettles=_OHMS),
        _ask("stranded", unsettles=_OHMS),
        _ask("ohms_per_km", absent="ohms-from-gauge"),
        _ask("outdoor"),
        _ask("screened"),
    ),
    "meter": tuple(_ask(kind) for kind in METER_KINDS),
}


def asks(body: Body) -> tuple[Ask, ...]:
    """The questions of a sheet as it stands so far, in their order.

    A side of a long-span unit that meets the long pair is asked how far it reaches.
    """
    out: list[Ask] = []
    for ask in TABLE[body["kind"]]:
        if not ask.when(body):
            continue
        out.append(ask)
        if ask.path[-1] == "faces" and within(body, ask.path) == "long-span":
            for speed in body.get("speeds_mbps", ()):
                path = (*ask.path[:-1], "reach_m", str(speed))
                out.append(Ask(path, absent="reach"))
    return tuple(out)


# ---------------------------------------------------------------- what may be answered


def answer_kind(sheet: str, ask: Ask) -> Kind:
    """What the format takes for a question of a kind of sheet."""
    return kind_at(Record(SHEET_KEYS[sheet]), ask.path)


def kind_at(kind: Kind, path: Path) -> Kind:
    """What the format takes at a place below one of its kinds; things of a list by their id."""
    for name in path:
        if isinstance(kind, MapOf | ListOf):
            kind = kind.item
        else:
            assert isinstance(kind, Record)
            kind = kind.keys[name].kind
    return kind


def must_say(sheet: str, ask: Ask) -> bool:
    """Whether a sheet is none without this answer."""
    return ask.needed or (len(ask.path) == 1 and SHEET_KEYS[sheet][ask.key].required)


def parts_of(kind: Kind) -> tuple[str, ...]:
    """The figures that one answer is made of; none where it is chosen. A whole number is."""
    if isinstance(kind, Number):
        return () if kind.whole else ("",)
    if isinstance(kind, Quantity):
        return BAND
    return tuple(kind.keys) if isinstance(kind, Record) else ()


def options_of(kind: Kind, ask: Ask) -> tuple[Any, ...]:
    """What can be chosen; none where it is typed."""
    if isinstance(kind, Flag):
        return (True, False)
    if isinstance(kind, Number) and kind.whole:
        return tuple(range(int(kind.least), int(kind.most) + 1))
    if isinstance(kind, ListOf):
        return options_of(kind.item, ask)
    if not isinstance(kind, Choice):
        return ()
    return ask.among or kind.options


def is_several(kind: Kind) -> bool:
    """Whether more than one can be chosen."""
    return isinstance(kind, ListOf)


def limits_of(kind: Kind, part: str = "") -> tuple[float, float]:
    """The least and the most that a figure may be."""
    if isinstance(kind, Record):
        kind = kind.keys[part].kind
    assert isinstance(kind, Number | Quantity)
    return kind.least, kind.most


def default_of(ask: Ask) -> Default | None:
    """What is taken where the sheet does not say."""
    return DEFAULTS[ask.absent] if ask.absent else None


def tolerance_of(kind: Kind) -> Default | None:
    """What a figure of a band is taken as that is typed alone."""
    return DEFAULTS[kind.default] if isinstance(kind, Quantity) else None


def alone(kind: Kind) -> str:
    """The part of a band that may be typed by itself: the one that its tolerance starts from."""
    if not isinstance(kind, Quantity):
        return ""
    shares = DEFAULTS[kind.default].shares
    assert shares is not None
    return BAND[max(i for i in range(3) if shares[i] == 1.0)] if shares[1] != 1.0 else BAND[1]


def reads(kind: Kind, value: Any) -> bool:
    """Whether the format takes this value."""
    return kind.read(Reader(), value, "") is not BAD


# ---------------------------------------------------------------- the sheet so far


def value_in(body: Body, ask: Ask) -> Any:
    """What stands in a sheet for a question, ``GONE`` where it does not say."""
    return within(body, ask.path)


def with_answer(body: Body, path: Path, value: Any) -> dict[str, Any]:
    """The sheet with this value; ``GONE`` takes it out, and what is empty without it."""
    name, *rest = path
    out = dict(body)
    if rest:
        inner = out.get(name)
        value = with_answer(inner if isinstance(inner, Mapping) else {}, tuple(rest), value)
        value = value or GONE
    if value is GONE:
        out.pop(name, None)
    else:
        out[name] = value
    return out


def sheet_from(template: Body, answers: Mapping[str, Any]) -> dict[str, Any]:
    """The template with what was answered. What another answer makes doubtful is open again,
    and what does not apply is left out."""
    body = dict(template)
    table = TABLE[body["kind"]]
    for ask in (*table, *_paths(answers, table)):
        if ask.key not in answers:
            continue
        value = answers[ask.key]
        if value != value_in(template, ask):
            for key in ask.unsettles:
                body.pop(key, None)
        body = with_answer(body, ask.path, value)
    for ask in table:
        if not ask.when(body):
            body = with_answer(body, ask.path, GONE)
    return body


def _paths(answers: Mapping[str, Any], table: tuple[Ask, ...]) -> tuple[Ask, ...]:
    """The questions that follow from other answers."""
    known = {ask.key for ask in table}
    return tuple(Ask(tuple(key.split("/"))) for key in answers if key not in known)
