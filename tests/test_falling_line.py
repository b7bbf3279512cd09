"""The falling line: volts along the run, and that its words keep clear of everything."""

from dataclasses import replace
from itertools import pairwise
from math import hypot

import pytest
from drawn_runs import (
    FLOOR,
    REED_VOLTS,
    a_box,
    check,
    evenly,
    label,
    pressed,
    reed_fall,
    reedbed,
    words,
)

from fieldapp.drawing.falling import falling_line
from fieldapp.drawing.fallscale import FallPoint, axis_span, curve_of, nice_step
from fieldapp.drawing.letters import grown, label_frame, overlap
from fieldapp.drawing.miniature import miniature
from fieldapp.drawing.placing import drawn_frame
from fieldapp.drawing.run import (
    RUN_PITCH,
    Branch,
    RunLine,
    RunSpan,
    RunStop,
    layout,
)
from fieldapp.drawing.shapes import Label, Line, Path, Picture, Rect, Touch, touch_area

# ---- falling line ----------------------------------------------------------------------------


def test_falling_line_of_the_reedbed_run():
    """Figures, names, lengths and the floor are all in the picture."""
    picture = reed_fall()
    check(picture)
    said = set(words(picture))
    assert {"54.1\u00a0V", "49.7\u00a0V", "41.0\u00a0V", "2.7 V low", "design", "today"} <= said
    assert {"50\u00a0V", "45\u00a0V", "40\u00a0V", FLOOR[1], "202\u00a0m", "256\u00a0m"} <= said
    assert {"S", "L1", "A1", "J1", "A2", "L2", "C"} <= said
    assert label(picture, "41.0\u00a0V").ink == "signal"
    assert label(picture, "41.0\u00a0V").size > label(picture, "49.7\u00a0V").size >= 28


def test_the_cable_falls_when_the_volts_fall():
    """Lower volts stand lower: every jacket of this run slopes down to the right."""
    casings = [
        s for s in reed_fall().shapes if isinstance(s, Path) and s.stroke == "ink" and s.width == 18
    ]
    assert len(casings) == 2
    assert all(s.points[0][1] < s.points[1][1] for s in casings)


def test_readings_never_cover_each_other():
    """Figures and names of a run full of readings keep clear of one another."""
    line = evenly(40)
    volts = {
        b.id: FallPoint(40, 54 - i * 0.35, 56, 39, 55, 54 - i * 0.36, "inside")
        for i, b in enumerate(line.boxes)
    }
    picture = falling_line(line, volts, *FLOOR, "B7", 390)
    check(picture)
    # Figures, digits and capitals, fill 0.9 of their size.
    frames = [
        (x0, s.y - 0.45 * s.size, x1, s.y + 0.45 * s.size)
        for s in picture.shapes
        if isinstance(s, Label) and s.text and s.face == "PB" and s.text.endswith("V")
        for x0, _, x1, _ in [label_frame(s)]
    ]
    assert len(frames) > 10
    for i, one in enumerate(frames):
        assert not any(overlap(one, other) for other in frames[i + 1 :])


def test_an_axis_without_volts_has_no_figures():
    """Nothing is fed: round numbers beside the line would be made up."""
    picture = falling_line(evenly(3), {}, None, "", None, 390)
    assert not [said for said in words(picture) if said.endswith("V")]


def test_where_the_cable_breaks_off_at_the_floor_nothing_is_written_over_its_break():
    first = {"S": FallPoint(54.0, 54.0, 54.0)}
    picture = falling_line(reedbed(), first, *FLOOR, None, 390, collapse="S lets go")
    floor = label(picture, FLOOR[1])
    broken = [one for one in picture.shapes if getattr(one, "stroke", "") == "signal"]
    assert broken
    left, _, right, _ = drawn_frame(floor)
    for stroke in broken:
        xs = [x for x, _ in stroke.points] if isinstance(stroke, Path) else [stroke.x1, stroke.x2]
        assert max(xs) < left or min(xs) > right


def test_forty_boxes_stay_paintable():
    """A wide picture, and not too many shapes for a phone."""
    line = evenly(40)
    picture = falling_line(line, {}, *FLOOR, None, 390)
    assert 1500 < picture.width < 3500
    assert len(picture.shapes) < 450


def test_a_collapsed_line_breaks_off_at_the_floor():
    """Cable ends at the floor with a break; boxes behind are in the key line, not on the curve."""
    volts = {k: v for k, v in REED_VOLTS.items() if k not in ("L2", "C")}
    volts["A2"] = FallPoint(37, 44.9, 50)
    words_ = "Nothing runs past A2: 36 V cannot be held"
    picture = falling_line(reedbed(), volts, *FLOOR, "A2", 390, collapse=words_)
    check(picture)
    assert words_ in words(picture) and "C" in words(picture)
    breaks = [s for s in picture.shapes if isinstance(s, Line) and s.stroke == "signal"]
    assert len(breaks) == 2
    floor = next(s for s in picture.shapes if isinstance(s, Line) and s.width == 3.0)
    assert all(abs(max(s.y1, s.y2) - floor.y1) < 20 for s in breaks)
    # The endpoint's ring is a sheet-filled path of 72 points: none is on the curve.
    assert not any(isinstance(s, Path) and len(s.points) == 72 for s in picture.shapes)


def test_without_readings_the_expected_volts_stand_at_both_ends_in_tide():
    """A prediction is never dressed as a measurement."""
    volts = {k: FallPoint(v.low, v.expected, v.high) for k, v in REED_VOLTS.items()}
    picture = falling_line(reedbed(), volts, *FLOOR, None, 390)
    check(picture)
    assert label(picture, "54.0\u00a0V").ink == label(picture, "44.6\u00a0V").ink == "tide"
    assert "today" not in words(picture)


def test_the_selected_id_is_underlined_or_on_signal():
    """Outside: on a signal block. Otherwise: a line under the id."""
    outside, plain = reed_fall(), reed_fall(selected="J1")
    assert any(isinstance(s, Rect) and s.fill == "signal" and s.h > 20 for s in outside.shapes)
    under = [s for s in plain.shapes if isinstance(s, Line) and s.stroke == "ground"]
    assert len(under) == 1 and under[0].y1 > label(plain, "J1").y


def test_a_press_picks_the_nearest_box():
    """On a box, and between two of one stop."""
    picture = reed_fall()
    laid = layout(reedbed(), 390, RUN_PITCH)
    for placed in laid.boxes:
        aim = next(t for t in picture.touches if t.key == placed.box.id).target
        assert pressed(picture, *aim) == [placed.box.id]
    assert pressed(picture, laid.boxes[3].x + 20, 300) == ["J1"]


def test_overlapping_areas_go_to_the_nearest_aim():
    """Both areas reach over the press; the thing that is closer wins."""
    a = touch_area(30, 30, 200, 60, "a", "a")
    b = touch_area(50, 30, 200, 60, "b", "b")
    picture = Picture(200, 60, (), (a, b))
    assert b.x < 39 < 41 < a.x + a.w
    assert pressed(picture, 39, 30) == ["a"] and pressed(picture, 41, 30) == ["b"]
    assert isinstance(a, Touch) and a.target == (30, 30)


def test_openings_can_be_pressed():
    """Every long span is cut open once, with an area of its own."""
    picture = reed_fall(openings=True, key=False, height=300.0)
    check(picture)
    assert {"+C2", "+C3"} <= {t.key for t in picture.touches}


def test_a_loss_stays_lost_behind_the_last_reading():
    """Boxes behind a low reading are drawn low too, by the same volts."""
    line = reedbed()
    xs = [p.x for p in layout(line, 390, RUN_PITCH).boxes]
    curve = curve_of(line.boxes, REED_VOLTS, xs, 55, 36, False)
    assert curve.volts[4] == 41.0
    assert curve.volts[5] == pytest.approx(44.8 - 3.9)
    assert curve.volts[6] == pytest.approx(44.6 - 3.9)
    assert curve.ends is None


def test_a_box_that_makes_the_volts_anew_carries_no_loss_on():
    """Behind a repeater that feeds anew the expected volts count again."""
    row = [a_box(f"B{i}", "repeater", i * 50.0, f"s{i}") for i in range(4)]
    volts = {
        "B0": FallPoint(expected=54),
        "B1": FallPoint(expected=48, reading=44),
        "B2": FallPoint(expected=54),
        "B3": FallPoint(expected=50),
    }
    curve = curve_of(row, volts, [0, 100, 200, 300], 55, 36, False)
    assert curve.volts == pytest.approx((54, 44, 54, 50))


def test_a_slipped_decimal_does_not_squash_the_axis():
    """410 V typed for 41.0 leaves the axis where the prediction puts it."""
    points = [FallPoint(40, 45, 50), FallPoint(39, 44, 49, reading=410.0)]
    top, foot = axis_span(points, 36.0)
    assert 50 <= top < 55 and foot == 36


def test_nice_steps_are_round():
    """1, 2 or 5 times a power of ten, at most as many as asked for."""
    assert [nice_step(s) for s in (18, 4, 0.3, 100)] == pytest.approx([5, 1, 0.05, 20])


def test_the_miniature_is_all_cable():
    """No words, nothing to press, 56 high."""
    picture = miniature(reedbed(), REED_VOLTS, 358)
    check(picture)
    assert picture.height == 56 and not words(picture) and not picture.touches


# ---- words keep clear ------------------------------------------------------------------------


def read_at(**readings: tuple[float, str]) -> dict[str, FallPoint]:
    """The reedbed's predictions without today's band, with readings at these boxes."""
    volts = {k: FallPoint(v.low, v.expected, v.high) for k, v in REED_VOLTS.items()}
    for name, (value, dimension) in readings.items():
        verdict = "outside" if dimension else "inside"
        volts[name] = replace(volts[name], reading=value, verdict=verdict, dimension=dimension)
    return volts


ONE_OUTSIDE = {
    "at A2": ("A2", read_at(L1=(53.6, ""), A2=(36.9, "0.9 V low"))),
    "deep at A2": ("A2", read_at(L1=(53.6, ""), A2=(36.5, "3.2 V low"), J1=(44.0, "1.0 V low"))),
    "at J1": ("J1", read_at(L1=(53.6, ""), J1=(40.0, "5.0 V low"))),
    "at L1": ("L1", read_at(S=(53.9, ""), L1=(50.2, "2.9 V low"))),
    "high": ("A2", read_at(L1=(53.6, ""), A2=(53.4, "3.4 V high"))),
}


def near_cable(frame: tuple[float, float, float, float], picture: Picture, rim: float) -> bool:
    """Whether any jacket lies under a frame; its middle line is walked in steps of a dp."""
    for s in picture.shapes:
        if not (isinstance(s, Path) and s.stroke == "ink" and s.width in (18, 13)):
            continue
        for (ax, ay), (bx, by) in pairwise(s.points):
            steps = max(int(hypot(bx - ax, by - ay)), 1)
            for n in range(steps + 1):
                x, y = ax + (bx - ax) * n / steps, ay + (by - ay) * n / steps
                dx = max(frame[0] - x, x - frame[2], 0.0)
                dy = max(frame[1] - y, y - frame[3], 0.0)
                if hypot(dx, dy) < s.width / 2 + rim:
                    return True
    return False


def dimension_strokes(picture: Picture) -> list[Line]:
    return [
        s
        for s in picture.shapes
        if isinstance(s, Line) and s.stroke == "signal" and s.x1 == s.x2 and s.width == 2.0
    ]


@pytest.mark.parametrize("letters", [1.0, 1.3])
@pytest.mark.parametrize("case", ONE_OUTSIDE)
def test_figures_and_dimension_words_lie_on_nothing(case, letters):
    """Neither on a jacket, nor on the dimension line, nor on one another."""
    selected, volts = ONE_OUTSIDE[case]
    picture = falling_line(reedbed(), volts, *FLOOR, selected, 390, letters=letters)
    check(picture)
    said = [
        s
        for s in picture.shapes
        if isinstance(s, Label) and s.halo and s.face == "PB" and "V" in s.text
    ]
    dimension = volts[selected].dimension
    stops = {b.stop for b in reedbed().boxes if volts[b.id].reading is not None}
    assert dimension in [s.text for s in said] and len(said) == len(stops) + 1
    frames = [drawn_frame(s) for s in said]
    for i, frame in enumerate(frames):
        assert not near_cable(frame, picture, 1.0), said[i]
        assert not any(overlap(frame, other) for other in frames[i + 1 :])
        for line in dimension_strokes(picture):
            top, foot = sorted((line.y1, line.y2))
            assert not overlap(frame, (line.x1 - 4.4, top, line.x1 + 4.4, foot)), said[i]
    design = label(picture, "design")
    assert not overlap(grown(drawn_frame(design), 4), drawn_frame(label(picture, dimension)))


@pytest.mark.parametrize("case", ["deep at A2", "at J1", "at L1"])
def test_dimension_words_keep_off_the_fans_edge(case):
    """The dashed edges, high and low, do not run through the words."""
    selected, volts = ONE_OUTSIDE[case]
    picture = falling_line(reedbed(), volts, *FLOOR, selected, 390)
    words_ = drawn_frame(label(picture, volts[selected].dimension))
    edges = [s for s in picture.shapes if isinstance(s, Path) and s.dash == (6.0, 4.0)]
    assert len(edges) == 2
    for (ax, ay), (bx, by) in (pair for edge in edges for pair in pairwise(edge.points)):
        for n in range(101):
            x, y = ax + (bx - ax) * n / 100, ay + (by - ay) * n / 100
            assert not (words_[0] < x < words_[2] and words_[1] < y < words_[3])


def test_of_boxes_shoulder_to_shoulder_one_gets_its_figure():
    """The selected one, else one outside, else the last one read."""
    three = read_at(S=(53.9, ""), L1=(53.6, ""), A1=(53.5, ""))
    for selected, shown in (("L1", "53.6"), ("S", "53.9"), ("J1", "53.5"), (None, "53.5")):
        said = words(falling_line(reedbed(), three, *FLOOR, selected, 390))
        assert [w for w in said if w.startswith("53.")] == [f"{shown}\u00a0V"]
    outside = read_at(S=(53.9, ""), L1=(50.2, "2.9 V low"), A1=(53.5, ""))
    said = words(falling_line(reedbed(), outside, *FLOOR, "J1", 390))
    assert "50.2\u00a0V" in said and "53.5\u00a0V" not in said


def test_a_figure_stands_by_its_own_box_or_has_a_leader():
    """The figure of L1 is nearer to L1 than to A1, or a thin line leads from it to L1."""
    for volts in (read_at(L1=(53.6, "")), read_at(L1=(50.2, "2.9 V low"))):
        picture = falling_line(reedbed(), volts, *FLOOR, "L1", 390)
        at = {p.box.id: p for p in layout(reedbed(), 390, RUN_PITCH).boxes}
        figure = label(picture, f"{volts['L1'].reading:.1f}\u00a0V")
        leads = [s for s in picture.shapes if isinstance(s, Line) and s.width == 1.8]
        leads = [s for s in leads if s.stroke == figure.ink and s.y1 != s.y2]
        assert len(leads) == 1
        assert at["L1"].x0 <= leads[0].x1 <= at["L1"].x1
        frame = grown(drawn_frame(figure), 3)
        assert frame[0] <= leads[0].x2 <= frame[2] and frame[1] <= leads[0].y2 <= frame[3]


def test_power_without_data_is_said_once_beside_the_cut_span():
    """Words on no jacket, one time however many spans are cut; none where none is."""
    line = reedbed()
    cut = replace(line, spans=tuple(replace(s, state="cut") for s in line.spans))
    volts = read_at(L1=(53.6, ""), L2=(44.6, ""))
    for letters in (1.0, 1.6):
        picture = falling_line(cut, volts, *FLOOR, "L2", 390, letters=letters)
        check(picture)
        assert words(picture).count("power, no data") == 1
        said = label(picture, "power, no data")
        assert said.halo and not near_cable(drawn_frame(said), picture, 1.0)
        laid = layout(line, 390, RUN_PITCH)
        assert laid.boxes[2].x0 - 80 < said.x < laid.boxes[3].x1 + 80
    assert "power, no data" not in words(falling_line(line, volts, *FLOOR, "L2", 390))


@pytest.mark.parametrize("letters", [1.0, 1.6])
@pytest.mark.parametrize("level", [53.4, 51.0, 49.0])
def test_a_branchs_name_is_not_struck_through(level, letters):
    """The volts of a side branch are those of the cable itself: its name stands off the cable."""
    row = (
        a_box("S", "source", 0, "a"),
        a_box("R1", "repeater", 88, "b"),
        a_box("R2", "repeater", 171, "c"),
        a_box("X", "splitter", 236, "d"),
        a_box("G", "endpoint", 236, "d"),
    )
    name = "Access point over the gate"
    side = Branch("X", (a_box("P", "endpoint", 236, "d"),), (RunSpan("C", "X", "P", 6),), name)
    stops = tuple(RunStop(b.stop, b.stop, b.at_m) for b in row[:4])
    volts = {b.id: FallPoint(51, level, 54.8) for b in row}
    volts["P"] = FallPoint(51, level, 54.8)
    line = RunLine(row, (), stops, "", (side,))
    picture = falling_line(line, volts, 38.0, "38 V", None, 390, letters=letters)
    check(picture)
    said = next(s for s in picture.shapes if isinstance(s, Label) and s.text.startswith("Acc"))
    assert said.text == name or "…" in said.text
    assert not near_cable(drawn_frame(said), picture, 1.0)
    others = [s for s in picture.shapes if isinstance(s, Label) and s.halo and s is not said]
    assert not any(overlap(drawn_frame(s), drawn_frame(said)) for s in others)
