"""Advice as text: a foreman's note. What is wrong, the ways out, what else would still work."""

from __future__ import annotations

from collections.abc import Iterator

from engine.advise import Advice, Change, Limit
from engine.layout import titled, wrapped
from engine.phrases import english
from engine.study import Prediction

WAYS = 3
"""ways out that are told; the others are counted"""
SCALE = (
    "Effort: 1 a setting, 2 a box turned or a lead, 3 a box swapped, "
    "4 bonded, 5 one box more, 8 and more a cable pulled."
)


def advice_text(prediction: Prediction, advice: Advice, limits: tuple[Limit, ...]) -> str:
    """All of it, within 80 columns."""
    lines = [titled(prediction.job), "", *_state(advice), *_wrong(prediction, advice)]
    lines += _ways(advice)
    if limits:
        lines += ["", "What would still work", ""]
        lines += [wrapped(english(one.say).text) for one in limits]
    return "\n".join(lines) + "\n"


def _state(advice: Advice) -> Iterator[str]:
    if advice.works_at_worst_now:
        yield "It works, with every tolerance against it."
    elif advice.works_now:
        yield "It works as planned, but not with every tolerance against it."
    else:
        yield "It does not work as planned."


def _wrong(prediction: Prediction, advice: Advice) -> Iterator[str]:
    found = [one for one in prediction.findings if one.severity in ("stop", "warn")]
    if found:
        stops = any(one.severity == "stop" for one in found)
        wrong = stops or not advice.works_at_worst_now
        yield from ("", "What is wrong" if wrong else "To look at", "")
        yield from (wrapped(english(one.say).text) for one in found)


def _ways(advice: Advice) -> Iterator[str]:
    if advice.limited_by is not None:
        yield from ("", wrapped(english(advice.limited_by).text, ""))
    if not advice.changes:
        return
    yield from ("", "Ways out" if advice.limited_by is None else "What helps a little", "")
    for number, change in enumerate(advice.changes[:WAYS], start=1):
        yield wrapped(english(change.say).text, mark=f"{number}  ")
        yield wrapped(_brings(change), "     ")
    more = len(advice.changes) - WAYS
    if more > 0:
        yield from ("", wrapped(f"{more} more, heavier or no better: --json lists them."))
    yield from ("", wrapped(SCALE))


def _brings(change: Change) -> str:
    """What a change costs and brings, in one line."""
    parts = [f"Effort {change.effort:.3g}"]
    volts = change.end_volts
    if volts is not None:
        worst = f", {volts.low:.1f} V at worst" if volts.low is not None else ""
        parts.append(f"{volts.expected:.1f} V at the far end{worst}")
    if change.volts_gained is not None and abs(change.volts_gained) >= 0.05:
        parts.append(f"{change.volts_gained:+.1f} V")
    if change.load_share is not None:
        parts.append(f"bears {change.load_share:.2f} of the load")
    said = "; ".join(parts) + "."
    if change.mends:
        said += f" Mends {', '.join(change.mends)}."
    if change.breaks:
        said += f" Then minds {', '.join(change.breaks)}."
    if not change.works:
        said += " Not enough by itself."
    elif not change.works_at_worst:
        said += " Not yet at worst."
    return said
