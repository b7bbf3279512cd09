"""A job copied, on a phone without a screen: the plan as it stands, and nothing that was logged."""

from __future__ import annotations

import json
from typing import Any

import pytest
from headless import Phone, drive
from samples import sample

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import words
from fieldapp.copies import own_title

ID = "REEDBED-HIDE"
TITLE = sample("reedbed-hide")["title"]
Doc = dict[str, Any]

WORKED_ON = (
    {"id": "e1", "what": "set", "path": ["spans", "C4", "length_m"], "was": 256, "value": 262}
    | {"as": "correction"},
    {"id": "e2", "what": "set", "path": ["title"], "was": TITLE, "value": "Hide in the reeds"}
    | {"as": "correction"},
    {"id": "e3", "what": "step", "step": "pull.C4", "state": "done", "by": "Orla"},
    {"id": "e4", "what": "reading", "at": "S.out", "kind": "volts", "value": 53.9, "meter": "M1"},
    {"id": "e5", "what": "note", "at": "C4", "text": "second reel", "by": "Orla"},
)
"""a plan edited twice, a step done, a reading, a note"""


def worked_on() -> Doc:
    return {**sample("reedbed-hide"), "log": [dict(entry) for entry in WORKED_ON]}


async def held(phone: Phone, job: str) -> Doc:
    """A job as its journal holds it."""
    return (await phone.shelf.read(job)).doc


async def titles(phone: Phone) -> dict[str, str]:
    """What each job of the phone is called, by its id."""
    cards = await phone.store.list_jobs()
    return {card.id: (await held(phone, card.id))["title"] for card in cards}


def without(doc: Doc, *keys: str) -> Doc:
    return {key: value for key, value in doc.items() if key not in keys}


@pytest.mark.parametrize("way", ["plan", "jobs"])
def test_a_copy_has_the_plan_as_it_stands_and_nothing_of_the_log(way):
    """From the plan page as from the list: a new id, a title of its own, an empty log."""

    async def journey() -> None:
        phone = await Phone.start(docs=(worked_on(),))
        original = json.dumps(await held(phone, ID), sort_keys=True)
        if way == "plan":
            await phone.go(f"/j/{ID}/plan")
            await phone.tap("duplicate")
        else:
            await phone.tap(f"more-{ID}")
            await phone.tap(f"duplicate-{ID}")
        (copy,) = set(await titles(phone)) - {ID}
        doc = await held(phone, copy)
        plan = judge(read_job(worked_on())).state.doc
        assert without(doc, "id", "title", "log") == without(plan, "id", "title", "log")
        assert doc["spans"][3]["length_m"] == 262
        assert doc["title"] == "Hide in the reeds, copy"
        assert doc.get("log", []) == []
        assert phone.route == f"/j/{copy}/plan" and phone.shows("Hide in the reeds, copy")
        judged = judge(read_job(doc))
        assert not judged.verdicts and not judged.state.entries
        assert {step.state for step in judged.steps} == {"open"}
        assert json.dumps(await held(phone, ID), sort_keys=True) == original
        phone.stop()

    drive(journey)


def test_copies_of_copies_have_names_that_differ():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),))
        await phone.go(f"/j/{ID}/plan")
        for _ in range(3):  # a copy, a copy of it, a copy of that
            await phone.tap("duplicate")
        await phone.go(f"/j/{ID}/plan")
        await phone.tap("duplicate")  # and the first one once more
        found = await titles(phone)
        assert len(found) == 5
        first = f"{TITLE}, copy"
        assert sorted(found.values()) == sorted(
            [TITLE, first, f"{first} 2", f"{first} 3", f"{first} 4"]
        )
        phone.stop()

    drive(journey)


def test_a_change_of_the_copy_leaves_the_first_alone():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),))
        await phone.go(f"/j/{ID}/plan")
        await phone.tap("duplicate")
        copy = phone.route.split("/")[2]
        edit = {"what": "set", "path": ["spans", "C4", "length_m"], "was": 256, "value": 300}
        phone.shelf.keep(await phone.shelf.journal(copy), ({**edit, "as": "correction"},))
        lengths = {}
        for job in (ID, copy):
            state = judge(await phone.shelf.read(job)).state
            lengths[job] = state.job.spans["C4"].length_m.expected
        assert lengths == {ID: 256, copy: 300}
        assert (await held(phone, ID)).get("log", []) == []
        phone.stop()

    drive(journey)


def test_a_copy_outlives_a_dead_battery():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),))
        await phone.go(f"/j/{ID}/plan")
        await phone.tap("duplicate")
        before = await titles(phone)
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        assert await titles(again) == before and len(before) == 2
        again.stop()

    drive(journey)


def test_a_job_that_cannot_be_read_is_told_and_no_copy_is_made():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),))
        await phone.go("/")
        await phone.tap(f"more-{ID}")
        phone.shelf.journals.clear()
        phone.store.close()
        await phone.tap(f"duplicate-{ID}")
        assert phone.route == "/" and any(words.SAYS["told-failed"]() in t for t in phone.texts())
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- what a row of Jobs offers


def test_a_row_offers_its_plan_a_copy_and_another_beside_it():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"), sample("tide-mill")))
        await phone.tap(f"more-{ID}")
        assert phone.shows(words.more_title(TITLE))
        await phone.tap("sheet-close")
        assert not phone.has(f"duplicate-{ID}") and phone.has("slab")
        for key, route in (("plan", "plan"), ("compare", "compare")):
            await phone.tap(f"more-{ID}")
            await phone.tap(f"{key}-{ID}")
            assert phone.route == f"/j/{ID}/{route}"
            await phone.go("/")
        phone.stop()

    drive(journey)


def test_a_job_alone_has_nothing_beside_it():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"),))
        await phone.tap(f"more-{ID}")
        assert phone.has(f"duplicate-{ID}") and not phone.has(f"compare-{ID}")
        phone.stop()

    drive(journey)


def test_a_row_still_opens_its_job_and_says_which_more_is_its():
    async def journey() -> None:
        phone = await Phone.start(docs=(sample("reedbed-hide"), sample("tide-mill")))
        said = [one for one in phone.speech() if one.startswith(words.more_button())]
        assert sorted(said) == [words.speak_more(TITLE), words.speak_more("Tide mill")]
        await phone.tap(f"job-{ID}")
        assert phone.route == f"/j/{ID}/now"
        phone.stop()

    drive(journey)


# ---------------------------------------------------------------- titles


@pytest.mark.parametrize(
    ("title", "copy"),
    [
        ("Weir", "Weir, copy"),
        ("Weir, copy", "Weir, copy"),
        ("Weir, copy 12", "Weir, copy"),
        ("Weir, copying", "Weir, copying, copy"),
        ("Weir, copy, east", "Weir, copy, east, copy"),
    ],
)
def test_a_copy_is_named_after_the_first(title, copy):
    assert words.copy_title(title) == copy


def test_a_title_of_its_own_is_nobody_elses_whatever_the_case():
    assert own_title("Weir, copy", []) == "Weir, copy"
    assert own_title("Weir, copy", ["weir, COPY"]) == "Weir, copy 2"
    taken = ["Weir, copy", "Weir, copy 3", "Weir, copy 2"]
    assert own_title("Weir, copy", taken) == "Weir, copy 4"
