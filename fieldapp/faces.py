"""The faces of the app: which file, which family, and how wide a line of text is.

A face has a short name. ``T``, ``TM``, ``TB`` are *Farend Text* in weights 400, 500, 600;
``TI`` and ``TMI`` its italics in 400 and 500; ``P``, ``PM``, ``PB`` are *Farend Plate*, the narrow
one, in 400, 500, 600. All ten digits of a face have one width, so figures never jitter.

Pure Python: text can be measured where nothing is drawn.
"""

import json
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import NamedTuple


class Face(NamedTuple):
    """One font file: ``file`` is relative to the assets folder, ``family`` is its own family."""

    file: str
    family: str


# Every file has a family of its own: Flet picks a font by family alone, one file to a name.
FACES = MappingProxyType(
    {
        "T": Face("fonts/farend-text-400.ttf", "Farend Text"),
        "TM": Face("fonts/farend-text-500.ttf", "Farend Text Medium"),
        "TB": Face("fonts/farend-text-600.ttf", "Farend Text SemiBold"),
        "TI": Face("fonts/farend-text-400-italic.ttf", "Farend Text Italic"),
        "TMI": Face("fonts/farend-text-500-italic.ttf", "Farend Text Medium Italic"),
        "P": Face("fonts/farend-plate-400.ttf", "Farend Plate"),
        "PM": Face("fonts/farend-plate-500.ttf", "Farend Plate Medium"),
        "PB": Face("fonts/farend-plate-600.ttf", "Farend Plate SemiBold"),
    }
)


class Widths(NamedTuple):
    """Advance widths of one face. [em]  ``missing`` is the box drawn for an unknown character."""

    of: dict[str, float]
    missing: float


def font_files() -> dict[str, str]:
    """Family name to font file, as a page wants to be told of its fonts."""
    return {face.family: face.file for face in FACES.values()}


def text_width(face: str, size: float, text: str) -> float:
    """Width of one line of text, before kerning.

    Parameters
    ----------
    face : short name, a key of ``FACES``.
    size : font size; the answer comes in the same unit (dp for the screen).  0 <= size
    text : one line. A character the face lacks counts as the box drawn in its place.

    Returns
    -------
    Sum of the advance widths. [unit of ``size``]  Kerning mostly draws letters closer, so the
    drawn line is as a rule a little narrower. Letter spacing is the caller's to add.

    Raises
    ------
    ValueError : there is no such face, or the size is negative.

    Source
    ------
    The font files' own advance widths, listed in ``assets/fonts/widths.json``.

    >>> text_width("T", 100, "124")   # three digits of 0.560 em
    168.0
    """
    if face not in FACES:
        raise ValueError(f"no face {face!r}: the faces are {', '.join(FACES)}")
    if size < 0:
        raise ValueError(f"size {size!r} is negative: give a font size of 0 or more")
    widths = _widths()[face]
    return round(size * sum(widths.of.get(character, widths.missing) for character in text), 6)


@cache
def _widths() -> dict[str, Widths]:
    """The table of advance widths, read once."""
    table = json.loads(files("fieldapp").joinpath("assets/fonts/widths.json").read_text("utf-8"))
    em = table["units_per_em"]
    characters = [chr(point) for point in table["code_points"]]
    return {
        face: Widths(
            of={
                character: advance / em
                for character, advance in zip(characters, row["advances"], strict=True)
            },
            missing=row["missing"] / em,
        )
        for face, row in table["faces"].items()
    }


def lines_needed(face: str, size: float, text: str, width: float, strong: str = "TB") -> int:
    """How many lines a text takes when it is broken between words at this width.

    What stands between two ``**`` is measured in the ``strong`` face.
    """
    lines, filled = 1, 0.0
    space = text_width(face, size, " ")
    for i, piece in enumerate(text.split("**")):
        for word in piece.split():
            wide = text_width(strong if i % 2 else face, size, word)
            if filled and filled + space + wide > width:
                lines, filled = lines + 1, wide
            else:
                filled += wide + (space if filled else 0.0)
    return lines
