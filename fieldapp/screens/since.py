"""What is no longer as it was when the site was left: a gauge with two beads for each, on Leave."""

from __future__ import annotations

import flet as ft

from engine.log import stop_of
from engine.since import DRIFTED, STEADY, UNSURE, Drift
from engine.stays import left_at
from fieldapp import words
from fieldapp.buttons import pair, quiet
from fieldapp.drawing.drift import two_beads
from fieldapp.messages import Go
from fieldapp.model import Model
from fieldapp.paint import MARGIN, Look
from fieldapp.parts import padded, rule, tag, text
from fieldapp.pressing import spoken
from fieldapp.questions import here
from fieldapp.returning import (
    COUNTED,
    day_before,
    expected_now,
    explained,
    read_since,
    since_day,
    where_it_starts,
)
from fieldapp.routes import Place, route_of
from fieldapp.screens.shared import SendAny
from fieldapp.sending import Send


def since_block(model: Model, send: SendAny, look: Look) -> list[ft.Control]:
    """Drifted ones in full, those not for certain in a line, then what was altered since; the others
    in one. Nothing on a first stay."""
    judgement = model.open_job.judgement
    if left_at(judgement.state) is None:
        return []
    altered = [one for one in judgement.drifts if one.altered and one.verdict != STEADY]
    by_word = {
        word: [one for one in judgement.drifts if one.verdict == word and one not in altered]
        for word in (DRIFTED, UNSURE, STEADY)
    }
    title = words.since_title(since_day(model))
    out: list[ft.Control] = [padded(text(look, title, 28, face="TB", cap=1.4), top=12)]
    for number, drift in enumerate(by_word[DRIFTED]):
        out.append(_drifted(drift, model, send, look, finds=number == 0))
    out += [_unsure(drift, model, send, look) for drift in by_word[UNSURE]]
    out += [_altered(drift, model, send, look) for drift in altered]
    if by_word[STEADY]:
        line = words.since_steady(len(by_word[STEADY]))
        out.append(padded(text(look, line, 20, cap=1.8), top=2))
    if not judgement.drifts:
        out.append(padded(text(look, words.since_nothing(), 20, "soft", cap=1.8), top=2))
    return [ft.Column([*out, ft.Container(height=4), rule(look)], spacing=8, tight=True)]


def _drifted(drift: Drift, model: Model, send: SendAny, look: Look, *, finds: bool) -> ft.Control:
    """Where, the two beads, how sure and where it starts; the way on stands with the first."""
    column: list[ft.Control] = [padded(_head(drift, model, look), top=6)]
    if drift.kind in COUNTED:
        column.append(padded(text(look, _difference(drift, model), 21, "signal", "TB", cap=1.8)))
    else:
        column.append(drift_gauge(drift, model, look))
        column.append(padded(text(look, told_of(drift, model), 19, cap=1.8)))
        meter = words.drift_meter(drift.same_meter, drift.ohms)
        column.append(padded(text(look, meter, 17, "soft", "TI", cap=1.8)))
    again = _again(drift, model, send, look, stands_alone=not finds)
    if finds:
        fault = Go(route_of(Place("fault", model.open_job.id)))
        find = quiet(
            look,
            words.find_fault(),
            Send(send, fault),
            key="since-fault",
            strong=True,
            height=56,
            expand=True,
        )
        column.append(padded(pair(look, find, again)))
    else:
        column.append(padded(again))
    return ft.Column(column, spacing=6, tight=True, key=f"drift-{drift.now_id}")


def _unsure(drift: Drift, model: Model, send: SendAny, look: Look) -> ft.Control:
    said = words.drift_unsure(_difference(drift, model))
    lines = [
        _head(drift, model, look),
        text(look, said, 19, cap=1.8),
        _again(drift, model, send, look, stands_alone=True),
    ]
    inside = ft.Column(lines, spacing=6, tight=True, key=f"drift-{drift.now_id}")
    return padded(inside, top=6)


def _altered(drift: Drift, model: Model, send: SendAny, look: Look) -> ft.Control:
    """What was done about it: one line, and a way to read it only where nobody has since."""
    since = read_since(model.open_job.judgement, drift)
    reads = (since.reading.figure, since.verdict) if since is not None else None
    said = words.drift_altered(_difference(drift, model), drift.kind, reads)
    lines = [_head(drift, model, look), text(look, said, 19, cap=1.8)]
    if since is None:
        there = Place("read", model.open_job.id, drift.at, drift.kind)
        lines.append(
            quiet(
                look,
                words.measure_at(drift.at, drift.kind),
                Send(send, Go(route_of(there))),
                key=f"since-read-{drift.now_id}",
                height=56,
                width=look.width - 2 * MARGIN,
            )
        )
    inside = ft.Column(lines, spacing=6, tight=True, key=f"drift-{drift.now_id}")
    return padded(inside, top=6)


def _head(drift: Drift, model: Model, look: Look) -> ft.Control:
    """The tag, what was read there, and the stop."""
    job = model.open_job.judgement.state.job
    stop = job.stops.get(stop_of(job, drift.at) or "")
    place = words.where_you_stand(stop.name, stop.id == here(model)) if stop else ""
    said = words.drift_head(drift.kind, place)
    return ft.Row(
        [
            tag(look, words.spot(drift.at)),
            text(look, said, 17, "soft", "TI", cap=1.4, expand=True),
        ],
        spacing=10,
    )


def drift_gauge(drift: Drift, model: Model, look: Look) -> ft.Control:
    """The two beads, and what they say aloud."""
    day, kind = day_before(model, drift), drift.kind
    band = expected_now(drift)
    picture = two_beads(
        drift.before,
        drift.now,
        band,
        _difference(drift, model),
        words.drift_then(drift.before, kind, day),
        words.drift_now(drift.now, kind),
        look.width,
        drifted=drift.verdict == DRIFTED,
        scale=words.scale_of(kind),
        letters=look.scale,
    )
    speech = words.speak_drift(
        drift.at, kind, drift.before, drift.now, band[0], band[2], day, drift.verdict
    )
    return spoken(look, picture, speech)


def told_of(drift: Drift, model: Model) -> str:
    """How sure it is, and where it starts."""
    sure = words.drift_sure(explained(drift), drift.kind)
    starts = where_it_starts(model.open_job.judgement, drift)
    return words.one_after_the_other(sure, starts) if starts else sure


def _difference(drift: Drift, model: Model) -> str:
    return words.drift_by(drift.before, drift.now, drift.kind, day_before(model, drift))


def _again(
    drift: Drift, model: Model, send: SendAny, look: Look, *, stands_alone: bool
) -> ft.Control:
    """A repeat: both readings are then used."""
    there = Place("read", model.open_job.id, drift.at, drift.kind, again=drift.now_id)
    return quiet(
        look,
        words.FIXED.measure_again,
        Send(send, Go(route_of(there))),
        key=f"since-again-{drift.now_id}",
        height=56,
        expand=None if stands_alone else True,
        width=look.width - 2 * MARGIN if stands_alone else None,
        says=words.measure_again_at(words.spot(drift.at)),
    )
