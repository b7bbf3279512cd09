"""What one has found, in German: how often each cause is met, by the table and by one's own log."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.english.found import ENDS, _times_of

PLACES: Mapping[str, str] = {
    "per source": "Quellen",
    "per source with classes": "Quellen mit Klassen",
    "per source that shares": "Quellen am selben Netzteil",
    "per span": "Strecken",
    "per endpoint": "fernen Enden",
    "per endpoint at a gigabit-only link": "Verbindungen nur mit Gigabit",
    "per box": "Boxen",
    "per arrestor": "Ableitern",
    "per earth": "Erden",
    "per link": "Verbindungen",
    "per reading": "Messwerten",
    "per meter": "Messgeräten",
    "per span read": "gemessenen Strecken",
    "per visit": "Besuchen",
}
"""the places of a cause, by the unit of its rate, as they stand behind ``1 von 100``"""


def often(cause: str, rate: float, unit: str) -> str:
    """How often a cause is met: ``1 von 100 Enden``, ``4 von 10 Strecken``."""
    places = "Enden" if cause in ENDS else PLACES[unit]
    each = rate / 2 if cause in ENDS else rate
    if each <= 0:
        return "nie"
    times, of = _times_of(each)
    return f"{times} von {of} {places}"


def found_title() -> str:
    """The page, and the row of Settings that leads there."""
    return "Was du gefunden hast"


def found_more(finds: int, settled: int) -> str:
    """Under that row, and on the page."""
    if not settled:
        return "Noch zählt nichts: Es gilt die Tabelle."
    visits = "1 geklärten Besuch" if settled == 1 else f"{settled} geklärten Besuchen"
    finds_ = "Nichts gefunden" if not finds else "1 Fund" if finds == 1 else f"{finds} Funde"
    return f"{finds_} bei {visits}."


def found_why() -> str:
    """How the odds move."""
    return (
        "Die Tabelle zählt so viel wie **50 Aufträge**. Deine kommen dazu, sobald sie geklärt sind. "
        "Übung zählt nicht."
    )


def first_visits() -> str:
    """Which visits are shown."""
    return "Erstbesuch"


def returns() -> str:
    """Or those."""
    return "Folgebesuch"


def found_times(times: int, jobs: int) -> str:
    """How often a cause was found: ``3-mal gefunden, in 2 Aufträgen``."""
    if not times:
        return "bisher nicht gefunden"
    each = "einmal" if times == 1 else "zweimal" if times == 2 else f"{times}-mal"
    return f"{each} gefunden, in {'1 Auftrag' if jobs == 1 else f'{jobs} Aufträgen'}"


def table_says(often_: str) -> str:
    """The table's rate, with its mark."""
    return f"Tabelle: {often_}, aus dem Gedächtnis"


def yours_say(often_: str) -> str:
    """One's own."""
    return f"bei dir: {often_}"


def no_rate() -> str:
    """A cause that no reading shows has none."""
    return "Kein Messwert zeigt es, darum gibt es keine Häufigkeit."


def never_found() -> str:
    """Over the causes that were never found."""
    return "Bisher nicht gefunden"


def count_anew() -> str:
    """The slab that starts the counting anew."""
    return "Neu zu zählen beginnen"


def count_anew_more() -> str:
    """Under it."""
    return "Gefundenes bleibt im Bericht"


def count_all() -> str:
    """It taken back."""
    return "Wieder alles zählen"


def counted_anew() -> str:
    """What stands on the page after it."""
    return "Was davor gefunden wurde, zählt nicht mit."
