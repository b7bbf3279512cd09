"""The page of what is handed over, opened on the reedbed job, and what it gave."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from typing import Any

from headless import Phone, warned
from samples import sample

import fieldapp.app as app
from engine.jobfile import read_job
from engine.judge import judge
from fieldapp.handover.documents import Made
from fieldapp.model import Model, OpenJob

JOB = "/j/REEDBED-HIDE"
DOC = warned(sample("reedbed-hide"))
BARE = {**sample("reedbed-hide"), "boxes": [], "spans": [], "log": []}


async def at_the_page(doc: dict[str, Any] = DOC, **how: Any) -> Phone:
    phone = await Phone.start(docs=(doc,), **how)
    await phone.go(f"/j/{doc['id']}/hand")
    return phone


def log_of(phone: Phone, job: str = "REEDBED-HIDE") -> list[dict[str, Any]]:
    return [dict(one) for one in phone.shelf.journals[job].records[1:]]


async def out(phone: Phone, key: str) -> tuple[str, bytes]:
    """Press, and wait until a file went."""
    before = len(phone.copies)
    await phone.tap(key)
    for _ in range(200):
        if len(phone.copies) > before:
            break
        await asyncio.sleep(0.005)
    await phone.settle()
    assert len(phone.copies) == before + 1, f"{key} put nothing anywhere"
    return phone.copies[-1]


def row_of(phone: Phone, what: str) -> str:
    """All that a row says, on one line."""
    return " | ".join(dict.fromkeys(phone.texts(phone.find(f"hand-{what}"))))


def sharing(monkeypatch, answer: Callable[[Sequence[Made]], bool]) -> list[tuple[str, ...]]:
    """A phone that shares; what it was given each time."""
    real, given = app.Services, []

    async def share(files: Sequence[Made]) -> bool:
        given.append(tuple(one.name for one in files))
        return answer(files)

    monkeypatch.setattr(
        "headless.Services", lambda *means, **more: real(*means, share=share, **more)
    )
    return given


def model_of(**more: Any) -> Model:
    file = read_job(DOC)
    return Model(job=OpenJob(file.plan.id, file, judge(file)), route=f"{JOB}/hand", **more)


def exports(phone: Phone) -> list[str]:
    """The names of the copies that the log has."""
    records = phone.shelf.journals["REEDBED-HIDE"].records[1:]
    return [one["to"] for one in records if one["what"] == "export"]
