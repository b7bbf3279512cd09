"""What is put in for a test: one press puts it in, it stands at its place in words, it holds one
on site until one press takes it out again."""

from __future__ import annotations

import pytest
from headless import Phone, drive, warned
from screen_jobs import REEDBED, entries, mill, reedbed

from engine.fitted import BYPASS, KINDS, LEAD, LOAD, SHORT, fitted, near, put_in_by
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from fieldapp import words
from fieldapp.screens.putin import SHEET

JOB = "REEDBED-HIDE"
PAIRS = f"{REEDBED}/now?step=pairs.C4"


def judged(doc) -> Judgement:
    return judge(read_job(doc))


def put(ident: str, at: str, what: str = SHORT, **more) -> dict:
    return {"id": ident, "what": "note", "at": at, "text": "in", "x_fitted": what, **more}


def holding(phone: Phone) -> list[str]:
    """The holds of what is in, as the engine has them from the journal."""
    job = judged({**reedbed(), "log": entries(phone, JOB)})
    return [f"{one.say.parts['what']} {one.at}" for one in job.blockers if "fitted." in one.id]


# ---------------------------------------------------------------- where it goes


def test_each_step_that_wants_a_short_or_a_load_says_where_it_goes():
    for doc in (reedbed(), mill()):
        for step in judged(doc).steps:
            puts = put_in_by(step, "FAR.line")
            wants = {"far-end short", "known load"} & set(step.needs)
            assert bool(puts) == bool(wants), step.id
    steps = {step.id: step for step in judged(reedbed()).steps}
    assert put_in_by(steps["pairs.C4"], "A2.line") == (SHORT, "A2.line")
    assert put_in_by(steps["reel.C4"], "A2.line") == (SHORT, "C4"), "no box is at a reel's end"
    assert put_in_by(steps["load.C"], "") == (LOAD, "C")


@pytest.mark.parametrize(
    ("at", "box", "span", "is_there"),
    [
        ("A2.line", "A2", None, True),
        ("A2", "A2", None, True),
        ("A2.line", None, "C4", True),
        ("C4", None, "C4", True),
        ("C4", "A2", None, False),
        ("J1.a", None, "C4", False),
        ("EB1", None, "C4", False),
        ("hide", None, None, False),
        ("C", "C4", None, False),
    ],
)
def test_what_is_in_is_found_at_its_place_only(at, box, span, is_there):
    state = judged(reedbed(put("f", at))).state
    assert bool(near(state.job, fitted(state), box, span)) == is_there


# ---------------------------------------------------------------- on Now


def test_a_short_is_in_and_out_again_from_the_page_of_the_pairs():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(PAIRS)
        before = len(entries(phone, JOB))
        assert phone.shows(words.is_in_at(SHORT, "A2.line"))
        await phone.tap("put-in")
        assert phone.route == PAIRS, "one measures next: the page stays"
        (entry,) = entries(phone, JOB)[before:]
        assert (entry["at"], entry["x_fitted"]) == ("A2.line", SHORT)
        assert phone.shows(words.is_out_again(SHORT)) and phone.has("strip-undo")
        assert any("Short is in at A2 line" in said for said in phone.texts())
        assert holding(phone) == ["short A2.line"]
        await phone.tap("put-in")
        assert holding(phone) == []
        assert phone.shows(words.is_in_at(SHORT, "A2.line"))
        assert not any("Short is in at A2 line," in said for said in phone.texts())
        await phone.tap("strip-undo")
        assert holding(phone) == ["short A2.line"], "the taking out was taken back"

    drive(journey)


def test_take_back_on_the_strip_takes_the_press_back():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/now?step=load.C")
        await phone.tap("put-in")
        assert holding(phone) == ["known load C"]
        await phone.tap("strip-undo")
        assert holding(phone) == []
        assert phone.shows(words.is_in_at(LOAD, "C"))

    drive(journey)


def test_a_short_from_another_way_is_known_on_the_page():
    async def journey() -> None:
        for at in ("C4", "J1.b", "A2.line"):
            phone = await Phone.start(docs=(warned(reedbed(put("f", at))),))
            await phone.go(PAIRS)
            await phone.tap("put-in")
            last = entries(phone, JOB)[-1]
            assert (last["at"], last["x_taken_back"]) == (at, SHORT)

    drive(journey)


def test_a_step_that_puts_nothing_in_has_no_such_press():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        for step in ("fit.A2", "volts.L2.in", "terminate.C4"):
            await phone.go(f"{REEDBED}/now?step={step}")
            assert phone.has("slab") and not phone.has("put-in"), step

    drive(journey)


def test_before_a_feed_is_switched_on_each_short_anywhere_on_the_run_is_to_come_out():
    """With one in the feed stays dark, and a by-pass far off is only told."""
    shorts = (put("f1", "A1.kit"), put("f2", "J1.a"), put("f3", "A2", BYPASS))

    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed(*shorts)),))
        await phone.go(f"{REEDBED}/now?step=energise.S")
        assert phone.shows(words.shorts_first(2, "S"))
        assert phone.shows(words.is_still_in(BYPASS, "A2", "", ""))
        await phone.tap("out-fitted.f1")
        assert phone.shows(words.shorts_first(1, "S"))
        assert phone.route == f"{REEDBED}/now?step=energise.S"
        await phone.tap("out-fitted.f2")
        assert holding(phone) == ["by-pass A2"]
        assert not any("stays dark" in said for said in phone.texts())
        await phone.tap("strip-undo")
        assert phone.shows(words.shorts_first(1, "S"))

    drive(journey)


# ---------------------------------------------------------------- on Run and Leave


@pytest.mark.parametrize("what", KINDS)
def test_each_thing_goes_in_from_run_and_out_on_leave(what):
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed()),))
        await phone.go(f"{REEDBED}/run?at=A2.line")
        await phone.tap("to-put-in")
        await phone.tap(f"in-{what}")
        entry = entries(phone, JOB)[-1]
        place = "A2.line" if what in (SHORT, LEAD) else "A2"
        assert (entry["at"], entry["x_fitted"]) == (place, what)
        assert phone.has("to-put-in") and phone.has("strip-undo"), "the sheet is closed"
        still = words.is_still_in(what, place, "", "")
        assert any(said.startswith(still) for said in phone.texts())
        await phone.go(f"{REEDBED}/leave")
        assert holding(phone) == [f"{what} {place}"]
        (act,) = [key for key in phone.keys if "-fitted." in key and not key.startswith("hold-")]
        await phone.tap(act)
        assert holding(phone) == []

    drive(journey)


def test_the_sheet_takes_out_what_is_in_at_the_box():
    async def journey() -> None:
        phone = await Phone.start(docs=(warned(reedbed(put("f", "A2.kit"))),))
        await phone.go(f"{REEDBED}/run?at=A2.line")
        await phone.tap("to-put-in")
        assert phone.shows(words.is_out_again(SHORT, "A2.kit"))
        assert phone.has(f"in-{SHORT}"), "its other side can have one too"
        await phone.tap("out-fitted.f")
        assert holding(phone) == []
        await phone.tap("to-put-in")
        await phone.tap("sheet-close")
        assert phone.has("to-put-in") and len(holding(phone)) == 0

    drive(journey)


def test_two_presses_in_one_breath_put_it_in_once():
    from messages_sent import after, keeps, kept, model_at

    from fieldapp import messages as m

    model = model_at(f"{REEDBED}/run?at=A2.line")
    model, effects = after(model, m.SheetOpened(SHEET, "A2.line"), m.PutIn(SHORT, "A2.line"))
    model, more = after(model, m.PutIn(SHORT, "A2.line"))
    assert len(keeps(effects)) == 1 and not keeps(more)
    model, _ = after(model, kept(effects))
    assert not keeps(after(model, m.PutIn(SHORT, "A2.line"))[1]), "nor later"


def test_a_known_load_that_was_read_with_and_put_in_is_one_thing():
    read = {"id": "r", "what": "reading", "at": "L2.in", "kind": "volts", "value": 48.5}
    read |= {"meter": "M1", "with": {"C": {"watts": 15}}}
    for log in ((read,), (put("f", "C", LOAD), read), (read, put("f", "C", LOAD))):
        held = [one.id for one in judged(reedbed(*log)).blockers]
        assert held.count("step.take-back.site") == 1
        assert sum(name.startswith("fitted.") for name in held) == len(log) - 1


# ---------------------------------------------------------------- the words


@pytest.mark.parametrize("what", [*KINDS, "jumper"])
def test_what_is_said_fits_and_promises_nothing(what):
    for said in (
        words.put_in_row(what, "A2.line"),
        words.is_in_at(what, "A2.line"),
        words.is_out_again(what, "A2.line"),
        words.is_still_in(what, "A2.line", "Ida", "14:32"),
    ):
        assert len(said) <= 60 and "safe" not in said and "dead" not in said
    assert words.is_still_in("short", "A2", "Ida", "14:32") == "Short is in, Ida, 14:32"
