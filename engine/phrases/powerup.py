"""What the lights of a box should do when power comes to it, in words."""

from __future__ import annotations

from engine.phrases.book import Phrase, phrase


@phrase("lights-feed")
def _feed(box: str, within_s: float) -> Phrase:
    return Phrase(
        f"{box}: the light of its port comes on within {within_s} s.",
        "Slow blinking: it searches, or has a fault. Dark: it granted nothing.",
    )


@phrase("lights-box")
def _box(box: str, power_s: float, link_s: float) -> Phrase:
    return Phrase(
        f"{box}: power light within {power_s} s, link light some {link_s} s after it.",
        "A power light proves this one input, a link light this one link.",
    )


@phrase("lights-endpoint")
def _endpoint(box: str, from_s: float, to_s: float) -> Phrase:
    return Phrase(
        f"{box} needs {from_s} to {to_s} s to come up by itself.",
        "Judged sooner, it is blamed for what it has not begun.",
    )
