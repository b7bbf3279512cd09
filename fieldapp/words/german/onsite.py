"""The sentences of what is kept besides readings, in German: photos, ends of cables, copies."""

from __future__ import annotations

import re

from fieldapp.words.english.onsite import wires_title  # noqa: F401
from fieldapp.words.german.figures import SIDES, capital, count, point, spot, tied
from fieldapp.words.german.said import says

# ---------------------------------------------------------------- photos


def take_photo() -> str:
    """The slab of a step that asks for a photo."""
    return "Foto machen"


def photo_short() -> str:
    """The narrow button beside the slab of Run."""
    return "Foto"


def photo_of(at: str) -> str:
    """The same below the slab of Run; and what a picture says aloud."""
    return f"Foto: {photographed(at)}"


def one_more_photo() -> str:
    """Once there is one."""
    return "Noch ein Foto"


def photo_missing() -> str:
    """In the frame of a picture that is not on this phone."""
    return "nicht auf diesem Handy"


def photo_reading() -> str:
    """In the frame while the picture is read."""
    return "wird gelesen"


def photographed(at: str) -> str:
    """What a photo is of: ``Erdleitung von A1``, ``Hütte``, ``L1``"""
    kind, _, of = at.partition(".")
    if kind == "bond" and of:
        return f"Erdleitung von {of}"
    if at.startswith("stop:"):
        return at.removeprefix("stop:")
    return at


def _size(found: str) -> str:
    """``4,6 MB``, ``108 Millionen Pixel``: what the reader of pictures says of one."""
    return tied(found.replace("million pixels", "Millionen Pixel"))


def _kind(found: str) -> str:
    """``ein PNG-Bild``, ``ein TIFF- oder Rohbild``: the sort of a picture."""
    named = re.fullmatch(r"an? (.+) picture", found)
    if named is None:
        return "kein Bild"
    first, _, second = named[1].partition(" or ")
    return f"ein {first}- oder Rohbild" if second else f"ein {first}-Bild"


@says("told-photo-full")
def _photo_full() -> str:
    return "**Das Handy ist voll**: Das Foto ist nicht behalten. Platz schaffen, dann noch einmal."


@says("told-photo-large")
def _photo_large(found: str) -> str:
    return f"Das Foto hat {_size(found)}: zu viel zum Behalten. Kleiner aufnehmen."


@says("told-photo-full-size")
def _photo_full_size(found: str) -> str:
    return f"Foto in voller Größe behalten, {_size(found)}: verkleinern geht hier nicht."


@says("told-photo-kind")
def _photo_kind(found: str) -> str:
    return f"Das ist {_kind(found)}; gebraucht wird ein JPEG-Foto. Nichts wurde behalten."


@says("told-photo-broken")
def _photo_broken(found: str) -> str:
    return "Das Foto bricht mittendrin ab. Nichts wurde behalten: noch einmal aufnehmen."


@says("strip-photo")
def _strip_photo(of: str) -> str:
    return f"Foto behalten: {photographed(of)}"


# ---------------------------------------------------------------- the eight wires

COLOURS = {"blue": "blau", "orange": "orange", "green": "grün", "brown": "braun"}


def wires_line() -> str:
    """Under the head of the termination page: which way the plug is held."""
    return "1 ist links, Rastnase hinten"


def wire_word(colour: str, striped: bool) -> str:
    """One wire by its colour."""
    word = COLOURS[colour]
    return f"weiß-**{word}**" if striped else f"**{word}**"


def speak_wire(contact: int, colour: str, striped: bool) -> str:
    """One wire for a screen reader."""
    word = COLOURS[colour]
    return f"{contact}: weiß-{word}" if striped else f"{contact}: {word}"


def pair_of(pair: int) -> str:
    """``Paar 2``"""
    return f"Paar {pair}"


def wires_slab(span: str) -> str:
    """The slab of a step with a termination page."""
    return f"Die acht Adern von {span}"


def wires_more(made: int) -> str:
    """Under it."""
    return {0: "noch kein Ende fertig", 1: "ein Ende fertig"}.get(made, "beide Enden fertig")


def end_slab(at: str, made: bool) -> str:
    """The press for one end: what is then so. Once it is, just the end."""
    box, _, port = at.rpartition(".")
    named = box if port in SIDES else spot(at)  # a cable's two ends are in two boxes
    return named if made else f"{named} fertig"


def end_open(stop: str) -> str:
    """Under it, while it is not."""
    return f"bei {stop}" if stop else "noch nicht"


def end_made(at: str, pinout: str) -> str:
    """Under it, once it is."""
    return " ".join(word for word in (pinout, at) if word) or "fertig"


def note_end(at: str, pinout: str) -> str:
    """The text of the entry."""
    return f"{at} fertig, {pinout}" if pinout else f"{at} fertig"


def ends_differ() -> str:
    """Two ends in two orders."""
    return "**Die Enden sind verschieden**: das ist gekreuzt. Eins davon neu machen."


# ---------------------------------------------------------------- those who work, copies


def for_two() -> str:
    """On Steps, when two work."""
    return "Reihenfolge für zwei; 1 und 2: wer es macht"


def copy_it() -> str:
    """The button of the hold about the copy, and the slab of its step."""
    return "Kopieren"


def photo_it() -> str:
    """The button of a hold about a photo."""
    return "Aufnehmen"


def it_is_out() -> str:
    """The button of a hold about what was fitted for a test."""
    return "Ist raus"


def put_in() -> str:
    """The quiet on Run that opens the sheet."""
    return "Zum Test einsetzen"


def put_in_title(box: str) -> str:
    """The sheet's sentence."""
    return f"**Zum Test einsetzen** an {box}"


def put_in_row(what: str, at: str) -> str:
    """A row of the sheet: ``Kurzschluss am Ende, A2 Leitungsseite``"""
    name = {"short": "Kurzschluss am Ende"}.get(what, _fitted_name(what))
    return f"{capital(name)}, {spot(at)}"


def is_in_at(what: str, at: str) -> str:
    """The second press of a step that puts something in: what is then so."""
    return f"{capital(_fitted_name(what))} drin: {spot(at)}"


def is_out_again(what: str, at: str = "") -> str:
    """The press once it is in; with its place where several can be."""
    named = capital(_fitted_name(what))
    return f"{named} raus: {spot(at)}" if at else f"{named} ist raus"


def shorts_first(number: int, box: str) -> str:
    """Before a feed is switched on: what would keep it dark."""
    still = "Ein Kurzschluss ist" if number == 1 else f"{capital(count(number))} Kurzschlüsse sind"
    return f"**{still} noch drin.** {box} bleibt dunkel, bis alles draußen ist."


def is_still_in(what: str, at: str, by: str, clock: str) -> str:
    """What is in, where it is: ``Kurzschluss drin: A2 Leitungsseite, Ida, 14:32``"""
    named = is_in_at(what, at) if "." in at else f"{capital(_fitted_name(what))} ist drin"
    return ", ".join(word for word in (named, by, clock) if word)


@says("strip-in")
def _strip_in(what: str, at: str) -> str:
    return f"{is_in_at(what, at)}."


@says("strip-out")
def _strip_out(what: str, at: str) -> str:
    return f"{is_out_again(what, at)}."


def note_in(what: str) -> str:
    """The text of the entry."""
    return f"{capital(_fitted_name(what))} eingesetzt"


def note_out(what: str) -> str:
    """The text of the entry."""
    return f"{capital(_fitted_name(what))} herausgenommen"


@says("strip-export")
def _strip_export() -> str:
    return "Der Bericht ist vom Handy kopiert."


@says("hold-photo")
def _hold_photo(at: str) -> str:
    return f"**Foto fehlt**: {photographed(at)}. Kein Messwert zeigt es."


@says("hold-copied")
def _hold_copied(count: int) -> str:
    what = "1 Eintrag ist" if count == 1 else f"{count} Einträge sind"
    return f"**{what} nur auf diesem Handy.** Vor dem Gehen den Bericht kopieren."


@says("hold-fitted")
def _hold_fitted(what: str, at: str, by: str) -> str:
    who = f" Eingesetzt von {by}." if by else ""
    return f"**{capital(_fitted_name(what))} an {point(at)}** ist noch drin.{who}"


FITTED = {"by-pass": "Überbrückung"}
"""what is fitted for a test, where the word of the English sentences is another than the log's"""
_FITTED = {
    **FITTED,
    "short": "Kurzschluss",
    "known load": "bekannte Last",
    "break-out lead": "Messadapter",
}
"""all that is fitted for a test, by the log's word"""


def _fitted_name(what: str) -> str:
    return _FITTED.get(what, what)
