"""One figure that is not what the meter showed: what it would then be, and how readily.

What the others say of a reading follows from the healthy fit in closed form; only where a
figure bends that fit, the fit is made anew without it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from math import exp, inf, log, pi, sqrt

from attrs import evolve, frozen

from engine.diagnose.fit import Alone, Fit, Start, begin, fitting
from engine.diagnose.lining import foretell
from engine.diagnose.scene import Scene, Seen
from engine.diagnose.trial import LEAST, Trial
from engine.faults.bends import AS_PLANNED
from engine.figures import Figure
from engine.knowing import sumprod
from engine.sliced import Steps

TELLING = 4.0
"""deviations from which on a figure is taken for one that bends the fit of the others"""
NEAR = 6.0
"""deviations within which another's figure may belong here"""
MOST_REFITS = 2
SCALES: Mapping[str, float] = {
    "volts": 60.0,
    "milliamps": 2000.0,
    "watts": 100.0,
    "loop_ohms": 200.0,
    "metres": 1000.0,
    "celsius": 100.0,
}
"""a figure that means nothing lies anywhere on this (our choice), in the unit of its kind"""
ANYTHING = 0.1
"""share of misread figures that are neither swapped nor slipped (from memory)"""
THOUSAND = 1000.0
AC_LOW, AC_HIGH = 2.1, 2.3
"""a cheap meter on alternating volts shows about double (common practice)"""
AC_NOTHING = 0.3
"""or so many volts at most"""


@frozen
class Slip:
    """One entry that is not what the meter showed: log evidence, and the fit of the others.

    ``beside`` is the other entry, where two stand in each other's place.
    """

    cause: str
    where: str
    evidence: float
    rest: Fit
    beside: str = ""


Density = Callable[[Scene, Seen, float, float], float]
"""how readily a slip gives this reading where the others say (mean, deviation)"""


def log_slips(
    scene: Scene, healthy: Trial, found: Fit, start: Start | None, least: float = -inf
) -> Iterator[Slip | None]:
    """Each slip that might be, and None where it took a while until there was one.

    ``found`` is the healthy fit, ``start`` where to begin another; None where that one is wild.
    Evidence that will not come to ``least`` is not followed any further.
    """
    alone = yield from found.standing_alone()
    off = sorted(alone, key=lambda ident: -abs(alone[ident].z))
    bending = [ident for ident in off[:MOST_REFITS] if abs(alone[ident].z) > TELLING]
    planned: Mapping[str, tuple[float, float]] = {}
    if start is None or bending:
        planned = yield from _by_plan(scene, healthy)
    if start is None:
        bending += [one for one in _odd_ones(scene, planned) if one not in bending][:MOST_REFITS]
    begins: dict[str, Start] = {}
    for seen in scene.seen:
        there = alone.get(seen.id)
        if there is None:
            continue
        rest = evolve(
            found,
            evidence=found.evidence - there.log_density(),
            misfit=found.misfit - there.z**2,
        )
        if seen.id in bending:
            begins[seen.id] = start or {}
            again = yield from _without(healthy, start, seen, least)
            if again is None:
                continue
            there, rest = again
            begins[seen.id] = begin(healthy, rest)
        for cause, density in SLIPS.items():
            likely = density(scene, seen, seen.value - there.over, there.sd)
            if likely > 0:
                yield Slip(cause, seen.id, rest.evidence + log(max(likely, LEAST)), rest)
    yield from _exchanged(scene, begins, least, planned)


def _by_plan(scene: Scene, healthy: Trial) -> Steps[dict[str, tuple[float, float]]]:
    """What the plan alone leads one to expect of each reading, and the deviation of that."""
    columns = healthy.columns
    nothing = [0.0] * len(columns.place)
    out = {}
    for seen in scene.seen:
        shown = healthy.shows(columns.values(nothing, seen.asked), seen.asked)
        if isinstance(shown, Figure):
            row, expected, noise = foretell(healthy, seen.asked, shown, nothing)
            out[seen.id] = expected, sqrt(sumprod(row, row) + noise**2)
        yield
    return out


def _odd_ones(scene: Scene, planned: Mapping[str, tuple[float, float]]) -> list[str]:
    """Readings that lie farthest from what the plan leads one to expect."""
    far = [
        (abs(seen.value - planned[seen.id][0]) / planned[seen.id][1], seen.id)
        for seen in scene.seen
        if seen.id in planned
    ]
    return [ident for z, ident in sorted(far, reverse=True) if z > TELLING]


def _without(
    trial: Trial, start: Start | None, seen: Seen, least: float
) -> Steps[tuple[Alone, Fit] | None]:
    """What the others say of a reading once it does not bend them, and their fit."""
    rest = yield from fitting(trial, start, without=frozenset({seen.id}), least=least)
    if rest is None or rest.evidence < least:
        return None
    asked = trial.asked(seen)
    columns = trial.columns
    shown = trial.shows(columns.values(rest.mean, asked), asked)
    if not isinstance(shown, Figure):
        return None
    row, expected, noise = foretell(trial, asked, shown, rest.mean)
    sd = sqrt(rest.spread(row) ** 2 + noise**2)
    return Alone(seen.value - expected, sd), rest


def _exchanged(
    scene: Scene,
    begins: Mapping[str, Start],
    least: float,
    planned: Mapping[str, tuple[float, float]],
) -> Iterator[Slip | None]:
    """Two figures that were written down for each other's places.

    Tried are those that would do for the plan in each other's place; ``begins`` is what is
    learned without one of the two, which is where their fit begins.
    """

    def fits(value: float, there: Seen) -> bool:
        expected, sd = planned.get(there.id, (inf, 1.0))
        return abs(value - expected) < NEAR * sd

    by_id = {seen.id: seen for seen in scene.seen}
    tried = set()
    for ident, start in begins.items():
        here = by_id[ident]
        for there in scene.seen:
            same = there.asked.kind == here.asked.kind and there.id != ident
            if not same or there.asked.at.split(".")[0] == here.asked.at.split(".")[0]:
                continue
            if not (fits(there.value, here) and fits(here.value, there)):
                continue
            if (there.id, ident) in tried:
                continue
            tried.add((ident, there.id))
            swapped = {ident: there.value, there.id: here.value}
            trial = Trial(scene.with_values(swapped), AS_PLANNED)
            again = yield from fitting(trial, start, least=least)
            if again is not None:
                # both places are named once: the other's row would count the same twice
                evidence = again.evidence - log(2 * len(scene.seen))
                yield Slip("reading.place", ident, evidence, again, there.id)


# ---------------------------------------------------------------- densities


def _bell(x: float, mean: float, sd: float) -> float:
    return exp(-(((x - mean) / sd) ** 2) / 2) / (sd * sqrt(2 * pi))


def _typed(scene: Scene, seen: Seen, mean: float, sd: float) -> float:
    """Two neighbouring digits swapped, the point slipped, or anything at all."""
    ways = [_bell(one, mean, sd) for one in _swaps(seen.value)]
    ways += [_bell(seen.value * by, mean, sd) * by for by in (10.0, 0.1)]
    flat = 1 / (SCALES[seen.asked.kind] + seen.value)
    return (1 - ANYTHING) * sum(ways) / len(ways) + ANYTHING * flat


def _swaps(value: float) -> list[float]:
    """What the figure was, if two neighbours of it were swapped."""
    text = f"{value:.2f}"
    out = []
    for i in range(len(text) - 1):
        a, b = text[i], text[i + 1]
        if a.isdigit() and b.isdigit() and a != b:
            out.append(float(text[:i] + b + a + text[i + 2 :]))
    return out


def _unit(scene: Scene, seen: Seen, mean: float, sd: float) -> float:
    """A thousand times too much or too little; of nothing there is no telling."""
    ways = [by for by in (THOUSAND, 1 / THOUSAND) if abs(by - 1) * seen.value > TELLING * sd]
    return sum(_bell(seen.value * by, mean, sd) * by / 2 for by in ways)


def _place(scene: Scene, seen: Seen, mean: float, sd: float) -> float:
    """Another box's figure of the same kind, written down here too."""
    box = seen.asked.at.split(".")[0]
    others = [
        one.value
        for one in scene.seen
        if one.asked.kind == seen.asked.kind and one.asked.at.split(".")[0] != box
    ]
    noise = scene.columns.noise(seen.asked)
    return sum(_bell(seen.value, one, noise) for one in others) / (2 * len(others)) if others else 0


def _ac(scene: Scene, seen: Seen, mean: float, sd: float) -> float:
    """The dial on alternating volts."""
    if seen.asked.kind != "volts":
        return 0.0
    low = 1 / AC_NOTHING if seen.value <= AC_NOTHING else 0.0
    wide = (AC_HIGH - AC_LOW) * mean
    high = 1 / wide if AC_LOW * mean <= seen.value <= AC_HIGH * mean and wide > 0 else 0.0
    return (low + high) / 2


SLIPS: Mapping[str, Density] = {
    "reading.typed": _typed,
    "reading.unit": _unit,
    "reading.place": _place,
    "reading.ac": _ac,
}
