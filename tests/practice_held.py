"""Practice on the phone without a screen: its jobs, its pad, and what was kept."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from typing import Any

from headless import CountedWorld, Phone, drive, warned
from practice_jobs import JOB, SPAN_HIGH, Doc, truth_of
from practice_jobs import job as made_up_site

from engine.jobfile import read_job
from engine.log import fold
from engine.practice.after import PRACTICE, is_at


class Seeded(CountedWorld):
    """A world whose seeds are known: one after another."""

    def __init__(self, seed: int = 0) -> None:
        super().__init__()
        self.next_seed = seed

    def seed(self) -> int:
        self.next_seed += 1
        return self.next_seed - 1


def job(*log: Doc, **more: Any) -> Doc:
    """A made-up site with every caution read."""
    return warned(made_up_site(*log, **more))


def note(word: str) -> Doc:
    return {"id": "word", "what": "note", "text": word, PRACTICE: word}


TRUTH = truth_of(job(seed=SPAN_HIGH))
ELSEWHERE = next(
    name
    for name in ("C1", "C2", "C3", "C4")
    if not is_at(fold(read_job(job(seed=SPAN_HIGH))), TRUTH, name)
)


async def held(phone: Phone, ident: str) -> Doc:
    return (await phone.shelf.read(ident)).doc


def run(journey: Callable[[], Awaitable[None]]) -> None:
    drive(journey)


async def past_cautions(phone: Phone) -> None:
    while phone.has("understood"):
        await phone.tap("understood")


async def at_pad(phone: Phone, at: str, kind: str) -> None:
    await phone.go(f"{JOB}/read/{at}/{kind}")


async def metered(doc: Doc, at: str, kind: str) -> Phone:
    """A job opened at a pad, the made-up meter's reading on it."""
    phone = await Phone.start(docs=(doc,))
    await at_pad(phone, at, kind)
    await phone.tap("made-up-meter")
    return phone


async def last_kept(phone: Phone, doc: Doc) -> Doc:
    return (await held(phone, doc["id"]))["log"][-1]
