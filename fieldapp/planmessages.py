"""What can happen while one plans and while a reel is checked, as plain values."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

# ---------------------------------------------------------------- the plan editor


@dataclass(frozen=True)
class PlanMove:
    """Change the plan by one press: which move, of which thing, to what."""

    what: str
    thing: str
    to: str = ""


@dataclass(frozen=True)
class PlanPadKept:
    """Keep the figure of the plan that the pad shows."""


@dataclass(frozen=True)
class AdviceCame:
    """What the look into a plan has found so far, or in the end."""

    found: Any


@dataclass(frozen=True)
class AdviceTaken:
    """A change that is offered is made; ``key`` says which, however the offers have moved on."""

    of: tuple[str, int]
    key: str


@dataclass(frozen=True)
class PlanUndone:
    """Take the last press on the plan back."""


@dataclass(frozen=True)
class NewKey:
    """A key of the pad on which a distance is typed."""

    key: str


@dataclass(frozen=True)
class NewPicked:
    """A choice for a new run: ``watts``, ``mbps``, ``outdoor``, or which question is ``asked``."""

    field: str
    value: Any


@dataclass(frozen=True)
class LayPressed:
    """Lay the new run."""

    title: str


@dataclass(frozen=True)
class CopyJobPressed:
    """Copy a job's plan under this title."""

    job: str
    title: str


# ---------------------------------------------------------------- the reel check


@dataclass(frozen=True)
class ReelKept:
    """Keep the figure of a reel that the pad shows."""


@dataclass(frozen=True)
class ReelMeter:
    """The next meter for the loop of a reel."""


@dataclass(frozen=True)
class ReelTaken:
    """The reel at hand goes into this span: right, or for the reason in the open sheet."""

    span: str


@dataclass(frozen=True)
class ReelRefused:
    """The reel at hand is kept off this span; the next one is to be checked."""

    span: str
    why: str


# ---------------------------------------------------------------- the sheets of a job


@dataclass(frozen=True)
class SheetPicked:
    """A box, a span or a meter gets another sheet."""

    thing: str
    sheet: str


@dataclass(frozen=True)
class SheetsTried:
    """What some sheets would do; ``left`` are those to be tried yet."""

    of: tuple[str, int, str]
    found: Any
    doc: Any
    left: tuple[str, ...] = ()


@dataclass(frozen=True)
class OwnBegun:
    """A sheet of one's own begins from a template, or the template itself is changed."""

    thing: str
    template: str
    changes: bool = False


@dataclass(frozen=True)
class OwnKey:
    """A key of the pad on which a figure of a sheet is typed."""

    key: str


@dataclass(frozen=True)
class OwnPart:
    """Which figure of an answer is typed next."""

    part: str


@dataclass(frozen=True)
class OwnPicked:
    """One of the choices of a question."""

    value: Any


@dataclass(frozen=True)
class OwnOn:
    """What the page shows is the answer: on to the next question."""


@dataclass(frozen=True)
class OwnLeft:
    """The maker's sheet does not say."""


@dataclass(frozen=True)
class OwnBack:
    """One question back."""


@dataclass(frozen=True)
class OwnAsked:
    """From the last page to one question."""

    key: str


@dataclass(frozen=True)
class OwnNamed:
    """The sheet's name as typed."""

    text: str


@dataclass(frozen=True)
class OwnUsed:
    """The sheet is used for its thing."""


# ---------------------------------------------------------------- what if


@dataclass(frozen=True)
class TrialPicked:
    """Try this value of the thing at hand."""

    knob: str


@dataclass(frozen=True)
class TrialMoved:
    """It is dragged, pressed or chosen to be this much."""

    value: float


@dataclass(frozen=True)
class TrialStepped:
    """One step up (1) or down (-1)."""

    by: int


@dataclass(frozen=True)
class TrialKey:
    """A key of the pad on which it is typed."""

    key: str


@dataclass(frozen=True)
class TrialPad:
    """The pad opens, or closes."""

    opens: bool


@dataclass(frozen=True)
class TrialDropped:
    """Back to the plan's own value."""


@dataclass(frozen=True)
class TrialPlanned:
    """Plan it as it is tried."""


# ---------------------------------------------------------------- spans from a table


@dataclass(frozen=True)
class TableTyped:
    """The table of spans as typed or pasted."""

    text: str


@dataclass(frozen=True)
class TableQuiet:
    """Nothing was typed into the table since this count."""

    count: int


@dataclass(frozen=True)
class TablePressed:
    """Let a table be picked from a file."""


@dataclass(frozen=True)
class TablePicked:
    """A file was picked for the table."""

    name: str
    data: bytes


@dataclass(frozen=True)
class TablePutIn:
    """The spans of the table go into the plan."""
