"""JPEG pictures made byte by byte, and all that may tell in them where they were taken.

A small encoder after ITU-T T.81, annexes B, F and G: blocks of one grey each.
"""

from __future__ import annotations

WIDE, HIGH = 37, 21
ACROSS, DOWN = 5, 3
SOI, EOI = b"\xff\xd8", b"\xff\xd9"
GREYS = (0, 255, 3, 250, 0, 127, 128, 255, 1, 91, 255, 201, 17, 131, 129)
COLOURS = (GREYS, GREYS[::-1], (128, 40) * 7 + (220,))


def segment(code: int, body: bytes) -> bytes:
    """A marker with its length and what belongs to it."""
    return bytes((0xFF, code)) + (len(body) + 2).to_bytes(2, "big") + body


def packed(bits: str) -> bytes:
    """Compressed data: filled up with ones, a zero byte behind each FF."""
    bits += "1" * (-len(bits) % 8)
    data = bytes(int(bits[place : place + 8], 2) for place in range(0, len(bits), 8))
    return data.replace(b"\xff", b"\xff\x00")


def signed(value: int) -> tuple[int, str]:
    """The category of a value and its bits (T.81, F.1.2.1)."""
    size = abs(value).bit_length()
    return size, f"{value if value > 0 else value + (1 << size) - 1:0{size}b}" if size else ""


def dc(values: list[int]) -> list[str]:
    """Each value as its difference to the one before; category n is the 4-bit code n."""
    pairs = (signed(value - before) for before, value in zip([0, *values], values, strict=False))
    return [f"{size:04b}{bits}" for size, bits in pairs]


# Quantiser 8 throughout: a DC of v is a block of grey 128 + v. Codes: categories 0 to 11 as four
# bits each; "0" ends a block, "10" is one AC coefficient of one bit.
TABLES = (
    segment(0xDB, bytes(1) + bytes([8] * 64)),
    segment(0xC4, b"\x00" + bytes([0, 0, 0, 12] + [0] * 12) + bytes(range(12))),
    segment(0xC4, b"\x10" + bytes([1, 1] + [0] * 14) + b"\x00\x01"),
)


def frame(code: int, count: int, high: int = HIGH) -> bytes:
    rows = b"".join(bytes((number, 0x11, 0)) for number in range(1, count + 1))
    return segment(
        code, b"\x08" + high.to_bytes(2, "big") + WIDE.to_bytes(2, "big") + bytes([count]) + rows
    )


def scan(component: int, first: int, last: int, approximation: int, data: bytes) -> bytes:
    return segment(0xDA, bytes((1, component, 0, first, last, approximation))) + data


def baseline(greys: tuple[int, ...], component: int = 1) -> bytes:
    """One component; the first block has a ripple on it."""
    blocks = [code + "0" for code in dc([grey - 128 for grey in greys])]
    blocks[0] = blocks[0].removesuffix("0") + "101" + "0"
    return scan(component, 0, 63, 0, packed("".join(blocks)))


def restarted() -> bytes:
    """A restart marker behind every block."""
    rests = [bytes((0xFF, 0xD0 + number % 8)) for number in range(len(GREYS) - 1)]
    blocks = [packed(dc([grey - 128])[0] + "0") for grey in GREYS]
    data = b"".join(part for pair in zip(blocks, [*rests, b""], strict=True) for part in pair)
    return scan(1, 0, 63, 0, data)


def progressive() -> tuple[bytes, ...]:
    """The upper bits of the DC, their lowest bit, the AC."""
    values = [grey - 128 for grey in GREYS]
    return (
        scan(1, 0, 0, 0x01, packed("".join(dc([value >> 1 for value in values])))),
        scan(1, 0, 0, 0x10, packed("".join(str(value & 1) for value in values))),
        scan(1, 1, 63, 0x00, packed("101" + "0" * len(values))),
    )


HEADS = {
    "baseline": (*TABLES, frame(0xC0, 1)),
    "restarts": (*TABLES, frame(0xC0, 1), segment(0xDD, b"\0\x01")),
    "colours": (*TABLES, frame(0xC0, 3)),
    "progressive": (*TABLES, frame(0xC2, 1)),
}
SCANS = {
    "baseline": (baseline(GREYS),),
    "restarts": (restarted(),),
    "colours": tuple(baseline(greys, place) for place, greys in enumerate(COLOURS, start=1)),
    "progressive": progressive(),
}
JFIF = segment(0xE0, b"JFIF\0\x01\x02\x01\x00\x48\x00\x48\0\0")


def made(kind: str, *before: bytes, between: bytes = b"", behind: bytes = b"") -> bytes:
    """A whole file: segments ``before`` the tables, ``between`` the scans, ``behind`` the end."""
    scans = between.join(SCANS[kind])
    return b"".join((SOI, *before, *HEADS[kind], scans, EOI, behind))


# What tells the place

WHERE = b"Saltmarsh 54.1234N"
WHO = b"Ida Fenn"
RATIONALS = (54, 1, 12, 1, 3141, 100)
ORDERS = ("little", "big")


def tiff(order: str, orientation: int | None, *, with_place: bool = True) -> bytes:
    """An Exif body: orientation, artist, a GPS directory and a thumbnail that is a JPEG itself."""

    def number(value: int, size: int) -> bytes:
        return value.to_bytes(size, order)

    def row(tag: int, kind: int, count: int, value: bytes) -> bytes:
        return number(tag, 2) + number(kind, 2) + number(count, 4) + value.ljust(4, b"\0")

    small = made("baseline", segment(0xFE, WHERE))
    rows = [] if orientation is None else [row(274, 3, 1, number(orientation, 2))]
    count = len(rows) + 2 * with_place
    gps = 8 + 2 + 12 * count + 4
    data = gps + 2 + 12 + 4
    parts = b"".join(number(value, 4) for value in RATIONALS)
    thumbnail = data + len(parts) + len(WHO)
    rows += [row(315, 2, len(WHO), number(data + len(parts), 4)), row(0x8825, 4, 1, number(gps, 4))]
    second = [row(513, 4, 1, number(thumbnail + 30, 4)), row(514, 4, 1, number(len(small), 4))]
    return b"".join(
        (
            {"little": b"II", "big": b"MM"}[order] + number(42, 2) + number(8, 4),
            number(count, 2) + b"".join(rows[:count]) + number(thumbnail, 4),
            number(1, 2) + row(2, 5, 3, number(data, 4)) + number(0, 4),
            parts + WHO,
            number(2, 2) + b"".join(second) + number(0, 4),
            small,
        )
    )


def exif(orientation: int | None, order: str = "big") -> bytes:
    return segment(0xE1, b"Exif\0\0" + tiff(order, orientation))


ICC = segment(0xE2, b"ICC_PROFILE\0\x01\x01" + bytes(range(128)))
ADOBE = segment(0xEE, b"Adobe\0\x64\0\0\0\0\x00")
TELLING = {
    "exif": exif(None),
    "xmp": segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x lat='" + WHERE + b"'/>"),
    "notes": segment(0xED, b"Photoshop 3.0\x008BIM" + WHERE),
    "second picture": segment(0xE2, b"MPF\0MM\0*" + WHERE),
    "comment": segment(0xFE, WHO),
    "jfif thumbnail": segment(0xE0, b"JFIF\0\x01\x02\x01\x00\x48\x00\x48\x02\x03" + WHERE),
    "jfxx": segment(0xE0, b"JFXX\0\x10" + WHERE),
    "adobe and more": segment(0xEE, b"Adobe\0\x64\0\0\0\0\x00" + WHERE),
    **{f"APP{n}": segment(0xE0 + n, WHERE) for n in range(16)},
}
BEHIND = b"\0" * 7 + made("baseline", exif(6)) + b"ftypmp42" + WHERE


def tells(data: bytes) -> list[bytes]:
    """What of the place and the person can still be found."""
    numbers = [n.to_bytes(size, order) for n, size in ((0x8825, 2), (3141, 4)) for order in ORDERS]
    return [secret for secret in (WHERE, WHO, *numbers) if secret in data]


def oriented(value: int) -> bytes:
    """The smallest Exif segment: one directory, one row."""
    row = b"\x01\x12\0\x03\0\0\0\x01\0" + bytes([value]) + b"\0\0"
    return segment(0xE1, b"Exif\0\0MM\0*\0\0\0\x08\0\x01" + row + bytes(4))
