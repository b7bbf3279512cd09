"""What to do about a fault, what to look for, what would make it sure; what no reading sees."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.english.figures import NBSP, spot
from fieldapp.words.english.said import says

TO_DO: Mapping[str, str] = {
    "do-nothing": "Nothing to mend by these readings.",
    "do-again": "**Measure again what is outside**: both readings are used.",
    "do-mend-first": "**Mend the first thing outside**, then measure again.",
    "do-source": "**Put another supply in its place.** Mains is for licensed people.",
    "do-source-volts": "**Set {at} to the plan's volts**, or replace it.",
    "do-feed-twice": "**Leave one supply on the run of {at}**, unplug the other.",
    "do-source-leads": "**Short, thick supply leads** for {at}, or replace it.",
    "do-port-on": "**Switch the port of {at} on**, on its page.",
    "do-first-box": "**Plug a known good box into {at}**, then go outwards span by span.",
    "do-port-trip": "**Take boxes off from the far end** until {at} holds: the last was it.",
    "do-budget": "**Unplug a port that matters less**, or use a larger supply.",
    "do-span": "**Lay {at} anew** with the plan's cable, or plan with what it is.",
    "do-span-open": "**Make both ends of {at} again**; if still open, lay it anew.",
    "do-span-short": "**Open both ends of {at} and look**; if sound, lay it anew.",
    "do-ends": "**Make the ends of {at} again**, and measure after each.",
    "do-wet": "**Cut the wet end of {at} back** to bright wire, and seal it.",
    "do-pairs": "**Make the ends of {at} again**, all eight wires.",
    "do-wires": "**Make both ends of {at} again**, in one colour order.",
    "do-load": "**See what {at} does now**, then plan for it.",
    "do-load-off": "**See that {at} is plugged in and on**; else replace it.",
    "do-load-varies": "**A known load in place of {at}**, then measure again.",
    "do-turn": "**Port off, then turn {at} round.**",
    "do-box": "**Put another box of its kind in place of {at}.**",
    "do-restart": "**Take off what is behind {at}.** Holds then: it starves. Else replace it.",
    "do-no-pass": "**Set {at} to hand power on**, or replace it.",
    "do-arrestor": "**Put another arrestor in place of {at}.** Its earth: licensed people.",
    "do-earth": "**A licensed person mends {at}.** Never part an earth.",
    "do-slow-endpoint": "**A box with 10/100 before {at}**, or a gigabit one in its place.",
    "do-too-long": "**Put a box in between**, or settle for a lower speed.",
    "do-noise": "**Move {at} away from mains and lamps**, or lay screened cable.",
    "do-data-port": "**Switch the data of {at} on**, both ends to automatic.",
    "do-repeat": "**Read {at} again.**",
    "do-ask": "**Ask whether {at} was on**, look, and read again.",
    "do-tips": "**Short the tips** and take what they show off every loop.",
    "do-short": "**Short the far end of {at}**, then read its loop again.",
}
TO_LOOK_FOR: Mapping[str, str] = {
    "look-unseen": "Ways round, earths, seals, jackets: no reading sees them.",
    "look-source": "Its lamp, its plug, its fuse, its switch.",
    "look-source-volts": "Its setting; a supply that is warm or hums.",
    "look-feed-twice": "A forgotten injector, a second powered port, a box that feeds back.",
    "look-source-leads": "Thin or long supply leads, loose screws, a warm terminal.",
    "look-port-page": "Its page: on, class, watts, why it let go.",
    "look-first-box": "Water in the first plug; a first box that is not the plan's.",
    "look-port-trip": "The watts on its page just before it lets go, against its grant.",
    "look-span": "Silver under a scraped wire; the marks; sun and heat on the way.",
    "look-ends": "Green contacts, water, wires not home, a pulled cable.",
    "look-contact": "One wire not home, one contact green or bent.",
    "look-nicks": "Nails, staples, a crushed or bitten jacket, water.",
    "look-wet": "Drops in the plug, an open seal, green contacts, no drip loop.",
    "look-wires": "The colours at both ends, wire by wire.",
    "look-load": "Heater, lights, motor, a second thing plugged into it.",
    "look-load-off": "Its lamp, its plug, its own switch.",
    "look-turned": "Which side meets which cable, against the picture.",
    "look-box": "Its lamps, water inside, a forced lid.",
    "look-warm": "Hot, wet inside, or not the plan's kind.",
    "look-restart": "Its lamps for a minute: out and back together?",
    "look-no-pass": "Its switch or page for handing power on.",
    "look-arrestor": "Burns, a smell, water, pins pushed back.",
    "look-earth": "The lead to the bar, its screws, the rod.",
    "look-speeds": "Its sheet: which speeds it speaks.",
    "look-marks": "The length marks at both ends; a coil left somewhere.",
    "look-noise": "Mains cables, lamps, motors; hours at which it is worse.",
    "look-digits": "Two digits swapped, or the point slipped.",
    "look-display": "The unit on the display: m, k or none.",
    "look-place": "Which plug the meter was at.",
    "look-dial": "The dial: straight line for direct, wave for alternating.",
    "look-tips": "The tips together: the display goes to nothing.",
    "look-short": "Whether the short is in, and makes contact.",
}
TO_BE_SURE: Mapping[str, str] = {
    "sure-box-at-source": "A known good box straight at {at}.",
    "sure-source-unloaded": "Volts at {at} with another load: still low, it is the source.",
    "sure-feed-twice": "{at} off: are there still volts on its run?",
    "sure-two-loads": "Volts at {at} at two loads: they fall with the amps.",
    "sure-far-open": "The first span's far end open: does {at} hold?",
    "sure-cut-off": "The far end of {at} open: does what feeds it hold?",
    "sure-other-port-off": "Another port of its supply off: does {at} come on?",
    "sure-span": "Loop ohms and length of {at}: both together tell wire from length.",
    "sure-wire": "The marks of {at} at both ends, and one of its wires scraped.",
    "sure-wiggle": "Volts behind {at} while somebody moves one end, then the other.",
    "sure-loop-open": "The loop of {at}, run off, far end shorted: does a pair close?",
    "sure-pairs": "The loop of {at}, run off, all four pairs: a bad end sets them apart.",
    "sure-insulation": "Insulation, everything off and off the line: qualified people.",
    "sure-unbalance": "The loop of {at} on all four pairs, and the unbalance of each.",
    "sure-pair-map": "A pair map of {at}; a split pair shows in crosstalk alone.",
    "sure-load": "A known load in place of {at}: the volts as foretold?",
    "sure-amps": "Amps at {at} together with its volts.",
    "sure-photo": "Both sides of {at} in one photo, cables in view.",
    "sure-swap": "A known good box in place of {at}.",
    "sure-behind-off": "Its watts with everything behind {at} unplugged.",
    "sure-through": "Ohms through {at}, run off, wire by wire.",
    "sure-round": "A short lead round {at}, in fair weather only; then out again.",
    "sure-earth": "An earth reading at {at}, as the licensed person says.",
    "sure-near-switch": "{at} straight at the near switch: does it link there?",
    "sure-marks": "The marks of {at} at both ends.",
    "sure-count": f"Bad frames over 15{NBSP}min, by day and by night.",
    "sure-other-box": "Another box at the same port: does it link?",
}
for _code, _text in {**TO_DO, **TO_LOOK_FOR, **TO_BE_SURE}.items():

    def _said(_text: str = _text, at: str = "", **parts: object) -> str:
        return _text.format(at=spot(at))

    says(_code)(_said)


# ---------------------------------------------------------------- what no reading sees

_MANY = 4
UNSEEN: Mapping[str, str] = {
    "unseen-arrestor-reversed": "**Which way round** {at}: a look or a photo tells.",
    "unseen-earth-open": "**The bond** of {at}: follow the lead, read the earth.",
    "unseen-earth-high": "**The ohms** of {at}: an earth reading tells.",
    "unseen-joint-wet": "**Water** in the ends of {at}, on a dry day: look at the seals.",
    "unseen-port-class": "**The grant** of {at} in the hardest hour: run the endpoint at full work.",
    "unseen-feed-twice": "**A second feed** into the run of {at}: look for another supply.",
}
for _code, _text in UNSEEN.items():

    def _unseen(at: tuple[str, ...], _text: str = _text) -> str:
        shown = ", ".join(at[:_MANY])
        more = f" and {len(at) - _MANY} more" if len(at) > _MANY else ""
        return _text.format(at=f"{shown}{more}")

    says(_code)(_unseen)
