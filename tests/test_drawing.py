"""What all drawings share: colours by name, arrows, names made short, and SVG."""

from pathlib import Path as FilePath
from xml.etree import ElementTree

import pytest
from drawn_runs import check, reedbed

from fieldapp.drawing import arrow, boxes
from fieldapp.drawing.letters import shorten
from fieldapp.drawing.ribbon import ribbon
from fieldapp.drawing.svg import to_svg
from fieldapp.drawing.tokens import DARK, SUN, contrast
from fieldapp.faces import text_width

# ---- colours ---------------------------------------------------------------------------------

LISTED = [
    ("ink", "ground", 17.3, 17.2),
    ("ink", "tide_fill", 11.2, 7.4),
    ("soft", "ground", 8.7, 11.3),
    ("rule", "ground", 4.0, 4.5),
    ("hair", "ground", 1.7, 1.9),
    ("copper", "ground", 5.3, 10.4),
    ("on_copper", "copper", 5.6, 10.3),
    ("copper_word", "ground", 8.2, 11.7),
    ("tide", "ground", 8.3, 11.3),
    ("tide", "tide_fill", 5.4, 4.9),
    ("signal", "ground", 7.8, 7.6),
    ("signal", "tide_fill", 5.0, 3.3),
]


@pytest.mark.parametrize(("one", "other", "sun", "dark"), LISTED)
def test_contrast_of_each_listed_pair(one, other, sun, dark):
    """Each pair has the contrast the colour table states, within 0.06 (half a last digit and rounding)."""
    assert contrast(SUN[one], SUN[other]) == pytest.approx(sun, abs=0.06)
    assert contrast(DARK[one], DARK[other]) == pytest.approx(dark, abs=0.06)


def test_both_tables_name_the_same_tokens():
    """A picture made for one look can be painted in the other."""
    assert SUN.keys() == DARK.keys()


def test_no_drawing_names_a_hex():
    """Colours in drawings are tokens: hexes stand in one file only."""
    folder = FilePath(boxes.__file__).parent
    named = {p.name for p in folder.glob("*.py") if '"#' in p.read_text("utf-8")}
    assert named == {"tokens.py"}


# ---- arrows and words ------------------------------------------------------------------------


def test_arrows_face_both_ways():
    """Left is the mirror of right."""
    right, left = arrow.arrow("right"), arrow.arrow("left")
    check(right)
    check(left)
    assert right.shapes != left.shapes
    assert arrow.stepper("left").shapes != arrow.stepper("right").shapes
    check(arrow.stepper())
    check(arrow.rub_out())


def test_a_long_name_keeps_both_ends():
    """An ellipsis in the middle, never wider than the room."""
    short = shorten("Old pump house by the weir", "P", 15, 90)
    assert short.startswith("Old") and short.endswith("weir") and "…" in short
    assert text_width("P", 15, short) <= 90
    assert shorten("x", "P", 15, 1) == ""


def test_svg_escapes_what_people_type():
    """A name with a bracket does not break the drawing."""
    picture = ribbon(reedbed(), 390, "<b>&\"'", "k")
    root = ElementTree.fromstring(to_svg(picture, SUN))
    assert "<b>&\"'" in [t.text for t in root.iter("{http://www.w3.org/2000/svg}text")]
