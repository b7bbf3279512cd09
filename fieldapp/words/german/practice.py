"""Practice on made-up sites, in German: the list of them, the meter, the clock, and how it went."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from fieldapp.words.english.pictures import minutes
from fieldapp.words.english.practice import _OPEN_OHMS, NO_CAUSE
from fieldapp.words.german.figures import (
    NBSP,
    capital,
    count,
    figure,
    metres,
    several,
    spot,
    typed_with_unit,
    with_unit,
)
from fieldapp.words.german.finding import cause_at

# ---------------------------------------------------------------- where one begins


def practise() -> str:
    """The way to the made-up sites."""
    return "Linie zum Üben"


def practice_title() -> str:
    return "Welche erfundene Anlage?"


def making_up() -> str:
    """While a site is drawn: it is measured once over, so that it has something to show."""
    return "Einen Moment: Die Anlage wird erfunden."


def practice_more() -> str:
    return (
        "Diese Anlagen hat niemand gebaut. Du misst mit erfundenem Messgerät, findest, was nicht "
        "stimmt, und behebst es."
    )


def level_title() -> str:
    return "Wie viel ist dort versteckt?"


PRACTICE_LEVELS: Mapping[str, tuple[str, str]] = {
    "perhaps": ("vielleicht nichts", "du weißt es nicht"),
    "one-cause": ("eine Ursache", "ganz gewiss"),
}
"""how much is hidden, and what that means"""


def site_line(length_m: float, boxes: int, pairs: int, ends: int) -> str:
    """What a site is: ``463 m, 8 Boxen, vier Paare``."""
    each = (
        metres(length_m),
        f"{boxes} {'Box' if boxes == 1 else 'Boxen'}",
        several(pairs, "ein Paar", "Paare"),
    )
    said = ", ".join(each)
    return f"{said}, {count(ends)} Enden" if ends > 1 else said


def made_up_title(title: str) -> str:
    """The title of a job on a made-up site: what is written from it says so too."""
    return f"{title}, erfunden"


def made_up() -> str:
    """What stands on everything of such a job."""
    return "erfunden"


# ---------------------------------------------------------------- what is written into the log


def note_begun() -> str:
    return "Zur Übung erfunden: Das hat niemand gemessen."


def note_built() -> str:
    return "war schon da"


def note_on() -> str:
    return "Erfunden: Es ist schon lange an."


def note_sound() -> str:
    return "In der Übung gesagt: Hier ist nichts falsch."


def note_shown() -> str:
    return "Was versteckt ist, wurde gezeigt."


# ---------------------------------------------------------------- the meter


def take_made_up() -> str:
    """The button that fills in what the meter would show."""
    return "Erfundenen Messwert nehmen"


def take_made_up_short() -> str:
    """The same where letters are large."""
    return "Wert nehmen"


def moves_between(low: float, high: float, kind: str) -> str:
    """What comes and goes."""
    top = typed_with_unit(figure(high, kind), kind)
    return f"Es schwankt zwischen {figure(low, kind)} und {top}."


def pairs_read(pairs: Mapping[str, float]) -> str:
    """Each pair's own ohms: ``Paar 1: 24,9; 2: 25,1; 3: offen``."""
    each = (
        f"{name}:{NBSP}{'offen' if ohms >= _OPEN_OHMS else figure(ohms, 'loop_ohms')}"
        for name, ohms in pairs.items()
    )
    return f"Paar {'; '.join(each)}"


def lights_show(mbps: float) -> str:
    """What the lights of a link say."""
    return f"Die LEDs zeigen **{with_unit(mbps, 'mbps')}**."


# ---------------------------------------------------------------- so far


def band_line(minutes_: float, readings: int) -> str:
    """Beside the mark on every screen: ``erfunden, 23 min, sieben Messwerte``."""
    return f"{made_up()}, {minutes(minutes_)}, {_readings(readings)}"


def see_practice() -> str:
    """Where the mark leads while it goes on."""
    return "Bisher"


def how_it_went() -> str:
    return "Wie es lief"


def so_far_title(level: str) -> str:
    """What is known of the site while it goes on."""
    told = {
        "perhaps": "**Eine Sache** ist hier vielleicht falsch, vielleicht auch nichts.",
        "one-cause": "**Eine Sache** ist hier falsch.",
    }
    return told.get(level, "Dieser Auftrag ist erfunden. Was versteckt ist, steht hier nicht.")


def so_far_more() -> str:
    return "Mit dem erfundenen Messgerät messen. Was du als behoben meldest, zeigt es."


def altered_line(places: Sequence[str]) -> str:
    """What was altered so far, in vain or not: only a meter tells."""
    return f"Geändert hast du: {', '.join(map(spot, places))}."


def took(minutes_: float, work: float, walk_m: float, readings: int) -> str:
    """What it took: work and walks apart."""
    return (
        f"**{minutes(minutes_)}** und {_readings(readings)}: {minutes(work)} gemessen, "
        f"{metres(walk_m)} gelaufen."
    )


def took_why() -> str:
    return f"Minuten, wie der nächste Test sie zählt; du gehst {metres(50)} je Minute."


def show_me() -> str:
    return "Zeigen"


def nothing_wrong() -> str:
    return "Nichts falsch"


def go_on_practising() -> str:
    return "Weiter messen"


# ---------------------------------------------------------------- how it went

_OUTCOMES: Mapping[str, str] = {
    "mended": "**Du hast es behoben.**",
    "named": "**Du hast es gefunden.** Behoben ist es noch nicht.",
    "shown": "**Du hast es dir zeigen lassen.**",
    "sound": "**Nichts war falsch,** und du hast es so gelassen.",
    "missed": "**Es war etwas anderes.**",
    "left": "Du bist gegangen, und **es ist noch da.**",
}


def went(outcome: str) -> str:
    """How it ended."""
    return _OUTCOMES[outcome]


def was_hidden() -> str:
    return "Was versteckt war"


def you_said() -> str:
    return "Was du gesagt hast"


def truth_line(cause: str, where: str, end: str) -> str:
    """The hidden cause and its place."""
    if cause == NO_CAUSE:
        return "Nichts: Jede Zahl liegt in den Grenzen des Plans."
    said = f"{capital(cause_at(cause, where))}."
    return f"{said} Es sitzt an {spot(end)}." if end else said


def said_line(found: Sequence[tuple[str, str]], altered: Sequence[str], said_sound: bool) -> str:
    """What was named as found and what was altered, else that nothing is wrong."""
    said = [f"{capital(cause_at(cause, where))}." for cause, where in found]
    said += [altered_line(altered)] if altered else []
    return " ".join(said) or ("Dass nichts falsch ist." if said_sound else "Nichts.")


def another_one() -> str:
    return "Noch eine"


def back_to_job() -> str:
    return "Zurück zum Auftrag"


def _readings(number: int) -> str:
    return several(number, "ein Messwert", "Messwerte")
