"""A JPEG picture without where, when and by whom it was taken. Pure, no imaging library.

The file is taken apart into its segments; only those that draw the picture are put together
again, and the compressed data are the same to the byte. What stays is a list, so that a maker's
own segment nobody thought of cannot carry a place out of the house.

Sources: markers, fill bytes, segment lengths and stuffed zeros from ITU-T T.81, B.1.1.2 to
B.1.1.5 and table B.1 (excerpts were read, not the standard itself); frame header, DHP and DNL
from its B.2.2, B.3.2 and B.2.5 (``from memory``). Orientation from Exif, tag 274 (read in 2.2,
which 2.3 repeats). APP0 of JFIF 1.02, ICC.1 annex B, Adobe's APP14 and the first bytes of other
formats ``from memory``.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from attrs import frozen

MOST_BYTES = 4_000_000
"""a picture that is kept, ours: 60 of them are 240 MB on a phone"""
MOST_PIXELS = 100_000_000
"""ours: 400 MB once opened, about what a phone lets one program have (``from memory``)"""
MOST_SEGMENTS = 1_000
"""ours: a profile takes 255 at most, a progressive picture some tens"""

_SENTENCES = {
    "other-kind": "{found}; only JPEG is kept",
    "not-jpeg": "not a JPEG picture; only JPEG is kept",
    "breaks-off": "a JPEG picture that breaks off before its end",
    "beyond-end": "a JPEG picture with a part that reaches beyond the end of the file",
    "muddled": "a JPEG picture with bytes where none belong",
    "no-frame": "a JPEG file without a picture in it",
    "too-large": "a picture of {found}; up to 4 MB is kept",
    "too-many-pixels": "a picture of {found}; up to 100 million pixels are kept",
}


@dataclass(eq=False)
class NotAPicture(Exception):
    """These bytes are not kept as a picture.

    ``why`` is one of ``other-kind``, ``not-jpeg``, ``breaks-off``, ``beyond-end``, ``muddled``,
    ``no-frame``, ``too-large``, ``too-many-pixels``; ``found`` what it is, or how large. As text
    it is one sentence.
    """

    why: str
    found: str = ""

    def __str__(self) -> str:
        return _SENTENCES[self.why].format(found=self.found)


_SOI = b"\xff\xd8"
_EOI = 0xD9
_SOS = 0xDA
_DNL = 0xDC
_DHP = 0xDE
_APP0 = 0xE0
_APP1 = 0xE1
_APP2 = 0xE2
_APP14 = 0xEE
_COM = 0xFE
_FRAMES = frozenset(range(0xC0, 0xD0)) - {0xC4, 0xC8, 0xCC}
"""all SOF; the three left out are DHT, JPG (reserved) and DAC"""
_APPS = frozenset(range(0xE0, 0xF0))
# DHT, DAC; SOS, DQT, DNL, DRI, DHP, EXP
_DRAWING = _FRAMES | {0xC4, 0xCC} | frozenset(range(0xDA, 0xE0))

_MARKER = re.compile(rb"\xff+([^\x00\xff])")
# In compressed data FF 00 is a data byte FF, and RST0 to RST7 are part of the scan.
_SCAN_ENDS = re.compile(rb"\xff[^\x00\xff\xd0-\xd7]")

_JFIF = b"JFIF\0"
_JFIF_BYTES = 14  # with a thumbnail of 0 x 0
_ICC = b"ICC_PROFILE\0"
_ADOBE = b"Adobe"
_ADOBE_BYTES = 12
_EXIF = b"Exif\0\0"
_ORIENTATION = 274
_SHORT = 3
_UPRIGHT = 1

_OTHER_KINDS = (
    (re.compile(rb"\x89PNG\r\n\x1a\n"), "a PNG picture"),
    (re.compile(rb"RIFF....WEBP", re.DOTALL), "a WebP picture"),
    (re.compile(rb"....ftyp(hei[cxms]|hev[cxms]|mif1|msf1)", re.DOTALL), "a HEIC picture"),
    (re.compile(rb"....ftypavi[fs]", re.DOTALL), "an AVIF picture"),
    (re.compile(rb"GIF8[79]a"), "a GIF picture"),
    (re.compile(rb"II\*\0|MM\0\*"), "a TIFF or raw picture"),
)


@frozen
class _Segment:
    """A marker with what belongs to it: ``start`` at its fill bytes, ``body`` behind its length.

    ``end`` is where the next one starts; that of an SOS is behind its compressed data.
    """

    code: int
    start: int
    body: int
    end: int


@frozen
class _Picture:
    """A file that was read through. Width and height as stored; orientation 1 to 8."""

    segments: tuple[_Segment, ...]
    width: int
    height: int
    orientation: int


@frozen
class Drawn:
    """What draws a picture: the frame's marker code, its bits and count of components, its size as
    stored, Exif's orientation. ``is_counted``: the frame itself tells the height, not DNL;
    ``is_adobe``: Adobe's note on the colours is there."""

    process: int
    bits: int
    components: int
    width: int
    height: int
    orientation: int
    is_counted: bool
    is_adobe: bool


def drawn_by(data: bytes) -> Drawn:
    """What a decoder is told of a picture.

    Raises
    ------
    NotAPicture : also where there are several frames (hierarchical).
    """
    picture = _read(data)
    if any(part.code == _DHP for part in picture.segments):
        raise NotAPicture("muddled")
    frame = next(part for part in picture.segments if part.code in _FRAMES)
    notes = (part for part in picture.segments if part.code == _APP14)
    return Drawn(
        process=frame.code,
        bits=data[frame.body],
        components=data[frame.body + 5],
        width=picture.width,
        height=picture.height,
        orientation=picture.orientation,
        is_counted=_number(data, frame.body + 1) > 0,
        is_adobe=any(_begins(data, part, _ADOBE, _ADOBE_BYTES) for part in notes),
    )


def without_place(data: bytes) -> bytes:
    """The same picture without where, when and by whom it was taken.

    Stay: what draws it (frames, tables, scans), the JFIF header without its thumbnail, an ICC
    profile, Adobe's note on the colours. Go: Exif, XMP and all else in APP1 to APP15, comments,
    also between scans, and whatever lies behind the end of the picture, where phones put a film
    or a second picture with a place of its own. From the first scan on the rest is unchanged to
    the byte. Where Exif says that the picture lies on its side or is mirrored, an Exif segment
    with that tag alone is put in, behind the JFIF header. Applied twice it changes nothing more.

    Raises
    ------
    NotAPicture : also when more than ``MOST_BYTES`` remain.
    """
    picture = _read(data)
    kept = [piece for piece in (_kept(data, part) for part in picture.segments) if piece]
    if picture.orientation != _UPRIGHT:
        has_jfif = kept[0].startswith(bytes((0xFF, _APP0)))
        kept.insert(int(has_jfif), _orientation_segment(picture.orientation))
    size = len(_SOI) + sum(map(len, kept)) + 2
    if size > MOST_BYTES:
        raise NotAPicture("too-large", in_megabytes(size))
    return b"".join((_SOI, *kept, b"\xff\xd9"))


def in_megabytes(count: int) -> str:
    """``3.2 MB``: so many bytes, rounded up to a tenth."""
    return f"{-(-count // 100_000) / 10} MB"


def size_of(data: bytes) -> tuple[int, int]:
    """Width and height in pixels as a viewer shows it that heeds the orientation.

    Those of the frame header, exchanged where Exif says that rows stand upright (5 to 8).

    Raises
    ------
    NotAPicture
    """
    picture = _read(data)
    size = picture.width, picture.height
    return size[::-1] if picture.orientation >= 5 else size


def _read(data: bytes) -> _Picture:
    """Go through the whole file, once."""
    segments = _segments(data)
    width, height = _frame_size(data, segments)
    if width * height > MOST_PIXELS:
        raise NotAPicture("too-many-pixels", f"{-(-width * height // 1_000_000)} million pixels")
    exif = (part for part in segments if part.code == _APP1 and _begins(data, part, _EXIF))
    first = next(exif, None)
    tiff = data[first.body + len(_EXIF) : first.end] if first else b""
    return _Picture(segments, width, height, _orientation(tiff))


def _segments(data: bytes) -> tuple[_Segment, ...]:
    """All segments up to EOI; each goes forward by four bytes at least, so this ends."""
    if not data.startswith(_SOI):
        kinds = (name for begins, name in _OTHER_KINDS if begins.match(data))
        found = next(kinds, "")
        raise NotAPicture("other-kind" if found else "not-jpeg", found)
    segments: list[_Segment] = []
    start = len(_SOI)
    while (marker := _marker_at(data, start))[0] != _EOI:
        code, place = marker
        if len(segments) == MOST_SEGMENTS or code not in _DRAWING | _APPS | {_COM}:
            raise NotAPicture("muddled")
        end = place + _number(data, place)
        if end < place + 2:
            raise NotAPicture("muddled")
        if end > len(data):
            raise NotAPicture("beyond-end")
        if code == _SOS:
            end = _scan_end(data, end)
        segments.append(_Segment(code, start, place + 2, end))
        start = end
    return tuple(segments)


def _marker_at(data: bytes, start: int) -> tuple[int, int]:
    """The code of the marker that stands here, and where it ends."""
    found = _MARKER.match(data, start)
    if found:
        return found[1][0], found.end()
    is_cut = data.count(b"\xff", start) == len(data) - start
    raise NotAPicture("breaks-off" if is_cut else "muddled")


def _scan_end(data: bytes, start: int) -> int:
    """Where the compressed data end; fill bytes in front of the next marker belong to them."""
    found = _SCAN_ENDS.search(data, start)
    if found is None:
        raise NotAPicture("breaks-off")
    return found.start()


def _number(data: bytes, place: int) -> int:
    """Two bytes, the greater first."""
    if place + 2 > len(data):
        raise NotAPicture("breaks-off")
    return int.from_bytes(data[place : place + 2], "big")


def _frame_size(data: bytes, segments: tuple[_Segment, ...]) -> tuple[int, int]:
    """Width and height as stored.

    Of the one frame; of DHP, written alike, where there are several frames (hierarchical). A
    height of 0 means that DNL gives it behind the first scan.
    """
    whole = [part for part in segments if part.code == _DHP]
    frames = [part for part in segments if part.code in _FRAMES]
    scans = [part for part in segments if part.code == _SOS]
    if not frames or not scans or scans[0].start < frames[0].start:
        raise NotAPicture("no-frame")
    if len(frames) > 1 and not whole:
        raise NotAPicture("muddled")
    frame = (whole or frames)[0]
    # precision 1, height 2, width 2, count of components 1, then 3 for each of them
    if frame.end - frame.body < 6 or frame.end - frame.body != 6 + 3 * data[frame.body + 5]:
        raise NotAPicture("muddled")
    height, width = _number(data, frame.body + 1), _number(data, frame.body + 3)
    counted = next((part for part in segments if part.code == _DNL), None)
    if height == 0 and counted is not None and counted.end - counted.body == 2:
        height = _number(data, counted.body)
    if width == 0 or height == 0:
        raise NotAPicture("no-frame")
    return width, height


def _kept(data: bytes, part: _Segment) -> bytes:
    """What stays of a segment: empty when it goes."""
    whole = data[part.start : part.end]
    if part.code in _DRAWING:
        return whole
    if part.code == _APP0 and _begins(data, part, _JFIF, _JFIF_BYTES):
        head = data[part.body : part.body + _JFIF_BYTES - 2]
        return _segment(_APP0, head + b"\0\0")
    if part.code == _APP14 and _begins(data, part, _ADOBE, _ADOBE_BYTES):
        return _segment(_APP14, data[part.body : part.body + _ADOBE_BYTES])
    return whole if part.code == _APP2 and _begins(data, part, _ICC) else b""


def _begins(data: bytes, part: _Segment, name: bytes, least: int = 0) -> bool:
    """Whether an APP segment carries this name, and has its least bytes."""
    size = part.end - part.body
    return size >= max(least, len(name)) and data.startswith(name, part.body)


def _segment(code: int, body: bytes) -> bytes:
    return bytes((0xFF, code)) + (len(body) + 2).to_bytes(2, "big") + body


def _orientation(tiff: bytes) -> int:
    """The orientation, 1 to 8, of the first directory of an Exif segment; 1 where none can be read.

    What viewers show is decided by this one: the thumbnail's, in the second directory, is its own.
    """
    orders: dict[bytes, Literal["little", "big"]] = {b"II*\0": "little", b"MM\0*": "big"}
    order = orders.get(tiff[:4])
    if order is None:
        return _UPRIGHT

    def number(place: int, size: int) -> int:
        return int.from_bytes(tiff[place : place + size], order)

    table = number(4, 4)
    for place in range(table + 2, table + 2 + 12 * number(table, 2), 12):
        if place + 12 > len(tiff):
            break
        if number(place, 2) == _ORIENTATION:
            is_one_short = number(place + 2, 2) == _SHORT and number(place + 4, 4) == 1
            value = number(place + 8, 2)
            return value if is_one_short and 1 <= value <= 8 else _UPRIGHT
    return _UPRIGHT


def _orientation_segment(value: int) -> bytes:
    """An Exif segment that holds this tag and nothing else."""
    header = b"MM\0*" + (8).to_bytes(4, "big")
    row = b"".join(
        number.to_bytes(size, "big")
        for number, size in ((_ORIENTATION, 2), (_SHORT, 2), (1, 4), (value, 2), (0, 2))
    )
    return _segment(_APP1, _EXIF + header + (1).to_bytes(2, "big") + row + bytes(4))
