"""The app's own mark: drawn anew it is what is kept, and it has the sizes phones ask for."""

from __future__ import annotations

import json
import re
import struct
import zlib
from math import hypot
from typing import NamedTuple

import pytest

from fieldapp import webclient, words
from fieldapp.assets.icons import build_icons
from fieldapp.assets.icons.build_icons import ASSETS, PICTURES, rgb
from fieldapp.drawing.tokens import SUN
from fieldapp.phone.manifest import manifest


class Pixels(NamedTuple):
    """A PNG taken apart by this test: its rows of bytes, so many to a pixel."""

    rows: list[bytes]
    step: int

    def at(self, x: int, y: int) -> bytes:
        """One pixel."""
        return self.rows[y][x * self.step : x * self.step + self.step]


def undone(data: bytes) -> Pixels:
    """Read a PNG as its specification says, and no other kind than ours."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    place, chunks = 8, {}
    while place < len(data):
        (size,) = struct.unpack_from(">I", data, place)
        name, body = data[place + 4 : place + 8], data[place + 8 : place + 8 + size]
        (checksum,) = struct.unpack_from(">I", data, place + 8 + size)
        assert checksum == zlib.crc32(name + body)
        chunks[name] = body
        place += size + 12
    assert list(chunks) == [b"IHDR", b"IDAT", b"IEND"]
    width, height, depth, kind, *rest = struct.unpack(">IIBBBBB", chunks[b"IHDR"])
    assert width == height and depth == 8 and rest == [0, 0, 0]
    step = {2: 3, 6: 4}[kind]
    raw, line = zlib.decompress(chunks[b"IDAT"]), width * step + 1
    assert len(raw) == height * line and not any(raw[::line])  # no row is filtered
    return Pixels([raw[start + 1 : start + line] for start in range(0, len(raw), line)], step)


KEPT = {name: undone((ASSETS / name).read_bytes()) for name in PICTURES}
INK, GROUND = (bytes(rgb(SUN[name])) for name in ("ink", "ground"))


def touched(name: str) -> list[tuple[int, int, int]]:
    """Each row that the mark touches: its first pixel, the one behind its last, the row."""
    pixels, out = KEPT[name], []
    empty = pixels.at(0, 0)
    for y, row in enumerate(pixels.rows):
        if row != empty * len(pixels.rows):
            marks = [x for x in range(len(pixels.rows)) if pixels.at(x, y) != empty]
            out.append((marks[0], marks[-1] + 1, y))
    return out


@pytest.mark.parametrize("name", PICTURES)
def test_what_is_kept_is_what_would_be_drawn(name):
    assert len(KEPT[name].rows) == PICTURES[name].side
    assert KEPT[name].rows == build_icons.rows_of(PICTURES[name])


def test_the_mark_is_the_one_of_the_page():
    kept = (ASSETS / "icons/farend.svg").read_text("utf-8")
    assert build_icons.SVG == kept == webclient.ICON


def test_the_smallest_is_the_mark_as_its_file_says():
    """The box's edges lie on whole pixels; the cable is a stroke of 3 that begins at 2, 10."""
    at = KEPT["icons/favicon-32.png"].at
    inside = {(x, y) for y in range(15, 27) for x in range(18, 30) if x - 26 < y - 15}
    assert {at(x, y) for x, y in inside} == {INK}
    outside = [(24, 14), (24, 27), (30, 20), (29, 15), (1, 9), (2, 12)]
    assert {at(x, y) for x, y in outside} == {GROUND}
    assert at(2, 9) == at(2, 10) == INK
    assert all(min(a, b) < c < max(a, b) for a, b, c in zip(INK, GROUND, at(2, 8), strict=True))


@pytest.mark.parametrize("name", [name for name in PICTURES if name.startswith("icons/")])
def test_a_phone_sees_through_none_of_its_icons(name):
    """Where a corner could be seen through, a phone puts black or white."""
    pixels, end = KEPT[name], PICTURES[name].side - 1
    assert pixels.step == 3
    assert {pixels.at(x, y) for x in (0, end) for y in (0, end)} == {GROUND}


def test_whatever_shape_is_cut_out_the_mark_stays_whole():
    name = "icons/icon-maskable-512.png"
    side = PICTURES[name].side
    corners = [(x, y + n) for first, end, y in touched(name) for x in (first, end) for n in (0, 1)]
    far = max(hypot(x - side / 2, y - side / 2) for x, y in corners)
    assert 0.36 * side < far < 0.40 * side  # within the circle of 80 %, no smaller than need be


@pytest.mark.parametrize("name", PICTURES)
def test_the_mark_stands_in_the_middle_of_its_picture(name):
    side, rows = PICTURES[name].side, touched(name)
    left, right = min(row[0] for row in rows), side - max(row[1] for row in rows)
    above, below = rows[0][2], side - 1 - rows[-1][2]
    assert min(left, right, above, below) > 0.05 * side
    assert abs(left - right) <= 1
    if PICTURES[name].reach is not None:
        assert abs(above - below) <= 1


def test_the_manifest_names_pictures_that_are_there_at_their_sizes():
    icons = manifest()["icons"]
    assert {icon["src"] for icon in icons} >= {"icons/icon-192.png", "icons/icon-512.png"}
    assert [icon["src"] for icon in icons if icon["purpose"] == "maskable"] == [
        "icons/icon-maskable-512.png"
    ]
    for icon in icons:
        path = ASSETS / icon["src"]
        assert path.is_file()
        if icon["type"] == "image/png":
            assert icon["sizes"] == "{0}x{0}".format(PICTURES[icon["src"]].side)


def test_the_manifest_is_plain_and_holds_no_place():
    """It must work in any folder of any host."""
    kept = manifest()
    assert json.loads(json.dumps(kept)) == kept
    assert kept["start_url"] == kept["scope"] == "." and kept["display"] == "standalone"
    links = [kept["start_url"], kept["scope"], *(icon["src"] for icon in kept["icons"])]
    assert not [link for link in links if link.startswith("/") or ":" in link]
    assert "id" not in kept  # it would be the host's, and two folders one app
    assert kept["name"] == kept["short_name"] == words.FIXED.title
    assert kept["background_color"] == kept["theme_color"] == SUN["ground"]
    assert re.fullmatch(r"[A-Z][^/]+\.", kept["description"]) and kept["lang"] == "en"


def test_the_manifest_is_the_same_in_every_language():
    before = manifest()
    with words.speaking(words.Manner("de")):
        assert manifest() == before
