"""Causes by a short German name; what is said of one that was found."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.german.figures import spot
from fieldapp.words.german.said import says

CAUSES: Mapping[str, str] = {
    "none": "kein Fehler",
    "other": "etwas anderes",
    "source.dead": "Quelle gibt nichts ab",
    "source.low": "Quelle gibt zu wenig Volt ab",
    "source.soft": "Quelle sackt unter Last ab",
    "port.off": "Port ausgeschaltet",
    "port.refused": "Port findet keine Box",
    "port.trip": "Port schaltet unter Last ab",
    "port.class": "erste Box fordert zu wenig",
    "budget.shed": "Netzteil hat kein Watt übrig",
    "feed.twice": "von zwei Seiten gespeist",
    "span.high": "Strecke zu hochohmig",
    "cable.clad": "kupferkaschierte Adern",
    "cable.thin": "Adern zu dünn",
    "cable.long": "länger als geplant",
    "cable.hot": "wärmer als geplant",
    "span.open": "Strecke unterbrochen",
    "span.short": "Strecke kurzgeschlossen",
    "joint.high": "schlechtes Ende",
    "joint.wet": "nasses Ende",
    "contact.high": "ein schlechter Kontakt",
    "pairs.lost": "ein Satz Paare fehlt",
    "pair.split": "gesplittetes Paar",
    "pair.crossed": "gekreuzte Paare",
    "load.heavy": "fernes Ende zieht zu viel",
    "load.off": "fernes Ende zieht fast nichts",
    "load.varies": "fernes Ende zieht ungleich",
    "box.reversed": "Box verkehrt herum",
    "units.same-way": "zwei Boxen gleich herum",
    "box.dead": "Box ausgefallen",
    "box.heavy": "Box zieht selbst zu viel",
    "box.starved": "Box unter ihrer Startspannung",
    "box.restart": "Box startet immer wieder neu",
    "box.no-pass": "Box gibt keinen Strom weiter",
    "arrestor.open": "Ableiter unterbrochen",
    "arrestor.short": "Ableiter kurzgeschlossen",
    "arrestor.reversed": "Ableiter verkehrt herum",
    "earth.open": "Erde nicht verbunden",
    "earth.high": "Erde zu hochohmig",
    "link.slow-endpoint": "fernes Ende zu langsam",
    "link.pair-open": "eine Ader unterbrochen",
    "link.too-long": "zu lang für die Verbindung",
    "link.setting": "Tempo von Hand eingestellt",
    "link.noise": "Störung auf dem Kabel",
    "link.port-down": "Datenport ausgeschaltet",
    "reading.typed": "Zahl vertippt",
    "reading.unit": "Zahl in anderer Einheit",
    "reading.place": "Zahl von anderem Punkt",
    "reading.state": "fernes Ende beim Messen aus",
    "reading.ac": "Wechselspannung gewählt",
    "reading.lead": "Ohm der Messspitzen dabei",
    "reading.no-short": "Kurzschluss am Ende fehlte",
}

NOT_ONE = {"pair": "zwei zugleich"}
"""what is weighed and no cause of its own"""


def cause_name(cause: str) -> str:
    """A cause in a few words; one that is not known here goes by its own id."""
    return NOT_ONE.get(cause) or CAUSES.get(cause, cause)


@says("hold-found")
def _hold_found(at: str, cause: str) -> str:
    return f"**An {spot(at)} gefunden, nicht behoben**: {cause_name(cause)}."


@says("odd-cause")
def _odd_cause(entry: str, cause: str, near: str | None) -> str:
    meant = f" Am nächsten: {cause_name(near)}." if near else ""
    return f"Gefunden wurde etwas, **das diese Fassung nicht kennt**: {cause}.{meant}"
