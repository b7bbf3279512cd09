"""The sentences of what is kept besides readings: photos, ends of cables, copies."""

from __future__ import annotations

from fieldapp.words.english.figures import capital, count, point, spot, tied
from fieldapp.words.english.said import says

# ---------------------------------------------------------------- photos


def take_photo() -> str:
    """The slab of a step that asks for a photo."""
    return "Take a photo"


def photo_short() -> str:
    """The narrow button beside the slab of Run."""
    return "Photo"


def photo_of(at: str) -> str:
    """The same below the slab of Run; and what a picture says aloud."""
    return f"Photo of {photographed(at)}"


def one_more_photo() -> str:
    """Once there is one."""
    return "One more photo"


def photo_missing() -> str:
    """In the frame of a picture that is not on this phone."""
    return "not on this phone"


def photo_reading() -> str:
    """In the frame while the picture is read."""
    return "reading"


def photographed(at: str) -> str:
    """What a photo is of: ``A1's earth lead``, ``the hut``, ``L1``"""
    kind, _, of = at.partition(".")
    if kind == "bond" and of:
        return f"{of}'s earth lead"
    if at.startswith("stop:"):
        return at.removeprefix("stop:")
    return at


@says("told-photo-full")
def _photo_full() -> str:
    return "**The phone is full**: the photo is not kept. Free some room, then take it again."


@says("told-photo-large")
def _photo_large(found: str) -> str:
    return f"The photo has {tied(found)}: too much to keep. Take it smaller."


@says("told-photo-full-size")
def _photo_full_size(found: str) -> str:
    return f"The photo is kept at its full size, {tied(found)}: here it cannot be made smaller."


@says("told-photo-kind")
def _photo_kind(found: str) -> str:
    it = found or "no picture"
    return f"That is {it}; a JPEG photo is wanted. Nothing was kept."


@says("told-photo-broken")
def _photo_broken(found: str) -> str:
    return "That photo breaks off in the middle. Nothing was kept: take it again."


@says("strip-photo")
def _strip_photo(of: str) -> str:
    return f"Photo kept: {photographed(of)}"


# ---------------------------------------------------------------- the eight wires

COLOURS = {"blue": "blue", "orange": "orange", "green": "green", "brown": "brown"}


def wires_title(span: str, pinout: str) -> str:
    """The head of the termination page."""
    return f"{span}, {pinout}"


def wires_line() -> str:
    """Under it: which way the plug is held."""
    return "1 is left, clip behind"


def wire_word(colour: str, striped: bool) -> str:
    """One wire by its colour."""
    word = COLOURS[colour]
    return f"white, **{word}** stripe" if striped else f"**{word}**"


def speak_wire(contact: int, colour: str, striped: bool) -> str:
    """One wire for a screen reader."""
    word = COLOURS[colour]
    return f"{contact}: white with a stripe, {word}" if striped else f"{contact}: {word}"


def pair_of(pair: int) -> str:
    """``pair 2``"""
    return f"pair {pair}"


def wires_slab(span: str) -> str:
    """The slab of a step with a termination page."""
    return f"The eight wires of {span}"


def wires_more(made: int) -> str:
    """Under it."""
    return {0: "no end made yet", 1: "one end made"}.get(made, "both ends made")


def end_slab(at: str, made: bool) -> str:
    """The press for one end: what is then so. Once it is, just the end."""
    return spot(at) if made else f"{spot(at)} made"


def end_open(stop: str) -> str:
    """Under it, while it is not."""
    return f"at the {stop.lower()}" if stop else "not yet"


def end_made(at: str, pinout: str) -> str:
    """Under it, once it is."""
    return " ".join(word for word in (pinout, at) if word) or "made"


def note_end(at: str, pinout: str) -> str:
    """The text of the entry."""
    return f"{at} made, {pinout}" if pinout else f"{at} made"


def ends_differ() -> str:
    """Two ends in two orders."""
    return "**The ends differ**: that is a crossover. Make one of them again."


# ---------------------------------------------------------------- those who work, copies


def for_two() -> str:
    """On Steps, when two work."""
    return "the order for two; 1 and 2 are who does it"


def copy_it() -> str:
    """The button of the hold about the copy, and the slab of its step."""
    return "Copy it off"


def photo_it() -> str:
    """The button of a hold about a photo."""
    return "Take it"


def it_is_out() -> str:
    """The button of a hold about what was fitted for a test."""
    return "It is out"


def put_in() -> str:
    """The quiet on Run that opens the sheet."""
    return "Put in for a test"


def put_in_title(box: str) -> str:
    """The sheet's sentence."""
    return f"**Put in for a test** at {box}"


def put_in_row(what: str, at: str) -> str:
    """A row of the sheet: ``Far-end short, A2 line``"""
    name = {"short": "far-end short"}.get(what, _fitted_name(what))
    return f"{capital(name)}, {spot(at)}"


def is_in_at(what: str, at: str) -> str:
    """The second press of a step that puts something in: what is then so."""
    return f"{capital(_fitted_name(what))} is in at {spot(at)}"


def is_out_again(what: str, at: str = "") -> str:
    """The press once it is in; with its place where several can be."""
    where = f" at {spot(at)}" if at else ""
    return f"{capital(_fitted_name(what))}{where} is out again"


def shorts_first(number: int, box: str) -> str:
    """Before a feed is switched on: what would keep it dark."""
    still = "A short is" if number == 1 else f"{capital(count(number))} shorts are"
    return f"**{still} still in.** {box} stays dark until all is out."


def is_still_in(what: str, at: str, by: str, clock: str) -> str:
    """What is in, where it is: ``Short is in at A2 line, Ida, 14:32``"""
    named = is_in_at(what, at) if "." in at else f"{capital(_fitted_name(what))} is in"
    return ", ".join(word for word in (named, by, clock) if word)


@says("strip-in")
def _strip_in(what: str, at: str) -> str:
    return f"{is_in_at(what, at)}."


@says("strip-out")
def _strip_out(what: str, at: str) -> str:
    return f"{is_out_again(what, at)}."


def note_in(what: str) -> str:
    """The text of the entry."""
    return f"{_fitted_name(what)} put in"


def note_out(what: str) -> str:
    """The text of the entry."""
    return f"{_fitted_name(what)} taken back"


@says("strip-export")
def _strip_export() -> str:
    return "The record is copied off this phone."


@says("hold-photo")
def _hold_photo(at: str) -> str:
    return f"**No photo** of {photographed(at)}. No reading shows it."


@says("hold-copied")
def _hold_copied(count: int) -> str:
    what = "1 entry is" if count == 1 else f"{count} entries are"
    return f"**{what} on this phone only.** Copy the record before you go."


@says("hold-fitted")
def _hold_fitted(what: str, at: str, by: str) -> str:
    who = f" {by} put it in." if by else ""
    return f"**The {_fitted_name(what)} at {point(at)}** is still in.{who}"


FITTED = {"by-pass": "bypass lead"}
"""what is fitted for a test, where the log's word is not the one to say"""


def _fitted_name(what: str) -> str:
    return FITTED.get(what, what)
