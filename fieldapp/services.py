"""Effects carried out: the store, the clock, chance, the file picker. No Flet in here but a picker.

One of these serves a session; the store behind it is the process's own, so that all tabs
of one laptop write to the same journals.
"""

from __future__ import annotations

import asyncio
import secrets
import time
from collections.abc import Awaitable, Callable, Mapping, Sequence
from datetime import UTC, datetime, timedelta
from functools import partial
from types import MappingProxyType
from typing import Any

from engine.jobfile import BadFile, JobFile, load, read_job
from engine.judge import judging
from engine.planning import BadPlan
from engine.say import say
from fieldapp import messages as m
from fieldapp.advising import laid, search
from fieldapp.breath import in_slices
from fieldapp.copies import copied
from fieldapp.exchange.perform import take_in, weigh
from fieldapp.finding import find
from fieldapp.gathering import Gathering
from fieldapp.halfdone import Pad, TypedCode
from fieldapp.handing import came_of
from fieldapp.handover.documents import Made
from fieldapp.handover.giving import Hands
from fieldapp.haptics import Comforts, actions_of
from fieldapp.installed import Link
from fieldapp.jpeg import NotAPicture, in_megabytes
from fieldapp.linked import Linked
from fieldapp.meterform import put_meters
from fieldapp.meters import KEPT_AS, meters_from
from fieldapp.model import JobRow, Model
from fieldapp.practising import make_up
from fieldapp.priors import count
from fieldapp.routes import JOBS, Place, place_of, route_of
from fieldapp.settings import settings_kept
from fieldapp.sheeting import try_sheets
from fieldapp.shelf import Shelf
from fieldapp.shipped import practice_sites, sample_files, sample_names
from fieldapp.shrink import Redraw, shrunk
from fieldapp.signing import signing_from
from fieldapp.staying import half_from
from fieldapp.store.errors import StoreError, StoreFull
from fieldapp.troubles import row_say, trouble_say

A_WORKING_DAY = timedelta(hours=10)
Send = Callable[[Any], None]
Put = Callable[[str, bytes], Awaitable[bool]]
Share = Callable[[Sequence[Made]], Awaitable[bool | None]]


def uuid7(milliseconds: int, chance: int) -> str:
    """An id that sorts by time (RFC 9562, version 7) from 74 bits of chance."""
    head = (milliseconds & (1 << 48) - 1) << 80
    bits = head | 0x7 << 76 | (chance >> 62 & 0xFFF) << 64 | 0x2 << 62 | chance & (1 << 62) - 1
    text = f"{bits:032x}"
    return "-".join((text[:8], text[8:12], text[12:16], text[16:20], text[20:]))


class World:
    """The clock and chance: replaced in tests."""

    def now(self) -> datetime:
        """The time, in UTC."""
        return datetime.now(UTC)

    def stamp(self) -> str:
        """The time as an entry carries it."""
        return self.now().isoformat(timespec="seconds").replace("+00:00", "Z")

    def clock(self, stamp: str | None = None) -> str:
        """The wall clock's hours and minutes, now or at a stamp."""
        at = self.now() if stamp is None else datetime.fromisoformat(stamp)
        return at.astimezone().strftime("%H:%M")

    def elapsed(self) -> float:
        """Seconds since some moment, whatever is done to the clock of the wall."""
        return time.monotonic()

    def ident(self) -> str:
        """A fresh entry id."""
        return uuid7(int(time.time() * 1000), secrets.randbits(74))

    def seed(self) -> int:
        """A whole number that nobody foresees."""
        return secrets.randbits(32)

    async def wait(self, seconds: float) -> None:
        """Let time pass."""
        await asyncio.sleep(seconds)


PHOTO_SAYS = {
    "other-kind": "told-photo-kind",
    "not-jpeg": "told-photo-kind",
    "too-large": "told-photo-large",
    "too-many-pixels": "told-photo-large",
}
"""what is said of a picture that cannot be kept; of any other: it is broken"""
OPENS: Mapping[type, str] = MappingProxyType(
    {
        m.LoadJob: JOBS,
        m.CopySample: "",
        m.LayRun: "",
        m.CopyJob: "",
        m.MakeUp: "",
        m.TakeIn: "",
    }
)
"""what opens a job, and the route that it leads to where it opens none"""
SAID_BYTES = 1_000_000
"""a photo that was not made smaller and is larger than this is told of, once a session, ours"""


class Services:
    """Carries out the effects of one session."""

    def __init__(
        self,
        shelf: Shelf,
        put: Put | None = None,
        comforts: Comforts | None = None,
        redraw: Redraw | None = None,
        share: Share | None = None,
        link: Link | None = None,
    ) -> None:
        """``put`` a file elsewhere, ``comforts`` of a press, ``redraw`` a photo, ``share`` files:
        what the page can do; ``link`` to it where a phone installed it.
        """
        self.shelf = shelf
        self.put = put
        self.redraw = redraw
        self.share = share
        self.hands = Hands(shelf)
        self.said_full_size = False
        self.advises_on: m.Advise | None = None
        self.finds: m.Find | None = None
        self.lists: m.ListJobs | None = None
        self.actions: dict[type, Callable[[Any, Send], Awaitable[None]]] = {
            m.Keep: self._keep,
            m.Judge: self._judge,
            m.SavePlace: self._save_place,
            m.LoadJob: self._load_job,
            m.ListJobs: self._list_jobs,
            m.CopySample: self._copy_sample,
            m.MakeUp: partial(make_up, shelf=shelf),
            m.TakeIn: partial(take_in, shelf=shelf),
            m.Weigh: partial(weigh, shelf=shelf),
            m.PutSetting: self._put_setting,
            **Gathering(shelf, put, share).actions,
            m.PutMeters: partial(put_meters, shelf=shelf),
            m.CountFound: self._count_found,
            m.TellTime: self._tell_time,
            m.Later: self._later,
            m.LookAtClock: self._look_at_clock,
            m.KeepPhoto: self._keep_photo,
            m.ReadPictures: self._read_pictures,
            m.CopyOff: self._hand_out,
            m.StopMaking: self._stop_making,
            **actions_of(comforts or Comforts()),
            m.LayRun: self._lay_run,
            m.CopyJob: self._copy_job,
            m.Advise: self._advise,
            m.StopAdvising: self._stop_advising,
            m.Find: self._find,
            m.StopFinding: self._stop_finding,
            m.TrySheets: try_sheets,
            **Linked(link, shelf, self._save_place).actions,
        }

    async def perform(self, effect: Any, send: Send) -> None:
        """Carry out one effect; whatever fails is said, nothing escapes."""
        try:
            await self.actions[type(effect)](effect, send)
        except (StoreError, BadFile) as trouble:
            told = trouble_say(trouble, getattr(effect, "job", ""))
            opens = type(effect) in OPENS
            send(m.NotOpened(effect, told, OPENS[type(effect)]) if opens else m.NotKept(told))

    async def first_model(self) -> tuple[Model, str]:
        """The model to start with, and the route where one was."""
        store = self.shelf.store
        place = await store.load_place() or {}
        route = str(place.get("route") or "/")
        pad = _pad_of(place.get("pad"), place_of(route).job)
        signing = signing_from(place.get("signing"))
        if self._is_old(place.get("saved")):
            route, pad, signing, place = _from_the_start(route), None, None, {**place, "half": None}
        model = Model(
            settings=settings_kept(store.setting),
            own_meters=meters_from(store.setting(KEPT_AS, [])),
            samples=sample_names(),
            sites=practice_sites(),
            last_job=str(place.get("job") or ""),
            stop=str(place.get("stop") or ""),
            pad=pad,
            signing=signing,
            code=TypedCode(str(place.get("code") or "")),
            came=came_of(place.get("came")),
            stays=await self._count(afresh=False),
            can_share=self.share is not None,
            opened_at=route if place.get("opened") else "",
            now=self.shelf.world.stamp(),
            told=say("told-torn") if store.report is not None else None,
            **half_from(place.get("half")),
        )
        return model, route

    def _is_old(self, saved: Any) -> bool:
        """Hours later one begins at Now, not in the middle of a figure."""
        try:
            then = datetime.fromisoformat(str(saved))
        except ValueError:
            return False
        return self.shelf.world.now() - then > A_WORKING_DAY

    async def _keep(self, effect: m.Keep, send: Send) -> None:
        journal = await self.shelf.journal(effect.job)
        entries = self.shelf.keep(journal, effect.drafts)
        send(m.Kept(effect.job, entries, self.shelf.world.clock(), effect.then))

    async def _judge(self, effect: m.Judge, send: Send) -> None:
        send(m.Judged(effect, await in_slices(judging(effect.file, known=effect.known))))

    async def _save_place(self, effect: m.SavePlace, send: Send) -> None:
        if not self.shelf.store.reads_only:  # where the other is, is its own
            self.shelf.store.save_place({**effect.place, "saved": self.shelf.world.stamp()})

    async def _load_job(self, effect: m.LoadJob, send: Send) -> None:
        send(m.JobLoaded(await self.shelf.opened(effect.job), effect.route, effect))
        journal = await self.shelf.journal(effect.job)
        if journal.report is not None:
            send(m.Told(say("told-torn")))

    async def _list_jobs(self, effect: m.ListJobs, send: Send) -> None:
        self.lists = effect
        rows = await self.rows(lambda: self.lists is effect)
        if rows is None:
            return
        send(m.JobsListed(rows))
        if self.shelf.store.reads_only:
            send(m.Told(say("told-busy")))

    async def rows(self, wanted: Callable[[], bool] = lambda: True) -> tuple[JobRow, ...] | None:
        """All jobs with their judgements; one that cannot be read says so in its place.

        None once they are ``wanted`` no more.
        """
        rows = []
        for card in await self.shelf.store.list_jobs():
            if not wanted():
                return None
            try:
                job = await self.shelf.opened(card.id)
                rows.append(JobRow(job.id, card.title, job.judgement))
            except (StoreError, BadFile) as trouble:
                rows.append(JobRow(card.id, card.title, trouble=row_say(trouble)))
        return tuple(rows)

    async def _copy_sample(self, effect: m.CopySample, send: Send) -> None:
        path = next(path for path in sample_files() if path.stem == effect.name)
        await self._open_plan(load(path), path.name, effect, send)

    async def _lay_run(self, effect: m.LayRun, send: Send) -> None:
        try:
            doc = laid(effect)
        except BadPlan as bad:
            send(m.NotOpened(effect, bad.say))
            return
        await self._open_plan(read_job(doc), "", effect, send)

    async def _copy_job(self, effect: m.CopyJob, send: Send) -> None:
        doc = await copied(self.shelf, effect)
        plan = {key: value for key, value in doc.items() if key != "log"}
        await self._open_plan(read_job(plan), "", effect, send)

    async def _open_plan(self, file: JobFile, source: str, effect: Any, send: Send) -> None:
        """A new job of one's own, open in the editor."""
        job = await self.shelf.bring_in(file, source, fresh_id=True)
        send(m.JobLoaded(await self.shelf.opened(job), f"/j/{job}/plan", effect))

    async def _advise(self, effect: m.Advise, send: Send) -> None:
        """A newer plan, or leaving it, ends the search."""
        self.advises_on = effect
        await search(effect, send, lambda: self.advises_on is effect)

    async def _stop_advising(self, effect: m.StopAdvising, send: Send) -> None:
        self.advises_on = None

    async def _find(self, effect: m.Find, send: Send) -> None:
        """A longer log, or a place that shows no causes, ends the search."""
        self.finds = effect
        await find(effect, send, lambda: self.finds is effect)

    async def _stop_finding(self, effect: m.StopFinding, send: Send) -> None:
        self.finds = None

    async def _count_found(self, effect: m.CountFound, send: Send) -> None:
        send(m.FoundCounted(await self._count()))

    async def _count(self, *, afresh: bool = True) -> Mapping[str, Any]:
        """What the jobs here came to. A sample is no site."""
        return await count(self.shelf, {path.name for path in sample_files()}, afresh=afresh)

    async def _put_setting(self, effect: m.PutSetting, send: Send) -> None:
        self.shelf.store.put_setting(effect.key, effect.value)

    async def _tell_time(self, effect: m.TellTime, send: Send) -> None:
        send(m.KeyTimed(self.shelf.world.clock()))

    async def _later(self, effect: m.Later, send: Send) -> None:
        await self.shelf.world.wait(effect.seconds)
        send(effect.message)

    async def _look_at_clock(self, effect: m.LookAtClock, send: Send) -> None:
        if effect.seconds:
            await self.shelf.world.wait(effect.seconds)
        send(m.Ticked(self.shelf.world.stamp(), effect.again))

    async def _keep_photo(self, effect: m.KeepPhoto, send: Send) -> None:
        """The picture first, made smaller where that can be: its entry once it is durable."""
        data = await shrunk(effect.data, self.redraw)
        try:
            photo = await self.shelf.store.keep_photo(effect.job, data)
            draft = {
                "what": "photo",
                "of": effect.of,
                "sha256": photo.sha256,
                "bytes": photo.bytes,
                "width": photo.width,
                "height": photo.height,
                "by": effect.by,
            }
            await self._keep(m.Keep(effect.job, (draft,)), send)
        except NotAPicture as bad:
            send(m.NotKept(say(PHOTO_SAYS.get(bad.why, "told-photo-broken"), found=bad.found)))
            return
        except StoreFull:
            send(m.NotKept(say("told-photo-full")))
            return
        if data is effect.data and photo.bytes > SAID_BYTES and not self.said_full_size:
            self.said_full_size = True
            send(m.Told(say("told-photo-full-size", found=in_megabytes(photo.bytes))))

    async def _read_pictures(self, effect: m.ReadPictures, send: Send) -> None:
        store = self.shelf.store
        found = {name: await store.photo(effect.job, name) for name in effect.names}
        send(m.PicturesRead(found))

    async def _hand_out(self, effect: m.CopyOff, send: Send) -> None:
        await self.hands.give(effect, send, self.put, self.share, self._keep)

    async def _stop_making(self, effect: m.StopMaking, send: Send) -> None:
        self.hands.stop()


def _from_the_start(route: str) -> str:
    place = place_of(route)
    return route_of(Place("now", place.job)) if place.job else route


def _pad_of(record: Any, job: str) -> Pad | None:
    """The half-typed digits as they were stored."""
    if not isinstance(record, Mapping):
        return None
    names = ("at", "kind", "digits", "meter", "method", "since", "box", "beside", "again")
    known: dict[str, Any] = {name: str(record.get(name) or "") for name in names}
    watts = record.get("watts")
    return Pad(
        **known,
        job=job,
        standing=str(record.get("standing") or "loaded"),
        watts=float(watts) if isinstance(watts, int | float) else None,
        restored=True,
    )
