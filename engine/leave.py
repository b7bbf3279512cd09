"""May we leave? What still forbids it, each hold with who may waive it."""

from __future__ import annotations

from collections.abc import Iterator

from attrs import evolve, frozen

from engine.log import State, Waiver, stop_of
from engine.say import Say, say
from engine.step import Step
from engine.study import Prediction
from engine.verdict import OUTSIDE, UNCLEAR, Verdict

OTHERS_ANSWER = frozenset({"bond", "arrestor-facing", "arrestor-missing", "feed-twice"})
"""findings that the technician alone cannot waive (job format, section 4)"""


REMEMBERED_LIMITS = frozenset({"unbalance_ohms"})
"""kinds whose limit is known from memory only: such a reading holds nobody for another's name"""


@frozen
class Hold:
    """One thing that forbids leaving, or did until it was waived."""

    id: str
    say: Say
    can_waive: str
    at: str
    stop: str | None = None
    reading: str | None = None
    step: str | None = None
    waiver: Waiver | None = None


def holds(
    state: State, prediction: Prediction, steps: tuple[Step, ...], verdicts: tuple[Verdict, ...]
) -> tuple[Hold, ...]:
    """All holds, waived ones among them, in walking order."""
    found = [
        *_findings(prediction),
        *_edits(state),
        *_conflicts(state),
        *_readings(verdicts),
        *_steps(state, steps),
    ]
    out = [
        evolve(
            hold,
            stop=hold.stop or _stop(state, hold.at),
            waiver=_waiver(state, hold),
        )
        for hold in found
    ]
    metres = {stop.id: stop.at_m for stop in state.job.stops.values()}
    return tuple(sorted(out, key=lambda hold: metres.get(hold.stop or "", 0.0)))


def _waiver(state: State, hold: Hold) -> Waiver | None:
    """Who answers for a hold. Nobody can for what may not be waived, nor without a name."""
    waiver = state.waivers.get(hold.id)
    return waiver if waiver is not None and waiver.by and hold.can_waive != "no" else None


def open_holds(all_holds: tuple[Hold, ...]) -> tuple[Hold, ...]:
    """Those that nobody has answered for."""
    return tuple(hold for hold in all_holds if hold.waiver is None)


def _findings(prediction: Prediction) -> Iterator[Hold]:
    for finding in prediction.findings:
        if finding.severity == "stop":
            who = "responsible" if finding.rule in OTHERS_ANSWER else "self"
            yield Hold(
                f"finding.{finding.id}", say("hold-finding", finding=finding.say), who, finding.at
            )


def _edits(state: State) -> Iterator[Hold]:
    for edit in state.left_out:
        yield Hold(
            f"edit.{edit.entry}",
            say("hold-edit", path=edit.path, problem=edit.problem),
            "no",
            edit.path,
        )


def _conflicts(state: State) -> Iterator[Hold]:
    """Two plans for one thing: somebody has to say which is so."""
    for one in state.conflicts:
        named = one.path.split("/")
        yield Hold(
            f"conflict.{one.path}",
            say("hold-conflict", path=one.path, values=one.values, by=one.by, shown=one.shown),
            "no",
            one.path,
            _stop(state, state.job.named(named[1])) if len(named) > 1 else None,
        )


def _readings(verdicts: tuple[Verdict, ...]) -> Iterator[Hold]:
    """``outside`` and ``unclear`` readings; each hangs on its entry, so a repeat frees it."""
    rows = {OUTSIDE: ("hold-outside", "responsible"), UNCLEAR: ("hold-unclear", "self")}
    for verdict in verdicts:
        if verdict.current and verdict.verdict in rows:
            code, who = rows[verdict.verdict]
            reading = verdict.reading
            if reading.kind in REMEMBERED_LIMITS:
                who = "self"
            yield Hold(
                f"reading.{reading.id}",
                say(code, at=reading.at, kind=reading.kind, value=reading.figure),
                who,
                reading.at,
                reading=reading.id,
            )


def _steps(state: State, steps: tuple[Step, ...]) -> Iterator[Hold]:
    for step in steps:
        if step.holds is None or step.state == "done":
            continue
        missing = step.asks is not None
        statement = (
            say("hold-missing", at=step.asks.at, kind=step.asks.kind)
            if missing
            else say("hold-step", step=step.say)
        )
        # what was fitted for a test and is still out there nobody may wave through
        fitted = step.id.startswith("take-back.") and state.fitted >= 0
        who = "no" if fitted else step.holds
        at = step.asks.at if missing else (step.box or step.span or step.stop)
        yield Hold(f"step.{step.id}", statement, who, at, step.stop, step=step.id)


def _stop(state: State, at: str) -> str | None:
    own = stop_of(state.job, at)
    if own is None and at in state.job.spans:
        return state.job.boxes[state.job.spans[at].b.box].stop
    return own
