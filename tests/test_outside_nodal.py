"""The operating point against a nodal-admittance matrix, set of pairs by set of pairs.

The circuit is read from the job document by ``by_contract.walk``, not by the engine. Each point
has a node for each set of pairs; the sets meet only where a box joins them, so a set that
leads nowhere carries nothing without anybody saying so. Constant watts are currents put
into the matrix, found by a fixed point from above:

    Y·V = -P/V, and V_s where it is fed,   again and again, from V = V_s everywhere.

Y is an M-matrix, so its inverse has no negative entry and each round lies below the one
before and above every solution; the first box below its cut-off proves that none keeps it.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
import pytest
from by_contract import CORNERS, Feed, conductor_ohms, joins, number, walk, worse
from jobs import sheets_of
from random_jobs import large_tree, random_job, with_lost_sets
from scipy.sparse import coo_matrix
from scipy.sparse.linalg import splu

from engine.jobfile import read_job
from engine.network import build
from engine.operating import Conditions, operate
from engine.predict import predict

SEEDS = range(1000, 1100)
LOST = range(2000, 2040)
SHARES = range(3000, 3060)
Node = tuple[str, int]
"""a point and a set of pairs"""


class Together:
    """Nodes that are one: joined sets, and ends of a piece without ohms."""

    def __init__(self) -> None:
        self.above: dict[Node, Node] = {}

    def of(self, node: Node) -> Node:
        """The node that stands for all that are one with this."""
        self.above.setdefault(node, node)
        while self.above[node] != node:
            self.above[node] = self.above[self.above[node]]
            node = self.above[node]
        return node

    def join(self, one: Node, other: Node) -> None:
        """Make two nodes one."""
        self.above[self.of(one)] = self.of(other)


class Nodal:
    """One feed and all that hangs on it as a matrix, at a corner of its volts."""

    def __init__(self, doc: Mapping[str, Any], feed: Feed, corner: str) -> None:
        sets = {feed.point: max(edge.pairs for edge in feed.edges) // 2}
        sets |= {edge.below: edge.pairs // 2 for edge in feed.edges}
        together = Together()
        for point, count in sets.items():
            for each in range(count):
                together.join((point, each if not joins(doc, point) else 0), (point, each))
        wires = []
        for edge in feed.edges:
            # one set: two conductors in parallel out and two back, so the ohms of one conductor
            ohms = number(edge.thing, "ohms_per_conductor", worse(corner))
            if "length_m" in edge.thing:
                ends = number(edge.thing, "end_ohms", worse(corner)) * edge.pairs / 2
                ohms = conductor_ohms(doc, edge.thing, worse(corner)) + ends
            for each in range(edge.pairs // 2):
                ends_of = ((edge.above, each), (edge.below, each))
                if ohms:
                    wires.append((*ends_of, 1 / ohms))
                else:
                    together.join(*ends_of)
        own = "out_volts" if feed.sheet.get("power") == "regenerating" else "volts"
        self.volts = number(feed.sheet, own, corner)
        start = (feed.point, -1)
        droop = number(feed.sheet, "ohms", worse(corner))
        if droop:
            wires.append((start, (feed.point, 0), 1 / droop))
        else:
            together.join(start, (feed.point, 0))
        self.place, self.start, matrix = _numbered(together, sets, wires, start)
        self.factored = splu(matrix)

    def solve(self, drawn: list[tuple[str, float, float]]) -> dict[str, float] | None:
        """Volts of each point under loads ``(point, watts, cut-off)``; None where one drops.

        A point that sets of pairs pass apart has the volts of the lowest: the one that carries.
        """
        at = np.array([self._joined_at(point) for point, _, _ in drawn], dtype=int)
        watts = np.array([load for _, load, _ in drawn])
        floor = np.array([volts for _, _, volts in drawn])
        volts = np.full(self.factored.shape[0], float(self.volts))
        for _ in range(10_000):
            given = np.zeros_like(volts)
            np.subtract.at(given, at, watts / volts[at])
            given[self.start] = self.volts
            lower = self.factored.solve(given)
            if (lower[at] < floor).any():
                return None
            fallen = np.abs(volts - lower).max()
            volts = lower
            if fallen < 1e-10:
                return {point: min(volts[i] for i in nodes) for point, nodes in self.place.items()}
        raise AssertionError("the fixed point did not settle")

    def _joined_at(self, point: str) -> int:
        (node,) = set(self.place[point])
        return node


def _numbered(together: Together, sets: Mapping[str, int], wires, start: Node):
    """Where each point's sets are in the matrix, where its fixed volts are, and the matrix.

    The row of the node with fixed volts says just that.
    """
    nodes = [start, *((point, each) for point, count in sets.items() for each in range(count))]
    place = {node: i for i, node in enumerate(sorted({together.of(node) for node in nodes}))}
    where = {
        point: [place[together.of((point, each))] for each in range(count)]
        for point, count in sets.items()
    }
    fixed = place[together.of(start)]
    entries = [(fixed, fixed, 1.0)]
    for above, below, siemens in wires:
        a, b = place[together.of(above)], place[together.of(below)]
        for row, column in ((a, b), (b, a)):
            if row != fixed:
                entries += [(row, row, siemens), (row, column, -siemens)]
    rows, columns, values = zip(*entries, strict=True)
    shape = (len(place), len(place))
    return where, fixed, coo_matrix((values, (rows, columns)), shape=shape).tocsc()


def solve(doc: Mapping[str, Any], corner: str, share: float = 1.0) -> dict[str, float] | None:
    """Volts of every point of a job at a share of its load; None where some box drops."""
    volts: dict[str, float] = {}
    passed: dict[str, float] = {}
    for feed in reversed(walk(doc)):
        drawn = []
        for point, sheet in feed.drawn:
            key = "watts" if sheet["kind"] == "endpoint" else "own_watts"
            load = share * number(sheet, key, worse(corner))
            if sheet.get("power") == "regenerating":
                load += passed.get(point.partition(".")[0], 0.0)
                load /= number(sheet, "efficiency", corner)
            if load:
                drawn.append((point, load, sheet.get("cutoff_volts", 36)))
        found = Nodal(doc, feed, corner).solve(drawn)
        if found is None:
            return None
        volts |= found
        amps = sum(load / found[point] for point, load, _ in drawn)
        name = feed.point.partition(".")[0]
        passed[name] = passed.get(name, 0.0) + found[feed.point] * amps
    return volts


def furthest_apart(doc: Mapping[str, Any], corner: str) -> float:
    """The largest difference between the engine's volts and the matrix's. [V]"""
    job = read_job(doc).plan
    flows = operate(job, build(job), Conditions(corner)).flows
    volts = solve(doc, corner)
    assert volts is not None
    assert {str(point) for point in flows} == set(volts)
    return max(abs(flow.volts - volts[str(point)]) for point, flow in flows.items())


# ---------------------------------------------------------------- the same volts


@pytest.mark.parametrize("corner", CORNERS)
def test_random_jobs_agree_with_the_matrix(corner):
    """Volts of every point of a hundred jobs within 1 µV of the matrix's."""
    apart = {seed: furthest_apart(random_job(seed), corner) for seed in SEEDS}
    assert {seed: volts for seed, volts in apart.items() if volts > 1e-6} == {}


def test_lost_sets_agree_with_the_matrix():
    """Pairs that end between two joining places leave the whole way there to the others."""
    apart = {}
    for seed in LOST:
        doc = with_lost_sets(random_job(seed), seed)
        apart[seed] = furthest_apart(doc, CORNERS[seed % 3])
    assert {seed: volts for seed, volts in apart.items() if volts > 1e-6} == {}


@pytest.mark.parametrize("boxes", [100, 999])
def test_large_trees_agree_with_the_matrix(boxes):
    """Trees of about 200 and 2,000 points (as many as a job may have) within 1 µV, volts lost on the way."""
    doc = large_tree(7, boxes)
    volts = solve(doc, "expected")
    assert len(volts) == pytest.approx(2 * boxes, rel=0.02)
    assert max(volts.values()) - min(volts.values()) > 2
    assert furthest_apart(doc, "expected") <= 1e-6


def test_the_seeds_have_sets_that_lead_nowhere():
    """In ten jobs or more it matters by millivolts that passive boxes keep the sets apart."""
    moved = [_moved_if_all_join(with_lost_sets(random_job(seed), seed)) for seed in LOST]
    assert sum(volts > 1e-3 for volts in moved) >= 10


def _moved_if_all_join(doc: Mapping[str, Any]) -> float:
    """How far the volts move when joints and arrestors join the sets. [V]"""
    passive = {
        name for name, sheet in doc["sheets"].items() if sheet["kind"] in ("joint", "arrestor")
    }
    boxes = [
        {**box, "joins_pairs": True} if box["sheet"] in passive else box for box in doc["boxes"]
    ]
    before, after = solve(doc, "expected"), solve({**doc, "boxes": boxes}, "expected")
    return max(abs(before[point] - after[point]) for point in before)


# ---------------------------------------------------------------- how much more it bears


@pytest.mark.parametrize("seed", SHARES)
def test_the_load_share_is_where_the_first_box_drops(seed):
    """At 0.95 of the share every box holds its cut-off by the matrix, at 1.05 one does not."""
    doc = random_job(seed)
    share = predict(read_job(doc).plan).load_share
    assert solve(doc, "expected", 0.95 * share) is not None
    assert solve(doc, "expected", 1.05 * share) is None


def test_the_load_shares_are_of_different_jobs():
    """A quarter of the jobs or more regenerate, a quarter do not, and the shares spread."""
    docs = [random_job(seed) for seed in SHARES]
    regenerating = sum(len(walk(doc)) > _sources(doc) for doc in docs)
    assert len(docs) / 4 <= regenerating <= len(docs) * 3 / 4
    shares = sorted(predict(read_job(doc).plan).load_share for doc in docs)
    assert shares[-1] > 3 * shares[0] > 3


def _sources(doc: Mapping[str, Any]) -> int:
    return len(sheets_of(doc, "source", "injector"))
