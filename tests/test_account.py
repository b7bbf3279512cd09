"""The account of a diagnosis: shares, what each reading says, the next test, the words."""

from __future__ import annotations

import json
import re
import sys
from typing import Any

import pytest
from account_jobs import (
    account_of,
    accounts,
    at,
    every_test,
    fault_of,
    hidden,
    judged,
    logged,
    sample,
    told,
    walked,
)

from engine.diagnose import diagnosing
from engine.diagnose.account import (
    AGAINST,
    EITHER,
    FOR,
    HEARD,
    LEAST_SLIP,
    Account,
    Fault,
    account,
    current,
)
from engine.diagnose.asking import BACK, HERE, ON, asked_for
from engine.diagnose.evidence import Hearing, _chain
from engine.diagnose.lining import flag
from engine.diagnose.nexttest import SURE, Foretold, NextTest
from engine.diagnose.remedies import REMEDIES
from engine.diagnose_json import diagnosis_json
from engine.diagnose_text import diagnosis_text
from engine.faults import FAULTS, NONE, OTHER, PAIR, SLIPS
from engine.faults.sizes import rate
from engine.jobfile import read_job
from engine.judge import judge
from engine.network import Standing
from engine.phrases import english
from engine.phrases.causes import NAMES, odds
from engine.predict import finish
from engine.verdict import OUTSIDE

# ---------------------------------------------------------------- all faults together


def test_shares_sum_to_one_and_the_likeliest_comes_first():
    for one in accounts():
        chances = [fault.probability for fault in one.faults]
        assert sum(chances) == pytest.approx(1, abs=1e-9)
        assert chances == sorted(chances, reverse=True)
        causes = [fault.cause for fault in one.faults]
        assert {NONE, OTHER} <= set(causes) and causes.count(OTHER) == 1


def test_misread_figures_too_unlikely_to_name_are_in_other():
    merged = 0
    for one in accounts():
        named = [fault for fault in one.faults if fault.cause in SLIPS]
        assert all(fault.probability > LEAST_SLIP for fault in named)
        all_slips = [guess for guess in one.diagnosis.guesses if guess.cause in SLIPS]
        rest = sum(g.probability for g in all_slips if g.probability <= LEAST_SLIP)
        other = next(g for g in one.diagnosis.guesses if g.cause == OTHER)
        got = fault_of(one, OTHER).probability
        assert got == pytest.approx(other.probability + rest, abs=1e-12)
        merged += len(all_slips) - len(named)
    assert merged > 20


def test_every_cause_has_what_is_said_of_it():
    causes = {*FAULTS, *SLIPS, NONE, OTHER, PAIR}
    assert set(REMEDIES) == causes == set(NAMES)
    silent_only = {NONE, OTHER, PAIR}
    for cause in causes - silent_only:
        row = REMEDIES[cause]
        assert row.fault and row.do and row.look, cause
        assert row.sure or cause.startswith("reading."), cause


def test_nothing_is_fitted_anew_for_an_account(monkeypatch):
    one, _, _ = hidden("reedbed-hide", "span.high", "C4", 3)
    calls, fits = [], sys.modules["engine.diagnose.fit"]
    line = fits.lining

    def counted(*args, **more):
        calls.append(1)
        return line(*args, **more)

    monkeypatch.setattr(fits, "lining", counted)
    finish(diagnosing(one.prediction, current(one)))
    before = len(calls)
    account(one)
    assert before > 20 and len(calls) == 2 * before


def test_what_has_no_size_has_none():
    for one in accounts():
        for fault in one.faults:
            if not REMEDIES[fault.cause].size:
                assert not fault.size, fault


def test_a_wet_end_is_rather_the_one_outdoors():
    one = next(one for one in accounts() if any(f.cause == "joint.wet" for f in one.faults))
    job = one.diagnosis.scene.job
    for fault in one.faults:
        if fault.cause == "joint.wet":
            share = dict(fault.ends)
            stops = {end: job.stops[job.boxes[end.split(".")[0]].stop].indoor for end in share}
            if len(set(stops.values())) == 2:
                outdoors = next(end for end, indoor in stops.items() if not indoor)
                assert share[outdoors] > 0.75
                return
    pytest.fail("no span between indoors and outdoors")


# ---------------------------------------------------------------- what the readings say


def test_each_reading_by_those_before_it_makes_up_the_evidence():
    """The chain of densities is the density of all: held against the fit's own evidence."""
    its, held = told("orchard-gate", "span.high", "C2"), 0
    for guess in its.diagnosis.guesses[:6]:
        if guess.cause in (*SLIPS, OTHER) or guess.fit is None or guess.probability < HEARD:
            continue
        seen = its.diagnosis.scene.seen
        if len(guess.fit.ids) < len(seen):
            continue
        flags = sum(flag(one.asked, False) for one in seen)
        chain = sum(there.density for _, there in _chain(guess.fit))
        assert chain + flags == pytest.approx(guess.fit.evidence, abs=0.01)
        held += 1
    assert held


def test_what_lies_behind_a_bad_span_speaks_for_it():
    one, its, _ = hidden("reedbed-hide", "span.high", "C4", 3)
    heard = {e.reading: e for e in fault_of(its, "span.high", "C4").because}
    behind = [v for v in one.verdicts if v.reading.kind == "volts" and v.verdict == OUTSIDE]
    assert len(behind) >= 3
    for verdict in behind:
        said = heard[verdict.id]
        assert said.speaks == FOR
        low, high_ = said.say.parts["foretold"]
        assert low <= verdict.reading.figure <= high_
        assert said.say.parts["sound"] == (verdict.band.low, verdict.band.high)
        assert verdict.reading.figure < verdict.band.low
    before = next(v for v in one.verdicts if (v.reading.at, v.reading.kind) == ("S.out", "volts"))
    assert heard[before.id].speaks == EITHER


def test_a_load_that_draws_too_much_does_not_explain_amps_as_planned():
    _, its, _ = hidden("orchard-gate", "span.high", "C2", 3)
    load = fault_of(its, "load.heavy", "E")
    if load.because:
        assert any(one.speaks == AGAINST for one in load.because)
    hearing = Hearing(*hidden("orchard-gate", "span.high", "C2", 3)[:1], its.diagnosis)
    guess = next(g for g in its.diagnosis.guesses if (g.cause, g.where) == ("source.low", "S"))
    heard = {e.say.parts["at"]: e for e in hearing.of(guess) if e.say.parts["kind"] == "volts"}
    assert heard["S.out"].speaks in (AGAINST, EITHER)


def test_the_most_telling_come_first():
    for name, cause, where in (("reedbed-hide", "span.high", "C4"), ("tide-mill", "load.off", "G")):
        best = told(name, cause, where).best
        spoken = [one.speaks for one in best.because]
        assert FOR in spoken
        first_dumb = spoken.index(EITHER) if EITHER in spoken else len(spoken)
        assert all(word == EITHER for word in spoken[first_dumb:])


def test_of_nothing_wrong_what_agrees_speaks_for_and_what_is_outside_against():
    one, its, _ = hidden("orchard-gate", "span.high", "C2", 3)
    words = {verdict.id: verdict.verdict for verdict in one.verdicts}
    for said in fault_of(its, NONE).because:
        expected = {"inside": FOR, "outside": AGAINST}.get(words[said.reading], EITHER)
        assert said.speaks == expected
    assert {FOR, AGAINST} <= {said.speaks for said in fault_of(its, NONE).because}


def test_of_a_reading_that_is_out_by_chance_it_is_said_so():
    far = logged("reedbed-hide", at("EB2", "earth_ohms", 72.0))
    none = fault_of(account_of(far), NONE)
    assert none.say.parts["outside"] == 1 and "one reading is outside" in english(none.say).text
    assert english(none.do).text.startswith("Measure again")
    agrees = fault_of(account_of(logged("reedbed-hide", at("EB2", "earth_ohms", 12.0))), NONE)
    assert "agree" in english(agrees.say).text and "Nothing to mend" in english(agrees.do).text


def test_of_something_unknown_it_is_told_from_where_on():
    doc = logged(
        "orchard-gate",
        at("S.out", "volts", 53.5),
        at("R1.in", "volts", 20.0),
        at("E.in", "volts", 52.0),
    )
    other = fault_of(account_of(doc), OTHER)
    assert other.say.parts["first"] == "R1.in"
    assert [e.speaks for e in other.because] == [EITHER, FOR, FOR]


def test_a_mistyped_figure_stands_alone():
    one, its, _ = hidden("tide-mill", "reading.typed", None, 3)
    assert its.best.cause == "reading.typed"
    heard = {e.reading: e for e in its.best.because}
    own = heard[its.best.where]
    assert own.speaks == FOR and own.say.code == "because-slip"
    reading = next(v.reading for v in one.verdicts if v.id == its.best.where)
    assert its.best.say.parts["at"] == reading.at and its.best.say.parts["value"] == reading.figure
    assert AGAINST not in {e.speaks for e in its.best.because}


def test_exchanged_figures_name_each_other():
    seeds = (hidden("orchard-gate", "reading.place", None, seed) for seed in range(1, 9))
    one, its, _ = next(found for found in seeds if found[2].kind == "exchanged")
    assert its.best.cause == "reading.place" and its.best.beside
    places = {v.id: v.reading.at for v in one.verdicts}
    assert its.best.say.parts["beside"] == places[its.best.beside]
    assert places[its.best.beside] in english(its.best.say).text


# ---------------------------------------------------------------- return visits


def visits(*, left: bool) -> dict[str, Any]:
    """Two visits; the far end read lower at the second."""
    rows: list[dict[str, Any]] = [
        {"what": "visit", "people": 1},
        *_read("first", ("S.out", 53.5), ("R1.in", 50.95), ("E.in", 48.5)),
        *([{"what": "leave", "by": "Ottar", "open": []}] if left else []),
        {"what": "visit", "people": 1},
        *_read("then", ("S.out", 53.5), ("R1.in", 50.95), ("E.in", 44.0)),
    ]
    log = [{"id": f"e{n}", "device": "d", "n": n, **row} for n, row in enumerate(rows, start=1)]
    return {**sample("orchard-gate"), "log": log}


def _read(when: str, *values: tuple[str, float]) -> list[dict[str, Any]]:
    return [
        {"what": "reading", "meter": "M1", "moment": f"{when} {point}", **at(point, "volts", value)}
        for point, value in values
    ]


def test_on_a_return_only_its_own_readings_are_weighed():
    here, again = judge(read_job(visits(left=False))), judge(read_job(visits(left=True)))
    assert len(current(here)) == 6
    assert [v.reading.figure for v in current(again)] == [53.5, 50.95, 44.0]


def test_on_a_return_other_things_are_likely():
    first, back = (account_of(visits(left=left)) for left in (False, True))
    assert not any(f.cause == "joint.wet" for f in first.faults), "never on a first visit"
    assert fault_of(back, "joint.wet", "C2").probability > 0.05
    assert not any(f.cause == "box.reversed" for f in back.faults), "it worked before"


def test_rates_that_are_given_are_those_that_count():
    doc = visits(left=True)
    asked = []

    def own(cause: str) -> float:
        asked.append(cause)
        return rate(cause)

    given = account_of(doc, rates=own)
    assert asked and not any(f.cause == "joint.wet" for f in given.faults)


# ---------------------------------------------------------------- where nothing fits


def test_where_nothing_fits_the_worst_reading_is_named():
    doubted = 0
    for judgement, one in zip(judged(), accounts(), strict=True):
        if one.fits:
            assert one.doubt is None and one.doubtful is None
            continue
        doubted += 1
        assert one.doubt is not None
        if one.doubtful is not None:
            reading = next(v.reading for v in judgement.verdicts if v.id == one.doubtful)
            assert one.doubt.parts["at"] == reading.at
            assert one.doubt.parts["value"] == reading.figure
    assert doubted >= 2


def test_something_unknown_explains_nothing():
    for one in accounts():
        if one.best.cause == OTHER:
            assert not one.fits
            known = [g for g in one.diagnosis.guesses if g.cause != OTHER and g.fit]
            assert one.misfit == known[0].fit.misfit and one.readings == known[0].fit.count


# ---------------------------------------------------------------- the next test


def test_the_way_to_a_test_is_back_on_or_none_at_all():
    job = told("reedbed-hide", "joint.high", None, 2).diagnosis.scene.job
    for here in job.stops:
        test = account_of(walked("reedbed-hide", "joint.high", None, 2), here=here).next_test
        stop, feed = job.stops[test.stop].at_m, job.stops[here].at_m
        assert test.way == (HERE if stop == feed else BACK if stop < feed else ON)
        words = english(test.say).text
        assert job.stops[test.stop].name in words
        assert words.startswith({HERE: "Here", BACK: "Walk back", ON: "Walk on"}[test.way])


def test_a_dead_test_asks_who_switched_off_and_for_proof():
    seen = 0
    for one in accounts():
        if one.next_test is not None and one.next_test.dead:
            seen += 1
            assert "caution-off" in [caution.code for caution in one.next_test.cautions]
            assert "prove" in english(one.next_test.say).text
    assert seen >= 2


def test_what_is_put_in_or_taken_out_brings_its_cautions():
    codes = {one.say.code: [said.code for said in one.cautions] for one in every_test()}
    assert codes["test-known-load"][0] == "caution-known-load"
    assert "caution-unplug" in codes["test-known-load"]
    assert codes["test-unplugged"][0] == "caution-unplug"
    assert "caution-off" in codes["test-loop"]
    assert codes["test-link"] == []
    assert codes["test-alone"][0] == "caution-unplug"
    assert "caution-off" in codes["test-remake"]


def test_why_a_test_is_asked_for_is_what_it_foretells():
    for one in accounts():
        test = one.next_test
        if test is None or test.why.code != "why-test-parts":
            continue
        assert len(test.parts) > 1
        shown = [(cause, mean) for cause, _, mean, _, _ in test.why.parts["foretold"]]
        foretold = [(told_.cause, told_.mean) for told_ in test.foretold]
        assert shown[0] == foretold[0] and set(shown) <= set(foretold)


def test_pairs_that_come_out_otherwise_part_two_causes_with_the_same_ohms():
    one, its, _ = hidden("reedbed-hide", "pairs.lost", "C4", 3)
    likely = [g for g in its.diagnosis.guesses if g.cause == "pairs.lost"][:2]
    two = tuple(Foretold(guess.cause, guess.where, 9.0, 1.0) for guess in likely)
    at_first = likely[0].where
    plain = NextTest(at_first, "loop_ohms", Standing(), 9, 0, 0.5, True, (), two)
    test = asked_for(one, its.diagnosis, plain, None)
    assert plain.parts == (("pairs.lost", at_first),)
    assert test.parts == tuple(("pairs.lost", guess.where) for guess in likely)
    assert "some pair does not close" in english(test.why).text


def test_no_test_is_asked_for_where_one_cause_is_sure():
    for one in accounts():
        if one.best.probability >= SURE and one.best.cause != OTHER:
            assert one.next_test is None


# ---------------------------------------------------------------- what no reading sees


def test_what_no_reading_sees_is_told_with_its_places():
    plain = {say.code: say.parts["at"] for say in account_of(sample("reedbed-hide")).unseen}
    assert plain["unseen-arrestor-reversed"] == ("A1", "A2")
    assert plain["unseen-earth-open"] == ("EB1", "EB2")
    assert plain["unseen-feed-twice"] == ("S",)
    read = account_of(logged("reedbed-hide", at("EB1", "earth_ohms", 8)))
    assert "unseen-earth-open" not in {say.code for say in read.unseen}
    indoors = {say.code for say in account_of(sample("tide-mill")).unseen}
    assert "unseen-arrestor-reversed" not in indoors


# ---------------------------------------------------------------- as it is told


def test_odds_are_words_with_so_many_in_ten():
    assert odds(0.2) == "less likely, 2 in 10" and odds(0.049) == "hardly, under 1 in 20"
    assert odds(0.949) == "likely, 9 in 10" and odds(1.0) == "almost surely, over 9 in 10"


def test_no_bare_probability_in_the_text():
    for one in accounts():
        text = "\n".join(diagnosis_text(one))
        bare = [line for line in text.splitlines() if "%" in line and "by up to" not in line]
        assert bare == []
        others = re.findall(r"^  - (.*(?:\n    .*)*)", text.partition("The next test")[0], re.M)
        for line in others:
            assert re.search(r": [a-z ]+, (\d in 10|under 1 in 20|over 9 in 10)\.$", line), line


def test_before_any_reading_nothing_is_accused():
    text = "\n".join(diagnosis_text(account_of({**sample("reedbed-hide"), "log": []})))
    assert text.strip() == "Nothing is read yet, so nothing points to a fault."


def test_the_json_keeps_to_the_contract():
    for one in accounts():
        out = json.loads(json.dumps(diagnosis_json(one), allow_nan=False))
        for fault in out["faults"]:
            assert fault["because"] == [english(e.say).text for e in _same(one, fault).because]
            assert [set(end) for end in fault["ends"]] == [{"at", "probability"}] * len(
                fault["ends"]
            )
            assert (fault["cause"] == PAIR) == ("parts" in fault)
        test = out["next_test"]
        if test:
            assert test["bits"] == one.next_test.bits, "not rounded"
            best = f"{one.best.cause} {one.best.where}".strip()
            assert test["parts"][0] == best


def _same(one: Account, fault: dict) -> Fault:
    number = [f["text"] for f in diagnosis_json(one)["faults"]].index(fault["text"])
    return one.faults[number]
