"""Everything as one file: what it would hold, made job by job, then put or sent somewhere.

The handlers are pure; ``Gathering`` carries their effects out.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from hashlib import sha256
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from engine.jobfile import BadFile, JobFile
from engine.log import fold
from engine.say import say
from fieldapp import messages as m
from fieldapp.breath import breathe, in_slices
from fieldapp.exchange.everything import together
from fieldapp.exchange.packing import Packed, job_texting, packing
from fieldapp.exchange.unpacking import photographed
from fieldapp.foundout import Holding
from fieldapp.handing import sent_of
from fieldapp.handover.documents import Made
from fieldapp.handover.giving import BLINK, is_too_late
from fieldapp.keeping import Result
from fieldapp.model import Model
from fieldapp.store.errors import StoreError

if TYPE_CHECKING:
    from fieldapp.services import Put, Send, Share
    from fieldapp.shelf import Shelf

STEM = "farend"
"""how the file's name begins; the day follows"""


# ---------------------------------------------------------------- handlers


def _pressed(model: Model, message: m.AllPressed) -> Result:
    if model.gathered is not None or model.holding is None or not model.holding.jobs:
        return model, ()
    return replace(model, told=None), (m.GiveAll(message.way, model.settings.name),)


def _weighed(model: Model, message: m.AllWeighed) -> Result:
    return replace(model, holding=message.holding), ()


def _made(model: Model, message: m.AllMade) -> Result:
    is_here = model.place.screen == "everything"
    return replace(model, gathered=message.done if is_here else None), ()


def with_gathering(before: Model, model: Model, effects: m.Effects) -> Result:
    """What is being gathered is given up where one goes away from it."""
    was, now = before.place.screen, model.place.screen
    if was != "everything" or now == was:
        return model, effects
    return replace(model, gathered=None, holding=None), (*effects, m.StopGivingAll())


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {m.AllPressed: _pressed, m.AllWeighed: _weighed, m.AllMade: _made}
)


# ---------------------------------------------------------------- carried out


class Gathering:
    """That of a session: one file at a time, until nobody waits for it."""

    def __init__(self, shelf: Shelf, put: Put | None, share: Share | None) -> None:
        self._shelf, self._put, self._share = shelf, put, share
        self._wanted: m.GiveAll | None = None
        self._ready: tuple[Any, tuple[Packed, ...], bytes] | None = None
        """made too late to be shared within the press: the log's state, the files, the whole"""

    @property
    def actions(self) -> dict[type, Callable[[Any, Send], Any]]:
        """By effect: what carries it out."""
        return {m.WeighAll: self.weigh, m.GiveAll: self.give, m.StopGivingAll: self.stop}

    async def weigh(self, effect: m.WeighAll, send: Send) -> None:
        """What there is, without packing it."""
        jobs = photos = size = lacking = unread = 0
        for card in await self._shelf.store.list_jobs():
            await breathe()
            try:
                file = await self._shelf.read(card.id)
                here = await self._shelf.store.photos(card.id)
            except (BadFile, StoreError):
                unread += 1
                continue
            sizes = {
                entry.body["sha256"]: entry.body.get("bytes", 0)
                for entry in file.entries
                if entry.what == "photo"
            }
            jobs += 1
            photos += len(sizes.keys() & here)
            lacking += len(sizes.keys() - here)
            size += len(await in_slices(job_texting(file.doc))) + sum(
                sizes[name] for name in sizes.keys() & here
            )
        send(m.AllWeighed(Holding(jobs, photos, size, lacking, unread)))

    async def stop(self, effect: m.StopGivingAll, send: Send) -> None:
        """Nobody waits any more."""
        self._wanted = self._ready = None

    async def give(self, effect: m.GiveAll, send: Send) -> None:
        """Make it and let it go somewhere; a second press on the way makes no second one."""
        if self._wanted is not None:
            return
        self._wanted, began = effect, self._shelf.world.elapsed()
        try:
            made = await self._made(effect, send, began)
            if made is None:
                return
            files, data, fresh = made
            late = is_too_late(self._share, self._shelf.world.elapsed() - began)
            if effect.way == m.SHARE and late and fresh:
                send(m.Told(say("told-made-now")))
                return
            await self._go(effect, files, data, send)
        finally:
            if self._wanted is effect:
                self._wanted = None

    async def _made(
        self, effect: m.GiveAll, send: Send, began: float
    ) -> tuple[tuple[Packed, ...], bytes, bool] | None:
        """The jobs' files and the whole; None where nobody waits any more. ``True``: made just now."""
        cards = await self._shelf.store.list_jobs()
        stamp = tuple((card.id, card.entries) for card in cards)
        if self._ready is not None and self._ready[0] == stamp:
            return (*self._ready[1:], False)
        files: list[Packed] = []
        is_told = False
        for number, card in enumerate(cards, 1):
            if self._shelf.world.elapsed() - began > BLINK:
                is_told = True
                send(m.AllMade((number, len(cards))))
            await breathe()
            try:
                files.append(await self._packed(card.id))
            except (BadFile, StoreError):
                continue  # the page says how many cannot be read
            if self._wanted is not effect:
                return None
        if is_told:
            send(m.AllMade(None))
        whole = tuple(files), await in_slices(together(files))
        self._ready = (stamp, *whole)
        return (*whole, True)

    async def _packed(self, job: str) -> Packed:
        file = await self._shelf.read(job)
        found = {name: await self._shelf.store.photo(job, name) for name in photographed(file)}
        pictures = {name: data for name, data in found.items() if data is not None}
        return await in_slices(packing(file.doc, pictures or None))

    async def _go(
        self, effect: m.GiveAll, files: tuple[Packed, ...], data: bytes, send: Send
    ) -> None:
        """Let it be put or sent; each job that the last copy does not hold is then logged."""
        name = f"{STEM}-{self._shelf.world.now().astimezone().date().isoformat()}.zip"
        try:
            if effect.way == m.SHARE:
                whole = Made(name, data, "application/zip")
                went = self._share is not None and await self._share((whole,))
            else:
                went = self._put is not None and await self._put(name, data)
        except Exception:  # whatever a client does not manage
            send(m.Told(say("told-not-out", name=name)))
            return
        if not went:
            if effect.way == m.SHARE and went is not None:  # None: it was closed, that was seen
                send(m.Told(say("told-share-unknown")))
            return
        self._ready = None
        for one in files:
            await self._log(one, name, effect, send)
        send(m.Told(say("told-everything-out", name=name, jobs=len(files))))

    async def _log(self, one: Packed, name: str, effect: m.GiveAll, send: Send) -> None:
        """A copy is a copy all the same where it cannot be logged."""
        job = one.name.rpartition(".")[0]
        try:
            file: JobFile = await self._shelf.read(job)
            sent = sent_of(fold(file))
            if sent is not None and not sent.is_older:
                return
            journal = await self._shelf.journal(job)
            draft = {"what": "export", "sha256": sha256(one.data).hexdigest(), "to": name}
            entries = self._shelf.keep(journal, ({**draft, "by": effect.by},))
        except (BadFile, StoreError):
            return
        send(m.Kept(file.plan.id, entries, self._shelf.world.clock()))
