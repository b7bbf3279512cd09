"""What can happen, as plain values; what is to be done in the world stands in ``effects``."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from engine.judge import Judgement
from engine.say import Say

# One face: callers say ``m.NAME`` of all.
from fieldapp.comfortmessages import *  # noqa: F403
from fieldapp.effects import *  # noqa: F403
from fieldapp.faultmessages import *  # noqa: F403
from fieldapp.handmessages import *  # noqa: F403
from fieldapp.metermessages import *  # noqa: F403
from fieldapp.model import Came, JobRow, OpenJob, Weight
from fieldapp.phonemessages import *  # noqa: F403
from fieldapp.planmessages import *  # noqa: F403
from fieldapp.practicemessages import *  # noqa: F403
from fieldapp.signmessages import *  # noqa: F403


@dataclass(frozen=True)
class RouteChanged:
    """The route is now this one, by a press, the phone's Back or a link."""

    route: str


@dataclass(frozen=True)
class Go:
    """Go to a route."""

    route: str


@dataclass(frozen=True)
class OpenJobPressed:
    """Open a job on its Now page, or at a route of it."""

    job: str
    route: str = ""


@dataclass(frozen=True)
class JobLoaded:
    """A job was read from its journal and judged, because an effect ``asked`` for it."""

    job: OpenJob
    route: str
    asked: Any


@dataclass(frozen=True)
class NotOpened:
    """What was asked for opened no job; ``then`` is the route that this leads to."""

    asked: Any
    say: Say
    then: str = ""


@dataclass(frozen=True)
class JobsListed:
    """The list of jobs was read."""

    rows: tuple[JobRow, ...]


@dataclass(frozen=True)
class CodeTyped:
    """A label's code as typed so far, or pasted."""

    text: str


@dataclass(frozen=True)
class CodePressed:
    """Open what the typed code names."""


@dataclass(frozen=True)
class SamplePicked:
    """A sample is to be copied into a job of one's own."""

    name: str


@dataclass(frozen=True)
class FilePressed:
    """A job file is to be opened."""


@dataclass(frozen=True)
class Told:
    """Something went otherwise than asked; one sentence will say it."""

    say: Say


@dataclass(frozen=True)
class ToldSeen:
    """The sentence was read."""


@dataclass(frozen=True)
class KeyPressed:
    """A key of the pad: a digit, ``.`` or ``rub``; ``at`` is the time shown after a kill."""

    key: str


@dataclass(frozen=True)
class PadQuiet:
    """No key was pressed on the pad since the one of this number."""

    keyed: int


@dataclass(frozen=True)
class KeyTimed:
    """The time of the first key."""

    at: str


@dataclass(frozen=True)
class StandingPicked:
    """``loaded``, ``known`` or ``open``."""

    standing: str


@dataclass(frozen=True)
class MethodPicked:
    """How an earth is measured: a key of ``words.EARTH_METHODS``."""

    method: str


@dataclass(frozen=True)
class LoadPicked:
    """A known load: which box it stands in for, what it draws; 0 is that box unplugged. [W]"""

    box: str
    watts: float


@dataclass(frozen=True)
class NextMeter:
    """The next meter of the list."""


@dataclass(frozen=True)
class KeepPressed:
    """Keep what the pad shows."""


@dataclass(frozen=True)
class SpeedPicked:
    """Keep a link speed; 0 is no link. [Mb/s]"""

    mbps: int


@dataclass(frozen=True)
class StepsShown:
    """Show ``all`` steps, those ``here``, or those still ``open``."""

    which: str


@dataclass(frozen=True)
class StepPressed:
    """A step was done, undone, or cannot be done."""

    step: str
    state: str
    why: str = ""


@dataclass(frozen=True)
class Understood:
    """The cautions of a step were read."""

    step: str


@dataclass(frozen=True)
class ReadingUnderstood:
    """The cautions of the pad's reading were read."""


@dataclass(frozen=True)
class TimerStarted:
    """The timer of a step starts: how long [s], and which round of it."""

    step: str
    seconds: float
    round: int = 1


@dataclass(frozen=True)
class DarkSaid:
    """All lights of a box are off, or it is lit after all."""

    box: str
    dark: bool = True


@dataclass(frozen=True)
class EndPressed:
    """An end of a span is made; pressed again it is open."""

    step: str
    at: str


@dataclass(frozen=True)
class PinoutPicked:
    """The order of the wires for this job."""

    pinout: str


@dataclass(frozen=True)
class PhotoPressed:
    """The picker opens for a photo of this."""

    of: str


@dataclass(frozen=True)
class PhotoPicked:
    """A picture was taken or chosen."""

    data: bytes


@dataclass(frozen=True)
class PicturesRead:
    """Pictures by their sums; None: not on this phone."""

    pictures: Mapping[str, bytes | None]


@dataclass(frozen=True)
class PeopleCounted:
    """So many have come back; nothing begins yet."""

    people: int


@dataclass(frozen=True)
class VisitOpened:
    """A visit begins, for a reason of ``engine.entries.VISIT_REASONS``."""

    reason: str


@dataclass(frozen=True)
class OnlyLook:
    """Nothing begins: one looks at a job whose site was left."""


@dataclass(frozen=True)
class PutIn:
    """Something is in for a test: the log's word for it, and the place."""

    fitted: str
    at: str


@dataclass(frozen=True)
class OutAgain:
    """What a hold speaks of, fitted for a test, is out again."""

    hold: str


@dataclass(frozen=True)
class CopyPressed:
    """The record is to be copied off this phone."""


@dataclass(frozen=True)
class Ticked:
    """What time it is; ``again``: it was asked for because a timer is shown."""

    at: str
    again: bool = False


@dataclass(frozen=True)
class TakeBack:
    """Void an entry, and those that were kept with it."""

    entry: str
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class PutElsewhere:
    """Put a reading that was taken back on another place."""

    reading: str
    at: str


@dataclass(frozen=True)
class SheetOpened:
    """Open the sheet from below: which one, and what it speaks of."""

    what: str
    of: str


@dataclass(frozen=True)
class SheetClosed:
    """Close it with nothing done."""


@dataclass(frozen=True)
class SheetTyped:
    """A word in the sheet: ``reason``, ``name``, ``role`` or ``where``."""

    field: str
    text: str


@dataclass(frozen=True)
class WaivePressed:
    """Waive the hold of the open sheet."""


@dataclass(frozen=True)
class ChangePressed:
    """Keep what was mended, as the open sheet says."""


@dataclass(frozen=True)
class PlanChosen:
    """Of plan edits that have not seen each other, this entry is kept."""

    hold: str
    keep: str


@dataclass(frozen=True)
class LeavePressed:
    """Leave the site."""


@dataclass(frozen=True)
class EditTyped:
    """A name or a length as typed."""

    path: tuple[str, ...]
    text: str


@dataclass(frozen=True)
class EditAccepted:
    """Keep the typed name or length as a plan edit."""


@dataclass(frozen=True)
class FoundCounted:
    """What each job on this phone came to, by its id."""

    stays: Mapping[str, Any]


@dataclass(frozen=True)
class SettingPicked:
    """``look``, ``name`` or ``found_from``."""

    key: str
    value: str | int


@dataclass(frozen=True)
class LineMoved:
    """A long line was moved sideways, by so much from its beginning. [dp]"""

    of: str
    by: float


@dataclass(frozen=True)
class Kept:
    """Entries are durable; ``then`` is the route they lead to, ``at`` the wall clock."""

    job: str
    entries: tuple[Mapping[str, Any], ...]
    at: str
    then: str = ""


@dataclass(frozen=True)
class Judged:
    """What was kept of a long job is judged."""

    asked: Any
    judgement: Judgement


@dataclass(frozen=True)
class NotKept:
    """Nothing was kept; what was typed stays."""

    say: Say


@dataclass(frozen=True)
class StripGone:
    """The strip of this count has stood long enough."""

    count: int


@dataclass(frozen=True)
class FilePicked:
    """The picker brought a file from elsewhere."""

    name: str
    data: bytes


@dataclass(frozen=True)
class NewsCame:
    """A file brought entries to a job that was here."""

    came: Came


@dataclass(frozen=True)
class NewsSeen:
    """See what came."""


@dataclass(frozen=True)
class Weighed:
    """How large a job's file would be."""

    weight: Weight
