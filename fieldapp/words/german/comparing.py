"""The sentences of two plans beside each other, in German."""

from __future__ import annotations

from math import inf

from fieldapp.words.english.comparing import hours
from fieldapp.words.german.figures import NBSP, decimal, metres, speed, with_unit
from fieldapp.words.german.plans import kind_word
from fieldapp.words.german.sheetnames import _titled

COMPARED = {
    "works": "läuft im Normalfall",
    "works-at-worst": "läuft im schlimmsten Fall",
    "end-volts-worst": "dort im schlimmsten Fall",
    "watts-to-spare": "Watt übrig dort",
    "load-share": "trägt die Last",
    "slowest-link": "langsamste Verbindung",
    "link-margin-db": "knappste Verbindung",
    "link-margin-m": "kleinste Reserve an Länge",
    "stops": "Mängel, die es aufhalten",
    "minutes": "Arbeit für eine Person",
}
"""the figures of two plans, by their codes"""


def compared(code: str, of: str) -> str:
    """What a row tells: a figure, a kind of box, or a cable."""
    if code == "boxes":
        return f"Boxen: {kind_word(of)}"
    if code == "cable":
        return _titled(of)
    return f"Volt: {of}" if code == "end-volts" else COMPARED[code]


def far_ends(this: str, other: str) -> str:
    """The endpoints that are compared: the farthest of each plan, in volts."""
    if this == other:
        return f"fernes Ende, {this}"
    return f"ferne Enden, {this} und {other}"


def compared_value(code: str, value: float | None) -> str:
    """One plan's figure with its unit."""
    if value is None:
        return "nichts"
    if code in ("works", "works-at-worst"):
        return "ja" if value else "nein"
    if value == inf:
        return "ohne Grenze"
    return {
        "watts-to-spare": lambda: with_unit(value, "watts"),
        "load-share": lambda: f"{decimal(value)}-fach",
        "slowest-link": lambda: speed(value),
        "link-margin-db": lambda: f"{decimal(value)}{NBSP}dB",
        "link-margin-m": lambda: metres(value),
        "minutes": lambda: hours(value),
        "stops": lambda: f"{value:.0f}",
        "boxes": lambda: f"{value:.0f}",
        "cable": lambda: metres(value),
    }.get(code, lambda: with_unit(value))()


def speak_compared(what: str, this: str, other: str) -> str:
    """A row for a screen reader."""
    return f"{what}: hier {this}, dort {other}."


def this_plan() -> str:
    """Over the figures of the plan in hand, and at its line's end."""
    return "dieser Plan"


def line_end(name: str, volts: float | None) -> str:
    """At the end of a line: whose it is, and how many volts are left."""
    return f"{name} {with_unit(volts)}" if volts is not None else name


def speak_two_lines(this: str, other: str) -> str:
    """Both lines for a screen reader, each with what is written at its end."""
    return f"Zwei Linien von der Einspeisung nach außen. An den fernen Enden: {this}; {other}."


def compare_button() -> str:
    """Two plans beside each other."""
    return "Vergleichen"


def another_button() -> str:
    """Compare with another job."""
    return "Anderer"


def beside(title: str) -> str:
    """Under the title: what it is compared with."""
    return f"neben {title}"


def compare_with() -> str:
    """Over the jobs to choose from."""
    return "Mit welchem Auftrag vergleichen?"


def nothing_beside() -> str:
    """No other job can be read."""
    return "Auf diesem Handy ist **kein anderer Auftrag** zum Vergleichen."


def gone_beside() -> str:
    """The job that was asked for is not here, or cannot be read."""
    return "**Dieser Auftrag** ist nicht auf diesem Handy oder nicht lesbar."


def copy_to_compare() -> str:
    """Under the slab that copies the job."""
    return "dann Kopie ändern und vergleichen"


def needs_title(name: str) -> str:
    """Over what one plan takes more of."""
    return f"Mehr als der andere braucht **{name}**"


def need_line(name: str, amount: float, cable: bool) -> str:
    """One thing it needs."""
    name = _titled(name)
    return f"{metres(amount)} {name}" if cable else f"{amount:.0f} × {name}"


def needs_nothing() -> str:
    """Nothing more is to be bought."""
    return "nichts weiter"


def open_job(title: str) -> str:
    """To the other job."""
    return f"{title} öffnen"


# ---------------------------------------------------------------- a row of Jobs


def more_button() -> str:
    """What else can be done with a job of the list."""
    return "Mehr"


def speak_more(title: str) -> str:
    """The same for a screen reader, with the job's name."""
    return f"Mehr zu {title}"


def more_title(title: str) -> str:
    """Over what can be done with it."""
    return f"Was tun mit **{title}**?"


def plan_button() -> str:
    """To its plan."""
    return "Zum Plan"


def compare_job() -> str:
    """Beside another job."""
    return "Mit anderem vergleichen"
