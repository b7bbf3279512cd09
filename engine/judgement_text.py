"""A judgement as text: what was read against what it should be, and what holds one on site."""

from __future__ import annotations

import textwrap
from collections import Counter
from collections.abc import Iterable, Iterator
from itertools import groupby
from math import log10

from engine.design_band import apart
from engine.diagnose.account import account
from engine.diagnose_text import diagnosis_text
from engine.entries import COUNTED
from engine.figures import FLOW_KINDS
from engine.judge import Judgement
from engine.layout import MANY, WIDTH, table, titled, wrapped
from engine.log import Reading, State
from engine.phrases import READINGS, english
from engine.practice import MADE_UP_KEY
from engine.since_text import since_text
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR, Verdict

MADE_UP = "Made up for practice: it tells of no real site."


def judgement_text(judgement: Judgement) -> str:
    """The readings, each against its band, and what still holds one on site."""
    state = judgement.state
    struck = _taken_back(state)
    now = [verdict for verdict in judgement.verdicts if verdict.current]
    gone = [verdict for verdict in judgement.verdicts if verdict.id in struck]
    old = [v for v in judgement.verdicts if not v.current and v.id not in struck]
    parts = [
        titled(state.job),
        *([MADE_UP] if MADE_UP_KEY in state.doc else []),
        "",
        textwrap.fill(_counted(now, old, gone), WIDTH),
        "",
        *_readings("Readings, from the source outwards", state, now, _legend([*now, *old])),
        *since_text(judgement),
        *_to_look_at(state, now),
        *_readings("Older readings: repeated, altered there since, or not in the plan", state, old),
        *_struck(gone, struck),
        *_lines("Odd in the log", (english(odd.say).text for odd in state.oddities)),
        *_holding(judgement),
        *diagnosis_text(account(judgement)),
    ]
    return "\n".join(parts).rstrip("\n") + "\n"


def _lines(title: str, sentences: Iterable[str]) -> list[str]:
    """A titled list of sentences; nothing where there are none."""
    lines = [wrapped(sentence) for sentence in sentences]
    return [title, "", *lines, ""] if lines else []


def _counted(now: list[Verdict], old: list[Verdict], gone: list[Verdict]) -> str:
    """How the readings that count came out, the worst word first."""
    if not (now or old or gone):
        return "No readings yet."
    words = Counter(verdict.verdict for verdict in now)
    told = [f"{words[word]} {word}" for word in (OUTSIDE, UNCLEAR, INSIDE, NO_BAND) if words[word]]
    count = f"{len(now)} reading{'' if len(now) == 1 else 's'}"
    sentence = f"{count}: {', '.join(told)}." if now else "No reading counts any more."
    passed = [f"{len(old)} older" if old else "", f"{len(gone)} taken back" if gone else ""]
    more = " and ".join(text for text in passed if text)
    return f"{sentence} Further down: {more}." if more else sentence


COLUMN = {
    "volts": "volts",
    "milliamps": "milliamps",
    "watts": "watts",
    "mbps": "link, Mb/s",
    "error_count": "bad frames",
    "loop_ohms": "loop ohms",
    "unbalance_ohms": "unbalance",
    "metres": "metres",
    "earth_ohms": "earth ohms",
    "celsius": "°C",
}
"""a kind and its unit in the table of readings"""
FROM_NONE = frozenset({"mbps", "error_count", "unbalance_ohms", "earth_ohms"})
"""kinds whose bands, where they begin at 0, have no lower end worth telling"""
PLAIN_DECIMALS = 2
"""decimals where no meter says how fine it shows"""


def _readings(
    title: str, state: State, verdicts: list[Verdict], legend: Iterable[str] = ()
) -> list[str]:
    """A table of verdicts, and under it what the numbers alone do not tell."""
    if not verdicts:
        return []
    rows = [("at", "kind", "read", "should be", "by", "verdict", "z")]
    for verdict in verdicts:
        reading = verdict.reading
        decimals = _decimals(state, reading)
        rows.append(
            (
                reading.at,
                COLUMN[reading.kind],
                _read(reading, verdict.reach, decimals),
                _should_be(verdict, decimals),
                verdict.by if verdict.band else "",
                verdict.verdict,
                "" if verdict.z is None else f"{verdict.z:+.{0 if abs(verdict.z) >= MANY else 1}f}",
            )
        )
    under = [*_circumstances(verdicts), *legend, *_would_have_shown(verdicts)]
    lines = [title, "", table(rows, frozenset({6})), ""]
    return [*lines, *(wrapped(text) for text in under), *([""] if under else [])]


def _decimals(state: State, reading: Reading) -> int:
    """As fine as the meter shows."""
    accuracy = state.job.accuracy(reading.meter, reading.kind)
    if reading.kind in COUNTED:
        return 0
    if accuracy is None or accuracy.resolution <= 0:
        return PLAIN_DECIMALS
    return min(4, max(0, round(-log10(accuracy.resolution))))


def _read(reading: Reading, reach: float, decimals: int) -> str:
    if reading.kind == "mbps" and not reading.figure:
        return "no link"
    if reading.kind == "error_count" and reading.seconds:
        return f"{reading.figure:.0f} in {reading.seconds:g} s"
    value = f"{reading.figure:.{decimals}f}"
    # two digits of the meter's reach say enough
    return (
        f"{value} ± {reach:.2g}"
        if 0 < reach < MANY
        else f"{value} ± {reach:.0f}"
        if reach
        else value
    )


def _should_be(verdict: Verdict, decimals: int) -> str:
    """The band in words: an end that is not there is not drawn."""
    band, kind = verdict.band, verdict.reading.kind
    if band is None:
        return "-"
    low, high = (None if x is None else f"{x:.{decimals}f}" for x in (band.low, band.high))
    if low is None or (kind in FROM_NONE and not band.low):
        return f"up to {high}" if high is not None else "anything"
    if high is None:
        return f"from {low}"
    return low if low == high else f"{low} to {high}"


def _circumstances(verdicts: list[Verdict]) -> Iterator[str]:
    """What stood there, and what a figure is the mean of."""
    for verdict in verdicts:
        reading, standing = verdict.reading, verdict.reading.standing
        what = f"{reading.at}, {COLUMN[reading.kind]} {reading.figure:.6g}"
        stood = [
            *(f"{watts:g} W in place of {box}" for box, watts in sorted(standing.known.items())),
            *(f"{box} off" for box in sorted(standing.off)),
            *(["nothing plugged in beyond"] if standing.beyond else []),
        ]
        if stood:
            yield f"{what}: read with {', '.join(stood)}."
        if reading.pairs:
            pairs = ", ".join(f"{name} {value:g}" for name, value in reading.pairs.items())
            yield f"{what}: the mean of its pairs, {pairs}."


def _legend(verdicts: list[Verdict]) -> Iterator[str]:
    """What the short words of the tables mean, as far as they stand in them."""
    whose = {verdict.by for verdict in verdicts if verdict.band}
    if "today" in whose:
        yield "today: what the readings before it on the way lead one to expect."
    if "design" in whose:
        yield "design: all that a job built to plan can show."
    if any(verdict.z is not None for verdict in verdicts):
        yield "z: how far from the expected, 1 being the usual scatter; up to 2 is ordinary."


def _would_have_shown(verdicts: list[Verdict]) -> Iterator[str]:
    seen = [
        f"{verdict.reading.at} {verdict.smallest_ohms:.1f}"
        for verdict in verdicts
        if verdict.reading.kind == "volts" and verdict.smallest_ohms is not None
    ]
    if seen:
        yield (
            "Extra loop ohms in front of a point that its volts would have shown, at the least: "
            f"{', '.join(seen)}."
        )


def _to_look_at(state: State, verdicts: list[Verdict]) -> list[str]:
    """What is to be said of readings that are not plainly inside; a reason only once."""
    out, given = [], set()
    for verdict in verdicts:
        odd = apart(state, verdict.reading)
        told = [verdict.say] if verdict.verdict != INSIDE else []
        for statement in (*told, *([odd] if odd else [])):
            words = english(statement)
            out.append(words.text if words.why in given else f"{words.text} {words.why}".strip())
            given.add(words.why)
        out += _open_end(verdict)
    return _lines("To look at", out)


def _open_end(verdict: Verdict) -> list[str]:
    """Why a band of volts, amps or watts lacks an end."""
    band, reading = verdict.band, verdict.reading
    if band is None or reading.kind not in FLOW_KINDS or None not in (band.low, band.high):
        return []
    end = "lower" if band.low is None else "upper"
    kind = READINGS[reading.kind]
    return [f"{reading.at}: no {end} end for {kind}; with all against it nothing is held here."]


def _taken_back(state: State) -> dict[str, str]:
    """Entries that were taken back, and the last reason given for it."""
    return {
        entry.body["of"]: entry.body.get("why") or ""
        for entry in state.entries
        if entry.what == "void" and entry.id not in state.voided
        if entry.body["of"] in state.voided
    }


def _struck(gone: list[Verdict], struck: dict[str, str]) -> list[str]:
    """Values that were taken back: they stay in the record, without a verdict."""
    rows = []
    for verdict in gone:
        reading, why = verdict.reading, struck[verdict.id]
        text = f"{reading.at}, {COLUMN[reading.kind]} {reading.figure:.6g}"
        rows.append(f"{text}: {why}" if why else f"{text}; no reason was given.")
    return _lines("Taken back", rows)


WAIVING = {
    "no": " [cannot be waived]",
    "responsible": " [needs another's name]",
    "self": "",
}


def _holding(judgement: Judgement) -> list[str]:
    """What holds one here, stop by stop, and who answers for the rest."""
    stops = judgement.state.job.stops
    parts = [_leaving(judgement)]
    for at, holds in groupby(judgement.blockers, key=lambda hold: hold.stop):
        stop = stops.get(at) if at is not None else None
        parts += ["", wrapped(stop.name if stop else "The job as a whole")]
        parts += [
            wrapped(english(hold.say).text + WAIVING[hold.can_waive], "    ") for hold in holds
        ]
    parts.append("")
    waived = (
        f"{hold.waiver.by}: {english(hold.say).text} {hold.waiver.reason}".rstrip()
        for hold in judgement.holds
        if hold.waiver
    )
    return [*parts, *_lines("Waived, and who answers", waived)]


def _leaving(judgement: Judgement) -> str:
    count = len(judgement.blockers)
    if not count:
        return "Nothing holds you here."
    return "One thing holds you here:" if count == 1 else f"{count} things hold you here:"
