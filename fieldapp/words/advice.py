"""The sentences of advice: what to change, and what it gives."""

from __future__ import annotations

from engine.say import Say
from fieldapp.words.figures import NBSP, metres, with_unit
from fieldapp.words.said import says, sentence

NO_VOLTS = 0.05
"""less than a meter with one decimal shows [V]"""


@says("advice-cable")
def _cable(span: str, title: str) -> str:
    return f"Lay {span} as {title}"


@says("advice-pairs")
def _pairs(at: tuple[str, ...]) -> str:
    named = ", ".join(at)
    return f"Use four pairs at {named}"


@says("advice-box")
def _box(box: str, title: str) -> str:
    return f"For {box} take: {title}"


@says("advice-turn")
def _turn(box: str) -> str:
    return f"Turn {box} round"


@says("advice-exchange")
def _exchange(box: str, other: str) -> str:
    return f"Exchange {box} and {other}"


@says("advice-take-out")
def _take_out(box: str) -> str:
    return f"Take {box} out"


@says("advice-bond")
def _bond(box: str) -> str:
    return f"Bond {box} to earth"


@says("advice-arrestor")
def _arrestor(span: str, at: str, stop: str) -> str:
    return f"An arrestor into {span}, at {stop}"


@says("advice-bridge")
def _bridge(at: str) -> str:
    return f"A gigabit repeater before {at}"


@says("advice-long-span")
def _long_span(start: str, end: str) -> str:
    return f"Two long-span units, {start} to {end}"


@says("advice-repeater")
def _repeater(span: str) -> str:
    return f"A repeater into {span}"


@says("advice-fed-anew")
def _fed_anew(span: str, title: str, metres: float) -> str:
    return f"Into {span}, {_metres(metres)} along: {title}"


@says("advice-injector")
def _injector(span: str, at: str, stop: str, watts: float) -> str:
    return f"A {watts:g}{NBSP}W injector into {span}, at {stop}"


@says("advice-both")
def _both(parts: tuple[Say, ...]) -> str:
    first, *rest = (sentence(part) for part in parts)
    return "; ".join([first, *(one[:1].lower() + one[1:] for one in rest)])


@says("advice-limited")
def _limited(at: str, needed: float, share: float, best: float) -> str:
    return (
        f"Nothing small mends this: {at} needs {with_unit(needed)}, and the best change "
        f"bears {best:.2f} of the load."
    )


@says("advice-stopped")
def _stopped(finding: Say | None) -> str:
    return "Nothing small mends this." + (f" {sentence(finding)}" if finding else "")


@says("limit-length")
def _limit_length(span: str, metres: float, now: float, by: str) -> str:
    return f"{span} may be {_metres(metres)} long; it is {_metres(now)}."


@says("limit-load")
def _limit_load(box: str, watts: float, now: float, by: str) -> str:
    return f"{box} may draw {watts:.0f}{NBSP}W; it draws {now:.0f}{NBSP}W."


@says("limit-heat")
def _limit_heat(celsius: float, now: float, by: str) -> str:
    return f"It holds up to {celsius:.0f}{NBSP}°C; planned are {now:.0f}{NBSP}°C."


@says("limit-gauge")
def _limit_gauge(span: str, awg: float, now: float, by: str) -> str:
    return f"{span} may be as thin as {awg:g}{NBSP}AWG; it is {now:g}{NBSP}AWG."


_metres = metres


def advice_more(gained: float | None, left: int) -> str:
    """Under the slab: what a change does to the far end's volts, and what is still to mend."""
    if gained is None:
        first = "the far end comes on."
    elif abs(gained) < NO_VOLTS:
        first = "no volts lost."
    elif gained > 0:
        first = f"{with_unit(gained)} more at the end."
    else:
        first = f"{with_unit(-gained)} lost."
    return f"{first} {then_more(left)}".strip()


def then_more(left: int) -> str:
    """How many findings stand behind the first."""
    return "" if left <= 0 else f"Then {'one' if left == 1 else left} more"


def looking(share: float) -> str:
    """While the search goes on."""
    return f"Looking for the smallest change, {share * 100:.0f}{NBSP}% tried"


def no_change() -> str:
    """The search is over and found nothing."""
    return "No single change and no two mend this."
