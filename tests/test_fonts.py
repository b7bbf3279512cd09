"""The font files, the table of widths taken from them, and the licences they come under."""

import ast
import hashlib
import json
import re
import struct
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.ttLib import TTFont

import fieldapp.faces
from fieldapp.faces import FACES, font_files, text_width

PACKAGE = Path(fieldapp.faces.__file__).parent
ASSETS = PACKAGE / "assets"
LICENCES = PACKAGE / "licences"

# What the app's words and figures need beyond letters and digits.
NEEDED = "Ωµ→←↑↓≥≤±°×−½≈·‹›…’“”–\u00a0"
# The wish for weight, slope and digit width, said here a second time, away from the build script.
WANTED = {
    "T": ("Farend Text", 400, False, 560),
    "TM": ("Farend Text", 500, False, 560),
    "TB": ("Farend Text", 600, False, 560),
    "TI": ("Farend Text", 400, True, 560),
    "TMI": ("Farend Text", 500, True, 560),
    "P": ("Farend Plate", 400, False, 504),
    "PM": ("Farend Plate", 500, False, 504),
    "PB": ("Farend Plate", 600, False, 504),
}
# SHA-256 of the two licences' words, single spaces between them; each was compared with a second
# copy of the licence from elsewhere.
OFL_WORDS = "65a67a379d9157a5d3e26b95313206afe983db9743688fc98d9545c9f24bbe7d"
MIT_WORDS = "fe2a9817987f862eaced948f0468c7f51d2fedfc48c5c505b246a49a3870e9a5"


@pytest.fixture(scope="module")
def fonts():
    return {face: TTFont(ASSETS / FACES[face].file) for face in FACES}


@pytest.fixture(params=sorted(WANTED))
def face(request):
    return request.param


@pytest.fixture
def font(fonts, face):
    return fonts[face]


def kerning(font, left, right):
    """Every kerning value the font holds for two glyphs side by side. [font units]"""
    found = []
    for lookup in font["GPOS"].table.LookupList.Lookup:
        for table in lookup.SubTable:
            # A table too far away for a short offset is wrapped in an extension.
            pair = getattr(table, "ExtSubTable", table)
            if pair.LookupType != 2 or left not in pair.Coverage.glyphs:
                continue
            if pair.Format == 1:
                sets = pair.PairSet[pair.Coverage.glyphs.index(left)].PairValueRecord
                values = [record.Value1 for record in sets if record.SecondGlyph == right]
            else:
                first = pair.Class1Record[pair.ClassDef1.classDefs.get(left, 0)]
                second = first.Class2Record[pair.ClassDef2.classDefs.get(right, 0)]
                values = [second.Value1]
            found += [value.XAdvance for value in values if value and hasattr(value, "XAdvance")]
    return found


def test_faces_are_the_eight_of_the_design():
    """Eight short names, each with a file that is there and a family nobody else has."""
    assert set(FACES) == set(WANTED)
    assert {f"fonts/{path.name}" for path in (ASSETS / "fonts").glob("*.ttf")} == {
        face.file for face in FACES.values()
    }
    assert len(font_files()) == len(FACES)


def test_file_is_truetype_of_the_weight_and_slope_it_is_named_for(font, face):
    """The file holds the weight and slope its name promises, with TrueType outlines."""
    family, weight, italic, _ = WANTED[face]
    assert "glyf" in font
    assert font["OS/2"].usWeightClass == weight
    assert bool(font["head"].macStyle & 2) is italic
    slope = "-italic" if italic else ""
    assert FACES[face].file == f"fonts/{family.lower().replace(' ', '-')}-{weight}{slope}.ttf"


def test_font_carries_its_own_name_and_not_the_originals(font, face):
    """Family and full name are Farend's; the original's name is left in the trade mark line only."""
    names = font["name"]
    assert names.getDebugName(16) == WANTED[face][0]
    assert names.getDebugName(4) == FACES[face].family
    assert names.getDebugName(6).startswith(WANTED[face][0].replace(" ", ""))
    original = {record.nameID for record in names.names if "fira" in str(record).lower()}
    assert original == {7}


def test_all_ten_digits_are_equally_wide(font, face):
    """Digits share one advance width, so a changing figure does not move its neighbours."""
    characters = font.getBestCmap()
    advances = {font["hmtx"][characters[ord(digit)]][0] for digit in "0123456789"}
    assert font["head"].unitsPerEm == 1000
    assert advances == {WANTED[face][3]}


def test_no_kerning_between_digits(font):
    """Kerning, which is there for letters, never moves one digit towards another."""
    characters = font.getBestCmap()
    digits = [characters[ord(digit)] for digit in "0123456789"]
    assert any(kerning(font, characters[ord("T")], characters[ord("o")]))
    moved = [(a, b) for a in digits for b in digits if any(kerning(font, a, b))]
    assert moved == []


def test_every_needed_character_is_there_and_drawn(font):
    """Each sign the app writes has a glyph, with an outline unless it is a space."""
    characters, glyphs = font.getBestCmap(), font.getGlyphSet()
    assert [sign for sign in NEEDED if ord(sign) not in characters] == []
    blank = []
    for sign in NEEDED:
        pen = DecomposingRecordingPen(glyphs)
        glyphs[characters[ord(sign)]].draw(pen)
        if not pen.value:
            blank.append(sign)
    assert blank == ["\u00a0"]


@pytest.mark.parametrize(
    "text",
    [
        "ÄÖÜäöüß àéîõñ åæø ÇçŁłŐőŘřŞşŽž",
        "Ελληνικά: τάση, ρεύμα",
        "Русский, Україна, Ґґ Її",
    ],
)
def test_names_in_latin_greek_and_cyrillic_can_be_written(font, text):
    """Names of people and places in three scripts need no other font."""
    assert [sign for sign in text if ord(sign) not in font.getBestCmap()] == []


def test_missing_character_shows_a_box(font):
    """The glyph for an unknown character has an outline, or a lost sign would go unseen."""
    assert font["glyf"][".notdef"].numberOfContours > 0


def test_eight_files_stay_small():
    """A phone fetches all eight once: together they stay below 650 kB."""
    assert sum((ASSETS / face.file).stat().st_size for face in FACES.values()) < 650_000


def twin(face: str) -> Path:
    return (ASSETS / FACES[face].file).with_suffix(".woff2")


def test_every_face_has_a_small_twin_for_a_page(face):
    """A WOFF 2 file of TrueType outlines, as long as it says, at most two fifths of the original.

    Header: W3C, WOFF File Format 2.0, section 4.1.
    """
    data, original = twin(face).read_bytes(), (ASSETS / FACES[face].file).stat().st_size
    signature, flavor, length, tables, _, unpacked = struct.unpack(">4sIIHHI", data[:20])
    assert (signature, flavor, length) == (b"wOF2", 0x00010000, len(data))
    assert tables == len(TTFont(ASSETS / FACES[face].file).reader.keys())
    assert abs(unpacked - original) < original / 10
    assert len(data) < original * 2 / 5


def test_twins_of_all_faces_stay_small():
    """A page fetches all eight: together they stay below 230 kB, and there are no others."""
    twins = {twin(face) for face in FACES}
    assert {*(ASSETS / "fonts").glob("*.woff2")} == twins
    assert sum(path.stat().st_size for path in twins) < 230_000


def test_a_twin_holds_what_its_face_holds(font, face):
    """The same characters, widths, kerning and names; read where brotli is at hand."""
    pytest.importorskip("brotli", reason="brotli unpacks WOFF 2")
    other = TTFont(twin(face))
    assert other.getBestCmap() == font.getBestCmap()
    assert other["hmtx"].metrics == font["hmtx"].metrics
    assert other["name"].getDebugName(4) == font["name"].getDebugName(4)
    assert kerning(other, "T", "o") == kerning(font, "T", "o") != []


SPOKEN = ("fieldapp/words", "engine/phrases", "engine/sheets", "engine/standards")


def strings(source: str) -> list[str]:
    """Every string of a source but its docstrings."""
    tree = ast.parse(source)
    said = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    held = (node for node in ast.walk(tree) if isinstance(node, ast.Constant))
    return [one.value for one in held if isinstance(one.value, str) and id(one) not in said]


def test_strings_of_a_source_are_seen():
    source = '"""→"""\nA = f"{b} ✓"\ndef c():\n    """⚠"""\n    return {"x": "\\u2610"}\n'
    assert {*"".join(strings(source))} >= {"✓", "☐"}
    assert not {"→", "⚠"} & {*"".join(strings(source))}


def test_every_sentence_in_any_language_can_be_drawn(fonts):
    """All strings of the words, of what the engine says and names, and of the sample jobs, whether
    a test gets them said or not: a letter in no font sends a page to look for one outside.
    """
    root = PACKAGE.parent
    texts = {
        str(path): "".join(strings(path.read_text("utf-8")))
        for folder in SPOKEN
        for path in sorted((root / folder).rglob("*.py"))
    }
    for path in (root / "sample_jobs").rglob("*.json"):
        texts[str(path)] = str(json.loads(path.read_text("utf-8")))
    assert len(texts) > 100
    for name, font in fonts.items():
        known = {*map(chr, font.getBestCmap()), "\n", "\t"}
        lacking = {path: {*text} - known for path, text in texts.items() if {*text} - known}
        assert lacking == {}, name


def test_no_file_is_another_ones_copy():
    """Eight faces are eight different drawings."""
    digests = {hashlib.sha256((ASSETS / f.file).read_bytes()).digest() for f in FACES.values()}
    assert len(digests) == len(FACES)


def test_widths_table_agrees_with_the_files(fonts):
    """``widths.json`` holds exactly the advance widths of the committed files."""
    table = json.loads((ASSETS / "fonts/widths.json").read_text("utf-8"))
    assert set(table["faces"]) == set(FACES)
    for name, font in fonts.items():
        characters = font.getBestCmap()
        assert table["units_per_em"] == font["head"].unitsPerEm
        assert table["code_points"] == sorted(characters)
        advances = [font["hmtx"][characters[point]][0] for point in table["code_points"]]
        assert table["faces"][name]["advances"] == advances
        assert table["faces"][name]["missing"] == font["hmtx"][".notdef"][0]


def test_text_width_adds_up_the_advances(font, face):
    """A line is as wide as its characters' advances in the font file, times the size."""
    line = "43.7\u00a0Ω → Tower, point 2"
    characters = font.getBestCmap()
    units = sum(font["hmtx"][characters[ord(sign)]][0] for sign in line)
    assert text_width(face, 18, line) == pytest.approx(18 * units / 1000)


def test_text_width_of_a_big_reading():
    """By hand: 124 sp, three digits of 0.560 em, is 208.32."""
    assert text_width("TM", 124, "437") == pytest.approx(208.32)


def test_unknown_character_is_as_wide_as_the_box(font, face):
    """A sign of another script counts as the box that is drawn for it."""
    assert text_width(face, 1000, "漢") == pytest.approx(font["hmtx"][".notdef"][0])


def test_text_width_of_nothing_is_nothing():
    """No text has no width."""
    assert text_width("T", 20, "") == 0


def test_text_width_refuses_what_it_cannot_measure():
    """An unknown face and a negative size are refused, and the faces there are get named."""
    with pytest.raises(ValueError, match=r"no face 'TX': the faces are T, TM"):
        text_width("TX", 20, "a")
    with pytest.raises(ValueError, match="negative"):
        text_width("T", -1, "a")


def test_faces_measure_text_from_a_zip_without_any_library(tmp_path):
    """On a phone the package lies in a zip file, and neither Flet nor fontTools is needed."""
    archive = tmp_path / "site.zip"
    with zipfile.ZipFile(archive, "w") as packed:
        packed.writestr("fieldapp/__init__.py", "")
        for name in ("faces.py", "assets/fonts/widths.json"):
            packed.write(PACKAGE / name, f"fieldapp/{name}")
    script = (
        f"import sys; sys.path.insert(0, {str(archive)!r})\n"
        "from fieldapp import faces\n"
        "assert 'site.zip' in faces.__file__, faces.__file__\n"
        "print(faces.text_width('P', 100, '12'))\n"
    )
    # -S leaves out every installed package, -I the current folder.
    ran = subprocess.run(
        [sys.executable, "-I", "-S", "-c", script], capture_output=True, text=True, timeout=60
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.strip() == "100.8"


def test_font_licence_is_complete_and_names_the_holder(fonts):
    """The licence file holds each font's own copyright line and the whole of the OFL 1.1."""
    text = (LICENCES / "fira-ofl-1.1.txt").read_text("utf-8")
    for font in fonts.values():
        assert font["name"].getDebugName(0) in text
        assert "Open Font License, version 1.1" in font["name"].getDebugName(13)
    start = text.index("PREAMBLE")
    body = re.sub(r"\s+", " ", text[start:]).strip()
    assert "SIL OPEN FONT LICENSE Version 1.1 - 26 February 2007" in text[:start]
    assert hashlib.sha256(body.encode()).hexdigest() == OFL_WORDS


def test_own_licence_is_mit():
    """Farend's own licence is the MIT text, from its grant to its disclaimer."""
    text = (LICENCES / "farend-mit.txt").read_text("utf-8")
    assert "Copyright (c) 2026 The Farend contributors" in text
    words = re.sub(r"\s+", " ", text[text.index("Permission is") :]).strip()
    assert hashlib.sha256(words.encode()).hexdigest() == MIT_WORDS
