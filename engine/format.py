"""The job format ``farend-job/1`` as tables: what a key is called and what it may hold.

The reader in ``fields`` interprets them and the JSON Schema is derived from them, so
the two cannot drift apart.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from attrs import frozen

from engine import job as nouns
from engine.entries import ENTRY
from engine.fields import (
    BAD,
    Anything,
    Choice,
    Flag,
    Ident,
    Key,
    Kind,
    ListOf,
    MapOf,
    Number,
    OneOf,
    PointIdent,
    Quantity,
    Reader,
    Record,
    Schema,
    SheetIdent,
    Text,
    Word,
    optional,
    required,
)
from engine.whereabouts import MISSING, At

FORMAT = "farend-job/1"

_SPEEDS = ListOf(Choice((10, 100, 1000, 2500, 5000, 10000)), most=6)
_FACES = Choice(("any", "source", "endpoint", "equipment", "long-span", "exposed"))


def _port(faces: str = "any", reach_m: Mapping[str, float] | None = None) -> nouns.PortSheet:
    table = {int(speed): metres for speed, metres in reach_m.items()} if reach_m else None
    return nouns.PortSheet(faces, table)


@frozen
class _Reach(MapOf):
    """Speed in Mb/s, as the text of a JSON key, to metres."""

    key: Word = Word(re.compile(r"10|100|1000|2500|5000|10000"), "a speed in Mb/s such as 1000")
    item: Kind = Number(0, 100_000)


_PORT = Record({"faces": optional(_FACES), "reach_m": optional(_Reach())}, _port)
_PORTS = MapOf(SheetIdent, _PORT)
_CLASS = Number(0, 8, whole=True)
_PAIRS = Choice((2, 4))
_VOLTS = Quantity("source-volts", 1, 75)
_BOX_OHMS = Quantity("box-ohms", 0, 1000)
_OWN = Quantity("own-watts", 0, 200)
_LIMIT_VOLTS = Number(0, 75)

_ABOUT = {"title": optional(Text()), "note": optional(Text(500, lines=True))}
_BOX = {
    **_ABOUT,
    "ports": optional(_PORTS),
    "speeds_mbps": optional(_SPEEDS),
    "pairs": optional(_PAIRS),
    "outdoor": optional(Flag()),
}
_SERIES = {"ohms_per_conductor": optional(_BOX_OHMS), "joins_pairs": optional(Flag())}
_FEED = {
    "volts": required(_VOLTS),
    "ohms": optional(_BOX_OHMS),
    "watts_max": optional(Number(0, 200)),
    "grants": optional(Choice(("always", "by-class"))),
    "class": optional(_CLASS),
}
_TAKES = {
    "class": optional(_CLASS),
    "cutoff_volts": optional(_LIMIT_VOLTS),
    "on_volts": optional(_LIMIT_VOLTS),
}
_ACTIVE = {
    **_BOX,
    **_SERIES,
    **_TAKES,
    "power": optional(Choice(("pass-through", "regenerating"))),
    "own_watts": required(_OWN),
    "out_volts": optional(_VOLTS),
    "efficiency": optional(Quantity("exact", 0.05, 1)),
    "out_watts_max": optional(Number(0, 200)),
    "pairs_out": optional(_PAIRS),
    "grants": optional(Choice(("always", "by-class"))),
}
_ACCURACY = Record(
    {
        "percent": required(Number(0, 100)),
        "digits": required(Number(0, 1000)),
        "resolution": required(Number(0, 1000)),
    },
    nouns.Accuracy,
)
METER_KINDS = (
    "volts",
    "watts",
    "milliamps",
    "loop_ohms",
    "unbalance_ohms",
    "metres",
    "earth_ohms",
    "celsius",
)

SHEET_KEYS: dict[str, dict[str, Key]] = {
    "source": {**_BOX, **_FEED},
    "injector": {**_BOX, **_SERIES, **_FEED},
    "repeater": _ACTIVE,
    "long-span": _ACTIVE,
    "splitter": _ACTIVE,
    "arrestor": {**_BOX, **_SERIES},
    "joint": {**_BOX, **_SERIES},
    "endpoint": {
        **_BOX,
        **_TAKES,
        "watts": required(Quantity("endpoint-watts", 0, 200)),
        "watts_swing_percent": optional(Number(0, 100)),
    },
    "cable": {
        **_ABOUT,
        "category": optional(Choice(("5", "5e", "6", "6A", "7", "7A", "8"))),
        "material": optional(Choice(("copper", "aluminium", "clad"))),
        "copper_percent": optional(Number(1, 100)),
        "awg": optional(Number(18, 28, whole=True)),
        "stranded": optional(Flag()),
        "ohms_per_km": optional(Quantity("cable-ohms", 1, 2000)),
        "alpha_per_k": optional(Number(0, 0.01)),
        "outdoor": optional(Flag()),
        "screened": optional(Flag()),
        "pairs": optional(_PAIRS),
    },
    "meter": {**_ABOUT, **{kind: optional(_ACCURACY) for kind in METER_KINDS}},
}
_KIND = Choice(tuple(SHEET_KEYS))


@frozen
class _Sheet(Record):
    """A sheet: its ``kind`` decides which table of keys holds."""

    keys: Mapping[str, Key] = {}

    def read(self, reader: Reader, value: Any, at: At) -> Any:
        if not isinstance(value, dict):
            return reader.bad(at, value, "a sheet, an object with a kind")
        kind = _KIND.read(reader, value.get("kind", MISSING), (at, "kind"))
        if kind is BAD:
            return BAD
        before = len(reader.problems)
        read = self._record(kind).read(reader, value, at)
        return BAD if len(reader.problems) > before else read

    def _record(self, kind: str) -> Record:
        return Record({"kind": required(Choice((kind,))), **SHEET_KEYS[kind]})

    def schema(self) -> Schema:
        return {"anyOf": [self._record(kind).schema() for kind in SHEET_KEYS]}


SHEETS = MapOf(SheetIdent, _Sheet())
_NEEDS = Text(60)
_DAY = Word(
    re.compile(r"[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])"), "a day such as 2031-05-04"
)
_QUANTITY_C = Quantity("exact", -60, 100)

LOG = ListOf(ENTRY, most=100_000)

PLAN_KEYS: dict[str, Key] = {
    "format": required(Choice((FORMAT,))),
    "id": required(Ident),
    "title": required(Text()),
    "site": required(
        Record(
            {
                "name": required(Text()),
                "ambient_c": required(_QUANTITY_C),
                "indoor_c": optional(_QUANTITY_C),
            },
            nouns.Site,
        )
    ),
    "stops": optional(
        MapOf(
            Ident,
            Record(
                {
                    "name": optional(Text()),
                    "at_m": required(Number(0, 100_000)),
                    "indoor": optional(Flag()),
                    "building": optional(Text(80)),
                    "needs": optional(ListOf(_NEEDS)),
                }
            ),
        )
    ),
    "earths": optional(
        MapOf(
            Ident,
            Record(
                {
                    "stop": required(Ident),
                    "target_ohms": optional(Number(0, 10_000)),
                    "name": optional(Text()),
                }
            ),
        )
    ),
    "meters": optional(
        ListOf(
            Record(
                {
                    "id": required(Ident),
                    "sheet": required(SheetIdent),
                    "name": optional(Text()),
                    "serial": optional(Text(60)),
                    "calibrated": optional(_DAY),
                }
            )
        )
    ),
    "budgets": optional(
        MapOf(
            Ident,
            Record(
                {
                    "watts": required(Number(0, 10_000)),
                    "other_watts": optional(Number(0, 10_000)),
                }
            ),
        )
    ),
    "sheets": optional(SHEETS),
    "boxes": required(
        ListOf(
            Record(
                {
                    "id": required(Ident),
                    "sheet": required(SheetIdent),
                    "name": optional(Text()),
                    "stop": required(Ident),
                    "at_m": optional(Number(0, 100_000)),
                    "indoor": optional(Flag()),
                    "budget": optional(Ident),
                    "bond": optional(
                        Record(
                            {
                                "to": required(Ident),
                                "lead_m": optional(Number(0, 100)),
                                "mm2": optional(Number(0, 500)),
                            },
                            nouns.Bond,
                        )
                    ),
                    "pairs": optional(_PAIRS),
                    "joins_pairs": optional(Flag()),
                }
            )
        )
    ),
    "spans": required(
        ListOf(
            Record(
                {
                    "id": required(Ident),
                    "from": required(PointIdent),
                    "to": required(PointIdent),
                    "cable": required(SheetIdent),
                    "length_m": required(Quantity("length", 0, 100_000)),
                    "route": optional(Choice(("indoor", "duct", "wall", "air", "buried"))),
                    "sun": optional(Flag()),
                    "indoor": optional(Flag()),
                    "ambient_c": optional(_QUANTITY_C),
                    "bundle": optional(Number(1, 1000, whole=True)),
                    "end_ohms": optional(Quantity("exact", 0, 1000)),
                    "pairs": optional(_PAIRS),
                }
            )
        )
    ),
    "walks": optional(
        ListOf(
            OneOf(
                ((lambda v: isinstance(v, list) and len(v) == 3, ListOf(Anything(), most=3)),),
                "two stops and the metres between them",
            )
        )
    ),
    "log": optional(LOG),
}
PLAN = Record(PLAN_KEYS)


def build_sheet(name: str, keys: dict[str, Any]) -> Any:
    """A sheet from its read keys."""
    kind = keys["kind"]
    if kind == "meter":
        about = {key: keys[key] for key in ("title",) if key in keys}
        accuracy = {key: keys[key] for key in METER_KINDS if key in keys}
        return nouns.MeterSheet(name, accuracy, **about)
    if kind == "cable":
        return nouns.CableSheet(name, **{k: v for k, v in keys.items() if k != "kind"})
    return nouns.BoxSheet(name, **keys)


def schema() -> Schema:
    """The JSON Schema (draft 2020-12) of a job file, derived from the tables."""
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A Farend job file",
        **PLAN.schema(),
    }
