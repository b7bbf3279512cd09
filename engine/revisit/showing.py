"""How readily a reading on coming back would show each thing that may have gone wrong.

A cause moves a reading by so much; it is shown where the difference to the earlier reading then
lies beyond the limit of ``since``. Where the place was not read before, the plan's own band
stands in place of the difference. Of volts with amps the amps come first and the volts are held
against what they lead one to expect, as in ``since``.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping
from math import hypot, inf
from statistics import NormalDist

from attrs import evolve, frozen

from engine.bands import Today
from engine.diagnose.chances import full_speed
from engine.diagnose.scene import Scene
from engine.diagnose.trial import Loose, Trial
from engine.faults.bends import CONTACT, Bend, Bends
from engine.faults.sizes import CHANCES
from engine.figures import Asked, Figure
from engine.job import ANY_METER
from engine.knowing import Known
from engine.log import Reading
from engine.network import AS_PLANNED
from engine.study import Prediction
from engine.unchanged import Difference, Learned, Unchanged, meter_key
from engine.unknowns import Key, Unknown
from engine.verdict import planned_readings, z_out

NOW = "on coming back"
"""the moment of what is read then"""
NORMAL = NormalDist()


@frozen
class Look:
    """One thing that can be read on coming back, and what the earlier stays have of it.

    ``kinds`` are read together; ``work`` is their minutes, ``ends_m`` metres between both ends
    where it is done at both.
    """

    at: str
    kinds: tuple[str, ...]
    stop: str
    work: float
    before: Mapping[str, Reading]
    ends_m: float = 0.0


@frozen
class _Sight:
    """One kind of a look, made ready: what it shows on a sound site, its deviation by what was
    read with it, and by how much one unit of that moves it."""

    asked: Asked
    figure: Figure
    s: float
    lean: float = 0.0


class Showing:
    """A job as it was left, to be asked what a look would show of a cause."""

    def __init__(self, prediction: Prediction, visit: int) -> None:
        self.scene = Scene(prediction, ())
        self.visit = visit
        columns = self.scene.columns
        self.site = Unchanged(Today(columns, Known.nothing(len(columns.place)), visit))
        self.limit = z_out(planned_readings(prediction.job))
        self._trials: dict[Hashable, Trial] = {}

    def of(self, look: Look, causes: list[Bends]) -> list[float]:
        """How readily a look shows each cause, from 0 to 1."""
        kind = look.kinds[0]
        if kind == "mbps":
            one = self._light
        elif kind in ("earth_ohms", "error_count"):
            one = self._most
        else:
            sights = tuple(self._sights(look))
            return [
                sum(share * self._moved(look, sights, bend) for share, bend in bends)
                if sights
                else 0.0
                for bends in causes
            ]
        return [sum(share * one(look, bend) for share, bend in bends) for bends in causes]

    # ------------------------------------------------------------ yes or no

    def _light(self, look: Look, bend: Bend) -> float:
        link = self.scene.link_at(look.at)
        return 0.0 if link is None else 1 - full_speed(self._trial(bend), link)

    def _most(self, look: Look, bend: Bend) -> float:
        if look.kinds[0] == "earth_ohms":
            return CHANCES["over most bad"].value if look.at in bend.earths else 0.0
        link = self.scene.link_at(look.at)
        bad = link is not None and bend.frames & set(link.through)
        return CHANCES["frames bad"].value if bad else 0.0

    def _trial(self, bend: Bend) -> Trial:
        """The site with a cause in it; once, where lights are asked at many places."""
        key = (id(bend),)
        if key not in self._trials:
            self._trials[key] = Trial(self.scene, bend)
        return self._trials[key]

    # ------------------------------------------------------------ figures

    def _sights(self, look: Look) -> Iterator[_Sight]:
        """The kinds of a look, the load before what it makes of the volts."""
        kinds = [
            kind for kind in ("milliamps", "watts", "volts", "loop_ohms") if kind in look.kinds
        ]
        learned, first = Learned(), None
        for kind in kinds:
            found = self._difference(look, kind)
            if found is None:
                continue
            asked, figure, one = found
            expected, s = learned.foretell(one)
            lean = 0.0
            if first is not None:
                leaning = Learned()
                leaning.learn(first, first.expected + 1)
                lean = leaning.foretell(one)[0] - one.expected
            yield _Sight(asked, figure, s, lean)
            learned.learn(one, expected)
            first = first or one

    def _difference(self, look: Look, kind: str) -> tuple[Asked, Figure, Difference] | None:
        before = look.before.get(kind)
        meter = before.meter if before else self._meter(kind)
        pairs = before.pairs if before else None
        asked = Asked(
            look.at,
            kind,
            AS_PLANNED,
            meter or "",
            f"{NOW} {look.stop}",
            self.visit,
            one_pair=kind == "loop_ohms" and not pairs,
        )
        seen = self.site.shown(asked, meter_key(asked))
        if seen is None:
            return None
        figure, row = seen
        if before is None:
            return asked, figure, Difference(0.0, row, self.site.noise(asked, figure, 0.0))
        then = evolve(Asked.by(before), unsteady=None, celsius=None)
        same = meter in self.scene.job.meters
        one = self.site.between(then, asked, same_meter=same)
        return None if one is None else (asked, figure, one)

    def _meter(self, kind: str) -> str:
        meters = self.scene.job.meters.values()
        return next((m.id for m in meters if kind in m.sheet.accuracy), ANY_METER)

    def _moved(self, look: Look, sights: tuple[_Sight, ...], bend: Bend) -> float:
        """How readily the figures of a look lie beyond the limit."""
        if look.kinds[0] == "loop_ohms" and look.at in bend.lost:
            return CHANCES["pair open bad"].value
        moves = [self._move(sight, bend) for sight in sights]
        best = 0.0
        for sight, move in zip(sights, moves, strict=True):
            by, spread = move
            if sight.lean and moves[0][0] != inf and by != inf:
                by -= sight.lean * moves[0][0]
                spread = abs(spread - sight.lean * moves[0][1])
            best = max(best, beyond(by, hypot(spread, sight.s), self.limit * sight.s))
        return best

    def _move(self, sight: _Sight, bend: Bend) -> tuple[float, float]:
        """By how much a cause moves a figure, and how far that varies with its size (with the
        sign of its slope); infinite where nothing steady is left."""
        if bend.wired_as_planned and not bend.halved:
            return self._by_slopes(sight.figure, bend)
        if sight.asked.kind == "loop_ohms":
            return 0.0, 0.0
        trial = self._trial(bend)
        shown = trial.shows(trial.site.means, sight.asked, slopes=False)
        if isinstance(shown, Figure):
            return shown.value - sight.figure.value, 0.0
        if isinstance(shown, Loose) and not shown.comes_and_goes:
            return (shown.low + shown.high) / 2 - sight.figure.value, 0.0
        return inf, 0.0

    def _by_slopes(self, figure: Figure, bend: Bend) -> tuple[float, float]:
        by = spread = 0.0
        for key, change in bend.quantities.items():
            slope = figure.slope.get(_as_power(key), 0.0)
            planned = self.scene.figures.site.unknowns.get(key, Unknown(0.0))
            now = change.of(planned)
            by += slope * (now.mean - planned.mean)
            spread += slope * now.sd
        return by, spread


def _as_power(key: Key) -> Key:
    """One bad contact adds to the loop as the ends of its span do."""
    return ("ends", key[1]) if key[0] == CONTACT else key


def beyond(by: float, s: float, limit: float) -> float:
    """How likely a normal quantity about ``by`` with deviation ``s`` lies beyond ± ``limit``."""
    if by == inf:
        return 1.0
    return NORMAL.cdf((-limit - by) / s) + NORMAL.cdf((by - limit) / s)
