"""Photos made smaller: by what rule, what becomes of those that cannot be, and by a real canvas."""

from __future__ import annotations

import asyncio
import base64
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jpegs import EOI, JFIF, SOI, WHERE, WHO, exif, made, segment
from test_pyodide import session

from fieldapp import shrink
from fieldapp.jpeg import size_of, without_place
from fieldapp.shrink import FEW_BYTES, MOST_SIDE, is_small, redraw_here, shrunk, target

if TYPE_CHECKING:
    from pyodide.harness import Session

__all__ = ["session"]  # a fixture: pytest finds it by its name here

SIDES = st.integers(1, 65_535)  # what a frame header can say
FAT = segment(0xE2, b"ICC_PROFILE\0" + bytes(65_000))
LARGE = made("colours", exif(6), *[FAT] * 12)
SMALLER = made("colours", JFIF)


def shrunk_by(data: bytes, *answers: bytes | Exception) -> tuple[bytes, list[bytes]]:
    """What comes of a picture, and what the canvas was given; it gives back these in turn."""
    given_to: list[bytes] = []
    left = iter(answers)

    async def redraw(taken: bytes) -> bytes:
        given_to.append(taken)
        answer = next(left)
        if isinstance(answer, Exception):
            raise answer
        return answer

    return asyncio.run(shrunk(data, redraw)), given_to


# ---------------------------------------------------------------- the rule


@pytest.mark.parametrize(
    ("size", "drawn"),
    [
        ((4000, 3000), (1600, 1200)),
        ((3000, 4000), (1200, 1600)),
        ((4032, 3024), (1600, 1200)),
        ((4608, 2592), (1600, 900)),
        ((1601, 1601), (1600, 1600)),
        ((1600, 900), (1600, 900)),
        ((640, 480), (640, 480)),
        ((65_535, 1), (1600, 1)),
        ((1, 1), (1, 1)),
    ],
)
def test_a_picture_is_drawn_within_1600_pixels(size: tuple[int, int], drawn: tuple[int, int]):
    """Reckoned by hand."""
    assert target(*size) == drawn


@given(SIDES, SIDES)
def test_no_picture_is_enlarged_or_bent(width: int, height: int):
    """Neither side grows, none is lost, and the shape stays to half a pixel of the shorter side."""
    wide, high = target(width, height)
    assert 1 <= wide <= width and 1 <= high <= height
    assert max(wide, high) == min(max(width, height), MOST_SIDE)
    assert target(wide, high) == (wide, high)
    assert target(height, width) == (high, wide)
    scale = max(wide, high) / max(width, height)
    for side, drawn in ((width, wide), (height, high)):
        assert abs(side * scale - drawn) <= 0.5 + 1e-9 or (drawn == 1 and side * scale < 1)


def test_only_small_pictures_of_few_bytes_are_left_as_they_are():
    assert is_small(MOST_SIDE, 1200, FEW_BYTES)
    assert not is_small(MOST_SIDE + 1, 1200, FEW_BYTES)
    assert not is_small(1200, MOST_SIDE + 1, 1)
    assert not is_small(640, 480, FEW_BYTES + 1)


# ---------------------------------------------------------------- what is handed on


def test_what_the_canvas_drew_is_taken_where_it_is_smaller():
    assert shrunk_by(LARGE, SMALLER) == (SMALLER, [LARGE])


def test_a_small_picture_is_not_drawn_anew():
    """A second loss of sharpness would gain nothing."""
    small = made("progressive", exif(6))
    assert shrunk_by(small) == (small, [])


@pytest.mark.parametrize(
    "answer",
    [
        RuntimeError("InvalidStateError: the source could not be decoded"),
        b"",
        b"\x89PNG\r\n\x1a\n" + bytes(50),
        SMALLER[:-2],
        LARGE,
        LARGE[:-2] + bytes(9) + EOI,
    ],
)
def test_a_picture_is_never_lost_to_the_canvas(answer: bytes | Exception):
    """It raises, gives nothing, another kind, half a picture, or one that is no smaller."""
    data, given_to = shrunk_by(LARGE, answer)
    assert data is LARGE and given_to == [LARGE]


@pytest.mark.parametrize("data", [b"", b"{}", b"GIF89a" + bytes(900_000), LARGE[:-9]])
def test_what_is_no_picture_is_handed_on_as_it_came(data: bytes):
    """What there is to say of it is said by the one place that cleans pictures."""
    assert shrunk_by(data) == (data, [])


def test_a_canvas_that_never_answers_is_not_waited_for(monkeypatch: pytest.MonkeyPatch):
    """Else the app would stay at keeping, and nothing more could be kept."""
    monkeypatch.setattr(shrink, "PATIENCE", 0.01)

    async def silent(data: bytes) -> bytes:
        await asyncio.Event().wait()
        return data

    async def whole() -> bytes:
        return await asyncio.wait_for(shrunk(LARGE, silent), 5)

    assert asyncio.run(whole()) is LARGE


def test_where_there_is_no_browser_nothing_is_drawn():
    """On a laptop that serves the page, and in a phone's own app."""
    assert redraw_here() is None
    assert asyncio.run(shrunk(LARGE, None)) is LARGE


# ---------------------------------------------------------------- a real canvas

MAKE = """
import base64, js, sys
from pyodide.ffi import to_js

sys.path.insert(0, "/farend/repo/tests")
from jpegs import EOI, SOI, exif
from fieldapp.jpeg import NotAPicture, size_of, without_place
from fieldapp.shrink import redraw_here, shrunk


def said(**options):
    return to_js(options, dict_converter=js.Object.fromEntries)


async def taken(width, height, quality=0.95):
    '''A JPEG as a camera stores it, but for Exif: four colours in its quarters under a grain.'''
    canvas = js.OffscreenCanvas.new(width, height)
    pen = canvas.getContext("2d")
    for place, colour in enumerate(("#c03030", "#30a030", "#3030c0", "#c0c040")):
        pen.fillStyle = colour
        left, top = place % 2 * width // 2, place // 2 * height // 2
        pen.fillRect(left, top, width - width // 2, height - height // 2)
    grain = js.ImageData.new(256, 256)
    grain.data.assign(bytes((n * n * 2654435761 >> 13) % 256 for n in range(256 * 256 * 4)))
    tile = js.OffscreenCanvas.new(256, 256)
    tile.getContext("2d").putImageData(grain, 0, 0)
    pen.globalAlpha = 0.2
    pen.fillStyle = pen.createPattern(tile, "repeat")
    pen.fillRect(0, 0, width, height)
    blob = await canvas.convertToBlob(said(type="image/jpeg", quality=quality))
    return (await blob.arrayBuffer()).to_bytes()


async def quarters(data):
    '''As it is shown: width, height, and which colour each quarter has.'''
    blob = js.Blob.new(to_js([data]), said(type="image/jpeg"))
    picture = await js.createImageBitmap(blob)
    pen = js.OffscreenCanvas.new(2, 2).getContext("2d")
    pen.imageSmoothingQuality = "high"
    pen.drawImage(picture, 0, 0, 2, 2)
    points = bytes(pen.getImageData(0, 0, 2, 2).data.to_py())
    colours = [named(points[at : at + 3]) for at in range(0, 16, 4)]
    return [picture.width, picture.height, "".join(colours)]


def named(colour):
    high = [part > 110 for part in colour]
    return {(1, 0, 0): "r", (0, 1, 0): "g", (0, 0, 1): "b", (1, 1, 0): "y"}.get(tuple(high), "?")
"""

SHRINK = """
stored = await taken({0}, {1})
data = stored[:2] + exif({2}) + stored[2:]
small = await shrunk(data, redraw_here())
[len(data), await quarters(stored), base64.b64encode(small).decode(), await quarters(small)]
"""


def in_browser(session: Session, width: int, height: int, orientation: int):
    """A picture made and shrunk there: bytes before, as stored before, what came, how it lies."""
    before, stored, coded, upright = session.run(MAKE + SHRINK.format(width, height, orientation))
    return before, stored, base64.b64decode(coded), upright


def codes(data: bytes) -> list[int]:
    """The markers in front of the first scan (T.81, B.1.1.2), read here by a walk of its own."""
    found, place = [], 2
    while not found or found[-1] != 0xDA:
        assert data[place] == 0xFF
        found.append(data[place + 1])
        place += 2 + int.from_bytes(data[place + 2 : place + 4], "big")
    return found


# Where the quarters lie once a picture stands upright. Exif, tag 274: 6, the stored top row is
# the right-hand side and the stored left column the top; and so on.
UPRIGHT = {1: "rgby", 3: "ybgr", 6: "bryg", 8: "gyrb", 2: "gryb", 5: "rbgy"}


@pytest.mark.browser
@pytest.mark.parametrize("orientation", UPRIGHT)
def test_a_large_photo_is_drawn_smaller_and_upright(session: Session, orientation: int):
    """12 million pixels, by the browser's Python in its worker: smaller, and only the picture."""
    before, stored, small, upright = in_browser(session, 4000, 3000, orientation)

    assert stored == [4000, 3000, "rgby"] and before > 2_000_000
    size = (1200, 1600) if orientation >= 5 else (1600, 1200)
    assert upright == [*size, UPRIGHT[orientation]]
    assert size_of(small) == size
    assert small.startswith(SOI) and small.endswith(EOI)
    assert 0xE1 not in codes(small) and WHERE not in small and WHO not in small
    assert len(small) < before / 3
    assert size_of(without_place(small)) == size and len(without_place(small)) <= len(small)


@pytest.mark.browser
def test_it_was_drawn_in_a_worker(session: Session):
    """As the app runs there: a page's own canvas would be out of reach."""
    source = "[hasattr(js, 'document'), js.self.constructor.name]"
    assert session.run("import js\n" + source) == [False, "DedicatedWorkerGlobalScope"]


@pytest.mark.browser
def test_a_photo_too_large_to_keep_is_kept_small(session: Session):
    """One that is refused as it came, above 4 MB, is not where a canvas is at hand."""
    source = """
data = await taken(6000, 4000, 1.0)
try:
    without_place(data)
    why = "kept"
except NotAPicture as bad:
    why = bad.why
small = without_place(await shrunk(data, redraw_here()))
[len(data), why, len(small), size_of(small)]
"""
    before, why, after, size = session.run(MAKE + source)
    assert before > 4_000_000 and why == "too-large"
    assert after < 1_500_000 and size == [1600, 1067]


@pytest.mark.browser
def test_of_many_bytes_in_few_pixels_only_the_bytes_go(session: Session):
    """Never enlarged: the same pixels at less bytes."""
    source = """
data = await taken(1400, 1000, 1.0)
small = await shrunk(data, redraw_here())
few = await taken(640, 480, 0.5)
[len(data), len(small), size_of(small), len(few), await shrunk(few, redraw_here()) is few]
"""
    before, after, size, few, is_same = session.run(MAKE + source)
    assert before > FEW_BYTES > few and after < before / 2
    assert size == [1400, 1000] and is_same


BREAKS = {
    "noise": """
pens = js.OffscreenCanvasRenderingContext2D.prototype
whole = pens.getImageData
pens.getImageData = js.Function.new("x, y, w, h", '''
  const out = new ImageData(w, h);
  out.data.forEach((_, n) => { out.data[n] = (n * 97 + 31) % 256; });
  return out;''')
try:
    out = await shrunk(data, redraw_here())
finally:
    pens.getImageData = whole
""",
    "no canvas": """
whole = js.OffscreenCanvas
js.eval("delete self.OffscreenCanvas")
try:
    assert redraw_here() is None
    out = await shrunk(data, redraw_here())
finally:
    js.OffscreenCanvas = whole
""",
    "a picture it cannot decode": """
frame = data.index(bytes((0xFF, 0xC0)))
data = data[: frame + 4] + bytes((12,)) + data[frame + 5 :]  # twelve bits a sample
assert size_of(data) == (4000, 3000)
out = await shrunk(data, redraw_here())
""",
}


@pytest.mark.browser
@pytest.mark.parametrize("what", BREAKS)
def test_where_the_canvas_is_no_help_the_photo_stays(session: Session, what: str):
    """Noise handed out against being recognised would have been kept in the photo's place."""
    source = "data = await taken(4000, 3000)\n" + BREAKS[what]
    assert session.run(MAKE + source + "[out is data, len(data) > 2_000_000]") == [True, True]
    again = MAKE + "data = await taken(4000, 3000)\n"
    assert session.run(again + "len(await shrunk(data, redraw_here())) < len(data)")
