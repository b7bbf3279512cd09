"""What is to be done, in words: the deed, its reason, its caution."""

from __future__ import annotations

from engine.phrases.book import FACES, Phrase, phrase, speeds


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
def _step_bond(box, earth, lead_m, mm2, volts):
    to = f" to {earth}" if earth else ""
    lead = f", {lead_m:g} m" if lead_m else ""
    thick = f", {mm2:g} mm2" if mm2 else ""
    adds = f" This lead adds about {volts:.0f} V to what it sees on 3 kA." if volts else ""
    return Phrase(
        f"Fit the earth lead of {box}{to}{lead}{thick}: short, straight, no loop.",
        f"A surge must have its way before it has a target.{adds}",
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
