"""The state of each step by the log: a mark, a reading, a photo or a copy does it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set

from attrs import evolve, field, frozen

from engine.copied import not_copied
from engine.entries import EDITS
from engine.fitted import fitted, last_fitted
from engine.job import Job, Point
from engine.log import Reading, State, StepMark
from engine.places import touched
from engine.signed import has_grown, is_signed
from engine.stays import Return, came_back
from engine.step import AGAIN, PHOTO, Asks, Step

BY_ITSELF = frozenset({"loop_ohms", "metres"})
"""kinds that are read of a span by itself: a change elsewhere in its run leaves them as they are"""


def with_states(
    state: State, steps: Iterable[Step], read: Set[tuple[str, str]]
) -> tuple[Step, ...]:
    """The steps, each with its state.

    ``read``: place and kind of every current reading of the plan as it is.
    """
    named = {step.id: step for step in steps}
    there = _There.of(state, read)
    return tuple(_with_state(state, step, named, there) for step in named.values())


@frozen
class _There:
    """What the log has, beside marks: readings, photos, a copy, a signature."""

    read: Set[tuple[str, str]]
    photographed: Mapping[str, int]
    """place of the last photo of each thing"""
    altered: Mapping[str, int]
    """place of the last change at each thing"""
    laid: Mapping[str, int]
    """place of the last plan edit that was a change of the thing itself"""
    by_itself: Mapping[tuple[str, str], int]
    """place of the last reading of a span by itself, current or not"""
    since: Set[tuple[str, str]]
    """place and kind of what was read since somebody came back, of the plan as it is"""
    copied: bool
    signed: bool
    """in this visit, and nothing that matters came since"""
    out_there: bool = field(kw_only=True)
    """something that was fitted for a test is still in"""
    came_back: int = field(kw_only=True)
    """place of the last visit that began after the site was left; -1 when nobody came back"""

    @classmethod
    def of(cls, state: State, read: Set[tuple[str, str]]) -> _There:
        back = came_back(state)
        named, altered, laid = state.job.named, {}, {}
        for place, entry in state.of_kind("change"):
            altered.update(dict.fromkeys(_at(state.job, entry.body["where"]), place))
        for place, entry in state.of_kind(*EDITS):
            if entry.body.get("as_") == "change":
                things = touched(state.job, tuple(entry.body["path"]))
                laid.update(dict.fromkeys(things, place))
        return cls(
            read,
            {named(entry.body["of"]): place for place, entry in state.of_kind("photo")},
            altered,
            laid,
            {
                (one.at, one.kind): one.place
                for kind in BY_ITSELF
                for one in state.work.readings.of_kind.get(kind, ())
                if one.standing.as_planned and one.id not in state.voided
            },
            {(one.at, one.kind) for one in _of_this_stay(state, back)},
            any(state.of_kind("export")) and not not_copied(state),
            is_signed(state, after=back.place if back else -1),
            out_there=bool(fitted(state)),
            came_back=back.place if back else -1,
        )

    def has(self, job: Job, asks: Asks) -> bool:
        """Whether what a step asks for is there and still holds."""
        if asks.kind == PHOTO:
            box = asks.at.removeprefix("bond.")
            return self.photographed.get(asks.at, -1) > self._changed(box)
        if (asks.at, asks.kind) in self.read:
            return True
        since = self.by_itself.get((asks.at, asks.kind), -1)
        if since < 0:
            return False
        if asks.kind == "metres":  # a new plug does not make it another length
            return since > self.laid.get(asks.at, -1)
        span = job.spans[asks.at]
        beside = (span.id, *(name for end in (span.a, span.b) for name in (str(end), end.box)))
        return since > max(map(self._changed, beside))

    def _changed(self, thing: str) -> int:
        """Place of the last change at a thing; -1 when there was none."""
        return max(self.altered.get(thing, -1), self.laid.get(thing, -1))


def _of_this_stay(state: State, back: Return | None) -> Iterator[Reading]:
    """Readings of the plan as it is since somebody came back; what is altered after one was found
    so all the same."""
    if back is None:
        return
    for reading in state.work.readings.after(back.place):
        if reading.id not in state.voided and reading.standing.as_planned:
            yield reading


def _at(job: Job, where: str) -> set[str]:
    """The names of a place: a port is its box's too."""
    named = job.named(where)
    return {named, Point.parse(named).box or named}


def _with_state(state: State, step: Step, steps: Mapping[str, Step], there: _There) -> Step:
    mark = state.steps.get(step.id)
    if step.kind == AGAIN and step.asks is not None:
        mark = mark if mark is not None and mark.place > there.came_back else None
        return evolve(step, state=_given((step.asks.at, step.asks.kind) in there.since, mark))
    if step.asks is not None:
        return evolve(step, state=_given(there.has(state.job, step.asks), mark))
    if step.kind == "copy":
        return evolve(step, state=_given(there.copied, mark))
    if step.kind == "sign":
        return evolve(step, state=_signed(state, there, mark))
    if mark is None or mark.state == "undone":
        return evolve(step, state="open")
    if step.each_visit and mark.place < there.came_back:
        return evolve(step, state="open")
    if step.kind == "take-back" and (there.out_there or mark.place < last_fitted(state)):
        return evolve(step, state="open")
    if step.kind == "energise" and _is_off_since(state, step, mark):
        return evolve(step, state="open", holds="responsible")
    if mark.state == "done":
        reopened = _reopened(state, step, steps, mark.place)
        if reopened is not None:
            return evolve(step, state="open", reopened_by=reopened)
    return evolve(step, state=mark.state)


def _is_off_since(state: State, step: Step, mark: StepMark) -> bool:
    """Whether somebody said later that this feed is off: for a test, so it holds until it is on."""
    off = state.steps.get(f"off.{step.box}")
    return off is not None and off.state == "done" and off.place > mark.place


def _given(there: bool, mark: StepMark | None) -> str:
    """Only the thing itself does such a step; it can be put aside all the same."""
    if there:
        return "done"
    return "not-here" if mark is not None and mark.state == "not-here" else "open"


def _signed(state: State, there: _There, mark: StepMark | None) -> str:
    """A signature does it, or the word that one stands on paper; either while it covers the log."""
    if there.signed:
        return "done"
    if mark is None or mark.place < there.came_back:
        return "open"
    if mark.state == "done" and has_grown(state, mark.place):
        return "open"
    return mark.state if mark.state != "undone" else "open"


def _reopened(state: State, step: Step, steps: Mapping[str, Step], since: int) -> str | None:
    """The step that was undone after this one was done, and on which it rests."""
    if not any(place > since for place in state.undone.values()):
        return None
    waiting, seen = list(step.after), set()
    while waiting:
        name = waiting.pop()
        if name in seen or name not in steps:
            continue
        seen.add(name)
        if state.undone.get(name, -1) > since:
            return name
        waiting.extend(steps[name].after)
    return None


def in_turn(state: State, steps: Iterable[Step]) -> tuple[str, ...]:
    """The steps that are done or put aside, in the order in which they came to be so."""
    given: dict[tuple[str, str], int] = {}
    for reading in state.readings:
        if reading.id not in state.voided and reading.standing.as_planned:
            given.setdefault((reading.at, reading.kind), reading.place)
    again: dict[tuple[str, str], int] = {}
    for reading in _of_this_stay(state, came_back(state)):
        again.setdefault((reading.at, reading.kind), reading.place)
    last: dict[str, int] = {}
    for place, entry in enumerate(state.entries):
        last[entry.what] = place
        if entry.what == "photo":
            given.setdefault((state.job.named(entry.body["of"]), PHOTO), place)

    def came(step: Step) -> int:
        mark = state.steps.get(step.id)
        if step.asks is not None and step.state == "done":
            if step.kind == AGAIN:
                return again[step.asks.at, step.asks.kind]
            return given.get((step.asks.at, step.asks.kind), -1)
        return mark.place if mark is not None else last.get(BY_ENTRY.get(step.kind, ""), -1)

    return tuple(step.id for step in sorted(_behind(steps), key=came))


def _behind(steps: Iterable[Step]) -> Iterable[Step]:
    return (step for step in steps if step.state != "open")


BY_ENTRY = {"copy": "export", "sign": "sign"}
"""kinds of step that an entry of their own does"""
