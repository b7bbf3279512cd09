"""The usual cautions: which a step or its stop calls for, and which are still to be shown.

All ``common practice``; local codes and licensed people rule for earthing, mains and height.
One that was read at a stop is not shown there again on that day.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.job import Job
from engine.log import State, StepMark
from engine.say import Say, say
from engine.step import Step

ANSWERED = "x_caution"
"""key of a note: the code of the caution that was read, at its stop"""

OF_KIND: dict[str, tuple[str, ...]] = {
    "feed": ("caution-mains",),
    "off": ("caution-off",),
    "pairs": ("caution-insulation",),
    "screens": ("caution-two-earths",),
    "bond": ("caution-earth",),
    "earth": ("caution-earth",),
    "energise": ("caution-live",),
    "volts": ("caution-live",),
    "load": ("caution-known-load", "caution-live", "caution-unplug"),
    "take-back": ("caution-unplug",),
}
"""by the kind of step, the one that matters most first"""

OUTDOORS = "caution-thunder"
EVERYWHERE = frozenset({"announce", "walk"})
"""kinds that are about the whole route: thunder matters where any of it lies outdoors"""

SWITCHINGS = ("off.", "energise.", "cold.")
"""steps that are words on a feed's being off or on"""


def caution_of(kind: str, job: Job) -> Say | None:
    """The caution that belongs to a step of this kind, wherever it is."""
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
    read = _read(state, step.stop, today[:10])
    since = _last_switched(state)
    # what was read of 'off' does not hold for a later word on it
    return tuple(
        one
        for one in called_for(state, step)
        if read.get(one.code, -1) <= (since if one.code == "caution-off" else -1)
    )


def called_for(state: State, step: Step) -> tuple[Say, ...]:
    """All cautions of a step, read or not: those of its stop first, then those of the work."""
    return tuple(_said(code, state, step) for code in dict.fromkeys(_codes(state.job, step)))


def _codes(job: Job, step: Step) -> Iterator[str]:
    stop = job.stops[step.stop]
    if not stop.indoor or (step.kind in EVERYWHERE and goes_outdoors(job)):
        yield OUTDOORS
    if "ladder" in step.needs:
        yield "caution-ladder"
    if step.power == "dead":
        yield "caution-off"
    yield from OF_KIND.get(step.kind, ())


def _read(state: State, stop: str, today: str) -> dict[str, int]:
    """Place of the last note by which each code was read at a stop on a day."""
    out = {}
    for place, entry in state.notes_with(ANSWERED):
        code = entry.body[ANSWERED]
        here = state.job.named(entry.body.get("at") or "") == stop
        if here and isinstance(code, str) and (entry.t or "")[:10] == today:
            out[code] = place
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


def _said(code: str, state: State | None = None, step: Step | None = None) -> Say:
    """The statement: 'off' names who said so and when, a ladder where it stands."""
    if code == "caution-off":
        marks = _switched_off(state) if state else {}
        return say(code, said=tuple((box, mark.by, mark.t) for box, mark in sorted(marks.items())))
    if code == "caution-ladder":
        return say(code, stop=state.job.stops[step.stop].name)
    return say(code)
