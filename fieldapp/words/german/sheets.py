"""The sheets from below in German: repairs, two plans, another point, a known load."""

from __future__ import annotations

from typing import Any

from fieldapp.words.english.sheets import thing_of as _thing_of
from fieldapp.words.german.figures import NBSP, comma, length, plain_number, reach_of
from fieldapp.words.german.plans import kind_word

MENDED = (
    "Ende neu gemacht",
    "Box getauscht",
    "Kabel getauscht",
    "Einstellung geändert",
)
"""ready words for what was mended"""

# ---------------------------------------------------------------- what was mended


def mended() -> str:
    """The quiet button that logs a repair."""
    return "Repariert"


def mended_where() -> str:
    """The first question."""
    return "Wo hast du etwas behoben?"


def mended_what() -> str:
    """The second one."""
    return "Was wurde gemacht?"


def mended_own() -> str:
    """Own words for what was done."""
    return "Etwas anderes"


def keep_mended() -> str:
    """The slab that keeps it."""
    return "Als behoben behalten"


def mended_missing() -> str:
    """Under it while one of both is missing."""
    return "noch nötig: wo und was"


def mended_strikes() -> str:
    """Under it: what follows."""
    return "ältere Messwerte fallen weg"


def boxes_kind(kind: str) -> str:
    """A box's kind, as the trade says it."""
    return kind_word(kind)


# ---------------------------------------------------------------- taken back


def taken_back() -> str:
    """The word on a reading that was taken back."""
    return "zurückgenommen"


def put_elsewhere(digits: str) -> str:
    """The title over the points."""
    return f"{comma(digits)} einem anderen Punkt geben"


def taken_back_line() -> str:
    """What becomes of it."""
    return "Er bleibt im Bericht, **durchgestrichen**."


# ---------------------------------------------------------------- two plans


def place_of_path(path: str) -> str:
    """A place in the plan, in words: ``C2, Länge``."""
    parts = path.split("/")
    thing = parts[1] if len(parts) > 1 else ""
    what = _KEYS.get(parts[-1], parts[-1].replace("_", " "))
    if parts[0] in _WHOLE:
        return f"{_WHOLE[parts[0]]}, {what}" if thing else _WHOLE[parts[0]]
    if len(parts) == 2 and thing not in PATHS:
        return thing
    return f"{thing}, {what}" if thing and thing != parts[-1] else what


def thing_of(at: str) -> str:
    """What a hold's tag says of a place: ``C4`` of a path into the plan, else the place itself."""
    return PATHS.get(at, _thing_of(at))


PATHS = {
    "length_m": "Länge",
    "name": "Name",
    "title": "Name des Auftrags",
    "sheet": "Datenblatt",
    "cable": "Kabel",
    "stop": "Ort",
    "x_pinout": "Belegung der Adern",
}
_KEYS = {
    **PATHS,
    "ambient_c": "Temperatur",
    "indoor_c": "Temperatur innen",
    "indoor": "innen oder außen",
    "at_m": "Länge des Wegs",
    "building": "Gebäude",
    "needs": "was gebraucht wird",
    "target_ohms": "Zielwert",
    "from": "Anfang",
    "to": "Ende",
    "route": "Verlegung",
    "sun": "Sonne",
    "bundle": "Bündel",
    "pairs": "Paare",
    "end_ohms": "Ohm der Enden",
    "joins_pairs": "verbundene Paare",
    "bond": "Erdverbindung",
    "lead_m": "Länge der Erdleitung",
    "mm2": "Querschnitt",
    "budget": "Budget",
    "watts": "Watt",
    "other_watts": "Watt für anderes",
    "serial": "Nummer",
    "calibrated": "Tag der Kalibrierung",
    "walks": "Wege",
}
"""keys of the plan (``engine/format.py``)"""
_WHOLE = {"site": "Gelände", "walks": "Wege"}
"""parts of the plan that are one thing, and have none inside"""


def conflict_value(path: str, value: Any) -> str:
    """A plan's value, as one of two that stand against each other."""
    if value is None:
        return "herausgenommen"
    if isinstance(value, dict) and "expected" in value:
        value = value["expected"]
    if isinstance(value, bool | dict | list | tuple):
        return "eingesetzt"
    if isinstance(value, float | int):
        return length(value) if path.endswith("length_m") else plain_number(value)
    return str(value)


def choose() -> str:
    """The button of such a hold."""
    return "Wählen"


def choose_title(path: str) -> str:
    """The sheet's sentence."""
    return f"**{place_of_path(path)}: zwei Pläne.** Welcher stimmt?"


def gone_conflict() -> str:
    """The choice was made elsewhere in between."""
    return "Das ist schon geklärt."


def written_by(by: str, in_force: bool) -> str:
    """Under a value: who wrote it, and whether it is the one in force now."""
    who = f"von {by}" if by else "ohne Namen"
    return f"{who}, gilt gerade" if in_force else who


def plans_disagree(path: str) -> str:
    """On Run and in the plan, where two plans stand against each other."""
    return f"{place_of_path(path)}: zwei Pläne, wählen"


# ---------------------------------------------------------------- a known load


def load_title() -> str:
    """The sheet's sentence."""
    return "**Bekannte Last** statt einer Box"


def load_box() -> str:
    """The first question."""
    return "Statt welcher Box?"


def load_watts() -> str:
    """The second one."""
    return "Wie viel zieht sie?"


def watts(value: float) -> str:
    """``15 W``"""
    return f"{plain_number(value)}{NBSP}W"


def unplugged() -> str:
    """No load at all: the box is only taken off."""
    return "gezogen"


def load_state(box: str, value: float | None) -> str:
    """What stands there instead of a box."""
    if value is None:
        return ""
    return f"{watts(value)} statt {box}" if value else f"{box} {unplugged()}"


def load_slab(box: str, value: float) -> str:
    """The slab of the sheet."""
    return f"{watts(value)} statt {box}" if value else f"{box} ist {unplugged()}"


def load_held() -> str:
    """Under it: what is fitted for a test must come out again."""
    return "hält dich auf, bis sie heraus ist"


def more_watts() -> str:
    """The button that sets one watt more."""
    return f"1{NBSP}W mehr"


def less_watts() -> str:
    """The button that sets one watt less."""
    return f"1{NBSP}W weniger"


# ---------------------------------------------------------------- odd things, and small ones


def oddities(number: int) -> str:
    """The quiet line that leads to them."""
    odd = "1 Auffälligkeit" if number == 1 else f"{number} Auffälligkeiten"
    return f"{odd} im Protokoll"


def oddities_title() -> str:
    """The sheet's sentence."""
    return "**Was im Protokoll auffällt.** Nichts ging verloren; so wurde es gelesen."


def would_have_shown(ohms: float) -> str:
    """The least that this reading would have told."""
    return f"Schon **{reach_of(ohms, 'loop_ohms')}** zu viel hätte er gezeigt."
