"""Which branches of the engine its own tests take, file by file.

Its own are the files of tests that know nothing of the app; what drives a browser or is slow is
left out. What they start as a process of its own counts too. What is excluded, and what is
watched, stands in ``pyproject.toml`` under ``tool.coverage``.

Run: ``python tests/bench/covered.py [--least PERCENT] [TESTS ...]``; with tests, those alone. It
ends with 1 where less than ``--least`` in 100 branches are taken.
"""

from __future__ import annotations

import argparse
import json
import os
import subprocess
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

HOUSE = Path(__file__).resolve().parents[2]
LEAST = 95.0
"""in 100 branches (a choice)"""
MARKS = "not browser and not slow"


def own_tests() -> list[str]:
    """The files of tests that know nothing of the app."""
    files = sorted((HOUSE / "tests").glob("test_*.py"))
    return [str(one) for one in files if "fieldapp" not in one.read_text(encoding="utf-8")]


def watched(tests: list[str]) -> tuple[bool, dict]:
    """Whether the tests pass, and coverage's report of what they got to."""
    with TemporaryDirectory(prefix="covered-") as folder:
        env = {**os.environ, "COVERAGE_FILE": str(Path(folder) / "data")}
        run = [sys.executable, "-m", "coverage"]
        quiet = ("-q", "--no-header", "-p", "no:cacheprovider", "-m", MARKS)
        pytest = [*run, "run", "-m", "pytest", *quiet, *tests]
        passed = not subprocess.run(pytest, cwd=HOUSE, env=env, check=False).returncode
        out = Path(folder) / "report.json"
        subprocess.run([*run, "combine", "-q"], cwd=HOUSE, env=env, check=True)
        subprocess.run([*run, "json", "-q", "-o", out], cwd=HOUSE, env=env, check=True)
        return passed, json.loads(out.read_text(encoding="utf-8"))


def share(summary: dict) -> float:
    """In 100 branches, those that were taken; of a file without any, its lines."""
    if summary["num_branches"]:
        return 100 * summary["covered_branches"] / summary["num_branches"]
    return 100 * summary["covered_lines"] / max(summary["num_statements"], 1)


def row(name: str, summary: dict, missed: list[list[int]]) -> str:
    """A file, its branches, how many were taken, and those that were not."""
    gone = ", ".join(f"{a}->{b if b > 0 else 'end'}" for a, b in missed)
    taken, there = summary["covered_branches"], summary["num_branches"]
    return f"{name:34} {taken:5} of {there:5}  {share(summary):6.1f}  {gone}".rstrip()


def main() -> int:
    ask = argparse.ArgumentParser(description=__doc__.split("\n", 1)[0])
    ask.add_argument("tests", nargs="*")
    ask.add_argument("--least", type=float, default=LEAST)
    given = ask.parse_args()
    passed, report = watched(given.tests or own_tests())
    whole = 0
    for name, file in sorted(report["files"].items(), key=lambda one: share(one[1]["summary"])):
        if file["missing_lines"] or file["missing_branches"]:
            print(row(name, file["summary"], file["missing_branches"]))
        else:
            whole += 1
    print(f"{whole} files more, all of them whole")
    print(row("the engine", report["totals"], []))
    lines = report["totals"]
    print(f"lines: {lines['covered_lines']} of {lines['num_statements']}")
    return int(not passed or share(lines) < given.least)


if __name__ == "__main__":
    sys.exit(main())
