"""The engine's command line, as a process of its own or called inside this one."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path
from typing import NamedTuple

from engine.__main__ import main

ROOT = Path(__file__).parent.parent
COMMANDS = ("check", "predict", "judge", "steps")


class Ended(NamedTuple):
    """How a run ended, and what it printed."""

    code: int
    out: str
    err: str


def called(*args: str) -> Ended:
    """Inside this process, where starting one anew would tell nothing more."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        try:
            code = main(args)
        except SystemExit as end:
            code = end.code
    return Ended(code, out.getvalue(), err.getvalue())


def started(*args: str, **environment: str) -> Ended:
    """A process of its own, with nothing but these words and this added to its environment."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-m", "engine", *args],
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        env={**os.environ, "PYTHONIOENCODING": "utf-8", **environment},
    )
    told = Ended(
        done.returncode,
        done.stdout.decode("utf-8", "replace"),
        done.stderr.decode("utf-8", "replace"),
    )
    assert "Traceback" not in told.out + told.err, told.err
    return told


@cache
def ran(*args: str) -> Ended:
    """A process of its own; the same run is asked for by several tests."""
    return started(*args)


def of_sample(command: str, name: str, *more: str) -> Ended:
    return ran(command, f"sample_jobs/{name}.json", *more)


def parsed(done: Ended) -> dict:
    """The JSON that was printed, of a run that went well."""

    def refuse(word):
        raise AssertionError(f"{word} is no JSON")

    assert done.code == 0, done.err
    assert done.err == ""
    return json.loads(done.out, parse_constant=refuse)


def fits_a_terminal(text: str) -> None:
    """Lines that fit, end well, and hold nothing that steers."""
    assert text.endswith("\n") and text.strip()
    for line in text.splitlines():
        assert len(line) <= 80, line
        assert line == line.rstrip()
    assert not [letter for letter in text if ord(letter) < 32 and letter != "\n"]
    assert "\x9b" not in text


def written(tmp_path: Path, doc: dict) -> str:
    path = tmp_path / "job.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    return str(path)
