"""A whole stay with nobody there to answer: the host gone, a new browser process, the radio off.

Opened from a file, walked, measured, a fault found, what holds one read, the record and the labels
made and taken: by accessible names, as in the journeys that a laptop serves.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from app_presses import (
    does,
    fresh,
    inside_volts,
    log_volts,
    outside_volts,
    tick_and_undo,
    understands,
)
from pages import Host, pick, records, works_without_signal
from real_app import FIXED, JOB, SAMPLE, nothing_went_wrong, spoken
from test_journey_hand import into_a_file, is_whole
from test_phone_page import page_folder, pockets, site

from engine.diagnose.account import account
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.verdict import INSIDE, OUTSIDE
from fieldapp import words
from fieldapp.exchange.records import document
from fieldapp.handover.documents import pages_in
from fieldapp.screens.shared import slab_words

__all__ = ["page_folder", "pockets", "site"]
pytestmark = pytest.mark.browser


def judged_there(hand) -> Judgement:
    """The job as the phone's own files hold it."""
    return judge(read_job(document(records(hand, JOB))))


def test_a_stay_without_any_signal(site: Host, pockets: Callable, tmp_path: Path) -> None:
    own = pockets()
    hand = own.open(site.url)
    hand.wait_for(FIXED.no_jobs)
    works_without_signal(hand)
    own.close()
    site.off()

    hand = own.open()
    hand.context.set_offline(True)
    hand.open(site.url)
    hand.wait_for(FIXED.no_jobs)
    pick(hand, FIXED.open_file, SAMPLE.name, SAMPLE.read_bytes())
    hand.wait_route(f"/j/{JOB}/now", timeout=20)
    steps = fresh().steps
    understands(hand)
    does(hand, steps[0])
    hand.wait_for(slab_words(steps[1]))
    hand.tap(words.all_steps(len(steps)))
    tick_and_undo(hand, steps[3])

    boxes = fresh().state.job.boxes
    hand.tap(FIXED.run, exact=True)
    log_volts(hand, boxes["S"].name, "S.out", inside_volts("S.out"))
    hand.wait_for(words.VERDICTS[INSIDE])
    hand.tap(FIXED.run, exact=True)
    log_volts(hand, boxes["L2"].name, "L2.in", outside_volts("L2.in"))
    hand.wait_for(words.VERDICTS[OUTSIDE])
    now = judged_there(hand)
    assert [one.verdict for one in now.verdicts] == [INSIDE, OUTSIDE]
    assert [step.state for step in now.steps[:4]] == ["done", "open", "open", "open"]

    hand.tap(words.find_fault(), role="button")
    hand.wait_route(f"/j/{JOB}/fault")
    likeliest = account(now).best
    hand.wait_for(words.capital(words.odds(likeliest.probability)), timeout=20)
    hand.tap(words.leave_bar(len(now.blockers)), exact=True)
    hand.wait_for(spoken(words.held_title(len(now.blockers))))

    hand.go(f"/j/{JOB}/hand")
    hand.wait_for(words.all_in_one(3))
    for part in ("report", "labels"):
        what = words.speak_hand(words.document(part), words.to_a_file())
        name, data = into_a_file(hand, what)
        assert name.endswith(".pdf")
        is_whole(data, tmp_path, pages_in(data))
    hand.pause(1200)
    name, data = into_a_file(hand, words.speak_hand(words.document("whole"), words.to_a_file()))
    assert json.loads(data)["id"] == JOB and name.endswith(".json")
    assert records(hand, JOB)[-1]["what"] == "export"
    nothing_went_wrong(hand)
