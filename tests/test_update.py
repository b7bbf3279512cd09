"""The one way the state changes, without any page: messages in, model and effects out."""

from __future__ import annotations

from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest
from headless import sample

from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from fieldapp import effects as world
from fieldapp import messages as m
from fieldapp.drafts import reading_draft
from fieldapp.halfdone import Pad
from fieldapp.keying import MOST_WATTS
from fieldapp.meters import meters_of
from fieldapp.model import Model, OpenJob
from fieldapp.pad import MOST_DIGITS, place_record, typed
from fieldapp.questions import (
    conflict_of,
    here,
    hold_of,
    mendable,
    next_step,
    places_for,
    stand_ins,
    step_shown,
    taken_back,
    waive_is_ready,
)
from fieldapp.routes import place_of
from fieldapp.services import Services
from fieldapp.settings import Settings
from fieldapp.update import HANDLERS, STRIP_SECONDS, update
from fieldapp.words.units import kept_figure

R = "/j/REEDBED-HIDE"


def open_job(name: str = "reedbed-hide", *log: dict) -> OpenJob:
    file = read_job({**sample(name), "log": list(log)})
    return OpenJob(file.plan.id, file, judge(file))


def model_at(route: str, job: OpenJob | None = None, **more: Any) -> Model:
    """The model at a route of an open job."""
    model, _ = update(Model(job=job or open_job(), **more), m.Go(route))
    return model


def after(model: Model, *messages: Any) -> tuple[Model, list[Any]]:
    """The model after these, and all that is to be done."""
    effects: list[Any] = []
    for message in messages:
        model, more = update(model, message)
        effects += more
    return model, effects


def keeps(effects: list[Any]) -> list[m.Keep]:
    return [effect for effect in effects if isinstance(effect, m.Keep)]


def draft_of(effects: list[Any]) -> dict[str, Any]:
    """The one draft of the one thing to keep."""
    (keep,) = keeps(effects)
    (draft,) = keep.drafts
    return dict(draft)


def kept(effects: list[Any], ident: str = "t1") -> m.Kept:
    """What the services would answer."""
    (keep,) = keeps(effects)
    entries = tuple(
        {
            k: v
            for k, v in {"id": f"{ident}-{i}", "n": 90 + i, "device": "d", **draft}.items()
            if v != ""
        }
        for i, draft in enumerate(keep.drafts)
    )
    return m.Kept(keep.job, entries, "14:32", keep.then)


# ---------------------------------------------------------------- the house rules


SIDES = ("", "comfort", "plan", "fault", "practice", "hand", "sign", "meter", "phone")
SAID = {f"fieldapp.{name}messages" for name in SIDES}
HELD = {"Holding"}
"""no message itself: what one holds"""


def test_every_message_has_its_handler_and_every_effect_is_carried_out():
    """All but the effect that the page itself does: showing a route."""
    done = set(Services(None).actions) | {m.Push}
    made = {
        kind
        for kind in vars(m).values()
        if is_dataclass(kind) and kind.__module__ in {*SAID, world.__name__}
        if kind.__name__ not in HELD
    }
    assert made == set(HANDLERS) | done
    assert not set(HANDLERS) & done
    assert {kind for kind in vars(world).values() if is_dataclass(kind)} <= done


def test_messages_and_model_are_values():
    for kind in (*HANDLERS, Model, Pad, OpenJob):
        assert kind.__dataclass_params__.frozen, kind
    assert m.Go("/") == m.Go("/") and hash(m.KeyPressed("1"))
    assert {field.name for field in fields(Model)} >= {"route", "pad", "job", "strip", "told"}


# ---------------------------------------------------------------- the pad


@pytest.mark.parametrize(
    ("keys", "digits"),
    [
        ("41.0", "41.0"),
        ("41,0", "41.0"),
        ("4.1.0", "4.10"),
        (".5", "0.5"),
        (",5", "0.5"),
        ("05", "5"),
        ("00", "0"),
        ("0.05", "0.05"),
        ("007", "7"),
        ("123456789", "1234567"),
        ("1234.56789", "1234.567"),
    ],
)
def test_what_is_typed(keys, digits):
    text = ""
    for key in keys:
        text = typed(text, key)
    assert text == digits


def test_rubbing_out_takes_one_letter_and_stops_at_none():
    assert [typed(text, "rub") for text in ("41.", "41", "4", "")] == ["41", "4", "", ""]
    assert typed("1234567", "8") == "1234567" and MOST_DIGITS == 7
    assert typed("1234567", ".") == "1234567.", "a point is no digit"


@pytest.mark.parametrize(
    ("digits", "figure"), [("", None), (".", None), ("0.", 0.0), ("41.", 41.0), ("0.05", 0.05)]
)
def test_the_figure_in_the_digits(digits, figure):
    assert kept_figure(digits, "volts") == figure


def test_every_key_is_remembered_and_only_the_first_is_timed():
    model = model_at(f"{R}/read/L2.in/volts")
    for n, key in enumerate(("4", "1", ".", "rub", "0")):
        model, effects = update(model, m.KeyPressed(key))
        saves = [one for one in effects if isinstance(one, m.SavePlace)]
        assert len(saves) == 1 and saves[0].place["pad"]["digits"] == model.pad.digits
        assert (m.TellTime() in effects) == (n == 0)
    assert model.pad.digits == "410"


@pytest.mark.parametrize(
    "message",
    [
        m.StandingPicked("open"),
        m.NextMeter(),
        m.KeyTimed("14:31"),
        m.KeyPressed("1"),
        m.MethodPicked("clamp"),
    ],
)
def test_whatever_changes_the_pad_is_remembered(message):
    _, effects = update(model_at(f"{R}/read/L2.in/volts"), message)
    assert any(isinstance(effect, m.SavePlace) for effect in effects)


def test_digits_are_remembered_only_while_one_types():
    model, _ = after(model_at(f"{R}/read/L2.in/volts"), m.KeyPressed("4"), m.KeyTimed("14:31"))
    assert place_record(model)["pad"] == {
        "at": "L2.in",
        "kind": "volts",
        "digits": "4",
        "standing": "loaded",
        "box": "",
        "watts": None,
        "meter": "M1",
        "method": "",
        "since": "14:31",
        "beside": "",
        "again": "",
    }
    assert place_record(model)["job"] == "REEDBED-HIDE"
    model, _ = update(model, m.Go(f"{R}/now"))
    assert place_record(model)["pad"] is None


def test_an_earth_is_kept_with_the_method_that_is_pressed_and_a_reading_of_volts_with_none():
    model, _ = after(model_at(f"{R}/read/EB1/earth_ohms"), m.MethodPicked("clamp"))
    assert reading_draft(model, 4.0)["method"] == "clamp"
    other, _ = update(model, m.Go(f"{R}/read/EB2/earth_ohms"))
    assert reading_draft(other, 6.0)["method"] == "clamp"
    volts, _ = update(other, m.Go(f"{R}/read/L2.in/volts"))
    assert "method" not in reading_draft(volts, 41.0)


def test_a_pad_goes_with_its_digits_only_to_another_point():
    model, _ = after(model_at(f"{R}/read/L2.in/volts"), m.KeyPressed("4"), m.StandingPicked("open"))
    same, _ = update(model, m.Go(f"{R}/read/L2.in/volts"))
    assert same.pad == model.pad
    moved, _ = update(model, m.Go(f"{R}/read/C.in/volts"))
    assert (moved.pad.at, moved.pad.digits) == ("C.in", "4")
    other, _ = update(model, m.Go(f"{R}/read/C.in/milliamps"))
    assert (other.pad.kind, other.pad.digits) == ("milliamps", "")


@pytest.mark.parametrize("way", ["read/L2.in/volts", "plan/C2/length", "reel/C2/ohms"])
def test_what_was_typed_for_one_job_stands_on_no_pad_of_another(way):
    typed_here, _ = after(model_at(f"{R}/{way}"), m.KeyPressed("4"))
    assert typed_here.pad.digits == "4"
    document = {**sample("reedbed-hide"), "id": "NEXT-ONE"}
    file = read_job(document)
    there = OpenJob(file.plan.id, file, judge(file))
    other, _ = update(replace(typed_here, job=there), m.Go(f"/j/NEXT-ONE/{way}"))
    assert (other.pad.digits, other.pad.job) == ("", "NEXT-ONE")


def test_a_key_without_a_pad_does_nothing():
    model = Model()
    for message in (m.KeyPressed("4"), m.KeyTimed("14:31"), m.KeepPressed()):
        assert update(model, message) == (model, ())


def test_meters_take_turns_and_only_those_that_can_read_it():
    doc = sample("reedbed-hide")
    doc["sheets"]["my.clamp"] = {
        "kind": "meter",
        "milliamps": {"percent": 2, "digits": 3, "resolution": 1},
    }
    doc["meters"].append({"id": "M2", "sheet": "my.clamp", "name": "Clamp"})
    file = read_job(doc)
    job = OpenJob(file.plan.id, file, judge(file))
    model = model_at(f"{R}/read/C.in/milliamps", job)
    assert meters_of(model, job, "milliamps") == ("M1", "M2")
    assert meters_of(model, job, "volts") == ("M1",)
    names = []
    for _ in range(3):
        model, _ = update(model, m.NextMeter())
        names.append(model.pad.meter)
    assert names == ["M2", "M1", "M2"]
    assert model_at(f"{R}/read/C4/metres", job).pad.meter == ""
    model = model_at(f"{R}/read/C4/metres", job)
    assert update(model, m.NextMeter())[0].pad.meter == ""


# ---------------------------------------------------------------- keeping a reading


def test_three_presses_log_at_any_box():
    """A box on the line, the slab, Keep: three messages that are no digit."""
    model = model_at(f"{R}/run")
    presses = [
        m.Go(f"{R}/run?at=L2.in"),
        m.Go(f"{R}/read/L2.in/volts"),
        *(m.KeyPressed(key) for key in "45.1"),
        m.KeepPressed(),
    ]
    assert sum(not isinstance(press, m.KeyPressed) for press in presses) == 3
    model, effects = after(model, *presses)
    assert draft_of(effects)["value"] == 45.1
    model, more = update(model, kept(effects))
    assert model.route == f"{R}/verdict/t1-0" and m.Push(model.route) in more
    assert model.stop == "hide" and model.job.kept == "14:32"
    assert [v.id for v in model.job.judgement.verdicts] == ["t1-0"]


def test_keep_makes_one_draft_with_the_keys_of_a_reading_and_no_others():
    model = model_at(f"{R}/read/L2.in/volts", settings=Settings(name="Orla"))
    _, effects = after(model, *(m.KeyPressed(key) for key in "45.1"), m.KeepPressed())
    assert draft_of(effects) == {
        "what": "reading",
        "at": "L2.in",
        "kind": "volts",
        "value": 45.1,
        "meter": "M1",
        "by": "Orla",
    }


def test_open_says_that_all_behind_it_is_off():
    model = model_at(f"{R}/read/L2.in/volts")
    _, effects = after(model, m.StandingPicked("open"), m.KeyPressed("5"), m.KeepPressed())
    assert draft_of(effects)["with"] == {"*": "off"}
    _, effects = after(
        model,
        m.StandingPicked("open"),
        m.StandingPicked("loaded"),
        m.KeyPressed("5"),
        m.KeepPressed(),
    )
    assert "with" not in draft_of(effects)


def test_without_a_meter_the_draft_names_none():
    file = read_job(sample("tide-mill"))
    job = OpenJob(file.plan.id, file, judge(file))
    model = model_at("/j/TIDE-MILL/read/X.in/watts", job)
    _, effects = after(model, m.KeyPressed("9"), m.KeepPressed())
    assert "meter" not in draft_of(effects)


@pytest.mark.parametrize("keys", ["", ".", "rub"])
def test_nothing_is_kept_while_there_is_no_number(keys):
    model = model_at(f"{R}/read/L2.in/volts")
    digits = "" if keys in ("", "rub") else keys
    model = replace(model, pad=replace(model.pad, digits=digits))
    assert update(model, m.KeepPressed()) == (model, ())


def test_a_figure_beyond_anything_is_kept_all_the_same():
    model = model_at(f"{R}/read/L2.in/volts")
    _, effects = after(model, *(m.KeyPressed(key) for key in "410"), m.KeepPressed())
    assert draft_of(effects)["value"] == 410


@pytest.mark.parametrize("mbps", [0, 10, 100, 1000])
def test_a_speed_is_kept_by_one_press(mbps):
    _, effects = after(model_at(f"{R}/read/L2.in/mbps"), m.SpeedPicked(mbps))
    draft = draft_of(effects)
    assert (draft["kind"], draft["at"], draft["value"]) == ("mbps", "L2.in", mbps)


def test_what_could_not_be_kept_stays_on_the_pad():
    model, effects = after(
        model_at(f"{R}/read/L2.in/volts"), *(m.KeyPressed(key) for key in "45.1"), m.KeepPressed()
    )
    before = model
    model, more = update(model, m.NotKept(say("told-full")))
    assert model.pad.digits == before.pad.digits and model.route == before.route
    assert more == (m.Buzz("refused"),), "nothing is done but that it is felt"
    assert model.told == say("told-full")
    assert place_record(model)["pad"]["digits"] == "45.1"
    assert model.job == before.job, "nothing is judged that was not kept"
    _, again = update(model, m.KeepPressed())
    assert keeps(list(again)) == keeps(effects)
    model, _ = update(model, kept(effects))
    assert model.pad.digits == "" and model.told is None


def test_what_was_kept_does_not_stand_on_the_pad_again():
    model, effects = after(
        model_at(f"{R}/read/L2.in/volts"), m.KeyPressed("4"), m.KeyTimed("14:31"), m.KeepPressed()
    )
    model, more = update(model, kept(effects))
    (save,) = [effect for effect in more if isinstance(effect, m.SavePlace)]
    assert save.place["pad"] is None and save.place["route"] == model.route
    assert update(model, m.Go(f"{R}/read/L2.in/volts"))[0].pad.digits == ""


def test_what_another_job_kept_changes_nothing_here():
    model = model_at(f"{R}/now")
    message = m.Kept("TIDE-MILL", ({"id": "x", "what": "note", "text": "a"},), "14:32")
    assert update(model, message) == (model, ())


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


# ---------------------------------------------------------------- readings that go together


def volts(ident: str, at: str, value: float, **more: Any) -> dict:
    return {"id": ident, "what": "reading", "at": at, "kind": "volts", "value": value, **more}


def with_log(route: str, *log: dict) -> Model:
    return model_at(route, open_job("reedbed-hide", *log))


def kept_draft(model: Model, digits: str) -> dict[str, Any]:
    """What the pad hands over for these digits."""
    return draft_of(after(model, *(m.KeyPressed(key) for key in digits), m.KeepPressed())[1])


def test_amps_beside_volts_share_their_moment_and_what_stood_there():
    log = volts("v", "L2.in", 47.5, meter="M1", moment="noon", **{"with": {"C": {"watts": 15}}})
    draft = kept_draft(with_log(f"{R}/read/L2.in/milliamps?beside=v", log), "310")
    assert (draft["moment"], draft["with"]) == ("noon", {"C": {"watts": 15}})
    assert (draft["at"], draft["kind"], draft["value"]) == ("L2.in", "milliamps", 310)
    bare = volts("v", "L2.in", 47.5, meter="M1")
    draft = kept_draft(with_log(f"{R}/read/L2.in/milliamps?beside=v", bare), "310")
    assert draft["moment"] == "v" and "with" not in draft


def test_amps_alone_say_no_moment():
    draft = kept_draft(with_log(f"{R}/read/L2.in/milliamps", volts("v", "L2.in", 47.5)), "310")
    assert "moment" not in draft
    draft = kept_draft(with_log(f"{R}/read/L2.in/milliamps?beside=gone"), "310")
    assert "moment" not in draft


def test_amps_beside_volts_stay_with_them_however_late_they_come():
    """Ten minutes later, and with another reading in between, they are still of one moment."""
    early, late = "2031-06-03T07:00:00Z", "2031-06-03T07:10:00Z"
    first = volts("v", "L2.in", 47.5, meter="M1", device="d", n=1, t=early)
    between = volts("w", "C.in", 47.0, meter="M1", device="d", n=2, t=late)
    model = with_log(f"{R}/read/L2.in/milliamps?beside=v", first, between)
    model, effects = after(model, *(m.KeyPressed(key) for key in "310"), m.KeepPressed())
    model, _ = update(model, kept(effects))
    moments = {one.id: one.moment for one in model.job.judgement.state.readings}
    assert moments["t1-0"] == moments["v"] != moments["w"]


def test_a_repeat_has_a_moment_of_its_own_and_both_are_used():
    model = with_log(f"{R}/read/A2.line/volts?again=v", volts("v", "A2.line", 45.7, meter="M1"))
    model, effects = after(model, *(m.KeyPressed(key) for key in "45.8"), m.KeepPressed())
    assert draft_of(effects)["moment"] == "v-2"
    model, _ = update(model, kept(effects))
    assert model.job.judgement.state.current == {"v", "t1-0"}
    model, _ = update(model, m.Go(f"{R}/read/A2.line/volts?again=v"))
    assert kept_draft(model, "45.9")["moment"] == "v-3"
    model, _ = update(model, m.Go(f"{R}/read/A2.line/volts?again=t1-0"))
    assert kept_draft(model, "45.9")["moment"] == "t1-0-2"


def test_a_repeat_outlives_a_dead_battery():
    """The pad's own reading is stored with its digits, and stands in the route."""
    model = with_log(f"{R}/read/A2.line/volts?again=v", volts("v", "A2.line", 45.7, meter="M1"))
    model, _ = after(model, m.KeyPressed("4"))
    record = place_record(model)
    assert record["route"] == f"{R}/read/A2.line/volts?again=v"
    assert record["pad"]["again"] == "v" and record["pad"]["beside"] == ""


def test_what_stood_there_is_remembered_at_one_stop_and_not_at_the_next():
    model, _ = after(model_at(f"{R}/read/L2.in/volts"), m.StandingPicked("open"))
    model, _ = update(model, m.Go(f"{R}/read/C.in/volts"))
    assert model.pad.standing == "open"
    model, _ = update(model, m.Go(f"{R}/read/J1.a/volts"))
    assert model.pad.standing == "loaded"


# ---------------------------------------------------------------- a known load


def test_a_known_load_asks_once_what_it_is():
    model, _ = update(model_at(f"{R}/read/L2.in/volts"), m.StandingPicked("known"))
    assert model.sheet.what == "load" and model.pad.standing == "loaded"
    model, _ = after(model, m.LoadPicked("C", 15.0), m.SheetClosed())
    assert (model.pad.standing, model.sheet) == ("known", None)
    model, _ = after(model, m.StandingPicked("loaded"), m.StandingPicked("known"))
    assert (model.pad.standing, model.sheet) == ("known", None), "it is known by now"
    model, _ = update(model, m.StandingPicked("known"))
    assert model.sheet.what == "load", "pressed again it is changed"


@pytest.mark.parametrize(
    ("watts", "stands"), [(15.0, {"watts": 15.0}), (0.0, "off"), (-3.0, "off")]
)
def test_a_known_load_is_in_the_draft(watts, stands):
    model, _ = after(model_at(f"{R}/read/L2.in/volts"), m.LoadPicked("L2", watts), m.SheetClosed())
    assert kept_draft(model, "48.5")["with"] == {"L2": stands}


def test_a_known_load_is_bounded():
    model, _ = update(model_at(f"{R}/read/L2.in/volts"), m.LoadPicked("C", 1e9))
    assert model.pad.watts == MOST_WATTS


def test_a_known_load_stands_for_what_is_next_and_for_the_end():
    job = open_job()
    assert stand_ins(job, "S.out") == ("L1", "C")
    assert stand_ins(job, "A2.line") == ("L2", "C")
    assert stand_ins(job, "L2.in") == ("L2", "C")
    assert stand_ins(job, "L2.out") == stand_ins(job, "C.in") == ("C",)
    assert stand_ins(job, "C4") == stand_ins(job, "Q.in") == ()
    mill = open_job("tide-mill")
    assert set(stand_ins(mill, "X.in")) >= {"P", "G"}, "both ends behind a splitter"


def test_a_known_load_goes_along_only_where_its_box_is_behind():
    model, _ = update(model_at(f"{R}/read/L2.in/volts"), m.LoadPicked("L2", 15.0))
    model, _ = update(model, m.Go(f"{R}/read/A2.kit/volts"))
    assert (model.pad.standing, model.pad.box) == ("known", "L2")
    model, _ = update(model, m.Go(f"{R}/read/C.in/volts"))
    assert model.pad.standing == "loaded", "behind L2 a load in its place means nothing"


def test_what_was_fitted_holds_until_it_is_out_again():
    model, _ = update(model_at(f"{R}/read/L2.in/volts"), m.LoadPicked("C", 15.0))
    model, effects = after(model, *(m.KeyPressed(key) for key in "48.5"), m.KeepPressed())
    model, _ = update(model, kept(effects))
    hold = hold_of(model, "step.take-back.site")
    assert hold.can_waive == "no" and hold in model.job.judgement.blockers


# ---------------------------------------------------------------- put on another point


def test_a_figure_is_put_on_another_point_as_it_was_taken():
    first = volts(
        "v", "A2.line", 47.9, meter="M1", state="open", unsteady=[47.8, 48.0], moment="noon"
    )
    back = {"id": "b", "what": "void", "of": "v"}
    model = with_log(f"{R}/verdict/v", first, back)
    assert taken_back(model.job.judgement.state) == {"v"}
    model, effects = after(model, m.PutElsewhere("v", "A2.kit"))
    same = {key: value for key, value in first.items() if key != "id"}
    assert draft_of(effects) == {**same, "at": "A2.kit", "by": ""}
    model, _ = update(model, kept(effects))
    assert model.route == f"{R}/verdict/t1-0"
    assert model.job.judgement.state.current == {"t1-0"}
    assert update(model, m.PutElsewhere("nothing", "A2.kit")) == (model, ())


def test_the_points_of_ones_stop_come_first():
    job = open_job()
    assert places_for(job, "volts", "A2.line")[:5] == (
        "A2.line",
        "A2.kit",
        "L2.in",
        "L2.out",
        "C.in",
    )
    assert set(places_for(job, "volts", "A2.line")) == set(places_for(job, "volts", "S.out"))
    assert places_for(job, "loop_ohms", "C4") == ("C1", "C2", "C3", "C4", "C5", "C6")
    assert places_for(job, "earth_ohms", "EB1") == ("EB1", "EB2")
    assert places_for(job, "loop_ohms", "nowhere") == ()


def test_a_void_that_was_taken_back_takes_nothing_back():
    log = (
        volts("v", "L2.in", 47.9),
        {"id": "a", "what": "void", "of": "v"},
        {"id": "b", "what": "void", "of": "a"},
    )
    assert taken_back(open_job("reedbed-hide", *log).judgement.state) == {"a"}


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


# ---------------------------------------------------------------- the plan


def edit(path: tuple[str, ...], text: str) -> tuple[Model, list[Any]]:
    return after(model_at(f"{R}/plan"), m.EditTyped(path, text), m.EditAccepted())


def length(job: OpenJob, span: str, digits: str) -> tuple[Model, list[Any]]:
    model = model_at(f"/j/{job.id}/plan/{span}/length", job)
    return after(model, *(m.KeyPressed(key) for key in digits), m.PlanPadKept())


def test_a_length_becomes_an_entry_that_says_what_it_was():
    model, effects = length(open_job(), "C4", "260.5")
    assert draft_of(effects) == {
        "what": "set",
        "path": ["spans", "C4", "length_m"],
        "value": 260.5,
        "was": 256,
        "as": "correction",
        "by": "",
    }
    before = model.job.judgement.state.job.spans["C4"].length_m.expected
    model, _ = update(model, kept(effects))
    assert before == 256 and model.job.judgement.state.job.spans["C4"].length_m.expected == 260.5
    assert model.job.judgement.state.left_out == ()


def test_a_name_becomes_an_entry_too():
    model, effects = edit(("boxes", "L2", "name"), "  Hide unit ")
    draft = draft_of(effects)
    assert (draft["path"], draft["value"], draft["was"]) == (
        ["boxes", "L2", "name"],
        "Hide unit",
        "Far unit",
    )
    assert model.edit is None
    _, effects = edit(("title",), "Reed hide")
    assert draft_of(effects)["path"] == ["title"]


@pytest.mark.parametrize("text", ["", " "])
def test_a_name_that_is_none_is_not_kept(text):
    model, effects = edit(("title",), text)
    assert not keeps(effects)
    assert model.edit.text == text, "it stays as typed"


def test_the_same_again_is_no_change():
    model, effects = edit(("title",), "Reedbed hide")
    assert not keeps(effects) and model.edit is None
    assert not keeps(length(open_job(), "C4", "256")[1])


def test_the_shown_middle_of_a_band_is_no_change_either():
    file = read_job(sample("orchard-gate"))
    job = OpenJob(file.plan.id, file, judge(file))
    _, effects = length(job, "C1", "92")
    assert not keeps(effects), "a band must not turn into a bare number by a press"


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


def loaded(job: OpenJob, asked: Any) -> m.JobLoaded:
    return m.JobLoaded(job, f"/j/{job.id}/now", asked)


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


NOTE = {"id": "n0", "device": "d", "n": 1, "what": "note", "text": "a"}


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
