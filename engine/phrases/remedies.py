"""What to do about a fault, what to look for, and what would make it sure; what no reading sees.

All ``common practice``, with the facts of our table of causes and of the trade's checks.
"""

from __future__ import annotations

from collections.abc import Mapping

from engine.phrases.book import Phrase, phrase

DO: Mapping[str, str] = {
    "do-nothing": "Nothing to mend by these readings.",
    "do-again": "Measure again what is outside; both readings are used.",
    "do-mend-first": "Mend the first thing that is outside, then measure again.",
    "do-source": "Put another supply in its place. Its mains side is for licensed people.",
    "do-source-volts": "Set {at} to the plan's volts, or put another in its place.",
    "do-feed-twice": "Leave one supply on the run of {at}, and unplug the other.",
    "do-source-leads": "Make the supply leads of {at} short and thick, or put another in its place.",
    "do-port-on": "Switch the port of {at} on, on its page.",
    "do-first-box": "Plug a box that is known to run into {at}, then go on outwards span by span.",
    "do-port-trip": "Take boxes off from the far end inwards until {at} holds: the last one was it.",
    "do-budget": "Unplug a port that matters less, or use a supply with more watts.",
    "do-span": "Lay {at} anew with the plan's cable, or plan with what it is.",
    "do-span-open": "Make both ends of {at} anew; if it is still open, lay it anew.",
    "do-span-short": "Open both ends of {at} and look; if they are sound, lay it anew.",
    "do-ends": "Make the ends of {at} anew, one after the other, and measure after each.",
    "do-wet": "Cut the wet end of {at} back to bright wire, seal it, and let it hang in a loop.",
    "do-pairs": "Make the ends of {at} anew, all eight wires.",
    "do-wires": "Make both ends of {at} anew, in one colour order.",
    "do-load": "See what {at} does just now: heater, lights, motor. Plan for it, or replace it.",
    "do-load-off": "See that {at} is plugged in and switched on; else replace it.",
    "do-load-varies": "Put a known load in place of {at}, and measure again.",
    "do-turn": "Port off first, then turn {at} round.",
    "do-box": "Put another box of its kind in place of {at}.",
    "do-restart": "Take off what is behind {at}. If it stays on then, it starves; else replace it.",
    "do-no-pass": "Set {at} to hand power on, or replace it.",
    "do-arrestor": "Put another arrestor in place of {at}. Its earth is for licensed people.",
    "do-earth": "Have a licensed person mend {at}. Never part an earth: current may flow in it.",
    "do-slow-endpoint": "Put a box that speaks 10/100 before {at}, or use one with gigabit.",
    "do-too-long": "Put a box in between, or settle for a lower speed.",
    "do-noise": "Move {at} away from mains and lamps, or lay screened cable.",
    "do-data-port": "Switch the data side of {at} on, both ends to automatic.",
    "do-repeat": "Take the reading at {at} again.",
    "do-ask": "Ask, look whether {at} is on, and read again.",
    "do-tips": "Short the tips, note what they show, and take it off every loop.",
    "do-short": "Short the far end of {at}, then read its loop again.",
}
LOOK: Mapping[str, str] = {
    "look-unseen": "Ways round, earths, seals, jackets: no reading sees them.",
    "look-source": "Its lamp, its plug, its fuse, its switch.",
    "look-source-volts": "Its setting; a supply that is warm or hums.",
    "look-feed-twice": "An injector left in the way, a second powered port, a box that feeds back.",
    "look-source-leads": "Thin or long supply leads, loose screws, a warm terminal.",
    "look-port-page": "The port's own page: on, its class, its watts, why it let go.",
    "look-first-box": "Water in the first plug; a first box that is not the plan's.",
    "look-port-trip": "The watts on the port's page just before it lets go, against its grant.",
    "look-span": "Silver under a scraped wire; marks at both ends; sun and heat along the way.",
    "look-ends": "Green or dark contacts, water, wires not home in the plug, a pulled cable.",
    "look-contact": "One wire that is not home in its plug, one contact that is green or bent.",
    "look-nicks": "Nails, staples, crushed or bitten jacket, water in a joint.",
    "look-wet": "Drops in the plug, a seal that is open, green contacts, no drip loop.",
    "look-wires": "The colours at both ends, wire by wire.",
    "look-load": "What it is doing: heater, lights, motor, a second thing plugged into it.",
    "look-load-off": "Its lamp, its plug, its own switch.",
    "look-turned": "Which port meets which cable, against the plan's picture.",
    "look-box": "Its lamps, water inside, a lid that was forced.",
    "look-warm": "A box that is hot, wet inside, or not the plan's kind.",
    "look-restart": "Its lamps for a minute: do they go out and come back together?",
    "look-no-pass": "Its switch or page for handing power on.",
    "look-arrestor": "Burns, a smell, water, pins pushed back.",
    "look-earth": "The lead from the arrestor to the bar, its screws, the rod.",
    "look-speeds": "Its sheet: which speeds it speaks.",
    "look-marks": "The metre marks at both ends; a coil left somewhere.",
    "look-noise": "Mains cables, lamps and motors beside it; hours at which it is worse.",
    "look-digits": "Two digits swapped, or the point in a wrong place.",
    "look-display": "The unit on the display: m, k or none.",
    "look-place": "Which plug the meter was at, against its label.",
    "look-dial": "The dial: straight line for direct, wave for alternating.",
    "look-tips": "The tips together: the display should go to nothing.",
    "look-short": "Whether the short is in, and makes contact.",
}
SURE: Mapping[str, str] = {
    "sure-box-at-source": "A box that is known to run, plugged straight into {at}.",
    "sure-source-unloaded": "Volts at {at} with another load: still low means the source.",
    "sure-feed-twice": "{at} off: are there still volts on its run?",
    "sure-two-loads": "Volts at {at} at two loads: they fall with the amps.",
    "sure-far-open": "The first span's far end open: does {at} hold then?",
    "sure-cut-off": "The far end of {at} open: does what feeds it hold then?",
    "sure-other-port-off": "Another port of its supply off: does {at} come on?",
    "sure-span": "Loop ohms of {at}, and its metres: ohms a metre tell wire from length.",
    "sure-wire": "The metres of {at} by its marks, and one of its wires scraped.",
    "sure-wiggle": "Volts behind {at} while somebody moves one end, then the other.",
    "sure-loop-open": "The loop of {at}, run off, far end shorted: does any pair close?",
    "sure-pairs": "The loop of {at}, run off, all four pairs: a bad end sets them apart.",
    "sure-insulation": "Insulation with everything off and off the line: for qualified people.",
    "sure-unbalance": "The loop of {at} on all four pairs, and the unbalance within each.",
    "sure-pair-map": "A pair map of {at}; a split pair shows in crosstalk alone.",
    "sure-load": "A known load in place of {at}: are the volts then as foretold?",
    "sure-amps": "Amps at {at} together with its volts.",
    "sure-photo": "Both ports of {at} in one photo, cables in view.",
    "sure-swap": "A box that is known to run in place of {at}.",
    "sure-behind-off": "Its watts with everything behind {at} unplugged.",
    "sure-through": "Ohms through {at}, run off, wire by wire.",
    "sure-round": "A short lead round {at}, in fair weather only; it comes out again.",
    "sure-earth": "An earth reading at {at}, by the way the licensed person names.",
    "sure-near-switch": "{at} straight at the near switch: does it link there?",
    "sure-marks": "The marks of {at} at both ends.",
    "sure-count": "Damaged frames over 15 minutes, by day and by night.",
    "sure-other-box": "Another box at the same port: does it link?",
}
for _code, _text in {**DO, **LOOK, **SURE}.items():
    phrase(_code)(lambda _text=_text, **parts: Phrase(_text.format(**parts)))


# ---------------------------------------------------------------- what no reading sees


def _all(at: tuple[str, ...]) -> str:
    *first, last = at
    return f"{', '.join(first)} and {last}" if first else last


UNSEEN: Mapping[str, tuple[str, str]] = {
    "unseen-arrestor-reversed": (
        "Which way round: {at}.",
        "The line side faces the weather; a look or a photo tells.",
    ),
    "unseen-earth-open": ("The bond of {at}.", "Follow the lead, and take an earth reading."),
    "unseen-earth-high": ("The ohms of {at}.", "An earth reading tells."),
    "unseen-joint-wet": (
        "Water in the ends of {at}, on a dry day.",
        "Look at seals and contacts; insulation is for qualified people.",
    ),
    "unseen-port-class": (
        "The grant of {at} in the hardest hour.",
        "Run the endpoint at full work, and read the port's page.",
    ),
    "unseen-feed-twice": (
        "A second feed into the run of {at}.",
        "Look for another supply that is plugged in.",
    ),
}
for _code, (_text, _why) in UNSEEN.items():
    phrase(_code)(lambda at, _text=_text, _why=_why: Phrase(_text.format(at=_all(at)), _why))
