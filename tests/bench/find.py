"""Time a judgement with its diagnosis and next test, here and in the browser's Python.

The job is a sample's plan, six boxes and an arrestor pair, read as a first walk reads it: volts
and milliamps at six ports and the source's watts, 13 readings, on made-up sites with one hidden
cause each. Timed is all that follows from the file: prediction, verdicts, steps, holds, causes
with their reasons, the next test; beside it the longest slice between two taps.
Run: ``python tests/bench/find.py [--rounds N] [--browser]``.
"""

from __future__ import annotations

import json
import sys
from statistics import median
from time import process_time

import clock
from clock import REPEATS, SAMPLES
from operating import numbers_of, six_boxes
from promises import rows_of
from rows import Row, told

from engine.diagnose.account import account, accounting
from engine.jobfile import load, read_job
from engine.judge import judge
from engine.practice import FLOWS, document, made_up
from engine.sweeps import solve

SAMPLE = "reedbed-hide.json"
SOUND = "none"
CAUSES = (
    *(SOUND, "span.high", "joint.high", "pairs.lost", "source.low", "load.heavy", "box.no-pass"),
    *("box.restart", "port.off", "reading.typed", "reading.place"),
)
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
    plain = load(SAMPLES / SAMPLE)
    doc = {**plain.doc, "log": []}
    return document(made_up(read_job(doc), cause=cause, seed=3), FLOWS)


def slices(doc: dict) -> list[float]:
    """How long each slice of a diagnosis takes. [ms]"""
    return clock.gaps(accounting(judge(read_job(doc))), process_time)


def rows(rounds: int = 9, browser: bool = False, show: bool = False) -> list[Row]:
    """The promised figures; with ``show`` each site is printed."""
    row, sites = rows_of("find"), {cause: site(cause) for cause in CAUSES}
    parent, ohms, watts, feed = numbers_of(six_boxes())
    calls = {"solve": lambda: solve(parent, ohms, watts, feed)}
    calls |= {cause: lambda doc=doc: account(judge(read_job(doc))) for cause, doc in sites.items()}
    turns = clock.in_turns(rounds, calls, {"solve": REPEATS})
    pieces = {
        cause: max(map(min, zip(*(slices(doc) for _ in range(3)), strict=True)))
        for cause, doc in sites.items()
    }
    if show:
        there = in_browser(sites, rounds) if browser else {}
        print(f"{'hidden':16}{'ms':>7}{'solves':>8}{'slice':>8}{'browser':>9}")
        for cause in CAUSES:
            last = f"{there[cause]:9.0f}" if there else ""
            print(
                f"{cause:16}{turns.ms(cause):7.1f}{turns.times(cause, 'solve'):8.0f}"
                f"{pieces[cause]:8.1f}{last}"
            )
    slowest = max(CAUSES[1:], key=turns.ms)
    longest = max(CAUSES, key=pieces.get)
    return [
        row("fault", turns.ms(slowest), f"the slowest of {len(CAUSES) - 1} sites, {slowest}"),
        row("sound", turns.ms(SOUND)),
        row("slice", pieces[longest], longest),
        row("solves", turns.times(SOUND, "solve")),
    ]


def main() -> int:
    """Print the table."""
    options = clock.options(__doc__, rounds=9)
    options.add_argument("--browser", action="store_true", help="in the browser's Python too")
    given = options.parse_args()
    return told(rows(given.rounds, given.browser, show=True))


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
    sys.exit(main())
