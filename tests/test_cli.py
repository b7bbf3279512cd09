"""The command line as a person and as a program meet it: real processes, real files."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from engine.__main__ import main

ROOT = Path(__file__).parent.parent
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.json"))
COMMANDS = ("check", "predict", "judge", "steps")
NAMES = [path.stem for path in SAMPLES]


class Ran:
    """One finished process."""

    def __init__(self, *args: str, **environment: str) -> None:
        done = subprocess.run(
            [sys.executable, "-W", "error", "-m", "engine", *args],
            capture_output=True,
            cwd=ROOT,
            timeout=60,
            env={**os.environ, "PYTHONIOENCODING": "utf-8", **environment},
        )
        self.code = done.returncode
        self.out = done.stdout.decode("utf-8", "replace")
        self.err = done.stderr.decode("utf-8", "replace")
        assert "Traceback" not in self.out + self.err, self.err


class Called:
    """The same command line inside this process, where starting one anew would tell nothing more."""

    def __init__(self, *args: str) -> None:
        out, err = io.StringIO(), io.StringIO()
        with redirect_stdout(out), redirect_stderr(err):
            try:
                self.code = main(args)
            except SystemExit as end:
                self.code = end.code
        self.out, self.err = out.getvalue(), err.getvalue()


@cache
def ran(*args: str) -> Ran:
    """The same run is asked for by several tests."""
    return Ran(*args)


def of_sample(command: str, name: str, *more: str) -> Ran:
    return ran(command, f"sample_jobs/{name}.json", *more)


def sample(name: str) -> dict:
    return json.loads((ROOT / "sample_jobs" / f"{name}.json").read_text(encoding="utf-8"))


def parsed(done: Ran | Called) -> dict:
    def refuse(word):
        raise AssertionError(f"{word} is no JSON")

    assert done.code == 0, done.err
    assert done.err == ""
    return json.loads(done.out, parse_constant=refuse)


def fits_a_terminal(text: str) -> None:
    assert text.endswith("\n") and text.strip()
    for line in text.splitlines():
        assert len(line) <= 80, line
        assert line == line.rstrip()
    assert not [letter for letter in text if ord(letter) < 32 and letter != "\n"]
    assert "\x9b" not in text


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
    done = Called("steps", file, "--people", "2")
    assert done.code == 0 and "for two people" in done.out
    assert "both of you" in done.out and ", second" in done.out
    alone, two = (parsed(Called("steps", file, "--people", n, "--json")) for n in ("1", "2"))
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
        fits_a_terminal(Called(command, str(path)).out)


def test_a_title_of_several_lines_does_not_break_the_text(tmp_path):
    doc = sample("orchard-gate")
    doc["title"] = "Orchard\rgate\tnorth\n\nIt will work."
    path = tmp_path / "lines.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    done = Called("predict", str(path))
    assert done.code in (0, 2)
    assert "\r" not in done.out + done.err and "\t" not in done.out
    assert not done.out.startswith("Orchard\n")


# ---------------------------------------------------------------- json

BAND = {"low", "expected", "high"}


@pytest.mark.parametrize("name", NAMES)
def test_check_json(name):
    out = parsed(of_sample("check", name, "--json"))
    assert out == {"format": "farend-check/1", "ok": True, "problems": []}


@pytest.mark.parametrize("name", NAMES)
def test_predict_json(name):
    out, doc = parsed(of_sample("predict", name, "--json")), sample(name)
    assert out["format"] == "farend-prediction/1" and out["job"] == doc["id"]
    assert {
        "operates",
        "collapse",
        "load_share",
        "watts_to_spare",
        "points",
        "links",
        "sources",
        "findings",
        "assumed",
    } <= set(out)
    assert out["operates"] is True and out["collapse"] is None and out["load_share"] > 1
    endpoints = {
        box["id"] for box in doc["boxes"] if doc["sheets"][box["sheet"]]["kind"] == "endpoint"
    }
    assert set(out["watts_to_spare"]) == endpoints
    ends = {span[key] for span in doc["spans"] for key in ("from", "to")}
    assert ends <= set(out["points"])
    for point in out["points"].values():
        for key in ("volts", "amps", "watts"):
            band = point[key]
            assert set(band) == BAND
            assert band["low"] <= band["expected"] <= band["high"]
        assert point["pairs"] in (2, 4) and point["state"] == "on"
    for link in out["links"]:
        assert set(link) >= {
            "from",
            "to",
            "through",
            "length_m",
            "expected_mbps",
            "margin_db",
            "margin_m",
            "why",
        }
        margins = (link["margin_db"], link["margin_m"])
        assert margins.count(None) == 1, "decibels for ordinary ports, metres for stated reaches"
        assert max(m for m in margins if m is not None) > 0
    for feed in out["sources"].values():
        assert set(feed) >= {"watts", "limit_watts", "granted_watts"}
    for finding in out["findings"]:
        assert set(finding) >= {"rule", "at", "severity", "text", "say"}
        assert finding["severity"] in ("stop", "warn", "note")
        assert finding["say"]["code"]
    assert all(isinstance(line, str) and line for line in out["assumed"])


def test_json_numbers_are_not_rounded():
    out = parsed(of_sample("predict", "orchard-gate", "--json"))
    volts = out["points"]["E.in"]["volts"]["expected"]
    assert volts != round(volts, 6)


@pytest.mark.parametrize("name", NAMES)
def test_judge_json(name):
    out, doc = parsed(of_sample("judge", name, "--json")), sample(name)
    assert out["format"] == "farend-judgement/1" and out["job"] == doc["id"]
    assert sum(fault["probability"] for fault in out["faults"]) == pytest.approx(1, abs=1e-9)
    for fault in out["faults"]:
        assert set(fault) >= {"cause", "where", "probability", "size", "ends", "because"}
        assert fault["text"] and fault["say"]["code"]
    assert {"none", "other"} <= {fault["cause"] for fault in out["faults"]}
    assert set(out["fit"]) >= {"chi2", "readings", "ok"}
    test = out["next_test"]
    if test is not None:
        assert set(test) >= {
            *("at", "kind", "with", "minutes", "walk_m", "bits", "dead", "needs", "parts"),
            *("say", "do", "why", "cautions"),
        }
    read = {entry["id"] for entry in doc["log"] if entry["what"] == "reading"}
    assert {row["reading"] for row in out["verdicts"]} == read
    for row in out["verdicts"]:
        assert set(row) >= {
            "reading",
            "at",
            "kind",
            "value",
            "band",
            "z",
            "by",
            "verdict",
            "current",
            "say",
            "text",
            "moment",
            "smallest_ohms",
            "apart",
        }
        assert row["by"] in ("today", "design")
        assert row["verdict"] in ("inside", "unclear", "outside", "no-band")
        assert row["say"]["code"]
    assert out["ready_to_leave"] is False and out["blockers"]
    for row in out["blockers"]:
        assert set(row) >= {"id", "text", "can_waive", "reading", "say"}
        assert row["can_waive"] in ("no", "responsible", "self")
        assert row["say"]["code"].startswith("hold-")


@pytest.mark.parametrize("name", NAMES)
def test_steps_json(name):
    out, doc = parsed(of_sample("steps", name, "--json")), sample(name)
    assert out["format"] == "farend-steps/1" and out["job"] == doc["id"]
    assert out["people"] == 1 and out["minutes"] > 0 and out["walk_m"] > 0
    for step in out["steps"]:
        assert set(step) >= {
            "id",
            "stop",
            "box",
            "span",
            "do",
            "why",
            "caution",
            "power",
            "both_ends",
            "needs",
            "minutes",
            "after",
            "asks",
            "state",
            "say",
        }
        assert step["power"] in ("dead", "live", "any")
        assert step["state"] in ("open", "done", "not-here")
        assert step["do"] and step["why"] and step["stop"] in doc["stops"]
        assert step["asks"] is None or set(step["asks"]) == {"at", "kind"}


def test_schema_is_printed_and_accepts_the_samples():
    out = parsed(ran("schema"))
    Draft202012Validator.check_schema(out)
    for name in NAMES:
        Draft202012Validator(out).validate(sample(name))


# ---------------------------------------------------------------- what cannot be read


def _broken(tmp_path: Path) -> dict[str, tuple[Path, int]]:
    """Broken files, and how many lines each deserves."""
    text = (ROOT / "sample_jobs" / "orchard-gate.json").read_text(encoding="utf-8")
    doc = json.loads(text)
    doc["boxes"][0]["sheet"] = "my.swich"
    doc["spans"][0]["length_m"] = -1
    two = json.loads(text)
    two["boxes"][0]["sheet"] = "my.swich"
    two["boxes"][1]["stop"] = "barn"
    files = {
        "empty": ("", 1),
        "cut": (text[:900], 1),
        "list": ("[]", 1),
        "twin": ('{"id": 1, "id": 2}', 1),
        "nan": (text.replace('"expected": 16', '"expected": NaN'), 1),
        "endless": (text.replace('"expected": 16', '"expected": 1e999'), 1),
        "digits": (text.replace('"expected": 16', '"expected": ' + "7" * 5000), 1),
        "deep": ("[" * 5000, 1),
        "newer": (text.replace("farend-job/1", "farend-job/2"), 1),
        "words": (json.dumps({**doc, "x\n\x1b[31m": 1, "é\ud800": 2}), 3),
        "names": (json.dumps(two), 2),
        "nothing": ("{}", 6),
        "reading": (
            text.replace('"kind": "loop_ohms", "value": 24.6', '"kind": "loop_ohms", "pairs": {}'),
            1,
        ),
    }
    out = {}
    for name, (content, lines) in files.items():
        path = tmp_path / f"{name}.json"
        path.write_text(content, encoding="utf-8")
        out[name] = (path, lines)
    (tmp_path / "latin.json").write_bytes(b'{"title": "M\xfchle"}')
    out["latin"] = (tmp_path / "latin.json", 1)
    out["missing"] = (tmp_path / "missing.json", 1)
    out["folder"] = (tmp_path, 1)
    return out


CASES = (
    "empty",
    "cut",
    "list",
    "twin",
    "nan",
    "endless",
    "digits",
    "deep",
    "newer",
    "words",
    "names",
    "nothing",
    "reading",
    "latin",
    "missing",
    "folder",
)


@pytest.mark.parametrize("name", CASES)
def test_a_broken_file_gives_one_line_a_problem_and_status_two(tmp_path, name):
    files = _broken(tmp_path)
    assert set(files) == set(CASES)
    path, lines = files[name]
    before = path.read_bytes() if path.is_file() else None
    run = Ran if name in ("cut", "words", "missing", "reading") else Called
    for command in COMMANDS[:1] if run is Ran else COMMANDS:
        told(run(command, str(path)), lines)
    if before is not None:
        assert path.read_bytes() == before


def told(done: Ran | Called, lines: int) -> None:
    """Status 2, nothing on standard output, one printable line a problem."""
    assert (done.code, done.out) == (2, "")
    assert len(done.err.splitlines()) == lines, done.err
    for line in done.err.splitlines():
        assert ": found " in line and ", expected " in line
        assert line.isprintable()


def test_the_nearest_name_is_offered(tmp_path):
    path, _ = _broken(tmp_path)["names"]
    first, second = Called("predict", str(path)).err.splitlines()
    assert first.startswith("boxes[0].sheet: ") and "Did you mean my.switch?" in first
    assert second.startswith("boxes[1].stop: ")


def test_check_json_gives_the_problems_as_json(tmp_path):
    path, _ = _broken(tmp_path)["names"]
    done = Ran("check", str(path), "--json")
    assert (done.code, done.err) == (2, "")
    out = json.loads(done.out)
    assert out["format"] == "farend-check/1" and out["ok"] is False
    assert [row["at"] for row in out["problems"]] == ["boxes[0].sheet", "boxes[1].stop"]
    assert all(set(row) == {"at", "found", "expected", "near"} for row in out["problems"])
    assert out["problems"][0]["near"] == "my.switch"


@pytest.mark.parametrize("command", ["predict", "judge", "steps"])
def test_json_of_a_broken_file_is_not_half_a_document(tmp_path, command):
    path, _ = _broken(tmp_path)["cut"]
    done = Called(command, str(path), "--json")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("line ")


# ---------------------------------------------------------------- a job that cannot work is a result


def _written(tmp_path: Path, doc: dict) -> str:
    path = tmp_path / "job.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    return str(path)


def test_collapse_is_a_result(tmp_path):
    doc = sample("orchard-gate")
    doc["sheets"]["my.intercom"]["watts"] = {"low": 80, "expected": 90, "high": 99}
    path = _written(tmp_path, doc)
    out = parsed(Ran("predict", path, "--json"))
    assert out["operates"] is False and out["load_share"] < 1
    assert set(out["collapse"]) == {"at", "volts_needed", "load_share", "why"}
    assert out["collapse"]["at"] == "E.in" and out["collapse"]["volts_needed"] == 36
    states = {point["state"] for point in out["points"].values()}
    assert states <= {"starved", "off", "cycling"} and states
    assert all(point["volts"]["expected"] is None for point in out["points"].values())
    for command in COMMANDS:
        done = Called(command, path)
        assert (done.code, done.err) == (0, "")
        fits_a_terminal(done.out)
    assert "It will not work" in Called("predict", path).out


def test_no_link_and_no_feed_are_results(tmp_path):
    doc = sample("orchard-gate")
    doc["sheets"]["my.intercom"]["speeds_mbps"] = [1000]
    out = parsed(Called("predict", _written(tmp_path, doc), "--json"))
    assert "speed-mismatch" in {finding["rule"] for finding in out["findings"]}
    doc = sample("orchard-gate")
    doc["boxes"], doc["spans"], doc["log"] = doc["boxes"][1:], doc["spans"][1:], []
    path = _written(tmp_path, doc)
    for command in COMMANDS:
        parsed(Called(command, path, "--json"))
        fits_a_terminal(Called(command, path).out)


def test_an_empty_plan_is_a_result(tmp_path):
    doc = sample("orchard-gate")
    path = _written(tmp_path, {**doc, "boxes": [], "spans": [], "stops": {}, "log": []})
    for command in COMMANDS:
        parsed(Called(command, path, "--json"))
        assert Called(command, path).code == 0


# ---------------------------------------------------------------- the terminal's own ways


def test_advice_is_a_note_or_json(tmp_path):
    done = ran("advise", "sample_jobs/tide-mill.json")
    assert (done.code, done.err) == (0, "")
    assert "What would still work" in done.out


def test_practice_is_the_same_in_every_process():
    """Chance comes from the seed alone: no hash of this run has a part in it."""
    args = ("practice", "sample_jobs/tide-mill.json", "--seed", "11")
    one, two = Ran(*args, PYTHONHASHSEED="1"), Ran(*args, PYTHONHASHSEED="2")
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
        done = Called(*args)
        assert (done.code, done.out) == (2, "") and done.err.startswith("usage:")


def test_help_names_the_commands():
    done = Called("--help")
    assert done.code == 0
    for command in (*COMMANDS, "schema"):
        assert command in done.out


@pytest.mark.parametrize(
    ("command", "encoding"), [("predict", "cp1252"), ("judge", "ascii"), ("steps", "latin-1")]
)
def test_a_narrow_terminal_is_no_traceback(command, encoding, tmp_path):
    doc = sample("tide-mill")
    doc["title"] = "Gezeitenmühle ≤ 3 東"
    done = Ran(command, _written(tmp_path, doc), PYTHONIOENCODING=encoding)
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
    again = Ran("judge", "sample_jobs/orchard-gate.json", PYTHONHASHSEED="77")
    assert again.out == of_sample("judge", "orchard-gate").out
