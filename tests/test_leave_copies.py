"""What holds one on site until it is photographed, copied or taken back, and visits."""

from __future__ import annotations

import pytest
from held_jobs import holds, judged, reading, step, waive
from samples import planned

from engine.jobfile import read_job
from engine.judge import judge
from engine.phrases import english

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- photos, the copy, what was put in

SWITCH = {"what": "step", "step": "meter.site", "state": "done"}
EXPORT = {"what": "export", "to": "laptop"}


def photo(of: str) -> dict:
    return {"what": "photo", "of": of, "sha256": "cd" * 32}


def note(at: str, **keys) -> dict:
    return {"what": "note", "at": at, "text": "as told", **keys}


def test_each_box_with_a_way_round_and_each_earth_lead_wants_its_photo():
    doc = planned("reedbed-hide")
    held = {name for name in holds(doc) if name.startswith("photo.")}
    assert held == {
        *("photo.L1", "photo.A1", "photo.A2", "photo.L2"),
        *("photo.bond.A1", "photo.bond.A2"),
    }
    hold = holds(doc)["photo.bond.A2"]
    assert (hold.can_waive, hold.stop, hold.step) == ("self", "hide", "photo.bond.A2")
    freed = holds(doc, photo("L1"), photo("bond.A2"))
    assert held - set(freed) == {"photo.L1", "photo.bond.A2"}
    assert "photo.L1" in holds(doc, photo("L1"), {"what": "void", "of": "e1"})
    assert "photo.L1" not in holds(doc, waive("photo.L1"))


def test_the_log_must_be_copied_after_the_last_entry_that_matters():
    assert "copied" not in holds(planned()), "there is nothing to copy"
    held = holds(planned(), SWITCH)["copied"]
    assert (held.can_waive, held.step) == ("self", "copy.site")
    assert held.say.parts["count"] == 1
    assert "copied" not in holds(planned(), SWITCH, EXPORT)
    assert holds(planned(), SWITCH, EXPORT, SWITCH, SWITCH)["copied"].say.parts["count"] == 2
    taken_back = holds(planned(), SWITCH, EXPORT, {"what": "void", "of": "e2"})["copied"]
    assert taken_back.say.parts["count"] == 2, "the tick and the taking back"
    assert "copied" not in holds(planned(), SWITCH, waive("copied"))
    assert "copied" in holds(planned(), SWITCH, waive("copied"), SWITCH), "that was not in it"


@pytest.mark.parametrize(
    "passing",
    [
        {"what": "sign", "role": "fitter"},
        {"what": "leave", "open": []},
        {"what": "visit", "people": 1},
        {"what": "step", "step": "sign.site", "state": "done"},
        note("press", x_caution="caution-off"),
        note("full.E", x_timer=900),
    ],
)
def test_what_comes_with_going_needs_no_copy_of_its_own(passing):
    assert "copied" not in holds(planned(), SWITCH, EXPORT, passing)


@pytest.mark.parametrize(
    "telling",
    [
        reading("E.in", "volts", 48.7),
        photo("R1"),
        note("C1", x_fitted="short"),
        {"what": "note", "at": "C1", "text": "looks clad"},
        {"what": "set", "path": ["title"], "value": "Gate"},
        {"what": "of a later version"},
    ],
)
def test_what_tells_of_the_site_needs_one(telling):
    assert "copied" in holds(planned(), SWITCH, EXPORT, telling)


def test_a_copy_holds_what_its_phone_had_seen_and_no_more():
    def entry(ident: str, device: str, n: int, **body) -> dict:
        return {"id": ident, "device": device, "n": n, "by": "Ida", **body}

    log = [
        entry("a1", "a7f3", 1, **SWITCH),
        entry("b1", "c210", 1, **SWITCH),
        entry("a2", "a7f3", 2, **EXPORT, seen={"c210": 1}),
        entry("b2", "c210", 2, **SWITCH),
    ]

    def count(*entries: dict) -> int:
        one = judge(read_job({**planned(), "log": list(entries)}))
        return sum(hold.say.parts["count"] for hold in one.holds if hold.id == "copied")

    assert count(*log[:3]) == 0
    assert count(*log) == 1, "the other phone went on"
    assert count(*log, entry("b3", "c210", 3, **EXPORT, seen={"a7f3": 2})) == 0
    assert count(log[0], log[1], entry("a2", "a7f3", 2, **EXPORT)) == 1, "it had not seen the other"


def test_what_was_put_in_holds_by_name_until_it_is_taken_back():
    put = note("C1", x_fitted="short")
    one = judged(planned(), put)
    hold = {hold.id: hold for hold in one.blockers}["fitted.e1"]
    assert (hold.can_waive, hold.at) == ("no", "C1")
    assert english(hold.say).text == "The short at C1 is still in, put in by Ida."
    assert holds(planned(), put)["step.take-back.site"].can_waive == "no"
    for frees in (note("c1", x_taken_back="short"), {"what": "void", "of": "e1"}):
        assert "fitted.e1" not in holds(planned(), put, frees)
    for does_not in (
        note("C2", x_taken_back="short"),
        note("C1", x_taken_back="by-pass"),
        waive("fitted.e1", role="owner"),
        {"what": "step", "step": "take-back.site", "state": "done"},
    ):
        held = holds(planned(), put, does_not)
        assert "fitted.e1" in held and "step.take-back.site" in held
    again = holds(planned(), put, note("C1", x_taken_back="short"), put)
    assert "fitted.e3" in again and "fitted.e1" not in again


def test_taking_back_is_done_once_nothing_is_in_and_opens_again_with_the_next():
    put, out = note("J", x_fitted="by-pass"), note("J", x_taken_back="by-pass")
    done = {"what": "step", "step": "take-back.site", "state": "done"}
    assert "step.take-back.site" not in holds(planned(), put, out, done)
    assert "step.take-back.site" in holds(planned(), put, done, out), "said before it was out"
    assert "step.take-back.site" in holds(planned(), put, out, done, put)
    for odd in (7, None, "", ["short"]):
        assert not [
            name for name in holds(planned(), note("C1", x_fitted=odd)) if "fitted." in name
        ]


# ---------------------------------------------------------------- visits


def test_without_a_visit_the_log_is_one():
    assert judged(planned()).state.visits == ()
    edit = {"what": "set", "path": ["title"], "value": "Gate"}
    assert judged(planned(), edit).state.visits == (), "planning at a desk is no visit"
    (only,) = judged(planned(), SWITCH).state.visits
    assert (only.number, only.opened, only.left) == (0, "", "")


def test_a_visit_knows_who_opened_it_how_it_ended_and_what_was_left_open():
    one = judged(
        planned(),
        SWITCH,
        {"what": "visit", "people": 2},
        SWITCH,
        {"what": "leave", "open": ["photo.R1", "copied"]},
        {"what": "visit"},
    )
    before, first, second = one.state.visits
    assert (before.number, before.opened) == (0, "")
    assert (first.number, first.people, first.opened, first.left) == (1, 2, "e2", "e4")
    assert first.open == ("photo.R1", "copied")
    assert (second.number, second.people, second.opened, second.left) == (2, None, "e5", "")


def test_leaving_that_is_taken_back_and_a_visit_that_is_taken_back():
    opened, left = {"what": "visit", "people": 1}, {"what": "leave", "open": ["copied"]}
    (visit,) = judged(planned(), opened, left, {"what": "void", "of": "e2"}).state.visits
    assert (visit.left, visit.open) == ("", ())
    (visit,) = judged(planned(), opened, left, left).state.visits
    assert visit.left == "e3", "the last word"
    (visit,) = judged(planned(), opened, SWITCH, {"what": "void", "of": "e1"}).state.visits
    assert (visit.number, visit.opened) == (0, "")


def test_photos_are_kept_by_what_they_are_of():
    state = judged(planned("reedbed-hide"), photo("l1"), photo("L1"), photo("bond.A1")).state
    assert state.photos == {"L1": ("cd" * 32,) * 2, "bond.A1": ("cd" * 32,)}
    voided = judged(planned("reedbed-hide"), photo("L1"), {"what": "void", "of": "e1"})
    assert voided.state.photos == {}


def test_a_feed_that_was_switched_off_for_a_test_holds_until_it_is_on():
    on, off = step("energise.S"), step("off.S")
    hold = holds(planned(), on, off)["step.energise.S"]
    assert hold.can_waive == "responsible" and hold.stop == "press"
    assert "step.energise.S" not in holds(planned(), off), "never on: its readings hold as it is"
    assert "step.energise.S" not in holds(planned(), on, off, on)
