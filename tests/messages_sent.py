"""Models of open jobs and messages sent to them, without any page."""

from __future__ import annotations

from typing import Any

from samples import sample

from engine.jobfile import read_job
from engine.judge import judge
from fieldapp import messages as m
from fieldapp.model import Model, OpenJob
from fieldapp.update import update

R = "/j/REEDBED-HIDE"


def job_of(doc: dict[str, Any]) -> OpenJob:
    """A document as the app holds it open."""
    file = read_job(doc)
    return OpenJob(file.plan.id, file, judge(file))


def open_job(name: str = "reedbed-hide", *log: dict) -> OpenJob:
    return job_of({**sample(name), "log": list(log)})


def model_at(route: str, job: OpenJob | None = None, **more: Any) -> Model:
    """The model at a route of an open job."""
    model, _ = update(Model(job=job or open_job(), **more), m.Go(route))
    return model


def after(model: Model, *messages: Any) -> tuple[Model, list[Any]]:
    """The model after these, and all that is to be done."""
    effects: list[Any] = []
    for message in messages:
        model, more = update(model, message)
        effects += more
    return model, effects


def keeps(effects: list[Any]) -> list[m.Keep]:
    return [effect for effect in effects if isinstance(effect, m.Keep)]


def draft_of(effects: list[Any]) -> dict[str, Any]:
    """The one draft of the one thing to keep."""
    (keep,) = keeps(effects)
    (draft,) = keep.drafts
    return dict(draft)


def kept(effects: list[Any], ident: str = "t1") -> m.Kept:
    """What the services would answer."""
    (keep,) = keeps(effects)
    entries = tuple(
        {
            k: v
            for k, v in {"id": f"{ident}-{i}", "n": 90 + i, "device": "d", **draft}.items()
            if v != ""
        }
        for i, draft in enumerate(keep.drafts)
    )
    return m.Kept(keep.job, entries, "14:32", keep.then)


def kept_behind(model: Model, effects: list[Any]) -> m.Kept:
    """The same, each entry having seen all before it."""
    (keep,) = keeps(effects)
    first = len(model.job.file.entries)
    entries = []
    for n, draft in enumerate(keep.drafts, start=first + 1):
        held = {key: value for key, value in draft.items() if value != ""}
        seen = {"d": n - 1} if n > 1 else {}
        entries.append({"id": f"t{n:03}", "n": n, "device": "d", "seen": seen, **held})
    return m.Kept(keep.job, tuple(entries), "14:32", keep.then)


def volts(ident: str, at: str, value: float, **more: Any) -> dict:
    return {"id": ident, "what": "reading", "at": at, "kind": "volts", "value": value, **more}


def with_log(route: str, *log: dict) -> Model:
    return model_at(route, open_job("reedbed-hide", *log))


def loaded(job: OpenJob, asked: Any) -> m.JobLoaded:
    return m.JobLoaded(job, f"/j/{job.id}/now", asked)


NOTE = {"id": "n0", "device": "d", "n": 1, "what": "note", "text": "a"}
