"""Two jobs of this phone beside each other: which there are to choose, and how their runs go. Pure."""

from __future__ import annotations

from dataclasses import replace

from engine.job import Point
from engine.judge import Judgement
from engine.study import Prediction
from fieldapp import words
from fieldapp.drawing.beside import Course, Spot
from fieldapp.model import JobRow, Model
from fieldapp.runline import floor_of, paths, port_towards, span_between


def others(model: Model) -> tuple[JobRow, ...]:
    """The jobs that the one in hand can be compared with: those that can be read."""
    return tuple(
        row for row in model.rows if row.judgement is not None and not model.has_open(row.id)
    )


def compared_with(model: Model) -> JobRow | None:
    """The job that the route names, if it can be read."""
    at = model.place.at.upper()
    return next((row for row in others(model) if row.id.upper() == at), None)


def course_of(judgement: Judgement, name: str, end: str = "") -> Course:
    """The way of a run from its feed to this endpoint, with ``name`` written there."""
    prediction = judgement.prediction
    floor = floor_of(prediction)
    return Course(
        tuple(_spots(prediction, _way(prediction, end))),
        name,
        floor[0] if floor else None,
        words.floor(*floor) if floor else "",
    )


def end_volts(course: Course) -> float | None:
    """The volts at its far end; None where it does not come so far. [V]"""
    held = all(spot.expected is not None for spot in course.spots)
    return course.spots[-1].expected if course.spots and held else None


def _way(prediction: Prediction, end: str) -> tuple[str, ...]:
    """The boxes from the feed to this endpoint; the longest way where none goes there."""
    ways = paths(prediction)
    for fork, branch in ways.branches:
        if branch[-1:] == (end,):
            return (*ways.main[: ways.main.index(fork) + 1], *branch)
    return ways.main


def _spots(prediction: Prediction, way: tuple[str, ...]) -> list[Spot]:
    """Each box at the port that power comes in by, and at the one it leaves by."""
    job = prediction.job
    out: list[Spot] = []
    at_m = 0.0
    for before, name, after in zip((None, *way), way, (*way[1:], None), strict=False):
        span = span_between(job, before, name) if before else None
        at_m += span.length_m.expected if span else 0.0
        ports = [port_towards(job, name, other) for other in (before, after)]
        first, *rest = [_spot(prediction, name, port, at_m) for port in ports if port] or [
            Spot(at_m)
        ]
        out += [replace(first, box=name), *rest]
    return _from_the_source(prediction, out)


def _spot(prediction: Prediction, name: str, port: str, at_m: float) -> Spot:
    seen = prediction.points[Point(name, port)]
    expected = seen.volts.expected if seen.state == "on" else None
    return Spot(at_m, expected, seen.volts.low, seen.volts.high)


def _from_the_source(prediction: Prediction, spots: list[Spot]) -> list[Spot]:
    """A port that lets go still begins with the volts of its sheet: the line falls from there."""
    if not spots or spots[0].expected is not None:
        return spots
    volts = prediction.job.boxes[spots[0].box].sheet.volts
    return [replace(spots[0], expected=volts.expected), *spots[1:]] if volts else spots
