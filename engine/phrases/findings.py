"""What a plan breaks, in words."""

from __future__ import annotations

from engine.phrases.book import FACES, Phrase, phrase, speeds


@phrase("feed")
def _feed(box: str) -> Phrase:
    return Phrase(
        f"{box} gets no power: no source feeds it.",
        "Nothing out there has power of its own; every box hangs on a feed upstream.",
    )


@phrase("feed-unplugged")
def _feed_unplugged(box: str) -> Phrase:
    return Phrase(
        f"{box} is plugged into nothing: the plan has no span at any of its ports.",
        "Nothing out there has power of its own; every box hangs on a feed upstream.",
    )


@phrase("feed-twice")
def _feed_twice(box: str, first: str, second: str) -> Phrase:
    return Phrase(
        f"Two feeds reach {box}: {first} and {second}.",
        "Two sources on one run push against each other, or one refuses.",
    )


@phrase("orientation")
def _orientation(box: str, port: str, wants: str, meets: str | None) -> Phrase:
    there = f" It meets {meets}." if meets else ""
    return Phrase(
        f"{box} is the wrong way round: {port} wants {FACES[wants]}.{there}",
        "Only the right port drives that side; the other way power may get through, data does not.",
    )


@phrase("arrestor-facing")
def _arrestor_facing(box: str, port: str, span: str) -> Phrase:
    return Phrase(
        f"{box} has its back to the weather: {port} must face {span}.",
        "An arrestor stops a surge only from its line side.",
    )


@phrase("bond")
def _bond(box: str) -> Phrase:
    return Phrase(
        f"{box} has no earth lead in the plan.",
        "Without earth a surge has nowhere to go but into the equipment.",
        "Earthing is for licensed people; local code decides.",
    )


@phrase("bond-long")
def _bond_long(box: str, lead_m: float, volts: float) -> Phrase:
    return Phrase(
        f"The earth lead of {box} is {lead_m:g} m: on a surge of 3 kA it adds about "
        f"{volts:.0f} V to what the arrestor lets through.",
        "Every metre of lead is about 1 uH in the way of the surge: keep it under 0.5 m, "
        "straight, with no coil.",
        "Earthing is for licensed people; local code decides.",
    )


@phrase("bond-thin")
def _bond_thin(box: str, mm2: float) -> Phrase:
    return Phrase(
        f"The earth lead of {box} is {mm2:g} mm2: thinner than 1.5 mm2.",
        "It has to carry the whole surge; 4 to 6 mm2 is usual in the field.",
        "Earthing is for licensed people; local code decides.",
    )


@phrase("arrestor-missing")
def _arrestor_missing(at: str, span: str) -> Phrase:
    return Phrase(
        f"No arrestor between {span} and {at}.",
        "Cable that runs outdoors or between buildings brings surges in at both its ends.",
    )


@phrase("separate-buildings")
def _separate_buildings(spans: tuple[str, ...], buildings: tuple[str, ...]) -> Phrase:
    first, second = buildings
    return Phrase(
        f"The run {', '.join(spans)} joins two buildings ({first}, {second}): their earths may "
        "differ.",
        "The far end can sit at another voltage. Where the earths are not joined, glass fibre "
        "with power at the far end is the clean way.",
        "Meter between the earths before joining anything; above 1 V ask a licensed person.",
    )


@phrase("box-place")
def _box_place(box: str, stop: str) -> Phrase:
    return Phrase(
        f"{box} is an indoor box at {stop}, which is outdoors.",
        "Water and sun get into it. Give it a box made for outdoors, entries from below.",
    )


@phrase("cable-place")
def _cable_place(span: str) -> Phrase:
    return Phrase(
        f"{span} is indoor cable on a way outdoors.",
        "Sun splits its jacket, water creeps in; no reading shows it until it is too late.",
    )


@phrase("cable-material")
def _cable_material(span: str, material: str, factor: float) -> Phrase:
    metal = {"clad": "copper-clad aluminium"}.get(material, material)
    return Phrase(
        f"{span} is {metal}: {factor:.2f} times the ohms of copper of its gauge.",
        "It costs volts and breaks at terminations; the cabling standards ask for copper.",
    )


@phrase("speed-mismatch")
def _speed_mismatch(at: str, mbps: tuple[int, ...], far: str, far_mbps: tuple[int, ...]) -> Phrase:
    return Phrase(
        f"{at} ({speeds(mbps)}) and {far} ({speeds(far_mbps)}) share no speed: no link at all.",
        "Power is fine, lights may be on, data is dead.",
    )


@phrase("speed-unfit")
def _speed_unfit(
    at: str, far: str, mbps: tuple[int, ...], pairs: int, boxes: tuple[str, ...]
) -> Phrase:
    between = f"{', '.join(boxes)} between them" if boxes else f"the {pairs} pairs between them"
    return Phrase(
        f"{at} and {far} share {speeds(mbps)}, but {between} cannot carry it: no link.",
        "Gigabit runs over four pairs, and through nothing slower.",
    )


@phrase("reach-stated")
def _reach_stated(at: str, far: str, length_m: float, mbps: int) -> Phrase:
    return Phrase(
        f"{at} to {far} is {length_m:.0f} m: beyond what the sheet states for {mbps} Mb/s.",
        "The sheet of the port ends there; the link will be slower or dead.",
    )


@phrase("reach-ordinary")
def _reach_ordinary(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> Phrase:
    return Phrase(
        f"{at} to {far} is {length_m:.0f} m: {mbps} Mb/s is not assured beyond 100 m."
        f"{_falls(falls_to)}",
        "It may still link, but nothing promises it.",
    )


@phrase("reach-loss")
def _reach_loss(
    at: str, far: str, length_m: float, mbps: int, falls_to: int | None, over_db: float, mhz: float
) -> Phrase:
    return Phrase(
        f"{at} to {far}, {length_m:.0f} m: {mbps} Mb/s is not assured, the loss is "
        f"{over_db:.1f} dB over the limit at {mhz:g} MHz.{_falls(falls_to)}",
        "Length, heat, thin cords and each mating eat into the limit. It may still link.",
    )


@phrase("reach-category")
def _reach_category(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> Phrase:
    return Phrase(
        f"{at} to {far}, {length_m:.0f} m: this cable is not made for {mbps} Mb/s."
        f"{_falls(falls_to)}",
        "The cable's category ends below the frequencies that this speed needs.",
    )


@phrase("reach-hot")
def _reach_hot(at: str, far: str, length_m: float, mbps: int) -> Phrase:
    return Phrase(
        f"{at} to {far}, {length_m:.0f} m: {mbps} Mb/s is not assured at its longest and hottest.",
        "The plan's own tolerance of length, and warmth, which dulls a link by a law of its own.",
    )


def _falls(falls_to: int | None) -> str:
    return f" {falls_to} Mb/s is." if falls_to else ""


@phrase("collapse")
def _collapse(
    at: str,
    volts: float,
    share: float,
    feed: str,
    ohms: float,
    seen: float | None,
    idle: str | None,
) -> Phrase:
    if seen is None:
        why = "Constant-power boxes draw more amps as volts sag, until there is no balance."
    else:
        why = f"The wires alone would hold {seen:.1f} V there, which is too little for it."
    in_front = f" {idle} then draws only its own watts from what is in front of it." if idle else ""
    return Phrase(
        f"Nothing runs past {at}: {volts:g} V cannot be held. "
        f"The run bears {share:.2f} of the planned load.",
        f"{ohms:.1f} ohm of loop lie between {feed} and {at}. {why}{in_front}",
    )


@phrase("collapse-worst")
def _collapse_worst(at: str, feed: str) -> Phrase:
    return Phrase(
        f"At worst, {at} cannot be held by {feed}.",
        "With every tolerance against you the run has no operating point.",
    )


@phrase("volts-low")
def _volts_low(at: str, volts: float, cutoff: float) -> Phrase:
    return Phrase(
        f"{at} would see {volts:.1f} V; it stops below {cutoff:g} V.",
        "A box under its cut-off switches off.",
    )


@phrase("start-up")
def _start_up(at: str, volts: float, needed: float) -> Phrase:
    return Phrase(
        f"{at} sees {volts:.1f} V before it starts, and starts at {needed:g} V.",
        "With all the others on it never comes up, or only by luck after a cold start.",
    )


@phrase("start-up-cycling")
def _start_up_cycling(at: str) -> Phrase:
    return Phrase(
        f"{at} will come on and drop out, again and again.",
        "It starts while it draws nothing, and its own load pulls it under its cut-off. "
        "Lights that come and go every few seconds are the sign.",
    )


@phrase("port-trip")
def _port_trip(at: str, watts: float, granted: float, box: str, class_: int) -> Phrase:
    return Phrase(
        f"{at} lets go, for the run asks for {watts:.1f} W and {granted:g} W are granted "
        f"({box} shows class {class_}).",
        "A port grants the class of the first box that answers, and cuts above it, whatever "
        "the volts allow.",
    )


@phrase("class-tight")
def _class_tight(at: str, watts: float, granted: float, box: str, class_: int) -> Phrase:
    return Phrase(
        f"{at} may let go at full load: up to {watts:.1f} W against {granted:g} W granted "
        f"({box} shows class {class_}).",
        "It runs light, and dies when everything works hard at once.",
    )


@phrase("class-short")
def _class_short(at: str, watts: float, granted: float, box: str, class_: int) -> Phrase:
    return Phrase(
        f"{box} asks for class {class_}, {at} grants no more than {granted:g} W.",
        "The box must make do with less; some stay off until they are granted all.",
    )


@phrase("class-above")
def _class_above(at: str, watts: float, class_: int, most: float) -> Phrase:
    return Phrase(
        f"{at} draws {watts:.1f} W; class {class_} may draw {most:g} W.",
        "A port may take power away from a box that draws above its class.",
    )


@phrase("class-far")
def _class_far(at: str, box: str, class_: int, ohms: float) -> Phrase:
    return Phrase(
        f"{at} may misread class {class_} of {box}: {ohms:.1f} ohm of pair loop, "
        "assured are 22.7 ohm.",
        "The class is read by current over the pair; a long pair blurs it.",
    )


@phrase("keep-alive")
def _keep_alive(at: str, amps: float, least: float) -> Phrase:
    return Phrase(
        f"{at} may let go at light load: {amps * 1000:.0f} mA, it wants {least * 1000:g} mA.",
        "A port that sees too little current takes the box for unplugged.",
    )


@phrase("port-power")
def _port_power(at: str, watts: float, most: float) -> Phrase:
    return Phrase(
        f"{at} is asked for {watts:.1f} W; its sheet gives {most:g} W.",
        "Beyond its limit a port cuts, waits and tries again.",
    )


@phrase("budget")
def _budget(budget: str, watts: float, most: float) -> Phrase:
    return Phrase(
        f"The ports on {budget} need {watts:.0f} W together; it has {most:g} W.",
        "A supply out of watts switches ports off, usually the last that came.",
    )


@phrase("current")
def _current(span: str, amps: float, most: float) -> Phrase:
    return Phrase(
        f"A conductor of {span} may carry {amps:.2f} A; the limit is {most:g} A.",
        "With pair sets as uneven as the limits allow, the better one carries more.",
    )


@phrase("heat")
def _heat(span: str, celsius: float, most: float) -> Phrase:
    return Phrase(
        f"{span} may reach {celsius:.0f} °C; data cable is rated for {most:g} °C.",
        "Heat ages the jacket, raises the ohms and dulls the link.",
    )


@phrase("heat-bundle")
def _heat_bundle(span: str, rise: float, most: float) -> Phrase:
    return Phrase(
        f"The bundle of {span} warms by up to {rise:.0f} K; {most:g} K are recommended at most.",
        "Cables in the middle of a bundle cannot shed their heat.",
    )


@phrase("assumed")
def _assumed(quantity: str, of: str, taken: str) -> Phrase:
    return Phrase(f"{quantity.replace('_', ' ')} of {of}: {taken}")
