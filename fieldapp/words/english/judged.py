"""What is thought of readings, what holds one on site, and what is odd in a log."""

from __future__ import annotations

from typing import Any

from engine.say import Say
from fieldapp.words.english.figures import (
    KINDS,
    NBSP,
    capital,
    figure,
    point,
    reach_of,
    speed,
    spot,
    with_unit,
)
from fieldapp.words.english.said import says, sentence
from fieldapp.words.english.sheets import conflict_value, place_of_path
from fieldapp.words.english.steps import STEPS


@says("verdict-inside")
def _inside(at: str, kind: str) -> str:
    return "As it should be here. **Go on.**"


@says("verdict-unclear")
def _unclear(at: str, kind: str, by: float, low: bool) -> str:
    far = f", {with_unit(by, kind)} {'low' if low else 'high'}" if float(figure(by, kind)) else ""
    return f"**Not yet for certain**{far}. Measure again: both readings are used."


@says("verdict-outside-low")
def _outside_low(at: str, kind: str, by: float, reach: float, spoke: str) -> str:
    return _outside(LACKS.get(kind, "it is too low"), kind, reach, spoke)


@says("verdict-outside-high")
def _outside_high(at: str, kind: str, by: float, reach: float, spoke: str) -> str:
    return _outside(EXCEEDS.get(kind, "it is too high"), kind, reach, spoke)


def _outside(what: str, kind: str, reach: float, spoke: str) -> str:
    doubt = f"ven if the meter is {reach_of(reach, kind)} out" if reach else ""
    if spoke == "design":
        return f"**No run built to plan** shows this{f', e{doubt}' if doubt else ''}: {what}."
    return f"E{doubt}, **{what}**." if doubt else f"**{capital(what)}**."


LACKS = {
    "volts": "the loss is real",
    "milliamps": "too little is drawn",
    "watts": "too little is drawn",
    "loop_ohms": "this cable resists too little",
    "metres": "this cable is too short",
}
EXCEEDS = {
    "volts": "less is drawn, or the feed is high",
    "milliamps": "too much is drawn",
    "watts": "too much is drawn",
    "loop_ohms": "this cable resists too much",
    "metres": "this cable is too long",
}


@says("verdict-slow")
def _slow(at: str, mbps: float, expected: float) -> str:
    return f"**{capital(speed(mbps))}** where {speed(expected)} was expected."


@says("verdict-errors")
def _errors(at: str, count: float, most: float) -> str:
    return f"**{count:.0f} bad frames**; a sound link shows {most:.0f} at most in that time."


@says("verdict-over")
def _over(at: str, kind: str, value: float, most: float) -> str:
    there = "This earth reads" if kind == "earth_ohms" else "The wires of a pair differ by"
    return f"**{there} {with_unit(value, kind)}**. {with_unit(most, kind)} is the most it may."


@says("pairs-apart")
def _pairs_apart(at: str, pairs: tuple[str, ...], ohms: tuple[float, ...], others: float) -> str:
    names = ", ".join(pairs)
    seen = ", ".join(figure(one, "loop_ohms") for one in ohms)
    return (
        f"**Pair {names} of {at} stands apart**: {seen}{NBSP}Ω, the others about "
        f"{with_unit(others, 'loop_ohms')}."
    )


@says("no-band-unplugged")
def _no_band_unplugged(at: str, box: str | None) -> str:
    plug = f"Plug {box} in" if box else "Plug the next box in"
    return f"A standard port gives a bare meter **no steady volts**. {plug}, then measure."


@says("no-band-collapse")
def _no_band_collapse(at: str) -> str:
    return "With this load **nothing can be held**, so nothing steady is predicted."


@says("no-band-tripped")
def _no_band_tripped(at: str) -> str:
    return (
        "The port is asked for more than it gives and **lets go again and again**: "
        "nothing steady to predict here."
    )


@says("no-band-unpowered")
def _no_band_unpowered(at: str) -> str:
    return "The plan brings **no power** to this point, so nothing is predicted."


@says("no-band-no-such-box")
def _no_band_no_such_box(at: str, box: str) -> str:
    return f"{box} was to be off or replaced, but **the plan has no such box**."


@says("no-band-not-judged")
def _no_band_not_judged(at: str, kind: str) -> str:
    return f"{capital(KINDS[kind])} at {spot(at)}: the plan says **nothing to hold it against**."


@says("no-band-no-target")
def _no_band_no_target(at: str) -> str:
    return "The plan names **no target** for this earth. Kept as it is."


@says("no-band-no-seconds")
def _no_band_no_seconds(at: str) -> str:
    return "Bad frames say nothing without **the seconds they were counted in**. Kept as it is."


# ---------------------------------------------------------------- what holds one on site


@says("hold-finding")
def _hold_finding(finding: Say) -> str:
    return sentence(finding)


@says("hold-step")
def _hold_step(step: Say) -> str:
    words = STEPS[step.code](**step.parts)
    return f"**Not done.** {words.short}."


@says("hold-missing")
def _hold_missing(at: str, kind: str) -> str:
    return f"**No {READINGS[kind]}** at {point(at)}."


READINGS = {**KINDS, "earth_ohms": "earth reading", "milliamps": "amps"}


@says("hold-outside")
def _hold_outside(at: str, kind: str, value: float) -> str:
    return f"**{capital(with_unit(value, kind))} at {spot(at)}** has no settled cause."


@says("hold-unclear")
def _hold_unclear(at: str, kind: str, value: float) -> str:
    return f"**{with_unit(value, kind)} at {spot(at)}** is unclear. Measure again."


@says("hold-drifted")
def _hold_drifted(at: str, kind: str, before: float, now: float) -> str:
    was = with_unit(before, kind)
    return f"**{capital(with_unit(now, kind))} at {spot(at)}**, {was} when the site was left."


@says("hold-edit")
def _hold_edit(path: str, problem: str) -> str:
    return f"**A change of the plan does not fit** at {path}. It was left out."


@says("hold-conflict")
def _hold_conflict(path: str, values: tuple[Any, ...], by: tuple[str, ...], shown: str) -> str:
    each = ", ".join(conflict_value(path, value) for value in dict.fromkeys(map(_key, values)))
    return f"**Two plans for {place_of_path(path)}**: {each}. One must be chosen."


def _key(value: Any) -> Any:
    """A value as it can be compared; whole things are told as there or gone."""
    return value if isinstance(value, str | float | int) or value is None else True


# ---------------------------------------------------------------- what was just done


@says("strip-step")
def _strip_step(state: str, step: Say | None) -> str:
    what = STEPS[step.code](**step.parts).short if step else ""
    word = {"done": "Done", "undone": "Open again", "not-here": "Not here"}[state]
    return f"**{word}.** {what}"


@says("strip-change")
def _strip_change(where: str, did: str, struck: int) -> str:
    number = "1 reading no longer counts" if struck == 1 else f"{struck} readings no longer count"
    return f"**{where} mended.** {number if struck else 'No reading is struck'}."


# ---------------------------------------------------------------- what is odd in a log


@says("odd-twin")
def _odd_twin(entry: str) -> str:
    return "Two entries carry **one id**. One of them is used, both are kept."


@says("odd-void")
def _odd_void(entry: str, of: str) -> str:
    return "Something was taken back that **is not in this log**."


@says("odd-change")
def _odd_change(entry: str, where: str) -> str:
    return f"A repair names **{where}**; the plan has no such place. It struck nothing."


@says("odd-reading")
def _odd_reading(entry: str, at: str) -> str:
    return f"A reading stands at **{spot(at)}**; the plan has no such place."


@says("odd-count")
def _odd_count(entry: str, device: str, n: int) -> str:
    return f"One phone counted **entry {n} twice**: a backup was put back on it."


@says("odd-resolve")
def _odd_resolve(entry: str, of: tuple[str, ...]) -> str:
    return "A choice names two changes of the plan that **do not meet**. It settled nothing."


@says("odd-seen")
def _odd_seen(entry: str) -> str:
    return "Two entries each say they **came after the other**. Their counts set the order."
