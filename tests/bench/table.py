"""One table of every promise that is measured: what, measured, promised, met or missed, and how.

The short form takes about three minutes on a quiet machine and opens no browser; rows that it
leaves out say ``long``. Each bench runs in a process of its own, one after another, so that none
warms up another, and one that fails or hangs leaves its rows ``failed``. Whatever is compared is
measured in one run of one bench. The way out is 1 where a promise that is held was missed, or a
bench failed.
Run: ``python tests/bench/table.py [--long] [--only BENCH…] [--json FILE] [--list]``.
"""

from __future__ import annotations

import contextlib
import importlib
import json
import os
import platform
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from multiprocessing import get_context
from multiprocessing.connection import Connection
from pathlib import Path
from time import perf_counter
from traceback import format_exc
from typing import Any

import clock
from promises import ALL
from rows import HEAD, LONG, Promise, Row, lines

FORMS = ("short", "long")
PATIENT_S: Mapping[str, float] = {"short": 20 * 60.0, "long": 4 * 3600.0}
"""a bench that takes longer is ended"""


@dataclass(frozen=True)
class Bench:
    """What a bench's ``rows`` is called with in each form; none where it is left out."""

    name: str
    short: Mapping[str, Any] | None
    long: Mapping[str, Any]

    @property
    def promises(self) -> tuple[Promise, ...]:
        """What it measures."""
        return tuple(one for one in ALL if one.bench == self.name)

    def how(self, form: str) -> Mapping[str, Any] | None:
        """What its ``rows`` is called with."""
        return {"short": self.short, "long": self.long}[form]


SOME = ("all", "healthy", "common causes", "volts only", "swing 25, volts and amps", "two faults")
"""rows of the diagnosis that the short form has"""

BENCHES: tuple[Bench, ...] = (
    Bench("operating", {"rounds": 5}, {"rounds": 15}),
    Bench("predict", {"rounds": 5}, {"rounds": 15}),
    Bench("judge", {"rounds": 9}, {"rounds": 25}),
    Bench("log", {"rounds": 60}, {"rounds": 200}),
    Bench("sites", {"count": 100, "ill": 25}, {"count": 1000, "ill": 250}),
    Bench("diagnose", {"sites": 80, "only": SOME, "processes": 2}, {"sites": 1000, "processes": 2}),
    Bench("find", {"rounds": 5}, {"rounds": 9}),
    Bench("route", {"jobs": 3, "sizes": ()}, {"jobs": 10}),
    Bench("advise", {"rounds": 1}, {"rounds": 5}),
    Bench("store", {"rounds": 60}, {"rounds": 300}),
    Bench("crashes", {"most": 8}, {}),
    Bench("kills", {"kills": 10}, {"kills": 500}),
    Bench("merge_store", {"many": 60}, {"many": 10_000}),
    Bench("fuzz", {"seconds": 5.0}, {}),
    Bench("handover", {"rounds": 3}, {"rounds": 7}),
    Bench("labels", {"rounds": 1}, {"rounds": 7}),
    Bench("sent", {"rounds": 3}, {"rounds": 5}),
    Bench("echo", None, {"rounds": 12}),
    Bench("page", None, {"rounds": 7, "many": 12}),
    Bench("page_proofs", None, {"kills": 100}),
    Bench("browser_speed", None, {"rounds": 5}),
)

ASIDE: Mapping[str, str] = {
    "clock": "what all of them share",
    "covered": "of the tests, not of the app: which branches they take",
    "mutate": "of the tests, not of the app: which changes they notice",
    "page_asked": "a proof of page_proofs",
    "page_kills": "a proof of page_proofs",
    "page_kit": "what the proofs of the page work with",
    "promises": "what is promised",
    "rows": "a row of the table",
    "sick_sites": "the sites that diagnose and sites measure",
    "table": "the table",
    "thumbs": "the rules of thumb that diagnose is held against",
    "visits": "the visits that diagnose measures",
}
"""files of this folder that measure nothing by themselves, and what they are"""


def measured(bench: Bench, form: str) -> list[Row]:
    """All rows of a bench, in the order of its promises; those without a figure say why."""
    how = bench.how(form)
    if how is None:
        return [Row(one, beside=LONG) for one in bench.promises]
    found, trouble = _apart(bench.name, how, PATIENT_S[form])
    by_name = {row.promise.name: row for row in found}
    why = trouble or LONG
    return [by_name.get(one.name, Row(one, beside=why)) for one in bench.promises]


def _apart(name: str, how: Mapping[str, Any], patient: float) -> tuple[list[Row], str]:
    """The rows that a bench has in a process of its own; why there are none."""
    apart = get_context("spawn")
    ours, theirs = apart.Pipe(duplex=False)
    process = apart.Process(target=_measure, args=(name, dict(how), theirs))
    process.start()
    theirs.close()
    try:
        if not ours.poll(patient):
            return [], f"ended after {patient:.0f} s"
        return ours.recv()
    except EOFError:
        return [], "the process ended without a word"
    finally:
        process.join(1)
        if process.is_alive():
            process.terminate()
            process.join()


def _measure(name: str, how: dict[str, Any], told: Connection) -> None:
    """In that process: what it says meanwhile goes aside, its rows go back."""
    try:
        with contextlib.redirect_stdout(sys.stderr):
            told.send((importlib.import_module(name).rows(**how), ""))
    except (Exception, SystemExit) as trouble:
        print(format_exc(), file=sys.stderr)
        told.send(([], f"{type(trouble).__name__}: {trouble}".splitlines()[0]))


def machine() -> dict[str, Any]:
    """Where it is measured, and how busy that is."""
    load = os.getloadavg()[0] if hasattr(os, "getloadavg") else None
    return {
        "python": platform.python_version(),
        "system": platform.platform(),
        "cores": os.cpu_count(),
        "load": load,
    }


def counted(rows: Sequence[Row]) -> str:
    """How many of each state."""
    states = [row.state for row in rows]
    return ", ".join(f"{states.count(one)} {one}" for one in dict.fromkeys(sorted(states)))


def main() -> int:
    """Print the table."""
    parser = clock.options(__doc__)
    parser.add_argument("--long", action="store_true", help="everything, some hours")
    parser.add_argument("--only", nargs="+", choices=[one.name for one in BENCHES])
    parser.add_argument("--json", type=Path, help="write the rows there too")
    parser.add_argument("--list", action="store_true", help="what is promised, nothing measured")
    given = parser.parse_args()
    form = FORMS[given.long]
    chosen = [one for one in BENCHES if given.only is None or one.name in given.only]
    there = machine()
    print(f"{form} form; {', '.join(f'{name} {value}' for name, value in there.items())}")
    print(HEAD)
    rows: list[Row] = []
    took: dict[str, float] = {}
    for bench in chosen:
        start = perf_counter()
        some = (
            [Row(one, beside=LONG) for one in bench.promises]
            if given.list
            else measured(bench, form)
        )
        took[bench.name] = perf_counter() - start
        rows += some
        print(*lines(some), sep="\n", flush=True)
        if given.json:  # after each: a run that is ended leaves what it has
            whole = {"form": form, "machine": there, "seconds": took}
            whole["rows"] = [row.json() for row in rows]
            given.json.write_text(json.dumps(whole, indent=1) + "\n", encoding="utf-8")
    print(f"\n{counted(rows)}; {sum(took.values()):.0f} s")
    return int(any(row.is_bad for row in rows))


if __name__ == "__main__":
    sys.exit(main())
