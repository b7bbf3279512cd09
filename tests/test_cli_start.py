"""Starting the app from the command line: what comes in, and what is refused in one line."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
from contextlib import closing
from pathlib import Path

from app_presses import fresh, inside_volts
from real_app import ENVIRONMENT, ROOT, SAMPLE, serve

from engine.jobfile import load
from fieldapp import words
from fieldapp.store.files import read_journal
from fieldapp.store.journal import decode, head_of

__all__ = ["serve"]


def ran(*args: str) -> tuple[int, str, str]:
    """One finished process: its code, what it printed, what it complained of."""
    done = subprocess.run(
        [sys.executable, "-m", "fieldapp", *args],
        capture_output=True,
        cwd=ROOT,
        timeout=60,
        env={**os.environ, **ENVIRONMENT},
    )
    return done.returncode, done.stdout.decode(), done.stderr.decode()


def refused(*args: str) -> str:
    """The one line with which it refuses."""
    code, out, err = ran(*args)
    assert (code, out) == (2, ""), err
    assert err.count("\n") == 1, err
    return err


def test_a_broken_file_is_told_in_one_line_and_nothing_is_made(tmp_path: Path) -> None:
    broken, data = tmp_path / "broken.json", tmp_path / "data"
    broken.write_text('{"format": "farend-job/1", "id"', encoding="utf-8")
    said = refused("--no-browser", "--port", "0", "--data", str(data), str(broken))
    assert "JSON" in said
    assert not data.exists()


def test_a_broken_file_stops_the_good_one_beside_it_too(tmp_path: Path) -> None:
    """All or nothing: half of what was asked for would be found out on site."""
    wrong, data = tmp_path / "wrong.json", tmp_path / "data"
    doc = json.loads(SAMPLE.read_text(encoding="utf-8"))
    wrong.write_text(json.dumps({**doc, "title": 7}), encoding="utf-8")
    said = refused("--no-browser", "--port", "0", "--data", str(data), str(SAMPLE), str(wrong))
    assert said.startswith(f"{wrong}: title:")
    assert not data.exists()


def test_the_engine_answers_behind_the_same_name() -> None:
    code, out, err = ran("predict", str(SAMPLE))
    assert (code, err) == (0, "")
    assert str(fresh().state.job.title) in out
    assert words.figure(inside_volts("L2.in")) in out


def test_every_file_named_is_copied_in(serve, tmp_path: Path) -> None:
    samples = sorted((ROOT / "sample_jobs").glob("*.json"))
    serve(*samples)
    for path in samples:
        plan = load(path).plan
        head = head_of(decode(read_journal(tmp_path / "data", plan.id)), plan.id)
        assert head.plan["title"] == plan.title


def test_a_taken_port_is_told_in_one_line(tmp_path: Path) -> None:
    with closing(socket.socket()) as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = str(taken.getsockname()[1])
        assert port in refused("--no-browser", "--port", port, "--data", str(tmp_path / "data"))


def test_a_port_that_cannot_be_is_told_in_one_line(tmp_path: Path) -> None:
    assert "port" in refused("--no-browser", "--port", "99999", "--data", str(tmp_path / "data"))


def test_a_data_folder_that_is_a_file_is_told_in_one_line(tmp_path: Path) -> None:
    data = tmp_path / "data"
    data.write_text("a shopping list", encoding="utf-8")
    refused("--no-browser", "--port", "0", "--data", str(data))
    assert data.read_text(encoding="utf-8") == "a shopping list"
