"""What is to be done, in words: the deed, its reason, its caution."""

from __future__ import annotations

from engine.entries import UNITS
from engine.phrases.book import FACES, READINGS, Phrase, phrase, speeds


@phrase("step-announce")
def _step_announce() -> Phrase:
    return Phrase(
        "Say who you are, agree on the outage, look at the sky.",
        "Somebody has to know that the port goes off, and where you are.",
    )


@phrase("step-walk")
def _step_walk(stops: tuple[str, ...], far: str, metres: float) -> Phrase:
    return Phrase(
        f"Walk the route with the plan, {metres:.0f} m to {far} and back: distances, buildings, "
        "earths, mains crossings. Photograph what is there.",
        "Plans lie. Put right now it costs a minute; found out later, a day.",
    )


@phrase("step-meter")
def _step_meter() -> Phrase:
    return Phrase(
        "Prove the meter: tips shorted, a known voltage, DC set, battery.",
        "Every verdict of the day rests on it.",
    )


@phrase("step-feed")
def _step_feed(box: str, name: str, volts: float, granted: float | None) -> Phrase:
    grant = f" It must grant {granted:g} W or more." if granted else ""
    return Phrase(
        f"Read {box} ({name}) at the port: a powered source, switched on.{grant}",
        "Nothing out there has power of its own. Readings mean nothing until the feed is there.",
    )


@phrase("step-reel")
def _step_reel(span: str, length_m: float, title: str, ohms: float) -> Phrase:
    reads = f" 100 m of a pair, far end shorted, reads about {ohms:.1f} ohm." if ohms else ""
    return Phrase(
        f"Check the reel for {span}: the print says {title}; its marks leave {length_m:.0f} m "
        f"and slack.{reads}",
        "A clad reel is cheap to refuse and dear to pull out: it reads half as much again as copper.",
    )


@phrase("step-rehearse")
def _step_rehearse(boxes: tuple[str, ...]) -> Phrase:
    return Phrase(
        f"Rehearse at the table, short leads, the whole chain: {', '.join(boxes)}. "
        "Endpoint configured, all linked.",
        "A dead or reversed box costs a minute here, an hour on the mast.",
    )


@phrase("step-off")
def _step_off(box: str) -> Phrase:
    return Phrase(
        f"Switch {box} off, unplug it, tag it with your name.",
        "Nobody may energise the run while hands are on copper.",
    )


@phrase("step-pull")
def _step_pull(span: str, length_m: float, near: str, far: str, outdoor: bool) -> Phrase:
    return Phrase(
        f"Pull {span}, {length_m:.0f} m, {near} to {far}: ends capped, slack left at both.",
        "Water in an open end creeps metres; slack saves the second termination.",
        "Keep off mains cables: across them at right angles, never alongside." if outdoor else None,
    )


@phrase("step-marks")
def _step_marks(span: str, length_m: float) -> Phrase:
    return Phrase(
        f"Read the metre marks on {span}: this end less the one it began with. "
        f"The plan says {length_m:.0f} m.",
        "It is the real length, and later the way to a fault.",
    )


@phrase("step-terminate")
def _step_terminate(span: str) -> Phrase:
    return Phrase(
        f"Terminate {span}: the same pinout at both ends, gland threaded before the plug.",
        "A crossed or split pair shows in no voltage.",
    )


@phrase("step-pairs")
def _step_pairs(span: str) -> Phrase:
    return Phrase(
        f"Measure {span}: map of the pairs, then far end shorted, nothing plugged in, loop ohms "
        "of each pair.",
        "Crossed, clad, thin or too long cable shows here, before anything hangs on it.",
    )


@phrase("step-screens")
def _step_screens(span: str, here: str, there: str) -> Phrase:
    return Phrase(
        f"Before the earths of {here} and {there} are joined: volts between the screen of {span} "
        "and the bar.",
        "The screen would carry what flows between two buildings.",
    )


@phrase("step-sheet")
def _step_sheet(box: str, title: str) -> Phrase:
    return Phrase(
        f"Compare the label on {box} with its sheet: {title}.",
        "The wrong variant is the commonest surprise.",
    )


@phrase("step-speeds")
def _step_speeds(
    start: str,
    start_mbps: tuple[int, ...],
    end: str,
    end_mbps: tuple[int, ...],
    gigabit_only: tuple[str, ...],
) -> Phrase:
    only = f" Gigabit only: {', '.join(gigabit_only)}." if gigabit_only else ""
    return Phrase(
        f"{start} ({speeds(start_mbps)}) and {end} ({speeds(end_mbps)}) must share a speed.{only}",
        "Where two ends share none there is no link: power fine, lights on, no data.",
    )


@phrase("step-bond")
def _step_bond(
    box: str, earth: str | None, lead_m: float | None, mm2: float | None, volts: float | None
) -> Phrase:
    to = f" to {earth}" if earth else ""
    lead = f", {lead_m:g} m" if lead_m else ""
    thick = f", {mm2:g} mm2" if mm2 else ""
    adds = f" This lead adds about {volts:.0f} V to what it sees on 3 kA." if volts else ""
    return Phrase(
        f"Fit the earth lead of {box}{to}{lead}{thick}: short, straight, no loop.",
        f"A surge must have its way before it has a target.{adds}",
    )


@phrase("step-earth")
def _step_earth(earth: str, target: float | None) -> Phrase:
    goal = f" The plan asks for {target:g} ohm or less." if target else ""
    return Phrase(
        f"Measure the earth at {earth}, or take the licensed person's figure.{goal}",
        "A fitted lead is not a measured one.",
    )


@phrase("step-fit")
def _step_fit(box: str, kind: str, ports: tuple[tuple[str, str, str, str], ...]) -> Phrase:
    joined = ", ".join(f"{port} to {far}" for port, _, far, _ in ports)
    sides = "; ".join(
        f"{port} faces {FACES[faces]}" for port, faces, _, _ in ports if faces != "any"
    )
    return Phrase(
        f"Fit {box}: {joined}.",
        f"{sides[0].upper()}{sides[1:]}." if sides else "Both sides are alike.",
    )


@phrase("step-mount")
def _step_mount(box: str, name: str) -> Phrase:
    what = box if name == box else f"{box} ({name})"
    return Phrase(
        f"Mount {what}; leave it unplugged.",
        "The endpoint comes last, when everything in front of it is proven.",
    )


@phrase("step-photo")
def _step_photo(box: str, kind: str) -> Phrase:
    return Phrase(
        f"Photograph {box} with its sides and the leads in them.",
        "A reversed arrestor shows in no reading. In a picture it does."
        if kind == "arrestor"
        else "Whoever is called when it is dark sees which way round it was.",
    )


@phrase("step-photo-bond")
def _step_photo_bond(box: str, earth: str | None) -> Phrase:
    to = f", up to {earth}" if earth else ""
    return Phrase(
        f"Photograph the earth lead of {box}{to}.",
        "An open lead shows in no reading.",
    )


@phrase("step-look")
def _step_look() -> Phrase:
    return Phrase(
        "Walk back and look: way round, glands, no forgotten injector, no far-end short.",
        "Reversed boxes and open leads show in no reading.",
    )


@phrase("step-clear")
def _step_clear() -> Phrase:
    return Phrase(
        "All clear, said by everybody, by voice: no hand on copper anywhere.",
        "Nobody sees the other end of the run.",
    )


@phrase("step-energise")
def _step_energise(box: str) -> Phrase:
    return Phrase(
        f"Plug in and switch {box} on; then one box at a time, outwards.",
        "The first wrong box is then the newest one.",
    )


@phrase("step-load")
def _step_load(box: str, watts: float) -> Phrase:
    return Phrase(
        f"A known load of about {watts:.0f} W in place of {box}: volts and amps here and at the "
        f"boxes you come past. Then plug in {box}.",
        "It draws the same all the time, so no bad joint hides behind a load that moves.",
    )


@phrase("step-volts")
def _step_volts(at: str) -> Phrase:
    return Phrase(
        f"Measure volts at {at}, and the amps with them, with the break-out lead.",
        "Each box is proven before the next hangs on it. Bare tips would short two pairs.",
    )


@phrase("step-link")
def _step_link(at: str, far: str) -> Phrase:
    return Phrase(
        f"Read the link speed at {at}, towards {far}.",
        "Power and data go wrong apart.",
    )


@phrase("step-full")
def _step_full(box: str, watts: float) -> Phrase:
    return Phrase(
        f"Everything on at {box}, up to {watts:g} W, for 15 minutes: far volts, error counts.",
        "Faults come at full load and at night.",
    )


@phrase("step-cold")
def _step_cold(box: str) -> Phrase:
    return Phrase(
        f"{box} off for 10 s, on again; twice. All must return by itself.",
        "A box that restarts only by hand will be dark after the first outage.",
    )


@phrase("step-settings")
def _step_settings(box: str, name: str) -> Phrase:
    return Phrase(
        f"Have {box} ({name}) keep its settings; priority and limit of the port too.",
        "What it does not keep is gone with the next outage.",
    )


@phrase("step-again")
def _step_again(at: str, kind: str, was: float | None) -> Phrase:
    unit = UNITS[kind]
    then = f" It was {was:.6g} {unit} when the site was left." if was is not None else ""
    amps = ", and the amps with it" if kind == "volts" else ""
    return Phrase(
        f"Read {READINGS[kind]} again at {at}{amps}.{then}",
        "What has drifted shows in the difference, long before a figure is out of its band."
        if was is not None
        else "Nobody has read it yet; with those in front it shows what has drifted.",
    )


@phrase("step-look-over")
def _step_look_over(
    stop: str, boxes: tuple[str, ...], earthed: tuple[str, ...], reason: str
) -> Phrase:
    bonds = f" Each lead tight and whole: {', '.join(earthed)}." if earthed else ""
    water = " Water, seals, glands, labels." if reason == "yearly" else " Scorched, tripped, wet?"
    return Phrase(
        f"Look over {', '.join(boxes)} at {stop}.{bonds}{water}",
        "An arrestor that stops nothing and an open lead show in no reading.",
    )
