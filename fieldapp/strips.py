"""The strip behind what was kept: of which entries it speaks, what it says, what Undo takes along. Pure."""

from __future__ import annotations

from collections.abc import Callable

from engine.copied import HANDED
from engine.entries import Entry
from engine.fitted import FITTED, TAKEN_BACK, tells
from engine.say import Say, say
from fieldapp.model import OpenJob


def is_told(entry: Entry) -> bool:
    """Whether the strip speaks of an entry; of notes only where something was put in or out, or
    handed over."""
    is_said = entry.what != "note" or tells(entry.body) or HANDED in entry.body
    return entry.what in STRIPS and is_said


def goes_along(entry: Entry) -> bool:
    """Whether an entry is taken back with the one it was kept with."""
    return entry.what == "found" or HANDED in entry.body


def _note(job: OpenJob, entry: Entry, struck: int) -> Say:
    if HANDED in entry.body:
        return say("strip-handed", what=tuple(entry.body[HANDED]["what"]))
    out = entry.body.get(TAKEN_BACK)
    code, what = ("strip-out", out) if out else ("strip-in", entry.body[FITTED])
    return say(code, what=what, at=entry.body["at"])


def _step(job: OpenJob, entry: Entry, struck: int) -> Say:
    steps = {step.id: step for step in job.judgement.steps}
    step = steps.get(entry.body["step"])
    return say("strip-step", state=entry.body["state"], step=step.say if step else None)


def _change(job: OpenJob, entry: Entry, struck: int) -> Say:
    return say("strip-change", where=entry.body["where"], did=entry.body["did"], struck=struck)


def _photo(job: OpenJob, entry: Entry, struck: int) -> Say:
    return say("strip-photo", of=entry.body["of"])


def _sign(job: OpenJob, entry: Entry, struck: int) -> Say:
    return say("strip-signed", by=entry.by)


def _export(job: OpenJob, entry: Entry, struck: int) -> Say:
    return say("strip-export")


def _visit(job: OpenJob, entry: Entry, struck: int) -> Say:
    return say("strip-visit", reason=entry.body.get("reason", ""), people=entry.body["people"])


STRIPS: dict[str, Callable[[OpenJob, Entry, int], Say]] = {
    "step": _step,
    "change": _change,
    "photo": _photo,
    "export": _export,
    "sign": _sign,
    "visit": _visit,
    "note": _note,
}
"""what the strip says of a kind of entry, and of how many readings it struck"""
