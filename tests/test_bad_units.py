"""Numbers typed in the wrong unit, and plans that do not hold together: each told at its place."""

from __future__ import annotations

import copy
import io
import json
import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

import pytest

from engine.__main__ import main
from engine.fields import BAD, Key, Kind, ListOf, MapOf, Number, Problem, Quantity, Reader, Record
from engine.format import PLAN_KEYS, SHEET_KEYS
from engine.jobfile import BadFile, read_job
from engine.predict import predict

ROOT = Path(__file__).parent.parent
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


# ---------------------------------------------------------------- a factor of a thousand


def test_every_physical_key_of_the_format_is_tried():
    """A key added to the tables must be added to the base job, or this fails."""
    tried = {next(s for s in reversed(way) if str(s) != "1000") for way, _ in FIELDS}

    assert tried == every_number_key()
    assert set(SHEET_KEYS) == {sheet["kind"] for sheet in BASE["sheets"].values()}
    assert {key for key, _ in MUST_CATCH} <= tried


def test_good_values_pass():
    """The base job is read without a word."""
    assert problems(BASE) == ()


@pytest.mark.parametrize("factor", [1000, 0.001], ids=["thousandfold", "thousandth"])
@pytest.mark.parametrize("place", PLACES)
def test_a_number_in_the_wrong_unit_is_told_with_the_one_that_fits(place, factor):
    """Out of range by a slip of a thousand: one line, with place, range and the right number."""
    way, kind = PLACES[place]
    good = get(BASE, way)
    slipped = good * factor
    found = problems(put(way, slipped))

    if kind.least <= slipped <= kind.most:
        assert found == ()
        return
    (problem,) = found
    assert problem.at == place_of(way)
    assert problem.expected == f"a number {kind.least:g} to {kind.most:g}"
    assert float(problem.near) == pytest.approx(good)
    assert problem.line().endswith(f". Did you mean {problem.near}?")
    assert len(problem.line().splitlines()) == 1


@pytest.mark.parametrize(("key", "factor"), sorted(MUST_CATCH))
def test_ranges_are_narrow_enough_where_a_slip_is_likely(key, factor):
    """At least one good number of each of these keys cannot be typed in the wrong unit unseen."""
    ways = [(way, get(BASE, way)) for way, _ in FIELDS if way[-1] == key]

    assert any(problems(put(way, good * factor)) for way, good in ways)


def test_a_slip_inside_a_band_is_told_at_its_corner():
    """Low, expected and high are read one by one."""
    band = {"low": 52.5, "expected": 53.5, "high": 54500}
    problem = only(put(("sheets", "my.source", "volts"), band))

    assert problem.at == 'sheets["my.source"].volts.high'
    assert problem.line().endswith("found 54500, expected a number 1 to 75. Did you mean 54.5?")


def test_a_band_all_in_the_wrong_unit_is_told_thrice():
    """Every corner has its line, none hides the others."""
    band = {"low": 0.0635, "expected": 0.0668, "high": 0.0702}
    found = problems(put(("sheets", "my.cable", "ohms_per_km"), band))

    assert [problem.at.rpartition(".")[2] for problem in found] == ["low", "expected", "high"]
    assert [problem.near for problem in found] == ["63.5", "66.8", "70.2"]


def test_efficiency_in_percent_is_told_as_a_share():
    """A share typed in percent is a slip of a hundred, not of a thousand."""
    assert only(put(("sheets", "my.repeater", "efficiency"), 88.5)).near == "0.885"


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (Quantity("source-volts", 1, 75), 80),  # a little high: no unit explains it
        (Quantity("source-volts", 1, 75), 0.5),
        (Quantity("exact", -60, 100), 120),
        (Quantity("source-volts", 1, 75), -53500),
        (Quantity("source-volts", 1, 75), 10**400),
        (Quantity("source-volts", 1, 75), 0),
        (Number(0, 8, whole=True), 6000),  # a count has no unit
        (Number(0, 200), "90"),
        (Number(0, 200), True),
    ],
    ids=lambda x: "" if isinstance(x, Kind) else str(x)[:8],
)
def test_no_number_is_offered_that_nobody_meant(kind, value):
    """A hint is given only where another unit explains the number."""
    read, found = read_alone(kind, value)

    assert read is BAD
    assert [problem.near for problem in found] == [None]


def test_the_offered_number_is_read():
    """Typing what the hint says mends the file."""
    way = ("sheets", "my.cable", "ohms_per_km")
    near = only(put(way, 0.0668)).near

    assert near == "66.8"
    assert problems(put(way, float(near))) == ()


# ---------------------------------------------------------------- the command


def called(path: Path, *more: str) -> tuple[int, str, str]:
    """``check`` inside this process: status, output, errors."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        status = main(["check", str(path), *more])
    return status, out.getvalue(), err.getvalue()


@pytest.mark.parametrize("place", PLACES)
def test_check_prints_one_line_and_no_traceback(place, tmp_path):
    """A slip far beyond every range ends in one line on standard error and status 2."""
    way, kind = PLACES[place]
    path = tmp_path / "slip.json"
    path.write_text(json.dumps(put(way, kind.most * 10 + 1)), encoding="utf-8")
    status, out, err = called(path)

    assert status == 2
    assert out == ""
    assert len(err.splitlines()) == 1
    assert err.startswith(f"{place_of(way)}: found ")
    assert f"{kind.least:g} to {kind.most:g}" in err


def test_check_as_a_process_of_its_own(tmp_path):
    """The whole command, as typed in a shell."""
    path = tmp_path / "slip.json"
    path.write_text(json.dumps(put(("sheets", "my.source", "volts"), 53500)), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "engine", "check", str(path)],
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        text=True,
        encoding="utf-8",
        env={**os.environ, "PYTHONIOENCODING": "utf-8"},
    )

    assert done.returncode == 2
    assert done.stdout == ""
    assert done.stderr == (
        'sheets["my.source"].volts: found 53500, expected a number 1 to 75. Did you mean 53.5?\n'
    )


def test_check_for_programs_carries_the_number(tmp_path):
    """``--json`` has the fitting number under ``near``."""
    path = tmp_path / "slip.json"
    path.write_text(json.dumps(put(("spans", 1, "length_m"), 463_000)), encoding="utf-8")
    status, out, _ = called(path, "--json")
    report = json.loads(out)

    assert status == 2
    assert report["ok"] is False
    assert report["problems"] == [
        {
            "at": "spans[1].length_m",
            "found": "463000",
            "expected": "a number 0 to 100000",
            "near": "463",
        }
    ]


# ---------------------------------------------------------------- plans that do not hold together


def with_span(**keys: Any) -> dict:
    """The base job with one span more."""
    span = {"id": "C3", "cable": "my.cable", "length_m": 5, **keys}
    return base(spans=[*copy.deepcopy(BASE["spans"]), span])


def splitter_job(*spans: tuple[str, str]) -> dict:
    """Two splitters and what joins them."""
    boxes = [
        {"id": "S", "sheet": "my.source", "stop": "hut"},
        {"id": "Y1", "sheet": "my.splitter", "stop": "hut"},
        {"id": "Y2", "sheet": "my.splitter", "stop": "hut"},
    ]
    rows = [
        {"id": f"C{n}", "from": a, "to": b, "cable": "my.cable", "length_m": 3}
        for n, (a, b) in enumerate(spans, 1)
    ]
    return base(boxes=boxes, spans=rows)


def test_a_loop_is_told_at_the_span_that_closes_it():
    """Two boxes joined twice have no upstream."""
    doc = splitter_job(("S.out", "Y1.in"), ("Y1.out1", "Y2.in"), ("Y2.out1", "Y1.out2"))
    problem = only(doc)

    assert problem.at == "spans[2]"
    assert problem.found == '"C3"'
    assert "no loop" in problem.expected


def test_a_box_joined_to_itself_is_a_loop():
    """The shortest loop is one span and one box."""
    problem = only(splitter_job(("S.out", "Y1.in"), ("Y2.out1", "Y2.out2")))

    assert problem.at == "spans[1]"
    assert "no loop" in problem.expected


@pytest.mark.parametrize(("key", "other"), [("from", "to"), ("to", "from")])
def test_a_taken_port_is_told_at_the_end_that_wants_it(key, other):
    """One span a port: the later span is told, at the end that does not fit."""
    doc = with_span(**{key: "S.out", other: "X.in"})
    doc["boxes"].append({"id": "X", "sheet": "my.camera", "stop": "hut"})
    problem = only(doc)

    assert problem.at == f"spans[2].{key}"
    assert problem.found == '"S.out"'
    assert "free port" in problem.expected


@pytest.mark.parametrize("value", [9, -1, 3.5, "4", True, None])
def test_an_unknown_class_is_told_at_its_place(value):
    """Classes run from 0 to 8 and are whole."""
    problem = only(put(("sheets", "my.camera", "class"), value))

    assert problem.at == 'sheets["my.camera"].class'
    assert problem.found == json.dumps(value)
    assert problem.expected == "a whole number 0 to 8"


@pytest.mark.parametrize(
    ("key", "point", "ports"),
    [("from", "R.kit", "in, out"), ("from", "S.in", "out"), ("to", "E.out", "in")],
)
def test_an_unknown_port_is_told_with_those_there_are(key, point, ports):
    """The line says which ports that kind of box has."""
    doc = base()
    doc["spans"][1][key] = point
    problem = only(doc)

    assert problem.at == f"spans[1].{key}"
    assert problem.found == json.dumps(point)
    assert problem.expected.endswith(f": {ports}")


def test_a_port_without_a_box_is_told_with_the_nearest_box():
    """A slip in a box's id is told at the span's end."""
    doc = with_span(**{"from": "RR.out", "to": "E.in"})
    doc["spans"].pop(1)
    problem = only(doc)

    assert problem.at == "spans[1].from"
    assert problem.expected == "a box of this job"
    assert problem.near == "R"


@pytest.mark.parametrize("sheet", ["my.camera", "my.repeater", "my.arrestor", "my.joint"])
def test_an_unplugged_box_is_a_stop_finding_at_the_box(sheet):
    """A box that no span reaches does not break the file; the plan says that it has no feed."""
    doc = base()
    doc["boxes"].append({"id": "X", "sheet": sheet, "stop": "hut"})
    findings = {f.id: f for f in predict(read_job(doc).plan).findings}

    assert findings["feed.X"].severity == "stop"
    assert findings["feed.X"].say.code == "feed-unplugged"


def test_a_pair_of_boxes_cut_off_from_every_feed_are_both_told():
    """A span that leads to no feed leaves all its boxes without one."""
    doc = with_span(**{"from": "X.out", "to": "Z.in"})
    doc["boxes"] += [
        {"id": "X", "sheet": "my.repeater", "stop": "hut"},
        {"id": "Z", "sheet": "my.camera", "stop": "hut"},
    ]
    codes = {f.id: f.say.code for f in predict(read_job(doc).plan).findings if f.rule == "feed"}

    assert codes == {"feed.X": "feed", "feed.Z": "feed"}
