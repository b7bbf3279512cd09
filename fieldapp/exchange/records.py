"""A job's records in the journal as a document, and what of another document is news to it. Pure.

The journal holds one entry an id. Where two files say different things under one id, the second
lies beside the first in a record of its own, and both come out as ``engine.merge`` has them.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from engine.crowds import admitted, crowd_of
from engine.entries import TWINS
from engine.jobfile import parse_json, read_job, write
from engine.merge import merged, news

TWIN = "twin"
"""kind of the record that holds what else was said ``of`` an id"""
Raw = Mapping[str, Any]


def document(records: Sequence[Raw]) -> dict[str, Any]:
    """Plan and log of a journal's records, in their order."""
    plan, *entries = records
    ids = {entry["id"] for entry in entries if not _is_twin(entry)}
    log: list[Raw] = []
    beside: dict[str, list[Raw]] = {}
    for entry in entries:
        if _is_twin(entry) and entry["of"] in ids:
            beside.setdefault(entry["of"], []).append(entry["entry"])
        else:
            log.append(entry)
    if not beside:
        return {**plan, "log": log}
    both = [_beside(entry, beside.get(entry["id"], [])) for entry in log]
    stands = {entry["id"]: entry for entry in merged(({**plan, "log": both},))["log"]}
    return {**plan, "log": [stands[entry["id"]] for entry in log]}


@dataclass(frozen=True)
class Additions:
    """What is to be kept so that the kept job is the union of both; ``twins`` are ids in it.

    ``before``: entries there were.
    """

    before: int
    records: tuple[Raw, ...]
    twins: tuple[str, ...]


def additions(records: Sequence[Raw], other: Raw) -> Additions:
    """What a document brings to the records of a job; to those of a plan alone, all it has.

    Raises
    ------
    NotOneJob
    BadFile : with it the job could not be read any more, here or from its file, or never be
        worked out.
    """
    kept = document(records)
    known = {entry["id"] for entry in records[1:]}
    out: list[Raw] = []
    twins: dict[str, None] = {}
    for ident, said in news(kept, other):
        if ident in known:
            out.append(_twin(ident, said))
            twins[ident] = None
        else:
            out.append(said)
            known.add(ident)
    if out:
        union = document((*records, *out))
        file = read_job(parse_json(write(union)) if twins else union)
        if crowd_of(file) is not None and crowd_of(read_job(kept)) is None:
            admitted(file)  # what is crowded here already goes on as it is
    return Additions(len(kept["log"]), tuple(out), tuple(twins))


def _is_twin(entry: Raw) -> bool:
    return entry.get("what") == TWIN and isinstance(entry.get("of"), str) and "entry" in entry


def _twin(ident: str, said: Any) -> Raw:
    """The record of what else was said; the same has the same id."""
    text = json.dumps([ident, said], sort_keys=True)
    return {
        "id": f"twin.{sha256(text.encode()).hexdigest()[:32]}",
        "what": TWIN,
        "of": ident,
        "entry": said,
    }


def _beside(entry: Raw, others: list[Any]) -> Raw:
    there = entry.get(TWINS, [])
    there = there if isinstance(there, list) else [there]
    return {**entry, TWINS: [*there, *others]} if others else entry
