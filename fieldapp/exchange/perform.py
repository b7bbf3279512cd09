"""Taking in, carried out: what the app's effects come to on a shelf of jobs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from engine.jobfile import BadFile
from engine.merge import NotOneJob
from engine.say import Say, say
from fieldapp import messages as m
from fieldapp.breath import breathe, in_slices
from fieldapp.exchange.archive import shown_name
from fieldapp.exchange.bringing import Brought, bring
from fieldapp.exchange.everything import parts_of
from fieldapp.exchange.packing import job_texting
from fieldapp.exchange.records import document
from fieldapp.exchange.unpacking import Incoming, photographed, unpack
from fieldapp.foundout import Came, Weight
from fieldapp.jpeg import NotAPicture
from fieldapp.routes import JOBS
from fieldapp.store.errors import StoreError
from fieldapp.troubles import trouble_say

if TYPE_CHECKING:
    from fieldapp.services import Send
    from fieldapp.shelf import Shelf


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
    size = len(await in_slices(job_texting(file.doc))) + sum(sizes[name] for name in here)
    send(m.Weighed(Weight(file.plan.id, size, len(here), len(wanted) - len(here))))


async def take_in(effect: m.TakeIn, send: Send, shelf: Shelf) -> None:
    """Open a picked file: as a new job, or as news to one that is here; then go there."""
    name = shown_name(effect.name)
    parts = parts_of(effect.data)
    if parts is not None:
        await take_all_in(parts, name, send, shelf)
        return
    try:
        incoming = unpack(effect.data)
        brought = await bring_to(shelf, incoming, name)
        after = len(document(brought.journal.records)["log"])
        job = await shelf.opened(brought.journal.job)
    except (BadFile, NotOneJob, NotAPicture, StoreError) as trouble:
        send(m.NotOpened(effect, trouble_say(trouble, name)))
        return
    send(m.JobLoaded(job, f"/j/{job.id}/now", effect))
    if brought.entries and not brought.is_new:
        send(m.NewsCame(Came(job.id, brought.before, after)))
    told = told_of(brought, incoming, name)
    if told is not None:
        send(m.Told(told))


async def take_all_in(
    parts: Iterator[tuple[str, bytes]], name: str, send: Send, shelf: Shelf
) -> None:
    """Take in the jobs of a zip of everything, one after another; one that cannot be taken is told,
    and holds up no other.
    """
    new = more = 0
    trouble: Say | None = None
    while True:
        part = name
        try:
            part, data = next(parts)
            brought = await bring_to(shelf, unpack(data), part)
        except StopIteration:
            break
        except (BadFile, NotOneJob, NotAPicture, StoreError) as bad:
            trouble = trouble or trouble_say(bad, part)
        else:
            new += brought.is_new
            more += not brought.is_new and bool(brought.entries or brought.pictures)
        await breathe()
    send(m.Go(JOBS))
    send(m.Told(trouble or say("told-everything-in", name=name, new=new, more=more)))


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
