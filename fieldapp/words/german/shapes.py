"""What the shapes say, in German: each sign of the drawings with its name and one line."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.german.figures import VERDICTS, capital
from fieldapp.words.german.plans import kind_word

SIGN_GROUPS: Mapping[str, str] = {
    "boxes": "Boxen",
    "sides": "Ihre Seiten",
    "cable": "Das Kabel",
    "verdicts": "Urteile",
    "readings": "Bänder und Messwerte",
    "line": "Die fallende Linie",
    "leaving": "Was dich hier hält",
    "odds": "Aussichten",
}
"""the parts of the page"""
SIGN_NAMES: Mapping[str, str] = {
    "round": "runde Seite",
    "teeth": "drei Zähne",
    "jack": "eckige Buchse",
    "wrong": "falsch herum",
    "earth": "Erdzeichen",
    "copper": "Kupfer",
    "empty": "leer",
    "striped": "gestreift",
    "cut": "ein Schlitz",
    "printed": "Aufdruck",
    "short": "zwei Striche",
    "open": "aufgeschnitten",
    "branch": "dünne Linie",
    "sleeve": "Hülse",
    "bead": "Perle",
    "design-band": "gestricheltes Band",
    "earlier": "hohle Perle",
    "here": "Schild",
    "fan-design": "blasser Fächer",
    "fan-today": "voller Fächer",
    "floor": "schraffierter Boden",
    "knot": "Schlaufe",
    "taped": "umwickelt",
    "plug": "Stecker",
    "odds": "Aderenden",
}
"""names of signs; kinds of box and verdicts have theirs already"""
SIGN_LINES: Mapping[str, str] = {
    "source": "speist die Strecke",
    "injector": "gibt den Strom dazu",
    "repeater": "Winkel: weg von der Einspeisung",
    "long-span": "eine Welle: das lange Kabel",
    "arrestor": "zwei Spitzen, ein Spalt",
    "joint": "eine Naht quer durch",
    "splitter": "aus einer Linie werden mehr",
    "endpoint": "hier endet die Strecke",
    "round": "zum langen Kabel",
    "teeth": "zur Wetterseite",
    "jack": "zu einem kurzen Patchkabel",
    "wrong": "Box und Bruch in dieser Farbe",
    "earth": "die Box ist geerdet",
    "copper": "geprüft",
    "empty": "noch nicht geprüft",
    "striped": "verdächtig",
    "cut": "Strom, aber keine Daten",
    "printed": "die Länge, wie am echten Kabel",
    "short": "länger gezeichnet, als es ist",
    "open": "hier kann eine Box hinein",
    "branch": "ein anderer Weg zu einem Ende",
    "inside": "das Band hält ihn",
    "unclear": "das Messgerät lässt es offen",
    "outside": "klar neben dem Band",
    "no-band": "nichts, woran er sich misst",
    "sleeve": "eine Vorhersage: das Band von heute",
    "bead": "ein Messwert; der Balken: so weit kann das Messgerät irren",
    "design-band": "alles, was der Plan erlaubt",
    "earlier": "was hier früher gemessen wurde",
    "here": "wo du stehst",
    "fan-design": "wo die Volt nach Plan liegen",
    "fan-today": "was nach dem Messen davon bleibt",
    "floor": "hier unten geht eine Box aus",
    "knot": "das hält dich hier",
    "taped": "hingenommen: es bleibt so",
    "plug": "das Kabel endet, du darfst gehen",
    "odds": "so viele von zehn, wie kupfern sind",
}
"""one line a sign"""


def shapes_title() -> str:
    """The page, and the row of Settings that leads there."""
    return "Was die Zeichen sagen"


def shapes_more() -> str:
    """Under that row."""
    return "jedes Zeichen der Bilder, mit einem Wort"


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
    """A sign for a screen reader: ``Schlaufe: das hält dich hier.``"""
    return f"{capital(sign_name(key))}: {sign_line(key)}."


def sign_stop() -> str:
    """A made-up place, for the tag."""
    return "Wehr"
