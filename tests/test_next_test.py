"""The next best test: what it tells, held against worked examples, and what it asks for."""

from __future__ import annotations

from collections import Counter
from math import log2

import pytest
from test_diagnose import SWING, diagnosed, plan, site

from engine.diagnose import Diagnosis
from engine.diagnose.account import accounting
from engine.diagnose.candidates import REMAKE
from engine.diagnose.nexttest import SURE, next_test
from engine.diagnose.outcomes import Blob, information
from engine.faults import FAULTS
from engine.jobfile import read_job
from engine.judge import judge
from engine.practice import ALL, document, made_up
from engine.walks import PACE_M_PER_MIN

PLAY = """
sunny hot high weak no|sunny hot high strong no|overcast hot high weak yes|rain mild high weak yes
|rain cool normal weak yes|rain cool normal strong no|overcast cool normal strong yes
|sunny mild high weak no|sunny cool normal weak yes|rain mild normal weak yes
|sunny mild normal strong yes|overcast mild high strong yes|overcast hot normal weak yes
|rain mild high strong no
"""
"""fourteen days of Mitchell 1997, table 3.2: outlook, temperature, humidity, wind, played or not"""
DAYS = [row.split() for row in PLAY.replace("\n", "").split("|")]


@pytest.mark.parametrize(("column", "bits"), [(0, 0.2467), (1, 0.0292), (2, 0.1518), (3, 0.0481)])
def test_the_information_of_a_known_table(column: int, bits: float) -> None:
    """The gains that the table is known for; guesses are yes and no, the outcome a word."""
    shares, outcomes = [], []
    for answer in ("yes", "no"):
        rows = [day for day in DAYS if day[-1] == answer]
        shares.append(len(rows) / len(DAYS))
        counts = Counter(day[column] for day in rows)
        outcomes.append(tuple(Blob(n / len(rows), word) for word, n in counts.items()))
    assert information(shares, outcomes) == pytest.approx(bits, abs=5e-5)


@pytest.mark.parametrize(
    ("each", "bits"), [(1, 0.817), (2, 1.252), (3, 1.5), (4, 1.585), (5, 1.483), (6, 1.0)]
)
def test_twelve_balls_on_a_balance(each: int, bits: float) -> None:
    """One of twelve is heavy or light; so many against so many (computed; values by hand)."""
    outcomes = []
    for ball in range(12):
        for heavy in (True, False):
            if ball < each:
                word = "left" if heavy else "right"
            elif ball < 2 * each:
                word = "right" if heavy else "left"
            else:
                word = "level"
            outcomes.append((Blob(1.0, word),))
    assert information([1 / 24] * 24, outcomes) == pytest.approx(bits, abs=5e-4)
    assert log2(24) == pytest.approx(4.585, abs=5e-4)


def test_figures_far_apart_tell_all_and_equal_ones_nothing() -> None:
    near = (Blob(1.0, "steady", (50.0,), (0.01, 0.0, 1.0)),)
    far = (Blob(1.0, "steady", (40.0,), (0.01, 0.0, 1.0)),)
    assert information([0.5, 0.5], [near, far]) == pytest.approx(1.0, abs=1e-6)
    assert information([0.5, 0.5], [near, near]) == pytest.approx(0.0, abs=1e-12)


def test_amps_with_volts_tell_more_than_volts_alone() -> None:
    """Two figures that go together under one guess and against each other under another."""
    alone = [(Blob(1.0, "steady", (m,), (1.0, 0.0, 1.0)),) for m in (0.0, 1.0)]
    both = [(Blob(1.0, "steady", (m, -m), (1.0, 0.9, 1.0)),) for m in (0.0, 1.0)]
    assert information([0.5, 0.5], both) > 2 * information([0.5, 0.5], alone)


def test_where_one_guess_is_sure_no_test_is_asked_for() -> None:
    found = diagnosed(site("load.heavy", "E1", 2)[0])
    assert found.best.probability >= SURE
    assert next_test(found) is None


def doubtful() -> Diagnosis:
    """A lost set of pairs on a short span: it looks like ohms at one of its ends."""
    found = (diagnosed(site("pairs.lost", "C1", seed)[0]) for seed in range(1, 20))
    return next(one for one in found if one.best.probability < SURE and one.best.where == "C1")


def test_a_lost_set_and_a_bad_end_are_parted_by_the_pairs_of_the_span() -> None:
    found = doubtful()
    asked = next_test(found, here="stop-0")
    assert (asked.at, asked.kind, asked.dead) == ("C1", "loop_ohms", True)
    assert asked.minutes == pytest.approx(9 + asked.walk_m / PACE_M_PER_MIN)
    assert asked.bits > 0.05
    assert next_test(found, here="stop-3").minutes > asked.minutes


@pytest.mark.parametrize(
    "hidden", [("none", None, 3), ("joint.high", "C2", 2), ("load.heavy", "E1", 5)]
)
def test_the_share_done_only_grows(hidden: tuple) -> None:
    """Slices between taps: none may tell a tired person that there is more to do than before."""
    judgement, _ = site(*hidden)
    told = list(accounting(judgement))
    assert told == sorted(told) and told[0] >= 0 and told[-1] <= 1
    assert len(told) > len(FAULTS)


def test_where_nothing_that_is_read_parts_the_guesses_a_new_plug_may() -> None:
    """Crossed pairs light a link slowly, and neither ohms nor metres show them."""
    file, _ = plan("line", SWING)
    there = made_up(file, cause="pair.crossed", where="C2", seed=1)
    found = diagnosed(judge(read_job(document(there, (*ALL, "loop_ohms", "metres")))))
    test = next_test(found)
    assert test.kind == REMAKE and test.dead and test.at in ("R1.out", "R2.in")
    mended = {(one.cause, one.where): one.mean for one in test.foretold}
    assert mended["pair.crossed", "C2"] == 0.5, "one plug of two"
    assert all(mean == 0 for (cause, _), mean in mended.items() if cause == "link.too-long")
