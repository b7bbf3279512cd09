"""May we leave? What still forbids it, each hold with who may waive it.

One function a source of holds (``SOURCES``).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from attrs import evolve, frozen

from engine.copied import matters, not_copied
from engine.fitted import fitted, last_fitted
from engine.found import unmended
from engine.log import State, Waiver, stop_of
from engine.say import Say, say
from engine.since import DRIFTED, Drift
from engine.sliced import Progress
from engine.step import PHOTO, Step
from engine.study import Prediction
from engine.verdict import OUTSIDE, UNCLEAR, confirmed
from engine.weigh import Judged

OTHERS_ANSWER = frozenset({"bond", "arrestor-facing", "arrestor-missing", "feed-twice"})
"""findings that the technician alone cannot waive (job format, section 4)"""
REMEMBERED_LIMITS = frozenset({"unbalance_ohms"})
"""kinds whose limit is known from memory only: such a reading holds nobody for another's name"""
COPIED = "copied"
"""id of the hold that the log is on this phone only"""
READING, FOUND, DRIFT = "reading.", "found.", "drift."
"""what ids of holds begin with that are about a reading, a fault that was found, a difference"""
FOUND_ALL, A_SLICE = 0.5, 100
"""share of the work once all holds are found; so many are looked up between two yields"""


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


@frozen
class Seen:
    """What a job comes to, for those who look for holds in it."""

    state: State
    prediction: Prediction
    steps: tuple[Step, ...]
    judged: Judged
    drifts: tuple[Drift, ...] = ()


def holding(seen: Seen) -> Progress[tuple[Hold, ...]]:
    """All holds, waived ones among them, in walking order; yields the share done."""
    found: list[Hold] = []
    for number, source in enumerate(SOURCES, 1):
        found += source(seen)
        yield FOUND_ALL * number / len(SOURCES)
    stops = {at: _stop(seen.state, at) for at in {hold.at for hold in found}}
    out = []
    for number, hold in enumerate(found, 1):
        stop = hold.stop or stops[hold.at]
        out.append(evolve(hold, stop=stop, waiver=_waiver(seen.state, hold)))
        if number % A_SLICE == 0:
            yield FOUND_ALL + (1 - FOUND_ALL) * number / len(found)
    metres = {stop.id: stop.at_m for stop in seen.state.job.stops.values()}
    return tuple(sorted(out, key=lambda hold: metres.get(hold.stop or "", 0.0)))


def _waiver(state: State, hold: Hold) -> Waiver | None:
    """Who answers for a hold. Nobody can for what may not be waived, nor without a name."""
    waiver = state.waivers.get(hold.id)
    if waiver is None or not waiver.by or hold.can_waive == "no":
        return None
    if hold.id == COPIED and any(map(matters, state.entries[waiver.place + 1 :])):
        return None  # it spoke of what was in the log then
    return waiver


def open_holds(all_holds: tuple[Hold, ...]) -> tuple[Hold, ...]:
    """Those that nobody has answered for."""
    return tuple(hold for hold in all_holds if hold.waiver is None)


def _findings(seen: Seen) -> Iterator[Hold]:
    for finding in seen.prediction.findings:
        if finding.severity == "stop":
            who = "responsible" if finding.rule in OTHERS_ANSWER else "self"
            yield Hold(
                f"finding.{finding.id}", say("hold-finding", finding=finding.say), who, finding.at
            )


def _edits(seen: Seen) -> Iterator[Hold]:
    for edit in seen.state.left_out:
        yield Hold(
            f"edit.{edit.entry}",
            say("hold-edit", path=edit.path, problem=edit.problem),
            "no",
            edit.path,
        )


def _conflicts(seen: Seen) -> Iterator[Hold]:
    """Two plans for one thing: somebody has to say which is so."""
    state = seen.state
    for one in state.conflicts:
        named = one.path.split("/")
        yield Hold(
            f"conflict.{one.path}",
            say("hold-conflict", path=one.path, values=one.values, by=one.by, shown=one.shown),
            "no",
            one.path,
            _stop(state, state.job.named(named[1])) if len(named) > 1 else None,
        )


def _readings(seen: Seen) -> Iterator[Hold]:
    """``outside`` and ``unclear`` readings; each hangs on its entry. One that was unclear is freed
    by a repeat that is inside."""
    rows = {OUTSIDE: ("hold-outside", "responsible"), UNCLEAR: ("hold-unclear", "self")}
    doubtful = seen.judged.doubtful
    settled = confirmed(seen.judged.verdicts) if doubtful else ()
    for verdict in doubtful:
        if verdict.id not in settled:
            code, who = rows[verdict.verdict]
            reading = verdict.reading
            if reading.kind in REMEMBERED_LIMITS:
                who = "self"
            yield Hold(
                f"{READING}{reading.id}",
                say(code, at=reading.at, kind=reading.kind, value=reading.figure),
                who,
                reading.at,
                reading=reading.id,
            )


def _drifted(seen: Seen) -> Iterator[Hold]:
    """What is no longer as it was when the site was left, unless something was altered there since
    or the reading holds by itself. Nobody is made to mend it, but to say so."""
    held = {hold.reading for hold in _readings(seen)} if seen.drifts else ()
    for drift in seen.drifts:
        if drift.verdict == DRIFTED and not drift.altered and drift.now_id not in held:
            yield Hold(
                f"{DRIFT}{drift.now_id}",
                say(
                    "hold-drifted",
                    at=drift.at,
                    kind=drift.kind,
                    before=drift.before,
                    now=drift.now,
                ),
                "self",
                drift.at,
                reading=drift.now_id,
            )


def _steps(seen: Seen) -> Iterator[Hold]:
    """What the plan calls for and nobody has done, read or photographed."""
    for step in seen.steps:
        if step.holds is None or step.state == "done":
            continue
        ident, who, statement = f"step.{step.id}", step.holds, say("hold-step", step=step.say)
        at = step.box or step.span or step.stop
        if step.asks is not None:
            at, kind = step.asks.at, step.asks.kind
            statement = say("hold-missing", at=at, kind=kind)
            if kind == PHOTO:
                ident, statement = f"photo.{at}", say("hold-photo", at=at)
        elif step.kind == "take-back" and last_fitted(seen.state) >= 0:
            who = "no"  # what was put in for a test and is still out there nobody may wave through
        yield Hold(ident, statement, who, at, step.stop, step=step.id)


def _fitted(seen: Seen) -> Iterator[Hold]:
    """What was put in for a test, by name, until it is said to be out."""
    for one in fitted(seen.state):
        statement = say("hold-fitted", what=one.what, at=one.at, by=one.by)
        yield Hold(f"fitted.{one.entry}", statement, "no", one.at)


def _found(seen: Seen) -> Iterator[Hold]:
    """A fault that was found where nothing was altered since. What the readings point to holds
    by the readings themselves."""
    for one in unmended(seen.state):
        statement = say("hold-found", at=one.where, cause=one.cause)
        yield Hold(f"{FOUND}{one.entry}", statement, "responsible", one.where)


def _copied(seen: Seen) -> Iterator[Hold]:
    """The log is on this phone only."""
    count = not_copied(seen.state)
    for step in seen.steps if count else ():
        if step.kind == "copy":
            statement = say("hold-copied", count=count)
            yield Hold(COPIED, statement, "self", step.stop, step.stop, step=step.id)


SOURCES: tuple[Callable[[Seen], Iterator[Hold]], ...] = (
    _findings,
    _edits,
    _conflicts,
    _readings,
    _drifted,
    _steps,
    _fitted,
    _found,
    _copied,
)
"""where holds come from"""


def _stop(state: State, at: str) -> str | None:
    own = stop_of(state.job, at)
    if own is None and at in state.job.spans:
        return state.job.boxes[state.job.spans[at].b.box].stop
    return own
