"""Log entries: the table of their kinds, and the value that travels once one is read."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from attrs import evolve, field, frozen

from engine.fields import (
    BAD,
    Anything,
    Choice,
    Flag,
    Key,
    Kind,
    ListOf,
    MapOf,
    Number,
    OneOf,
    PointIdent,
    Problem,
    Reader,
    Record,
    Schema,
    SheetIdent,
    Text,
    Word,
    optional,
    required,
)
from engine.strokes import StrokesKind
from engine.whereabouts import MISSING, At, join

READING_KINDS = (
    "volts",
    "watts",
    "milliamps",
    "mbps",
    "error_count",
    "loop_ohms",
    "unbalance_ohms",
    "metres",
    "earth_ohms",
    "celsius",
)
UNITS = {
    "volts": "V",
    "milliamps": "mA",
    "watts": "W",
    "mbps": "Mb/s",
    "earth_ohms": "ohm",
    "loop_ohms": "ohm",
    "unbalance_ohms": "ohm",
    "metres": "m",
    "celsius": "°C",
    "error_count": "damaged frames",
}
"""of each kind of reading, in the engine's English and in tables"""
POINT_KINDS = frozenset({"volts", "watts", "milliamps", "mbps", "error_count"})
"""kinds that are taken at a point; the others belong to a span, an earth or a stop"""

COUNTED = frozenset({"mbps", "error_count"})
"""kinds that are counted, not measured: no meter's limits, no deviations"""

BY_METHOD = frozenset({"earth_ohms"})
"""kinds of which a record says by which method they were taken (IEC 62305-3 E.7, quoted)"""

VISIT_REASONS = ("storm", "yearly", "fault", "other")
"""why somebody comes back to a site"""

ENTRY_ID = Word(re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]*"), "an id: letters, digits and -")
_TIME = Word(
    re.compile(
        r"[0-9]{4}-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9](:[0-9][0-9](\.[0-9]+)?)?(Z|[+-][0-9][0-9]:[0-9][0-9])"
    ),
    "a time such as 2031-05-04T09:30:00Z",
)
_DEVICE = Word(re.compile(r"[A-Za-z0-9-]+"), "letters and digits")
_COUNT = Number(0, 10**9, whole=True)
_STAND_IN = OneOf(
    (
        (lambda value: isinstance(value, str), Choice(("off", "on"))),
        (lambda value: isinstance(value, dict), Record({"watts": required(Number(0, 200))})),
    ),
    '"off", or {"watts": …}',
)
_PLACE = Word(re.compile(r"\*|[A-Za-z0-9][A-Za-z0-9-]*"), "a box, or *")
_PAIRS = MapOf(SheetIdent, Number(0, 1e6), least=1)
_WORDS = Text(2000, lines=True)
EDITS = frozenset({"set", "add", "remove"})
"""kinds that edit the plan"""
OF_THE_PLAN = EDITS | {"resolve"}
"""the same, and the word on which of two edits stands"""
OWN_KEYS = EDITS | {"note"}
"""kinds that keep keys of somebody's own: what a remark is about, which edits were one press"""
TWINS = "x_twins"
"""the key under which an entry keeps what else was written under its id"""

COMMON: dict[str, Key] = {
    "id": required(ENTRY_ID),
    "t": optional(_TIME),
    "device": optional(_DEVICE),
    "n": optional(_COUNT),
    "seen": optional(MapOf(SheetIdent, _COUNT)),
    "by": optional(Text(80)),
    "what": required(Text(40)),
}

KINDS: dict[str, dict[str, Key]] = {
    "reading": {
        "at": required(Text(80)),
        "kind": required(Choice(READING_KINDS)),
        "value": optional(Number(-1e6, 1e9)),
        "pairs": optional(_PAIRS),
        "meter": optional(SheetIdent),
        "with": optional(MapOf(_PLACE, _STAND_IN)),
        "state": optional(Choice(("loaded", "open"))),
        "moment": optional(Text(80)),
        "unsteady": optional(ListOf(Number(-1e6, 1e6), most=2)),
        "seconds": optional(Number(0, 1e6)),
        "celsius": optional(Number(-60, 100)),
        "method": optional(Text(80)),
    },
    "step": {
        "step": required(Text(120)),
        "state": required(Choice(("done", "undone", "not-here"))),
        "why": optional(_WORDS),
    },
    "change": {"where": required(Text(80)), "did": required(_WORDS)},
    "found": {
        "where": required(Text(80)),
        "cause": required(Text(80)),
        "sure": optional(
            OneOf(
                (
                    (lambda value: isinstance(value, bool), Flag()),
                    (lambda value: isinstance(value, int | float), Number(0, 1)),
                ),
                "true, false or a share",
            )
        ),
        "text": optional(_WORDS),
    },
    "void": {"of": required(ENTRY_ID), "why": optional(_WORDS)},
    "set": {
        "path": required(ListOf(Text(80), most=8)),
        "value": required(Anything()),
        "was": optional(Anything()),
        "as": optional(Choice(("correction", "change"))),
    },
    "add": {
        "path": required(ListOf(Text(80), most=8)),
        "value": required(Anything()),
        "as": optional(Choice(("correction", "change"))),
    },
    "remove": {
        "path": required(ListOf(Text(80), most=8)),
        "was": optional(Anything()),
        "as": optional(Choice(("correction", "change"))),
    },
    "waive": {"of": required(Text(120)), "reason": required(_WORDS), "role": optional(Text(80))},
    "photo": {
        "of": required(Text(80)),
        "sha256": required(Word(re.compile(r"[0-9a-f]{64}"), "64 hexadecimal digits")),
        "bytes": optional(_COUNT),
        "width": optional(_COUNT),
        "height": optional(_COUNT),
    },
    "resolve": {"of": required(ListOf(ENTRY_ID, most=2)), "keep": required(ENTRY_ID)},
    "visit": {
        "people": optional(Number(1, 20, whole=True)),
        "reason": optional(Choice(VISIT_REASONS)),
    },
    "leave": {"open": optional(ListOf(Text(120)))},
    "sign": {
        "role": optional(Text(80)),
        "sha256": optional(Text(64)),
        "strokes": optional(StrokesKind()),
    },
    "export": {"sha256": optional(Text(64)), "to": optional(Text(200))},
    "note": {"at": optional(Text(80)), "text": required(_WORDS)},
}


@frozen
class Entry:
    """One entry of the log. ``body`` holds the keys of its kind, as read.

    ``device``, ``n`` and ``seen`` place it in the order; clocks never do.
    """

    id: str
    what: str
    t: str | None = None
    device: str = ""
    n: int = 0
    seen: Mapping[str, int] = field(factory=dict)
    by: str = ""
    body: Mapping[str, Any] = field(factory=dict)

    @property
    def known(self) -> bool:
        """Whether this version judges entries of this kind; others are kept and passed on."""
        return self.what in KINDS


class EntryKind(Kind):
    """Reads one entry: the common keys, and those of its kind."""

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, dict):
            return reader.bad(at, value, "an entry, an object")
        what = value.get("what")
        record = RECORDS.get(what) if isinstance(what, str) else None
        if record is None:
            known = {name: value[name] for name in value if name in COMMON}
            rest = {name: item for name, item in value.items() if name not in COMMON}
            head = Record(COMMON).read(reader, known, at)
            return BAD if head is BAD else Entry(body=rest, **head)
        keys = record.read(reader, value, at)
        if what == "reading":
            keys = self._whole_reading(reader, at, value, keys)
        if keys is BAD:
            return BAD
        head = {name: keys.pop(name) for name in COMMON if name in keys}
        body = keys
        if what in OWN_KEYS:
            body |= {name: value[name] for name in value if name.startswith("x_") and name != TWINS}
        return Entry(body=body, **head)

    def _whole_reading(self, reader: Reader, at: At, raw: dict[str, Any], keys: Any) -> Any:
        """A reading has one value, or those of the pairs; a point kind stands at a point."""
        if "value" in raw and "pairs" in raw:
            return reader.note(
                Problem(join(at, "value"), "a value and pairs", "one value, or pairs")
            )
        if "value" not in raw and "pairs" not in raw:
            return reader.bad(join(at, "value"), MISSING, "one value, or pairs")
        if keys is not BAD and keys["kind"] in POINT_KINDS:
            place = PointIdent.read(reader, keys["at"], (at, "at"))
            return BAD if place is BAD else keys
        return keys

    def schema(self) -> Schema:
        cases = [
            {
                "if": {"properties": {"what": {"const": what}}, "required": ["what"]},
                "then": record.schema(),
            }
            for what, record in RECORDS.items()
        ]
        common = Record(COMMON).schema()
        return {
            "type": "object",
            "required": common["required"],
            "properties": common["properties"],
            "allOf": cases,
        }


RECORDS = {what: Record({**COMMON, **keys}) for what, keys in KINDS.items()}
ENTRY = EntryKind()


def read_entry(value: Mapping[str, Any]) -> Entry:
    """One entry as a value.

    Raises
    ------
    ValueError : with the first problem as its text.
    """
    reader = Reader()
    entry: Entry = ENTRY.read(reader, value, "entry")
    if entry is BAD:
        raise ValueError(reader.problems[0].line())
    return entry


def numbered(entries: tuple[Entry, ...], before: int = 0) -> tuple[Entry, ...]:
    """Hand-written entries without a count take their place in the file as one.

    ``before`` is how many stand in front of these.
    """
    return tuple(
        entry if entry.n else evolve(entry, n=place)
        for place, entry in enumerate(entries, start=before + 1)
    )
