"""From a reading that is outside to the test that parts the causes and to what was mended, in a
real browser: so many presses and no more."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from app_presses import type_figure, with_cautions_read
from real_app import FIXED, JOB, judged, nothing_went_wrong, on_site, serve

from engine.diagnose.account import account
from engine.verdict import INSIDE, OUTSIDE
from fieldapp import words

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["on_site", "serve"]

SLAB, GLOVE = 72.0, 56.0


def keeps(hand: Phone, digits: str) -> None:
    """Type a figure on the pad that is there, and keep it."""
    hand.wait_for(FIXED.type_it)
    type_figure(hand, digits)
    hand.tap(words.keep_slab(digits, "volts"))


@pytest.mark.browser
def test_two_presses_lead_from_a_kept_reading_to_the_next_test(on_site) -> None:
    hand, held = on_site(with_cautions_read([]))
    hand.go(f"/j/{JOB}/read/L2.in/volts")
    keeps(hand, "0")
    hand.wait_for(words.VERDICTS[OUTSIDE])

    before = hand.taps
    hand.tap(words.find_fault(), role="button")
    best = account(judged(held()))
    walk = words.walk_to("S", 463, True)
    hand.wait_for(walk)
    assert (best.next_test.at, best.next_test.kind) == ("S.out", "volts")
    hand.wait_for(words.capital(words.odds(best.best.probability)))
    assert hand.box(walk, role="button").height >= SLAB
    hand.tap(walk, role="button")
    hand.wait_route(f"/j/{JOB}/read/S.out/volts")
    assert hand.taps - before == 2

    keeps(hand, "54.1")
    hand.wait_for(words.VERDICTS[INSIDE])
    hand.go(f"/j/{JOB}/fault")
    top = account(judged(held())).best
    assert (top.cause, top.where) != (best.best.cause, best.best.where), "the test told something"
    hand.wait_for(words.capital(words.odds(top.probability)))

    before = hand.taps
    hand.tap(words.found_already(), role="button")
    hand.tap(words.it_was_that(), role="button")
    assert hand.box(words.it_was_else(), role="button").height >= GLOVE
    hand.tap(words.mended_slab(), role="button")
    hand.wait_route(f"/j/{JOB}/now")
    assert hand.taps - before == 3
    found, change = held().records[-2:]
    assert (found["what"], found["cause"], found["where"]) == ("found", top.cause, top.where)
    assert change["what"] == "change"
    hand.tap(FIXED.take_back, role="button")
    hand.wait_gone(FIXED.take_back)
    voids = held().records[-2:]
    assert {one["of"] for one in voids} == {found["id"], change["id"]}
    nothing_went_wrong(hand)
