"""What the shapes say: each sign of the drawings with its name and one line."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.english.figures import VERDICTS, capital
from fieldapp.words.english.plans import kind_word

SIGN_GROUPS: Mapping[str, str] = {
    "boxes": "Boxes",
    "sides": "Their sides",
    "cable": "The cable",
    "verdicts": "Verdicts",
    "readings": "Bands and readings",
    "line": "The falling line",
    "leaving": "What holds you",
    "odds": "Odds",
}
"""the parts of the page"""
SIGN_NAMES: Mapping[str, str] = {
    "round": "round side",
    "teeth": "three teeth",
    "jack": "square jack",
    "wrong": "wrong way round",
    "earth": "earth tail",
    "copper": "copper",
    "empty": "empty",
    "striped": "striped",
    "cut": "a slit",
    "printed": "print",
    "short": "two strokes",
    "open": "cut open",
    "branch": "thin line",
    "sleeve": "sleeve",
    "bead": "bead",
    "design-band": "dashed band",
    "earlier": "hollow bead",
    "here": "tag",
    "fan-design": "pale fan",
    "fan-today": "full fan",
    "floor": "hatched floor",
    "knot": "knot",
    "taped": "taped",
    "plug": "plug",
    "odds": "conductor ends",
}
"""names of signs; kinds of box and verdicts have theirs already"""
SIGN_LINES: Mapping[str, str] = {
    "source": "feeds the run",
    "injector": "adds the power",
    "repeater": "chevrons: away from the feed",
    "long-span": "a wave: the long pair",
    "arrestor": "two points and a gap",
    "joint": "a seam in a sleeve",
    "splitter": "one line becomes more",
    "endpoint": "the run ends here",
    "round": "meets the long pair",
    "teeth": "meet the weather",
    "jack": "meets equipment, a patch lead",
    "wrong": "the box and a break in this colour",
    "earth": "the box is bonded",
    "copper": "proven",
    "empty": "not proven yet",
    "striped": "suspect",
    "cut": "power, but no data",
    "printed": "the length, as on real cable",
    "short": "drawn longer than it is",
    "open": "a box can go in here",
    "branch": "another way to an end",
    "inside": "the band holds it",
    "unclear": "the meter cannot tell",
    "outside": "clear of the band",
    "no-band": "nothing to hold it against",
    "sleeve": "a prediction: today’s band",
    "bead": "a reading; its bar is the meter’s reach",
    "design-band": "all that the plan allows",
    "earlier": "what was read here before",
    "here": "where you stand",
    "fan-design": "where the plan has the volts",
    "fan-today": "what is left of it once you measure",
    "floor": "down here a box stops",
    "knot": "this holds you here",
    "taped": "waived: it stays so",
    "plug": "the cable ends, you may leave",
    "odds": "as many of ten as are copper",
}
"""one line a sign"""


def shapes_title() -> str:
    """The page, and the row of Settings that leads there."""
    return "What the shapes say"


def shapes_more() -> str:
    """Under that row."""
    return "every sign of the drawings, with a word"


def sign_group(key: str) -> str:
    """Over a part of the page."""
    return SIGN_GROUPS[key]


def sign_name(key: str) -> str:
    """What a sign is called."""
    return SIGN_NAMES.get(key) or VERDICTS.get(key) or kind_word(key)


def sign_line(key: str) -> str:
    """What it says."""
    return SIGN_LINES[key]


def speak_sign(key: str) -> str:
    """A sign for a screen reader: ``Knot: this holds you here.``"""
    return f"{capital(sign_name(key))}: {sign_line(key)}."


def sign_stop() -> str:
    """A made-up place, for the tag."""
    return "weir"
