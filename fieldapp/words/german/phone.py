"""The app as an installed page, in German: what it keeps, whether it needs a network, a newer version."""

from __future__ import annotations

from fieldapp.words.german.said import says


@says("told-stays")
def _stays() -> str:
    return "Der Browser hat **zugesagt zu behalten**, was auf diesem Handy ist."


@says("told-may-clear")
def _may_clear() -> str:
    return (
        "Der Browser hat **nicht zugesagt**, deine Aufträge zu behalten. Kopiere sie jeden Abend."
    )


@says("told-not-renewed")
def _not_renewed() -> str:
    return "Die neue Version ließ sich nicht nehmen. Diese läuft weiter wie bisher."


# ---------------------------------------------------------------- on the list of jobs


def newer_line() -> str:
    """A newer version lies ready."""
    return "Eine neue Version ist da."


def newer_take() -> str:
    """The button beside it."""
    return "Nehmen"


def copies_line(jobs: int) -> str:
    """Jobs that have something that no copy holds, where the browser promised nothing."""
    few, them = ("1 Auftrag", "ihn") if jobs == 1 else (f"{jobs} Aufträge", "sie")
    return f"**{few} kopieren.** Der Browser darf {them} wegräumen."


def copies_away() -> str:
    """The button beside it: no more of it today."""
    return "Heute nicht"


def offline_line() -> str:
    """Said once."""
    return "Ab jetzt geht es auch ohne Netz."


# ---------------------------------------------------------------- on Leave


def copied_matters(said: str) -> str:
    """Why it matters here that a log is on this phone only."""
    return f"{said} Der Browser darf es wegräumen."


# ---------------------------------------------------------------- in Settings


def phone_title() -> str:
    """The page, and the row that leads there."""
    return "Dieses Handy"


def phone_row(newer: bool, offline: bool, stays: bool | None) -> str:
    """Under that row."""
    works = "geht ohne Netz" if offline else "wird noch für die Arbeit ohne Netz geholt"
    return f"{'eine neue Version ist da' if newer else works}; {PROMISES[stays]}"


PROMISES = {
    True: "der Browser hat zugesagt, alles zu behalten",
    False: "der Browser darf Aufträge wegräumen",
    None: "der Browser wurde noch nicht gefragt",
}
"""by what it promised"""


def offline_title() -> str:
    """What it needs a network for."""
    return "Ohne Netz"


def offline_is(offline: bool) -> str:
    """Whether it would start without."""
    if offline:
        return "**Es geht ohne Netz.** Alles davon ist auf diesem Handy."
    return "**Es wird noch für die Arbeit ohne Netz geholt.** Bleib so lange im Netz."


def stays_title() -> str:
    """What happens to the jobs."""
    return "Was auf diesem Handy behalten ist"


def stays_is(stays: bool | None) -> str:
    """What the browser promised."""
    if stays:
        return "**Der Browser hat zugesagt, es zu behalten,** auch wenn der Platz knapp wird."
    if stays is None:
        return "**Der Browser wurde noch nicht gefragt,** ob er es behält. Das kommt mit dem ersten Auftrag."
    return "**Der Browser darf es wegräumen,** wenn auf dem Handy der Platz knapp wird."


def stays_asking() -> str:
    """While it is being asked."""
    return "Der Browser wird gefragt."


def stays_ask(again: bool) -> str:
    """The button below it."""
    return "Noch einmal fragen" if again else "Jetzt fragen"


def stays_evening() -> str:
    """Whatever it promised."""
    return "Ein Handy geht auch verloren. Kopiere deine Aufträge jeden Abend."


def home_title() -> str:
    """How it is opened."""
    return "Startbildschirm"


def home_is(on_home: bool) -> str:
    """Whether it is in a tab."""
    if on_home:
        return "**Es wird vom Startbildschirm geöffnet,** in einem eigenen Fenster."
    return "**Es ist in einem Tab des Browsers offen.**"


def home_how() -> str:
    """How it is put there: in the words of the two systems (``from memory``)."""
    return "So kommt es dorthin: „Teilen“, dann „Zum Home-Bildschirm“. Oder Menü, „Installieren“."


def home_week() -> str:
    """What becomes of a tab (``from memory``)."""
    return "Manche Handys räumen die Aufträge eines Tabs nach sieben Tagen ohne Besuch weg."


def phone_version(number: str) -> str:
    """Which build this is."""
    return f"Version {number}"


def renew() -> str:
    """The slab that takes a newer one."""
    return "Neue Version nehmen"


def renew_more() -> str:
    """Under it."""
    return "Was du getippt hast, bleibt."
