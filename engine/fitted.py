"""What was put in for a test and is still in: shorts, by-passes, known loads (notes of ours)."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, TypeGuard

from attrs import frozen

from engine.job import Job, Point
from engine.log import State
from engine.step import Step

FITTED, TAKEN_BACK = "x_fitted", "x_taken_back"
"""keys of a note: what was put in at its place, and what was taken out there again"""

SHORT, BYPASS, LOAD, LEAD = "short", "by-pass", "known load", "break-out lead"
"""the words of the log for what is put in for a test"""
KINDS = (SHORT, BYPASS, LOAD, LEAD)
AT_A_PORT = frozenset({SHORT, LEAD})
"""what is put on one port; the others stand in for the whole box"""


@frozen
class Fitted:
    """One thing that somebody put in: a short, a by-pass, a known load."""

    what: str
    at: str
    by: str
    entry: str
    place: int
    t: str | None = None


def fitted(state: State) -> tuple[Fitted, ...]:
    """What is still in, as it was put in. The same word at the same place takes it out."""
    still: dict[tuple[str, str], Fitted] = {}
    for place, entry in state.notes_with(FITTED, TAKEN_BACK):
        at = state.job.named(entry.body.get("at") or "")
        put, out = entry.body.get(FITTED), entry.body.get(TAKEN_BACK)
        if _is_word(out):
            still.pop((at, out), None)
        if _is_word(put):
            still[at, put] = Fitted(put, at, entry.by, entry.id, place, entry.t)
    return tuple(sorted(still.values(), key=lambda one: one.place))


def last_fitted(state: State) -> int:
    """Place of the last entry by which something was put in or taken out; -1 when none was."""
    words = (place for place, entry in state.notes_with(FITTED, TAKEN_BACK) if tells(entry.body))
    return max(state.fitted, *words, -1)


def put_in_by(step: Step, far: str) -> tuple[str, str] | None:
    """What a step puts in, and where: ``far`` is the outer end of its span. None when nothing.

    Before the cable is pulled the short is at the reel, so that it goes by the span's name.
    """
    if "far-end short" in step.needs and step.span is not None:
        return SHORT, far if step.both_ends else step.span
    if "known load" in step.needs and step.box is not None:
        return LOAD, step.box
    return None


def near(
    job: Job, still: Iterable[Fitted], box: str | None, span: str | None
) -> tuple[Fitted, ...]:
    """Of what is in, that at a box or at its ports, and that on a span or at its ends."""
    ends = {str(end) for end in (job.spans[span].a, job.spans[span].b)} if span else set()

    def is_near(at: str) -> bool:
        return at in (box, span) or at in ends or (box is not None and Point.parse(at).box == box)

    return tuple(one for one in still if is_near(one.at))


def tells(body: Mapping[str, Any]) -> bool:
    """Whether a note says that something was put in or taken out."""
    return _is_word(body.get(FITTED)) or _is_word(body.get(TAKEN_BACK))


def _is_word(value: object) -> TypeGuard[str]:
    return isinstance(value, str) and bool(value.strip())
