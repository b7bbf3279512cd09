"""Long work stands aside often enough: what is done between two yields is counted, not timed.

A step is one of what the work consists of: a tree that is solved, an entry that is taken, a row,
a value that is written. So many of them a browser on a phone does between two taps.
"""

from __future__ import annotations

import asyncio
import json
import os
from collections.abc import Callable, Generator, Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from advise_jobs import turned
from jobs import active, chain, endpoint, run, source

import engine.fold
import engine.operating
import fieldapp.handover.record
from engine import fields, merge, readings_csv
from engine.advise import advising
from engine.diagnose.account import accounting
from engine.entries import ENTRY
from engine.jobfile import load, read_job, reading_job, write, writing
from engine.judge import judge, judging
from engine.log import folding
from engine.practice import FLOWS, document, made_up
from engine.predict import predict, predicting
from engine.sliced import at, finish, part
from fieldapp import breath
from fieldapp.exchange.everything import everything, together
from fieldapp.exchange.packing import Packed, pack, packing
from fieldapp.handover.record import record, recording

ROOT = Path(__file__).parent.parent
ENTRIES = 600
MOST_FITTED, MOST_SOLVES, MOST_TRIED, MOST_TAKEN, MOST_ROWS = 16, 25, 60, 50, 30
"""trees solved between two yields: of a fit, a plan, advice; entries taken; rows made"""
Work = Generator[Any, None, Any]


def steps_of(
    monkeypatch: pytest.MonkeyPatch, home: Any, name: str, work: Callable[[], Work]
) -> list[int]:
    """How often ``home.name`` is called before each yield of the work, and after the last."""
    real, counted = getattr(home, name), [0]

    def call(*args: Any, **more: Any) -> Any:
        counted[-1] += 1
        return real(*args, **more)

    with monkeypatch.context() as patched:
        patched.setattr(home, name, call)
        for _ in work():
            counted.append(0)
    assert sum(counted) > 0, f"{name} is not what this work consists of"
    return counted


def site(cause: str) -> dict:
    """A run of six boxes with one hidden cause, read as a first walk reads it."""
    plain = load(ROOT / "sample_jobs" / "reedbed-hide.json")
    return document(made_up(read_job({**plain.doc, "log": []}), cause=cause, seed=3), FLOWS)


def twenty() -> dict:
    """A source, 18 units and an endpoint, volts and amps read at every port."""
    middle = [part_ for _ in range(18) for part_ in (run(20), active(0.3))]
    doc = chain(source(56), *middle, run(20), endpoint(3))
    log = []
    for place, seen in predict(read_job(doc).plan).points.items():
        for kind, value in (("volts", seen.volts.expected), ("milliamps", seen.amps.expected)):
            head = {"id": f"r{len(log):03}", "device": "d", "n": len(log) + 1, "what": "reading"}
            value = round(value * (1 if kind == "volts" else 1000), 2)
            log.append({**head, "at": str(place), "kind": kind, "value": value})
    return {**doc, "log": log}


def long() -> dict:
    """A sample's plan with a log of very many readings that all still count."""
    doc = json.loads((ROOT / "sample_jobs" / "orchard-gate.json").read_text(encoding="utf-8"))
    log = []
    for n in range(1, ENTRIES + 1):
        head = {"id": f"e{n:05}", "device": "aa", "n": n, "by": "Ida", "what": "reading"}
        log.append({**head, "at": "S.out", "kind": "volts", "value": 50, "moment": f"m{n}"})
    return {**doc, "log": log}


@pytest.fixture(scope="module")
def long_judged():
    return judge(read_job(long()))


# ---------------------------------------------------------------- solving


@pytest.mark.parametrize("cause", ["span.high", "joint.high", "port.off"])
def test_a_diagnosis_solves_few_trees_at_a_time(monkeypatch, cause):
    judgement = judge(read_job(site(cause)))
    counted = steps_of(monkeypatch, engine.operating, "solve", lambda: accounting(judgement))
    assert max(counted) <= MOST_FITTED < sum(counted) / 10


def test_judging_a_long_run_solves_few_trees_at_a_time(monkeypatch):
    file = read_job(twenty())
    counted = steps_of(monkeypatch, engine.operating, "solve", lambda: judging(file))
    assert max(counted) <= MOST_SOLVES < sum(counted) / 3
    plan = steps_of(monkeypatch, engine.operating, "solve", lambda: predicting(file.plan))
    assert max(plan) <= MOST_SOLVES


def test_advice_solves_one_tried_plan_at_a_time(monkeypatch):
    doc = turned()
    counted = steps_of(monkeypatch, engine.operating, "solve", lambda: advising(doc))
    assert max(counted) <= MOST_TRIED < sum(counted) / 10


# ---------------------------------------------------------------- long logs


def test_a_long_log_is_taken_a_little_at_a_time(monkeypatch):
    file = read_job(long())
    taken = steps_of(monkeypatch, engine.fold.Work, "take", lambda: folding(file))
    assert sum(taken) == ENTRIES and max(taken) <= MOST_TAKEN


def test_a_long_log_is_read_a_little_at_a_time(monkeypatch):
    doc = long()
    read = steps_of(monkeypatch, type(ENTRY), "read", lambda: reading_job(doc))
    assert sum(read) == ENTRIES and max(read) <= fields.A_SLICE
    assert finish(reading_job(doc)).entries == read_job(doc).entries


def test_one_reading_is_judged_at_a_time(monkeypatch, long_judged):
    rule = type(long_judged.judged.rule)
    counted = steps_of(monkeypatch, rule, "judge", lambda: judging(read_job(long())))
    assert sum(counted) == ENTRIES and max(counted) == 1


def test_a_long_record_is_made_some_rows_at_a_time(monkeypatch, long_judged):
    made = steps_of(
        monkeypatch, fieldapp.handover.record, "_reading", lambda: recording(long_judged, None)
    )
    assert sum(made) == ENTRIES and max(made) <= MOST_ROWS
    said = steps_of(monkeypatch, fieldapp.handover.record, "_said", lambda: recording(long_judged))
    assert max(said) <= MOST_ROWS < sum(said) / 3


def test_a_long_log_is_written_a_little_at_a_time(monkeypatch, long_judged):
    read = steps_of(monkeypatch, merge, "read_entry", lambda: packing(long()))
    assert sum(read) == ENTRIES and max(read) <= merge.A_SLICE
    cells = steps_of(monkeypatch, readings_csv, "_row", lambda: readings_csv.tabling(long_judged))
    assert sum(cells) == ENTRIES and max(cells) <= readings_csv.A_SLICE
    assert len(list(writing(long()))) > 3


def test_what_is_made_in_slices_is_what_is_made_in_one_go(long_judged):
    doc, pictures = long(), {"a" * 64: b"one", "b" * 64: b"two"}
    assert finish(recording(long_judged)) == record(long_judged)
    assert finish(packing(doc, pictures)) == pack(doc, pictures)
    assert finish(writing(doc)) == write(doc) == json.dumps(doc, indent=2) + "\n"
    files = (Packed("a.json", b"1"), Packed("a.json", b"2"))
    assert finish(together(files)) == everything(files) and len(list(together(files))) == 2


# ---------------------------------------------------------------- shares


def halves() -> Iterator[Any]:
    yield 0.0
    yield 0.5
    return "done"


def test_a_part_has_its_share_of_the_whole_and_what_comes_of_it_is_passed_on():
    said = []

    def whole() -> Work:
        first = yield from part(halves(), 0.5, 0.9)
        second = yield from at(halves(), 0.9)
        said.extend((first, second))

    assert list(whole()) == [0.5, 0.7, 0.9, 0.9] and said == ["done", "done"]


@pytest.mark.parametrize("name", ["orchard-gate", "reedbed-hide", "tide-mill"])
def test_the_share_of_a_judgement_never_falls(name):
    shares = list(judging(load(ROOT / "sample_jobs" / f"{name}.json")))
    assert shares == sorted(shares) and shares[0] >= 0 and shares[-1] <= 1


# ---------------------------------------------------------------- breathing


def test_everything_else_has_its_turn_at_each_step_once_it_is_time(monkeypatch):
    """Something else that wants three turns has them within one breath; without one, none."""

    async def beside(slice_s: float) -> int:
        monkeypatch.setattr(breath, "SLICE", slice_s)
        turns = 0

        async def other() -> None:
            nonlocal turns
            for _ in range(3):
                await asyncio.sleep(0)
                turns += 1

        task = asyncio.create_task(other())
        assert await breath.in_slices(halves()) == "done"
        seen, _ = turns, await task
        return seen

    assert asyncio.run(beside(0.0)) == 3
    assert asyncio.run(beside(1e9)) == 0


IN_BROWSER = """
import asyncio, types
from time import perf_counter
from js import performance, self
from pyodide.ffi import create_proxy
breath = types.ModuleType("breath")
exec({!r}, breath.__dict__)
now = lambda: performance.timeOrigin + performance.now()
ends, waited = [], []

async def answer(sent):
    for _ in range(3):
        await asyncio.sleep(0)
    waited.append(sum(sent < end for end in ends))

def came(event):
    if event.data.sent is not None:
        event.stopImmediatePropagation()
        asyncio.ensure_future(answer(event.data.sent))

heard = create_proxy(came)
self.addEventListener("message", heard)
until, own = perf_counter() + 2.5, breath.Breath()
while perf_counter() < until:
    if own.is_due:
        ends.append(now())
        await own.taken()
await asyncio.sleep(0.1)
self.removeEventListener("message", heard)
waited
"""
SEND = """(source) => new Promise((done) => {
  const answer = ask({source, milliseconds: 60000});
  let left = 15;
  const timer = setInterval(() => {
    knock({sent: performance.timeOrigin + performance.now()});
    if (--left === 0) { clearInterval(timer); done(answer); }
  }, 100);
})"""
KNOCK = """() => {
  const post = Worker.prototype.postMessage;
  Worker.prototype.postMessage = function (...args) {
    globalThis.knock = (one) => post.call(this, one);
    return post.apply(this, args);
  };
}"""


@pytest.mark.browser
def test_what_the_page_sends_is_answered_after_a_slice_or_two(chromium: str):
    """How many slices of long work were done, each until a breath, before a message was answered
    that came in the middle of it. The loop's own ``sleep(0)`` lets twenty go by, and more."""
    from pyodide.harness import core_folder, open_session

    if core_folder() is None:
        absent = pytest.fail if os.environ.get("CI") == "true" else pytest.skip
        absent("flet-web is not installed, or carries no Python for the browser")
    source_ = Path(breath.__file__).read_text(encoding="utf-8")
    source_ = source_.replace(
        "from engine.sliced import Result", "from typing import Any as Result"
    )
    with open_session(chromium) as session:
        page = session._page
        page.evaluate(KNOCK)
        session.run("1")
        reply: Mapping[str, Any] = page.evaluate(SEND, IN_BROWSER.format(source_))
    assert "error" not in reply, reply
    waited = sorted(json.loads(reply["json"]))
    assert len(waited) == 15
    assert waited[len(waited) // 2] <= 2, waited
