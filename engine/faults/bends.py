"""What a fault changes: quantities, wiring, what a link's lights show. A value, joined at will.

``Bend`` says how a site with the fault differs from one built to plan; the figures that follow
are worked out elsewhere, by the same physics as for the healthy site.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from math import sqrt

from attrs import field, frozen

from engine import kinds_of_span
from engine.circuit import draw, feed_volts
from engine.faults.places import Ground, ends_of, fed, powered
from engine.faults.sizes import LIGHTS, SIZES
from engine.happening import Trouble
from engine.job import Point
from engine.unknowns import RECTANGULAR, Key, Unknown, moments

OUT = "out"
"""of a link: no light at all"""


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
    link runs through, each with the chance that full speed is seen all the same; ``dark``:
    things that let no light through. ``frames``: spans on which frames are damaged.
    ``uneven``: spans whose pairs differ by more than their lay. ``lead``: loop ohms that a
    meter shows too many. ``asleep``: endpoints that were off, whatever was written down.
    """

    quantities: Mapping[Key, Change] = field(factory=dict)
    trouble: Trouble = field(factory=Trouble)
    halved: frozenset[str] = frozenset()
    lights: Mapping[str, float] = field(factory=dict)
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
        return self.trouble == Trouble()

    @property
    def key(self) -> tuple:
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
    return moments(SIZES[name].band)


def one(bend: Bend) -> Bends:
    """A fault that is always the same."""
    return ((1.0, bend),)


# ---------------------------------------------------------------- quantities


HOT_SHARE = kinds_of_span.RATES[kinds_of_span.HOT].value / sum(
    row.value for row in kinds_of_span.RATES.values()
)
"""of spans that resist too much along their whole length"""


def span_high(ground: Ground, where: str) -> Bends:
    """More ohms along the whole length: other wire or more of it, or, by less, a hot one."""
    shares = {"span.high": 1 - HOT_SHARE, "span.high hot": HOT_SHARE}
    return tuple(
        (share, Bend({("ohms", where): Change(times=size(name))})) for name, share in shares.items()
    )


def source_low(ground: Ground, where: str) -> Bends:
    low = feed_volts(ground.job.boxes[where].sheet).low
    return one(Bend({("volts", where): Change(times=size("source.low"), instead=low)}))


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
            lights={where: LIGHTS["light joint.high"].value},
            frames=frozenset({where}),
            uneven={where: "joint.high"},
        )
    )


# ---------------------------------------------------------------- pairs and lights


def contact_high(ground: Ground, where: str) -> Bends:
    """One contact of many: too little for volts to show."""
    return one(
        Bend(
            lights={where: LIGHTS["light contact.high"].value},
            frames=frozenset({where}),
            uneven={where: "contact.high"},
        )
    )


def doubt(light: str, *, frames: bool = True, lost: bool = False) -> Maker:
    """Data suffers, power does not."""

    def maker(ground: Ground, where: str) -> Bends:
        return one(
            Bend(
                lights={where: LIGHTS[f"light {light}"].value},
                frames=frozenset({where} if frames else ()),
                lost={where: "some"} if lost else {},
            )
        )

    return maker


def noise(ground: Ground, where: str) -> Bends:
    return one(Bend(frames=frozenset({where})))


def pairs_lost(ground: Ground, where: str) -> Bends:
    return one(
        Bend(
            halved=frozenset({where}),
            lights={where: LIGHTS["light pairs.lost"].value},
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
    return one(Bend(trouble=Trouble(shorted=frozenset({point})), dark=frozenset({where})))


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
    light = LIGHTS["light pairs.lost"].value
    return ((0.5, whole), (0.5, Bend(halved=frozenset({where}), lights={where: light})))


def earth(ground: Ground, where: str) -> Bends:
    return one(Bend(earths=frozenset({where})))


# ---------------------------------------------------------------- between meter and log


def asleep(ground: Ground, where: str) -> Bends:
    return one(Bend(asleep=frozenset({where})))


def lead(ground: Ground, where: str) -> Bends:
    return one(Bend(lead=size("reading.lead")))


def no_short(ground: Ground, where: str) -> Bends:
    return one(Bend(lost={where: "all"}))
