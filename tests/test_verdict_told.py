"""What a verdict says beside its word: which side, how far out; and what has no end to be out of."""

from __future__ import annotations

import pytest
from test_verdict import judged, reading, sample, verdict, word

from engine.phrases import english
from engine.verdict import Verdict

pytestmark = pytest.mark.pure


def unclear(value: float) -> Verdict:
    """The third figure at a feed that may give anything from 50.5 to 56.5 V, and gave 53.5 twice."""
    doc = sample()
    doc["sheets"]["my.switch"]["volts"] = {"low": 50.5, "expected": 53.5, "high": 56.5}
    log = [reading("S.out", "volts", one, moment=str(one)) for one in (53.5, 53.51, value)]
    *_, last = judged(doc, *log).verdicts
    assert last.verdict == "unclear"
    return last


def test_an_unclear_figure_is_told_with_its_side_and_how_far_out_it_is():
    below, above = unclear(53.4), unclear(53.6)
    assert below.say.parts["low"] and not above.say.parts["low"]
    assert below.say.parts["by"] == pytest.approx(below.band.low - 53.4)
    assert above.say.parts["by"] == pytest.approx(53.6 - above.band.high)
    assert 0 < below.say.parts["by"] < 0.1
    assert "below" in english(below.say).text and "above" in english(above.say).text


def test_where_the_run_cannot_hold_the_worst_load_no_volts_are_too_low():
    """The plan allows that the far end breaks down: then it shows anything, and draws anything.

    Too many volts, and fewer amps than the lightest load draws, are outside all the same.
    """
    doc = sample()
    doc["sheets"]["my.intercom"]["watts"] = {"low": 2, "expected": 6, "high": 60}
    for at, kind, value, expected in (
        ("E.in", "volts", 20.0, "inside"),
        ("E.in", "volts", 0.5, "inside"),
        ("E.in", "volts", 60.0, "outside"),
        ("S.out", "milliamps", 1900.0, "inside"),
        ("S.out", "milliamps", 3.0, "outside"),
    ):
        assert word(doc, at, kind, value) == expected, (at, value)
    far = verdict(doc, "E.in", "volts", 60.0)
    assert far.band.low is None and far.say.code == "verdict-outside-high"
