"""Measure the diagnosis on made-up sites: named rightly at once and after one or two tests.

Sites, what is drawn and what counts as right: ``sick_sites``; walk, tests and minutes:
``visits``; rules of thumb for comparison: ``thumbs``. Two figures a stage: *right* (cause and
place, causes that the table of causes says the readings do not part counting for each other) and
*strict*. ``of all`` counts the sites too on which nothing shows, where ``none`` is all that can
be said. Calibration error: over bins of equal count of the first guess's probability, against
right, with what a perfectly calibrated speaker would show by chance beside it.

Run: ``python tests/bench/diagnose.py [--sites N] [--only ROW] [--seed S] [--processes P]
[--show] [--json FILE]``. ``--sites`` is the count of the first row and the healthy one; the
others have three tenths of it.
"""

from __future__ import annotations

import json
import sys
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import groupby
from multiprocessing import Pool
from operator import itemgetter
from pathlib import Path
from random import Random
from statistics import mean
from time import perf_counter

import clock
from promises import BY_NAME, rows_of
from rows import Row as Measured
from rows import standard_error, told
from sick_sites import odds_of, plan
from thumbs import THUMBS
from visits import OFF_BY, Row, Visit, visited

from engine.practice import CAUSES, FEW, FLOWS

LESS = 0.3
"""share of ``--sites`` that rows have beside the first and the healthy one"""
DRAWS = 100
"""so many draws of a site at most, until its cause shows"""
BINS = 10
RESAMPLED = 200
NO_LOAD_CAUSE = frozenset(cause for cause in CAUSES if not cause.startswith(("load.", "reading.")))
KNOWN = {"E1": 10.0}
COMMON = frozenset(
    [
        "source.low",
        "span.high",
        "joint.high",
        "contact.high",
        "pairs.lost",
        "load.heavy",
        "load.off",
        "box.heavy",
        "reading.typed",
    ]
)
"""what change a number, a light or one figure: the causes of the reference's own trial, whose
shares (0.85 / 0.95 / 0.97 by volts, 0.95 / 0.98 / 0.98 with amps and lights) were of these"""

ROWS: Mapping[str, Row] = {
    row.name: row
    for row in (
        Row("all", thumbs=True),
        Row("healthy", count=0),
        Row("volts only", kinds=FEW, thumbs=True),
        Row("healthy, volts only", kinds=FEW, count=0),
        Row("common causes", causes=COMMON),
        Row("common causes, volts", kinds=FEW, causes=COMMON),
        Row("no lights", kinds=FLOWS),
        Row("swing 25, volts", kinds=FEW, swing=25.0),
        Row("swing 25, volts and amps", kinds=FLOWS, swing=25.0),
        Row("swing 25, known load", kinds=FLOWS, swing=25.0, causes=NO_LOAD_CAUSE, known=KNOWN),
        Row("healthy, swing 25", swing=25.0, count=0),
        Row("two faults", count=2),
        Row("two pairs", plan="two pairs"),
        Row("tree", plan="tree"),
        Row("regenerating", plan="regenerating"),
        Row("healthy tree", plan="tree", count=0),
        Row("healthy regenerating", plan="regenerating", count=0),
        Row("typed", causes=frozenset({"reading.typed"})),
        Row("wrong place", causes=frozenset({"reading.place"})),
        Row("wrong unit", causes=frozenset({"reading.unit"})),
        Row("rates off by 3", rates_off=True),
        Row("healthy, rates off by 3", rates_off=True, count=0),
    )
}
LARGE = ("all", "healthy")


def task(row: Row, seed: int, number: int) -> list[Visit]:
    """One site of a row whose cause shows, and those drawn before it whose does not."""
    out = []
    for draw in range(DRAWS):
        visit = visited(row, DRAWS * (seed + number) + draw, THUMBS if row.thumbs else None)
        out.append(visit)
        if visit.shows:
            break
    return out


def measured(
    row: Row, sites: int, seed: int, pool: Callable, told: Callable[[str], None]
) -> list[Visit]:
    """All visits of a row, those on which nothing shows among them."""
    start, visits = perf_counter(), []
    for done, some in enumerate(pool(partial(task, row, seed), range(sites)), start=1):
        visits += some
        if done % 50 == 0 or done == sites:
            told(f"\r{row.name}: {done} of {sites}, {perf_counter() - start:.0f} s ")
    told("\n")
    return visits


# ---------------------------------------------------------------- figures


def share_of(said: Sequence[bool]) -> tuple[float, float]:
    """A share and its standard error."""
    if not said:
        return 0.0, 0.0
    p = sum(said) / len(said)
    return p, standard_error(p, len(said))


def calibration(pairs: Sequence[tuple[float, bool, float]]) -> float:
    """The expected calibration error of (probability, right, weight), bins of equal count.

    Those that are said to be equally likely are in one bin: their order says nothing.
    """
    total = sum(weight for _, _, weight in pairs)
    bins: dict[int, float] = defaultdict(float)
    before = 0.0
    for _, same in groupby(sorted(pairs, key=itemgetter(0)), key=lambda one: round(one[0], 9)):
        group = list(same)
        bins[int(BINS * before / total)] += sum(w * (p - right) for p, right, w in group)
        before += sum(w for _, _, w in group)
    return sum(abs(off) for off in bins.values()) / total


def by_chance(pairs: Sequence[tuple[float, bool, float]]) -> float:
    """The same of somebody whose probabilities are right, by drawing again."""
    rng = Random(0)
    again = (calibration([(p, rng.random() < p, w) for p, _, w in pairs]) for _ in range(RESAMPLED))
    return mean(again)


def said(visits: Sequence[Visit], weight: float = 1.0) -> list[tuple[float, bool, float]]:
    """How likely each first guess is said to be, and whether it is right."""
    return [(v.after(0).top, v.after(0).right, weight) for v in visits]


def as_met(sick: Sequence[Visit], healthy: Sequence[Visit]) -> list[tuple[float, bool, float]]:
    """All visits as the rates say that they are met: healthy ones, those on which nothing shows."""
    file, _ = plan("line", ROWS["all"].swing)
    odds = odds_of(file, ROWS["all"].kinds)
    return said(healthy, 1 / len(healthy)) + said(sick, odds / len(sick))


def figures(row: Row, visits: Sequence[Visit]) -> dict:
    """The figures of one row."""
    shown = [visit for visit in visits if visit.shows]
    out: dict = {"row": row.name, "sites": len(shown), "hidden": len(visits) - len(shown)}
    for tests in (0, 1, 2, row.tests):
        stages = [visit.after(tests) for visit in shown]
        out[f"right {tests}"] = share_of([one.right for one in stages])
        out[f"strict {tests}"] = share_of([one.strict for one in stages])
        out[f"told as one {tests}"] = share_of([one.told_as_one for one in stages])
        out[f"one of {tests}"] = share_of([one.one_of for one in stages])
    out["of all"] = share_of([visit.after(0).right for visit in visits])
    out["minutes"] = mean(visit.minutes for visit in shown)
    out["tests"] = mean(sum(1 for one in visit.stages if one.test) for visit in shown)
    out["seconds"] = mean(one.seconds for visit in shown for one in visit.stages)
    # of healthy sites alone there is nothing to calibrate
    pairs = said(shown) if row.count else ()
    out["calibration"] = calibration(pairs) if pairs else None
    out["by chance"] = by_chance(pairs) if pairs else None
    if row.thumbs:
        for name in THUMBS:
            strict, right = zip(*(visit.thumbs[name] for visit in shown), strict=True)
            out[f"thumb {name}"] = (share_of(right), share_of(strict))
    return out


# ---------------------------------------------------------------- table


HEAD = (
    f"{'row':<25} {'sites':>5} {'hidden':>6}  {'right at once':>13}  {'after 1':>13}"
    f"  {'after 2':>13}  {'strict 0/1/2':>17}  {'of all':>6}  {'cal.':>5} {'(chance)':>8}"
    f"  {'tests':>5} {'min':>5} {'s':>5}"
)


def line(of: dict) -> str:
    """One row of the table."""
    rights = "  ".join("{:.3f} ± {:.3f}".format(*of[f"right {n}"]) for n in (0, 1, 2))
    strict = "/".join(f"{of[f'strict {n}'][0]:.3f}" for n in (0, 1, 2))
    mixed = of["calibration"] is not None
    calibrated = f"{of['calibration']:>5.3f} {of['by chance']:>8.3f}" if mixed else " " * 14
    return (
        f"{of['row']:<25} {of['sites']:>5} {of['hidden']:>6}  {rights}  {strict:>17}"
        f"  {of['of all'][0]:>6.3f}  {calibrated}"
        f"  {of['tests']:>5.2f} {of['minutes']:>5.1f} {of['seconds']:>5.2f}"
    )


def more(of: dict, row: Row, visits: Sequence[Visit]) -> Iterator[str]:
    """What a row says beside its line."""
    if row.count:
        ones = "/".join(f"{of[f'told as one {n}'][0]:.3f}" for n in (0, 1, 2))
        yield f"    right if guesses that count for each other were told as one: {ones}"
    if row.count == 2:
        ones = "/".join(f"{of[f'one of {n}'][0]:.3f}" for n in (0, 1, 2))
        yield f"    at least one of the two in the first guess: {ones}"
    if row.count == 0:
        firsts = Counter(
            v.after(0).guesses[0][0][0] for v in visits if not v.after(0).right
        ).most_common(4)
        yield f"    false alarms {1 - of['right 0'][0]:.3f} ± {of['right 0'][1]:.3f} {firsts}"
    for name in THUMBS if row.thumbs else ():
        (right, sd), (strict, _) = of[f"thumb {name}"]
        yield f"    rule of thumb, {name}: {right:.3f} ± {sd:.3f} at once, strict {strict:.3f}"


def by_cause(visits: Sequence[Visit]) -> Iterator[str]:
    """Of each cause how often it is drawn, shows, and is named."""
    yield f"    {'cause':<20} {'drawn':>5} {'shows':>5}   right 0 /   1 /   2   named instead at once"
    every: dict[str, list[Visit]] = defaultdict(list)
    for visit in visits:
        for truth in visit.truths:
            every[truth.cause].append(visit)
    for cause, drawn in sorted(every.items(), key=lambda one: -len(one[1])):
        shown = [visit for visit in drawn if visit.shows]
        rights = "   ".join(
            f"{share_of([v.after(n).right for v in shown])[0]:.2f}" for n in (0, 1, 2)
        )
        others = Counter(
            " ".join(v.after(0).guesses[0][0])
            if v.after(0).guesses[0][0][0] == "none"
            else v.after(0).guesses[0][0][0]
            for v in shown
            if not v.after(0).right
        )
        most = ", ".join(f"{name.strip()} {n}" for name, n in others.most_common(4))
        yield f"    {cause:<20} {len(drawn):>5} {len(shown):>5}      {rights}   {most}"


def wrong(visit: Visit) -> Iterator[str]:
    """A site that is named wrongly: what is hidden, what was guessed, what was read."""
    hidden = "; ".join(
        f"{t.cause} {t.where} {t.kind} {'' if t.size is None else f'{t.size:.3g} {t.unit}'}"
        for t in visit.truths
    )
    yield f"  seed {visit.seed}: {hidden or 'nothing'}"
    for stage in visit.stages:
        mark = "right" if stage.right else "wrong"
        names = ", ".join(f"{c} {w[-12:]} {p:.3f}" for (c, w), p in stage.guesses)
        yield f"    {mark}: {names}"
        if stage.test:
            yield f"      then {stage.test}"
    for reading in visit.readings:
        yield f"      {reading}"


# ---------------------------------------------------------------- what is promised


def promised(found: Iterable[dict]) -> Iterator[Measured]:
    """The rows of the table of promises that these figures are of."""
    row = rows_of("diagnose")
    for of in found:
        name = of["row"]
        if name == "as met":
            yield row("calibration, as met", of["calibration"], f"by chance {of['by chance']:.3f}")
            continue
        sites = f"{of['sites']} sites"
        if f"diagnose: {name}" in BY_NAME:
            share, error = of["right 0"]
            yield row(name, 1 - share, sites, error)
        for tests in (0, 1, 2):
            if f"diagnose: {name}, right {tests}" in BY_NAME:
                share, error = of[f"right {tests}"]
                yield row(f"{name}, right {tests}", share, sites, error)
        if name == "all":
            best = max(THUMBS, key=lambda thumb: of[f"thumb {thumb}"][0])
            rule = of[f"thumb {best}"][0][0]
            yield row("calibration, all", of["calibration"], f"by chance {of['by chance']:.3f}")
            yield row("thumbs", of["right 0"][0] / rule, f"{best} {rule:.3f}")
            yield row("minutes", of["minutes"], sites)


def rows(
    sites: int = 1000, only: Sequence[str] = tuple(ROWS), seed: int = 0, processes: int = 2
) -> list[Measured]:
    """The promised rates."""
    return list(promised(found for _, _, found in surveyed(sites, only, seed, processes)))


def surveyed(
    sites: int, only: Iterable[str], seed: int, processes: int
) -> Iterator[tuple[Row | None, list[Visit], dict]]:
    """Each row with its visits and figures; last, without a row, all visits as they are met."""

    def progress(text: str) -> None:
        print(text, end="", file=sys.stderr, flush=True)

    done: dict[str, list[Visit]] = {}
    with Pool(processes) as workers:
        pool = partial(workers.imap, chunksize=5) if processes > 1 else map
        for name in only:
            row = ROWS[name]
            many = sites if name in LARGE else max(round(LESS * sites), 1)
            visits = done[name] = measured(row, many, seed, pool, progress)
            yield row, visits, figures(row, visits)
    if set(LARGE) <= done.keys():
        pairs = as_met(*(done[name] for name in LARGE))
        yield (
            None,
            [],
            {
                "row": "as met",
                "calibration": calibration(pairs),
                "by chance": by_chance(pairs),
            },
        )


def main() -> int:
    """Print the table."""
    parser = clock.options(__doc__)
    parser.add_argument("--sites", type=int, default=1000, help="of the first and the healthy row")
    parser.add_argument("--only", action="append", choices=ROWS, help="rows to be measured")
    parser.add_argument("--seed", type=int, default=0, help="count sites on from here")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--show", action="store_true", help="each site that is named wrongly")
    parser.add_argument("--causes", action="store_true", help="each row by its causes")
    parser.add_argument("--json", type=Path, help="write the figures there too")
    args = parser.parse_args()
    out = []
    print(HEAD)
    for row, visits, found in surveyed(args.sites, args.only or ROWS, args.seed, args.processes):
        out.append(found)
        if row is None:
            print(
                f"\nas visits are met (healthy ones by their odds, hidden causes too): calibration "
                f"error {found['calibration']:.3f}, by chance {found['by chance']:.3f}"
            )
            continue
        print(line(found), *more(found, row, visits), sep="\n", flush=True)
        if row.count and (row.name == "all" or args.causes):
            print(*by_cause(visits), sep="\n", flush=True)
        for visit in visits if args.show else ():
            if visit.shows and not visit.after(2 if row.count else 0).right:
                print("\n".join(wrong(visit)), flush=True)
    print(f"rates off: by {OFF_BY:g} up or down, by the toss of a coin for each cause")
    if args.json:
        args.json.write_text(json.dumps(out, indent=1))
    return told(promised(out))


if __name__ == "__main__":
    sys.exit(main())
