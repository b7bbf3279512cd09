"""Thousands of sites at once: the true volts of a job at drawn values, by numpy, not the engine.

The circuit is read from the job document by ``by_contract.walk``. Of each tree only the nodes that
draw are unknown: with R_ij the ohms that the ways to i and to j share,

    V_i = V_s - sum over j of R_ij P_j / V_j,   Newton from V_s everywhere, a matrix a draw.

A draw in which an iterate rises, or ends below a cut-off, has no such site: not a number.
Values come by the engine's names of unknowns (``engine.unknowns``), one array each. For jobs
without bundles and without sets of pairs that lead nowhere.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from by_contract import ALPHA20, Edge, Feed, walk

MOST_STEPS = 60
DEFAULT_CUTOFF = 36
Key = tuple[str, ...]
Values = Mapping[Key, np.ndarray]
KINDS = ("volts", "milliamps", "watts")


def drawn(unknowns: Mapping[Key, Any], count: int, rng, shape: str = "normal") -> dict:
    """Values of all unknowns: normal, or rectangular, of their means and deviations."""
    out = {}
    for key, unknown in unknowns.items():
        if shape == "normal":
            out[key] = rng.normal(unknown.mean, unknown.sd, count)
        else:
            half = unknown.sd * 3**0.5
            out[key] = rng.uniform(unknown.mean - half, unknown.mean + half, count)
    return out


class Sites:
    """A job's circuit, to be solved at any values."""

    def __init__(self, doc: Mapping[str, Any]) -> None:
        self.doc = doc
        self.feeds = walk(doc)

    def figures(self, values: Values) -> dict[tuple[str, str], np.ndarray]:
        """Volts, milliamps and watts of every powered point, by its name and kind."""
        found: dict[tuple[str, str], np.ndarray] = {}
        passed: dict[str, np.ndarray] = {}
        for feed in reversed(self.feeds):
            volts, amps = self._tree(feed, values, passed)
            for point, v in volts.items():
                figures = (v, 1000 * amps[point], v * amps[point])
                found |= {(point, kind): x for kind, x in zip(KINDS, figures, strict=True)}
            name = feed.point.partition(".")[0]
            passed[name] = passed.get(name, 0.0) + volts[feed.point] * amps[feed.point]
        return found | self._loops(values)

    def _loops(self, values: Values) -> dict[tuple[str, str], np.ndarray]:
        """Loop ohms of one pair of each powered span, its far end shorted.

        Two conductors in series, and their ends: those stated for all pairs in force side by
        side, times the pairs.
        """
        spans = [edge for feed in self.feeds for edge in feed.edges if "cable" in edge.thing]
        return {
            (edge.thing["id"], "loop_ohms"): 2 * self._conductor(edge.thing, values)
            + values["ends", edge.thing["id"]] * edge.pairs
            for edge in spans
        }

    def _tree(self, feed: Feed, values: Values, passed: Mapping[str, np.ndarray]):
        """Volts and amps of all points of one tree."""
        name = feed.point.partition(".")[0]
        source = values["volts", name]
        ways = {feed.point: [0]}
        ohms = [np.maximum(values["droop", name], 0.0)]
        for edge in feed.edges:
            ways[edge.below] = [*ways[edge.above], len(ohms)]
            ohms.append(np.maximum(self._ohms(edge, values), 0.0))
        draws, cutoffs = self._draws(feed, values, passed)
        places = list(draws)
        if not places:
            nothing = np.zeros(len(source))
            return dict.fromkeys(ways, source), dict.fromkeys(ways, nothing)
        across = np.zeros((len(source), len(places), len(places)))
        for i, a in enumerate(places):
            for j, b in enumerate(places):
                shared = set(ways[a]) & set(ways[b])
                across[:, i, j] = sum(ohms[k] for k in shared)
        power = np.stack([draws[p] for p in places], axis=1)
        floor = np.array([cutoffs[p] for p in places])
        volts = highest(source, across, power, floor)
        current = power / volts
        out_volts, out_amps = {}, {}
        for point, way in ways.items():
            fallen = np.zeros(len(source))
            amps = np.zeros(len(source))
            for j, place in enumerate(places):
                shared = set(way) & set(ways[place])
                fallen = fallen + sum(ohms[k] for k in shared) * current[:, j]
                if way[-1] in ways[place]:
                    amps = amps + current[:, j]
            out_volts[point], out_amps[point] = source - fallen, amps
        return out_volts, out_amps

    def _draws(self, feed: Feed, values: Values, passed):
        """Watts at each place that draws, and the volts below which its box stops."""
        draws, cutoffs = {}, {}
        for point, sheet in feed.drawn:
            name = point.partition(".")[0]
            swing = values.get(("swing", name), 0.0)
            own = np.maximum(values["watts", name] * (1 + swing), 0.0)
            if sheet.get("power") == "regenerating":
                own = (own + passed.get(name, 0.0)) / values["efficiency", name]
            draws[point] = own
            cutoffs[point] = sheet.get("cutoff_volts", DEFAULT_CUTOFF)
        return draws, cutoffs

    def _ohms(self, edge: Edge, values: Values) -> np.ndarray:
        """Loop ohms of an edge: a set of two pairs has those of one conductor, two sets half."""
        if "cable" not in edge.thing:
            return values["box-ohms", edge.below.partition(".")[0]] * 2 / edge.pairs
        ends = values["ends", edge.thing["id"]]
        return self._conductor(edge.thing, values) * 2 / edge.pairs + ends

    def _conductor(self, span: Mapping[str, Any], values: Values) -> np.ndarray:
        """Ohms of one conductor of a span at its temperature."""
        name, cable = span["id"], self.doc["sheets"][span["cable"]]
        alpha = cable.get("alpha_per_k", ALPHA20[cable.get("material", "copper")])
        celsius = values["ambient", name] if "ambient_c" in span else values["air",]
        return values["ohms", name] / 1000 * values["length", name] * (1 + alpha * (celsius - 20))


def highest(source, across, power, floor) -> np.ndarray:
    """The highest volts at the nodes that draw; not a number where there are none."""
    count = power.shape[1]
    unit = np.eye(count)
    volts = np.repeat(source[:, None], count, axis=1)
    alive = np.ones(len(source), dtype=bool)
    for _ in range(MOST_STEPS):
        amps = power / volts
        over = volts - source[:, None] + np.einsum("dij,dj->di", across, amps)
        slope = unit - across * (amps / volts)[:, None, :]
        step = np.linalg.solve(slope, over[:, :, None])[:, :, 0]
        step[~alive] = 0.0
        lower = volts - step
        alive &= ~((step < -1e-7).any(axis=1) | (lower <= 0).any(axis=1))
        volts = np.where(alive[:, None], lower, volts)
        if np.abs(step[alive]).max(initial=0.0) < 1e-10:
            break
    alive &= ~((power > 0) & (volts < floor)).any(axis=1)
    return np.where(alive[:, None], volts, np.nan)


def inside(value: np.ndarray, low: float | None, high: float | None) -> np.ndarray:
    """Which values a band holds; a site that cannot be held is held by a band without that end."""
    within = (value >= (-np.inf if low is None else low)) & (
        value <= (np.inf if high is None else high)
    )
    return np.where(np.isnan(value), low is None or high is None, within)
