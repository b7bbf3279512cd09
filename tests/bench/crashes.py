"""Simulated crashes, counted: the power goes at every call of the store and at every byte it writes.

Run: ``python tests/bench/crashes.py [MOST]``. For each scene of ``tests/crash_scenes.py``: the power
goes at each call; the program is killed at each call, started again, and then the power goes; each
call fails once, is tried again, and then the power goes. Every state of the medium that may be left
is started on with the store itself, twice. ``MOST`` limits the crashes of each kind and scene,
taken at even distances.
"""

from __future__ import annotations

import argparse
import errno
import sys
from collections.abc import Callable, Iterator
from itertools import count
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from crash_scenes import BAD_BYTES, HURTS, SCENES, Run, cuts, killed, on_bad, refused, started

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


def main() -> None:
    """Count the crashes; the first that breaks a promise ends with its traceback."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("most", type=int, nargs="?", default=sys.maxsize)
    most = parser.parse_args().most
    total, start = 0, perf_counter()
    for name, all_of_them in proofs():
        step = max(1, len(all_of_them) // most)
        chosen = all_of_them[::step]
        for proof in chosen:
            proof()
        total += len(chosen)
        print(f"{len(chosen):8} of {len(all_of_them):8}  {name}", flush=True)
    print(f"{total:8} crashes, {perf_counter() - start:.0f} s: all that was acknowledged was there")


if __name__ == "__main__":
    main()
