"""Two plans side by side: the same figures of both, what each consists of, what each needs more.

It is the plans that are compared. What was done, read or waived on site has no part in it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from math import inf, isfinite

from attrs import frozen

from engine.advise.ground import Ground
from engine.band import Corner
from engine.job import KINDS, AnySheet, Job
from engine.jobfile import JobFile
from engine.judge import Judgement, judge
from engine.study import Prediction
from engine.worked import worked

THIS, OTHER, EVEN = "this", "other", ""


@frozen
class Row:
    """One figure of both plans.

    None where a plan has no such figure, infinite where nothing limits it. ``better`` is
    ``this``, ``other``, or empty where both show the same or neither is the better for it.
    ``of`` names the kind of box, or the cable, that is counted.
    """

    code: str
    this: float | None
    other: float | None
    better: str = EVEN
    of: str = ""


@frozen
class Need:
    """What one plan takes more of than the other: pieces of a box, or metres of a cable [m]."""

    name: str
    amount: float
    is_cable: bool


@frozen
class Comparison:
    """Two plans side by side. ``ends`` are the endpoints with the fewest volts, as ids."""

    ends: tuple[str, str]
    rows: tuple[Row, ...]
    this_needs: tuple[Need, ...]
    other_needs: tuple[Need, ...]


@frozen
class _Figure:
    """A figure that both plans are asked for, and how two of them are held against each other.

    ``step`` : less than this apart they are even, in the figure's own unit.
    ``needed`` : a plan without it is the worse one; else the two cannot be compared.
    """

    code: str
    of: Callable[[_Plan], float | None]
    step: float
    more_is_better: bool = True
    needed: bool = True


@frozen
class _Plan:
    """A plan that was solved, as though nothing had been done yet."""

    ground: Ground
    minutes: float

    @classmethod
    def of(cls, judgement: Judgement) -> _Plan:
        state = judgement.state
        doc = {**state.doc, "log": []}
        untouched = judge(JobFile(doc, state.job, ()), known=judgement)
        ground = Ground(doc, state.job, judgement.prediction)
        return cls(ground, worked(untouched, 1).minutes)

    @property
    def prediction(self) -> Prediction:
        return self.ground.prediction

    @property
    def job(self) -> Job:
        return self.ground.job

    @property
    def end(self) -> str:
        """The endpoint with the fewest volts; empty where there is none."""
        end = self.ground.far_end
        return end.box if end is not None else ""

    def at_end(self, corner: Corner) -> float | None:
        """Its volts. Of a run that does not come up there are none. [V]"""
        end = self.ground.far_end
        seen = self.prediction.points.get(end) if end is not None else None
        return seen.volts.at(corner) if seen is not None and seen.state == "on" else None

    def unlimited(self, figure: float | None) -> float | None:
        """A figure that is None where nothing limits it, as long as the plan works at all."""
        return inf if figure is None and self.ground.works else figure

    @property
    def watts_to_spare(self) -> float | None:
        """What that endpoint may draw beyond what is expected. [W]"""
        spare = self.prediction.watts_to_spare
        return self.unlimited(spare[self.end]) if self.end in spare else None

    @property
    def slowest_mbps(self) -> float | None:
        """The speed of the slowest link, 0 where one does not come up. [Mb/s]"""
        return min(
            (link.expected_mbps for link in self.prediction.links if link.known), default=None
        )

    def margin(self, of: str) -> float | None:
        """The lowest margin of the links that have one of this sort."""
        offers = [link.offer for link in self.prediction.links if link.offer is not None]
        if of == "db":
            return min((one.margin.db for one in offers if one.margin is not None), default=None)
        return min((one.margin_m for one in offers if one.margin_m is not None), default=None)

    @property
    def stops(self) -> int:
        """Findings that stop the plan."""
        return sum(finding.severity == "stop" for finding in self.prediction.findings)


FIGURES = (
    _Figure("works", lambda plan: plan.ground.works, 1),
    _Figure("works-at-worst", lambda plan: plan.ground.works_at_worst, 1),
    _Figure("end-volts", lambda plan: plan.at_end("expected"), 0.1),
    _Figure("end-volts-worst", lambda plan: plan.at_end("low"), 0.1),
    _Figure("watts-to-spare", lambda plan: plan.watts_to_spare, 0.1),
    _Figure("load-share", lambda plan: plan.unlimited(plan.prediction.load_share), 0.1),
    _Figure("slowest-link", lambda plan: plan.slowest_mbps, 1),
    _Figure("link-margin-db", lambda plan: plan.margin("db"), 0.1, needed=False),
    _Figure("link-margin-m", lambda plan: plan.margin("m"), 1, needed=False),
    _Figure("stops", lambda plan: plan.stops, 1, more_is_better=False),
    _Figure("minutes", lambda plan: plan.minutes, 1, more_is_better=False),
)
"""in the order in which they are told; volts in V, watts in W, margins in dB and m; the steps are
the last digit that is shown of each"""


def compare(this: Judgement, other: Judgement) -> Comparison:
    """Two plans, figure by figure; a figure that neither has is left out."""
    plans = _Plan.of(this), _Plan.of(other)
    rows = [_row(figure, *plans) for figure in FIGURES]
    boxes = [Counter(box.kind for box in plan.job.boxes.values()) for plan in plans]
    cables = [_cables(plan.job) for plan in plans]
    kinds = [kind for kind in KINDS if any(kind in counted for counted in boxes)]
    names = dict.fromkeys([*cables[0], *cables[1]])
    counted = [Row("boxes", boxes[0][kind], boxes[1][kind], of=kind) for kind in kinds]
    counted += [
        Row("cable", cables[0].get(name, 0), cables[1].get(name, 0), of=name) for name in names
    ]
    return Comparison(
        (plans[0].end, plans[1].end),
        (*(row for row in rows if (row.this, row.other) != (None, None)), *counted),
        _needs(plans[0].job, plans[1].job),
        _needs(plans[1].job, plans[0].job),
    )


def _row(figure: _Figure, this: _Plan, other: _Plan) -> Row:
    mine, its = figure.of(this), figure.of(other)
    return Row(figure.code, mine, its, _better(figure, mine, its))


def _better(figure: _Figure, this: float | None, other: float | None) -> str:
    if this is None or other is None:
        if this == other or not figure.needed:
            return EVEN
        return OTHER if this is None else THIS
    if this == other or _last_digit(this, figure.step) == _last_digit(other, figure.step):
        return EVEN
    return THIS if (this > other) == figure.more_is_better else OTHER


def _last_digit(value: float, step: float) -> float:
    return round(value / step) if isfinite(value) else value


def _name(sheet: AnySheet) -> str:
    """What is bought: by its title, or by the sheet's id where it has none."""
    return sheet.title or sheet.id


def _cables(job: Job) -> dict[str, float]:
    """Metres of each cable. [m]"""
    out: dict[str, float] = {}
    for span in job.spans.values():
        name = _name(span.cable)
        out[name] = out.get(name, 0) + span.length_m.expected
    return out


def _needs(job: Job, less: Job) -> tuple[Need, ...]:
    """What one plan takes more of: first the boxes, then the cable, from half a metre on."""
    boxes, fewer = (Counter(_name(box.sheet) for box in one.boxes.values()) for one in (job, less))
    cables, shorter = _cables(job), _cables(less)
    needs = [Need(name, count - fewer[name], False) for name, count in boxes.items()]
    needs += [Need(name, metres - shorter.get(name, 0), True) for name, metres in cables.items()]
    return tuple(need for need in needs if need.amount >= 0.5)
