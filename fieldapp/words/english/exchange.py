"""Words of files in and out: handing over, taking in, what a merge brought."""

from __future__ import annotations

from fieldapp.words.english.figures import NBSP, count
from fieldapp.words.english.said import says


@says("told-other-plan")
def _other_plan(name: str) -> str:
    return f"{name} has a plan that was never this job’s. Nothing here was changed."


@says("told-nothing-new")
def _nothing_new(name: str) -> str:
    return f"{name} brings nothing that is not here already."


@says("told-twins")
def _twins(count: int) -> str:
    told = "One entry says" if count == 1 else f"{count} entries say"
    return f"{told} one thing here and another in the file. Both are kept."


@says("told-left-out")
def _left_out(name: str, at: str, why: str, more: int) -> str:
    """``photos/`` and a sum of 64 digits would fill the screen: the beginning tells which."""
    which = at if len(at) <= SHORT else f"{at[:SHORT]}…"
    others = f" So were {more} more." if more > 1 else " So was one more." if more else ""
    return f"{which} in {name} was left out: {LEFT_OUT[why]}.{others}"


SHORT = 20
LEFT_OUT = {
    "link": "it only points elsewhere",
    "no-file": "it is no file",
    "locked": "it needs a password",
    "packing": "it is packed in a way not read here",
    "twice": "its name is in there twice",
    "foreign": "it is no part of a job",
    "many": "these are too many photos",
    "unnamed": "the log has no such photo",
    "changed": "it was changed on its way",
    "place": "it may tell where it was taken",
    "no-picture": "it is no JPEG photo",
    "large": "it is too large",
    "damaged": "it is damaged",
    "more": "they are no part of a job",
}
"""why a thing in a zip was not taken"""


@says("told-table-out")
def _table_out(name: str) -> str:
    return f"{name} is a table of readings. The job itself is not in it."


@says("told-photos-lacking")
def _photos_lacking(count: int) -> str:
    lacking = "One photo is" if count == 1 else f"{count} photos are"
    return f"{lacking} not on this phone, so the file goes without."


@says("told-share-unknown")
def _share_unknown() -> str:
    return "This phone does not say that it went anywhere. Put it into a file instead."


@says("told-not-out")
def _not_out(name: str) -> str:
    return f"{name} could not be put anywhere from here. Nothing here was changed."


# ---------------------------------------------------------------- the page


def hand_over() -> str:
    """The quiet button that leads to it."""
    return "Hand over"


def hand_title(title: str) -> str:
    """Its head."""
    return f"Record of **{title}**"


def share() -> str:
    """Hand a file to another program."""
    return "Share"


def to_a_file() -> str:
    """Put it where the phone keeps files."""
    return "To a file"


def speak_hand(row: str, way: str) -> str:
    """A button of a row by itself, for a screen reader."""
    return f"{row}: {way}"


def size_line(size: int, photos: int, lacking: int) -> str:
    """How large the job's file is, and what is in it."""
    if lacking:
        named = f"{photos} of {photos + lacking} photos are here"
        return f"{bytes_line(size)}, {named}"
    if not photos:
        return f"{bytes_line(size)}, no photos"
    return f"{bytes_line(size)}, with {photos} photo{'' if photos == 1 else 's'}"


def bytes_line(size: int) -> str:
    """``24 kB``, ``2.3 MB``"""
    if size < 1_000_000:
        return f"{max(round(size / 1000), 1)}{NBSP}kB"
    return f"{size / 1_000_000:.1f}{NBSP}MB"


def hand_rows_line(readings: int) -> str:
    """How many rows the table has."""
    return f"a table, {readings} row{'' if readings == 1 else 's'}"


def being_weighed() -> str:
    """Until the size is known."""
    return "one file"


def sent_newer(at: str) -> str:
    """What was kept since the last copy."""
    return f"newer than what you sent {at}" if at else "newer than what you sent"


def sent_same(at: str) -> str:
    """Nothing was."""
    return f"as you sent it {at}" if at else "as you sent it"


def sent_never() -> str:
    """There is no copy yet."""
    return "not sent yet"


def sent_at(clock: str, day: str, today: str) -> str:
    """``14:50``, with the day where it was another."""
    return clock if day == today or not day else f"{day} {clock}"


# ---------------------------------------------------------------- what a merge brought


def news(names: tuple[str, ...], readings: int, others: int, stops: tuple[str, ...]) -> str:
    """``N. Adeyo kept 4 readings at the sluice``"""
    return f"{_who(names)} kept {_what(readings, others)}{_where(stops)}"


def _who(names: tuple[str, ...]) -> str:
    if not names:
        return "**Somebody**"
    if len(names) == 1:
        return f"**{names[0]}**"
    if len(names) == 2:
        return f"**{names[0]}** and **{names[1]}**"
    return f"**{names[0]}** and {count(len(names) - 1)} others"


def _what(readings: int, others: int) -> str:
    many = f"{readings} reading{'' if readings == 1 else 's'}"
    things = f"{others} {'other ' if readings else ''}thing{'' if others == 1 else 's'}"
    return many if not others else things if not readings else f"{many} and {things}"


def _where(stops: tuple[str, ...]) -> str:
    if not stops:
        return ""
    return f" at the {stops[0].lower()}" if len(stops) == 1 else f" at {count(len(stops))} stops"


def news_see() -> str:
    """The quiet beside it."""
    return "See"
