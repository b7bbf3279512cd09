"""The number pad: what is typed, what of it is remembered, and the meter that reads it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from messages_sent import R, after, model_at
from samples import sample

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import messages as m
from fieldapp.drafts import reading_draft
from fieldapp.meters import meters_of
from fieldapp.model import Model, OpenJob
from fieldapp.pad import MOST_DIGITS, place_record, typed
from fieldapp.update import update
from fieldapp.words.units import kept_figure


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
