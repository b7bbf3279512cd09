"""Job to network: what hangs on what, over which pairs, by how many ohms."""

from __future__ import annotations

import pytest
from by_contract import conductor_ohms, walk
from hypothesis import given, settings
from jobs import (
    Bare,
    active,
    arrestor,
    band,
    chain,
    endpoint,
    exact,
    injector,
    joint,
    regenerating,
    run,
    source,
    turned,
    with_keys,
)
from strategies import any_job

from engine.circuit import edge_ohms, feed_volts, span_ohms
from engine.job import Point, Span
from engine.jobfile import read_job
from engine.network import build
from engine.predict import predict

pytestmark = pytest.mark.pure

few = settings(derandomize=True, deadline=None, max_examples=60)


def network_of(doc):
    """The job and the network of a document."""
    job = read_job(doc).plan
    return job, build(job)


def pairs_along(doc) -> dict[str, int]:
    """Pairs in force by the name of the point."""
    network = network_of(doc)[1]
    return {str(point): network.node(point).pairs for point in network.where}


# ---------------------------------------------------------------- shape


@few
@given(any_job)
def test_trees_are_those_of_an_independent_walk(doc):
    """Feeds, points, parents, pairs and loads agree with a second reading of the document."""
    job, network = network_of(doc)
    walked = {feed.point: feed for feed in walk(doc)}
    assert {str(tree.feed) for tree in network.trees} == walked.keys()
    assert network.unfed == () and network.twice == ()
    for tree in network.trees:
        feed = walked[str(tree.feed)]
        assert tree.nodes[0].parent == -1
        assert all(node.parent < i for i, node in enumerate(tree.nodes))
        mine = {
            (str(tree.nodes[node.parent].point), str(node.point), node.pairs)
            for node in tree.nodes[1:]
        }
        assert mine == {(edge.above, edge.below, edge.pairs) for edge in feed.edges}
        loads = {str(node.point) for node in tree.nodes if node.load}
        assert loads == {point for point, _ in feed.drawn}
    assert set(network.where) <= {
        Point(box.id, port) for box in job.boxes.values() for port in job.ports(box)
    }


@few
@given(any_job)
def test_from_and_to_have_no_meaning(doc):
    """With every span written the other way round the network is the same."""
    before = network_of(doc)[1]
    for span in doc["spans"]:
        span["from"], span["to"] = span["to"], span["from"]
    after = network_of(doc)[1]
    assert [[n.point for n in t.nodes] for t in before.trees] == [
        [n.point for n in t.nodes] for t in after.trees
    ]


def test_a_splitter_feeds_each_of_its_outs():
    """Two branches hang side by side on the splitter's in."""
    doc = chain(
        source(),
        run(10),
        active(2, "splitter"),
        [[run(20), endpoint(5)], [run(30), endpoint(6)]],
    )
    network = network_of(doc)[1]
    (tree,) = network.trees
    parents = {str(n.point): str(tree.nodes[n.parent].point) for n in tree.nodes if n.parent >= 0}
    assert parents == {
        "Y1.in": "S1.out",
        "Y1.out1": "Y1.in",
        "E1.in": "Y1.out1",
        "Y1.out2": "Y1.in",
        "E2.in": "Y1.out2",
    }


def test_power_begins_at_an_injector():
    """The span in front of an injector belongs to the port's feed, the one behind to its own."""
    doc = chain(source(), run(10), injector(48), run(20), endpoint(5))
    network = network_of(doc)[1]
    trees = {str(tree.feed): tree for tree in network.trees}
    assert {feed: [str(n.point) for n in tree.nodes] for feed, tree in trees.items()} == {
        "S1.out": ["S1.out", "P1.in"],
        "P1.out": ["P1.out", "E1.in"],
    }
    assert feed_volts(trees["P1.out"].box.sheet).expected == 48


def test_a_regenerating_box_ends_one_tree_and_begins_the_next():
    """Its in is a load of the first tree; its out is the feed of the second."""
    doc = chain(source(), run(10), regenerating(2, 55), run(20), endpoint(5))
    network = network_of(doc)[1]
    assert [str(tree.feed) for tree in network.trees] == ["S1.out", "R1.out"]
    assert network.node(Point("R1", "in")).load.id == "R1"
    assert network.node(Point("R1", "out")).load is None
    assert feed_volts(network.trees[1].box.sheet).expected == 55


def test_own_watts_are_drawn_at_the_port_that_power_reaches_first():
    """A pass-through box fed through its out draws there; behind it is its in."""
    doc = chain(source(), run(10), turned(active(3, "long-span")), run(20), endpoint(5))
    network = network_of(doc)[1]
    assert network.upstream_port("L1") == Point("L1", "out")
    assert network.node(Point("L1", "out")).load.id == "L1"
    assert network.node(Point("L1", "in")).load is None


def test_a_regenerating_box_fed_from_behind_gives_nothing():
    """From its out it shows no load and feeds nothing: it and what is behind are unfed."""
    doc = chain(source(), run(10), turned(regenerating()), run(20), endpoint(5))
    network = network_of(doc)[1]
    assert network.unfed == ("R1", "E1")


def test_boxes_that_no_feed_reaches_are_named():
    """A box behind a port with nothing plugged in gets no power; passive ones need none."""
    doc = chain(source(), run(10), active(2), run(10), joint(), run(10), endpoint(5))
    doc["spans"] = [span for span in doc["spans"] if span["to"] != "J1.a"]
    assert network_of(doc)[1].unfed == ("E1",)


def test_a_box_that_two_feeds_reach_is_named_with_both():
    """Two sources at the ends of one run meet in one box."""
    doc = chain(source(), run(10), active(2), run(10), turned(source_as_end()))
    network = network_of(doc)[1]
    assert [{str(first), str(second)} for _, first, second in network.twice] == [
        {"S1.out", "S2.out"}
    ]


def source_as_end():
    """A source whose out is met from the run's side."""
    part = source()
    assert part.doors == ("", "out")
    return part


# ---------------------------------------------------------------- pairs


def test_pairs_in_force_are_the_fewest_since_the_last_feed():
    """A two-pair span leaves two behind it, until a regenerating box feeds four again."""
    doc = chain(
        source(),
        run(10),
        active(2),
        run(10, pairs=2),
        active(2),
        run(10),
        regenerating(2, pairs_out=4),
        run(10),
        endpoint(5),
    )
    assert pairs_along(doc) == {
        "S1.out": 4,
        "R1.in": 4,
        "R1.out": 4,
        "R2.in": 2,
        "R2.out": 2,
        "R3.in": 2,
        "R3.out": 4,
        "E1.in": 4,
    }


@pytest.mark.parametrize(
    ("parts", "pairs"),
    [
        ((source(pairs=2), run(10)), 2),
        ((source(), run(10, cable={"kind": "cable", "ohms_per_km": 70, "pairs": 2})), 2),
        ((source(), run(5), arrestor(pairs=2), run(10)), 2),
        ((source(), run(5), with_keys(active(1), pairs=2), run(10)), 2),
        ((source(), run(5, pairs=2), regenerating(), run(10)), 2),
        ((source(), run(10)), 4),
    ],
)
def test_anything_on_the_way_may_be_the_narrow_place(parts, pairs):
    """A port, a cable, a passive or an active box of two pairs; pairs out are those that arrive."""
    assert pairs_along(chain(*parts, endpoint(5)))["E1.in"] == pairs


# ---------------------------------------------------------------- ohms


@few
@given(any_job)
def test_ohms_of_spans_agree_with_a_second_reading(doc):
    """R(T) of one conductor, whole on two pairs and half on four, plus the ends."""
    job, network = network_of(doc)
    spans = {span["id"]: span for span in doc["spans"]}
    for tree in network.trees:
        for node in tree.nodes[1:]:
            if not isinstance(node.via, Span):
                continue
            span = spans[node.via.id]
            for volts, corner in (("low", "high"), ("expected", "expected"), ("high", "low")):
                one = conductor_ohms(doc, span, corner)
                ends = span.get("end_ohms", exact(0))[corner]
                by_hand = one * {2: 1, 4: 0.5}[node.pairs] + ends
                assert edge_ohms(job, node, tree.box.sheet, volts) == pytest.approx(by_hand)


@pytest.mark.parametrize(("pairs", "ohms"), [(2, 19.98), (4, 9.99)])
def test_three_hundred_metres_by_hand(pairs, ohms):
    """0.0666 ohm/m x 300 m = 19.98 ohm on two pairs, half on four (values-power 7)."""
    job, _ = network_of(chain(source(), run(300), endpoint(5)))
    assert span_ohms(job, job.spans["C1"], pairs, "expected") == pytest.approx(ohms, abs=1e-12)


def test_end_ohms_are_of_the_loop_and_are_not_shared():
    """0.3 ohm of ends add 0.3 ohm whatever the pairs."""
    job, _ = network_of(chain(source(), run(300, end_ohms=exact(0.3)), endpoint(5)))
    assert span_ohms(job, job.spans["C1"], 2, "expected") == pytest.approx(20.28)
    assert span_ohms(job, job.spans["C1"], 4, "expected") == pytest.approx(10.29)


@pytest.mark.parametrize(("pairs", "ohms"), [(2, 0.2), (4, 0.1)])
def test_ohms_of_a_box_are_per_conductor(pairs, ohms):
    """0.2 ohm in each conductor: 0.2 in the loop of two pairs, 0.1 in that of four."""
    job, network = network_of(
        chain(source(pairs=pairs), run(1), arrestor(0.2), run(1), endpoint(5))
    )
    node = network.node(Point("A1", "kit"))
    assert edge_ohms(job, node, network.trees[0].box.sheet, "expected") == pytest.approx(ohms)


@pytest.mark.parametrize(
    ("keys", "factor"),
    [
        ({"ambient_c": exact(60)}, 1.1572),
        ({"route": "indoor", "indoor": True}, 1.01965),
        ({"indoor": True}, 1.01965),
        ({"route": "duct"}, 1.05895),
        ({"route": "air", "indoor": False}, 1.05895),
    ],
)
def test_a_span_has_the_temperature_of_its_own_place(keys, factor):
    """Its own ambient, else indoors the site's indoor 25 °C, else the site's 35 °C."""
    parts = (source(), run(100), endpoint(5))
    doc = chain(*parts, ambient_c=35)
    doc["site"]["indoor_c"] = exact(25)
    doc["spans"][0].pop("indoor")
    doc["spans"][0] |= keys
    job, _ = network_of(doc)
    ohms = span_ohms(job, job.spans["C1"], 2, "expected")
    assert ohms / 6.66 == pytest.approx(factor, abs=5e-5)


def test_low_volts_go_with_warm_long_cable():
    """The corner of low volts takes high ohms, high length and the warmest conductors.

    By hand: 0.07 ohm/m x 1.05 x 102 m x (1 + 0.00393 x 20) = 8.0863 ohm.
    """
    doc = chain(source(pairs=2), run(Bare(100), Bare(70)), endpoint(5), ambient_c=band(0, 20, 40))
    job, network = network_of(doc)
    node = network.node(Point("E1", "in"))
    sheet = network.trees[0].box.sheet
    assert edge_ohms(job, node, sheet, "low") == pytest.approx(8.0863, abs=1e-4)
    assert edge_ohms(job, node, sheet, "expected") == pytest.approx(7.0)
    cold = 70 * 0.95 / 1000 * 98 * (1 - 0.00393 * 20)
    assert edge_ohms(job, node, sheet, "high") == pytest.approx(cold)


def test_a_set_lost_between_two_joining_places_carries_nothing_all_the_way():
    """200 m on four pairs, an arrestor, 200 m on two, 12 W: by hand 46.65 V, not 48.56 V."""
    ohms_per_m = 0.0666
    doc = chain(
        source(53.5),
        run(200, ohms_per_km=66.6),
        arrestor(ohms_per_conductor=0),
        run(200, ohms_per_km=66.6, pairs=2),
        endpoint(12, cutoff_volts=0),
        ambient_c=20,
    )
    loop = 400 * ohms_per_m
    by_hand = (53.5 + (53.5**2 - 4 * loop * 12) ** 0.5) / 2
    end = predict(read_job(doc).plan).points[Point("E1", "in")]

    assert end.volts.expected == pytest.approx(by_hand, abs=1e-6)
    assert round(by_hand, 2) == 46.65
    assert end.pairs == 2
