"""Hurt files until the time is up: none may do more than be refused, or be read and judged.

Run: ``python tests/bench/fuzz.py SECONDS [SEED] [--processes N] [--finds DIR]``. A case is one file
of at most 4 kB. It is unpacked as an import is; what can be read is judged, written and read
again, merged with itself and brought into a store that has jobs already; one in many goes through
the commands, which must end with 0 or 2 and leave no traceback. What does else is a find, and so
is a case that takes longer than the limit. Exit status 1 where there are finds.
"""

from __future__ import annotations

import asyncio
import contextlib
import io
import json
import signal
import sys
import tempfile
import traceback
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import partial
from pathlib import Path
from random import Random
from time import perf_counter
from typing import Any

import clock
from memory_disk import MemoryDisk, open_memory
from mutations import documents, mutated
from promises import rows_of
from rows import Row

from engine import report_json, report_text
from engine.__main__ import main as engine_main
from engine.jobfile import BadFile, JobFile, parse_json, read_job, write
from engine.judge import judge
from engine.judgement_text import judgement_text
from engine.merge import NotOneJob, merged
from fieldapp.exchange import bring, unpack
from fieldapp.exchange.command import run
from fieldapp.jpeg import NotAPicture
from fieldapp.store import StoreError

SECONDS_EACH = 20.0
"""for one case, ours; with another program on the same core"""
COMMANDS = (
    *(("check",), ("check", "--json"), ("predict",), ("predict", "--json"), ("judge", "--json")),
    *(("steps",), ("steps", "--json", "--people", "2"), ("judge",), ("merge",)),
)
FIND = "find"
PROMISED_S = 2400.0
"""so long two processes are to try"""
ONE_IN = 25
"""cases that also go through a command"""


class TooSlow(BaseException):
    """No handler of ordinary trouble may swallow it."""


class Wrong(Exception):
    """A case that ended otherwise than it may, without an exception of its own."""


def one_case(data: bytes, rng: Random) -> str:
    """What came of a file: ``refused``, or ``read``. Raises whatever must not happen."""
    try:
        incoming = unpack(data)
    except BadFile as bad:
        if not bad.problems or any("\n" in problem.line() for problem in bad.problems):
            raise Wrong(f"told as {bad.problems}") from None
        came = "refused"
    else:
        asyncio.run(_brought(incoming))
        _used(incoming.file)
        came = "read"
    if rng.random() * ONE_IN < 1:
        _commanded(data, rng)
    return came


def _used(file: JobFile) -> None:
    """All that a file that can be read must bear."""
    again = read_job(parse_json(write(file.doc)))
    if write(again.doc) != write(file.doc):
        raise Wrong("another file after writing and reading")
    judgement = judge(file)
    for made in (
        report_json.judgement_json(judgement),
        report_json.prediction_json(judgement.prediction),
    ):
        json.dumps(made, allow_nan=False)
    report_text.prediction_text(judgement.prediction)
    judgement_text(judgement)
    union = merged((file.doc, file.doc))
    read_job(union)
    if merged((union, file.doc)) != union:
        raise Wrong("a merge that is not idempotent")


async def _brought(incoming: Any) -> None:
    """Bring it twice to a store where the seeds are, which must then hold it and stay readable."""
    store = await open_memory(MemoryDisk(), now=lambda: "", draw=lambda: "a7f3")
    job = incoming.file.plan.id
    whole = next((text for text in documents() if json.loads(text)["id"] == job), None)
    try:
        if whole is not None:
            (await bring(store, unpack(whole.encode()), "seed")).journal.close()
        (await bring(store, incoming, "fuzz")).journal.close()
        again = await bring(store, incoming, "fuzz")
    except (BadFile, NotOneJob, NotAPicture, StoreError):
        return
    if again.entries or again.pictures:
        raise Wrong("something new in a file that was brought before")


def _commanded(data: bytes, rng: Random) -> None:
    """The file through a command of each package."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "case.json"
        path.write_bytes(data)
        command, *options = rng.choice(COMMANDS)
        _ends_well(partial(engine_main, [command, str(path), *options]))
        data_folder = Path(folder) / "data"
        _ends_well(partial(run, "import", [str(path), "--data", folder], lambda _: data_folder))


def _ends_well(command: Any) -> None:
    said = io.StringIO()
    with contextlib.redirect_stdout(said), contextlib.redirect_stderr(said):
        status = command()
    if status not in (0, 2) or "Traceback" in said.getvalue():
        raise Wrong(f"status {status}: {said.getvalue()[-500:]}")


@contextlib.contextmanager
def limited(seconds: float) -> Iterator[None]:
    """Raise TooSlow in what takes longer, where the system has such a clock."""
    if not hasattr(signal, "setitimer"):
        yield
        return

    def ring(number: int, frame: Any) -> None:
        raise TooSlow

    signal.signal(signal.SIGALRM, ring)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)


def where_of(error: BaseException) -> str:
    """The last place of ours in a traceback: two finds of one place are one."""
    frames = traceback.extract_tb(error.__traceback__)
    ours = [one for one in frames if "site-packages" not in one.filename] or list(frames)
    last = ours[-1]
    return f"{type(error).__name__} {Path(last.filename).name}:{last.lineno} {last.name}"


def fuzz(seconds: float, seed: int, finds: Path) -> tuple[Counter, float]:
    """Cases until the time is up: what came of how many, and the longest. [s]"""
    counts: Counter = Counter()
    slowest, start, number = 0.0, perf_counter(), 0
    while perf_counter() - start < seconds:
        rng = Random(f"{seed}/{number}")
        number += 1
        data = mutated(rng)
        began = perf_counter()
        try:
            with limited(SECONDS_EACH):
                counts[one_case(data, rng)] += 1
        except (Exception, TooSlow) as error:
            place = f"{FIND}: {where_of(error)}"
            counts[place] += 1
            if counts[place] == 1:
                _note(finds, f"{seed}-{number - 1}", data, error)
        slowest = max(slowest, perf_counter() - began)
    return counts, slowest


def _note(finds: Path, name: str, data: bytes, error: BaseException) -> None:
    (finds / f"{name}.case").write_bytes(data)
    lines = traceback.format_exception(error)
    (finds / f"{name}.txt").write_text("".join(lines), errors="backslashreplace")
    print(f"found {name}: {where_of(error)}", file=sys.stderr, flush=True)


def fuzzed(
    seconds: float, seed: int, processes: int, finds: Path | None = None
) -> tuple[Counter, float, Path]:
    """What came of the cases of some processes, the longest of them [s], where finds are put."""
    finds = finds or Path(tempfile.mkdtemp(prefix="finds-"))
    finds.mkdir(parents=True, exist_ok=True)
    counts: Counter = Counter()
    slowest = 0.0
    seeds = [seed * 1000 + number for number in range(processes)]
    with ProcessPoolExecutor(processes) as pool:
        for some, longest in pool.map(partial(fuzz, seconds, finds=finds), seeds):
            counts += some
            slowest = max(slowest, longest)
    return counts, slowest, finds


def rows(seconds: float = PROMISED_S, seed: int = 0, processes: int = 2) -> list[Row]:
    """How many cases are finds, of how many."""
    counts, slowest, finds = fuzzed(seconds, seed, processes)
    row, total = rows_of("fuzz"), sum(counts.values())
    found = {came: count for came, count in counts.items() if came.startswith(FIND)}
    where = f"{', '.join(found)}, in {finds}" if found else f"of {total:,} cases"
    out = [row("finds", sum(found.values()), f"{where}, the longest {slowest:.1f} s")]
    return out if seconds < PROMISED_S else [*out, row("cases", total)]


def main() -> int:
    """Print what came of the cases; 1 where there are finds."""
    parser = clock.options(__doc__)
    parser.add_argument("seconds", type=float)
    parser.add_argument("seed", type=int, nargs="?", default=0)
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--finds", type=Path, help="where finds are put; default: a new folder")
    given = parser.parse_args()
    counts, slowest, finds = fuzzed(given.seconds, given.seed, given.processes, given.finds)
    for came, count in sorted(counts.items()):
        print(f"{count:9} {came}")
    print(f"{sum(counts.values()):9} cases, the longest {slowest:.2f} s")
    found = any(came.startswith(FIND) for came in counts)
    if found:
        print(f"finds in {finds}")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
