"""What was put in for a test and is still in: shorts, by-passes, known loads (notes of ours)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from attrs import frozen

from engine.log import State

FITTED, TAKEN_BACK = "x_fitted", "x_taken_back"
"""keys of a note: what was put in at its place, and what was taken out there again"""


@frozen
class Fitted:
    """One thing that somebody put in: a short, a by-pass, a known load."""

    what: str
    at: str
    by: str
    entry: str
    place: int


def fitted(state: State) -> tuple[Fitted, ...]:
    """What is still in, as it was put in. The same word at the same place takes it out."""
    still: dict[tuple[str, str], Fitted] = {}
    for place, entry in state.notes_with(FITTED, TAKEN_BACK):
        at = state.job.named(entry.body.get("at") or "")
        put, out = entry.body.get(FITTED), entry.body.get(TAKEN_BACK)
        if _is_word(out):
            still.pop((at, out), None)
        if _is_word(put):
            still[at, put] = Fitted(put, at, entry.by, entry.id, place)
    return tuple(sorted(still.values(), key=lambda one: one.place))


def last_fitted(state: State) -> int:
    """Place of the last entry by which something was put in or taken out; -1 when none was."""
    words = (place for place, entry in state.notes_with(FITTED, TAKEN_BACK) if _tells(entry.body))
    return max(state.fitted, *words, -1)


def _tells(body: Mapping[str, Any]) -> bool:
    return _is_word(body.get(FITTED)) or _is_word(body.get(TAKEN_BACK))


def _is_word(value: object) -> bool:
    return isinstance(value, str) and bool(value.strip())
