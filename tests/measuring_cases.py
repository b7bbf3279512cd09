"""Jobs whose bands are tried on thousands of drawn sites, a meter, and what is read of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from by_contract import CORNERS, number
from jobs import active, arrestor, band, chain, endpoint, joint, regenerating, run, source
from random_jobs import random_job
from scipy.stats import triang, uniform

METER = {
    "kind": "meter",
    "volts": {"percent": 0.5, "digits": 2, "resolution": 0.01},
    "milliamps": {"percent": 1, "digits": 2, "resolution": 1},
    "watts": {"percent": 1.5, "digits": 2, "resolution": 0.1},
    "loop_ohms": {"percent": 1, "digits": 3, "resolution": 0.1},
}


def metered(doc: dict[str, Any]) -> dict[str, Any]:
    """The document with two meters of one make."""
    doc["sheets"]["my.meter"] = METER
    doc["meters"] = [{"id": m, "sheet": "my.meter", "name": f"Meter {m}"} for m in ("m1", "m2")]
    return doc


def long_run(watts: Any = None, **keys: Any) -> dict[str, Any]:
    """A long span between two pass-through boxes, arrestors at both ends of it."""
    return chain(
        source(band(52.5, 53.5, 54.5), ohms=band(0.05, 0.1, 0.2)),
        run(band(1.9, 2, 2.1), band(63, 66.6, 70)),
        active(band(2, 2.5, 3), "long-span", ohms_per_conductor=band(0.04, 0.05, 0.06)),
        run(band(2, 3, 4), band(80, 84, 90)),
        arrestor(band(0.1, 0.2, 0.4)),
        run(band(290, 300, 312), band(63, 66.6, 70), ambient_c=band(-5, 15, 35)),
        arrestor(band(0.1, 0.2, 0.4)),
        run(band(2, 3, 4), band(80, 84, 90)),
        active(band(2, 2.5, 3), "long-span", ohms_per_conductor=band(0.04, 0.05, 0.06)),
        run(band(150, 160, 170), band(63, 66.6, 70)),
        endpoint(watts or band(9, 12, 15), watts_swing_percent=10, **keys),
        ambient_c=band(5, 15, 30),
    )


def tree() -> dict[str, Any]:
    """A splitter, two endpoints, a joint on the way to one."""
    return chain(
        source(band(52, 54, 55), ohms=0.1),
        run(band(110, 120, 130), band(63, 66.6, 70)),
        active(band(1, 1.5, 3), "splitter", ohms_per_conductor=band(0.02, 0.05, 0.1)),
        [
            [
                run(band(70, 80, 85), band(63, 66.6, 70)),
                joint(band(0.02, 0.05, 0.2)),
                run(band(50, 60, 70), band(63, 66.6, 70)),
                endpoint(band(6, 10, 13)),
            ],
            [run(band(30, 35, 40), 84), endpoint(band(3, 5, 7), watts_swing_percent=20)],
        ],
        ambient_c=band(0, 15, 30),
    )


def anew() -> dict[str, Any]:
    """A box that makes new volts half way."""
    return chain(
        source(band(52, 53, 54)),
        run(band(190, 200, 210), band(63, 66.6, 70)),
        regenerating(band(1.5, 2, 2.5), band(53, 54, 55), band(0.82, 0.87, 0.92)),
        run(band(190, 200, 210), band(63, 66.6, 70)),
        endpoint(band(6, 9, 12)),
        ambient_c=band(0, 15, 30),
    )


def near_collapse() -> dict[str, Any]:
    """A tenth to a fifth more load than expected, and nothing can be held."""
    return chain(
        source(band(53, 53.5, 54), ohms=0.1),
        run(band(592, 600, 608), band(65.3, 66.6, 67.9)),
        active(band(2.2, 2.5, 2.8), "long-span"),
        run(band(592, 600, 608), band(65.3, 66.6, 67.9)),
        endpoint(band(13.9, 14.9, 15.9), watts_swing_percent=5, cutoff_volts=20, on_volts=30),
        ambient_c=band(10, 15, 20),
    )


PLAIN = {
    "long run": long_run,
    "tree": tree,
    "anew": anew,
    "random 1": lambda: random_job(8103),
    "random 2": lambda: random_job(8111),
}
CASES = {**PLAIN, "near collapse": near_collapse}


# ---------------------------------------------------------------- what is read, what is asked then

Place = tuple[str, str]
"""a point or span, and a kind"""
PLANS: dict[str, tuple[str, Sequence[Place], Sequence[Place]]] = {
    "volts along the run": (
        "long run",
        (("S1.out", "volts"), ("L1.out", "volts"), ("A2.line", "volts")),
        (("E1.in", "volts"), ("L2.in", "volts"), ("E1.in", "milliamps")),
    ),
    "volts and amps at the source": (
        "long run",
        (("S1.out", "volts"), ("S1.out", "milliamps")),
        (("E1.in", "volts"), ("L2.out", "milliamps"), ("L2.in", "watts")),
    ),
    "ohms of the long span, volts": (
        "long run",
        (("C3", "loop_ohms"), ("S1.out", "volts")),
        (("E1.in", "volts"), ("C5", "loop_ohms")),
    ),
    "one branch tells of the other": (
        "tree",
        (("Y1.in", "volts"), ("E1.in", "volts"), ("Y1.out2", "milliamps")),
        (("E2.in", "volts"), ("E2.in", "milliamps"), ("S1.out", "watts")),
    ),
    "in front of new volts": (
        "anew",
        (("S1.out", "volts"), ("R1.in", "milliamps"), ("R1.out", "volts")),
        (("E1.in", "volts"), ("R1.in", "volts"), ("E1.in", "milliamps")),
    ),
    "near collapse": (
        "near collapse",
        (("S1.out", "volts"), ("L1.in", "volts")),
        (("E1.in", "volts"), ("E1.in", "milliamps")),
    ),
}
"""the case, what is read and learned from, and what is foretold then"""


# ---------------------------------------------------------------- a document's limits

PARTS = {"volts": "volts", "droop": "ohms", "efficiency": "efficiency"}
PARTS |= {"box-ohms": "ohms_per_conductor", "watts": "own_watts"}
OF_SPANS = {"length": "length_m", "ends": "end_ohms", "ambient": "ambient_c"}


def stated(doc: Mapping[str, Any], key: tuple[str, ...]) -> tuple[float, float, float]:
    """Low, expected and high of a quantity, read from the document by the contract."""
    kind, name = key[0], key[-1]
    if kind == "air":
        return corners(doc["site"], "ambient_c")
    spans = {span["id"]: span for span in doc["spans"]}
    if name in spans:
        thing = doc["sheets"][spans[name]["cable"]] if kind == "ohms" else spans[name]
        return corners(thing, OF_SPANS.get(kind, "ohms_per_km"))
    box = next(box for box in doc["boxes"] if box["id"] == name)
    sheet = doc["sheets"][box["sheet"]]
    if kind == "watts" and sheet["kind"] == "endpoint":
        return corners(sheet, "watts")
    renewed = kind == "volts" and sheet.get("power") == "regenerating"
    return corners(sheet, "out_volts" if renewed else PARTS[kind])


def corners(thing: Mapping[str, Any], key: str) -> tuple[float, float, float]:
    """A quantity's three numbers."""
    low, expected, high = (number(thing, key, corner) for corner in CORNERS)
    return low, expected, high


def spread(low: float, expected: float, high: float) -> tuple[float, float]:
    """Mean and deviation: of a rectangle, or of a triangle where the limits are uneven."""
    width = high - low
    if not width:
        return expected, 0.0
    if abs(low + high - 2 * expected) < 1e-9 * width:
        told = uniform(low, width)
    else:
        told = triang((expected - low) / width, loc=low, scale=width)
    return told.mean(), told.std()
