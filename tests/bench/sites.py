"""Judge made-up sites: how often a healthy one is called odd, and where a sick one first shows.

The job is the line of ``sick_sites``, the figure of the table of causes: a source, two
pass-through boxes and an endpoint, each at a stop of its own. 7 readings are volts at six ports
and the source's watts; 13 have the milliamps too. The load swings from moment to moment, by what
its sheet says unless the row says otherwise. A sick site is right when its first ``outside``, in
the order of judging, stands

- source.low: at S.out, in volts;
- span.high, pairs.lost: at the first point behind the span; ``behind``: at any point behind it;
- load.heavy: at S.out, in milliamps or watts; ``behind``: in milliamps or watts anywhere.

Run: ``python tests/bench/sites.py [--sites N] [--sick N] [--all]``.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

import clock
from promises import READINGS as COUNTS
from promises import SICK, SWINGS, rows_of
from rows import Row, standard_error, told
from sick_sites import plan

from engine.jobfile import read_job
from engine.judge import judge
from engine.practice import FEW, FLOWS, document, made_up
from engine.verdict import Verdict

READINGS = dict(zip(COUNTS, (FEW, FLOWS), strict=True))
SWING = 10
"""what sick sites have unless all are asked for"""
BEHIND = {"C1": "R1.in R1.out R2.in R2.out E1.in", "C2": "R2.in R2.out E1.in", "C3": "E1.in"}
"""points behind each span, nearest first"""
UNTOLD = (25, 10)
"""what a load swings by, and what its sheet says"""


@dataclass(frozen=True)
class Site:
    """What was said of one site."""

    verdicts: tuple[Verdict, ...]

    @property
    def first(self) -> Verdict | None:
        """The first reading outside, in the order of judging."""
        return next((v for v in self.verdicts if v.verdict == "outside"), None)


def judged(
    cause: str, where: str | None, kinds: tuple[str, ...], swing: float, seed: int, told: float
) -> Site:
    """One site of a swing, judged by a plan that is ``told`` another, perhaps."""
    file, before = plan("line", told)
    site = made_up(file, cause=cause, where=where, seed=seed, swing=swing)
    read = read_job(document(site, kinds))
    return Site(judge(read, known=before).verdicts)


def right(cause: str, where: str, first: Verdict) -> tuple[bool, bool]:
    """Whether the first reading outside is at the right place; whether it is behind it."""
    at, kind = first.reading.at, first.reading.kind
    if cause == "source.low":
        return (at, kind) == ("S1.out", "volts"), at == "S1.out"
    if cause == "load.heavy":
        flows = kind in ("milliamps", "watts")
        return flows and at == "S1.out", flows
    behind = BEHIND[where].split()
    return at == behind[0], at in behind


def shares(sites: list[Site], word: str) -> tuple[float, float]:
    """Share of sites and of readings with a verdict."""
    some = sum(any(v.verdict == word for v in site.verdicts) for site in sites)
    words = [v.verdict for site in sites for v in site.verdicts]
    return some / len(sites), words.count(word) / len(words)


def rate(share: float, count: int) -> tuple[float, str, float]:
    """A share of so many sites, how many there were, its standard error."""
    return share, f"{count} sites", standard_error(share, count)


def healthy(count: int, readings: int, swing: float, told_of: float) -> tuple[list[Site], str]:
    """Healthy sites of a swing, and their row."""
    kinds = READINGS[readings]
    sites = [judged("none", None, kinds, swing, seed, told_of) for seed in range(count)]
    outside, _ = shares(sites, "outside")
    unclear, of_readings = shares(sites, "unclear")
    firsts = Counter(
        f"{s.first.reading.at} {s.first.reading.kind} {s.first.by}" for s in sites if s.first
    )
    most = ", ".join(f"{place} {n}" for place, n in firsts.most_common(3))
    note = "" if swing == told_of else f" (sheet says {told_of:g})"
    return sites, (
        f"{count:>13}  {readings:>12}  {swing:>4g} %  {outside:>8.3f}  {unclear:>8.3f}"
        f"  {of_readings:>12.4f}  {most}{note}"
    )


def sick(count: int, cause: str, where: str, readings: int, swing: float) -> tuple[float, str]:
    """The share of sick sites that are right at once, and their row: shares of all sites, and of
    those that show at all."""
    kinds = READINGS[readings]
    sites = [judged(cause, where, kinds, swing, seed, swing) for seed in range(count)]
    firsts = [site.first for site in sites if site.first]
    places = [right(cause, where, first) for first in firsts]
    at_once = sum(one for one, _ in places)
    behind = sum(any(pair) for pair in places)
    unclear, _ = shares(sites, "unclear")
    astray = Counter(
        f"{v.reading.at} {v.reading.kind}"
        for v, pair in zip(firsts, places, strict=True)
        if not any(pair)
    )
    most = ", ".join(f"{place} {n}" for place, n in astray.most_common(2))
    return at_once / count, (
        f"{cause + ' ' + where:<17}  {readings:>8}  {swing:>4g} %  "
        f"{len(firsts) / count:>8.3f}  {at_once / count:>11.3f}  {behind / count:>6.3f}"
        f"  {at_once / max(len(firsts), 1):>8.3f}  {unclear:>7.3f}  {most}"
    )


HEALTHY_HEAD = "healthy sites      readings  swing   outside   unclear   of readings  outside at"
SICK_HEAD = (
    "sick sites         readings  swing     shown  right place  behind  of shown  unclear"
    "  first elsewhere"
)


def rows(count: int = 1000, ill: int = 250, show: bool = False, whole: bool = False) -> list[Row]:
    """The promised rates; with ``show`` all that is counted is printed, ``whole`` at every swing."""
    return list(_rows(count, ill, show, whole))


def _rows(count: int, ill: int, show: bool, whole: bool) -> Iterator[Row]:
    def say(line: str) -> None:
        if show:
            print(line, flush=True)

    row = rows_of("sites")
    say(HEALTHY_HEAD)
    for readings in READINGS:
        for swing in SWINGS:
            sites, line = healthy(count, readings, swing, swing)
            say(line)
            yield row(f"false {readings}, {swing}", *rate(shares(sites, "outside")[0], count))
            if swing == SWING:
                yield row(f"unclear {readings}", *rate(shares(sites, "unclear")[0], count))
        if show:
            say(healthy(count, readings, *UNTOLD)[1])
    say(f"\n{SICK_HEAD}")
    for cause, where in SICK:
        for readings in READINGS if show else (max(READINGS),):
            for swing in SWINGS if whole else (SWING,):
                share, line = sick(ill, cause, where, readings, swing)
                say(line)
                if (readings, swing) == (max(READINGS), SWING):
                    yield row(f"{cause} {where}", *rate(share, ill))


def main() -> int:
    """Print both tables."""
    parser = clock.options(__doc__)
    parser.add_argument("--sites", type=int, default=1000, help="healthy ones a row")
    parser.add_argument("--sick", type=int, default=250, help="sick ones a row")
    parser.add_argument("--all", action="store_true", help="sick ones at every swing")
    given = parser.parse_args()
    return told(rows(given.sites, given.sick, show=True, whole=given.all))


if __name__ == "__main__":
    sys.exit(main())
