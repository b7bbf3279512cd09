"""The command line's text: aligned columns, units, readable without colour at 80 columns."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from engine.fields import Problem
from engine.judgement_text import judgement_text
from engine.layout import MANY, WIDTH, table, titled, wrapped
from engine.links import Link
from engine.phrases import english
from engine.phrases.book import DOUBTS
from engine.steps_text import steps_text
from engine.study import Prediction, Range

__all__ = ["judgement_text", "prediction_text", "problems_text", "steps_text"]

BREAKS = frozenset(
    [
        "feed",
        "feed-twice",
        "orientation",
        "collapse",
        "volts-low",
        "start-up",
        "port-trip",
        "port-power",
        "budget",
        "speed-mismatch",
        "reach",
    ]
)
"""rules whose stop means that power or data does not arrive; the others are about leaving it so"""
BREAKS_AT_WORST = frozenset(
    ["collapse-worst", "volts-low", "start-up", "class-tight", "port-power", "budget"]
)
"""what, warned of, breaks a run at its worst corner"""


def _figure(value: float | None, digits: int = 1) -> str:
    return "-" if value is None else f"{value:.{digits}f}"


def _three(band: Range, digits: int = 1) -> tuple[str, str, str]:
    low, expected, high = (_figure(one, digits) for one in (band.low, band.expected, band.high))
    return low, expected, high


def prediction_text(prediction: Prediction) -> str:
    """What to expect at each box: the answer first, then what to mend, then the figures."""
    parts = [
        titled(prediction.job),
        "",
        _answer(prediction),
        "",
        *_findings(prediction),
        *_section(
            "What each point should show (low / expected / high)", _points(prediction), range(1, 7)
        ),
        *_if_held(prediction),
        *_section(
            "Spans: one pair as a loop, far end shorted, switched off",
            _spans(prediction),
            range(1, 7),
        ),
        *_section("Links", _links(prediction), (2,)),
        *_section("Feeds", _feeds(prediction), range(1, 6)),
        *_assumed(prediction),
    ]
    return "\n".join(parts).rstrip() + "\n"


def _section(title: str, rows: list[tuple[str, ...]], right: Iterable[int]) -> list[str]:
    """A titled table; the columns named in ``right`` are flush right."""
    return [title, "", table(rows, frozenset(right)) if len(rows) > 1 else "  none", ""]


def _points(prediction: Prediction) -> list[tuple[str, ...]]:
    """The points in the order in which power reaches them, those without power last."""
    rows: list[tuple[str, ...]] = [
        ("point", "V low", "exp", "high", "A exp", "W exp", "pairs", "state")
    ]
    where = prediction.study.network.where
    reached = [*where, *(point for point in prediction.points if point not in where)]
    for point, seen in ((point, prediction.points[point]) for point in reached):
        worse = "" if seen.at_worst == seen.state else f", at worst {seen.at_worst}"
        rows.append(
            (
                str(point),
                *_three(seen.volts),
                _figure(seen.amps.expected, 3),
                _figure(seen.watts.expected),
                str(seen.pairs or "-"),
                seen.state + worse,
            )
        )
    return rows


def _if_held(prediction: Prediction) -> list[str]:
    """What the lone figures of a port that lets go mean."""
    if not prediction.study.cut:
        return []
    return [wrapped("Where a port lets go, 'exp' is what would be seen if it held on."), ""]


def _spans(prediction: Prediction) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [
        ("span", "metres", "ohm low", "exp", "high", "V lost", "°C high")
    ]
    for name, span in prediction.spans.items():
        rows.append(
            (
                name,
                f"{prediction.job.spans[name].length_m.expected:.0f}",
                *_three(span.loop_ohms),
                _figure(span.drop_volts.expected),
                _figure(span.celsius.high, 0),
            )
        )
    return rows


def _links(prediction: Prediction) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [("from", "to", "metres", "expected", "")]
    for link in prediction.links:
        speed = f"{link.expected_mbps} Mb/s" if link.expected_mbps else "no link"
        if not link.known:
            speed = "not known"
        rows.append(
            (str(link.start), str(link.end), f"{link.length_m:.0f}", speed, _link_note(link))
        )
    return rows


def _link_note(link: Link) -> str:
    offer = link.offer
    if offer is None:
        return ""
    if offer.doubt:
        return f"not assured: {DOUBTS[offer.doubt]}"
    if offer.margin is not None:
        return f"{offer.margin.db:.1f} dB to spare at {offer.margin.mhz:g} MHz"
    return f"{offer.margin_m:.0f} m to spare by the ports' sheets"


def _feeds(prediction: Prediction) -> list[tuple[str, ...]]:
    rows: list[tuple[str, ...]] = [
        ("port", "W low", "exp", "high", "limit", "grants", "first to answer")
    ]
    for point, feed in prediction.sources.items():
        rows.append(
            (
                str(point),
                *_three(feed.watts),
                _figure(feed.limit.limit_watts, 0),
                _figure(feed.limit.granted_watts, 0),
                (feed.answers or "-") + (", lets go" if feed.lets_go else ""),
            )
        )
    return rows


def _assumed(prediction: Prediction) -> list[str]:
    """What was taken, the things that took the same together."""
    same: dict[tuple[str, str], list[str]] = {}
    for one in prediction.job.assumed:
        key = (one.quantity.replace("_", " "), one.default.says)
        same.setdefault(key, []).append(one.of)
    if not same:
        return []
    lines = [f"{quantity} {taken}: {', '.join(of)}" for (quantity, taken), of in same.items()]
    return ["Taken because the job does not say", "", *(wrapped(line) for line in lines)]


def _answer(prediction: Prediction) -> str:
    """Whether it will work, in one or two sentences."""
    return textwrap.fill(f"{_whether(prediction)} {_how_much(prediction)}".strip(), WIDTH)


def _whether(prediction: Prediction) -> str:
    """The answer: will it work, as expected and at worst? Else the first thing that stops it."""
    if not prediction.sources:
        return "It will not work: no source feeds this run."
    stops = [finding for finding in prediction.findings if finding.severity == "stop"]
    broken = next((finding for finding in stops if finding.rule in BREAKS), None)
    if broken is not None:
        return f"It will not work: {_amid(english(broken.say).text)}"
    if stops:
        things = "one thing stops" if len(stops) == 1 else f"{len(stops)} things stop"
        return f"It would work, but must not be left so: {things} it, listed below."
    warned = {finding.say.code for finding in prediction.findings if finding.severity == "warn"}
    if warned & BREAKS_AT_WORST or any(p.at_worst != p.state for p in prediction.points.values()):
        return "It will work as expected. With every tolerance against you it would not."
    return "It will work. It holds with every tolerance against you too."


def _amid(sentence: str) -> str:
    """A sentence in the middle of another; one that begins with a name keeps its capital."""
    begins = sentence.startswith(("Nothing ", "The ", "Two "))
    return sentence[0].lower() + sentence[1:] if begins else sentence


def _how_much(prediction: Prediction) -> str:
    share = prediction.load_share
    if share is None:
        return "Nothing is drawn, so the volts hold." if prediction.sources else ""
    if prediction.collapse is not None:
        return ""
    spare = ", ".join(
        f"{name} {watts:.0f} W"
        for name, watts in prediction.watts_to_spare.items()
        if watts is not None
    )
    times = f"{share:.2f}" if share < MANY else f"more than {MANY}"
    held = f"The volts would bear {times} times the load"
    return f"{held} (to spare: {spare})." if spare else f"{held}."


def _findings(prediction: Prediction) -> list[str]:
    """What to mend, the graver first; a reason that was just given is not given again."""
    found = [f for f in prediction.findings if f.severity in ("stop", "warn")]
    if not found:
        return []
    out, given = ["To mend", ""], set()
    for finding in found:
        words = english(finding.say)
        out.append(wrapped(words.text, mark=f"[{finding.severity}] "))
        if words.why and words.why not in given:
            out.append(wrapped(words.why, mark=" " * 7))
        if words.caution and words.caution not in given:
            out.append(wrapped(f"Caution: {words.caution}", mark=" " * 7))
        given |= {words.why, words.caution}
    return [*out, ""]


def problems_text(problems: Iterable[Problem]) -> str:
    """One line a problem."""
    return "".join(problem.line() + "\n" for problem in problems)
