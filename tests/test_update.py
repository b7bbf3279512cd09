"""The one way the state changes, without any page: messages in, model and effects out."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest
from messages_sent import NOTE, R, after, keeps, kept, loaded, model_at, open_job

from engine.judge import judge
from engine.say import say
from fieldapp import effects as world
from fieldapp import messages as m
from fieldapp.halfdone import Pad
from fieldapp.model import Model, OpenJob
from fieldapp.routes import place_of
from fieldapp.services import Services
from fieldapp.update import HANDLERS, update

# ---------------------------------------------------------------- the house rules

SAID = {f"fieldapp.{path.stem}" for path in Path(m.__file__).parent.glob("*messages.py")}


def test_every_message_has_its_handler_and_every_effect_is_carried_out():
    """All but the effect that the page itself does: showing a route."""
    done = set(Services(None).actions) | {m.Push}
    made = {
        kind
        for kind in vars(m).values()
        if is_dataclass(kind) and kind.__module__ in {*SAID, world.__name__}
    }
    assert made == set(HANDLERS) | done
    assert not set(HANDLERS) & done
    assert {kind for kind in vars(world).values() if is_dataclass(kind)} <= done


def test_messages_and_model_are_values():
    for kind in (*HANDLERS, Model, Pad, OpenJob):
        assert kind.__dataclass_params__.frozen, kind
    assert m.Go("/") == m.Go("/") and hash(m.KeyPressed("1"))
    assert {field.name for field in fields(Model)} >= {"route", "pad", "job", "strip", "told"}


# ---------------------------------------------------------------- moving about


def test_going_pushes_the_route_and_remembers_it():
    model, effects = update(Model(job=open_job()), m.Go(f"{R}/run"))
    assert model.route == f"{R}/run" and effects[0] == m.Push(f"{R}/run")
    (save,) = [effect for effect in effects if isinstance(effect, m.SavePlace)]
    assert save.place["route"] == f"{R}/run"


def test_the_same_route_again_from_the_phone_is_nothing_new():
    model = model_at(f"{R}/run")
    assert update(model, m.RouteChanged(f"{R}/run")) == (model, ())
    moved, effects = update(model, m.RouteChanged(f"{R}/leave"))
    assert moved.route == f"{R}/leave" and not any(isinstance(e, m.Push) for e in effects)


def test_an_unknown_route_shows_the_jobs():
    model, effects = update(Model(), m.RouteChanged("/nowhere"))
    assert model.place == place_of("/") and m.ListJobs() in effects


def test_a_route_of_a_closed_job_reads_it_first():
    model, effects = update(Model(), m.Go(f"{R}/leave"))
    assert model.waiting and m.LoadJob("REEDBED-HIDE", f"{R}/leave") in effects
    assert not any(isinstance(effect, m.SavePlace) for effect in effects)
    job = replace(open_job(), kept="14:32")
    model, effects = update(model, m.JobLoaded(job, f"{R}/leave", model.waiting))
    assert not model.waiting and model.job is job and model.last_job == job.id
    assert model.route == f"{R}/leave" and m.Push(f"{R}/leave") in effects


def test_the_job_in_hand_opens_without_reading_it_again():
    _, effects = update(model_at("/"), m.OpenJobPressed("REEDBED-HIDE"))
    assert not any(isinstance(effect, m.LoadJob) for effect in effects)
    _, effects = update(model_at("/"), m.OpenJobPressed("TIDE-MILL"))
    assert m.LoadJob("TIDE-MILL", "/j/TIDE-MILL/now") in effects


def test_the_stop_is_forgotten_with_another_job():
    job = open_job("tide-mill")
    model = Model(stop="hide", last_job="REEDBED-HIDE")
    model, _ = update(model, m.JobLoaded(job, f"/j/{job.id}/now", None))
    assert model.stop == ""


def test_what_was_told_goes_with_the_next_thing_done():
    told, _ = update(Model(), m.Told(say("told-full")))
    assert told.told == say("told-full")
    for message in (m.ToldSeen(), m.SamplePicked("tide-mill"), m.FilePressed()):
        assert update(told, message)[0].told is None


def test_settings_are_taken_and_put_away():
    model, effects = update(Model(), m.SettingPicked("look", "dark"))
    assert model.settings.look == "dark" and effects == (m.PutSetting("look", "dark"),)
    assert model.is_dark
    model, _ = after(model, m.SettingPicked("look", "phone"))
    assert not model.is_dark
    model, _ = after(model, m.LookChanged(True))
    assert model.is_dark


def test_the_window_is_followed():
    model, _ = after(Model(), m.Resized(360, 640), m.ScaleSeen(2.0), m.LookChanged(True))
    window = model.window
    assert (window.width, window.height, window.scale, window.dark) == (360, 640, 2.0, True)


def test_an_unknown_message_is_not_passed_over():
    with pytest.raises(KeyError):
        update(Model(), "anything")


# ---------------------------------------------------------------- jobs on their way


def test_of_two_jobs_asked_for_the_later_one_opens_whichever_comes_first():
    mill, hide = open_job("tide-mill"), open_job()
    start = model_at("/", open_job("orchard-gate"))
    for turned in (False, True):
        model, (first,) = update(start, m.OpenJobPressed(mill.id))
        model, (later,) = update(model, m.OpenJobPressed(hide.id))
        came = [loaded(mill, first), loaded(hide, later)]
        model, _ = after(model, *(reversed(came) if turned else came))
        assert model.job is hide and model.route == f"{R}/now" and model.waiting is None


def test_a_job_that_comes_after_one_went_elsewhere_opens_nothing():
    model, (load,) = update(model_at("/"), m.OpenJobPressed("TIDE-MILL"))
    went, _ = update(model, m.Go("/settings"))
    assert update(went, loaded(open_job("tide-mill"), load)) == (went, ())
    failed, effects = update(went, m.NotOpened(load, say("told-full"), "/"))
    assert failed == replace(went, told=say("told-full")) and effects == (m.Buzz("refused"),)


def test_what_was_listed_or_told_meanwhile_does_not_keep_a_job_from_opening():
    mill = open_job("tide-mill")
    model, (load,) = update(model_at("/"), m.OpenJobPressed(mill.id))
    model, _ = after(model, m.JobsListed(()), m.Told(say("told-busy")), loaded(mill, load))
    assert model.job is mill and model.route == f"/j/{mill.id}/now"


def test_the_job_in_hand_is_renewed_where_one_went_elsewhere():
    """A file brought entries to it: they are not lost on the one who has moved on."""
    pick = m.FilePicked("a.json", b"{}")
    model, (take,) = update(model_at(f"{R}/run"), pick)
    model, _ = update(model, m.Go("/settings"))
    more = open_job("reedbed-hide", NOTE)
    model, effects = update(model, loaded(more, take))
    assert model.job is more and model.route == "/settings" and effects == (m.CountFound(),)


def test_one_press_opens_one_job_and_a_failure_leaves_the_way_free():
    pick = m.SamplePicked("tide-mill")
    model, (copy,) = update(Model(), pick)
    assert update(model, pick) == (model, ())
    model, effects = update(model, m.NotOpened(copy, say("told-full")))
    assert model.told == say("told-full") and effects == (m.Buzz("refused"),)
    assert update(model, pick)[1] == (copy,)


def test_a_job_that_cannot_be_read_leads_to_the_jobs():
    model, _ = update(Model(), m.Go(f"{R}/leave"))
    model, _ = update(model, m.NotOpened(model.waiting, say("told-unreadable", name="a"), "/"))
    assert model.route == "/" and model.told.code == "told-unreadable" and not model.waiting


def test_a_job_that_opens_is_not_judged_by_the_update(monkeypatch):
    job = open_job("tide-mill")
    monkeypatch.setattr("fieldapp.update.judge", None)
    model, _ = update(Model(), loaded(job, None))
    assert model.job.judgement is job.judgement


# ---------------------------------------------------------------- what is kept of a long job


@pytest.fixture
def long(monkeypatch: pytest.MonkeyPatch) -> Model:
    """On the pad of a job that counts as long."""
    monkeypatch.setattr("fieldapp.update.MOST_ENTRIES", -1)
    return typed_on(model_at(f"{R}/read/L1.out/volts"), "48.2")


def typed_on(model: Model, digits: str) -> Model:
    return after(model, *(m.KeyPressed(key) for key in digits))[0]


def judged(effect: m.Judge) -> m.Judged:
    return m.Judged(effect, judge(effect.file, known=effect.known))


def verdicts(model: Model) -> list[str]:
    return [one.reading.id for one in model.job.judgement.verdicts]


def test_a_long_job_says_kept_at_once_and_the_verdict_when_it_is_there(long):
    model, effects = update(long, m.KeepPressed())
    model, (judging,) = update(model, kept(effects))
    assert model.job.kept == "14:32" and not model.keeping and model.pad.digits == ""
    assert model.place.screen == "read" and verdicts(model) == []
    model, _ = update(model, judged(judging))
    assert model.route == f"{R}/verdict/t1-0" and verdicts(model) == ["t1-0"]
    assert model.unjudged == () and len(model.job.file.entries) == 1


def test_what_is_kept_twice_in_one_breath_comes_out_in_its_order(long):
    """The second while the first is judged; the same press once more keeps nothing."""
    model, effects = update(long, m.KeepPressed())
    model, (judging,) = update(model, kept(effects))
    model, other = update(typed_on(model, "47.9"), m.KeepPressed())
    model, waits = update(model, kept(other, "t2"))
    assert waits == () and len(model.unjudged) == 2
    model, effects = update(model, judged(judging))
    (judging,) = [one for one in effects if isinstance(one, m.Judge)]
    assert verdicts(model) == ["t1-0"]
    model, _ = update(model, judged(judging))
    assert [entry.id for entry in model.job.file.entries] == ["t1-0", "t2-0"]
    assert model.route == f"{R}/verdict/t2-0" and set(verdicts(model)) == {"t1-0", "t2-0"}


def test_the_same_press_while_a_long_job_is_judged_keeps_nothing(long):
    press = m.StepPressed("arrive", "done", "")
    model, effects = update(long, press)
    model, _ = update(model, kept(effects))
    assert not model.keeping and keeps(update(model, press)[1]) == []
    assert len(keeps(update(model, m.StepPressed("off", "done", ""))[1])) == 1


def test_a_job_read_anew_while_it_is_judged_has_each_entry_once(long):
    model, effects = update(long, m.KeepPressed())
    came = kept(effects)
    model, (judging,) = update(model, came)
    anew = open_job("reedbed-hide", NOTE, dict(came.entries[0]))
    model, _ = update(model, loaded(anew, m.LoadJob(anew.id, f"{R}/now")))
    assert model.job is anew
    model, (again,) = update(model, judged(judging))
    assert again.known is anew.judgement and model.job is anew
    model, _ = update(model, judged(again))
    assert [entry.id for entry in model.job.file.entries] == ["n0", "t1-0"]
    assert model.route == f"{R}/verdict/t1-0"


def test_what_a_long_job_came_to_is_not_looked_at_once_another_is_open(long):
    model, effects = update(long, m.KeepPressed())
    model, (judging,) = update(model, kept(effects))
    mill = open_job("tide-mill")
    model, (load,) = update(model, m.OpenJobPressed(mill.id))
    model, _ = update(model, loaded(mill, load))
    assert update(model, judged(judging)) == (model, ()) and model.job is mill
