"""The parts of a diagnosis by themselves: its algebra, and how readily lights and pairs are seen."""

from __future__ import annotations

import json
import sys
from math import log
from pathlib import Path
from statistics import mean, stdev

import numpy as np
import pytest
from attrs import evolve
from scipy.stats import chi, norm

sys.path.insert(0, str(Path(__file__).parent / "bench"))

from sick_sites import plan

from engine.bands import PAIR_LAY
from engine.diagnose import chances
from engine.diagnose.cholesky import across, backward, factoring, forward, half_log_det
from engine.diagnose.scene import Scene
from engine.diagnose.trial import Loose, Trial
from engine.faults import FAULTS
from engine.faults.bends import AS_PLANNED
from engine.faults.sizes import CHANCES
from engine.jobfile import read_job
from engine.judge import judge
from engine.practice import ALL, document, made_up
from engine.sliced import finish

SAMPLES = Path(__file__).parent.parent / "sample_jobs"


@pytest.mark.parametrize("count", [1, 5, 60])
def test_the_algebra_of_a_fit_is_that_of_numpy(count):
    rng = np.random.default_rng(count)
    rows, right = rng.normal(size=(count, 2 * count)), rng.normal(size=count)
    whole = np.eye(count) + rows @ rows.T
    factor = finish(factoring(rows.tolist()))
    for i, row in enumerate(factor):
        assert row == pytest.approx(np.linalg.cholesky(whole)[i, : i + 1].tolist())
    solved = backward(factor, forward(factor, right.tolist()))
    assert solved == pytest.approx(np.linalg.solve(whole, right).tolist())
    assert across(rows.tolist(), right.tolist(), 2 * count) == pytest.approx(rows.T @ right)
    assert half_log_det(factor) == pytest.approx(np.linalg.slogdet(whole)[1] / 2)


@pytest.mark.parametrize("freedom", [1, 2, 3])
def test_the_spread_of_pairs_has_the_density_of_chi(freedom):
    """A sample's deviation times the root of its freedom is chi about the true one (SciPy)."""
    for sd in (0.05, 0.4):
        for spread in (0.01, 0.05, 0.3, 1.0):
            exact = chi(freedom, scale=sd / freedom**0.5).pdf(spread)
            assert chances._chi(spread, sd, freedom) == pytest.approx(exact, rel=1e-9)


@pytest.fixture(scope="module")
def scene() -> Scene:
    """A sound made-up site, all of it read."""
    file, _ = plan("line", 10.0)
    judgement = judge(read_job(document(made_up(file, cause="none", seed=2), ALL)))
    return Scene(judgement.prediction, judgement.verdicts)


def test_whatever_is_wrong_the_lights_of_a_link_are_one_of_all_there_could_be(scene):
    """Full speed, each slower one, none: together 1, under every guess and at every link."""
    bends = [AS_PLANNED]
    for row in FAULTS.values():
        bends += [bend for where in row.places(scene) for _, bend in row.at(scene, where)]
    lit = [one for one in scene.counted if one.kind == "mbps"]
    seen = set()
    for bend in bends:
        trial = Trial(scene, bend)
        for reading in lit:
            link = scene.link_at(reading.at)
            values = [*(one for one in link.shared if one <= link.expected_mbps), 0]
            each = [chances._light(trial, link, evolve(reading, value=one)) for one in values]
            assert sum(each) == pytest.approx(1)
            assert all(0 <= one <= 1 for one in each)
            seen.add(each[values.index(link.expected_mbps)])
    assert {CHANCES["light sound"].value, CHANCES["light dark"].value} < seen


@pytest.mark.parametrize("closed", [0, 1, 3, 4])
def test_a_pair_that_does_not_close_speaks_for_what_opens_one(closed):
    sound, some, every = (chances._open(lost, 4, closed) for lost in (None, "A", "all"))
    assert all(0 < one < 1 for one in (sound, some, every))
    if closed == 4:
        assert sound > some == every
    elif closed:
        assert some > every > sound
    else:
        assert every > sound and every > some


def test_pairs_that_differ_speak_for_what_makes_one_of_them_higher():
    lay = 0.05
    sound, joint, contact = (
        [chances._spread(cause, spread, lay, 4) for spread in (0.05, 2.0)]
        for cause in (None, "joint.high", "contact.high")
    )
    assert sound[0] > max(joint[0], contact[0])
    assert sound[1] == chances.LEAST < min(joint[1], contact[1])


def test_of_several_slower_speeds_each_is_as_likely():
    """Between boxes of a gigabit there are two, and none at all is what is left."""
    doc = json.loads((SAMPLES / "tide-mill.json").read_text(encoding="utf-8"))
    for sheet in doc["sheets"].values():
        if "speeds_mbps" in sheet:
            sheet["speeds_mbps"] = [10, 100, 1000]
    lit = {"id": "e1", "device": "d", "n": 1, "what": "reading", "at": "R1.in", "kind": "mbps"}
    judgement = judge(read_job({**doc, "log": [{**lit, "value": 1000}]}))
    scene = Scene(judgement.prediction, judgement.verdicts)
    (reading,) = scene.counted
    link, trial = scene.link_at("R1.in"), Trial(scene, AS_PLANNED)
    each = {
        mbps: chances._light(trial, link, evolve(reading, value=mbps))
        for mbps in (1000, 100, 10, 0)
    }
    assert set(link.shared) == {1000, 100, 10}
    assert each[100] == each[10] > 0
    assert sum(each.values()) == pytest.approx(1)


def test_where_two_states_are_hardly_apart_a_figure_is_a_normal_about_their_middle():
    for value in (29.0, 30.2, 31.0):
        exact = norm(30.01, 0.5).logpdf(value)
        assert Loose(30.0, 30.02, 0.5).log_density(value) == pytest.approx(exact)


def test_how_pairs_differ_is_a_samples_deviation(scene):
    ohms = {"1": 9.0, "2": 9.3, "3": 9.1}
    reading = evolve(scene.readings[0], at="C2", kind="loop_ohms", value=None, pairs=ohms)
    lay = max(PAIR_LAY * mean(ohms.values()), chances._digits(scene, reading))
    exact = chi(2, scale=lay / 2**0.5).pdf(stdev(ohms.values()))
    closed = log(1 - CHANCES["pair open sound"].value)
    assert chances.pairs_chance(scene, AS_PLANNED, reading) == pytest.approx(closed + log(exact))
