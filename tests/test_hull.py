"""The bands of a prediction are exact hulls: no sample lies outside, and both ends are reached.

A sample is the same job with every quantity exact: a corner of the box of all bands (each
quantity low, expected or high by chance) or a point inside it. Long form, for as many jobs
as you like: ``python tests/test_hull.py 1000``.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from random import Random
from typing import Any

import pytest
from by_contract import with_quantities
from random_jobs import random_job, with_bundles, with_lost_sets

from engine.job import Point
from engine.jobfile import read_job
from engine.network import build
from engine.operating import Flow, operate
from engine.predict import predict
from engine.study import Prediction

pytestmark = pytest.mark.pure

SEEDS = range(5000, 5200)
ODD_SEEDS = range(6000, 6060)
VERTICES, INSIDE = 8, 4
WITHIN = 1e-9
"""relative"""
VOLTS_LIKE = frozenset({"volts", "out_volts", "efficiency"})
"""what lowers the volts when it is low; everything else raises them"""
KINDS = ("volts", "amps", "watts")

Pick = Callable[[str, float, float, float], float]


@dataclass
class Survey:
    """What was sampled, and each time a band was wrong."""

    jobs: int = 0
    collapsing: list[int] = field(default_factory=list)
    compared: int = 0
    outside: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)
    widths: list[float] = field(default_factory=list)
    """of the bands of volts"""


def worst(key: str, low: float, expected: float, high: float) -> float:
    """The vertex of the lowest volts and the most amps."""
    return low if key in VOLTS_LIKE else high


def best(key: str, low: float, expected: float, high: float) -> float:
    """The vertex of the highest volts and the fewest amps."""
    return high if key in VOLTS_LIKE else low


ENDS = {"worst": worst, "best": best}


def samples(rng: Random) -> Iterator[Pick]:
    """Vertices, then points inside."""
    for _ in range(VERTICES):
        yield lambda key, *corners: rng.choice(corners)
    for _ in range(INSIDE):
        yield lambda key, low, expected, high: rng.uniform(low, high)


def flows_at(doc: dict[str, Any], pick: Pick) -> dict[Point, Flow]:
    """The operating point of the job with every quantity as picked."""
    job = read_job(with_quantities(doc, pick)).plan
    operating = operate(job, build(job))
    assert operating.holds
    return operating.flows


def bands(prediction: Prediction) -> dict[tuple[str, str], Any]:
    """Every band of a prediction by its place and kind."""
    found = {
        (str(point), kind): getattr(shown, kind)
        for point, shown in prediction.points.items()
        for kind in KINDS
        if shown.volts.expected is not None
    }
    drops = {
        (name, "drop_volts"): span.drop_volts
        for name, span in prediction.spans.items()
        if span.drop_volts.expected is not None
    }
    return found | drops


def sampled(prediction: Prediction, flows: dict[Point, Flow]) -> dict[tuple[str, str], float]:
    """The same figures of one sample."""
    found = {
        (str(point), kind): getattr(flow, kind) for point, flow in flows.items() for kind in KINDS
    }
    for span in prediction.job.spans.values():
        if span.a in flows and span.b in flows:
            found[span.id, "drop_volts"] = abs(flows[span.a].volts - flows[span.b].volts)
    return found


def odd_job(seed: int) -> dict[str, Any]:
    """A random job with lost sets of pairs, and bundles that warm themselves."""
    return with_bundles(with_lost_sets(random_job(seed), seed), seed)


def survey(seeds: Iterable[int], make: Callable[[int], dict[str, Any]] = random_job) -> Survey:
    """Sample the jobs that are made of these seeds."""
    seen = Survey()
    for seed in seeds:
        doc, rng = make(seed), Random(seed)
        prediction = predict(read_job(doc).plan)
        seen.jobs += 1
        if any(shown.at_worst != "on" for shown in _powered(prediction)):
            seen.collapsing.append(seed)
            continue
        told = bands(prediction)
        for pick in samples(rng):
            for place, value in sampled(prediction, flows_at(doc, pick)).items():
                seen.compared += 1
                band = told[place]
                slack = WITHIN * abs(value)
                if not band.low - slack <= value <= band.high + slack:
                    seen.outside.append(f"{seed} {place}: {value!r} not in {band}")
        ends = {end: sampled(prediction, flows_at(doc, pick)) for end, pick in ENDS.items()}
        for (at, kind), band in told.items():
            ends_of_kind = ("worst", "best") if kind == "volts" else ("best", "worst")
            for name, shown in zip(ends_of_kind, (band.low, band.high), strict=True):
                value = ends[name][at, kind]
                # a drop is the difference of two volts, so it is as exact as they are
                slack = WITHIN * (abs(value) if kind != "drop_volts" else 50)
                if abs(value - shown) > slack:
                    seen.missed.append(f"{seed} {at} {kind}: {value!r} is not {shown!r}")
            if kind == "volts":
                seen.widths.append(band.high - band.low)
    return seen


def _powered(prediction: Prediction):
    return [shown for shown in prediction.points.values() if shown.feed is not None]


@pytest.fixture(
    scope="module", params=[(SEEDS, random_job), (ODD_SEEDS, odd_job)], ids=["random", "odd"]
)
def surveyed(request) -> Survey:
    """Two hundred jobs and sixty odd ones, twelve samples and two ends each."""
    return survey(*request.param)


@pytest.mark.long
def test_no_sample_lies_outside_its_band(surveyed):
    """Volts, amps and watts of every point, and the drop of every span, in every sample."""
    assert surveyed.outside == []
    assert surveyed.compared > 100 * surveyed.jobs


@pytest.mark.long
def test_both_ends_of_every_band_are_reached(surveyed):
    """The worst and the best vertex are the two ends, so the bands are not wider than true."""
    assert surveyed.missed == []


@pytest.mark.long
def test_few_jobs_are_left_out(surveyed):
    """At most one in ten has a worst corner that collapses, where a band has no low end."""
    assert surveyed.jobs in (len(SEEDS), len(ODD_SEEDS))
    assert len(surveyed.collapsing) <= surveyed.jobs / 10


@pytest.mark.long
def test_the_bands_have_a_width_to_be_outside_of(surveyed):
    """At least nine points in ten have more than a tenth of a volt between low and high."""
    wide = sum(width > 0.1 for width in surveyed.widths)
    assert wide >= 0.9 * len(surveyed.widths) > 0


@pytest.mark.long
def test_the_odd_jobs_warm_themselves():
    """Most of them have a span that is warmer by a quarter of a kelvin for being in a bundle."""
    warmest = [
        max(span.rise or 0.0 for span in predict(read_job(odd_job(seed)).plan).spans.values())
        for seed in ODD_SEEDS[:20]
    ]
    assert sum(rise > 0.25 for rise in warmest) > len(warmest) / 2


def test_an_exact_job_has_bands_without_width():
    """The samples leave no quantity with a tolerance: with all exact, low is high."""
    for seed in SEEDS[:20]:
        told = bands(predict(read_job(with_quantities(random_job(seed), best)).plan))
        for place, band in told.items():
            assert band.low == pytest.approx(band.high, rel=1e-12, abs=1e-12), place


if __name__ == "__main__":
    count = int(sys.argv[1]) if len(sys.argv) > 1 else len(SEEDS)
    seen = survey(range(count))
    print(f"{seen.jobs} jobs, {len(seen.collapsing)} left out, {seen.compared} figures compared")
    print(f"{len(seen.outside)} outside, {len(seen.missed)} ends not reached")
    print("\n".join([*seen.outside, *seen.missed]))
    sys.exit(bool(seen.outside or seen.missed))
