"""The engine in the browser's Python: `python -m tests.pyodide [TEST FILE…]`.

Run it at the root of the repository. It runs the tests marked `pure` there, or all tests of the
files named, then compares and times predicting and judging each sample job in both Pythons.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path
from statistics import median

ROOT = Path(__file__).parent.parent.parent
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]  # as pytest finds them

from browser import chromium_path  # noqa: E402
from pyodide.both import predictions, times  # noqa: E402
from pyodide.harness import (  # noqa: E402
    LOAD,
    SAMPLES,
    THERE,
    Session,
    collected,
    core_folder,
    differences,
    open_session,
    pure_files,
)

REPEATS = 15


def tests(session: Session, files: list[str]) -> bool:
    """Run the tests and print what became of them; whether all that CPython finds passed."""
    args = files or ["-m", "pure", *pure_files()]
    begun = time.perf_counter()
    ran = session.run_tests(*args)
    seconds = time.perf_counter() - begun
    found = collected(*args)
    for name, words in ran["troubles"].items():
        print(f"\n{name}\n{words}")
    by_file: dict[str, Counter[str]] = {}
    for name, outcome in ran["outcomes"].items():
        by_file.setdefault(name.partition("::")[0], Counter())[outcome] += 1
    for file, counts in by_file.items():
        print(f"  {file:32}", *(f"{count} {what}" for what, count in counts.items()))
    print(f"tests: {len(ran['outcomes'])} run of {len(found)} found, {seconds:.1f} s")
    return bool(found) and ran["outcomes"] == dict.fromkeys(found, "passed")


def predict(session: Session) -> bool:
    """Print what predicting and judging take in both Pythons; whether they come to the same."""
    unlike = differences(predictions(str(ROOT / "sample_jobs")), session.predictions())
    for line in unlike:
        print(line)
    for sample in SAMPLES:
        for what, source in (
            ("predict", "predict(job)"),
            ("judge", "judge_all(state, prediction)"),
        ):
            here = median(times(source, REPEATS, LOAD.format(ROOT, sample.name)))
            there = median(session.time(source, REPEATS, LOAD.format(THERE, sample.name)))
            ratio = f"ratio {there / here:.2f}"
            print(f"{what:8}{sample.name:20} {here:7.1f} ms here, {there:7.1f} ms there, {ratio}")
    return not unlike


def main(files: list[str]) -> int:
    """Print all of it; 1 if something went wrong on the way."""
    executable = chromium_path()
    if executable is None or core_folder() is None:
        print("no Chromium, or no flet-web with a Python for the browser", file=sys.stderr)
        return 2
    begun = time.perf_counter()
    with open_session(executable) as session:
        opened = time.perf_counter() - begun
        print(
            f"start: {opened:.1f} s, {session.start_seconds:.1f} s of it Python {session.version}"
        )
        good = [tests(session, files), predict(session), not session.outside]
        for url in session.outside:
            print(f"asked outside: {url}")
    print(f"all: {time.perf_counter() - begun:.1f} s")
    return 0 if all(good) else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
