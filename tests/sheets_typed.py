"""A sheet of one's own begun, asked for and typed, by messages alone."""

from __future__ import annotations

from typing import Any

from messages_sent import after, kept_behind, model_at

from engine.choices import sheet_of
from fieldapp import messages as m
from fieldapp.model import Model
from fieldapp.ownsheet import own_of

J = "/j/REEDBED-HIDE"


def begun(thing: str, template: str, *, changes: bool = False, job: Any = None, **more: Any):
    model = model_at(f"{J}/newsheet/{thing}", job, **more)
    model, _ = after(model, m.OwnBegun(thing, template, changes))
    return model


def keys(digits: str) -> list[Any]:
    return [m.OwnKey(key) for key in digits]


def asked(model: Model) -> str:
    return own_of(model).at


def to_the_end(model: Model) -> Model:
    """Every answer as it stands."""
    for _ in range(40):
        if not asked(model):
            return model
        model, _ = after(model, m.OwnOn())
    raise AssertionError(f"no end: {asked(model)}")


def used(model: Model, name: str = "Marsh 7") -> Model:
    """The last page's slab pressed, and the entries back."""
    model, effects = after(model, m.OwnNamed(name), m.OwnUsed())
    model, _ = after(model, kept_behind(model, effects))
    assert not model.job.judgement.state.left_out
    return model


def sheet_now(model: Model, thing: str) -> Any:
    return sheet_of(model.job.judgement.state.job, thing)


def doc_of(model: Model) -> dict[str, Any]:
    return model.job.judgement.state.doc
