"""Drafts on their way to the journal: signed, and never twice in one breath. Pure."""

from __future__ import annotations

from dataclasses import replace

from fieldapp.drafts import Draft
from fieldapp.messages import Effects, Keep
from fieldapp.model import Model

Result = tuple[Model, Effects]


def keep(model: Model, *drafts: Draft, then: str = "") -> Result:
    """Ask for these to be kept; ``then`` is the route they lead to."""
    if model.keeping:  # a second press in one breath keeps nothing twice
        return model, ()
    signed = tuple({**draft, "by": draft.get("by") or model.settings.name} for draft in drafts)
    return replace(model, keeping=True), (Keep(model.job.id, signed, then),)
