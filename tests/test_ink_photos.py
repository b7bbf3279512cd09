"""JPEG pictures in a PDF: unchanged, once, upright; what no reader could draw is none."""

from __future__ import annotations

import pytest
from jpegs import ADOBE, GREYS, HIGH, ICC, JFIF, WIDE, made, oriented, segment

from fieldapp.handover.pdf import A4, Document
from fieldapp.handover.pdf.photos import UPRIGHT


def one_page(size: tuple[float, float] = A4) -> tuple[Document, object]:
    document = Document("Record of a hide")
    return document, document.page(*size)


KINDS = {
    "grey": made("baseline"),
    "jfif": made("progressive", JFIF, ICC),
    "colours": made("colours"),
    "restarts": made("restarts"),
}


@pytest.mark.parametrize("kind", KINDS)
def test_a_picture_goes_in_unchanged_and_once(kind, outside, tmp_path):
    data = KINDS[kind]
    document, page = one_page()
    for at in (50, 300):
        picture = document.picture(bytes(data))
        page.picture(picture, at, 50, picture.width, picture.height)
    assert (picture.width, picture.height) == (WIDE, HIGH)
    file = tmp_path / "one.pdf"
    file.write_bytes(document.file())
    assert file.read_bytes().count(data) == 1
    outside("qpdf", "--check", file)
    outside("pdfimages", "-all", file, tmp_path / "out")
    found = sorted(tmp_path.glob("out*"))
    assert [one.suffix for one in found] == [".jpg"] * 2  # it is drawn twice
    assert all(one.read_bytes() == data for one in found)


def four_components() -> bytes:
    """The header of a picture in four colours; its scan is of no concern here."""
    grey = made("baseline", ADOBE)
    rows = b"".join(bytes((number, 0x11, 0)) for number in range(1, 5))
    head = b"\x08" + HIGH.to_bytes(2, "big") + WIDE.to_bytes(2, "big")
    one = segment(0xC0, head + b"\x01\x01\x11\0")
    assert one in grey
    return grey.replace(one, segment(0xC0, head + b"\x04" + rows))


def test_four_colours_kept_as_their_complement_are_told_so():
    document, _ = one_page()
    picture = document.picture(four_components())
    extra = picture.stream().extra
    assert extra["ColorSpace"] == "/DeviceCMYK" and extra["Decode"] == "[1 0 1 0 1 0 1 0]"
    bare = four_components().replace(ADOBE, b"")
    assert "Decode" not in document.picture(bare).stream().extra


@pytest.mark.parametrize("data", [b"", b"\x89PNG\r\n\x1a\n", made("baseline")[:-40], b"\xff\xd8"])
def test_what_is_no_jpeg_is_no_picture(data):
    document, _ = one_page()
    assert document.picture(data) is None


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"\xff\xc0\x00\x0b\x08", b"\xff\xc3\x00\x0b\x08"),  # lossless
        (b"\xff\xc0\x00\x0b\x08", b"\xff\xc9\x00\x0b\x08"),  # arithmetic
        (b"\xff\xc0\x00\x0b\x08", b"\xff\xc1\x00\x0b\x0c"),  # twelve bits
    ],
)
def test_a_process_that_no_reader_of_pdf_knows_is_no_picture(old, new):
    data = made("baseline")
    assert old in data
    document, _ = one_page()
    assert document.picture(data.replace(old, new)) is None


def upright(stored: list[list[int]], orientation: int) -> list[list[int]]:
    """The rows of a picture as Exif's tag 274 says that they are to be seen: where its first row
    and its first column belong (top, bottom, left, right)."""
    rows = [list(row) for row in stored]
    flipped, mirrored = [row[::-1] for row in rows], rows[::-1]
    turned = {
        1: rows,
        2: flipped,
        3: [row[::-1] for row in mirrored],
        4: mirrored,
    }
    if orientation <= 4:
        return turned[orientation]
    transposed = [list(column) for column in zip(*rows, strict=True)]
    return {
        5: transposed,
        6: [row[::-1] for row in transposed],
        7: [row[::-1] for row in transposed[::-1]],
        8: transposed[::-1],
    }[orientation]


@pytest.mark.parametrize("orientation", sorted(UPRIGHT))
def test_a_picture_stands_upright(orientation, pixels):
    data = made("baseline", oriented(orientation))
    document, page = one_page(size=(120, 120))
    picture = document.picture(data)
    page.picture(picture, 10, 20, 2 * picture.width, 2 * picture.height)
    across, down = 5, 3
    blocks = [list(GREYS[row * across : (row + 1) * across]) for row in range(down)]
    rows = pixels(document)

    def seen(x: int, y: int) -> int:
        return rows[20 + y][10 + x]

    # the corners of the stored picture, each well within its block
    for row in (0, down - 1):
        for column in (0, across - 1):
            near = [[0] * WIDE for _ in range(HIGH)]
            near[row * 8 + 2][column * 8 + 2] = 1
            shown = upright(near, orientation)
            (place,) = [(x, y) for y, line in enumerate(shown) for x, v in enumerate(line) if v]
            expected = blocks[row][column]
            assert seen(2 * place[0], 2 * place[1]) == pytest.approx(expected, abs=12)
