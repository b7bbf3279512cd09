"""Handing over and taking in, carried out: what the app's effects come to on a shelf of jobs."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from hashlib import sha256
from typing import TYPE_CHECKING

from engine.jobfile import BadFile
from engine.judge import judge
from engine.merge import NotOneJob
from engine.readings_csv import readings_csv
from engine.say import Say, say
from fieldapp import messages as m
from fieldapp.exchange.archive import shown_name
from fieldapp.exchange.bringing import Brought, bring
from fieldapp.exchange.packing import Packed, job_text, pack
from fieldapp.exchange.unpacking import Incoming, photographed, unpack
from fieldapp.jpeg import NotAPicture
from fieldapp.model import Came, Weight
from fieldapp.store.errors import StoreError
from fieldapp.troubles import trouble_say

if TYPE_CHECKING:
    from fieldapp.services import Send, Shelf

Give = Callable[[str, bytes], Awaitable[bool]]
BREATH = 1.0
"""after a file went, a second press within this was meant for the same one (ours) [s]"""
PATIENCE = 60.0
"""a client that has not answered for so long has gone, and another press counts (ours) [s]"""


async def packed(shelf: Shelf, job: str, what: str = m.WHOLE) -> tuple[Packed, int]:
    """A job as a file, and how many pictures of its log are not in it.

    Raises
    ------
    BadFile, StoreError
    """
    file = await shelf.read(job)
    if what == m.READINGS:
        table = readings_csv(judge(file))
        return Packed(f"{file.plan.id.lower()}-readings.csv", table), 0
    wanted = photographed(file)
    pictures = {}
    for name in sorted(wanted):
        data = await shelf.store.photo(job, name)
        if data is not None:
            pictures[name] = data
    return pack(file.doc, pictures or None), len(wanted) - len(pictures)


async def hand_out(
    effect: m.CopyOff,
    send: Send,
    shelf: Shelf,
    give: Give | None,
    keep: Callable[[m.Keep, Send], Awaitable[None]],
) -> bool:
    """Let a file be put or sent somewhere; a whole job that was is logged as copied.

    Whether it went.
    """
    whole, lacking = await packed(shelf, effect.job, effect.what)
    try:
        went = give is not None and await give(whole.name, whole.data)
    except Exception:  # whatever a client does not manage
        send(m.Told(say("told-not-out", name=whole.name)))
        return False
    if not went:
        if effect.way == m.SHARE:
            send(m.Told(say("told-share-unknown")))
        return False
    if effect.what != m.WHOLE:
        send(m.Told(say("told-table-out", name=whole.name)))
        return True
    sums = sha256(whole.data).hexdigest()
    draft = {"what": "export", "sha256": sums, "to": whole.name, "by": effect.by}
    await keep(m.Keep(effect.job, (draft,)), send)
    if lacking:
        send(m.Told(say("told-photos-lacking", count=lacking)))
    return True


class Hands:
    """Those of a session: a press made twice in one breath makes one copy."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._full_until: dict[tuple[m.CopyOff, int], float] = {}

    async def give(
        self,
        effect: m.CopyOff,
        send: Send,
        give: Give | None,
        keep: Callable[[m.Keep, Send], Awaitable[None]],
    ) -> None:
        """Hand a file out; nothing while the same is on its way, and for a breath after it went.

        It is another once the log has more in it than that it went.
        """
        records = (await self._shelf.journal(effect.job)).records
        same = effect, sum(record.get("what") != "export" for record in records)
        clock, went = self._shelf.world.elapsed, False
        if clock() < self._full_until.get(same, 0.0):
            return
        self._full_until[same] = clock() + PATIENCE
        try:
            went = await hand_out(effect, send, self._shelf, give, keep)
        finally:
            self._full_until[same] = clock() + (BREATH if went else 0.0)


async def weigh(effect: m.Weigh, send: Send, shelf: Shelf) -> None:
    """How large a job's file would be, without packing it."""
    file = await shelf.read(effect.job)
    wanted = photographed(file)
    here = wanted & await shelf.store.photos(effect.job)
    sizes = {
        entry.body["sha256"]: entry.body.get("bytes", 0)
        for entry in file.entries
        if entry.what == "photo"
    }
    size = len(job_text(file.doc)) + sum(sizes[name] for name in here)
    send(m.Weighed(Weight(file.plan.id, size, len(here), len(wanted) - len(here))))


async def take_in(effect: m.TakeIn, send: Send, shelf: Shelf) -> None:
    """Open a picked file: as a new job, or as news to one that is here; then go there."""
    name = shown_name(effect.name)
    try:
        incoming = unpack(effect.data)
        brought = await bring_to(shelf, incoming, name)
        file = await shelf.read(brought.journal.job)
    except (BadFile, NotOneJob, NotAPicture, StoreError) as trouble:
        send(m.Told(trouble_say(trouble, name)))
        return
    job = file.plan.id
    send(m.JobLoaded(job, file, shelf.kept_at(file), f"/j/{job}/now"))
    if brought.entries and not brought.is_new:
        send(m.NewsCame(Came(job, brought.before, len(file.entries))))
    told = told_of(brought, incoming, name)
    if told is not None:
        send(m.Told(told))


async def bring_to(shelf: Shelf, incoming: Incoming, source: str) -> Brought:
    """Bring a file to the shelf, whose journals stay open; other tabs wait for it."""
    async with shelf.opening:
        journal = shelf.at_hand(incoming.file.plan.id.upper())
        brought = await bring(shelf.store, incoming, source, journal)
        shelf.journals[brought.journal.job] = brought.journal
        return brought


def told_of(brought: Brought, incoming: Incoming, name: str) -> Say | None:
    """The one sentence that matters most of what came, beyond the news themselves."""
    if incoming.left_out:
        first, more = incoming.left_out[0], len(incoming.left_out) - 1
        return say("told-left-out", name=name, at=first.at, why=first.why, more=more)
    if brought.twins:
        return say("told-twins", count=len(brought.twins))
    if not brought.is_new and not brought.entries and not brought.pictures:
        return say("told-nothing-new", name=name)
    return None
