"""Pages on paper as a PDF: read back with fontTools, poppler and qpdf."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jpegs import made
from test_architecture import compiled, imported_by, modules

from engine.showable import showable
from fieldapp.drawing.marks import VERDICTS, mark
from fieldapp.drawing.shapes import Circle, Label, Line, Rect
from fieldapp.drawing.shapes import Path as Way
from fieldapp.drawing.tokens import SUN
from fieldapp.faces import FACES, text_width
from fieldapp.handover.pdf import A4, LETTER, Document, lacking, plain, typeface
from fieldapp.handover.pdf.lines import broken
from fieldapp.handover.pdf.objects import date
from fieldapp.handover.pdf.strokes import n, painted
from fieldapp.handover.pdf.tables import shares
from fieldapp.handover.turned import runs, visual

ROOT = Path(__file__).parent.parent
INK = {"ink": "#000000", "paper": "#FFFFFF"}
HEBREW = "\u05d0\u05d1\u05d2"
ODD = ("\U0001f9f0", HEBREW, "\u4e2d\u6587", "\u0627\u0628")


def one_page(*, size: tuple[float, float] = A4, **of: str) -> tuple[Document, object]:
    document = Document("Record of a hide", **of)
    return document, document.page(*size)


# ---------------------------------------------------------------- letters


@pytest.mark.parametrize("face", FACES)
def test_a_face_is_read_as_fonttools_reads_it(face):
    ttlib = pytest.importorskip("fontTools.ttLib")
    font = ttlib.TTFont(ROOT / "fieldapp/assets" / FACES[face].file)
    ours = typeface(face)
    names, order = font.getBestCmap(), font.getReverseGlyphMap()
    assert ours.glyphs == {chr(point): order[name] for point, name in names.items()}
    assert ours.widths == tuple(font["hmtx"][name][0] for name in font.getGlyphOrder())
    assert ours.name == font["name"].getDebugName(6)
    head = font["head"]
    assert ours.box == (head.xMin, head.yMin, head.xMax, head.yMax)
    assert (ours.ascent, ours.descent) == (font["hhea"].ascent, font["hhea"].descent)
    assert (ours.capital, ours.weight) == (font["OS/2"].sCapHeight, font["OS/2"].usWeightClass)
    assert ours.slant == font["post"].italicAngle


@given(st.sampled_from(sorted(FACES)), st.text(sorted(typeface("T").glyphs), max_size=30))
def test_a_text_is_as_wide_as_drawings_take_it_for(face, text):
    seen = "".join(letter for letter in text if typeface(face).advance(letter))
    assert typeface(face).width(10, seen) == pytest.approx(text_width(face, 10, seen))


def test_what_is_never_seen_takes_no_room():
    assert typeface("T").width(10, "\u200d\ufe0f\u00ad\u200b") == 0
    assert typeface("T").width(10, "\u202f") == typeface("T").width(10, " ")
    assert not lacking("a\u202fb\u200d")


def test_letters_that_are_lacking_are_told():
    assert lacking("Hide 41 Ω, Ж, Cafe\u0301") == set()
    assert lacking("".join(ODD)) == set("".join(ODD))


@given(st.text(max_size=30))
def test_every_letter_has_a_code_of_its_own(text):
    document, page = one_page()
    page.text(10, 10, text)
    letters = document.letters("T") if text else None
    codes = letters.codes if letters else {}
    assert set(codes) == set(visual(plain(text)))
    assert sorted(codes.values()) == list(range(1, len(codes) + 1))
    document.file()


@pytest.mark.parametrize(
    "text", [*ODD, "Cafe\u0301", "Ω µ \u00b5 \u2126", "“41” — ½", "fi ffi", "Жук ąő"]
)
def test_a_text_is_copied_as_it_was_written(text, read):
    document, page = one_page()
    page.text(50, 100, f"of {text} at", "P", 12)
    said = read(document, "pdftotext")
    assert "".join(showable(said).split()) == "".join(plain(f"of {text} at").split())


def test_two_letters_of_one_glyph_are_copied_apart(read):
    document, page = one_page()
    page.text(50, 100, "\u4e2d\u6587\U0001f9f0x")
    assert "\u4e2d\u6587\U0001f9f0x" in read(document, "pdftotext")


def test_a_name_from_right_to_left_moves_nothing_beside_it(read):
    document, page = one_page()
    page.text(50, 100, f"By {HEBREW} 12 R1.in")
    said = showable(read(document, "pdftotext"))
    assert re.fullmatch(rf"By\s+{HEBREW}\s*12 R1.in", said.strip())


def test_figures_within_are_not_turned():
    assert visual(f"{HEBREW} 12 {HEBREW}") == "\u05d2\u05d1\u05d0 12 \u05d2\u05d1\u05d0"
    assert visual(f"By {HEBREW} 12") == "By \u05d2\u05d1\u05d0 12"
    assert visual("\u05d0\u05b8\u05d1") == "\u05d1\u05d0\u05b8"


@given(st.text(max_size=40))
def test_turning_loses_no_letter(text):
    assert sorted(visual(text)) == sorted(text)
    assert "".join(piece for piece, _ in runs(text)) == text


def test_only_faces_that_are_used_go_in_and_all_are_embedded(read):
    document, page = one_page()
    page.text(10, 50, "plain")
    page.draw((Label(10, 80, "narrow", "PB", 9),), INK)
    rows = read(document, "pdffonts").splitlines()[2:]
    assert sorted(row.split()[0] for row in rows) == ["FarendPlate-SemiBold", "FarendText-Regular"]
    for row in rows:
        embedded, subset, unicode_ = row.split()[-5:-2]
        assert (embedded, subset, unicode_) == ("yes", "no", "yes")
        assert "CID TrueType" in row and "Identity-H" in row


# ---------------------------------------------------------------- breaking


@given(st.text(max_size=200), st.floats(20, 300), st.floats(0, 20))
def test_a_broken_text_fits_and_loses_nothing_but_spaces(text, width, indent):
    lines = broken(text, "T", 10, width, indent)
    face = typeface("T")
    for i, line in enumerate(lines):
        room = width - (indent if i == 0 else 0)
        assert len(line) <= 1 or face.width(10, line) <= room + 1e-6 or len(line) == 2
    gaps = re.compile("[ \u2003\u2009]+")
    assert gaps.sub("", "".join(lines)) == gaps.sub("", plain(text))


def test_a_word_longer_than_a_line_is_broken_anywhere():
    lines = broken("by " + "W" * 190, "T", 10, 100)
    assert lines[0] == "by" and "".join(lines[1:]) == "W" * 190
    assert max(map(len, lines)) == len(lines[1])


@given(
    st.lists(st.tuples(st.floats(0, 400), st.floats(0, 3000)), min_size=1, max_size=9),
    st.floats(100, 600),
)
def test_columns_share_the_room_out(needs, room):
    widths = shares(needs, room)
    assert sum(widths) <= room + 1e-6 and min(widths) >= 0
    if sum(max(low, high) for low, high in needs) >= 1:
        assert sum(widths) == pytest.approx(room)


def test_a_column_of_short_texts_is_not_broken_for_a_long_one():
    short, long = shares([(40, 90), (60, 4000)], 500)
    assert short == 90 and long == 410


# ---------------------------------------------------------------- drawings


@pytest.mark.parametrize("colours", [SUN, INK])
def test_marks_and_every_kind_of_shape_are_drawn(colours, read):
    document, page = one_page()
    if colours is SUN:
        page.draw([one for name in VERDICTS for one in mark(name, 10, 10)], SUN, 50, 50, 2.0)
    page.draw(
        (
            Way(((0, 0), (9, 9), (0, 9)), True, "ink", "ink", 1.0, (2.0, 1.0), "round"),
            Line(0, 0, 50, 50, "ink", 1.0, cap="round"),
            Circle(20, 20, 5, "ink", None),
            Rect(0, 0, 30, 20, None, "ink", 1.0, None, 6.0),
            Rect(0, 0, 30, 20),
            Label(20, 20, "41 V", "TB", 12, halo="ink", rotate=90.0, anchor="end"),
        ),
        colours,
        100,
        100,
    )
    assert read(document, "pdftotext", "-raw").split() == ["41", "V"]


def test_y_grows_downwards_from_the_top_left_corner(pixels):
    document, page = one_page(size=(40, 60))
    page.draw((Rect(2, 3, 10, 4, "ink"),), INK, 4, 5, 2.0)
    rows = pixels(document)
    dark = [(x, y) for y, row in enumerate(rows) for x, one in enumerate(row) if one < 128]
    assert (min(dark), max(dark)) == ((8, 11), (27, 18))
    assert len(dark) == 20 * 8


def test_a_window_shows_only_what_lies_in_it(pixels):
    document, page = one_page(size=(40, 60))
    page.draw((Rect(0, 0, 100, 100, "ink"),), INK, 10, 20, 1.0, (50.0, 60.0, 12.0, 5.0))
    dark = [(x, y) for y, row in enumerate(pixels(document)) for x, v in enumerate(row) if v < 128]
    assert (min(dark), max(dark), len(dark)) == ((10, 20), (21, 24), 60)


def test_bars_that_touch_leave_no_seam(pixels):
    document, page = one_page(size=(60, 60))
    page.bars([(0, y, 5) for y in range(5)], 7.3, 7.3, 8.1)
    rows = pixels(document)
    assert all(rows[y][x] < 128 for x in range(9, 46) for y in range(9, 46))


def test_a_label_stands_where_it_is_anchored_and_turns_clockwise(pixels):
    def dark(anchor: str, rotate: float) -> tuple[int, int, int, int]:
        document, page = one_page(size=(200, 200))
        page.draw((Label(100, 100, "HHHH", "TB", 20, anchor=anchor, rotate=rotate),), INK)
        seen = [
            (x, y) for y, row in enumerate(pixels(document)) for x, v in enumerate(row) if v < 99
        ]
        xs, ys = zip(*seen, strict=True)
        return min(xs), min(ys), max(xs), max(ys)

    wide = text_width("TB", 20, "HHHH")
    left, top, right, foot = dark("start", 0)
    assert left == pytest.approx(100, abs=3) and right == pytest.approx(100 + wide, abs=3)
    assert (top + foot + 1) / 2 == pytest.approx(100, abs=1)
    assert foot - top + 1 == pytest.approx(0.69 * 20, abs=1.5)
    left, _, right, _ = dark("middle", 0)
    assert (left + right) / 2 == pytest.approx(100, abs=1.5)
    left, top, right, foot = dark("start", 90)
    assert top == pytest.approx(100, abs=3) and foot == pytest.approx(100 + wide, abs=3)
    assert (left + right + 1) / 2 == pytest.approx(100, abs=1)


def test_a_token_that_the_table_lacks_is_refused():
    _, page = one_page()
    with pytest.raises(KeyError):
        page.draw((Circle(1, 1, 1, "tide"),), INK)


@given(st.floats(-1e6, 1e6))
def test_a_number_is_written_to_the_thousandth_without_an_exponent(value):
    assert re.fullmatch(r"-?\d+(\.\d{1,3})?", n(value))
    assert float(n(value)) == pytest.approx(value, abs=0.0006)


def test_what_has_neither_fill_nor_stroke_is_nothing():
    assert painted(Rect(0, 0, 3, 3), INK) == painted(Circle(0, 0, 3, None, "ink", 0.0), INK) == ""


# ---------------------------------------------------------------- the document


@pytest.mark.parametrize(
    ("size", "named"), [(A4, "(A4)"), (LETTER, "(letter)"), ((99, 68), "99 x 68")]
)
def test_title_language_date_and_size_are_told(size, named, read):
    document, _ = one_page(size=size, made="2031-05-04T08:12+02:00", about="HIDE-1")
    told = read(document, "pdfinfo", "-isodates")
    assert "Title:           Record of a hide\n" in told
    assert "CreationDate:    2031-05-04T08:12:00+02\n" in told
    assert named in told
    whole = json.loads(read(document, "qpdf", "--json", "--json-key=qpdf"))["qpdf"][1]
    (catalog,) = [
        one["value"]
        for one in whole.values()
        if isinstance(one.get("value"), dict) and one["value"].get("/Type") == "/Catalog"
    ]
    assert catalog["/Lang"] == "u:en-GB"
    assert catalog["/ViewerPreferences"] == {"/DisplayDocTitle": True}
    meta = read(document, "pdfinfo", "-meta")
    assert '<rdf:li xml:lang="x-default">Record of a hide</rdf:li>' in meta


def test_a_time_without_a_zone_is_no_date():
    assert date(None) == date("") == date("2031-05-04T08:12") == ""
    assert date("2031-05-04T08:12:40.250Z") == "D:20310504081240Z"


def test_bookmarks_stand_in_a_tree_of_two_levels(read):
    document, page = one_page()
    other = document.page(*LETTER)
    document.mark("One \u05d0 <b>", page, 50)
    document.mark("below", page, 80, 1)
    document.mark("below too", other, 80, 1)
    document.mark("Two", other, 90)
    told = json.loads(read(document, "qpdf", "--json", "--json-key=outlines"))["outlines"]
    assert [one["title"] for one in told] == ["One \u05d0 <b>", "Two"]
    assert [one["title"] for one in told[0]["kids"]] == ["below", "below too"]
    assert [one["destpageposfrom1"] for one in (*told, *told[0]["kids"])] == [1, 2, 1, 2]


def test_the_same_content_is_the_same_bytes():
    def file() -> bytes:
        document, page = one_page(made="2031-05-04T08:12Z")
        page.text(10, 10, f"41 V {HEBREW}")
        page.picture(document.picture(made("baseline")), 10, 10, 20, 20)
        document.mark("One", page, 5)
        return document.file()

    assert file() == file()
    document, page = one_page()
    page.text(10, 10, "41 V")
    assert document.file() == document.file()


def test_a_hostile_title_is_a_title(read):
    title = "(]>>\\ \U0001f9f0 \u202e <script> \ud800"
    document = Document(title)
    document.page(*A4)
    assert "<script>" in read(document, "pdfinfo")


def test_an_empty_document_of_one_page_is_whole(read):
    document, _ = one_page()
    assert "Pages:           1\n" in read(document, "pdfinfo")


# ---------------------------------------------------------------- nothing compiled

BARRED = """
import sys

class Guard:
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in {"PIL", "fontTools", "numpy"}:
            raise ImportError(f"{name} is barred")
        return None

sys.meta_path.insert(0, Guard())
from fieldapp.handover.pdf import A4, Document
document = Document("Record")
page = document.page(*A4)
page.text(10, 10, "41 V")
assert document.file().startswith(b"%PDF-1.7")
for name in ("PIL", "fontTools", "numpy"):
    assert name not in sys.modules
print("made")
"""


def test_it_is_made_where_no_picture_library_can_be_imported():
    done = subprocess.run(
        [sys.executable, "-c", BARRED], capture_output=True, text=True, cwd=ROOT, check=False
    )
    assert (done.returncode, done.stdout) == (0, "made\n"), done.stderr


def test_nothing_compiled_comes_in_with_it():
    rows = imported_by(*modules("fieldapp/handover/pdf"))
    assert "pydyf" in rows and compiled(rows) == {}
