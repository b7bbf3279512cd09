"""What switches in a run: ports that let go, boxes that starve, trees that go dark with them."""

from __future__ import annotations

from collections.abc import Mapping

from attrs import evolve

from engine.circuit import Circuit
from engine.job import Point
from engine.limits import FeedLimit, over, together
from engine.network import Network, Node, Standing, Tree
from engine.operating import Conditions, Operating, run
from engine.study import Collapse


def settle(
    circuit: Circuit, limits: Mapping[Point, FeedLimit], conditions: Conditions
) -> tuple[Operating, frozenset[Point]]:
    """The operating point once every port that is asked for too much has let go.

    Ports farthest out go first: what is behind one that lets go no longer loads the others.
    """
    operating = run(circuit, conditions)
    while found := over(limits, operating):
        conditions = evolve(conditions, cut=conditions.cut | together(found[0], limits))
        operating = run(circuit, conditions)
    return operating, conditions.cut


def comparable(network: Network, expected: Operating, corner: Operating) -> Operating:
    """A corner without the trees in which something switched against the expected job.

    A tree that fails in one of the two alone leaves its feed idle there, and lifts the volts
    in front of it: that is another state of the run, not the end of a band.
    """
    dark_expected, dark_here = dark(expected), dark(corner)
    switched = [tree for tree in network.trees if tree.feed in dark_expected ^ dark_here]
    in_front: set[Point] = set()
    while switched:
        tree = switched.pop()
        place = network.where.get(Point(tree.box.id, "in"))
        if tree.box.sheet.regenerates and place is not None:
            upstream = network.trees[place[0]]
            in_front |= {node.point for node in upstream.nodes}
            switched.append(upstream)
    flows = {point: flow for point, flow in corner.flows.items() if point not in in_front}
    return evolve(corner, flows=flows)


def dark(operating: Operating) -> set[Point]:
    """Feeds behind which nothing runs."""
    return {tree.feed for tree, _ in operating.failed} | {tree.feed for tree in operating.off}


def states_at(
    circuit: Circuit, operating: Operating, cut: frozenset[Point], collapse: Collapse | None
) -> dict[Point, str]:
    """The state of every point that is not on at a corner.

    ``starved``: its box is under its cut-off, and under its turn-on volts even unloaded;
    ``cycling``: it comes on unloaded and drops out loaded, or its port lets go; ``off``: behind
    one of these.
    """
    network = circuit.network
    states: dict[Point, str] = {}
    for tree in (*operating.off, *(network.trees[network.where[feed][0]] for feed in cut)):
        for node in tree.nodes:
            states[node.point] = "cycling" if tree.feed in cut else "off"
    for tree, failure in operating.failed:
        start = starving(tree, failure.node)
        if collapse and collapse.at in {node.point for node in tree.nodes}:
            start = network.where[collapse.at][1]
        behind = _behind(tree.nodes, start)
        restarts = _restarts(circuit, tree, start)
        for i, node in enumerate(tree.nodes):
            states[node.point] = "off" if i in behind else restarts
    for tree in network.trees:  # upstream ones first: what hangs on a dark box is dark
        place = Point(tree.box.id, "in")
        if tree.box.sheet.regenerates and states.get(place, "on") != "on":
            states.update((node.point, "off") for node in tree.nodes)
    return states


def _behind(nodes: tuple[Node, ...], start: int) -> set[int]:
    inside = {start}
    for i, node in enumerate(nodes):
        if node.parent in inside:
            inside.add(i)
    return inside - {start}


def starving(tree: Tree, start: int) -> int:
    """The box with a load nearest a node that cannot be held: a joint does not starve."""
    nodes = tree.nodes
    nearest = [start, *sorted(_behind(nodes, start))]
    above = nodes[start].parent
    while above >= 0:
        nearest.append(above)
        above = nodes[above].parent
    return next((i for i in nearest if nodes[i].load is not None), start)


def _restarts(circuit: Circuit, tree: Tree, start: int) -> str:
    """``cycling`` when the starving box sees its turn-on volts as long as it draws nothing."""
    node = tree.nodes[start]
    if node.load is None:
        return "starved"
    standing = Standing(beyond=node.point)
    idle = run(circuit, Conditions(circuit.corner, standing=standing, hold_cutoffs=False))
    flow = idle.flows.get(node.point)
    return "cycling" if flow and flow.volts >= node.load.sheet.on_volts else "starved"
