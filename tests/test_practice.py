"""Made-up sites: the same for the same seed, within the plan's limits, by the physics of any job."""

from __future__ import annotations

import json
from collections.abc import Mapping
from itertools import pairwise
from statistics import mean

import pytest
from by_contract import conductor_ohms, walk
from hypothesis import example, given, settings
from hypothesis import strategies as st
from jobs import (
    band,
    chain,
    endpoint,
    exact,
    joint,
    regenerating,
    run,
    sheets_of,
    source,
    with_keys,
)
from practised_runs import SEEDS, job, metered, six_ports
from random_jobs import random_job, with_bundles, with_lost_sets

from engine.band import Band
from engine.entries import READING_KINDS
from engine.job import Point
from engine.jobfile import read_job
from engine.network import AS_PLANNED, Standing
from engine.practice import (
    CAUSES,
    FLOWS,
    NotHere,
    Site,
    document,
    made_up,
    readings,
    share,
)
from engine.practice.draw import between, stated
from engine.practice.site import OPEN_OHMS
from engine.unknowns import moments

pytestmark = pytest.mark.pure

FLOOR_VOLTS = 0.05
"""what no model of a contact holds, on volts (job format, section 5)"""
PINNED = [
    ("S1.out", "volts", 53.34),
    ("S1.out", "milliamps", 295.0),
    ("S1.out", "watts", 16.1),
    ("R1.in", "volts", 52.54),
    ("R1.in", "milliamps", 322.0),
    ("R1.out", "volts", 52.52),
    ("R1.out", "milliamps", 269.0),
    ("R2.in", "volts", 50.59),
    ("R2.in", "milliamps", 226.0),
    ("R2.out", "volts", 50.55),
    ("R2.out", "milliamps", 179.0),
    ("E1.in", "volts", 50.03),
    ("E1.in", "milliamps", 186.0),
]


# ---------------------------------------------------------------- the same seed


def test_a_share_is_the_same_on_every_python():
    """Of the seed and the name alone, by SHA-256: no sequence that a version could change."""
    assert share(0, "volts", "S1") == 0.4321608364104286
    assert share(7, "swing", "E1", "") == 0.36370408809415056
    shares = [share(seed, "x") for seed in range(4000)]
    assert min(shares) >= 0 and max(shares) < 1
    assert abs(mean(shares) - 0.5) < 0.02
    assert abs(mean((s - 0.5) ** 2 for s in shares) - 1 / 12) < 0.004


def test_one_seed_gives_one_file():
    file = job("six")
    for seed in (0, 5):
        texts = {json.dumps(document(made_up(file, seed=seed))) for _ in range(3)}
        assert len(texts) == 1
    assert document(made_up(file, seed=0)) != document(made_up(file, seed=1))


def test_figures_of_one_seed_are_those_of_all_time():
    """A site that somebody practised on must be there again in a later version."""
    site = made_up(job("six"), cause="none", seed=3)
    shown = [(e["at"], e["kind"], e["value"]) for e in readings(site, FLOWS) if "at" in e]
    assert shown == PINNED


def test_what_is_drawn_does_not_hang_on_what_else_is_asked():
    site = made_up(job("six"), cause="none", seed=1)
    alone = site.measure("E1.in", "volts", moment="a")
    for kind in READING_KINDS:
        site.measure("R1.in", kind, moment="b")
    assert site.measure("E1.in", "volts", moment="a") == alone
    again = {site.measure("E1.in", "volts", moment=str(n)) for n in range(8)}
    assert len(again) > 1, "another moment has another load and other digits"


# ---------------------------------------------------------------- within the limits


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 10**6), st.integers(-5, 10**6))
def test_numbers_of_a_site_lie_within_the_plan(which, seed):
    site = made_up(read_job(random_job(which)), cause="none", seed=seed)
    limits = stated(site.job)
    for key, value in site.values.items():
        if key[0] == "ends":
            span = site.job.spans[key[1]]
            most = 2 * 0.02 * 2  # two plugs, 0.02 ohm a conductor, at most a whole loop of two
            assert span.end_ohms.low - most <= value <= span.end_ohms.high + most
        else:
            assert limits[key].low <= value <= limits[key].high, key
    for key, unknown in site.quantities.unknowns.items():
        if key[0] not in ("ends", "swing"):
            assert moments(limits[key]) == unknown, "sites are drawn from what bands rest on"


def test_limits_are_a_rectangle_or_a_triangle():
    even = [n / 1000 + 0.0005 for n in range(1000)]
    flat = [between(Band(10, 12, 14), at) for at in even]
    assert mean(flat) == pytest.approx(12) and (min(flat), max(flat)) == pytest.approx(
        (10, 14), abs=0.01
    )
    leaning = [between(Band(6, 12, 19), at) for at in even]
    assert mean(leaning) == pytest.approx((6 + 12 + 19) / 3, abs=0.01)
    below = sum(value < 12 for value in leaning) / 1000
    assert below == pytest.approx((12 - 6) / (19 - 6), abs=0.002), "the top lies at expected"
    assert between(Band(3, 3, 3), 0.7) == 3
    assert all(a <= b for a, b in pairwise(leaning))


def test_spans_in_the_same_air_share_its_temperature():
    site = made_up(job("six"), cause="none", seed=2)
    warm = {wire.warm for wire in site.quantities.loops.values()}
    assert warm == {(("air",),)} and ("air",) in site.values


# ---------------------------------------------------------------- the physics, worked out again


def worked_out(doc: Mapping, site: Site, moment: str) -> dict[str, tuple[float, float]]:
    """Volts and milliamps of each point by Kirchhoff, watts held constant, iterated; not the
    engine's solver nor its ohms."""
    (feed,) = walk(doc)
    values = site.values
    draws = {}
    for point, _ in feed.drawn:
        name = point.partition(".")[0]
        swing = site.swings.get(name, 0.0) / 100 * (2 * share(site.seed, "swing", name, moment) - 1)
        draws[point] = values["watts", name] * (1 + swing)
    volts = dict.fromkeys((feed.point, *(e.below for e in feed.edges)), values["volts", "S1"])
    amps: dict[str, float] = {}
    for _ in range(300):
        amps = {point: draws.get(point, 0.0) / volts[point] for point in volts}
        for edge in reversed(feed.edges):
            amps[edge.above] += amps[edge.below]
        for edge in feed.edges:
            volts[edge.below] = volts[edge.above] - amps[edge.below] * ohms_of(doc, edge, values)
    return {point: (volts[point], 1000 * amps[point]) for point in volts}


def ohms_of(doc: Mapping, edge, values: Mapping) -> float:
    """Loop ohms of an edge on ``edge.pairs``, by the contract's own words."""
    half = 2 / edge.pairs
    if "cable" not in edge.thing:
        return values["box-ohms", edge.below.partition(".")[0]] * half
    name = edge.thing["id"]
    per_km, metres = values["ohms", name], values["length", name]
    warm = 1 + 0.00393 * (values["air",] - 20)
    return per_km / 1000 * metres * warm * half + values["ends", name]


@pytest.mark.parametrize("seed", SEEDS)
def test_readings_of_a_sound_site_are_within_the_meter_of_what_is_there(seed):
    doc = six_ports()
    file = read_job(doc)
    site = made_up(file, cause="none", seed=seed)
    entries = [entry for entry in readings(site, FLOWS) if entry["what"] == "reading"]
    assert len(entries) == 13
    for entry in entries:
        volts, milliamps = worked_out(doc, site, entry["moment"])[entry["at"]]
        true = {"volts": volts, "milliamps": milliamps, "watts": volts * milliamps / 1000}
        reach = file.plan.accuracy(entry["meter"], entry["kind"]).reach(true[entry["kind"]])
        reach += FLOOR_VOLTS * (entry["kind"] == "volts") + 1e-9
        assert abs(entry["value"] - true[entry["kind"]]) <= reach, entry


def test_conductors_at_expected_are_those_of_the_contract():
    """The check above rests on its own ohms: they must be right at the plan's numbers."""
    doc = six_ports()
    (feed,) = walk(doc)
    edge = feed.edges[0]
    values = {("ohms", "C1"): 66.6, ("length", "C1"): 70, ("air",): 15, ("ends", "C1"): 0.0}
    assert ohms_of(doc, edge, values) == pytest.approx(
        conductor_ohms(doc, edge.thing, "expected") / 2
    )


def test_a_meter_has_one_gain_and_the_load_swings_by_moments():
    """Two ports of one box differ by digits and floor alone; the swing stays in its limits."""
    seen = set()
    for seed in range(40):
        site = made_up(job("six"), cause="none", seed=seed, swing=25)
        draws = []
        for moment in map(str, range(20)):
            now = site.happening(AS_PLANNED, moment)
            draws.append(now.flow(Point("E1", "in")).watts / site.values["watts", "E1"])
        assert min(draws) >= 0.75 and max(draws) <= 1.25 and max(draws) - min(draws) > 0.2
        gain = site.gain("m1", "volts")
        assert abs(gain) <= 0.005
        seen.add(round(gain, 6))
        true = site.happening(AS_PLANNED, "x").flow(Point("E1", "in")).volts
        off = site.measure("E1.in", "volts", "m1", moment="x") - true * (1 + gain)
        assert abs(off) <= 0.05 + 0.02 + 1e-9
    assert len(seen) == 40
    still = made_up(job("six"), cause="none", swing=0)
    assert len({still.happening(AS_PLANNED, m).flow(Point("E1", "in")) for m in "abc"}) == 1


def test_pairs_differ_by_their_lay_and_no_more():
    for seed in SEEDS:
        site = made_up(job("six"), cause="none", seed=seed)
        pairs = list(site.shown("C2", "loop_ohms").pairs.values())
        assert len(pairs) == 4
        spread = (max(pairs) - min(pairs)) / mean(pairs)
        assert 0 < spread <= 0.04 + 0.6 / mean(pairs), "4 % and the digits"


# ---------------------------------------------------------------- ports that let go


def test_a_standard_port_with_nothing_drawn_wanders():
    site = made_up(job("six"), cause="none", seed=1)
    gone = Standing(beyond=Point("S1", "out"))
    volts = [site.measure("S1.out", "volts", standing=gone, moment=str(n)) for n in range(60)]
    assert 0 <= min(volts) < 8 and 22 < max(volts) <= 30.3
    assert site.measure("S1.out", "milliamps", standing=gone) <= 2
    assert site.measure("R1.in", "mbps", standing=gone) == 0
    doc = six_ports()
    sheets_of(doc, "source")[0]["grants"] = "always"
    steady = made_up(read_job(doc), cause="none", seed=1)
    assert steady.measure("S1.out", "volts", standing=gone) > 52


def test_known_load_and_unplugged_endpoint_change_what_flows():
    site = made_up(job("six"), cause="none", seed=1)
    off = site.measure("E1.in", "volts", standing=Standing(off=frozenset({"E1"})))
    known = site.measure("E1.in", "volts", standing=Standing(known={"E1": 25.0}))
    plain = site.measure("E1.in", "volts")
    assert off > plain + 1 and known < plain - 1
    behind = Standing(off=frozenset({"R1"}))
    assert site.measure("R1.out", "volts", standing=behind) < 0.2, "nothing behind what is out"


def test_a_box_that_its_wire_cannot_carry_comes_and_goes():
    """It starts unloaded and drops out loaded; what stands before it moves, what is first stays."""
    doc = six_ports()
    sheets_of(doc, "endpoint")[0]["watts"] = exact(70)
    sheets_of(doc, "source")[0]["watts_max"] = 200
    site = made_up(read_job(doc), cause="none", seed=1, swing=0)
    far, near = (site.shown(at, "volts").unsteady for at in ("E1.in", "S1.out"))
    assert far and far[0] < 40 and far[1] > 48
    assert near is None
    entries = [e for e in readings(site, FLOWS) if e.get("kind") == "volts"]
    told = [e for e in entries if e["at"] == "E1.in"]
    assert told[0]["unsteady"][0] <= told[0]["value"] <= told[0]["unsteady"][1]


def test_a_port_that_is_asked_too_much_comes_and_goes_with_all_behind_it():
    doc = six_ports()
    sheets_of(doc, "source")[0]["watts_max"] = 8
    site = made_up(read_job(doc), cause="none", seed=1)
    for at in ("S1.out", "R1.out", "E1.in"):
        low, high = site.shown(at, "volts").unsteady
        assert low < 0.2 and high > 45, at


# ---------------------------------------------------------------- any job


def heavier(doc: dict) -> dict:
    """The same job with loads that much of it cannot carry."""
    for sheet in sheets_of(doc, "endpoint"):
        sheet["watts"] = exact(40)
    return doc


@pytest.mark.long
@settings(deadline=None, max_examples=60)
@given(
    st.integers(0, 10**6),
    st.sampled_from(["none", *CAUSES]),
    st.integers(0, 50),
    st.sampled_from([lambda d, s: d, with_bundles, with_lost_sets, lambda d, s: heavier(d)]),
)
@example(5, "box.restart", 0, lambda d, s: heavier(d))
def test_any_job_can_be_measured(which, cause, seed, change):
    file = read_job(change(random_job(which), which))
    try:
        site = made_up(file, cause=cause, seed=seed)
    except NotHere:
        site = made_up(file, seed=seed)
    read_job(document(site))
    places = [*site.job.boxes, *site.job.spans, *site.job.stops, *site.job.earths]
    points = [str(Point(b.id, p)) for b in site.job.boxes.values() for p in site.job.ports(b)]
    first = next(iter(points))
    standings = [
        AS_PLANNED,
        Standing(beyond=Point.parse(first)),
        Standing(off=frozenset(list(site.job.boxes)[-1:])),
        Standing(known={list(site.job.boxes)[-1]: 60.0}),
    ]
    for kind in READING_KINDS:
        for at in (*points[:: max(1, len(points) // 3)], *places[:2], "C1", "post", "EB"):
            for standing in standings:
                shown = site.shown(at, kind, None, standing, "m")
                assert shown.value == shown.value and abs(shown.value) <= OPEN_OHMS * 10
                assert kind == "celsius" or shown.value >= 0
                low, high = shown.unsteady or (0, 0)
                assert low <= high


def test_regenerating_boxes_injectors_and_lost_sets_take_their_causes():
    """Behind a box of new volts a dead one in front is felt, a low source is not."""
    doc = metered(
        chain(
            source(band(53, 54, 55)),
            run(30),
            regenerating(2, 54, 0.9),
            run(100),
            with_keys(joint()),
            run(100),
            endpoint(10),
        )
    )
    file = read_job(doc)
    plain = made_up(file, cause="none", seed=1)
    low = made_up(file, cause="source.low", where="S1", seed=1)
    assert low.measure("R1.in", "volts") < plain.measure("R1.in", "volts") - 1
    assert low.measure("E1.in", "volts") == pytest.approx(plain.measure("E1.in", "volts"), abs=0.2)
    for cause in ("box.dead", "box.no-pass"):
        site = made_up(file, cause=cause, where="R1", seed=1)
        assert site.measure("R1.out", "volts") < 0.1 and site.measure("E1.in", "mbps") == 0
    short = made_up(file, cause="span.short", where="C3", seed=1)
    assert short.measure("R1.out", "volts") < 0.1
    assert short.measure("R1.in", "volts") > 50 and short.measure("R1.in", "milliamps") < 60
