"""Verdicts, what is odd in a log, and what holds one on site, in words."""

from __future__ import annotations

from typing import Any

from engine.entries import UNITS
from engine.phrases.book import READINGS, Phrase, english, phrase
from engine.say import Say
from engine.standards.meters import METERS

OPEN_OHMS = 10_000.0
"""a loop of no more than this may be wire; beyond, the pair does not close (common practice)"""
LONGEST = 40
"""letters of a plan's value in a sentence"""


def figure(value: float, kind: str) -> str:
    """A value as it was read, with its unit."""
    return f"{value:.10g} {UNITS[kind]}" if kind != "error_count" else f"{value:.0f} damaged frames"


def amount(value: float, kind: str) -> str:
    """A difference, to the two digits that matter."""
    digits = f"{value:.2g}" if abs(value) < 100 else f"{value:.0f}"
    return figure(float(digits), kind)


def _listed(names: tuple[str, ...]) -> str:
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


# ---------------------------------------------------------------- verdicts


@phrase("verdict-inside")
def _inside(at: str, kind: str) -> Phrase:
    return Phrase(f"{at}: {READINGS[kind]} as expected.")


@phrase("verdict-unclear")
def _unclear(at: str, kind: str, by: float, low: bool) -> Phrase:
    return Phrase(
        f"{_off_today(at, kind, by, 'below' if low else 'above')}, which is not certain yet. "
        "Measure again; both readings are used."
    )


@phrase("verdict-outside-low")
def _outside_low(at: str, kind: str, by: float, reach: float, spoke: str) -> Phrase:
    return Phrase(_outside(at, kind, by, reach, spoke, "below"))


@phrase("verdict-outside-high")
def _outside_high(at: str, kind: str, by: float, reach: float, spoke: str) -> Phrase:
    most = METERS["probe-ohms"].band
    probes = kind == "loop_ohms" and by <= most.high
    return Phrase(
        _outside(at, kind, by, reach, spoke, "above"),
        f"The probes' own ohms, {most.low:g} to {most.high:g} when they touch, must be taken off."
        if probes
        else "",
    )


def _outside(at: str, kind: str, by: float, reach: float, spoke: str, side: str) -> str:
    """What today expects already has the scatter of its readings in; the plan's end has none."""
    if spoke == "today":
        return f"{_off_today(at, kind, by, side)}, more than the meter and chance explain."
    meter = f"; the meter is good to ± {amount(reach, kind)}" if reach else ""
    return f"{at}: {amount(by, kind)} {side} all that the plan allows{meter}."


def _off_today(at: str, kind: str, by: float, side: str) -> str:
    """How far off; readings of one meter can disagree by less than a band is wide."""
    if by > 0:
        return f"{at}: {amount(by, kind)} {side} today's band"
    return f"{at}: {'low' if side == 'below' else 'high'} beside the other readings"


@phrase("verdict-slow")
def _slow(at: str, mbps: int, expected: int) -> Phrase:
    seen = f"{mbps:.0f} Mb/s" if mbps else "no link"
    return Phrase(
        f"{at}: {seen} where {expected:.0f} Mb/s was expected."
        if expected
        else f"{at}: {seen} where no link was expected."
    )


@phrase("verdict-errors")
def _errors(at: str, count: float, most: float) -> Phrase:
    return Phrase(
        f"{at}: {count:.0f} damaged frames in this time, where a sound link may count {most:.0f}."
    )


@phrase("verdict-over")
def _over(at: str, kind: str, value: float, most: float) -> Phrase:
    limit = "the plan's target is" if kind == "earth_ohms" else "the limit is"
    end = figure(float(f"{most:.3g}"), kind)
    return Phrase(f"{at}: {READINGS[kind]} {figure(value, kind)}, where {limit} {end}.")


@phrase("pairs-apart")
def _pairs_apart(at: str, pairs: tuple[str, ...], ohms: tuple[float, ...], others: float) -> Phrase:
    """Pairs of one loop reading that no lay of wires explains."""
    told = [f"pair {name} {_pair(value, others)}" for name, value in zip(pairs, ohms, strict=True)]
    begins = _listed(tuple(told))
    return Phrase(
        f"{at}: {begins}, where {others:.3g} ohm would be like the others. "
        "Look there for a bad joint or wire."
    )


def _pair(ohms: float, others: float) -> str:
    if ohms > OPEN_OHMS:
        return "does not close"
    return f"reads {ohms:.3g} ohm"


# ---------------------------------------------------------------- nothing to judge by


@phrase("no-band-unplugged")
def _no_band_unplugged(at: str, box: str | None = None) -> Phrase:
    what = f"{box}, the first box that answers" if box else "a box that answers"
    return Phrase(
        f"{at}: a standard port gives a bare meter no steady volts. Plug in {what}.",
        "Until then the port only probes, in bursts below 30 V. That says nothing about the feed.",
    )


@phrase("no-band-collapse")
def _no_band_collapse(at: str) -> Phrase:
    return Phrase(f"{at}: with this load nothing can be held, so nothing steady is predicted.")


@phrase("no-band-tripped")
def _no_band_tripped(at: str) -> Phrase:
    return Phrase(
        f"{at}: the port is asked for more than it gives and lets go again and again, "
        "so nothing steady is predicted."
    )


@phrase("no-band-unpowered")
def _no_band_unpowered(at: str) -> Phrase:
    return Phrase(f"{at}: no power is planned to reach this point, so nothing is predicted.")


@phrase("no-band-no-such-box")
def _no_band_no_such_box(at: str, box: str) -> Phrase:
    return Phrase(f"{at}: {box} was to be off or replaced, but the plan has no such box.")


@phrase("no-band-not-judged")
def _no_band_not_judged(at: str, kind: str) -> Phrase:
    return Phrase(f"{at}: {READINGS[kind]} kept, not judged; the plan has nothing to hold it to.")


@phrase("no-band-no-target")
def _no_band_no_target(at: str) -> Phrase:
    return Phrase(f"{at}: the plan names no earth target to hold this against.")


@phrase("no-band-no-seconds")
def _no_band_no_seconds(at: str) -> Phrase:
    return Phrase(f"{at}: how long was counted is not noted. Count again, and note the seconds.")


# ---------------------------------------------------------------- what is odd in a log


@phrase("odd-twin")
def _odd_twin(entry: str) -> Phrase:
    return Phrase(f"Two different entries are called {entry}. Both are kept.")


@phrase("odd-void")
def _odd_void(entry: str, of: str) -> Phrase:
    return Phrase(f"Entry {entry} takes back {of}, which is not in this log. It may still come.")


@phrase("odd-change")
def _odd_change(entry: str, where: str) -> Phrase:
    return Phrase(f"Entry {entry} tells of a change at {where}, which the plan does not have.")


@phrase("odd-reading")
def _odd_reading(entry: str, at: str) -> Phrase:
    return Phrase(f"Entry {entry} is a reading at {at}, which the plan does not have.")


@phrase("odd-count")
def _odd_count(entry: str, device: str, n: int) -> Phrase:
    return Phrase(
        f"Entry {entry} is one more number {n} from phone {device}: it was set back to an older copy. "
        "Nothing is lost."
    )


# ---------------------------------------------------------------- holds


@phrase("hold-finding")
def _hold_finding(finding: Say) -> Phrase:
    return Phrase(english(finding).text)


@phrase("hold-step")
def _hold_step(step: Say) -> Phrase:
    return Phrase(f"Not done: {english(step).text}")


@phrase("hold-missing")
def _hold_missing(at: str, kind: str) -> Phrase:
    return Phrase(f"No {READINGS[kind]} at {at}.")


@phrase("hold-outside")
def _hold_outside(at: str, kind: str, value: float) -> Phrase:
    return Phrase(f"{figure(value, kind)} at {at}: outside, with no settled cause.")


@phrase("hold-unclear")
def _hold_unclear(at: str, kind: str, value: float) -> Phrase:
    return Phrase(f"{figure(value, kind)} at {at}: unclear. Measure again.")


@phrase("hold-drifted")
def _hold_drifted(at: str, kind: str, before: float, now: float) -> Phrase:
    was = figure(before, kind)
    return Phrase(f"{figure(now, kind)} at {at}: drifted, it was {was} when the site was left.")


@phrase("hold-edit")
def _hold_edit(path: str, problem: str) -> Phrase:
    return Phrase(f"A plan edit at {path} does not fit and was left out: {problem}")


@phrase("hold-conflict")
def _hold_conflict(path: str, values: tuple[Any, ...], by: tuple[str, ...], shown: str) -> Phrase:
    """``shown`` is the id of the one in force: the last that fits, in the log's order."""
    told = _listed(
        tuple(
            f"{_value(value)} by {name}" if name else _value(value)
            for value, name in zip(values, by, strict=True)
        )
    )
    return Phrase(
        f"The plan's {path} was changed by people who did not see each other's change: {told}. "
        "The last that fits is shown until one is kept."
    )


def _value(value: Any) -> str:
    """A value of the plan in a few plain words; what was taken out has none."""
    if value is None:
        return "taken out"
    text = _plain(value)
    return text if len(text) <= LONGEST else f"{text[: LONGEST - 2]}.."


def _plain(value: Any) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{key} {_plain(item)}" for key, item in value.items())
    if isinstance(value, list | tuple):
        return ", ".join(map(_plain, value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:.10g}" if isinstance(value, int | float) else str(value)
