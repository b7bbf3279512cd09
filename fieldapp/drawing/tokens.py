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
