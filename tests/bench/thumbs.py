"""Rules of thumb for finding a fault, to hold the diagnosis against: what a person might do.

Each goes from the current readings to one cause and its place. None knows of what readings have
in common (a meter's gain, a source a little high, a cable a little thin). All thresholds are
ours, chosen by what meters and cables may be out; after a first look two were eased in favour of
these rules (a figure that is out alone is misread; ohms count only beyond a contact's volts).

- *largest deviation*: the reading farthest from the plan, in deviations of its own band, names
  what is in front of it; if it is out alone it is misread.
- *span by span*: the ohms of each span from volts and amps, held against what they should be;
  before it what is dead, behind it watts and lights.
- *one by one*: each cause at each place on a grid of sizes, loads and source volts, the network
  solved for each; the least sum of squares wins, readings taken as independent.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from math import hypot, inf, log, sqrt

from attrs import evolve
from sick_sites import Named, plan

from engine.circuit import draw
from engine.faults.sizes import CHANCES
from engine.job import Point, Span
from engine.judge import Judgement
from engine.links import Link
from engine.network import Tree
from engine.practice import CAUSES, Site, made_up
from engine.practice.changes import Drawn
from engine.practice.draw import on_triangle
from engine.practice.site import SOUND
from engine.verdict import Verdict

FAR = 2.0
"""deviations from which on the first rule says that something is wrong"""
MORE_OHMS = 1.15
TWICE = 1.7
"""a span has too many ohms from the one on, and about double from the other"""
MORE_VOLTS = 0.15
"""and by so many volts at least: two contacts, and the last digits [V]"""
RISES = 0.5
"""volts do not rise along a run by more [V]"""
DEAD = 1.0
"""less is nothing [V]"""
SEARCHING = 31.0
KINDS = ("volts", "milliamps", "watts")
NONE = ("none", "")


@dataclass(frozen=True)
class Read:
    """The current readings by place and kind."""

    judgement: Judgement
    by: Mapping[tuple[str, str], Verdict]

    @classmethod
    def of(cls, judgement: Judgement) -> Read:
        """All that is current; the first one where a place was read more than once."""
        by: dict[tuple[str, str], Verdict] = {}
        for verdict in judgement.verdicts:
            if verdict.current:
                by.setdefault((verdict.reading.at, verdict.reading.kind), verdict)
        return cls(judgement, by)

    def value(self, at: Point, kind: str) -> float | None:
        """What was read there."""
        verdict = self.by.get((str(at), kind))
        return abs(verdict.reading.figure) if verdict else None

    def amps(self, at: Point) -> float | None:
        """What was read; without it what is expected, as the source's watts are."""
        read = self.value(at, "milliamps")
        if read is not None:
            return read / 1000
        points = self.judgement.prediction.points
        feed = points[at].feed
        watts = self.value(feed, "watts") if feed in points else None
        usual = points[at].amps.expected
        if watts is None or usual is None or not points[feed].watts.expected:
            return usual
        return usual * watts / points[feed].watts.expected

    @property
    def trees(self) -> tuple[Tree, ...]:
        """Where power flows."""
        return self.judgement.state.network.trees

    def slow(self) -> list[Link]:
        """Links short of their full speed."""
        out = []
        for link in self.judgement.prediction.links:
            speeds = [self.value(end, "mbps") for end in (link.start, link.end)]
            if any(speed is not None and speed < (link.expected_mbps or 0) for speed in speeds):
                out.append(link)
        return out


def lights(read: Read) -> Named:
    """What is thought of lights alone: a box if both sides of it are dark, else a plug."""
    slow = read.slow()
    for one in slow:
        for other in slow:
            if one.end.box == other.start.box:
                return "box.reversed", one.end.box
    return ("contact.high", slow[0].through[0]) if slow else NONE


# ---------------------------------------------------------------- largest deviation


def largest_deviation(judgement: Judgement, plan_name: str) -> Named:
    """The reading farthest from its band names what is in front of it."""
    read = Read.of(judgement)
    points = judgement.prediction.points
    out: list[tuple[float, Verdict]] = []
    for (at, kind), verdict in read.by.items():
        if kind not in KINDS:
            continue
        band = getattr(points[Point.parse(at)], {"milliamps": "amps"}.get(kind, kind))
        if band.expected is None:
            continue
        by = 1000 if kind == "milliamps" else 1
        low = band.low if band.low is not None else 0.0
        sd = hypot(by * (band.high - low) / sqrt(12), verdict.reach / sqrt(3))
        out.append(((abs(verdict.reading.figure) - by * band.expected) / sd, verdict))
    far = sorted(((z, v) for z, v in out if abs(z) > FAR), key=lambda one: -abs(one[0]))
    if not far:
        return lights(read)
    if len(far) == 1 and far[0][1].reading.kind == "volts":
        return "reading.typed", far[0][1].id
    return _in_front(judgement, far[0][1], far[0][0])


def _in_front(judgement: Judgement, worst: Verdict, z: float) -> Named:
    point = Point.parse(worst.reading.at)
    tree, node = next(
        (t, n) for t in judgement.state.network.trees for n in t.nodes if n.point == point
    )
    nothing = abs(worst.reading.figure) < DEAD
    end = next(b.id for b in judgement.state.job.boxes.values() if b.kind == "endpoint")
    if worst.reading.kind != "volts":
        return ("load.heavy" if z > 0 else "load.off"), end
    if z > 0:
        return "load.off", end
    if node is tree.nodes[0]:
        return ("port.off" if nothing else "source.low"), point.box
    span = node.via if isinstance(node.via, Span) else tree.nodes[node.parent].via
    if isinstance(node.via, Span) or not nothing:
        return ("span.open" if nothing else "span.high"), getattr(span, "id", "")
    return "box.no-pass", point.box


# ---------------------------------------------------------------- span by span


def span_by_span(judgement: Judgement, plan_name: str) -> Named:
    """What a careful person with a calculator does."""
    read = Read.of(judgement)
    for rule in (_feeds, _misread, _nothing_behind, _ohms, _watts):
        named = rule(read)
        if named is not None:
            return named
    return lights(read)


def _feeds(read: Read) -> Named | None:
    for tree in read.trees:
        verdict = read.by.get((str(tree.feed), "volts"))
        if verdict is None or tree.box.sheet.regenerates:
            continue
        behind = [read.value(node.point, "volts") or 0.0 for node in tree.nodes[1:]]
        if verdict.reading.unsteady:
            return "port.trip", tree.box.id
        if verdict.reading.figure < SEARCHING and max(behind, default=0.0) < SEARCHING:
            some = verdict.reading.figure > DEAD
            return ("port.refused" if some else "port.off"), tree.box.id
    return None


def _misread(read: Read) -> Named | None:
    """A figure without which volts fall along the run, and with which they do not."""
    for tree in read.trees:
        way = [(n.point, read.value(n.point, "volts")) for n in tree.nodes]
        way = [(point, volts) for point, volts in way if volts is not None]
        if _falls([volts for _, volts in way]):
            continue
        for i, (point, _) in enumerate(way):
            if _falls([volts for j, (_, volts) in enumerate(way) if j != i]):
                return "reading.typed", read.by[str(point), "volts"].id
    return None


def _falls(volts: list[float]) -> bool:
    return all(b <= a + RISES for a, b in pairwise(volts))


def _nothing_behind(read: Read) -> Named | None:
    for tree in read.trees:
        for node in tree.nodes[1:]:
            before = read.value(tree.nodes[node.parent].point, "volts")
            here = read.by.get((str(node.point), "volts"))
            if before is None or here is None:
                continue
            if here.reading.unsteady:
                return "box.restart", node.point.box
            if here.reading.figure < DEAD < before:
                if isinstance(node.via, Span):
                    return "span.open", node.via.id
                drawn = read.amps(tree.nodes[node.parent].point) or 0.0
                return ("box.dead" if drawn < 0.01 else "box.no-pass"), node.point.box
    return None


def _ohms(read: Read) -> Named | None:
    """The span with the most ohms beyond what it should have."""
    most, worst = MORE_OHMS, None
    spans = read.judgement.prediction.spans
    for tree in read.trees:
        for node in tree.nodes[1:]:
            volts = [read.value(p.point, "volts") for p in (tree.nodes[node.parent], node)]
            amps = read.amps(node.point)
            if not isinstance(node.via, Span) or None in volts or not amps:
                continue
            usual = spans[node.via.id].loop_ohms.expected / node.loop_pairs
            times = (volts[0] - volts[1]) / amps / usual
            if times > most and (times - 1) * usual * amps > MORE_VOLTS:
                most, worst = times, node.via.id
    if worst is None:
        return None
    if any(worst in link.through for link in read.slow()):
        return ("pairs.lost" if most > TWICE else "joint.high"), worst
    return "span.high", worst


def _watts(read: Read) -> Named | None:
    points = read.judgement.prediction.points
    for tree in read.trees:
        low = points[tree.feed].volts.low
        here = read.by.get((str(tree.feed), "volts"))
        weak = here and low and here.reading.figure < low - here.reach
        if weak and not tree.box.sheet.regenerates:
            return "source.low", tree.box.id
        for place, node in enumerate(tree.nodes):
            volts, amps = read.value(node.point, "volts"), read.amps(node.point)
            if node.load is None or not volts or amps is None:
                continue
            behind = [
                read.amps(one.point) or 0.0
                for one in tree.nodes
                if one.parent == place and one is not node
            ]
            watts = volts * (amps - sum(behind))
            band = draw(node.load)
            end = node.load.kind == "endpoint"
            if watts > 1.1 * band.high:
                return ("load.heavy" if end else "box.heavy"), node.load.id
            if end and watts < 0.5 * band.low:
                return "load.off", node.load.id
    return None


# ---------------------------------------------------------------- one by one

GRID = (0.1, 0.3, 0.5, 0.7, 0.9)
"""shares of the triangle of sizes below which the grid's points lie"""
LOADS = (0.0, 0.25, 0.5, 0.75, 1.0)
FEEDS = (-0.7, 0.0, 0.7)
"""source volts, of their limits"""
OWN = {"volts": 0.04, "milliamps": 2.0, "watts": 0.3}
"""scatter of each kind beside the meter's, in its unit"""
OF_DROP = 0.05
OF_FLOW = 0.06
"""and of the volts that are lost on the way, and of a flow: cables and a load that is no constant"""
FEW_READINGS = 3


@dataclass(frozen=True)
class Signature:
    """What one cause of one size would show, and its penalty (twice the log of its odds)."""

    named: Named
    penalty: float
    figures: Mapping[tuple[str, str], tuple[float, float]]
    """by point and kind what is shown, and its variance beside the meter's"""
    full: Mapping[Point, float]
    """how readily each link shows its full speed"""


@cache
def signatures(name: str) -> tuple[Signature, ...]:
    """All causes on the grid, each solved in full, everything else as expected."""
    file, _ = plan(name, 10.0)
    site = evolve(made_up(file, cause="none"), swings={})
    values = {key: unknown.mean for key, unknown in site.quantities.unknowns.items()}
    sites = []
    for high in LOADS:
        for off in FEEDS:
            changed = dict(values)
            for box in site.job.boxes.values():
                if box.kind == "endpoint":
                    band = draw(box)
                    changed["watts", box.id] = band.low + high * (band.high - band.low)
                if box.kind == "source":
                    changed["volts", box.id] += off
            sites.append(evolve(site, values=changed))
    out = []
    for one in sites:
        out.append(_signature(one, NONE, 0.0))
        for row in CAUSES.values():
            if row.id.startswith("reading.") or not row.rate:
                continue
            kind = max(row.kinds, key=lambda pair: pair[1])[0] if row.kinds else ""
            size = row.size_of(kind)
            for where in row.places(one):
                for share in GRID if size else (0.5,):
                    much = on_triangle(size.band, share) if size else 0.0
                    struck = row.act(one, Drawn(row.id, where, kind, much))
                    penalty = -2 * log(row.rate / (len(GRID) if size else 1))
                    out.append(_signature(struck, (row.id, where), penalty))
    return tuple(out)


def _signature(site: Site, named: Named, penalty: float) -> Signature:
    now = site.happening()
    figures = {}
    for point in site.network.where:
        flow = now.flow(point, 0.5)
        shown = (flow.volts, 1000 * flow.amps, flow.watts)
        figures |= {(str(point), kind): x for kind, x in zip(KINDS, shown, strict=True)}
    feed = max(figure for (_, kind), figure in figures.items() if kind == "volts")
    spread = {key: (usual, _variance(key[1], usual, feed)) for key, usual in figures.items()}
    full = {}
    for link in site.planned_links:
        things = {str(link.start), str(link.end), *link.through}
        dark = things & site.data.dead or {link.start.box, link.end.box} & now.asleep
        light = site.data.lights.get(str(link.start), SOUND)
        full[link.start] = CHANCES["light dark"].value if dark else light.full
    return Signature(named, penalty, spread, full)


def _variance(kind: str, usual: float, feed: float) -> float:
    of_drop = OF_DROP * (feed - usual) if usual > DEAD else 0.0
    by = of_drop if kind == "volts" else OF_FLOW * usual
    return OWN[kind] ** 2 + by**2


def one_by_one(judgement: Judgement, plan_name: str) -> Named:
    """Each cause fitted by itself, readings taken as independent."""
    read = Read.of(judgement)
    slow = {link.start for link in read.slow()}
    lit = any(kind == "mbps" for _, kind in read.by)
    shown = [
        (key, abs(verdict.reading.figure), verdict.reach**2 / 3, verdict.id)
        for key, verdict in read.by.items()
        if key[1] in KINDS
    ]
    best, named = inf, NONE
    for one in signatures(plan_name):
        parts = []
        for key, figure, variance, ident in shown:
            usual, own = one.figures[key]
            parts.append(((figure - usual) ** 2 / (own + variance), ident))
        total = one.penalty + sum(z2 for z2, _ in parts)
        if lit:
            chances = (1 - p if start in slow else p for start, p in one.full.items())
            total -= 2 * sum(log(max(p, 1e-4)) for p in chances)
        if total < best:
            best, named = total, one.named
        if one.named == NONE and len(parts) > FEW_READINGS:
            largest, ident = max(parts)
            left = total - largest - 2 * log(CAUSES["reading.typed"].rate) + 2 * log(60)
            if left < best:
                best, named = left, ("reading.typed", ident)
    return named


THUMBS = {
    "largest deviation": largest_deviation,
    "span by span": span_by_span,
    "one by one": one_by_one,
}
