"""Two files of one job made one: the union of their logs, nothing lost, no order preferred."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from typing import Any

from engine.entries import read_entry
from engine.log import ordered

TWINS = "x_twins"
"""the key under which an entry keeps what else was written under its id"""

Raw = Mapping[str, Any]


class NotOneJob(Exception):
    """Files whose plans as first agreed differ: two jobs, or one that was tampered with."""


def merged(documents: Iterable[Raw]) -> dict[str, Any]:
    """The documents of one job as one, each log in the other.

    Commutative, associative and idempotent. Of two entries that say different things under
    one id, as a restored backup may write them, the lesser text stands and the others lie
    beside it under ``x_twins``.

    Raises
    ------
    NotOneJob : 'not the same job': the ids or the plans as first agreed differ.
    """
    first, *others = documents
    plan = {key: value for key, value in first.items() if key != "log"}
    for other in others:
        if {key: value for key, value in other.items() if key != "log"} != plan:
            raise NotOneJob(f"not the same job: {first.get('id')} and {other.get('id')}")
    written: dict[str, dict[str, Raw]] = {}
    for document in (first, *others):
        for entry in _counted(document.get("log", ())):
            for one in (entry, *entry.get(TWINS, ())):
                bare = {key: value for key, value in one.items() if key != TWINS}
                written.setdefault(one["id"], {})[json.dumps(bare, sort_keys=True)] = bare
    entries = {ident: _one(texts) for ident, texts in written.items()}
    order = ordered(read_entry(entries[ident]) for ident in sorted(entries))
    return {**plan, "log": [entries[entry.id] for entry in order]}


def twins(document: Raw) -> tuple[str, ...]:
    """The ids under which a merged document holds more than one entry."""
    return tuple(entry["id"] for entry in document["log"] if TWINS in entry)


def _counted(log: Iterable[Raw]) -> list[dict[str, Any]]:
    """Entries written by hand without a count take their place in the file as one, for good."""
    return [{**entry, "n": entry.get("n") or place} for place, entry in enumerate(log, start=1)]


def _one(texts: Mapping[str, Raw]) -> dict[str, Any]:
    least, *rest = (texts[text] for text in sorted(texts))
    return {**least, TWINS: rest} if rest else dict(least)
