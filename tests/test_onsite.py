"""Work on site, by messages alone: steps, repairs, holds, two plans, leaving."""

from __future__ import annotations

import pytest
from messages_sent import R, after, draft_of, keeps, kept, model_at, open_job, volts, with_log

from fieldapp import messages as m
from fieldapp.model import Model, OpenJob
from fieldapp.questions import (
    conflict_of,
    here,
    hold_of,
    mendable,
    next_step,
    step_shown,
    waive_is_ready,
)
from fieldapp.settings import Settings
from fieldapp.update import STRIP_SECONDS, update

# ---------------------------------------------------------------- steps and the strip


def test_a_step_done_shows_a_strip_for_a_while():
    model = model_at(f"{R}/now")
    first = next_step(model.job)
    model, effects = after(model, m.StepPressed(first.id, "done"))
    assert draft_of(effects) == {"what": "step", "step": first.id, "state": "done", "by": ""}
    model, more = update(model, kept(effects))
    assert model.strip.entry == "t1-0" and model.strip.say.parts["state"] == "done"
    later = next(effect for effect in more if isinstance(effect, m.Later))
    assert later == m.Later(STRIP_SECONDS, m.StripGone(model.strip.count)) and STRIP_SECONDS == 8
    assert next_step(model.job).id != first.id
    gone, _ = update(model, later.message)
    assert gone.strip is None


def test_an_older_wait_does_not_take_a_newer_strip():
    model = model_at(f"{R}/now")
    model, effects = after(model, m.StepPressed("announce.site", "done"))
    model, _ = update(model, kept(effects, "a"))
    old = model.strip.count
    model, effects = after(model, m.StepPressed("meter.site", "done"))
    model, _ = update(model, kept(effects, "b"))
    assert model.strip.count != old
    assert update(model, m.StripGone(old)) == (model, ())


def test_a_reason_goes_with_a_step_that_cannot_be_done():
    model, _ = update(model_at(f"{R}/now"), m.SheetOpened("cannot", "off.S"))
    model, effects = after(model, m.StepPressed("off.S", "not-here", "no part"))
    assert draft_of(effects)["why"] == "no part" and model.sheet is None


def test_saying_that_the_feed_is_on_starts_the_wait_for_its_lights():
    """One press says it; the power-up walk does not ask for the same word again."""
    model = model_at("/j/REEDBED-HIDE/now")
    (keep,) = keeps(after(model, m.StepPressed("energise.S", "done"))[1])
    step, wait = keep.drafts
    assert (step["what"], step["step"]) == ("step", "energise.S")
    assert (wait["at"], wait["x_timer"], wait["x_round"]) == ("wait.S", 3, 1)
    for ident, state in (("energise.S", "undone"), ("off.S", "done"), ("gone.S", "done")):
        (keep,) = keeps(after(model, m.StepPressed(ident, state))[1])
        assert len(keep.drafts) == 1, ident
    read = with_log("/j/REEDBED-HIDE/now", volts("r", "S.out", 53.5))
    (keep,) = keeps(after(read, m.StepPressed("energise.S", "done"))[1])
    assert len(keep.drafts) == 1, "its lights were seen"


def test_a_step_done_on_its_own_page_leads_on():
    model = model_at(f"{R}/now?step=off.S")
    assert step_shown(model).id == "off.S"
    model, effects = after(model, m.StepPressed("off.S", "done"))
    model, more = update(model, kept(effects))
    assert model.route == f"{R}/now" and m.Push(f"{R}/now") in more
    assert step_shown(model) == next_step(model.job)


@pytest.mark.parametrize("place", ["verdict/e1", "now"])
def test_taking_back_is_an_entry_and_one_stays_where_one_is(place):
    model, effects = after(model_at(f"{R}/{place}"), m.TakeBack("e1"))
    (keep,) = keeps(effects)
    assert keep.drafts == ({"what": "void", "of": "e1", "by": ""},) and keep.then == ""
    assert model.strip is None and model.route == f"{R}/{place}"


# ---------------------------------------------------------------- two plans


def two_plans(*more: dict) -> OpenJob:
    """Two phones that changed one length without having seen each other."""
    change = {"what": "set", "path": ["spans", "C4", "length_m"], "was": 256}
    return open_job(
        "reedbed-hide",
        {"id": "x", "device": "a", "n": 1, "by": "Orla", "value": 262, **change},
        {"id": "y", "device": "b", "n": 1, "by": "Ivo", "value": 249, **change},
        *more,
    )


def conflict_hold(model: Model) -> str:
    (hold,) = [one.id for one in model.job.judgement.blockers if conflict_of(model, one.id)]
    return hold


@pytest.mark.parametrize(("keep", "metres"), [("x", 262), ("y", 249)])
def test_of_two_plans_one_is_kept_by_one_press(keep, metres):
    model = model_at(f"{R}/leave", two_plans())
    hold = conflict_hold(model)
    assert hold_of(model, hold).can_waive == "no"
    model, effects = after(model, m.SheetOpened("choose", hold), m.PlanChosen(hold, keep))
    draft = draft_of(effects)
    assert (draft["what"], draft["keep"], set(draft["of"])) == ("resolve", keep, {"x", "y"})
    model, _ = update(model, kept(effects))
    assert model.sheet is None and model.route == f"{R}/leave"
    assert hold_of(model, hold) is None
    assert model.job.judgement.state.job.spans["C4"].length_m.expected == metres


def test_what_is_in_no_conflict_is_not_chosen():
    model = model_at(f"{R}/leave", two_plans())
    hold = conflict_hold(model)
    for message in (m.PlanChosen(hold, "z"), m.PlanChosen("conflict.title", "x")):
        assert update(model, message) == (model, ())


def test_three_plans_are_settled_by_one_press_too():
    third = {"what": "set", "path": ["spans", "C4", "length_m"], "value": 255, "was": 256}
    job = two_plans({"id": "z", "device": "c", "n": 1, "by": "Ada", **third})
    model = model_at(f"{R}/leave", job)
    hold = conflict_hold(model)
    model, effects = after(model, m.PlanChosen(hold, "y"))
    (keep,) = keeps(effects)
    assert {frozenset(one["of"]) for one in keep.drafts} == {
        frozenset({"y", "x"}),
        frozenset({"y", "z"}),
    }
    model, _ = update(model, kept(effects))
    assert hold_of(model, hold) is None


# ---------------------------------------------------------------- what was mended


def mending(*typed_in: tuple[str, str]) -> Model:
    read = volts("v", "A2.line", 41.0, meter="M1")
    model, _ = update(with_log(f"{R}/verdict/v", read), m.SheetOpened("change", "A2.line"))
    for key, text in typed_in:
        model, _ = update(model, m.SheetTyped(key, text))
    return model


@pytest.mark.parametrize(
    "typed_in", [(), (("where", "C4"),), (("reason", "x"),), (("where", "C4"), ("reason", " "))]
)
def test_a_repair_needs_a_place_and_a_deed(typed_in):
    model = mending(*typed_in)
    assert update(model, m.ChangePressed()) == (model, ())


def test_a_repair_strikes_the_readings_of_its_run_and_says_how_many():
    model = mending(("where", "C4"), ("reason", " made the end again "))
    model, effects = after(model, m.ChangePressed())
    assert draft_of(effects) == {
        "what": "change",
        "where": "C4",
        "did": "made the end again",
        "by": "",
    }
    model, more = update(model, kept(effects))
    assert model.route == f"{R}/now" and model.sheet is None
    assert model.job.judgement.state.current == frozenset()
    assert model.strip.say.parts["struck"] == 1
    assert not any(isinstance(effect, m.Later) for effect in more), "it does not go by itself"
    read, effects = after(
        update(model, m.Go(f"{R}/read/A2.line/volts"))[0],
        *(m.KeyPressed(key) for key in "47.9"),
        m.KeepPressed(),
    )
    assert update(read, kept(effects, "t3"))[0].strip is None, "it goes with the next reading"
    taken, effects = after(model, m.TakeBack(model.strip.entry))
    taken, _ = update(taken, kept(effects, "t2"))
    assert taken.job.judgement.state.current == {"v"}, "taken back, they count again"


def test_a_repair_opens_the_steps_that_need_their_reading_again():
    read = volts("v", "L2.in", 47.9, meter="M1")
    model = with_log(f"{R}/verdict/v", read)
    states = {step.id: step.state for step in model.job.judgement.steps}
    assert states["volts.L2.in"] == "done"
    model, _ = after(
        model,
        m.SheetOpened("change", "L2.in"),
        m.SheetTyped("where", "C4"),
        m.SheetTyped("reason", "swapped the cable"),
    )
    model, effects = after(model, m.ChangePressed())
    model, _ = update(model, kept(effects))
    states = {step.id: step.state for step in model.job.judgement.steps}
    assert states["volts.L2.in"] == "open"


def test_where_one_may_have_mended():
    job = open_job()
    assert mendable(job, "A2.line") == ("A2", "C4", "C5", "L2", "C")
    assert mendable(job, "C4") == ("C4", "J1", "A2")
    assert mendable(job, "EB1") == ("EB1",)
    low = open_job("reedbed-hide", volts("s", "J1.a", 51.4), volts("v", "L2.in", 41.0))
    assert mendable(low, "L2.in")[:4] == ("L2", "C5", "C6", "C4"), "the suspect span is offered"


def test_one_stands_where_one_last_worked():
    job = open_job()
    assert here(Model(job=job)) == "hut"
    assert here(Model(job=job, stop="sluice")) == "sluice"
    assert here(Model(job=job, stop="nowhere")) == "hut"
    read = {"id": "a", "what": "reading", "at": "L2.in", "kind": "volts", "value": 45}
    assert here(Model(job=open_job("reedbed-hide", read))) == "hide"
    step = {"id": "b", "what": "step", "step": "fit.J1", "state": "done"}
    assert here(Model(job=open_job("reedbed-hide", read, step))) == "sluice"


# ---------------------------------------------------------------- holds and leaving


def waiving(of: str, **typed_in: str) -> Model:
    name = typed_in.pop("own", "")
    model = model_at(f"{R}/leave", settings=Settings(name=name))
    model, _ = update(model, m.SheetOpened("waive", of))
    for key, text in typed_in.items():
        model, _ = update(model, m.SheetTyped(key, text))
    return model


SELF, RESPONSIBLE = "step.fit.L2", "step.bond.A2"


@pytest.mark.parametrize(
    ("of", "typed_in", "ready"),
    [
        (SELF, {}, False),
        (SELF, {"reason": "r"}, False),
        (SELF, {"reason": "r", "own": "Orla"}, True),
        (SELF, {"reason": "r", "name": "Ola"}, True),
        (SELF, {"reason": "   ", "own": "Orla"}, False),
        (SELF, {"reason": "r", "name": "  "}, False),
        (RESPONSIBLE, {"reason": "r", "own": "Orla"}, False),
        (RESPONSIBLE, {"reason": "r", "name": "Ottar"}, False),
        (RESPONSIBLE, {"reason": "r", "role": "owner"}, False),
        (RESPONSIBLE, {"reason": "r", "role": "owner", "own": "Orla"}, False),
        (RESPONSIBLE, {"name": "Ottar", "role": "owner"}, False),
        (RESPONSIBLE, {"reason": "r", "name": "Ottar", "role": " "}, False),
        (RESPONSIBLE, {"reason": "r", "name": "Ottar", "role": "owner"}, True),
        ("step.no.such", {"reason": "r", "name": "Ottar", "role": "owner"}, False),
    ],
)
def test_when_a_hold_may_be_waived(of, typed_in, ready):
    model = waiving(of, **typed_in)
    assert waive_is_ready(model) is ready
    _, effects = after(model, m.WaivePressed())
    assert bool(keeps(effects)) is ready


def test_the_two_holds_of_that_table_are_what_it_says():
    model = model_at(f"{R}/leave")
    assert hold_of(model, SELF).can_waive == "self"
    assert hold_of(model, RESPONSIBLE).can_waive == "responsible"


def test_nobody_is_filled_in_for_who_answers():
    model = waiving(RESPONSIBLE, own="Orla")
    assert (model.sheet.name, model.sheet.role, model.sheet.reason) == ("", "", "")
    model = waiving(RESPONSIBLE, own="Orla", reason="r", name=" Ottar ", role=" owner ")
    _, effects = after(model, m.WaivePressed())
    assert draft_of(effects) == {
        "what": "waive",
        "of": RESPONSIBLE,
        "reason": "r",
        "by": "Ottar",
        "role": "owner",
    }


def test_a_sheet_closes_on_the_way_out_and_what_was_typed_goes_with_it():
    model = waiving(RESPONSIBLE, reason="r", name="Ottar")
    assert update(model, m.SheetClosed())[0].sheet is None
    assert update(model, m.Go(f"{R}/now"))[0].sheet is None
    again, _ = after(model, m.SheetClosed(), m.SheetOpened("waive", SELF))
    assert (again.sheet.reason, again.sheet.name) == ("", "")
    nothing = Model(job=model.job, route=f"{R}/leave")
    assert update(nothing, m.SheetTyped("reason", "r")) == (nothing, ())
    assert update(nothing, m.WaivePressed()) == (nothing, ())


def test_nobody_leaves_while_something_holds():
    model = model_at(f"{R}/leave")
    assert not model.job.judgement.ready_to_leave
    assert update(model, m.LeavePressed()) == (model, ())
    assert update(Model(), m.LeavePressed()) == (Model(), ())


def test_leaving_is_kept_and_leads_to_what_is_handed_over():
    held = open_job()
    names = [*(hold.id for hold in held.judgement.holds), "copied"]
    waives = [
        {"id": f"w{n}", "what": "waive", "of": name, "reason": "r", "by": "O", "role": "owner"}
        for n, name in enumerate(names)
    ]
    model = model_at(f"{R}/leave", open_job("reedbed-hide", *waives))
    assert model.job.judgement.ready_to_leave
    model, effects = after(model, m.LeavePressed())
    draft = draft_of(effects)
    assert (draft["what"], sorted(draft["open"])) == ("leave", sorted(names))
    model, _ = after(model, kept(effects))
    assert model.route == f"{R}/hand"
    assert model.job.judgement.state.visits[-1].open == tuple(draft["open"])
