"""All readings about one point of the unknowns: how each moves, and what it should show there."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot, inf, log

from attrs import frozen

from engine.bands import PAIR_LAY
from engine.diagnose.scene import Seen
from engine.diagnose.trial import SHOWN, Loose, Trial
from engine.figures import Asked, Figure, Values
from engine.knowing import Row, sumprod
from engine.sliced import Steps

A_SLICE = 4
"""readings between two yields: of a long run one takes milliseconds"""
STEADY_MOST = 60.0
"""by so much at most, as a logarithm, steady readings may make up for loose ones"""


@frozen
class Line:
    """Readings about one point of the unknowns: rows and surpluses in their own deviations."""

    rows: list[Row]
    off: list[float]
    loose: float
    noise: list[float]
    ids: list[str]

    def misfit(self, mean: Row) -> float:
        """Sum of squares at the point where the line was drawn."""
        return sumprod(self.off, self.off) + sumprod(mean, mean)


def lining(
    trial: Trial,
    seen: tuple[Seen, ...],
    mean: Row,
    wider: Mapping[str, float],
    least: float = -inf,
) -> Steps[Line | None]:
    """All readings about these unknowns; None where one of them cannot be worked out."""
    columns = trial.columns
    rows: list[Row] = []
    offs: list[float] = []
    noises: list[float] = []
    ids: list[str] = []
    loose, steady = 0.0, []
    for number, one in enumerate(seen, 1):
        if number % A_SLICE == 0:
            yield
        asked = trial.asked(one)
        caught = trial.loose(asked)
        if caught is None:
            steady.append((one, asked))
            continue
        loose += flag(asked, caught.comes_and_goes) + caught.log_density(trial.value(one))
        if loose < least - STEADY_MOST:
            # what is steady is not worth working out
            return Line([], [], loose, [], [])
    values: dict[tuple[int, str], Values] = {}
    for number, (one, asked) in enumerate(steady, 1):
        if number % A_SLICE == 0:
            yield
        group = (asked.visit, asked.moment)
        if group not in values:
            values[group] = columns.values(mean, asked)
        shown = trial.steady(values[group], asked)
        if isinstance(shown, Loose):
            loose += flag(asked, shown.comes_and_goes) + shown.log_density(trial.value(one))
            continue
        loose += flag(asked, False)
        if not isinstance(shown, Figure):
            if shown.code == "no-band-collapse":
                return None
            continue
        row, expected, noise = foretell(trial, asked, shown, mean)
        noise *= wider.get(one.id, 1.0)
        rows.append([by / noise for by in row])
        offs.append((trial.value(one) - expected) / noise)
        noises.append(noise)
        ids.append(one.id)
    return Line(rows, offs, loose, noises, ids)


def foretell(trial: Trial, asked: Asked, shown: Figure, mean: Row) -> tuple[Row, float, float]:
    """How a figure moves with the columns, what the meter should show, and its own scatter."""
    columns = trial.columns
    row, _ = columns.row(shown, asked)
    key, gain, noise = trial.scatter(asked)
    place, by = columns.place.get(key), shown.value * gain.sd
    expected = shown.value
    if place is not None:
        row[place] += by
        expected += by * mean[place]
    if asked.one_pair:
        noise = hypot(noise, PAIR_LAY * shown.value)
    if trial.bend.lead is not None and asked.kind == "loop_ohms":
        noise = hypot(noise, trial.bend.lead.sd)
    return row, expected, noise


def flag(asked: Asked, moves: bool) -> float:
    """How readily a reading is noted as unsteady, or as steady."""
    chance = SHOWN["unsteady seen" if moves else "unsteady sound"].value
    return log(chance if asked.unsteady else 1 - chance)
