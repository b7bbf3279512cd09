"""Every sentence the app shows: functions with named parts, so that another language can follow.

``**`` marks the point of a sentence, which is set heavier. A number and its unit never
part: a no-break space stands between them. Numbers, units and the decimal mark are
formatted here and nowhere else.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from engine.say import Say
from fieldapp.drawing.wording import Wording

NBSP = "\u00a0"

UNITS = {
    "volts": "V",
    "milliamps": "mA",
    "watts": "W",
    "loop_ohms": "Ω",
    "unbalance_ohms": "Ω",
    "earth_ohms": "Ω",
    "metres": "m",
    "celsius": "°C",
    "mbps": "Mb/s",
    "error_count": "frames",
}
DIGITS = {"volts": 1, "milliamps": 0, "watts": 1, "loop_ohms": 1, "earth_ohms": 1, "metres": 0}
KINDS = {
    "volts": "volts",
    "milliamps": "milliamps",
    "watts": "watts",
    "loop_ohms": "loop ohms",
    "unbalance_ohms": "unbalance",
    "earth_ohms": "earth ohms",
    "metres": "metres",
    "celsius": "temperature",
    "mbps": "link speed",
    "error_count": "bad frames",
}
MOST = {"volts": 57.0, "milliamps": 2000.0, "watts": 99.9, "loop_ohms": 500.0, "earth_ohms": 2000.0}
"""beyond this the pad asks; keeping is allowed all the same"""
VERDICTS = {
    "inside": "inside",
    "unclear": "unclear",
    "outside": "outside",
    "no-band": "nothing to judge by",
}

# ---------------------------------------------------------------- figures


def figure(value: float, kind: str = "volts") -> str:
    """A value with the digits of its kind."""
    return f"{value:.{DIGITS.get(kind, 1)}f}"


def with_unit(value: float, kind: str = "volts") -> str:
    """``41.0 V``: the number and its unit never part."""
    if kind == "mbps":
        return speed(value)
    return f"{figure(value, kind)}{NBSP}{UNITS[kind]}"


def tied(text: str) -> str:
    """A text from elsewhere, its numbers tied to their units."""
    return re.sub(r"(?<=\d) (?=[A-Za-zΩ°%µ])", NBSP, text)


def typed_with_unit(digits: str, kind: str) -> str:
    """What is typed, with its unit."""
    return f"{digits}{NBSP}{UNITS[kind]}"


def metres(value: float) -> str:
    """``256 m``"""
    return f"{value:.0f}{NBSP}m"


def speed(mbps: float) -> str:
    """``1000 Mb/s``, or ``no link``."""
    return f"{mbps:.0f}{NBSP}Mb/s" if mbps else "no link"


def speeds(mbps: tuple[int, ...]) -> str:
    """What a port runs at, as the trade says it."""
    if tuple(mbps) == (1000,):
        return "gigabit only"
    return "/".join(str(one) for one in mbps)


def count(number: int) -> str:
    """Small numbers as words."""
    names = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")
    return names[number] if number < len(names) else str(number)


def things(number: int) -> str:
    """``one thing``, ``two things``."""
    return f"{count(number)} thing" if number == 1 else f"{count(number)} things"


def capital(text: str) -> str:
    """The first letter large, inside a mark of stress too."""
    start = 2 if text.startswith("**") else 0
    return text[:start] + text[start : start + 1].upper() + text[start + 1 :]


def point(at: str) -> str:
    """``A2, line side``; a span, an earth or a stop by its id."""
    box, _, port = at.rpartition(".")
    return f"{box}, {_port(port)} side" if box else at


def spot(at: str) -> str:
    """``L2 IN``, ``A2 line``: a point as short as it is printed; others by their id."""
    box, _, port = at.rpartition(".")
    return f"{box} {_port(port)}" if box else at


def side_of(at: str) -> str:
    """``A2's kit side``, ``L1's OUT``"""
    box, _, port = at.rpartition(".")
    name = _port(port)
    return f"{box}'s {name}" if name.isupper() else f"{box}'s {name} side"


def _port(port: str) -> str:
    """In and out as they are printed on boxes; the others as the trade says them."""
    return port.upper() if port.startswith(("in", "out")) else port


# ---------------------------------------------------------------- steps


@dataclass(frozen=True)
class StepWords:
    """The words of one step: what to do, why, what is true afterwards, its name in a list."""

    sentence: str
    why: str
    after: str
    short: str
    caution: str = ""
    turned: str = ""
    """what the wrong way round costs"""


STEPS: dict[str, Callable[..., StepWords]] = {}
OUTLINES = {"long-span": "round side", "exposed": "toothed side", "equipment": "square side"}
TURNED = {
    "long-span": "power, no data.",
    "arrestor": "it stops nothing, and no reading tells.",
    "repeater": "nothing beyond it runs.",
    "splitter": "nothing beyond it runs.",
}


def step_words(code: str):
    """Register the words of a step's code."""

    def keep(function: Callable[..., StepWords]) -> Callable[..., StepWords]:
        STEPS[code] = function
        return function

    return keep


def step(said: Say) -> StepWords:
    """The words of a step."""
    return STEPS[said.code](**said.parts)


@step_words("step-announce")
def _announce() -> StepWords:
    return StepWords(
        "Say who you are. Agree on the **outage**.",
        "Somebody must know the port goes off, and where you are.",
        "They know",
        "Say who you are, agree on the outage",
        "Thunder heard or seen: no hand on outdoor copper until 30 minutes after the last.",
    )


@step_words("step-meter")
def _meter() -> StepWords:
    return StepWords(
        "Prove the **meter**: tips shorted, a known voltage, DC set.",
        "Every verdict today rests on it.",
        "The meter tells true",
        "Prove the meter",
    )


@step_words("step-feed")
def _feed(box: str, name: str, volts: float, granted: float | None) -> StepWords:
    grant = f" It grants {granted:.0f}{NBSP}W or more." if granted else ""
    return StepWords(
        f"Read **{box}** at the port: a powered source, **on**.{grant}",
        "Nothing out there has power of its own. No reading means a thing before this.",
        f"{box} is a source and on",
        f"Read {box}: powered, and on",
        "The mains side of a supply is for licensed people. Do not open it.",
    )


@step_words("step-off")
def _off(box: str) -> StepWords:
    return StepWords(
        f"Switch **{box}** off, unplug it, tag it with your name.",
        "Nobody may energise the run while hands are on copper.",
        f"{box} is off and tagged",
        f"{box} off, unplugged, tagged",
        "Off is what was said, not what a wire is. Prove it: known live, this, known live.",
    )


@step_words("step-pull")
def _pull(span: str, length_m: float, near: str, far: str, outdoor: bool) -> StepWords:
    return StepWords(
        f"Pull **{span}**, {metres(length_m)}, {near} to {far}. **Ends capped.**",
        "Water in an open end creeps metres. Leave slack at both ends.",
        f"{span} lies, both ends capped",
        f"Pull {span}, {metres(length_m)}",
        "Keep off mains cables. Before you climb, somebody knows where you are." if outdoor else "",
    )


@step_words("step-terminate")
def _terminate(span: str) -> StepWords:
    return StepWords(
        f"Terminate **{span}**: same pinout at both ends, gland on **before** the plug.",
        "A crossed or split pair shows in no voltage.",
        f"Both ends of {span} are made",
        f"Terminate {span}, both ends",
    )


@step_words("step-pairs")
def _pairs(span: str) -> StepWords:
    return StepWords(
        f"Measure **{span}**: far end shorted, nothing plugged in.",
        "Clad, thin or too long cable shows here, before anything hangs on it.",
        f"Measure loop ohms of {span}",
        f"Loop ohms of {span}",
        "Never ohms on a live pair.",
    )


@step_words("step-sheet")
def _sheet(box: str, title: str) -> StepWords:
    return StepWords(
        f"Read the label on **{box}**. The plan says: {title}.",
        "The wrong variant is the commonest surprise.",
        f"{box} is what the plan says",
        f"Label of {box} against its sheet",
    )


@step_words("step-speeds")
def _speeds(
    start: str,
    start_mbps: tuple[int, ...],
    end: str,
    end_mbps: tuple[int, ...],
    gigabit_only: tuple[str, ...],
) -> StepWords:
    ends = " and ".join(spot(end) for end in gigabit_only)
    only = f" **{ends}: gigabit only.**" if gigabit_only else ""
    a, b = start.rpartition(".")[0], end.rpartition(".")[0]
    return StepWords(
        f"Do **{a}** and **{b}** share a speed?{only}",
        "Two ends with none in common: power, lights, but no data.",
        f"{a} and {b} share a speed",
        f"{a} and {b} share a speed",
    )


@step_words("step-bond")
def _bond(
    box: str, earth: str | None, lead_m: float | None, mm2: float | None, volts: float | None
) -> StepWords:
    to = f" to **{earth}**" if earth else ""
    thick = f", {mm2:g}{NBSP}mm²" if mm2 else ""
    adds = f" This lead lets about {volts:.0f}{NBSP}V more through on 3{NBSP}kA." if volts else ""
    return StepWords(
        f"Fit the earth lead of **{box}**{to}{thick}: short, straight.",
        f"A surge must have its way before it has a target.{adds}",
        f"{box} is earthed, lead fitted",
        f"Earth lead of {box}",
        "Local code and a licensed person decide about earthing. Never part an earth.",
    )


@step_words("step-earth")
def _earth(earth: str, target: float | None) -> StepWords:
    goal = f" The plan wants {target:.0f}{NBSP}Ω or less." if target else ""
    return StepWords(
        f"Measure the earth at **{earth}**.{goal}",
        "The lead is fitted, not measured.",
        f"Measure the earth at {earth}",
        f"Earth reading at {earth}",
        "Take the licensed person's figure where there is one. Never part an earth to measure.",
    )


@step_words("step-fit")
def _fit(box: str, kind: str, ports: tuple) -> StepWords:
    if not ports:
        return StepWords(
            f"Fit **{box}**.", "The plan joins nothing to it yet.", f"{box} is up", f"Fit {box}"
        )
    port, faces, far, _ = ports[0]
    outline = f"{OUTLINES[faces]}, " if faces in OUTLINES else ""
    name = port.upper() if kind != "joint" else port
    rest = [f"{p.upper() if kind != 'joint' else p} to {side_of(f)}" for p, _, f, _ in ports[1:]]
    then = f" Then {', '.join(rest)}." if rest else ""
    return StepWords(
        f"Fit **{box}**: {outline}**{name}**, to {side_of(far)}.{then}",
        FIT_WHY.get(faces, "Each side to its own neighbour, as the plan has it."),
        f"{name} meets {far.rpartition('.')[0]}",
        f"Fit {box}: {name} to {side_of(far)}",
        turned=TURNED.get(kind, ""),
    )


FIT_WHY = {
    "long-span": "Only this side drives the long cable. The other hears nothing at this length.",
    "exposed": "It stops a surge only from this side: the teeth face the weather.",
    "source": "Only this side takes power. Turned round, all beyond stays dark.",
    "equipment": "This side wants a patch lead, not the long cable.",
}


@step_words("step-mount")
def _mount(box: str, name: str) -> StepWords:
    return StepWords(
        f"Mount **{box}**, {name}. Leave it **unplugged**.",
        "It comes last, when all in front of it is proven.",
        f"{box} is up, unplugged",
        f"Mount {box}, unplugged",
        "Before you climb: wind, ice, dark? Does somebody know where you are?",
    )


@step_words("step-look")
def _look() -> StepWords:
    return StepWords(
        "Walk back and **look**: way round, glands, far-end short out.",
        "A reversed arrestor or an open lead shows in no reading.",
        "All looked at",
        "Walk back and look",
    )


@step_words("step-energise")
def _energise(box: str) -> StepWords:
    return StepWords(
        f"All clear, said by both? Switch **{box}** on. One box at a time.",
        "The first wrong box is then the newest one.",
        f"{box} is on",
        f"Switch {box} on",
        f"Up to 57{NBSP}V. In the wet, or with bare contacts in reach: off first, always.",
    )


@step_words("step-volts")
def _volts(at: str) -> StepWords:
    return StepWords(
        f"Measure volts at **{point(at)}**.",
        "Each box is proven before the next hangs on it.",
        f"Measure volts at {spot(at)}",
        f"Volts at {point(at)}",
        "Use the break-out lead: bare tips in a live jack short two pairs.",
    )


@step_words("step-link")
def _link(at: str, far: str) -> StepWords:
    return StepWords(
        f"Read the link speed at **{point(at)}**.",
        "Power and data go wrong apart.",
        f"Read the speed at {spot(at)}",
        f"Link speed at {point(at)}",
    )


@step_words("step-full")
def _full(box: str, watts: float) -> StepWords:
    return StepWords(
        f"Everything on at **{box}**, up to {watts:.0f}{NBSP}W, for **15 minutes**.",
        "Faults come at full load, and at night.",
        f"{box} ran at full load",
        f"15 minutes at full load, {box}",
    )


@step_words("step-cold")
def _cold(box: str) -> StepWords:
    return StepWords(
        f"**{box}** off for 10 seconds, on again. **Twice.**",
        "What comes back only by hand is dark after the first outage.",
        "All came back by itself, twice",
        f"Cold start of {box}, twice",
    )


@step_words("step-close")
def _close(stop: str, boxes: tuple[str, ...]) -> StepWords:
    return StepWords(
        f"Close and seal **{', '.join(boxes)}**. Blank unused ports.",
        "Water finds the one gland that was forgotten.",
        "Closed and sealed",
        f"Close the boxes at {stop}",
    )


@step_words("step-labels")
def _labels(stop: str) -> StepWords:
    return StepWords(
        f"Label every box and both cable ends at **{stop}**.",
        "Whoever comes next has only these.",
        f"{stop} is labelled",
        f"Labels at {stop}",
    )


@step_words("step-take-back")
def _take_back() -> StepWords:
    return StepWords(
        "Take back in-line lead, known load, **shorts**, tags. Count the tools.",
        "What was fitted for a test is a fault once you are gone.",
        "Nothing of mine is left",
        "Take back leads, loads, shorts",
    )


# ---------------------------------------------------------------- findings, holds, verdicts

SAYS: dict[str, Callable[..., str]] = {}


def says(code: str):
    """Register the sentence of a code."""

    def keep(function: Callable[..., str]) -> Callable[..., str]:
        SAYS[code] = function
        return function

    return keep


def sentence(said: Say) -> str:
    """The sentence of a statement."""
    return SAYS[said.code](**said.parts)


@says("feed")
def _no_feed(box: str) -> str:
    return f"**{box} gets no power.** No source feeds it."


@says("feed-unplugged")
def _feed_unplugged(box: str) -> str:
    return f"**{box} is plugged into nothing.** Give it a span in the plan."


@says("feed-twice")
def _feed_twice(box: str, first: str, second: str) -> str:
    return f"**Two feeds reach {box}**: {first} and {second}. One must go."


@says("orientation")
def _orientation(box: str, port: str, wants: str, meets: str | None) -> str:
    there = f" It meets {meets}." if meets else ""
    return f"**{box} is the wrong way round.** {port.upper()} wants {WANTS[wants]}.{there}"


WANTS = {
    "source": "the feed",
    "endpoint": "the far end",
    "equipment": "a patch lead to equipment",
    "long-span": "the long cable",
    "exposed": "the weather",
}


@says("arrestor-facing")
def _arrestor_facing(box: str, port: str, span: str) -> str:
    return f"**{box} has its back to the weather.** The teeth must face {span}."


@says("bond")
def _no_bond(box: str) -> str:
    return f"**{box} has no earth lead** in the plan. A licensed person decides how."


@says("bond-long")
def _bond_long(box: str, lead_m: float, volts: float) -> str:
    return (
        f"**{box}’s earth lead is long**: {lead_m:g}{NBSP}m let about {volts:.0f}{NBSP}V more "
        f"through on a 3{NBSP}kA surge. Under 0.5{NBSP}m, straight."
    )


@says("bond-thin")
def _bond_thin(box: str, mm2: float) -> str:
    return f"**{box}’s earth lead is thin**: {mm2:g}{NBSP}mm². At least 1.5{NBSP}mm²."


@says("arrestor-missing")
def _arrestor_missing(at: str, span: str) -> str:
    return f"**No arrestor between {span} and {at}.** Outdoor cable brings surges in."


@says("separate-buildings")
def _separate_buildings(spans: tuple, buildings: tuple) -> str:
    first, second = buildings
    return (
        f"**The run {', '.join(spans)} joins two buildings**, {first} and {second}. "
        f"Meter between their earths first; above 1{NBSP}V ask a licensed person."
    )


@says("box-place")
def _box_place(box: str, stop: str) -> str:
    return f"**{box} is an indoor box**, and {stop} is outdoors."


@says("cable-place")
def _cable_place(span: str) -> str:
    return f"**{span} is indoor cable** on a way outdoors."


@says("cable-material")
def _cable_material(span: str, material: str, factor: float) -> str:
    metal = {"clad": "copper-clad aluminium"}.get(material, material)
    return f"**{span} is {metal}**: {factor:.2f} times the ohms of copper."


@says("speed-mismatch")
def _mismatch(at: str, mbps: tuple, far: str, far_mbps: tuple) -> str:
    return (
        f"**{at} and {far} share no speed**: {speeds(mbps)} against {speeds(far_mbps)}. "
        "Power, lights, no data."
    )


@says("speed-unfit")
def _unfit(at: str, far: str, mbps: tuple, pairs: int) -> str:
    return f"**{at} and {far} get no link**: {speeds(mbps)} cannot run over {pairs} pairs here."


@says("reach-stated")
def _reach_stated(at: str, far: str, length_m: float, mbps: int) -> str:
    return f"**{at} to {far} is {metres(length_m)}**: beyond its sheet at {speed(mbps)}."


@says("reach-ordinary")
def _reach_ordinary(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> str:
    return (
        f"**{at} to {far} is {metres(length_m)}**: {speed(mbps)} is not assured past "
        f"100{NBSP}m.{_falls(falls_to)}"
    )


@says("reach-loss")
def _reach_loss(
    at: str,
    far: str,
    length_m: float,
    mbps: int,
    falls_to: int | None,
    over_db: float,
    mhz: float,
) -> str:
    return (
        f"**{at} to {far}, {metres(length_m)}**: {speed(mbps)} is not assured, "
        f"{over_db:.1f}{NBSP}dB over the limit.{_falls(falls_to)}"
    )


@says("reach-category")
def _reach_category(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> str:
    return (
        f"**{at} to {far}**: this cable is not made for {speed(mbps)} over "
        f"{metres(length_m)}.{_falls(falls_to)}"
    )


@says("reach-hot")
def _reach_hot(at: str, far: str, length_m: float, mbps: int) -> str:
    return (
        f"**{at} to {far}, {metres(length_m)}**: {speed(mbps)} is not assured on the hottest day."
    )


def _falls(falls_to: int | None) -> str:
    return f" {speed(falls_to)} is." if falls_to else ""


@says("collapse")
def _collapse(at: str, volts: float, share: float, feed: str, ohms: float) -> str:
    return f"**Nothing runs past {at}**: {volts:.0f}{NBSP}V cannot be held."


@says("collapse-worst")
def _collapse_worst(at: str, feed: str) -> str:
    return f"**At worst {at} cannot be held** by {feed}."


@says("volts-low")
def _volts_low(at: str, volts: float, cutoff: float) -> str:
    return f"**{at} would see {with_unit(volts)}**; it stops below {cutoff:.0f}{NBSP}V."


@says("start-up")
def _start_up(at: str, volts: float, needed: float) -> str:
    return (
        f"**{at} may never start**: it sees {with_unit(volts)} and starts at {needed:.0f}{NBSP}V."
    )


@says("start-up-cycling")
def _start_up_cycling(at: str) -> str:
    return f"**{at} comes on and drops out**, again and again. Its own load pulls it down."


@says("port-trip")
def _port_trip(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return (
        f"**{at} lets go**: {watts:.0f}{NBSP}W asked, {granted:g}{NBSP}W granted. "
        f"{box} shows class{NBSP}{class_}."
    )


@says("class-tight")
def _class_tight(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return (
        f"**{at} may let go at full load**: up to {watts:.0f}{NBSP}W asked, "
        f"{granted:g}{NBSP}W granted. {box} shows class{NBSP}{class_}."
    )


@says("class-short")
def _class_short(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return f"**{box} asks for class{NBSP}{class_}**, {at} grants no more than {granted:g}{NBSP}W."


@says("class-above")
def _class_above(at: str, watts: float, class_: int, most: float) -> str:
    return (
        f"**{at} draws {watts:.1f}{NBSP}W**; class{NBSP}{class_} may draw {most:g}{NBSP}W. "
        "The port may take the power away."
    )


@says("class-far")
def _class_far(at: str, box: str, class_: int, ohms: float) -> str:
    return (
        f"**{at} may misread {box}’s class{NBSP}{class_}**: the pair has {ohms:.0f}{NBSP}Ω, "
        f"assured are 22.7{NBSP}Ω."
    )


@says("keep-alive")
def _keep_alive(at: str, amps: float, least: float) -> str:
    return (
        f"**{at} may let go at light load**: {amps * 1000:.0f}{NBSP}mA, it wants "
        f"{least * 1000:g}{NBSP}mA."
    )


@says("port-power")
def _port_power(at: str, watts: float, most: float) -> str:
    return f"**{at} is asked for {watts:.0f}{NBSP}W**; its sheet gives {most:g}{NBSP}W."


@says("budget")
def _budget(budget: str, watts: float, most: float) -> str:
    return f"**The ports on {budget} need {watts:.0f}{NBSP}W** together; it has {most:g}{NBSP}W."


@says("current")
def _current(span: str, amps: float, most: float) -> str:
    return f"**A wire of {span} may carry {amps:.2f}{NBSP}A**; the limit is {most:g}{NBSP}A."


@says("heat")
def _heat(span: str, celsius: float, most: float) -> str:
    return f"**{span} may reach {celsius:.0f}{NBSP}°C**; it is rated for {most:g}{NBSP}°C."


@says("heat-bundle")
def _heat_bundle(span: str, rise: float, most: float) -> str:
    return f"**{span}’s bundle warms by {rise:.0f}{NBSP}°C**; {most:g}{NBSP}°C are recommended at most."


@says("assumed")
def _assumed(quantity: str, of: str, taken: str) -> str:
    return f"{capital(quantity.replace('_', ' '))} of {of}: {tied(taken)}."


@says("verdict-inside")
def _inside(at: str, kind: str) -> str:
    return "The plan holds here. **Go on.**"


@says("verdict-unclear")
def _unclear(at: str, kind: str, reach: float) -> str:
    return f"**This meter cannot tell**: it reaches ±{NBSP}{reach:.2g}{NBSP}{UNITS[kind]}. Measure again."


@says("verdict-outside-low")
def _outside_low(at: str, kind: str, by: float) -> str:
    return f"Even if the meter is out, **{LACKS.get(kind, 'it is too low')}**."


@says("verdict-outside-high")
def _outside_high(at: str, kind: str, by: float) -> str:
    return f"Even if the meter is out, **{EXCEEDS.get(kind, 'it is too high')}**."


LACKS = {
    "volts": "the loss is real",
    "milliamps": "too little is drawn",
    "watts": "too little is drawn",
}
EXCEEDS = {
    "volts": "less is drawn than planned, or the feed is high",
    "milliamps": "too much is drawn",
    "watts": "too much is drawn",
    "loop_ohms": "this cable resists too much",
    "earth_ohms": "the earth is too high",
}


@says("verdict-slow")
def _slow(at: str, mbps: float, expected: float) -> str:
    return f"**{capital(speed(mbps))}** where {speed(expected)} was expected."


@says("no-band-unplugged")
def _no_band_unplugged(at: str) -> str:
    return "A standard port gives a bare meter **no steady volts**. Plug the next box in."


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


@says("no-band-not-judged")
def _no_band_not_judged(at: str, kind: str) -> str:
    return f"{capital(KINDS[kind])}: kept with the job, **not judged** in this version."


@says("no-band-no-target")
def _no_band_no_target(at: str) -> str:
    return "The plan names **no target** for this earth. Kept as it is."


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
    return f"**{capital(with_unit(value, kind))} at {at}** has no settled cause."


@says("hold-unclear")
def _hold_unclear(at: str, kind: str, value: float) -> str:
    return f"**{with_unit(value, kind)} at {at}** is unclear. Measure again."


@says("hold-edit")
def _hold_edit(path: str, problem: str) -> str:
    return f"**A change of the plan does not fit** at {path}. It was left out."


@says("strip-step")
def _strip_step(state: str, step: Say | None) -> str:
    what = STEPS[step.code](**step.parts).short if step else ""
    word = {"done": "Done", "undone": "Open again", "not-here": "Not here"}[state]
    return f"**{word}.** {what}"


@says("told-unreadable")
def _told_unreadable(name: str, at: str, more: int) -> str:
    return f"{name} stops making sense at {at}. Nothing here was changed."


@says("told-no-start")
def _told_no_start(name: str) -> str:
    return f"{name} does not begin with a plan. Nothing was changed."


@says("told-here-already")
def _told_here(name: str) -> str:
    return f"{name} is here already. Merging two phones' logs is not built yet."


@says("told-full")
def _told_full() -> str:
    return "The phone is full. The digits stay here. Free some room, then tap Keep."


@says("told-read-only")
def _told_read_only() -> str:
    return "Nothing can be written here. The digits stay on the screen."


@says("told-failed")
def _told_failed() -> str:
    return "That could not be written. The digits stay here. Tap Keep again."


@says("told-busy")
def _told_busy() -> str:
    return "This job is open elsewhere. Close it there, then come back."


@says("told-torn")
def _told_torn() -> str:
    return "Power went while something was written. The last whole copy is used."


@says("told-no-name")
def _told_no_name(name: str) -> str:
    return f"There is no job called {name} here."


@says("row-unreadable")
def _row_unreadable() -> str:
    return "This file stops making sense. Nothing here was changed."


# ---------------------------------------------------------------- the screens


@dataclass(frozen=True)
class Fixed:
    """Words that stand by themselves."""

    title: str = "Farend"
    jobs: str = "Jobs"
    new: str = "New"
    settings: str = "Settings"
    no_jobs: str = "No jobs yet."
    plan_a_run: str = "Start from a sample"
    open_file: str = "Open a file"
    back: str = "Back"
    point: str = "Point"
    now: str = "Now"
    run: str = "Run"
    why: str = "Why"
    turned: str = "Turned round:"
    before: str = "Before you do"
    cannot: str = "Cannot, because"
    cannot_question: str = "Why can it not be done?"
    all_done: str = "Nothing more to do here."
    see_leave: str = "See if you may leave"
    mend_plan: str = "See the plan"
    first_mend: str = "the plan breaks a rule"
    type_it: str = "Type the meter's figure"
    loaded: str = "loaded"
    loaded_means: str = "all running"
    open: str = "open"
    open_means: str = "nothing beyond"
    no_meter: str = "no meter"
    no_reach: str = "no sheet"
    measure_again: str = "Measure again"
    take_back: str = "Take it back"
    see_run: str = "See it on the run"
    and_milliamps: str = "And the milliamps"
    kept_as_is: str = "the value is kept"
    waive: str = "Waive"
    who_answers: str = "Who answers?"
    waive_it: str = "Waive it"
    measure_it: str = "Measure it"
    do_it: str = "Do it"
    see_it: str = "See it"
    free: str = "**Nothing** holds you here."
    leave_site: str = "Leave the site"
    leave_site_more: str = "your name and the time are kept"
    reasons_title: str = "Why may it stay so?"
    name_label: str = "Name of who answers"
    own_name_label: str = "Your name"
    role_label: str = "What they are"
    own_words: str = "Own words"
    something_else: str = "Something else"
    keep_reason: str = "Keep this reason"
    undo: str = "Undo"
    not_now: str = "Not now"
    close: str = "Close"
    all: str = "all"
    here: str = "here"
    open_only: str = "open"
    done: str = "done"
    reading_key_rub: str = "Rub out"
    reading_key_point: str = "Decimal point"
    plan: str = "Plan"
    pick_sample: str = "Which sample?"
    pick_sample_more: str = "It is copied. You change names and lengths."
    sample_slab: str = "copied; then names and lengths"
    title_label: str = "Name of the job"
    keep_change: str = "Keep the change"
    no_finding: str = "Nothing breaks."
    look: str = "Look"
    sun: str = "sun"
    dark: str = "dark"
    phone: str = "as the phone"
    name: str = "Name"
    name_more: str = "It stands beside what you keep."
    waiting: str = "Reading the job"
    went_wrong: str = "This screen could not be drawn."
    went_wrong_more: str = "What was kept is on this phone. Go back and try another way."
    to_jobs: str = "To the jobs"
    open_holds: str = "Leave"
    no_reading: str = "no reading"
    design: str = "design"
    today: str = "today"
    no_data: str = "power, no data"
    in_: str = "IN"


FIXED = Fixed()

CANNOT = ("not here", "no part", "not allowed")
"""ready reasons why a step cannot be done"""

WAIVERS = ("part on order", "done by others", "no access today", "agreed with the client")
"""ready reasons to waive"""


def kept(at: str) -> str:
    """``kept 14:32``: the last entry that is safely on this phone."""
    return f"kept {at}" if at else "nothing kept yet"


def job_line(length_m: float, boxes: int, next_stop: str) -> str:
    """Second line of a job's row."""
    where = f", {next_stop} next" if next_stop else ""
    return f"{metres(length_m)}, {boxes} boxes{where}"


def held_by(number: int) -> str:
    """``held by 2``"""
    return f"held by {number}" if number else "free"


def go_on(title: str) -> str:
    """The slab of Jobs."""
    return f"Go on with {title}"


def run_line(length_m: float, at: str) -> str:
    """Under the job's name on Run."""
    return f"{metres(length_m)}, {kept(at)}"


def progress(done: int, total: int, following: str) -> str:
    """Under the slab of Now."""
    then = f" Next: {following}" if following else ""
    return f"done: {done} of {total}.{then}"


def all_steps(total: int) -> str:
    """The quiet button that leads to Steps."""
    return f"All {total} steps"


def leave_bar(number: int) -> str:
    """The third place on the bar."""
    if not number:
        return FIXED.open_holds
    return f"{FIXED.open_holds}: {number} {'holds' if number == 1 else 'hold'}"


def leave_bar_short(number: int) -> str:
    """The same where letters are large."""
    return f"{FIXED.open_holds}: {number}" if number else FIXED.open_holds


def steps_title(done: int, total: int) -> str:
    """What stands, on Steps."""
    return f"**{done} of {total}** done."


def stop_header(name: str, at_m: float) -> str:
    """A stop's black tag."""
    return f"{name} {metres(at_m)}"


def done_by(by: str, at: str) -> str:
    """Who did a step, and when."""
    return " ".join(word for word in (by, at) if word) or "done"


def reopened(short: str) -> str:
    """A step that has to be done again: what it rested on was undone."""
    return f"open again: {short[:1].lower()}{short[1:]} was undone"


def not_here(why: str) -> str:
    """A step that was put aside."""
    return f"not done: {why}" if why else "not done"


def press_end(short: str, done: bool) -> str:
    """The name of the jacket's end that ticks a step off."""
    return f"Open again: {short}" if done else f"Done: {short}"


def here_line(kind: str, stop: str, at_m: float | None) -> str:
    """Under the point on the pad: kind, stop, metres."""
    place = f", {stop}" if stop else ""
    far = f", {metres(at_m)}" if at_m is not None else ""
    return f"{KINDS[kind]}{place.lower()}{far}"


def keep_slab(digits: str, kind: str) -> str:
    """The pad's slab."""
    return f"Keep {typed_with_unit(digits.rstrip('.'), kind)}"


def over_range(digits: str, kind: str) -> str:
    """A figure nothing here can reach; keeping is allowed."""
    return f"{typed_with_unit(digits, kind)}? Nothing here exceeds {with_unit(MOST[kind], kind)}"


def below(value: float, kind: str) -> str:
    """The typed figure lies under the band."""
    return f"below {with_unit(value, kind)}: is the lead seated?"


def above(value: float, kind: str) -> str:
    """The typed figure lies over the band."""
    return f"above {with_unit(value, kind)}: right point, right range?"


def within(low: float, high: float, kind: str) -> str:
    """The typed figure lies in the band."""
    return f"the plan says {figure(low, kind)} to {with_unit(high, kind)}"


def meter_reach(reach: float, kind: str) -> str:
    """The meter's ± at this value."""
    shown = f"{reach:.1f}" if reach >= 0.1 else f"{reach:.2f}"
    return f"±{shown}{NBSP}{UNITS[kind]} here"


def were_typing(digits: str, at: str, since: str) -> str:
    """After a kill: what was on the pad."""
    when = f", {since}" if since else ""
    return f"You were typing {digits} at {at}{when}"


def verdict_state(standing_open: bool, at: str) -> str:
    """Beside the point on a verdict."""
    state = FIXED.open if standing_open else FIXED.loaded
    return f"{state}, {at}" if at else state


def off_by(by: float, kind: str, low: bool) -> str:
    """``2.7 V low``"""
    return f"{with_unit(by, kind)} {'low' if low else 'high'}"


def starts_past(box: str) -> str:
    """Where a loss starts."""
    return f"{box} was as expected, so it starts **past {box}**."


def starts_at_feed() -> str:
    """A loss with no good reading in front of it."""
    return "Nothing in front of it is measured yet. **Measure nearer the feed.**"


def go_on_to(short: str) -> str:
    """The slab after an inside."""
    return f"Go on: {short[:1].lower()}{short[1:]}" if short else "Go on"


def measure_at(at: str, kind: str) -> str:
    """The slab of a step that asks for a reading."""
    if kind == "volts":
        return f"Measure volts at {spot(at)}"
    if kind == "mbps":
        return f"Read the speed at {spot(at)}"
    return f"Measure {KINDS[kind]} at {at}"


def log_here(kind: str = "volts") -> str:
    """The slab of Run."""
    return f"Log {KINDS[kind]} here"


def see_verdict() -> str:
    """The slab of Run at a point that was read and agrees."""
    return "See its verdict"


def collapse_line(at: str, volts: float) -> str:
    """On the falling line where the cable breaks off."""
    return f"Nothing runs past {at}: {volts:.0f}{NBSP}V cannot be held"


def lets_go_line(at: str, watts: float, most: float) -> str:
    """On the falling line where a port is asked for more than it gives."""
    return f"{at} lets go: {watts:.0f}{NBSP}W asked, {most:.0f}{NBSP}W given"


def no_longer_counts() -> str:
    """A reading that was repeated, taken back, or made before something was altered."""
    return "It **no longer counts**: repeated, taken back, or altered since."


def gone() -> str:
    """A verdict whose reading is not in this job."""
    return "This reading is not here any more."


def not_found_yet() -> str:
    """Under the slab after an outside, as long as causes are not worked out."""
    return "causes come in a later version"


def both_used() -> str:
    """Under the slab after an unclear."""
    return "both readings count"


def amps_why() -> str:
    """Why amps are asked beside volts."""
    return "same moment: tells load from cable"


def no_lead() -> str:
    """The quiet way past the milliamps."""
    return "No lead for it"


def what_is_missing() -> str:
    """Under the slab of a waiver that cannot be kept yet."""
    return "a reason and a name are needed"


def plan_line(length_m: float, boxes: int) -> str:
    """Under the job's name in the plan."""
    return f"plan, {metres(length_m)}, {boxes} boxes"


def done_button() -> str:
    """Out of the plan."""
    return "Done"


def site_label() -> str:
    """The site's name field."""
    return "Name of the site"


def plan_value(value: Any) -> str:
    """A plan's value as it is put into a field; a band shows what is expected."""
    if isinstance(value, dict):
        value = value.get("expected", "")
    if isinstance(value, float | int):
        return f"{value:g}"
    return str(value or "")


def type_a_value() -> str:
    """Under the slab while a field holds nothing that can be kept."""
    return "type a name, or metres"


def no_predicted() -> str:
    """A point without power."""
    return "no power by the plan"


_DARK = {
    "cycling": "comes and goes, by the plan",
    "starved": "too few volts, by the plan",
    "off": no_predicted(),
}


def predicted(low: float | None, high: float | None, state: str = "on") -> str:
    """What a point should show; where the worst case holds nothing there is no low end."""
    if state in _DARK:
        return _DARK[state]
    if low is None and high is None:
        return no_predicted()
    if low is None:
        return f"should show up to {with_unit(high)}"
    if high is None:
        return f"should show {with_unit(low)} or more"
    return f"should show {figure(low)} to {with_unit(high)}"


def floor(volts: float, box: str) -> str:
    """Words above the hatching."""
    return f"{volts:.0f}{NBSP}V  below this, {box} stops"


def held_title(number: int) -> str:
    """The sentence of Leave."""
    if not number:
        return FIXED.free
    verb = "holds" if number == 1 else "hold"
    return f"**{capital(things(number))}** {verb} you here."


def held_box(number: int) -> str:
    """The box the cable plugs into."""
    return f"Held by {count(number)}" if number else FIXED.leave_site


def leave_summary(done: int, total: int, readings: int) -> str:
    """Under it."""
    kept_words = "1 reading" if readings == 1 else f"{readings} readings"
    return f"{done} of {total} done, {kept_words} kept"


def where_you_stand(stop: str, is_here: bool) -> str:
    """Beside a hold's tag."""
    return f"{stop.lower()}, where you stand" if is_here else stop.lower()


def waived_by(at: str, by: str, reason: str) -> str:
    """A waived hold stays, with who and why."""
    when = f" {at}" if at else ""
    return f"Waived{when} by {by}: {reason}"


def stays_wrong(what: str) -> str:
    """What stays wrong when it is waived."""
    return f"It stays: {what}"


def plan_answer(low: float, spare: float) -> str:
    """The plan's first line when nothing breaks."""
    return f"Nothing breaks, even at worst: **{with_unit(low)}**, {with_unit(spare)} to spare."


def length_of(span: str, a: str, b: str) -> str:
    """The name of a length's field."""
    return f"Metres of {span}, {a} to {b}"


def name_of(box: str) -> str:
    """The name of a box's name field."""
    return f"Name of {box}"


def version(number: str) -> str:
    """At the foot of Settings."""
    return f"Farend {number}"


# ---------------------------------------------------------------- words inside drawings


def grid_volts(value: float) -> str:
    """``50 V`` beside a line of the grid."""
    return f"{value:g}{NBSP}V"


def more_boxes(number: int) -> str:
    """``+14 boxes`` where a long run is cut short."""
    return f"+{number}{NBSP}{'box' if number == 1 else 'boxes'}"


def stop_and_place(name: str, place: str) -> str:
    """``Sluice  207 m``"""
    return f"{name}{NBSP}{NBSP}{place}"


def minutes(value: float) -> str:
    """``6 min``"""
    return f"{value:.0f}{NBSP}min"


def port_name(port: str) -> str:
    """A port as it is written inside its box."""
    return port.upper()


def lead(metres_: float | None) -> str:
    """The length of an earth lead."""
    return f"{metres_:g}{NBSP}m" if metres_ else ""


WORDING = Wording(
    metres=metres,
    volts=with_unit,
    grid_volts=grid_volts,
    more=more_boxes,
    stop=stop_and_place,
    minutes=minutes,
    design=FIXED.design,
    today=FIXED.today,
    no_data=FIXED.no_data,
)

# ---------------------------------------------------------------- what drawings say aloud


def speak_ribbon(length_m: float, here: str, proven: str, suspect: tuple[str, ...]) -> str:
    """The ribbon for a screen reader."""
    parts = [f"Run, {length_m:.0f} metres."]
    if proven:
        parts.append(f"Proven to {proven}.")
    if suspect:
        reach = suspect[0] if len(suspect) == 1 else f"{suspect[0]} to {suspect[-1]}"
        parts.append(f"{reach} suspect.")
    if here:
        parts.append(f"You are at {here}.")
    return " ".join(parts)


def speak_line(volts: list[tuple[str, float | None, str]], cutoff: str) -> str:
    """The falling line for a screen reader: (box, volts, verdict) along the run."""
    told = [
        f"{box} {figure(value)}" + (f", {VERDICTS[verdict]}" if verdict else "")
        for box, value, verdict in volts
        if value is not None
    ]
    return f"Volts: {', '.join(told)}. {cutoff}." if told else "Volts: none predicted."


def speak_gauge(
    reading: float | None, reach: float, low: float | None, high: float | None, kind: str, word: str
) -> str:
    """The band gauge for a screen reader."""
    parts = []
    if reading is not None:
        parts.append(f"{with_unit(reading, kind)}, plus or minus {reach:.2g}.")
    if low is not None and high is not None:
        parts.append(f"Predicted {figure(low, kind)} to {figure(high, kind)}.")
    if word:
        parts.append(f"{capital(word)}.")
    return " ".join(parts) or "Nothing predicted here."


def speak_box(box: str, kind: str, ports: tuple[tuple[str, str], ...], wrong: bool) -> str:
    """A box drawn large, for a screen reader."""
    sides = ", ".join(f"{port.upper()} faces {far}" for port, far in ports)
    way = "Wrong way round." if wrong else "Right way round."
    return f"{box}, {kind}. {sides}. {way}"


def speak_step(short: str) -> str:
    """The drawing of a step for a screen reader."""
    return f"Drawing: {short}"


def speak_mini(title: str) -> str:
    """The small falling line of a job's row."""
    return f"{title}, its falling line"


def of(value: Any) -> str:
    """A value typed by the user, shown as it is."""
    return str(value)
