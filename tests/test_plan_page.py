"""The plan's page, pressed and looked at through the headless page: odd plans, large letters, taps."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import flet as ft
import pytest
from headless import Phone, drive
from plan_jobs import (
    bare,
    branched,
    collapsing,
    disputed,
    heavy,
    long_names,
    looped,
    of_boxes,
    right_to_left,
    sample,
    turned,
    unfed,
    weak,
)

import fieldapp.advising as advising
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from fieldapp import words
from fieldapp.handover.turned import LEFT_MARK, in_line, runs
from fieldapp.runline import paths, run_line

Doc = dict[str, Any]
R = "/j/REEDBED-HIDE"


def reedbed() -> Doc:
    return sample("reedbed-hide")


STATES: dict[str, tuple[Callable[[], Doc], tuple[str, ...]]] = {
    "sound": (reedbed, ("C4", "A2", "L1")),
    "turned": (turned, ("A2",)),
    "weak": (weak, ("C3",)),
    "heavy": (heavy, ("L2",)),
    "collapse": (collapsing, ("C1",)),
    "long names": (long_names, ("C4", "A2", "C")),
    "no source": (unfed, ("E",)),
    "one box": (bare, ("S",)),
    "a loop in the log": (looped, ("CX", "C4")),
    "two plans": (disputed, ("C4",)),
    "branches": (branched, ("C6", "C4", "X")),
    "two boxes": (lambda: of_boxes(2), ("C1",)),
    "forty boxes": (lambda: of_boxes(40), ("C20",)),
}
LOOKS = ((390, 844, 1.0), (360, 640, 2.0))


@pytest.fixture(autouse=True)
def _at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The search does not wait for the line to be drawn."""
    monkeypatch.setattr(advising, "FIRST_REST_S", 0.0)


@pytest.mark.parametrize("state", STATES)
def test_the_page_never_breaks(state):
    """Whole, and with a thing chosen; as a phone shows it, and small with letters twice as large."""
    make, things = STATES[state]

    async def journey() -> None:
        doc = make()
        phone = await Phone.start(docs=(doc,))
        for thing in ("", *things):
            await phone.go(f"/j/{doc['id']}/plan/{thing}")
            for wide, high, scale in LOOKS:
                await phone.wear(size=(wide, high), scale=scale)
                assert phone.has("done")
                assert_fits(phone, scale)
        phone.stop()

    drive(journey)


def assert_fits(phone: Phone, scale: float) -> None:
    """No key twice; with large letters no button with words has a height of its own."""
    keys = [key for key in phone.keys if not key.startswith("/")]
    assert len(keys) == len(set(keys))
    for control in phone.controls():
        if isinstance(control, ft.Button) and scale >= 2:
            pad = isinstance(control.content, ft.Row) and control.key.startswith(("key-", "new-"))
            assert control.height is None or pad, f"{control.key} clips large letters"


PAGES = ("plan/C4/length", "plan/A2/lead", "plan/A2/mm2", "plan/J1/stop", "plan/NOBODY/length")


@pytest.mark.parametrize("page", PAGES)
def test_the_pads_of_the_plan_never_break(page):
    async def journey() -> None:
        phone = await Phone.start(docs=({**long_names(), "id": "REEDBED-HIDE"},))
        await phone.go(f"{R}/{page}")
        for wide, high, scale in LOOKS:
            await phone.wear(size=(wide, high), scale=scale)
            assert phone.has("back")
        phone.stop()

    drive(journey)


def test_behind_a_name_from_the_right_a_figure_keeps_its_unit():
    """A screen turns such letters, and what follows with them: ", 207 m" read "207, m"."""

    async def journey() -> None:
        phone = await Phone.start(docs=(right_to_left(),), link="/j/FROM-RIGHT/plan/A2")
        await phone.tap("move")
        job = plan_in(phone, "FROM-RIGHT").state.job
        rows = [t for t in phone.texts() if t.endswith(words.metres(job.stops["sluice"].at_m))]
        assert [runs(one)[-1][0][0] for one in rows] == [LEFT_MARK]
        assert in_line("Sluice, 207 m") == "Sluice, 207 m"
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("sheet, thing", [("move", "A2"), ("bond", "A2"), ("other-ways", "C3")])
def test_what_is_chosen_from_never_breaks(sheet, thing):
    async def journey() -> None:
        doc = weak() if sheet == "other-ways" else {**long_names(), "id": "WEAK"}
        phone = await Phone.start(docs=(doc,))
        await phone.go(f"/j/WEAK/plan/{thing}")
        await until(phone, sheet)
        await phone.tap(sheet)
        for wide, high, scale in LOOKS:
            await phone.wear(size=(wide, high), scale=scale)
            assert phone.has("sheet-close")
        await phone.tap("sheet-close")
        assert phone.has(sheet)
        phone.stop()

    drive(journey)


async def until(phone: Phone, key: str) -> None:
    """Let the search between the taps go on until something is there."""
    for _ in range(400):
        if phone.has(key):
            return
        await phone.settle()
    raise AssertionError(f"{key} never came: {phone.keys}")


def plan_in(phone: Phone, job: str) -> Judgement:
    """The job as its journal holds it."""
    plan, *log = phone.shelf.journals[job].records
    return judge(read_job({**json.loads(json.dumps(plan)), "log": log}))


# ---------------------------------------------------------------- taps


def test_an_opening_is_tapped_a_box_goes_in_and_the_figures_of_the_line_move():
    """The far end's volts are read off the drawing, before and after."""

    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{R}/plan")
        before = spoken_line(phone)
        await phone.tap("plan-+C4")
        assert phone.route == f"{R}/plan/C4"
        await phone.tap("put-joint")
        judgement = plan_in(phone, "REEDBED-HIDE")
        assert len(judgement.state.job.boxes) == 8
        after = spoken_line(phone)
        assert after != before
        assert words.with_unit(end_volts(judgement)) in phone.texts()
        await phone.tap("undo")
        assert spoken_line(phone) == before
        phone.stop()

    drive(journey)


def spoken_line(phone: Phone) -> str:
    """The volts along the line, as the drawing says them."""
    return next(one for one in phone.speech() if one.startswith("Volts"))


def end_volts(judgement: Judgement) -> float:
    name = run_line(judgement).boxes[-1].id
    point = judgement.prediction.study.network.upstream_port(name)
    return judgement.prediction.points[point].volts.expected


def test_a_length_is_typed_on_the_pad_and_the_figures_of_the_line_move():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{R}/plan/C4")
        before = spoken_line(phone)
        await phone.tap("length")
        assert phone.route == f"{R}/plan/C4/length" and not phone.takes("keep")
        await phone.digits("300")
        await phone.tap("keep")
        assert phone.route == f"{R}/plan/C4" and spoken_line(phone) != before
        assert plan_in(phone, "REEDBED-HIDE").state.job.spans["C4"].length_m.expected == 300
        await phone.tap("length")
        await phone.digits("300")
        await phone.tap("keep")
        assert phone.route == f"{R}/plan/C4", "the same again leads back"
        assert len(plan_in(phone, "REEDBED-HIDE").state.entries) == 1, "and keeps nothing"
        phone.stop()

    drive(journey)


def test_a_killed_app_opens_on_the_pad_of_the_plan_with_the_same_digits():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{R}/plan/C4/length")
        await phone.digits("26")
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        assert again.route == f"{R}/plan/C4/length"
        assert any(one.startswith("You were typing 26") for one in again.texts())
        await again.digits("1")
        await again.tap("keep")
        assert plan_in(again, "REEDBED-HIDE").state.job.spans["C4"].length_m.expected == 261
        again.stop()

    drive(journey)


def test_a_new_stop_asks_metres_name_and_whether_it_is_indoors():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{R}/plan/J1")
        await phone.tap("move")
        await phone.tap("new-stop")
        await phone.digits("210")
        assert not phone.takes("keep"), "indoors or outdoors is not said yet"
        await phone.type("stop-name", "Gate ")
        assert phone.find("stop-name").value == "Gate "
        await phone.tap("stop-outdoor")
        await phone.tap("keep")
        job = plan_in(phone, "REEDBED-HIDE").state.job
        stop = job.stops[job.boxes["J1"].stop]
        assert (stop.name, stop.at_m, stop.indoor) == ("Gate", 210, False)
        assert phone.route == f"{R}/plan/J1"
        phone.stop()

    drive(journey)


def test_a_box_is_bonded_to_any_earth_or_to_a_new_one():
    """Those of its own stop come first; the lead is typed on the pad."""

    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{R}/plan/J1")
        await phone.tap("bond")
        assert {key for key in phone.keys if key.startswith("bond-")} == {"bond-EB1", "bond-EB2"}
        await phone.tap("new-earth")
        job = plan_in(phone, "REEDBED-HIDE").state.job
        made = job.boxes["J1"].bond.to
        assert job.earths[made].stop == job.boxes["J1"].stop
        await phone.tap("mm2")
        await phone.digits("16")
        await phone.tap("keep")
        assert plan_in(phone, "REEDBED-HIDE").state.job.boxes["J1"].bond.mm2 == 16
        await phone.go(f"{R}/plan/L2")
        await phone.tap("bond")
        rows = [key for key in phone.keys if key.startswith("bond-")]
        earths = plan_in(phone, "REEDBED-HIDE").state.job.earths
        here = [earths[key.removeprefix("bond-")].stop == "hide" for key in rows]
        assert here == sorted(here, reverse=True)
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- branches


def test_a_branch_is_chosen_by_touch_and_has_openings():
    """Its end leads the line there; then its spans are opened as those of any run."""

    async def journey() -> None:
        phone = await Phone.start(docs=(branched(),))
        await phone.go("/j/BRANCHED/plan")
        judgement = plan_in(phone, "BRANCHED")
        line = run_line(judgement)
        (branch,) = line.branches
        for span in branch.spans:
            assert phone.has(f"plan-+{span.id}")
        end = branch.boxes[-1].id
        await phone.tap(f"plan-{end}")
        assert phone.route == f"/j/BRANCHED/plan/{end}"
        assert phone.has(f"plan-{line.boxes[-1].id}"), "what was the line is the branch now"
        fork = [box.id for box in line.boxes].index(branch.from_box)
        beside = [span.id for span in line.spans[fork:]]
        assert len(beside) == 2 and all(phone.has(f"plan-+{span}") for span in beside)
        await phone.tap(f"plan-+{beside[-1]}")
        assert phone.route == f"/j/BRANCHED/plan/{beside[-1]}"
        await phone.tap("put-joint")
        assert len(plan_in(phone, "BRANCHED").state.job.boxes) == len(judgement.state.job.boxes) + 1
        phone.stop()

    drive(journey)


def test_of_a_thing_that_the_plan_does_not_have_the_plan_says_so():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),), link="/j/REEDBED-HIDE/plan/NOBODY")
        assert phone.shows(words.not_in_job("NOBODY")) and phone.has("thing-S")
        await phone.go("/j/REEDBED-HIDE/plan/NOBODY/length")
        assert phone.shows(words.not_in_job("NOBODY"))
        await phone.tap("back")
        assert phone.route == "/j/REEDBED-HIDE/plan"
        assert not phone.shows(words.not_in_job("NOBODY"))
        phone.stop()

    drive(journey)


def test_a_box_leads_to_each_of_its_cables():
    """A lead within a stop is too short on the line to be pressed: here it is a row."""

    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),), link="/j/REEDBED-HIDE/plan/L1")
        spans = plan_in(phone, "REEDBED-HIDE").state.job.spans
        ends = [one.id for one in spans.values() if "L1" in (one.a.box, one.b.box)]
        assert len(ends) == 2
        assert [key for key in phone.keys if key.startswith("thing-")] == [
            f"thing-{one}" for one in ends
        ]
        assert not phone.has(f"plan-+{ends[0]}"), "no opening on the line"
        await phone.tap(f"thing-{ends[0]}")
        assert phone.route == f"/j/REEDBED-HIDE/plan/{ends[0]}" and phone.has("put-joint")
        phone.stop()

    drive(journey)


@pytest.mark.parametrize("make", [branched, lambda: sample("tide-mill")])
def test_the_line_leads_to_whatever_is_chosen(make):
    """Every box and span that power reaches lies on the line towards it."""
    judgement = judge(read_job(make()))
    job = judgement.state.job
    for name in job.boxes:
        assert name in paths(judgement.prediction, name).main
    for name in job.spans:
        assert name in [span.id for span in run_line(judgement, towards=name).spans]
    assert paths(judgement.prediction, "") == paths(judgement.prediction)


# ---------------------------------------------------------------- what the block says


def test_nothing_breaks_is_said_beside_a_remark_on_the_place():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        await phone.go(f"{R}/plan")
        judgement = plan_in(phone, "REEDBED-HIDE")
        remark = next(
            one for one in judgement.prediction.findings if one.rule == "separate-buildings"
        )
        assert any(one.startswith("Nothing breaks") for one in phone.texts())
        assert phone.shows(words.sentence(remark.say))
        assert not phone.shows(words.no_change()) and not phone.has("advice")
        phone.stop()

    drive(journey)


def test_how_far_the_plan_could_be_stretched_is_told_where_nothing_breaks():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(), turned()))
        await phone.go(f"{R}/plan")
        for _ in range(40):
            await phone.settle()
        assert phone.shows(words.limits_title())
        told = [one for one in phone.texts() if one.startswith("C4 may be")]
        assert len(told) == 2, "how long, and how thin"
        await phone.go("/j/TURNED/plan")
        await until(phone, "other-ways")
        assert not phone.shows(words.limits_title())
        phone.stop()

    drive(journey)


def test_the_slab_says_when_a_change_does_not_hold_at_worst():
    async def journey() -> None:
        phone = await Phone.start(docs=(heavy(),))
        await phone.go("/j/HEAVY/plan")
        await until(phone, "other-ways")
        assert any(one.startswith("holds, not at worst") for one in phone.texts())
        phone.stop()

    drive(journey)


def test_another_way_is_taken_by_its_own_press():
    async def journey() -> None:
        phone = await Phone.start(docs=(turned(),))
        await phone.go("/j/TURNED/plan")
        await until(phone, "other-ways")
        before = breaks_of(phone, "TURNED")
        await phone.tap("other-ways")
        ways = [key for key in phone.keys if key.startswith("way-")]
        assert 1 <= len(ways) <= advising.OTHER_WAYS
        assert any("effort" in one for one in phone.texts())
        await phone.tap("way-0")
        assert breaks_of(phone, "TURNED") < before
        assert not phone.has("way-0"), "one is back at the plan"
        await phone.tap("undo")
        assert breaks_of(phone, "TURNED") == before
        phone.stop()

    drive(journey)


def breaks_of(phone: Phone, job: str) -> int:
    return len(advising.found_in(plan_in(phone, job).prediction))


@pytest.mark.parametrize("make", [turned, reedbed])
def test_nothing_is_tried_any_more_once_one_has_left_the_page(make, monkeypatch):
    """A search without an end is begun by opening the page, and ended by leaving it."""
    turns = [0]

    def endless(doc: Any) -> Any:
        while True:
            turns[0] += 1
            yield advising.Sofar(0.5, None)

    monkeypatch.setattr(advising, "advising", endless)
    monkeypatch.setattr(advising, "still_working", endless)

    async def journey() -> None:
        doc = make()
        phone = await Phone.start(docs=(doc,))
        for elsewhere in ("run", "plan/C4/length", "sheets/C4"):
            await phone.go(f"/j/{doc['id']}/plan")
            begun = turns[0]
            await phone.settle()
            assert turns[0] > begun, "it goes on while one looks"
            await phone.go(f"/j/{doc['id']}/{elsewhere}")
            ended = turns[0]
            await phone.settle()
            await phone.settle()
            assert turns[0] == ended, elsewhere
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- further places


def test_the_plan_leads_to_sheets_trial_comparison_and_table():
    async def journey() -> None:
        phone = await Phone.start(docs=(reedbed(),))
        ways = {
            "plan/C4": {"its-sheet": "sheets/C4", "what-if": "whatif/C4"},
            "plan/A2": {"its-sheet": "sheets/A2"},
            "plan/C": {"what-if": "whatif/C"},
            "plan/S": {"what-if": "whatif/S"},
            "plan": {
                "compare": "compare",
                "what-if": "whatif/site",
                "spans": "spans",
                "thing-M1": "sheets/M1",
            },
        }
        for place, buttons in ways.items():
            for key, route in buttons.items():
                await phone.go(f"{R}/{place}")
                await phone.tap(key)
                assert phone.route == f"{R}/{route}", (place, key)
                await phone.back()
                assert phone.route in (f"{R}/{place}", f"{R}/plan/site", f"{R}/plan/M1")
        phone.stop()

    drive(journey)
