"""The sentences of labels and of their square codes."""

from __future__ import annotations

from fieldapp.words.english.figures import NBSP, metres, with_unit
from fieldapp.words.english.said import says

WAYS = {"source": "towards source", "end": "towards end"}
"""where a port looks"""


@says("code-foreign")
def _foreign() -> str:
    return "This is no code of a Farend label. One begins with FAREND:1:"


@says("code-newer")
def _newer() -> str:
    return "This code is of a newer Farend, or mistyped."


@says("code-parts")
def _parts() -> str:
    return "A part of this code is missing: job, box and two signs follow FAREND:1:"


@says("code-mistyped")
def _mistyped() -> str:
    return "A sign of this code is not as printed. Look at it once more."


@says("code-no-job")
def _no_job(job: str) -> str:
    return f"{job} is not on this phone. Open its file to have it here."


def code_label() -> str:
    """The field for the code of a label."""
    return "Code on a label"


def code_open() -> str:
    """The button that opens what a code names."""
    return "Open its place"


def not_in_job(thing: str) -> str:
    """On Run, where one came for a thing that is not there."""
    return f"{thing} is not in this job now: renamed or taken out."


def label_side(port: str) -> str:
    """A port by its name, beside the drawn box."""
    return port


def label_port(port: str, way: str, to: str) -> str:
    """``in towards source, to C1``; a port that nothing is plugged into says so."""
    looks = f"{port} {WAYS[way]}" if way else port
    return f"{looks}, to {to}" if to else f"{looks}, nothing plugged in"


def label_ports(ports: tuple[tuple[str, str], ...]) -> str:
    """``in towards source, out1, out2 towards end``: the ports of a box by where they look."""
    return ", ".join(f"{names} {WAYS[way]}" if way else names for names, way in ports)


def label_volts(low: float | None, expected: float | None, high: float | None) -> str:
    """``expect 48.2 V, 42.9 to 52.3 V``, as far as the plan tells."""
    if expected is None:
        return "the plan tells no volts here"
    said = f"expect {with_unit(expected)}"
    if low is None or high is None:
        return said
    return f"{said}, {low:.1f}{NBSP}to{NBSP}{high:.1f}{NBSP}V"


def label_foot(at_m: float | None, date: str) -> str:
    """``230 m from source, 2031-05-04``"""
    where = "" if at_m is None else f"{metres(at_m)} from source, "
    return f"{where}{date}"


def label_bonded() -> str:
    """What stands on whatever carries a bond."""
    return "do not remove: bonded"


def label_bond(earth: str) -> str:
    """The name of a bond's label."""
    return f"bond to {earth}"


def label_end(at: str) -> str:
    """The name of a label on one end of a span."""
    return f"at {at}"


def labels_title(job: str) -> str:
    """The title of a file of labels."""
    return f"Labels of {job}"


def labels_page(first: str, last: str) -> str:
    """A page of labels in the list of them: the first thing and the last."""
    return first if first == last else f"{first} to {last}"


def label_no_code() -> str:
    """Where the square code of a label would be."""
    return "too long for a square code"
