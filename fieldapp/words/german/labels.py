"""The sentences of labels and of their square codes, in German."""

from __future__ import annotations

from fieldapp.words.german.figures import NBSP, decimal, metres, with_unit
from fieldapp.words.german.said import says

WAYS = {"source": "zur Quelle", "end": "zum Ende"}
"""where a port looks"""


@says("code-foreign")
def _foreign() -> str:
    return "Das ist kein Code eines Farend-Schilds. Der beginnt mit FAREND:1:"


@says("code-newer")
def _newer() -> str:
    return "Dieser Code ist von einem neueren Farend oder vertippt."


@says("code-parts")
def _parts() -> str:
    return "Am Code fehlt ein Teil: Nach FAREND:1: folgen Auftrag, Box und zwei Zeichen."


@says("code-mistyped")
def _mistyped() -> str:
    return "Ein Zeichen dieses Codes ist anders als gedruckt. Noch einmal hinsehen."


@says("code-no-job")
def _no_job(job: str) -> str:
    return f"{job} ist nicht auf diesem Handy. Erst die Datei dazu öffnen."


def code_label() -> str:
    """The field for the code of a label."""
    return "Code auf einem Schild"


def code_open() -> str:
    """The button that opens what a code names."""
    return "Stelle öffnen"


def not_in_job(thing: str) -> str:
    """On Run, where one came for a thing that is not there."""
    return f"{thing} gibt es in diesem Auftrag nicht mehr: umbenannt oder entfernt."


_NAMES = {"line": "Leitung", "kit": "Box"}
"""ports whose name is a word, as short as a label wants it"""
_BESIDE = {**_NAMES, "line": "Ltg"}
"""the same beside the drawn box, where a few letters find room"""


def _named(ports: str) -> str:
    """``in``, ``out1, out2``, ``Leitung``: ports by name."""
    return ", ".join(_NAMES.get(port, port) for port in ports.split(", "))


def _there(at: str) -> str:
    """``S.out``, ``A2 Leitung``: the end of a cable."""
    box, _, port = at.rpartition(".")
    return f"{box} {_NAMES[port]}" if port in _NAMES else at


def label_side(port: str) -> str:
    """A port by its name, beside the drawn box."""
    return _BESIDE.get(port, port)


def label_port(port: str, way: str, to: str) -> str:
    """``in zur Quelle, an C1``; a port that nothing is plugged into says so."""
    looks = f"{_named(port)} {WAYS[way]}" if way else _named(port)
    return f"{looks}, an {_there(to)}" if to else f"{looks}, nichts angesteckt"


def label_ports(ports: tuple[tuple[str, str], ...]) -> str:
    """``in zur Quelle, out1, out2 zum Ende``: the ports of a box by where they look."""
    return ", ".join(
        f"{_named(names)} {WAYS[way]}" if way else _named(names) for names, way in ports
    )


def label_volts(low: float | None, expected: float | None, high: float | None) -> str:
    """``soll 48,2 V, 42,9 bis 52,3 V``, as far as the plan tells."""
    if expected is None:
        return "der Plan nennt hier keine Volt"
    said = f"soll {with_unit(expected)}"
    if low is None or high is None:
        return said
    return f"{said}, {decimal(low)}{NBSP}bis{NBSP}{decimal(high)}{NBSP}V"


def label_foot(at_m: float | None, date: str) -> str:
    """``230 m von der Quelle, 2031-05-04``"""
    where = "" if at_m is None else f"{metres(at_m)} von der Quelle, "
    return f"{where}{date}"


def label_bonded() -> str:
    """What stands on whatever carries a bond."""
    return "nicht entfernen: geerdet"


def label_bond(earth: str) -> str:
    """The name of a bond's label."""
    return f"Erdverbindung zu {earth}"


def label_end(at: str) -> str:
    """The name of a label on one end of a span."""
    return f"an {_there(at)}"


def labels_title(job: str) -> str:
    """The title of a file of labels."""
    return f"Schilder zu {job}"


def labels_page(first: str, last: str) -> str:
    """A page of labels in the list of them: the first thing and the last."""
    return first if first == last else f"{first} bis {last}"


def label_no_code() -> str:
    """Where the square code of a label would be."""
    return "zu lang für einen Code"
