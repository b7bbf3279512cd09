"""Draw Farend's mark as the pictures that browsers, phones and stores ask for.

``python -m fieldapp.assets.icons.build_icons`` writes them all again, the same bytes for the same
zlib. The mark is a cable with a box at its far end, in ink on the ground colour. Edges are
smoothed by area: exact across a row of pixels, by ``ROWS`` thin rows down it.

Sources: PNG, third edition (W3C); the safe zone of a maskable icon, Web Application Manifest
(W3C); the sizes of a store package's pictures, read in flet-cli 1.0.5.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping
from functools import cache
from math import hypot
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from fieldapp.drawing.tokens import DARK, SUN

HERE = Path(__file__).parent
ASSETS = HERE.parent

CABLE = "M2 10c10 0 10 11 17 11"
BOX = "M18 15h8l4 4v8H18z"
STROKE = 3.0
SIDE = 32.0
"""the mark is drawn in a square of this side"""

SVG = f"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 32 32">
<path fill="{SUN["ground"]}" d="M0 0h32v32H0z"/>
<path fill="none" stroke="{SUN["ink"]}" stroke-width="3" d="{CABLE}"/>
<path fill="{SUN["ink"]}" d="{BOX}"/>
</svg>
"""

ROWS = 8
"""thin rows to a pixel, ours"""
PIECES = 48
"""straight pieces that stand for the curve: none is off by a hundredth of the stroke, ours"""

Point = tuple[float, float]


class Picture(NamedTuple):
    """One PNG: its side in pixels, what is drawn in what, and how large the mark is in it."""

    side: int
    ink: str
    ground: str | None
    """None: nothing, one can see through it"""
    reach: float | None
    """from the middle of the mark to its farthest corner, as a share of the side; None: the mark
    stands as in its own square, where its straight edges meet those of the pixels"""


NATURAL = 0.52
"""about as large as in its own square: its corners are then 6 % from the edges"""
PICTURES: Mapping[str, Picture] = MappingProxyType(
    {
        "icons/favicon-32.png": Picture(32, SUN["ink"], SUN["ground"], None),
        "icons/icon-192.png": Picture(192, SUN["ink"], SUN["ground"], NATURAL),
        "icons/icon-512.png": Picture(512, SUN["ink"], SUN["ground"], NATURAL),
        # A phone cuts what shape it likes out of it, but never into the middle circle of 80 %.
        "icons/icon-maskable-512.png": Picture(512, SUN["ink"], SUN["ground"], 0.38),
        "icons/apple-touch-180.png": Picture(180, SUN["ink"], SUN["ground"], 0.44),
        # Found by these names beside the fonts when a store package is built, which adds the
        # ground and the margins of its own.
        "icon.png": Picture(1024, SUN["ink"], None, NATURAL),
        "splash.png": Picture(768, SUN["ink"], None, 0.3),
        "splash_dark.png": Picture(768, DARK["ink"], None, 0.3),
    }
)
"""by where it is kept, below the app's assets"""


def cable() -> list[Point]:
    """The outline of the cable, with flat ends."""
    x0, y0 = 2.0, 10.0
    x1, y1, x2, y2, x3, y3 = x0 + 10, y0, x0 + 10, y0 + 11, x0 + 17, y0 + 11
    left, right = [], []
    for n in range(PIECES + 1):
        t = n / PIECES
        s = 1 - t
        x = s * s * s * x0 + 3 * s * s * t * x1 + 3 * s * t * t * x2 + t * t * t * x3
        y = s * s * s * y0 + 3 * s * s * t * y1 + 3 * s * t * t * y2 + t * t * t * y3
        dx = s * s * (x1 - x0) + 2 * s * t * (x2 - x1) + t * t * (x3 - x2)
        dy = s * s * (y1 - y0) + 2 * s * t * (y2 - y1) + t * t * (y3 - y2)
        far = STROKE / 2 / hypot(dx, dy)
        left.append((x - dy * far, y + dx * far))
        right.append((x + dy * far, y - dx * far))
    return [*left, *reversed(right)]


def box() -> list[Point]:
    """The outline of the box."""
    return [(18, 15), (26, 15), (30, 19), (30, 27), (18, 27)]


def placed(side: int, reach: float | None) -> tuple[list[Point], ...]:
    """Both outlines in pixels, the middle of the mark in the middle of the picture."""
    outlines = (cable(), box())
    points = [point for outline in outlines for point in outline]
    if reach is None:
        cx = cy = SIDE / 2
        scale = side / SIDE
    else:
        across, down = zip(*points, strict=True)
        cx, cy = (min(across) + max(across)) / 2, (min(down) + max(down)) / 2
        scale = reach * side / max(hypot(x - cx, y - cy) for x, y in points)
    middle = side / 2
    return tuple(
        [(middle + (x - cx) * scale, middle + (y - cy) * scale) for x, y in outline]
        for outline in outlines
    )


def crossings(edges: list[list[tuple[Point, Point]]], y: float) -> list[tuple[float, float]]:
    """Where a level line is inside one outline or both, by their edges: spans that do not meet."""
    spans: list[tuple[float, float]] = []
    for outline in edges:
        found = sorted(
            xa + (y - ya) / (yb - ya) * (xb - xa)
            for (xa, ya), (xb, yb) in outline
            if (ya <= y) != (yb <= y)
        )
        spans += zip(found[::2], found[1::2], strict=True)
    out: list[tuple[float, float]] = []
    for start, end in sorted(spans):
        if out and start <= out[-1][1]:
            out[-1] = (out[-1][0], max(out[-1][1], end))
        else:
            out.append((start, end))
    return out


@cache
def levels(side: int, reach: float | None) -> tuple[bytes, ...]:
    """Row by row, how much of each pixel the mark covers: 0 nothing, 255 all of it."""
    edges = [
        list(zip([outline[-1], *outline[:-1]], outline, strict=True))
        for outline in placed(side, reach)
    ]
    out = []
    for row in range(side):
        near = [
            [(a, b) for a, b in outline if min(a[1], b[1]) <= row + 1 and max(a[1], b[1]) >= row]
            for outline in edges
        ]
        covered = [0.0] * side
        for thin in range(ROWS):
            for start, end in crossings(near, row + (thin + 0.5) / ROWS):
                first, last = int(start), int(end)
                if first == last:
                    covered[first] += end - start
                    continue
                covered[first] += first + 1 - start
                for x in range(first + 1, last):
                    covered[x] += 1.0
                covered[last] += end - last
        out.append(bytes(min(round(255 * one / ROWS), 255) for one in covered))
    return tuple(out)


def rows_of(picture: Picture) -> list[bytes]:
    """The pixels row by row: three bytes each, or four where one can see through."""
    ink = rgb(picture.ink)
    if picture.ground is None:
        tables = [bytes([one]) * 256 for one in ink] + [bytes(range(256))]
    else:
        tables = [
            bytes(round(g + (i - g) * level / 255) for level in range(256))
            for i, g in zip(ink, rgb(picture.ground), strict=True)
        ]
    out = []
    for row in levels(picture.side, picture.reach):
        pixels = bytearray(len(tables) * picture.side)
        for n, table in enumerate(tables):
            pixels[n :: len(tables)] = row.translate(table)
        out.append(bytes(pixels))
    return out


def rgb(colour: str) -> tuple[int, int, int]:
    """``#RRGGBB`` as three numbers."""
    return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)


def png(picture: Picture) -> bytes:
    """The picture as a PNG file, no row filtered."""
    kind = 6 if picture.ground is None else 2
    head = struct.pack(">IIBBBBB", picture.side, picture.side, 8, kind, 0, 0, 0)
    lines = b"".join(b"\0" + row for row in rows_of(picture))
    return b"\x89PNG\r\n\x1a\n" + b"".join(
        struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        for name, data in (
            (b"IHDR", head),
            (b"IDAT", zlib.compress(lines, 9)),
            (b"IEND", b""),
        )
    )


def main() -> None:
    """Write the mark and all its pictures."""
    (HERE / "farend.svg").write_bytes(SVG.encode())
    for name, picture in PICTURES.items():
        data = png(picture)
        (ASSETS / name).write_bytes(data)
        print(f"{name}: {picture.side} px, {len(data)} bytes")


if __name__ == "__main__":
    main()
