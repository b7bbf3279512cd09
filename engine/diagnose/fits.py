"""The fits of all guesses of one scene: none is made twice, and none that has no hope.

Most guesses are ruled out by a straight line drawn once, that of a sound site: where its readings
are as planned the line is right for what moves little, and tells of what moves much that it does.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from math import inf, sqrt

from engine.diagnose.chances import log_chance
from engine.diagnose.fit import Drawn, Fit, Fitting, Start, begin, redrawing
from engine.diagnose.scene import Scene
from engine.diagnose.trial import Trial
from engine.faults.bends import AS_PLANNED, CONTACT, Bend
from engine.knowing import Row
from engine.sliced import Progress, Steps, at
from engine.unknowns import Unknown

HOPELESS = 40.0
"""by so much behind the best, as a logarithm, a guess is not followed any further"""
UNLIKELY = 10.0
"""by so much behind the best, odds and all, it is not worth knowing a guess more exactly"""
LEFT = ((100.0, 0.6), (1000.0, 0.25), (inf, 0.05))
"""of a misfit foreseen by the healthy straight line the share that may be left in the end: the
larger it is, the farther the line was drawn out"""
LITTLE = 8.0
"""deviations of its own scatter by which a reading may move on the straight line"""
WILD = 10.0
"""times the misfit that chance explains from which on the healthy fit is no place to start from"""
NOTHING = Unknown(0.0)
TWICE = Unknown(1.0)
"""once more what there is"""
Ways = Mapping[Hashable, tuple[float, Bend]]
"""bends by their keys, with the odds of what they stand for, as logarithms"""
Foreseen = tuple[float, float, float]
"""evidence, misfit, and how far a reading moves"""
Way = tuple[Row, Unknown, int | None, Unknown]
"""how each reading moves with the one quantity of a guess, and what is known of it: with the
guess, its column, and on the sound site"""


def most_misfit(readings: int) -> float:
    """The sum of squares that chance explains, of so many readings (design: m + 2 √2m)."""
    return readings + 2 * sqrt(2 * readings)


class Fits:
    """Fits by what they change; ``base`` is that of a sound site."""

    def __init__(
        self, scene: Scene, healthy: Trial, planned: Drawn | None, base: Fit | None
    ) -> None:
        """``planned`` is the straight line of ``healthy`` before anything is fitted."""
        self.scene, self.healthy, self.base = scene, healthy, base
        self.made: dict[Hashable, Fit | None] = {AS_PLANNED.key: self.base}
        self.by_line: dict[Hashable, Way | None] = {}
        """guesses of which only a straight line is known: how to draw it in full, if it will do"""
        most = WILD * most_misfit(self.base.count) if self.base else 0.0
        self.tame = base if base is not None and base.misfit < most else None
        """the fit of a sound site, where the readings are those of one or near them"""
        self.start: Start | None = begin(self.healthy, self.tame) if self.tame else None
        self.line: Drawn | None = self.tame.drawn if self.tame else planned

    @classmethod
    def beginning(cls, scene: Scene) -> Steps[Fits]:
        """Those of a scene, with the healthy fit."""
        healthy = Trial(scene, AS_PLANNED)
        plain = yield from Fitting.drawing(healthy)
        planned = plain.drawn
        return cls(scene, healthy, planned, (yield from plain.settling()))

    def of(self, bend: Bend) -> Steps[Fit | None]:
        """The fit of a guess."""
        if bend.key not in self.made:
            self.made[bend.key] = yield from self._anew(bend)
        return self.made[bend.key]

    def in_full(self, bend: Bend) -> Steps[Fit | None]:
        """The fit of a guess, with all that a new figure is foretold by."""
        if bend.key in self.by_line:
            way = self.by_line.pop(bend.key)
            work = redrawing(self.base, *way) if way and self.base else self._anew(bend)
            self.made[bend.key] = yield from work
        return (yield from self.of(bend))

    def _anew(self, bend: Bend) -> Steps[Fit | None]:
        begun = yield from self.begun(bend)
        return (yield from begun.settling())

    def begun(self, bend: Bend) -> Steps[Fitting]:
        """A guess begun where the healthy fit ended."""
        start = _apart_from(self.start or {}, bend)
        return Fitting.drawing(Trial(self.scene, bend), start, least=self.least())

    def joined(self, both: Bend, second: Bend, start: Start) -> Steps[Fitting]:
        """A second fault beside one that is fitted: begun where that one ended."""
        return Fitting.drawing(Trial(self.scene, both), _apart_from(start, second))

    def least(self) -> float:
        """The evidence below which a guess no longer matters."""
        return max((one.evidence for one in self.made.values() if one), default=-inf) - HOPELESS

    def all_of(self, ways: Ways, best: float) -> Progress[None]:
        """Fit all of these, the most hopeful first, so that the others soon have no hope.

        ``best`` is the weight of the best guess so far.
        """
        left = [key for key in ways if key not in self.made]
        lined: dict[Hashable, Foreseen] = {}
        for key in left:
            seen = self._foreseen(ways[key][1])
            if seen is not None:
                lined[key] = seen
            yield 0.0
        solved = [key for key in left if key not in lined]
        begun: dict[Hashable, Fitting] = {}
        for number, key in enumerate(solved):
            share = number / len(left) / 2
            begun[key] = yield from at(self.begun(ways[key][1]), share)
            yield share
        ranked = sorted(begun, key=lambda key: -ways[key][0] - begun[key].hope())
        for key in ranked[:1]:
            weight = yield from at(self._follow(begun[key], ways[key][0], best), 0.5)
            best = max(best, weight)
        hopeful = sorted(lined, key=lambda key: -ways[key][0] - lined[key][0])
        for number, key in enumerate([*hopeful, *ranked[1:]]):
            odds, bend = ways[key]
            share = (1 + number / len(left)) / 2
            line = self._on_line(bend, lined.get(key), best - UNLIKELY - odds)
            if line is not None:
                self.made[key] = line
            else:
                one = begun.get(key) or (yield from at(self.begun(bend), share))
                best = max(best, (yield from at(self._follow(one, odds, best), share)))
            yield share

    def _follow(self, begun: Fitting, odds: float, best: float) -> Steps[float]:
        """Fit a guess as far as its odds can matter; its weight."""
        made = yield from begun.settling(max(self.least(), best - UNLIKELY - odds))
        self.made[begun.trial.bend.key] = made
        return -inf if made is None else odds + made.evidence + log_chance(begun.trial)

    # ------------------------------------------------------------ the healthy straight line

    def _foreseen(self, bend: Bend) -> Foreseen | None:
        """What comes of a guess by the line; None where it has no say."""
        way = self._way_of(bend)
        return self.line.foreseen(*way) if self.line is not None and way is not None else None

    def _on_line(self, bend: Bend, seen: Foreseen | None, matters: float) -> Fit | None:
        """A guess that needs no fit of its own: it moves little, or has no hope."""
        if seen is None or self.base is None:
            return None
        evidence, misfit, moved = seen
        fit = self.base.instead(evidence, misfit)
        left = next(share for most, share in LEFT if misfit <= most)
        if evidence + (1 - left) * misfit / 2 < max(self.least(), matters):
            self.by_line[bend.key] = None
            return fit
        if not self.tame or moved >= LITTLE:
            return None
        self.by_line[bend.key] = self._way_of(bend)
        return fit

    def _way_of(self, bend: Bend) -> Way | None:
        """How a guess is drawn, where it changes one quantity or loses one set of pairs."""
        if self.line is None:
            return None
        if bend.is_a_lost_set:
            # twice the ohms is too far to draw a line from readings that are wild already
            return self._way_of_set(bend.halved, self.line.rows) if self.tame else None
        if not bend.is_one_quantity:
            return None
        (((name, *where), change),) = bend.quantities.items()
        new = name == CONTACT
        key = ("ends" if new else name, *where)
        columns = self.healthy.columns
        place, planned = columns.place.get(key), columns.unsure.get(key)
        if place is None or planned is None:
            return None
        by = [row[place] / planned.sd for row in self.line.rows]
        if not new:
            return by, change.of(planned), place, planned
        # a bad wire moves the run as its ends do, but not what a loop shows of the other pairs
        looped = any(one.pairs and one.asked.at in where for one in self.scene.seen)
        return None if looped else (by, change.of(NOTHING), None, NOTHING)

    def _way_of_set(self, halved: frozenset[str], rows: Sequence[Row]) -> Way:
        """How each reading moves with the ohms of all spans that share a lost set, once more."""
        columns = self.healthy.columns
        by = [0.0] * len(rows)
        for tree in self.scene.network.trees:
            names = [getattr(node.via, "id", "") for node in tree.nodes]
            lost = {
                node.section for node, name in zip(tree.nodes, names, strict=True) if name in halved
            }
            for node, name in zip(tree.nodes, names, strict=True):
                place, known = columns.place.get(("ohms", name)), columns.unsure.get(("ohms", name))
                if node.section in lost and place is not None and known is not None:
                    more = known.mean / known.sd
                    by = [one + row[place] * more for one, row in zip(by, rows, strict=True)]
        return by, TWICE, None, NOTHING


def _apart_from(start: Start, bend: Bend) -> Start:
    """A place to begin at without what a fault changes, at whatever moment."""
    return {key: by for key, by in start.items() if not {key, key[:-1]} & bend.quantities.keys()}
