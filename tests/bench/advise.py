"""Measure advice: its time as a multiple of one prediction of the same plan, and how far plans come.

Run: ``python tests/bench/advise.py [--rounds N]``; ``python tests/test_advise.py 200`` counts made-up plans.
"""

from __future__ import annotations

import sys
from time import process_time

import clock
from advise_jobs import CASES
from promises import rows_of
from rows import Row, told
from samples import planned

from engine.advise import advise, advising, still_works
from engine.jobfile import read_job
from engine.predict import predict


def rows(rounds: int = 5, show: bool = False) -> list[Row]:
    """The promised figures; with ``show`` each plan is printed."""
    row, whole, ratio, slices = rows_of("advise"), {}, {}, {}
    if show:
        print(
            f"{'plan':14}{'boxes':>6}{'changes':>8}{'predict':>9}{'advise':>8}{'ratio':>7}{'slice':>7}"
        )
    for name, (make, _) in CASES.items():
        doc = make()
        calls = {"once": lambda: predict(read_job(doc).plan), "whole": lambda: advise(doc)}  # noqa: B023
        turns = clock.in_turns(rounds, calls)
        whole[name], ratio[name] = turns.ms("whole"), turns.times("whole", "once")
        each = (clock.gaps(advising(doc), process_time) for _ in range(min(rounds, 3)))
        slices[name] = max(map(min, zip(*each, strict=True)))
        if show:
            print(f"{name:14}{len(doc['boxes']):6}{len(advise(doc).changes):8}{turns.ms('once'):9.2f}"
                  f"{whole[name]:8.0f}{ratio[name]:7.0f}{slices[name]:7.1f}")  # fmt: skip
    slowest, longest, most = (max(of, key=of.get) for of in (whole, slices, ratio))
    return [
        row("six", whole[slowest], slowest),
        row("slice", slices[longest], longest),
        row("times", ratio[most], f"{most}, the most of {len(ratio)} plans"),
    ]


def main() -> int:
    """Print the table."""
    given = clock.options(__doc__, rounds=5).parse_args()
    out = told(rows(given.rounds, show=True))
    for name in ("orchard-gate", "reedbed-hide", "tide-mill"):
        doc = planned(name)
        turns = clock.in_turns(given.rounds, {name: lambda: still_works(doc)})  # noqa: B023
        print(f"{name:14} what would still work: {turns.ms(name):.0f} ms")
    return out


if __name__ == "__main__":
    sys.exit(main())
