"""Derivatives of every figure by every unknown, against differences of the real solve.

And against a dense linear system of Kirchhoff's and Ohm's laws, which knows nothing of sweeps.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from copy import deepcopy
from functools import cache
from random import Random
from typing import Any

import numpy as np
import pytest
from attrs import evolve
from jobs import band, chain, endpoint, quantity, source
from jobs import run as run_of
from random_jobs import random_job, with_bundles, with_lost_sets

from engine.circuit import Circuit
from engine.figures import Asked, Figure, Figures
from engine.job import Point
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import AS_PLANNED, Standing
from engine.operating import Conditions, Flow, Operating, run
from engine.predict import predict
from engine.sensitivity import linear
from engine.unknowns import Key

SEEDS = range(8000, 8040)
KINDS = ("volts", "milliamps", "watts")
WITHIN = 1e-7
"""relative; measured 4e-9, which is what the differences themselves are good to"""
WITHIN_BUNDLES = 0.015
"""relative, by ohms, length and air of a span that warms itself: the slopes leave out that its
own warmth grows with them too; measured 0.008"""
LEAST = {"ohms": 0.02, "watts": 0.3}
"""a quantity at nothing has no slope on its far side: it is lifted to this"""


# ---------------------------------------------------------------- random sites


def outdoors(doc: Mapping[str, Any], seed: int) -> dict[str, Any]:
    """The same job with spans in sun, in the ground and inside, so that all temperatures occur."""
    rng = Random(seed)
    doc = deepcopy(dict(doc))
    doc["site"]["indoor_c"] = quantity(band(15, 20, 26))
    for span in doc["spans"]:
        if rng.random() < 0.7:
            span.pop("indoor", None)
            span["route"] = rng.choice(("indoor", "duct", "wall", "air", "buried"))
            span["sun"] = rng.random() < 0.5
    return doc


@cache
def site_of(seed: int, bundles: bool = False) -> Figures:
    """A random site of any shape: trees, new volts, lost sets, all temperatures."""
    doc = outdoors(with_lost_sets(random_job(seed), seed), seed)
    if bundles:
        doc = with_bundles(doc, seed)
    job = read_job(doc).plan
    study = predict(job).study
    return Figures(job, study.network, study.limits)


def values_of(figures: Figures, seed: int) -> dict[Key, float]:
    """Values of all unknowns within a deviation of their means, none at nothing."""
    rng = Random(seed)
    out = {}
    for key, unknown in figures.site.unknowns.items():
        value = unknown.mean + unknown.sd * rng.uniform(-1, 1)
        if key[0] in ("box-ohms", "droop"):
            value = max(value, LEAST["ohms"])
        if key[0] == "watts":
            value = max(value, LEAST["watts"])
        out[key] = value
    return out


def solve(
    figures: Figures, values: Mapping[Key, float], standing: Standing = AS_PLANNED
) -> Operating:
    """The real solve, asked for nothing but the operating point."""
    return run(figures.site.circuit(values), Conditions(standing=standing))


def shown(operating: Operating) -> dict[tuple[Point, str], float]:
    """Every figure of every powered point."""
    return {
        (point, kind): value
        for point, flow in operating.flows.items()
        for kind, value in zip(KINDS, (flow.volts, 1000 * flow.amps, flow.watts), strict=True)
    }


Figured = dict[tuple[Point, str], float]


def difference(at: Callable[[float], Figured], step: float) -> Figured:
    """Derivatives of all figures by one quantity at 0: two central differences, extrapolated."""
    wide, narrow = (
        {what: (high - low) / (2 * h) for (what, high), low in zip(up.items(), down, strict=True)}
        for h in (step, step / 2)
        for up, down in ((at(h), at(-h).values()),)
    )
    return {what: (4 * narrow[what] - wide[what]) / 3 for what in wide}


def apart(told: float, true: float, scale: float) -> float:
    """Relative difference of two slopes; ``scale`` is what counts as nothing."""
    return abs(told - true) / max(abs(true), scale, 1e-9)


STEPS = {
    "volts": 0.05,
    "length": 0.5,
    "watts": 0.05,
    "swing": 0.01,
    "efficiency": 0.005,
    "box-ohms": 0.01,
    "droop": 0.01,
    "ends": 0.01,
}
"""how far a quantity is moved for a difference; others by 1 (°C, K, ohm/km)"""


def step_of(key: Key) -> float:
    """How far a quantity is moved for a difference."""
    return STEPS.get(key[0], 1.0)


# ---------------------------------------------------------------- by every unknown


def furthest_by_unknowns(figures: Figures, seed: int, standing: Standing = AS_PLANNED):
    """The worst agreement of ``Figures.at`` with differences, its place, and how many slopes."""
    values = values_of(figures, seed)
    base = shown(solve(figures, values, standing))
    told: dict[tuple[Point, str], Figure] = {}
    for point, kind in base:
        found = figures.at(values, Asked(str(point), kind, standing))
        assert isinstance(found, Figure)
        assert found.value == pytest.approx(base[point, kind], rel=1e-9)
        told[point, kind] = found
    worst, count = (0.0, None), 0
    for key in figures.site.unknowns:
        true = difference(
            lambda by, key=key: shown(solve(figures, {**values, key: values[key] + by}, standing)),
            step_of(key),
        )
        for what, slope in true.items():
            # a slope that would move the figure by less than a millionth counts as none
            nothing = 1e-4 * abs(base[what]) / max(abs(values[key]), 1.0)
            found = told[what].slope.get(key, 0.0)
            count += bool(slope)
            worst = max(worst, (apart(found, slope, nothing), (what, key, found, slope)), key=first)
    return worst, count


def first(pair):
    """Of a pair."""
    return pair[0]


def test_slopes_by_every_unknown():
    """Volts, amps, watts at every powered point of forty sites, by each quantity of the site."""
    far, count = {}, 0
    for seed in SEEDS:
        worst, slopes = furthest_by_unknowns(site_of(seed), seed)
        count += slopes
        if worst[0] > WITHIN:
            far[seed] = worst
    assert far == {}
    assert count > 10_000


def test_slopes_by_every_unknown_in_bundles():
    """Where spans warm themselves the slopes are near, not exact, and this says how near."""
    worst = [furthest_by_unknowns(site_of(seed, True), seed)[0] for seed in SEEDS[:15]]
    assert max(off for off, _ in worst) < WITHIN_BUNDLES
    assert {place[1][0] for off, place in worst if off > WITHIN} <= {"ohms", "length"}


def test_the_sites_are_of_every_kind():
    """Every kind of unknown occurs, and a quarter of the sites or more make new volts."""
    kinds = {key[0] for seed in SEEDS for key in site_of(seed).site.unknowns}
    assert kinds >= {"volts", "droop", "ohms", "length", "ends", "watts", "swing", "efficiency"}
    assert kinds >= {"box-ohms", "air", "indoor", "ground", "ambient", "sun"}
    trees = [len(site_of(seed).site.network.trees) for seed in SEEDS]
    assert sum(count > 1 for count in trees) >= len(SEEDS) / 4


def standing_in(figures: Figures, how: str, seed: int) -> Standing:
    """An endpoint unplugged, a known load in its place, or nothing behind some point."""
    rng = Random(seed)
    ends = [box.id for box in figures.job.boxes.values() if box.kind == "endpoint"]
    if how == "beyond":
        trees = figures.site.network.trees
        return Standing(beyond=rng.choice([node.point for t in trees for node in t.nodes[2:]]))
    one = rng.choice(ends)
    return Standing(off=frozenset({one})) if how == "off" else Standing(known={one: 3.0})


@pytest.mark.parametrize("how", ["off", "known", "beyond"])
def test_slopes_while_something_stands_in(how):
    """A standing is one of a reading: ``beyond`` is asked for at its own point alone."""
    far, count = {}, 0
    check = furthest_at if how == "beyond" else furthest_by_unknowns
    for seed in SEEDS[:15]:
        figures = site_of(seed)
        worst, slopes = check(figures, seed, standing_in(figures, how, seed))
        count += slopes
        if worst[0] > WITHIN:
            far[seed] = worst
    assert far == {}
    assert count > (50 if how == "beyond" else 2_000)


def furthest_at(figures: Figures, seed: int, standing: Standing):
    """As ``furthest_by_unknowns``, of the volts where all behind is unplugged."""
    values, point = values_of(figures, seed), standing.beyond
    worst, count = (0.0, None), 0
    found = figures.at(values, Asked(str(point), "volts", standing))
    assert isinstance(found, Figure)
    for key in figures.site.unknowns:
        slope = difference(
            lambda by, key=key: shown(solve(figures, {**values, key: values[key] + by}, standing)),
            step_of(key),
        )[point, "volts"]
        nothing = 1e-4 * abs(found.value) / max(abs(values[key]), 1.0)
        count += bool(slope)
        told = found.slope.get(key, 0.0)
        worst = max(worst, (apart(told, slope, nothing), (key, told, slope)), key=first)
    return worst, count


# ---------------------------------------------------------------- by ohms, watts and volts of a tree


def moved(circuit: Circuit, tree: int, **changed: Any) -> Circuit:
    """The circuit with some numbers of one tree changed."""
    trees = list(circuit.trees)
    trees[tree] = evolve(trees[tree], **changed)
    return evolve(circuit, trees=tuple(trees))


def furthest_by_ohms(figures: Figures, seed: int):
    """The worst agreement of ``Linear.moves`` by the ohms of an edge, its place, how many."""
    circuit = figures.site.circuit(values_of(figures, seed))
    worst, count = (0.0, None), 0
    for index, tree in enumerate(figures.site.network.trees):
        for edge in range(len(tree.nodes)):
            ohms = list(circuit.trees[index].ohms)
            ohms[edge] += 0.05

            def at(by: float, index=index, edge=edge, ohms=ohms) -> Figured:
                more = [each + by * (i == edge) for i, each in enumerate(ohms)]
                return shown(run(moved(circuit, index, ohms=tuple(more)), Conditions()))

            here = moved(circuit, index, ohms=tuple(ohms))
            solved = run(here, Conditions())
            line = linear(tree, here.trees[index], solved)
            true = difference(at, 0.02)
            for node, place in enumerate(tree.nodes):
                flow = solved.flows[place.point]
                for kind, (per_volt, per_amp) in weights(flow).items():
                    told = line.moves(node, per_volt, per_amp).ohms[edge]
                    slope = true[place.point, kind]
                    nothing = 1e-4 * (per_volt * flow.volts + per_amp * flow.amps)
                    count += bool(slope)
                    where = (place.point, kind, edge, told, slope)
                    worst = max(worst, (apart(told, slope, nothing), where), key=first)
    return worst, count


def weights(flow: Flow) -> dict[str, tuple[float, float]]:
    """Of a figure, how it moves with volts and with amps of its point."""
    return {"volts": (1.0, 0.0), "milliamps": (0.0, 1000.0), "watts": (flow.amps, flow.volts)}


@pytest.mark.parametrize("bundles", [False, True], ids=["plain", "bundles"])
def test_slopes_by_the_ohms_of_every_edge(bundles):
    """Also where a bundle warms as the current through it grows."""
    far, count = {}, 0
    for seed in SEEDS[:12]:
        worst, slopes = furthest_by_ohms(site_of(seed, bundles), seed)
        count += slopes
        if worst[0] > WITHIN:
            far[seed] = worst
    assert far == {}
    assert count > 1_000


# ---------------------------------------------------------------- by a dense linear system


def dense(circuit: Circuit, tree: int, operating: Operating) -> tuple[np.ndarray, np.ndarray]:
    """Slopes of volts and amps of all nodes of a tree, by feed volts, then ohms, then watts.

    Unknown: volts v and amps i of each node. Ohm: v_k - v_above + R_k i_k = 0 (v_above is that
    of the feed at the first); Kirchhoff: i_k - sum of i behind k - P_k / v_k = 0.
    """
    numbers, nodes = circuit.trees[tree], circuit.network.trees[tree].nodes
    count = len(nodes)
    flows = [operating.flows[node.point] for node in nodes]
    volts = np.array([flow.volts for flow in flows])
    amps = np.array([flow.amps for flow in flows])
    incidence = np.eye(count)
    for k, above in enumerate(numbers.parent):
        if above >= 0:
            incidence[k, above] = -1
    drawn = incidence.T @ amps * volts
    system = np.block(
        [[incidence, np.diag(numbers.ohms)], [np.diag(drawn / volts**2), incidence.T]]
    )
    right = np.zeros((2 * count, 1 + 2 * count))
    right[0, 0] = 1
    right[:count, 1 : 1 + count] = -np.diag(amps)
    right[count:, 1 + count :] = np.diag(1 / volts)
    found = np.linalg.solve(system, right)
    return found[:count], found[count:]


def test_slopes_agree_with_a_dense_linear_system():
    """Volts, amps and watts of every node of twenty sites, to ten digits of the largest."""
    compared = 0
    for seed in SEEDS[:20]:
        figures = site_of(seed)
        circuit = figures.site.circuit(values_of(figures, seed))
        operating = run(circuit, Conditions())
        for index, tree in enumerate(figures.site.network.trees):
            by_volts, by_amps = dense(circuit, index, operating)
            line = linear(tree, circuit.trees[index], operating)
            for node, place in enumerate(tree.nodes):
                for per_volt, per_amp in weights(operating.flows[place.point]).values():
                    told = line.moves(node, per_volt, per_amp)
                    true = per_volt * by_volts[node] + per_amp * by_amps[node]
                    found = np.array([told.feed, *told.ohms, *told.watts])
                    assert found == pytest.approx(true, rel=1e-9, abs=1e-10 * abs(true).max())
                    compared += len(true)
    assert compared > 5_000


# ---------------------------------------------------------------- an ohm in front of the place


def circuit_amps(figures: Figures, values: Mapping[Key, float], point: Point) -> float:
    """Amps through a point."""
    return solve(figures, values).flows[point].amps


def test_an_ohm_more_in_the_span_in_front():
    """``per_ohm`` is the slope by the ohms of the nearest span towards the feed, if there is one."""
    compared = 0
    for seed in SEEDS[:15]:
        figures = site_of(seed)
        values = values_of(figures, seed)
        circuit = figures.site.circuit(values)
        for index, tree in enumerate(figures.site.network.trees):
            for i, node in enumerate(tree.nodes):
                edge = i
                while edge >= 0 and not hasattr(tree.nodes[edge].via, "length_m"):
                    edge = tree.nodes[edge].parent
                told = figures.at(values, Asked(str(node.point), "volts")).per_ohm
                if edge < 0:
                    assert told is None
                    continue

                def at(by: float, index=index, edge=edge, circuit=circuit) -> Figured:
                    ohms = circuit.trees[index].ohms
                    more = (*ohms[:edge], ohms[edge] + by, *ohms[edge + 1 :])
                    return shown(run(moved(circuit, index, ohms=more), Conditions()))

                true = difference(at, 0.02)[node.point, "volts"]
                assert told == pytest.approx(true, rel=1e-7, abs=1e-9)
                assert (told < 0) == (circuit_amps(figures, values, node.point) > 0)
                compared += 1
    assert compared > 100


# ---------------------------------------------------------------- kinds without power


def test_slopes_of_ohms_metres_and_celsius():
    """Loop ohms of a shorted pair, metres, and the air at a stop, by every unknown."""
    compared = 0
    for seed in SEEDS[:15]:
        figures = site_of(seed)
        values = values_of(figures, seed)
        places = [(span, kind) for span in figures.job.spans for kind in ("loop_ohms", "metres")]
        for at, kind in (*places, ("post", "celsius")):
            told = figures.at(values, Asked(at, kind))

            def value(by: float, key: Key, at=at, kind=kind, values=values, figures=figures):
                return figures.at({**values, key: values[key] + by}, Asked(at, kind)).value

            for key in figures.site.unknowns:
                true = (value(0.01, key) - value(-0.01, key)) / 0.02
                assert told.slope.get(key, 0.0) == pytest.approx(true, rel=1e-8, abs=1e-10)
                compared += bool(true)
    assert compared > 300


@pytest.mark.parametrize("value", [300, 301])
def test_a_meter_without_errors_on_an_exact_length_is_judged(value):
    """The job format lets a sheet say 0, 0, 0: such a reading needs a verdict, not a traceback."""
    doc = chain(source(53.5), run_of(300), endpoint(10), ambient_c=20)
    doc["sheets"]["my.tape"] = {
        "kind": "meter",
        "metres": {"percent": 0, "digits": 0, "resolution": 0},
    }
    reading = {"id": "r1", "what": "reading", "device": "a", "n": 1}
    doc["log"] = [{**reading, "at": "C1", "kind": "metres", "value": value, "meter": "my.tape"}]
    (verdict,) = judge(read_job(doc)).verdicts
    assert verdict.verdict == ("inside" if value == 300 else "outside")
