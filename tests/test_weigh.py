"""Readings judged in turn: the order of the run, what is learned from, and what is judged anew."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import Bare, active, band, chain, endpoint, run, source

from engine import design_band, fields
from engine.bands import Predicted
from engine.figures import Asked
from engine.jobfile import read_job
from engine.judge import judge
from engine.log import fold
from engine.predict import predict
from engine.study import Range
from engine.weigh import MOST_WEIGHED, judge_all

pytestmark = pytest.mark.pure

METER = {
    "kind": "meter",
    "volts": {"percent": 0.5, "digits": 2, "resolution": 0.01},
    "milliamps": {"percent": 1, "digits": 2, "resolution": 1},
    "loop_ohms": {"percent": 1, "digits": 2, "resolution": 0.1},
}


POINTS = ("S1.out", "L1.in", "L1.out", "L2.in", "L2.out", "E1.in")


def wire(metres: float):
    return run(Bare(metres), cable={"kind": "cable", "ohms_per_km": 66.6})


def plan() -> dict:
    """A source, two boxes that let the power through, an endpoint: 70, 280 and 60 m."""
    unit = active(band(2, 2.5, 3), "long-span", ohms_per_conductor=0.05)
    doc = chain(
        source(band(52.5, 53.5, 54.5), watts_max=90, grants="always"),
        wire(70),
        unit,
        wire(280),
        unit,
        wire(60),
        endpoint(band(6, 12, 19)),
        ambient_c=band(-5, 15, 35),
    )
    doc["sheets"]["my.meter"] = METER
    return doc


def reading(number: int, at: str, value: float, kind: str = "volts", **more) -> dict:
    head = {"id": f"r{number:04}", "device": "d", "n": number + 1, "what": "reading"}
    return {**head, "at": at, "kind": kind, "value": value, "meter": "my.meter", **more}


def state_of(*log: dict):
    return fold(read_job({**plan(), "log": list(log)}))


PREDICTION = predict(read_job(plan()).plan)


def judged(*log: dict, known=None):
    return judge_all(state_of(*log), PREDICTION, known)


def words(found) -> list[tuple[str, str]]:
    return [(one.reading.at, one.verdict) for one in found.verdicts]


def width(range_: Range) -> float:
    return range_.high - range_.low


# ---------------------------------------------------------------- learning


def test_accepting_the_sources_volts_narrows_every_point_behind_it():
    before, after = judged().today, judged(reading(0, "S1.out", 53.4)).today
    for at in ("L1.in", "L1.out", "L2.in", "L2.out", "E1.in"):
        assert width(after.band(at, "volts")) < width(before.band(at, "volts"))


def test_what_is_outside_is_not_learned_from():
    found = judged(reading(0, "S1.out", 40.0))
    assert words(found) == [("S1.out", "outside")]
    assert found.today.band("L1.in", "volts") == judged().today.band("L1.in", "volts")


def test_bursts_of_a_port_that_only_probes_are_not_learned_from():
    doc = plan()
    for sheet in doc["sheets"].values():
        sheet.pop("grants", None)
    bare = reading(0, "S1.out", 3.1, **{"with": {"*": "off"}})
    found, before = (judge(read_job({**doc, "log": log})) for log in ([bare], []))
    assert words(found) == [("S1.out", "no-band")]
    assert found.today.band("E1.in", "volts") == before.today.band("E1.in", "volts")


def test_what_is_unclear_is_learned_from_and_so_is_its_repeat():
    """54.7 V is unclear once; shown again by the same meter it is what is there, or its gain."""
    one = judged(reading(0, "S1.out", 54.75, moment="a"))
    assert words(one) == [("S1.out", "unclear")]
    both = judged(reading(0, "S1.out", 54.75, moment="a"), reading(1, "S1.out", 54.75, moment="b"))
    assert words(both) == [("S1.out", "unclear"), ("S1.out", "inside")]
    assert both.today.band("S1.out", "volts").expected > 53.9


def test_two_readings_of_one_meter_agree_through_its_gain():
    """Its percent part is the same in both, so their difference is known far better than either."""
    both = {
        meter: judged(
            reading(0, "S1.out", 53.5, meter="my.meter"), reading(1, "L1.in", 52.5, meter=meter)
        ).verdicts[1]
        for meter in ("my.meter", "generic.meter")
    }
    assert abs(both["my.meter"].z) > abs(both["generic.meter"].z)
    assert both["my.meter"].smallest_ohms < both["generic.meter"].smallest_ohms


def test_volts_and_amps_of_one_moment_share_its_load():
    """Amps tell the load; at that moment the volts behind are known better than at another."""
    log = [
        reading(0, "S1.out", 53.5, moment="a"),
        reading(1, "S1.out", 330, "milliamps", moment="a"),
    ]
    today = judged(*log).today
    here, later = (today.band("E1.in", "volts", moment=name) for name in ("a", "b"))
    assert width(here) < width(later)


def test_a_fault_is_not_explained_away_by_the_readings_behind_it():
    """A span that lost 2.5 V too many: the first point behind it is outside, and stays so."""
    healthy = {str(at): one.volts.expected for at, one in PREDICTION.points.items()}
    log = [
        reading(i, at, round(healthy[at] - (2.5 if at in POINTS[3:] else 0), 2))
        for i, at in enumerate(POINTS)
    ]
    log.append(reading(99, "S1.out", 340, "milliamps"))
    found = judged(*log)
    assert next(at for at, word in words(found) if word == "outside") == "L2.in"


# ---------------------------------------------------------------- many, and one more


def test_of_many_repeats_the_newest_are_learned_from_and_all_are_judged():
    log = [reading(i, "S1.out", 53.4, moment=str(i)) for i in range(12)]
    found = judged(*log)
    assert len(found.verdicts) == 12
    assert all(one.z is not None and one.by == "today" for one in found.verdicts)
    assert len(found.today.known.narrowed) == MOST_WEIGHED
    odd = judged(*log[:3], reading(3, "S1.out", 40, moment="odd"), *log[4:])
    assert words(odd).count(("S1.out", "outside")) == 1, "an old one that stands out still does"


def test_a_long_log_costs_no_texts_of_places_and_one_band_a_spot(monkeypatch):
    """What a job of thousands of readings takes to open must not hang on what nobody reads."""
    made: list[Any] = []
    monkeypatch.setattr(fields, "join", lambda *place: made.append(place))
    file = read_job(
        {**plan(), "log": [reading(i, "S1.out", 53.4, moment=str(i)) for i in range(50)]}
    )
    few = len(made)
    file = read_job(
        {**plan(), "log": [reading(i, "S1.out", 53.4, moment=str(i)) for i in range(99)]}
    )
    assert len(made) == 2 * few, "none for an entry"
    flow = design_band.BANDS["volts"]
    monkeypatch.setitem(design_band.BANDS, "volts", lambda *one: made.append(one) or flow(*one))
    made.clear()
    assert len(judge_all(fold(file), PREDICTION).verdicts) == 99 and len(made) == 1


def test_an_old_reading_of_one_pair_is_not_judged_as_one_of_all():
    """One pair may differ by its lay: the same ohms lie fewer deviations off."""
    pair = reading(0, "C2", 39.5, "loop_ohms", moment="pair")
    every = reading(1, "C2", 39.5, "loop_ohms", moment="all")
    every["pairs"] = {"1": every.pop("value")}
    newer = [reading(i, "C2", 37.0, "loop_ohms", moment=str(i)) for i in range(2, 6)]

    def offs(*old: dict) -> list[float]:
        return [v.z for v in judged(*old, *newer).verdicts if v.reading.moment in ("pair", "all")]

    assert len(newer) == MOST_WEIGHED
    assert offs(pair, every) == offs(pair) + offs(every)
    assert offs(pair)[0] < offs(every)[0]


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 10**6))
def test_one_more_is_judged_as_all_together(seed):
    """Cut a log anywhere: judging the rest on top gives what judging the whole gives."""
    rng = Random(seed)
    log = random_log(rng)
    cut = rng.randint(0, len(log))
    before = judged(*log[:cut])
    on_top, whole = judged(*log, known=before), judged(*log)
    assert on_top.verdicts == whole.verdicts
    assert on_top.today.known.mean == pytest.approx(whole.today.known.mean)


def random_log(rng: Random) -> list[dict]:
    log: list[dict] = []
    for i in range(rng.randint(1, 14)):
        drawn = rng.random()
        if log and drawn < 0.15:
            of = rng.choice(log)["id"]
            log.append({"id": f"r{i:04}", "device": "d", "n": i + 1, "what": "void", "of": of})
        elif drawn < 0.3:
            change = {"what": "change", "where": rng.choice(("L1", "C2")), "did": "end made again"}
            log.append({"id": f"r{i:04}", "device": "d", "n": i + 1, **change})
        else:
            at = rng.choice(POINTS)
            moment = {"moment": rng.choice("abc")}
            if rng.random() < 0.5:
                log.append(reading(i, at, round(rng.uniform(46, 54), 2), **moment))
            else:
                log.append(reading(i, at, rng.randint(100, 400), "milliamps", **moment))
    return log


@settings(max_examples=25, deadline=None)
@given(st.permutations(range(8)))
def test_the_result_does_not_depend_on_the_order_of_typing(order):
    places = (*POINTS, "L1.in", "L2.in")
    log = [reading(i, at, 53.5 - i, moment=str(i)) for i, at in enumerate(places)]
    moved = [{**log[i], "n": n + 1} for n, i in enumerate(order)]
    straight = {one.id: (one.verdict, one.z) for one in judged(*log).verdicts}
    found = {one.id: (one.verdict, one.z) for one in judged(*moved).verdicts}
    assert found == straight


def test_a_later_visit_has_its_own_air_and_its_own_meter_gain():
    """What one visit learned of them does not bear on the next; what it learned of the wire does."""
    log = [reading(i, "C2", 37.0, "loop_ohms", moment=str(i)) for i in range(3)]
    visit = {"id": "v", "device": "d", "n": 9, "what": "visit", "people": 1}
    same, later = (judged(*log, *more).today for more in ((), (visit,)))
    assert (same.visit, later.visit) == (0, 1)
    first = width(judged().today.band("C2", "loop_ohms"))
    assert width(same.band("C2", "loop_ohms", meter="my.meter")) < width(
        later.band("C2", "loop_ohms", meter="my.meter")
    )
    assert width(later.band("C2", "loop_ohms")) < first


def test_before_is_what_the_next_reading_is_held_against():
    log = [reading(0, "S1.out", 53.4), reading(1, "L2.in", 50.0)]
    found = judged(*log)
    asked = Asked("L1.in", "volts", meter="my.meter", moment="new")
    before = found.before("L1.in", "volts").meeting(asked).predict(asked)
    more = judged(*log, reading(2, "L1.in", 52.6, moment="new"))
    (verdict,) = (one for one in more.verdicts if one.id == "r0002")
    assert isinstance(before, Predicted)
    assert verdict.z == pytest.approx(before.z(52.6))


def test_judge_goes_on_from_an_earlier_judgement():
    log = [reading(0, "S1.out", 53.4), reading(1, "L1.in", 52.6)]
    first = judge(read_job({**plan(), "log": log[:1]}))
    second = judge(read_job({**plan(), "log": log}), known=first)
    assert second.prediction is first.prediction
    assert second.verdicts == judge(read_job({**plan(), "log": log})).verdicts
