"""What is pressed in the plan editor, and for a new run. Handlers, as ``update`` calls them. Pure."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any

from engine.inspan import put_in, take_out, turn_round
from engine.job import Bond, Job, Span
from engine.places import runs_of
from engine.planning import (
    BadPlan,
    Edit,
    add_stop,
    applied,
    bond_to,
    move_to,
    new_id,
    with_sheet,
    with_value,
)
from engine.say import say
from fieldapp import messages as m
from fieldapp.advising import advised_on, offered, other_ways
from fieldapp.halfdone import NewRun
from fieldapp.keeping import Result, ask, keep
from fieldapp.model import Model
from fieldapp.pad import typed
from fieldapp.planpads import (
    INDOOR,
    LEAD,
    LENGTH,
    MM2,
    STOP,
    figure_of,
    named,
    planned,
    side_of,
    typed_figure,
)
from fieldapp.questions import TOGETHER, last_edits
from fieldapp.routes import Place, route_of
from fieldapp.words.units import LENGTH as METRES
from fieldapp.words.units import kept_figure

BUILT = frozenset({"fit", "mount", "pull", "terminate"})
"""kinds of step after which a thing is there, so that another plan of it is a change"""
PUT_IN = ("repeater", "long-span", "arrestor", "joint", "splitter", "injector")
"""kinds of box that a span can be opened for, as they are listed"""
STARTERS: Mapping[str, tuple[str, str]] = {
    "repeater": ("generic.repeater-1000", "generic.repeater-1000-outdoor"),
    "long-span": ("generic.long-span", "generic.long-span"),
    "arrestor": ("generic.arrestor-1000-indoor", "generic.arrestor-1000-outdoor"),
    "joint": ("generic.joint-idc-indoor", "generic.joint-idc-outdoor"),
    "splitter": ("generic.splitter-2", "generic.splitter-2"),
    "injector": ("generic.injector-60w", "generic.injector-60w"),
}
"""the starter sheet of a kind indoors, and on a span that runs outdoors"""


def how_it_counts(model: Model, thing: str) -> str:
    """``change`` once a thing is there or its run was measured, else ``correction``."""
    judgement = model.open_job.judgement
    plan = judgement.state.job
    name = next((x for x in (*plan.boxes, *plan.spans) if x.lower() == thing.lower()), None)
    if name is None:
        return "correction"
    for step in judgement.steps:
        if step.state == "done" and step.kind in BUILT and name in (step.box, step.span):
            return "change"
    network = judgement.prediction.study.network
    runs = runs_of(plan, network, name)
    for verdict in judgement.verdicts:
        if verdict.current and runs & runs_of(plan, network, verdict.reading.at):
            return "change"
    return "correction"


def used_ids(model: Model) -> frozenset[str]:
    """Every id that an entry ever gave, taken back or not: none is used twice."""
    out = set()
    for entry in model.open_job.judgement.state.entries:
        if entry.what == "add":
            value, path = entry.body.get("value"), entry.body.get("path") or [""]
            out.add(str(value.get("id", "")) if isinstance(value, Mapping) else "")
            out.add(str(path[-1]))
    return frozenset(out)


def sheet_to_put(job: Job, span: Span, kind: str) -> str:
    """The sheet for a box of a kind in a span: one the job uses in such a place, else a starter's."""
    exposed = job.is_exposed(span)
    for box in job.boxes.values():
        if box.kind == kind and (box.sheet.outdoor or not exposed):
            return box.sheet.id
    return STARTERS[kind][exposed]


# ---------------------------------------------------------------- moves

Move = Callable[[Mapping[str, Any], str, str, str, Collection[str]], tuple[Edit, ...]]

MOVES: Mapping[str, Move] = MappingProxyType(
    {
        "put-in": lambda doc, thing, to, as_, used: put_in(doc, thing, to, as_=as_, used=used),
        "take-out": lambda doc, thing, to, as_, used: take_out(doc, thing, as_),
        "turn": lambda doc, thing, to, as_, used: turn_round(doc, thing, as_),
        "move": lambda doc, thing, to, as_, used: move_to(doc, thing, to, as_),
        "sheet": lambda doc, thing, to, as_, used: with_sheet(doc, thing, to, as_),
        "bond": lambda doc, thing, to, as_, used: bond_to(doc, thing, to, as_=as_),
        "earth": lambda doc, thing, to, as_, used: _earthed(doc, thing, to, as_, used),
    }
)
"""what one press does to a plan, by its word"""


def _earthed(
    doc: Mapping[str, Any], box: str, stop: str, as_: str, used: Collection[str]
) -> tuple[Edit, ...]:
    """A new earth at a stop, and a box bonded to it."""
    ident = new_id(doc, "EB", used)
    made = ({"what": "add", "path": ["earths", ident], "value": {"stop": stop}, "as": as_},)
    return (*made, *bond_to(applied(doc, made), box, ident, as_=as_))


def together(model: Model, edits: tuple[Edit, ...], then: str = "") -> Result:
    """Keep the edits of one press, with one word on all of them."""
    if len(edits) > 1:
        press = str(len(model.open_job.file.entries))
        edits = tuple({**edit, TOGETHER: press} for edit in edits)
    return keep(replace(model, sheet=None, told=None), *edits, then=then)


def _plan_move(model: Model, message: m.PlanMove) -> Result:
    doc = model.open_job.judgement.state.doc
    as_ = how_it_counts(model, message.thing)
    try:
        edits = MOVES[message.what](doc, message.thing, message.to, as_, used_ids(model))
    except BadPlan as bad:
        return replace(model, told=bad.say), ()
    return together(model, edits, _then(model, message, edits))


def _then(model: Model, message: m.PlanMove, edits: tuple[Edit, ...]) -> str:
    """A box that was put in is what one looks at next; of one that is gone nothing is left."""
    if message.what == "put-in":
        box = next(e["value"]["id"] for e in edits if e["what"] == "add" and e["path"] == ["boxes"])
        return route_of(Place("plan", model.open_job.id, box))
    return route_of(Place("plan", model.open_job.id)) if message.what == "take-out" else ""


# ---------------------------------------------------------------- figures on the pad

Made = Callable[[Model, str, float, str], tuple[Edit, ...]]


def _length_edits(model: Model, span: str, metres: float, as_: str) -> tuple[Edit, ...]:
    return with_value(model.open_job.judgement.state.doc, ("spans", span, "length_m"), metres, as_)


def _bond(model: Model, box: str) -> Bond:
    """The bond whose figures are typed: ``there_is`` says that the box has one."""
    bond = model.open_job.judgement.state.job.boxes[box].bond
    assert bond is not None
    return bond


def _lead_edits(model: Model, box: str, metres: float, as_: str) -> tuple[Edit, ...]:
    """The lead of a bond by its length; the rest of the bond stays as it is."""
    bond = _bond(model, box)
    return bond_to(model.open_job.judgement.state.doc, box, bond.to, metres, bond.mm2, as_)


def _mm2_edits(model: Model, box: str, mm2: float, as_: str) -> tuple[Edit, ...]:
    bond = _bond(model, box)
    return bond_to(model.open_job.judgement.state.doc, box, bond.to, bond.lead_m, mm2, as_)


def _stop_edits(model: Model, box: str, at_m: float, as_: str) -> tuple[Edit, ...]:
    """A stop at so many metres, and the box at it."""
    doc, used = model.open_job.judgement.state.doc, used_ids(model)
    ident = new_id(doc, "M", used)
    body = {
        "name": named(model).strip() or ident,
        "at_m": at_m,
        "indoor": side_of(model.open_pad) == INDOOR,
    }
    made = add_stop(doc, ident, body, as_, used)
    return (*made, *move_to(applied(doc, made), box, ident, as_))


PADS: Mapping[str, Made] = MappingProxyType(
    {LENGTH: _length_edits, LEAD: _lead_edits, MM2: _mm2_edits, STOP: _stop_edits}
)
"""what a figure typed on the pad does to a plan"""


def _pad_kept(model: Model, message: m.PlanPadKept) -> Result:
    """The figure as typed; one that stands in the plan already keeps nothing, nor a stop half said."""
    name, value = figure_of(model.pad), typed_figure(model)
    if value is None or (name == STOP and not side_of(model.open_pad)):
        return model, ()
    thing = model.open_pad.at
    if value == planned(model.open_job.judgement.state.job, name, thing):
        return model, ()
    try:
        edits = PADS[name](model, thing, value, how_it_counts(model, thing))
    except BadPlan as bad:
        return replace(model, told=bad.say), ()
    return together(model, edits, route_of(Place("plan", model.open_job.id, thing)))


def _plan_undone(model: Model, message: m.PlanUndone) -> Result:
    voids = ({"what": "void", "of": entry} for entry in last_edits(model))
    drafts = tuple(voids)
    return keep(replace(model, edit=None, told=None), *drafts) if drafts else (model, ())


def value_set(model: Model, path: tuple[str, ...], value: Any) -> Result:
    """One name of the plan as typed; one that cannot stand so is told, and stays as typed."""
    as_ = how_it_counts(model, path[1] if len(path) > 1 else "")
    try:
        edits = with_value(model.open_job.judgement.state.doc, path, value, as_)
    except BadPlan as bad:
        return replace(model, told=bad.say), ()
    return keep(replace(model, edit=None, told=None), *edits)


# ---------------------------------------------------------------- advice


def _advice_came(model: Model, message: m.AdviceCame) -> Result:
    """News of the plan one looks at; of any other they are dropped."""
    if model.advice is None or model.advice.of != message.found.of:
        return model, ()
    return replace(model, advice=message.found), ()


def _advice_taken(model: Model, message: m.AdviceTaken) -> Result:
    ways = [way for way in (offered(model), *other_ways(model)) if way is not None]
    change = next((way.change for way in ways if way.key == message.key), None)
    if change is None or message.of != advised_on(model):
        return model, ()
    edits = tuple({**edit, "as": _counts(model, edit)} for edit in change.edits)
    return together(model, edits)


def _counts(model: Model, edit: Edit) -> str:
    path = edit["path"]
    return how_it_counts(model, path[1]) if len(path) > 1 else str(edit.get("as", "correction"))


# ---------------------------------------------------------------- a new run


def _new_key(model: Model, message: m.NewKey) -> Result:
    new = replace(model.new, digits=typed(model.new.digits, message.key))
    return replace(model, new=new, told=None), ()


def _new_picked(model: Model, message: m.NewPicked) -> Result:
    if message.field == "asked" and message.value == "load" and not run_metres(model.new):
        return replace(model, told=say("plan-no-length")), ()
    return replace(model, new=replace(model.new, **{message.field: message.value}), told=None), ()


def run_metres(new: NewRun) -> float:
    """The distance as typed; 0 while there is none. [m]"""
    return kept_figure(new.digits, METRES) or 0.0


def _lay_pressed(model: Model, message: m.LayPressed) -> Result:
    new = model.new
    effect = m.LayRun(run_metres(new), new.watts, new.mbps, new.outdoor, message.title)
    return ask(model, effect)


def _copy_job_pressed(model: Model, message: m.CopyJobPressed) -> Result:
    return ask(model, m.CopyJob(message.job, message.title))


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = MappingProxyType(
    {
        m.PlanMove: _plan_move,
        m.PlanPadKept: _pad_kept,
        m.PlanUndone: _plan_undone,
        m.AdviceCame: _advice_came,
        m.AdviceTaken: _advice_taken,
        m.NewKey: _new_key,
        m.NewPicked: _new_picked,
        m.LayPressed: _lay_pressed,
        m.CopyJobPressed: _copy_job_pressed,
    }
)
