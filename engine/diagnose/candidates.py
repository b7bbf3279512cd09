"""Tests that can be made on a site, each with the minutes of its work; what they tell is weighed
elsewhere (``nexttest``)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence

from attrs import frozen

from engine.diagnose import Guess
from engine.diagnose.scene import Scene
from engine.diagnose.sizing import AT_AN_END
from engine.job import Box, Span
from engine.network import AS_PLANNED, Standing
from engine.standards import Sourced, table
from engine.walks import between

_CONTRACT = "job format, section 5"
MINUTES = table(
    Sourced("look", 1, "min", f"{_CONTRACT}: a look, or volts with amps", "common practice"),
    Sourced("off", 2, "min", f"{_CONTRACT}: unplugging", "common practice"),
    Sourced("known", 3, "min", f"{_CONTRACT}: a known load", "common practice"),
    Sourced("loop", 5, "min", f"{_CONTRACT}: loop ohms", "common practice"),
    Sourced("switching", 4, "min", f"{_CONTRACT}: off and on again", "common practice"),
    Sourced("marks", 2, "min", "our estimate: jacket marks at both ends", "from memory"),
    Sourced("plug", 6, "min", "our estimate: one plug cut off and made anew", "from memory"),
)
"""work of a test, without the walk"""
LOADS = (5.0, 10.0, 15.0, 25.0, 40.0)
"""known loads that one may have (our choice) [W]"""
REMAKE = "remake"
"""the kind of test that makes one plug anew and looks whether that was it"""
Walk = Callable[[str], float]
"""metres to a stop from where one stands"""
MOST_TAKEN = 2
"""times that the same is read at a place before another test is looked for (a choice: a load that
moves within minutes is drawn anew each time, and standing still costs no walk)"""


@frozen
class Candidate:
    """A test: where, of what, with what standing there; minutes of work, metres between its ends."""

    at: str
    kind: str
    stop: str
    work: float
    standing: Standing = AS_PLANNED
    dead: bool = False
    needs: tuple[str, ...] = ()
    both_ends_m: float = 0.0


def possible(scene: Scene, walk: Walk) -> Iterator[Candidate]:
    """Tests that are possible here: (design: looks, loads, ohms, metres, lights). What was read
    twice as it is asked for is asked for no more: chance alone would bring one to another word."""
    taken = Counter((one.at, one.kind, one.standing.key) for one in scene.readings)
    for one in _all(scene, walk):
        if taken[one.at, one.kind, one.standing.key] < MOST_TAKEN:
            yield one


def _all(scene: Scene, walk: Walk) -> Iterator[Candidate]:
    job, network = scene.job, scene.network
    ends = [box for box in job.boxes.values() if box.kind == "endpoint"]
    for point in network.where:
        box = job.boxes[point.box]
        if box.sheet.facts.active:
            yield Candidate(str(point), "volts", box.stop, MINUTES["look"].value)
    if _starves(scene):
        yield from _in_place_of(scene, ends)
    for box in ends:
        fed = network.upstream_port(box.id)
        if fed is None:
            continue
        watts = min(LOADS, key=lambda one: abs(one - box.sheet.watts.expected))
        known = Standing(known={box.id: watts})
        yield Candidate(
            str(fed), "volts", box.stop, MINUTES["known"].value, known, needs=("known-load",)
        )
        off = Standing(off=frozenset({box.id}))
        yield Candidate(str(fed), "volts", box.stop, MINUTES["off"].value, off)
    read = {(one.at, one.kind) for one in scene.readings}
    for link in scene.planned_links:
        if link.known and link.expected_mbps:
            here = [str(end) for end in (link.start, link.end)]
            if not any((at, "mbps") in read for at in here):
                stop = job.boxes[link.end.box].stop
                yield Candidate(str(link.end), "mbps", stop, MINUTES["look"].value)
    loops = MINUTES["loop"].value + MINUTES["switching"].value
    for node in (node for tree in network.trees for node in tree.nodes):
        span = node.via
        if isinstance(span, Span):
            stop = min((job.boxes[end.box].stop for end in (span.a, span.b)), key=walk)
            far = between(job, *(job.boxes[end.box].stop for end in (span.a, span.b)))
            if (span.id, "loop_ohms") not in read:
                short = ("far-end short",)
                yield Candidate(
                    span.id, "loop_ohms", stop, loops, dead=True, needs=short, both_ends_m=far
                )
            if (span.id, "metres") not in read:
                marks = MINUTES["marks"].value
                yield Candidate(span.id, "metres", stop, marks, both_ends_m=far)


def _starves(scene: Scene) -> bool:
    """Whether some box is read under what it needs."""
    boxes = scene.job.boxes
    return any(
        one.asked.kind == "volts"
        and one.value < boxes[one.asked.at.split(".")[0]].sheet.cutoff_volts
        for one in scene.seen
    )


def _in_place_of(scene: Scene, ends: Sequence[Box]) -> Iterator[Candidate]:
    """A known load where a box stood, nothing at the feed: whether what leads there is sound."""
    for tree in scene.network.trees:
        if not tree.box.sheet.regenerates:
            alone = Standing(beyond=tree.feed)
            yield Candidate(str(tree.feed), "volts", tree.box.stop, MINUTES["off"].value, alone)
    watts = min(LOADS)
    for point in scene.network.where:
        box = scene.job.boxes[point.box]
        if box in ends or not box.sheet.facts.active:
            continue
        if point == scene.network.upstream_port(box.id):
            known = Standing(known={box.id: watts})
            work = MINUTES["known"].value
            yield Candidate(str(point), "volts", box.stop, work, known, needs=("known-load",))


def plugs(scene: Scene, guesses: Sequence[Guess]) -> Iterator[Candidate]:
    """Plugs that may be the cause, where nothing that is read parts the guesses any more."""
    job = scene.job
    suspect = {guess.where for guess in guesses if guess.cause in AT_AN_END}
    work = sum(MINUTES[part].value for part in ("plug", "switching", "look"))
    for span in (job.spans[name] for name in sorted(suspect)):
        for end in (span.a, span.b):
            yield Candidate(str(end), REMAKE, job.boxes[end.box].stop, work, dead=True)
