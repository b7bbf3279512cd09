"""Random histories of three phones, merged through the store: nothing lost, whoever comes first.

Run: ``python tests/bench/merge_store.py N [FIRST]``. Each history of ``tests/test_merge.py`` is three
job files. They are imported into a store in two orders, one of them twice and with a restart in
between, on files for one history in twenty. The log that is kept must be the union that
``engine.merge`` makes of the three, and must be judged the same.
"""

from __future__ import annotations

import asyncio
import sys
import tempfile
from collections.abc import Awaitable, Callable, Sequence
from pathlib import Path
from time import perf_counter
from typing import Any

import clock
from memory_disk import MemoryDisk, open_memory
from promises import rows_of
from rows import Row, told
from test_merge import random_history

from engine.jobfile import read_job, write
from engine.log import fold
from engine.merge import merged
from fieldapp.exchange import bring, document, unpack
from fieldapp.store.files import open_files
from fieldapp.store.keeper import Keeper

ON_FILES = 20
"""one history in so many"""
Open = Callable[[], Awaitable[Keeper]]


def on_memory() -> Open:
    disk = MemoryDisk()
    return lambda: open_memory(disk, now=lambda: "", draw=lambda: "a7f3")


def on_files(folder: Path) -> Open:
    return lambda: open_files(folder, now=lambda: "", draw=lambda: "a7f3")


async def kept(opened: Open, documents: Sequence[Any]) -> dict[str, Any]:
    """The job in a store that these were imported into, in this order, a restart after each."""
    for doc in documents:
        store = await opened()
        await bring(store, unpack(write(doc).encode()), "a.json")
        store.close()
    store = await opened()
    journal = await store.open(documents[0]["id"])
    assert journal.report is None
    whole = document(journal.records)
    store.close()
    return whole


def holds(seed: int, folder: Path) -> None:
    """The laws on one history."""
    a, b, c = random_history(seed)
    union = merged((a, b, c))
    for number, order in enumerate(((a, b, c), (c, a, b, a))):
        real = seed % ON_FILES == 0
        opened = on_files(folder / f"{seed}-{number}") if real else on_memory()
        whole = asyncio.run(kept(opened, order))
        assert merged((whole,)) == union, f"history {seed}: another log"
        state, other = fold(read_job(whole)), fold(read_job(union))
        assert (state.entries, state.current, state.doc, state.conflicts) == (
            other.entries,
            other.current,
            other.doc,
            other.conflicts,
        ), f"history {seed}: judged otherwise"


def rows(many: int = 10_000, first: int = 0, show: bool = False) -> list[Row]:
    """How many histories came out otherwise; with ``show`` the first of them ends it with its
    traceback."""
    wrong, start = [], perf_counter()
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(first, first + many):
            try:
                holds(seed, Path(folder))
            except AssertionError as trouble:
                if show:
                    raise
                wrong.append(str(trouble))
    beside = f"of {many:,} histories, {perf_counter() - start:.0f} s"
    return [rows_of("merge_store")("differ", len(wrong), "; ".join([*wrong[:3], beside]))]


def main() -> int:
    """Count the histories."""
    parser = clock.options(__doc__)
    parser.add_argument("many", type=int)
    parser.add_argument("first", type=int, nargs="?", default=0)
    given = parser.parse_args()
    return told(rows(given.many, given.first, show=True))


if __name__ == "__main__":
    sys.exit(main())
