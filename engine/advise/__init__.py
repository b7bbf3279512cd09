"""The smallest changes that mend a plan. Every one is solved anew; nothing is a fixed tip.

Singles first, then pairs of those that help; a pair is offered only where it does what neither
of its two does alone. The order is: works at worst, works, least effort, most load.
"""

from __future__ import annotations

from collections.abc import Generator, Mapping
from itertools import combinations
from typing import Any

from attrs import frozen

from engine.advise.ground import LACKS_VOLTS, Candidate, Ground
from engine.advise.joined import both
from engine.advise.kinds import candidates
from engine.advise.limits import Limit, still_works
from engine.planning import Edit
from engine.say import Say, say
from engine.sliced import Steps, at, finish
from engine.study import Range

__all__ = ["Advice", "Change", "Limit", "Sofar", "advise", "advising", "still_works"]

PAIRED = 14
"""of the single changes that help, so many are tried in pairs"""
MOST_CHANGES = 24
"""more ways out nobody reads"""
STANDS = frozenset({"separate-buildings"})
"""rules that tell of the place itself: no change of the plan mends them"""


@frozen
class Change:
    """One way out: its edits, and what the plan does with them."""

    say: Say
    edits: tuple[Edit, ...]
    effort: float
    works: bool
    works_at_worst: bool
    end_volts: Range | None
    """of the endpoint that has the fewest now"""
    volts_gained: float | None
    """None where that endpoint had none before"""
    load_share: float | None
    mends: tuple[str, ...]
    """rules that are broken less often"""
    breaks: tuple[str, ...] = ()
    """rules that are broken more often, and only warn"""
    parts: tuple[Say, ...] = ()
    """of two changes, each"""


@frozen
class Advice:
    """All that was found, best first."""

    works_now: bool
    works_at_worst_now: bool
    changes: tuple[Change, ...]
    limited_by: Say | None
    """what holds the plan back where no change makes it work"""


@frozen
class Sofar:
    """How much of the search is done, and the best it has found."""

    share: float
    best: Change | None


def advise(doc: Mapping[str, Any]) -> Advice:
    """The changes that mend a plan, in one go.

    Raises
    ------
    BadFile : the plan cannot be read.
    """
    return finish(advising(doc))


def advising(doc: Mapping[str, Any]) -> Generator[Sofar, None, Advice]:
    """The changes that mend a plan, one tried plan a slice."""
    ground = Ground.of({key: value for key, value in doc.items() if key != "log"})
    perfect = _told(ground) == 0 and ground.works_at_worst
    singles: list[Candidate] = []
    for one in () if perfect else candidates(ground):
        singles.append(one)
        yield Sofar(0.1 * len(singles) / (len(singles) + 10), None)
    tried: list[tuple[Candidate, _Tried]] = []
    found: list[_Tried] = []
    for count, one in enumerate(singles, start=1):
        sofar = Sofar(0.1 + 0.5 * (count - 1) / len(singles), _first(found))
        after = yield from at(_leaning(ground, one), sofar)
        if after is not None:
            tried.append((after.candidate, after))
            if after.change.mends or after.level > _level(ground):
                found.append(after)
        yield Sofar(0.1 + 0.5 * count / len(singles), _first(found))
    if ground.broken and not any(one.is_whole for one in found):
        best = sorted(tried, key=_promise)[:PAIRED]
        pairs = list(combinations(best, 2))
        for count, ((one, alone), (other, beside)) in enumerate(pairs, start=1):
            joined = both(ground, one, other)
            sofar = Sofar(0.6 + 0.4 * (count - 1) / len(pairs), _first(found))
            yield sofar
            together = None
            if joined is not None:
                together = yield from at(_leaning(ground, joined), sofar)
            if together is not None and together.beats(alone, beside):
                found.append(together)
            yield Sofar(0.6 + 0.4 * count / len(pairs), _first(found))
    changes = tuple(sorted((one.change for one in _needed(found)), key=_rank))[:MOST_CHANGES]
    works = ground.works or any(one.works for one in changes)
    return Advice(
        ground.works,
        ground.works_at_worst,
        changes,
        None if works else _limit(ground, changes),
    )


@frozen
class _Tried:
    """A change and how far the plan got with it."""

    candidate: Candidate
    change: Change
    level: tuple[bool, bool]
    told: int
    """findings that are left, notes aside"""
    stops: int

    @property
    def is_whole(self) -> bool:
        """Works at worst, and nothing that it could mend is left."""
        return self.level == (True, True) and self.stops == 0 and self.told == 0

    def does_no_more(self, less: _Tried) -> bool:
        """A smaller set of changes comes as far."""
        return (less.level, -less.told) >= (self.level, -self.told)

    def beats(self, one: _Tried, other: _Tried) -> bool:
        """Does together what neither does alone, so that none of the two is superfluous."""
        best = max(one.level, other.level)
        if self.level != best:
            return self.level > best
        return self.told < min(one.told, other.told)


def _needed(found: list[_Tried]) -> list[_Tried]:
    """Without those that do no more than a smaller set of their own edits does."""

    def is_more(one: _Tried, less: _Tried) -> bool:
        inside = all(edit in one.change.edits for edit in less.change.edits)
        smaller = inside and len(less.change.edits) < len(one.change.edits)
        return smaller and one.does_no_more(less)

    once = list({repr(one.change.edits): one for one in found}.values())
    return [one for one in once if not any(is_more(one, less) for less in once)]


def _level(ground: Ground) -> tuple[bool, bool]:
    return ground.works_at_worst, ground.works


def _share(ground: Ground) -> float:
    share = ground.prediction.load_share
    return share if share is not None else float("inf")


def _told(ground: Ground) -> int:
    return sum(count for rule, count in ground.broken.items() if rule not in STANDS)


def _try(ground: Ground, one: Candidate) -> _Tried | None:
    """The plan with a change; None where it breaks more than it mends, or is worse."""
    after = ground.after(one.edits)
    if after is None or after.stopped - ground.stopped or _level(after) < _level(ground):
        return None
    mends, breaks = ground.broken - after.broken, after.broken - ground.broken
    gains = _level(after) > _level(ground)
    if breaks.total() > mends.total() and not gains:
        return None
    loses = _share(after) < _share(ground) and not (set(mends) - LACKS_VOLTS)
    if loses and not ground.works and not gains:
        return None
    end = ground.far_end
    before, now = ground.volts_at(end), after.volts_at(end)
    change = Change(
        one.say,
        one.edits,
        one.effort,
        after.works,
        after.works_at_worst,
        now,
        _gained(before, now),
        after.prediction.load_share,
        tuple(sorted(mends)),
        tuple(sorted(breaks)),
        one.say.parts.get("parts", ()),
    )
    return _Tried(one, change, _level(after), _told(after), after.stopped.total())


def _leaning(ground: Ground, one: Candidate) -> Steps[_Tried | None]:
    """The plan with a change, less each thing of it that brings nothing; one tried plan a step."""
    whole = _try(ground, one)
    found = whole
    while found is not None:
        whole, found = found, None
        for lighter in whole.candidate.lighter():
            yield
            less = _try(ground, lighter)
            if less is not None and whole.does_no_more(less):
                found = less
                break
    return whole


def _rank(change: Change) -> tuple[bool, bool, float, float]:
    share = change.load_share if change.load_share is not None else float("inf")
    return not change.works_at_worst, not change.works, change.effort, -share


def _gained(before: Range | None, now: Range | None) -> float | None:
    """Expected volts more, where there are some before and after. [V]"""
    if before is None or now is None or before.expected is None or now.expected is None:
        return None
    return now.expected - before.expected


def _first(found: list[_Tried]) -> Change | None:
    return min((one.change for one in found), key=_rank, default=None)


def _promise(row: tuple[Candidate, _Tried]) -> tuple[int, float, float]:
    """The singles to be paired: what mends or lifts most for its effort."""
    one = row[1]
    return one.told, -(one.change.load_share or 0.0), one.change.effort


def _limit(ground: Ground, changes: tuple[Change, ...]) -> Say:
    """What holds the plan back, and how near the best change comes."""
    collapse, best = ground.prediction.collapse, None
    for change in changes:
        if change.load_share is not None and (best is None or change.load_share > best):
            best = change.load_share
    if collapse is not None:
        return say(
            "advice-limited",
            at=str(collapse.at),
            needed=collapse.volts_needed,
            share=collapse.load_share,
            best=max(best or 0.0, collapse.load_share),
        )
    first = next((f for f in ground.prediction.findings if f.severity == "stop"), None)
    return say("advice-stopped", finding=first.say if first is not None else None)
