"""How much room words take in a drawing, and how they are shortened when there is less."""

from dataclasses import replace
from math import inf

from fieldapp.drawing.shapes import Label, Picture, Rect, Shape
from fieldapp.faces import text_width

Frame = tuple[float, float, float, float]

HALO = 5.0
LINE_HEIGHT = 1.2


def label_frame(label: Label) -> Frame:
    """Left, top, right, bottom of an unturned label's line of text. [dp]"""
    width = text_width(label.face, label.size, label.text)
    left = label.x - {"start": 0.0, "middle": width / 2, "end": width}[label.anchor]
    half = label.size * LINE_HEIGHT / 2
    return left, label.y - half, left + width, label.y + half


def overlap(one: Frame, other: Frame) -> float:
    """The area two frames share. [dp²]"""
    w = min(one[2], other[2]) - max(one[0], other[0])
    h = min(one[3], other[3]) - max(one[1], other[1])
    return w * h if w > 0 and h > 0 else 0.0


def grown(frame: Frame, by: float) -> Frame:
    """The frame with a rim of this many dp on every side."""
    return frame[0] - by, frame[1] - by, frame[2] + by, frame[3] + by


PRINT, SMALL = 14.0, 24.0
"""letters up to the one are printed on a jacket, and grow no more than that; those of the other
are read at any text scale [dp]"""
CLEAR = 4.0
"""between two labels [dp]"""


def legible(picture: Picture, k: float) -> Picture:
    """The picture with its small labels grown by ``k``, up to what is read at any scale. One that
    would leave the picture is moved; one that would lie on another stays as it is, and one on a tag
    grows as far as that has room."""
    if k <= 1.0:
        return picture
    frames = {one: label_frame(one) for one in picture.shapes if isinstance(one, Label)}

    def larger(one: Shape) -> Shape:
        if not isinstance(one, Label) or not PRINT <= one.size < SMALL or one.rotate:
            return one
        new = replace(one, size=min(one.size * min(k, _room(one, picture)), SMALL))
        frame = label_frame(new)
        new = replace(new, x=new.x + max(CLEAR - frame[0], 0.0))
        new = replace(new, x=new.x - max(label_frame(new)[2] - picture.width + CLEAR, 0.0))
        frame = grown(label_frame(new), CLEAR / 2)
        if frame[0] < 0 or any(overlap(frame, f) for o, f in frames.items() if o is not one):
            return one
        frames[one] = label_frame(new)
        return new

    return replace(picture, shapes=tuple(map(larger, picture.shapes)))


def _room(label: Label, picture: Picture) -> float:
    """How many times as large a label can be on what it is set on; any size where that is nothing."""
    left, top, right, bottom = label_frame(label)
    holders = (
        one
        for one in picture.shapes
        if isinstance(one, Rect) and one.fill
        if one.x <= left and right <= one.x + one.w and one.y <= label.y <= one.y + one.h
    )
    wide = max(right - left, 1.0)
    rooms = [min((one.w - 2 * CLEAR) / wide, one.h / (bottom - top)) for one in holders]
    return max(min(rooms, default=inf), 1.0)


def shorten(text: str, face: str, size: float, width: float) -> str:
    """The text, or its two ends round an ellipsis if it is wider than ``width``; '' if even
    one letter does not fit.

    >>> shorten("Reedbed hide", "P", 15, 1000)
    'Reedbed hide'
    """
    if text_width(face, size, text) <= width:
        return text
    for kept in range(len(text) - 1, 1, -1):
        head, tail = text[: kept - kept // 2].rstrip(), text[len(text) - kept // 2 :].lstrip()
        short = f"{head}…{tail}"
        if text_width(face, size, short) <= width:
            return short
    return ""


def tag(
    x: float,
    y: float,
    text: str,
    *,
    face: str = "PB",
    size: float = 16.0,
    height: float = 24.0,
    low: float = 8.0,
    high: float = float("inf"),
    pad: float = 10.0,
) -> tuple[Frame, Label]:
    """The frame and words of a black tag centred on x, pushed to stay between ``low`` and ``high``."""
    words = shorten(text, face, size, max(high - low - 2 * pad, 0.0))
    width = text_width(face, size, words) + 2 * pad
    left = max(min(x - width / 2, high - width), low)
    frame = (left, y - height / 2, left + width, y + height / 2)
    return frame, Label(left + width / 2, y, words, face, size, "ground", "middle")
