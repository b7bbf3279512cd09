"""One label as a picture for the screen: its proportions, its code, the same face as in print."""

from __future__ import annotations

import pytest
from test_labels import made, sample

from fieldapp import words
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Rect, scaled
from fieldapp.drawing.svg import to_svg
from fieldapp.drawing.tokens import DARK, SUN
from fieldapp.handover.codes import square_of
from fieldapp.handover.labelface import face
from fieldapp.handover.labels import BOX
from fieldapp.handover.preview import code_bars, label_picture
from fieldapp.handover.sheets import GRIDS

FACTS = next(x for x in made() if (x.sort, x.thing) == (BOX, "J1"))


def black_at(bars: list[Rect], x: float, y: float) -> bool:
    return any(b.x < x < b.x + b.w and b.y < y < b.y + b.h for b in bars)


@pytest.mark.parametrize("size", GRIDS)
@pytest.mark.parametrize("width", [200.0, 358.0])
def test_it_has_the_shape_of_its_label_and_nothing_leaves_it(size, width):
    room = GRIDS[size].size
    picture = label_picture(FACTS, width, room)

    assert picture.width == width
    assert picture.height / picture.width == pytest.approx(room.height / room.width)
    for shape in picture.shapes:
        if isinstance(shape, Rect):
            assert shape.x >= 0 and shape.x + shape.w <= picture.width
            assert shape.y >= 0 and shape.y + shape.h <= picture.height
    assert to_svg(picture, SUN) != to_svg(picture, DARK)  # tokens only, each table has them all


def test_its_bars_are_the_code_module_by_module_and_no_seam_lies_between_rows():
    code = face(FACTS, GRIDS["a4"].size).code
    bars = list(code_bars(code))
    m, rows = code.module, square_of(FACTS.code).rows
    rim = (code.square.side - len(rows)) / 2
    for j, row in enumerate(rows):
        for i, black in enumerate(row):
            x, y = code.x + (i + rim + 0.5) * m, code.y + (j + rim + 0.5) * m
            assert black_at(bars, x, y) == black
            below = j + 1 < len(rows) and rows[j + 1][i]
            if black and below:  # the very line between them lies within one bar
                assert black_at(bars, x, code.y + (j + rim + 1) * m)


def test_it_says_what_is_printed():
    picture = label_picture(FACTS, 350.0)
    shown = [s.text for s in picture.shapes if isinstance(s, Label)]

    assert shown == [s.text for s in face(FACTS, GRIDS["a4"].size).shapes if isinstance(s, Label)]
    assert FACTS.thing in shown and FACTS.code in shown
    assert words.label_foot(FACTS.metres, FACTS.date) in shown


def test_every_label_of_the_samples_makes_one():
    for name in ("reedbed-hide", "orchard-gate", "tide-mill"):
        for facts in made(sample(name)):
            assert label_picture(facts, 320.0).shapes


@pytest.mark.parametrize(
    ("shape", "twice"),
    [
        (
            Path(((1, 2), (3, 4)), True, "ink", "sheet", 0.5, (1, 2), "round"),
            Path(((2, 4), (6, 8)), True, "ink", "sheet", 1.0, (2, 4), "round"),
        ),
        (Line(1, 2, 3, 4, "ink", 0.5, (1,)), Line(2, 4, 6, 8, "ink", 1.0, (2,))),
        (Circle(1, 2, 3, "ink", "sheet", 0.5), Circle(2, 4, 6, "ink", "sheet", 1.0)),
        (
            Rect(1, 2, 3, 4, "ink", "sheet", 0.5, None, 0.25),
            Rect(2, 4, 6, 8, "ink", "sheet", 1.0, None, 0.5),
        ),
        (
            Label(1, 2, "J1", "PB", 3, "ink", "end", "sheet", 30),
            Label(2, 4, "J1", "PB", 6, "ink", "end", "sheet", 30),
        ),
    ],
)
def test_a_shape_twice_as_large_has_all_its_lengths_doubled(shape, twice):
    assert scaled(shape, 2) == twice
