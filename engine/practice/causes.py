"""What can be wrong on a made-up site: one table, a row a cause.

A row says where it can be, how often it is there (per place, on a first visit), how large it is
and how it changes the site. Causes as in the job's own words; those that leave no trace in
volts, amps and lights are there to be asked for, never drawn.
"""

from __future__ import annotations

from attrs import evolve, frozen

from engine import kinds_of_span as kinds
from engine.faults import places as at
from engine.faults.places import Places
from engine.faults.sizes import SIZES, rate
from engine.practice import changes as how
from engine.practice.changes import Act, Drawn
from engine.practice.draw import on_triangle, weighted
from engine.practice.site import Site, Truth
from engine.standards import Sourced

AT_FIRST = ("volts", "milliamps", "watts", "mbps")
"""what a careful technician reads on the way out"""
LOOPS = ("loop_ohms",)


@frozen
class Cause:
    """One row. ``drawn`` says whether it may be hidden unasked."""

    id: str
    places: Places
    act: Act
    size: str = ""
    """its row of ``SIZES``; none where there is no more or less of it"""
    kinds: tuple[tuple[str, float], ...] = ()
    """what it may be of, and how often"""
    shows: tuple[str, ...] = AT_FIRST
    """kinds of reading in which there is a trace of it"""
    drawn: bool = True

    @property
    def rate(self) -> float:
        """How often it is there, per place, on a first visit; 0 for what is not drawn."""
        return rate(self.id) if self.drawn else 0.0

    @property
    def at_first(self) -> bool:
        """Whether what is read on the way out can show it."""
        return bool(set(self.shows) & set(AT_FIRST))

    def size_of(self, kind: str) -> Sourced | None:
        """How large it is, by its kind where that matters."""
        return SIZES.get(f"{self.size} {kind}") or SIZES.get(self.size)

    def strike(self, site: Site, where: str) -> Site:
        """The site with this cause in it, its size drawn."""
        kind = weighted(self.kinds, site.share("kind")) if self.kinds else ""
        row = self.size_of(kind)
        size = on_triangle(row.band, site.share("size")) if row else 0.0
        end = ""
        if where in site.job.spans and self.id in AT_AN_END:
            span = site.job.spans[where]
            end = str(span.a if site.share("end") < 0.5 else span.b)
        truth = Truth(self.id, where, kind, size if row else None, row.unit if row else "", end)
        return self.act(evolve(site, truth=truth), Drawn(self.id, where, kind, size))


AT_AN_END = frozenset({"joint.high", "contact.high"})
"""causes that sit in one end of a span; readings cannot say in which"""
_KINDS = tuple(
    (name, kinds.RATES[kind].value)
    for name, kind in (
        ("clad", kinds.CLAD),
        ("thin", kinds.THIN),
        ("long", kinds.LONGER),
        ("hot", kinds.HOT),
    )
)

CAUSES: dict[str, Cause] = {
    row.id: row
    for row in (
        Cause("source.dead", at.feeds, how.feed_off),
        Cause("source.low", at.feeds, how.source_low, "source.low"),
        Cause("feed.twice", at.feeds, how.fed_twice, "feed.twice"),
        Cause("source.soft", at.feeds, how.source_soft, "source.soft"),
        Cause("port.off", at.feeds, how.feed_off),
        Cause("port.refused", at.probing, how.refused),
        Cause("port.trip", at.feeds, how.trips),
        Cause("budget.shed", at.sharing, how.feed_off),
        Cause("span.high", at.spans, how.span_high, "span.high", _KINDS),
        Cause("span.open", at.spans, how.span_open),
        Cause("span.short", at.spans, how.shorted),
        Cause("joint.high", at.spans, how.joint_high, "joint.high"),
        Cause(
            "contact.high",
            at.spans,
            how.contact_high,
            "contact.high",
            shows=("mbps", "loop_ohms", "unbalance_ohms", "error_count"),
        ),
        Cause("pairs.lost", at.whole, how.pairs_lost),
        Cause("pair.split", at.linked_spans, how.link_bad),
        Cause("pair.crossed", at.linked_spans, how.link_bad),
        Cause("load.heavy", at.drawing_ends, how.watts("high"), "load.heavy"),
        Cause("load.off", at.drawing_ends, how.load_off, "load.off"),
        Cause("load.varies", at.drawing_ends, how.load_varies, "load.varies"),
        Cause("box.reversed", at.turnable, how.box_reversed),
        Cause("box.dead", at.active, how.box_dead),
        Cause("box.heavy", at.drawing_boxes, how.watts("high"), "box.heavy"),
        Cause("box.restart", at.active, how.box_restarts),
        Cause("box.no-pass", at.active, how.no_way_on),
        Cause(
            "arrestor.open",
            at.arrestors,
            how.arrestor_open,
            kinds=(("whole", 1), ("set", 1)),
        ),
        Cause("arrestor.short", at.arrestors, how.shorted),
        Cause(
            "arrestor.reversed",
            at.boxes_of("arrestor", wired=False),
            how.nothing_seen,
            shows=(),
            drawn=False,
        ),
        Cause("earth.open", at.earths, how.earth, "earth.open", shows=("earth_ohms",), drawn=False),
        Cause("earth.high", at.earths, how.earth, "earth.high", shows=("earth_ohms",), drawn=False),
        Cause("link.slow-endpoint", at.gigabit_ends, how.slow_endpoint),
        Cause("link.pair-open", at.linked_spans, how.pair_open),
        Cause("link.too-long", at.linked_spans, how.too_long, "link.too-long"),
        Cause("link.noise", at.linked_spans, how.link_noise, shows=("error_count",), drawn=False),
        Cause("link.port-down", at.links, how.link_dead),
        Cause(
            "reading.typed",
            at.read,
            how.misread("typed"),
            kinds=(("swapped", 1), ("slipped", 1)),
        ),
        Cause(
            "reading.unit",
            at.read,
            how.misread("unit"),
            kinds=(("volts", 1), ("milliamps", 1)),
        ),
        Cause(
            "reading.place",
            at.read,
            how.misread("place"),
            kinds=(("exchanged", 1), ("copied", 1)),
        ),
        Cause("reading.state", at.endpoints, how.misread("state")),
        Cause("reading.ac", at.read, how.misread("ac"), kinds=(("near none", 1), ("double", 1))),
        Cause("reading.lead", at.ohm_meters, how.lead, "reading.lead", shows=LOOPS, drawn=False),
        Cause("reading.no-short", at.spans, how.misread("no-short"), shows=LOOPS, drawn=False),
    )
}
