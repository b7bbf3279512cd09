"""The reel check on the phone: what is typed and kept, what is offered, what a reel does to the plan."""

from __future__ import annotations

from itertools import product
from math import hypot
from typing import Any

import pytest
from headless import Phone, drive
from samples import sample

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from fieldapp import words
from fieldapp.drawing.letters import label_frame
from fieldapp.drawing.reel import reel_picture
from fieldapp.drawing.shapes import Circle, Label, Path
from fieldapp.reeling import KEY, reel_of
from fieldapp.routes import place_of, route_of, stack_for

JOB = "/j/REEDBED-HIDE"
PAGE = f"{JOB}/reel/C4"
SOUND = {"first": "391", "second": "112", "ohms": "36.9"}
CLAD = {**SOUND, "ohms": "57.4"}


def kept(phone: Phone) -> list[dict[str, Any]]:
    """What the journal holds, without the cautions."""
    records = phone.shelf.journals["REEDBED-HIDE"].records[1:]
    return [one for one in records if "x_caution" not in one]


def judged(phone: Phone) -> Judgement:
    records = phone.shelf.journals["REEDBED-HIDE"].records[1:]
    return judge(read_job({**sample("reedbed-hide"), "log": list(records)}))


async def types(phone: Phone, figures: dict[str, str]) -> None:
    """From the page: its slab leads from one figure to the next, and back to the page."""
    await phone.tap("slab")
    for name, digits in figures.items():
        assert phone.route == f"{PAGE}/{name}"
        await phone.digits(digits)
        await phone.tap("keep")
    assert phone.route == PAGE


# ---------------------------------------------------------------- routes


@pytest.mark.parametrize("route", [PAGE, f"{PAGE}/first", f"{PAGE}/celsius"])
def test_a_route_is_its_place_and_back_leads_to_the_page(route):
    assert route_of(place_of(route)) == route
    assert stack_for(f"{PAGE}/first") == ("/", f"{JOB}/now", PAGE, f"{PAGE}/first")


def test_an_unknown_figure_leads_to_the_jobs():
    assert place_of(f"{PAGE}/colour").screen == "jobs"


# ---------------------------------------------------------------- what a reel comes to


def test_a_sound_reel_is_taken_by_one_press_and_its_step_is_done():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{JOB}/now?step=reel.C4")
        while phone.has("understood"):
            await phone.tap("understood")
        await phone.tap("slab")
        assert phone.route == PAGE
        await types(phone, SOUND)
        assert phone.shows("Reel 1 is long enough, and its wire is copper.")
        assert phone.shows(words.reel_keep_low(112, "Sluice"))
        await phone.tap("slab")
        note, step = kept(phone)[-2:]
        assert note["at"] == "C4" and note[KEY] == {
            "first": 391.0,
            "second": 112.0,
            "ohms": 36.9,
            "meter": "M1",
            "taken": True,
        }
        assert (step["step"], step["state"]) == ("reel.C4", "done")
        assert phone.route == f"{JOB}/now"
        await phone.go(PAGE)
        assert phone.shows("This reel was taken for C4")
        await phone.go(f"{JOB}/now")
        await phone.tap("strip-undo")
        await phone.go(PAGE)
        assert phone.shows(words.reel_pull()), "the step is open again, so it is not taken yet"
        phone.stop()

    drive(journey)


def test_a_clad_reel_is_kept_off_and_the_next_one_is_reel_2():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=PAGE)
        await types(phone, CLAD)
        assert phone.shows(words.VERDICTS["outside"]) and phone.shows(words.reel_keep_off())
        await phone.tap("slab")
        assert "clad" in kept(phone)[-1][KEY]["refused"] and phone.route == PAGE
        state = judged(phone).state
        assert reel_of(state, "C4").number == 2 and reel_of(state, "C4").first is None
        await types(phone, SOUND)
        assert phone.shows("Reel 2 is long enough, and its wire is copper.")
        phone.stop()

    drive(journey)


def test_used_all_the_same_needs_a_reason_and_the_plan_counts_with_it():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=PAGE)
        before = judged(phone).prediction.points
        await types(phone, CLAD)
        await phone.tap("reel-use")
        assert phone.find("reel-use-it").on_click is None
        await phone.tap(f"reel-why-{words.REEL_REASONS[0]}")
        await phone.tap("reel-use-it")
        note, added, put, step = kept(phone)[-4:]
        assert note[KEY]["reason"] == words.REEL_REASONS[0] and note[KEY]["taken"] is True
        assert (added["what"], added["as"]) == ("add", "correction")
        sheet = added["value"]
        assert sheet["material"] == "clad" and "copper_percent" not in sheet
        # 57.4 ohm over 2 x 279 m: 102.9 at the site's mean 13.5 °C
        assert sheet["ohms_per_km"]["expected"] == pytest.approx(104.9, abs=1.5)
        assert (put["path"], put["was"]) == (["spans", "C4", "cable"], "my.cable")
        assert put["value"] == added["path"][-1] == note[KEY]["sheet"]
        assert step["step"] == "reel.C4"
        after = judged(phone).prediction.points
        low = {at: after[at].volts.expected for at in before}
        assert any(low[at] < one.volts.expected - 0.3 for at, one in before.items())

        await phone.go(PAGE)
        await phone.tap("reel-other")
        one = judged(phone)
        assert one.state.job.spans["C4"].cable.id == "my.cable", "its sheet went with it"
        assert next(s.state for s in one.steps if s.id == "reel.C4") == "open"
        phone.stop()

    drive(journey)


def test_a_short_reel_says_by_how_much_before_anything_is_measured():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=PAGE)
        await phone.tap("slab")
        for digits in ("365", "112"):
            await phone.digits(digits)
            await phone.tap("keep")
        await phone.go(PAGE)
        assert phone.shows(f"Reel 1 is 11{words.NBSP}m short of C4.") and phone.shows(
            words.reel_keep_off()
        )
        phone.stop()

    drive(journey)


def test_digits_survive_a_dead_battery_and_go_once_kept():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{PAGE}/first")
        await phone.digits("39")
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        assert again.route == f"{PAGE}/first" and again.shows(words.reel_keep("39", "m"))
        await again.digits("1")
        await again.tap("keep")
        assert kept(again)[-1][KEY] == {"first": 391.0}
        await again.go(f"{PAGE}/first")
        assert again.shows(words.reel_type_it(True)), "what is kept is no longer typed"
        again.stop()

    drive(journey)


def test_frost_is_chosen_and_the_weight_is_a_second_opinion():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=PAGE)
        await types(phone, CLAD)
        await phone.tap("reel-celsius")
        await phone.tap("reel-below")
        await phone.digits("4")
        await phone.tap("keep")
        assert kept(phone)[-1][KEY]["celsius"] == -4 and phone.shows("−4")
        await phone.tap("reel-grams")
        await phone.digits("31")
        await phone.tap("keep")
        assert kept(phone)[-1][KEY]["grams"] == 31 and phone.route == PAGE
        phone.stop()

    drive(journey)


def test_a_span_that_is_not_in_the_plan_has_no_reel():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{JOB}/reel/C99")
        assert phone.shows(words.not_in_job("C99")) and not phone.has("slab")
        await phone.go(f"{JOB}/reel/C99/first")
        assert phone.shows(words.not_in_job("C99"))
        await phone.tap("back")
        assert phone.route == f"{JOB}/now"
        phone.stop()

    drive(journey)


def test_which_mark_goes_where_is_said_in_large_letters_too():
    async def journey() -> None:
        note = {"id": "r", "what": "note", "at": "C4", "text": "reel", KEY: STATES["sound"]}
        doc = {**sample("reedbed-hide"), "log": [note]}
        phone = await Phone.start(docs=(doc,), link=PAGE, scale=2.0)
        assert phone.shows("0112, at Sluice")
        phone.stop()

    drive(journey)


def test_what_another_program_left_under_the_key_breaks_nothing():
    odd = ({"first": "far", "ohms": True}, "reel", {"first": 391, "taken": "yes"}, 5)
    log = [
        {"id": f"o{n}", "what": "note", "at": "c4", "text": "x", KEY: value}
        for n, value in enumerate(odd)
    ]
    state = judge(read_job({**sample("reedbed-hide"), "log": log})).state
    reel = reel_of(state, "C4")
    assert (reel.first, reel.ohms, reel.taken) == (391, None, False)


STATES = {
    "nothing": {},
    "one mark": {"first": 391},
    "short": {"first": 365, "second": 112},
    "no ohms": {"first": 391, "second": 112},
    "sound": {"first": 391, "second": 112, "ohms": 36.9, "celsius": 15},
    "clad": {"first": 391, "second": 112, "ohms": 57.4, "grams": 30},
    "longer": {"first": 391, "second": 112, "ohms": 45, "celsius": 15},
    "low": {"first": 391, "second": 112, "ohms": 20},
    "unclear": {"first": 391, "second": 112, "ohms": 40.5, "celsius": 20},
    "same": {"first": 112, "second": 112, "ohms": 3},
    "taken": {"first": 391, "second": 112, "ohms": 36.9, "taken": True},
}


@pytest.mark.parametrize("name", STATES)
def test_the_page_can_be_drawn_in_every_state_and_look(name):
    async def journey() -> None:
        note = {"id": "r", "what": "note", "at": "C4", "text": "reel", KEY: STATES[name]}
        phone = await Phone.start(docs=({**sample("reedbed-hide"), "log": [note]},), link=PAGE)
        for size, scale in (((390, 844), 1.0), ((320, 568), 1.0), ((390, 844), 2.0)):
            await phone.wear(dark=scale > 1, size=size, scale=scale)
            assert phone.has("slab")
        await phone.go(f"{PAGE}/ohms")
        assert phone.has("keep")
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- the drawing


def picture(state: str = "copper", letters: float = 1.0, width: float = 390.0, **more: Any):
    return reel_picture(
        "0391 m",
        "0112 m",
        "279 m",
        "on the reel",
        "264 m",
        ("wanted for C4,", "8 m of it spare"),
        state,
        width,
        letters=letters,
        **more,
    )


@pytest.mark.parametrize(
    ("width", "letters"), list(product((320.0, 390.0, 480.0), (1.0, 1.3, 2.0)))
)
def test_nothing_written_leaves_the_picture_or_meets_another_word(width, letters):
    labels = [s for s in picture("copper", letters, width).shapes if _is_label(s)]
    frames = []
    for one in labels:
        left, _, right, _ = label_frame(one)
        frames.append((left, one.y - 0.45 * one.size, right, one.y + 0.45 * one.size))
    for left, top, right, bottom in frames:
        assert left >= 0 and right <= width and top >= 0 and bottom <= 214
    for i, one in enumerate(frames):
        for other in frames[i + 1 :]:
            apart = one[2] <= other[0] + 1 or other[2] <= one[0] + 1
            assert apart or one[3] <= other[1] or other[3] <= one[1]


def _is_label(shape: Any) -> bool:
    return isinstance(shape, Label)


def test_the_cable_is_filled_as_what_is_known_of_its_wire():
    for state, inks in (("copper", {"copper"}), ("striped", {"signal"}), ("empty", set())):
        shapes = picture(state).shapes
        strokes = {s.stroke for s in shapes if isinstance(s, Circle | Path)}
        assert strokes & {"copper", "signal"} == inks


def test_a_press_on_a_mark_means_that_mark():
    touches = {touch.key: touch for touch in picture().touches}
    hub = max((s for s in picture().shapes if isinstance(s, Circle)), key=lambda s: s.r)
    second = touches["second"].target
    assert hypot(second[0] - hub.x, second[1] - hub.y) < 40
    assert touches["first"].target[0] > 300


def test_what_is_missing_is_said_in_signal_only_where_it_is_short():
    for short in (True, False):
        inks = {s.ink for s in picture(short=short).shapes if _is_label(s)}
        assert ("signal" in inks) is short
