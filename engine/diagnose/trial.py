"""A site as it would be if one guess were right: what each reading would show there.

A figure is either steady, and moves with the unknowns (``figures``), or it is loose: nothing,
the searching volts of a port, somewhere between two states. The same physics as everywhere;
what a fault does to wiring is worked out by ``happening``.
"""

from __future__ import annotations

from collections.abc import Hashable
from functools import cached_property
from math import erf, log, pi, sqrt
from statistics import median

from attrs import evolve, frozen

from engine.bands import Columns
from engine.circuit import Circuit
from engine.diagnose.scene import OPEN_OHMS, Scene, Seen
from engine.faults.bends import CONTACT, Bend
from engine.faults.sizes import SEARCH_VOLTS
from engine.figures import FLOW_KINDS, Asked, Figure, Figures, Values
from engine.happening import Happening, Wiring
from engine.job import Point, Span
from engine.network import Standing
from engine.operating import Conditions, Operating
from engine.say import Say
from engine.standards import Sourced, table
from engine.states import settle
from engine.unknowns import Key, Site, Unknown

_OURS = "our estimate: nothing was measured"
SHOWN = table(
    Sourced("nothing volts", 0.3, "V", f"{_OURS}; what a meter shows of nothing", "from memory"),
    Sourced("nothing milliamps", 2, "mA", f"{_OURS}; what a meter shows of nothing", "from memory"),
    Sourced("nothing watts", 0.3, "W", f"{_OURS}; what a page shows of nothing", "from memory"),
    Sourced("unsteady seen", 0.9, "1", f"{_OURS}; that coming and going is noted", "from memory"),
    Sourced("unsteady sound", 0.002, "1", f"{_OURS}; noted where nothing moves", "from memory"),
)
ENDS_OFF = 0.1
"""share of its range by which the ends of what comes and goes may be off: they are worked out at
the means of all that is unsure (our choice)"""
LEAST = 1e-300
"""no density is taken for less"""


@frozen
class Loose:
    """Somewhere between two figures, each as likely; ``sd`` is the meter's own scatter."""

    low: float
    high: float
    sd: float
    comes_and_goes: bool = False

    def log_density(self, value: float) -> float:
        """How readily it shows this value, as a logarithm."""
        width = self.high - self.low
        if width < self.sd / 10:
            z = (value - (self.low + self.high) / 2) / self.sd
            return -z * z / 2 - log(self.sd * sqrt(2 * pi))
        both = _below((value - self.low) / self.sd) - _below((value - self.high) / self.sd)
        if both <= 0:
            nearest = min(abs(value - self.low), abs(value - self.high)) / self.sd
            return -nearest * nearest / 2 - log(width)
        return log(max(both / width, LEAST))


Shown = Figure | Loose | Say


class Trial:
    """The site with one guess in it."""

    def __init__(self, scene: Scene, bend: Bend) -> None:
        self.scene, self.bend = scene, bend
        plain = not (bend.quantities or bend.halved)
        self.site = scene.figures.site if plain else _bent(scene, bend)
        self.figures = scene.figures if plain else scene.figures.on(self.site)
        if not bend.wired_as_planned:
            self.figures = _Miswired(
                self.figures, Wiring(scene.network, scene.limits, bend.trouble)
            )
        self._happened: dict[Hashable, Happening] = {}

    @cached_property
    def columns(self) -> Columns:
        """The unknowns of this guess side by side; the healthy ones keep their places."""
        before = self.scene.columns
        if self.figures is before.figures:
            return before
        changed = {key: self.site.unknowns[key] for key in self.bend.quantities}
        columns = before.bent(self.figures, changed)
        if not changed.keys() <= before.unsure.keys():
            for seen in self.scene.seen:
                columns = columns.with_those_of(self.asked(seen))
        return columns

    def asked(self, seen: Seen) -> Asked:
        """What a reading truly answers here."""
        standing = seen.asked.standing
        if seen.pairs and self.one_bad(seen):
            return evolve(seen.asked, one_pair=True)
        if not self.bend.asleep or not standing.as_planned:
            return seen.asked
        return evolve(seen.asked, standing=evolve(standing, off=self.bend.asleep))

    def one_bad(self, seen: Seen) -> bool:
        """Whether one wire of the span is bad: it moves one pair, and hardly the run."""
        return (CONTACT, seen.asked.at) in self.bend.quantities

    def value(self, seen: Seen) -> float:
        """The figure to be explained; of pairs of which one is bad that of the others."""
        if not seen.pairs or not self.one_bad(seen):
            return seen.value
        return median(one for one in seen.pairs if one < OPEN_OHMS)

    def shows(self, values: Values, asked: Asked, *, slopes: bool = True) -> Shown:
        """What a reading shows with the unknowns at these values."""
        return self.loose(asked) or self.steady(values, asked, slopes=slopes)

    def scatter(self, asked: Asked) -> tuple[Key, Unknown, float]:
        """What a meter adds to a reading: its gain, by key, and the scatter of its own."""
        return self.scene.scatter(asked)

    def loose(self, asked: Asked) -> Loose | None:
        """What is not steady because of the wiring, whatever the unknowns."""
        if self.bend.wired_as_planned or asked.kind not in FLOW_KINDS:
            return None
        return self._caught(asked)

    def steady(self, values: Values, asked: Asked, *, slopes: bool = True) -> Shown:
        """What is shown where the wiring lets it be steady."""
        figure = self.figures.at(values, asked, slopes=slopes)
        if isinstance(figure, Say) and figure.code == "no-band-collapse":
            return self._caught(asked) or figure
        if self.bend.lead is not None and asked.kind == "loop_ohms" and isinstance(figure, Figure):
            return evolve(figure, value=figure.value + self.bend.lead.mean)
        return figure

    def _caught(self, asked: Asked) -> Loose | None:
        """A figure in what happens on this site, where it is no steady one."""
        point = Point.parse(asked.at)
        if self.scene.network.where.get(point) is None:
            return None
        now = self.happening(asked.standing, point)
        sd = SHOWN[f"nothing {asked.kind}"].value
        if point in now.searching:
            most = SEARCH_VOLTS.value if asked.kind == "volts" else 0.0
            return Loose(0.0, most, sd)
        ends = sorted(_of(now, point, asked.kind, part) for part in (0.0, 1.0))
        if point not in now.on and point not in now.off:
            return Loose(0.0, 0.0, sd)
        # a range that was noted must not make itself a steady figure
        still = self.scene.columns.noise(evolve(asked, unsteady=None))
        if ends[1] - ends[0] <= 2 * still:
            return None
        return Loose(ends[0], ends[1], max(sd, still, ENDS_OFF * (ends[1] - ends[0])), True)

    def happening(self, standing: Standing, point: Point | None = None) -> Happening:
        """What happens here with these things standing there; solved once, at the means."""
        if standing.beyond is not None:
            standing = evolve(standing, beyond=point)
        if standing.key not in self._happened:
            wiring = Wiring(self.scene.network, self.scene.limits, self.bend.trouble)
            circuit = self.site.circuit(self.site.means)
            self._happened[standing.key] = wiring.happening(circuit, standing)
        return self._happened[standing.key]


def _of(now: Happening, point: Point, kind: str, part: float) -> float:
    flow = now.flow(point, part)
    return {"volts": flow.volts, "milliamps": 1000 * flow.amps, "watts": flow.watts}[kind]


def _bent(scene: Scene, bend: Bend) -> Site:
    """The site with other unknowns, and twice the ohms where one set of pairs leads nowhere."""
    site = scene.figures.site
    changed: dict[Key, Unknown] = {
        key: change.of(site.unknowns.get(key, Unknown(0.0)))
        for key, change in bend.quantities.items()
    }
    twice: dict[tuple[int, int], float] = {}
    for t, tree in enumerate(scene.network.trees if bend.halved else ()):
        names = [getattr(node.via, "id", "") for node in tree.nodes]
        lost = {
            node.section
            for node, name in zip(tree.nodes, names, strict=True)
            if name in bend.halved
        }
        twice |= {(t, i): 2.0 for i, node in enumerate(tree.nodes) if i and node.section in lost}
    more = {
        (t, i): (CONTACT, node.via.id)
        for t, tree in enumerate(scene.network.trees)
        for i, node in enumerate(tree.nodes)
        if isinstance(node.via, Span) and (CONTACT, node.via.id) in bend.quantities
    }
    return site.bent(changed, twice, more)


class _Miswired(Figures):
    """A site on which some wire, feed or box does not do what the plan says."""

    def __init__(self, plain: Figures, wiring: Wiring) -> None:
        self.__dict__.update(plain.__dict__)
        self._last = None
        self._wiring = wiring
        self._given: dict[Hashable, Conditions] = {}

    def _operating(self, circuit: Circuit, standing: Standing) -> Operating:
        return settle(circuit, self.limits, self._conditions(circuit, standing))[0]

    def _conditions(self, circuit: Circuit, standing: Standing) -> Conditions:
        """What sleeps and what gives nothing, once all has settled; found once."""
        if standing.key not in self._given:
            trouble = self._wiring.trouble
            now = self._wiring.happening(circuit, standing)
            feeds = {tree.feed for tree in self.site.network.trees}
            dark = self._wiring.dark(standing)
            # a known load draws where it stands, unless no metal leads there
            drawing = set(standing.known) - self._wiring.loads(dark)
            asleep = now.asleep - standing.off - drawing
            folded = self._wiring.cut(dark)
            cut = folded | trouble.tripping | (now.searching & feeds)
            self._given[standing.key] = Conditions(
                standing=standing, idle=asleep, cut=frozenset(cut)
            )
        return self._given[standing.key]


def _below(z: float) -> float:
    """The share of a normal quantity below z deviations."""
    return (1 + erf(z / sqrt(2))) / 2
