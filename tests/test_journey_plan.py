"""A run laid out with a thumb, in a real browser: every press is an entry on the disk."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from real_app import serve

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from fieldapp import words
from fieldapp.store.files import read_journal
from fieldapp.store.journal import Decoded, decode, head_of

if TYPE_CHECKING:
    from app_process import App
    from browser import Phone

__all__ = ["serve"]

RUN = "RUN-463"
FIXED = words.FIXED


def disk(data: Path) -> Decoded:
    return decode(read_journal(data, RUN))


def plan_on(data: Path) -> Judgement:
    """The job as its journal on the disk gives it."""
    held = disk(data)
    return judge(read_job({**head_of(held, RUN).plan, "log": list(held.records[1:])}))


@pytest.mark.slow
@pytest.mark.browser
def test_a_run_is_laid_out_changed_and_mended_with_a_thumb(
    serve: Callable[..., App],
    new_phone: Callable[..., Phone],
    tmp_path: Path,
) -> None:
    """From 463 m to a mended plan; after each press the journal on the disk is read again."""
    app, data = serve(), tmp_path / "data"
    hand = new_phone(moves=True)
    hand.open(app.url)
    hand.tap(FIXED.plan_a_run)
    for key in "463":
        hand.tap(key, exact=True)
    hand.wait_for(words.far_metres("463"))
    hand.tap(words.next_button())
    hand.tap(words.lay_button())
    hand.wait_route(f"/j/{RUN}/plan")
    first = plan_on(data).state.job
    boxes, way = set(first.boxes), ends(plan_on(data))
    span = max(first.spans.values(), key=lambda one: one.length_m.expected)

    def held(true: Callable[[Judgement], bool], what: str) -> Judgement:
        hand.wait_until(lambda: true(plan_on(data)), 10, what)
        return plan_on(data)

    hand.go(f"/j/{RUN}/plan/{span.id}")
    hand.wait_for(words.put_into(span.id))
    hand.tap("arrestor")
    now = held(lambda j: len(j.state.job.boxes) == len(boxes) + 1, "a box more")
    (box,) = set(now.state.job.boxes) - boxes
    hand.wait_route(f"/j/{RUN}/plan/{box}")
    before = ends(now)
    hand.tap(words.turn_button(), exact=True)
    held(lambda j: ends(j) != before, "turned")
    hand.tap(words.take_out_button(), exact=True)
    now = held(lambda j: set(j.state.job.boxes) == boxes, "taken out")
    assert now.state.job.spans[span.id].length_m.expected == span.length_m.expected

    hand.tap(span.id, exact=True)
    hand.wait_route(f"/j/{RUN}/plan/{span.id}")
    hand.tap(words.metres(span.length_m.expected), exact=True)
    for key in "321":
        hand.tap(key, exact=True)
    hand.tap(words.reel_keep("321", "m"))
    held(lambda j: j.state.job.spans[span.id].length_m.expected == 321, "another length")
    hand.tap(FIXED.undo, exact=True)
    now = held(lambda j: j.state.job.spans[span.id].length_m.expected != 321, "undone")
    assert ends(now) == way
    assert disk(data).records[-1]["what"] == "void"

    hand.go(f"/j/{RUN}/plan/A2")
    hand.tap(words.turn_button(), exact=True)
    held(lambda j: ends(j) != way, "turned the wrong way")
    hand.tap("Turn A2 round")
    held(lambda j: ends(j) == way, "the smallest change")
    hand.tap(words.done_button(), exact=True)
    hand.wait_route(f"/j/{RUN}/now")


def ends(judgement: Judgement) -> set[tuple[str, str]]:
    """What is plugged into what."""
    return {(str(s.a), str(s.b)) for s in judgement.state.job.spans.values()}
