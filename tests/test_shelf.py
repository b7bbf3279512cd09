"""Tabs of one program on one shelf, a second program on its folder, and a clock that is wrong."""

from __future__ import annotations

import asyncio
from datetime import timedelta
from typing import Any

import pytest
from headless import CountedWorld
from memory_disk import MemoryDisk, open_memory
from samples import sample

from engine.jobfile import read_job
from engine.log import fold
from engine.say import say
from fieldapp import messages as m
from fieldapp.services import Services
from fieldapp.shelf import Shelf
from fieldapp.store.errors import StoreFull

JOB = "REEDBED-HIDE"
DRAFT = {"what": "reading", "at": "L2.in", "kind": "volts", "value": 45.1, "meter": "M1"}


class SlowDisk(MemoryDisk):
    """Others get their turn wherever a medium may let them wait."""

    async def read(self, name: str) -> bytes:
        await asyncio.sleep(0)
        data = await super().read(name)
        await asyncio.sleep(0)
        return data

    async def make(self, name: str, data: bytes) -> None:
        await super().make(name, data)
        await asyncio.sleep(0)


class Program:
    """A program on a disk: its shelf, and as many tabs as are asked for."""

    def __init__(self, disk: MemoryDisk, world: CountedWorld | None = None) -> None:
        self.disk, self.world = disk, world or CountedWorld()

    async def start(self, *, or_read: bool = False) -> Program:
        self.store = await open_memory(
            self.disk, now=self.world.stamp, draw=lambda: "d0d0", or_read=or_read
        )
        self.shelf = Shelf(self.store, self.world)
        return self

    def tab(self) -> Tab:
        return Tab(Services(self.shelf))

    def log(self) -> list[dict[str, Any]]:
        return list(self.shelf.journals[JOB].records[1:])


class Tab:
    """A session, and what it is told."""

    def __init__(self, services: Services) -> None:
        self.services = services

    async def do(self, effect: Any) -> list[Any]:
        sent: list[Any] = []
        await self.services.perform(effect, sent.append)
        return sent


def test_two_tabs_write_one_journal():
    """Both open the job at once, both keep; each entry is there once, counted and seen in turn."""

    async def whole() -> None:
        program = await Program(SlowDisk()).start()
        one, other = program.tab(), program.tab()
        await program.shelf.bring_in(read_job(sample("reedbed-hide")), "a.json")
        program.shelf.journals.pop(JOB).close()

        loaded = await asyncio.gather(*(tab.do(m.LoadJob(JOB, "/")) for tab in (one, other)))
        assert [type(sent[0]) for sent in loaded] == [m.JobLoaded] * 2
        kept = await asyncio.gather(
            *(
                tab.do(m.Keep(JOB, ({**DRAFT, "value": value},)))
                for value, tab in enumerate((one, other, one, other))
            )
        )
        assert [type(sent[0]) for sent in kept] == [m.Kept] * 4
        log = program.log()
        assert sorted(entry["value"] for entry in log) == [0, 1, 2, 3]
        assert [entry["n"] for entry in log] == [1, 2, 3, 4]
        assert [entry["seen"] for entry in log] == [{}, *({"d0d0": n} for n in (1, 2, 3))]
        (again,) = await one.do(m.LoadJob(JOB, "/"))
        assert len(again.job.file.entries) == 4, "a tab that comes back sees the other's"

    asyncio.run(whole())


def test_two_tabs_may_bring_in_the_same_sample():
    """Each gets a job of its own, and the list in between stands in nobody's way."""

    async def whole() -> None:
        program = await Program(SlowDisk()).start()
        one, other = program.tab(), program.tab()
        sent = await asyncio.gather(
            one.do(m.CopySample("reedbed-hide")),
            other.do(m.ListJobs()),
            other.do(m.CopySample("reedbed-hide")),
            one.do(m.ListJobs()),
        )
        jobs = [told.job.id for told in (sent[0][0], sent[2][0])]
        assert sorted(jobs) == [JOB, f"{JOB}-2"]
        (listed,) = await one.do(m.ListJobs())
        assert [row.trouble for row in listed.rows] == [None, None]

    asyncio.run(whole())


def test_a_second_program_shows_the_jobs_and_keeps_nothing():
    """It says so on Jobs and at every keeping; the first goes on, and what it keeps is shown."""

    async def whole() -> None:
        disk = MemoryDisk()
        first = await Program(disk).start()
        await first.shelf.bring_in(read_job(sample("reedbed-hide")), "a.json")
        mine = first.tab()
        await mine.do(m.Keep(JOB, (DRAFT,)))
        second = await Program(disk, first.world).start(or_read=True)
        tab = second.tab()

        listed, told = await tab.do(m.ListJobs())
        assert [row.id for row in listed.rows] == [JOB]
        assert told == m.Told(say("told-busy"))
        (loaded,) = await tab.do(m.LoadJob(JOB, "/"))
        assert len(loaded.job.file.entries) == 1
        busy = m.NotKept(say("told-busy"))
        assert await tab.do(m.Keep(JOB, (DRAFT,))) == [busy]
        assert await tab.do(m.PutSetting("look", "sun")) == [busy]
        pick = m.CopySample("tide-mill")
        assert await tab.do(pick) == [m.NotOpened(pick, say("told-busy"))]
        assert await tab.do(m.SavePlace({"route": "/"})) == [], "nothing to be told of"
        await mine.do(m.Keep(JOB, (DRAFT,)))
        (loaded,) = await tab.do(m.LoadJob(JOB, "/"))
        assert len(loaded.job.file.entries) == 2
        (row,) = (await tab.do(m.ListJobs()))[0].rows
        assert len(row.judgement.state.entries) == 2
        assert len(first.log()) == 2

    asyncio.run(whole())


def test_what_is_tried_again_is_the_same_entry():
    """Its id is that of the first try; once it is kept, the same digits are another entry."""

    async def whole() -> None:
        program = await Program(MemoryDisk()).start()
        await program.shelf.bring_in(read_job(sample("reedbed-hide")), "a.json")
        tab, ids = program.tab(), []
        ident = program.world.ident
        program.world.ident = lambda: ids.append(ident()) or ids[-1]
        program.disk.fail_at = {program.disk.adds + n: StoreFull for n in (1, 2)}
        for _ in range(2):
            assert await tab.do(m.Keep(JOB, (DRAFT,))) == [m.NotKept(say("told-full"))]
        await tab.do(m.Keep(JOB, (DRAFT,)))
        assert [entry["id"] for entry in program.log()] == ids
        await tab.do(m.Keep(JOB, (DRAFT,)))
        assert [entry["id"] for entry in program.log()] == ids and len(ids) == 2
        program.disk.fail_at = {program.disk.adds + 1: StoreFull}
        await tab.do(m.Keep(JOB, (DRAFT,)))
        await tab.do(m.Keep(JOB, ({**DRAFT, "value": 44.0},)))
        assert len({entry["id"] for entry in program.log()}) == 3

    asyncio.run(whole())


@pytest.mark.parametrize("years", [-1, 1, -40])
def test_a_wrong_clock_changes_no_order(years: int):
    """It jumps in the middle of a job: entries stay in the order they were kept, the last counts."""

    async def whole() -> None:
        program = await Program(MemoryDisk()).start()
        await program.shelf.bring_in(read_job(sample("reedbed-hide")), "a.json")
        tab = program.tab()
        same = {**DRAFT, "moment": "noon"}
        values = [45.1, 45.2, 45.3, 45.4]
        for place, value in enumerate(values):
            if place == 2:
                program.world.at += timedelta(days=365 * years)
            await tab.do(m.Keep(JOB, ({**same, "value": value},)))
        second = program.log()[1]
        await tab.do(m.Keep(JOB, ({"what": "void", "of": second["id"]},)))
        await tab.do(m.SavePlace({"route": f"/j/{JOB}/now", "job": JOB}))
        program.store.close()

        again = await Program(program.disk, program.world).start()
        (loaded,) = await again.tab().do(m.LoadJob(JOB, "/"))
        stamps = [entry.t for entry in loaded.job.file.entries]
        assert (stamps == sorted(stamps)) == (years > 0), "the clock did jump"
        state = fold(loaded.job.file)
        assert [entry.body.get("value") for entry in state.entries] == [*values, None]
        (current,) = [one for one in state.entries if one.id in state.current]
        assert current.body["value"] == 45.4
        await again.tab().do(m.Keep(JOB, (same,)))
        assert again.log()[-1]["n"] > loaded.job.file.entries[-1].n
        assert [row.id for row in (await again.tab().do(m.ListJobs()))[0].rows] == [JOB]

    asyncio.run(whole())
