"""Practice in a real browser, by what can be read and pressed: from no job to how it went."""

from __future__ import annotations

from pathlib import Path

import pytest
from real_app import nothing_went_wrong, serve

from engine.jobfile import JobFile, read_job
from engine.log import fold
from engine.practice.after import ONE_CAUSE, asked, hidden, moment_at, site_now
from fieldapp import words
from fieldapp.practising import ID
from fieldapp.store.files import read_journal
from fieldapp.store.journal import decode, head_of

__all__ = ["serve"]

JOB = f"{ID}FERRY-STEPS"
READ = f"/j/{JOB}/read/S.out/volts"


def kept(data: Path) -> JobFile:
    """The job as its journal holds it."""
    held = decode(read_journal(data, JOB))
    return read_job({**head_of(held, JOB).plan, "log": list(held.records[1:])})


@pytest.mark.slow
@pytest.mark.browser
def test_a_made_up_run_is_measured_and_what_was_hidden_is_told(
    serve, new_phone, tmp_path: Path
) -> None:
    data, hand = tmp_path / "data", new_phone()
    hand.open(serve().url)
    hand.tap(words.practise(), role="button")
    hand.wait_route("/practice")
    hand.tap(words.PRACTICE_LEVELS[ONE_CAUSE][0], role="button")
    hand.tap("Ferry steps", role="button")
    hand.wait_route(f"/j/{JOB}/now")
    hand.wait_for(words.capital(words.band_line(0, 0)))
    file = kept(data)
    truth = hidden(file)
    assert asked(file).level == ONE_CAUSE and truth.where

    hand.go(READ)
    while not hand.has(words.take_made_up()):
        hand.tap(words.understood(), role="button")
        hand.pause(600)
    hand.tap(words.take_made_up(), role="button")
    state = fold(file)
    site = site_now(file, state)
    shown = site.shown("S.out", "volts", "M1", moment=moment_at(state, "S.out")).value
    hand.wait_for(words.keep_slab(f"{shown:.2f}", "volts"))
    hand.tap(words.keep_slab(f"{shown:.2f}", "volts"), role="button")
    hand.wait_for(words.capital(words.band_line(1, 1)))
    assert fold(kept(data)).readings[-1].value == shown

    hand.tap(words.capital(words.band_line(1, 1)), role="button")
    hand.wait_route(f"/j/{JOB}/practice")
    assert not hand.has(words.truth_line(truth.cause, truth.where, truth.end))
    hand.tap(words.show_me(), role="button")
    hand.wait_for(words.plain(words.went("shown")))
    assert hand.has(words.truth_line(truth.cause, truth.where, truth.end))
    hand.tap(words.another_one(), role="button")
    hand.wait_route("/practice")
    nothing_went_wrong(hand)
