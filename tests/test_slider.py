"""The ruler of a trial: a place gives the value that stands there, and figures stay readable."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from fieldapp.drawing.letters import label_frame, overlap
from fieldapp.drawing.shapes import Label, Line, Path
from fieldapp.drawing.slider import (
    EDGE,
    HEIGHT,
    MOST_FIGURES,
    RULER_Y,
    SAME,
    WEDGE_HALF,
    Ruler,
    on_step,
    rounded_out,
    ruler_over,
    slider,
    stepped,
)

STEPS = st.sampled_from((0.1, 0.5, 1.0, 5.0))
WIDTHS = st.sampled_from((360.0, 390.0, 430.0, 900.0))


@st.composite
def rulers(draw) -> Ruler:
    step = draw(STEPS)
    low = on_step(draw(st.floats(-50, 3000)), step)
    count = draw(st.integers(10, 4000))
    low, high = rounded_out(low, low + count * step)
    return ruler_over(low, high, step, draw(WIDTHS))


@given(rulers(), st.floats(0, 1))
def test_a_value_comes_back_from_where_it_stands(ruler, share):
    """Within the step that a place can tell, and never off the ruler."""
    value = on_step(ruler.low + share * (ruler.high - ruler.low), ruler.step)
    assume(ruler.low <= value <= ruler.high)

    assert ruler.value(ruler.x(value)) == pytest.approx(value, abs=1e-6)


@given(rulers(), st.floats(-100, 1200))
def test_a_place_gives_a_whole_step_of_the_ruler(ruler, x):
    value = ruler.value(x)
    assert ruler.low <= value <= ruler.high
    if value not in (ruler.low, ruler.high):
        assert value == on_step(value, ruler.step)
    one_dp = (ruler.high - ruler.low) / (ruler.right - ruler.left)
    if ruler.left <= x <= ruler.right:
        there = ruler.low + (x - ruler.left) * one_dp
        assert abs(value - there) <= ruler.step / 2 + 1e-6


@given(rulers(), st.lists(st.floats(-100, 1200), min_size=2, max_size=9))
def test_farther_right_is_never_less(ruler, xs):
    values = [ruler.value(x) for x in sorted(xs)]
    assert values == sorted(values)


@given(rulers(), st.floats(-1e4, 1e4))
def test_a_value_beyond_the_ruler_stands_at_its_end(ruler, value):
    assert ruler.left <= ruler.x(value) <= ruler.right


@given(rulers())
def test_long_strokes_stand_at_round_values_and_short_ones_between(ruler):
    """At most six spaces; 1, 2 or 5 times a power of ten; none twice."""
    long, short = ruler.ticks()
    apart = {round(b - a, 6) for a, b in pairwise(long)}

    assert 2 <= len(long) <= MOST_FIGURES + 2
    assert len(apart) == 1
    assert f"{apart.pop():.0e}"[0] in "125"
    assert not set(long) & set(short)
    assert all(ruler.low <= one <= ruler.high for one in (*long, *short))


@given(st.floats(-100, 3000), STEPS, st.sampled_from((1, -1)))
def test_a_step_leads_to_the_next_whole_one(value, step, by):
    there = stepped(value, step, by)
    assert there == pytest.approx(round(there / step) * step, abs=1e-6)
    assert 0 < (there - value) * by <= step * (1 + SAME) + 1e-6


@given(STEPS, st.integers(-500, 3000), st.sampled_from((1, -1)))
def test_back_again_is_where_one_was(step, count, by):
    value = on_step(count * step, step)
    assert stepped(stepped(value, step, by), step, -by) == pytest.approx(value)


@given(
    st.floats(-100, 3000, allow_nan=False),
    st.floats(0.5, 5000, allow_nan=False),
)
def test_the_rounded_ends_hold_what_they_should(low, room):
    a, b = rounded_out(low, low + room)
    assert a <= low + 1e-6 and low + room <= b + 1e-6


def drawn(ruler: Ruler, value: float, plan: float, hatched=None, width=390.0, letters=1.0):
    words = (f"plan {plan:g} m", f"holds to {hatched[0]:g} m" if hatched else "")
    return slider(ruler, value, plan, hatched, width, lambda v: f"{v:g}", words, letters)


@pytest.mark.parametrize("letters", [1.0, 1.3, 2.0])
@given(data=st.data())
def test_no_word_leaves_the_picture_or_lies_on_another(letters, data):
    """Nor under the wedge: a figure that has no room there is left out."""
    ruler = ruler_over(0, 400, 1, 390)
    values = st.integers(0, 400)
    value, plan, last = (float(data.draw(values)) for _ in range(3))

    picture = drawn(ruler, value, plan, (last, 400.0), letters=letters)

    labels = [shape for shape in picture.shapes if isinstance(shape, Label)]
    frames = [label_frame(label) for label in labels]
    for label, (left, top, right, foot) in zip(labels, frames, strict=True):
        assert left >= 0 and right <= 390 and top >= 0 and foot <= HEIGHT, label
    for i, one in enumerate(frames):
        for j, other in enumerate(frames[:i]):
            # two rows of words stand close: their halos may meet, their letters do not
            tight = overlap(one, other) / min((f[2] - f[0]) * (f[3] - f[1]) for f in (one, other))
            assert tight < 0.2, (labels[i], labels[j])
    x = ruler.x(value)
    for label, (left, _, right, _) in zip(labels, frames, strict=True):
        if label.face == "P":
            assert right < x - WEDGE_HALF or left > x + WEDGE_HALF, label


def test_the_cable_is_cut_where_the_value_stands_and_the_wedge_points_there():
    ruler = ruler_over(0, 400, 1, 390)
    picture = drawn(ruler, 310, 256, (286.0, 400.0))
    x = ruler.x(310)
    paths = [shape for shape in picture.shapes if isinstance(shape, Path)]

    jackets = [path for path in paths if path.stroke == "ink" and path.points[0][0] < 0]
    assert [path.points[-1][0] for path in jackets] == [x]
    wedge = next(path for path in paths if path.fill == "ink" and path.points[0][0] == x)
    assert min(y for _, y in wedge.points) - RULER_Y < 5


def test_hatching_lies_only_where_the_plan_does_not_hold():
    ruler = ruler_over(0, 400, 1, 390)
    held = drawn(ruler, 100, 256)
    stops = drawn(ruler, 100, 256, (286.0, 400.0))
    falls = drawn(ruler, 100, 256, (120.0, 0.0))

    def floors(picture) -> list[Line]:
        lines = [shape for shape in picture.shapes if isinstance(shape, Line)]
        return [line for line in lines if line.width == 4.0]

    assert floors(held) == []
    (one,) = floors(stops)
    assert (one.x1, one.x2) == (ruler.x(286), ruler.right)
    (other,) = floors(falls)
    assert (other.x1, other.x2) == (ruler.left, ruler.x(120))
    for picture, line in ((stops, one), (falls, other)):
        strokes = next(
            s for s in picture.shapes if isinstance(s, Path) and len(s.points) > 8 and s.fill
        )
        assert all(line.x1 - 1e-6 <= x <= line.x2 + 1e-6 for x, _ in strokes.points)


@pytest.mark.parametrize("value", [0.0, 200.0, 400.0])
def test_the_wedge_stays_in_the_picture(value):
    ruler = ruler_over(0, 400, 1, 390)
    assert EDGE >= WEDGE_HALF
    x = ruler.x(value)
    assert x - WEDGE_HALF >= 0 and x + WEDGE_HALF <= 390
