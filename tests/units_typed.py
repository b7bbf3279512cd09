"""A job that types every physical number a file can hold, and what is wrong with it once one is off."""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping
from typing import Any

from engine.fields import Key, Kind, ListOf, MapOf, Number, Problem, Quantity, Reader, Record
from engine.format import PLAN_KEYS, SHEET_KEYS
from engine.jobfile import BadFile, read_job

BASE = {
    "format": "farend-job/1",
    "id": "WEIR",
    "title": "Weir",
    "site": {"name": "Mill stream", "ambient_c": 15, "indoor_c": 20},
    "stops": {"hut": {"at_m": 0, "indoor": True}, "weir": {"at_m": 465}},
    "earths": {"EB": {"stop": "hut", "target_ohms": 10}},
    "budgets": {"shelf": {"watts": 370, "other_watts": 120}},
    "sheets": {
        "my.source": {"kind": "source", "volts": 53.5, "ohms": 0.2, "watts_max": 90},
        "my.injector": {
            "kind": "injector",
            "volts": 53.5,
            "ohms": 0.2,
            "watts_max": 60,
            "ohms_per_conductor": 0.1,
        },
        **{
            f"my.{kind}": {
                "kind": kind,
                "power": "regenerating",
                "own_watts": 2.5,
                "out_volts": 54,
                "efficiency": 0.885,
                "out_watts_max": 60,
                "ohms_per_conductor": 0.1,
                "cutoff_volts": 36,
                "on_volts": 42,
            }
            for kind in ("repeater", "long-span", "splitter")
        },
        "my.arrestor": {
            "kind": "arrestor",
            "ohms_per_conductor": 0.2,
            "ports": {"line": {"faces": "exposed", "reach_m": {"1000": 500}}},
        },
        "my.joint": {"kind": "joint", "ohms_per_conductor": 0.02},
        "my.camera": {
            "kind": "endpoint",
            "watts": 12,
            "watts_swing_percent": 10,
            "cutoff_volts": 36,
            "on_volts": 42,
            "class": 3,
        },
        "my.cable": {
            "kind": "cable",
            "ohms_per_km": 66.8,
            "alpha_per_k": 0.00393,
            "copper_percent": 15,
        },
        "my.meter": {
            "kind": "meter",
            "volts": {"percent": 0.5, "digits": 5, "resolution": 0.01},
        },
    },
    "boxes": [
        {"id": "S", "sheet": "my.source", "stop": "hut", "at_m": 0},
        {
            "id": "R",
            "sheet": "my.repeater",
            "stop": "hut",
            "bond": {"to": "EB", "lead_m": 0.4, "mm2": 6},
        },
        {"id": "E", "sheet": "my.camera", "stop": "weir"},
    ],
    "spans": [
        {"id": "C1", "from": "S.out", "to": "R.in", "cable": "my.cable", "length_m": 2},
        {
            "id": "C2",
            "from": "R.out",
            "to": "E.in",
            "cable": "my.cable",
            "length_m": 463,
            "ambient_c": 25,
            "end_ohms": 0.1,
        },
    ],
}
"""a job that types every physical number a file can hold, each a good one"""

MUST_CATCH = {
    ("volts", 1000),
    ("volts", 0.001),
    ("out_volts", 1000),
    ("out_volts", 0.001),
    ("ohms_per_km", 1000),
    ("ohms_per_km", 0.001),
    ("own_watts", 1000),
    ("watts", 1000),
    ("watts_max", 1000),
    ("out_watts_max", 1000),
    ("cutoff_volts", 1000),
    ("on_volts", 1000),
    ("efficiency", 1000),
    ("efficiency", 0.001),
    ("length_m", 1000),
    ("alpha_per_k", 1000),
    ("ambient_c", 1000),
    ("lead_m", 1000),
    ("mm2", 1000),
}
"""key and factor that no job file may let through with the good numbers above"""


def fields_of(kind: Kind, value: Any, way: tuple = ()) -> Iterator[tuple[tuple, Kind]]:
    """The way to every physical number of a document, and the kind that reads it."""
    if isinstance(kind, Quantity) or (isinstance(kind, Number) and not kind.whole):
        yield way, kind
    elif isinstance(kind, ListOf):
        for index, item in enumerate(value):
            yield from fields_of(kind.item, item, (*way, index))
    elif isinstance(kind, MapOf):
        for name, item in value.items():
            yield from fields_of(sheet_or(kind.item, item), item, (*way, name))
    elif isinstance(kind, Record):
        yield from fields_below(kind.keys, value, way)


def fields_below(keys: Mapping[str, Key], value: Mapping, way: tuple) -> Iterator:
    """The same for the keys of an object that are there."""
    for name, key in keys.items():
        if name in value:
            yield from fields_of(key.kind, value[name], (*way, name))


def sheet_or(kind: Kind, item: Any) -> Kind:
    """The table of keys of a sheet's own kind; any other kind as it is."""
    is_sheet = isinstance(item, Mapping) and item.get("kind") in SHEET_KEYS
    return Record(SHEET_KEYS[item["kind"]]) if is_sheet else kind


FIELDS = list(fields_below(PLAN_KEYS, BASE, ()))
PLACES = {".".join(map(str, way)): (way, kind) for way, kind in FIELDS}


def get(doc: Any, way: tuple) -> Any:
    """The value at the end of a way."""
    for step in way:
        doc = doc[step]
    return doc


def put(way: tuple, value: Any) -> dict:
    """The base document with one value replaced."""
    doc = copy.deepcopy(BASE)
    get(doc, way[:-1])[way[-1]] = value
    return doc


def base(**changes: Any) -> dict:
    """The base document with whole keys replaced."""
    return {**copy.deepcopy(BASE), **changes}


def problems(doc: dict) -> tuple[Problem, ...]:
    """What is wrong with a document; nothing if it can be read."""
    try:
        read_job(doc)
    except BadFile as bad:
        return bad.problems
    return ()


def only(doc: dict) -> Problem:
    """The one thing wrong with a document."""
    (problem,) = problems(doc)
    return problem


def place_of(way: tuple) -> str:
    """A way as problems write it: ``boxes[1].bond.mm2``, ``sheets["my.cable"].ohms_per_km``."""
    text = ""
    for step in way:
        if isinstance(step, int):
            text += f"[{step}]"
        elif "." in step:
            text += f'["{step}"]'
        else:
            text += f".{step}" if text else step
    return text


def read_alone(kind: Kind, value: Any) -> tuple[Any, list[Problem]]:
    """One value read by one kind."""
    reader = Reader()
    return kind.read(reader, value, "here"), reader.problems


def every_number_key() -> set[str]:
    """The physical keys of the format's tables, found without looking at any document."""
    found: set[str] = set()

    def walk(name: str, kind: Kind) -> None:
        if isinstance(kind, Quantity) or (isinstance(kind, Number) and not kind.whole):
            found.add(name)
        elif isinstance(kind, Record):
            for inner, key in kind.keys.items():
                walk(inner, key.kind)
        elif isinstance(kind, ListOf | MapOf):
            walk(name, kind.item)

    for table in (*SHEET_KEYS.values(), {k: v for k, v in PLAN_KEYS.items() if k != "log"}):
        for name, key in table.items():
            walk(name, key.kind)
    return found
