"""JPEG pictures in a PDF: the bytes as they are, stood upright by how they are placed."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from attrs import frozen
from pydyf import Stream

from fieldapp.jpeg import Drawn, NotAPicture, drawn_by

PROCESSES = frozenset({0xC0, 0xC1, 0xC2})
"""baseline, extended and progressive, all Huffman: what DCTDecode reads (ISO 32000-1, 7.4.8)"""
SPACES: Mapping[int, str] = MappingProxyType({1: "Gray", 3: "RGB", 4: "CMYK"})
"""by the count of components"""
UPRIGHT: Mapping[int, tuple[int, int, int, int, int, int]] = MappingProxyType(
    {
        1: (1, 0, 0, 1, 0, 0),
        2: (-1, 0, 0, 1, 1, 0),
        3: (-1, 0, 0, -1, 1, 1),
        4: (1, 0, 0, -1, 0, 1),
        5: (0, -1, -1, 0, 1, 1),
        6: (0, -1, 1, 0, 0, 1),
        7: (0, 1, 1, 0, 0, 0),
        8: (0, 1, -1, 0, 1, 0),
    }
)
"""from the stored picture's unit square to the upright one's, y upwards, by Exif's orientation
(tag 274: where the first row and the first column of what is stored belong)"""


@frozen(eq=False)
class Photo:
    """A picture of a document; ``width`` and ``height`` in pixels as it stands upright."""

    name: str
    width: int
    height: int
    data: bytes
    drawn: Drawn

    def stream(self) -> Stream:
        """Its object: the bytes unchanged."""
        drawn = self.drawn
        extra = {
            "Type": "/XObject",
            "Subtype": "/Image",
            "Width": drawn.width,
            "Height": drawn.height,
            "ColorSpace": f"/Device{SPACES[drawn.components]}",
            "BitsPerComponent": 8,
            "Filter": "/DCTDecode",
        }
        if drawn.components == 4 and drawn.is_adobe:  # those are kept as their complement
            extra["Decode"] = "[1 0 1 0 1 0 1 0]"
        return Stream([self.data], extra)

    def matrix(self, x: float, y: float, width: float, height: float) -> tuple[float, ...]:
        """What puts it upright into this frame, y downwards."""
        a, b, c, d, e, f = UPRIGHT[self.drawn.orientation]
        return (
            *(width * a, -height * b, width * c, -height * d),
            *(x + width * e, y + height - height * f),
        )


def photo(data: bytes, name: str) -> Photo | None:
    """A picture to be put in; None where a reader of PDF could not draw it."""
    try:
        drawn = drawn_by(data)
    except NotAPicture:
        return None
    fits = drawn.process in PROCESSES and drawn.bits == 8 and drawn.is_counted
    if not fits or drawn.components not in SPACES:
        return None
    size = (drawn.width, drawn.height)
    if drawn.orientation >= 5:
        size = size[::-1]
    return Photo(name, *size, data, drawn)
