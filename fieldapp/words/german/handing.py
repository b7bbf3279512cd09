"""Words of the hand-over in German: what goes out, how far it is made, how old it is by now."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words.english.handing import KIND_NAMES, kind_of_file  # noqa: F401
from fieldapp.words.german.exchange import _photos_here, bytes_line
from fieldapp.words.german.figures import NBSP
from fieldapp.words.german.said import says

DOCUMENTS = {
    "report": "Bericht",
    "labels": "Schilder",
    "whole": "Auftragsdatei",
    "readings": "Messwerte",
}
"""the rows of the page"""
ARE_MADE = {
    "report": "Der Bericht wird",
    "labels": "Die Schilder werden",
    "whole": "Die Auftragsdatei wird",
    "readings": "Die Messwerte werden",
}
COULD_NOT = {
    "report": "Der Bericht ließ sich",
    "labels": "Die Schilder ließen sich",
    "whole": "Die Auftragsdatei ließ sich",
    "readings": "Die Messwerte ließen sich",
}
PAPER_NAMES = {"a4": "A4", "letter": "Letter", "strip": "Streifen"}


@says("told-made-now")
def _made_now() -> str:
    return "Es hat etwas gedauert und ist jetzt fertig. Noch einmal Teilen drücken."


@says("told-not-made")
def _not_made(what: str) -> str:
    return f"{COULD_NOT[what]} nicht erstellen. Hier wurde nichts geändert."


@says("strip-handed")
def _strip_handed(what: tuple[str, ...]) -> str:
    if len(what) > 1:
        return "Bericht und Schilder sind übergeben."
    return f"Übergeben: {DOCUMENTS[what[0]]}." if what else "Übergeben."


def note_handed(names: Sequence[str]) -> str:
    """The text of the entry."""
    return f"Übergeben: {', '.join(names)}"


def document(what: str) -> str:
    """The name of a row."""
    return DOCUMENTS[what]


# ---------------------------------------------------------------- what is in them


def _photos(photos: int, lacking: int) -> str:
    if lacking:
        return _photos_here(photos, photos + lacking)
    if not photos:
        return "ohne Fotos"
    return f"{photos} {'Foto' if photos == 1 else 'Fotos'}"


def report_line(photos: int, lacking: int, readings: int) -> str:
    """What is known of the report before it is made."""
    return _photos(photos, lacking) if readings else no_readings()


def written_line(pages: int | None, size: int, lacking: int) -> str:
    """``9 Seiten, 3,1 MB`` of what was made."""
    many = "" if pages is None else f"{_pages(pages)}, "
    gone = f"{lacking} {'Foto fehlt' if lacking == 1 else 'Fotos fehlen'}"
    return f"{many}{bytes_line(size)}{f', {gone}' if lacking else ''}"


def _pages(number: int) -> str:
    return f"{number} {'Seite' if number == 1 else 'Seiten'}"


def labels_line(number: int, pages: int | None) -> str:
    """``27 Schilder``, with the pages once they were made."""
    if not number:
        return "noch keine Box im Plan"
    many = f"{number} {'Schild' if number == 1 else 'Schilder'}"
    return many if pages is None else f"{many}, {_pages(pages)}"


def no_readings() -> str:
    """Of a table without rows."""
    return "noch nichts gemessen"


# ---------------------------------------------------------------- all of them


def all_at_once(number: int) -> str:
    """Report, labels and job file in one press."""
    return "Alle drei teilen" if number == 3 else "Beide teilen"


def all_in_one(number: int) -> str:
    """The same as one file."""
    return "Alle drei als eine Datei" if number == 3 else "Beide als eine Datei"


def all_named(number: int) -> str:
    """What they are."""
    return "Bericht, Schilder, Auftragsdatei" if number == 3 else "Bericht, Auftragsdatei"


def being_made(what: str) -> str:
    """While one is made for longer than a blink."""
    return f"**{ARE_MADE[what]}** erstellt. Beim Verlassen der Seite hört es auf."


def hand_made_up() -> str:
    """Of a job on a made-up site."""
    return "Auf jeder Seite und jedem Schild steht **erfunden**."


# ---------------------------------------------------------------- how they are written


def report_as() -> str:
    """Over the choices of the report."""
    return "Bericht auf"


def labels_as() -> str:
    """Over the choices of the labels."""
    return "Schilder auf"


def paper(size: str) -> str:
    """A paper, or a strip without end."""
    return PAPER_NAMES[size]


def sheet_of_labels(many: int, width: float, height: float) -> str:
    """``24 zu 70 × 37 mm``; of a strip the size of each."""
    each = f"{width:.0f} × {height:.0f}{NBSP}mm".replace(" ", NBSP)
    return f"{many} zu{NBSP}{each}" if many > 1 else each


def speak_label(thing: str) -> str:
    """The picture of a label, for who cannot see it."""
    return f"Das Schild von {thing}, wie es gedruckt wird."
