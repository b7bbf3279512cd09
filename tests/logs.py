"""Logs of a few entries, and the state they fold to."""

from __future__ import annotations

from engine.entries import Entry, read_entry
from engine.jobfile import read_job
from engine.log import State, fold, ordered


def log(*bodies: dict) -> list[dict]:
    """Entries of one device, counted from 1; a body may set any key itself."""
    return [
        {"id": f"e{count}", "device": "d", "n": count, "by": "Ida", **body}
        for count, body in enumerate(bodies, start=1)
    ]


def state(doc: dict, *bodies: dict) -> State:
    """The state of a job after these entries."""
    return fold(read_job({**doc, "log": log(*bodies)}))


def reading(at: str, value: float = 50.0, kind: str = "volts", **more) -> dict:
    return {"what": "reading", "at": at, "kind": kind, "value": value, **more}


def entry(ident: str, device: str, n: int, seen: dict | None = None, **more) -> Entry:
    head = {"id": ident, "device": device, "n": n, "what": "note", "text": ident, **more}
    return read_entry(head if seen is None else {**head, "seen": seen})


def ids(entries) -> list[str]:
    return [one.id for one in ordered(entries)]


def current(job: State) -> list[str]:
    return sorted(job.current)
