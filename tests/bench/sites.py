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

import argparse
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from statistics import median
from time import perf_counter

from sick_sites import plan

from engine.jobfile import read_job
from engine.judge import judge
from engine.practice import FEW, FLOWS, document, made_up
from engine.verdict import Verdict

READINGS = {7: FEW, 13: FLOWS}
SWINGS = (0.0, 10.0, 25.0)
SWING = 10.0
"""what sick sites have unless all are asked for"""
BEHIND = {"C1": "R1.in R1.out R2.in R2.out E1.in", "C2": "R2.in R2.out E1.in", "C3": "E1.in"}
"""points behind each span, nearest first"""
SICK = (
    ("source.low", "S1"),
    *(("span.high", span) for span in BEHIND),
    *(("pairs.lost", span) for span in BEHIND),
    ("load.heavy", "E1"),
)


@dataclass(frozen=True)
class Site:
    """What was said of one site."""

    verdicts: tuple[Verdict, ...]
    seconds: float

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
    start = perf_counter()
    judgement = judge(read, known=before)
    return Site(judgement.verdicts, perf_counter() - start)


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


def healthy(count: int) -> Iterator[str]:
    """Rows of the table of healthy sites."""
    yield "healthy sites      readings  swing   outside   unclear   of readings  outside at"
    cases = [(swing, swing) for swing in SWINGS] + [(25.0, 10.0)]
    for readings, kinds in READINGS.items():
        for swing, told in cases:
            sites = [judged("none", None, kinds, swing, seed, told) for seed in range(count)]
            outside, _ = shares(sites, "outside")
            unclear, of_readings = shares(sites, "unclear")
            firsts = Counter(
                f"{s.first.reading.at} {s.first.reading.kind} {s.first.by}"
                for s in sites
                if s.first
            )
            most = ", ".join(f"{place} {n}" for place, n in firsts.most_common(3))
            note = "" if swing == told else f" (sheet says {told:g})"
            yield (
                f"{count:>13}  {readings:>12}  {swing:>4g} %  {outside:>8.3f}  {unclear:>8.3f}"
                f"  {of_readings:>12.4f}  {most}{note}"
            )


def sick(count: int, swings: tuple[float, ...]) -> Iterator[str]:
    """Rows of the table of sick sites: shares of all sites, and of those that show at all."""
    yield (
        "sick sites         readings  swing     shown  right place  behind  of shown  unclear"
        "  first elsewhere"
    )
    for cause, where in SICK:
        for readings, kinds in READINGS.items():
            for swing in swings:
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
                yield (
                    f"{cause + ' ' + where:<17}  {readings:>8}  {swing:>4g} %  "
                    f"{len(firsts) / count:>8.3f}  {at_once / count:>11.3f}  {behind / count:>6.3f}"
                    f"  {at_once / max(len(firsts), 1):>8.3f}  {unclear:>7.3f}  {most}"
                )


def main() -> None:
    """Print both tables."""
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--sites", type=int, default=1000, help="healthy ones a row")
    parser.add_argument("--sick", type=int, default=250, help="sick ones a row")
    parser.add_argument("--all", action="store_true", help="sick ones at every swing")
    args = parser.parse_args()
    for row in healthy(args.sites):
        print(row, flush=True)
    print()
    for row in sick(args.sick, SWINGS if args.all else (SWING,)):
        print(row, flush=True)
    times = [judged("none", None, FLOWS, SWING, seed, SWING).seconds for seed in range(20)]
    print(f"\n13 readings judged in {1000 * median(times):.0f} ms, the plan's prediction known.")


if __name__ == "__main__":
    main()
