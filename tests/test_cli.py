"""The command line as a person meets it: real processes, real files."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest
from command_line import (
    COMMANDS,
    ROOT,
    called,
    fits_a_terminal,
    of_sample,
    parsed,
    ran,
    started,
    written,
)
from samples import NAMES, sample

# ---------------------------------------------------------------- text


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("command", COMMANDS)
def test_text_is_for_people(command, name):
    done = of_sample(command, name)
    assert (done.code, done.err) == (0, "")
    fits_a_terminal(done.out)
    assert sample(name)["id"] in done.out


def test_predict_text_shows_every_point_with_its_units():
    out = of_sample("predict", "reedbed-hide").out
    assert out.startswith("Reedbed hide (REEDBED-HIDE)\n\nIt will work.")
    for point in ("S.out", "L1.in", "A1.line", "J1.a", "A2.kit", "L2.out", "C.in"):
        assert point in out
    for word in ("V low", "A exp", "W exp", "Mb/s", "metres"):
        assert word in out


def test_predict_columns_are_aligned():
    lines = of_sample("predict", "tide-mill").out.splitlines()
    start = next(i for i, line in enumerate(lines) if line.lstrip().startswith("point"))
    rows = lines[start : lines.index("", start)]
    edge = rows[0].index("V low") + len("V low")
    for row in rows[1:]:
        assert row[edge - 1].isdigit() and row[edge] == " ", row


def test_judge_text_names_the_outside_readings():
    out = of_sample("judge", "orchard-gate").out
    assert "47.35 ± 0.26" in out and "47.35 V at E.in: outside" in out
    assert "hold you here" in out
    for word in (" safe", "certified", "Pass", "FAIL"):
        assert word not in out


def test_steps_text_is_numbered_and_grouped_by_stop():
    out = of_sample("steps", "reedbed-hide").out
    assert "\n  1 " in out and "\n 66 " in out and "\n 67 " not in out
    assert "Hut, 0 m" in out and "Hide, 463 m" in out
    assert "! Before you climb at Hide" in out
    assert "[12 min, dead, both ends, ladder]" in out


def test_steps_for_two_take_less_time_and_say_who():
    file = str(ROOT / "sample_jobs" / "reedbed-hide.json")
    done = called("steps", file, "--people", "2")
    assert done.code == 0 and "for two people" in done.out
    assert "both of you" in done.out and ", second" in done.out
    alone, two = (parsed(called("steps", file, "--people", n, "--json")) for n in ("1", "2"))
    assert (alone["people"], two["people"]) == (1, 2)
    assert two["minutes"] < alone["minutes"]
    assert {step["id"] for step in two["steps"]} == {step["id"] for step in alone["steps"]}
    assert {tuple(step["who"]) for step in alone["steps"]} == {(1,)}


def test_long_words_still_fit_eighty_columns(tmp_path):
    doc = sample("orchard-gate")
    doc["title"] = "The gate behind the old orchard " * 6
    doc["stops"]["press"]["name"] = "Press house with the long name " * 6
    doc["boxes"][0]["name"] = "A switch of many words " * 8
    path = tmp_path / "long.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    for command in COMMANDS:
        fits_a_terminal(called(command, str(path)).out)


def test_a_title_of_several_lines_does_not_break_the_text(tmp_path):
    doc = sample("orchard-gate")
    doc["title"] = "Orchard\rgate\tnorth\n\nIt will work."
    path = tmp_path / "lines.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    done = called("predict", str(path))
    assert done.code in (0, 2)
    assert "\r" not in done.out + done.err and "\t" not in done.out
    assert not done.out.startswith("Orchard\n")


# ---------------------------------------------------------------- the terminal's own ways


def test_advice_is_a_note_or_json(tmp_path):
    done = ran("advise", "sample_jobs/tide-mill.json")
    assert (done.code, done.err) == (0, "")
    assert "What would still work" in done.out


def test_practice_is_the_same_in_every_process():
    """Chance comes from the seed alone: no hash of this run has a part in it."""
    args = ("practice", "sample_jobs/tide-mill.json", "--seed", "11")
    one, two = started(*args, PYTHONHASHSEED="1"), started(*args, PYTHONHASHSEED="2")
    assert one.code == 0 and one.err == "" and one.out == two.out
    assert json.loads(one.out)["x_made_up"] == {"seed": 11}


def test_merge_joins_the_logs_of_two_files(tmp_path):
    """Printed, or written with -o; a file of another job is refused in one line."""
    whole = sample("orchard-gate")
    parts = []
    for name, kept in (("near", whole["log"][::2]), ("far", whole["log"][1::2])):
        parts.append(tmp_path / f"{name}.json")
        parts[-1].write_text(json.dumps({**whole, "log": kept}), encoding="utf-8")
    out = tmp_path / "both.json"
    done = ran("merge", *map(str, parts), "-o", str(out))
    assert (done.code, done.out, done.err) == (0, "", "")
    printed = ran("merge", *map(str, reversed(parts)))
    assert json.loads(printed.out)["log"]
    assert {e["id"] for e in json.loads(out.read_text())["log"]} == {e["id"] for e in whole["log"]}
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "both.json",
        "far.json",
        "near.json",
    ]
    nowhere = ran("merge", str(out), "-o", str(tmp_path / "no" / "x.json"))
    assert nowhere.code == 2 and nowhere.err.endswith("no such file or directory\n")
    refused = ran("merge", str(out), "sample_jobs/tide-mill.json")
    assert (refused.code, refused.out) == (2, "")
    assert refused.err == "not the same job: ORCHARD-GATE and TIDE-MILL\n"


def test_sources_prints_every_number_with_its_source():
    """Text within 80 columns and JSON hold the same rows, each with source, mark and use."""
    text, out = ran("sources"), parsed(ran("sources", "--json"))
    assert text.code == 0 and max(map(len, text.out.splitlines())) <= 80
    assert out["format"] == "farend-sources/1" and len(out["rows"]) > 300
    for row in out["rows"]:
        assert row["source"] and row["mark"] and row["id"] in text.out
    used = {row["id"]: row["used_by"] for row in out["rows"]}
    assert any("limits" in place for place in used["class-6-source-watts"])


def test_a_wrong_call_is_told_its_grammar():
    for args in ((), ("predict",), ("guess", "x"), ("steps", "x", "--people", "3")):
        done = called(*args)
        assert (done.code, done.out) == (2, "") and done.err.startswith("usage:")


def test_help_names_the_commands():
    done = called("--help")
    assert done.code == 0
    for command in (*COMMANDS, "schema"):
        assert command in done.out


@pytest.mark.parametrize(
    ("command", "encoding"), [("predict", "cp1252"), ("judge", "ascii"), ("steps", "latin-1")]
)
def test_a_narrow_terminal_is_no_traceback(command, encoding, tmp_path):
    doc = sample("tide-mill")
    doc["title"] = "Gezeitenmühle ≤ 3 東"
    done = started(command, written(tmp_path, doc), PYTHONIOENCODING=encoding)
    assert done.code == 0


def test_a_closed_pipe_is_no_traceback():
    """As when ``| head`` has seen enough."""
    gone, pipe = os.pipe()
    os.close(gone)
    try:
        done = subprocess.run(
            [sys.executable, "-m", "engine", "predict", f"sample_jobs/{NAMES[-1]}.json", "--json"],
            stdout=pipe,
            stderr=subprocess.PIPE,
            cwd=ROOT,
            timeout=60,
            check=False,
        )
    finally:
        os.close(pipe)
    assert b"Traceback" not in done.stderr and b"Exception" not in done.stderr, done.stderr


def test_the_same_file_gives_the_same_text():
    again = started("judge", "sample_jobs/orchard-gate.json", PYTHONHASHSEED="77")
    assert again.out == of_sample("judge", "orchard-gate").out
