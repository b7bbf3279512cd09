"""Words of files in and out, in German: handing over, taking in, what a merge brought."""

from __future__ import annotations

from fieldapp.words.english import exchange as english
from fieldapp.words.english.exchange import SHORT, sent_at, speak_hand  # noqa: F401
from fieldapp.words.german.figures import comma, count, several
from fieldapp.words.german.said import says


@says("told-other-plan")
def _other_plan(name: str) -> str:
    return f"{name} hat einen Plan, der nie zu diesem Auftrag gehörte. Hier wurde nichts geändert."


@says("told-nothing-new")
def _nothing_new(name: str) -> str:
    return f"{name} bringt nichts, was nicht schon hier ist."


@says("told-twins")
def _twins(count: int) -> str:
    told = "Ein Eintrag sagt" if count == 1 else f"{count} Einträge sagen"
    return f"{told} hier das eine und in der Datei das andere. Beides ist behalten."


@says("told-left-out")
def _left_out(name: str, at: str, why: str, more: int) -> str:
    """``photos/`` and a sum of 64 digits would fill the screen: the beginning tells which."""
    which = at if len(at) <= SHORT else f"{at[:SHORT]}…"
    others = f" So auch {more} weitere." if more > 1 else " So auch noch eins." if more else ""
    return f"{which} in {name} blieb draußen: {LEFT_OUT[why]}.{others}"


LEFT_OUT = {
    "link": "es verweist nur anderswohin",
    "no-file": "es ist keine Datei",
    "locked": "es verlangt ein Passwort",
    "packing": "so gepackt wird es hier nicht gelesen",
    "twice": "sein Name kommt zweimal vor",
    "foreign": "es gehört zu keinem Auftrag",
    "many": "es sind zu viele Fotos",
    "unnamed": "im Protokoll steht kein solches Foto",
    "changed": "es wurde unterwegs verändert",
    "place": "es verrät vielleicht den Aufnahmeort",
    "no-picture": "es ist kein JPEG-Foto",
    "large": "es ist zu groß",
    "damaged": "es ist beschädigt",
    "more": "sie gehören zu keinem Auftrag",
}
"""why a thing in a zip was not taken"""


@says("told-table-out")
def _table_out(name: str) -> str:
    return f"{name} ist eine Tabelle mit Messwerten. Der Auftrag selbst ist nicht darin."


@says("told-photos-lacking")
def _photos_lacking(count: int) -> str:
    if count == 1:
        return "Ein Foto ist nicht auf diesem Handy, die Datei geht ohne."
    return f"{count} Fotos sind nicht auf diesem Handy, die Datei geht ohne sie."


@says("told-share-unknown")
def _share_unknown() -> str:
    return "Das Handy meldet nicht, dass es irgendwo ankam. Lieber in eine Datei legen."


@says("told-not-out")
def _not_out(name: str) -> str:
    return f"{name} ließ sich von hier aus nirgends ablegen. Hier wurde nichts geändert."


# ---------------------------------------------------------------- the page


def hand_over() -> str:
    """The quiet button that leads to it."""
    return "Übergabe"


def hand_title(title: str) -> str:
    """Its head."""
    return f"Bericht zu **{title}**"


def share() -> str:
    """Hand a file to another program."""
    return "Teilen"


def to_a_file() -> str:
    """Put it where the phone keeps files."""
    return "Als Datei"


def size_line(size: int, photos: int, lacking: int) -> str:
    """How large the job's file is, and what is in it."""
    if lacking:
        return f"{bytes_line(size)}, {_photos_here(photos, photos + lacking)}"
    if not photos:
        return f"{bytes_line(size)}, ohne Fotos"
    return f"{bytes_line(size)}, mit {photos} {'Foto' if photos == 1 else 'Fotos'}"


def _photos_here(here: int, of: int) -> str:
    return f"{here} von {of} {'Foto' if of == 1 else 'Fotos'} hier"


def bytes_line(size: int) -> str:
    """``24 kB``, ``2,3 MB``"""
    return comma(english.bytes_line(size))


def hand_rows_line(readings: int) -> str:
    """How many rows the table has."""
    return f"Tabelle, {readings} {'Zeile' if readings == 1 else 'Zeilen'}"


def being_weighed() -> str:
    """Until the size is known."""
    return "eine Datei"


def sent_newer(at: str) -> str:
    """What was kept since the last copy."""
    return f"neuer als übergeben, {at}" if at else "neuer als übergeben"


def sent_same(at: str) -> str:
    """Nothing was."""
    return f"wie übergeben, {at}" if at else "wie übergeben"


def sent_never() -> str:
    """There is no copy yet."""
    return "noch nicht übergeben"


# ---------------------------------------------------------------- what a merge brought


def news(names: tuple[str, ...], readings: int, others: int, stops: tuple[str, ...]) -> str:
    """``N. Adeyo hat bei Wehr 4 Messwerte behalten``"""
    has = "haben" if len(names) > 1 else "hat"
    return f"{_who(names)} {has}{_where(stops)} {_what(readings, others)} behalten"


def _who(names: tuple[str, ...]) -> str:
    if not names:
        return "**Jemand**"
    if len(names) == 1:
        return f"**{names[0]}**"
    if len(names) == 2:
        return f"**{names[0]}** und **{names[1]}**"
    return f"**{names[0]}** und {count(len(names) - 1)} andere"


def _what(readings: int, others: int) -> str:
    many = several(readings, "einen Messwert", "Messwerte")
    if not others:
        return many
    if not readings:
        return several(others, "einen Eintrag", "Einträge")
    return f"{many} und {several(others, 'einen anderen Eintrag', 'andere Einträge')}"


def _where(stops: tuple[str, ...]) -> str:
    if not stops:
        return ""
    return f" bei {stops[0]}" if len(stops) == 1 else f" an {count(len(stops))} Orten"


def news_see() -> str:
    """The quiet beside it."""
    return "Ansehen"
