"""Every drawing can be made of anything at all."""

from dataclasses import replace
from itertools import pairwise

from drawn_runs import FLOOR, check
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from fieldapp.drawing import boxes, gauge, jacket
from fieldapp.drawing.falling import falling_line
from fieldapp.drawing.fallscale import FallPoint
from fieldapp.drawing.miniature import miniature
from fieldapp.drawing.ribbon import ribbon
from fieldapp.drawing.run import (
    RIBBON_PITCH,
    RUN_PITCH,
    Branch,
    RunBox,
    RunLine,
    RunSpan,
    RunStop,
    layout,
)

NAMES = st.text(max_size=24).map(lambda s: s.replace("\n", " "))
VOLT = st.none() | st.floats(-5, 500) | st.just(float("nan"))


@st.composite
def runs(draw: st.DrawFn) -> RunLine:
    """Runs of 2 to 40 boxes: any kinds, any stops, spans of any length, some missing."""
    count = draw(st.integers(2, 40))
    at, stop = 0.0, 0
    row, stops = [], [RunStop("s0", draw(NAMES), 0.0)]
    for i in range(count):
        if i and draw(st.booleans()):
            at += draw(st.sampled_from([0.0, 3.0, 40.0, 207.0, 900.0]))
            stop += 1
            stops.append(RunStop(f"s{stop}", draw(NAMES), at))
        sides = st.sampled_from(boxes.OUTLINES)
        row.append(
            RunBox(
                f"B{i}",
                draw(st.sampled_from([*boxes.KINDS, "odd"])),
                at,
                f"s{stop}",
                draw(sides),
                draw(sides),
                draw(st.booleans()),
                draw(st.booleans()),
                draw(NAMES),
            )
        )
    states = st.sampled_from([*jacket.STATES, "odd"])
    spans = tuple(
        RunSpan(f"C{i}", a.id, b.id, draw(st.sampled_from([0.0, 2.0, 256.0])), draw(states))
        for i, (a, b) in enumerate(pairwise(row))
        if draw(st.integers(0, 9))
    )
    forks = draw(st.lists(st.sampled_from(row), max_size=3, unique_by=lambda b: b.id))
    branches = tuple(
        Branch(b.id, (replace(row[-1], id=f"E{b.id}"),), (), draw(NAMES)) for b in forks
    )
    here = draw(st.sampled_from([*(s.id for s in stops), "nowhere"]))
    return RunLine(tuple(row), spans, tuple(stops), here, branches)


POINTS = st.builds(
    FallPoint,
    VOLT,
    VOLT,
    VOLT,
    VOLT,
    VOLT,
    VOLT,
    st.sampled_from([None, *gauge.VERDICTS]),
    st.lists(st.floats(0, 60), max_size=2).map(tuple),
    st.sampled_from(["", "2.7 V low"]),
)
SLOW = settings(
    max_examples=30,
    deadline=None,
    # the same examples every time; raise the number by hand to hunt for new ones
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)


@SLOW
@given(runs(), st.sampled_from([320.0, 390.0, 440.0, 1180.0]))
def test_boxes_stand_in_order_and_never_overlap(line, width):
    """Left to right in the order of the run, shoulder to shoulder at most, all in the picture."""
    for pitch, must_fit in ((RIBBON_PITCH, True), (RUN_PITCH, False)):
        laid = layout(line, width, pitch, must_fit=must_fit)
        assert len(laid.boxes) == len(line.boxes)
        assert all(a.x1 <= b.x0 + 1e-6 for a, b in pairwise(laid.boxes))
        assert all(b.x0 < b.x1 for b in laid.boxes)
        assert laid.boxes[0].x0 >= 0 and laid.boxes[-1].x1 <= laid.width
        assert not must_fit or laid.width == width
        assert all(s.x0 <= s.x1 for s in laid.spans) and len(laid.spans) == len(line.boxes) - 1


def test_a_nameless_branch_at_the_edge_stays_in_the_picture():
    """A fork in the last box turns its stub back rather than out of the screen."""
    at = ("s0", "s1", "s2", "s3", "s3", "s3", "s3", "s3", "s3")
    boxes = tuple(
        RunBox(f"B{i}", "source", 0.0, stop, "round", "round") for i, stop in enumerate(at)
    )
    stops = tuple(RunStop(f"s{i}", "", 0.0) for i in range(4))
    end = RunBox("E", "source", 0.0, "s3", "round", "round")
    line = RunLine(boxes, (), stops, "s0", (Branch("B8", (end,), (), ""),))

    for width in (320.0, 390.0):
        check(ribbon(line, width, "", ""))


@SLOW
@given(runs(), NAMES, NAMES, st.sampled_from([320.0, 390.0, 640.0]), st.floats(1, 2))
def test_a_ribbon_of_anything(line, title, right, width, letters):
    """Never wider than asked, nothing of it outside, no boxes lost uncounted."""
    picture = ribbon(line, width, title, right, letters=letters, walk=("s0", "s1"))
    check(picture)
    assert picture.width == width


@SLOW
@given(
    runs(),
    st.data(),
    st.sampled_from([320.0, 390.0, 640.0]),
    st.sampled_from([None, 36.0, 42.5]),
    st.floats(1, 2),
    st.booleans(),
)
def test_a_falling_line_of_anything(line, data, width, floor, letters, collapsed):
    """Whatever is known or not, the picture is whole, and every box can be pressed."""
    ids = [b.id for b in line.boxes]
    volts = data.draw(st.dictionaries(st.sampled_from(ids), POINTS, max_size=8))
    picture = falling_line(
        line,
        volts,
        floor,
        "36 V below this, L2 stops",
        data.draw(st.sampled_from([None, *ids])),
        width,
        collapse="Nothing runs past this" if collapsed else "",
        extremes=("49.9 V at best", "37.7 V at worst"),
        openings=True,
        letters=letters,
    )
    check(picture)
    assert {t.key for t in picture.touches} >= set(ids)
    check(miniature(line, volts, width))


@settings(max_examples=100, deadline=None, derandomize=True)
@given(
    st.none() | st.tuples(st.floats(0, 60), st.floats(0, 5), st.floats(0, 5)),
    st.none() | st.tuples(st.floats(0, 60), st.floats(0, 30)),
    st.none() | st.floats(0, 1e6),
    st.floats(0, 10),
    st.sampled_from([None, *gauge.VERDICTS]),
    st.sampled_from([320.0, 390.0, 640.0]),
    st.sampled_from([110.0, 190.0]),
)
def test_a_gauge_of_anything(band, design, reading, reach, verdict, width, height):
    """Any band, any reading: all of it in the picture."""
    three = (band[0], band[0] + band[1], band[0] + band[1] + band[2]) if band else None
    two = (design[0], design[0] + design[1]) if design else None
    text = "2.7 V low" if verdict == "outside" else ""
    check(gauge.gauge(three, two, reading, reach, "V", verdict, text, width, height))


@settings(max_examples=30, deadline=None, derandomize=True)
@given(
    st.lists(st.tuples(st.floats(0, 60), st.floats(0, 9), NAMES), max_size=3),
    st.none() | st.floats(0, 99),
)
def test_sleeves_of_anything(rows, reading):
    """Any number of predictions, near or far."""
    made = [gauge.Sleeve(low, low + wide, name[:8], "1.0 to 2.0 V") for low, wide, name in rows]
    check(gauge.sleeves(made, 390, 170, reading=reading, reach=0.3))


def test_an_empty_run_is_drawn_too():
    """No boxes, no stops: title, key line, floor, nothing to press."""
    nothing = RunLine((), (), ())
    for picture in (
        ribbon(nothing, 390, "New", ""),
        falling_line(nothing, {}, *FLOOR, None, 390),
        miniature(nothing, {}, 358),
    ):
        check(picture)
        assert picture.touches == ()
