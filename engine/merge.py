"""Two files of one job made one: the union of their logs, nothing lost, no order preferred."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from engine.entries import TWINS, read_entry
from engine.order import arranging, text_of
from engine.sliced import Steps, finish

Raw = Mapping[str, Any]


class NotOneJob(Exception):
    """Files whose plans as first agreed differ: two jobs, or one that was tampered with."""


A_SLICE = 100
"""entries between two yields"""


def merged(documents: Iterable[Raw]) -> dict[str, Any]:
    """The documents of one job as one, in one go. Raises NotOneJob."""
    return finish(merging(documents))


def merging(documents: Iterable[Raw]) -> Steps[dict[str, Any]]:
    """The documents of one job as one, each log in the other; in steps.

    Commutative, associative and idempotent. Of two entries that say different things under
    one id, as a restored backup may write them, the one that the fold would take stands and
    the others lie beside it under ``x_twins``.

    Raises
    ------
    NotOneJob : 'not the same job': the ids or the plans as first agreed differ.
    """
    first, *others = documents
    plan = _plan_of_all(first, others)
    written: dict[str, dict[str, Any]] = {}
    for document in (first, *others):
        for number, (ident, one) in enumerate(_sayings(document), 1):
            written.setdefault(ident, {})[_text(one)] = one
            if number % A_SLICE == 0:
                yield
    entries = {ident: _one(ident, texts) for ident, texts in written.items()}
    read = []
    for ident in sorted(entries):
        read.append(read_entry(entries[ident]))
        if len(read) % A_SLICE == 0:
            yield
    order = (yield from arranging(read)).entries
    return {**plan, "log": [entries[entry.id] for entry in order]}


def news(kept: Raw, other: Raw) -> tuple[tuple[str, Any], ...]:
    """What the log of ``other`` says and that of ``kept`` does not: (id, what stands there).

    In the order of its file. An id that ``kept`` has, or that comes twice, is a twin. With all
    of these the kept one is what ``merged`` makes of both.

    Raises
    ------
    NotOneJob
    """
    _plan_of_all(kept, (other,))
    known = {(ident, _text(one)) for ident, one in _sayings(kept)}
    out = []
    for ident, one in _sayings(other):
        if (ident, _text(one)) not in known:
            known.add((ident, _text(one)))
            out.append((ident, one))
    return tuple(out)


def twins(document: Raw) -> tuple[str, ...]:
    """The ids under which a merged document holds more than one entry."""
    return tuple(entry["id"] for entry in document["log"] if TWINS in entry)


def _plan_of_all(first: Raw, others: Iterable[Raw]) -> dict[str, Any]:
    """The plan as first agreed, which is that of all."""
    plan = {key: value for key, value in first.items() if key != "log"}
    for other in others:
        if {key: value for key, value in other.items() if key != "log"} != plan:
            raise NotOneJob(f"not the same job: {first.get('id')} and {other.get('id')}")
    return plan


def _sayings(document: Raw) -> Iterator[tuple[str, Any]]:
    """Each thing that a log says, with the id under which it stands."""
    for place, entry in enumerate(document.get("log", ()), start=1):
        for one in _said(entry, place):
            yield entry["id"], one


def _text(one: Any) -> str:
    """Two things that say the same have the same text."""
    return json.dumps(one, sort_keys=True)


def _said(entry: Any, place: int) -> Iterator[Any]:
    """What stands under one id: the entry, and what lies beside it, whatever that may be.

    What was written by hand without a count takes its place in the file as one, for good.
    """
    if not isinstance(entry, dict):
        yield entry
        return
    bare = {key: value for key, value in entry.items() if key != TWINS}
    yield {**bare, "n": bare.get("n") or place}
    beside = entry.get(TWINS, [])
    for one in beside if isinstance(beside, list) else [beside]:
        yield from _said(one, place)


def _one(ident: str, texts: Mapping[str, Any]) -> dict[str, Any]:
    least, *rest = (
        texts[text] for text in sorted(texts, key=lambda text: _rank(ident, texts, text))
    )
    return {**least, TWINS: rest} if rest else dict(least)


def _rank(ident: str, texts: Mapping[str, Any], text: str) -> tuple[bool, str, str]:
    """What the fold would take comes first; what is no entry of this id never stands."""
    if len(texts) == 1:
        return (False, "", text)
    try:
        entry = read_entry(texts[text])
    except ValueError:
        return (True, "", text)
    return (entry.id != ident, text_of(entry), text)
