"""Jobs whose readings point to something: one for each state of the page of a fault."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from engine.jobfile import load
from engine.practice import ALL, FEW, MADE_UP_KEY, document, made_up

Doc = dict[str, Any]
REEDBED = Path(__file__).parent.parent / "sample_jobs" / "reedbed-hide.json"
JOB = "/j/REEDBED-HIDE"
FEED = (("S.out", "volts", 53.9), ("L1.in", "volts", 53.8))


def read(*readings: tuple[str, str, float]) -> Doc:
    """The reedbed job with these readings alone: ids r0, r1 …"""
    doc = json.loads(REEDBED.read_text(encoding="utf-8"))
    log = [
        {"id": f"r{n}", "t": f"2025-06-03T14:{n:02d}:00Z", "what": "reading", "by": "Orla"}
        | {"meter": "M1", "at": at, "kind": kind, "value": value}
        for n, (at, kind, value) in enumerate(readings)
    ]
    return {**doc, "log": log}


def practised(cause: str, seed: int, kinds: tuple[str, ...]) -> Doc:
    """The reedbed job as it is read on a made-up site with this cause."""
    doc = document(made_up(load(REEDBED), cause=cause, seed=seed), kinds)
    del doc[MADE_UP_KEY]
    return doc


def walk() -> Doc:
    """Nothing at the far end: the feed is to be looked at, 463 m back."""
    return read(("L2.in", "volts", 0.0))


def dead() -> Doc:
    """One set of pairs lost, nobody knows in which span: loop ohms part them."""
    amps = ("S.out", "milliamps", 290)
    return read(*FEED, amps, ("L2.in", "volts", 45.2), ("L2.in", "mbps", 0))


def link() -> Doc:
    """Volts are right, the link is dark."""
    return read(*FEED, ("L2.in", "volts", 47.7), ("C.in", "mbps", 0))


def agree() -> Doc:
    """Everything as planned."""
    return read(*FEED, ("L2.in", "volts", 47.7))


def misfit() -> Doc:
    """Readings that no single cause explains."""
    return read(*FEED, ("L1.out", "volts", 53.7), ("C.in", "volts", 43.0))


def other() -> Doc:
    """Readings that cannot be of one site."""
    return read(
        ("S.out", "volts", 53.9),
        ("L1.in", "volts", 40),
        ("L2.in", "volts", 47.0),
        ("C.in", "volts", 52),
    )


def none() -> Doc:
    """Nothing is read yet."""
    return read()


def load_heavy() -> Doc:
    """The far end draws too much, almost surely."""
    return practised("load.heavy", 1, FEW)


def box_dead() -> Doc:
    """A dead box, almost surely."""
    return practised("box.dead", 2, ALL)


def ends() -> Doc:
    """Too many ohms in one of two spans alike."""
    return practised("joint.high", 2, ALL)


def two() -> Doc:
    """Too many ohms near the feed, and no link at the far end: two at once."""
    return read(*FEED, ("C3", "loop_ohms", 45.0), ("C.in", "mbps", 0), ("A2.line", "volts", 44.0))


def typed() -> Doc:
    """A figure that was mistyped, almost surely."""
    return practised("reading.typed", 1, FEW)


EVERY = {
    "walk": walk,
    "dead": dead,
    "link": link,
    "agree": agree,
    "misfit": misfit,
    "other": other,
    "none": none,
    "load": load_heavy,
    "box": box_dead,
    "ends": ends,
    "typed": typed,
    "two": two,
}
"""by the name of its pictures"""
