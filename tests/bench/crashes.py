"""Simulated crashes, counted: the power goes at every call of the store and at every byte it writes.

Run: ``python tests/bench/crashes.py [MOST]``. For each scene of ``tests/crash_scenes.py``: the power
goes at each call; the program is killed at each call, started again, and then the power goes; each
call fails once, is tried again, and then the power goes. Every state of the medium that may be left
is started on with the store itself, twice. ``MOST`` limits the crashes of each kind and scene,
taken at even distances.
"""

from __future__ import annotations

import errno
import sys
from collections.abc import Callable, Iterator
from itertools import count
from time import perf_counter

import clock
from crash_scenes import BAD_BYTES, HURTS, SCENES, Run, cuts, killed, on_bad, refused, started
from promises import rows_of
from rows import Row, told

ERRORS = {"full": errno.ENOSPC, "failing": errno.EIO}


def proofs() -> Iterator[tuple[str, list[Callable[[], None]]]]:
    """Each kind of crash of each scene: its name and all its crashes."""
    for name, scene in SCENES.items():
        yield f"{name}: power cut", list(cuts(started(scene)))
        runs = _while_there(lambda at, scene=scene: killed(scene, at))
        yield (
            f"{name}: killed, begun again, power cut",
            [one for at, run in runs for one in cuts(run, at)],
        )
        for word, number in ERRORS.items():
            runs = _while_there(lambda at, s=scene, n=number: refused(s, at, n))
            yield (
                f"{name}: medium {word}, tried again, power cut",
                [one for at, run in runs for one in cuts(run, at)],
            )
    for name, hurt in HURTS.items():
        yield f"opening a journal, {name}: power cut", list(cuts(on_bad(hurt), bad=BAD_BYTES))


def _while_there(play: Callable[[int], Run | None]) -> Iterator[tuple[int, Run]]:
    for at in count():
        run = play(at)
        if run is None:
            return
        yield at, run


def rows(most: int = sys.maxsize, show: bool = False) -> list[Row]:
    """How many crashes broke a promise, of how many; with ``show`` each kind is printed, and the
    first that breaks one ends it with its traceback."""
    total, broken, start = 0, [], perf_counter()
    for name, all_of_them in proofs():
        chosen = all_of_them[:: max(1, len(all_of_them) // most)]
        for proof in chosen:
            try:
                proof()
            except AssertionError:
                if show:
                    raise
                broken.append(name)
        total += len(chosen)
        if show:
            print(f"{len(chosen):8} of {len(all_of_them):8}  {name}", flush=True)
    row, took = rows_of("crashes"), f"{perf_counter() - start:.0f} s"
    out = [row("broken", len(broken), ", ".join(broken) or f"of {total:,} crashes, {took}")]
    return out if most < sys.maxsize else [*out, row("many", total, took)]


def main() -> int:
    """Count the crashes; the first that breaks a promise ends with its traceback."""
    parser = clock.options(__doc__)
    parser.add_argument("most", type=int, nargs="?", default=sys.maxsize)
    return told(rows(parser.parse_args().most, show=True))


if __name__ == "__main__":
    sys.exit(main())
