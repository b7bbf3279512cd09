"""The engine's English: one function a code, parts in, words out.

The app has its own sentences in ``fieldapp/words.py``; these are what the command line
prints. ``english`` is total over the codes: a test asks for each of them.
"""

from __future__ import annotations

from collections.abc import Callable

from attrs import frozen

from engine.say import Say


@frozen
class Phrase:
    """Words for one statement. A step also has its reason, caution and result."""

    text: str
    why: str = ""
    caution: str | None = None


PHRASES: dict[str, Callable[..., Phrase]] = {}


def phrase(code: str):
    """Register the words of a code."""

    def keep(function: Callable[..., Phrase]) -> Callable[..., Phrase]:
        PHRASES[code] = function
        return function

    return keep


def english(statement: Say) -> Phrase:
    """The words of a statement."""
    return PHRASES[statement.code](**statement.parts)


def speeds(mbps: tuple[int, ...]) -> str:
    """A list of speeds as the trade says it: ``10/100``, ``gigabit only``."""
    if tuple(mbps) == (1000,):
        return "gigabit only"
    return "/".join(str(speed) for speed in mbps) + " Mb/s"


FACES = {
    "source": "the feed",
    "endpoint": "the far end",
    "equipment": "equipment, by a patch lead",
    "long-span": "the long cable to its partner",
    "exposed": "the cable that runs outdoors",
    "any": "either side",
}

# ---------------------------------------------------------------- findings


@phrase("feed")
def _feed(box):
    return Phrase(
        f"{box} gets no power: no source feeds it.",
        "Nothing out there has power of its own; every box hangs on a feed upstream.",
    )


@phrase("feed-twice")
def _feed_twice(box, first, second):
    return Phrase(
        f"Two feeds reach {box}: {first} and {second}.",
        "Two sources on one run push against each other, or one refuses.",
    )


@phrase("orientation")
def _orientation(box, port, wants, meets):
    there = f" It meets {meets}." if meets else ""
    return Phrase(
        f"{box} is the wrong way round: {port} wants {FACES[wants]}.{there}",
        "Only the right port drives that side; the other way power may get through, data does not.",
    )


@phrase("arrestor-facing")
def _arrestor_facing(box, port, span):
    return Phrase(
        f"{box} has its back to the weather: {port} must face {span}.",
        "An arrestor stops a surge only from its line side.",
    )


@phrase("bond")
def _bond(box):
    return Phrase(
        f"{box} has no earth lead in the plan.",
        "Without earth a surge has nowhere to go but into the equipment.",
        "Earthing is for licensed people; local code decides.",
    )


@phrase("speed-mismatch")
def _speed_mismatch(at, mbps, far, far_mbps):
    return Phrase(
        f"{at} ({speeds(mbps)}) and {far} ({speeds(far_mbps)}) share no speed: no link at all.",
        "Power is fine and lights may be on, but no data gets through.",
    )


@phrase("speed-unfit")
def _speed_unfit(at, far, mbps, pairs):
    return Phrase(
        f"{at} and {far} share {speeds(mbps)}, but what lies between cannot carry it "
        f"({pairs} pairs): no link.",
        "Gigabit runs over four pairs, and through nothing slower.",
    )


@phrase("reach-stated")
def _reach_stated(at, far, length_m, mbps):
    return Phrase(
        f"{at} to {far} is {length_m:.0f} m: beyond what the sheet states for {mbps} Mb/s.",
        "The sheet of the port ends there; the link will be slower or dead.",
    )


@phrase("reach-ordinary")
def _reach_ordinary(at, far, length_m, mbps):
    return Phrase(
        f"{at} to {far} is {length_m:.0f} m: {mbps} Mb/s is not assured beyond 100 m.",
        "It may still link, but nothing promises it.",
    )


@phrase("collapse")
def _collapse(at, volts, share):
    return Phrase(
        f"Nothing runs past {at}: {volts:g} V cannot be held. "
        f"The run bears {share:.2f} of the planned load.",
        "Constant-power boxes draw more amps as volts sag, until there is no balance.",
    )


@phrase("collapse-worst")
def _collapse_worst(at, feed):
    return Phrase(
        f"At worst, {at} cannot be held by {feed}.",
        "With every tolerance against you the run has no operating point.",
    )


@phrase("volts-low")
def _volts_low(at, volts, cutoff):
    return Phrase(
        f"{at} would see {volts:.1f} V; it stops below {cutoff:g} V.",
        "A box under its cut-off switches off.",
    )


@phrase("assumed")
def _assumed(quantity, of, taken):
    return Phrase(f"{quantity.replace('_', ' ')} of {of}: {taken}")


# ---------------------------------------------------------------- steps


@phrase("step-announce")
def _step_announce():
    return Phrase(
        "Say who you are, agree on the outage, look at the sky.",
        "Somebody has to know that the port goes off, and where you are.",
        "Thunder heard or seen: no hand on outdoor copper until half an hour after the last.",
    )


@phrase("step-meter")
def _step_meter():
    return Phrase(
        "Prove the meter: tips shorted, a known voltage, DC set, battery.",
        "Every verdict of the day rests on it.",
    )


@phrase("step-feed")
def _step_feed(box, name, volts, granted):
    grant = f" It must grant {granted:g} W or more." if granted else ""
    return Phrase(
        f"Read {box} ({name}) at the port: a powered source, switched on.{grant}",
        "Nothing out there has power of its own. Readings mean nothing until the feed is there.",
        "The mains side of a supply is for licensed people.",
    )


@phrase("step-off")
def _step_off(box):
    return Phrase(
        f"Switch {box} off, unplug it, tag it with your name.",
        "Nobody may energise the run while hands are on copper.",
        "Off is what was said, not what a wire is: prove it on a known live, this, a known live.",
    )


@phrase("step-pull")
def _step_pull(span, length_m, near, far, outdoor):
    return Phrase(
        f"Pull {span}, {length_m:.0f} m, {near} to {far}: ends capped, slack left at both.",
        "Water in an open end creeps metres; slack saves the second termination.",
        "Keep clear of mains; at height somebody must know where you are." if outdoor else None,
    )


@phrase("step-terminate")
def _step_terminate(span):
    return Phrase(
        f"Terminate {span}: the same pinout at both ends, gland threaded before the plug.",
        "A crossed or split pair shows in no voltage.",
    )


@phrase("step-pairs")
def _step_pairs(span):
    return Phrase(
        f"Measure {span}: far end shorted, nothing plugged in, loop ohms of the pairs.",
        "Clad, thin or too long cable shows here, before anything hangs on it.",
        "Never ohms on a live pair.",
    )


@phrase("step-sheet")
def _step_sheet(box, title):
    return Phrase(
        f"Compare the label on {box} with its sheet: {title}.",
        "The wrong variant is the commonest surprise.",
    )


@phrase("step-speeds")
def _step_speeds(start, start_mbps, end, end_mbps, gigabit_only):
    only = f" Gigabit only: {', '.join(gigabit_only)}." if gigabit_only else ""
    return Phrase(
        f"{start} ({speeds(start_mbps)}) and {end} ({speeds(end_mbps)}) must share a speed.{only}",
        "Where two ends share none there is no link: power fine, lights on, no data.",
    )


@phrase("step-bond")
def _step_bond(box, earth, lead_m, mm2):
    to = f" to {earth}" if earth else ""
    lead = f", {lead_m:g} m" if lead_m else ""
    thick = f", {mm2:g} mm2" if mm2 else ""
    return Phrase(
        f"Fit the earth lead of {box}{to}{lead}{thick}: short, straight, no loop.",
        "A surge must have its way before it has a target.",
        "Local code and a licensed person decide about earthing. Never part an earth.",
    )


@phrase("step-earth")
def _step_earth(earth, target):
    goal = f" The plan asks for {target:g} ohm or less." if target else ""
    return Phrase(
        f"Measure the earth at {earth}.{goal}",
        "A fitted lead is not a measured one.",
        "Take the licensed person's figure where there is one. Never part an earth to measure.",
    )


@phrase("step-fit")
def _step_fit(box, kind, ports):
    joined = ", ".join(f"{port} to {far}" for port, _, far, _ in ports)
    sides = "; ".join(
        f"{port} faces {FACES[faces]}" for port, faces, _, _ in ports if faces != "any"
    )
    return Phrase(
        f"Fit {box}: {joined}.",
        f"{sides[0].upper()}{sides[1:]}." if sides else "Both sides are alike.",
    )


@phrase("step-mount")
def _step_mount(box, name):
    return Phrase(
        f"Mount {box} ({name}); leave it unplugged.",
        "The endpoint comes last, when everything in front of it is proven.",
        "Ladder, roof or mast: tied off, tools on lanyards, not in wind, ice or dark.",
    )


@phrase("step-look")
def _step_look():
    return Phrase(
        "Walk back and look: way round, glands, no forgotten injector, no far-end short.",
        "Reversed boxes and open leads show in no reading.",
    )


@phrase("step-energise")
def _step_energise(box):
    return Phrase(
        f"All clear said by both? Plug in and switch {box} on; then one box at a time, outwards.",
        "The first wrong box is then the newest one.",
        "Up to 57 V on the pairs: in the wet or with bare contacts in reach, off first, always.",
    )


@phrase("step-volts")
def _step_volts(at):
    return Phrase(
        f"Measure volts at {at}, with the break-out lead.",
        "Each box is proven before the next hangs on it.",
        "Bare tips in a live jack short two pairs.",
    )


@phrase("step-link")
def _step_link(at, far):
    return Phrase(
        f"Read the link speed at {at}, towards {far}.",
        "Power and data go wrong apart.",
    )


@phrase("step-full")
def _step_full(box, watts):
    return Phrase(
        f"Everything on at {box}, up to {watts:g} W, for 15 minutes: far volts, error counts.",
        "Faults come at full load and at night.",
    )


@phrase("step-cold")
def _step_cold(box):
    return Phrase(
        f"{box} off for 10 s, on again; twice. All must return by itself.",
        "A box that restarts only by hand will be dark after the first outage.",
    )


@phrase("step-close")
def _step_close(stop, boxes):
    return Phrase(
        f"Close and seal {', '.join(boxes)} at {stop}; blank unused ports.",
        "Water finds the one gland that was forgotten.",
    )


@phrase("step-labels")
def _step_labels(stop):
    return Phrase(
        f"Label both ends of every span and every box at {stop}.",
        "Whoever comes next has only these.",
    )


@phrase("step-take-back")
def _step_take_back():
    return Phrase(
        "Take back in-line lead, known load, shorts and tags; count the tools.",
        "What was fitted for a test is a fault once you are gone.",
    )


# ---------------------------------------------------------------- verdicts


@phrase("verdict-inside")
def _inside(at, kind):
    return Phrase(f"{at}: as expected.")


@phrase("verdict-unclear")
def _unclear(at, kind, reach):
    return Phrase(f"{at}: this meter cannot tell; it reaches ± {reach:.2g}.")


@phrase("verdict-outside-low")
def _outside_low(at, kind, by):
    return Phrase(f"{at}: {by:.2g} below the band, even if the meter is out.")


@phrase("verdict-outside-high")
def _outside_high(at, kind, by):
    return Phrase(f"{at}: {by:.2g} above the band, even if the meter is out.")


@phrase("verdict-slow")
def _slow(at, mbps, expected):
    seen = f"{mbps} Mb/s" if mbps else "no link"
    return Phrase(f"{at}: {seen} where {expected} Mb/s was expected.")


@phrase("no-band-unplugged")
def _no_band_unplugged(at):
    return Phrase(
        f"{at}: a standard port gives a bare meter no steady volts. Plug in the box behind it.",
        "The port only probes, in bursts below 30 V, until a box answers.",
    )


@phrase("no-band-collapse")
def _no_band_collapse(at):
    return Phrase(f"{at}: with this load nothing can be held, so nothing steady is predicted.")


@phrase("no-band-unpowered")
def _no_band_unpowered(at):
    return Phrase(f"{at}: nothing is predicted here; the plan brings no power to this point.")


@phrase("no-band-not-judged")
def _no_band_not_judged(at, kind):
    return Phrase(f"{at}: {kind.replace('_', ' ')} are kept, not judged.")


@phrase("no-band-no-target")
def _no_band_no_target(at):
    return Phrase(f"{at}: the plan names no earth target to hold this against.")


# ---------------------------------------------------------------- holds


@phrase("hold-finding")
def _hold_finding(finding):
    return Phrase(english(finding).text)


@phrase("hold-step")
def _hold_step(step):
    return Phrase(f"Not done: {english(step).text}")


@phrase("hold-missing")
def _hold_missing(at, kind):
    return Phrase(f"No {READINGS[kind]} at {at}.")


@phrase("hold-outside")
def _hold_outside(at, kind, value):
    return Phrase(f"{value:g} {UNITS[kind]} at {at} is outside and has no settled cause.")


@phrase("hold-unclear")
def _hold_unclear(at, kind, value):
    return Phrase(f"{value:g} {UNITS[kind]} at {at} is unclear: measure again.")


@phrase("hold-edit")
def _hold_edit(path, problem):
    return Phrase(f"A plan edit at {path} does not fit and was left out: {problem}")


READINGS = {
    "volts": "volts",
    "milliamps": "amps",
    "watts": "watts",
    "mbps": "link speed",
    "earth_ohms": "earth reading",
    "loop_ohms": "loop ohms",
    "unbalance_ohms": "unbalance",
    "metres": "length",
    "celsius": "temperature",
    "error_count": "error count",
}
UNITS = {
    "volts": "V",
    "milliamps": "mA",
    "watts": "W",
    "mbps": "Mb/s",
    "earth_ohms": "ohm",
    "loop_ohms": "ohm",
    "unbalance_ohms": "ohm",
    "metres": "m",
    "celsius": "°C",
    "error_count": "errors",
}
