"""What the store is doing when the power goes, and what must be there afterwards.

A scene is a piece of work on a ``CutSystem``. ``Run`` notes what was begun behind how many calls,
and what was acknowledged; ``holds`` starts the store again on a state and compares.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass, field
from functools import cache, partial
from hashlib import sha256
from itertools import count
from typing import Any

from jobs import chain, endpoint, run, source
from jpegs import JFIF, made
from mutations import LOG, PICTURE
from power_cuts import ROOT, CutSystem, PowerCut, State
from store_media import PLAN, entry

from engine.jobfile import read_job
from fieldapp.exchange import Incoming, bring
from fieldapp.jpeg import without_place
from fieldapp.store import NoSuchJob, StoreError
from fieldapp.store.files import open_files
from fieldapp.store.journal import FIRST_FORMAT, decode, encode
from fieldapp.store.keeper import Keeper
from fieldapp.store.keptjournal import KeptJournal

JOB = PLAN["id"]
IMPORTED = {**chain(source(54), run(100), endpoint(12)), "id": "SLUICE"}
IMPORTED.pop("log", None)
OTHER_PICTURE = made("progressive", JFIF)
Record = dict[str, Any]


def sum_of(photo: bytes) -> str:
    return sha256(photo).hexdigest()


def named(number: int, photo: bytes) -> Record:
    """The entry of a picture."""
    head = {"id": f"p{number}", "device": "aa", "n": number, "seen": {"aa": number - 1}}
    return {**head, "what": "photo", "of": "E1", "sha256": sum_of(photo)}


@dataclass
class Step:
    """One thing asked of the store. ``ended``: the calls there were when it was acknowledged."""

    job: str = ""
    plan: Record | None = None
    entries: tuple[Record, ...] = ()
    photos: tuple[bytes, ...] = ()
    place: Record | None = None
    n: int = 0
    began: int = 0
    ended: int | None = None


@dataclass
class Run:
    """A program at work on a machine whose power may go."""

    system: CutSystem
    steps: list[Step] = field(default_factory=list)
    tries: int = 1
    """how often a call is made that the medium refuses"""
    store: Keeper = None  # type: ignore[assignment]
    _ticks: Iterator[int] = field(default_factory=count)

    def now(self) -> str:
        return f"2031-05-03T08:00:{next(self._ticks) % 60:02}Z"

    async def open(self) -> None:
        """Start the program."""

        async def once() -> None:
            self.store = await open_files(
                ROOT, now=self.now, draw=lambda: "a7f3", system=self.system
            )

        await self._tried(Step(), once)

    async def create(self, job: str, plan: Record, *entries: Record) -> KeptJournal:
        """Start a job with a log, or find it begun by a call that failed late."""
        step = Step(job, plan, entries)
        return await self._tried(step, lambda: self.store.create(job, plan, entries=entries))

    async def append(self, journal: KeptJournal, *entries: Record) -> None:
        async def once() -> None:
            journal.append_all(entries)

        await self._tried(Step(journal.job, entries=entries), once)

    async def append_anew(self, job: str, *entries: Record) -> None:
        """The same in a journal that is opened for it, at each try again."""

        async def once() -> None:
            journal = await self.store.open(job)
            try:
                journal.append_all(entries)
            finally:
                journal.close()

        await self._tried(Step(job, entries=entries), once)

    async def photo(self, job: str, data: bytes) -> None:
        await self._tried(Step(job, photos=(data,)), lambda: self.store.keep_photo(job, data))

    async def place(self, number: int) -> None:
        async def once() -> None:
            self.store.save_place({"typed": number})

        await self._tried(Step(place={"typed": number}), once)

    async def count(self) -> int:
        async def once() -> int:
            step.n = self.store.next_n()
            return step.n

        step = Step()
        return await self._tried(step, once)

    async def bring(self, log: tuple[Record, ...], *photos: bytes) -> None:
        """Import a file with pictures."""
        doc = {**IMPORTED, "log": list(log)}
        pictures = {sum_of(photo): photo for photo in photos}
        step = Step("SLUICE", IMPORTED, log, photos)

        async def once() -> None:
            brought = await bring(self.store, Incoming(read_job(doc), pictures), "a.zip")
            brought.journal.close()

        await self._tried(step, once)

    async def _tried(self, step: Step, act: Callable[[], Awaitable[Any]]) -> Any:
        step.began = len(self.system.calls)
        self.steps.append(step)
        for left in reversed(range(self.tries)):
            try:
                came = await act()
            except StoreError:
                if not left:
                    raise
            else:
                step.ended = len(self.system.calls)
                return came
        raise AssertionError("tried at least once")


# ---------------------------------------------------------------- scenes


EMPTY = State()
SOME = 6
"""places at which a write is torn in scenes that are played many times over"""


async def first_start(run: Run) -> None:
    """A new folder, a job with its log, a first reading."""
    await run.open()
    journal = await run.create(JOB, PLAN, entry(1), entry(2))
    await run.append(journal, entry(3))


async def readings(run: Run) -> None:
    """A folder in use: counts, readings, digits half typed."""
    await run.open()
    journal = await run.create(JOB, PLAN)
    for number in range(3):
        await run.place(number)
        n = await run.count()
        await run.append(journal, entry(number, device="a7f3", n=n, text="Ω wet"))


async def several(run: Run) -> None:
    """Edits of one press."""
    await run.open()
    journal = await run.create(JOB, PLAN, entry(0))
    await run.append(journal, entry(1), entry(2), entry(3))
    await run.append(journal, entry(4), entry(5))


async def pictures(run: Run) -> None:
    """Photos, each before the entry that names it."""
    await run.open()
    journal = await run.create(JOB, PLAN)
    for number, picture in enumerate((PICTURE, OTHER_PICTURE)):
        await run.photo(JOB, picture)
        await run.append(journal, named(number, picture))


async def imports(run: Run) -> None:
    """A file from another phone, and later the news in it; each with a picture that its log names."""
    await run.open()
    first = (*LOG[:4], named(30, PICTURE))
    await run.bring(first, PICTURE)
    await run.bring((*first, *LOG[4:8], named(31, OTHER_PICTURE)), PICTURE, OTHER_PICTURE)


async def old(run: Run) -> None:
    """A journal of the first format gets entries that are kept together."""
    await run.open()
    await run.append_anew(JOB, entry(6), entry(7))
    await run.append_anew(JOB, entry(8))


async def reopened(run: Run) -> None:
    """What is found on the medium, and one entry more."""
    await run.open()
    for step in list(run.steps):
        if step.plan is not None:
            journal = await run.store.open(step.job)
            await run.append(journal, entry(90))
            journal.close()


SCENES: dict[str, Callable[[Run], Awaitable[None]]] = {
    scene.__name__: scene for scene in (first_start, readings, several, pictures, imports, old)
}


def begun(scene: Callable[[Run], Awaitable[None]], **machine: Any) -> Run:
    """What a scene is played on: a new machine, or one with an old journal."""
    if scene is not old:
        return Run(CutSystem(EMPTY, **machine))
    state, steps = _of_the_first_format()
    return Run(CutSystem(state, **machine), list(steps))


def started(scene: Callable[[Run], Awaitable[None]], **machine: Any) -> Run:
    """A scene played to its end."""
    run = begun(scene, **machine)
    asyncio.run(scene(run))
    return run


@cache
def _of_the_first_format() -> tuple[State, tuple[Step, ...]]:
    """A folder with a journal as it was kept before lines were written together."""
    image = started(several).system.again().image()
    path = ROOT / "jobs" / f"{JOB}.journal"
    head, *entries = decode(dict(image.files)[path]).records
    data = b"".join(map(encode, ({**head, "format": FIRST_FORMAT}, *entries)))
    files = {**dict(image.files), path: data}
    steps = (Step(JOB, PLAN, ended=0), *(Step(JOB, entries=(one,), ended=0) for one in entries))
    return State(tuple(sorted(files.items())), image.folders), steps


def on_bad(hurt: Callable[[bytes], bytes]) -> Run:
    """A journal that was hurt is opened: written anew, or its tail cut; then one entry more."""
    before = started(several)
    image = before.system.again().image()
    path = ROOT / "jobs" / f"{JOB}.journal"
    files = {**dict(image.files), path: hurt(dict(image.files)[path])}
    whole = Step(JOB, PLAN, ended=0)
    run = Run(CutSystem(State(tuple(sorted(files.items())), image.folders)), [whole])
    left = [entry(n) for n in range(6) if f'"e{n}"'.encode() in files[path]]
    run.steps += [Step(JOB, entries=(one,), ended=0) for one in left if one["id"] != "e2"]
    asyncio.run(reopened(run))
    return run


def changed_byte(journal: bytes) -> bytes:
    """The value of the second entry is not as it was written."""
    return journal.replace(b"48.2", b"47.2")


def changed_and_torn(journal: bytes) -> bytes:
    """That, and half a record behind the last."""
    return changed_byte(journal) + journal[-90:-30]


HURTS = {"changed byte": changed_byte, "changed and torn": changed_and_torn}
TOGETHER = re.compile(rb"^[0-9]+ [0-9a-f]{8}\+ ", re.MULTILINE)
BAD_BYTES = b"47.2"
"""what a hurt journal holds and no record does: it must be somewhere for ever"""


# ---------------------------------------------------------------- what must hold


def cuts(run: Run, first: int = 0, *, bad: bytes = b"") -> Iterator[Callable[[], None]]:
    """Every crash of a run from a call on, each as its proof."""
    for number in range(first, len(run.system.calls) + 1):
        for state in run.system.states(number):
            yield partial(holds, run.steps, number, state, bad)


def killed(scene: Callable[[Run], Awaitable[None]], at: int) -> Run | None:
    """The program dies at a call and is started again before the power goes; None: no such call."""
    run = begun(scene, cut_at=at, torn_at=SOME)
    try:
        asyncio.run(scene(run))
    except PowerCut:
        run.system.again()
        asyncio.run(_begun_again(run))
        return run
    return None


async def _begun_again(run: Run) -> None:
    await run.open()
    for step in [step for step in run.steps if step.plan is not None][:1]:
        try:
            journal = await run.store.open(step.job)
        except NoSuchJob:
            assert step.ended is None, "an acknowledged job is not there"
            continue
        # What was shown to a person is as good as acknowledged.
        now = len(run.system.calls)
        shown = tuple(journal.records[1:])
        run.steps.append(Step(step.job, step.plan, shown, began=now, ended=now))
        await run.append(journal, entry(90))
        await run.place(90)


def refused(scene: Callable[[Run], Awaitable[None]], at: int, error: int) -> Run | None:
    """A call fails, and what asked for it is asked again; None where there is no such call."""
    run = begun(scene, fails_at=at, error=error, torn_at=SOME)
    run.tries = 3
    asyncio.run(scene(run))
    return run if run.system.fails_at is None else None


def holds(steps: list[Step], number: int, state: State, bad: bytes = b"") -> None:
    """All that was acknowledged behind ``number`` calls is there, nothing half, twice the same."""
    asyncio.run(_holds(steps, number, state, bad))


async def _holds(steps: list[Step], number: int, state: State, bad: bytes) -> None:
    system = CutSystem(state)
    begun = [step for step in steps if step.began <= number]
    sure = {id(step) for step in begun if step.ended is not None and step.ended <= number}
    _formats(system)
    found = [await _seen(system.again(), begun, sure, bad) for _ in range(2)]
    _formats(system)
    assert found[0] == found[1], "another opening finds other things"
    assert not bad or any(bad in data for _, data in system.image().files), "bad bytes are gone"


def _formats(system: CutSystem) -> None:
    """What knows only the first format finds nothing in it that it would take for damage."""
    for path, data in system.image().files:
        is_old = path.suffix == ".journal" and f'"{FIRST_FORMAT}"'.encode() in data
        assert not (is_old and TOGETHER.search(data)), "lines together in the first format"


async def _seen(system: CutSystem, begun: list[Step], sure: set[int], bad: bytes) -> Any:
    store = await open_files(ROOT, now=lambda: "", draw=lambda: "b001", system=system)
    out: dict[str, Any] = {"place": await store.load_place()}
    if any(step.n and id(step) in sure for step in begun):
        assert store.device == "a7f3"
        assert store.report is None or store.report.code == "catalogue-previous"
    _place(out["place"], begun, sure)
    cards = {card.id: card for card in await store.list_jobs()}
    for job in sorted({step.job for step in begun if step.job}):
        mine = [step for step in begun if step.job == job]
        is_sure = any(id(step) in sure for step in mine)
        assert job in cards or not is_sure, f"{job} is gone"
        if job not in cards:
            continue
        journal = await store.open(job)
        codes = (None, "tail-cut", "damaged") if bad else (None, "tail-cut")
        assert (journal.report and journal.report.code) in codes
        _log(journal.records, mine, sure)
        assert cards[job].entries == len(journal.records) - 1
        out[job] = journal.records
        out[f"{job} photos"] = await _photos(store, job, mine, sure)
        _named(journal.records, mine, out[f"{job} photos"])
    last = max((step.n for step in begun if id(step) in sure), default=0)
    assert store.next_n() > last, "a count twice"
    return out


def _log(records: tuple[Record, ...], steps: list[Step], sure: set[int]) -> None:
    """The records are those of the steps in their order; of one in the air all or none."""
    first = next(step for step in steps if step.plan is not None)
    assert records[0] == first.plan
    left, known = list(records[1:]), set()
    for step in steps:
        group = [one for one in step.entries if one["id"] not in known]
        if left[: len(group)] == group:
            del left[: len(group)]
            known |= {one["id"] for one in group}
        else:
            assert id(step) not in sure, f"lost {group}"
            assert step is not first, "a job without the log it came with"
    assert not left, f"nobody wrote {left}"


def _place(place: Record | None, begun: list[Step], sure: set[int]) -> None:
    """The last one that was acknowledged, or one asked for since."""
    saved = [step for step in begun if step.place is not None]
    last = max((i for i, step in enumerate(saved) if id(step) in sure), default=None)
    may_be = [step.place for step in saved[last or 0 :]]
    assert place in may_be or (last is None and place is None)


async def _photos(store: Keeper, job: str, steps: list[Step], sure: set[int]) -> Any:
    here = {}
    for name in sorted(await store.photos(job)):
        here[name] = await store.photo(job, name)
    assert not store.damaged_photos(job)
    given = [(photo, id(step) in sure) for step in steps for photo in step.photos]
    for picture, is_sure in given:
        assert without_place(picture) in here.values() or not is_sure, "a photo is gone"
    assert set(here.values()) <= {without_place(picture) for picture, _ in given}
    return here


def _named(records: tuple[Record, ...], steps: list[Step], here: dict[str, bytes]) -> None:
    """No entry speaks of a picture that came with it and is not here."""
    came = {sum_of(photo) for step in steps for photo in step.photos}
    spoken = {one["sha256"] for one in records[1:] if one.get("what") == "photo"}
    assert spoken & came <= here.keys(), "an entry without its picture"
