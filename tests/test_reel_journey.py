"""Three reels in a real browser: a clad one refused, a copper one taken, a clad one used all the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import TYPE_CHECKING

import pytest
from app_presses import state_of
from real_app import FIXED, JOB, SAMPLE, judged, on_site, serve

from fieldapp import words
from fieldapp.reeling import KEY

if TYPE_CHECKING:
    from browser import Phone

__all__ = ["on_site", "serve"]

SOUND, CLAD = ("391", "112", "36.9"), ("391", "112", "57.4")
NAMES = ("first", "second", "ohms")


def checks(hand: Phone, span: str, figures: tuple[str, ...]) -> None:
    """From a page with nothing typed: both marks and the pair, one pad after the other."""
    page = f"/j/{JOB}/reel/{span}"
    hand.tap(words.reel_type("first"), role="button")
    for name, digits in zip(NAMES, figures, strict=True):
        hand.wait_route(f"{page}/{name}")
        unit = words.reel_unit(name)
        for key in digits:
            hand.tap(FIXED.reading_key_point if key == "." else key, exact=True)
        hand.tap(words.reel_keep(digits, unit), role="button")
    hand.wait_route(page)


@pytest.mark.slow
@pytest.mark.browser
def test_three_reels(on_site) -> None:
    hand, held = on_site(json.loads(SAMPLE.read_text(encoding="utf-8")))

    def last(key: str) -> Callable[[], bool]:
        return lambda: any(key in one.get(KEY, ()) for one in held().records[-4:])

    hand.go(f"/j/{JOB}/reel/C4")
    checks(hand, "C4", CLAD)
    hand.wait_for(words.VERDICTS["outside"])
    assert not hand.has(words.reel_pull())
    hand.tap(words.reel_keep_off(), role="button")
    hand.wait_until(last("refused"), 10, "refused")
    assert state_of(held(), "reel.C4") == "open"

    hand.wait_for(words.reel_type("first"))
    checks(hand, "C4", SOUND)
    hand.wait_for("Reel 2 is long enough, and its wire is copper.")
    hand.tap(words.reel_pull(), role="button")
    hand.wait_until(lambda: state_of(held(), "reel.C4") == "done", 10, "taken")
    hand.wait_route(f"/j/{JOB}/now")

    before = judged(held()).prediction
    hand.go(f"/j/{JOB}/reel/C3")
    checks(hand, "C3", CLAD)
    hand.tap(words.reel_use(), role="button")
    hand.wait_for(words.reel_needs_reason())
    hand.tap(words.REEL_REASONS[0], role="button")
    hand.tap(words.reel_use_it(), role="button")
    hand.wait_until(lambda: state_of(held(), "reel.C3") == "done", 10, "used")
    one = judged(held())
    assert one.state.job.spans["C3"].cable.material == "clad"
    moved = [
        before.points[at].volts.expected - point.volts.expected
        for at, point in one.prediction.points.items()
    ]
    assert max(moved) > 1, moved
    assert one.prediction.spans["C3"].loop_ohms.expected > (
        1.3 * before.spans["C3"].loop_ohms.expected
    )
