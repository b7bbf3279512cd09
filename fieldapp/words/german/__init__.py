"""Every sentence of the app in German: the same names and parts as in ``fieldapp.words``.

What carries no language (units, keys, logic) is taken from there.
"""

from __future__ import annotations

from fieldapp.words.german.said import *  # noqa: F403
