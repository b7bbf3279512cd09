"""What is being typed, drawn or tried, and is no entry yet: none of it counts until it is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from engine.strokes import Strokes

if TYPE_CHECKING:
    from fieldapp.tabling import TableRead


@dataclass(frozen=True)
class Taken:
    """What a made-up meter showed: the digits, and what goes into the entry beside them."""

    of: tuple[Any, ...]
    digits: str
    keys: Mapping[str, Any]


@dataclass(frozen=True)
class Pad:
    """What is being typed: the digits as typed, at which point, under which standing."""

    at: str
    kind: str
    digits: str = ""
    standing: str = "loaded"
    """``loaded`` all running, ``known`` a known load in place of a box, ``open`` nothing beyond"""
    box: str = ""
    """the box that the known load stands in for"""
    watts: float | None = None
    """what the known load draws; 0 = that box is only unplugged [W]"""
    meter: str = ""
    method: str = ""
    """how an earth is measured; "" where nobody said"""
    since: str = ""
    """time of the first key, for the line after a kill"""
    restored: bool = False
    keyed: int = 0
    """how many keys were pressed here"""
    quiet: bool = False
    """nothing was pressed for a while: what is said of the figure is read aloud"""
    beside: str = ""
    """the reading whose moment this one shares"""
    again: str = ""
    """the reading that this one repeats"""
    job: str = ""
    """the job whose point this is: the next one has a point of this name too"""
    taken: Taken | None = None

    @property
    def asks(self) -> tuple[Any, ...]:
        """What is read, what stands there for it, and with which meter."""
        way = (self.standing, self.box, self.watts) if self.standing == "known" else self.standing
        return (self.at, self.kind, way, self.meter, self.beside, self.again)

    @property
    def shown(self) -> Taken | None:
        """What the made-up meter showed, while the digits are its own."""
        taken = self.taken
        is_its = taken is not None and (taken.of, taken.digits) == (self.asks, self.digits)
        return taken if is_its else None


@dataclass(frozen=True)
class PlanEdit:
    """A name or a length being typed in the plan; an entry only once it is accepted."""

    path: tuple[str, ...]
    text: str = ""


@dataclass(frozen=True)
class NewRun:
    """A run being asked for: the distance as typed, the far end's watts and speed."""

    digits: str = ""
    watts: float = 13.0
    mbps: int = 1000
    outdoor: bool = True
    asked: str = "metres"
    """the question on the page: ``metres`` or ``load``"""


@dataclass(frozen=True)
class OwnSheet:
    """A sheet of one's own being typed for a thing; in the log only once it is used."""

    job: str
    thing: str
    template: str
    """the sheet whose figures stand ready as answers"""
    changes: bool = False
    """the template itself gets the figures, so that all who use it follow"""
    at: str = ""
    """the key of the question on the page; ``begin`` is the first page, nothing the last"""
    part: str = ""
    """which figure of the answer is being typed"""
    answers: Mapping[str, Any] = field(default_factory=lambda: MappingProxyType({}))
    typed: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """digits as typed, by key and part"""
    title: str = ""
    single: bool = False
    """questions are asked for one by one from the last page"""
    sent: bool = False
    """on its way to the journal"""
    serial: str = ""
    """of a meter of one's own, as typed"""
    day: str = ""
    """when it was calibrated: the digits of day, month and year as typed"""


@dataclass(frozen=True)
class Mending:
    """A cause that is being mended at its place; entries only once it is said what it was."""

    cause: str
    where: str
    truth: tuple[str, str] | None = None
    """what it was, and where; two blanks where nobody could tell, None while it is not said"""
    asks: bool = False
    """it was something else: the list of what it can have been is open"""


@dataclass(frozen=True)
class Trial:
    """What if: which value of which thing is tried, and what it is; None: the plan's own."""

    job: str
    thing: str
    knob: str = ""
    value: float | None = None
    digits: str | None = None
    """as typed so far while the pad is open"""


@dataclass(frozen=True)
class Signing:
    """Who signs a job's record, and what is drawn so far; an entry only once it is pressed."""

    job: str
    name: str = ""
    role: str = ""
    strokes: Strokes = ()
    draws: bool = False
    """a finger is on the field"""


@dataclass(frozen=True)
class SpanTable:
    """A table of spans as typed, pasted or opened; entries only once it is put in."""

    job: str
    text: str = ""
    count: int = 0
    """how often it was changed: it is read once it rests"""
    read: TableRead | None = None
    """what it was read as; None while it is still being typed"""
    sent_at: int | None = None
    """how long the log was when it was sent to the journal"""


@dataclass(frozen=True)
class TypedCode:
    """A label's code as typed or pasted; ``pressed``: it was to open its place, and did not."""

    text: str = ""
    pressed: bool = False
