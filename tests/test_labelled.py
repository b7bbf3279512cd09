"""A label's code typed in Jobs: what it opens, what it is refused for, and that it is not lost."""

from __future__ import annotations

import json

import pytest
from headless import Phone, drive
from jobs import active, chain, endpoint, run, source
from samples import sample
from screen_jobs import forty, mill, orchard, reedbed

from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.say import say
from fieldapp import messages as m
from fieldapp import words
from fieldapp.halfdone import TypedCode
from fieldapp.handover.codes import code_text
from fieldapp.handover.labels import labels_of
from fieldapp.labelled import refusal
from fieldapp.model import JobRow, Model
from fieldapp.questions import point_named
from fieldapp.routes import Place, place_of, route_of
from fieldapp.runline import ordered_points
from fieldapp.update import update


def judged(doc) -> Judgement:
    return judge(read_job(doc))


def row(doc, title: str = "A job") -> JobRow:
    judgement = judged(doc)
    return JobRow(judgement.state.job.id, title, judgement)


def entered(text: str, *rows: JobRow):
    """What pressing the button makes of a code."""
    typed, _ = update(Model(rows=rows), m.CodeTyped(text))
    return update(typed, m.CodePressed())


# ---------------------------------------------------------------- what it opens


@pytest.mark.parametrize("doc", [reedbed, orchard, mill, forty])
def test_every_label_of_a_job_opens_a_point_of_its_own_thing(doc):
    judgement = judged(doc())
    job, points = judgement.state.job, ordered_points(judgement.prediction)
    for facts in labels_of(judgement, "2031-05-04"):
        model, effects = entered(facts.code, JobRow(job.id, "", judgement))
        (load,) = [one for one in effects if isinstance(one, m.LoadJob)]
        place = place_of(load.route)

        assert (load.job, place.screen, place.job) == (job.id, "run", job.id)
        assert model.code == TypedCode() and model.waiting
        at = point_named(judgement, place.at)
        if facts.thing in job.boxes:
            assert at.box == facts.thing
            assert points.index(at) == min(i for i, p in enumerate(points) if p.box == at.box)
        else:
            ends = (job.spans[facts.thing].a, job.spans[facts.thing].b)
            assert at in ends and points.index(at) == min(map(points.index, ends))


def test_ids_are_compared_without_case():
    """A plan may spell its ids small; a code is all capitals."""
    raw = json.dumps({**chain(source(), run(20), active(), run(90), endpoint()), "id": "hut-1"})
    for box in judged(json.loads(raw)).state.job.boxes:
        raw = raw.replace(f'"{box}"', f'"{box.lower()}x"').replace(f'"{box}.', f'"{box.lower()}x.')
    doc = json.loads(raw)
    end = list(judged(doc).state.job.boxes)[-1]
    assert end == end.lower()
    _, effects = entered(code_text("Hut-1", end), row(doc))
    (load,) = [one for one in effects if isinstance(one, m.LoadJob)]

    assert load.job == "hut-1"
    assert point_named(judged(doc), place_of(load.route).at).box == end


def test_a_point_names_itself_and_nothing_names_nothing():
    judgement = judged(reedbed())

    assert str(point_named(judgement, "a2.line")) == "A2.line"
    assert [point_named(judgement, name) for name in ("", "Q9", "A2.nose", ".")] == [None] * 4


# ---------------------------------------------------------------- what it is refused for

GOOD = code_text("REEDBED-HIDE", "L1")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("L1", say("code-foreign")),
        (GOOD.replace(":1:", ":2:"), say("code-newer")),
        (GOOD[:-3], say("code-parts")),
        (GOOD.replace("L1", "L2"), say("code-mistyped")),
        (code_text("HERON-HIDE", "L1"), say("code-no-job", job="HERON-HIDE")),
    ],
)
def test_a_refused_code_stays_as_typed_with_its_reason_until_it_is_changed(text, why):
    model, effects = entered(text, row(reedbed()))

    assert (model.code.text, refusal(model)) == (text, why) and effects == (m.Buzz("refused"),)
    assert refusal(update(model, m.CodeTyped(f"{text}X"))[0]) is None


def test_a_job_that_came_since_is_no_reason_more():
    model, _ = entered(GOOD)

    assert refusal(model) == say("code-no-job", job="REEDBED-HIDE")
    assert refusal(update(model, m.JobsListed((row(reedbed()),)))[0]) is None


def test_a_job_that_cannot_be_read_says_so_as_its_row_does():
    trouble = say("row-unreadable")

    model, effects = entered(GOOD, JobRow("REEDBED-HIDE", "", trouble=trouble))
    assert refusal(model) == trouble and effects == (m.Buzz("refused"),)


@pytest.mark.parametrize("text", ["", "  \n"])
def test_nothing_typed_opens_nothing(text):
    model, effects = entered(text, row(reedbed()))

    assert model.code == TypedCode(text) and not effects


# ---------------------------------------------------------------- on the page


def test_a_code_is_typed_and_run_stands_at_its_box():
    async def journey():
        phone = await Phone.start(docs=(reedbed(), orchard()))
        assert not phone.has("code-open")
        await phone.type("code", f" {code_text('Orchard-Gate', 'e')} ")
        await phone.tap("code-open")
        assert place_of(phone.route) == Place("run", "ORCHARD-GATE", "E")
        assert phone.shows(words.point("E.in"))
        await phone.back()
        assert phone.find("code").value == "" and not phone.has("code-open")

    drive(journey)


def test_the_keyboards_own_end_key_opens_a_span_too():
    async def journey():
        phone = await Phone.start(docs=(reedbed(),))
        await phone.type("code", code_text("REEDBED-HIDE", "C4"))
        await phone.submit("code")
        assert place_of(phone.route) == Place("run", "REEDBED-HIDE", "C4")
        assert phone.shows(words.point("J1.b"))  # C4 runs from the joint to A2

    drive(journey)


def test_a_thing_that_was_taken_out_opens_its_job_all_the_same_and_says_so():
    async def journey():
        phone = await Phone.start(docs=(reedbed(),))
        await phone.type("code", code_text("REEDBED-HIDE", "A9"))
        await phone.tap("code-open")
        assert place_of(phone.route) == Place("run", "REEDBED-HIDE", "A9")
        assert phone.shows(words.not_in_job("A9")) and phone.has("slab")
        await phone.tap("step-right")
        assert not phone.shows(words.not_in_job("A9"))

    drive(journey)


def test_a_code_of_another_job_says_which_and_its_file_can_be_opened_there():
    async def journey():
        phone = await Phone.start(docs=(orchard(),))
        await phone.type("code", GOOD)
        await phone.tap("code-open")
        assert phone.shows(words.sentence(say("code-no-job", job="REEDBED-HIDE")))
        assert phone.has("open-file") and phone.find("code").value == GOOD

    drive(journey)


def test_what_is_half_typed_is_there_after_another_page_and_after_the_battery():
    async def journey():
        phone = await Phone.start(docs=(reedbed(),))
        await phone.type("code", GOOD[:14])
        await phone.tap("settings")
        await phone.back()
        assert phone.find("code").value == GOOD[:14]
        phone.kill()
        again = await Phone.start(phone.disk, phone.world)
        assert again.find("code").value == GOOD[:14]
        await again.type("code", GOOD)
        await again.tap("code-open")
        assert place_of(again.route).at == "L1"
        again.kill()
        third = await Phone.start(again.disk, again.world)
        await third.go("/")
        assert third.find("code").value == ""

    drive(journey)


def test_with_no_job_yet_a_code_says_whose_file_is_wanted():
    async def journey():
        phone = await Phone.start()
        await phone.type("code", GOOD)
        await phone.tap("code-open")
        assert phone.shows("REEDBED-HIDE is not on this phone")

    drive(journey)


def test_a_link_to_a_thing_leads_to_its_point():
    async def journey():
        phone = await Phone.start(
            docs=(sample("reedbed-hide"),), link=route_of(Place("run", "reedbed-hide", "a2"))
        )
        assert phone.shows(words.point("A2.line"))

    drive(journey)
