"""Letters for a PDF: what a face's file holds, and a face as a document embeds it.

A face goes in whole, as a CID-keyed TrueType font (ISO 32000-1, 9.7.4). Every character that is
written gets a code of its own, whatever glyph it is drawn by: so a letter that the face lacks is
drawn as the box and copied as itself.

Sources: TrueType tables ``head``, ``hhea``, ``hmtx``, ``OS/2``, ``post``, ``name`` and ``cmap``
format 4 as fontTools reads them, which a test compares; entries of font dictionaries from
ISO 32000-1, 9.7 to 9.10 (from memory).
"""

from __future__ import annotations

import unicodedata
import zlib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib.resources import files
from struct import unpack_from

from attrs import frozen

from engine.showable import showable
from fieldapp.faces import FACES

BOX = 0
"""the glyph for what a face lacks"""
SELECTORS = (range(0xFE00, 0xFE10), range(0xE0100, 0xE01F0))
"""which shape of the letter before is meant; never drawn"""
MOST_CODES = 0xFFFF


@frozen(eq=False)
class Typeface:
    """One font file. Lengths in thousandths of an em; ``widths`` by glyph."""

    name: str
    packed: bytes
    """the file, compressed"""
    size: int
    """of the file. [bytes]"""
    glyphs: Mapping[str, int]
    widths: tuple[float, ...]
    box: tuple[float, float, float, float]
    ascent: float
    descent: float
    capital: float
    slant: float
    weight: int

    def glyph(self, letter: str) -> int:
        """What a letter is drawn by; spaces of other widths, and what is not seen, by the space."""
        if _is_unseen(letter) or (letter not in self.glyphs and _is_space(letter)):
            return self.glyphs[" "]
        return self.glyphs.get(letter, BOX)

    def advance(self, letter: str) -> float:
        """How far a letter moves on. [1/1000 em]"""
        return 0 if _is_unseen(letter) else self.widths[self.glyph(letter)]

    def width(self, size: float, text: str) -> float:
        """Width of one line as it is written. [unit of ``size``]

        >>> typeface("T").width(100, "124")   # three digits of 0.560 em
        168.0
        """
        known = _advances(self)
        total = 0.0
        for letter in text:
            one = known.get(letter)
            if one is None:
                one = known[letter] = self.advance(letter)
            total += one
        return size * total / 1000


@cache
def _advances(_: Typeface) -> dict[str, float]:
    """The widths that were asked for."""
    return {}


@cache
def _is_unseen(letter: str) -> bool:
    """Joiners, soft hyphens and the like: they say how their neighbours are drawn."""
    return unicodedata.category(letter) == "Cf" or any(ord(letter) in one for one in SELECTORS)


def _is_space(letter: str) -> bool:
    return unicodedata.category(letter) == "Zs"


@cache
def typeface(face: str) -> Typeface:
    """A face by its short name, a key of ``faces.FACES``. Raises KeyError where there is none."""
    return read(files("fieldapp").joinpath("assets", FACES[face].file).read_bytes())


def plain(text: str) -> str:
    """A text as it is written: showable, in one line, letters and their marks as one where there
    is such a letter.

    >>> len(plain("Cafe\u0301"))
    4
    """
    return unicodedata.normalize("NFC", showable(text).replace("\n", " "))


def lacking(text: str) -> set[str]:
    """The letters of a text that stand as boxes; all faces have the same letters.

    >>> sorted(lacking("Hide 41 Ω"))
    []
    """
    face = typeface("T")
    return {one for one in set(plain(text)) if face.glyph(one) == BOX}


# ---------------------------------------------------------------- the file


def read(data: bytes) -> Typeface:
    """What a PDF wants to know of a TrueType file."""
    count = unpack_from(">H", data, 4)[0]
    tables = {
        data[at : at + 4]: unpack_from(">II", data, at + 8) for at in range(12, 12 + 16 * count, 16)
    }

    def part(tag: bytes) -> bytes:
        at, size = tables[tag]
        return data[at : at + size]

    head, hhea, sizes, post = part(b"head"), part(b"hhea"), part(b"OS/2"), part(b"post")
    em = 1000 / unpack_from(">H", head, 18)[0]
    return Typeface(
        name=_name(part(b"name"), 6),
        packed=zlib.compress(data, 6),
        size=len(data),
        glyphs=_glyphs(part(b"cmap")),
        widths=tuple(one * em for one in _widths(hhea, part(b"hmtx"), part(b"maxp"))),
        box=tuple(one * em for one in unpack_from(">4h", head, 36)),
        ascent=unpack_from(">h", hhea, 4)[0] * em,
        descent=unpack_from(">h", hhea, 6)[0] * em,
        capital=unpack_from(">h", sizes, 88)[0] * em,
        slant=unpack_from(">i", post, 4)[0] / 0x10000,
        weight=unpack_from(">H", sizes, 4)[0],
    )


def _widths(hhea: bytes, hmtx: bytes, maxp: bytes) -> list[int]:
    """Of each glyph; the last that is told holds for all behind it."""
    told: int = unpack_from(">H", hhea, 34)[0]
    every: int = unpack_from(">H", maxp, 4)[0]
    widths: list[int] = [unpack_from(">H", hmtx, 4 * i)[0] for i in range(told)]
    return widths + widths[-1:] * (every - told)


def _name(table: bytes, number: int) -> str:
    """The Windows name of this number."""
    count, strings = unpack_from(">HH", table, 2)
    for at in range(6, 6 + 12 * count, 12):
        platform, _, _, which, size, offset = unpack_from(">6H", table, at)
        if (platform, which) == (3, number):
            return table[strings + offset : strings + offset + size].decode("utf-16-be")
    raise ValueError(f"a font file without a name {number}")


def _glyphs(table: bytes) -> dict[str, int]:
    """Character to glyph, from the format 4 subtable."""
    for at in range(4, 4 + 8 * unpack_from(">H", table, 2)[0], 8):
        start = unpack_from(">I", table, at + 4)[0]
        if unpack_from(">H", table, start)[0] == 4:
            return dict(_mapped(table[start:]))
    raise ValueError("a font file without a character map of format 4")


def _mapped(map_: bytes) -> Iterator[tuple[str, int]]:
    twice = unpack_from(">H", map_, 6)[0]
    columns = [14 + twice * i + 2 * (i > 0) for i in range(4)]
    for row in range(0, twice, 2):
        end, start, delta, offset = (unpack_from(">H", map_, at + row)[0] for at in columns)
        for point in range(start, min(end, 0xFFFE) + 1):
            glyph = point
            if offset:
                place = columns[3] + row + offset + 2 * (point - start)
                glyph = unpack_from(">H", map_, place)[0]
                if glyph == 0:
                    continue
            if found := (glyph + delta) & 0xFFFF:
                yield chr(point), found


# ---------------------------------------------------------------- in a document


class Letters:
    """A face within one document: the codes of the letters that were written."""

    def __init__(self, face: str) -> None:
        self.face = typeface(face)
        self.codes: dict[str, int] = {}

    def written(self, text: str) -> str:
        """The text as the hexadecimal string of its codes."""
        codes = self.codes
        out = []
        for letter in text:
            code = codes.get(letter)
            if code is None:
                code = len(codes) + 1
                if code > MOST_CODES:
                    code = BOX
                else:
                    codes[letter] = code
            out.append(f"{code:04X}")
        return f"<{''.join(out)}>"

    def widths(self) -> list[str]:
        """Of each code from 1 on. [1/1000 em]"""
        return [f"{self.face.advance(letter):g}" for letter in self.codes]

    def to_glyphs(self) -> bytes:
        """The map from code to glyph, two bytes each."""
        glyphs = (BOX, *(self.face.glyph(letter) for letter in self.codes))
        return b"".join(glyph.to_bytes(2, "big") for glyph in glyphs)

    def to_unicode(self) -> bytes:
        """The map from code to character, for whoever copies or searches."""
        rows = [
            f"<{code:04X}> <{letter.encode('utf-16-be').hex().upper()}>"
            for letter, code in self.codes.items()
        ]
        blocks = (rows[at : at + 100] for at in range(0, len(rows), 100))
        body = "\n".join(
            f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar" for block in blocks
        )
        return (
            "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n"
            "/CIDSystemInfo <</Registry (Adobe) /Ordering (UCS) /Supplement 0>> def\n"
            "/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n"
            "1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n"
            f"{body}\nendcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
        ).encode("ascii")
