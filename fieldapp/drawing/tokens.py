"""The colours by name: one table for sun, one for the dark, each with one of more contrast.

Drawings name a token; only what paints them asks these tables. There is no further hue.
"""

from collections.abc import Mapping
from types import MappingProxyType

SUN: Mapping[str, str] = MappingProxyType(
    {
        "ground": "#FBFAF5",
        "sheet": "#FFFFFF",
        "ink": "#10171A",
        "soft": "#3F4A4F",
        "rule": "#7A7C77",
        "hair": "#C9C5B8",
        "copper": "#A4510F",
        "on_copper": "#FFFFFF",
        "copper_word": "#7C3A06",
        "tide": "#0A5266",
        "tide_fill": "#A9D3DB",
        "tide_wash": "#DDEDEE",
        "signal": "#A0004A",
    }
)

DARK: Mapping[str, str] = MappingProxyType(
    {
        "ground": "#0A0F12",
        "sheet": "#131A1E",
        "ink": "#F6F2E9",
        "soft": "#C2C7C4",
        "rule": "#6F7C80",
        "hair": "#38444A",
        "copper": "#F5B070",
        "on_copper": "#1A0D02",
        "copper_word": "#F7BE8B",
        "tide": "#7FD3E2",
        "tide_fill": "#1D5563",
        "tide_wash": "#10292F",
        "signal": "#FF74A8",
    }
)

SUN_HIGH: Mapping[str, str] = MappingProxyType(
    {
        **SUN,
        "soft": SUN["ink"],
        "rule": SUN["ink"],
        "hair": SUN["rule"],
        "tide_fill": SUN["ground"],
        "tide_wash": SUN["ground"],
    }
)
"""for those who asked the phone for more contrast: ink for soft, no washes"""

DARK_HIGH: Mapping[str, str] = MappingProxyType(
    {
        **DARK,
        "soft": DARK["ink"],
        "rule": DARK["ink"],
        "hair": DARK["rule"],
        "tide_fill": DARK["ground"],
        "tide_wash": DARK["ground"],
    }
)

WORDS_ON: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "ink": frozenset({"ground", "sheet", "tide_fill", "tide_wash"}),
        "soft": frozenset({"ground", "sheet", "tide_wash"}),
        "tide": frozenset({"ground", "sheet"}),
        "signal": frozenset({"ground"}),
        "ground": frozenset({"ink", "signal"}),
        "sheet": frozenset({"ink"}),
        "copper_word": frozenset({"ground"}),
        "on_copper": frozenset({"copper"}),
    }
)
"""by token: what letters in it are set on. Each pair has 4.5 : 1 in every look, whatever its size
(WCAG 2.2, 1.4.3); a test walks all screens and finds no other."""

SHAPES_ON: Mapping[str, frozenset[str]] = MappingProxyType(
    {
        "ink": frozenset({"ground", "sheet", "tide_fill", "tide_wash"}),
        "soft": frozenset({"ground", "sheet", "tide_wash"}),
        "rule": frozenset({"ground", "sheet", "tide_wash"}),
        "copper": frozenset({"ground"}),
        "tide": frozenset({"ground", "sheet", "tide_fill", "tide_wash"}),
        "signal": frozenset({"ground", "sheet", "tide_fill", "tide_wash"}),
        "ground": frozenset({"ink"}),
    }
)
"""by token: what lines and shapes that mean something are drawn on. Each pair has 3 : 1 in every
look (1.4.11)."""

CARRIED_BY_OTHERS: Mapping[str, str] = MappingProxyType(
    {
        "hair": "parts rows and stands for even steps; figures beside it say them",
        "tide_fill": "the inside of a band: its tide edge carries it",
        "tide_wash": "the same",
        "sheet": "the face of a box or a key: its edge carries it",
        "ground": "the inside of an empty jacket, a gap, a halo: its edge or what is cut carries it",
    }
)
"""by token: why a shape in it needs no contrast of its own"""

CROSSED: frozenset[str] = frozenset({"ink", "copper", "signal", "tide", "soft", "rule", "hair"})
"""what is drawn in lines: a shape that crosses them, or lies in a casing of them, is told by what
it lies on beside them"""


def tokens_for(dark: bool, contrast: bool) -> Mapping[str, str]:
    """The table of a look."""
    return (DARK_HIGH if contrast else DARK) if dark else (SUN_HIGH if contrast else SUN)


def luminance(colour: str) -> float:
    """Relative luminance of a hex colour, 0 to 1.

    Source
    ------
    WCAG 2.2, definition of relative luminance (sRGB).

    >>> luminance("#FFFFFF")
    1.0
    """
    channels = (int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5))
    red, green, blue = (
        c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two hex colours, 1 to 21.

    Source
    ------
    WCAG 2.2, definition of contrast ratio.

    >>> round(contrast("#000000", "#FFFFFF"), 3)
    21.0
    """
    dim, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dim + 0.05)
