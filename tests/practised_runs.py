"""Two runs to make sites up on, and their readings by place and kind."""

from __future__ import annotations

from functools import cache

from jobs import Bare, active, arrestor, at_stops, band, chain, endpoint, run, source, turned

from engine.jobfile import JobFile, read_job

SEEDS = range(12)


def metered(doc: dict) -> dict:
    """The same job with a meter, every box at a stop of its own, 50 m apart."""
    at_stops(doc, range(0, 50 * len(doc["boxes"]), 50))
    doc["sheets"]["my.meter"] = {
        "kind": "meter",
        "volts": {"percent": 0.5, "digits": 2, "resolution": 0.01},
        "milliamps": {"percent": 1, "digits": 2, "resolution": 1},
        "loop_ohms": {"percent": 1, "digits": 3, "resolution": 0.1},
    }
    doc["meters"] = [{"id": "m1", "sheet": "my.meter"}]
    return doc


def six_ports() -> dict:
    """A source, two pass-through boxes and an endpoint."""
    return metered(
        chain(
            source(band(52.5, 53.5, 54.5), watts_max=60),
            run(Bare(70), Bare(66.6)),
            active(band(2, 2.5, 3), ohms_per_conductor=0.05),
            run(Bare(280), Bare(66.6)),
            active(band(2, 2.5, 3), ohms_per_conductor=0.05),
            run(Bare(60), Bare(66.6)),
            endpoint(band(6, 12, 19)),
            ambient_c=band(0, 15, 30),
        )
    )


def whole_run() -> dict:
    """A run with everything a cause can sit in: a budget, long-span boxes, arrestors, earths."""
    faces = {
        "in": {"faces": "long-span", "reach_m": {"1000": 280}},
        "out": {"faces": "equipment", "reach_m": {"1000": 100}},
    }
    unit = active(band(2, 2.5, 3), "long-span", speeds_mbps=[1000], ports=faces)
    doc = metered(
        chain(
            source(band(53.5, 54, 54.5), watts_max=60),
            run(Bare(40)),
            turned(unit),
            run(Bare(5)),
            turned(arrestor(0.1)),
            run(Bare(200)),
            arrestor(0.1),
            run(Bare(5)),
            unit,
            run(Bare(40)),
            endpoint(band(9, 12, 15), watts_swing_percent=2),
        )
    )
    doc["budgets"] = {"BU": {"watts": 100}}
    doc["boxes"][0]["budget"] = "BU"
    doc["earths"]["EB"]["target_ohms"] = 10
    return doc


@cache
def job(name: str) -> JobFile:
    return read_job({"six": six_ports, "whole": whole_run}[name]())


def pairs_of(entries: list[dict]) -> dict[tuple[str, str], object]:
    """The figures by their place and kind."""
    return {
        (e["at"], e["kind"]): e.get("value", e.get("pairs"))
        for e in entries
        if e["what"] == "reading"
    }
