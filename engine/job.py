"""The nouns of a job: site, stops, boxes, spans, sheets, meters.

Everything here is frozen and already valid: values are made by ``jobfile`` from a
file, which refuses what does not hold together. Units are in the names; a ``Band``
carries low, expected and high.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from attrs import field, frozen

from engine.band import ONE, ZERO, Band
from engine.defaults import DEFAULTS
from engine.fields import Assumption
from engine.standards.meters import METERS


class Point(NamedTuple):
    """One port of one box: where something can be measured."""

    box: str
    port: str

    @classmethod
    def parse(cls, text: str) -> Point:
        """The point written ``BOX.port``."""
        box, _, port = text.rpartition(".")
        return cls(box, port)

    def __str__(self) -> str:
        return f"{self.box}.{self.port}"


@frozen
class Site:
    """The place of the job and its temperatures."""

    name: str
    ambient_c: Band
    indoor_c: Band | None = None


@frozen
class Stop:
    """A place along the run where the technician stands."""

    id: str
    name: str
    at_m: float
    indoor: bool
    building: str | None = None
    needs: tuple[str, ...] = ()


@frozen
class Earth:
    """An earth bar or electrode, and the ohms it should not exceed."""

    id: str
    stop: str
    target_ohms: float | None = None
    name: str | None = None


@frozen
class Accuracy:
    """A meter's accuracy for one kind: ± (percent of reading + digits x resolution)."""

    percent: float
    digits: float
    resolution: float

    def reach(self, value: float) -> float:
        """Half-width of the meter's limits at ``value``, in the unit of the reading."""
        return self.percent / 100 * abs(value) + self.digits * self.resolution


@frozen
class MeterSheet:
    """What a meter's data sheet says, by kind of reading."""

    id: str
    accuracy: Mapping[str, Accuracy]
    title: str | None = None


@frozen
class Meter:
    """One meter of this job; a record names its serial number and the day it was calibrated
    (ISO/IEC 14763-3, from memory). Either is '' where nobody said."""

    id: str
    sheet: MeterSheet
    name: str
    serial: str = ""
    calibrated: str = ""


@frozen
class PortSheet:
    """What a port wants to meet, and how far it reaches at each speed (Mb/s -> m)."""

    faces: str = "any"
    reach_m: Mapping[int, float] | None = None


@frozen
class BoxSheet:
    """The numbers copied from the data sheet of a box. Keys that a kind lacks stay None."""

    id: str
    kind: str
    title: str | None = None
    note: str | None = None
    ports: Mapping[str, PortSheet] = field(factory=dict)
    speeds_mbps: tuple[int, ...] = ()
    pairs: int = 4
    joins_pairs: bool | None = None
    outdoor: bool = False
    volts: Band | None = None
    ohms: Band = ZERO
    watts_max: float | None = None
    grants: str | None = None
    power: str = "pass-through"
    own_watts: Band = ZERO
    class_: int | None = None
    ohms_per_conductor: Band = ZERO
    cutoff_volts: float = DEFAULTS["cutoff"].value
    on_volts: float = DEFAULTS["turn-on"].value
    out_volts: Band | None = None
    efficiency: Band = ONE
    out_watts_max: float | None = None
    pairs_out: int | None = None
    watts: Band = ZERO
    watts_swing_percent: float = DEFAULTS["swing"].value

    @property
    def facts(self) -> KindFacts:
        """What holds for every box of this kind."""
        return KINDS[self.kind]

    @property
    def regenerates(self) -> bool:
        """Makes its own volts for what is behind it, instead of letting the pairs run on."""
        return self.power == "regenerating" and self.facts.passes_power

    def faces(self, port: str) -> str:
        """What ``port`` wants to meet; without a word in the sheet, what the kind implies."""
        stated = self.ports.get(port)
        if stated is not None:
            return stated.faces
        if self.regenerates:
            return "source" if port == "in" else "endpoint"
        return self.facts.faces.get(port, "any")

    def reach_m(self, port: str, speed: int) -> float | None:
        """How far ``port`` reaches at ``speed`` by its sheet's table; None for ordinary reach.

        A speed that the table leaves out has the ordinary reach.
        """
        stated = self.ports.get(port)
        return stated.reach_m.get(speed) if stated and stated.reach_m else None


@frozen
class CableSheet:
    """The numbers copied from the data sheet of a cable."""

    id: str
    title: str | None = None
    note: str | None = None
    category: str | None = None
    material: str = "copper"
    copper_percent: float | None = None
    awg: int | None = None
    stranded: bool = False
    ohms_per_km: Band | None = None
    alpha_per_k: float | None = None
    outdoor: bool = False
    screened: bool = False
    pairs: int = 4


AnySheet = BoxSheet | CableSheet | MeterSheet


@frozen
class KindFacts:
    """What holds for a kind of box, whatever its sheet says."""

    ports: tuple[str, ...]
    active: bool
    """has a transceiver: links end here"""
    passes_power: bool
    """power that arrives at one port runs on to the others"""
    feeds: str | None = None
    """the port at which power starts"""
    faces: Mapping[str, str] = field(factory=dict)
    """what a port wants to meet unless its sheet says otherwise"""


KINDS: dict[str, KindFacts] = {
    "source": KindFacts(("out",), active=True, passes_power=False, feeds="out"),
    "injector": KindFacts(("in", "out"), active=False, passes_power=False, feeds="out"),
    "repeater": KindFacts(("in", "out"), active=True, passes_power=True),
    "long-span": KindFacts(("in", "out"), active=True, passes_power=True),
    "splitter": KindFacts(
        ("in", "out"),
        active=True,
        passes_power=True,
        faces={"in": "source"},
    ),
    "arrestor": KindFacts(
        ("line", "kit"), active=False, passes_power=True, faces={"line": "exposed"}
    ),
    "joint": KindFacts(("a", "b"), active=False, passes_power=True),
    "endpoint": KindFacts(("in",), active=True, passes_power=False),
}


@frozen
class Bond:
    """The lead from a box to an earth."""

    to: str
    lead_m: float | None = None
    mm2: float | None = None


@frozen
class Box:
    """Anything with ports in the run."""

    id: str
    sheet: BoxSheet
    name: str
    stop: str
    budget: str | None = None
    bond: Bond | None = None
    pairs: int = 4
    joins_pairs: bool | None = None

    @property
    def kind(self) -> str:
        """The kind of box, from its sheet."""
        return self.sheet.kind

    @property
    def joins(self) -> bool:
        """Whether the pair sets are joined in this box: by default in every active one."""
        if self.joins_pairs is not None:
            return self.joins_pairs
        if self.sheet.joins_pairs is not None:
            return self.sheet.joins_pairs
        return self.sheet.facts.active

    @property
    def pairs_carried(self) -> int:
        """Pairs that this box lets through: the fewer of its own word and its sheet's."""
        return min(self.pairs, self.sheet.pairs)


@frozen
class Span:
    """One length of cable between two ports. ``a`` and ``b`` have no order of meaning."""

    id: str
    a: Point
    b: Point
    cable: CableSheet
    length_m: Band
    route: str | None = None
    sun: bool = False
    indoor: bool | None = None
    ambient_c: Band | None = None
    bundle: int | None = None
    end_ohms: Band = ZERO
    pairs: int = 4

    @property
    def pairs_carried(self) -> int:
        """Pairs that run in this span: the fewer of its own word and its cable's."""
        return min(self.pairs, self.cable.pairs)

    def far(self, end: Point) -> Point:
        """The other end."""
        return self.b if end == self.a else self.a


@frozen
class Budget:
    """Watts that several ports of one supply share."""

    id: str
    watts: float
    other_watts: float = 0.0


@frozen
class Job:
    """One piece of work at one site: the plan as it stands."""

    id: str
    title: str
    site: Site
    stops: Mapping[str, Stop]
    earths: Mapping[str, Earth]
    meters: Mapping[str, Meter]
    budgets: Mapping[str, Budget]
    boxes: Mapping[str, Box]
    spans: Mapping[str, Span]
    sheets: Mapping[str, AnySheet]
    walks: tuple[tuple[str, str, float], ...] = ()
    assumed: tuple[Assumption, ...] = field(default=(), eq=False)
    plugged: Mapping[Point, Span] = field(init=False, eq=False, repr=False)
    """which span is plugged into which port"""

    @plugged.default
    def _index_of_ends(self) -> Mapping[Point, Span]:
        return {end: span for span in self.spans.values() for end in (span.a, span.b)}

    def span_at(self, point: Point) -> Span | None:
        """The span plugged into a port."""
        return self.plugged.get(point)

    def ports(self, box: Box) -> tuple[str, ...]:
        """The ports of a box: those of its kind and those of its sheet or its spans (outs)."""
        if box.kind != "splitter":
            return box.sheet.facts.ports
        named = [*box.sheet.ports, *(p.port for p in self.plugged if p.box == box.id)]
        outs = sorted({port for port in named if port.startswith("out")}, key=_port_order)
        return ("in", *outs)

    def named(self, at: str) -> str:
        """A point, span, earth or stop as the plan spells it: ids are compared without case."""
        box, dot, port = at.rpartition(".")
        places = (*self.boxes, *self.spans, *self.earths, *self.stops)
        for place in places:
            if place.lower() == (box if dot else at).lower():
                return f"{place}.{port}" if dot else place
        return at

    def is_exposed(self, span: Span) -> bool:
        """Runs outdoors or between buildings, so that a surge can get at it (common practice)."""
        if span.indoor is not None:
            return not span.indoor
        if span.route is not None:
            return span.route != "indoor"
        ends = [self.stops[self.boxes[end.box].stop] for end in (span.a, span.b)]
        if ends[0].id == ends[1].id:
            return False
        named = {stop.building for stop in ends if stop.building is not None}
        return len(named) == 2 or not all(stop.indoor for stop in ends)

    def accuracy(self, meter: str | None, kind: str) -> Accuracy | None:
        """The accuracy of a meter (its id or its sheet's) for one kind of reading.

        A reading whose meter nobody named is taken as a plain one's: a value of unknown
        accuracy must not be held to be exact.
        """
        known = self.meters.get(meter) if meter is not None else None
        named = known.sheet if known else self.sheets.get(meter or "")
        for sheet in (named, self.sheets.get(ANY_METER)):
            if isinstance(sheet, MeterSheet) and kind in sheet.accuracy:
                return sheet.accuracy[kind]
        return BY_EYE.get(kind)


ANY_METER = "generic.meter"
"""the starter sheet that stands in for a meter nobody named"""

BY_EYE = {"metres": Accuracy(METERS["jacket-marks"].value, 1, 1)}
"""what needs no meter: lengths are read off the jacket, to a metre"""


def _port_order(port: str) -> tuple[int, str]:
    digits = port.lstrip("abcdefghijklmnopqrstuvwxyz")
    return (int(digits) if digits else 0, port)
