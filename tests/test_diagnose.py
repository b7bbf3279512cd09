"""Finding the fault: guesses fitted to all readings at once, with probabilities that mean something."""

from __future__ import annotations

import sys
from functools import cache
from math import log
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent / "bench"))

from sick_sites import plan

from engine.diagnose import Diagnosis, diagnosing
from engine.diagnose.fit import begin, fit
from engine.diagnose.remedies import UNSEEN
from engine.diagnose.scene import Scene
from engine.diagnose.trial import Loose, Trial
from engine.faults import FAULTS
from engine.faults.bends import AS_PLANNED
from engine.faults.sizes import RATES, rate
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.network import Standing
from engine.practice import ALL, CAUSES, document, made_up
from engine.predict import finish

SWING = 10.0


@cache
def site(cause: str, where: str | None, seed: int) -> tuple[Judgement, str]:
    """A made-up site with a known cause, judged, and where it truly is."""
    file, _ = plan("line", SWING)
    there = made_up(file, cause=cause, where=where, seed=seed, swing=SWING)
    return judge(read_job(document(there, ALL))), there.truth.where


def diagnosed(judgement: Judgement, **more) -> Diagnosis:
    current = [verdict for verdict in judgement.verdicts if verdict.current]
    return finish(diagnosing(judgement.prediction, current, **more))


PLAIN = (
    ("none", None),
    ("source.low", "S1"),
    ("source.dead", "S1"),
    ("span.high", "C2"),
    ("pairs.lost", "C2"),
    ("load.heavy", "E1"),
    ("load.off", "E1"),
    ("box.no-pass", "R1"),
    ("box.dead", "R2"),
    ("port.trip", "S1"),
    ("port.refused", "S1"),
)
ALIKE = {"source.dead": "port.off", "box.no-pass": "span.open", "box.dead": "box.no-pass"}
"""causes that the readings of a first walk hardly part, the likelier beforehand on the right"""


@pytest.mark.parametrize(("cause", "where"), PLAIN)
def test_a_plain_fault_is_named_with_its_place(cause: str, where: str | None) -> None:
    named = 0
    for seed in (1, 2, 3):
        judgement, there = site(cause, where, seed)
        found = diagnosed(judgement)
        best = [guess.cause for guess in found.guesses[:3]]
        named += cause in best or ALIKE.get(cause) in best
        if cause in best and cause != "none":
            assert next(g for g in found.guesses if g.cause == cause).where == there
    assert named >= 2


@pytest.mark.parametrize("cause", ["none", "span.high", "reading.typed", "port.refused"])
def test_probabilities_sum_to_one_and_are_ranked(cause: str) -> None:
    found = diagnosed(site(cause, None, 5)[0])
    chances = [guess.probability for guess in found.guesses]
    assert sum(chances) == pytest.approx(1, abs=1e-12)
    assert chances == sorted(chances, reverse=True)
    assert {"none", "other"} <= {guess.cause for guess in found.guesses}


def test_without_readings_nothing_but_the_priors_speaks() -> None:
    _, judgement = plan("line", SWING)
    found = diagnosed(judgement)
    odds = {
        (row.id, where): rate(row.id) / (1 - rate(row.id))
        for row in FAULTS.values()
        if rate(row.id) and not row.only
        for where in row.places(Scene(judgement.prediction, []))
    }
    other = rate("other") / (1 - rate("other"))
    none = 1 / (1 + other + sum(odds.values()))
    assert found.best.cause == "none"
    assert found.best.probability == pytest.approx(none, rel=1e-9)


def test_of_many_readings_alike_the_newest_few_are_weighed() -> None:
    """A meter left clipped on for a day must not keep anyone waiting, nor drown the others."""
    file, _ = plan("line", SWING)
    there = made_up(file, cause="none", seed=2)
    doc = document(there, ALL)
    last = next(one for one in reversed(doc["log"]) if one.get("kind") == "volts")
    for number in range(60):
        watts = 5.0 + number // 4
        standing = Standing(known={"E1": watts}) if number % 2 else Standing()
        moment = f"m{number}"
        more = {
            "id": f"0193a000-0000-7000-8000-{number:012x}",
            "n": doc["log"][-1]["n"] + 1,
            "moment": moment,
            "with": {"E1": {"watts": watts}} if number % 2 else {},
            "value": there.measure(last["at"], "volts", standing=standing, moment=moment),
        }
        doc["log"].append({**last, **more})
    judgement = judge(read_job(doc))
    current = [verdict.reading for verdict in judgement.verdicts if verdict.current]
    scene = Scene(judgement.prediction, [one for one in judgement.verdicts if one.current])
    here = [one for one in scene.seen if (one.asked.at, one.asked.kind) == (last["at"], "volts")]
    assert 4 < len(here) <= 12 < sum(one.at == last["at"] for one in current)
    assert max(one.reading.place for one in here) == max(one.place for one in current)
    assert sum(one.asked.standing.as_planned for one in here) <= 4
    assert diagnosed(judgement).best.cause == "none"


def test_what_nothing_was_read_of_is_not_weighed() -> None:
    """An earth without a reading says nothing, so nothing is said of it."""
    _, judgement = plan("line", SWING)
    named = {guess.cause for guess in diagnosed(judgement).guesses}
    assert named.isdisjoint({"earth.open", "earth.high", "reading.lead", "reading.no-short"})


@pytest.mark.parametrize(("where", "far"), [("C2", "R1"), ("C3", "R2")])
def test_a_short_is_found_by_a_known_load_in_front_of_it(where: str, far: str) -> None:
    """The feed folds back for as long as the short hangs on it, and for no longer."""
    file, _ = plan("line", SWING)
    there = made_up(file, cause="span.short", where=where, seed=4)
    standing = Standing(known={far: 5.0})
    assert there.measure("S1.out", "volts") < 1
    assert there.measure(f"{far}.in", "volts", standing=standing) > 50
    doc = document(there, ALL)
    for kind in ("volts", "milliamps"):
        value = there.measure(f"{far}.in", kind, standing=standing)
        told = {"what": "reading", "at": f"{far}.in", "kind": kind, "value": value}
        with_ = {far: {"watts": 5.0}}
        last = doc["log"][-1]
        doc["log"].append(
            {
                **{key: last[key] for key in ("t", "device", "meter") if key in last},
                **told,
                "with": with_,
                "id": f"0193a000-0000-7000-8000-00000000000{len(kind)}",
                "n": last["n"] + 1,
            }
        )
    best = diagnosed(judge(read_job(doc))).best
    behind = {"C2": ("C2", "C3"), "C3": ("C3",)}[where]
    assert best.cause == "span.short" and best.where in behind


def test_the_evidence_is_that_of_a_multivariate_normal() -> None:
    """At the settled point, held against SciPy's density of all readings together."""
    import numpy as np
    from scipy.stats import multivariate_normal

    judgement, _ = site("span.high", "C2", 3)
    scene = Scene(judgement.prediction, judgement.verdicts)
    for bend in (AS_PLANNED, FAULTS["span.high"].at(scene, "C2")[0][1]):
        trial = Trial(scene, bend)
        found = fit(trial)
        rows, noise = np.array(found.rows), np.array(found.noise)
        back = np.array(found.off) + rows @ np.array(found.mean)
        normal = multivariate_normal(np.zeros(len(back)), rows @ rows.T + np.eye(len(back)))
        flags = len(back) * log(1 - 0.002)
        assert found.evidence == pytest.approx(
            normal.logpdf(back) - np.log(noise).sum() + flags, abs=0.05
        )


def test_one_reading_against_all_others_is_a_fit_without_it() -> None:
    judgement, _ = site("none", None, 4)
    scene = Scene(judgement.prediction, judgement.verdicts)
    trial = Trial(scene, AS_PLANNED)
    whole = fit(trial)
    for ident, alone in list(whole.alone().items())[:4]:
        rest = fit(trial, begin(trial, whole), without=frozenset({ident}))
        assert whole.evidence - alone.log_density() == pytest.approx(rest.evidence, abs=0.05)


def test_the_fault_explains_what_the_healthy_site_does_not() -> None:
    judgement, _ = site("span.high", "C2", 3)
    found = diagnosed(judgement)
    none = next(guess for guess in found.guesses if guess.cause == "none")
    assert found.best.cause == "span.high"
    assert found.fits
    assert none.misfit > 3 * found.best.misfit


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0, 2000), min_size=13, max_size=13))
def test_absurd_readings_always_get_an_answer(values: list[float]) -> None:
    file, _ = plan("line", SWING)
    doc = document(made_up(file, cause="none", seed=0, swing=SWING), ALL)
    figures = iter(values)
    for entry in doc["log"]:
        if entry["what"] == "reading" and entry["kind"] != "mbps":
            entry["value"] = round(next(figures), 2)
    found = diagnosed(judge(read_job(doc)))
    assert sum(guess.probability for guess in found.guesses) == pytest.approx(1, abs=1e-9)
    assert not any(guess.probability < 0 for guess in found.guesses)


def test_what_lies_between_two_states_is_as_likely_anywhere() -> None:
    import numpy as np

    loose = Loose(10.0, 50.0, 0.5)
    grid = np.linspace(0, 60, 6001)
    density = np.exp([loose.log_density(x) for x in grid])
    assert np.trapezoid(density, grid) == pytest.approx(1, abs=1e-3)
    assert loose.log_density(30) == pytest.approx(-log(40), abs=1e-6)


def test_every_cause_that_practice_can_hide_is_known_here() -> None:
    known = set(FAULTS) | set(UNSEEN) | {"reading.typed", "reading.unit", "reading.place"}
    assert set(CAUSES) <= known | {"reading.ac"}
    for cause in FAULTS:
        assert f"{cause} first" in RATES
