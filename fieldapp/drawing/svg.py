"""A picture written as SVG text: for reports, and to look at what the app will paint."""

from collections.abc import Mapping
from html import escape
from typing import NamedTuple

from fieldapp.drawing.letters import HALO
from fieldapp.drawing.shapes import Circle, Label, Line, Path, Picture, Rect, Shape
from fieldapp.faces import FACES, text_width

# From the middle of a capital down to the baseline: half of its 0.69 em.
BASELINE_EM = 0.345


class _Look(NamedTuple):
    weight: int
    style: str
    spare: str


_LOOKS = {
    "T": _Look(400, "normal", "sans-serif"),
    "TM": _Look(500, "normal", "sans-serif"),
    "TB": _Look(600, "normal", "sans-serif"),
    "TI": _Look(400, "italic", "sans-serif"),
    "TMI": _Look(500, "italic", "sans-serif"),
    "P": _Look(400, "normal", "sans-serif"),
    "PM": _Look(500, "normal", "sans-serif"),
    "PB": _Look(600, "normal", "sans-serif"),
}


def to_svg(
    picture: Picture, tokens: Mapping[str, str], *, ground: bool = True, fitted: bool = False
) -> str:
    """The picture in the colours of ``tokens``; ``ground=False`` leaves the background clear.

    ``fitted`` tells each label the width it was placed by, for a reader with other letters.

    Raises
    ------
    KeyError : a shape names a token that the table lacks.
    """
    w, h = _n(picture.width), _n(picture.height)
    back = f'<rect width="{w}" height="{h}" fill="{tokens["ground"]}"/>' if ground else ""
    body = "\n".join(element(shape, tokens, fitted) for shape in picture.shapes)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{w}" height="{h}" '
        f'viewBox="0 0 {w} {h}">\n{back}\n{body}\n</svg>\n'
    )


def element(shape: Shape, tokens: Mapping[str, str], fitted: bool) -> str:
    """One shape as SVG; ``fitted`` as for ``to_svg``."""
    if isinstance(shape, Label):
        return _text(shape, tokens, fitted)
    if isinstance(shape, Line):
        return (
            f'<line x1="{_n(shape.x1)}" y1="{_n(shape.y1)}" x2="{_n(shape.x2)}" '
            f'y2="{_n(shape.y2)}" {_paint(None, shape, tokens)} stroke-linecap="{shape.cap}"/>'
        )
    if isinstance(shape, Circle):
        return (
            f'<circle cx="{_n(shape.x)}" cy="{_n(shape.y)}" r="{_n(shape.r)}" '
            f"{_paint(shape.fill, shape, tokens)}/>"
        )
    if isinstance(shape, Rect):
        return (
            f'<rect x="{_n(shape.x)}" y="{_n(shape.y)}" width="{_n(shape.w)}" '
            f'height="{_n(shape.h)}" rx="{_n(shape.radius)}" '
            f"{_paint(shape.fill, shape, tokens)}/>"
        )
    joint = "round" if shape.cap == "round" else "miter"
    way = "L".join(f"{_n(x)} {_n(y)}" for x, y in shape.points)
    return (
        f'<path d="M{way}{"Z" if shape.closed else ""}" {_paint(shape.fill, shape, tokens)} '
        f'stroke-linecap="{shape.cap}" stroke-linejoin="{joint}"/>'
    )


def _paint(fill: str | None, shape: Path | Line | Circle | Rect, tokens: Mapping[str, str]) -> str:
    parts = [f'fill="{tokens[fill] if fill else "none"}"']
    if shape.stroke:
        parts.append(f'stroke="{tokens[shape.stroke]}" stroke-width="{_n(shape.width)}"')
        if shape.dash:
            parts.append(f'stroke-dasharray="{" ".join(_n(d) for d in shape.dash)}"')
    return " ".join(parts)


def _text(label: Label, tokens: Mapping[str, str], fitted: bool) -> str:
    look = _LOOKS[label.face]
    width = text_width(label.face, label.size, label.text) if fitted else 0.0
    held = f' textLength="{_n(width)}" lengthAdjust="spacingAndGlyphs"' if width else ""
    turn = (
        f' transform="rotate({_n(label.rotate)} {_n(label.x)} {_n(label.y)})"'
        if label.rotate
        else ""
    )
    rim = (
        f' stroke="{tokens[label.halo]}" stroke-width="{_n(HALO)}" stroke-linejoin="round" '
        'paint-order="stroke"'
        if label.halo
        else ""
    )
    return (
        f'<text x="{_n(label.x)}" y="{_n(label.y + BASELINE_EM * label.size)}" '
        f"font-family=\"'{FACES[label.face].family}', {look.spare}\" "
        f'font-weight="{look.weight}" font-style="{look.style}" '
        f'font-size="{_n(label.size)}" text-anchor="{label.anchor}" xml:space="preserve" '
        f'fill="{tokens[label.ink]}"{rim}{turn}{held}>{escape(_printable(label.text))}</text>'
    )


def _printable(text: str) -> str:
    """The text without what XML cannot hold: control characters and lone surrogates."""
    return "".join(c if c.isprintable() or (c.isspace() and c >= " ") else "\ufffd" for c in text)


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"
