"""Pictures made byte by byte: what stays of them, what goes, and what is no picture at all.

Outside references: ImageMagick (where it is installed) and Chromium decode the same files.
"""

from __future__ import annotations

import base64
import re
import shutil
import subprocess
import time
import tracemalloc
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jpegs import (
    ACROSS,
    ADOBE,
    BEHIND,
    DOWN,
    EOI,
    GREYS,
    HEADS,
    HIGH,
    ICC,
    JFIF,
    ORDERS,
    SCANS,
    SOI,
    TABLES,
    TELLING,
    WHERE,
    WHO,
    WIDE,
    exif,
    frame,
    made,
    oriented,
    segment,
    tells,
    tiff,
)

from fieldapp.jpeg import MOST_BYTES, MOST_SEGMENTS, NotAPicture, size_of, without_place


def refused(data: bytes) -> str:
    """Why a file is no picture, by both functions alike."""
    with pytest.raises(NotAPicture) as sizing:
        size_of(data)
    with pytest.raises(NotAPicture) as keeping:
        without_place(data)
    assert keeping.value.why == sizing.value.why
    assert "\n" not in str(keeping.value) and "{" not in str(keeping.value)
    return keeping.value.why


# What stays and what goes


def test_the_made_files_hold_what_they_are_made_for() -> None:
    """Stuffed zeros, restart markers and several scans, or the tests below would say little."""
    assert b"\xff\x00" in SCANS["baseline"][0]
    assert b"\xff\x00" in SCANS["progressive"][1]
    assert len(re.findall(rb"\xff[\xd0-\xd7]", SCANS["restarts"][0])) == len(GREYS) - 1
    assert len(SCANS["colours"]) == len(SCANS["progressive"]) == 3
    assert set(tells(made("baseline", exif(6), TELLING["xmp"]))) >= {WHERE, WHO, b"\x88\x25"}


@pytest.mark.parametrize("kind", SCANS)
def test_a_picture_that_tells_nothing_is_not_changed(kind: str) -> None:
    """Not by one byte, with its header, profile and colour note."""
    data = made(kind, JFIF, ICC, ADOBE)

    assert without_place(data) == data
    assert size_of(data) == (WIDE, HIGH)


@pytest.mark.parametrize("kind", SCANS)
@pytest.mark.parametrize("what", TELLING)
def test_what_tells_the_place_goes(kind: str, what: str) -> None:
    """In front of the tables, between scans, and with fill bytes before it."""
    part = TELLING[what]
    stays = {"jfif thumbnail": JFIF, "adobe and more": ADOBE}.get(what, b"")
    bare = made(kind, ICC)

    assert without_place(made(kind, ICC, part)) == made(kind, ICC, stays)
    assert without_place(made(kind, ICC, b"\xff" * 5 + part)) == made(kind, ICC, stays)
    if not stays:
        assert without_place(made(kind, ICC, between=part)) == bare
    assert without_place(made(kind, ICC, behind=BEHIND)) == bare


@pytest.mark.parametrize("kind", SCANS)
def test_all_at_once(kind: str) -> None:
    """A file as a phone writes it, only more of it; the scans are the same to the byte."""
    parts = (JFIF, exif(6, "little"), *TELLING.values(), ICC, ADOBE)
    between = TELLING["comment"] + exif(3)
    kept = without_place(made(kind, *parts, between=between, behind=BEHIND))

    assert tells(kept) == []
    for data in (*HEADS[kind], *SCANS[kind], ICC, ADOBE, JFIF):
        assert kept.count(data) >= 1
    codes = set(re.findall(rb"\xff([\xe0-\xef\xfe])..(.{4})", kept, re.DOTALL))
    assert codes == {(b"\xe0", b"JFIF"), (b"\xe1", b"Exif"), (b"\xe2", b"ICC_"), (b"\xee", b"Adob")}
    assert size_of(kept) == (HIGH, WIDE)


@pytest.mark.parametrize("kind", SCANS)
def test_fill_bytes_and_stuffed_bytes_of_scans_stay(kind: str) -> None:
    """A marker may have any number of FF before it, also the one behind compressed data."""
    between = b"\xff\xff" + segment(0xC4, b"\x10" + bytes([1, 1] + [0] * 14) + b"\x00\x01")
    data = made(kind, between=between + b"\xff\xff\xff")[:-2] + b"\xff\xff" + EOI

    assert without_place(data) == data


@pytest.mark.parametrize("order", ORDERS)
@pytest.mark.parametrize("value", range(10))
def test_the_orientation_stays_and_nothing_with_it(order: str, value: int) -> None:
    """A picture that lay upright before does not lie on its side afterwards."""
    kept = without_place(made("baseline", exif(value, order), JFIF))
    stays = (oriented(value),) if 2 <= value <= 8 else ()
    shown = (HIGH, WIDE) if 5 <= value <= 8 else (WIDE, HIGH)

    assert kept == made("baseline", JFIF, *stays)
    assert without_place(made("baseline", exif(value, order))) == made("baseline", *stays)
    assert size_of(made("baseline", exif(value, order))) == size_of(kept) == shown
    assert without_place(kept) == kept


def test_the_first_exif_segment_counts_and_a_torn_one_is_upright() -> None:
    """Cut anywhere: the orientation is read, or is upright; never an end of the app."""
    assert size_of(made("baseline", exif(1), exif(6))) == (WIDE, HIGH)
    assert size_of(made("baseline", TELLING["xmp"], exif(6))) == (HIGH, WIDE)
    body = tiff("little", 6)
    sizes = [
        size_of(made("baseline", segment(0xE1, b"Exif\0\0" + body[:end])))
        for end in range(len(body))
    ]
    assert sizes == [(WIDE, HIGH)] * 22 + [(HIGH, WIDE)] * (len(body) - 22)


@pytest.mark.parametrize(
    "row",
    [b"\0\x04\0\0\0\x01\0\0\0\x06", b"\0\x03\0\0\0\x02\0\x06\0\0", b"\0\x03\0\0\0\x01\x06\0\0\0"],
)
def test_an_orientation_of_another_shape_is_none(row: bytes) -> None:
    """Not one short number from 1 to 8: upright."""
    body = b"Exif\0\0MM\0*\0\0\0\x08\0\x01\x01\x12" + row + bytes(4)

    assert size_of(made("baseline", segment(0xE1, body))) == (WIDE, HIGH)


@pytest.mark.parametrize("code", sorted(set(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}))
def test_every_kind_of_frame_gives_its_size(code: int) -> None:
    """Huffman or arithmetic, baseline, progressive, lossless, differential."""
    data = b"".join((SOI, exif(8), *TABLES, frame(code, 1), *SCANS["baseline"], EOI))

    assert size_of(data) == (HIGH, WIDE)


def test_the_height_may_come_behind_the_first_scan() -> None:
    """A frame of height 0, and DNL; a hierarchical file, whose first frame is a small one."""
    head = b"".join((SOI, *TABLES, frame(0xC0, 1, high=0), *SCANS["baseline"]))
    whole = frame(0xDE, 1)
    first, second = frame(0xC0, 1, high=3), frame(0xC5, 1)
    frames = (first, *SCANS["baseline"], segment(0xDF, b"\x11"), second, *SCANS["baseline"])

    assert size_of(head + segment(0xDC, HIGH.to_bytes(2, "big")) + EOI) == (WIDE, HIGH)
    assert refused(head + EOI) == "no-frame"
    assert size_of(b"".join((SOI, whole, *TABLES, *frames, EOI))) == (WIDE, HIGH)
    assert refused(b"".join((SOI, *TABLES, *frames, EOI))) == "muddled"


# What is no picture


@pytest.mark.parametrize(
    ("begins", "sentence"),
    [
        (b"\x89PNG\r\n\x1a\n", "a PNG picture; only JPEG is kept"),
        (b"RIFF\x10\n\x02\0WEBPVP8 ", "a WebP picture; only JPEG is kept"),
        (b"\0\0\0\x18ftypheic", "a HEIC picture; only JPEG is kept"),
        (b"\0\0\0\x18ftypmif1", "a HEIC picture; only JPEG is kept"),
        (b"\0\0\0\x18ftypavif", "an AVIF picture; only JPEG is kept"),
        (b"GIF89a", "a GIF picture; only JPEG is kept"),
        (b"II*\0", "a TIFF or raw picture; only JPEG is kept"),
        (b"\0\0\0\x18ftypmp42", "not a JPEG picture; only JPEG is kept"),
        (b"", "not a JPEG picture; only JPEG is kept"),
        (b"\xff", "not a JPEG picture; only JPEG is kept"),
        (b"{}", "not a JPEG picture; only JPEG is kept"),
    ],
)
def test_other_kinds_are_named(begins: bytes, sentence: str) -> None:
    """The technician learns what the file is, not only that it is not taken."""
    assert refused(begins + b"\0" * 30 * bool(begins)) in ("other-kind", "not-jpeg")
    with pytest.raises(NotAPicture, match=re.escape(sentence)):
        without_place(begins)


@pytest.mark.parametrize("kind", SCANS)
def test_a_file_cut_anywhere_is_refused(kind: str) -> None:
    """At every single byte, and the sentence is about the end."""
    data = made(kind, JFIF, exif(6), ICC, between=TELLING["comment"])

    assert {refused(data[:end]) for end in range(2, len(data))} == {"breaks-off", "beyond-end"}


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (SOI + EOI, "no-frame"),
        (made("baseline")[:-2].replace(frame(0xC0, 1), b"") + EOI, "no-frame"),
        (b"".join((SOI, *TABLES, frame(0xC0, 1), EOI)), "no-frame"),
        (b"".join((SOI, *SCANS["baseline"], frame(0xC0, 1), EOI)), "no-frame"),
        (SOI + segment(0xC0, b"\x08\0\x15\0\0\x01\x01\x11\0") + SCANS["baseline"][0] + EOI, "no-frame"),
        (SOI + segment(0xC0, b"\x08\0\x15\0") + SCANS["baseline"][0] + EOI, "muddled"),
        (SOI + segment(0xC0, b"\x08\0\x15\0\x25\x03\x01\x11\0") + SCANS["baseline"][0] + EOI, "muddled"),
        (made("baseline", b"\xff\xe1\0\x01"), "muddled"),
        (made("baseline", b"\xff\xe1\0\0"), "muddled"),
        (b"".join((SOI, *TABLES, frame(0xC0, 1), b"\xff\xda\0\x01", EOI)), "muddled"),
        (made("baseline", b"\0"), "muddled"),
        (made("baseline", SOI), "muddled"),
        (made("baseline", b"\xff\xd0"), "muddled"),
        (made("baseline", segment(0xF0, WHERE)), "muddled"),
        (made("progressive", between=b"\xff\x02\0\x04ab"), "muddled"),
        (made("baseline", frame(0xC0, 1)), "muddled"),
        (made("baseline", *[segment(0xFE, b"")] * MOST_SEGMENTS), "muddled"),
        (made("baseline").replace(frame(0xC0, 1), frame(0xC0, 1)[:5] + b"\xff" * 4 + frame(0xC0, 1)[9:]), "too-many-pixels"),
    ],
)  # fmt: skip
def test_what_is_amiss_is_told(data: bytes, why: str) -> None:
    """Bytes where none belong could hide anything: such a file is refused, not guessed at."""
    assert refused(data) == why


def test_a_segment_whose_length_lies_hides_nothing() -> None:
    """Too short: what is left over belongs nowhere. Too long: it swallows a table or the end."""
    honest = exif(6)
    for length in range(2, len(honest) + 40):
        data = made("baseline", honest[:2] + length.to_bytes(2, "big") + honest[4:])
        try:
            assert tells(without_place(data)) == []
        except NotAPicture:
            assert length != len(honest) - 2


def test_up_to_4_megabytes_are_kept() -> None:
    """Counted behind the cleaning: a film behind the picture does not make it too large."""
    bare = made("baseline")
    room = MOST_BYTES - len(bare)
    full = bare[:-2] + b"\x55" * room + EOI

    assert without_place(full) == full
    assert without_place(full + WHERE * 500_000) == full
    with pytest.raises(NotAPicture, match=r"a picture of 4\.1 MB; up to 4 MB is kept"):
        without_place(full[:-2] + b"\x55" + EOI)


HOSTILE = {
    "fill bytes": SOI + b"\xff" * MOST_BYTES,
    "fill bytes in a scan": made("baseline")[:-2] + b"\xff" * MOST_BYTES,
    "stuffed zeros": made("baseline")[:-2] + b"\xff\x00" * (MOST_BYTES // 2),
    "restarts": made("baseline")[:-2] + b"\xff\xd0" * (MOST_BYTES // 2) + EOI,
    "small segments": SOI + b"\xff\xdd\0\x02" * (MOST_BYTES // 4),
    "small scans": made("baseline")[:-2] + segment(0xDA, b"") * (MOST_BYTES // 4) + EOI,
    "directories": made("baseline", segment(0xE1, b"Exif\0\0MM\0*\0\0\0\x08\xff\xff" + bytes(65_000))),
    "pictures in pictures": SOI * (MOST_BYTES // 2),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_take_neither_long_nor_much(name: str) -> None:
    """4 MB each: at most two seconds, and at most four times the file (2 MB for small ones)."""
    data = HOSTILE[name]
    tracemalloc.start()
    began = time.perf_counter()
    try:
        without_place(data)
    except NotAPicture:
        pass
    finally:
        took, (_, peak) = time.perf_counter() - began, tracemalloc.get_traced_memory()
        tracemalloc.stop()

    assert took < 2
    assert peak < max(4 * len(data), 2_000_000)


@given(st.binary(max_size=300), st.booleans())
def test_random_bytes_are_no_picture(data: bytes, begins_well: bool) -> None:
    """Nothing but NotAPicture ever comes out of them."""
    refused((SOI if begins_well else b"") + data)


RICH = made("progressive", JFIF, exif(6), TELLING["xmp"], ICC, ADOBE, between=TELLING["comment"])


@settings(max_examples=400, derandomize=True)
@given(st.data())
def test_a_hurt_picture_is_refused_or_stays_one(data: st.DataObject) -> None:
    """Bytes replaced, taken out or put in: what comes out is whole by the same rules, and stable."""
    start = data.draw(st.integers(0, len(RICH)))
    end = data.draw(st.integers(start, min(len(RICH), start + 12)))
    filling = data.draw(st.binary(max_size=8))
    hurt = RICH[:start] + filling + RICH[end:]
    try:
        kept = without_place(hurt)
    except NotAPicture:
        return
    assert len(kept) <= len(hurt) + len(oriented(6))
    assert size_of(kept) == size_of(hurt)
    assert without_place(kept) == kept


# Decoded by others


@cache
def find_imagemagick() -> tuple[str, str]:
    """The paths of identify and convert."""
    found = shutil.which("identify"), shutil.which("convert")
    if None in found:
        pytest.skip("no ImageMagick on the path: install the package imagemagick")
    return found


def ran(*command: str, data: bytes) -> bytes:
    return subprocess.run(command, input=data, capture_output=True, check=True, timeout=60).stdout


@pytest.mark.parametrize("kind", SCANS)
@pytest.mark.parametrize("value", [1, 3, 6, 7])
def test_imagemagick_sees_the_same_picture(kind: str, value: int) -> None:
    """Same points, same way up, same profile; of all that Exif said only the orientation."""
    identify, convert = find_imagemagick()
    data = made(kind, exif(value), TELLING["xmp"], TELLING["comment"], ICC, behind=BEHIND)
    kept = without_place(data)

    points = [ran(convert, "jpeg:-", "-auto-orient", "-depth", "8", "rgb:-", data=d) for d in (data, kept)]  # fmt: skip
    assert points[0] == points[1]
    assert len(points[0]) == 3 * WIDE * HIGH
    size = ran(convert, "jpeg:-", "-auto-orient", "-format", "%w %h", "info:-", data=kept)
    assert tuple(map(int, size.split())) == size_of(data) == size_of(kept)
    assert WHO in ran(identify, "-verbose", "jpeg:-", data=data)
    tags = ran(identify, "-format", "%[EXIF:*]%c%[profiles]", "jpeg:-", data=kept)
    said = [] if value == 1 else [b"exif:Orientation=%d" % value]
    assert re.findall(rb"exif:\w+=.*", tags) == said
    assert tells(ran(identify, "-verbose", "jpeg:-", data=kept)) == []


def test_imagemagick_reads_the_greys_that_were_put_in() -> None:
    """The files made here are pictures, and not only bytes in the right order."""
    _, convert = find_imagemagick()
    for kind in ("restarts", "baseline", "progressive"):
        grey = ran(convert, "jpeg:-", "-depth", "8", "gray:-", data=without_place(made(kind)))
        blocks = [grey[y * 8 * WIDE + x * 8] for y in range(DOWN) for x in range(ACROSS)]
        assert blocks[1:] == list(GREYS[1:])


DECODE = """async (files) => {
  const seen = [];
  for (const file of files) {
    const image = new Image();
    image.src = "data:image/jpeg;base64," + file;
    await image.decode();
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [image.naturalWidth, image.naturalHeight];
    const pen = canvas.getContext("2d");
    pen.drawImage(image, 0, 0);
    const points = pen.getImageData(0, 0, canvas.width, canvas.height).data;
    seen.push([image.naturalWidth, image.naturalHeight, points.join()]);
  }
  return seen;
}"""


@pytest.mark.browser
def test_chromium_shows_the_same_picture(new_phone) -> None:
    """All eight orientations and every kind of file: size as we say it, same points."""
    files = [made(kind, JFIF, exif(value)) for kind in SCANS for value in range(1, 9)]
    kept = [without_place(data) for data in files]
    coded = [base64.b64encode(data).decode() for data in (*files, *kept)]
    seen = new_phone().page.evaluate(DECODE, coded)

    assert seen[: len(files)] == seen[len(files) :]
    assert [tuple(row[:2]) for row in seen[len(files) :]] == [size_of(data) for data in files]
    for start in range(0, len(files), 8):
        assert len({(*row[:2], row[2]) for row in seen[start : start + 8]}) == 8
