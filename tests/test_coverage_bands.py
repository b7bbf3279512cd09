"""Do today's bands hold what they say? Thousands of true sites, drawn and solved without the engine.

A band is two deviations either way: of a normal, 95.4 % lie inside. The unknowns are drawn as
the model states them, the site is solved as it is (``measuring_sites``), the meter's errors and
the swing of the load are drawn too. Long form, with a table: ``python
tests/test_coverage_bands.py 20000``.
"""

from __future__ import annotations

import sys
from collections.abc import Mapping
from functools import cache
from math import sqrt
from typing import Any

import numpy as np
import pytest
from by_contract import walk
from jobs import band, chain, endpoint, run, source
from measuring_cases import CASES, METER, PLAIN, PLANS, Place, metered, spread, stated
from measuring_sites import KINDS, Sites, drawn, inside
from random_jobs import random_job
from scipy.optimize import least_squares
from scipy.stats import uniform

from engine.bands import Predicted, Today
from engine.figures import Asked
from engine.jobfile import read_job
from engine.log import Reading
from engine.network import AS_PLANNED, build
from engine.operating import Conditions
from engine.operating import run as solve
from engine.predict import predict
from engine.say import Say
from engine.unknowns import PER_MOMENT, Site

DRAWS = 4000
SITES = 1500
LEAST, MOST = 0.935, 0.965
"""share inside; a normal has 0.954"""
NO_BAND = 0.005
"""share of sites at most that hold although what was learned of them says that they cannot"""
CONTACT_VOLTS = 0.05
"""what a contact may cost on each volts reading, as a limit; job format, section 5"""


class Case:
    """A job, what is known of it before any reading, and its true sites."""

    def __init__(self, doc: Mapping[str, Any]) -> None:
        self.job = read_job(doc).plan
        study = predict(self.job).study
        self.study = study
        self.today = Today.start(self.job, study.network, study.limits)
        self.unknowns = self.today.columns.figures.site.unknowns
        self.sites = Sites(doc)

    @property
    def places(self) -> list[Place]:
        """Every powered point and kind, and the loop of every span."""
        points = [(str(point), kind) for point in self.study.network.where for kind in KINDS]
        return [*points, *((span, "loop_ohms") for span in self.job.spans)]


@cache
def case(name: str) -> Case:
    """One of the cases, made once."""
    return Case(metered(CASES[name]()))


def bounds(count: int) -> tuple[float, float]:
    """What a share must lie between when it is counted on so many draws: three deviations more."""
    slack = 3 * sqrt(0.046 * 0.954 / count)
    return LEAST - slack, MOST + slack


def errors(kind: str, true: np.ndarray, rng, gain: np.ndarray | float) -> np.ndarray:
    """What a meter shows: its gain, and what is each reading's own."""
    accuracy = METER[kind]
    limits = [accuracy["digits"] * accuracy["resolution"]]
    if kind == "volts":
        limits.append(CONTACT_VOLTS)
    own = sqrt(sum(limit**2 for limit in limits) / 3)
    return true * (1 + gain) + rng.normal(0, own, len(true))


def gains(kind: str, count: int, rng) -> np.ndarray:
    """By what share a meter reads high on one kind."""
    return rng.normal(0, METER[kind]["percent"] / 100 / sqrt(3), count)


def covered(name: str, count: int, shape: str = "normal") -> dict[Place, tuple]:
    """By place and kind: the share of true figures in the band, and of readings within |z| 2."""
    here, rng = case(name), np.random.default_rng(len(name))
    true = here.sites.figures(drawn(here.unknowns, count, rng, shape))
    found = {}
    for at, kind in here.places:
        told = here.today.predict(Asked(at, kind))
        shown = here.today.predict(Asked(at, kind, meter="m1"))
        assert isinstance(told, Predicted)
        assert isinstance(shown, Predicted)
        figure = true[at, kind]
        if told.own < 1e-9:
            continue
        reading = errors(kind, figure, rng, gains(kind, count, rng))
        z = np.array([shown.z(value) for value in reading[~np.isnan(reading)]])
        found[at, kind] = (
            inside(figure, told.band.low, told.band.high).mean(),
            (np.abs(z) <= 2).mean(),
            z,
        )
    return found


# ---------------------------------------------------------------- what is drawn

PLUG_OHMS = 0.02
"""a limit on each conductor of a plug, all of one plug alike; job format, section 5"""


@pytest.mark.parametrize("seed", range(8200, 8212))
def test_the_unknowns_are_those_of_the_file(seed):
    """Means and deviations of all quantities, from the document by SciPy's distributions."""
    doc = random_job(seed)
    job = read_job(doc).plan
    unknowns = Site(job, build(job)).unknowns
    spans = {span["id"] for span in doc["spans"]}
    pairs = {e.thing["id"]: e.pairs for f in walk(doc) for e in f.edges if "cable" in e.thing}
    assert {key[1] for key in unknowns if key[0] == "ends"} == spans == set(pairs)
    for key, unknown in unknowns.items():
        if key[0] == "swing":
            box = next(box for box in doc["boxes"] if box["id"] == key[1])
            percent = doc["sheets"][box["sheet"]].get("watts_swing_percent", 10)
            mean, sd = 0.0, uniform(-percent / 100, percent / 50).std()
        else:
            mean, sd = spread(*stated(doc, key))
        if key[0] == "ends":
            # of the loop: two plugs, in each the conductors of this many pairs side by side
            plug = uniform(-PLUG_OHMS, 2 * PLUG_OHMS).std() * 2 / pairs[key[1]]
            sd = sqrt(sd**2 + 2 * plug**2)
        assert unknown.mean == pytest.approx(mean, rel=1e-12, abs=1e-15), key
        assert unknown.sd == pytest.approx(sd, rel=1e-9, abs=1e-15), key


# ---------------------------------------------------------------- the other solver


@pytest.mark.parametrize("name", CASES)
def test_the_two_solvers_agree(name):
    """On thirty draws, at every point; one that cannot be held cannot be held in the other."""
    here = case(name)
    values = drawn(here.unknowns, 30, np.random.default_rng(5))
    true = here.sites.figures(values)
    held = 0
    for i in range(30):
        one = {key: float(value[i]) for key, value in values.items()}
        solved = solve(here.today.columns.figures.site.circuit(one), Conditions())
        assert solved.holds == (not any(np.isnan(value[i]) for value in true.values()))
        for point, flow in solved.flows.items():
            held += 1
            shown = (flow.volts, 1000 * flow.amps, flow.watts)
            for kind, value in zip(KINDS, shown, strict=True):
                assert true[str(point), kind][i] == pytest.approx(value, rel=1e-7, abs=1e-9)
    assert held > 60


# ---------------------------------------------------------------- before any reading


@pytest.mark.parametrize("name", PLAIN)
def test_the_bands_hold_95_in_a_hundred(name):
    """The true figure in the band, and a meter's reading within two deviations, everywhere."""
    least, most = bounds(DRAWS)
    found = covered(name, DRAWS)
    assert len(found) > 10
    wrong = {
        place: (true, read)
        for place, (true, read, _) in found.items()
        if not (least <= true <= most and least <= read <= most)
    }
    assert wrong == {}


def test_near_collapse_the_bands_are_uneven_and_still_hold():
    """A load share of 1.1 to 1.2: the way down is longer, and both sides leave out their share."""
    here = case("near collapse")
    share = predict(here.job).load_share
    assert 1.1 <= share <= 1.2
    told = here.today.predict(Asked("E1.in", "volts"))
    assert told.band.low is not None
    assert told.expected - told.band.low > 1.2 * (told.band.high - told.expected)
    least, most = bounds(DRAWS)
    found = covered("near collapse", DRAWS)
    wrong = {
        place: (true, read)
        for place, (true, read, _) in found.items()
        if not (least <= true <= most and least <= read <= most)
    }
    assert wrong == {}
    rng = np.random.default_rng(3)
    volts = here.sites.figures(drawn(here.unknowns, DRAWS, rng))["E1.in", "volts"]
    below = np.mean(~(volts >= told.band.low))
    above = np.mean(volts > told.band.high)
    assert 0.008 < below < 0.045
    assert 0.008 < above < 0.045
    # two deviations of the straight line would leave out twice as many below, half as many above
    line = (told.expected - 2 * told.own, told.expected + 2 * told.own)
    assert np.mean(~(volts >= line[0])) > 1.6 * below
    assert np.mean(volts > line[1]) < 0.6 * above
    # a reading's deviations are counted with the width of its own side
    _, _, z = found["E1.in", "volts"]
    assert 0.008 < np.mean(z < -2) < 0.04
    assert 0.012 < np.mean(z > 2) < 0.04


@pytest.mark.parametrize("name", PLAIN)
def test_limits_that_are_rectangles_are_held_too(name):
    """Drawn between limits, with the same deviations, a band holds at least as much."""
    found = covered(name, DRAWS, "rectangular")
    least, _ = bounds(DRAWS)
    assert min(min(true, read) for true, read, _ in found.values()) >= least


# ---------------------------------------------------------------- after some readings


def entry(at: str, kind: str, value: float, moment: str, meter: str = "m1") -> Reading:
    """A reading as the log folds it."""
    return Reading(
        id=f"{at}-{kind}-{moment}",
        at=at,
        kind=kind,
        value=value,
        pairs=None,
        meter=meter,
        standing=AS_PLANNED,
        moment=moment,
        by="Ida",
        t=None,
    )


def calibrated(plan: str, sites: int) -> dict[Place, tuple[float, float, float]]:
    """Over many sites, each read and learned from: coverage of the next reading's prediction.

    Every reading is one moment of its own, so the load swings in between; all are shown by one
    meter. Gives by place and kind: share of true figures in the band, of readings within two
    deviations, mean of z squared.
    """
    name, taken, asked = PLANS[plan]
    here, rng = case(name), np.random.default_rng(sites + len(plan))
    values = drawn(here.unknowns, sites, rng)
    gain = {kind: gains(kind, sites, rng) for kind in METER if kind != "kind"}
    shown: dict[Place, np.ndarray] = {}
    true: dict[Place, np.ndarray] = {}
    for at, kind in (*taken, *asked):
        swings = {key: one for key, one in here.unknowns.items() if key[0] in PER_MOMENT}
        moment = here.sites.figures({**values, **drawn(swings, sites, rng)})
        true[at, kind] = moment[at, kind]
        shown[at, kind] = errors(kind, moment[at, kind], rng, gain[kind])
    held = ~np.any([np.isnan(x) for x in true.values()], axis=0)
    assert held.mean() > 0.95
    z: dict[Place, list[float]] = {place: [] for place in asked}
    hits: dict[Place, list[bool]] = {place: [] for place in asked}
    without = 0
    for i in np.flatnonzero(held):
        today = here.today
        for turn, (at, kind) in enumerate(taken):
            reading = entry(at, kind, float(shown[at, kind][i]), f"moment {turn}")
            today = today.meeting(Asked.by(reading))
            predicted = today.predict(Asked.by(reading))
            assert not isinstance(predicted, Say)
            today = today.told(reading, predicted)
        for at, kind in asked:
            told = today.predict(Asked(at, kind))
            if isinstance(told, Say):
                without += 1
                continue
            hits[at, kind].append(
                bool(inside(true[at, kind][i : i + 1], told.band.low, told.band.high)[0])
            )
            read = today.predict(Asked(at, kind, meter="m1"))
            z[at, kind].append(read.z(float(shown[at, kind][i])))
    assert without <= NO_BAND * sites
    return {
        place: (
            float(np.mean(hits[place])),
            float(np.mean(np.abs(z[place]) <= 2)),
            float(np.mean(np.square(z[place]))),
        )
        for place in asked
    }


@pytest.mark.parametrize("plan", PLANS)
def test_what_was_learned_is_held_to_what_comes(plan):
    """Sites drawn, read two or three times, learned from: the next reading is foretold honestly."""
    least, most = bounds(SITES)
    found = calibrated(plan, SITES)
    wrong = {
        place: told
        for place, told in found.items()
        if not (least <= told[0] <= most and least <= told[1] <= most)
    }
    assert wrong == {}
    # the scale of the surprise is right too, not its two ends alone
    assert all(0.85 < squares < 1.15 for _, _, squares in found.values())


# ---------------------------------------------------------------- what one reading does


def told_of(today: Today, reading: Reading) -> Today:
    """What is known after one accepted reading."""
    today = today.meeting(Asked.by(reading))
    return today.told(reading, today.predict(Asked.by(reading)))


def test_volts_at_the_source_narrow_every_point_behind_it():
    """Accepted at ``S1.out``: narrower at each point of its tree, and drawn towards it."""
    here = case("long run")
    before = here.today
    expected = before.predict(Asked("S1.out", "volts")).expected
    after = told_of(before, entry("S1.out", "volts", expected + 0.4, "a"))
    tree_of_source = here.study.network.trees[0]
    assert len(tree_of_source.nodes) == 10
    for node in tree_of_source.nodes:
        was, now = (today.predict(Asked(str(node.point), "volts")) for today in (before, after))
        assert now.own < 0.95 * was.own
        assert now.band.high - now.band.low < 0.95 * (was.band.high - was.band.low)
        assert was.expected + 0.1 < now.expected


def test_volts_at_the_source_say_nothing_of_new_volts():
    """A box that makes its own volts is a new start: behind it a band stays as it was."""
    here = case("anew")
    after = told_of(here.today, entry("S1.out", "volts", 53.3, "a"))
    was, now = (today.predict(Asked("R1.out", "volts")) for today in (here.today, after))
    assert now.own == pytest.approx(was.own, rel=1e-12)
    in_front = [today.predict(Asked("R1.in", "volts")).own for today in (here.today, after)]
    assert in_front[1] < 0.95 * in_front[0]


def test_two_readings_of_one_meter_agree_through_its_gain():
    """A meter that showed too much where the volts are known is believed to go on so.

    By another meter nothing has changed, nor in what is truly there.
    """
    doc = metered(
        chain(
            source(53.5),
            run(band(290, 300, 310), 66.6),
            endpoint(band(9, 10, 11), watts_swing_percent=5),
        )
    )
    before = Case(doc).today
    high = 0.25
    after = told_of(before, entry("S1.out", "volts", 53.5 + high, "a"))

    def at_the_end(today: Today, meter: str | None) -> Predicted:
        return today.predict(Asked("E1.in", "volts", meter=meter, moment="b"))

    was, now = at_the_end(before, "m1"), at_the_end(after, "m1")
    assert now.total < 0.95 * was.total
    assert was.expected + 0.5 * high < now.expected < was.expected + high
    # the same in closed form: gain sd 0.5 %/√3, read through contact and digits alone
    gain, noise = 53.5 * 0.005 / sqrt(3), sqrt((0.05**2 + 0.02**2) / 3)
    learned = high * gain**2 / (gain**2 + noise**2) / 53.5
    assert now.expected - was.expected == pytest.approx(was.expected * learned, rel=1e-6)
    for meter in ("m2", None):
        was, now = at_the_end(before, meter), at_the_end(after, meter)
        assert now.expected == pytest.approx(was.expected, rel=1e-12)
        assert now.total == pytest.approx(was.total, rel=1e-12)


@pytest.mark.parametrize("off", [-5, -3.5, -2, 2])
def test_one_far_reading_near_collapse_is_the_best_fit(off):
    """What is believed after it is the least-squares fit of SciPy to prior and reading.

    The volts are far from straight there: one step would miss by a reading's own deviation.
    """
    here = case("near collapse")
    at, moment = ("E1.in", "volts"), "a"
    today = here.today.meeting(Asked(*at, moment=moment, meter="m1"))
    before = today.predict(Asked(*at, moment=moment, meter="m1"))
    value = before.expected + off
    after = today.told(entry(*at, value, moment), before)
    keys = [key for key, unknown in here.unknowns.items() if unknown.sd]
    own = sqrt((METER["volts"]["digits"] * METER["volts"]["resolution"]) ** 2 + CONTACT_VOLTS**2)
    own, gain = own / sqrt(3), METER["volts"]["percent"] / 100 / sqrt(3)

    def volts(x: np.ndarray) -> float:
        values = {key: np.array([unknown.mean]) for key, unknown in here.unknowns.items()}
        for key, by in zip(keys, x, strict=False):
            values[key] = values[key] + here.unknowns[key].sd * by
        return float(here.sites.figures(values)[at][0])

    def off_by(x: np.ndarray) -> np.ndarray:
        return np.array([*x, (value - volts(x) * (1 + gain * x[-1])) / own])

    fit = least_squares(off_by, np.zeros(len(keys) + 1), xtol=1e-12, ftol=1e-12, gtol=1e-12).x
    told = after.predict(Asked(*at, moment=moment))
    assert not isinstance(told, Say)
    assert told.expected == pytest.approx(volts(fit), abs=0.2 * own)
    straight = before.expected + before.own**2 / before.total**2 * off
    line = today.known.told(before.row, off, before.noise).mean
    missed = after.columns.values(line, Asked(*at, moment=moment))
    true = here.sites.figures({key: np.array([x]) for key, x in missed.items()})[at][0]
    assert not abs(true - straight) < own


# ---------------------------------------------------------------- by hand


def table(count: int, sites: int) -> bool:
    """Print all coverages; whether all are within bounds."""
    sound = True
    for shape in ("normal", "rectangular"):
        least, most = bounds(count)
        most = most if shape == "normal" else 1.0
        for name in CASES:
            found = covered(name, count, shape)
            true, read = ([row[i] for row in found.values()] for i in (0, 1))
            z = np.concatenate([row[2] for row in found.values()])
            within = least <= min(true + read) and max(true + read) <= most
            sound &= within
            print(
                f"{shape:12} {name:16} {len(found):3} figures: in band {min(true):.4f} to "
                f"{max(true):.4f}, readings {min(read):.4f} to {max(read):.4f}, "
                f"z squared {np.mean(z**2):.3f}{'' if within else '  OUT OF BOUNDS'}"
            )
    least, most = bounds(sites)
    for plan in PLANS:
        for (at, kind), (true, read, squares) in calibrated(plan, sites).items():
            within = least <= min(true, read) and max(true, read) <= most
            sound &= within
            print(
                f"after {plan:30} {at:8} {kind:10} in band {true:.4f}, readings {read:.4f}, "
                f"z squared {squares:.3f}{'' if within else '  OUT OF BOUNDS'}"
            )
    return sound


if __name__ == "__main__":
    asked_for = int(sys.argv[1]) if len(sys.argv) > 1 else DRAWS
    sys.exit(not table(asked_for, max(asked_for // 4, 500)))
