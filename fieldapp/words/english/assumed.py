"""What a plan does not say, and what is taken instead."""

from __future__ import annotations

from fieldapp.words.english.figures import capital, tied
from fieldapp.words.english.said import says


@says("assumed")
def _assumed(quantity: str, of: str, taken: str) -> str:
    named = quantity.removesuffix("_m").replace("_", " ")
    return f"{capital(named)} of {of}: {tied(taken)}."
