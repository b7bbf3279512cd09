"""What a signature stands for: the entries it had seen, their sum, and whether there are more since.

The sum is the SHA-256 of the canonical text (RFC 8785, ``canonical``) of::

    {"log": [the entries that were seen, by id], "plan": the plan as first agreed}

An entry stands there with its keys as written and ``t`` (null), ``device`` and ``by`` (empty),
``seen`` (an empty object) and ``n`` (its place in the file, from 1) where it has none. Signatures
are left out, and keys that begin with ``x_``, but those of a note or of a plan edit that are not
``x_twins``.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Any

from attrs import frozen

from engine.canonical import canonical
from engine.copied import matters
from engine.entries import OWN_KEYS, TWINS, Entry
from engine.log import State
from engine.strokes import Strokes

SIGN = "sign"


@frozen
class Signature:
    """Somebody's name under what was in the log when they signed."""

    entry: str
    by: str
    role: str
    t: str | None
    strokes: Strokes
    sha256: str
    """the sum that was signed; empty where the signature is tied to no state of the log"""
    holds: bool | None
    """whether what was signed has that sum here; None where it has none, or entries are lacking"""
    since: int
    """entries that matter and that it does not cover"""

    @property
    def is_tied(self) -> bool:
        """Whether it says which state of the log was signed."""
        return bool(self.sha256)


def signatures(state: State) -> tuple[Signature, ...]:
    """The signatures that stand, in the order of the log."""
    texts: dict[str, str] = {}
    return tuple(_signature(state, entry, texts) for _, entry in state.of_kind(SIGN))


def is_signed(state: State, after: int = -1) -> bool:
    """Whether a signature covers all that matters now.

    ``after``: place in the order behind which it must stand.
    """
    standing = [entry for place, entry in state.of_kind(SIGN) if place > after]
    return any(_grown(state, entry) is None for entry in reversed(standing))


def has_grown(state: State, place: int) -> bool:
    """Whether something that matters, and was not taken back, stands behind a place in the order."""
    behind = state.entries[place + 1 :]
    return any(matters(one) and one.id not in state.voided for one in behind)


def sees(entry: Entry, other: Entry) -> bool:
    """Whether a signature had seen another entry.

    By what its ``seen`` says; of its own device all before it, where ``seen`` leaves that out.
    What was written by hand, of no device, has been there as far as anybody knows.
    """
    if not other.device and entry.device:
        return True
    return other.n <= {entry.device: entry.n - 1, **entry.seen}.get(other.device, 0)


def covered(state: State, entry: Entry) -> tuple[Entry, ...]:
    """The entries that a signature speaks of: those it had seen, signatures left out."""
    return tuple(one for one in state.entries if one.what != SIGN and sees(entry, one))


def seen_now(state: State) -> dict[str, int]:
    """The ``seen`` of a signature under the log as it is: of each device the greatest count."""
    seen: dict[str, int] = {}
    for entry in state.entries:
        if entry.device:
            seen[entry.device] = max(seen.get(entry.device, 0), entry.n)
    return seen


def sum_now(state: State) -> str:
    """The sum of all that is in the log now: what is signed next."""
    return sum_of(state.work.origin.doc, (e for e in state.entries if e.what != SIGN))


def sum_of(doc: Mapping[str, Any], entries: Iterable[Entry]) -> str:
    """The SHA-256 of a plan as first agreed and of entries, in hexadecimal digits.

    ``doc``: the document of the job; its log is passed over. The order of the entries is none.
    """
    return _sum(doc, {entry.id: canonical(as_written(entry)) for entry in entries})


def as_written(entry: Entry) -> dict[str, Any]:
    """An entry as it goes into the sum."""
    body = {
        # keys that Python keeps for itself carry a stroke behind them while they travel
        name.rstrip("_"): value
        for name, value in entry.body.items()
        if not name.startswith("x_") or (entry.what in OWN_KEYS and name != TWINS)
    }
    head = {"id": entry.id, "what": entry.what, "t": entry.t, "device": entry.device}
    return {**head, "n": entry.n, "seen": dict(entry.seen), "by": entry.by, **body}


def _sum(doc: Mapping[str, Any], texts: Mapping[str, str]) -> str:
    plan = canonical({key: value for key, value in doc.items() if key != "log"})
    log = ",".join(texts[ident] for ident in sorted(texts))
    return sha256(f'{{"log":[{log}],"plan":{plan}}}'.encode("utf-8", "surrogatepass")).hexdigest()


def _signature(state: State, entry: Entry, texts: dict[str, str]) -> Signature:
    """``texts``: of entries that were written out before, for all signatures of a log."""
    body = entry.body
    told = body.get("sha256", "")
    holds = None
    if told:
        under = covered(state, entry)
        for one in under:
            if one.id not in texts:
                texts[one.id] = canonical(as_written(one))
        own = {one.id: texts[one.id] for one in under}
        holds = _sum(state.work.origin.doc, own) == told.lower()
        if not holds and _lacks(state, (entry, *under)):
            holds = None
    since = sum(1 for _ in _uncovered(state, entry))
    role, strokes = body.get("role", ""), body.get("strokes", ())
    return Signature(entry.id, entry.by, role, entry.t, strokes, told, holds, since)


def _lacks(state: State, entries: Iterable[Entry]) -> bool:
    """Whether one of these has seen an entry that is not in this log."""
    there = {(entry.device, entry.n) for entry in state.entries}
    return any((device, n) not in there for one in entries for device, n in one.seen.items() if n)


def _grown(state: State, entry: Entry) -> Entry | None:
    """One that a signature does not cover and that matters; None while it covers all."""
    return next(iter(_uncovered(state, entry)), None)


def _uncovered(state: State, entry: Entry) -> Iterable[Entry]:
    """What came since and matters, the last first. What came and was taken back again is nothing,
    nor is that a signature was taken back."""
    known = {one.id: one for one in state.entries if one.what == SIGN}
    fresh = {one.id for one in state.entries if not sees(entry, one)}
    for one in reversed(state.entries):
        if one.id not in fresh or one.id in state.voided or not matters(one):
            continue
        target = one.body["of"] if one.what == "void" else ""
        if target not in fresh and target not in known:
            yield one
