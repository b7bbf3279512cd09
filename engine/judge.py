"""A job judged: from a file and its log to prediction, verdicts, steps and holds, in one value."""

from __future__ import annotations

from collections.abc import Iterable

from attrs import evolve, frozen

from engine.bands import Today
from engine.entries import Entry
from engine.jobfile import JobFile
from engine.leave import Hold, Seen, holding, open_holds
from engine.log import State, advancing, folding
from engine.predict import predicting
from engine.revisit import NOTHING, Revisit, revisit
from engine.since import Drift, drifts
from engine.sliced import Progress, finish, part
from engine.step import Step
from engine.steps import derive
from engine.study import Prediction
from engine.verdict import Verdict
from engine.weigh import Judged, weighing

FOLDED, PREDICTED, WEIGHED, LOOKED, STEPPED = 0.2, 0.3, 0.85, 0.88, 0.9
"""shares of the work on a judgement"""


@frozen
class Judgement:
    """Everything that follows from a job's plan and log."""

    state: State
    prediction: Prediction
    judged: Judged
    steps: tuple[Step, ...]
    holds: tuple[Hold, ...]
    drifts: tuple[Drift, ...] = ()
    """what was read again since somebody came back, beside what it was"""
    back: Revisit = NOTHING
    """what a return begins with"""

    @property
    def verdicts(self) -> tuple[Verdict, ...]:
        """Verdicts on all readings, in the order of judging."""
        return self.judged.verdicts

    @property
    def today(self) -> Today:
        """What is known of the site after all readings that were accepted."""
        return self.judged.today

    @property
    def blockers(self) -> tuple[Hold, ...]:
        """Holds that nobody has answered for."""
        return open_holds(self.holds)

    @property
    def ready_to_leave(self) -> bool:
        """Nothing holds anyone here."""
        return not self.blockers


def judge(file: JobFile, more: Iterable[Entry] = (), known: Judgement | None = None) -> Judgement:
    """The judgement of a job, in one go."""
    return finish(judging(file, more, known))


def judging(
    file: JobFile, more: Iterable[Entry] = (), known: Judgement | None = None
) -> Progress[Judgement]:
    """The judgement of a job, yielding the share done.

    ``known`` is an earlier judgement of it; what still stands is taken from there.
    """
    state = yield from part(_folding(file, file.entries + tuple(more), known), 0.0, FOLDED)
    yield FOLDED
    if known is not None and known.prediction.job == state.job:
        prediction = known.prediction
    else:
        prediction = yield from part(predicting(state.job), FOLDED, PREDICTED)
    weighed = weighing(state, prediction, known.judged if known else None)
    judged = yield from part(weighed, PREDICTED, WEIGHED)
    yield WEIGHED
    drifted = drifts(state, judged)
    back = revisit(state, prediction, known.back if known else NOTHING)
    yield LOOKED
    steps = derive(state, prediction, judged.read, back.asks)
    yield STEPPED
    seen = Seen(state, prediction, steps, judged, drifted)
    held = yield from part(holding(seen), STEPPED, 1.0)
    return Judgement(state, prediction, judged, steps, held, drifted, back)


def _folding(file: JobFile, entries: tuple[Entry, ...], known: Judgement | None) -> Progress[State]:
    """The state after these entries, gone on from the known one where they begin alike."""
    if known is None or known.state.work.origin.job != file.plan:
        return (yield from folding(evolve(file, entries=entries)))
    came = known.state.work.came
    if not came.begins(entries):
        return (yield from folding(evolve(file, entries=entries)))
    return (yield from advancing(known.state, entries[len(came) :]))
