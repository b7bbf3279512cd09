"""A made-up site in words: what it is called, what cannot be, and the truth once it is asked for.

These are sentences of the command line; no statement about a job holds them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

PLACES_TOLD = 12

TRUTHS: Mapping[str, str] = {
    "none": "Nothing is wrong on this site: all its numbers lie within the plan's limits.",
    "source.dead": "{where} gives nothing at all.",
    "source.low": "{where} gives too few volts: {size:.2f} of the plan's lowest.",
    "feed.twice": "{where} is not alone: another supply holds its run {size:.1f} V above the plan's highest.",
    "source.soft": "{where} is soft: {size:.1f} ohm lie in series with it.",
    "port.off": "The port of {where} is switched off.",
    "port.refused": "{where} finds no box that it would feed, and keeps looking.",
    "port.trip": "{where} lets go again and again.",
    "budget.shed": "The supply of {where} has run out of watts and gives this port none.",
    "span.high": "{where} has too many ohms: {size:.2f} times those of the plan's cable.",
    "span.open": "{where} is broken: no wire of it goes through.",
    "span.short": "{where} is shorted.",
    "joint.high": "A bad end in {where}, at {end}: {size:.1f} ohm more in its loop.",
    "contact.high": "One bad contact in {where}, at {end}: {size:.1f} ohm in one wire of eight.",
    "pairs.lost": "One set of pairs in {where} leads nowhere; the other carries everything.",
    "pair.split": "The wires of two pairs in {where} are mixed up, each way alike: a split pair.",
    "pair.crossed": "Two pairs in {where} are crossed.",
    "load.heavy": "{where} draws too much: {size:.2f} times the sheet's most.",
    "load.off": "{where} hardly draws anything: {size:.0%} of what it should.",
    "load.varies": "{where} draws more or less by up to {size:.0f} % from moment to moment.",
    "box.reversed": "{where} is the wrong way round.",
    "box.dead": "{where} is dead: nothing goes on behind it.",
    "box.heavy": "{where} itself draws too much: {size:.1f} times its sheet's most.",
    "box.restart": "{where} starts anew again and again.",
    "box.no-pass": "{where} runs, but lets no power through.",
    "arrestor.open": "{where} is open.",
    "arrestor.short": "{where} is shorted.",
    "arrestor.reversed": "{where} is the wrong way round. No reading shows that; a look does.",
    "earth.open": "{where} is bonded to nothing.",
    "earth.high": "{where} has {size:.1f} times the ohms that it should have at most.",
    "link.slow-endpoint": "{where} has no gigabit, and the box before it has nothing else.",
    "link.pair-open": "One wire of {where} is open: power goes by the others, data does not.",
    "link.too-long": "{where} is {size:.2f} times as long as planned, too long for its link.",
    "link.noise": "Something beside {where} damages frames.",
    "link.port-down": "The data side of {where} is switched off.",
    "reading.typed": "The volts at {where} were typed wrongly.",
    "reading.unit": "A figure at {where} was written down in another unit.",
    "reading.place": "The volts at {where} are those of another box.",
    "reading.state": "{where} was off while the readings were taken, and nobody wrote that down.",
    "reading.ac": "The volts at {where} were read with the dial on alternating volts.",
    "reading.lead": "The probes' own {size:.1f} ohm were never taken off.",
    "reading.no-short": "The far end of {where} was not shorted while its loop was read.",
}
KINDS: Mapping[str, str] = {
    "clad": "It is clad aluminium.",
    "thin": "Its wire is thinner than planned.",
    "long": "It is longer than planned.",
    "hot": "It runs much hotter than planned.",
    "whole": "No wire goes through.",
    "set": "One set of pairs does not go through.",
    "swapped": "Two digits are swapped.",
    "slipped": "The point slipped by a digit.",
    "volts": "They are millivolts.",
    "milliamps": "They are amps.",
    "exchanged": "Theirs stand there in turn.",
    "copied": "They stand there twice.",
}


def truth(cause: str, where: str, kind: str, size: float | None, end: str) -> str:
    """What is hidden, in one or two sentences."""
    told = TRUTHS[cause].format(where=where, size=size, end=end)
    return f"{told} {KINDS[kind]}" if kind in KINDS else told


def made(seed: int) -> str:
    """Which seed it was."""
    return f"Made up with seed {seed}."


def not_here(cause: str, where: str | None, possible: Sequence[str], near: str | None) -> str:
    """Why a cause cannot be practised, and what can."""
    hint = f" Did you mean {near}?" if near else ""
    if cause and where is None and cause not in TRUTHS:
        return f"{cause}: not a known cause.{hint} Known: {', '.join(possible)}."
    if not possible:
        lost = f"at {where}" if where else "in this job"
        return f"{cause or 'a cause'}: cannot be {lost}; there is no place for it."
    shown = ", ".join(possible[:PLACES_TOLD])
    more = f" and {len(possible) - PLACES_TOLD} more" if len(possible) > PLACES_TOLD else ""
    what = f"{cause}: cannot be at {where}." if cause else f"{where}: no cause can be there."
    return f"{what}{hint} Possible: {shown}{more}."
