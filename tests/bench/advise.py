"""Measure advice: its time as a multiple of one prediction of the same plan, and how far plans come.

Run: ``python tests/bench/advise.py``; ``python tests/test_advise.py 200`` counts made-up plans.
"""

from __future__ import annotations

import sys
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from advise_jobs import CASES, sample

from engine.advise import advise, advising, still_works
from engine.jobfile import read_job
from engine.predict import predict


def timed(act) -> float:
    """The median of five runs. [ms]"""
    times = []
    for _ in range(5):
        start = perf_counter()
        act()
        times.append(1e3 * (perf_counter() - start))
    return median(times)


def longest_slice(doc: dict) -> float:
    """The longest the search keeps others waiting. [ms]"""
    search, longest = advising(doc), 0.0
    while True:
        start = perf_counter()
        try:
            next(search)
        except StopIteration:
            return longest
        longest = max(longest, 1e3 * (perf_counter() - start))


def main() -> None:
    """Print the table."""
    print(
        f"{'plan':14}{'boxes':>6}{'changes':>8}{'predict':>9}{'advise':>8}{'ratio':>7}{'slice':>7}"
    )
    for name, (make, _) in CASES.items():
        doc = make()
        once = timed(lambda doc=doc: predict(read_job(doc).plan))
        whole = timed(lambda doc=doc: advise(doc))
        row = (len(doc["boxes"]), len(advise(doc).changes), once, whole, whole / once)
        print(
            f"{name:14}{row[0]:6}{row[1]:8}{row[2]:9.2f}{row[3]:8.0f}{row[4]:7.0f}"
            f"{longest_slice(doc):7.1f}"
        )
    for name in ("orchard-gate", "reedbed-hide", "tide-mill"):
        doc = sample(name)
        print(f"{name:14} what would still work: {timed(lambda doc=doc: still_works(doc)):.0f} ms")


if __name__ == "__main__":
    main()
