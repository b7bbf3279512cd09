"""The sentences of a trial: what is tried, what comes of it, how far it would go."""

from __future__ import annotations

from fieldapp.words import units
from fieldapp.words.english.figures import NBSP, cable_wire, unit_of, with_unit

TRIED = {
    "length": "length",
    "gauge": "gauge",
    "load": "most watts",
    "volts": "volts it gives",
    "most": "watts it gives",
    "own": "own watts",
    "out-volts": "volts out",
    "out-most": "watts out",
    "cutoff": "drop-out",
    "heat": "hottest day",
    "hottest": "hottest day",
    "indoors": "hottest indoors",
}
"""what can be tried, as it is called on its button"""


def tried_title(thing: str) -> str:
    """Over the page of a trial."""
    return f"What if: {thing}"


def tried_site_title() -> str:
    """Over the page of a trial of the place itself."""
    return "What if: the site"


def tried_line(knob: str, value: str) -> str:
    """Under it: what is tried, and what the plan says."""
    return f"{TRIED.get(knob, knob)}, {value} in the plan"


def tried_figure(value: float) -> str:
    """A value without its unit: one decimal where there is one."""
    return f"{value:.1f}".removesuffix(".0")


def tried_value(value: float, kind: str) -> str:
    """A value with its unit."""
    if kind == "gauge":
        return cable_wire(value)
    return f"{tried_figure(units.shown(value, kind))}{NBSP}{unit_of(kind)}"


def tried_apart(by: float, kind: str) -> str:
    """Under the value: how far it is from the plan's."""
    if abs(by) < 0.05:
        return "as planned"
    return f"{tried_value(abs(by), kind)} {'more' if by > 0 else 'less'} than planned"


def tried_type(value: str) -> str:
    """The value as a button, for a screen reader."""
    return f"{value}, type another"


def tried_slider(what: str) -> str:
    """The ruler, for a screen reader."""
    return f"{what}, to be dragged"


def tried_plan_mark(value: str) -> str:
    """At the plan's value on the ruler."""
    return f"plan {value}"


def tried_last(value: str, up: bool) -> str:
    """At the last value that holds on the ruler: on this side of it the plan holds."""
    return f"holds to {value}" if up else f"holds from {value}"


def tried_all() -> str:
    """On the ruler where the plan holds at every value."""
    return "holds all along"


def tried_nowhere() -> str:
    """On the ruler where the plan holds at no value."""
    return "holds nowhere"


def tried_holds(box: str, volts: float, spare: float) -> str:
    """The plan holds at worst."""
    return f"**Holds**: {box} has {with_unit(volts)} at worst, {spare:.1f} to spare."


def tried_holds_bare() -> str:
    """The same where no box says how many volts it needs."""
    return "**Holds** at worst."


def tried_drops(value: str, box: str, at_worst: bool) -> str:
    """A box drops out."""
    when = "at worst" if at_worst else "even as expected"
    return f"At {value} **{box} drops out** {when}."


def tried_breaks(value: str, finding: str) -> str:
    """The plan breaks something else."""
    return f"At {value}: {finding}"


def tried_no_more(value: str) -> str:
    """The plan does not hold, and no rule says why."""
    return f"At {value} the plan **no longer holds** at worst."


def tried_unheld(value: str) -> str:
    """No plan can be written so."""
    return f"No plan can be written with {value}."


def tried_alike(boxes: str) -> str:
    """The value is one of a sheet that several boxes have."""
    return f"One sheet, so for all of {boxes}."


def tried_beneath() -> str:
    """The thin line beneath the falling line."""
    return "plan"


def tried_up(value: str) -> str:
    """The stepper to the right."""
    return f"up to {value}"


def tried_down(value: str) -> str:
    """The stepper to the left."""
    return f"down to {value}"


def tried_gauge_name(gauge: float) -> str:
    """A gauge to choose, as short as it can be told: its unit stands in the head."""
    return cable_wire(gauge, short=True).partition(NBSP)[0]


def tried_gauge(holds: bool) -> str:
    """Under a gauge to choose."""
    return "holds" if holds else "does not"


def tried_plan_it() -> str:
    """Make the plan so."""
    return "Plan it so"


def tried_counts(change: bool) -> str:
    """Under it: how it counts."""
    return "a change: it was built otherwise" if change else "a correction of the plan"


def tried_is_plan() -> str:
    """Instead of it while nothing else is tried."""
    return "This is the plan"


def tried_how(chosen: bool) -> str:
    """Under it: how one tries."""
    return "choose a gauge" if chosen else "drag the cut end, or press the figure"


def tried_back(value: str) -> str:
    """Back to the plan's own value."""
    return f"Back to the plan’s {value}"


def tried_use(value: str) -> str:
    """Close the pad with what is typed."""
    return f"Try {value}"


def tried_type_it(kind: str) -> str:
    """The same while nothing is typed."""
    return f"Type the {unit_of(kind)}"


def tried_range(least: float, most: float, kind: str) -> str:
    """What is typed is none that a plan can hold."""
    first = tried_figure(units.shown(least, kind))
    return f"A plan holds {first} to {tried_value(most, kind)}"


def tried_nothing() -> str:
    """A thing without any value that could be tried."""
    return "Nothing here can be tried. Choose a span, a feed or a far end."
