"""Handlers of signing: who signs, the strokes of a finger, the entry that comes of it. Pure.

What is half typed and half drawn outlives the battery like the digits of a pad.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from math import hypot
from typing import Any

from engine.signed import seen_now, sum_now
from engine.strokes import ACROSS, DOWN, MOST_POINTS, MOST_STROKES, Point, Strokes
from fieldapp import messages as m
from fieldapp.drafts import Draft
from fieldapp.halfdone import Signing
from fieldapp.keeping import Result, keep
from fieldapp.model import Model
from fieldapp.moving import remembered
from fieldapp.routes import Place, route_of

MOST_LETTERS = 80
"""of a name or a role in the log"""
THIN = 2.5
"""a point that lies no farther off the line between its neighbours is left out, in the units of
the field; ours: a third of a millimetre on a phone, less than a finger's shake"""


def signing_of(model: Model) -> Signing:
    """Who signs and what is drawn so far; the name of who holds the phone stands ready."""
    signing = model.signing
    if signing is not None and model.has_open(signing.job):
        return signing
    return Signing(model.open_job.id, name=model.settings.name)


def sign_draft(model: Model) -> Draft | None:
    """The signature as the log takes it; None while it has no name.

    It says itself what it has seen: what is on this screen, and not what another window of this
    phone may have kept meanwhile.
    """
    signing, state = signing_of(model), model.open_job.judgement.state
    if not signing.name.strip():
        return None
    draft: Draft = {"what": "sign", "by": signing.name.strip(), "seen": seen_now(state)}
    if signing.role.strip():
        draft["role"] = signing.role.strip()
    if signing.strokes:
        draft["strokes"] = [[list(point) for point in stroke] for stroke in signing.strokes]
    return {**draft, "sha256": sum_now(state)}


def thinned(stroke: tuple[Point, ...], most_off: float = THIN) -> tuple[Point, ...]:
    """A stroke with fewer points: none that is left out lay farther than ``most_off`` from it.

    Source
    ------
    Ramer (1972), Douglas and Peucker (1973): halved at the point farthest from the chord.
    """
    keeps = {0, len(stroke) - 1}
    waiting = [(0, len(stroke) - 1)]
    while waiting:
        first, last = waiting.pop()
        between = range(first + 1, last)
        offs = [_off(stroke[i], stroke[first], stroke[last]) for i in between]
        if offs and max(offs) > most_off:
            middle = between[offs.index(max(offs))]
            keeps.add(middle)
            waiting += [(first, middle), (middle, last)]
    return tuple(stroke[i] for i in sorted(keeps) if i >= 0)


def _off(point: Point, a: Point, b: Point) -> float:
    """How far a point lies from the piece between two others."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = dx * dx + dy * dy
    along = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / length if length else 0.0
    along = min(max(along, 0.0), 1.0)
    return hypot(point[0] - a[0] - along * dx, point[1] - a[1] - along * dy)


# ---------------------------------------------------------------- what of it outlives the battery


def signing_from(kept: Any) -> Signing | None:
    """What was half typed and half drawn, as it was kept; None for anything else."""
    if not isinstance(kept, Mapping) or not isinstance(kept.get("job"), str):
        return None
    try:
        strokes = tuple(
            tuple(_within(int(x), int(y)) for x, y in stroke) for stroke in kept.get("strokes", ())
        )
    except (TypeError, ValueError):
        strokes = ()
    name, role = (str(kept.get(key) or "") for key in ("name", "role"))
    return Signing(kept["job"], name, role, strokes)


# ---------------------------------------------------------------- handlers


def _typed(model: Model, message: m.SignTyped) -> Result:
    text = "".join(letter for letter in message.text if letter.isprintable())[:MOST_LETTERS]
    typed: dict[str, Any] = {message.field: text}
    return _with(model, replace(signing_of(model), **typed))


def _begun(model: Model, message: m.StrokeBegun) -> Result:
    signing = signing_of(model)
    if len(signing.strokes) >= MOST_STROKES or _is_full(signing.strokes):
        return model, ()
    strokes = (*signing.strokes, (_within(message.x, message.y),))
    return replace(model, signing=replace(signing, strokes=strokes, draws=True), told=None), ()


def _drawn(model: Model, message: m.StrokeDrawn) -> Result:
    """Nothing is stored while a finger moves: it has to be quick."""
    signing = signing_of(model)
    if not signing.draws or _is_full(signing.strokes):
        return model, ()
    point = _within(message.x, message.y)
    *before, stroke = signing.strokes
    if stroke[-1] == point:
        return model, ()
    strokes = (*before, (*stroke, point))
    return replace(model, signing=replace(signing, strokes=strokes)), ()


def _ended(model: Model, message: m.StrokeEnded) -> Result:
    signing = signing_of(model)
    if not signing.draws:
        return model, ()
    *before, stroke = signing.strokes
    return _with(model, replace(signing, strokes=(*before, thinned(stroke)), draws=False))


def _again(model: Model, message: m.DrawAgain) -> Result:
    return _with(model, replace(signing_of(model), strokes=(), draws=False))


def _pressed(model: Model, message: m.SignPressed) -> Result:
    draft = sign_draft(model) if model.job is not None else None
    if draft is None:
        return model, ()
    return keep(model, draft, then=route_of(Place("hand", model.open_job.id)))


def _with(model: Model, signing: Signing) -> Result:
    return remembered(replace(model, signing=signing, told=None))


def _within(x: int, y: int) -> Point:
    """A place on the field; a finger that slips off it draws along its edge."""
    return min(max(x, 0), ACROSS), min(max(y, 0), DOWN)


def _is_full(strokes: Strokes) -> bool:
    return sum(map(len, strokes)) >= MOST_POINTS


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = {
    m.SignTyped: _typed,
    m.StrokeBegun: _begun,
    m.StrokeDrawn: _drawn,
    m.StrokeEnded: _ended,
    m.DrawAgain: _again,
    m.SignPressed: _pressed,
}
