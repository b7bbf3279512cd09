"""What if, on its page: dragged, drawn in every state, planned so and undone."""

from __future__ import annotations

import json
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from headless import Phone, drive
from messages_sent import after, open_job
from samples import sample
from trials import R, at

from fieldapp import messages as m
from fieldapp import words
from fieldapp.knobs import GAUGE, SITE
from fieldapp.store.files import read_journal
from fieldapp.store.journal import decode
from fieldapp.trial import outcome, plan_of, solved, tried


def line_of(phone: Phone) -> str:
    """What the falling line says to a screen reader."""
    return max(phone.speech(), key=len)


def dragged(x: float) -> dict[str, Any]:
    """A drag as the client tells of it."""
    spot = {"x": x, "y": 60.0}
    return {"l": spot, "g": spot, "ld": {"x": 1.0, "y": 0.0}, "gd": {"x": 1.0, "y": 0.0}, "pd": 1.0}


def test_a_drag_moves_line_sentence_and_figure_and_nothing_is_kept():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{R}/whatif/C4")
        before, entries = line_of(phone), len(phone.shelf.journals["REEDBED-HIDE"].records)
        ruler = phone.find("trial-ruler")
        moves = ruler.on_horizontal_drag_update
        x = moves.ruler.x(310)
        await phone.fire(ruler, "horizontal_drag_update", dragged(x))
        assert phone.shows(words.tried_value(310, "metres")), phone.texts()
        assert line_of(phone) != before
        assert phone.shows(words.tried_apart(54, "metres"))
        assert phone.shows("L1 IN to L2 IN is 514")
        await phone.tap("trial-back")
        assert line_of(phone) == before
        assert len(phone.shelf.journals["REEDBED-HIDE"].records) == entries

    drive(journey)


def test_plan_it_so_leads_to_the_plan_where_it_can_be_undone():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{R}/whatif/C4")
        await phone.tap("trial-right")
        await phone.tap("trial-plan")
        assert phone.route == f"{R}/plan/C4"
        last = phone.shelf.journals["REEDBED-HIDE"].records[-1]
        assert (last["what"], last["value"], last["was"]) == ("set", 257, 256)
        await phone.tap("undo")
        await phone.go(f"{R}/whatif/C4")
        assert phone.shows(words.tried_value(256, "metres"))

    drive(journey)


def test_every_state_of_the_page_can_be_drawn_in_large_letters():
    async def journey() -> None:
        docs = (sample("reedbed-hide"), sample("tide-mill"))
        phone = await Phone.start(docs=docs, scale=2.0, size=(360, 700))
        for doc, thing in ((0, "C4"), (0, "C"), (0, SITE), (1, "S"), (1, "R1")):
            await phone.go(f"/j/{docs[doc]['id']}/whatif/{thing}")
            keys = [k for k in phone.keys if k.startswith("trial-") and k[6:] in words.TRIED]
            for key in keys or [None]:
                if key:
                    await phone.tap(key)
                if not phone.has("trial-type"):
                    continue
                await phone.tap("trial-right")
                await phone.tap("trial-type")
                await phone.tap("trial-key-9")
                await phone.tap("trial-use" if phone.takes("trial-use") else "back")
                assert phone.has("trial-plan")
        await phone.go("/j/REEDBED-HIDE/whatif/J1")
        assert phone.shows(words.tried_nothing())

    drive(journey)


def test_the_plans_own_line_lies_thin_beneath_and_has_its_name():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{R}/whatif/C")
        assert words.tried_beneath() not in phone.texts()
        for _ in range(16):
            await phone.tap("trial-right")
        assert words.tried_beneath() in phone.texts()
        assert phone.shows("Holds: C has"), "and what it breaks beside the volts is said too"
        assert phone.shows("L2 IN may never start")

    drive(journey)


def test_gauges_say_whether_the_plan_holds_with_them():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),), link=f"{R}/whatif/C4")
        await phone.tap("trial-gauge")
        own = open_job().judgement
        for gauge in (22, 23, 28):
            holds = outcome(plan_of(own), solved(own, GAUGE, "C4", gauge)).holds
            inside = phone.texts(phone.find(f"trial-awg-{gauge}"))
            assert words.tried_gauge(holds) in inside
        await phone.tap("trial-awg-28")
        assert phone.shows(words.tried_back(words.tried_value(23, GAUGE)))

    drive(journey)


@pytest.mark.browser
def test_a_finger_drags_the_cut_end_and_the_value_is_planned(tmp_path, new_phone):
    """In a real browser: the client's own drag arrives, and one press writes one entry."""
    from app_process import start_app

    name = tmp_path / "job.json"
    name.write_text(json.dumps(sample("reedbed-hide")), encoding="utf-8")
    args = ["--no-browser", "--port", "0", "--data", str(tmp_path / "data"), str(name)]
    paths = {"PYTHONPATH": str(Path(__file__).parent.parent), "PYTHONIOENCODING": "utf-8"}
    app = start_app([sys.executable, "-m", "fieldapp", *args], paths)
    try:
        hand = new_phone()
        hand.open(f"{app.url}/#{R}/whatif/C4")
        hand.wait_for(words.tried_is_plan())
        box = hand.find(words.tried_slider(words.TRIED["length"])).box
        y, start = box.y + 0.8 * box.height, box.x + 0.6 * box.width
        hand.page.mouse.move(start, y)
        hand.page.mouse.down()
        for share in (0.5, 0.4, 0.3, 0.2):
            hand.page.mouse.move(box.x + share * box.width, y)
            hand.pause(40)
        hand.page.mouse.up()
        hand.wait_for(words.tried_plan_it())
        seen = [""]

        def stands() -> bool:
            seen.append(hand.find(words.tried_type("")).line)
            hand.pause(300)
            return seen[-1] == seen[-2]

        hand.wait_until(stands, 10, "the line to stand still")
        shown = seen[-1]
        metres = int(shown.split(" ")[0])
        assert 30 < metres < 110, shown
        hand.tap(words.tried_plan_it())
        hand.wait_route(f"{R}/plan/C4")
        records = decode(read_journal(tmp_path / "data", "REEDBED-HIDE")).records
        assert (records[-1]["what"], records[-1]["value"]) == ("set", metres)
    finally:
        app.kill9()
    assert "Traceback" not in app.output, app.output


def test_a_trial_and_a_path_are_all_that_any_drawing_needs():
    """Two models with one trial draw the same: nothing else is remembered between two drags."""
    one, _ = after(at(), m.TrialMoved(300.0))
    other, _ = after(at(), m.TrialMoved(900.0), m.TrialMoved(300.0))
    assert one.trial == other.trial
    other = replace(other, job=one.job)
    assert tried(one).prediction.points == tried(other).prediction.points
