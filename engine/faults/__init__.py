"""What can be wrong on a site: one table, a row a cause.

A row says where the cause can be and what it changes; how often it is met, how large it is and
what lights show of it stand in ``sizes``. Causes that no reading shows are in ``diagnose.remedies``:
they are told, never weighed.

Ids and traces: our table of causes (electrical columns follow from the circuit; what lights,
ports and meters do is common practice).
"""

from __future__ import annotations

from attrs import frozen

from engine.faults import bends, places
from engine.faults.bends import Bend, Bends, Maker
from engine.faults.places import Ground, Places
from engine.faults.sizes import rate

__all__ = ["FAULTS", "NONE", "OTHER", "PAIR", "SLIPS", "Bend", "Fault", "Ground", "rate"]

NONE, OTHER, PAIR = "none", "other", "pair"
"""nothing that readings show; nothing that this table holds; two at once"""


@frozen
class Fault:
    """One row: where it can be, and what it changes there.

    ``only`` is the kind of reading without which nothing shows of it: unread, it is not weighed.
    """

    id: str
    places: Places
    bend: Maker
    only: str = ""

    def at(self, ground: Ground, where: str) -> Bends:
        """What it changes at a place; several where it may be one thing or another."""
        return self.bend(ground, where)


FAULTS: dict[str, Fault] = {
    row.id: row
    for row in (
        Fault("source.dead", places.feeds, bends.feed_off),
        Fault("source.low", places.feeds, bends.source_low),
        Fault("feed.twice", places.feeds, bends.fed_twice),
        Fault("source.soft", places.feeds, bends.source_soft),
        Fault("port.off", places.feeds, bends.feed_off),
        Fault("port.refused", places.probing, bends.refused),
        Fault("port.trip", places.feeds, bends.trips),
        Fault("budget.shed", places.sharing, bends.feed_off),
        Fault("span.high", places.spans, bends.span_high),
        Fault("span.open", places.spans, bends.span_open),
        Fault("span.short", places.spans, bends.shorted),
        Fault("joint.high", places.spans, bends.joint_high),
        Fault("joint.wet", places.spans, bends.joint_high),
        Fault("contact.high", places.spans, bends.contact_high),
        Fault("pairs.lost", places.whole, bends.pairs_lost),
        Fault("pair.split", places.linked_spans, bends.doubt("pair.split")),
        Fault("pair.crossed", places.linked_spans, bends.doubt("pair.crossed")),
        Fault("load.heavy", places.drawing_ends, bends.watts("high", "load.heavy")),
        Fault("load.off", places.drawing_ends, bends.watts("expected", "load.off", dark=True)),
        Fault("load.varies", places.drawing_ends, bends.load_varies),
        Fault("box.reversed", places.turnable, bends.box_reversed),
        Fault("box.dead", places.active, bends.box_dead),
        Fault("box.heavy", places.drawing_boxes, bends.watts("high", "box.heavy")),
        Fault("box.restart", places.active, bends.box_restarts),
        Fault("box.no-pass", places.active, bends.no_way_on),
        Fault("arrestor.open", places.arrestors, bends.arrestor_open),
        Fault("arrestor.short", places.arrestors, bends.shorted),
        Fault("earth.open", places.earths, bends.earth, "earth_ohms"),
        Fault("earth.high", places.earths, bends.earth, "earth_ohms"),
        Fault("link.slow-endpoint", places.gigabit_ends, bends.slow_end),
        Fault("link.pair-open", places.linked_spans, bends.pair_open),
        Fault("link.too-long", places.linked_spans, bends.too_long),
        Fault("link.noise", places.linked_spans, bends.noise),
        Fault("link.port-down", places.links, bends.dead_link),
        Fault("reading.state", places.endpoints, bends.asleep),
        Fault("reading.lead", places.ohm_meters, bends.lead, "loop_ohms"),
        Fault("reading.no-short", places.spans, bends.no_short, "loop_ohms"),
    )
}
"""causes that change the site, or a whole walk"""

SLIPS = ("reading.typed", "reading.unit", "reading.place", "reading.ac")
"""causes of one figure alone: what stands in the log is not what the meter showed"""
