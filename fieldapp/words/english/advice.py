"""The sentences of advice: what to change, and what it gives."""

from __future__ import annotations

from engine.say import Say
from fieldapp.words.english.figures import NBSP, cable_wire, metres, spot, with_unit
from fieldapp.words.english.said import says, sentence
from fieldapp.words.english.sheetnames import held_together

NO_VOLTS = 0.05
"""less than a meter with one decimal shows [V]"""


@says("advice-cable")
def _cable(span: str, title: str) -> str:
    return f"Lay {span} as {held_together(title)}"


@says("advice-pairs")
def _pairs(at: tuple[str, ...]) -> str:
    named = ", ".join(at)
    return f"Use four pairs at {named}"


@says("advice-box")
def _box(box: str, title: str) -> str:
    return f"For {box} take: {held_together(title)}"


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
    return f"A gigabit repeater before {spot(at)}"


@says("advice-long-span")
def _long_span(start: str, end: str) -> str:
    return f"Two long-span units, {spot(start)} to {spot(end)}"


@says("advice-repeater")
def _repeater(span: str) -> str:
    return f"A repeater into {span}"


@says("advice-fed-anew")
def _fed_anew(span: str, title: str, metres: float) -> str:
    return f"Into {span}, {_metres(metres)} along: {held_together(title)}"


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
        f"Nothing small mends this: {spot(at)} needs {with_unit(needed)}, and the best change "
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
    return f"{span} may be as thin as {cable_wire(awg)}; it is {cable_wire(now)}."


_metres = metres


HOLDS = {
    "worst": "",
    "expected": "holds, not at worst",
    "not": "does not hold yet",
}
"""how far a plan holds with a change"""


def advice_more(gained: float | None, left: int, holds: str) -> str:
    """Under the slab: how far the plan then holds, or what the far end's volts do; what is left."""
    first = HOLDS[holds] or gained_line(gained)
    return f"{first}. {then_more(left)}".strip()


def gained_line(gained: float | None) -> str:
    """What a change does to the far end's volts."""
    if gained is None:
        return "the far end comes on"
    if abs(gained) < NO_VOLTS:
        return "no volts lost"
    if gained > 0:
        return f"{with_unit(gained)} more at the end"
    return f"{with_unit(-gained)} lost"


def other_ways() -> str:
    """To the changes beside the one that is offered."""
    return "Other ways"


def ways_title() -> str:
    """Over the other changes."""
    return "Other ways out"


def ways_meant() -> str:
    """What the effort of a change means."""
    return "Effort counts up from 1, a setting. A cable to pull is 8 and more."


def way_line(effort: float, gained: float | None, holds: str, left: int) -> str:
    """Under a change in the list."""
    parts = [f"effort {effort:.0f}", gained_line(gained), HOLDS[holds]]
    said = ", ".join(part for part in parts if part)
    return f"{said}. {then_more(left)}" if left > 0 else said


def limits_title() -> str:
    """Over what a plan would still bear."""
    return "It would still work, each alone:"


def limits_sought() -> str:
    """While that is worked out."""
    return "Trying how far it could be stretched"


def then_more(left: int) -> str:
    """How many findings stand behind the first."""
    return "" if left <= 0 else f"Then {'one' if left == 1 else left} more"


def looking(share: float) -> str:
    """While the search goes on."""
    return f"Looking for the smallest change, {share * 100:.0f}{NBSP}% tried"


def still_looking(share: float) -> str:
    """Under the best change so far."""
    return f"Still looking, {share * 100:.0f}{NBSP}% tried"


def no_change() -> str:
    """The search is over and found nothing."""
    return "No single change and no two mend this."
