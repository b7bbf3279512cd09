"""What can be handed over of a job: its files and their names, made in slices; when one is older than
the log it was made of."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import subprocess
import zipfile
from collections.abc import Generator
from pathlib import Path
from typing import Any

import pytest
from headless import warned
from hypothesis import given
from hypothesis import strategies as st
from jpegs import made
from samples import sample

from engine.copied import HANDED, PASSING_KEYS, behind, handed, is_recorded, matters, not_copied
from engine.entries import read_entry
from engine.jobfile import parse_json, read_job
from engine.judge import Judgement, judge
from engine.predict import finish
from fieldapp.effects import ALL, LABELS, READINGS, REPORT, WHOLE
from fieldapp.exchange.packing import beside, pack
from fieldapp.exchange.unpacking import unpack
from fieldapp.handover.documents import (
    DOCUMENTS,
    HTML,
    Made,
    Papers,
    Wish,
    label_count,
    pages_in,
    parts_of,
    pictured,
    sample_label,
    seeking,
    stamp_of,
    stem_of,
)
from fieldapp.handover.giving import together
from fieldapp.handover.labels import labels_of
from fieldapp.handover.record import needs_account, record
from fieldapp.jpeg import without_place

PICTURE = without_place(made("baseline"))
DAY = "2031-06-03"
ROOT = Path(__file__).resolve().parent.parent
JOBS = sorted(path.stem for path in (ROOT / "sample_jobs").glob("*.json"))


def judged(doc: dict[str, Any]) -> Judgement:
    return judge(read_job(doc))


def with_log(*bodies: dict[str, Any], device: str = "n0de") -> dict[str, Any]:
    """The sample with these entries, counted as those of one phone."""
    log = [{"id": f"e{n}", "device": device, "n": n, **body} for n, body in enumerate(bodies, 1)]
    return {**sample("reedbed-hide"), "log": log}


def wish(doc: dict[str, Any], **more: Any) -> Wish:
    return Wish(judged(doc), day=DAY, doc=doc, **more)


def made_of(what: str, one: Wish) -> Made:
    return finish(DOCUMENTS[what].make(one))


# ---------------------------------------------------------------- names


@given(st.text(max_size=200))
def test_a_name_is_small_letters_digits_and_hyphens_whatever_the_job_is_called(job):
    stem = stem_of(job)
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", stem) and len(stem) <= 80
    assert stem not in ("con", "nul", "prn", "aux", "com1", "lpt9")


@pytest.mark.parametrize(
    ("job", "stem"),
    [
        ("REEDBED-HIDE", "reedbed-hide"),
        ("../../etc/passwd", "etc-passwd"),
        ("NUL", "job-nul"),
        ("\u202efdp.exe", "fdp-exe"),
        ("---", "job"),
    ],
)
def test_names_of_hostile_jobs(job, stem):
    assert stem_of(job) == stem


# ---------------------------------------------------------------- what is in them


@pytest.mark.parametrize("name", JOBS)
def test_report_and_labels_of_each_sample_are_pdf(name, tmp_path):
    one = wish(sample(name))
    for what, ending in ((REPORT, "record.pdf"), (LABELS, "labels.pdf")):
        file = made_of(what, one)
        assert file.name == f"{name}-{ending}" and file.media == "application/pdf"
        assert file.data.startswith(b"%PDF-")
        assert file.pages >= 1
        checked(file, tmp_path)


def checked(file: Made, folder: Path) -> None:
    """By a program of somebody else, where it is there: whole, and so many pages."""
    if shutil.which("qpdf") is None:
        return
    path = folder / file.name
    path.write_bytes(file.data)
    result = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr
    count = subprocess.run(["qpdf", "--show-npages", path], capture_output=True, check=True)
    assert int(count.stdout) == file.pages


def test_a_report_can_be_a_page_for_a_browser():
    doc = sample("reedbed-hide")
    file = made_of(REPORT, wish(doc, papers=Papers("letter", HTML)))
    assert file.name == "reedbed-hide-record.html" and file.pages is None
    text = file.data.decode("utf-8")
    assert text.startswith("<!DOCTYPE html>") and "@page{size:letter" in text


def test_papers_are_followed():
    doc = sample("tide-mill")
    widths = {}
    for size in ("a4", "letter", "strip"):
        data = made_of(LABELS, wish(doc, papers=Papers(labels=size))).data
        widths[size] = float(re.search(rb"/MediaBox \[ ?0 0 ([0-9.]+)", data)[1])
    assert widths["a4"] == pytest.approx(595.28, abs=0.1)
    assert widths["letter"] == pytest.approx(612.0, abs=0.1)
    assert widths["strip"] > 1000
    a4, letter = (made_of(REPORT, wish(doc, papers=Papers(size))).data for size in ("a4", "letter"))
    assert b"595.2" in a4 and b"595.2" not in letter and b"792" in letter


def test_photos_go_into_the_report_as_they_are():
    from hashlib import sha256

    name = sha256(PICTURE).hexdigest()
    doc = with_log({"what": "photo", "of": "L1", "sha256": name})
    assert pictured(judged(doc).state) == (name,)
    there = made_of(REPORT, wish(doc, pictures={name: PICTURE}))
    without = made_of(REPORT, wish(doc, lacking=1))
    assert PICTURE in there.data and PICTURE not in without.data
    assert (there.lacking, without.lacking) == (0, 1)
    void = [*doc["log"], {"id": "v", "what": "void", "of": "e1", "device": "n0de", "n": 2}]
    assert pictured(judged({**doc, "log": void}).state) == ()


def test_the_job_file_and_the_table_are_what_they_were():
    doc = with_log({"what": "reading", "at": "S.out", "kind": "volts", "value": 54.0})
    whole = made_of(WHOLE, wish(doc))
    assert (whole.name, whole.media) == ("reedbed-hide.json", "application/json")
    assert whole.data == pack(doc).data
    table = made_of(READINGS, wish(doc))
    rows = list(csv.reader(io.StringIO(table.data.decode("utf-8-sig"), newline="")))
    assert table.name == "reedbed-hide-readings.csv" and len(rows) == 2


@pytest.mark.parametrize("name", JOBS)
def test_labels_are_counted_without_being_made(name):
    judgement = judged(sample(name))
    assert label_count(judgement.state) == len(labels_of(judgement, DAY))


def test_the_label_that_is_shown_has_two_sides_where_a_box_has():
    assert len(sample_label(judged(sample("reedbed-hide"))).ports) == 2
    doc = sample("reedbed-hide")
    alone = {**doc, "boxes": [doc["boxes"][0]], "spans": [], "log": []}
    assert sample_label(judged(alone)).thing == doc["boxes"][0]["id"]
    assert sample_label(judged({**doc, "boxes": [], "spans": [], "log": []})) is None


def test_pages_are_counted_and_the_tree_of_them_is_none():
    data = b"<< /Type /Pages /Count 2 >> << /Type /Page >> << /Type/Page\n>>"
    assert pages_in(data) == 2


def test_all_is_three_or_two_where_there_is_nothing_to_label():
    doc = sample("reedbed-hide")
    assert parts_of(ALL, judged(doc).state) == (REPORT, LABELS, WHOLE)
    bare = judged({**doc, "boxes": [], "spans": [], "log": []}).state
    assert parts_of(ALL, bare) == (REPORT, WHOLE)
    assert parts_of(LABELS, bare) == (LABELS,)


# ---------------------------------------------------------------- all in one file


@pytest.mark.parametrize("photos", [0, 1])
def test_all_in_one_is_the_jobs_own_zip_with_the_rest_beside_it(photos):
    from hashlib import sha256

    name = sha256(PICTURE).hexdigest()
    doc = with_log({"what": "photo", "of": "L1", "sha256": name})
    one = wish(doc, pictures={name: PICTURE} if photos else {})
    files = {what: made_of(what, one) for what in (REPORT, LABELS, WHOLE)}
    file = together("REEDBED-HIDE", files)
    assert file.name == "reedbed-hide-all.zip"
    with zipfile.ZipFile(io.BytesIO(file.data)) as archive:
        assert archive.testzip() is None
        names = set(archive.namelist())
        inside = archive.read("REEDBED-HIDE.json")
    papers = {"reedbed-hide-record.pdf", "reedbed-hide-labels.pdf"}
    assert names == {"REEDBED-HIDE.json", *papers} | ({f"photos/{name}.jpg"} if photos else set())
    assert parse_json(inside) == parse_json(pack(doc).data)
    taken = unpack(file.data)
    assert taken.file.plan.id == "REEDBED-HIDE"
    assert dict(taken.pictures) == ({name: PICTURE} if photos else {})
    assert taken.left_out == (), "what is made of the job is nothing to be told of"


def test_what_is_beside_a_job_has_the_same_bytes_each_time():
    packed = pack(sample("tide-mill"))
    first = beside(packed.name, packed.data, "TIDE-MILL", {"b.pdf": b"2", "a.pdf": b"1"})
    again = beside(packed.name, packed.data, "TIDE-MILL", {"a.pdf": b"1", "b.pdf": b"2"})
    assert first == again


# ---------------------------------------------------------------- in slices


@pytest.mark.parametrize("what", [REPORT, LABELS, WHOLE, READINGS])
def test_shares_grow_and_stay_within_the_whole(what):
    slices, shares = DOCUMENTS[what].make(wish(sample("tide-mill"))), []
    while True:
        try:
            shares.append(next(slices))
        except StopIteration:
            break
    assert shares == sorted(shares) and shares[0] >= 0 and shares[-1] <= 1
    if what in (REPORT, LABELS):
        assert len(shares) > 10, "the page lives on meanwhile"


def low() -> dict[str, Any]:
    """A far reading that is outside."""
    return with_log(
        {"what": "reading", "at": "S.out", "kind": "volts", "value": 54.0, "meter": "M1"},
        {"what": "reading", "at": "C.in", "kind": "volts", "value": 41.0, "meter": "M1"},
    )


def test_causes_are_sought_where_a_reading_is_outside_and_told_in_the_report():
    from fieldapp.handover.html import html

    one = wish(low(), papers=Papers(kind=HTML))
    assert needs_account(one.judgement)
    account = finish(seeking(one.judgement, lambda: 0.0))
    file = made_of(REPORT, one)
    assert file.data.decode() == html(record(one.judgement, account), {}, "a4")
    known = made_of(REPORT, wish(low(), papers=Papers(kind=HTML), account=account))
    assert known.data == file.data
    given_up = made_of(REPORT, wish(low(), papers=Papers(kind=HTML), seek=False))
    assert given_up.data != file.data


def test_a_search_that_is_too_long_ends_and_the_report_says_so():
    clock = iter(float(n * 15) for n in range(1000))
    one = wish(low(), papers=Papers(kind=HTML), now=lambda: next(clock))
    unsought = made_of(REPORT, wish(low(), papers=Papers(kind=HTML), seek=False))
    assert made_of(REPORT, one).data == unsought.data


def test_what_is_dropped_in_the_middle_leaves_nothing_behind():
    slices: Generator = DOCUMENTS[REPORT].make(wish(sample("reedbed-hide")))
    for _ in range(5):
        next(slices)
    slices.close()
    with pytest.raises(StopIteration):
        next(slices)


# ---------------------------------------------------------------- older than the log


def note(*what: str, **seen: int) -> dict[str, Any]:
    return {
        "what": "note",
        "text": "Handed over",
        "t": "2031-06-03T14:50:00Z",
        HANDED: {"what": list(what), "seen": seen},
    }


READING = {"what": "reading", "at": "S.out", "kind": "volts", "value": 54.0}
EDIT = {"what": "set", "path": ["spans", "C4", "length_m"], "value": 250}


def behind_by(what: str, *bodies: dict[str, Any]) -> int | None:
    state = judged(with_log(*bodies)).state
    last = handed(state, what)
    return None if last is None else behind(state, last.seen, DOCUMENTS[what].counts(state))


@pytest.mark.parametrize(
    ("bodies", "report", "labels"),
    [
        ((READING,), None, None),
        ((READING, note(REPORT, n0de=1)), 0, None),
        ((READING, note(LABELS, n0de=1)), None, 0),
        ((READING, note(REPORT, LABELS, n0de=1), READING), 1, 0),
        ((READING, note(REPORT, LABELS, n0de=1), EDIT), 1, 1),
        ((EDIT, note(REPORT, LABELS, n0de=1), {"what": "void", "of": "e1"}), 1, 1),
        ((READING, note(REPORT, LABELS, n0de=1), {"what": "void", "of": "e1"}), 1, 0),
        ((READING, note(REPORT, n0de=1), note(REPORT, n0de=2), {"what": "export"}), 0, None),
        ((READING, note(REPORT, n0de=1), {"what": "sign", "by": "Ida"}), 1, None),
        ((READING, note(REPORT, n0de=1), {"what": "leave", "open": []}), 1, None),
        ((READING, READING, note(REPORT, n0de=1)), 1, None),
        ((READING, note(REPORT, n0de=1), {"what": "void", "of": "e2"}), None, None),
        ((READING, note(REPORT, other=9)), 1, None),
    ],
)
def test_what_was_handed_over_is_older_once_the_log_says_more(bodies, report, labels):
    assert behind_by(REPORT, *bodies) == report
    assert behind_by(LABELS, *bodies) == labels


@pytest.mark.parametrize(
    "told", [1, None, [], {"what": 1}, {"what": "report"}, {"what": ["report"], "seen": [1]},
             {"what": ["report"], "seen": {"n0de": "9", "a": True, "b": None}}]
)  # fmt: skip
def test_a_note_from_anywhere_does_no_harm(told):
    state = judged(with_log(READING, {"what": "note", "text": "x", HANDED: told})).state
    last = handed(state, REPORT)
    assert last is None or last.seen == {}


def test_that_it_was_handed_over_is_no_work_and_no_remark():
    entry = read_entry({"id": "a", **note(REPORT)})
    assert HANDED in PASSING_KEYS and not matters(entry) and not is_recorded(entry)
    before = judged(with_log(READING, {"what": "export", "t": "2031-06-03T14:40:00Z"}))
    after = judged(
        with_log(READING, {"what": "export", "t": "2031-06-03T14:40:00Z"}, note(REPORT, LABELS))
    )
    assert not_copied(before.state) == not_copied(after.state) == 0
    assert record(before) == record(after)
    assert before.holds == after.holds
    assert [step.state for step in before.steps] == [step.state for step in after.steps]


def test_a_stamp_moves_with_what_a_document_shows_and_with_nothing_else():
    papers = Papers()
    states = {
        name: judged(with_log(*bodies)).state
        for name, bodies in {
            "read": (READING,),
            "sent": (READING, note(REPORT), {"what": "export"}),
            "more": (READING, READING),
            "moved": (READING, EDIT),
        }.items()
    }

    def stamps(what: str, of: Papers = papers) -> dict[str, Any]:
        return {name: stamp_of(what, state, of) for name, state in states.items()}

    report, labels = stamps(REPORT), stamps(LABELS)
    assert report["read"] == report["sent"] != report["more"]
    assert labels["read"] == labels["sent"] == labels["more"] != labels["moved"]
    other = stamps(REPORT, Papers(labels="strip"))
    assert other == report and stamps(REPORT, Papers(kind=HTML))["read"] != report["read"]
    assert stamps(LABELS, Papers(labels="strip"))["read"] != labels["read"]


def test_the_job_that_is_beside_is_what_the_copy_was():
    """The zip's own job file is what the log's sum speaks of."""
    doc = warned(sample("reedbed-hide"))
    packed = pack(doc)
    zipped = beside(packed.name, packed.data, "REEDBED-HIDE", {"a.pdf": b"1"})
    with zipfile.ZipFile(io.BytesIO(zipped)) as archive:
        assert archive.read("REEDBED-HIDE.json") == packed.data
    assert json.loads(packed.data)["id"] == "REEDBED-HIDE"
