"""A length or a name that is typed in the plan becomes an entry that says what was there."""

from __future__ import annotations

from typing import Any

import pytest
from messages_sent import R, after, draft_of, keeps, kept, model_at, open_job
from samples import sample

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import messages as m
from fieldapp.model import Model, OpenJob
from fieldapp.update import update


def edit(path: tuple[str, ...], text: str) -> tuple[Model, list[Any]]:
    return after(model_at(f"{R}/plan"), m.EditTyped(path, text), m.EditAccepted())


def length(job: OpenJob, span: str, digits: str) -> tuple[Model, list[Any]]:
    model = model_at(f"/j/{job.id}/plan/{span}/length", job)
    return after(model, *(m.KeyPressed(key) for key in digits), m.PlanPadKept())


def test_a_length_becomes_an_entry_that_says_what_it_was():
    model, effects = length(open_job(), "C4", "260.5")
    assert draft_of(effects) == {
        "what": "set",
        "path": ["spans", "C4", "length_m"],
        "value": 260.5,
        "was": 256,
        "as": "correction",
        "by": "",
    }
    before = model.job.judgement.state.job.spans["C4"].length_m.expected
    model, _ = update(model, kept(effects))
    assert before == 256 and model.job.judgement.state.job.spans["C4"].length_m.expected == 260.5
    assert model.job.judgement.state.left_out == ()


def test_a_name_becomes_an_entry_too():
    model, effects = edit(("boxes", "L2", "name"), "  Hide unit ")
    draft = draft_of(effects)
    assert (draft["path"], draft["value"], draft["was"]) == (
        ["boxes", "L2", "name"],
        "Hide unit",
        "Far unit",
    )
    assert model.edit is None
    _, effects = edit(("title",), "Reed hide")
    assert draft_of(effects)["path"] == ["title"]


@pytest.mark.parametrize("text", ["", " "])
def test_a_name_that_is_none_is_not_kept(text):
    model, effects = edit(("title",), text)
    assert not keeps(effects)
    assert model.edit.text == text, "it stays as typed"


def test_the_same_again_is_no_change():
    model, effects = edit(("title",), "Reedbed hide")
    assert not keeps(effects) and model.edit is None
    assert not keeps(length(open_job(), "C4", "256")[1])


def test_the_shown_middle_of_a_band_is_no_change_either():
    file = read_job(sample("orchard-gate"))
    job = OpenJob(file.plan.id, file, judge(file))
    _, effects = length(job, "C1", "92")
    assert not keeps(effects), "a band must not turn into a bare number by a press"
