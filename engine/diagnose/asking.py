"""The next test as a person is asked for it: what to do, which way to walk, why, what to mind."""

from __future__ import annotations

from attrs import fields, frozen

from engine.cautions import called_for, of_reading
from engine.diagnose import Diagnosis
from engine.diagnose.nexttest import Foretold, NextTest
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
    return Test(
        **own,
        stop=stop,
        here=here,
        way=way,
        say=_do(scene, test, names),
        why=_why(scene, test),
        cautions=_cautions(judgement, test),
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


def _do(scene: Scene, test: NextTest, names: dict) -> Say:
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
    if standing.known:
        ((box, watts),) = standing.known.items()
        return say("test-known-load", at=at, box=box, watts=watts, **names)
    if standing.off:
        return say("test-unplugged", at=at, box=min(standing.off), **names)
    return say("test-volts", at=at, **names)


def _at(scene: Scene, end: Point) -> str:
    return _name(scene, scene.job.boxes[end.box].stop)


def _why(scene: Scene, test: NextTest) -> Say:
    """Which causes the test parts, and what each foretells."""
    parted = set(test.parts)
    best, *others = test.foretold
    apart = [one for one in others if (one.cause, one.where) in parted][:MOST_PARTED]
    if not apart:
        return say("why-test-narrows", kind=test.kind)
    alike = [best, *apart]
    told = tuple(_foretold(scene, one) for one in alike)
    return say("why-test-parts", kind=test.kind, foretold=told)


def _foretold(scene: Scene, one: Foretold) -> tuple[str, str, float, float]:
    """Cause, its place as a person knows it, what it foretells and its deviation."""
    entry = next((seen for seen in scene.readings if seen.id == one.where), None)
    return (one.cause, entry.at if entry else one.where, one.mean, one.sd)


def _cautions(judgement: Judgement, test: NextTest) -> tuple[Say, ...]:
    """The usual cautions of the test's place and work; what is switched off is to be proved so."""
    state = judgement.state
    first: list[Say] = []
    if test.standing.known:
        first.append(say("caution-known-load"))
    if test.standing.known or test.standing.off:
        first.append(say("caution-unplug"))
    step = of_reading(state, judgement.steps, test.at, test.kind)
    more = called_for(state, step) if step is not None and test.kind != "mbps" else ()
    return tuple({one.code: one for one in (*first, *more)}.values())
