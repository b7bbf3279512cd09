"""Starter sheets: every figure has its source, and a job can be planned from them alone."""

from __future__ import annotations

from collections import Counter
from itertools import product
from typing import Any, get_args

import pytest
from attrs import evolve

from engine.format import METER_KINDS, SHEET_KEYS
from engine.job import KINDS, BoxSheet, CableSheet, MeterSheet, Point
from engine.jobfile import read_job
from engine.predict import predict
from engine.sheets import ROWS, STARTER, load
from engine.sheets.starter import GENERIC, Figure, Starter
from engine.standards import Mark
from engine.standards.conductors import CONDUCTORS, ohms_per_km
from engine.standards.power import POWER, drawn_watts, granted_watts
from engine.study import Prediction

pytestmark = pytest.mark.pure

BY_ID = {row.id: row for row in ROWS}
FEEDS = [row.id for row in ROWS if row.keys["kind"] in ("source", "injector")]
CABLES = [row.id for row in ROWS if row.keys["kind"] == "cable"]
ENDPOINTS = [row.id for row in ROWS if row.keys["kind"] == "endpoint"]
BETWEEN = [row.id for row in ROWS if row.keys["kind"] in ("repeater", "splitter")]
KEPT = {
    "generic.source-90w": {"volts": (52, 54, 57), "watts_max": 90, "pairs": 4},
    "generic.source-30w": {"volts": (50, 54, 57), "watts_max": 30, "pairs": 2},
    "generic.cat6-outdoor": {"awg": 23, "ohms_per_km": 66.8, "outdoor": True},
    "generic.patch": {"awg": 26, "ohms_per_km": 140, "stranded": True},
}
"""figures of sheets that older files may name, and must go on meaning the same"""


def numbers_in(value: Any) -> bool:
    """Whether a key's value is a number or holds one."""
    if isinstance(value, bool):
        return False
    if isinstance(value, int | float):
        return True
    if isinstance(value, dict):
        return any(numbers_in(part) for part in value.values())
    return isinstance(value, list) and any(numbers_in(part) for part in value)


def numeric_keys(row: Starter) -> set[str]:
    """The keys of a row that hold numbers; of its ports, the keys below a port."""
    keys = {key for key, value in row.keys.items() if key != "ports" and numbers_in(value)}
    for port in row.keys.get("ports", {}).values():
        keys |= {key for key, value in port.items() if numbers_in(value)}
    return keys


def parts(value: Any) -> tuple[float, ...]:
    """Low, expected and high of a row's quantity; a bare number thrice."""
    if isinstance(value, dict):
        return value["low"], value["expected"], value["high"]
    return value, value, value


def endpoint_for(feed: str) -> str:
    """A starter endpoint that the volts of a feed can start."""
    return "generic.radio-24v" if "24v" in feed else "generic.camera-small"


def box(id_: str, sheet: str, stop: str, **keys: Any) -> dict:
    """A box of a test's plan."""
    return {"id": id_, "sheet": sheet, "stop": stop, **keys}


def span(id_: str, a: str, b: str, cable: str, length_m: float, **keys: Any) -> dict:
    """A span of a test's plan, indoors unless said otherwise."""
    return {
        "id": id_,
        "from": a,
        "to": b,
        "cable": cable,
        "length_m": length_m,
        **({"indoor": True} | keys),
    }


def plan(boxes: list[dict], spans: list[dict], **keys: Any) -> Prediction:
    """The prediction of a plan that types no sheet of its own."""
    doc = {
        "format": "farend-job/1",
        "id": "BARN",
        "title": "Barn",
        "site": {"name": "Marsh farm", "ambient_c": {"low": 5, "expected": 15, "high": 25}},
        "stops": {
            "house": {"at_m": 0, "building": "house", "indoor": True},
            "barn": {"at_m": 30, "building": "house", "indoor": True},
        },
        "boxes": boxes,
        "spans": spans,
        **keys,
    }
    assert "sheets" not in doc
    return predict(read_job(doc).plan)


def short(feed: str, cable: str, end: str) -> Prediction:
    """A feed, 30 m of cable, an endpoint; a plain switch port in front of an injector."""
    boxes = [box("S", feed, "house"), box("E", end, "barn")]
    spans = [span("C1", "S.out", "E.in", cable, 30)]
    if STARTER[feed].kind == "injector":
        boxes.append(box("D", "generic.source-15w", "house"))
        spans.append(span("C0", "D.out", "S.in", "generic.patch", 2))
    return plan(boxes, spans)


def stops(prediction: Prediction) -> list[str]:
    """The findings that forbid building a plan."""
    return [finding.id for finding in prediction.findings if finding.severity == "stop"]


# ---------------------------------------------------------------- the rows


def test_every_row_is_a_sheet_by_its_id():
    """What the rows hold is what a box, span or meter can name."""
    assert set(STARTER) == set(BY_ID)
    assert len(ROWS) == len(BY_ID)
    assert all(isinstance(s, BoxSheet | CableSheet | MeterSheet) for s in STARTER.values())
    assert all(name == sheet.id and name.startswith("generic.") for name, sheet in STARTER.items())


def test_a_row_that_no_job_file_could_hold_is_refused():
    """A wrong number in a row is told with its place, and two rows of one id are refused."""
    row = BY_ID["generic.source-30w"]
    wrong = evolve(row, keys={**row.keys, "watts_max": 90_000})

    with pytest.raises(ValueError, match=r'starter\["generic.source-30w"\].watts_max'):
        load((wrong,))
    with pytest.raises(ValueError, match="share an id"):
        load((row, row))


def test_titles_are_unique_and_fit_a_phone():
    """Rows are picked by title on a narrow screen."""
    titles = [row.keys["title"] for row in ROWS]

    assert [title for title, times in Counter(titles).items() if times > 1] == []
    assert [title for title in titles if len(title) > 40] == []


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_every_number_of_a_row_has_one_source_and_mark(row):
    """No figure without its origin, no origin without its figure, none twice."""
    named = [key for figure in row.figures for key in figure.keys]

    assert sorted(named) == sorted(numeric_keys(row))
    assert all(figure.source and figure.mark in get_args(Mark) for figure in row.figures)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.id)
def test_the_note_says_generic_first_and_then_every_source(row):
    """A technician reads first that the numbers are not his maker's, then where they are from."""
    note = row.sheet["note"]

    assert note.startswith(f"{GENERIC}. ")
    assert len(note) <= 500
    for figure in row.figures:
        assert f"{figure.source}, {figure.mark}." in note
    for key in numeric_keys(row):
        assert key.replace("_", " ") in note.lower()


def test_an_unsourced_number_would_be_seen():
    """The key finder sees bands, lists and the tables of ports, and passes over flags and words."""
    keys = {"kind": "x", "flag": True, "a": {"low": 1}, "b": [10], "ports": {"in": {"r": {"9": 5}}}}

    assert numeric_keys(Starter("generic.x", keys, (Figure("a", "s", "computed"),))) == {
        "a",
        "b",
        "r",
    }


def test_no_row_promises_what_nobody_can():
    """Neither 'safe' nor 'certified' nor a trade mark stands in a title or note."""
    for row in ROWS:
        words = f"{row.id} {row.keys['title']} {row.note}".lower()
        assert not any(word in words for word in ("safe", "certified", "®", "™"))


def test_every_kind_of_sheet_is_there():
    """A whole job can be planned before anything is typed."""
    assert {row.keys["kind"] for row in ROWS} == set(SHEET_KEYS)
    assert {sheet.kind for sheet in STARTER.values() if isinstance(sheet, BoxSheet)} == set(KINDS)
    meters = [sheet for sheet in STARTER.values() if isinstance(sheet, MeterSheet)]
    assert {kind for meter in meters for kind in meter.accuracy} == set(METER_KINDS)


@pytest.mark.parametrize(
    ("name", "figures"), KEPT.items(), ids=lambda x: x if type(x) is str else ""
)
def test_sheets_of_older_files_keep_their_numbers(name, figures):
    """A job that named a starter sheet must be predicted as it was."""
    for key, value in figures.items():
        found = BY_ID[name].keys[key]
        assert (parts(found) if isinstance(value, tuple) else found) == value


# ---------------------------------------------------------------- the numbers


@pytest.mark.parametrize(
    ("ends", "type_", "class_"), [("15w", 1, 3), ("30w", 2, 4), ("60w", 3, 6), ("90w", 4, 8)]
)
def test_ports_have_the_volts_and_watts_of_their_type(ends, type_, class_):
    """The sheets and the table of published limits say the same."""
    for row in ROWS:
        if row.keys["kind"] in ("source", "injector") and row.id.endswith(ends):
            low, expected, high = parts(row.keys["volts"])
            assert low == POWER[f"type-{type_}-source-volts"].value
            assert high == POWER["source-volts-most"].value
            assert low < expected < high
            assert row.keys["watts_max"] == granted_watts(class_)
            assert row.keys["pairs"] == (4 if class_ > 4 else 2)


@pytest.mark.parametrize("name", ENDPOINTS)
def test_endpoints_stay_within_the_least_class_that_holds_them(name):
    """A class too low would be cut off; one too high would be asked for in vain."""
    sheet = STARTER[name]
    if sheet.class_ is None:
        assert sheet.on_volts < 24
        return

    assert 0 < sheet.watts.low < sheet.watts.expected < sheet.watts.high
    assert sheet.watts.high <= drawn_watts(sheet.class_)
    assert sheet.class_ == 1 or sheet.watts.high > drawn_watts(sheet.class_ - 1)


@pytest.mark.parametrize("name", BETWEEN)
def test_boxes_between_draw_and_convert_as_the_trade_expects(name):
    """Own watts by speed, efficiency and the class that the whole expected demand needs."""
    sheet = STARTER[name]
    row = POWER["own-watts-gigabit" if 1000 in sheet.speeds_mbps else "own-watts-100"]

    assert sheet.own_watts.low >= row.low
    assert row.value <= sheet.own_watts.expected <= row.high
    if sheet.regenerates:
        efficiency = POWER["regenerating-efficiency"]
        assert sheet.efficiency == efficiency.band
        demand = (sheet.out_watts_max + sheet.own_watts.expected) / sheet.efficiency.expected
        assert demand <= drawn_watts(sheet.class_)
        assert demand > drawn_watts(sheet.class_ - 1)


@pytest.mark.parametrize("name", CABLES)
def test_ohms_of_cables_lie_where_their_gauge_and_metal_put_them(name):
    """Typed ohms meet the engine's own from gauge, metal and strands; solid ones are monotone."""
    sheet = STARTER[name]
    if sheet.ohms_per_km is None:
        assert sheet.awg is not None
        return
    by_gauge = ohms_per_km(sheet.awg, sheet.material, stranded=sheet.stranded)

    assert sheet.ohms_per_km.low <= by_gauge.high
    assert sheet.ohms_per_km.high >= by_gauge.low
    if not sheet.stranded:
        printed = CONDUCTORS[f"awg-{sheet.awg}-copper-printed"].value / 0.3048
        lowest = BY_ID[name].keys["ohms_per_km"]
        assert parts(lowest)[0] == pytest.approx(printed, abs=0.05)


# ---------------------------------------------------------------- planned from them alone


@pytest.mark.parametrize(("feed", "cable"), list(product(FEEDS, CABLES)))
def test_every_feed_runs_an_endpoint_over_every_cable(feed, cable):
    """30 m of anything carries a small device from any feed, with a link and no stop."""
    prediction = short(feed, cable, endpoint_for(feed))
    at_source = prediction.points[Point("S", "out")].volts
    at_end = prediction.points[Point("E", "in")].volts

    assert prediction.operates
    assert stops(prediction) == []
    assert STARTER[feed].volts.low <= at_source.expected <= STARTER[feed].volts.high
    assert at_end.low < at_end.expected < at_source.expected
    assert at_end.expected > STARTER[endpoint_for(feed)].cutoff_volts
    assert [link.expected_mbps for link in prediction.links] == [100]


def test_thin_and_clad_cable_costs_volts():
    """The order of the cables is that of their ohms."""
    ends = [
        short("generic.source-30w", cable, "generic.camera-ptz").points[Point("E", "in")].volts
        for cable in (
            "generic.cat6a-22-outdoor",
            "generic.cat6-indoor",
            "generic.cat5e-indoor",
            "generic.clad-15",
            "generic.clad-10",
            "generic.thin-26",
            "generic.thin-28",
        )
    ]

    volts = [end.expected for end in ends]
    assert volts == sorted(volts, reverse=True)
    assert len(set(volts)) == len(volts)


@pytest.mark.parametrize("end", [name for name in ENDPOINTS if "24v" not in name])
def test_every_endpoint_runs_from_a_90_w_port(end):
    """The strongest port starts all that a standard port can start."""
    prediction = short("generic.source-90w", "generic.cat6-indoor", end)

    assert prediction.operates
    assert stops(prediction) == []


def test_24_volts_start_no_standard_device():
    """An always-on 24 V supply is under the turn-on volts of a standard device, and that is told."""
    prediction = short("generic.source-24v", "generic.cat6-indoor", "generic.camera-small")

    assert not prediction.operates
    assert stops(prediction)


@pytest.mark.parametrize("between", BETWEEN)
def test_every_box_between_runs_a_small_camera(between):
    """A port, a repeater or splitter, a camera: all from starter sheets."""
    out = "out1" if STARTER[between].kind == "splitter" else "out"
    prediction = plan(
        [
            box("S", "generic.source-90w", "house"),
            box("R", between, "barn"),
            box("E", "generic.camera-small", "barn"),
        ],
        [
            span("C1", "S.out", "R.in", "generic.cat6-indoor", 80),
            span("C2", f"R.{out}", "E.in", "generic.cat6-indoor", 60),
        ],
    )

    assert prediction.operates
    assert stops(prediction) == []


@pytest.mark.parametrize("speed", ["100", "1000"])
@pytest.mark.parametrize("joint", [name for name in STARTER if ".joint-" in name])
def test_arrestors_and_joints_let_power_and_data_through(speed, joint):
    """Every arrestor and joint stands in a run that works; each takes some volts."""
    prediction = plan(
        [
            box("S", "generic.source-30w", "house"),
            box("A1", f"generic.arrestor-{speed}-indoor", "house", bond={"to": "EB1"}),
            box("J", joint, "house"),
            box("A2", f"generic.arrestor-{speed}-outdoor", "yard", bond={"to": "EB2"}),
            box("E", "generic.camera-heater", "yard"),
        ],
        [
            span("C1", "S.out", "A1.kit", "generic.patch", 1),
            span("C2", "A1.line", "J.a", "generic.cat6-outdoor", 20, indoor=False),
            span("C3", "J.b", "A2.line", "generic.cat6-outdoor", 40, indoor=False),
            span("C4", "A2.kit", "E.in", "generic.patch-24", 1),
        ],
        stops={
            "house": {"at_m": 0, "building": "house", "indoor": True},
            "yard": {"at_m": 62},
        },
        earths={"EB1": {"stop": "house"}, "EB2": {"stop": "yard"}},
    )

    assert prediction.operates
    assert stops(prediction) == []
    assert [link.expected_mbps for link in prediction.links] == [100]
    for passive in ("A1.kit", "A1.line"), ("J.a", "J.b"), ("A2.line", "A2.kit"):
        near, far = (prediction.points[Point.parse(point)].volts.expected for point in passive)
        assert near > far


def long_job(camera: str = "generic.camera-ptz", turned: bool = False) -> Prediction:
    """A 90 W port, a long-span pair over 250 m with an arrestor at both ends, a camera."""
    inward, outward = ("out", "in") if turned else ("in", "out")
    return plan(
        [
            box("S", "generic.source-90w", "house"),
            box("L1", "generic.long-span", "house"),
            box("A1", "generic.arrestor-1000-indoor", "house", bond={"to": "EB1", "lead_m": 0.4}),
            box("J", "generic.joint-gel", "gate"),
            box("A2", "generic.arrestor-1000-outdoor", "mast", bond={"to": "EB2", "lead_m": 0.4}),
            box("L2", "generic.long-span", "mast"),
            box("E", camera, "mast"),
        ],
        [
            span("C1", "S.out", "L1.out", "generic.patch", 2),
            span("C2", "L1.in", "A1.kit", "generic.patch", 1),
            span("C3", "A1.line", "J.a", "generic.cat6-buried", 120, route="buried", indoor=False),
            span("C4", "J.b", "A2.line", "generic.cat6-outdoor", 130, route="air", indoor=False),
            span("C5", "A2.kit", f"L2.{inward}", "generic.patch", 1),
            span("C6", f"L2.{outward}", "E.in", "generic.patch", 3),
        ],
        stops={
            "house": {"at_m": 0, "building": "house", "indoor": True},
            "gate": {"at_m": 121},
            "mast": {"at_m": 251},
        },
        earths={"EB1": {"stop": "house"}, "EB2": {"stop": "mast"}},
    )


def test_a_long_job_of_starter_sheets_alone_works():
    """Port, long-span pair, arrestors, joint and turning camera: gigabit and volts to spare."""
    prediction = long_job()

    assert prediction.operates
    assert stops(prediction) == []
    assert prediction.load_share > 1
    end = prediction.points[Point("E", "in")].volts
    assert 42 < end.low < end.expected < end.high < 57
    assert [link.expected_mbps for link in prediction.links] == [1000, 1000, 1000]


def test_the_long_job_shows_a_unit_the_wrong_way_round():
    """The starter sheet's facing ports catch a turned long-span unit."""
    assert "orientation.L2" in stops(long_job(turned=True))


def test_the_long_job_shows_a_camera_that_has_no_gigabit():
    """A gigabit-only unit gives a 10/100 camera power but no link, and that stops the job."""
    prediction = long_job(camera="generic.camera-small")

    assert prediction.operates
    assert [link.expected_mbps for link in prediction.links] == [1000, 1000, 0]
    assert any(finding.startswith("speed-mismatch.") for finding in stops(prediction))
