"""The sentences of a trial in German: what is tried, what comes of it, how far it would go."""

from __future__ import annotations

from fieldapp.words import units
from fieldapp.words.english.trying import tried_figure as _figure
from fieldapp.words.german.figures import NBSP, cable_wire, comma, unit_of, with_unit

TRIED = {
    "length": "Länge",
    "gauge": "Drahtmaß",
    "load": "größte Last",
    "volts": "Volt ab Port",
    "most": "Watt ab Port",
    "own": "eigene Watt",
    "out-volts": "Volt am Ausgang",
    "out-most": "Watt am Ausgang",
    "cutoff": "Abschalt-Volt",
    "heat": "heißester Tag",
    "hottest": "heißester Tag",
    "indoors": "Hitze drinnen",
}
"""what can be tried, as it is called on its button"""


def tried_title(thing: str) -> str:
    """Over the page of a trial."""
    return f"Probieren: {thing}"


def tried_site_title() -> str:
    """Over the page of a trial of the place itself."""
    return "Probieren: Standort"


def tried_line(knob: str, value: str) -> str:
    """Under it: what is tried, and what the plan says."""
    return f"{TRIED.get(knob, knob)}, im Plan {value}"


def tried_figure(value: float) -> str:
    """A value without its unit: one decimal where there is one."""
    return comma(_figure(value))


def tried_value(value: float, kind: str) -> str:
    """A value with its unit."""
    if kind == "gauge":
        return cable_wire(value)
    return f"{tried_figure(units.shown(value, kind))}{NBSP}{unit_of(kind)}"


def tried_apart(by: float, kind: str) -> str:
    """Under the value: how far it is from the plan's."""
    if abs(by) < 0.05:
        return "wie geplant"
    return f"{tried_value(abs(by), kind)} {'mehr' if by > 0 else 'weniger'} als geplant"


def tried_type(value: str) -> str:
    """The value as a button, for a screen reader."""
    return f"{value}, andere Zahl tippen"


def tried_slider(what: str) -> str:
    """The ruler, for a screen reader."""
    return f"{what}, zum Ziehen"


def tried_plan_mark(value: str) -> str:
    """At the plan's value on the ruler."""
    return f"Plan {value}"


def tried_last(value: str, up: bool) -> str:
    """At the last value that holds on the ruler: on this side of it the plan holds."""
    return f"hält bis {value}" if up else f"hält ab {value}"


def tried_all() -> str:
    """On the ruler where the plan holds at every value."""
    return "hält überall"


def tried_nowhere() -> str:
    """On the ruler where the plan holds at no value."""
    return "hält nirgends"


def tried_holds(box: str, volts: float, spare: float) -> str:
    """The plan holds at worst."""
    return f"**Hält**: {box} hat schlimmstenfalls {with_unit(volts)}, {with_unit(spare)} übrig."


def tried_holds_bare() -> str:
    """The same where no box says how many volts it needs."""
    return "**Hält** auch im schlimmsten Fall."


def tried_drops(value: str, box: str, at_worst: bool) -> str:
    """A box drops out."""
    when = "im schlimmsten Fall" if at_worst else "schon im Normalfall"
    return f"Bei {value} **geht {box} aus**, {when}."


def tried_breaks(value: str, finding: str) -> str:
    """The plan breaks something else."""
    return f"Bei {value}: {finding}"


def tried_no_more(value: str) -> str:
    """The plan does not hold, and no rule says why."""
    return f"Bei {value} **hält der Plan nicht mehr**, im schlimmsten Fall."


def tried_unheld(value: str) -> str:
    """No plan can be written so."""
    return f"Mit {value} lässt sich kein Plan schreiben."


def tried_alike(boxes: str) -> str:
    """The value is one of a sheet that several boxes have."""
    return f"Ein Datenblatt, also für alle: {boxes}."


def tried_beneath() -> str:
    """The thin line beneath the falling line."""
    return "Plan"


def tried_up(value: str) -> str:
    """The stepper to the right."""
    return f"mehr, auf {value}"


def tried_down(value: str) -> str:
    """The stepper to the left."""
    return f"weniger, auf {value}"


def tried_gauge_name(gauge: float) -> str:
    """A gauge to choose, as short as it can be told: its unit stands in the head."""
    return cable_wire(gauge, short=True).partition(NBSP)[0]


def tried_gauge(holds: bool) -> str:
    """Under a gauge to choose."""
    return "hält" if holds else "fällt"


def tried_plan_it() -> str:
    """Make the plan so."""
    return "So planen"


def tried_counts(change: bool) -> str:
    """Under it: how it counts."""
    return "als Umbau: gebaut ist es anders" if change else "als Korrektur am Plan"


def tried_is_plan() -> str:
    """Instead of it while nothing else is tried."""
    return "So steht es im Plan"


def tried_how(chosen: bool) -> str:
    """Under it: how one tries."""
    return "ein Drahtmaß wählen" if chosen else "Kabelende ziehen oder Zahl drücken"


def tried_back(value: str) -> str:
    """Back to the plan's own value."""
    return f"Zurück zu {value} wie im Plan"


def tried_use(value: str) -> str:
    """Close the pad with what is typed."""
    return f"{value} probieren"


def tried_type_it(kind: str) -> str:
    """The same while nothing is typed."""
    return f"Zahl in {unit_of(kind)} tippen"


def tried_range(least: float, most: float, kind: str) -> str:
    """What is typed is none that a plan can hold."""
    first = tried_figure(units.shown(least, kind))
    return f"Ein Plan fasst {first} bis {tried_value(most, kind)}"


def tried_nothing() -> str:
    """A thing without any value that could be tried."""
    return "Hier gibt es nichts zu probieren. Strecke, Einspeisung oder fernes Ende wählen."
