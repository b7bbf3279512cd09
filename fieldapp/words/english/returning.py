"""The sentences of coming back: the last leave, why one has come, and what is no longer as it was."""

from __future__ import annotations

from fieldapp.words import units
from fieldapp.words.english.figures import (
    KINDS,
    NBSP,
    VERDICTS,
    capital,
    count,
    figure,
    point,
    reach_of,
    spot,
    things,
    unit_of,
    with_unit,
)
from fieldapp.words.english.said import says
from fieldapp.worldclock import day_of

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)

# ---------------------------------------------------------------- days


def on_day(stamp: str | None, now: str) -> str:
    """``3 June``, with its year where that is not this one's; blank where nobody knows."""
    at, today = day_of(stamp), day_of(now)
    if at is None:
        return ""
    day = f"{at.day}{NBSP}{MONTHS[at.month - 1]}"
    return day if today is not None and at.year == today.year else f"{day}{NBSP}{at.year}"


def then(day: str) -> str:
    """The day, or that there was one."""
    return day or "last time"


# ---------------------------------------------------------------- a new visit


def visit_title(by: str, day: str) -> str:
    """Who left the site, and when."""
    when = f" on {day}" if day else ""
    return f"**{by} left{when}.**" if by else f"**This site was left{when}.**"


def visit_had(readings: int, open_: int) -> str:
    """What the last visit came to."""
    read = "1 reading" if readings == 1 else f"{readings or 'No'} readings"
    return f"{read}; {things(open_) if open_ else 'nothing'} left open."


def visit_answered(by: str, role: str, reason: str) -> str:
    """Under a thing left open: who answered for it, and why."""
    who = f"{by}, {role}" if by and role else by or role
    return ": ".join(word for word in (who, reason) if word)


def visit_more_open(number: int) -> str:
    """Below the first few of them."""
    return f"And {count(number)} more."


def visit_why() -> str:
    """Over the reasons; the press on one begins the visit."""
    return "Why have you come?"


def visit_people() -> str:
    """Over one and two."""
    return "How many of you are here?"


def people(number: int) -> str:
    """``one``, ``two of us``"""
    return "one" if number == 1 else f"{count(number)} of us"


VISIT_REASONS = {
    "storm": "After a storm",
    "yearly": "The yearly look",
    "fault": "Something is wrong",
    "other": "Something else",
}


def visit_reason(reason: str) -> str:
    """Why one has come, as a press; by its word in the log."""
    return VISIT_REASONS.get(reason, VISIT_REASONS["other"])


def only_look() -> str:
    """The quiet way past it, which begins no visit."""
    return "Only look"


def row_left(day: str) -> str:
    """On the list of jobs: ``left 3 June``"""
    return f"left {day}" if day else "left"


@says("strip-visit")
def _strip_visit(reason: str, people: int) -> str:
    why = f"**{VISIT_REASONS[reason]}**: a" if reason in VISIT_REASONS else "A"
    return f"{why} visit {'begins' if people == 1 else f'of {count(people)} begins'}."


# ---------------------------------------------------------------- what is no longer as it was

DRIFTS = {"steady": "as it was", "unsure": "not yet for certain", "drifted": "drifted"}


def since_title(day: str) -> str:
    """Over what is compared: ``Since 3 June``"""
    return f"Since {then(day)}"


def since_nothing() -> str:
    """Where nothing was read again yet."""
    return "Nothing is read again yet."


def since_steady(number: int) -> str:
    """All that is as it was, in one line."""
    return (
        "1 reading as it was."
        if number == 1
        else f"{capital(count(number))} readings as they were."
    )


def drift_by(before: float, now: float, kind: str, day: str) -> str:
    """On the dimension line: ``0.9 V lower than 3 June``"""
    if kind in ("mbps", "error_count"):
        return f"{_counted(now, kind)}, {was_line(before, kind, day)}"
    by = abs(now - before)
    if not float(figure(by, kind)):
        return f"as on {day}" if day else "as last time"
    return f"{with_unit(by, kind)} {'lower' if now < before else 'higher'} than {then(day)}"


def drift_then(value: float, kind: str, day: str) -> str:
    """Under the earlier bead."""
    return f"{figure(value, kind)} on {day}" if day else f"{figure(value, kind)} last time"


def drift_now(value: float, kind: str) -> str:
    """Under today's."""
    return f"{figure(value, kind)} today"


def drift_head(kind: str, place: str) -> str:
    """Beside the tag of a point: what was read there, and the stop."""
    return f"{KINDS[kind]}, {place}" if place else KINDS[kind]


def drift_sure(explained: float, kind: str) -> str:
    """How sure: what the difference could come from without anything being altered."""
    if not explained:
        return "**This is no longer as it was.**"
    return f"Load, weather and meter explain {reach_of(explained, kind)}. **This is more.**"


def drift_past(box: str) -> str:
    """Where it starts."""
    return f"{box} reads as it did: it starts **past {box}**."


def drift_behind(at: str) -> str:
    """Where what is in front of it drifted too."""
    return f"{spot(at)}, nearer the feed, drifted too: **look there first**."


def drift_at_feed() -> str:
    """Where nothing in front of it was read again."""
    return "Nothing in front of it is read again yet. **Measure nearer the feed.**"


def drift_at_source() -> str:
    """Of the first point of a run."""
    return "It starts **at the feed**."


def drift_meter(same: bool, ohms: float | None) -> str:
    """Below it: whether one meter read both, and what resistance would explain it."""
    meter = "Same meter." if same else "Another meter, so less sure."
    more = f"About {with_unit(ohms, 'loop_ohms')} more in the loop would do it." if ohms else ""
    return f"{meter} {more}".rstrip()


def drift_altered(said: str, kind: str, reads: tuple[float, str] | None) -> str:
    """A difference that something was done about: then, and what is read there since."""
    if reads is None:
        return f"{capital(said)}, then altered here. **Not read since.**"
    value, verdict = reads
    since = f"Since then **{_counted(value, kind)}**: {VERDICTS[verdict]}."
    return f"{capital(said)}, then altered here. {since}"


def drift_unsure(said: str) -> str:
    """A difference that may be chance."""
    return f"{capital(said)}: not yet for certain."


def was_line(before: float, kind: str, day: str) -> str:
    """On a verdict, and on Run: what was read here on the last visit."""
    return f"was {_counted(before, kind)} {'on ' if day else ''}{then(day)}"


def was_short(before: float, kind: str) -> str:
    """The same where there is little room."""
    return f"was {_counted(before, kind)}"


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
        f"{capital(KINDS[kind])} at {point(at)}: {with_unit(now, kind)} today, "
        f"{was_line(before, kind, day)}. "
        f"Expected {figure(low, kind)} to {figure(high, kind)}{NBSP}{unit_of(kind)}. "
        f"{capital(DRIFTS[verdict])}."
    )


def speak_earlier(value: float, kind: str) -> str:
    """The hollow bead on the gauge of a reading that is to be taken again."""
    return f"Last time {with_unit(value, kind)}."


# ---------------------------------------------------------------- why these readings first

AGAIN_SHOWS = {
    "storm": "what a storm does",
    "yearly": "what changes in a year",
    "fault": "what goes wrong with time",
    "other": "what changes with time",
}


def again_line(readings: int, looks: int, minutes: float, reason: str) -> str:
    """Why Now begins with these few: what they would show, and what they take."""
    read = f"{count(readings)} reading{'' if readings == 1 else 's'}"
    over = "a look" if looks == 1 else f"{count(looks)} looks"
    these = " and ".join(part for part, number in ((read, readings), (over, looks)) if number)
    what = AGAIN_SHOWS.get(reason, AGAIN_SHOWS["other"])
    verb = "shows" if readings + looks == 1 else "show"
    return f"**{capital(these)}** {verb} most of {what}. {minutes:.0f}{NBSP}min."


# ---------------------------------------------------------------- in the record

RECORD_SURE = {
    "steady": "as it was",
    "unsure": "not for certain",
    "drifted": "more than chance",
}


def record_sure(verdict: str) -> str:
    """What is thought of a difference."""
    return RECORD_SURE[verdict]


def record_difference(by: float, kind: str) -> str:
    """``−0.9 V``: now less before; ``0 V`` where they are the same to the last digit shown."""
    by = units.shown(by, kind)
    shown = f"{by:+.2f}" if abs(by) < 0.1 else f"{by:+.1f}"
    shown = shown if float(shown) else "0"
    return f"{shown.replace('-', '−')}{NBSP}{unit_of(kind)}"


def record_same_meter(same: bool) -> str:
    """Whether one meter read both."""
    return "the same" if same else "another"


def record_reason(reason: str) -> str:
    """Why a visit was made; blank where nobody said."""
    return VISIT_REASONS[reason].lower() if reason in VISIT_REASONS else ""


def record_since(day: str) -> str:
    """Under the head: since when."""
    return f"Since the site was left{f' on {day}' if day else ''}."
