"""When causes are looked for, of which log, and what then is suspect; without any page."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import Any

import fault_jobs
import pytest
from attrs import evolve
from messages_sent import after, job_of, keeps, kept

from engine.diagnose.account import account
from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import breath, words
from fieldapp import messages as m
from fieldapp.faultview import find_more, load_of, route_to, suspect_of
from fieldapp.finding import SUSPECT, account_of, find, found_of, suspects, thing_at, told_apart
from fieldapp.foundout import Faults
from fieldapp.mending import mended_drafts
from fieldapp.model import JobRow, Model
from fieldapp.services import Services

JOB = "REEDBED-HIDE"
R = f"/j/{JOB}"


def searches(effects: list[Any]) -> list[m.Find]:
    return [one for one in effects if isinstance(one, m.Find)]


def searched(effect: m.Find) -> list[Faults]:
    """All that a search sends, to its end."""
    sent: list[Any] = []
    asyncio.run(find(effect, sent.append, lambda: True))
    return [one.faults for one in sent]


def at(route: str, doc: dict[str, Any]) -> tuple[Model, list[Any]]:
    return after(Model(job=job_of(doc)), m.Go(f"{R}/{route}"))


def with_account(route: str, doc: dict[str, Any]) -> Model:
    """The model at a place with the account of its job."""
    model, effects = at(route, doc)
    (search,) = searches(effects)
    return after(model, *(m.FaultsCame(one) for one in searched(search)))[0]


# ---------------------------------------------------------------- when


@pytest.mark.parametrize("route", ["now", "run", "leave", "verdict/r0", "power", "fault"])
def test_causes_are_looked_for_where_they_are_shown(route):
    model, effects = at(route, fault_jobs.walk())
    (search,) = searches(effects)
    assert search.of == model.finding and search.of[0] == JOB
    assert not found_of(model).is_over and account_of(model) is None


@pytest.mark.parametrize("route", ["plan", "steps", "read/L2.in/volts", "hand", "reel/C4"])
def test_nowhere_else(route):
    model, effects = at(route, fault_jobs.walk())
    assert not searches(effects) and model.finding is None


@pytest.mark.parametrize("route", ["now", "run", "leave"])
def test_not_where_all_is_as_it_should_be_unless_one_asks(route):
    assert not searches(at(route, fault_jobs.agree())[1])
    assert searches(at("fault", fault_jobs.agree())[1])


def test_a_search_goes_on_from_place_to_place_and_ends_where_nobody_waits():
    model, effects = at("verdict/r0", fault_jobs.walk())
    model, effects = after(model, m.Go(f"{R}/fault"))
    assert not searches(effects) and m.StopFinding() not in effects and model.finding
    model, effects = after(model, m.Go(f"{R}/read/L2.in/volts"))
    assert m.StopFinding() in effects and model.finding is None
    model, effects = after(model, m.Go(f"{R}/fault"))
    assert len(searches(effects)) == 1, "it begins anew"


def test_what_was_found_is_not_looked_for_again_until_the_log_grows():
    model = with_account("fault", fault_jobs.walk())
    assert account_of(model) is not None and model.finding is None
    for route in ("run", "leave", "fault", "plan", "fault"):
        model, effects = after(model, m.Go(f"{R}/{route}"))
        assert not searches(effects)
    model, effects = after(model, m.StepPressed("announce.site", "done"))
    model, effects = after(model, kept(effects))
    (search,) = searches(effects)
    assert search.of != model.faults and account_of(model) is None, "of another log"


def test_what_comes_of_an_older_log_is_not_looked_at():
    model, effects = at("fault", fault_jobs.walk())
    (search,) = searches(effects)
    name, size, *rest = search.of
    late = Faults((name, size - 1, *rest), 1.0, searched(search)[-1].account)
    assert after(model, m.FaultsCame(late))[0] == model


def test_how_far_a_search_is_comes_at_most_ten_times_and_the_account_last():
    (search,) = searches(at("fault", fault_jobs.walk())[1])
    sent = searched(search)
    assert 2 <= len(sent) <= 11 and all(one.of == search.of for one in sent)
    shares = [one.share for one in sent]
    assert shares == sorted(shares) and not any(one.is_over for one in sent[:-1])
    here = search.of[2]
    made = account(search.judgement, rates=search.rates, here=here)
    assert sent[-1].account.faults == made.faults and sent[-1].account.next_test == made.next_test


def test_a_newer_search_ends_the_older():
    (search,) = searches(at("fault", fault_jobs.walk())[1])
    newer = replace(search, of=(*search.of[:2], "elsewhere", 0))
    services = Services(None)

    async def both() -> list[Any]:
        sent: list[Any] = []
        await asyncio.gather(*(services.perform(one, sent.append) for one in (search, newer)))
        return sent

    ends = [one.faults for one in asyncio.run(both()) if one.faults.is_over]
    assert [one.of for one in ends] == [newer.of]


def test_between_two_slices_everything_else_has_its_turn(monkeypatch):
    monkeypatch.setattr(breath, "SLICE", 0.0)
    (search,) = searches(at("fault", fault_jobs.ends())[1])

    async def beside() -> int:
        turns, task = 0, asyncio.create_task(find(search, lambda _: None, lambda: True))
        while not task.done():
            await asyncio.sleep(0)
            turns += 1
        return turns

    assert asyncio.run(beside()) > 50


def test_the_rows_of_the_jobs_are_looked_into_one_after_another():
    docs = (fault_jobs.agree(), fault_jobs.ends(), {**fault_jobs.box_dead(), "id": "OTHER"})
    docs = ({**docs[0], "id": "SOUND"}, *docs[1:])
    rows = tuple(JobRow(doc["id"], "", judge(read_job(doc))) for doc in docs)
    model, effects = after(Model(), m.JobsListed(rows))
    done = []
    while searches(effects):
        (search,) = searches(effects)
        done.append(search.of[0])
        model, effects = after(model, m.FaultsCame(searched(search)[-1]))
    assert done == [JOB, "OTHER"], "nothing is wrong with the first"
    assert suspects(model, JOB, rows[1].judgement) == {"C3", "C4"}
    assert suspects(model, "OTHER", rows[2].judgement) == {"L2"}
    assert suspects(model, "SOUND", rows[0].judgement) is None


# ---------------------------------------------------------------- what


def test_a_place_is_suspect_by_all_its_causes_together():
    model = with_account("fault", fault_jobs.walk())
    odds: dict[str, float] = {}
    for one in account_of(model).faults:
        odds[one.where] = odds.get(one.where, 0.0) + one.probability
    found = suspects(model, JOB, model.job.judgement)
    assert found == {where for where, share in odds.items() if where and share >= SUSPECT}
    assert found, "the port alone would not have been"


@pytest.mark.parametrize(
    ("where", "thing"),
    [("C4", "C4"), ("L2", "L2"), ("L2.in", "L2"), ("EB1", ""), ("r0", ""), ("", ""), ("M1", "")],
)
def test_what_a_cause_s_place_is_drawn_as(where, thing):
    assert thing_at(job_of(fault_jobs.walk()).judgement.state.job, where) == thing


def test_a_hold_names_the_suspect_unless_its_reading_speaks_against_it():
    model = with_account("leave", fault_jobs.walk())
    best = account_of(model).best
    assert best.where in suspect_of(model, "r0")
    against = with_account("leave", fault_jobs.other())
    assert suspect_of(against, "r1") == "", "something unknown is no suspect"
    assert suspect_of(at("leave", fault_jobs.walk())[0], "r0") == "", "not yet worked out"


def test_a_slab_says_how_many_causes_fit():
    assert find_more(at("run", fault_jobs.walk())[0]).startswith("weighing")
    three = words.find_more(3, True, False)
    assert find_more(with_account("run", fault_jobs.walk())) == three
    assert find_more(with_account("run", fault_jobs.box_dead())) == "one cause stands out"
    assert find_more(with_account("run", fault_jobs.misfit())) == "no single cause explains these"


def test_a_dead_test_is_led_to_by_way_of_what_it_wants():
    model = with_account("fault", fault_jobs.dead())
    test = account_of(model).next_test
    assert test.dead and route_to(model, test) == f"{R}/test/{test.at}/{test.kind}"
    assert load_of(test.standing) == ""


# ---------------------------------------------------------------- mending


def test_nothing_is_mended_without_a_word_on_what_it_was():
    model = with_account("fault", fault_jobs.box_dead())
    model, effects = after(model, m.MendedPressed(), m.TruthSaid(), m.TruthAsked())
    assert model.mending is None and not keeps(effects)
    model, effects = after(model, m.MendingOpened("box.dead", "nowhere"))
    assert model.mending is None, "no such cause was found"
    model, effects = after(model, m.MendingOpened("box.dead", "L2"), m.MendedPressed())
    assert not keeps(effects) and mended_drafts(model) == ()
    model, effects = after(model, m.TruthSaid("box.dead", "L2"), m.MendedPressed())
    (keep,) = keeps(effects)
    assert [draft["what"] for draft in keep.drafts] == ["found", "change"]
    assert keep.then == f"{R}/now" and model.mending is None


def test_a_misread_figure_is_nothing_to_mend():
    model = with_account("fault", fault_jobs.typed())
    best = account_of(model).best
    assert after(model, m.MendingOpened(best.cause, best.where))[0].mending is None


def test_of_two_at_once_both_are_found_and_the_first_is_mended():
    model = with_account("fault", fault_jobs.box_dead())
    (faults,) = model.faults.values()
    parts = (("span.high", "C4"), ("load.heavy", "C"))
    pair = evolve(faults.account.best, cause="pair", where="", parts=parts)
    both = replace(faults, account=evolve(faults.account, faults=(pair,)))
    model = replace(model, faults={JOB: both})
    name = told_apart(pair)
    model, effects = after(model, m.MendingOpened(*name), m.TruthSaid(*name), m.MendedPressed())
    (keep,) = keeps(effects)
    *finds, change = keep.drafts
    assert [(one["cause"], one["where"]) for one in finds] == list(parts)
    assert (change["what"], change["where"]) == ("change", "C4")
    model, effects = after(model, kept(effects))
    assert len(model.strip.also) == 2, "one press takes all three back"
