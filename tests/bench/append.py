"""Measure a durable append against the least it can cost: a bare write and fsync of its bytes.

Both are done in turns in one run on one file system, so that the ratio says what the store adds
whatever the medium is. Run: ``python tests/bench/append.py [--entries N] [--folder DIR]``.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import sys
import tempfile
from pathlib import Path
from statistics import median, quantiles
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from fieldapp.store.files import open_files
from fieldapp.store.journal import decode, encode


def entry(number: int) -> dict[str, object]:
    """A reading of the usual length."""
    return {
        "id": f"019690a0-0000-7000-8000-{number:012}",
        "t": "2026-05-04T10:00:00Z",
        "device": "a7f3",
        "n": number,
        "what": "reading",
        "at": "B1.in",
        "kind": "volts",
        "value": 48.7,
        "meter": "m1",
    }


def seconds_each(folder: Path, entries: int) -> tuple[list[float], list[float]]:
    """Append and write bare in turns; return the times of each. [s]"""
    store = asyncio.run(open_files(folder, now=lambda: "2026-05-04T10:00:00Z", draw=lambda: "a7f3"))
    journal = asyncio.run(store.create("BENCH", {"title": "Bench"}))
    fd = os.open(folder / "bare", os.O_WRONLY | os.O_CREAT)
    kept, bare = [], []
    for number in range(1, entries + 1):
        record = entry(number)
        start = perf_counter()
        journal.append(record)
        kept.append(perf_counter() - start)
        line = encode(record)
        start = perf_counter()
        os.write(fd, line)
        os.fsync(fd)
        bare.append(perf_counter() - start)
    os.close(fd)
    store.close()
    found = decode((folder / "jobs" / "BENCH.journal").read_bytes())
    assert len(found.records) == entries + 1, "not all that was appended is there"
    return kept, bare


def row(name: str, seconds: list[float]) -> str:
    """One line of the table, in milliseconds."""
    p95 = quantiles(seconds, n=20)[-1]
    return f"{name:24}{median(seconds) * 1e3:9.3f}{p95 * 1e3:9.3f}{max(seconds) * 1e3:9.3f}"


def main() -> None:
    """Print the times and their ratio."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--entries", type=int, default=1000)
    parser.add_argument("--folder", type=Path, help="where to write; default: a temporary folder")
    options = parser.parse_args()
    with tempfile.TemporaryDirectory(dir=options.folder) as folder:
        kept, bare = seconds_each(Path(folder), options.entries)
    print(f"{'ms, ' + str(options.entries) + ' entries':24}{'median':>9}{'p95':>9}{'max':>9}")
    print(row("durable append", kept))
    print(row("bare write and fsync", bare))
    print(f"ratio of the medians: {median(kept) / median(bare):.2f}")


if __name__ == "__main__":
    main()
