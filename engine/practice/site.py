"""A made-up site: one job as it might truly be, and what a meter shows there.

The numbers lie within the limits that the plan states; a hidden cause may have changed some of
them, or the wiring. Every figure is a function of the seed and of what is asked, so a site is a
plain value.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from functools import cached_property
from math import inf

from attrs import evolve, field, frozen

from engine import links, unknowns
from engine.circuit import TreeNumbers
from engine.entries import POINT_KINDS
from engine.faults.sizes import CHANCES, SEARCH_VOLTS, Light
from engine.happening import Happening, Trouble, Wiring
from engine.job import ANY_METER, Accuracy, Job, MeterSheet, Point
from engine.jobfile import JobFile
from engine.limits import FeedLimit, feed_limits
from engine.links import Link
from engine.log import State
from engine.network import AS_PLANNED, Network, Standing, build
from engine.pairs import contact_ohms
from engine.practice.draw import either_way, on_triangle, share
from engine.standards import Sourced, table
from engine.standards.dc import DC
from engine.standards.meters import METERS
from engine.unknowns import Key

FLOOR_VOLTS = METERS["plug-floor-volts"].value
OPEN_OHMS = 1e6
"""what is written down for a loop that does not close"""
COUNT_SECONDS = 900
"""how long damaged frames are counted"""
SETS = {4: ("1", "2", "3", "4"), 2: ("2", "3")}
"""pairs by number (TIA-568): 2 and 3 are one set, 1 and 4 the other"""

MADE_UP = table(
    Sourced(
        "earth-share",
        0.6,
        "1",
        "ohms of a sound earth, of its target; ours",
        "from memory",
        low=0.3,
        high=0.9,
    ),
    Sourced("earth-ohms", 5, "ohm", "a sound earth of no target; ours", "from memory"),
    Sourced("evenness", 1, "%", "wires of a pair differ by; ours", "from memory", "most"),
)
"""what no plan states; each from memory, and told as made up"""
SOUND = Light(CHANCES["light sound"].value, CHANCES["slower sound"].value)
"""what a sound link shows"""


@frozen
class Truth:
    """The hidden cause, where it is, and how much of it there is."""

    cause: str = "none"
    where: str = ""
    kind: str = ""
    size: float | None = None
    unit: str = ""
    end: str = ""
    """which end of a span, where that matters"""


@frozen
class Misread:
    """Something that goes wrong between meter and log: at one point, or with one meter."""

    how: str
    at: str
    kind: str = ""


@frozen
class Data:
    """What is wrong with data: ``dead`` points, spans and boxes let no light through; at a link's
    start, what it shows nevertheless, and damaged frames a quarter hour."""

    dead: frozenset[str] = frozenset()
    lights: Mapping[str, Light] = field(factory=dict)
    frames: Mapping[str, float] = field(factory=dict)


@frozen
class Shown:
    """What is seen of a quantity: a figure, the pairs' own ones, and between what it moves."""

    value: float
    pairs: Mapping[str, float] | None = None
    unsteady: tuple[float, float] | None = None


@frozen
class Site:
    """A site as it truly is; ``state`` has the plan that it was built to, as the file's log left it."""

    file: JobFile
    state: State
    seed: int
    values: Mapping[Key, float]
    swings: Mapping[str, float]
    """by how much the draw of each endpoint moves from moment to moment. [%]"""
    job: Job
    """what data meets: pairs and speeds may differ from the plan's"""
    truth: Truth = field(factory=Truth)
    trouble: Trouble = field(factory=Trouble)
    data: Data = field(factory=Data)
    halved: frozenset[str] = frozenset()
    """spans and boxes in which one set of pairs leads nowhere"""
    contacts: Mapping[str, float] = field(factory=dict)
    """spans with one bad contact of all, and its ohms"""
    uneven: Mapping[str, float] = field(factory=dict)
    """spans whose ends bear extra ohms, and those"""
    lost: Mapping[str, tuple[str, ...]] = field(factory=dict)
    """pairs of a span that do not close"""
    leads: float = 0.0
    """ohms of the probes that nobody takes off"""
    earths: Mapping[str, float] = field(factory=dict)
    misread: Misread | None = None
    _happened: dict[Hashable, Happening] = field(factory=dict, init=False, eq=False, repr=False)

    # ------------------------------------------------------------ what is there

    @property
    def network(self) -> Network:
        """How power is wired."""
        return self.state.network

    @cached_property
    def limits(self) -> Mapping[Point, FeedLimit]:
        """What each feed gives."""
        return feed_limits(self.network)

    @cached_property
    def quantities(self) -> unknowns.Site:
        """How the numbers make a circuit."""
        return unknowns.Site(self.state.job, self.network)

    @cached_property
    def planned_links(self) -> tuple[Link, ...]:
        """Links as the plan has them."""
        return links.find(self.state.job, self.state.network)

    @cached_property
    def true_links(self) -> Mapping[Point, Link]:
        """Links as they truly are, by their start."""
        return {link.start: link for link in links.find(self.job, build(self.job))}

    def share(self, *name: object) -> float:
        """A number from 0 to below 1 of this site's own."""
        return share(self.seed, *name)

    def happening(self, standing: Standing = AS_PLANNED, moment: str = "") -> Happening:
        """What happens on the site at one moment; solved once."""
        key = (standing.key, moment)
        if key not in self._happened:
            self._happened[key] = self._happens(standing, moment)
        return self._happened[key]

    def _happens(self, standing: Standing, moment: str) -> Happening:
        values = dict(self.values)
        for box, percent in self.swings.items():
            values["swing", box] = percent / 100 * either_way(self.seed, "swing", box, moment)
        circuit = self.quantities.circuit(values)
        if self.contacts or self.halved:
            trees = tuple(self._as_wired(*pair) for pair in enumerate(circuit.trees))
            circuit = evolve(circuit, trees=trees)
        return Wiring(self.network, self.limits, self.trouble).happening(circuit, standing)

    def _as_wired(self, tree: int, numbers: TreeNumbers) -> TreeNumbers:
        """A tree with its lost sets and bad contacts.

        The sets share again at the next joining place: a lost one doubles the way from the one
        before. One bad contact lies in series with one conductor of that way.
        """
        nodes = self.network.trees[tree].nodes
        names = [getattr(node.via, "id", "") for node in nodes]
        lost = {
            node.section for node, name in zip(nodes, names, strict=True) if name in self.halved
        }
        times = [2.0 if node.section in lost and i else 1.0 for i, node in enumerate(nodes)]
        ohms = [one * by for one, by in zip(numbers.ohms, times, strict=True)]
        for i, (node, name) in enumerate(zip(nodes, names, strict=True)):
            more = self.contacts.get(name, 0.0) if i else 0.0
            if more:
                way = (j for j, other in enumerate(nodes) if j and other.section == node.section)
                loop = sum(ohms[j] for j in way)
                ohms[i] += contact_ohms(loop, node.loop_pairs, more)
        bundled = tuple(
            evolve(
                one,
                cold_ohms=one.cold_ohms * times[one.node],
                ohms_per_kelvin=one.ohms_per_kelvin * times[one.node],
            )
            for one in numbers.bundled
        )
        return evolve(numbers, ohms=tuple(ohms), bundled=bundled)

    # ------------------------------------------------------------ what a meter shows

    def meter_for(self, kind: str) -> str | None:
        """The meter that one would take: the first that measures it, else a plain one."""
        for meter in self.job.meters.values():
            if kind in meter.sheet.accuracy:
                return meter.id
        plain = self.job.sheets.get(ANY_METER)
        measures = isinstance(plain, MeterSheet) and kind in plain.accuracy
        return ANY_METER if measures else None

    def gain(self, meter: str | None, kind: str) -> float:
        """By what share a meter truly reads high in this visit."""
        accuracy = self.job.accuracy(meter, kind)
        return (accuracy.percent / 100 if accuracy else 0.0) * either_way(
            self.seed, "gain", meter, kind
        )

    def measure(
        self,
        at: str,
        kind: str,
        meter: str | None = None,
        standing: Standing = AS_PLANNED,
        moment: str = "",
    ) -> float:
        """What a meter shows, in the unit of the kind."""
        return self.shown(at, kind, meter, standing, moment).value

    def shown(
        self,
        at: str,
        kind: str,
        meter: str | None = None,
        standing: Standing = AS_PLANNED,
        moment: str = "",
    ) -> Shown:
        """What is seen in full; without a ``meter``, with the one at hand."""
        meter = meter if meter is not None else self.meter_for(kind)
        if kind in POINT_KINDS:
            point = Point.parse(at)
            if standing.beyond is not None:
                standing = evolve(standing, beyond=point)
            now = self.happening(standing, moment)
            if kind == "mbps":
                return Shown(float(self.speed(point, now, moment)))
            if kind == "error_count":
                return Shown(float(self._frames(point, now, moment)))
            return self._flow(point, kind, meter, now, (standing.key, moment))
        if kind == "loop_ohms" and at in self.job.spans:
            return self._loop(at, meter, moment)
        figure = self.true_figure(at, kind)
        return Shown(self._read(figure, kind, meter, at, moment))

    def _flow(
        self, point: Point, kind: str, meter: str | None, now: Happening, when: Hashable
    ) -> Shown:
        """Volts, milliamps or watts; what comes and goes is caught somewhere on its way."""
        if kind == "volts" and point in now.searching:
            most = SEARCH_VOLTS.value
            volts = most * self.share("search", str(point), when)
            return Shown(self._read(volts, kind, meter, point, when))

        def figure(part: float) -> float:
            flow = now.flow(point, part)
            return {"volts": flow.volts, "milliamps": 1000 * flow.amps, "watts": flow.watts}[kind]

        ends = sorted(self._read(figure(part), kind, meter, point, (when, part)) for part in (0, 1))
        value = figure(self.share("caught", str(point), when) if now.unsteady else 0.0)
        shown = self._read(value, kind, meter, point, when)
        accuracy = self.job.accuracy(meter, kind)
        own = accuracy.reach(ends[1]) if accuracy else 0.0
        floor = FLOOR_VOLTS if kind == "volts" else 0.0
        if ends[1] - ends[0] <= 2 * (own + floor):
            return Shown(shown)
        shown = min(max(shown, ends[0]), ends[1])
        return Shown(shown, unsteady=(ends[0], ends[1]))

    def _read(self, true: float, kind: str, meter: str | None, *which: object) -> float:
        """A meter's figure: its gain, its digits, and on volts what no model of a contact holds."""
        if true == inf:
            return OPEN_OHMS
        accuracy = self.job.accuracy(meter, kind) or Accuracy(0, 0, 0)
        value = true * (1 + self.gain(meter, kind))
        if kind == "volts":
            value += FLOOR_VOLTS * either_way(self.seed, "floor", kind, *which)
        if not accuracy.resolution:
            return value
        # the last half step of the digits is that of rounding, so that the sheet's limits hold
        digits = max(accuracy.digits - 0.5, 0.0) * accuracy.resolution
        value += digits * either_way(self.seed, "digits", kind, *which)
        shown = round(round(value / accuracy.resolution) * accuracy.resolution, 9)
        return shown if kind == "celsius" else max(shown, 0.0)

    # ------------------------------------------------------------ links

    def link_at(self, point: Point) -> Link | None:
        """The planned link that ends at a point, if anything is known of it."""
        ends = (link for link in self.planned_links if point in (link.start, link.end))
        return next((link for link in ends if link.known), None)

    def speed(self, point: Point, now: Happening, moment: str = "") -> int:
        """What the lights at a point say; 0 for no link. [Mb/s]"""
        link = self.link_at(point)
        if link is None or self._dead(link, now):
            return 0
        start = str(link.start)
        boxes = {link.start.box, link.end.box}
        true = self.true_links[link.start].expected_mbps if link.start in self.true_links else 0
        if boxes & now.unsteady and self.share("flaps", start, moment) < 0.5:
            return 0
        doubted = start in self.data.lights
        full = link.expected_mbps if doubted else true
        light = self.data.lights.get(start, SOUND)
        if self.share("light", start) < light.full:
            return full
        if true < full and not doubted:
            return true
        lower = [speed for speed in link.shared if speed < min(full, 1000)]
        return max(lower) if lower and self.share("lower", start) < light.slower else 0

    def _dead(self, link: Link, now: Happening) -> bool:
        ends = (link.start, link.end)
        if {end.box for end in ends} & now.asleep:
            return True
        return bool({*map(str, ends), *link.through} & self.data.dead)

    def _frames(self, point: Point, now: Happening, moment: str) -> int:
        """Damaged frames in a quarter of an hour."""
        link = self.link_at(point)
        if link is None or self._dead(link, now):
            return 0
        usual = self.data.frames.get(str(link.start), 0.0)
        return round(usual * (0.5 + self.share("frames", str(link.start), moment)))

    # ------------------------------------------------------------ spans, earths, stops

    def true_figure(self, at: str, kind: str) -> float:
        """The true value of what is no flow; 0 for what is not there."""
        job, values = self.job, self.values
        if kind == "metres" and at in job.spans:
            return values["length", at]
        if kind == "unbalance_ohms" and at in job.spans:
            own = MADE_UP["evenness"].value / 100 * self.share("even", at)
            wires = self._wire_ohms(at)
            return inf if self.contacts.get(at) == inf else own * wires + self.contacts.get(at, 0)
        if kind == "celsius" and at in job.stops:
            return values[self.quantities.air(indoor=job.stops[at].indoor)]
        if kind == "earth_ohms" and at in job.earths:
            target, row = job.earths[at].target_ohms, MADE_UP["earth-share"]
            sound = on_triangle(row.band, self.share("earth", at))
            ohms = sound * (target if target else MADE_UP["earth-ohms"].value)
            return ohms * self.earths.get(at, 1.0)
        return 0.0

    def _wire_ohms(self, span: str) -> float:
        """Both wires of one pair, without the ends."""
        wire = self.quantities.loops[span]
        loop, _, _ = wire.at(self.values)
        return max(loop - self.values[wire.ends_key] * wire.ends, 0.0)

    def _loop(self, span: str, meter: str | None, moment: str) -> Shown:
        """Each pair with the far end shorted, the run switched off, the probes' ohms taken off.

        Pairs differ by their lay; extra ohms of an end fall on them unevenly.
        """
        wire = self.quantities.loops[span]
        names = SETS[self.state.job.spans[span].pairs_carried]
        lay = DC["pair-lay-spread"].band
        spread = (lay.low + (lay.high - lay.low) * self.share("spread", span)) / 100
        lies = [self.share("lay", span, name) - 0.5 for name in names]
        bad = [either_way(self.seed, "uneven", span, name) for name in names]
        extra = self.uneven.get(span, 0.0) * wire.ends
        unevenness = self.share("unevenness", span)
        worst = names[int(self.share("contact", span) * len(names))]
        out = {}
        for name, lie, more in zip(names, lies, bad, strict=True):
            ohms = self._wire_ohms(span) * (1 + spread * (lie - sum(lies) / len(lies)))
            ohms += self.values[wire.ends_key] * wire.ends
            ohms += extra * unevenness * (more - sum(bad) / len(bad))
            ohms += self.contacts.get(span, 0.0) if name == worst else 0.0
            if name in self.lost.get(span, ()):
                ohms = inf
            out[name] = self._read(
                max(ohms, 0.0) + self.leads, "loop_ohms", meter, span, name, moment
            )
        closed = [ohms for ohms in out.values() if ohms < OPEN_OHMS]
        return Shown(closed[0] if closed else OPEN_OHMS, pairs=out)
