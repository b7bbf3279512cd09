"""The command line on files that cannot be read, and on jobs that cannot work."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from command_line import COMMANDS, ROOT, Ended, called, fits_a_terminal, parsed, started, written
from samples import sample

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
    run = started if name in ("cut", "words", "missing", "reading") else called
    for command in COMMANDS[:1] if run is started else COMMANDS:
        told(run(command, str(path)), lines)
    if before is not None:
        assert path.read_bytes() == before


def told(done: Ended, lines: int) -> None:
    """Status 2, nothing on standard output, one printable line a problem."""
    assert (done.code, done.out) == (2, "")
    assert len(done.err.splitlines()) == lines, done.err
    for line in done.err.splitlines():
        assert ": found " in line and ", expected " in line
        assert line.isprintable()


def test_the_nearest_name_is_offered(tmp_path):
    path, _ = _broken(tmp_path)["names"]
    first, second = called("predict", str(path)).err.splitlines()
    assert first.startswith("boxes[0].sheet: ") and "Did you mean my.switch?" in first
    assert second.startswith("boxes[1].stop: ")


def test_check_json_gives_the_problems_as_json(tmp_path):
    path, _ = _broken(tmp_path)["names"]
    done = started("check", str(path), "--json")
    assert (done.code, done.err) == (2, "")
    out = json.loads(done.out)
    assert out["format"] == "farend-check/1" and out["ok"] is False
    assert [row["at"] for row in out["problems"]] == ["boxes[0].sheet", "boxes[1].stop"]
    assert all(set(row) == {"at", "found", "expected", "near"} for row in out["problems"])
    assert out["problems"][0]["near"] == "my.switch"


@pytest.mark.parametrize("command", ["predict", "judge", "steps"])
def test_json_of_a_broken_file_is_not_half_a_document(tmp_path, command):
    path, _ = _broken(tmp_path)["cut"]
    done = called(command, str(path), "--json")
    assert (done.code, done.out) == (2, "")
    assert done.err.startswith("line ")


# ---------------------------------------------------------------- a job that cannot work is a result


def test_collapse_is_a_result(tmp_path):
    doc = sample("orchard-gate")
    doc["sheets"]["my.intercom"]["watts"] = {"low": 80, "expected": 90, "high": 99}
    path = written(tmp_path, doc)
    out = parsed(started("predict", path, "--json"))
    assert out["operates"] is False and out["load_share"] < 1
    assert set(out["collapse"]) == {"at", "volts_needed", "load_share", "why"}
    assert out["collapse"]["at"] == "E.in" and out["collapse"]["volts_needed"] == 36
    states = {point["state"] for point in out["points"].values()}
    assert states <= {"starved", "off", "cycling"} and states
    assert all(point["volts"]["expected"] is None for point in out["points"].values())
    for command in COMMANDS:
        done = called(command, path)
        assert (done.code, done.err) == (0, "")
        fits_a_terminal(done.out)
    assert "It will not work" in called("predict", path).out


def test_no_link_and_no_feed_are_results(tmp_path):
    doc = sample("orchard-gate")
    doc["sheets"]["my.intercom"]["speeds_mbps"] = [1000]
    out = parsed(called("predict", written(tmp_path, doc), "--json"))
    assert "speed-mismatch" in {finding["rule"] for finding in out["findings"]}
    doc = sample("orchard-gate")
    doc["boxes"], doc["spans"], doc["log"] = doc["boxes"][1:], doc["spans"][1:], []
    path = written(tmp_path, doc)
    for command in COMMANDS:
        parsed(called(command, path, "--json"))
        fits_a_terminal(called(command, path).out)


def test_an_empty_plan_is_a_result(tmp_path):
    doc = sample("orchard-gate")
    path = written(tmp_path, {**doc, "boxes": [], "spans": [], "stops": {}, "log": []})
    for command in COMMANDS:
        parsed(called(command, path, "--json"))
        assert called(command, path).code == 0
