"""Of the record: what stands there now: boxes, spans, the power on them, the meters. Pure."""

from __future__ import annotations

from engine.job import Meter
from engine.judge import Judgement
from engine.study import Range
from fieldapp import words
from fieldapp.handover.page import Parts
from fieldapp.handover.rows import table


def boxes(judgement: Judgement) -> Parts:
    """Every box and every span of the plan as it stands now, with the sheet it has."""
    job, spans = judgement.state.job, judgement.prediction.spans
    yield from table(
        "box box-kind name stop sheet bond",
        (
            (
                box.id,
                words.boxes_kind(box.kind),
                box.name,
                job.stops[box.stop].name,
                words.sheet_name(box.sheet),
                words.record_to_earth(box.bond.to, box.bond.lead_m) if box.bond else "",
            )
            for box in job.boxes.values()
        ),
    )
    yield from table(
        "span ends length sheet resistance",
        (
            (
                span.id,
                f"{span.a}, {span.b}",
                words.record_length(span.length_m.low, span.length_m.expected, span.length_m.high),
                words.sheet_name(span.cable),
                words.record_band(*_ends(spans[span.id].loop_ohms), "loop_ohms"),
            )
            for span in job.spans.values()
        ),
    )


def remote_power(judgement: Judgement) -> Parts:
    """What a record of cables that carry power is asked for: kind and gauge, bundle, highest
    current, temperature basis (TIA-606-D, ISO/IEC TS 29125; from memory)."""
    job, spans = judgement.state.job, judgement.prediction.spans
    rows = (
        (
            span.id,
            words.record_wire(span.cable.category, span.cable.material, span.cable.awg),
            words.record_bundle(span.bundle),
            words.record_conductor(spans[span.id].conductor_amps),
            words.record_band(*_ends(spans[span.id].celsius), "celsius"),
        )
        for span in job.spans.values()
    )
    return table("span wire bundle most warmth", rows)


def meters(judgement: Judgement) -> Parts:
    """The instruments, as a record of results names them (ISO/IEC 14763-3, from memory)."""
    rows = (
        (one.name, words.sheet_name(one.sheet), one.serial, one.calibrated, _reach(one))
        for one in judgement.state.job.meters.values()
    )
    return table("meter sheet serial calibrated reach", rows)


def _reach(meter: Meter) -> str:
    kinds = meter.sheet.accuracy.items()
    return "; ".join(
        words.record_reach(kind, how.percent, how.digits * how.resolution) for kind, how in kinds
    )


def _ends(band: Range) -> tuple[float | None, float | None, float | None]:
    return band.low, band.expected, band.high
