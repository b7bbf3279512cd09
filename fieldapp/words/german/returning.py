"""The sentences of coming back, in German: the last leave, why one has come, what is no longer as it
was."""

from __future__ import annotations

from fieldapp.words.english import figures as english_figures
from fieldapp.words.english import returning as english
from fieldapp.words.english.returning import visit_answered  # noqa: F401
from fieldapp.words.german.figures import (
    KINDS,
    NBSP,
    VERDICTS,
    capital,
    comma,
    count,
    figure,
    point,
    reach_of,
    several,
    spot,
    things,
    unit_of,
    with_unit,
)
from fieldapp.words.german.said import says
from fieldapp.worldclock import day_of

MONTHS = (
    "Januar",
    "Februar",
    "März",
    "April",
    "Mai",
    "Juni",
    "Juli",
    "August",
    "September",
    "Oktober",
    "November",
    "Dezember",
)

# ---------------------------------------------------------------- days


def on_day(stamp: str | None, now: str) -> str:
    """``3. Juni``, with its year where that is not this one's; blank where nobody knows."""
    at, today = day_of(stamp), day_of(now)
    if at is None:
        return ""
    day = f"{at.day}.{NBSP}{MONTHS[at.month - 1]}"
    return day if today is not None and at.year == today.year else f"{day}{NBSP}{at.year}"


def then(day: str) -> str:
    """On the day, or that there was one."""
    return f"am {day}" if day else "letztes Mal"


# ---------------------------------------------------------------- a new visit


def visit_title(by: str, day: str) -> str:
    """Who left the site, and when."""
    when = f" am {day}" if day else ""
    return f"**{by} ist{when} gegangen.**" if by else f"**Dieser Ort wurde{when} verlassen.**"


def visit_had(readings: int, open_: int) -> str:
    """What the last visit came to."""
    read = "1 Messwert" if readings == 1 else f"{readings or 'Keine'} Messwerte"
    left = f"{things(open_)} {'blieb' if open_ == 1 else 'blieben'}" if open_ else "nichts blieb"
    return f"{read}; {left} offen."


def visit_more_open(number: int) -> str:
    """Below the first few of them."""
    return f"Und noch {things(number)}."


def visit_why() -> str:
    """Over the reasons; the press on one begins the visit."""
    return "Warum bist du gekommen?"


def visit_people() -> str:
    """Over one and two."""
    return "Wie viele seid ihr hier?"


def people(number: int) -> str:
    """``allein``, ``zu zweit``"""
    return {1: "allein", 2: "zu zweit", 3: "zu dritt"}.get(number, f"{count(number)} Leute")


VISIT_REASONS = {
    "storm": "Nach einem Unwetter",
    "yearly": "Jährliche Durchsicht",
    "fault": "Etwas stimmt nicht",
    "other": "Etwas anderes",
}


def visit_reason(reason: str) -> str:
    """Why one has come, as a press; by its word in the log."""
    return VISIT_REASONS.get(reason, VISIT_REASONS["other"])


def only_look() -> str:
    """The quiet way past it, which begins no visit."""
    return "Nur ansehen"


def row_left(day: str) -> str:
    """On the list of jobs: ``verlassen am 3. Juni``"""
    return f"verlassen am {day}" if day else "verlassen"


@says("strip-visit")
def _strip_visit(reason: str, people: int) -> str:
    what = "Besuch beginnt" if people == 1 else f"Besuch beginnt, zu {_several_come(people)}"
    return f"**{VISIT_REASONS[reason]}**: {what}." if reason in VISIT_REASONS else f"{what}."


def _several_come(number: int) -> str:
    return {2: "zweit", 3: "dritt", 4: "viert"}.get(number, "mehreren")


# ---------------------------------------------------------------- what is no longer as it was

DRIFTS = {"steady": "unverändert", "unsure": "noch nicht eindeutig", "drifted": "verändert"}


def since_title(day: str) -> str:
    """Over what is compared: ``Seit dem 3. Juni``"""
    return f"Seit dem {day or 'letzten Mal'}"


def since_nothing() -> str:
    """Where nothing was read again yet."""
    return "Noch ist nichts neu gemessen."


def since_steady(number: int) -> str:
    """All that is as it was, in one line."""
    return f"Unverändert: {several(number, 'ein Messwert', 'Messwerte')}."


def drift_by(before: float, now: float, kind: str, day: str) -> str:
    """On the dimension line: ``0,9 V niedriger als am 3. Juni``"""
    if kind in ("mbps", "error_count"):
        return f"{_counted(now, kind)}, {was_line(before, kind, day)}"
    by = abs(now - before)
    if not float(english_figures.figure(by, kind)):
        return f"wie {then(day)}"
    return f"{with_unit(by, kind)} {'niedriger' if now < before else 'höher'} als {then(day)}"


def drift_then(value: float, kind: str, day: str) -> str:
    """Under the earlier bead."""
    return f"{figure(value, kind)} {then(day)}"


def drift_now(value: float, kind: str) -> str:
    """Under today's."""
    return f"{figure(value, kind)} heute"


def drift_head(kind: str, place: str) -> str:
    """Beside the tag of a point: what was read there, and the stop."""
    return f"{KINDS[kind]}, {place}" if place else KINDS[kind]


def drift_sure(explained: float, kind: str) -> str:
    """How sure: what the difference could come from without anything being altered."""
    if not explained:
        return "**Das ist nicht mehr, wie es war.**"
    return f"Last, Wetter und Messgerät erklären {reach_of(explained, kind)}. **Das ist mehr.**"


def drift_past(box: str) -> str:
    """Where it starts."""
    return f"{box} zeigt dasselbe wie damals: Es beginnt **hinter {box}**."


def drift_behind(at: str) -> str:
    """Where what is in front of it drifted too."""
    return f"Auch {spot(at)}, näher an der Einspeisung, ist verändert: **erst dort nachsehen**."


def drift_at_feed() -> str:
    """Where nothing in front of it was read again."""
    return "Davor ist noch nichts neu gemessen. **Näher an der Einspeisung messen.**"


def drift_at_source() -> str:
    """Of the first point of a run."""
    return "Es beginnt **an der Einspeisung**."


def drift_meter(same: bool, ohms: float | None) -> str:
    """Below it: whether one meter read both, and what resistance would explain it."""
    meter = "Dasselbe Messgerät." if same else "Anderes Messgerät, also weniger gewiss."
    if not ohms:
        return meter
    return f"{meter} Etwa {with_unit(ohms, 'loop_ohms')} mehr in der Schleife würden es erklären."


def drift_altered(said: str, kind: str, reads: tuple[float, str] | None) -> str:
    """A difference that something was done about: then, and what is read there since."""
    if reads is None:
        return f"{capital(said)}, dann wurde hier etwas geändert. **Seither nicht gemessen.**"
    value, verdict = reads
    since = f"Seither **{_counted(value, kind)}**: {VERDICTS[verdict]}."
    return f"{capital(said)}, dann wurde hier etwas geändert. {since}"


def drift_unsure(said: str) -> str:
    """A difference that may be chance."""
    return f"{capital(said)}: noch nicht eindeutig."


def was_line(before: float, kind: str, day: str) -> str:
    """On a verdict, and on Run: what was read here on the last visit."""
    if not day:
        return f"war {then(day)} {_counted(before, kind)}"
    return f"war {_counted(before, kind)} {then(day)}"


def was_short(before: float, kind: str) -> str:
    """The same where there is little room."""
    return f"war {_counted(before, kind)}"


def _counted(value: float, kind: str) -> str:
    """A value with its unit; what is counted has no decimals."""
    return f"{value:.0f}{NBSP}{unit_of(kind)}" if kind == "error_count" else with_unit(value, kind)


def as_then(before: float, kind: str, day: str, verdict: str) -> str:
    """On the verdict: what was read here on the last visit, and what is thought of the two."""
    return f"**{capital(was_line(before, kind, day))}**: {DRIFTS[verdict]}."


def speak_drift(
    at: str,
    kind: str,
    before: float,
    now: float,
    low: float,
    high: float,
    day: str,
    verdict: str,
) -> str:
    """The two beads for a screen reader."""
    return (
        f"{KINDS[kind]} an {point(at)}: heute {with_unit(now, kind)}, "
        f"{was_line(before, kind, day)}. "
        f"Erwartet {figure(low, kind)} bis {figure(high, kind)}{NBSP}{unit_of(kind)}. "
        f"{capital(DRIFTS[verdict])}."
    )


def speak_earlier(value: float, kind: str) -> str:
    """The hollow bead on the gauge of a reading that is to be taken again."""
    return f"Letztes Mal {with_unit(value, kind)}."


# ---------------------------------------------------------------- why these readings first

AGAIN_SHOWS = {
    "storm": "was ein Unwetter anrichtet",
    "yearly": "was sich in einem Jahr ändert",
    "fault": "was mit der Zeit kaputtgeht",
    "other": "was sich mit der Zeit ändert",
}


def again_line(readings: int, looks: int, minutes: float, reason: str) -> str:
    """Why Now begins with these few: what they would show, and what they take."""
    read = several(readings, "ein Messwert", "Messwerte")
    over = several(looks, "ein Blick", "Blicke")
    these = " und ".join(part for part, number in ((read, readings), (over, looks)) if number)
    what = AGAIN_SHOWS.get(reason, AGAIN_SHOWS["other"])
    verb = "zeigt" if readings + looks == 1 else "zeigen"
    return f"**{capital(these)}** {verb} das meiste von dem, {what}. {minutes:.0f}{NBSP}min."


# ---------------------------------------------------------------- in the record

RECORD_SURE = {
    "steady": "unverändert",
    "unsure": "nicht eindeutig",
    "drifted": "mehr als Zufall",
}


def record_sure(verdict: str) -> str:
    """What is thought of a difference."""
    return RECORD_SURE[verdict]


def record_difference(by: float, kind: str) -> str:
    """``−0,9 V``: now less before."""
    shown, _, _ = english.record_difference(by, kind).partition(NBSP)
    return f"{comma(shown)}{NBSP}{unit_of(kind)}"


def record_same_meter(same: bool) -> str:
    """Whether one meter read both."""
    return "dasselbe" if same else "ein anderes"


def record_reason(reason: str) -> str:
    """Why a visit was made; blank where nobody said. None of them begins with a noun."""
    said = VISIT_REASONS.get(reason, "")
    return f"{said[:1].lower()}{said[1:]}"


def record_since(day: str) -> str:
    """Under the head: since when."""
    return f"Seit der Ort{f' am {day}' if day else ''} verlassen wurde."
