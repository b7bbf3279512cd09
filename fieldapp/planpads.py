"""Figures of the plan that are typed on the pad: which there are, and what of them can stand. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from engine.job import Job
from fieldapp.halfdone import Pad
from fieldapp.model import Model
from fieldapp.routes import Place
from fieldapp.words.units import LENGTH as METRES
from fieldapp.words.units import WIRE, kept_figure

KIND = "plan-"
"""how a pad for the plan is called, before its figure"""
LENGTH, LEAD, MM2, STOP = "length", "lead", "mm2", "stop"
INDOOR, OUTDOOR = "indoor", "outdoor"
STOP_NAME = ("stops", "new", "name")
"""where the name of a new stop is typed"""


@dataclass(frozen=True)
class Figure:
    """What is typed: its kind, which has the unit, and the limits of the job format."""

    kind: str
    most: float
    least: float = 0.0
    nothing: bool = True
    """whether the least itself can stand"""


FIGURES: Mapping[str, Figure] = MappingProxyType(
    {
        LENGTH: Figure(METRES, 100_000, nothing=False),
        LEAD: Figure(METRES, 100),
        MM2: Figure(WIRE, 500),
        STOP: Figure(METRES, 100_000),
    }
)


def figure_of(pad: Pad | None) -> str:
    """Which figure of the plan a pad is for; nothing for any other pad."""
    name = pad.kind.removeprefix(KIND) if pad is not None and pad.kind.startswith(KIND) else ""
    return name if name in FIGURES else ""


def plan_pad(model: Model, place: Place) -> Pad:
    """The pad of a figure: digits half typed there are still on it."""
    pad, kind = model.pad, KIND + place.kind
    if pad is not None and (pad.at, pad.kind) == (place.at, kind):
        return pad
    return Pad(at=place.at, kind=kind)


def there_is(job: Job, name: str, thing: str) -> bool:
    """Whether the plan has what the figure is of."""
    if name == LENGTH:
        return thing in job.spans
    box = job.boxes.get(thing)
    return box is not None and (name == STOP or box.bond is not None)


def planned(job: Job, name: str, thing: str) -> float | None:
    """The figure as it stands in the plan; None where it says none."""
    if name == LENGTH:
        return job.spans[thing].length_m.expected
    bond = job.boxes[thing].bond
    return {LEAD: bond.lead_m, MM2: bond.mm2}.get(name) if bond is not None else None


def typed_figure(model: Model) -> float | None:
    """What is typed, in the format's own unit and where it can stand; else None."""
    name, pad = figure_of(model.pad), model.pad
    job = model.open_job.judgement.state.job
    if pad is None or not name or not there_is(job, name, pad.at):
        return None
    figure = FIGURES[name]
    value = kept_figure(pad.digits, figure.kind, planned(job, name, pad.at))
    if (
        value is None
        or value > figure.most
        or value < figure.least
        or (value == 0 and not figure.nothing)
    ):
        return None
    return value


def side_of(pad: Pad) -> str:
    """Indoors or outdoors, as it was chosen for a new stop; nothing before."""
    return pad.standing if pad.standing in (INDOOR, OUTDOOR) else ""


def named(model: Model) -> str:
    """The name of a new stop as typed."""
    edit = model.edit
    return edit.text if edit is not None and edit.path == STOP_NAME else ""


def without_pad(model: Model) -> Model:
    """On a page of its own no figure of the plan is half typed."""
    return replace(model, pad=None) if figure_of(model.pad) else model
