"""What an installed page tells the phone of itself: its names, its pictures, its colours.

Nothing here names a place, so the bundle works in any folder of any host. There is no ``id`` on
purpose: one would be resolved against the host alone, and two bundles in two folders of one host
would be taken for one app with one set of data; left out, the folder is the identity.

Source: Web Application Manifest (W3C).
"""

from __future__ import annotations

from typing import Any

from fieldapp import words
from fieldapp.drawing.tokens import SUN

NAME = "manifest.webmanifest"
"""where it is kept in a bundle"""
LANGUAGE = "en"
DESCRIPTION = "Data and power over one long twisted-pair run: plan, measure, find the fault, leave."
"""a manifest is in one language, whatever the app speaks"""

# (file below the app's assets, sizes, what a phone may do with it)
ICONS = (
    ("icons/farend.svg", "any", "any"),
    ("icons/icon-192.png", "192x192", "any"),
    ("icons/icon-512.png", "512x512", "any"),
    ("icons/icon-maskable-512.png", "512x512", "maskable"),
)
MEDIA = {".svg": "image/svg+xml", ".png": "image/png"}


def manifest() -> dict[str, Any]:
    """The manifest as plain values, in English whatever is spoken here."""
    with words.speaking(words.Manner(LANGUAGE)):
        title = words.FIXED.title
    return {
        "name": title,
        "short_name": title,
        "description": DESCRIPTION,
        "lang": LANGUAGE,
        "dir": "ltr",
        "start_url": ".",
        "scope": ".",
        "display": "standalone",
        "orientation": "any",
        "background_color": SUN["ground"],
        "theme_color": SUN["ground"],
        "categories": ["utilities", "productivity"],
        "icons": [
            {"src": src, "sizes": sizes, "type": MEDIA[src[src.rindex(".") :]], "purpose": purpose}
            for src, sizes, purpose in ICONS
        ],
    }
