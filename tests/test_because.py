"""What each reading says of a cause, and what would make the cause sure, by what is read already."""

from __future__ import annotations

import fault_jobs
import pytest
from account_jobs import at, logged, sample, uneven, walked

from engine.diagnose.account import HEARD, Account, Fault, account
from engine.diagnose.evidence import AGAINST, DARK, DOUBTFUL, EITHER, FOR, _Foretold, _lean
from engine.faults import NONE, OTHER
from engine.jobfile import read_job
from engine.judge import judge


def account_of(*readings: dict) -> Account:
    """The account of the orchard with these readings alone: their ids are e1, e2 …"""
    return account(judge(read_job(logged("orchard-gate", *readings))))


def fault_of(told: Account, cause: str, where: str = "") -> Fault:
    return next(one for one in told.faults if (one.cause, one.where) == (cause, where))


# ---------------------------------------------------------------- what would make it sure


def test_whoever_has_read_the_loop_of_a_span_is_not_sent_to_read_it_again() -> None:
    """Of this span only: its metres, and the loop of another, are not its loop."""
    told = account_of(
        at("S.out", "volts", 53.5),
        at("C1", "loop_ohms", 19.0),
        at("C2", "metres", 92.0),
        at("E.in", "volts", 47.0),
    )
    sure = {(one.cause, one.where): one.sure.code for one in told.faults if one.sure}
    assert sure["span.high", "C1"] == "sure-wire" and sure["joint.high", "C1"] == "sure-wiggle"
    assert sure["span.high", "C2"] == "sure-span" and sure["joint.high", "C2"] == "sure-pairs"
    assert sure["link.too-long", "C1"] == "sure-marks", "no loop would have told"


# ---------------------------------------------------------------- what a reading says


def test_figures_of_the_same_kind_that_agree_speak_for_a_misread_one() -> None:
    """That another loop is right says that this meter can read loops; volts say nothing."""
    told = account_of(
        at("S.out", "volts", 53.5),
        at("R1.in", "volts", 51.0),
        at("C1", "loop_ohms", 15.9),
        at("C2", "loop_ohms", 157.0),
    )
    typed = next(one for one in told.faults if (one.cause, one.where) == ("reading.typed", "e4"))
    speaks = {one.reading: one.speaks for one in typed.because}
    assert speaks == {"e1": EITHER, "e2": EITHER, "e3": FOR, "e4": FOR}


def test_what_else_is_outside_speaks_against_a_misread_figure() -> None:
    told = account_of(
        at("S.out", "volts", 53.5), at("R1.in", "volts", 510.2), at("E.in", "mbps", 0)
    )
    typed = next(one for one in told.faults if one.where == "e2")
    assert {one.reading: one.speaks for one in typed.because}["e3"] == AGAINST


def test_a_dark_link_speaks_for_what_makes_it_dark_and_says_how_it_would_be() -> None:
    """A box put in backwards passes no light at all; a bad end may."""
    told = account(judge(read_job(fault_jobs.link())))
    for cause, where, shows in (("box.reversed", "L2", DARK), ("contact.high", "C6", DOUBTFUL)):
        first, *others = fault_of(told, cause, where).because
        assert (first.say.code, first.say.parts["at"]) == ("because-light", "C.in")
        assert first.say.parts["shows"] == shows and first.say.parts["planned"] == 1000
        assert first.speaks == FOR, "the one that tells comes first"
        assert {one.speaks for one in others} == {EITHER}


def test_figures_that_were_noted_to_come_and_go_speak_for_what_makes_them() -> None:
    """A box that starts anew and anew: most of what hangs on it moves between two states."""
    told = account(judge(read_job(walked("reedbed-hide", "box.restart"))))
    assert told.best.cause == "box.restart"
    moving = [one for one in told.best.because if one.say.code == "because-moves"]
    assert len(moving) > 8
    assert {one.speaks for one in moving} == {FOR}


def test_a_figure_that_lay_still_speaks_against_what_would_make_it_move() -> None:
    """The same value, noted as steady and as moving: the note is what tells."""
    speaks = []
    for more in ({}, {"unsteady": [47.1, 53.7]}):
        doc = walked("reedbed-hide", "box.restart")
        for entry in doc["log"]:
            if entry.get("unsteady") and (entry["at"], entry["kind"]) == ("C.in", "volts"):
                ident = entry["id"]
                del entry["unsteady"]
                entry.update(more, value=48.3)
        told = account(judge(read_job(doc)))
        heard = {one.reading: one.speaks for one in fault_of(told, "box.restart", "L1").because}
        speaks.append(heard[ident])
    assert speaks == [AGAINST, FOR]


def test_a_figure_that_is_likelier_and_yet_farther_out_says_nothing() -> None:
    """A wide band makes little of each figure: it is not spoken against for that, nor the other for."""
    near, wide = _Foretold(-1.0, 1.0), _Foretold(-3.0, 0.5)
    far = _Foretold(-4.0, 2.5)
    assert _lean(near, far) == 3.0 and _lean(far, near) == -3.0
    assert _lean(near, wide) == 0.0 and _lean(wide, near) == 0.0
    assert _lean(near, None) == 0.0, "nothing is foretold of it on a sound site"


# ---------------------------------------------------------------- how much is told


def test_a_cause_that_is_hardly_likely_is_told_without_its_readings() -> None:
    """Nothing wrong and something unknown are told with them however unlikely they are."""
    told = account(judge(read_job(walked("reedbed-hide", "span.high", "C4"))))
    unlikely = [one for one in told.faults if one.probability < HEARD]
    assert len(unlikely) > 5
    for one in unlikely:
        assert bool(one.because) == (one.cause in (NONE, OTHER)), (one.cause, one.where)
    assert all(one.because for one in told.faults if one.probability > HEARD)


def test_where_nothing_fits_it_is_said_which_figure_is_the_worst_though_none_is_outside() -> None:
    """Pairs of one loop that stand far apart: no cause explains them, and no verdict blames them."""
    told = account(judge(read_job(uneven())))
    assert not told.fits and told.doubtful == "e1"
    assert told.doubt is not None and told.doubt.parts["at"] == "C2"
    agrees = account(judge(read_job(fault_jobs.agree())))
    assert agrees.fits and agrees.doubt is None and agrees.doubtful is None


@pytest.mark.parametrize(("volts", "drifted"), [(48.5, 0), (44.0, 1)])
def test_of_nothing_wrong_it_is_said_how_much_drifted_since_the_site_was_left(volts, drifted):
    rows = [
        {"what": "visit", "people": 1},
        *(read(*one) for one in (("S.out", 53.5), ("R1.in", 50.95), ("E.in", 48.5))),
        {"what": "leave", "by": "Ottar", "open": []},
        {"what": "visit", "people": 1},
        *(read(*one) for one in (("S.out", 53.5), ("R1.in", 50.95), ("E.in", volts))),
    ]
    log = [{"id": f"e{n}", "device": "d", "n": n, **row} for n, row in enumerate(rows, start=1)]
    told = account(judge(read_job({**sample("orchard-gate"), "log": log})))
    assert fault_of(told, NONE).say.parts["drifted"] == drifted


def read(point: str, volts: float) -> dict:
    return {"what": "reading", "meter": "M1", **at(point, "volts", volts)}
