"""Long work between the taps: it stands aside, and what was kept meanwhile is not lost."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest
from samples import sample
from service_bench import DRAFT, Bench, on_a_bench

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import breath
from fieldapp import messages as m
from fieldapp.shipped import practice_sites


@pytest.fixture
def sliced(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every step of long work stands aside."""
    monkeypatch.setattr(breath, "SLICE", 0.0)


def test_a_job_that_is_read_has_what_was_kept_meanwhile(sliced):
    async def journey(bench: Bench) -> None:
        await bench.bring("orchard-gate")
        was = len(bench.log("ORCHARD-GATE"))
        sent: list[Any] = []
        load = m.LoadJob("ORCHARD-GATE", "/")
        opening = asyncio.create_task(bench.services.perform(load, sent.append))
        for _ in range(20):
            await asyncio.sleep(0)
        assert not opening.done()
        (kept,) = await bench.do(m.Keep("ORCHARD-GATE", ({**DRAFT, "at": "S.out"},)))
        assert sent == [], "kept while the job is being judged"
        await opening
        job = sent[0].job
        assert len(job.file.entries) == was + 1
        assert job.file.entries[-1].id == kept.entries[0]["id"]
        assert job.judgement.verdicts == judge(job.file).verdicts

    on_a_bench(journey)()


def test_the_later_list_of_jobs_is_the_one_that_is_told(sliced):
    async def journey(bench: Bench) -> None:
        await bench.bring("orchard-gate")
        await bench.bring("tide-mill")
        first, later = [], []
        await asyncio.gather(
            bench.services.perform(m.ListJobs(), first.append),
            bench.services.perform(m.ListJobs(), later.append),
        )
        assert first == [] and {row.id for row in later[0].rows} == {"ORCHARD-GATE", "TIDE-MILL"}
        assert all(row.judgement is not None for row in later[0].rows)

    on_a_bench(journey)()


LONG_WORK = {
    "list": m.ListJobs(),
    "open": m.LoadJob("ORCHARD-GATE", "/"),
    "copy": m.CopyJob("ORCHARD-GATE", "Copy"),
    "sample": m.CopySample("orchard-gate"),
    "weigh": m.Weigh("ORCHARD-GATE"),
    "count": m.CountFound(),
    "practice": m.MakeUp(practice_sites()[0].name, "perhaps"),
}


@pytest.mark.parametrize("name", LONG_WORK)
def test_long_work_lets_other_things_have_their_turn(name, monkeypatch):
    """How many turns of the loop pass until it is done: more where it stands aside."""
    turns: dict[float, int] = {}

    async def journey(bench: Bench) -> None:
        await bench.shelf.bring_in(read_job(sample("orchard-gate")), "a site.json")
        await bench.do(m.Keep("ORCHARD-GATE", ({"what": "leave", "open": []},)))
        task = asyncio.create_task(bench.services.perform(LONG_WORK[name], bench.sent.append))
        turns[breath.SLICE] = 0
        while not task.done():
            await asyncio.sleep(0)
            turns[breath.SLICE] += 1
        await task

    for seconds in (0.0, 1e9):
        monkeypatch.setattr(breath, "SLICE", seconds)
        on_a_bench(journey)()
    assert turns[0.0] >= turns[1e9] + breath.TURNS * LEAST_SLICES[name]


LEAST_SLICES = {**dict.fromkeys(LONG_WORK, 5), "weigh": 1, "copy": 2}
"""how often each stands aside at least, with a short job"""
