"""Two changes as one: the second is made anew where the first has altered what it builds on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from engine.advise.ground import Candidate, Ground
from engine.edits import value_at
from engine.planning import BadPlan, Edit, applied
from engine.say import say


def both(ground: Ground, one: Candidate, other: Candidate) -> Candidate | None:
    """The first and then the second; None where the second cannot stand on the first."""
    second: Candidate | None = other
    if not _apart(ground, one.edits, other.edits):
        second = _again(ground, one, other)
    if second is None:
        return None

    def lighter() -> Iterator[Candidate]:
        pairs = [(less, other) for less in one.lighter()]
        pairs += [(one, less) for less in other.lighter()]
        for first, then in pairs:
            joined = both(ground, first, then)
            if joined is not None:
                yield joined

    return Candidate(
        say("advice-both", parts=(one.say, other.say)),
        one.edits + tuple(edit for edit in second.edits if edit not in one.edits),
        one.effort + other.effort,
        one.kind,
        lighter,
    )


def _apart(ground: Ground, first: tuple[Edit, ...], second: tuple[Edit, ...]) -> bool:
    """What the second writes is as it was, after the first, and neither takes the other's ids."""
    new = [edit for edit in second if edit not in first]
    if _names(first) & _names(new):
        return False
    try:
        after = applied(ground.doc, first)
    except BadPlan:
        return False
    paths = [tuple(edit["path"]) for edit in new if edit["what"] != "add"]
    return all(value_at(after, path) == value_at(ground.doc, path) for path in paths)


def _names(edits: Iterable[Edit]) -> set[str]:
    """The ids that edits bring in."""
    added = [edit for edit in edits if edit["what"] == "add"]
    return {edit["value"].get("id", edit["path"][-1]).lower() for edit in added}


def _again(ground: Ground, one: Candidate, other: Candidate) -> Candidate | None:
    """The second change as its kind offers it on the plan with the first."""
    after = ground.after(one.edits)
    if after is None:
        return None
    found = (offer for offer in other.kind(after) if offer.say == other.say)
    made = (offer.made(other.kind) for offer in found)
    return next((each for each in made if each is not None), None)
