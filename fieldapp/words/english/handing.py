"""Words of the hand-over: what goes out, how far it is made, how old it is by now."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words.english.exchange import bytes_line
from fieldapp.words.english.figures import NBSP
from fieldapp.words.english.said import says

DOCUMENTS = {
    "report": "Report",
    "labels": "Labels",
    "whole": "Job file",
    "readings": "Readings",
}
"""the rows of the page"""
ARE_MADE = {
    "report": "The report is",
    "labels": "The labels are",
    "whole": "The job file is",
    "readings": "The readings are",
}
COULD_NOT = {
    "report": "The report",
    "labels": "The labels",
    "whole": "The job file",
    "readings": "The readings",
}
PAPER_NAMES = {"a4": "A4", "letter": "Letter", "strip": "strip"}
KIND_NAMES = {"pdf": "PDF", "html": "HTML"}


@says("told-made-now")
def _made_now() -> str:
    return "It took a while to make and is ready now. Press Share once more."


@says("told-not-made")
def _not_made(what: str) -> str:
    return f"{COULD_NOT[what]} could not be made. Nothing here was changed."


@says("strip-handed")
def _strip_handed(what: tuple[str, ...]) -> str:
    if len(what) > 1:
        return "Report and labels are handed over."
    return f"{ARE_MADE[what[0]]} handed over." if what else "It is handed over."


def note_handed(names: Sequence[str]) -> str:
    """The text of the entry."""
    return f"Handed over: {', '.join(names)}"


def document(what: str) -> str:
    """The name of a row."""
    return DOCUMENTS[what]


# ---------------------------------------------------------------- what is in them


def _photos(photos: int, lacking: int) -> str:
    if lacking:
        return f"{photos} of {photos + lacking} photos are here"
    if not photos:
        return "no photos"
    return f"{photos} photo{'' if photos == 1 else 's'}"


def report_line(photos: int, lacking: int, readings: int) -> str:
    """What is known of the report before it is made."""
    if not readings:
        return "nothing measured yet"
    return _photos(photos, lacking)


def written_line(pages: int | None, size: int, lacking: int) -> str:
    """``9 pages, 3.1 MB`` of what was made."""
    many = "" if pages is None else f"{pages} page{'' if pages == 1 else 's'}, "
    missing = f", {lacking} photo{'' if lacking == 1 else 's'} not here" if lacking else ""
    return f"{many}{bytes_line(size)}{missing}"


def labels_line(number: int, pages: int | None) -> str:
    """``27 labels``, with the pages once they were made."""
    if not number:
        return "no box in the plan yet"
    many = f"{number} label{'' if number == 1 else 's'}"
    return many if pages is None else f"{many}, {pages} page{'' if pages == 1 else 's'}"


def no_readings() -> str:
    """Of a table without rows."""
    return "nothing measured yet"


# ---------------------------------------------------------------- all of them


def all_at_once(number: int) -> str:
    """Report, labels and job file in one press."""
    return "Share all three" if number == 3 else "Share both"


def all_in_one(number: int) -> str:
    """The same as one file."""
    return "All three in one file" if number == 3 else "Both in one file"


def all_named(number: int) -> str:
    """What they are."""
    return "report, labels, job file" if number == 3 else "report, job file"


def being_made(what: str) -> str:
    """While one is made for longer than a blink."""
    return f"**{ARE_MADE[what]}** being made. Leave this page and it stops."


def hand_made_up() -> str:
    """Of a job on a made-up site."""
    return "Every page and every label says **made up**."


# ---------------------------------------------------------------- how they are written


def report_as() -> str:
    """Over the choices of the report."""
    return "Report on"


def labels_as() -> str:
    """Over the choices of the labels."""
    return "Labels on"


def paper(size: str) -> str:
    """A paper, or a strip without end."""
    return PAPER_NAMES[size]


def kind_of_file(kind: str) -> str:
    """As what a report is written."""
    return KIND_NAMES[kind]


def sheet_of_labels(many: int, width: float, height: float) -> str:
    """``24 of 70 × 37 mm``; of a strip the size of each."""
    each = f"{width:.0f} × {height:.0f}{NBSP}mm".replace(" ", NBSP)
    return f"{many} of{NBSP}{each}" if many > 1 else each


def speak_label(thing: str) -> str:
    """The picture of a label, for who cannot see it."""
    return f"The label of {thing}, as it will be printed."
