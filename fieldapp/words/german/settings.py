"""Settings in German: what can be chosen for this phone, one's own meters, everything as one file."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.german.exchange import bytes_line
from fieldapp.words.german.figures import KINDS, NBSP
from fieldapp.words.german.returning import MONTHS
from fieldapp.words.german.said import says
from fieldapp.words.german.sheeting import own_figure
from fieldapp.words.manner import LANGUAGES

SETTINGS: Mapping[str, tuple[str, str]] = {
    "lengths": ("Längen", ""),
    "wire": ("Draht", "wie dick eine Ader ist"),
    "look": ("Aussehen", ""),
    "letters": ("Schrift", ""),
    "hand": ("Hand", "was am Rand steht, steht an diesem Daumen"),
    "buzz": ("Vibrieren", "bei jeder Taste und bei jedem Messwert"),
    "awake": ("Bildschirm an lassen", "bei den Adern eines Steckers immer"),
    "language": ("Wörter", ""),
}
"""by choice: what it is called, and what it does where that is not plain"""
CHOICES_SAID: Mapping[str, Mapping[str, str]] = {
    "lengths": {"metres": "Meter", "feet": "Fuß"},
    "wire": {"mm2": "mm²", "awg": "AWG"},
    "look": {"sun": "Sonne", "dark": "dunkel", "phone": "wie Handy"},
    "letters": {"phone": "wie Handy", "larger": "größer", "largest": "am größten"},
    "hand": {"right": "rechts", "left": "links"},
    "buzz": {"on": "ein", "off": "aus"},
    "awake": {"on": "ein", "off": "aus"},
}
"""what each choice can be; a language is named in itself"""


def setting_name(key: str) -> str:
    """What a choice is called."""
    return SETTINGS[key][0]


def setting_more(key: str) -> str:
    """What it does; blank where that is plain."""
    return SETTINGS[key][1]


def setting_choice(key: str, value: str) -> str:
    """One half of its row."""
    return LANGUAGES[value].name if key == "language" else CHOICES_SAID[key][value]


def speak_setting(name: str, choice: str, chosen: bool) -> str:
    """A half for a screen reader: ``Längen: Meter, gewählt``"""
    return f"{name}: {choice}, gewählt" if chosen else f"{name}: {choice}"


# ---------------------------------------------------------------- one's own meters


def meters_title() -> str:
    """Over the list of one's own meters."""
    return "Messgeräte"


def meters_more() -> str:
    """Under it."""
    return "Deine, mit % und Digits, beim Messen in jedem Auftrag."


def meter_add() -> str:
    """The button below them."""
    return "Messgerät dazu"


def meter_line(serial: str, day: str) -> str:
    """What else is known of a meter: its serial number, when it was calibrated."""
    parts = [f"Nr. {serial}" if serial else "", f"kalibriert am {day}" if day else ""]
    return ", ".join(part for part in parts if part)


def meter_accuracy(kinds: Mapping[str, tuple[float, float]]) -> str:
    """What a meter reads, and how far out that can be: ``volts 0.5 % + 2``"""
    return ", ".join(
        f"{KINDS[kind]} {own_figure(percent)}{NBSP}%{NBSP}+{NBSP}{own_figure(digits)}"
        for kind, (percent, digits) in kinds.items()
    )


def meter_new() -> str:
    """The head of the questions."""
    return "Neues Messgerät"


def meter_begin() -> str:
    """The first page."""
    return "Welches Messgerät kommt am nächsten?"


def meter_begin_why() -> str:
    """Under it."""
    return "Seine % und Digits stehen bereit; tippe darüber, was bei deinem steht."


def meter_day_question() -> str:
    """The page of the day."""
    return "Wann wurde es kalibriert?"


def meter_day_how() -> str:
    """How it is typed."""
    return "Tag, Monat, Jahr: acht Ziffern"


def day_typed(digits: str) -> str:
    """The digits of a day as they stand so far: ``14.06.2031``"""
    return ".".join(part for part in (digits[:2], digits[2:4], digits[4:]) if part)


def day_said(year: int, month: int, day: int) -> str:
    """``14. Juni 2031``"""
    return f"{day}.{NBSP}{MONTHS[month - 1]}{NBSP}{year}"


def day_none_such() -> str:
    """Of eight digits that are no day, or one that is still to come."""
    return "den Tag gab es noch nicht"


def day_open() -> str:
    """The slab while no day is typed."""
    return "Offen lassen"


def meter_day_row(day: str) -> str:
    """In the list of answers."""
    return f"kalibriert am {day}" if day else "kein Tag der Kalibrierung"


def meter_last() -> str:
    """The last page."""
    return "Wie heißt es?"


def meter_name() -> str:
    """Label of the field for its name."""
    return "Name"


def meter_serial() -> str:
    """Label of the field for its serial number."""
    return "Seriennummer"


def meter_keep(changes: bool) -> str:
    """The slab."""
    return "Änderung behalten" if changes else "Messgerät behalten"


def meter_reads_nothing() -> str:
    """Why it cannot be pressed."""
    return "es misst noch nichts"


def meter_follow() -> str:
    """Of a meter that is changed."""
    return "Ein Auftrag übernimmt es mit deinem nächsten Messwert dort."


def meter_take_away() -> str:
    """The quiet button under it."""
    return "Wegnehmen"


def meter_taken_away(name: str) -> str:
    """Said with the one press that brings it back."""
    return f"**{name}** ist weg. Wo damit gemessen wurde, bleibt es im Auftrag."


def found_row() -> str:
    """Under the row of what was found."""
    return "wie oft jede Ursache vorkam"


@says("told-meter-kept")
def _meter_kept(name: str) -> str:
    return f"**{name}** ist behalten. Es steht beim Messen in jedem Auftrag."


@says("told-meter-serial")
def _meter_serial_long(most: int) -> str:
    return f"Eine Seriennummer hat höchstens {most} Zeichen. Tippe sie kürzer."


# ---------------------------------------------------------------- everything as one file


def everything_title() -> str:
    """The page, and the row that leads there."""
    return "Alles in einer Datei"


def everything_row() -> str:
    """Under that row."""
    return "alle Aufträge mit ihren Fotos"


def everything_holds(jobs: int, photos: int, size: int) -> str:
    """What the file would hold."""
    many = "**1 Auftrag**" if jobs == 1 else f"**{jobs} Aufträge**"
    seen = "keine Fotos" if not photos else "1 Foto" if photos == 1 else f"{photos} Fotos"
    return f"{many}, {seen}, {bytes_line(size)}."


def everything_how() -> str:
    """What it is like inside."""
    return "Jeder Auftrag ist darin eine Datei. „Datei öffnen“ holt einen herein oder alle."


def everything_none() -> str:
    """Where there is no job."""
    return "Hier ist noch kein Auftrag."


def everything_lacking(photos: int) -> str:
    """Photos that a log names and this phone does not have."""
    if photos == 1:
        return "1 Foto ist nicht auf diesem Handy, die Datei geht ohne."
    return f"{photos} Fotos sind nicht auf diesem Handy, die Datei geht ohne sie."


def everything_unread(jobs: int) -> str:
    """Jobs that cannot be read."""
    if jobs == 1:
        return "1 Auftrag ist nicht lesbar und kommt nicht hinein."
    return f"{jobs} Aufträge sind nicht lesbar und kommen nicht hinein."


def everything_made(done: int, of: int) -> str:
    """While it is made: how far."""
    return f"Auftrag {done} von {of} kommt hinein."


@says("told-everything-out")
def _everything_out(name: str, jobs: int) -> str:
    many = "Der Auftrag ist" if jobs == 1 else f"Alle {jobs} Aufträge sind"
    return f"{many} in {name}. Bewahre sie nicht nur auf diesem Handy auf."


@says("told-everything-in")
def _everything_in(name: str, new: int, more: int) -> str:
    parts = [
        f"{new} {'neuen Auftrag' if new == 1 else 'neue Aufträge'}" if new else "",
        f"mehr zu {more} {'Auftrag' if more == 1 else 'Aufträgen'}" if more else "",
    ]
    brought = " und ".join(part for part in parts if part)
    return f"{name} brachte {brought or 'nichts, was nicht schon hier ist'}."
