"""The command line's text: aligned columns, units, readable without colour at 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from engine.fields import Problem
from engine.job import Job
from engine.judge import Judgement
from engine.phrases import UNITS, english
from engine.route import total_minutes, walk_m
from engine.study import Prediction, Range

WIDTH = 80


def wrapped(text: str, indent: str = "  ") -> str:
    """A sentence broken at 80 columns, its second line hanging under the first."""
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ")


def table(rows: Iterable[tuple[str, ...]], right: frozenset[int] = frozenset()) -> str:
    """Rows as aligned columns; the columns named in ``right`` are flush right."""
    rows = [tuple(row) for row in rows]
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        cells = [
            cell.rjust(width) if i in right else cell.ljust(width)
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append(("  " + "  ".join(cells)).rstrip())
    return "\n".join(lines)


def _figure(value: float | None, digits: int = 1) -> str:
    return "-" if value is None else f"{value:.{digits}f}"


def _three(band: Range, digits: int = 1) -> tuple[str, str, str]:
    return tuple(_figure(value, digits) for value in (band.low, band.expected, band.high))


def prediction_text(prediction: Prediction) -> str:
    """What to expect at each box: the answer first, then what to mend, then the figures."""
    job = prediction.job
    parts = [_title(job), "", _answer(prediction), ""]
    parts += _findings(prediction, ("stop", "warn"))
    parts += ["What each point should show (low / expected / high)", ""]
    head = ("point", "V low", "exp", "high", "A exp", "W exp", "pairs", "state")
    rows = [head]
    for point, seen in prediction.points.items():
        rows.append(
            (
                str(point),
                *_three(seen.volts),
                _figure(seen.amps.expected, 3),
                _figure(seen.watts.expected),
                str(seen.pairs or "-"),
                seen.state,
            )
        )
    parts += [table(rows, frozenset(range(1, 7))), "", "Links", ""]
    rows = [("from", "to", "metres", "expected", "")]
    for link in prediction.links:
        speed = f"{link.expected_mbps} Mb/s" if link.expected_mbps else "no link"
        note = "" if link.assured else "not assured"
        rows.append((str(link.start), str(link.end), f"{link.length_m:.0f}", speed, note))
    parts += [table(rows, frozenset({2})) if len(rows) > 1 else "  none", "", "Feeds", ""]
    rows = [("port", "W low", "exp", "high", "limit", "grants", "first to answer")]
    for point, feed in prediction.sources.items():
        rows.append(
            (
                str(point),
                *_three(feed.watts),
                _figure(feed.limit_watts, 0),
                _figure(feed.granted_watts, 0),
                feed.answers or "-",
            )
        )
    parts += [table(rows, frozenset(range(1, 6))) if len(rows) > 1 else "  none"]
    notes = [f for f in prediction.findings if f.severity == "note"]
    if notes:
        parts += ["", "Taken because the job does not say", ""]
        parts += [wrapped(english(note.say).text) for note in notes]
    return "\n".join(parts) + "\n"


def _title(job: Job) -> str:
    return wrapped(f"{job.title} ({job.id})", "")


def _answer(prediction: Prediction) -> str:
    collapse = prediction.collapse
    if not prediction.sources:
        return wrapped("It will not work: no source feeds this run.", "")
    if collapse is not None:
        return wrapped(
            f"It will not work: nothing runs past {collapse.at}, which needs "
            f"{collapse.volts_needed:g} V. The run bears {collapse.load_share:.2f} of its load.",
            "",
        )
    spare = ", ".join(
        f"{name} {watts:.0f} W"
        for name, watts in prediction.watts_to_spare.items()
        if watts is not None
    )
    stops = sum(finding.severity == "stop" for finding in prediction.findings)
    if prediction.load_share is None:
        held = "Nothing is drawn, so the volts hold."
    else:
        held = f"The volts hold: {prediction.load_share:.2f} times the load could be borne"
        held += f" (to spare: {spare})." if spare else "."
    if stops:
        things = "One thing stops it" if stops == 1 else f"{stops} things stop it"
        return wrapped(f"{things}, listed below. {held}", "")
    return wrapped(f"It will work. {held}", "")


def _findings(prediction: Prediction, severities: tuple[str, ...]) -> list[str]:
    found = [f for f in prediction.findings if f.severity in severities]
    if not found:
        return []
    out = ["To mend", ""]
    for finding in found:
        words = english(finding.say)
        out.append(wrapped(f"[{finding.severity}] {words.text}"))
        if words.why:
            out.append(wrapped(words.why, "         "))
    return [*out, ""]


def judgement_text(judgement: Judgement) -> str:
    """The readings, each against its band, and what still holds one on site."""
    job = judgement.state.job
    parts = [_title(job), ""]
    if judgement.verdicts:
        rows = [("at", "kind", "value", "band", "verdict", "")]
        for verdict in judgement.verdicts:
            reading, band = verdict.reading, verdict.band
            held = f"{_figure(band.low)} to {_figure(band.high)}" if band else "-"
            rows.append(
                (
                    reading.at,
                    reading.kind.replace("_", " "),
                    f"{reading.figure:g} {UNITS[reading.kind]}",
                    held,
                    verdict.verdict,
                    "" if verdict.current else "no longer current",
                )
            )
        parts += [table(rows, frozenset({2})), ""]
        for verdict in judgement.verdicts:
            if verdict.current and verdict.verdict != "inside":
                parts.append(wrapped(english(verdict.say).text))
    else:
        parts.append("No readings yet.")
    parts += ["", _leaving(judgement)]
    parts += [wrapped(english(hold.say).text) for hold in judgement.blockers]
    waived = [hold for hold in judgement.holds if hold.waiver]
    parts += [
        wrapped(f"Waived by {hold.waiver.by}: {english(hold.say).text} {hold.waiver.reason}")
        for hold in waived
    ]
    parts += ["", "Which fault explains the readings is not worked out in this version."]
    return "\n".join(parts) + "\n"


def _leaving(judgement: Judgement) -> str:
    count = len(judgement.blockers)
    if not count:
        return "Nothing holds you here."
    return "One thing holds you here:" if count == 1 else f"{count} things hold you here:"


def steps_text(judgement: Judgement, people: int) -> str:
    """The steps in the order to be done, with where and why."""
    job, steps = judgement.state.job, judgement.steps
    done = sum(step.state == "done" for step in steps)
    minutes = total_minutes(job, steps)
    parts = [
        _title(job),
        f"{done} of {len(steps)} done; about {minutes:.0f} minutes, "
        f"{walk_m(job, steps):.0f} m to walk, for one person.",
    ]
    if people > 1:
        parts.append("Planned for one person; sharing the work is not worked out in this version.")
    here = None
    for number, step in enumerate(steps, start=1):
        if step.stop != here:
            here = step.stop
            stop = job.stops[here]
            parts += ["", wrapped(f"{stop.name}, {stop.at_m:.0f} m", "")]
        words = english(step.say)
        mark = {"done": "done", "open": "    ", "not-here": "n/a "}[step.state]
        parts.append(wrapped(f"{number:3} {mark} {words.text}", " "))
        parts.append(wrapped(words.why, "          "))
        if words.caution:
            parts.append(wrapped(f"Caution: {words.caution}", "          "))
    return "\n".join(parts) + "\n"


def problems_text(problems: Iterable[Problem]) -> str:
    """One line a problem."""
    return "".join(problem.line() + "\n" for problem in problems)
