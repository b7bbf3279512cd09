"""What a record says was assumed: figures that nobody gave, and the sheets that were planned with. Pure."""

from __future__ import annotations

from engine.judge import Judgement
from fieldapp import words
from fieldapp.handover.page import Paragraph, Parts


def assumed(judgement: Judgement) -> Parts:
    """Each default that the plan leans on, with its source; then each kind of box and cable."""
    job = judgement.state.job
    sources: dict[tuple[str, str], str] = {}
    for one in job.assumed:
        sources.setdefault((one.quantity, one.of), one.default.source)
    for finding in judgement.prediction.findings:
        if finding.rule == "assumed":
            parts = finding.say.parts
            told = sources.get((parts["quantity"], parts["of"]), "")
            yield Paragraph(
                words.record_source(words.plain(words.sentence(finding.say)), told).rstrip()
            )
    used = [box.sheet for box in job.boxes.values()] + [s.cable for s in job.spans.values()]
    named = dict.fromkeys((words.sheet_name(sheet), sheet.note or "") for sheet in used)
    for name, note in named:
        yield Paragraph(words.record_sheet(name, note))
    yield Paragraph(words.record_sources())
