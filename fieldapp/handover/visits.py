"""Of the record: who came when and why, and what was no longer as it had been. Pure."""

from __future__ import annotations

from engine.judge import Judgement
from engine.since import DRIFTED, Drift
from engine.stays import left_at
from fieldapp import words
from fieldapp.handover.page import Paragraph, Parts
from fieldapp.handover.rows import Cells, table, when

COUNTED = frozenset({"mbps", "error_count"})
"""kinds whose two readings have no difference in their unit that says anything"""


def visits(judgement: Judgement) -> Parts:
    """Each visit: when it began, why, how many came, by whom it was opened, how it ended."""
    state = judgement.state
    entries = {one.id: one for one in state.entries}
    rows = []
    for visit in state.visits:
        begun, ended = entries.get(visit.opened), entries.get(visit.left)
        answered = all(name in state.waivers for name in visit.open)
        said = words.record_left(len(visit.open), answered)
        left = f"{when(ended.t)}, {said}" if ended else ""
        rows.append(
            (
                when(begun.t) if begun else "",
                words.record_reason(visit.reason),
                str(visit.people or ""),
                begun.by if begun else "",
                left or words.record_not_left(),
            )
        )
    return table("time reason people by left", rows)


def since_left(judgement: Judgement) -> Parts:
    """What was read before the site was left and again in this stay, those that drifted first."""
    entry = left_at(judgement.state)
    if entry is None or not judgement.drifts:
        return
    yield Paragraph(words.record_since(when(entry.t)))
    ordered = sorted(judgement.drifts, key=lambda one: one.verdict != DRIFTED)
    yield from table("place kind before now difference sure meter", map(_drift, ordered))


def _drift(drift: Drift) -> Cells:
    kind = drift.kind
    counted = kind in COUNTED
    return (
        words.point(drift.at),
        words.KINDS[kind],
        words.with_unit(drift.before, kind),
        words.with_unit(drift.now, kind),
        "" if counted else words.record_difference(drift.now - drift.before, kind),
        words.record_sure(drift.verdict),
        "" if counted else words.record_same_meter(drift.same_meter),
    )
