"""Advice as the job format's JSON, ``farend-advice/1``."""

from __future__ import annotations

from typing import Any

from engine.advise import Advice, Change, Limit
from engine.job import Job
from engine.phrases import english
from engine.say import Say


def advice_json(job: Job, advice: Advice, limits: tuple[Limit, ...]) -> dict[str, Any]:
    """All changes, best first; figures unrounded."""
    return {
        "format": "farend-advice/1",
        "job": job.id,
        "works_now": advice.works_now,
        "works_at_worst_now": advice.works_at_worst_now,
        "changes": [_change(one) for one in advice.changes],
        "limited_by": _said(advice.limited_by) if advice.limited_by is not None else None,
        "still_works": [
            {**_said(one.say), "path": list(one.path), "value": one.value, "now": one.now}
            for one in limits
        ],
    }


def _change(change: Change) -> dict[str, Any]:
    volts = change.end_volts
    return {
        "change": english(change.say).text,
        "say": change.say.json(),
        "parts": [one.json() for one in change.parts],
        "edits": [dict(edit) for edit in change.edits],
        "works": change.works,
        "works_at_worst": change.works_at_worst,
        "end_volts": None
        if volts is None
        else {"low": volts.low, "expected": volts.expected, "high": volts.high},
        "volts_gained": change.volts_gained,
        "load_share": change.load_share,
        "mends": list(change.mends),
        "breaks": list(change.breaks),
        "effort": change.effort,
    }


def _said(statement: Say) -> dict[str, Any]:
    return {"text": english(statement).text, "say": statement.json()}
