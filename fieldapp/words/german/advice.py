"""The sentences of advice in German: what to change, and what it gives."""

from __future__ import annotations

from engine.say import Say
from fieldapp.words.english.advice import NO_VOLTS
from fieldapp.words.german.figures import (
    NBSP,
    cable_wire,
    decimal,
    metres,
    plain_number,
    spot,
    with_unit,
)
from fieldapp.words.german.said import says, sentence
from fieldapp.words.german.sheetnames import _titled

# Each begins with an id, a figure or a noun: so two can stand behind each other as they are.


@says("advice-cable")
def _cable(span: str, title: str) -> str:
    return f"{span} als {_titled(title)} verlegen"


@says("advice-pairs")
def _pairs(at: tuple[str, ...]) -> str:
    return f"{', '.join(at)}: vier Paare nehmen"


@says("advice-box")
def _box(box: str, title: str) -> str:
    return f"{box} ersetzen: {_titled(title)}"


@says("advice-turn")
def _turn(box: str) -> str:
    return f"{box} umdrehen"


@says("advice-exchange")
def _exchange(box: str, other: str) -> str:
    return f"{box} und {other} tauschen"


@says("advice-take-out")
def _take_out(box: str) -> str:
    return f"{box} herausnehmen"


@says("advice-bond")
def _bond(box: str) -> str:
    return f"{box} erden"


@says("advice-arrestor")
def _arrestor(span: str, at: str, stop: str) -> str:
    return f"Ableiter in {span}, bei {stop}"


@says("advice-bridge")
def _bridge(at: str) -> str:
    return f"Gigabit-Repeater vor {spot(at)}"


@says("advice-long-span")
def _long_span(start: str, end: str) -> str:
    return f"2 Weitstreckenboxen, {spot(start)} bis {spot(end)}"


@says("advice-repeater")
def _repeater(span: str) -> str:
    return f"Repeater in {span}"


@says("advice-fed-anew")
def _fed_anew(span: str, title: str, metres: float) -> str:
    return f"{span}, nach {_metres(metres)}: {_titled(title)}"


@says("advice-injector")
def _injector(span: str, at: str, stop: str, watts: float) -> str:
    return f"Einspeiser mit {plain_number(watts)}{NBSP}W in {span}, bei {stop}"


@says("advice-both")
def _both(parts: tuple[Say, ...]) -> str:
    return "; ".join(sentence(part) for part in parts)


@says("advice-limited")
def _limited(at: str, needed: float, share: float, best: float) -> str:
    return (
        f"Nichts Kleines behebt das: {spot(at)} braucht {with_unit(needed)}, die beste Änderung "
        f"trägt das {decimal(best, 2)}-fache der Last."
    )


@says("advice-stopped")
def _stopped(finding: Say | None) -> str:
    return "Nichts Kleines behebt das." + (f" {sentence(finding)}" if finding else "")


@says("limit-length")
def _limit_length(span: str, metres: float, now: float, by: str) -> str:
    return f"{span} darf {_metres(metres)} lang sein; es sind {_metres(now)}."


@says("limit-load")
def _limit_load(box: str, watts: float, now: float, by: str) -> str:
    return f"{box} darf {watts:.0f}{NBSP}W ziehen; es sind {now:.0f}{NBSP}W."


@says("limit-heat")
def _limit_heat(celsius: float, now: float, by: str) -> str:
    return f"Bis {celsius:.0f}{NBSP}°C hält es; geplant sind {now:.0f}{NBSP}°C."


@says("limit-gauge")
def _limit_gauge(span: str, awg: float, now: float, by: str) -> str:
    return f"{span} darf so dünn sein wie {cable_wire(awg)}; es hat {cable_wire(now)}."


_metres = metres


HOLDS = {
    "worst": "",
    "expected": "hält im Normalfall",
    "not": "hält noch nicht",
}
"""how far a plan holds with a change"""


def advice_more(gained: float | None, left: int, holds: str) -> str:
    """Under the slab: how far the plan then holds, or what the far end's volts do; what is left."""
    first = HOLDS[holds] or gained_line(gained)
    return f"{first}. {then_more(left)}".strip()


def gained_line(gained: float | None) -> str:
    """What a change does to the far end's volts."""
    if gained is None:
        return "fernes Ende geht an"
    if abs(gained) < NO_VOLTS:
        return "kein Volt verloren"
    if gained > 0:
        return f"{with_unit(gained)} gewonnen"
    return f"{with_unit(-gained)} verloren"


def other_ways() -> str:
    """To the changes beside the one that is offered."""
    return "Andere Wege"


def ways_title() -> str:
    """Over the other changes."""
    return "Was sonst hilft"


def ways_meant() -> str:
    """What the effort of a change means."""
    return "Aufwand 1 ist eine Einstellung. Ein Kabel ziehen ist 8 und mehr."


def way_line(effort: float, gained: float | None, holds: str, left: int) -> str:
    """Under a change in the list."""
    parts = [f"Aufwand {effort:.0f}", gained_line(gained), HOLDS[holds]]
    said = ", ".join(part for part in parts if part)
    return f"{said}. {then_more(left)}" if left > 0 else said


def limits_title() -> str:
    """Over what a plan would still bear."""
    return "Auch das ginge noch, jedes für sich:"


def limits_sought() -> str:
    """While that is worked out."""
    return "Probieren, wie weit es noch ginge"


def then_more(left: int) -> str:
    """How many findings stand behind the first."""
    return "" if left <= 0 else f"Dann noch {'einer' if left == 1 else left}"


def looking(share: float) -> str:
    """While the search goes on."""
    return f"Kleinste Änderung suchen, {share * 100:.0f}{NBSP}% probiert"


def still_looking(share: float) -> str:
    """Under the best change so far."""
    return f"Suche läuft noch, {share * 100:.0f}{NBSP}% probiert"


def no_change() -> str:
    """The search is over and found nothing."""
    return "Keine einzelne Änderung und keine zwei beheben das."
