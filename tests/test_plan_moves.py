"""What a press in the plan editor asks to be kept, and how one press is taken back."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from test_update import after, keeps, model_at, open_job

from engine.advise import advise
from engine.planning import applied
from fieldapp import messages as m
from fieldapp.advising import breaks, offered
from fieldapp.model import Model, NewRun, Sheet
from fieldapp.planmoves import PUT_IN, STARTERS, how_it_counts, sheet_to_put
from fieldapp.questions import TOGETHER, last_edits

R = "/j/REEDBED-HIDE"


def kept(model: Model, effects: list[Any]) -> m.Kept:
    """What the services would answer: each entry has seen all before it."""
    (keep,) = keeps(effects)
    first = len(model.job.file.entries)
    entries = []
    for n, draft in enumerate(keep.drafts, start=first + 1):
        held = {key: value for key, value in draft.items() if value != ""}
        seen = {"d": n - 1} if n > 1 else {}
        entries.append({"id": f"t{n:03}", "n": n, "device": "d", "seen": seen, **held})
    return m.Kept(keep.job, tuple(entries), "14:32", keep.then)


def turned_a2() -> Model:
    """The reedbed job with its far arrestor planned the wrong way round."""
    model, effects = after(model_at(f"{R}/plan/A2"), m.PlanMove("turn", "A2"))
    model, _ = after(model, kept(model, effects))
    assert any(one.at.startswith("A2") for one in breaks(model))
    return model


def plan_of(model: Model) -> dict[str, Any]:
    return {k: v for k, v in model.job.judgement.state.doc.items() if k != "log"}


@pytest.mark.parametrize("kind", PUT_IN)
def test_a_box_put_in_is_one_press_and_one_undo(kind):
    """All its entries carry one word, and one Undo gives the plan back as it was."""
    model = model_at(f"{R}/plan/C4")
    before = plan_of(model)
    job = model.job.judgement.state.job
    sheet = sheet_to_put(job, job.spans["C4"], kind)
    model, effects = after(model, m.PlanMove("put-in", "C4", sheet))
    (keep,) = keeps(effects)
    assert len({draft[TOGETHER] for draft in keep.drafts}) == 1
    model, _ = after(model, kept(model, effects))
    assert len(model.job.judgement.state.job.boxes) == len(job.boxes) + 1
    assert model.place.at in model.job.judgement.state.job.boxes, "it is what one looks at next"
    assert len(last_edits(model)) == len(keep.drafts)
    model, effects = after(model, m.PlanUndone())
    (undo,) = keeps(effects)
    assert {draft["what"] for draft in undo.drafts} == {"void"}
    model, _ = after(model, kept(model, effects))
    assert plan_of(model) == before
    assert last_edits(model) == ()


def test_two_presses_are_undone_one_by_one():
    model = model_at(f"{R}/plan/C4")
    model, effects = after(model, m.PlanMove("put-in", "C4", "generic.joint-gel"))
    model, _ = after(model, kept(model, effects))
    between = plan_of(model)
    model, effects = after(model, m.PlanMove("put-in", "C2", "generic.joint-gel"))
    model, _ = after(model, kept(model, effects))
    model, effects = after(model, m.PlanUndone())
    model, _ = after(model, kept(model, effects))
    assert plan_of(model) == between


def test_an_id_that_was_taken_back_is_not_used_again():
    model = model_at(f"{R}/plan/C4")
    model, effects = after(model, m.PlanMove("put-in", "C4", "generic.joint-gel"))
    first = {d["value"]["id"] for d in keeps(effects)[0].drafts if d["path"] == ["boxes"]}
    model, _ = after(model, kept(model, effects))
    model, effects = after(model, m.PlanUndone())
    model, _ = after(model, kept(model, effects))
    _, effects = after(model, m.PlanMove("put-in", "C4", "generic.joint-gel"))
    second = {d["value"]["id"] for d in keeps(effects)[0].drafts if d["path"] == ["boxes"]}
    assert first and second and not first & second


def test_what_cannot_be_is_one_sentence_and_keeps_nothing():
    model, effects = after(model_at(f"{R}/plan/C"), m.PlanMove("turn", "C"))
    assert not keeps(effects) and model.told.code == "plan-no-turning"


def test_a_new_stop_and_the_box_at_it_are_one_press():
    model = replace(model_at(f"{R}/plan/J1"), sheet=Sheet("move", "J1", name="Gate", where="210,5"))
    model, effects = after(model, m.StopMade("J1"))
    model, _ = after(model, kept(model, effects))
    job = model.job.judgement.state.job
    stop = job.stops[job.boxes["J1"].stop]
    assert (stop.name, stop.at_m) == ("Gate", 210.5)
    assert model.sheet is None and len(last_edits(model)) == 2


@pytest.mark.parametrize("typed", ["", "far", "-3", "nan", "inf", "1e9"])
def test_a_stop_that_is_nowhere_is_not_made(typed):
    model = replace(model_at(f"{R}/plan/J1"), sheet=Sheet("move", "J1", where=typed))
    after_it, effects = after(model, m.StopMade("J1"))
    assert not keeps(effects) and after_it.sheet == model.sheet


def test_a_thing_that_is_there_is_changed_not_corrected():
    """A step of building it done, or a reading in its run: then the edit is a change."""
    assert how_it_counts(model_at(f"{R}/plan"), "C4") == "correction"
    pulled = {"id": "p", "what": "step", "step": "pull.C4", "state": "done"}
    model = model_at(f"{R}/plan", open_job("reedbed-hide", pulled))
    assert how_it_counts(model, "C4") == "change"
    assert how_it_counts(model, "C3") == "correction"
    read = {"id": "r", "what": "reading", "at": "S.out", "kind": "volts", "value": 53.9}
    model = model_at(f"{R}/plan", open_job("reedbed-hide", {**read, "meter": "M1"}))
    assert how_it_counts(model, "C4") == "change"
    assert how_it_counts(model, "title") == "correction"


# ---------------------------------------------------------------- advice


def advised(effects: list[Any]) -> list[m.Advise]:
    return [one for one in effects if isinstance(one, m.Advise)]


def test_advice_is_looked_for_where_a_rule_is_broken_and_only_while_one_looks():
    clean, effects = after(Model(job=open_job()), m.Go(f"{R}/plan"))
    assert breaks(clean) or not advised(effects)
    model = turned_a2()
    assert model.advice.of == ("REEDBED-HIDE", len(model.job.file.entries))
    model, effects = after(model, m.Go(f"{R}/run"))
    assert m.StopAdvising() in effects and model.advice is None


def test_the_smallest_change_pressed_is_kept_as_its_edits():
    model = turned_a2()
    doc = model.job.judgement.state.doc
    found = advise(doc)
    of = model.advice.of
    model, _ = after(model, m.AdviceCame(of, 1.0, None, found))
    change = offered(model)
    assert change.say.code == "advice-turn" and change.say.parts["box"] == "A2"
    model, effects = after(model, m.AdviceTaken(of))
    model, _ = after(model, kept(model, effects))
    want = applied(doc, change.edits)
    assert model.job.judgement.state.doc["spans"] == want["spans"]
    assert not any(one.at.startswith("A2") for one in breaks(model))


def test_advice_on_a_plan_that_has_changed_is_dropped():
    model = turned_a2()
    of = (model.advice.of[0], model.advice.of[1] - 1)
    late, effects = after(model, m.AdviceCame(of, 0.5), m.AdviceTaken(of))
    assert late.advice == model.advice and not keeps(effects)


# ---------------------------------------------------------------- a new run


def test_a_new_run_asks_one_thing_after_the_other():
    model, _ = after(Model(), *(m.NewKey(key) for key in "463"), m.NewPicked("asked", "load"))
    assert model.new == NewRun(digits="463", asked="load")
    _, effects = after(model, m.NewPicked("watts", 25.0), m.LayPressed("Run"))
    assert m.LayRun(463.0, 25.0, 1000, True, "Run") in effects


def test_without_metres_there_is_no_second_question():
    model, _ = after(Model(), m.NewPicked("asked", "load"))
    assert model.new.asked == "metres" and model.told.code == "plan-no-length"


def test_every_kind_to_put_in_has_its_starter_sheets():
    from engine.sheets import STARTER

    for kind in PUT_IN:
        assert [STARTER[name].kind for name in STARTERS[kind]] == [kind, kind]
