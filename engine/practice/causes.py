"""What can be wrong on a made-up site: one table, a row a cause.

A row says where it can be, how often it is there (per place, on a first visit), how large it is
and how it changes the site. Causes as in the job's own words; those that leave no trace in
volts, amps and lights are there to be asked for, never drawn.
"""

from __future__ import annotations

from attrs import evolve, frozen

from engine.practice import changes as how
from engine.practice import places as at
from engine.practice.changes import SIZES, Act, Drawn
from engine.practice.draw import on_triangle, weighted
from engine.practice.places import Places
from engine.practice.site import Site, Truth
from engine.standards import Sourced

AT_FIRST = ("volts", "milliamps", "watts", "mbps")
"""what a careful technician reads on the way out"""
LOOPS = ("loop_ohms",)


@frozen
class Cause:
    """One row. ``rate`` is how often it is there, per place, on a first visit: from memory, our
    estimate where the table of causes is silent; 0 for what is only there when asked for."""

    id: str
    places: Places
    rate: float
    act: Act
    size: str = ""
    """its row of ``SIZES``; none where there is no more or less of it"""
    kinds: tuple[tuple[str, float], ...] = ()
    """what it may be of, and how often"""
    shows: tuple[str, ...] = AT_FIRST
    """kinds of reading in which there is a trace of it"""

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
        size = on_triangle(row.low, row.value, row.high, site.share("size")) if row else 0.0
        end = ""
        if where in site.job.spans and self.id in AT_AN_END:
            span = site.job.spans[where]
            end = str(span.a if site.share("end") < 0.5 else span.b)
        truth = Truth(self.id, where, kind, size if row else None, row.unit if row else "", end)
        return self.act(evolve(site, truth=truth), Drawn(self.id, where, kind, size))


AT_AN_END = frozenset({"joint.high", "contact.high"})
"""causes that sit in one end of a span; readings cannot say in which"""
_BOTH_ENDS = 2
_KINDS = (("clad", 1.0), ("thin", 1.0), ("long", 2.0), ("hot", 0.5))

CAUSES: dict[str, Cause] = {
    row.id: row
    for row in (
        Cause("source.dead", at.feeds, 0.002, how.feed_off),
        Cause("source.low", at.feeds, 0.01, how.source_low, "source.low"),
        Cause("source.soft", at.feeds, 0.005, how.source_soft, "source.soft"),
        Cause("port.off", at.feeds, 0.02, how.feed_off),
        Cause("port.refused", at.probing, 0.005, how.refused),
        Cause("port.trip", at.feeds, 0.01, how.trips),
        Cause("budget.shed", at.sharing, 0.03, how.feed_off),
        Cause("span.high", at.spans, 0.02, how.span_high, "span.high", _KINDS),
        Cause("span.open", at.spans, 0.002, how.span_open),
        Cause("span.short", at.spans, 0.001, how.shorted),
        Cause("joint.high", at.spans, 0.003 * _BOTH_ENDS, how.joint_high, "joint.high"),
        Cause(
            "contact.high",
            at.spans,
            0.01 * _BOTH_ENDS,
            how.contact_high,
            "contact.high",
            shows=("mbps", "loop_ohms", "unbalance_ohms", "error_count"),
        ),
        Cause("pairs.lost", at.whole, 0.005, how.pairs_lost),
        Cause("pair.split", at.linked_spans, 0.002, how.link_bad("pair.split")),
        Cause("pair.crossed", at.linked_spans, 0.002, how.link_bad("none")),
        Cause("load.heavy", at.drawing_ends, 0.01, how.watts("high"), "load.heavy"),
        Cause("load.off", at.drawing_ends, 0.01, how.load_off, "load.off"),
        Cause("load.varies", at.drawing_ends, 0.005, how.load_varies, "load.varies"),
        Cause("box.reversed", at.turnable, 0.02, how.box_reversed),
        Cause("box.dead", at.active, 0.003, how.box_dead),
        Cause("box.heavy", at.drawing_boxes, 0.003, how.watts("high"), "box.heavy"),
        Cause("box.restart", at.active, 0.001, how.box_restarts),
        Cause("box.no-pass", at.active, 0.01, how.no_way_on),
        Cause(
            "arrestor.open",
            at.arrestors,
            0.001,
            how.arrestor_open,
            kinds=(("whole", 1), ("set", 1)),
        ),
        Cause("arrestor.short", at.arrestors, 0.001, how.shorted),
        Cause(
            "arrestor.reversed", at.boxes_of("arrestor", wired=False), 0, how.nothing_seen, shows=()
        ),
        Cause("earth.open", at.earths, 0, how.earth, "earth.open", shows=("earth_ohms",)),
        Cause("earth.high", at.earths, 0, how.earth, "earth.high", shows=("earth_ohms",)),
        Cause("link.slow-endpoint", at.gigabit_ends, 0.005, how.slow_endpoint),
        Cause("link.pair-open", at.linked_spans, 0.003, how.pair_open),
        Cause("link.too-long", at.linked_spans, 0.002, how.too_long, "link.too-long"),
        Cause("link.noise", at.linked_spans, 0, how.link_noise, shows=("error_count",)),
        Cause("link.port-down", at.links, 0.003, how.link_dead),
        Cause(
            "reading.typed",
            at.read,
            0.01,
            how.misread("typed"),
            kinds=(("swapped", 1), ("slipped", 1)),
        ),
        Cause(
            "reading.unit",
            at.read,
            0.002,
            how.misread("unit"),
            kinds=(("volts", 1), ("milliamps", 1)),
        ),
        Cause(
            "reading.place",
            at.read,
            0.005,
            how.misread("place"),
            kinds=(("exchanged", 1), ("copied", 1)),
        ),
        Cause("reading.state", at.endpoints, 0.002, how.misread("state")),
        Cause(
            "reading.ac", at.read, 0.001, how.misread("ac"), kinds=(("near none", 1), ("double", 1))
        ),
        Cause("reading.lead", at.ohm_meters, 0, how.lead, "reading.lead", shows=LOOPS),
        Cause("reading.no-short", at.spans, 0, how.misread("no-short"), shows=LOOPS),
    )
}
