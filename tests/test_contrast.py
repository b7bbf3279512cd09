"""Contrast by the formula of WCAG 2.2, for each pair of colours that is really used.

Which pairs those are is read from the pages themselves: the sweeps over all states ask
``contrasts.undeclared`` of each, so that a new pair has to be declared, and is then measured here.
"""

from __future__ import annotations

import flet as ft
import pytest
from contrasts import DECLARED, GRAPHIC, TEXT, is_carried, undeclared, uses_of

from fieldapp.buttons import quiet, slab
from fieldapp.drawing.shapes import Label, Line, Picture, Rect
from fieldapp.drawing.tokens import (
    CARRIED_BY_OTHERS,
    DARK,
    DARK_HIGH,
    SHAPES_ON,
    SUN,
    SUN_HIGH,
    contrast,
    tokens_for,
)
from fieldapp.paint import canvas, look_for
from fieldapp.parts import text

LOOKS = {"sun": SUN, "dark": DARK, "sun, high": SUN_HIGH, "dark, high": DARK_HIGH}
LEAST = {TEXT: 4.5, GRAPHIC: 3.0}
MORE = {TEXT: 7.0, GRAPHIC: 4.5}
"""with more contrast, ours; 7 is that of 1.4.6. Of copper the words beside it say the same."""
LOOK = look_for(True, 390, 844, 1.0)


@pytest.mark.parametrize("name", LOOKS)
def test_every_pair_that_is_used_can_be_told_apart(name):
    tokens = LOOKS[name]
    for kind, one, under in sorted(DECLARED):
        least = MORE if "high" in name and "copper" not in (one, under) else LEAST
        ratio = contrast(tokens[one], tokens[under])
        assert ratio >= least[kind], f"{kind} of {one} on {under}: {ratio:.2f}"


def test_more_contrast_never_is_less():
    for plain, high in ((SUN, SUN_HIGH), (DARK, DARK_HIGH)):
        assert plain.keys() == high.keys()
        for _, one, under in DECLARED:
            before, now = (contrast(table[one], table[under]) for table in (plain, high))
            assert now >= before - 1e-9, (one, under)
        assert high["soft"] == high["ink"]
        assert {high["tide_fill"], high["tide_wash"]} == {high["ground"]}, "no washes"


def test_the_phones_wishes_choose_the_table():
    tables = [tokens_for(dark, high) for dark in (False, True) for high in (False, True)]
    assert tables == [SUN, SUN_HIGH, DARK, DARK_HIGH]


def test_what_needs_no_contrast_says_why_and_is_no_line():
    for name, reason in CARRIED_BY_OTHERS.items():
        assert reason
        assert name == "ground" or name not in SHAPES_ON
    assert not is_carried("copper", "ground") and not is_carried("signal", "tide_fill")
    assert is_carried("copper", "ink") and is_carried("hair", "ground")


def test_the_walk_sees_what_lies_under_letters_and_lines():
    """A label half on a band, one with a halo, a line across both; buttons, words in them."""
    picture = Picture(
        200,
        60,
        (
            Rect(0, 0, 100, 60, "tide_fill"),
            Line(0, 50, 200, 50, "signal", 2),
            Label(60, 20, "half and half of it", "P", 15, "soft"),
            Label(60, 40, "over a band", "P", 15, "copper_word", halo="ground"),
            Rect(120, 10, 40, 10, "tide"),
            Label(140, 15, "x", "P", 8, "rule", "middle"),
        ),
    )
    page = ft.View(
        bgcolor=DARK["ground"],
        controls=[
            canvas(LOOK, picture),
            slab(LOOK, "Go on", "to the next", lambda: None),
            quiet(LOOK, "Back", None, key="back"),
            ft.Container(text(LOOK, "a **point**", 18, "tide"), bgcolor=DARK["sheet"]),
        ],
    )
    seen = uses_of(page).seen
    assert seen >= {
        (TEXT, "soft", "ground"),
        (TEXT, "soft", "tide_fill"),
        (GRAPHIC, "signal", "ground"),
        (GRAPHIC, "signal", "tide_fill"),
        (TEXT, "rule", "tide"),
        (TEXT, "copper_word", "ground"),
        (TEXT, "ground", "ink"),
        (TEXT, "ink", "ground"),
        (GRAPHIC, "ink", "ground"),
        (TEXT, "tide", "sheet"),
    }
    assert (TEXT, "copper_word", "tide_fill") not in seen, "the halo lies between"
    wrong = set(undeclared(page))
    assert "text of rule on tide" in wrong and "text of soft on tide_fill" in wrong
    assert not any("ground on ink" in one or "hair" in one for one in wrong)


def test_a_colour_of_another_look_is_found():
    lost = ft.View(
        bgcolor=DARK["ground"], controls=[ft.Text("a", style=ft.TextStyle(color=SUN["ink"]))]
    )
    assert set(undeclared(lost)) >= {"sun ink on dark ground"}
