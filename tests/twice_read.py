"""A run that is read, left and read again, and what is then told of it."""

from __future__ import annotations

from typing import Any

from again_sites import logged
from jobs import band, chain, endpoint, run, source

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.since import Drift

PLAN_VOLTS, METRES, WATTS, SWING = 54.0, 200.0, 12.0, 10.0
OHMS_PER_KM = 80.0
ALPHA = 0.00393
PERCENT, DIGITS, STEP, FLOOR = 0.5, 2, 0.01, 0.05


def plain(**more: Any) -> dict[str, Any]:
    """One load behind one long span, with two meters of the same sheet."""
    doc = chain(
        source(band(53, PLAN_VOLTS, 55)),
        run(METRES, band(76, OHMS_PER_KM, 84), indoor=False),
        endpoint(WATTS, watts_swing_percent=SWING),
        ambient_c=band(-5, 15, 35),
    )
    accuracy = {"percent": PERCENT, "digits": DIGITS, "resolution": STEP}
    amps = {"percent": 1.0, "digits": 2, "resolution": 1}
    ohms = {"percent": 1.0, "digits": 3, "resolution": 0.1}
    doc["sheets"]["my.meter"] = {
        "kind": "meter",
        "volts": accuracy,
        "milliamps": amps,
        "loop_ohms": ohms,
        "earth_ohms": {"percent": 2, "digits": 3, "resolution": 0.01},
    }
    doc["meters"] = [{"id": name, "sheet": "my.meter", "name": name} for name in ("m1", "m2")]
    return {**doc, **more}


def read(at: str, kind: str, value: float, meter: str = "m1", **more: Any) -> dict[str, Any]:
    return {
        "what": "reading",
        "at": at,
        "kind": kind,
        "value": value,
        "meter": meter,
        **more,
    }


LEAVE = {"what": "leave", "open": []}
VISIT = {"what": "visit"}


def told(doc: dict[str, Any], *bodies: dict[str, Any]) -> Judgement:
    """A day from one entry to the next, where no time is given."""
    days = ({"t": f"2031-05-{day:02}T09:00:00Z"} | body for day, body in enumerate(bodies, 1))
    return judge(read_job(logged(doc, *days)))


def one(judgement: Judgement, kind: str = "volts", at: str = "E1.in") -> Drift:
    (found,) = (drift for drift in judgement.drifts if (drift.at, drift.kind) == (at, kind))
    return found
