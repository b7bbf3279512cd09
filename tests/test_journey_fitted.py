"""What is put in for a test, in a real browser: in by one press, still in after the battery died,
and nobody leaves before one press says that it is out."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from app_presses import with_cautions_read
from real_app import FIXED, JOB, judged, nothing_went_wrong, on_site, serve, spoken

from engine.fitted import BYPASS, SHORT, fitted
from engine.leave import Hold
from fieldapp import words

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["on_site", "serve"]

GLOVE = 56.0
PAIRS = f"/j/{JOB}/now?step=pairs.C4"


def is_in(held: Callable) -> set[tuple[str, str]]:
    """What is in and where, by the journal on the disk."""
    return {(one.what, one.at) for one in fitted(judged(held()).state)}


def holds(held: Callable) -> list[Hold]:
    return [one for one in judged(held()).blockers if one.id.startswith("fitted.")]


def press(hand: Phone, name: str) -> None:
    """One press of a button that a glove can find, and that is gone once it is kept."""
    hand.scroll_to(name, role="button")
    assert hand.box(name, role="button").height >= GLOVE, name
    before = hand.taps
    hand.tap(name, role="button")
    hand.wait_gone(name)
    assert hand.taps - before == 1


@pytest.mark.slow
@pytest.mark.browser
def test_a_short_is_in_by_one_press_and_holds_until_it_is_out(on_site) -> None:
    hand, held = on_site(with_cautions_read([]))
    hand.go(PAIRS)
    press(hand, words.is_in_at(SHORT, "A2.line"))
    hand.wait_for(words.is_out_again(SHORT))
    hand.wait_route(PAIRS)  # one measures next
    assert is_in(held) == {(SHORT, "A2.line")}

    hand, held = on_site()  # the battery died
    hand.go(PAIRS)
    hand.wait_for(words.is_still_in(SHORT, "A2.line", "", ""))
    hand.go(f"/j/{JOB}/leave")
    (hold,) = holds(held)
    assert hold.can_waive == "no"
    hand.scroll_to(spoken(words.sentence(hold.say)))
    press(hand, words.it_is_out())
    assert is_in(held) == set() and holds(held) == []

    hand.go(PAIRS)
    press(hand, words.is_in_at(SHORT, "A2.line"))
    press(hand, words.is_out_again(SHORT))
    hand.wait_for(words.is_in_at(SHORT, "A2.line"))
    assert is_in(held) == set()
    from_run(hand, held)
    nothing_went_wrong(hand)


def from_run(hand: Phone, held: Callable) -> None:
    """Two presses put it in, and the strip takes it back."""
    hand.go(f"/j/{JOB}/run?at=L2.in")
    before = hand.taps
    hand.tap(words.put_in(), role="button")
    hand.wait_for(words.put_in_row(BYPASS, "L2"))
    press(hand, words.put_in_row(BYPASS, "L2"))
    assert hand.taps - before == 2
    assert is_in(held) == {(BYPASS, "L2")}
    hand.wait_for(words.is_still_in(BYPASS, "L2", "", ""))
    press(hand, FIXED.take_back)
    hand.wait_gone(words.is_still_in(BYPASS, "L2", "", ""))
    assert is_in(held) == set() and holds(held) == []
