"""The gauge of a return: two beads, the sleeve of what would be no news, the distance in words."""

from itertools import combinations

import pytest
from drawn_runs import check, frame_of, label, words
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldapp.drawing.drift import two_beads
from fieldapp.drawing.letters import label_frame, overlap
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Rect

SAID, BEFORE, NOW = "2.2 V lower than 3 June", "43.2 on 3 June", "41.0 today"


def drawn(
    before: float = 43.2,
    now: float = 41.0,
    expected: tuple[float, float, float] = (42.8, 43.2, 43.6),
    *,
    drifted: bool = True,
    said: str = SAID,
    texts: tuple[str, str] = (BEFORE, NOW),
    width: float = 390,
    letters: float = 1.0,
) -> Picture:
    return two_beads(before, now, expected, said, *texts, width, drifted=drifted, letters=letters)


def beads(picture: Picture) -> tuple[Circle, Circle]:
    """The earlier one and today's: the one that is hollow, the one that is full."""
    circles = [s for s in picture.shapes if isinstance(s, Circle)]
    (hollow,) = [s for s in circles if s.fill == "ground" and s.stroke]
    (full,) = [s for s in circles if s.fill != "ground"]
    return hollow, full


def sleeve(picture: Picture) -> Rect:
    (one,) = [s for s in picture.shapes if isinstance(s, Rect)]
    return one


def label_frames(picture: Picture) -> list[tuple[float, float, float, float]]:
    return [label_frame(s) for s in picture.shapes if isinstance(s, Label)]


def test_the_earlier_bead_is_hollow_and_todays_is_full_whatever_the_colours():
    picture = drawn()
    check(picture)
    hollow, full = beads(picture)
    assert full.x < hollow.x, "lower stands left"
    assert full.r >= 7 and hollow.stroke == "ink"
    assert {SAID, BEFORE, NOW} <= set(words(picture))


def test_the_sleeve_is_where_today_was_expected():
    """Its ends and its middle are to the scale of the beads."""
    picture = drawn(expected=(42.6, 43.0, 43.4))
    hollow, full = beads(picture)
    dp = (hollow.x - full.x) / (43.2 - 41.0)
    box = sleeve(picture)
    assert box.x == pytest.approx(hollow.x + (42.6 - 43.2) * dp)
    assert box.w == pytest.approx(0.8 * dp)
    assert box.radius > 0
    middle = [s.x1 for s in picture.shapes if isinstance(s, Line) and s.stroke == "tide"]
    assert middle == pytest.approx([hollow.x + (43.0 - 43.2) * dp])


def test_what_drifted_is_told_without_colour_too():
    """The words on the dimension say it; copper stands in its casing."""
    drifted, steady = drawn(), drawn(drifted=False)
    assert label(drifted, SAID).ink == "signal" and label(steady, SAID).ink == "ink"
    assert beads(drifted)[1].fill == "signal"
    full = beads(steady)[1]
    assert (full.fill, full.stroke) == ("copper", "ink")


def test_the_dimension_runs_from_bead_to_bead():
    picture = drawn()
    hollow, full = beads(picture)
    feet = sorted(s.x1 for s in picture.shapes if isinstance(s, Line) and s.width == 1.8)
    assert feet == pytest.approx([full.x, hollow.x])
    heads = [s for s in picture.shapes if isinstance(s, Path)]
    assert len(heads) == 2
    tips = sorted(points[0][0] for points in (head.points for head in heads))
    assert tips == pytest.approx([full.x + 1, hollow.x - 1])


@pytest.mark.parametrize("now", [43.2, 43.21, 43.25, 43.3])
def test_beads_on_each_other_are_both_seen(now):
    """The earlier one becomes a ring round today's."""
    picture = drawn(now=now, drifted=False, texts=("43.2 on 3 June", "43.2 today"))
    check(picture)
    hollow, full = beads(picture)
    order = [s for s in picture.shapes if isinstance(s, Circle)]
    assert order[-1] is full
    shown_past = hollow.r + 1.25 - (full.r - abs(hollow.x - full.x))
    assert shown_past > 4 or abs(hollow.x - full.x) > full.r
    over = [s for s in order[order.index(hollow) + 1 :] if s.fill == "ground"]
    assert all(abs(s.x - hollow.x) + 2 > s.r - hollow.r for s in over), "no halo hides it all"


LONG = "12.3 V lower than 30 September 2031"
WIDE_TEXTS = ("43.2 on 30 September 2031", "41.0 today")


@pytest.mark.parametrize("width", [320.0, 390.0, 640.0])
@pytest.mark.parametrize("letters", [1.0, 1.3, 1.6, 2.0])
@pytest.mark.parametrize(
    ("before", "now"), [(43.2, 41.0), (43.2, 43.0), (43.2, 43.2), (41.0, 47.0), (53.0, 12.0)]
)
def test_no_words_lie_on_others_or_on_a_stroke(before, now, width, letters):
    """At any size of letters; long days too."""
    picture = drawn(before, now, said=LONG, texts=WIDE_TEXTS, width=width, letters=letters)
    check(picture)
    for one, other in combinations(label_frames(picture), 2):
        assert not overlap(one, other)
    strokes = [frame_of(s) for s in picture.shapes if isinstance(s, Line | Rect | Circle)]
    for frame in strokes:
        thick = (frame[0] - 1, frame[1] - 1, frame[2] + 1, frame[3] + 1)
        for said in label_frames(picture):
            inner = (said[0], said[1] + 3, said[2], said[3] - 3)  # capitals, not the whole line
            assert not overlap(inner, thick)


def test_figures_keep_the_order_of_their_beads():
    for before, now in ((43.2, 43.0), (43.0, 43.2)):
        picture = drawn(before, now, texts=("4.1", "4.2"))
        hollow, full = beads(picture)
        first, second = label(picture, "4.1"), label(picture, "4.2")
        assert (first.x < second.x) == (hollow.x < full.x)


def test_two_long_figures_take_two_rows():
    long = ("43.2 on 30 September 2031", "41.0 today, an hour ago")
    picture = drawn(texts=long, width=320)
    plain = drawn(texts=("43.2", "41.0"), width=320)
    assert picture.height > plain.height
    check(picture)


def test_without_words_there_is_no_dimension():
    picture = drawn(said="")
    assert not [s for s in picture.shapes if isinstance(s, Path)]


@settings(max_examples=150, deadline=None, derandomize=True)
@given(
    st.floats(0, 2000),
    st.floats(0, 2000),
    st.floats(-50, 50),
    st.floats(0, 80),
    st.booleans(),
    st.sampled_from([300.0, 390.0, 800.0]),
    st.floats(1.0, 2.0),
)
def test_any_two_readings_are_drawn(before, now, shift, half, drifted, width, letters):
    middle = before + shift
    picture = drawn(
        before,
        now,
        (middle - half, middle, middle + half),
        drifted=drifted,
        width=width,
        letters=letters,
    )
    check(picture)
    hollow, full = beads(picture)
    assert (full.x < hollow.x) == (now < before) or abs(full.x - hollow.x) < 1e-3
    for one, other in combinations(label_frames(picture), 2):
        assert not overlap(one, other)
