"""Settings: what can be chosen for this phone, one's own meters, everything as one file."""

from __future__ import annotations

from collections.abc import Mapping

from fieldapp.words.english.exchange import bytes_line
from fieldapp.words.english.figures import KINDS, NBSP
from fieldapp.words.english.returning import MONTHS
from fieldapp.words.english.said import says
from fieldapp.words.english.sheeting import own_figure
from fieldapp.words.manner import LANGUAGES

SETTINGS: Mapping[str, tuple[str, str]] = {
    "lengths": ("Lengths", ""),
    "wire": ("Wire", "how thick a conductor is"),
    "look": ("Look", ""),
    "letters": ("Letters", ""),
    "hand": ("Hand", "what stands at the edge stands at this thumb"),
    "buzz": ("Buzz", "at each key, and for each reading"),
    "awake": ("Keep the screen lit", "a page of wires always does"),
    "language": ("Words", ""),
}
"""by choice: what it is called, and what it does where that is not plain"""
CHOICES_SAID: Mapping[str, Mapping[str, str]] = {
    "lengths": {"metres": "metres", "feet": "feet"},
    "wire": {"mm2": "mm²", "awg": "AWG"},
    "look": {"sun": "sun", "dark": "dark", "phone": "as the phone"},
    "letters": {"phone": "as the phone", "larger": "larger", "largest": "largest"},
    "hand": {"right": "right", "left": "left"},
    "buzz": {"on": "on", "off": "off"},
    "awake": {"on": "on", "off": "off"},
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
    """A half for a screen reader: ``Lengths: metres, chosen``"""
    return f"{name}: {choice}, chosen" if chosen else f"{name}: {choice}"


# ---------------------------------------------------------------- one's own meters


def meters_title() -> str:
    """Over the list of one's own meters."""
    return "Meters"


def meters_more() -> str:
    """Under it."""
    return "Yours, with % and digits, on the pad of every job."


def meter_add() -> str:
    """The button below them."""
    return "Add a meter"


def meter_line(serial: str, day: str) -> str:
    """What else is known of a meter: its serial number, when it was calibrated."""
    parts = [f"no. {serial}" if serial else "", f"calibrated {day}" if day else ""]
    return ", ".join(part for part in parts if part)


def meter_accuracy(kinds: Mapping[str, tuple[float, float]]) -> str:
    """What a meter reads, and how far out that can be: ``volts 0.5 % + 2``"""
    return ", ".join(
        f"{KINDS[kind]} {own_figure(percent)}{NBSP}%{NBSP}+{NBSP}{own_figure(digits)}"
        for kind, (percent, digits) in kinds.items()
    )


def meter_new() -> str:
    """The head of the questions."""
    return "New meter"


def meter_begin() -> str:
    """The first page."""
    return "Which meter comes nearest?"


def meter_begin_why() -> str:
    """Under it."""
    return "Its % and digits stand ready; type over what your meter’s sheet says."


def meter_day_question() -> str:
    """The page of the day."""
    return "When was it calibrated?"


def meter_day_how() -> str:
    """How it is typed."""
    return "day, month, year: eight digits"


def day_typed(digits: str) -> str:
    """The digits of a day as they stand so far: ``14.06.2031``"""
    return ".".join(part for part in (digits[:2], digits[2:4], digits[4:]) if part)


def day_said(year: int, month: int, day: int) -> str:
    """``14 June 2031``"""
    return f"{day}{NBSP}{MONTHS[month - 1]}{NBSP}{year}"


def day_none_such() -> str:
    """Of eight digits that are no day, or one that is still to come."""
    return "no such day yet"


def day_open() -> str:
    """The slab while no day is typed."""
    return "Leave it open"


def meter_day_row(day: str) -> str:
    """In the list of answers."""
    return f"calibrated {day}" if day else "no day of calibration"


def meter_last() -> str:
    """The last page."""
    return "What is it called?"


def meter_name() -> str:
    """Label of the field for its name."""
    return "Name"


def meter_serial() -> str:
    """Label of the field for its serial number."""
    return "Serial number"


def meter_keep(changes: bool) -> str:
    """The slab."""
    return "Keep the change" if changes else "Keep this meter"


def meter_reads_nothing() -> str:
    """Why it cannot be pressed."""
    return "it reads nothing yet"


def meter_follow() -> str:
    """Of a meter that is changed."""
    return "A job takes over the change with your next reading there."


def meter_take_away() -> str:
    """The quiet button under it."""
    return "Take it away"


def meter_taken_away(name: str) -> str:
    """Said with the one press that brings it back."""
    return f"**{name}** is taken away. Jobs that were read with it keep it."


def found_row() -> str:
    """Under the row of what was found."""
    return "how often each cause was met"


@says("told-meter-kept")
def _meter_kept(name: str) -> str:
    return f"**{name}** is kept. It stands on the pad of every job."


@says("told-meter-serial")
def _meter_serial_long(most: int) -> str:
    return f"A serial number has {most} letters at most. Type it shorter."


# ---------------------------------------------------------------- everything as one file


def everything_title() -> str:
    """The page, and the row that leads there."""
    return "Everything as one file"


def everything_row() -> str:
    """Under that row."""
    return "all jobs with their photos"


def everything_holds(jobs: int, photos: int, size: int) -> str:
    """What the file would hold."""
    many = "**1 job**" if jobs == 1 else f"**{jobs} jobs**"
    seen = "no photos" if not photos else "1 photo" if photos == 1 else f"{photos} photos"
    return f"{many}, {seen}, {bytes_line(size)}."


def everything_how() -> str:
    """What it is like inside."""
    return "Each job is a file of its own in it. “Open a file” takes in one, or all at once."


def everything_none() -> str:
    """Where there is no job."""
    return "There is no job here yet."


def everything_lacking(photos: int) -> str:
    """Photos that a log names and this phone does not have."""
    few = "1 photo is" if photos == 1 else f"{photos} photos are"
    return f"{few} not on this phone, so the file goes without."


def everything_unread(jobs: int) -> str:
    """Jobs that cannot be read."""
    few = "1 job" if jobs == 1 else f"{jobs} jobs"
    return f"{few} cannot be read and will not be in it."


def everything_made(done: int, of: int) -> str:
    """While it is made: how far."""
    return f"Job {done} of {of} is being put in."


@says("told-everything-out")
def _everything_out(name: str, jobs: int) -> str:
    many = "The job is" if jobs == 1 else f"All {jobs} jobs are"
    return f"{many} in {name}. Keep it where this phone is not."


@says("told-everything-in")
def _everything_in(name: str, new: int, more: int) -> str:
    parts = [
        f"{new} new {'job' if new == 1 else 'jobs'}" if new else "",
        f"more of {more} {'job' if more == 1 else 'jobs'}" if more else "",
    ]
    brought = " and ".join(part for part in parts if part)
    return f"{name} brought {brought or 'nothing that is not here already'}."
