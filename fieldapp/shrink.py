"""A photo made smaller where the platform can: the browser redraws it, elsewhere it stays as it is.

Where Python runs in the browser, page or worker, its canvas draws the picture anew: upright, its
longer side no longer than ``MOST_SIDE``, with nothing in the file but the picture. Elsewhere
there is nothing that could (no compiled library comes into the app), and a phone's own picker
has squeezed it before. Whatever comes of it is cleaned by ``jpeg`` like any other, and a picture
that cannot be redrawn is handed on as it came, with what there is to say of it left to ``jpeg``.

Sources: ``createImageBitmap`` with ``imageOrientation``, ``OffscreenCanvas.convertToBlob`` from
the HTML standard (``from memory``; they are tried in a test). That some browsers hand out noise
instead of what a canvas holds, against being recognised, is told in their own bug reports.
"""

from __future__ import annotations

import asyncio
import sys
from collections.abc import Awaitable, Callable
from importlib import import_module
from typing import Any

from fieldapp.jpeg import size_of

MOST_SIDE = 1600
"""the longer side of what is kept [pixels], ours: a label of a box can be read from arm's length"""
QUALITY = 0.8
"""as the canvas counts it, 0 to 1, ours: like what is asked of a phone's picker"""
FEW_BYTES = 600_000
"""a picture of no more pixels and no more bytes than this is left as it is, ours"""
PATIENCE = 30.0
"""a canvas that does not answer is not waited for longer [s]"""
PROBE = ((238, 34, 34), (34, 34, 238))
NOISE = 8
"""what a canvas may be off by [of 255]: some browsers disturb its lowest bits, which no eye sees"""

Redraw = Callable[[bytes], Awaitable[bytes]]
"""a JPEG drawn anew by ``target``'s rule; raises anything where it cannot"""


def target(width: int, height: int) -> tuple[int, int]:
    """The size to draw a picture in [pixels]: same shape, within ``MOST_SIDE``, never enlarged.

    >>> target(4000, 3000), target(3000, 4000), target(800, 600)
    ((1600, 1200), (1200, 1600), (800, 600))
    """
    longer = max(width, height)
    if longer <= MOST_SIDE:
        return width, height
    # whole numbers, halves upwards; a strip one pixel high stays one pixel high
    wide, high = ((2 * side * MOST_SIDE + longer) // (2 * longer) for side in (width, height))
    return max(wide, 1), max(high, 1)


def is_small(width: int, height: int, count: int) -> bool:
    """Whether a picture of so many pixels and bytes is left as it is."""
    return max(width, height) <= MOST_SIDE and count <= FEW_BYTES


async def shrunk(data: bytes, redraw: Redraw | None) -> bytes:
    """The picture made smaller, or the same bytes where that is not needed or not possible.

    Never raises, never gives more bytes than came, and never what ``jpeg`` could not read.
    ``redraw`` None: the platform cannot.
    """
    if redraw is None:
        return data
    try:
        if is_small(*size_of(data), len(data)):
            return data
        async with asyncio.timeout(PATIENCE):
            drawn = await redraw(data)
        size_of(drawn)
    except Exception:  # whatever the browser raises, or jpeg: the photo is not lost to it
        return data
    return drawn if len(drawn) < len(data) else data


def redraw_here() -> Redraw | None:
    """The browser's canvas where Python runs in a browser that has one; else None."""
    if sys.platform != "emscripten":
        return None
    js = import_module("js")
    lacks = not all(hasattr(js, name) for name in ("OffscreenCanvas", "createImageBitmap", "Blob"))
    return None if lacks else _redrawn


async def _redrawn(data: bytes) -> bytes:
    """Drawn anew by the browser, turned as Exif says. Raises as JavaScript does."""
    js, ffi = import_module("js"), import_module("pyodide.ffi")

    def said(**options: Any) -> Any:
        return ffi.to_js(options, dict_converter=js.Object.fromEntries)

    if not _holds_what_is_drawn(js, said):
        raise RuntimeError("this browser does not give out what its canvas holds")
    blob = js.Blob.new(ffi.to_js([data]), said(type="image/jpeg"))
    picture = await js.createImageBitmap(blob, said(imageOrientation="from-image"))
    try:
        width, height = target(picture.width, picture.height)
        canvas = js.OffscreenCanvas.new(width, height)
        pen = canvas.getContext("2d", said(alpha=False))
        pen.imageSmoothingQuality = "high"
        pen.drawImage(picture, 0, 0, width, height)
    finally:
        picture.close()  # or its pixels stay until somebody collects them
    drawn = await canvas.convertToBlob(said(type="image/jpeg", quality=QUALITY))
    smaller: bytes = (await drawn.arrayBuffer()).to_bytes()
    return smaller


def _holds_what_is_drawn(js: Any, said: Callable[..., Any]) -> bool:
    """Whether the canvas gives back two colours as they were put in, or noise in their place."""
    canvas = js.OffscreenCanvas.new(len(PROBE), 1)
    pen = canvas.getContext("2d", said(alpha=False))
    for place, colour in enumerate(PROBE):
        pen.fillStyle = "rgb({}, {}, {})".format(*colour)
        pen.fillRect(place, 0, 1, 1)
    found = bytes(pen.getImageData(0, 0, len(PROBE), 1).data.to_py())
    wanted = [part for colour in PROBE for part in (*colour, 255)]
    return all(abs(one - other) <= NOISE for one, other in zip(found, wanted, strict=True))
