"""What the log does to a step, and what becomes of steps where the plan is edited half-way."""

from __future__ import annotations

import random

import pytest
from samples import planned
from step_plans import after, by_id, judged, photo, plan, read, tick

from engine.judge import Judgement
from engine.step import Step

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- what the log does to a step


def test_a_photo_does_the_step_that_asks_for_it_until_the_box_is_altered():
    doc = planned("reedbed-hide")
    assert after(doc, tick("photo.L1"))["photo.L1"].state == "open", "only a picture does it"
    assert after(doc, photo("L1"))["photo.L1"].state == "done"
    assert after(doc, photo("l1"))["photo.L1"].state == "done"
    assert after(doc, photo("bond.A1"))["photo.bond.A1"].state == "done"
    assert after(doc, photo("stop:hide"))["walk.site"].state == "done"
    assert after(doc, photo("L1"), {"what": "void", "of": "e1"})["photo.L1"].state == "open"
    turned = {"what": "change", "where": "L1", "did": "turned round"}
    assert after(doc, photo("L1"), turned)["photo.L1"].state == "open"
    assert after(doc, photo("L1"), turned, photo("L1"))["photo.L1"].state == "done"
    assert after(doc, photo("L1"), {**turned, "where": "L2"})["photo.L1"].state == "done"


def test_a_change_elsewhere_leaves_what_was_read_of_a_span_by_itself():
    doc = planned("reedbed-hide")
    proven = [read("C3", "loop_ohms", 27.2), read("C3", "metres", 202), read("L1.in", "volts", 53)]

    def states(*more: dict) -> tuple[str, ...]:
        found = after(doc, *proven, *more)
        return tuple(found[name].state for name in ("pairs.C3", "marks.C3", "volts.L1.in"))

    def altered(where: str) -> dict:
        return {"what": "change", "where": where, "did": "new plug"}

    assert states() == ("done", "done", "done")
    assert states(altered("L2")) == ("done", "done", "open")
    # a new plug or joint at its end may show in its ohms, not in its length
    for where in ("C3", "J1", "A1.line"):
        assert states(altered(where)) == ("open", "done", "open")
    longer = {"what": "set", "path": ["spans", "C3", "length_m"], "value": 220, "as": "change"}
    assert states(longer) == ("open", "open", "open")
    assert states({**longer, "as": "correction"}) == ("done", "done", "done")
    assert states({"what": "void", "of": "e1"})[0] == "open"


def test_the_copy_is_done_by_an_export_and_signing_by_a_signature():
    doc = planned("orchard-gate")
    export = {"what": "export", "to": "laptop"}
    assert after(doc, tick("copy.site"))["copy.site"].state == "open"
    assert after(doc, tick("meter.site"), export)["copy.site"].state == "done"
    assert after(doc, export, tick("meter.site"))["copy.site"].state == "open"
    signed = after(doc, export, {"what": "sign", "role": "fitter"})
    assert (signed["copy.site"].state, signed["sign.site"].state) == ("done", "done")


def test_a_signature_is_one_visits_and_no_longer_does_the_step_once_the_log_has_grown():
    doc, sign = planned("orchard-gate"), {"what": "sign", "role": "fitter"}
    more, back = tick("meter.site"), ({"what": "leave", "open": []}, {"what": "visit"})

    def state(*bodies: dict) -> str:
        return after(doc, *bodies)["sign.site"].state

    assert state() == state(sign, more) == "open"
    assert state(sign) == state(sign, {"what": "export", "to": "x"}) == "done"
    assert state(sign, more, sign) == state(sign, more, {"what": "void", "of": "e2"}) == "done"
    assert state(sign, {"what": "void", "of": "e1"}) == "open"
    assert state(sign, back[0]) == "done" and state(sign, *back) == "open"
    assert state(sign, *back, sign) == "done"


def test_the_word_that_one_stands_on_paper_goes_as_far_as_a_signature():
    doc, word = planned("orchard-gate"), tick("sign.site")
    aside = tick("sign.site", "not-here")
    more, back = tick("meter.site"), ({"what": "leave", "open": []}, {"what": "visit"})

    def state(*bodies: dict) -> str:
        return after(doc, *bodies)["sign.site"].state

    assert state(word) == state(more, word) == "done"
    assert state(word, more) == state(word, *back) == state(word, tick("sign.site", "undone"))
    assert state(word, more) == "open"
    assert state(aside, more) == "not-here" and state(aside, *back) == "open"


def test_who_comes_back_says_so_and_proves_the_meter_anew():
    doc, done = planned("orchard-gate"), [tick("announce.site"), tick("meter.site"), tick("feed.S")]
    left, back = {"what": "leave", "open": []}, {"what": "visit", "people": 1}

    def states(*bodies: dict) -> tuple[str, ...]:
        found = after({**doc, "log": []}, *bodies)
        return tuple(found[name].state for name in ("announce.site", "meter.site", "feed.S"))

    assert states(*done, left) == ("done", "done", "done")
    assert states(*done, left, back) == ("open", "open", "done")
    assert states(*done, left, back, tick("meter.site")) == ("open", "done", "done")
    assert states(*done, back) == ("done", "done", "done"), "nobody had left"


def test_labels_and_speeds_are_compared_at_the_van_before_the_rehearsal():
    found = by_id(planned("reedbed-hide"))
    early = {name for name in found if name.startswith(("sheet.", "speeds."))}
    assert {found[name].stop for name in early} == {"hut"} and len(early) == 7
    assert early <= set(found["rehearse.site"].after)


def test_undoing_opens_what_rested_on_it():
    doc = planned("orchard-gate")
    done = [tick("look.site"), tick("clear.site"), tick("energise.S")]
    found = after(doc, *done, tick("look.site", "undone"))
    for name in ("look.site", "clear.site", "energise.S"):
        assert found[name].state == "open", name
    assert found["energise.S"].reopened_by in ("clear.site", "look.site")


def test_a_feed_that_is_off_again_is_to_be_switched_on_again():
    doc, on, off = planned("orchard-gate"), tick("energise.S"), tick("off.S")
    assert after(doc, off, on)["energise.S"].state == "done", "off before it was on: as planned"
    again = after(doc, off, on, off)["energise.S"]
    assert again.state == "open" and again.holds == "responsible"
    assert after(doc, on, off, on)["energise.S"].state == "done"


# ---------------------------------------------------------------- a plan edited half-way


def half_done(one: Judgement, dice: random.Random) -> list[dict]:
    """Some of the steps done, as far as marks and photos and readings of spans do them."""
    bodies = []
    for step in one.steps:
        if dice.random() < 0.4 or step.kind in ("copy", "take-back"):
            continue
        if step.asks is None:
            bodies.append(tick(step.id))
        elif step.asks.kind == "photo":
            bodies.append(photo(step.asks.at))
        elif step.asks.kind in ("loop_ohms", "metres", "earth_ohms"):
            bodies.append(read(step.asks.at, step.asks.kind, 5))
    return bodies


def edits(doc: dict, dice: random.Random) -> list[dict]:
    """A box with its feed added, an endpoint taken away with its cable, a box moved."""
    stops = sorted(doc["stops"])
    new = {
        "boxes": [
            {"id": "N1", "sheet": "source", "stop": stops[0]},
            {"id": "N2", "sheet": "lamp", "stop": stops[-1]},
        ],
        "spans": [
            {"id": "N3", "from": "N1.out", "to": "N2.in", "cable": "braided", "length_m": 30}
        ],
    }
    edited = [
        {"what": "add", "path": [group, thing["id"]], "value": thing}
        for group, things in new.items()
        for thing in things
    ]
    ends = [box["id"] for box in doc["boxes"] if box["sheet"] == "lamp"]
    if ends:
        gone = dice.choice(ends)
        spans = [s["id"] for s in doc["spans"] if f"{gone}.in" in (s["from"], s["to"])]
        edited += [{"what": "remove", "path": ["spans", span]} for span in spans]
        edited.append({"what": "remove", "path": ["boxes", gone]})
    moved = dice.choice([box["id"] for box in doc["boxes"] if box["id"] not in ends])
    edited.append({"what": "set", "path": ["boxes", moved, "stop"], "value": dice.choice(stops)})
    return [{**edit, "as": "change"} for edit in edited]


@pytest.mark.long
def test_an_edited_plan_keeps_what_still_stands_and_gains_what_is_new():
    lost = gained = kept = 0
    for seed in range(120):
        dice, doc = random.Random(seed), plan(seed)
        bodies = half_done(judged(doc), dice)
        more = edits(doc, dice)
        before, later = after(doc, *bodies), after(doc, *bodies, *more)
        moved = more[-1]["path"][1]
        assert {"energise.N1", "mount.N2", "full.N2"} <= set(later)
        for name, step in before.items():
            if name not in later:
                lost += 1
                continue
            if step.kind == "sign":
                assert later[name].state != "done", "nobody signed that"
            elif step.state == "done" and not asks_of(doc, step, moved):
                kept += 1
                assert later[name].state == "done", (seed, name)
        gained += len(set(later) - set(before))
        marks = {body["step"] for body in bodies if body["what"] == "step"}
        log = [{"id": f"e{n}", "n": n, **b} for n, b in enumerate((*bodies, *more), 1)]
        assert marks <= set(judged({**doc, "log": log}).state.steps), "no mark is forgotten"
    assert lost > 100 and gained > 300 and kept > 1000


def asks_of(doc: dict, step: Step, box: str) -> bool:
    """Whether a step asks for something of a box that was moved, of a cable at it, or of where
    the route ends."""
    if step.asks is None:
        return False
    of = step.asks.at.removeprefix("bond.")
    ends = {s["id"]: (s["from"].partition(".")[0], s["to"].partition(".")[0]) for s in doc["spans"]}
    return of == box or box in ends.get(of, ()) or of.startswith("stop:")
