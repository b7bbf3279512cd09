"""Chance from a seed: a share of 0 to 1 for each thing that is drawn, by its name.

A share is a function of the seed and the name alone: it does not hang on what else was drawn,
nor on the version of Python, and measuring again in the same moment shows the same figure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from hashlib import sha256
from math import sqrt
from typing import TypeVar

from engine.band import Band
from engine.circuit import conductor_ohms, draw, feed_volts, is_indoor, loop_factor
from engine.job import Job
from engine.standards import heat
from engine.unknowns import EVEN, PLUG_OHMS, Key, Site

Thing = TypeVar("Thing")
LARGEST = 2**53
"""a float holds every whole number up to here"""


def bits(seed: int, *name: object) -> int:
    """256 bits that nobody foresees and everybody gets again."""
    text = "\x1f".join(str(part) for part in (seed, *name))
    return int.from_bytes(sha256(text.encode()).digest(), "big")


def share(seed: int, *name: object) -> float:
    """A number from 0 to below 1, each as likely as another.

    >>> share(0, "volts", "S") == share(0, "volts", "S") != share(1, "volts", "S")
    True
    """
    return bits(seed, *name) % LARGEST / LARGEST


def either_way(seed: int, *name: object) -> float:
    """A number from -1 to below 1, each as likely as another."""
    return 2 * share(seed, *name) - 1


def between(band: Band, at: float) -> float:
    """The value below which a share ``at`` of all lies, of a quantity of which limits are known.

    Symmetric limits are a rectangle, others a triangle with its top at ``expected`` (design,
    5.4); the triangle's inverse is textbook.

    >>> between(Band(10, 12, 14), 0.75), between(Band(0, 0, 1), 0.75)
    (13.0, 0.5)
    """
    low, top, high = band.low, band.expected, band.high
    width = high - low
    if abs((low + high) / 2 - top) <= EVEN * width:
        return low + at * width
    return on_triangle(band, at)


def on_triangle(band: Band, at: float) -> float:
    """The value below which a share ``at`` of a triangle lies, its top at ``expected``."""
    low, top, high = band.low, band.expected, band.high
    width = high - low
    if at * width < top - low:
        return low + sqrt(at * width * (top - low))
    return high - sqrt((1 - at) * width * (high - top))


def weighted(of: Sequence[tuple[Thing, float]], at: float) -> Thing:
    """The thing at a share of the whole weight."""
    left = at * sum(weight for _, weight in of)
    for thing, weight in of:
        left -= weight
        if left < 0:
            return thing
    return of[-1][0]


def stated(job: Job) -> dict[Key, Band]:
    """The limits that a plan states of each quantity, by the names of ``unknowns``."""
    air = job.site.ambient_c
    out: dict[Key, Band] = {("air",): air, ("indoor",): job.site.indoor_c or air}
    for box in job.boxes.values():
        sheet = box.sheet
        out["watts", box.id] = draw(box)
        out["efficiency", box.id] = sheet.efficiency
        out["droop", box.id] = sheet.ohms
        out["box-ohms", box.id] = sheet.ohms_per_conductor
        if sheet.volts is not None or sheet.out_volts is not None:
            out["volts", box.id] = feed_volts(sheet)
    for span in job.spans.values():
        out["ohms", span.id] = conductor_ohms(span.cable)
        out["length", span.id] = span.length_m
        if span.ambient_c is not None:
            out["ambient", span.id] = span.ambient_c
        elif not is_indoor(span):
            parts = heat.route_parts(air, span.route, span.sun)
            out |= {tuple(name.split("-")): band for name, band in parts.items()}
    return out


def drawn(site: Site, seed: int) -> Mapping[Key, float]:
    """One site: every quantity within its limits; what two spans share is drawn once.

    Left out is what is drawn anew each moment.
    """
    limits = stated(site.job)
    out = {key: between(limits[key], share(seed, *key)) for key in site.unknowns if key in limits}
    for span in site.job.spans.values():
        most = PLUG_OHMS * loop_factor(pairs_planned(site, span.id))
        plugs = sum(most * either_way(seed, "plug", span.id, end) for end in ("a", "b"))
        out["ends", span.id] = between(span.end_ohms, share(seed, "ends", span.id)) + plugs
    return out


def pairs_planned(site: Site, span: str) -> int:
    """The pairs in force in a span, for which the ohms of its ends are stated."""
    one = site.job.spans[span]
    nodes = (site.network.node(end) for end in (one.a, one.b))
    return next((n.pairs for n in nodes if n and n.via == one), one.pairs_carried)
