"""Clocks that were started in the log: which still run, and what is left of them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from engine.jobfile import read_job
from engine.judge import judge
from engine.timers import Timer, left, timers

pytestmark = pytest.mark.pure

SAMPLE = Path(__file__).parent.parent / "sample_jobs" / "orchard-gate.json"
T = "2031-05-04T09:{:02}:00Z"


def running(*bodies: dict) -> dict[str, Timer]:
    doc = json.loads(SAMPLE.read_text(encoding="utf-8"))
    doc["log"] = [
        {"id": f"e{n}", "device": "d", "n": n, "t": T.format(n), **body}
        for n, body in enumerate(bodies, 1)
    ]
    return dict(timers(judge(read_job(doc)).state))


def start(step: str, seconds, **more) -> dict:
    return {"what": "note", "at": step, "text": "started", "x_timer": seconds, **more}


def tick(step: str, state: str = "done") -> dict:
    return {"what": "step", "step": step, "state": state}


def test_the_last_clock_of_a_step_runs_until_the_step_is_done():
    assert running() == {}
    assert running(start("full.E", 900)) == {"full.E": Timer("full.E", 900, T.format(1), "e1")}
    assert running(start("full.E", 900), start("full.E", 600))["full.E"].entry == "e2"
    assert running(start("full.E", 900), tick("full.E")) == {}
    assert running(start("full.E", 900), tick("full.E", "not-here")) == {}
    assert "full.E" in running(tick("full.E"), start("full.E", 900)), "it is done again"
    assert "full.E" in running(start("full.E", 900), tick("cold.S"))
    assert running(start("full.E", 900), {"what": "void", "of": "e1"}) == {}


def test_a_cold_start_is_two_clocks_in_turn():
    first, second = start("cold.S", 10, x_round=1), start("cold.S", 10, x_round=2)
    assert running(first)["cold.S"].round == 1
    assert running(first, second)["cold.S"].round == 2
    assert running(start("cold.S", 10))["cold.S"].round == 1


def test_the_wait_at_a_box_ends_with_a_reading_there():
    wait = start("wait.R1", 60)
    read = {"what": "reading", "at": "R1.in", "kind": "volts", "value": 50.9}
    assert "wait.R1" in running(wait)
    assert running(wait, read) == {}
    assert "wait.R1" in running(read, wait)
    assert "wait.R1" in running(wait, {**read, "at": "E.in"})
    assert "wait.R1" in running(wait, read, {"what": "void", "of": "e2"})


@pytest.mark.parametrize("odd", [0, -5, "900", True, None, [900]])
def test_what_is_no_time_starts_no_clock(odd):
    assert running(start("full.E", odd)) == {}


def test_what_has_no_time_or_no_step_starts_no_clock():
    nowhere = {key: value for key, value in start("full.E", 900).items() if key != "at"}
    assert running(nowhere) == {}
    assert running(start("full.E", 900, t="2031-13-44T09:00:00Z")) == {}


@pytest.mark.parametrize(
    ("now", "seconds"),
    [
        ("2031-05-04T09:00:00Z", 900),
        ("2031-05-04T09:10:00Z", 300),
        ("2031-05-04T09:10:00.500Z", 299.5),
        ("2031-05-04T11:10:00+02:00", 300),
        ("2031-05-04T09:15:00Z", 0),
        ("2031-05-05T09:00:00Z", 0),
        ("2031-05-04T08:00:00Z", 900),  # the phone's clock was put back
    ],
)
def test_what_is_left(now, seconds):
    assert left(Timer("full.E", 900, "2031-05-04T09:00:00Z", "e1"), now) == seconds


@given(st.integers(1, 10**5), st.datetimes(timezones=st.just(None)), st.integers(-(10**6), 10**6))
def test_left_lies_between_nothing_and_all_of_it(seconds, began, later):
    began = began.replace(year=2032, microsecond=0)
    text = began.isoformat() + "Z"
    now = f"2031-06-01T00:00:{later % 60:02}Z"
    assert 0 <= left(Timer("full.E", seconds, text, "e1"), now) <= seconds
