"""What a feed may give: its own limit, and what it grants to the first box that answers.

A port that negotiates sees one box only, the first with a signature: an endpoint behind a
repeater is known to the repeater alone. More than the grant, or than the port's own limit,
and the port lets go.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from engine.job import Box, Point
from engine.network import Network, Node, Tree
from engine.operating import Operating
from engine.standards.power import class_pairs, granted_watts

ROUNDING = 1.002
"""class watts are printed to three digits; an excess within that is not one"""
MOST_ON_TWO_PAIRS = max(class_ for class_ in range(9) if class_pairs(class_) <= 2)
"""the highest class that two pairs carry"""


@frozen
class FeedLimit:
    """The limits of one feed. A regenerating box's own limit holds for all its outs together."""

    feed: Point
    box: Box
    probes: bool
    """shows no steady volts until a box answers, as a standard port does"""
    answers: Node | None
    """where the first box that needs power hangs, if the port looks for one"""
    asks_class: int | None
    granted_watts: float | None
    limit_watts: float | None

    @property
    def answering(self) -> Box | None:
        """The first box that needs power, if the port looks for one."""
        return self.answers.load if self.answers else None

    @property
    def most(self) -> float | None:
        """Watts beyond which the port lets go; None where nothing is stated."""
        stated = [w for w in (self.granted_watts, self.limit_watts) if w is not None]
        return min(stated) if stated else None

    def exceeds_grant(self, watts: float) -> bool:
        """More than the first box was granted, printed digits aside."""
        return self.granted_watts is not None and watts > self.granted_watts * ROUNDING

    def exceeds_limit(self, watts: float) -> bool:
        """More than the port's own sheet gives."""
        return self.limit_watts is not None and watts > self.limit_watts


def feed_limits(network: Network) -> Mapping[Point, FeedLimit]:
    """The limits of every feed of a job."""
    return {tree.feed: _limit(tree) for tree in network.trees}


def _limit(tree: Tree) -> FeedLimit:
    sheet = tree.box.sheet
    probes = sheet.grants == "by-class" or (
        sheet.grants is None
        and (sheet.kind == "source" or (sheet.class_ is not None and not sheet.regenerates))
    )
    limit = sheet.out_watts_max if sheet.regenerates else sheet.watts_max
    first = next((node for node in tree.nodes if node.load is not None), None)
    asks = first.load.sheet.class_ if first and first.load and probes else None
    granted = None
    if first is not None and asks is not None:
        gives = [granted_watts(asks)]
        if sheet.class_ is not None and not sheet.regenerates:
            gives.append(granted_watts(sheet.class_))
        if first.pairs < class_pairs(asks):
            gives.append(granted_watts(MOST_ON_TWO_PAIRS))
        if limit is not None:
            gives.append(limit)
        granted = min(gives)
    return FeedLimit(tree.feed, tree.box, probes, first if probes else None, asks, granted, limit)


def together(feed: Point, limits: Mapping[Point, FeedLimit]) -> frozenset[Point]:
    """The feeds that let go when this one does: all outs of a regenerating box."""
    box = limits[feed].box
    if not box.sheet.regenerates:
        return frozenset({feed})
    return frozenset(one.feed for one in limits.values() if one.box.id == box.id)


def demand(limit: FeedLimit, limits: Mapping[Point, FeedLimit], operating: Operating) -> float:
    """Watts that a feed gives; of a regenerating box, all its outs together. [W]"""
    feeds = together(limit.feed, limits)
    return sum(operating.flows[feed].watts for feed in feeds if feed in operating.flows)


def over(limits: Mapping[Point, FeedLimit], operating: Operating) -> tuple[Point, ...]:
    """Feeds that are asked for more than they give, those farthest out first."""
    return tuple(
        limit.feed
        for limit in reversed(tuple(limits.values()))
        if limit.exceeds_grant(watts := demand(limit, limits, operating))
        or limit.exceeds_limit(watts)
    )
