"""What would mend a plan, and how far it could be stretched, in words."""

from __future__ import annotations

from engine.phrases.book import Phrase, english, phrase
from engine.say import Say


@phrase("advice-cable")
def _cable(span: str, title: str) -> Phrase:
    return Phrase(f"Lay {span} in {title}.", "Fewer ohms, fewer volts lost on the way.")


@phrase("advice-pairs")
def _pairs(at: tuple[str, ...]) -> Phrase:
    return Phrase(
        f"Use all four pairs of {', '.join(at)}.", "Four pairs have half the ohms of two."
    )


@phrase("advice-box")
def _box(box: str, title: str) -> Phrase:
    return Phrase(f"In place of {box}: {title}.", "The same port, another box.")


@phrase("advice-turn")
def _turn(box: str) -> Phrase:
    return Phrase(f"Turn {box} round.", "It meets the wrong thing on both sides.")


@phrase("advice-exchange")
def _exchange(box: str, other: str) -> Phrase:
    return Phrase(f"Let {box} and {other} change places.", "The same boxes in another order.")


@phrase("advice-take-out")
def _take_out(box: str) -> Phrase:
    return Phrase(
        f"Do without {box}, one cable in place of its two.", "What is not there draws nothing."
    )


@phrase("advice-bond")
def _bond(box: str) -> Phrase:
    return Phrase(
        f"Bond {box} to the earth of its stop by a short, straight, thick lead.",
        "A surge must have its way before it has a target.",
    )


@phrase("advice-arrestor")
def _arrestor(span: str, at: str, stop: str) -> Phrase:
    return Phrase(
        f"Fit an arrestor at {stop} between {span} and {at}, and bond it.",
        "A surge must have its way before it has a target.",
    )


@phrase("advice-bridge")
def _bridge(at: str) -> Phrase:
    return Phrase(
        f"Put a repeater for 10/100/1000 right in front of {at}.",
        "It speaks the speed of either side.",
    )


@phrase("advice-long-span")
def _long_span(start: str, end: str) -> Phrase:
    return Phrase(
        f"Put a pair of long-span units between {start} and {end}, one at each.",
        "They reach where ordinary ports do not.",
    )


@phrase("advice-repeater")
def _repeater(span: str) -> Phrase:
    return Phrase(f"Put a repeater half-way into {span}.", "Each half is within reach.")


@phrase("advice-fed-anew")
def _fed_anew(span: str, title: str, metres: float) -> Phrase:
    return Phrase(
        f"Put into {span}, {metres:.0f} m along: {title}.", "What it feeds anew draws less current."
    )


@phrase("advice-injector")
def _injector(span: str, at: str, stop: str, watts: float) -> Phrase:
    return Phrase(
        f"There is power at {stop}: put an injector of {watts} W into {span}, in front of {at}.",
        "What is fed there need not come all the way.",
    )


@phrase("advice-both")
def _both(parts: tuple[Say, Say]) -> Phrase:
    first, second = (english(one).text for one in parts)
    return Phrase(f"{first} And: {second}", "Neither is enough by itself.")


@phrase("advice-limited")
def _limited(at: str, needed: float, share: float, best: float) -> Phrase:
    with_best = f", {best:.0%} with the best of these" if best > share else ""
    return Phrase(
        f"Nothing small makes it work. {at} needs {needed:g} V; the run bears {share:.0%} of its "
        f"load as planned{with_best}."
    )


@phrase("advice-stopped")
def _stopped(finding: Say) -> Phrase:
    what = english(finding).text if finding is not None else "There is nothing to be fed."
    return Phrase(f"Nothing small makes it work. {what}")


HELD_BY = {
    "": "it was not tried beyond that",
    "volts-low": "beyond that a box drops out at worst",
    "reach": "beyond that a link is no longer assured",
    "class": "beyond that it wants a higher class than it shows",
    "port-power": "beyond that the port gives less than is asked",
    "port-trip": "beyond that the port lets go",
    "budget": "beyond that the switch has no watts left",
    "current": "beyond that a conductor carries too much",
    "start-up": "beyond that a box does not come up",
    "format": "beyond that it cannot be written down",
}


def _beyond(by: str) -> str:
    return HELD_BY.get(by, f"beyond that the plan breaks the rule {by}")


@phrase("limit-length")
def _length(span: str, metres: float, now: float, by: str) -> Phrase:
    return Phrase(f"{span} could be {metres:.0f} m long instead of {now:g} m; {_beyond(by)}.")


@phrase("limit-load")
def _load(box: str, watts: float, now: float, by: str) -> Phrase:
    return Phrase(f"{box} could draw {watts:.1f} W instead of {now:g} W; {_beyond(by)}.")


@phrase("limit-heat")
def _heat(celsius: float, now: float, by: str) -> Phrase:
    return Phrase(
        f"The hottest day could have {celsius:.0f} °C instead of {now:g} °C; {_beyond(by)}."
    )


@phrase("limit-gauge")
def _gauge(span: str, awg: int, now: int, by: str) -> Phrase:
    return Phrase(f"{span} could be of {awg:g} AWG instead of {now:g} AWG; {_beyond(by)}.")
