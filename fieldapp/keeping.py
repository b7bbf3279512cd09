"""Drafts on their way to the journal, and jobs on their way from it: never twice in one breath.

Pure.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from fieldapp.drafts import Draft
from fieldapp.messages import Effects, Keep, Kept
from fieldapp.model import Model

Result = tuple[Model, Effects]


def keep(model: Model, *drafts: Mapping[str, Any], then: str = "") -> Result:
    """Ask for these to be kept; ``then`` is the route they lead to."""
    signed = tuple({**draft, "by": draft.get("by") or model.settings.name} for draft in drafts)
    if model.keeping or any(_is_kept_by(signed, one) for one in model.unjudged):
        return model, ()  # a second press in one breath keeps nothing twice
    return replace(model, keeping=True), (Keep(model.open_job.id, signed, then),)


def _is_kept_by(drafts: tuple[Draft, ...], kept: Kept) -> bool:
    """Whether these very drafts became the entries of this."""
    return len(drafts) == len(kept.entries) and all(
        all(entry.get(key, "") == value for key, value in draft.items())
        for draft, entry in zip(drafts, kept.entries, strict=True)
    )


def ask(model: Model, effect: Any) -> Result:
    """Ask for what opens a job; the same once more, before it has answered, opens one."""
    if model.waiting == effect:
        return model, ()
    return replace(model, waiting=effect, told=None), (effect,)
