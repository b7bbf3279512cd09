"""What a fault changes: quantities, wiring, what a link's lights show. A value, joined at will.

``Bend`` says how a site with the fault differs from one built to plan; the figures that follow
are worked out elsewhere, by the same physics as for the healthy site.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from math import inf, sqrt

from attrs import evolve, field, frozen

from engine.band import Band
from engine.circuit import conductor_ohms, draw, feed_volts, loop_factor
from engine.faults.places import Ground, ends_of, fed, powered
from engine.faults.sizes import SIZES, Light, light
from engine.happening import Trouble
from engine.job import Point
from engine.kinds_of_span import CLAD, HOT, LONGER, RATES, THIN
from engine.pairs import contact_ohms
from engine.unknowns import RECTANGULAR, Key, Unknown, triangle

CONTACT = "contact"
"""what one bad wire of a span adds to the ohms for power, none of it to the other pairs"""
WIRE_APART = 0.1
"""share by which a wire's ohms may differ from its plan's (our choice)"""


NO_TROUBLE = Trouble()


@frozen
class Change:
    """How what is known of one quantity beforehand changes.

    Its mean is multiplied by ``times`` and ``plus`` is added, each with its own deviation;
    ``instead`` forgets the plan's own figure and takes ``times`` of that many.
    """

    times: Unknown = Unknown(1.0)
    plus: Unknown = Unknown(0.0)
    instead: float | None = None

    def of(self, planned: Unknown) -> Unknown:
        """The quantity with the fault in it."""
        mean, sd = (planned.mean, planned.sd) if self.instead is None else (self.instead, 0.0)
        return Unknown(
            mean * self.times.mean + self.plus.mean,
            sqrt((mean * self.times.sd) ** 2 + (sd * self.times.mean) ** 2 + self.plus.sd**2),
        )


@frozen
class Bend:
    """The difference that a fault makes. Empty: a site as planned.

    ``halved``: spans and boxes in which one set of pairs leads nowhere. ``lights``: things a
    link runs through, each with what it shows; ``dark``:
    things that let no light through. ``frames``: spans on which frames are damaged.
    ``uneven``: spans whose pairs differ by more than their lay. ``lead``: loop ohms that a
    meter shows too many. ``asleep``: endpoints that were off, whatever was written down.
    """

    quantities: Mapping[Key, Change] = field(factory=dict)
    trouble: Trouble = field(factory=Trouble)
    halved: frozenset[str] = frozenset()
    lights: Mapping[str, Light] = field(factory=dict)
    dark: frozenset[str] = frozenset()
    frames: frozenset[str] = frozenset()
    uneven: Mapping[str, str] = field(factory=dict)
    """span, and the cause that makes its pairs differ"""
    lost: Mapping[str, str] = field(factory=dict)
    """span, and how many of its pairs do not close: ``some`` or ``all``"""
    lead: Unknown | None = None
    asleep: frozenset[str] = frozenset()
    earths: frozenset[str] = frozenset()
    """earths with more ohms than they may have"""

    @property
    def wired_as_planned(self) -> bool:
        """Every wire leads where it should, every feed gives, every box runs."""
        return self.trouble == NO_TROUBLE

    @property
    def is_one_quantity(self) -> bool:
        """One quantity is another, and nothing else that a figure hangs on."""
        rest = (self.halved, self.lead, self.asleep)
        return len(self.quantities) == 1 and self.wired_as_planned and not any(rest)

    @property
    def is_a_lost_set(self) -> bool:
        """One set of pairs leads nowhere, and nothing else that a figure hangs on."""
        rest = (self.quantities, self.lead, self.asleep)
        return bool(self.halved) and self.wired_as_planned and not any(rest)

    @property
    def key(self) -> Hashable:
        """The same for bends with the same figures; they differ in lights at most."""
        numbers = tuple(sorted(self.quantities.items(), key=lambda one: one[0]))
        return numbers, self.trouble, self.halved, self.lead, self.asleep

    def and_(self, other: Bend) -> Bend:
        """Both at once."""
        mine, yours = self.trouble, other.trouble
        return Bend(
            {**self.quantities, **other.quantities},
            Trouble(
                mine.broken | yours.broken,
                mine.cut | yours.cut,
                mine.refusing | yours.refusing,
                mine.tripping | yours.tripping,
                mine.restless | yours.restless,
                mine.idle | yours.idle,
                mine.shorted | yours.shorted,
            ),
            self.halved | other.halved,
            {**self.lights, **other.lights},
            self.dark | other.dark,
            self.frames | other.frames,
            {**self.uneven, **other.uneven},
            {**self.lost, **other.lost},
            self.lead or other.lead,
            self.asleep | other.asleep,
            self.earths | other.earths,
        )


AS_PLANNED = Bend()
Bends = tuple[tuple[float, Bend], ...]
"""what a fault may be, each with its share"""
Maker = Callable[[Ground, str], Bends]


def size(name: str) -> Unknown:
    """How large a fault is, as mean and deviation of its triangle."""
    return triangle(SIZES[name].band)


def one(bend: Bend) -> Bends:
    """A fault that is always the same."""
    return ((1.0, bend),)


# ---------------------------------------------------------------- quantities


KINDS = ((CLAD, "ohms", ""), (THIN, "ohms", ""), (LONGER, "length", ""), (HOT, "ohms", " hot"))
"""what a span that resists along its whole length may be: what of it is larger, and by which size"""


def span_high(ground: Ground, where: str) -> Bends:
    """More ohms along the whole length: other wire, more of it, or, by less, a hot one."""
    often: dict[tuple[str, str], float] = {}
    for kind, quantity, sort in KINDS:
        way = (quantity, f"span.high{sort}")
        often[way] = often.get(way, 0.0) + RATES[kind].value
    return tuple(
        (rate / sum(often.values()), Bend({(quantity, where): Change(times=size(name))}))
        for (quantity, name), rate in often.items()
    )


def source_low(ground: Ground, where: str) -> Bends:
    low = feed_volts(ground.job.boxes[where].sheet).low
    return one(Bend({("volts", where): Change(times=size("source.low"), instead=low)}))


def fed_twice(ground: Ground, where: str) -> Bends:
    """Another supply holds the run above the setting of its own."""
    high = feed_volts(ground.job.boxes[where].sheet).high
    return one(Bend({("volts", where): Change(plus=size("feed.twice"), instead=high)}))


def source_soft(ground: Ground, where: str) -> Bends:
    return one(Bend({("droop", where): Change(plus=size("source.soft"))}))


def watts(corner: str, name: str, *, dark: bool = False) -> Maker:
    """Watts of a box, so many times what its sheet says at one corner."""

    def maker(ground: Ground, where: str) -> Bends:
        planned = getattr(draw(ground.job.boxes[where]), corner)
        change = Change(times=size(name), instead=planned)
        off = ends_of(ground, where) if dark else frozenset()
        return one(Bend({("watts", where): change}, dark=off))

    return maker


def load_varies(ground: Ground, where: str) -> Bends:
    swing = SIZES["load.varies"].value / 100 / RECTANGULAR
    change = Change(plus=Unknown(0.0, swing), instead=0.0)
    return one(Bend({("swing", where): change}))


def joint_high(ground: Ground, where: str) -> Bends:
    return one(
        Bend(
            {("ends", where): Change(plus=size("joint.high"))},
            lights={where: light("joint.high")},
            frames=frozenset({where}),
            uneven={where: "joint.high"},
        )
    )


# ---------------------------------------------------------------- pairs and lights


def contact_high(ground: Ground, where: str) -> Bends:
    """One contact of many: hardly enough for volts to show."""
    sizes = SIZES["contact.high"].band
    more = (one_contact(ground, where, ohms) for ohms in (sizes.low, sizes.expected, sizes.high))
    return one(
        Bend(
            {(CONTACT, where): Change(plus=triangle(Band(*more)))},
            lights={where: light("contact.high")},
            frames=frozenset({where}),
            uneven={where: "contact.high"},
        )
    )


def pair_open(ground: Ground, where: str) -> Bends:
    """One wire leads nowhere: no data over its pair, a little less copper for power."""
    more = one_contact(ground, where, inf)
    return one(
        Bend(
            {(CONTACT, where): Change(plus=Unknown(more, WIRE_APART * more))},
            lights={where: light("link.pair-open")},
            lost={where: "some"},
        )
    )


def one_contact(ground: Ground, where: str, ohms: float) -> float:
    """What so many ohms in one wire of a span add to its loop; 0 where it bears no power. [ohm]"""
    node, span = ground.network.node(powered(ground).get(where)), ground.job.spans[where]
    if node is None:
        return 0.0
    per_metre = conductor_ohms(span.cable).expected / 1000
    loop = per_metre * span.length_m.expected * loop_factor(node.loop_pairs)
    return contact_ohms(loop, node.loop_pairs, ohms)


def doubt(cause: str) -> Maker:
    """Data suffers, power does not."""
    return lambda ground, where: one(Bend(lights={where: light(cause)}, frames=frozenset({where})))


def too_long(ground: Ground, where: str) -> Bends:
    """More cable than the plan has: power hardly minds, light does."""
    length = Change(times=size("link.too-long"))
    return tuple(
        (share, evolve(bend, quantities={("length", where): length}))
        for share, bend in doubt("link.too-long")(ground, where)
    )


def noise(ground: Ground, where: str) -> Bends:
    return one(Bend(frames=frozenset({where})))


def pairs_lost(ground: Ground, where: str) -> Bends:
    return one(
        Bend(
            halved=frozenset({where}),
            lights={where: light("pairs.lost")},
            lost={where: "some"},
        )
    )


def dead_link(ground: Ground, where: str) -> Bends:
    return one(Bend(dark=frozenset({where})))


def slow_end(ground: Ground, where: str) -> Bends:
    return one(Bend(dark=ends_of(ground, where)))


# ---------------------------------------------------------------- wiring


def feed_off(ground: Ground, where: str) -> Bends:
    return one(Bend(trouble=Trouble(cut=frozenset({fed(ground)[where]}))))


def refused(ground: Ground, where: str) -> Bends:
    return one(Bend(trouble=Trouble(refusing=frozenset({fed(ground)[where]}))))


def trips(ground: Ground, where: str) -> Bends:
    return one(Bend(trouble=Trouble(tripping=frozenset({fed(ground)[where]}))))


def shorted(ground: Ground, where: str) -> Bends:
    """What feeds the place gives nothing: its port or supply folds back at once."""
    point = powered(ground).get(where) or ground.network.upstream_port(where)
    shorts = frozenset({point} if point else ())
    return one(Bend(trouble=Trouble(shorted=shorts), dark=frozenset({where})))


def span_open(ground: Ground, where: str) -> Bends:
    broken = frozenset({powered(ground)[where]})
    return one(Bend(trouble=Trouble(broken=broken), dark=frozenset({where}), lost={where: "all"}))


def outs(ground: Ground, box: str) -> frozenset[Point]:
    """The points of a box behind the one that power reaches first."""
    entry = ground.network.upstream_port(box)
    return frozenset(p for p in ground.network.where if p.box == box and p != entry)


def no_way_on(ground: Ground, where: str) -> Bends:
    return one(Bend(trouble=Trouble(broken=outs(ground, where))))


def box_dead(ground: Ground, where: str) -> Bends:
    return one(Bend(trouble=Trouble(broken=outs(ground, where), idle=frozenset({where}))))


def box_reversed(ground: Ground, where: str) -> Bends:
    """Power does not mind which way a plain box is turned; its transceivers do."""
    if ground.job.boxes[where].sheet.regenerates:
        return box_dead(ground, where)
    return one(Bend(dark=ends_of(ground, where)))


def box_restarts(ground: Ground, where: str) -> Bends:
    return one(Bend(trouble=Trouble(restless=frozenset({where}))))


def arrestor_open(ground: Ground, where: str) -> Bends:
    whole = Bend(trouble=Trouble(broken=outs(ground, where)), dark=frozenset({where}))
    node = ground.network.node(ground.network.upstream_port(where))
    if node is None or node.loop_pairs < 4:
        return one(whole)
    half = Bend(halved=frozenset({where}), lights={where: light("pairs.lost")})
    return ((0.5, whole), (0.5, half))


def earth(ground: Ground, where: str) -> Bends:
    return one(Bend(earths=frozenset({where})))


# ---------------------------------------------------------------- between meter and log


def asleep(ground: Ground, where: str) -> Bends:
    return one(Bend(asleep=frozenset({where})))


def lead(ground: Ground, where: str) -> Bends:
    return one(Bend(lead=size("reading.lead")))


def no_short(ground: Ground, where: str) -> Bends:
    return one(Bend(lost={where: "all"}))
