"""What each hidden cause shows on a made-up site, and the table they are drawn from."""

from __future__ import annotations

from statistics import mean

import pytest
from practised_runs import SEEDS, job, pairs_of

from engine.job import Point
from engine.network import AS_PLANNED
from engine.pairs import contact_ohms
from engine.phrases.practice import KINDS, TRUTHS, truth
from engine.practice import (
    AT_FIRST,
    CAUSES,
    LIGHTS,
    MADE_UP,
    SIZES,
    NotHere,
    Site,
    document,
    made_up,
    readings,
)
from engine.practice.site import OPEN_OHMS

pytestmark = pytest.mark.pure

# ---------------------------------------------------------------- what each cause shows

SAME, LOWER, HIGHER, NONE, SEARCH, MOVES = "same", "lower", "higher", "none", "searching", "moves"
LIT, LESS, DEAD = "lit", "less", "dead"
SMALL = 0.004
"""a change by less is none"""
ENOUGH = 10
"""sites a cause"""

TRACES: dict[str, tuple[str, str]] = {
    # S1 -C1- L1 -C2- A1 -C3- A2 -C4- L2 -C5- E1; volts unless a letter says mA or a link
    "source.dead": ("S1", "S1.out none, E1.in none, S1.out mA none, E1.in link dead"),
    "source.low": ("S1", "S1.out lower, E1.in lower, S1.out mA higher, E1.in link lit"),
    "feed.twice": ("S1", "S1.out higher, E1.in higher, S1.out mA lower, E1.in link lit"),
    "source.soft": ("S1", "S1.out lower, E1.in lower, E1.in link lit"),
    "port.off": ("S1", "S1.out none, E1.in none, S1.out mA none"),
    "port.refused": ("S1", "S1.out searching, S1.out mA none, E1.in mA none, L1.out link dead"),
    "port.trip": ("S1", "S1.out moves, L1.out moves, E1.in moves"),
    "budget.shed": ("S1", "S1.out none, S1.out mA none, L1.out link dead"),
    "span.high": ("C3", "S1.out same, L1.in same, L2.in lower, E1.in lower, S1.out mA higher"),
    "span.open": (
        "C5",
        "L2.out higher, E1.in none, E1.in mA none, S1.out mA lower, E1.in link dead",
    ),
    "span.short": ("C3", "S1.out none, E1.in none, S1.out mA none, L2.in link dead"),
    "joint.high": ("C3", "S1.out same, L1.in same, L2.in lower, E1.in lower"),
    "contact.high": ("C3", "S1.out same, L1.in same, L2.in same, E1.in same, S1.out mA same"),
    "pairs.lost": ("C3", "L1.in same, L2.in lower, S1.out mA higher, L2.in link less"),
    "pair.split": ("C3", "L1.in same, L2.in same, E1.in same, S1.out mA same"),
    "pair.crossed": ("C3", "L1.in same, L2.in same, L2.in link less, E1.in link lit"),
    "load.heavy": ("E1", "E1.in lower, E1.in mA higher, S1.out mA higher, E1.in link lit"),
    "load.off": ("E1", "E1.in higher, E1.in mA lower, S1.out mA lower, E1.in link dead"),
    "load.varies": ("E1", "S1.out same, L1.out link lit, E1.in link lit"),
    "box.reversed": ("L2", "L2.in same, E1.in same, L2.in link dead, E1.in link dead"),
    "box.dead": ("L2", "L2.in higher, L2.in mA none, L2.out none, E1.in none, L2.in link dead"),
    "box.heavy": ("L2", "L2.in lower, S1.out mA higher, L2.in link lit, E1.in link lit"),
    "box.restart": ("L2", "S1.out same, L2.in moves, E1.in moves"),
    "box.no-pass": ("L2", "L2.in higher, L2.out none, E1.in none, L2.in link lit, E1.in link dead"),
    "arrestor.open": ("A1", "L1.in same, E1.in link less"),
    "arrestor.short": ("A1", "S1.out none, E1.in none, L2.in link dead"),
    "arrestor.reversed": ("A1", "S1.out same, L2.in same, E1.in same, L2.in link lit"),
    "earth.open": ("EB", "S1.out same, E1.in same, L2.in link lit, E1.in link lit"),
    "earth.high": ("EB", "S1.out same, E1.in same, L2.in link lit, E1.in link lit"),
    "link.slow-endpoint": ("E1", "E1.in same, S1.out mA same, E1.in link dead, L2.in link lit"),
    "link.pair-open": ("C3", "L1.in same, L2.in link less, E1.in link lit"),
    "link.too-long": ("C3", "L1.in same, L2.in link less, E1.in link lit"),
    "link.noise": ("C3", "L2.in same, E1.in same, L2.in link lit"),
    "link.port-down": ("L2.out", "E1.in same, S1.out mA same, E1.in link dead, L2.in link lit"),
}
"""as the table of causes tells it, held against the same site without the cause"""


def trace(site: Site, sound: Site, at: str, kind: str) -> str:
    """One word for what became of a figure."""
    if kind == "mbps":
        now, then = (one.measure(at, kind, moment="m") for one in (site, sound))
        assert then == 1000
        return DEAD if now == 0 and not site.data.lights else LIT if now == then else LESS
    now, then = (one.shown(at, kind, moment="m") for one in (site, sound))
    if now.unsteady:
        return MOVES
    if Point.parse(at) in site.happening(AS_PLANNED, "m").searching and kind == "volts":
        return SEARCH
    if now.value <= {"volts": 0.1, "milliamps": 2}[kind]:
        return NONE
    change = now.value / then.value - 1
    return SAME if abs(change) <= SMALL else HIGHER if change > 0 else LOWER


def all_lit(site: Site) -> bool:
    return all(site.measure(at, "mbps", moment="m") == 1000 for at in ("L1.out", "L2.in", "E1.in"))


def told(cause: str) -> list[tuple[str, str, str]]:
    """The table's words as (point, kind, word)."""
    out = []
    for part in TRACES[cause][1].split(", "):
        at, *kind, word = part.split()
        out.append((at, {"mA": "milliamps", "link": "mbps"}.get("".join(kind), "volts"), word))
    return out


@pytest.mark.parametrize("cause", TRACES)
def test_a_cause_leaves_the_trace_that_its_table_tells(cause):
    where, checked = TRACES[cause][0], 0
    for seed in range(60):
        sound = made_up(job("whole"), cause="none", seed=seed)
        if not all_lit(sound):
            continue  # one light in two hundred is dull on a sound site too
        site = made_up(job("whole"), cause=cause, where=where, seed=seed)
        row = CAUSES[cause].size_of(site.truth.kind)
        if row and cause != "contact.high" and site.truth.size < row.value:
            continue  # the smaller half may drown in the meter
        if cause == "pairs.lost" and site.measure("L2.in", "mbps") == 1000:
            continue  # two in a hundred
        seen = {(at, kind): trace(site, sound, at, kind) for at, kind, _ in told(cause)}
        if cause == "arrestor.open" and site.truth.kind == "set":
            assert seen.pop(("E1.in", "mbps")) == LIT
            assert trace(site, sound, "L2.in", "volts") == LOWER
        elif cause == "arrestor.open":
            assert trace(site, sound, "L2.in", "volts") == NONE
            seen.pop(("E1.in", "mbps"))
            seen.pop(("L1.in", "volts"))  # above the plan: nothing is drawn behind it
        for (at, kind), word in seen.items():
            wanted = next(w for a, k, w in told(cause) if (a, k) == (at, kind))
            assert word == wanted, (seed, at, kind, word, site.truth)
        checked += 1
        if checked == ENOUGH:
            break
    assert checked == ENOUGH


def test_every_cause_is_tried_here():
    of_readings = {cause for cause in CAUSES if cause.startswith("reading.")}
    assert set(TRACES) | of_readings == set(CAUSES)
    assert of_readings == set(SLIPS)


def test_a_contact_is_all_but_invisible_to_volts_and_plain_in_its_pair():
    """0.23 of 5 ohm: each way has four conductors, one of them with 5 ohm more."""
    conductor, more = 10.0, 5.0
    side = 1 / (3 / conductor + 1 / (conductor + more))
    sound = conductor / 4
    assert contact_ohms(2 * sound, 4, more) == pytest.approx(side - sound)
    dull = 0
    for seed in SEEDS:
        site = made_up(job("whole"), cause="contact.high", where="C3", seed=seed)
        was = made_up(job("whole"), cause="none", seed=seed)
        assert 0 <= was.measure("L2.in", "volts") - site.measure("L2.in", "volts") <= 0.2
        pairs = sorted(site.shown("C3", "loop_ohms").pairs.values())
        assert pairs[3] - pairs[2] > 0.5 * site.truth.size and pairs[2] - pairs[0] < 2
        assert site.measure("C3", "unbalance_ohms") >= 0.9 * site.truth.size
        dull += site.measure("L2.in", "mbps") < 1000
    assert 0 < dull < len(SEEDS)


def test_a_lost_set_doubles_the_way_between_two_joining_places_and_no_other():
    """Everything from L1.in to L2.in doubles, arrestors too; what is behind L2 stays."""
    for seed in SEEDS:
        sound = made_up(job("whole"), cause="none", seed=seed, swing=0)
        site = made_up(job("whole"), cause="pairs.lost", where="C3", seed=seed, swing=0)

        def ohms(one: Site, a: str, b: str) -> float:
            now = one.happening()
            flows = [now.flow(Point.parse(at)) for at in (a, b)]
            return (flows[0].volts - flows[1].volts) / flows[1].amps

        doubled = ohms(site, "L1.in", "L2.in") / ohms(sound, "L1.in", "L2.in")
        assert doubled == pytest.approx(2)
        for a, b in (("S1.out", "L1.out"), ("L2.out", "E1.in")):
            assert ohms(site, a, b) == pytest.approx(ohms(sound, a, b))
        closed = [o for o in site.shown("C3", "loop_ohms").pairs.values() if o < OPEN_OHMS]
        assert len(closed) in (2, 3)
        assert all(o < OPEN_OHMS for o in site.shown("C2", "loop_ohms").pairs.values())


def test_a_bad_end_raises_the_pairs_unevenly():
    spreads = []
    for seed in SEEDS:
        site = made_up(job("whole"), cause="joint.high", where="C3", seed=seed)
        was = made_up(job("whole"), cause="none", seed=seed)
        bad, good = (list(one.shown("C3", "loop_ohms").pairs.values()) for one in (site, was))
        # loop ohms of all four pairs side by side: each pair's own loop has four times as many
        assert mean(bad) - mean(good) == pytest.approx(4 * site.truth.size, rel=0.1, abs=0.3)
        spreads.append(max(bad) - min(bad))
    assert max(spreads) > 2


@pytest.mark.parametrize("kind", ["clad", "thin", "long", "hot"])
def test_only_a_longer_span_has_more_metres(kind):
    found = 0
    for seed in range(80):
        site = made_up(job("whole"), cause="span.high", where="C3", seed=seed)
        if site.truth.kind != kind:
            continue
        was = made_up(job("whole"), cause="none", seed=seed)
        ohms, metres = (
            mean(site.shown("C3", k).pairs.values()) / mean(was.shown("C3", k).pairs.values())
            if k == "loop_ohms"
            else site.measure("C3", k) / was.measure("C3", k)
            for k in ("loop_ohms", "metres")
        )
        assert ohms == pytest.approx(site.truth.size, rel=0.02)
        assert metres == pytest.approx(site.truth.size if kind == "long" else 1, rel=0.01)
        assert (site.truth.size <= 1.25) == (kind == "hot") or site.truth.size >= 1.2
        found += 1
    assert found


def test_silent_causes_show_in_earth_ohms_alone_or_not_at_all():
    plain = made_up(job("whole"), cause="none", seed=4)
    assert plain.measure("EB", "earth_ohms") < 10
    for cause, least in (("earth.high", 12.5), ("earth.open", 290)):
        site = made_up(job("whole"), cause=cause, seed=4)
        assert site.measure("EB", "earth_ohms") > least
        assert pairs_of(readings(site)) == pairs_of(readings(plain))
        assert "earth_ohms" in {e["kind"] for e in document(site)["log"] if "kind" in e}
    turned_round = made_up(job("whole"), cause="arrestor.reversed", seed=4)
    assert document(turned_round) == document(plain)


def test_a_load_that_varies_disagrees_by_moments():
    site = made_up(job("whole"), cause="load.varies", seed=2)
    now = [site.measure("E1.in", "milliamps", moment=m) for m in "abcdefgh"]
    plain = made_up(job("whole"), cause="none", seed=2)
    then = [plain.measure("E1.in", "milliamps", moment=m) for m in "abcdefgh"]
    assert max(now) / min(now) > 1.5 > 1.1 > max(then) / min(then)


def test_noise_damages_frames_and_nothing_else():
    site = made_up(job("whole"), cause="link.noise", where="C3", seed=2)
    plain = made_up(job("whole"), cause="none", seed=2)
    assert pairs_of(readings(site)) == pairs_of(readings(plain))
    assert site.measure("L2.in", "error_count") > 5 > plain.measure("L2.in", "error_count") == 0
    entries = [e for e in document(site)["log"] if e.get("kind") == "error_count"]
    assert entries and all(e["seconds"] == 900 for e in entries)


# ---------------------------------------------------------------- between meter and log

SLIPS = {
    "reading.typed": "E1.in",
    "reading.unit": "E1.in",
    "reading.place": "E1.in",
    "reading.ac": "E1.in",
    "reading.state": "E1",
    "reading.lead": "m1",
    "reading.no-short": "C3",
}


@pytest.mark.parametrize("cause", SLIPS)
def test_a_misread_figure_is_odd_and_its_neighbours_agree(cause):
    for seed in SEEDS:
        site = made_up(job("whole"), cause=cause, where=SLIPS[cause], seed=seed)
        kinds = (*AT_FIRST, "loop_ohms")
        now = pairs_of(readings(site, kinds))
        then = pairs_of(readings(made_up(job("whole"), cause="none", seed=seed), kinds))
        changed = {key for key in now if now[key] != then[key]}
        assert changed, seed
        volts, was = now["E1.in", "volts"], then["E1.in", "volts"]
        if cause == "reading.state":
            assert now["E1.in", "milliamps"] <= 2 and now["S1.out", "milliamps"] < 200
            assert volts > was and now["E1.in", "mbps"] == 0
        elif cause == "reading.lead":
            assert changed == {(span, "loop_ohms") for span in site.job.spans}
            more = [now[k][p] - then[k][p] for k in changed for p in now[k]]
            assert min(more) >= 0.1 and max(more) <= 0.7
        elif cause == "reading.no-short":
            assert changed == {("C3", "loop_ohms")}
            assert set(now["C3", "loop_ohms"].values()) == {OPEN_OHMS}
            assert volts > 45, "a span that carries power"
        elif cause == "reading.unit":
            kind = site.truth.kind
            assert changed == {("E1.in", kind)}
            factor = 1000 if kind == "volts" else 0.001
            assert now["E1.in", kind] == pytest.approx(then["E1.in", kind] * factor)
        elif cause == "reading.place":
            assert changed <= {("E1.in", "volts"), ("L2.out", "volts")}
            assert volts == then["L2.out", "volts"]
            exchanged = site.truth.kind == "exchanged"
            assert now["L2.out", "volts"] == (was if exchanged else then["L2.out", "volts"])
        elif cause == "reading.typed":
            assert changed == {("E1.in", "volts")}
            if site.truth.kind == "slipped":
                assert volts == pytest.approx(was * 10) or volts == pytest.approx(was / 10)
            else:
                assert sorted(f"{volts:05.2f}") == sorted(f"{was:05.2f}")
        else:
            assert changed == {("E1.in", "volts")}
            assert volts < 0.4 or 2 < volts / was < 2.4
        if cause not in ("reading.lead", "reading.no-short"):
            again = site.measure("E1.in", "volts", moment="later")
            assert again == pytest.approx(was, rel=0.03), "a repeat is plain"


# ---------------------------------------------------------------- the table


def test_every_size_and_chance_says_where_it_is_from():
    rows = [*SIZES.values(), *LIGHTS.values(), *MADE_UP.values()]
    assert all(row.source and row.mark in ("from memory", "common practice") for row in rows)
    for cause in CAUSES.values():
        assert not cause.size or cause.size in SIZES
    contract = {
        "span.high": (1.2, 1.55, 2),
        "joint.high": (1, 4.5, 12),
        "load.heavy": (1.05, 1.35, 1.8),
        "load.off": (0, 0.03, 0.1),
        "source.low": (0.85, 0.91, 0.97),
        "box.heavy": (1.2, 2.2, 3.5),
    }
    for name, size in contract.items():
        assert (SIZES[name].low, SIZES[name].value, SIZES[name].high) == size


def test_sizes_lie_within_their_row():
    for cause in CAUSES.values():
        for seed in range(8):
            try:
                hidden = made_up(job("whole"), cause=cause.id, seed=seed).truth
            except NotHere:
                pytest.fail(f"{cause.id} has no place in the whole run")
            row = cause.size_of(hidden.kind)
            assert (hidden.size is None) == (row is None)
            assert row is None or row.low <= hidden.size <= row.high
            told = truth(hidden.cause, hidden.where, hidden.kind, hidden.size, hidden.end)
            assert told.endswith(".") and "{" not in told and "None" not in told


def test_every_cause_has_its_sentence():
    assert set(TRUTHS) == {"none", *CAUSES}
    kinds = {kind for cause in CAUSES.values() for kind, _ in cause.kinds}
    assert kinds - {"near none", "double"} == set(KINDS)


@pytest.mark.long
def test_causes_drawn_at_random_are_mostly_there_and_show():
    drawn = [made_up(job("whole"), seed=seed).truth.cause for seed in range(400)]
    assert 0.15 < drawn.count("none") / 400 < 0.25, "one in five is sound"
    assert all(CAUSES[cause].at_first for cause in set(drawn) - {"none"})
    assert len(set(drawn)) > 15
    common, rare = (drawn.count(cause) for cause in ("contact.high", "source.dead"))
    assert common > 3 * max(rare, 1), "by their rates"
    at = {made_up(job("whole"), where="C3", seed=seed).truth.where for seed in SEEDS}
    assert at == {"C3"}, "with a place asked for, there is something"


@pytest.mark.parametrize(
    ("cause", "where", "near", "possible"),
    [
        ("span.hihg", None, "span.high", "span.open"),
        ("span.high", "L1", None, "C1"),
        ("span.high", "C9", None, "C3"),
        ("none", "C1", None, None),
        (None, "nowhere", None, "C1"),
    ],
)
def test_a_cause_that_cannot_be_there_is_refused(cause, where, near, possible):
    with pytest.raises(NotHere) as refused:
        made_up(job("whole"), cause=cause, where=where)
    assert near is None or refused.value.near == near
    assert possible is None or possible in refused.value.possible


def test_a_cause_without_a_place_in_the_job_is_refused():
    with pytest.raises(NotHere) as refused:
        made_up(job("six"), cause="arrestor.open")
    assert refused.value.possible == ()
