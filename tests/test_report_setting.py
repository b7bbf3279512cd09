"""How a record is set onto pages: what stays together, where tables and drawings go on."""

from __future__ import annotations

import re

import pytest

from fieldapp.drawing.shapes import Label, Line, Picture
from fieldapp.handover.page import Cell, Drawing, Paragraph, Record, Row, Section, Table
from fieldapp.handover.report_pdf import PAPERS, record_pdf


def bare_record(*parts) -> Record:
    """A record of one section."""
    return Record("HIDE", "Record of a hide", "", (), (Section("notes", "Remarks", tuple(parts)),))


def table_of(count: int, text: str = "53.5 V") -> Table:
    return Table(("time", "value"), tuple(Row((Cell(f"r{i}."), Cell(text))) for i in range(count)))


def test_heads_come_again_on_each_page_and_rows_stay_whole(pages):
    made = bare_record(table_of(300, "a reading that takes two lines " * 6))
    texts = pages(made)
    assert len(texts) > 5
    assert all(text.startswith("time value") for text in texts[1:])
    rows = [re.findall(r"r(\d+)\.", text) for text in texts]
    assert [int(one) for page in rows for one in page] == list(range(300))
    for text in texts:
        parts = re.split(r"r\d+\.", text)[1:]
        assert {part.count("two lines") for part in parts} == {6}


def test_a_row_taller_than_a_page_goes_on_on_the_next(pages):
    made = bare_record(Table(("time", "text"), (Row((Cell("now"), Cell("word " * 4000))),)))
    texts = pages(made)
    assert len(texts) > 3 and "".join(texts).count("word") == 4000
    assert all("time text" in text for text in texts[1:])


@pytest.mark.parametrize("count", range(30, 75))
def test_a_head_stays_with_what_follows_and_nothing_stands_alone(count, outside, tmp_path):
    lines = tuple(Paragraph(f"p{i}") for i in range(count))
    record_ = Record(
        "HIDE",
        "Record",
        "",
        (),
        (
            Section("notes", "First", lines),
            Section("odd", "Second", (table_of(6),)),
            Section("line", "Third", (Paragraph("word " * 60),)),
        ),
    )
    path = tmp_path / "one.pdf"
    path.write_bytes(record_pdf(record_, {}))
    for text in outside("pdftotext", "-raw", path, "-").decode().split("\f")[:-1]:
        body = text[: text.rindex("HIDE")].strip().splitlines()
        assert body[-1] not in ("First", "Second", "Third", "time value")
        assert len(body) > 1
        assert not body[-1].startswith("r0.") and body[0] != "r5."
        if body[-1].startswith("word"):
            assert body[-2].startswith("word")


def test_a_section_of_long_paragraphs_leaves_no_line_alone(pages):
    texts = pages(bare_record(*(Paragraph("word " * 130) for _ in range(80))))
    for text in texts[1:]:
        lines = text.strip().splitlines()
        full = max(map(len, lines))
        last = next(i for i, line in enumerate(lines) if len(line) < full - 20)
        assert last != 0  # the last line of a paragraph does not begin a page alone


@pytest.mark.parametrize("count", range(35, 44))
def test_what_is_said_of_a_drawing_stands_on_its_page(count, pages):
    name = Drawing(Picture(200.0, 60.0, (Label(5, 30, "drawn", "T", 12),)), "a name")
    lines = tuple(Paragraph(f"p{i}") for i in range(count))
    texts = pages(bare_record(*lines, name, Paragraph("as drawn"), *lines))
    (page,) = (text for text in texts if "as drawn" in text)
    assert "drawn\nas drawn" in page


@pytest.mark.parametrize("width", [300.0, 680.0, 2100.0])
def test_a_drawing_is_as_wide_as_the_text_at_most_and_a_wide_one_is_sliced(
    width, outside, tmp_path
):
    shapes = tuple(
        one
        for x in range(0, int(width), 100)
        for one in (Label(x, 20, f"x{x}", "T", 12), Line(x, 30, x, 90, "ink", 1))
    )
    path = tmp_path / "one.pdf"
    path.write_bytes(record_pdf(bare_record(Drawing(Picture(width, 100.0, shapes), "a line")), {}))
    told = outside("pdftotext", "-bbox", path, "-").decode()
    words_ = re.findall(r'xMin="([\d.]+)".*?xMax="([\d.]+)".*?>x(\d+)<', told)
    assert {int(name) for *_, name in words_} == set(range(0, int(width), 100))
    room = PAPERS["a4"]
    assert all(float(right) >= room.side - 1 for _, right, _ in words_)
    assert all(float(left) <= room.width - room.side for left, *_ in words_)
    if width <= 680:
        (at,) = [float(left) for left, _, name in words_ if name == "200"]
        scale = min(0.75, room.inner / width)
        assert at == pytest.approx(room.side + 200 * scale, abs=1)
