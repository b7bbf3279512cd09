"""The operating point against ``scipy.optimize.root`` on equations written anew.

The circuit is read from the job document by ``by_contract.walk``, not by the engine. Unknowns
are the volts of every point and the amps of every span and box between points; all feeds
of a job, also those that a regenerating box makes, are solved in one system.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import pytest
from by_contract import CORNERS, Edge, Feed, conductor_ohms, number, walk, worse
from random_jobs import random_job
from scipy.optimize import root

from engine.jobfile import read_job
from engine.network import build
from engine.operating import Conditions, operate
from engine.predict import predict

SEEDS = range(100, 124)


def edge_ohms(doc: Mapping[str, Any], edge: Edge, corner: str) -> float:
    """Loop ohms between two points: of one conductor, halved when twice the pairs share. [ohm]"""
    share = {2: 1.0, 4: 0.5}[edge.pairs]
    if "length_m" in edge.thing:
        ends = number(edge.thing, "end_ohms", corner)
        return conductor_ohms(doc, edge.thing, corner) * share + ends
    return number(edge.thing, "ohms_per_conductor", corner) * share


def equations(
    doc: Mapping[str, Any], corner: str
) -> tuple[list[str], Callable[[np.ndarray], np.ndarray], np.ndarray]:
    """The points, the residual of Kirchhoff's two laws and Joule's, and a start from above.

    Sources
    -------
    Kirchhoff's laws; a regenerating box takes (P_out + own) / efficiency (job format, section 1).
    """
    feeds = walk(doc)
    points = sorted({p for feed in feeds for p in _points(feed)})
    place = {point: i for i, point in enumerate(points)}
    edges = [(feed, edge) for feed in feeds for edge in feed.edges]
    count = len(points)
    watts = _watts(feeds, worse(corner))

    def residual(x: np.ndarray) -> np.ndarray:
        volts, amps = x[:count], x[count:]
        leaving = dict.fromkeys(points, 0.0)
        arriving = dict.fromkeys(points, 0.0)
        ohms_law = []
        for (_, edge), current in zip(edges, amps, strict=True):
            leaving[edge.above] += current
            arriving[edge.below] += current
            drop = volts[place[edge.above]] - volts[place[edge.below]]
            ohms_law.append(drop - edge_ohms(doc, edge, worse(corner)) * current)
        made = {
            feed.point: volts[place[feed.point]] * leaving[feed.point]
            for feed in feeds
            if feed.sheet.get("power") == "regenerating"
        }
        balance = []
        for point in points:
            v = volts[place[point]]
            if any(feed.point == point for feed in feeds):
                feed = next(feed for feed in feeds if feed.point == point)
                droop = number(feed.sheet, "ohms", worse(corner)) * leaving[point]
                key = "out_volts" if point in made else "volts"
                balance.append(v - number(feed.sheet, key, corner) + droop)
                continue
            drawn = watts.get(point, (0.0, 1.0))
            name = point.partition(".")[0]
            passed = sum(p for feed, p in made.items() if feed.startswith(f"{name}."))
            taken = (drawn[0] + (passed if point in watts else 0.0)) / drawn[1]
            balance.append(arriving[point] - leaving[point] - taken / v)
        return np.array(ohms_law + balance)

    start = np.concatenate([np.full(count, 54.0), np.full(len(edges), 0.2)])
    return points, residual, start


def _points(feed: Feed) -> set[str]:
    return {feed.point} | {edge.below for edge in feed.edges}


def _watts(feeds: list[Feed], corner: str) -> dict[str, tuple[float, float]]:
    """Where watts are drawn: the box's own, and what they are divided by."""
    out = {}
    for point, sheet in (drawn for feed in feeds for drawn in feed.drawn):
        key = "watts" if sheet["kind"] == "endpoint" else "own_watts"
        efficiency = number(sheet, "efficiency", worse(corner)) or 1.0
        out[point] = (number(sheet, key, corner), efficiency)
    return out


@pytest.mark.parametrize("seed", SEEDS)
def test_every_corner_agrees_with_root(seed):
    """Volts of every point within 1 µV of a general solver's, at each corner of the design."""
    doc = random_job(seed)
    job = read_job(doc).plan
    network = build(job)
    for corner in CORNERS:
        points, residual, start = equations(doc, corner)
        answer = root(residual, start, method="hybr", tol=1e-13)
        assert np.abs(residual(answer.x)).max() < 1e-9
        operating = operate(job, network, Conditions(corner))
        assert {str(point) for point in operating.flows} == set(points)
        volts = {str(point): flow.volts for point, flow in operating.flows.items()}
        for i, point in enumerate(points):
            assert volts[point] == pytest.approx(answer.x[i], abs=1e-6), (point, corner)


@pytest.mark.parametrize("seed", SEEDS[:8])
def test_the_band_is_its_two_extreme_corners(seed):
    """The bands of a whole prediction are the two extreme solves, also for amps and watts."""
    doc = random_job(seed)
    prediction = predict(read_job(doc).plan)
    solved = {}
    for corner in CORNERS:
        points, residual, start = equations(doc, corner)
        x = root(residual, start, method="hybr", tol=1e-13).x
        solved[corner] = dict(zip(points, x[: len(points)], strict=True))
        feeds = walk(doc)
        amps = x[len(points) :]
        edges = [edge for feed in feeds for edge in feed.edges]
        for feed in feeds:
            given = sum(a for e, a in zip(edges, amps, strict=True) if e.above == feed.point)
            solved[corner][f"amps {feed.point}"] = given
    for point, shown in prediction.points.items():
        if shown.volts.expected is None:
            continue
        for corner in CORNERS:
            assert getattr(shown.volts, corner) == pytest.approx(
                solved[corner][str(point)], abs=1e-6
            )
    for feed in walk(doc):
        shown = next(s for p, s in prediction.points.items() if str(p) == feed.point)
        for corner in CORNERS:
            amps = solved[worse(corner)][f"amps {feed.point}"]
            assert getattr(shown.amps, corner) == pytest.approx(amps, abs=1e-7)
            watts = amps * solved[worse(corner)][feed.point]
            assert getattr(shown.watts, corner) == pytest.approx(watts, abs=1e-5)


def test_the_random_jobs_have_every_feature():
    """The comparison means something only if the seeds cover what the format can say."""
    docs = [random_job(seed) for seed in SEEDS]
    kinds = {sheet["kind"] for doc in docs for sheet in doc["sheets"].values()}
    kinds_wanted = {"injector", "splitter", "arrestor", "joint", "repeater", "long-span"}
    assert kinds_wanted <= kinds
    powers = {sheet.get("power") for doc in docs for sheet in doc["sheets"].values()}
    assert "regenerating" in powers
    pairs = {edge.pairs for doc in docs for feed in walk(doc) for edge in feed.edges}
    assert pairs == {2, 4}
    chained = [doc for doc in docs if len(walk(doc)) >= 3]
    assert chained, "no job with two regenerating feeds"
