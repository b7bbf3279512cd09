"""The walk past a made-up site as a job file, and the command that writes it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from command_line import called
from practised_runs import job, six_ports

from engine.job import Point
from engine.jobfile import read_job
from engine.judge import judge
from engine.log import fold
from engine.practice import (
    ALL,
    CAUSES,
    FEW,
    FLOWS,
    document,
    made_up,
    readings,
)

pytestmark = pytest.mark.pure

ROOT = Path(__file__).parent.parent
SAMPLES = sorted((ROOT / "sample_jobs").glob("*.json"))


# ---------------------------------------------------------------- the walk


def test_a_walk_is_7_13_or_16_readings_from_the_source_outwards():
    site = made_up(job("six"), seed=1)
    counts = [sum(e["what"] == "reading" for e in readings(site, k)) for k in (FEW, FLOWS, ALL)]
    assert counts == [7, 13, 16]
    points = [e["at"] for e in readings(site, FEW) if e.get("kind") == "volts"]
    assert points == ["S1.out", "R1.in", "R1.out", "R2.in", "R2.out", "E1.in"]


def test_entries_are_complete_and_come_after_all_that_the_log_holds():
    doc = json.loads((ROOT / "sample_jobs" / "orchard-gate.json").read_text(encoding="utf-8"))
    file = read_job(doc)
    made = document(made_up(file, seed=6))
    assert made["log"][: len(doc["log"])] == doc["log"]
    new = made["log"][len(doc["log"]) :]
    assert [e["what"] for e in new[:2]] == ["visit", "note"] and "ade up" in new[1]["text"]
    assert {e["what"] for e in new[2:]} == {"change", "reading"}
    for entry in new:
        assert {"id", "t", "device", "n", "by", "seen"} <= set(entry)
        stamp, version = entry["id"].replace("-", "")[:12], entry["id"][14]
        assert version == "7" and entry["id"][19] in "89ab" and len(entry["id"]) == 36
        assert int(stamp, 16) > 1.9e12
    assert [e["n"] for e in new] == list(range(1, len(new) + 1))
    assert [e["t"] for e in new] == sorted(e["t"] for e in new)
    assert len({e["id"] for e in made["log"]}) == len(made["log"])
    state = fold(read_job(made))
    assert [e.id for e in state.entries[-len(new) :]] == [e["id"] for e in new]
    stops: dict[str, set[str]] = {}
    for reading in (one for one in state.readings if state.is_current(one)):
        stops.setdefault(state.job.boxes[Point.parse(reading.at).box].stop, set()).add(
            reading.moment
        )
    assert len(stops) == 3 and all(len(moments) == 1 for moments in stops.values())


def test_a_log_without_counts_still_comes_first():
    doc = {**six_ports(), "log": [{"id": f"h{n}", "what": "note", "text": "x"} for n in range(9)]}
    state = fold(read_job(document(made_up(read_job(doc)))))
    assert [e.id for e in state.entries[:9]] == [f"h{n}" for n in range(9)]


def test_the_plan_as_edited_is_what_the_site_was_built_to():
    doc = six_ports()
    edit = {"what": "set", "path": ["spans", "C2", "length_m"], "value": 100, "as": "correction"}
    doc["log"] = [{"id": "e1", "device": "a", "n": 1, **edit}]
    file = read_job(doc)
    site = made_up(file, cause="none")
    assert 98 <= site.values["length", "C2"] <= 102
    made = document(site)
    assert made["spans"] == doc["spans"], "the plan as first agreed stays"
    assert not fold(read_job(made)).left_out


def test_practising_twice_is_two_visits():
    once = document(made_up(job("six"), cause="none", seed=1))
    twice = document(made_up(read_job(once), cause="none", seed=1))
    ids = [e["id"] for e in twice["log"]]
    assert len(set(ids)) == len(ids) == 2 * len(once["log"]) + 1, (
        "and the first one's run is struck"
    )
    assert sum(e["what"] == "visit" for e in twice["log"]) == 2


def test_readings_of_another_site_are_struck_and_stay_in_the_record():
    doc = json.loads((ROOT / "sample_jobs" / "orchard-gate.json").read_text(encoding="utf-8"))
    state = fold(read_job(document(made_up(read_job(doc), cause="none", seed=6))))
    hers = {e["id"] for e in doc["log"] if e["what"] == "reading"}
    mine = {r.id for r in state.readings} - hers
    assert hers and hers <= {r.id for r in state.readings}
    assert state.current == mine


def test_the_file_says_that_it_is_made_up_and_not_what_of():
    for cause in CAUSES:
        made = document(made_up(job("whole"), cause=cause, seed=2))
        assert made["x_made_up"] == {"seed": 2}
        text = json.dumps({**made, "sheets": {}})
        assert cause not in text
        assert "made_up" in json.dumps(read_job(made).doc)


def test_a_sound_site_is_judged_sound_and_a_sick_one_is_not():
    """The verdicts see what the site shows: the two ends of the product fit."""
    for seed in range(6):
        sound = judge(read_job(document(made_up(job("six"), cause="none", seed=seed), FLOWS)))
        assert {v.verdict for v in sound.verdicts} <= {"inside", "unclear"}
        sick = made_up(job("six"), cause="source.low", where="S1", seed=seed)
        first = next(
            v for v in judge(read_job(document(sick, FLOWS))).verdicts if v.verdict == "outside"
        )
        assert (first.reading.at, first.reading.kind) == ("S1.out", "volts")


# ---------------------------------------------------------------- the command


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_command_writes_a_job_that_the_others_read(path, tmp_path):
    out = tmp_path / "made.json"
    code, said, err = called("practice", str(path), "-o", str(out))
    assert (code, said, err) == (0, "Made up with seed 0.\n", "")
    assert [p.name for p in tmp_path.iterdir()] == ["made.json"]
    for command in ("check", "judge", "predict", "steps"):
        assert called(command, str(out))[0] == 0
    code, said, err = called("practice", str(path), "--seed", "0")
    assert (code, err) == (0, "") and said == out.read_text(encoding="utf-8")


def test_the_truth_is_told_only_to_who_asks():
    path = str(SAMPLES[0])
    args = ("practice", path, "--cause", "load.heavy", "--where", "e", "--seed", "4")
    code, said, err = called(*args)
    assert (code, err) == (0, "") and "heavy" not in said
    code, again, err = called(*args, "--reveal")
    assert again == said
    assert err.startswith("E draws too much: 1.") and err.endswith("times the sheet's most.\n")
    code, _, err = called("practice", path, "--cause", "none", "--reveal")
    assert err.startswith("Made up with seed 0.\nNothing is wrong on this site")


def test_the_truth_goes_to_the_terminal_when_the_job_goes_to_a_file(tmp_path):
    out = tmp_path / "x.json"
    args = ("practice", str(SAMPLES[0]), "--cause", "span.open", "--reveal", "-o", str(out))
    assert called(*args, "--seed", "1")[1:] in [
        (f"{span} is broken: no wire of it goes through.\n", "") for span in ("C1", "C2")
    ]


@pytest.mark.parametrize(
    ("more", "line"),
    [
        (
            ("--cause", "span.hihg"),
            "span.hihg: not a known cause. Did you mean span.high? Known: none, source.dead,",
        ),
        (
            ("--cause", "span.high", "--where", "R1"),
            "span.high: cannot be at R1. Possible: C1, C2.\n",
        ),
        (
            ("--cause", "arrestor.open"),
            "arrestor.open: cannot be in this job; there is no place for it.\n",
        ),
        (("--where", "Q"), "Q: no cause can be there."),
    ],
)
def test_what_cannot_be_is_one_clear_line(more, line):
    code, said, err = called("practice", str(SAMPLES[0]), *more)
    assert (code, said) == (2, "")
    assert err.startswith(line) and err.count("\n") == 1


def test_a_file_that_cannot_be_read_or_written_is_one_line(tmp_path):
    bad = tmp_path / "bad.json"
    bad.write_text("{}", encoding="utf-8")
    code, said, err = called("practice", str(bad))
    assert (code, said) == (2, "") and "expected" in err
    code, said, err = called("practice", str(SAMPLES[0]), "-o", str(tmp_path / "no" / "x.json"))
    assert (code, said) == (2, "") and err.endswith("no such file or directory\n")
