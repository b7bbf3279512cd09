"""Two plans side by side: figures by formula, counts from the document, and neither side favoured."""

from __future__ import annotations

from collections import Counter
from math import inf, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import active, arrestor, chain, endpoint, joint, run, source
from random_jobs import random_job

from engine.compare import EVEN, OTHER, THIS, Comparison, Row, compare
from engine.jobfile import read_job
from engine.judge import Judgement, judge

pytestmark = pytest.mark.pure
FEED_V, LOAD_W, CUTOFF_V = 53.5, 12.0, 37.0
METRES, OHMS_PER_KM = 300.0, 66.6
SEEDS = st.integers(0, 10_000)


def judged(doc: dict, *log: dict) -> Judgement:
    return judge(read_job({**doc, "log": list(log)}))


def plain(metres: float = METRES, *between) -> dict:
    """A source, one cable and an endpoint, all known exactly."""
    return chain(
        source(FEED_V), run(metres, OHMS_PER_KM), *between, endpoint(LOAD_W, cutoff_volts=CUTOFF_V)
    )


def row(found: Comparison, code: str, of: str = "") -> Row:
    (one,) = [one for one in found.rows if (one.code, one.of) == (code, of)]
    return one


def codes(found: Comparison) -> list[str]:
    return [one.code for one in found.rows]


# ---------------------------------------------------------------- the figures themselves


def loop_ohms(metres: float) -> float:
    """Out and back on four pairs: a conductor's ohms, halved."""
    return OHMS_PER_KM * metres / 1000 / 2


def end_volts(metres: float) -> float:
    """The higher solution of V = feed - ohms x watts / V."""
    return (FEED_V + sqrt(FEED_V**2 - 4 * loop_ohms(metres) * LOAD_W)) / 2


def most_watts(metres: float) -> float:
    """What the endpoint may draw until it is at its cut-off."""
    return CUTOFF_V * (FEED_V - CUTOFF_V) / loop_ohms(metres)


def test_the_figures_are_those_of_the_circuit_by_formula():
    found = compare(judged(plain(300)), judged(plain(450)))
    for code, formula in (
        ("end-volts", end_volts),
        ("end-volts-worst", end_volts),
        ("watts-to-spare", lambda metres: most_watts(metres) - LOAD_W),
        ("load-share", lambda metres: most_watts(metres) / LOAD_W),
    ):
        one = row(found, code)
        assert one.this == pytest.approx(formula(300), abs=0.05), code
        assert one.other == pytest.approx(formula(450), abs=0.05), code
        assert one.better == THIS, code
    assert len(set(found.ends)) == 1 and found.ends[0]


def test_works_as_expected_and_at_worst_are_two_questions():
    """A cable whose ohms may be six times what is expected works as expected and does not at worst."""
    wide = {"low": 60, "expected": 66.6, "high": 400}
    doubtful = chain(source(FEED_V), run(METRES, wide), endpoint(LOAD_W, cutoff_volts=CUTOFF_V))
    found = compare(judged(plain()), judged(doubtful))
    assert row(found, "works") == Row("works", True, True)
    assert row(found, "works-at-worst") == Row("works-at-worst", True, False, THIS)
    assert row(found, "end-volts-worst").other is None
    assert row(found, "end-volts-worst").better == THIS


def test_a_plan_that_starves_has_no_volts_and_bears_less_than_its_load():
    far = 3 * METRES * most_watts(METRES) / LOAD_W
    found = compare(judged(plain(far)), judged(plain()))
    assert row(found, "works") == Row("works", False, True, OTHER)
    assert row(found, "end-volts").this is None and row(found, "end-volts").better == OTHER
    assert row(found, "load-share").this < 1
    stops = row(found, "stops")
    assert stops.this > stops.other == 0 and stops.better == OTHER


def test_boxes_and_cable_are_counted_as_the_document_has_them():
    docs = random_job(3), random_job(8)
    found = compare(*map(judged, docs))
    for side, doc in zip((THIS, OTHER), docs, strict=True):
        kinds = Counter(doc["sheets"][box["sheet"]]["kind"] for box in doc["boxes"])
        rows = {one.of: getattr(one, side) for one in found.rows if one.code == "boxes"}
        assert {kind: count for kind, count in rows.items() if count} == kinds
        metres: Counter[str] = Counter()
        for span in doc["spans"]:
            length = span["length_m"]
            metres[span["cable"]] += length["expected"] if isinstance(length, dict) else length
        rows = {one.of: getattr(one, side) for one in found.rows if one.code == "cable"}
        assert {name: length for name, length in rows.items() if length} == pytest.approx(metres)


def test_what_is_to_be_bought_is_the_difference():
    more = chain(
        source(FEED_V),
        run(120, OHMS_PER_KM),
        arrestor(),
        run(100, OHMS_PER_KM),
        joint(),
        run(110, OHMS_PER_KM),
        endpoint(LOAD_W),
    )
    found = compare(judged(more), judged(plain(300)))
    bought = sum(need.amount for need in found.this_needs if not need.is_cable)
    there = sum(need.amount for need in found.other_needs if not need.is_cable)
    assert bought - there == len(more["boxes"]) - 2
    metres = [
        sum(n.amount for n in side if n.is_cable) for side in (found.this_needs, found.other_needs)
    ]
    assert metres[0] - metres[1] == pytest.approx(30)


def test_less_than_half_a_metre_of_cable_is_no_need():
    found = compare(judged(plain(300.4)), judged(plain(300)))
    assert found.this_needs == found.other_needs == ()


# ---------------------------------------------------------------- which of the two


def test_what_shows_the_same_is_even():
    """Ten centimetres of cable do not make a plan the better one, a hundred metres do."""
    found = compare(judged(plain(300.1)), judged(plain(300)))
    assert [one.code for one in found.rows if one.better] == []
    found = compare(judged(plain(400)), judged(plain(300)))
    assert {one.better for one in found.rows if one.code in ("end-volts", "load-share")} == {OTHER}


def test_counts_and_metres_are_nobodys_merit():
    found = compare(*(judged(random_job(seed)) for seed in (3, 8)))
    assert {one.better for one in found.rows if one.code in ("boxes", "cable")} == {EVEN}


def test_a_margin_that_one_plan_has_no_use_for_is_not_held_against_it():
    """Reach by the ports' sheets and loss by the cable are two sorts of margin."""
    reach = {"out": {"faces": "any", "reach_m": {"100": 900, "1000": 800}}}
    own = chain(
        source(FEED_V, ports=reach),
        run(METRES, OHMS_PER_KM),
        active(ports={"in": reach["out"]}),
        run(20, OHMS_PER_KM),
        endpoint(LOAD_W),
    )
    found = compare(judged(own), judged(plain(80)))
    margin = row(found, "link-margin-m")
    assert margin.this == pytest.approx(500) and margin.other is None and margin.better == EVEN


def test_where_nothing_limits_it_the_figure_is_infinite_and_the_better_one():
    idle = chain(source(FEED_V), run(METRES, OHMS_PER_KM), endpoint(0))
    found = compare(judged(idle), judged(plain()))
    share = row(found, "load-share")
    assert share.this == inf and share.better == THIS


def test_a_figure_that_neither_has_is_left_out():
    starving = plain(3 * METRES * most_watts(METRES) / LOAD_W)
    found = compare(judged(starving), judged(starving))
    assert "end-volts" not in codes(found) and "link-margin-m" not in codes(found)
    assert "works" in codes(found) and "minutes" in codes(found)


# ---------------------------------------------------------------- what holds for all


@given(SEEDS)
@settings(max_examples=15, deadline=None)
def test_a_plan_beside_itself_is_even(seed):
    one = judged(random_job(seed))
    found = compare(one, one)
    assert all(one.better == EVEN and one.this == one.other for one in found.rows)
    assert found.this_needs == found.other_needs == () and len(set(found.ends)) == 1


@given(SEEDS, SEEDS)
@settings(max_examples=15, deadline=None)
def test_from_the_other_side_the_same_is_seen(one, two):
    here, there = judged(random_job(one)), judged(random_job(two))
    swapped = {THIS: OTHER, OTHER: THIS, EVEN: EVEN}
    back = compare(there, here)
    turned = [Row(r.code, r.other, r.this, swapped[r.better], r.of) for r in back.rows]
    forth = compare(here, there)
    assert sorted(forth.rows, key=lambda r: (r.code, r.of)) == sorted(
        turned, key=lambda r: (r.code, r.of)
    )
    assert (forth.this_needs, forth.other_needs) == (back.other_needs, back.this_needs)


def test_what_was_done_on_site_has_no_part_in_it():
    """Readings, steps and repairs change nothing of how two plans compare."""
    doc, other = plain(), judged(plain(400))
    steps = [step.id for step in judged(doc).steps][:3]
    log = [{"id": f"s{n}", "what": "step", "step": s, "state": "done"} for n, s in enumerate(steps)]
    read = {"id": "r", "what": "reading", "at": f"{doc['boxes'][-1]['id']}.in", "kind": "volts"}
    worked_on = judged(doc, *log, {**read, "value": 50.0})
    assert worked_on.verdicts and any(step.state == "done" for step in worked_on.steps)
    assert compare(worked_on, other) == compare(judged(doc), other)


def test_a_plan_edited_in_its_log_is_compared_as_it_stands():
    doc = plain()
    span = doc["spans"][0]["id"]
    edit = {"id": "e", "what": "set", "path": ["spans", span, "length_m"], "as": "correction"}
    edit |= {
        "was": doc["spans"][0]["length_m"],
        "value": {"low": 450, "expected": 450, "high": 450},
    }
    found = compare(judged(doc, edit), judged(plain(450)))
    assert all(one.better == EVEN for one in found.rows)
    assert row(found, "end-volts").this == pytest.approx(end_volts(450), abs=0.05)


def test_a_plan_with_nothing_in_it_can_stand_beside_another():
    empty = {**plain(), "boxes": [], "spans": []}
    found = compare(judged(empty), judged(plain()))
    assert found.ends[0] == "" and row(found, "works") == Row("works", False, True, OTHER)
    bought = [(need.amount, need.is_cable) for need in found.other_needs]
    assert bought == [(1, False), (1, False), (METRES, True)] and found.this_needs == ()
