"""Lengths and wires in the technician's manner: turned in one place, typed as they are shown, and
nowhere shown otherwise."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st
from test_german import small as german_small
from test_german import sentences as german_sentences
from test_words import sentences, small_words

from engine.standards.conductors import awg_area_mm2, awg_diameter_mm
from fieldapp import words
from fieldapp.words import units
from fieldapp.words.manner import LANGUAGES, Manner, speaking

FEET = {language: Manner(language, "feet", "awg") for language in LANGUAGES}
METRIC = {language: Manner(language) for language in LANGUAGES}

# ---------------------------------------------------------------- against numbers from outside


@pytest.mark.parametrize(
    ("gauge", "mm", "mm2"),
    # wire tables of ASTM B258's sizes, to three digits as they print them
    [(22, 0.644, 0.326), (23, 0.573, 0.258), (24, 0.511, 0.205), (6, 4.115, 13.30)],
)
def test_gauges_are_those_of_the_wire_tables(gauge, mm, mm2):
    assert awg_diameter_mm(gauge) == pytest.approx(mm, abs=0.0005)
    assert awg_area_mm2(gauge) == pytest.approx(mm2, abs=0.5 * 10 ** -(3 if mm2 < 1 else 2))
    assert units.gauge_of(mm2) == gauge


def test_a_foot_is_a_third_of_a_yard_of_1959():
    """0.9144 m a yard, exactly; a mile of 5280 feet is 1609.344 m."""
    with speaking(FEET["en"]):
        assert units.kept(3, units.LENGTH) == 0.9144
        assert units.kept(5280, units.LENGTH) == 1609.344
        assert words.metres(1609.344) == f"5280{words.NBSP}ft"


@pytest.mark.parametrize(
    ("gauge", "said"), [(-3, "4/0"), (-1, "2/0"), (0, "1/0"), (1, "1"), (23, "23")]
)
def test_gauges_past_nought_are_said_as_the_trade_says_them(gauge, said):
    assert units.gauge_text(gauge) == said
    digits = "0" * (1 - gauge) if gauge < 1 else str(gauge)
    assert units.gauge_typed(digits) == gauge


# ---------------------------------------------------------------- to and fro

RUNS = st.floats(0.01, 100_000, allow_nan=False)
LEADS = st.floats(0.01, 500, allow_nan=False)


@given(RUNS, st.sampled_from(sorted(FEET)))
def test_typing_the_length_that_is_shown_keeps_the_plans_own(metres, language):
    with speaking(FEET[language]):
        digits = units.exact_text(metres)
        assert units.kept_figure(digits, units.LENGTH, metres) == metres
        afresh = units.kept_figure(digits, units.LENGTH)
        assert abs(afresh - metres) <= 0.05 * units.FOOT_M + 1e-4
        assert words.length(metres).startswith(digits.replace(".", words.decimal_mark()))


@given(LEADS)
def test_typing_the_gauge_that_is_shown_keeps_the_plans_own(mm2):
    with speaking(FEET["en"]):
        gauge = units.shown(mm2, units.WIRE)
        digits = "0" * int(1 - gauge) if gauge < 1 else f"{gauge:.0f}"
        assert units.kept_figure(digits, units.WIRE, mm2) == mm2
        afresh = units.kept_figure(digits, units.WIRE)
        assert units.shown(afresh, units.WIRE) == gauge


@given(RUNS)
def test_what_is_typed_in_metres_is_kept_to_the_last_digit(metres):
    assert units.kept_figure(f"{metres:.3f}", units.LENGTH) == round(metres, 3)


def test_another_figure_than_the_one_shown_is_a_change():
    with speaking(FEET["en"]):
        assert units.kept_figure("1542", units.LENGTH, 470.0) == 470.0
        assert units.kept_figure("1543", units.LENGTH, 470.0) == pytest.approx(470.3064)
        assert units.kept_figure("5", units.WIRE, 13.3) == pytest.approx(16.77, abs=0.005)


@pytest.mark.parametrize(
    ("mm2", "said"),
    [(13.3, "6"), (1.5, "≈15"), (16.0, "≈5"), (107.2, "4/0"), (300.0, ">4/0"), (0.0, "≈40")],
)
def test_a_conductor_that_is_no_gauge_says_so(mm2, said):
    with speaking(FEET["en"]):
        assert words.wire(mm2) == f"{said}{words.NBSP}AWG"


def test_a_cable_has_both_where_areas_are_chosen():
    nbsp = words.NBSP
    assert words.cable_wire(23) == f"0.26{nbsp}mm²{nbsp}(23{nbsp}AWG)"
    with speaking(METRIC["de"]):
        assert words.cable_wire(24, short=True) == f"0,20{nbsp}mm²"
    with speaking(FEET["de"]):
        assert words.cable_wire(24) == f"24{nbsp}AWG"


# ---------------------------------------------------------------- nothing is shown otherwise

IN_METRES = {
    language: re.compile(rf"[\d?][ \u00a0]m\b(?![²³/])|{word}|mm²|mm2")
    for language, word in (("en", r"\b[Mm]etres?\b"), ("de", r"\bMetern?\b"))
}
IN_AREAS_AND_METRES = re.compile(r"\bft\b|\bfeet\b|\bFuß\b")


def test_the_reader_of_metres_sees_what_it_should():
    for text in ("470 m", "0.5\u00a0m long", "?\u00a0m", "470 metres", "1.5\u00a0mm²"):
        assert IN_METRES["en"].search(text), text
    assert IN_METRES["de"].search("die Meter")
    for text in ("1542\u00a0ft", "297\u00a0mA", "6\u00a0min", "15\u00a0MB", "Even if the meter is"):
        assert not IN_METRES["en"].search(text), text


METRIC_BY_NAME = ("spans_columns(", "table_problem(", "CHOICES_SAID", "choice_said(")
"""a table of spans has a column that is called so, and the settings name both units"""
NO_KIND_OF_BOX = ("kind_word(", "box_title(", "boxes_kind(")
"""their samples are kinds of reading: they say as it is what they do not know"""


def everything(language: str) -> Iterator[tuple[str, str]]:
    """Every sentence and small word of a language, said in the manner at hand."""
    if language == "en":
        every = (*sentences.__wrapped__(), *small_words.__wrapped__())
    else:
        told = (*german_sentences.__wrapped__(), *german_small.__wrapped__())
        every = tuple((where, text) for where, text, _ in told)
    yield from (one for one in every if not one[0].startswith((*METRIC_BY_NAME, *NO_KIND_OF_BOX)))


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_no_word_is_left_in_metres(language):
    with speaking(FEET[language]):
        left = [one for one in everything(language) if IN_METRES[language].search(one[1])]
    assert left == []


@pytest.mark.parametrize("language", sorted(LANGUAGES))
def test_no_word_is_in_feet_unless_it_was_chosen(language):
    with speaking(METRIC[language]):
        left = [one for one in everything(language) if IN_AREAS_AND_METRES.search(one[1])]
    assert left == []
