"""What a press in the plan editor asks to be kept, and how one press is taken back."""

from __future__ import annotations

import asyncio
from dataclasses import replace
from typing import Any

import pytest
from attrs import evolve
from messages_sent import after, keeps, kept_behind, model_at, open_job
from plan_jobs import heavy, sample, turned, weak

from engine.advise import still_works
from engine.jobfile import read_job
from engine.judge import judge
from engine.planning import applied
from fieldapp import messages as m
from fieldapp.advising import advised_on, breaks, offered, other_ways, remarks, search
from fieldapp.foundout import PlanAdvice, Way
from fieldapp.halfdone import NewRun
from fieldapp.model import Model, OpenJob
from fieldapp.planmoves import PUT_IN, STARTERS, how_it_counts, sheet_to_put
from fieldapp.planpads import STOP_NAME
from fieldapp.questions import TOGETHER, last_edits
from fieldapp.screens.plan_ways import holds
from fieldapp.services import Services, _pad_of

R = "/j/REEDBED-HIDE"


def turned_a2() -> Model:
    """The reedbed job with its far arrestor planned the wrong way round."""
    model, effects = after(model_at(f"{R}/plan/A2"), m.PlanMove("turn", "A2"))
    model, _ = after(model, kept_behind(model, effects))
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
    model, _ = after(model, kept_behind(model, effects))
    assert len(model.job.judgement.state.job.boxes) == len(job.boxes) + 1
    assert model.place.at in model.job.judgement.state.job.boxes, "it is what one looks at next"
    assert len(last_edits(model)) == len(keep.drafts)
    model, effects = after(model, m.PlanUndone())
    (undo,) = keeps(effects)
    assert {draft["what"] for draft in undo.drafts} == {"void"}
    model, _ = after(model, kept_behind(model, effects))
    assert plan_of(model) == before
    assert last_edits(model) == ()


def test_two_presses_are_undone_one_by_one():
    model = model_at(f"{R}/plan/C4")
    model, effects = after(model, m.PlanMove("put-in", "C4", "generic.joint-gel"))
    model, _ = after(model, kept_behind(model, effects))
    between = plan_of(model)
    model, effects = after(model, m.PlanMove("put-in", "C2", "generic.joint-gel"))
    model, _ = after(model, kept_behind(model, effects))
    model, effects = after(model, m.PlanUndone())
    model, _ = after(model, kept_behind(model, effects))
    assert plan_of(model) == between


def test_an_id_that_was_taken_back_is_not_used_again():
    model = model_at(f"{R}/plan/C4")
    model, effects = after(model, m.PlanMove("put-in", "C4", "generic.joint-gel"))
    first = {d["value"]["id"] for d in keeps(effects)[0].drafts if d["path"] == ["boxes"]}
    model, _ = after(model, kept_behind(model, effects))
    model, effects = after(model, m.PlanUndone())
    model, _ = after(model, kept_behind(model, effects))
    _, effects = after(model, m.PlanMove("put-in", "C4", "generic.joint-gel"))
    second = {d["value"]["id"] for d in keeps(effects)[0].drafts if d["path"] == ["boxes"]}
    assert first and second and not first & second


def test_what_cannot_be_is_one_sentence_and_keeps_nothing():
    model, effects = after(model_at(f"{R}/plan/C"), m.PlanMove("turn", "C"))
    assert not keeps(effects) and model.told.code == "plan-no-turning"


def padded(what: str, thing: str, digits: str, standing: str = "", name: str = "") -> Model:
    """The pad of a figure of the plan, with this typed on it."""
    model = model_at(f"{R}/plan/{thing}/{what}")
    model, _ = after(model, *(m.KeyPressed(key) for key in digits))
    if standing:
        model, _ = after(model, m.StandingPicked(standing))
    if name:
        model, _ = after(model, m.EditTyped(STOP_NAME, name))
    return model


def test_a_new_stop_and_the_box_at_it_are_one_press():
    model, effects = after(padded("stop", "J1", "210.5", "indoor", " Gate "), m.PlanPadKept())
    model, _ = after(model, kept_behind(model, effects))
    job = model.job.judgement.state.job
    stop = job.stops[job.boxes["J1"].stop]
    assert (stop.name, stop.at_m, stop.indoor) == ("Gate", 210.5, True)
    assert model.route == f"{R}/plan/J1" and model.pad is None and len(last_edits(model)) == 2


def test_of_a_new_stop_it_is_asked_whether_it_is_indoors():
    model, effects = after(padded("stop", "J1", "210"), m.PlanPadKept())
    assert not keeps(effects) and model.pad.digits == "210"
    _, effects = after(model, m.StandingPicked("outdoor"), m.PlanPadKept())
    made = next(d for d in keeps(effects)[0].drafts if d["what"] == "add")
    assert made["value"]["indoor"] is False


@pytest.mark.parametrize("what, thing", [("length", "C4"), ("lead", "A2"), ("mm2", "A2")])
@pytest.mark.parametrize("digits", ["", "9999999"])
def test_what_cannot_stand_is_not_kept_and_stays_as_typed(what, thing, digits):
    model = padded(what, thing, digits)
    after_it, effects = after(model, m.PlanPadKept())
    assert not keeps(effects) and after_it.pad == model.pad and after_it.route == model.route


def test_a_length_of_nothing_is_none_but_a_lead_of_nothing_is():
    assert not keeps(after(padded("length", "C4", "0"), m.PlanPadKept())[1])
    assert keeps(after(padded("lead", "A2", "0"), m.PlanPadKept())[1])


def test_the_middle_of_a_band_typed_again_is_no_change():
    """A band must not turn into a bare number by a press."""
    model = padded("length", "C4", "256")
    assert not keeps(after(model, m.PlanPadKept())[1])


def test_a_lead_keeps_the_rest_of_its_bond():
    model, effects = after(padded("lead", "A2", "1.5"), m.PlanPadKept())
    before = model.job.judgement.state.job.boxes["A2"].bond
    model, _ = after(model, kept_behind(model, effects))
    bond = model.job.judgement.state.job.boxes["A2"].bond
    assert (bond.to, bond.lead_m, bond.mm2) == (before.to, 1.5, before.mm2)


def test_a_new_earth_stands_where_the_box_does_and_the_box_is_bonded_to_it():
    model = model_at(f"{R}/plan/J1")
    stop = model.job.judgement.state.job.boxes["J1"].stop
    model, effects = after(model, m.PlanMove("earth", "J1", stop))
    earths = set(model.job.judgement.state.job.earths)
    model, _ = after(model, kept_behind(model, effects))
    job = model.job.judgement.state.job
    (new,) = set(job.earths) - earths
    assert job.earths[new].stop == stop and job.boxes["J1"].bond.to == new


def test_digits_of_the_plan_outlive_the_app():
    """They are stored after every key, and are on the pad again where the app opens on it."""
    model = padded("length", "C4", "26")
    _, effects = after(model, m.KeyPressed("1"))
    record = next(one.place for one in reversed(effects) if isinstance(one, m.SavePlace))
    assert record["route"] == f"{R}/plan/C4/length"
    again = replace(Model(job=model.job), pad=_pad_of(record["pad"], model.job.id))
    again, _ = after(again, m.Go(record["route"]))
    assert again.pad.digits == "261" and again.pad.restored


PRESSES = {
    **{f"put-{kind}": ("C4", m.PlanMove("put-in", "C4", STARTERS[kind][1])) for kind in PUT_IN},
    "take-out": ("J1", m.PlanMove("take-out", "J1")),
    "turn": ("A2", m.PlanMove("turn", "A2")),
    "move": ("J1", m.PlanMove("move", "J1", "hide")),
    "sheet": ("C4", m.PlanMove("sheet", "C4", "generic.cat6a-22-outdoor")),
    "bond": ("L2", m.PlanMove("bond", "L2", "EB1")),
    "earth": ("J1", m.PlanMove("earth", "J1", "sluice")),
}


@pytest.mark.parametrize("press", PRESSES)
def test_each_kind_of_press_is_undone_by_one_press(press):
    thing, message = PRESSES[press]
    gone_by_one_undo(*after(model_at(f"{R}/plan/{thing}"), message))


@pytest.mark.parametrize(
    "what, thing, digits, standing",
    [
        ("length", "C4", "260", ""),
        ("lead", "A2", "3", ""),
        ("mm2", "A2", "10", ""),
        ("stop", "J1", "210", "outdoor"),
    ],
)
def test_so_is_each_figure_of_the_pad(what, thing, digits, standing):
    gone_by_one_undo(*after(padded(what, thing, digits, standing), m.PlanPadKept()))


def test_so_is_a_name():
    model = model_at(f"{R}/plan/L2")
    typed = m.EditTyped(("boxes", "L2", "name"), "Hide unit")
    gone_by_one_undo(*after(model, typed, m.EditAccepted()))


def test_so_is_a_change_that_was_offered():
    model = turned_a2()
    model, _ = after(model, m.AdviceCame(looked_into(model)))
    way = offered(model)
    gone_by_one_undo(*after(model, m.AdviceTaken(model.advice.of, way.key)))


def gone_by_one_undo(model: Model, effects: list[Any]) -> None:
    """Kept, the plan is another; undone, it is what it was."""
    before = plan_of(model)
    (keep,) = keeps(effects)
    assert len({draft.get(TOGETHER) for draft in keep.drafts}) == 1
    model, _ = after(model, kept_behind(model, effects))
    assert plan_of(model) != before
    model, effects = after(model, m.PlanUndone())
    assert len(keeps(effects)[0].drafts) == len(keep.drafts)
    model, _ = after(model, kept_behind(model, effects))
    assert plan_of(model) == before


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


def asked(effects: list[Any]) -> list[m.Advise]:
    return [one for one in effects if isinstance(one, m.Advise)]


def found(effect: m.Advise) -> list[PlanAdvice]:
    """All that a search sends, one after the other."""
    sent: list[Any] = []
    asyncio.run(search(effect, sent.append, lambda: True))
    return [one.found for one in sent]


def looked_into(model: Model) -> PlanAdvice:
    """What a search on this model's plan finds in the end."""
    first = next((one.rule for one in breaks(model)), "")
    return found(m.Advise(advised_on(model), model.job.judgement.state.doc, first))[-1]


def at_plan(doc: dict[str, Any]) -> Model:
    """A plan that one looks at, with all that is found out about it."""
    file = read_job(doc)
    job = OpenJob(file.plan.id, file, judge(file))
    model, _ = after(Model(job=job), m.Go(f"/j/{job.id}/plan"))
    model, _ = after(model, m.AdviceCame(looked_into(model)))
    return model


def test_a_plan_is_looked_into_only_while_one_looks():
    model, effects = after(Model(job=open_job()), m.Go(f"{R}/plan"))
    (effect,) = asked(effects)
    assert effect.first == "" and not breaks(model), "nothing to mend: how far it can be stretched"
    _, effects = after(model, m.Go(f"{R}/plan/C4"))
    assert not asked(effects), "the same plan is looked into once"
    model = turned_a2()
    assert model.advice.of == ("REEDBED-HIDE", len(model.job.file.entries))
    for elsewhere in (f"{R}/run", f"{R}/plan/C4/length", f"{R}/sheets/C4", "/"):
        gone, effects = after(model, m.Go(elsewhere))
        assert m.StopAdvising() in effects and gone.advice is None


def test_a_search_ends_when_nobody_wants_it():
    """One leaves the page after the third news: no further plan is tried."""
    model = turned_a2()
    doc = model.job.judgement.state.doc
    for first in ("arrestor-facing", ""):
        sent: list[Any] = []
        turns: list[int] = []

        def wanted(turns=turns) -> bool:
            turns.append(1)
            return len(turns) < 7

        asyncio.run(search(m.Advise(("A", 1), doc, first), sent.append, wanted))
        assert len(turns) in (7, 8)
        assert not any(one.found.ways or one.found.limits for one in sent)


def test_of_two_searches_on_one_plan_the_first_ends():
    """One leaves and comes back in one breath: it is not looked into twice at once."""
    model = turned_a2()
    doc = model.job.judgement.state.doc
    services = Services(None)
    sent: list[str] = []

    async def there_and_back() -> None:
        def send_as(name: str) -> Any:
            return lambda message: sent.append(name)

        def look(name: str) -> asyncio.Task:
            effect = m.Advise(("A", 1), doc, "arrestor-facing")
            return asyncio.create_task(services.perform(effect, send_as(name)))

        first = look("first")
        await asyncio.sleep(0)
        stop = asyncio.create_task(services.perform(m.StopAdvising(), send_as("stop")))
        await asyncio.gather(first, stop, look("second"))

    asyncio.run(there_and_back())
    assert set(sent[1:]) == {"second"}


def test_the_smallest_change_pressed_is_kept_as_its_edits():
    model = turned_a2()
    doc = model.job.judgement.state.doc
    model, _ = after(model, m.AdviceCame(looked_into(model)))
    way = offered(model)
    assert way.change.say.code == "advice-turn" and way.change.say.parts["box"] == "A2"
    model, effects = after(model, m.AdviceTaken(model.advice.of, way.key))
    model, _ = after(model, kept_behind(model, effects))
    want = applied(doc, way.change.edits)
    assert model.job.judgement.state.doc["spans"] == want["spans"]
    assert not any(one.at.startswith("A2") for one in breaks(model))
    assert way.left == len(breaks(model))


def test_news_of_a_plan_that_has_changed_are_dropped():
    model = turned_a2()
    model, _ = after(model, m.AdviceCame(looked_into(model)))
    of = (model.advice.of[0], model.advice.of[1] - 1)
    late, effects = after(
        model, m.AdviceCame(PlanAdvice(of, 0.5)), m.AdviceTaken(of, offered(model).key)
    )
    assert late.advice == model.advice and not keeps(effects)


def test_a_press_takes_the_change_that_was_shown():
    """The offer may have moved on while the thumb came down: then nothing is done."""
    model = at_plan(weak())
    of, shown = model.advice.of, offered(model)
    (other, *_) = other_ways(model)
    _, effects = after(model, m.AdviceTaken(of, other.key))
    paths = [draft["path"] for draft in keeps(effects)[0].drafts]
    assert paths == [list(edit["path"]) for edit in other.change.edits]
    moved = replace(model, advice=PlanAdvice(of, 0.5, other))
    assert not keeps(after(moved, m.AdviceTaken(of, shown.key))[1])


def test_the_best_so_far_is_offered_only_for_what_is_told_first():
    model = at_plan(weak())
    best = offered(model)
    assert breaks(model)[0].rule in best.change.mends
    under_way = replace(model, advice=PlanAdvice(model.advice.of, 0.5, best))
    assert offered(under_way) == best
    other = Way(evolve(best.change, mends=("collapse-worst",)), best.left)
    under_way = replace(model, advice=PlanAdvice(model.advice.of, 0.5, other))
    assert offered(under_way) is None


def test_the_lightest_change_that_works_at_worst_is_offered():
    model = at_plan(weak())
    shown, others = offered(model), other_ways(model)
    assert shown.change.works_at_worst
    assert min(one.change.effort for one in others) < shown.change.effort, "a lighter one is there"
    assert not min(others, key=lambda one: one.change.effort).change.works_at_worst
    rivals = [one.change.effort for one in others if one.change.works_at_worst]
    assert all(effort >= shown.change.effort for effort in rivals)


def test_where_none_works_at_worst_one_that_holds_is_offered():
    change = offered(at_plan(heavy())).change
    assert change.works and not change.works_at_worst
    assert holds(Way(change, 1)) == "expected"


@pytest.mark.parametrize("make", [turned, weak, heavy])
def test_what_still_stands_after_each_change_is_counted_in_findings(make):
    """Counted on the plan with the change: not rules, and no remark on the place."""
    model = at_plan(make())
    doc = make()
    for way in (offered(model), *other_ways(model)):
        after_it = judge(read_job(applied(doc, way.change.edits))).prediction
        told = [one for one in after_it.findings if one.severity in ("stop", "warn")]
        assert way.left == len([one for one in told if one.rule != "separate-buildings"])
    assert offered(at_plan(turned())).left == 1, "of two arrestors one is turned"


def test_a_remark_on_the_place_is_no_break():
    model = model_at(f"{R}/plan")
    assert [one.rule for one in remarks(model)] == ["separate-buildings"]
    assert not breaks(model)


def test_how_far_a_plan_could_be_stretched_is_what_the_engine_says():
    model = at_plan(sample("reedbed-hide"))
    want = still_works(sample("reedbed-hide"))
    assert all(one in want for one in model.advice.limits)
    codes = [one.say.code for one in model.advice.limits]
    assert codes == ["limit-length", "limit-load", "limit-heat", "limit-gauge"]
    mill = at_plan(sample("tide-mill"))
    assert [one.say.code for one in mill.advice.limits] == codes, "one of a kind"
    lengths = [one for one in still_works(sample("tide-mill")) if one.say.code == "limit-length"]
    assert mill.advice.limits[0] == min(lengths, key=lambda one: one.value / one.now)


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
