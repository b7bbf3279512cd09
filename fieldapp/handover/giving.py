"""Handing over, carried out: documents made between the taps, then put or sent somewhere."""

from __future__ import annotations

import asyncio
import logging
from collections.abc import Awaitable, Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from engine.copied import HANDED, seen_in
from engine.jobfile import BadFile, JobFile
from engine.judge import Judgement, judging
from engine.say import say
from fieldapp import messages as m
from fieldapp import words
from fieldapp.breath import Breath
from fieldapp.exchange.packing import beside
from fieldapp.exchange.unpacking import photographed
from fieldapp.handover.documents import (
    DOCUMENTS,
    Made,
    Papers,
    Wish,
    parts_of,
    pictured,
    stamp_of,
    stem_of,
)
from fieldapp.handover.making import Making, Written
from fieldapp.store.errors import StoreError

if TYPE_CHECKING:
    from fieldapp.services import Put, Send, Share
    from fieldapp.shelf import Shelf

BREATH = 1.0
"""after a file went, a second press within this was meant for the same one (ours) [s]"""
PATIENCE = 60.0
"""a client that has not answered for so long has gone, and another press counts (ours) [s]"""
BLINK = 0.3
"""what is made sooner is not spoken of (ours) [s]"""
PRESS = 4.0
"""so long after a press a browser still takes it for the one that shares; most give 5 (from
memory) [s]"""
TOLD_SHARES = 40
"""how often it is said how far one is, at most"""
HELD = frozenset({m.REPORT, m.LABELS})
"""documents that take long to make: the last one of each is held for the next press"""


@dataclass(frozen=True)
class OwnTap:
    """A way to share that, where the press is over, asks for a tap of its own: nothing is held for
    another press.
    """

    share: Callable[[Sequence[Made]], Awaitable[bool | None]]

    async def __call__(self, files: Sequence[Made]) -> bool | None:
        """As any ``Share``; None: whoever holds the phone closed it."""
        return await self.share(files)


def is_too_late(share: Share | None, seconds: float) -> bool:
    """Whether what was made so long after a press is held for another one. [s]"""
    return not isinstance(share, OwnTap) and seconds > PRESS


@dataclass(frozen=True)
class Out:
    """What a press asked for, made: the files, by document, and what of the log was in them."""

    of: tuple[Any, ...]
    files: Mapping[str, Made]
    seen: Mapping[str, int]


class Hands:
    """Those of a session: a press made twice in one breath makes one copy; documents are made one
    after another, until nobody waits for them.
    """

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._full_until: dict[tuple[Any, ...], float] = {}
        self._at_work: set[tuple[Any, ...]] = set()
        self._one_at_a_time = asyncio.Lock()
        self._stopped = 0
        self._held: dict[str, tuple[tuple[Any, ...], Made]] = {}
        self._ready: Out | None = None

    def stop(self) -> None:
        """Nobody waits any more: what is being made is dropped."""
        self._stopped += 1
        self._ready = None

    async def give(
        self,
        effect: m.CopyOff,
        send: Send,
        put: Put | None,
        share: Share | None,
        keep: Callable[[m.Keep, Send], Awaitable[None]],
    ) -> None:
        """Hand files out; nothing while the same are on their way, and for a breath after they went.

        They are others once the log has more in it than that they went.
        """
        records = (await self._shelf.journal(effect.job)).records
        same = *effect.asked, sum(map(_is_news, records))
        clock, began = self._shelf.world.elapsed, self._shelf.world.elapsed()
        if began < self._full_until.get(same, 0.0) or same in self._at_work:
            return
        self._at_work.add(same)
        try:
            out = await self._out(effect, same, send)
        finally:
            self._at_work.discard(same)
        if out is None:
            return
        if effect.way == m.SHARE and is_too_late(share, clock() - began):
            self._ready = out
            send(m.Told(say("told-made-now")))
            return
        self._full_until[same], went = clock() + PATIENCE, False
        try:
            went = await _handed_out(effect, out, send, put, share, keep)
        finally:
            self._full_until[same] = clock() + (BREATH if went else 0.0)

    async def _out(self, effect: m.CopyOff, of: tuple[Any, ...], send: Send) -> Out | None:
        """The files; None where nobody waits for them any more, or they could not be made."""
        if self._ready is not None and self._ready.of == of:
            return self._ready
        self._ready, stopped = None, self._stopped
        async with self._one_at_a_time:
            making = _Making(self._shelf, effect, send, lambda: self._stopped == stopped)
            try:
                files = await making.all_of(self._held)
            except (BadFile, StoreError):
                raise
            except Exception:  # a press that comes to nothing would tell nobody
                logging.getLogger(__name__).exception("%s of %s", making.part, effect.job)
                send(m.Told(say("told-not-made", what=making.part)))
                return None
            finally:
                making.ended()
        return Out(of, files, making.seen) if files is not None else None


class _Making:
    """The documents of one press, made one after another in slices."""

    def __init__(
        self, shelf: Shelf, effect: m.CopyOff, send: Send, wanted: Callable[[], bool]
    ) -> None:
        self.shelf, self.effect, self.send, self.wanted = shelf, effect, send, wanted
        self.papers = effect.papers or Papers()
        self.part = effect.what
        self.seen: Mapping[str, int] = {}
        self.began = shelf.world.elapsed()
        self.is_told = False
        self.written: list[Written] = []

    async def all_of(self, held: dict[str, tuple[tuple[Any, ...], Made]]) -> dict[str, Made] | None:
        """All of them, those that are ``held`` as they are; None where nobody waits any more."""
        effect = self.effect
        file = await self.shelf.read(effect.job)
        judgement = effect.judgement or await self._judged(file)
        if judgement is None:
            return None
        self.seen = seen_in(judgement.state)
        wish = Wish(
            judgement,
            self.papers,
            self.shelf.world.now().astimezone().date().isoformat(),
            file.doc,
            account=effect.account,
            seek=effect.seek,
            rates=effect.rates,
            now=self.shelf.world.elapsed,
        )
        files: dict[str, Made] = {}
        for part in parts_of(effect.what, judgement.state):
            self.part = part
            stamp = stamp_of(part, judgement.state, self.papers)
            known = held.get(part)
            if known is not None and known[0] == (stamp, wish.day):
                made: Made | None = known[1]
            else:
                names = photographed(file) if part == m.WHOLE else pictured(judgement.state)
                pictures = names if DOCUMENTS[part].pictured else ()
                made = await self._made(part, stamp, await self._with_pictures(wish, pictures))
            if made is None:
                return None
            if part in HELD:
                held[part] = (stamp, wish.day), made
                self.written.append(Written(stamp, len(made.data), made.pages, made.lacking))
            files[part] = made
        return files

    def ended(self) -> None:
        """Say so, where there was anything to say."""
        if self.is_told or self.written:
            self.send(m.MakingOver(tuple(self.written)))

    async def _with_pictures(self, wish: Wish, names: Iterable[str]) -> Wish:
        found: dict[str, bytes] = {}
        lacking = 0
        for name in sorted(names):
            data = await self.shelf.store.photo(self.effect.job, name)
            if data is None:
                lacking += 1
            else:
                found[name] = data
        return replace(wish, pictures=found, lacking=lacking)

    async def _judged(self, file: JobFile) -> Judgement | None:
        """The job as it stands; None where nobody waits any more."""
        slices, breath = judging(file), Breath()
        while self.wanted():
            try:
                next(slices)
            except StopIteration as end:
                judgement: Judgement = end.value
                return judgement
            await breath.taken()
        return None

    async def _made(self, part: str, stamp: tuple[Any, ...], wish: Wish) -> Made | None:
        """One of them; between two slices everything else has its turn."""
        clock = self.shelf.world.elapsed
        slices, told, breath = DOCUMENTS[part].make(wish), -1, Breath()
        while self.wanted():
            try:
                share = next(slices)
            except StopIteration as end:
                made: Made = end.value
                return made
            news = int(share * TOLD_SHARES)
            is_news = clock() - self.began > BLINK and news != told
            if is_news:
                told, self.is_told = news, True
                making = Making(stamp, self.effect.what, part, news / TOLD_SHARES)
                self.send(m.MakingCame(making))
            await breath.taken(now=is_news)
        return None


# ---------------------------------------------------------------- out


async def _handed_out(
    effect: m.CopyOff,
    out: Out,
    send: Send,
    put: Put | None,
    share: Share | None,
    keep: Callable[[m.Keep, Send], Awaitable[None]],
) -> bool:
    """Let the files be put or sent somewhere; what the log is to know of it is kept. Whether they
    went.
    """
    files = tuple(out.files.values())
    one = files[0] if len(files) == 1 else together(effect.job, out.files)
    try:
        if effect.way == m.SHARE:
            went = share is not None and await share(files)
        else:
            went = put is not None and await put(one.name, one.data)
    except Exception:  # whatever a client does not manage
        name = one.name if effect.way == m.SAVE or len(files) == 1 else files[0].name
        send(m.Told(say("told-not-out", name=name)))
        return False
    if not went:
        if effect.way == m.SHARE and went is not None:  # None: it was closed, and that was seen
            send(m.Told(say("told-share-unknown")))
        return False
    if m.READINGS in out.files:
        send(m.Told(say("told-table-out", name=one.name)))
        return True
    await keep(m.Keep(effect.job, tuple(_drafts(effect, out, one.name))), send)
    lacking = max(made.lacking for made in files)
    if lacking:
        send(m.Told(say("told-photos-lacking", count=lacking)))
    return True


def together(job: str, files: Mapping[str, Made]) -> Made:
    """Several documents as one file: the job's own zip, with the others beside it, so that it can
    be taken in as a job's.
    """
    whole = files[m.WHOLE]
    others = {made.name: made.data for what, made in files.items() if what != m.WHOLE}
    data = beside(whole.name, whole.data, job, others)
    return Made(f"{stem_of(job)}-all.zip", data, "application/zip", None, whole.lacking)


def _drafts(effect: m.CopyOff, out: Out, name: str) -> Iterable[dict[str, Any]]:
    """Entries: that the job was copied; that what was made of it was handed over."""
    whole = out.files.get(m.WHOLE)
    if whole is not None:
        sums = sha256(whole.data).hexdigest()
        yield {"what": "export", "sha256": sums, "to": name, "by": effect.by}
    made = [what for what in out.files if what in HELD]
    if made:
        yield {
            "what": "note",
            "text": words.note_handed([out.files[what].name for what in made]),
            HANDED: {"what": made, "seen": dict(out.seen)},
            "by": effect.by,
        }


def _is_news(record: Mapping[str, Any]) -> bool:
    """Whether a record says more than that something was handed over."""
    return record.get("what") != "export" and HANDED not in record
