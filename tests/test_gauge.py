"""The gauge of one reading, its marks, and the knots beside what holds."""

import pytest
from drawn_runs import check, frame_of, label, tokens_of, words

from fieldapp.drawing import digits, fit, gauge, knots
from fieldapp.drawing.letters import overlap
from fieldapp.drawing.placing import drawn_frame
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Rect
from fieldapp.faces import text_width

# ---- gauge and marks -------------------------------------------------------------------------

BAND = (43.7, 44.9, 46.0)


def the_gauge(reading: float | None, verdict: str | None, text: str = "") -> Picture:
    return gauge.gauge(BAND, (37.0, 50.0), reading, 0.3, "V", verdict, text, 390, 190)


def bead(picture: Picture) -> Circle:
    return next(s for s in picture.shapes if isinstance(s, Circle) and s.r == 8.5)


def sleeve(picture: Picture) -> Rect:
    return next(s for s in picture.shapes if isinstance(s, Rect) and s.h == 42)


def test_a_reading_outside_has_a_dimension_line():
    """Bead left of the sleeve in signal, words above, both ends of the band numbered."""
    picture = the_gauge(41.0, "outside", "2.7 V low")
    check(picture)
    assert bead(picture).fill == "signal" and bead(picture).x < sleeve(picture).x
    assert {"2.7 V low", "43.7", "46.0\u00a0V", "40"} <= set(words(picture))
    ends = sorted(s.x1 for s in picture.shapes if isinstance(s, Line) and s.width == 1.8)
    assert ends == pytest.approx([bead(picture).x, sleeve(picture).x])


def test_the_window_spares_fifteen_parts_in_a_hundred():
    """Band and reading with its reach leave 15 % of the width free at both ends."""
    picture = the_gauge(41.0, None)
    reach = [s for s in picture.shapes if isinstance(s, Line) and s.width == 3.0]
    assert min(s.x1 for s in reach) == pytest.approx(0.15 * 390)
    assert sleeve(picture).x + sleeve(picture).w == pytest.approx(0.85 * 390)


def test_unclear_visibly_crosses_the_sleeves_end():
    """The meter's bar has one end in the sleeve and one outside."""
    picture = the_gauge(43.6, "unclear")
    check(picture)
    left, right = sorted(s.x1 for s in picture.shapes if isinstance(s, Line) and s.width == 3.0)
    assert left < sleeve(picture).x < right
    assert bead(picture).fill == "ink"


def strokes(picture: Picture) -> list[float]:
    """Where the end strokes of the meter's reach stand."""
    return sorted(s.x1 for s in picture.shapes if isinstance(s, Line) and s.width == 3.0)


def test_a_reach_smaller_than_the_bead_is_seen_all_the_same():
    """End strokes 3 dp off the bead; with a reach that shows by itself, exactly the truth."""
    small = gauge.gauge(BAND, None, 41.0, 0.02, "V", "outside", "2.7 V low", 390, 190)
    check(small)
    at = bead(small).x
    assert strokes(small) == pytest.approx([at - 13, at + 13])
    wide = gauge.gauge(BAND, None, 41.0, 0.6, "V", "outside", "2.7 V low", 390, 190)
    left, right = strokes(wide)
    dp = (sleeve(wide).x - bead(wide).x) / (BAND[0] - 41.0)
    assert (right - left) / 2 == pytest.approx(0.6 * dp) and right - left > 26
    none = gauge.gauge(BAND, None, 41.0, 0.0, "V", "outside", "2.7 V low", 390, 190)
    assert strokes(none) == []


def test_a_stroke_off_the_bead_never_feigns_crossing_the_sleeves_end():
    """Just outside, with a tiny reach: only the stroke on the free side."""
    close = gauge.gauge(BAND, None, 43.65, 0.01, "V", "outside", "0.1 V low", 390, 190)
    check(close)
    assert len(strokes(close)) == 1 and strokes(close)[0] < bead(close).x < sleeve(close).x


@pytest.mark.parametrize("letters", [1.0, 1.6])
@pytest.mark.parametrize("reading", [30.0, 43.3, 43.5, 43.6, 43.68, 46.03, 46.2, 60.0])
def test_dimension_words_lie_on_no_stroke(reading, letters):
    """Above the arrow, or beside two strokes too close for its heads."""
    picture = gauge.gauge(
        BAND, None, reading, 0.01, "V", "outside", "0.1 V off", 390, 190, letters=letters
    )
    check(picture)
    said = drawn_frame(label(picture, "0.1 V off"))
    drawn = [s for s in picture.shapes if isinstance(s, Line | Rect | Circle)]
    for frame in (frame_of(s) for s in drawn):
        thick = (frame[0] - 1, frame[1] - 1, frame[2] + 1, frame[3] + 1)
        assert not overlap(said, thick)
    heads = [s for s in picture.shapes if isinstance(s, Path) and s.fill == "signal"]
    distance = abs(bead(picture).x - (sleeve(picture).x + (reading > 45) * sleeve(picture).w))
    assert len(heads) == (2 if distance >= 22 else 0)


def test_an_empty_sleeve_has_no_bead():
    """A reading still to be taken."""
    picture = fit.reading_drawing(BAND, (37, 50), "V", 390, 110)
    check(picture)
    assert sleeve(picture) and not any(isinstance(s, Circle) for s in picture.shapes)


def test_a_slipped_decimal_shows():
    """410 beside 44: the bead is far off, the band's ends share one label."""
    picture = gauge.gauge(BAND, (37, 50), 410, 2, "V", None, "", 390, 110)
    check(picture)
    assert bead(picture).x - sleeve(picture).x > 200
    assert "43.7–46.0\u00a0V" in words(picture)


def test_without_a_band_there_is_no_sleeve():
    """A bead on the bare line."""
    picture = gauge.gauge(None, None, 12, 0.3, "V", "no-band", "", 390, 110)
    check(picture)
    assert not any(isinstance(s, Rect) for s in picture.shapes)


def test_a_design_band_without_an_end_runs_off_the_picture():
    """At worst nothing holds: the wash then has no lower end, and nothing is drawn endlessly far."""
    picture = gauge.gauge(BAND, (float("-inf"), 50.0), 44.0, 0.3, "V", "inside", "", 390, 112)
    check(picture)
    (wash,) = [s for s in picture.shapes if isinstance(s, Rect) and s.fill == "tide_wash"]
    assert wash.x == 0 and 0 < wash.w <= 390
    (sleeve,) = [s for s in picture.shapes if isinstance(s, Rect) and s.fill == "tide_fill"]
    assert sleeve.w < wash.w


def test_a_reading_that_was_taken_back_is_struck_through():
    plain = digits.reading_picture("45.2", "V", 390, 84)
    struck = digits.reading_picture("45.2", "V", 390, 84, struck=True)
    (line,) = [shape for shape in struck.shapes if shape not in plain.shapes]
    figure = next(shape for shape in plain.shapes if isinstance(shape, Label))
    assert isinstance(line, Line) and line.y1 == line.y2
    assert line.x1 <= figure.x and line.x2 >= figure.x + text_width(
        figure.face, figure.size, figure.text
    )


def test_two_sleeves_for_two_causes():
    """Each named, its range below; the one hoped not to be met is dashed."""
    rows = [
        gauge.Sleeve(34.4, 38.6, "copper", "34.4 to 38.6 Ω", above=True),
        gauge.Sleeve(53.2, 61.2, "clad", "53.2 to 61.2 Ω", above=True, dashed=True),
    ]
    picture = gauge.sleeves(rows, 390, 120, reading=36.9, reach=0.8)
    check(picture)
    assert {"copper", "clad"} <= set(words(picture))
    drawn = [s for s in picture.shapes if isinstance(s, Rect) and s.h == 42]
    assert [s.dash is not None for s in sorted(drawn, key=lambda s: s.x)] == [False, True]


def test_the_four_marks_differ_in_shape_not_only_in_colour():
    """Painted all in one ink they are still four."""
    marks = {
        v: tuple(
            (type(s).__name__, *(round(c, 2) for c in frame_of(s))) for s in gauge.mark(v, 0, 0)
        )
        for v in gauge.VERDICTS
    }
    assert len(set(marks.values())) == 4


@pytest.mark.parametrize("verdict", [*gauge.VERDICTS, None, "other"])
@pytest.mark.parametrize("scale", [1.0, 1.6, 2.5])
def test_a_mark_keeps_its_frame(verdict, scale):
    """52 x 18 dp times the scale; signal only when outside."""
    shapes = gauge.mark(verdict, 10, 20, scale)
    for shape in shapes:
        frame = frame_of(shape)
        assert frame[0] >= 10 - 1e-6 and frame[1] >= 20 - 1e-6
        assert frame[2] <= 10 + 52 * scale + 1e-6 and frame[3] <= 20 + 18 * scale + 1e-6
    inks = set().union(*(tokens_of(s) for s in shapes))
    assert inks == ({"signal"} if verdict == "outside" else {"ink"})


def test_odds_fill_conductor_ends():
    """Seven of ten are copper."""
    ends = gauge.conductor_ends(7, 10, 0, 10)
    assert [e.fill for e in ends].count("copper") == 7 and len(ends) == 10


# ---- knots -----------------------------------------------------------------------------------


def test_knots_join_from_row_to_row():
    """Every picture is as high as its row; the cable enters and leaves it at the same place."""
    rows = [(176.0, "open"), (120.0, "waived"), (60.0, "free"), (40.0, "plug"), (9.0, "open")]
    pictures = knots.knot_cable(rows)
    assert [p.height for p in pictures] == [h for h, _ in rows]
    for picture, (height, state) in zip(pictures, rows, strict=True):
        check(picture, slack=1.5)
        ends = [p for s in picture.shapes if isinstance(s, Path) for p in s.points]
        assert any(x == knots.CABLE_X and y <= 0 for x, y in ends)
        if state != "plug":
            assert any(x == knots.CABLE_X and y >= height for x, y in ends)


def test_only_an_open_hold_is_a_knot():
    """The loop swings far to the left; tape is two short bars; free is straight."""
    knot, taped, free = knots.knot_cable([(176, "open"), (176, "waived"), (176, "free")])

    def reach(picture: Picture) -> float:
        return min(frame_of(s)[0] for s in picture.shapes if isinstance(s, Path))

    assert reach(knot) < 12 and reach(taped) == reach(free) == knots.CABLE_X
    assert sum(isinstance(s, Rect) for s in taped.shapes) == 2
