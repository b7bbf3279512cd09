"""The README says what is so: its two commands, and the result it prints."""

from __future__ import annotations

import re
import subprocess
import sys
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_two_commands_and_no_more_set_everything_up():
    """Each is one line that makes its own virtual environment."""
    commands = [line for line in README.splitlines() if "python3 -m venv" in line]

    assert len(commands) == 2
    assert commands[0].endswith("farend sample_jobs/reedbed-hide.json")
    assert commands[1].endswith("pytest -n 2")
    assert all(re.match(r"python3 -m venv \.venv && \.venv/bin/pip install ", c) for c in commands)


@cache
def printed() -> str:
    """What the command in the README's block prints."""
    sample = README.split("$ farend judge ")[1].split("\n")[0]
    ran = subprocess.run(
        [sys.executable, "-m", "fieldapp", "judge", str(ROOT / sample)],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    return ran.stdout


def test_the_result_it_shows_is_the_one_that_is_printed():
    """The block behind ``$ farend judge`` is the beginning of what the command prints."""
    shown = README.split("$ farend judge ")[1].split("```")[0].partition("\n")[2]
    assert printed().startswith(shown)


def test_the_fault_it_shows_is_the_one_that_is_named():
    """The block behind "And at its end" is the end of what the command prints."""
    shown = README.split("And at its end")[1].split("```")[1].strip("\n")
    assert printed().rstrip("\n").endswith(shown)


def test_what_it_points_to_is_there():
    """Pictures and pages named in the README exist."""
    for target in re.findall(r"\]\((?!http)([^)#]+)\)", README):
        assert (ROOT / target).is_file(), target
