"""The next test as a person is asked for it: what to do, which way to walk, why, what to mind."""

from __future__ import annotations

from collections.abc import Mapping
from math import hypot
from typing import Any

from attrs import fields, frozen

from engine.cautions import called_for, of_reading
from engine.diagnose import Diagnosis, Guess
from engine.diagnose.candidates import REMAKE
from engine.diagnose.evidence import pairs_of
from engine.diagnose.nexttest import APART, NextTest
from engine.diagnose.scene import Scene
from engine.diagnose.sizing import ends_of_span
from engine.faults.places import fed
from engine.job import Point
from engine.judge import Judgement
from engine.places import stop_of
from engine.say import Say, say
from engine.walks import between

HERE, BACK, ON = "here", "back", "on"
"""which way the test is: where one stands, towards the feed, away from it"""
MOST_PARTED = 4
"""causes that are told with what they foretell (our choice)"""


@frozen
class Test(NextTest):
    """The next test with its words. ``stop`` is where it begins, ``way`` how one gets there from
    ``here``; ``cautions`` are the usual ones, the most pressing first."""

    stop: str
    here: str
    way: str
    say: Say
    why: Say
    cautions: tuple[Say, ...] = ()
    come_out: tuple[str, ...] = ()
    """of loop ohms: how the pairs come out under each cause that is foretold"""

    @property
    def parts(self) -> tuple[tuple[str, str], ...]:
        """The best guess and those that this test tells from it, by its figure or its pairs."""
        told = (self.foretold[i] for i in _parted(self, self.come_out))
        return tuple((one.cause, one.where) for one in told)


def asked_for(
    judgement: Judgement, found: Diagnosis, test: NextTest | None, here: str | None
) -> Test | None:
    """A test in words."""
    if test is None:
        return None
    scene = found.scene
    here = here or _here(scene)
    stop = _stop(scene, test.at, here)
    way = _way(scene, here, stop)
    names = {
        "stop": _name(scene, stop),
        "way": way,
        "walk_m": test.walk_m,
        "minutes": test.minutes,
    }
    own = {one.name: getattr(test, one.name) for one in fields(NextTest)}
    guesses = _guesses(found, test)
    come_out = _come_out(guesses, test)
    return Test(
        **own,
        stop=stop,
        here=here,
        way=way,
        say=_do(scene, test, names),
        why=_why(scene, test, guesses, come_out),
        cautions=_cautions(judgement, test),
        come_out=come_out,
    )


def _here(scene: Scene) -> str:
    """Where the latest reading was taken; before any, where the feed is."""
    last = max(scene.readings, key=lambda one: one.place, default=None)
    if last is not None:
        span = scene.job.spans.get(last.at)
        at = scene.job.boxes[span.a.box].stop if span else stop_of(scene.job, last.at)
        if at is not None:
            return at
    tree = next(iter(scene.network.trees), None)
    return tree.box.stop if tree else next(iter(scene.job.stops), "")


def _stop(scene: Scene, at: str, here: str) -> str:
    """Where a test begins: at its box; of a span at the end that is nearer."""
    job = scene.job
    span = job.spans.get(at)
    if span is None:
        return stop_of(job, at) or here
    stops = [job.boxes[end.box].stop for end in ends_of_span(scene, span)]
    return min(stops, key=lambda stop: _metres(scene, here, stop))


def _metres(scene: Scene, a: str, b: str) -> float:
    stops = scene.job.stops
    return between(scene.job, a, b) if a in stops and b in stops else 0.0


def _way(scene: Scene, here: str, stop: str) -> str:
    """Towards the feed or away from it."""
    if stop == here:
        return HERE
    feeds = [scene.job.boxes[box].stop for box in fed(scene)] or [here]
    to_feed = min(_metres(scene, feed, stop) for feed in feeds)
    return BACK if to_feed < min(_metres(scene, feed, here) for feed in feeds) else ON


def _name(scene: Scene, stop: str) -> str:
    known = scene.job.stops.get(stop)
    return known.name or stop if known else stop


def _do(scene: Scene, test: NextTest, names: Mapping[str, Any]) -> Say:
    """What is to be done, by the kind of test."""
    at, standing = test.at, test.standing
    if test.kind == "mbps":
        return say("test-link", at=at, **names)
    if test.kind in ("loop_ohms", "metres"):
        span = scene.job.spans[at]
        far = next(
            (end for end in ends_of_span(scene, span) if _at(scene, end) != names["stop"]),
            ends_of_span(scene, span)[1],
        )
        code = "test-loop" if test.kind == "loop_ohms" else "test-metres"
        both = {"far_end": str(far), "far": _at(scene, far)}
        if code == "test-loop":
            return say("test-loop", at=at, **both, **names)
        return say("test-metres", at=at, **both, **names)
    if test.kind == REMAKE:
        plugged = scene.job.span_at(Point.parse(at))
        return say("test-remake", at=at, span=plugged.id if plugged else None, **names)
    if standing.beyond is not None:
        return say("test-alone", at=at, **names)
    if standing.known:
        ((box, watts),) = standing.known.items()
        return say("test-known-load", at=at, box=box, watts=watts, **names)
    if standing.off:
        return say("test-unplugged", at=at, box=min(standing.off), **names)
    return say("test-volts", at=at, **names)


def _at(scene: Scene, end: Point) -> str:
    return _name(scene, scene.job.boxes[end.box].stop)


def _guesses(found: Diagnosis, test: NextTest) -> tuple[Guess, ...]:
    """The guess behind each thing foretold: both stand in one order."""
    rest = iter(found.guesses)
    return tuple(
        next(one for one in rest if (one.cause, one.where) == (told.cause, told.where))
        for told in test.foretold
    )


def _come_out(guesses: tuple[Guess, ...], test: NextTest) -> tuple[str, ...]:
    """How the pairs of a span come out under each cause that a test of its loop foretells."""
    if test.kind != "loop_ohms":
        return ()
    return tuple(pairs_of(one.bend, test.at) for one in guesses)


def _parted(test: NextTest, come_out: tuple[str, ...]) -> tuple[int, ...]:
    """Places of the best guess, and of those that show another figure, or pairs that come out
    otherwise."""
    best, *others = test.foretold
    apart = [0]
    for number, other in enumerate(others, start=1):
        figure = abs(other.mean - best.mean) > APART * hypot(other.sd, best.sd)
        if figure or (come_out and come_out[number] != come_out[0]):
            apart.append(number)
    return tuple(apart)


def _why(
    scene: Scene, test: NextTest, guesses: tuple[Guess, ...], come_out: tuple[str, ...]
) -> Say:
    """Which causes the test parts, and what each foretells: cause, its place as a person knows
    it, figure, deviation, how its pairs come out."""
    parted = _parted(test, come_out)[: MOST_PARTED + 1]
    if len(parted) < 2:
        return say("why-test-narrows", kind=test.kind)
    told = tuple(
        (
            guesses[i].cause,
            _place(scene, guesses[i]),
            test.foretold[i].mean,
            test.foretold[i].sd,
            come_out[i] if come_out else "",
        )
        for i in parted
    )
    return say("why-test-parts", kind=test.kind, foretold=told)


def _place(scene: Scene, guess: Guess) -> str | tuple[tuple[str, str], ...]:
    """Of a slip where it was read, of two at once both with their places."""
    if guess.parts:
        return guess.parts
    entry = next((one for one in scene.readings if one.id == guess.where), None)
    return entry.at if entry else guess.where


def _cautions(judgement: Judgement, test: NextTest) -> tuple[Say, ...]:
    """The usual cautions of the test's place and work; what is switched off is to be proved so."""
    state, at, kind = judgement.state, test.at, test.kind
    span = state.job.span_at(Point.parse(at)) if kind == REMAKE else None
    if span is not None:
        # a plug is cut off as dead as a loop is read
        at, kind = span.id, "loop_ohms"
    first: list[Say] = []
    if test.standing.known:
        first.append(say("caution-known-load"))
    if not test.standing.as_planned:
        first.append(say("caution-unplug"))
    step = of_reading(state, judgement.steps, at, kind)
    more = called_for(state, step) if step is not None and test.kind != "mbps" else ()
    return tuple({one.code: one for one in (*first, *more)}.values())
