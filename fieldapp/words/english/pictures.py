"""Words inside drawings, and what drawings say aloud."""

from __future__ import annotations

from fieldapp.drawing.wording import Wording
from fieldapp.words import units
from fieldapp.words.english.figures import (
    NBSP,
    VERDICTS,
    capital,
    figure,
    length,
    metres,
    spoken_length,
    with_unit,
)
from fieldapp.words.english.fixed import FIXED
from fieldapp.words.english.plans import kind_word


def grid_volts(value: float) -> str:
    """``50 V`` beside a line of the grid."""
    return f"{value:g}{NBSP}V"


def more_boxes(number: int) -> str:
    """``+14 boxes`` where a long run is cut short."""
    return f"+{number}{NBSP}{'box' if number == 1 else 'boxes'}"


def stop_and_place(name: str, place: str) -> str:
    """``Sluice  207 m``"""
    return f"{name}{NBSP}{NBSP}{place}"


def stop_beside(name: str) -> str:
    """Where a cable comes from, at the edge of a box drawn large."""
    return name.lower()


def minutes(value: float) -> str:
    """``6 min``"""
    return f"{value:.0f}{NBSP}min"


def port_name(port: str) -> str:
    """A port as it is written inside its box."""
    return port.upper()


def lead(metres_: float | None) -> str:
    """The length of an earth lead."""
    return length(metres_) if metres_ else ""


WORDING = Wording(
    metres=metres,
    volts=with_unit,
    grid_volts=grid_volts,
    more=more_boxes,
    stop=stop_and_place,
    minutes=minutes,
    design=FIXED.design,
    today=FIXED.today,
    no_data=FIXED.no_data,
)

# ---------------------------------------------------------------- what drawings say aloud


def speak_ribbon(length_m: float, here: str, proven: str, suspect: tuple[str, ...]) -> str:
    """The ribbon for a screen reader."""
    parts = [f"Run, {spoken_length(length_m)}."]
    if proven:
        parts.append(f"Proven to {proven}.")
    if suspect:
        reach = suspect[0] if len(suspect) == 1 else f"{suspect[0]} to {suspect[-1]}"
        parts.append(f"{reach} suspect.")
    if here:
        parts.append(f"You are at {here}.")
    return " ".join(parts)


def speak_line(volts: list[tuple[str, float | None, str]], cutoff: str) -> str:
    """The falling line for a screen reader: (box, volts, verdict) along the run."""
    told = [
        f"{box} {figure(value)}" + (f", {VERDICTS[verdict]}" if verdict else "")
        for box, value, verdict in volts
        if value is not None
    ]
    return f"Volts: {', '.join(told)}. {cutoff}." if told else "Volts: none predicted."


def speak_gauge(
    reading: float | None,
    reach: float,
    low: float | None,
    high: float | None,
    kind: str,
    word: str,
    today: bool = False,
) -> str:
    """The band gauge for a screen reader."""
    parts = []
    if reading is not None:
        parts.append(f"{with_unit(reading, kind)}, plus or minus {_reach(reach, kind)}.")
    if low is not None and high is not None:
        who = "Today" if today else "Planned"
        parts.append(f"{who} {figure(low, kind)} to {figure(high, kind)}.")
    if word:
        parts.append(f"{capital(word)}.")
    return " ".join(parts) or "Nothing predicted here."


def _reach(reach: float, kind: str) -> str:
    return f"{units.shown(reach, kind):.2g}"


def speak_box(box: str, kind: str, ports: tuple[tuple[str, str], ...], wrong: bool) -> str:
    """A box drawn large, for a screen reader."""
    sides = ", ".join(f"{port.upper()} faces {far}" for port, far in ports)
    way = "Wrong way round." if wrong else "Right way round."
    return f"{box}, {kind_word(kind)}. {sides}. {way}"


def speak_step(short: str) -> str:
    """The drawing of a step for a screen reader."""
    return f"Drawing: {short}"


def speak_mini(title: str) -> str:
    """The small falling line of a job's row."""
    return f"{title}, its falling line"
