"""What has drifted since a site was left, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from engine.entries import UNITS
from engine.judge import Judgement
from engine.layout import table, wrapped
from engine.phrases import READINGS
from engine.phrases.book import WHOLE
from engine.since import Drift, not_alike
from engine.stays import left_at
from engine.unchanged import SWINGS


def since_text(judgement: Judgement) -> list[str]:
    """A block ``Since DATE``: what was read again beside what it was; nothing on a first stay."""
    left = left_at(judgement.state)
    if left is None:
        return []
    day = (left.t or "")[:10] or "the site was left"
    drifts = judgement.drifts
    out = [f"Since {day}", ""]
    if not drifts:
        return [
            *out,
            wrapped("Nothing was read again that could be set beside a reading then."),
            "",
        ]
    rows: list[tuple[str, ...]] = [("at", "kind", "then", "now", "expected", "±", "z", "")]
    rows += [_row(drift) for drift in drifts]
    out += [table(rows, frozenset({2, 3, 4, 5, 6})), ""]
    return [*out, *(wrapped(text) for text in _under(judgement)), ""]


def _row(drift: Drift) -> tuple[str, ...]:
    counted = not drift.s
    return (
        drift.at,
        f"{READINGS[drift.kind]}, {UNITS[drift.kind]}",
        _figure(drift, drift.before),
        _figure(drift, drift.now),
        "" if counted else _figure(drift, drift.before + drift.expected),
        "" if counted else f"{2 * drift.s:.2g}",
        "" if counted else f"{drift.z:+.1f}",
        drift.verdict,
    )


def _figure(drift: Drift, value: float) -> str:
    return f"{value:.{0 if drift.kind in WHOLE else 2}f}"


def _under(judgement: Judgement) -> Iterator[str]:
    drifts = judgement.drifts
    if any(drift.s for drift in drifts):
        yield (
            "expected: then, and what the load and the weather in front of it make of it now; "
            "± two deviations of the difference."
        )
    for drift in drifts:
        if drift.ohms is not None:
            yield f"{drift.at}: {drift.ohms:.2g} ohm more in front of it would explain it."
        if drift.altered:
            yield f"{drift.at}: something was altered there since it was read again."
    if any(drift.kind == "earth_ohms" for drift in drifts):
        season = SWINGS["earth-season"].value
        yield f"An earth moves with the season, ± {season:.0f} % (from memory): it is allowed for."
    for at, kind in not_alike(judgement.state):
        yield f"{at}: {READINGS[kind]} not set beside each other, for it was altered in between."


def since_json(judgement: Judgement) -> list[dict[str, Any]]:
    """One object a drift; [] on a first stay."""
    return [
        {
            "at": drift.at,
            "kind": drift.kind,
            "before": drift.before,
            "now": drift.now,
            "expected": drift.expected,
            "s": drift.s,
            "z": drift.z,
            "verdict": drift.verdict,
            "same_meter": drift.same_meter,
            "before_reading": drift.before_id,
            "now_reading": drift.now_id,
            "before_t": drift.before_t,
            "ohms": drift.ohms,
            "altered": drift.altered,
        }
        for drift in judgement.drifts
    ]
