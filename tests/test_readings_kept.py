"""What the pad keeps: a reading, what goes with it, and where it belongs."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from messages_sent import R, after, draft_of, keeps, kept, model_at, open_job, volts, with_log
from samples import sample

from engine.jobfile import read_job
from engine.judge import judge
from engine.say import say
from fieldapp import messages as m
from fieldapp.keying import MOST_WATTS
from fieldapp.model import Model, OpenJob
from fieldapp.pad import place_record
from fieldapp.questions import (
    hold_of,
    places_for,
    stand_ins,
    taken_back,
)
from fieldapp.settings import Settings
from fieldapp.update import update

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


# ---------------------------------------------------------------- readings that go together


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
