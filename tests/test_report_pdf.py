"""The record as PDF: read back with poppler and qpdf, and held against the page that browsers show."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from hashlib import sha256
from pathlib import Path

import pytest
from held_jobs import OUTSIDE, bare, judged, reading, waive
from jpegs import JFIF, made, oriented
from samples import SAMPLES, planned
from test_exchange import NUMBERED, PICTURE, SUM
from test_report_html import HEBREW, HOSTILE, MARKUP

from engine.diagnose.account import account
from engine.practice.walk import MADE_UP_KEY
from engine.showable import showable
from fieldapp import words
from fieldapp.__main__ import main
from fieldapp.drawing.shapes import Label
from fieldapp.exchange import pack
from fieldapp.handover.html import html
from fieldapp.handover.page import (
    Blank,
    Cell,
    Drawing,
    Paragraph,
    Photo,
    Record,
    Row,
    Section,
    Table,
)
from fieldapp.handover.pdf import lacking, plain
from fieldapp.handover.record import needs_account, record
from fieldapp.handover.report_blocks import all_text
from fieldapp.handover.report_pdf import PAPERS, making, record_pdf

ROOT = Path(__file__).parent.parent
NAMES = ("orchard-gate", "reedbed-hide", "tide-mill")
WHEN = {"t": "2031-05-04T08:12:00Z"}


def of(doc: dict, *bodies: dict) -> Record:
    judgement = judged(doc, *bodies)
    return record(judgement, account(judgement) if needs_account(judgement) else None)


def bare_record(*parts) -> Record:
    """A record of one section."""
    return Record("HIDE", "Record of a hide", "", (), (Section("notes", "Remarks", tuple(parts)),))


def letters(text: str) -> str:
    """A text without its spaces, which breaking into lines moves."""
    return "".join(plain(showable(text)).split())


def texts_of(made: Record) -> list[str]:
    """All that the record says in words, but for the labels of its drawings."""
    out = [made.title]
    for section in (*made.front, *made.sections):
        out.append(section.title)
        for one in section.parts:
            match one:
                case Paragraph(text) | Blank(text):
                    out.append(text)
                case Table(heads, rows):
                    out += [*heads, *(cell.text for row in rows for cell in row.cells)]
                case Photo(_, caption, _):
                    out.append(caption)
    return [text for text in out if text]


# ---------------------------------------------------------------- what is in it


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", NAMES)
def test_every_word_of_the_record_is_in_it(name, paper, pages):
    made = of(planned(name), OUTSIDE, {"what": "note", "text": "Rain.", **WHEN})
    said = letters("".join(pages(made, paper=paper)))
    assert [text for text in texts_of(made) if letters(text) not in said] == []
    shown = [shape.text for s in made.front for p in s.parts if isinstance(p, Drawing)
             for shape in p.picture.shapes if isinstance(shape, Label)]  # fmt: skip
    assert shown and all(letters(text) in said for text in shown)


def test_it_says_what_the_html_says_and_no_more(pages):
    """Both are made from the same values; a text of one that the other lacks would be found here."""
    made = of(planned(), reading("S.out", "volts", 53.5, **WHEN), OUTSIDE)
    page = re.sub(r"<style>.*?</style>|<title>.*?</title>", "", html(made, {}), flags=re.DOTALL)
    from html import unescape

    told = letters(unescape(re.sub(r"<[^>]+>", " ", page)))
    said = letters("".join(pages(made)))
    heads = {letters("".join(part.heads)) for section in made.sections for part in section.parts
             if isinstance(part, Table)}  # fmt: skip
    for head in heads:  # they come again on each page
        told, said = told.replace(head, ""), said.replace(head, "")
    assert sorted(said) == sorted(told)


def test_the_first_page_has_what_was_built_and_the_waivers_of_stop_findings(pages):
    made = of(bare(), waive("finding.bond.A1", role="owner", by="Odile", **WHEN))
    first, second = pages(made)[:2]
    verdict = made.front[0].parts[0].text
    assert letters(verdict) in letters(first)
    assert "Odile, owner" in first and words.RECORD_HEADS["line"] in first
    assert second.startswith(words.RECORD_HEADS["readings"])


def test_title_language_size_fonts_and_bookmarks(outside, tmp_path):
    made, path = of(planned(), reading("S.out", "volts", 53.5, **WHEN)), tmp_path / "one.pdf"
    for paper, size in (("a4", "(A4)"), ("letter", "(letter)")):
        path.write_bytes(record_pdf(made, {}, paper))
        told = outside("pdfinfo", path).decode()
        assert "Title:           Record of Orchard gate\n" in told
        assert "Subject:         ORCHARD-GATE\n" in told
        assert "May  4 " in told and size in told
        fonts = outside("pdffonts", path).decode().splitlines()[2:]
        assert fonts and all(row.split()[-5] == "yes" and "CID TrueType" in row for row in fonts)
    whole = json.loads(outside("qpdf", "--json", path))
    (catalog,) = [
        one["value"]
        for one in whole["qpdf"][1].values()
        if isinstance(one.get("value"), dict) and one["value"].get("/Type") == "/Catalog"
    ]
    assert catalog["/Lang"] == "u:en-GB"
    (first, *rest) = whole["outlines"]
    assert first["title"] == made.title
    assert [one["title"] for one in first["kids"]] == [one.title for one in made.front]
    assert [one["title"] for one in rest] == [one.title for one in made.sections]


def test_a_verdict_is_a_sign_and_a_word_and_struck_rows_are_struck(outside, tmp_path):
    """By the strokes on the page: a record with these rows has more of them than one without."""

    def strokes(*rows: Row) -> int:
        path = tmp_path / "one.pdf"
        table = Table(("value", "verdict"), rows)
        path.write_bytes(record_pdf(bare_record(table), {}))
        plain_ = outside("qpdf", "--qdf", "--object-streams=disable", path, "-", fine=(0, 3))
        return len(re.findall(rb"\bl S$", plain_, re.MULTILINE))

    row = Row((Cell("53.5 V"), Cell("inside")))
    assert strokes(Row(row.cells, struck=True)) == strokes(row) + 2
    signed = Row((Cell("53.5 V"), Cell("inside", "inside")))
    assert strokes(signed) > strokes(row)


def test_each_line_of_a_struck_text_is_struck(outside, tmp_path):
    path = tmp_path / "one.pdf"
    long = Cell("taken back in the wet " * 40)
    counts = []
    for struck in (False, True):
        path.write_bytes(record_pdf(bare_record(Table(("a",), (Row((long,), struck),))), {}))
        content = outside("qpdf", "--qdf", path, "-", fine=(0, 3))
        counts.append(len(re.findall(rb"\bl S$", content, re.MULTILINE)))
    lines = outside("pdftotext", "-raw", path, "-").decode().splitlines()
    many = sum("in the wet" in line for line in lines)
    assert many > 4 and counts[1] - counts[0] == many


def test_made_up_stands_on_every_page_and_only_there(whole_pages):
    texts = whole_pages(of({**planned(), MADE_UP_KEY: {"seed": 3}}))
    assert len(texts) > 3 and all(text.split()[-2:] == words.made_up().split() for text in texts)
    assert not any(words.made_up() in text for text in whole_pages(of(planned())))


# ---------------------------------------------------------------- photos


def big(orientation: int) -> bytes:
    return made("colours", JFIF, oriented(orientation))


def test_photos_go_in_unchanged_and_missing_ones_are_said(outside, pages, tmp_path):
    pictures = {sha256(one).hexdigest(): one for one in (PICTURE, big(6), big(3))}
    sums = [*pictures, "0" * 64, "1" * 64]
    broken = {"1" * 64: b"\xff\xd8 no picture"}
    bodies = [{"what": "photo", "of": "R1", "sha256": one, **WHEN} for one in (*sums, SUM)]
    made_ = of(planned(), *bodies)
    text = "".join(pages(made_, {**pictures, **broken}))
    assert text.count(words.record_no_photo()) == 2
    assert text.count(words.record_photo("R1", "2031-05-04 08:12 UTC", "Ida")) == 6
    path = tmp_path / "one.pdf"
    data = path.read_bytes()
    assert all(data.count(one) == 1 for one in pictures.values())
    outside("pdfimages", "-all", path, tmp_path / "out")
    found = {one.read_bytes() for one in tmp_path.glob("out-*.jpg")}
    assert found == set(pictures.values())


def test_two_photos_stand_in_a_row(outside, tmp_path):
    data = big(1)
    name = sha256(data).hexdigest()
    shots = [Photo(name, f"shot{i}", "none") for i in range(4)]
    path = tmp_path / "one.pdf"
    path.write_bytes(record_pdf(bare_record(*shots), {name: data}))
    told = outside("pdftotext", "-bbox", path, "-").decode()
    places = re.findall(r'xMin="([\d.]+)" yMin="([\d.]+)".*?>shot(\d)<', told)
    at = {int(i): (round(float(x)), round(float(y))) for x, y, i in places}
    assert at[0][1] == at[1][1] < at[2][1] == at[3][1]
    assert at[0][0] == at[2][0] < at[1][0] == at[3][0]


# ---------------------------------------------------------------- bad input


@pytest.mark.parametrize("name", [*HOSTILE, "\u4e2d\u6587" * 60, "Cafe\u0301" * 30])
def test_a_hostile_name_is_text_and_nothing_else(name, pages):
    doc = planned()
    doc = {**doc, "title": name, "site": {**doc["site"], "name": name}}
    doc["boxes"] = [{**box, "name": name} for box in doc["boxes"]]
    doc["stops"] = {key: {**stop, "name": name} for key, stop in doc["stops"].items()}
    body = reading("S.out", "volts", 53.5, by=name[:80])
    made_ = of(doc, body, {"what": "note", "text": name})
    told = "".join(pages(made_))
    shown = HEBREW[:3] if HEBREW in name else letters(name)
    assert letters(told).count(shown) >= 5
    assert (words.record_boxes() in told) == bool(lacking(name))


def test_boxes_are_told_once_and_only_where_there_are_any(pages):
    assert words.record_boxes() not in "".join(pages(of(planned())))
    made_ = of(planned(), {"what": "note", "text": f"{HEBREW} \U0001f9f0"})
    assert "".join(pages(made_)).count(words.record_boxes()) == 1


def test_markup_is_no_markup(pages):
    made_ = bare_record(Paragraph(MARKUP), Paragraph("(a) \\ (b"))
    said = letters("".join(pages(made_)))
    assert letters(MARKUP) in said and "(a)\\(b" in said


def test_a_job_with_nothing_in_it_and_one_without_readings(pages):
    assert words.record_nothing("boxes") in "".join(
        pages(of({**planned(), "boxes": [], "spans": []}))
    )
    assert words.record_nothing("readings") in "".join(pages(of(planned("tide-mill"))))


def test_five_hundred_readings_in_slices(pages):
    bodies = [reading("S.out", "volts", 53.5, moment=f"m{n}", **WHEN) for n in range(500)]
    made_ = record(judged(planned(), *bodies))
    shares = []
    work = making(made_, {})
    while True:
        try:
            shares.append(next(work))
        except StopIteration as end:
            data = end.value
            break
    assert shares == sorted(shares) and shares[0] >= 0 and shares[-1] <= 1
    assert len(shares) > 500
    assert data == record_pdf(made_, {})
    assert "".join(pages(made_)).count("S, OUT side volts 53.5") == 500


def test_the_same_record_is_the_same_bytes():
    """In this process and in another one: no clock, no chance, no order of a set."""
    made_ = of(planned(), OUTSIDE, {"what": "note", "text": f"{HEBREW} \U0001f9f0 \u4e2d"})
    first = record_pdf(made_, {})
    assert first == record_pdf(made_, {})
    code = (
        "import sys; sys.path.insert(0, 'tests'); from test_report_pdf import *;"
        "made_ = of(planned(), OUTSIDE, {'what': 'note', 'text': f'{HEBREW} \\U0001f9f0 \\u4e2d'});"
        "print(sha256(record_pdf(made_, {})).hexdigest())"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        cwd=ROOT,
        env={"PYTHONHASHSEED": "7", "PATH": "/usr/bin:/bin"},
        check=True,
    )
    assert done.stdout.strip() == sha256(first).hexdigest()


# ---------------------------------------------------------------- the command


@pytest.mark.parametrize("name", NAMES)
def test_the_command_writes_each_sample(name, tmp_path, capsys, outside):
    out = tmp_path / "out.PDF"
    assert main(["report", str(SAMPLES / f"{name}.json"), "-o", str(out), "--size", "letter"]) == 0
    assert capsys.readouterr() == ("", "")
    assert "(letter)" in outside("pdfinfo", out).decode()
    assert [path.name for path in tmp_path.iterdir()] == ["out.PDF"]


BARRED = """
import importlib.machinery, sys
import engine, fieldapp

class Guard:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PIL", "fontTools", "numpy"}:
            raise ImportError(f"{name} is barred")
        if name.partition(".")[0] in sys.stdlib_module_names:
            return None
        spec = importlib.machinery.PathFinder.find_spec(name, path, target)
        if spec and isinstance(spec.loader, importlib.machinery.ExtensionFileLoader):
            raise ImportError(f"{name} is compiled, and barred")
        return None

sys.meta_path.insert(0, Guard())
try:
    import numpy
except ImportError:
    pass
else:
    raise SystemExit("the guard does not hold")
from fieldapp.handover.report import report
raise SystemExit(report(sys.argv[1:]))
"""


def test_it_is_made_where_nothing_compiled_can_be_imported(tmp_path, outside):
    file, out = tmp_path / "job.zip", tmp_path / "out.pdf"
    file.write_bytes(pack(NUMBERED, {SUM: PICTURE}).data)
    done = subprocess.run(
        [sys.executable, "-c", BARRED, str(file), "-o", str(out)],
        capture_output=True,
        text=True,
        cwd=ROOT,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert PICTURE in out.read_bytes()
    outside("qpdf", "--check", out)


def test_all_that_is_written_is_looked_through_for_letters_that_lack():
    made_ = of(planned(), OUTSIDE, {"what": "note", "text": "Rain."})
    whole = all_text(made_)
    assert all(text in whole for text in texts_of(made_))
    (drawing,) = (one for s in made_.front for one in s.parts if isinstance(one, Drawing))
    labels = [shape.text for shape in drawing.picture.shapes if isinstance(shape, Label)]
    assert labels and all(text in whole for text in labels)
