"""Words inside drawings, and what drawings say aloud, in German."""

from __future__ import annotations

from fieldapp.drawing.wording import Wording
from fieldapp.words.english.pictures import (
    _reach,
    minutes,
    stop_and_place,
)
from fieldapp.words.german.figures import (
    NBSP,
    VERDICTS,
    _printed,
    capital,
    comma,
    figure,
    length,
    metres,
    plain_number,
    spoken_length,
    with_unit,
)
from fieldapp.words.german.fixed import FIXED
from fieldapp.words.german.plans import kind_word


def grid_volts(value: float) -> str:
    """``50 V`` beside a line of the grid."""
    return f"{plain_number(value)}{NBSP}V"


def more_boxes(number: int) -> str:
    """``+14 Boxen`` where a long run is cut short."""
    return f"+{number}{NBSP}{'Box' if number == 1 else 'Boxen'}"


def stop_beside(name: str) -> str:
    """Where a cable comes from, at the edge of a box drawn large: a name keeps its capital."""
    return name


def port_name(port: str) -> str:
    """A port as it is written inside its box."""
    return _printed(port)


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
    parts = [f"Linie, {spoken_length(length_m)}."]
    if proven:
        parts.append(f"Geprüft bis {proven}.")
    if suspect:
        reach = suspect[0] if len(suspect) == 1 else f"{suspect[0]} bis {suspect[-1]}"
        parts.append(f"{reach} verdächtig.")
    if here:
        parts.append(f"Du bist bei {here}.")
    return " ".join(parts)


def speak_line(volts: list[tuple[str, float | None, str]], cutoff: str) -> str:
    """The falling line for a screen reader: (box, volts, verdict) along the run."""
    told = [
        f"{box} {figure(value)}" + (f", {VERDICTS[verdict]}" if verdict else "")
        for box, value, verdict in volts
        if value is not None
    ]
    return f"Volt: {'; '.join(told)}. {cutoff}." if told else "Volt: keine vorhergesagt."


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
        parts.append(f"{with_unit(reading, kind)}, plus oder minus {comma(_reach(reach, kind))}.")
    if low is not None and high is not None:
        who = "Heute" if today else "Laut Plan"
        parts.append(f"{who} {figure(low, kind)} bis {figure(high, kind)}.")
    if word:
        parts.append(f"{capital(word)}.")
    return " ".join(parts) or "Hier ist nichts vorhergesagt."


def speak_box(box: str, kind: str, ports: tuple[tuple[str, str], ...], wrong: bool) -> str:
    """A box drawn large, for a screen reader."""
    sides = ", ".join(f"{_printed(port)} zeigt zu {far}" for port, far in ports)
    way = "Verkehrt herum." if wrong else "Richtig herum."
    return f"{box}, {kind_word(kind)}. {sides}. {way}"


def speak_step(short: str) -> str:
    """The drawing of a step for a screen reader."""
    return f"Zeichnung: {short}"


def speak_mini(title: str) -> str:
    """The small falling line of a job's row."""
    return f"{title}, fallende Linie"
