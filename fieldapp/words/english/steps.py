"""What is to be done, in words: the deed, its reason, its caution."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from engine.say import Say
from fieldapp.words import codes
from fieldapp.words.english.figures import NBSP, metres, point, side_of, spot, wire
from fieldapp.words.english.sheetnames import held_together


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

step_words = codes.entered_in(STEPS)


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
        "Water in an open end creeps far in. Leave slack at both ends.",
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
        f"Read the label on **{box}**. The plan says: {held_together(title)}.",
        "The wrong variant is the commonest surprise.",
        f"{box} is as the plan says",
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
    thick = f", {wire(mm2)}" if mm2 else ""
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
def _fit(box: str, kind: str, ports: tuple[tuple[str, str, str, str], ...]) -> StepWords:
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
    what = f"**{box}**" if name == box else f"**{box}**, {name}"
    return StepWords(
        f"Mount {what}. Leave it **unplugged**.",
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
        "Came back by itself, twice",
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
