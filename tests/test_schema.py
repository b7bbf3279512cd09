"""The published JSON Schema: it is one, it takes what the reader takes, it refuses what is broken."""

from __future__ import annotations

import copy
import json
import re
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator
from least_job import spots

import engine
from engine.entries import KINDS, READING_KINDS
from engine.format import METER_KINDS, SHEET_KEYS, schema
from engine.jobfile import BadFile, parse_json, read_job

SCHEMA = schema()
VALID = Draft202012Validator(SCHEMA)
SAMPLES = sorted((Path(__file__).parent.parent / "sample_jobs").glob("*.json"))
SHA = "9f" * 32


def example() -> dict:
    """Every construct that the job format's page shows, with numbers of our own."""
    return {
        "format": "farend-job/1",
        "id": "QUARRY-POND",
        "title": "Quarry pond: camera and radio",
        "site": {
            "name": "Old quarry",
            "ambient_c": {"low": -8, "expected": 11, "high": 33},
            "indoor_c": 19,
        },
        "stops": {
            "office": {"name": "Office cupboard", "at_m": 0, "building": "office", "indoor": True},
            "pond": {
                "name": "Pond mast",
                "at_m": 377,
                "building": "pump",
                "indoor": False,
                "needs": ["ladder"],
            },
        },
        "earths": {"B1": {"stop": "office", "target_ohms": 12}, "B2": {"stop": "pond"}},
        "meters": [{"id": "m7", "sheet": "my.meter", "name": "Jorun's"}],
        "budgets": {"office-switch": {"watts": 240, "other_watts": 65}},
        "walks": [["office", "pond", 410]],
        "sheets": {
            "my.source": {
                "kind": "source",
                "volts": {"low": 53.0, "expected": 54.2, "high": 55.1},
                "watts_max": 90,
                "grants": "by-class",
                "pairs": 4,
                "speeds_mbps": [100, 1000],
                "ohms": 0.1,
            },
            "my.injector": {"kind": "injector", "volts": 48, "watts_max": 30, "grants": "always"},
            "my.repeater": {
                "kind": "repeater",
                "power": "regenerating",
                "own_watts": 2,
                "out_volts": 54,
                "efficiency": 0.9,
                "out_watts_max": 51,
                "pairs_out": 2,
                "speeds_mbps": [100],
            },
            "my.splitter": {
                "kind": "splitter",
                "own_watts": 1,
                "ports": {"in": {"faces": "source"}, "out1": {}, "out2": {"faces": "any"}},
            },
            "my.longspan": {
                "kind": "long-span",
                "power": "pass-through",
                "own_watts": {"low": 1.8, "expected": 2.2, "high": 2.9},
                "class": 6,
                "ohms_per_conductor": 0.06,
                "cutoff_volts": 37,
                "on_volts": 41,
                "speeds_mbps": [1000],
                "ports": {
                    "in": {"faces": "long-span", "reach_m": {"1000": 420}},
                    "out": {"faces": "equipment", "reach_m": {"100": 100, "1000": 100}},
                },
            },
            "my.arrestor": {
                "kind": "arrestor",
                "ohms_per_conductor": 0.15,
                "speeds_mbps": [100, 1000],
                "outdoor": True,
                "joins_pairs": False,
                "ports": {"line": {"faces": "exposed"}, "kit": {"faces": "any"}},
            },
            "my.joint": {"kind": "joint"},
            "my.cable": {
                "kind": "cable",
                "category": "6A",
                "material": "copper",
                "awg": 22,
                "stranded": False,
                "ohms_per_km": 53.5,
                "alpha_per_k": 0.0039,
                "outdoor": True,
                "screened": True,
                "pairs": 4,
            },
            "my.clad": {"kind": "cable", "material": "clad", "copper_percent": 15, "awg": 24},
            "my.radio": {
                "kind": "endpoint",
                "watts": {"low": 5, "expected": 10, "high": 17},
                "watts_swing_percent": 12,
                "cutoff_volts": 36,
                "on_volts": 42,
                "class": 4,
                "speeds_mbps": [100, 1000],
            },
            "my.meter": {
                "kind": "meter",
                **{kind: {"percent": 1, "digits": 2, "resolution": 0.1} for kind in METER_KINDS},
            },
        },
        "boxes": [
            {
                "id": "S",
                "sheet": "my.source",
                "name": "Office switch, port 3",
                "stop": "office",
                "budget": "office-switch",
            },
            {
                "id": "U1",
                "sheet": "my.longspan",
                "name": "Near unit",
                "stop": "office",
                "bond": {"to": "B1", "lead_m": 0.3, "mm2": 6},
                "pairs": 4,
                "joins_pairs": True,
            },
            {"id": "E", "sheet": "my.radio", "stop": "hut", "at_m": 30, "indoor": True},
        ],
        "spans": [
            {
                "id": "C1",
                "from": "S.out",
                "to": "U1.out",
                "cable": "my.cable",
                "length_m": 3,
                "route": "indoor",
            },
            {
                "id": "C2",
                "from": "U1.in",
                "to": "E.in",
                "cable": "my.cable",
                "length_m": {"low": 28, "expected": 30, "high": 31},
                "route": "air",
                "sun": True,
                "indoor": False,
                "ambient_c": {"low": -8, "expected": 20, "high": 50},
                "bundle": 6,
                "end_ohms": 0.1,
                "pairs": 2,
            },
        ],
        "log": [],
    }


COMMON = {
    "id": "018f-entry",
    "t": "2031-05-04T08:12:00Z",
    "device": "b0b5",
    "n": 3,
    "seen": {"b0b5": 2, "c210": 17},
    "by": "Jorun",
}
ENTRIES: dict[str, list[dict]] = {
    "reading": [
        {"at": "E.in", "kind": "volts", "value": 48.2, "meter": "m7"},
        {"at": "E.in", "kind": "volts", "value": -48.2, "meter": "my.meter", "state": "loaded"},
        {"at": "E.in", "kind": "watts", "value": 12, "with": {}, "moment": "noon"},
        {"at": "S.out", "kind": "milliamps", "value": 250, "with": {"E": {"watts": 15}}},
        {"at": "S.out", "kind": "volts", "value": 54, "with": {"*": "off"}},
        {"at": "S.out", "kind": "volts", "value": 54, "state": "open", "unsteady": [53.1, 54.4]},
        {"at": "E.in", "kind": "mbps", "value": 0, "with": {"E": "off"}},
        {"at": "E.in", "kind": "error_count", "value": 3, "seconds": 60},
        {"at": "C2", "kind": "loop_ohms", "value": 3.2, "celsius": 12},
        {"at": "C2", "kind": "loop_ohms", "pairs": {"1": 3.1, "2": 3.2, "3": 3.3, "4": 3.1}},
        {"at": "C2", "kind": "unbalance_ohms", "value": 0.1},
        {"at": "C2", "kind": "metres", "value": 31},
        {"at": "B1", "kind": "earth_ohms", "value": 7.4},
        {"at": "pond", "kind": "celsius", "value": -3},
    ],
    "step": [
        {"step": "fit.U1", "state": "done"},
        {"step": "fit.U1", "state": "undone", "why": "wrong wall"},
        {"step": "earth.B2", "state": "not-here"},
    ],
    "change": [{"where": "C2", "did": "new plug"}],
    "found": [
        {"where": "C2", "cause": "joint.high", "sure": True, "text": "green"},
        {"where": "C2", "cause": "joint.high", "sure": 0.8},
    ],
    "void": [{"of": "018f-other", "why": "mistyped"}],
    "set": [
        {"path": ["spans", "C2", "length_m"], "value": 33, "was": 30, "as": "correction"},
        {"path": ["title"], "value": {"any": [None]}, "as": "change"},
    ],
    "add": [{"path": ["spans"], "value": {}, "as": "change"}],
    "remove": [{"path": ["boxes", "E"], "was": {}, "as": "change"}],
    "waive": [{"of": "finding.bond.A1", "reason": "client's electrician", "role": "electrician"}],
    "photo": [{"of": "U1", "sha256": SHA, "bytes": 90210, "width": 1200, "height": 900}],
    "resolve": [{"of": ["e1", "e2"], "keep": "e2"}],
    "visit": [{"people": 2}, {}],
    "leave": [{"open": ["step.cold.S"]}, {}],
    "sign": [{"role": "client", "sha256": SHA, "strokes": [[[0, 1], [2, 3]]]}],
    "export": [{"sha256": SHA, "to": "stick"}],
    "note": [{"at": "C2", "text": "wet"}, {"text": "dry"}],
    "forecast": [{"sky": "grey", "at": 3}],
}


def with_entry(entry: dict) -> dict:
    """The least plan there is, with one entry in its log."""
    head = {key: example()[key] for key in ("format", "id", "title", "site")}
    return {**head, "boxes": [], "spans": [], "log": [entry]}


def test_it_is_a_json_schema():
    Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$schema"].endswith("2020-12/schema")
    assert json.loads(json.dumps(SCHEMA)) == SCHEMA


def _patterns(node):
    if isinstance(node, dict):
        if isinstance(node.get("pattern"), str):
            yield node["pattern"]
        yield from node.get("patternProperties", {})
        for item in node.values():
            yield from _patterns(item)
    elif isinstance(node, list):
        for item in node:
            yield from _patterns(item)


def test_its_patterns_mean_the_same_to_every_reader():
    r"""JSON Schema takes ECMA 262 patterns: ``\Z`` means nothing there, ``^a|b$`` means 'a…' or '…b'."""
    for pattern in set(_patterns(SCHEMA)) - {"^x_"}:
        assert r"\Z" not in pattern, pattern
        assert pattern.startswith("^") and pattern.endswith("$"), pattern
        bare = re.sub(r"\([^()]*(\([^()]*\)[^()]*)*\)|\[[^]]*\]", "", pattern)
        assert "|" not in bare, pattern


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_it_accepts_the_samples(path):
    VALID.validate(parse_json(path.read_bytes()))


def test_it_accepts_the_example_and_so_does_the_reader():
    VALID.validate(example())
    job = read_job(example()).plan
    assert job.stops["hut"].at_m == 30
    assert job.spans["C2"].bundle == 6


def test_the_example_holds_every_kind_and_every_key_of_a_sheet():
    sheets = example()["sheets"].values()
    assert {sheet["kind"] for sheet in sheets} == set(SHEET_KEYS)


def test_there_is_an_entry_of_every_kind():
    assert set(KINDS) <= set(ENTRIES)
    assert {entry["kind"] for entry in ENTRIES["reading"]} == set(READING_KINDS)


@pytest.mark.parametrize(
    ("what", "body"), [(what, body) for what, bodies in ENTRIES.items() for body in bodies]
)
def test_it_accepts_entries_of_every_kind_and_so_does_the_reader(what, body):
    for head in (COMMON, {"id": "1"}, {**COMMON, "x_own": [1]}):
        doc = with_entry({**head, "what": what, **body})
        VALID.validate(doc)
        entry = read_job(doc).entries[0]
        assert entry.what == what


def test_own_keys_are_welcome_wherever_the_reader_takes_them():
    doc = example()
    for spot in (
        doc,
        doc["site"],
        doc["site"]["ambient_c"],
        doc["stops"]["pond"],
        doc["earths"]["B1"],
        doc["meters"][0],
        doc["budgets"]["office-switch"],
        doc["sheets"]["my.longspan"],
        doc["sheets"]["my.longspan"]["ports"]["in"],
        doc["sheets"]["my.meter"]["volts"],
        doc["boxes"][1],
        doc["boxes"][1]["bond"],
        doc["spans"][1],
        doc["spans"][1]["length_m"],
    ):
        spot["x_own"] = {"of": ["mine"]}
    read_job(doc)
    VALID.validate(doc)


REFUSED = [
    ("format", "farend-job/2"),
    ("format", None),
    ("id", "QUARRY POND"),
    ("title", 4),
    ("tittle", "x"),
    ("site", "Old quarry"),
    ("site/ambient_c", "cold"),
    ("site/ambient_c", {"low": 1, "high": 2}),
    ("site/ambient_c/middle", 3),
    ("stops/the pond", {"at_m": 3}),
    ("stops/pond/at_m", -1),
    ("stops/pond/indoor", "no"),
    ("stops/pond/needs", [1]),
    ("earths/B1/stop", None),
    ("meters/0/id", "m 7"),
    ("budgets/office-switch/watts", "240"),
    ("walks", [["office", "pond", 1, 2]]),
    ("walks", "far"),
    ("sheets/my.source/kind", "battery"),
    ("sheets/my.source/volts", 0),
    ("sheets/my.source/length_m", 3),
    ("sheets/my.radio/watts", True),
    ("sheets/my.radio/class", 4.5),
    ("sheets/my.longspan/ports/in/faces", "north"),
    ("sheets/my.longspan/ports/in/reach_m", {"150": 3}),
    ("sheets/my.longspan/speeds_mbps", [1]),
    ("sheets/my.cable/category", "9"),
    ("sheets/my.cable/awg", 40),
    ("sheets/my.meter/volts", {"percent": 1}),
    ("boxes/0/stop", None),
    ("boxes/0/pairs", 3),
    ("boxes/1/bond", "B1"),
    ("boxes", {}),
    ("spans/0/from", "S"),
    ("spans/0/length_m", [1]),
    ("spans/0/route", "sea"),
    ("spans/0/bundle", 0),
    ("log", {}),
    ("log", [1]),
    ("log", [{"id": "1"}]),
    ("log", [{"id": "1", "what": "note"}]),
    ("log", [{"id": "1", "what": "note", "text": "dry", "tone": "high"}]),
    ("log", [{"id": "1", "what": "note", "text": "dry", "t": "noon"}]),
    ("log", [{"id": "1", "what": "note", "text": "dry", "n": 1.5}]),
    ("log", [{"id": "1", "what": "reading", "at": "E.in", "kind": "volt", "value": 1}]),
    ("log", [{"id": "1", "what": "step", "step": "fit.E", "state": "perhaps"}]),
    ("log", [{"id": "1", "what": "photo", "of": "E", "sha256": "nine"}]),
    ("log", [{"id": "1", "what": "set", "path": ["title"]}]),
    (
        "log",
        [
            {
                "id": "1",
                "what": "reading",
                "at": "E.in",
                "kind": "volts",
                "value": 1,
                "with": {"!box": "off"},
            }
        ],
    ),
]


@pytest.mark.parametrize(("path", "value"), REFUSED)
def test_it_refuses_what_is_broken_and_so_does_the_reader(path, value):
    doc = example()
    *way, last = path.split("/")
    spot = doc
    for name in way:
        spot = spot[int(name)] if isinstance(spot, list) else spot[name]
    spot[int(last) if isinstance(spot, list) else last] = value
    with pytest.raises(BadFile):
        read_job(doc)
    assert not VALID.is_valid(doc)


@pytest.mark.parametrize("key", ["format", "id", "title", "site", "boxes", "spans"])
def test_it_refuses_a_job_without(key):
    doc = example()
    del doc[key]
    assert not VALID.is_valid(doc)


def _full() -> dict:
    doc = example()
    for what, bodies in ENTRIES.items():
        for count, body in enumerate(bodies):
            doc["log"].append({**COMMON, "id": f"{what}-{count}", "what": what, **body})
    return doc


FULL = _full()


SPOTS = list(spots(FULL))
_VALUE = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-10, 2000),
    st.floats(-10, 2000),
    st.sampled_from(["S.out", "my.cable", "done", "volts", "off", "copper", [], {}, [1], {"a": 1}]),
    st.sampled_from(["x y", "", "E\n", "a.b.c", "é", 10**400, 1e7, -1e7]),
)


@settings(
    max_examples=120, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
@given(st.sampled_from(SPOTS), _VALUE, st.sampled_from(["put", "drop", "new"]))
def test_what_the_schema_refuses_the_reader_refuses_too(way, value, act):
    """The other way round does not hold: a schema cannot follow a name to its box."""
    doc = copy.deepcopy(FULL)
    if way[0] == "log" and len(way) > 1:
        doc["log"], way = [doc["log"][way[1]]], ("log", 0, *way[2:])
    elif way[0] != "log":
        del doc["log"]  # validating all of it takes most of the time
    *before, last = way
    spot = doc
    for key in before:
        spot = spot[key]
    if act == "put":
        spot[last] = value
    elif act == "drop":
        del spot[last]
    elif isinstance(spot, dict):
        spot[f"{last}s"] = value
    refused = not VALID.is_valid(doc)
    try:
        read_job(doc)
    except BadFile:
        return
    assert not refused, [error.message[:120] for error in VALID.iter_errors(doc)]


def test_the_shipped_file_is_the_schema_that_is_printed():
    """Editors are pointed at ``engine/job.schema.json``; it must not lag behind the tables."""
    shipped = Path(engine.__file__).with_name("job.schema.json").read_text(encoding="utf-8")

    assert json.loads(shipped) == schema()
