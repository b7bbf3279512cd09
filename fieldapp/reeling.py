"""The reel check without its screen: what the log knows of a reel, what a press keeps. Pure.

A reel lives in notes at its span with the key ``x_reel``: each holds all that is known of it by
then. One that was refused makes room for the next; one that was taken closes the step.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from engine.job import Span
from engine.log import State
from engine.reel import ReelCheck, ReelReading, check_reel
from engine.sheets import AS_TYPED
from engine.step import Step
from fieldapp import messages as m
from fieldapp import words
from fieldapp.drafts import Draft
from fieldapp.halfdone import Pad
from fieldapp.keeping import Result, keep
from fieldapp.meters import brought, meters_of
from fieldapp.model import Model, OpenJob
from fieldapp.questions import taken_back
from fieldapp.routes import Place, route_of
from fieldapp.wires import ends_of
from fieldapp.words.units import LENGTH, WEIGHT, kept_figure

KEY = "x_reel"
FIELDS = {
    "first": LENGTH,
    "second": LENGTH,
    "ohms": "loop_ohms",
    "celsius": "celsius",
    "grams": WEIGHT,
}
"""what is typed of a reel, and the kind of figure it is"""
MARKS = frozenset({"first", "second"})
CHAIN = ("first", "second", "ohms")
"""asked for one after the other; what is known already is passed over"""
KIND = "reel-"
"""how a pad for a reel is called, before its field"""
ABOVE, BELOW = "loaded", "below"
"""how a pad stands while degrees above or below nothing are typed"""
SLACK = 0.03
"""of a span's length, to be on the reel besides (common practice: bends, drips, two ends made)"""
OF_THE_WIRE = ("ohms_per_km", "alpha_per_k", "copper_percent", "title", "note")
"""what a sheet says of its wire: not true of one that was measured"""


@dataclass(frozen=True)
class OnReel:
    """One reel for a span, as the log has it."""

    span: str
    number: int = 1
    first: float | None = None
    second: float | None = None
    ohms: float | None = None
    celsius: float | None = None
    grams: float | None = None
    meter: str = ""
    taken: bool = False
    sheet: str = ""
    """the sheet of its own that it brought into the plan"""
    at: str | None = None
    """when it was last spoken of, RFC 3339"""

    @property
    def missing(self) -> str:
        """What is asked for next; nothing once the pair is measured."""
        return next((name for name in CHAIN if getattr(self, name) is None), "")

    @property
    def low_mark(self) -> float:
        """The lower of its two marks."""
        return min(self.first or 0.0, self.second or 0.0)

    def body(self) -> dict[str, Any]:
        """What a note carries."""
        known = {name: getattr(self, name) for name in FIELDS}
        body = {name: value for name, value in known.items() if value is not None}
        return {**body, "meter": self.meter} if self.meter else body


def reel_of(state: State, span: str) -> OnReel:
    """The reel at hand for a span: the last that was neither refused nor taken back."""
    reel = OnReel(span)
    for _, entry in state.notes_with(KEY):
        body = entry.body[KEY]
        if state.job.named(entry.body.get("at") or "") != span or not isinstance(body, Mapping):
            continue
        if "refused" in body:
            reel = OnReel(span, reel.number + 1)
            continue
        figures = {name: _number(body.get(name)) for name in FIELDS}
        meter = body.get("meter")
        reel = OnReel(
            span,
            reel.number,
            **figures,
            meter=meter if isinstance(meter, str) else "",
            taken=body.get("taken") is True,
            sheet=body["sheet"] if isinstance(body.get("sheet"), str) else "",
            at=entry.t,
        )
    return reel


def _number(value: Any) -> float | None:
    """What somebody else's file may hold there."""
    usable = isinstance(value, int | float) and not isinstance(value, bool)
    return float(value) if usable and abs(value) < 1e6 else None


def wanted_m(span: Span) -> float:
    """Metres that must be on a reel for a span: its length and some slack."""
    return span.length_m.expected * (1 + SLACK)


def reel_check(job: OpenJob, reel: OnReel) -> ReelCheck:
    """What is to be thought of it."""
    plan = job.judgement.state.job
    span = plan.spans[reel.span]
    reading = ReelReading(
        reel.first,
        reel.second,
        wanted_m(span),
        reel.ohms,
        reel.celsius,
        reel.meter or None,
        reel.grams,
    )
    return check_reel(plan, span, reading)


def air_of(job: OpenJob, reel: OnReel) -> tuple[float, float]:
    """What the plan says of the air around a reel, where nobody told. [°C]"""
    air = job.judgement.state.job.site.ambient_c
    return air.low, air.high


def near_stop(job: OpenJob, span: str) -> str:
    """The stop of the span's end that is nearer the feed."""
    state = job.judgement.state
    near, _ = ends_of(state.job, state.network, span)
    return state.job.stops[state.job.boxes[near.box].stop].name


# ---------------------------------------------------------------- the pad


def field_of(pad: Pad | None) -> str:
    """Which figure of a reel a pad types; none if it is no such pad."""
    return pad.kind.removeprefix(KIND) if pad is not None and pad.kind.startswith(KIND) else ""


def reel_pad(model: Model, place: Place) -> Pad:
    """The pad of a field: digits half typed there are still on it."""
    pad, kind = model.pad, KIND + place.kind
    if pad is not None and (pad.at, pad.kind) == (place.at, kind):
        return pad
    reel = reel_of(model.open_job.judgement.state, place.at)
    meters = meters_of(model, model.open_job, "loop_ohms")
    meter = reel.meter or (meters[0] if meters else "")
    return Pad(at=place.at, kind=kind, meter=meter if place.kind == "ohms" else "")


def without_pad(model: Model) -> Model:
    """On the page itself no figure of a reel is half typed."""
    return replace(model, pad=None) if field_of(model.pad) else model


def reel_route(model: Model, span: str, name: str = "") -> str:
    """The page of a reel, or the pad of one of its figures."""
    return route_of(Place("reelpad" if name else "reel", model.open_job.id, span, name))


def typed_reel(model: Model) -> OnReel | None:
    """The reel as it would be with what the pad shows."""
    name, pad = field_of(model.pad), model.pad
    value = kept_figure(pad.digits, FIELDS[name]) if pad is not None and name in FIELDS else None
    if pad is None or value is None or pad.at not in model.open_job.judgement.state.job.spans:
        return None
    value = -value if name == "celsius" and pad.standing == BELOW else value
    reel = reel_of(model.open_job.judgement.state, pad.at)
    typed: dict[str, Any] = {name: value}
    return replace(reel, **typed, meter=pad.meter if name == "ohms" else reel.meter)


# ---------------------------------------------------------------- what is kept


def _note(reel: OnReel, text: str, **more: Any) -> Draft:
    body = {**reel.body(), **more}
    return {"what": "note", "at": reel.span, "text": words.plain(text), KEY: body}


def own_sheet(state: State, reel: OnReel, check: ReelCheck, reason: str) -> tuple[Draft, ...]:
    """A sheet for this wire alone and the span that gets it; none where the sheet's may be so."""
    if not check.wrong_wire or check.measured_ohms_per_km is None:
        return ()
    was = state.job.spans[reel.span].cable.id
    sheets = state.doc.get("sheets", {})
    old = sheets.get(was) or AS_TYPED.get(was) or {}
    ohms = check.measured_ohms_per_km
    sheet = {key: value for key, value in old.items() if key not in OF_THE_WIRE}
    if check.material == state.job.spans[reel.span].cable.material:
        sheet.pop("awg", None)  # the same metal, thinner: its ohms tell how much
    sheet |= {
        "kind": "cable",
        "title": words.reel_sheet_title(reel.span),
        "material": check.material,
        "ohms_per_km": {
            "low": round(ohms.low, 1),
            "expected": round(ohms.expected, 1),
            "high": round(ohms.high, 1),
        },
        "note": reason,
    }
    name = _unused(f"my.reel-{reel.span.lower()}", {*sheets, *AS_TYPED})
    return (
        {"what": "add", "path": ["sheets", name], "value": sheet, "as": "correction"},
        {
            "what": "set",
            "path": ["spans", reel.span, "cable"],
            "value": name,
            "was": was,
            "as": "correction",
        },
    )


def _unused(stem: str, taken: set[str]) -> str:
    name, count = stem, 1
    while name in taken:
        count += 1
        name = f"{stem}-{count}"
    return name


def _step_of(model: Model, span: str) -> Step | None:
    steps = model.open_job.judgement.steps
    return next((one for one in steps if one.kind == "reel" and one.span == span), None)


def _step_draft(model: Model, span: str, state: str) -> tuple[Draft, ...]:
    """The step follows the reel, where there is one and it is not so already."""
    step = _step_of(model, span)
    if step is None or (step.state == "done") == (state == "done"):
        return ()
    return ({"what": "step", "step": step.id, "state": state},)


def reel_at_hand(model: Model, span: str) -> OnReel | None:
    """The reel of a span as the work has it: taken only while its step is done."""
    if model.job is None or span not in model.job.judgement.state.job.spans:
        return None
    reel, step = reel_of(model.job.judgement.state, span), _step_of(model, span)
    return replace(reel, taken=reel.taken and (step is None or step.state == "done"))


def _kept(model: Model, message: m.ReelKept) -> Result:
    reel = typed_reel(model)
    if reel is None:
        return model, ()
    reel = replace(reel, taken=False)
    draft = _note(reel, words.note_reel(reel.number, reel.span, reel.ohms))
    name = field_of(model.pad)
    on = reel.missing if name in CHAIN else ""
    mine = brought(model, reel.meter) if name == "ohms" else ()
    return keep(model, *mine, draft, then=reel_route(model, reel.span, on))


def _meter(model: Model, message: m.ReelMeter) -> Result:
    meters = meters_of(model, model.open_job, "loop_ohms")
    if not meters or model.pad is None:
        return model, ()
    place = meters.index(model.pad.meter) if model.pad.meter in meters else -1
    return replace(model, pad=replace(model.pad, meter=meters[(place + 1) % len(meters)])), ()


def _taken(model: Model, message: m.ReelTaken) -> Result:
    """One press: the reel is taken and the step is done. A reason goes with one that is not right."""
    reel = reel_at_hand(model, message.span)
    if reel is None:
        return model, ()
    check = reel_check(model.open_job, reel)
    sound = check.fits and check.verdict == "inside"
    reason = (model.sheet.reason if model.sheet is not None else "").strip()
    if not sound and not reason:
        return model, ()
    more = {} if sound else {"reason": reason}
    edits = () if sound else own_sheet(model.open_job.judgement.state, reel, check, reason)
    own = edits[-1]["value"] if edits else reel.sheet
    if own:
        more["sheet"] = own
    note = _note(reel, words.note_reel_taken(reel.number, reel.span), taken=True, **more)
    done = _step_draft(model, reel.span, "done")
    then = route_of(Place("now", model.open_job.id))
    return keep(replace(model, sheet=None), note, *edits, *done, then=then)


def _refused(model: Model, message: m.ReelRefused) -> Result:
    """It is kept off the run, and the next one is to be checked."""
    reel = reel_at_hand(model, message.span)
    if reel is None:
        return model, ()
    note = _note(reel, words.note_reel_refused(reel.number, reel.span), refused=message.why)
    undone = _step_draft(model, reel.span, "undone")
    back = _own_sheet_back(model.open_job.judgement.state, reel)
    then = reel_route(model, reel.span)
    return keep(replace(model, sheet=None), note, *back, *undone, then=then)


def _own_sheet_back(state: State, reel: OnReel) -> tuple[Draft, ...]:
    """The sheet that a reel brought goes with it: its edits are taken back."""
    if not reel.sheet:
        return ()
    gone = taken_back(state)
    mine = [
        entry.id
        for entry in state.entries
        if entry.what in ("set", "add")
        and entry.id not in gone
        and reel.sheet in (entry.body.get("value"), entry.body["path"][-1])
    ]
    return tuple({"what": "void", "of": ident} for ident in reversed(mine))


HANDLERS: dict[type, Callable[[Model, Any], Result]] = {
    m.ReelKept: _kept,
    m.ReelMeter: _meter,
    m.ReelTaken: _taken,
    m.ReelRefused: _refused,
}
