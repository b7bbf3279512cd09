"""Time a judgement with its diagnosis and next test, here and in the browser's Python.

The job is a sample's plan, six boxes and an arrestor pair, read as a first walk reads it: volts
and milliamps at six ports and the source's watts, 13 readings, on made-up sites with one hidden
cause each. Timed is all that follows from the file: prediction, verdicts, steps, holds, causes
with their reasons, the next test; beside it the longest slice between two taps.
Run: ``python tests/bench/find.py [--rounds N] [--browser]``.
"""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path
from statistics import median
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from operating import numbers_of, seconds, six_boxes

from engine.diagnose.account import account, accounting
from engine.jobfile import load, read_job
from engine.judge import judge
from engine.practice import FLOWS, document, made_up
from engine.sweeps import solve

ROOT = Path(__file__).resolve().parents[2]
SAMPLE = "reedbed-hide.json"
CAUSES = (
    *("none", "span.high", "joint.high", "pairs.lost", "source.low", "load.heavy", "box.no-pass"),
    *("box.restart", "port.off", "reading.typed", "reading.place"),
)
HERE_MS, BROWSER_MS = 60, 300
SETUP = """
import json
from engine.diagnose.account import account
from engine.jobfile import read_job
from engine.judge import judge
doc = json.loads({!r})
"""
WHOLE = "account(judge(read_job(doc)))"


def site(cause: str) -> dict:
    """The document of a made-up site, its walk in the log."""
    plain = load(ROOT / "sample_jobs" / SAMPLE)
    doc = {**plain.doc, "log": []}
    return document(made_up(read_job(doc), cause=cause, seed=3), FLOWS)


def slices(doc: dict) -> list[float]:
    """How long each slice of a diagnosis takes. [ms]"""
    work, out = accounting(judge(read_job(doc))), []
    while True:
        start = perf_counter()
        try:
            next(work)
        except StopIteration:
            return [*out, 1000 * (perf_counter() - start)]
        out.append(1000 * (perf_counter() - start))


def main() -> None:
    """Print the table."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    options.add_argument("--rounds", type=int, default=9)
    options.add_argument("--browser", action="store_true", help="in the browser's Python too")
    given = options.parse_args()
    parent, ohms, watts, feed = numbers_of(six_boxes())
    sites = {cause: site(cause) for cause in CAUSES}
    solves, wholes = [], {cause: [] for cause in CAUSES}
    for _ in range(given.rounds):
        solves.append(seconds(lambda: solve(parent, ohms, watts, feed)))
        for cause, doc in sites.items():
            wholes[cause].append(seconds(lambda doc=doc: account(judge(read_job(doc))), 1))
    there = in_browser(sites, given.rounds) if given.browser else {}
    aims = f"aim {HERE_MS} ms here, {BROWSER_MS} in the browser"
    print(f"{'hidden':16}{'ms':>7}{'solves':>8}{'slice':>8}{'browser':>9}   ({aims})")
    for cause in CAUSES:
        whole = 1000 * median(wholes[cause])
        ratio = median(w / s for w, s in zip(wholes[cause], solves, strict=True))
        longest = max(slices(sites[cause]))
        browser = f"{there[cause]:9.0f}" if there else ""
        print(f"{cause:16}{whole:7.1f}{ratio:8.0f}{longest:8.1f}{browser}")


def in_browser(sites: dict[str, dict], rounds: int) -> dict[str, float]:
    """The median of each there. [ms]"""
    from browser import chromium_path
    from pyodide.harness import open_session

    with open_session(chromium_path()) as session:
        return {
            cause: median(session.time(WHOLE, rounds, SETUP.format(json.dumps(doc))))
            for cause, doc in sites.items()
        }


if __name__ == "__main__":
    main()
