"""The usual cautions: which a step or its stop calls for, and which are still to be shown.

All ``common practice``; local codes and licensed people rule for earthing, mains and height.
One that was read at a stop is not shown there again on that day.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from engine.job import Job, Stop
from engine.log import State, StepMark
from engine.places import stop_of
from engine.say import Say, say
from engine.step import AGAIN, Asks, Step

ANSWERED = "x_caution"
"""key of a note: the code of the caution that was read, at its stop"""

OF_KIND: dict[str, tuple[str, ...]] = {
    "feed": ("caution-mains",),
    "off": ("caution-off", "caution-mains", "caution-unplug"),
    "terminate": ("caution-eyes",),
    "pairs": ("caution-insulation",),
    "screens": ("caution-two-earths",),
    "bond": ("caution-earth", "caution-metal"),
    "earth": ("caution-earth", "caution-metal"),
    "mount": ("caution-eyes",),
    "energise": ("caution-live",),
    "volts": ("caution-live", "caution-unplug"),
    "load": ("caution-known-load", "caution-live", "caution-unplug"),
    "cold": ("caution-unplug",),
    "take-back": ("caution-unplug",),
}
"""by the kind of step, the one that matters most first"""

CLOSES_GLUE = "joint"
"""kind of box whose fitting cuts wires and closes a shell over them"""
BURIED = "buried"
"""route of a span that is dug for"""

OPENS = frozenset(
    f"do-{what}"
    for what in (
        *("span", "span-open", "span-short", "ends", "wet", "pairs", "wires"),
        *("turn", "box", "restart", "arrestor", "slow-endpoint", "too-long"),
    )
)
"""what is done about a cause with hands on copper: the run is to be off for it"""

OUTDOORS = "caution-thunder"
LADDER = "caution-ladder"
CODES = tuple(
    dict.fromkeys(
        (
            *(OUTDOORS, LADDER, "caution-off", "caution-dig", "caution-metal"),
            *(code for codes in OF_KIND.values() for code in codes),
        )
    )
)
"""every caution there is"""
EVERYWHERE = frozenset({"announce", "walk"})
"""kinds that are about the whole route: thunder matters where any of it lies outdoors"""

READ_LIKE: dict[str, tuple[str, str]] = {
    "volts": ("volts", "live"),
    "milliamps": ("volts", "live"),
    "watts": ("volts", "live"),
    "loop_ohms": ("pairs", "dead"),
    "unbalance_ohms": ("pairs", "dead"),
    "earth_ohms": ("earth", "any"),
}
"""by the kind of reading that no step asks for: the kind of step it is like, and its power.
An earth has its 'off' from its step; a clamp by itself touches no pair"""

SWITCHINGS = ("off.", "energise.", "cold.")
"""steps that are words on a feed's being off or on"""


def caution_of(kind: str, job: Job, asks: Asks | None = None) -> Say | None:
    """The caution that belongs to a step of this kind, wherever it is."""
    kind = _work(kind, asks)
    if kind in EVERYWHERE:
        return say(OUTDOORS) if goes_outdoors(job) else None
    codes = OF_KIND.get(kind)
    return _said(codes[0]) if codes else None


def goes_outdoors(job: Job) -> bool:
    """Whether any work is under the sky: a stop in use, or a cable that runs outdoors."""
    stops = (job.stops[box.stop] for box in job.boxes.values())
    return any(not stop.indoor for stop in stops) or any(map(job.is_exposed, job.spans.values()))


def due(state: State, step: Step, today: str) -> tuple[Say, ...]:
    """The cautions of a step that nobody has read at this stop on this day, in order.

    Parameters
    ----------
    today : the day as the log writes it, ``2031-05-04``; a time after it is left aside.
    """
    read = _read(state, today[:10])
    since = _last_switched(state)
    # what was read of 'off' does not hold for a later word on it
    return tuple(
        one
        for one in called_for(state, step)
        if read.get((read_at(state.job, step, one), one.code), -1)
        <= (since if one.code == "caution-off" else -1)
    )


def called_for(state: State, step: Step) -> tuple[Say, ...]:
    """All cautions of a step, read or not: those of its stop first, then those of the work."""
    codes = dict.fromkeys(_codes(state.job, step))
    said = [(_ladders(state, step) if code == LADDER else (_said(code, state),)) for code in codes]
    return tuple(one for each in said for one in each)


def of_mending(state: State, do: Say | None) -> tuple[Say, ...]:
    """The cautions of what is done about a cause: those of an open cable, or none."""
    return (_said("caution-off", state), _said("caution-unplug")) if do and do.code in OPENS else ()


def read_at(job: Job, step: Step, one: Say) -> str:
    """The stop at which a caution of a step counts as read: a ladder's where it stands."""
    if one.code == LADDER:
        named = (stop.id for stop in _climbed(job, step) if stop.name == one.parts["stop"])
        return next(named, step.stop)
    return step.stop


def of_reading(state: State, steps: Iterable[Step], at: str, kind: str) -> Step | None:
    """The step whose cautions a reading has: the one that asks for it, else one like it.

    None for a place that is at no stop.
    """
    asked = Asks(at, kind)
    for step in steps:
        if step.asks == asked:
            return step
    job = state.job
    stop = stop_of(job, at)
    if stop is None and at in job.spans:
        stop = job.boxes[job.spans[at].b.box].stop
    if stop is None:
        return None
    like, power = READ_LIKE.get(kind, (kind, "any"))
    needs = tuple(job.stops[stop].needs)
    lacks = say("hold-missing", at=at, kind=kind)
    return Step(f"{like}.{at}", stop, "", lacks, power, 0.0, None, asks=asked, needs=needs)


def _climbed(job: Job, step: Step) -> Iterator[Stop]:
    """The stops of a step at which a ladder stands: its own, and where both ends are worked at
    once that of the other end."""
    own = job.stops[step.stop]
    if "ladder" in step.needs:
        yield own
    if step.both_ends and step.span is not None:
        span = job.spans[step.span]
        ends = dict.fromkeys(job.boxes[end.box].stop for end in (span.a, span.b))
        there = (job.stops[name] for name in ends if name != own.id)
        yield from (stop for stop in there if "ladder" in stop.needs)


def _ladders(state: State, step: Step) -> tuple[Say, ...]:
    return tuple(say(LADDER, stop=stop.name) for stop in _climbed(state.job, step))


def _codes(job: Job, step: Step) -> Iterator[str]:
    stop = job.stops[step.stop]
    if not stop.indoor or (step.kind in EVERYWHERE and goes_outdoors(job)):
        yield OUTDOORS
    if any(_climbed(job, step)):
        yield LADDER
    if step.power == "dead":
        yield "caution-off"
    if step.kind == "pull" and step.span is not None and job.spans[step.span].route == BURIED:
        yield "caution-dig"
    yield from OF_KIND.get(_work(step.kind, step.asks), ())
    if step.kind == "fit" and step.box is not None and job.boxes[step.box].kind == CLOSES_GLUE:
        yield "caution-eyes"
    if step.kind == "mount" and not stop.indoor:
        yield "caution-metal"


def _work(kind: str, asks: Asks | None) -> str:
    """The kind of step whose cautions a step has: reading again is like reading."""
    return READ_LIKE.get(asks.kind, (kind, ""))[0] if kind == AGAIN and asks else kind


def _read(state: State, today: str) -> dict[tuple[str, str], int]:
    """Place of the last note by which each code was read at each stop on a day."""
    out = {}
    for place, entry in state.notes_with(ANSWERED):
        code = entry.body[ANSWERED]
        if isinstance(code, str) and (entry.t or "")[:10] == today:
            out[state.job.named(entry.body.get("at") or ""), code] = place
    return out


def _last_switched(state: State) -> int:
    """Place of the last word on a feed's being on or off; -1 when there was none."""
    words = (mark.place for name, mark in state.steps.items() if name.startswith(SWITCHINGS))
    return max(words, default=-1)


def _switched_off(state: State) -> Mapping[str, StepMark]:
    """The feeds that somebody said are off, and nobody since that they are on."""
    out = {}
    for name, mark in state.steps.items():
        box = name.removeprefix("off.")
        on = (state.steps.get(f"{kind}{box}") for kind in SWITCHINGS[1:])
        later = (one.place for one in on if one is not None and one.state == "done")
        if box != name and mark.state == "done" and mark.place > max(later, default=-1):
            out[box] = mark
    return out


def _said(code: str, state: State | None = None) -> Say:
    """The statement: 'off' names who said so and when."""
    if code == "caution-off":
        marks = _switched_off(state) if state else {}
        return say(code, said=tuple((box, mark.by, mark.t) for box, mark in sorted(marks.items())))
    return say(code)
