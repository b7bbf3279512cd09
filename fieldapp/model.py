"""The state of the app: one frozen value. What follows from a job's log is derived, not stored."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from engine.copied import not_copied
from engine.jobfile import JobFile
from engine.judge import Judgement
from engine.practice.after import PERHAPS, is_made_up
from engine.route import Work
from engine.say import Say
from engine.signed import Signature, signatures
from engine.step import Step
from engine.worked import worked
from fieldapp.foundout import Came, Faults, Holding, Outcomes, PlanAdvice, PracticeSite, Weight
from fieldapp.halfdone import (
    Mending,
    NewRun,
    OwnSheet,
    Pad,
    PlanEdit,
    Signing,
    SpanTable,
    Trial,
    TypedCode,
)
from fieldapp.routes import JOBS, Place, place_of
from fieldapp.settings import Settings

if TYPE_CHECKING:
    from engine.settled import Stay
    from fieldapp.handover.labels import LabelFacts
    from fieldapp.handover.making import Making, Written
    from fieldapp.installed import Installed
    from fieldapp.keptmessages import Kept
    from fieldapp.meters import OwnMeter


TABLE = "table"
"""what a picker can be asked for: a table of spans"""


@dataclass(frozen=True)
class Window:
    """What the phone gives: width and height [dp], its own look, its text scale, and whether it
    was asked for less motion and for more contrast."""

    width: float = 390.0
    height: float = 844.0
    dark: bool = False
    scale: float = 1.0
    still: bool = False
    contrast: bool = False


def people_here(judgement: Judgement) -> int:
    """How many work on this visit: one or two."""
    visits = judgement.state.visits
    return min(max((visits[-1].people or 1) if visits else 1, 1), 2)


@dataclass(frozen=True)
class OpenJob:
    """The job in hand: its file as kept, and what the engine derives from it."""

    id: str
    file: JobFile
    judgement: Judgement
    kept: str = ""
    """time of the last entry that is safely on this phone, as the wall clock shows it"""

    @cached_property
    def work(self) -> Work:
        """The order of the work for those who are here."""
        return worked(self.judgement, people_here(self.judgement))

    @cached_property
    def signatures(self) -> tuple[Signature, ...]:
        """Who signed the record, and what each still stands for."""
        return signatures(self.judgement.state)

    @property
    def steps(self) -> tuple[Step, ...]:
        """The steps in the order to be done."""
        return self.work.steps

    @cached_property
    def label(self) -> LabelFacts | None:
        """A label to look at, undated."""
        from fieldapp.handover.documents import sample_label  # only where it is looked at

        return sample_label(self.judgement)


@dataclass(frozen=True)
class JobRow:
    """A job on the list: its judgement for the miniature, or the trouble there is with it."""

    id: str
    title: str
    judgement: Judgement | None = None
    trouble: Say | None = None

    @property
    def judged(self) -> Judgement:
        """What it came to, for what happens only where it can be read."""
        assert self.judgement is not None
        return self.judgement

    @cached_property
    def only_here(self) -> int:
        """How many of its entries no copy holds; a made-up site has nothing to lose."""
        if self.judgement is None or is_made_up(self.judgement.state.doc):
            return 0
        return not_copied(self.judgement.state)

    @cached_property
    def next_step(self) -> Step | None:
        """The first step that is open, in the order to be done."""
        if self.judgement is None:
            return None
        work = worked(self.judgement, people_here(self.judgement))
        return next((step for step in work.steps if step.state == "open"), None)


@dataclass(frozen=True)
class Strip:
    """The strip after a step or a repair: what was done, and the entry that can be taken back,
    with those that came with it."""

    entry: str
    say: Say
    count: int = 0
    also: tuple[str, ...] = ()


@dataclass(frozen=True)
class Running:
    """Spans that copper runs into: they stand empty until it ``goes``."""

    spans: tuple[str, ...]
    goes: bool = False


@dataclass(frozen=True)
class Sheet:
    """What stands in the sheet from below.

    ``cannot`` for a step, ``waive`` and ``choose`` for a hold, ``change`` for a place,
    ``points`` and ``load`` on the pad, ``odd`` for the log.
    """

    what: str
    of: str
    reason: str = ""
    name: str = ""
    role: str = ""
    where: str = ""
    """what was mended"""


@dataclass(frozen=True)
class Model:
    """Everything the screens show."""

    route: str = JOBS
    rows: tuple[JobRow, ...] = ()
    samples: tuple[tuple[str, str], ...] = ()
    sites: tuple[PracticeSite, ...] = ()
    """what made-up sites can be practised on"""
    level: str = PERHAPS
    """how much is hidden on the next one"""
    job: OpenJob | None = None
    last_job: str = ""
    pad: Pad | None = None
    stop: str = ""
    """where one stands, as far as the app knows"""
    strip: Strip | None = None
    sheet: Sheet | None = None
    edit: PlanEdit | None = None
    advice: PlanAdvice | None = None
    trial: Trial | None = None
    faults: Mapping[str, Faults] = field(default_factory=lambda: MappingProxyType({}))
    """by job: what was found of its log, or how far that is"""
    mending: Mending | None = None
    finding: tuple[str, int, str, int] | None = None
    """of which log causes are being looked for now"""
    new: NewRun = field(default_factory=NewRun)
    own: OwnSheet | None = None
    outcomes: Outcomes | None = None
    table: SpanTable | None = None
    signing: Signing | None = None
    code: TypedCode = field(default_factory=TypedCode)
    came: Came | None = None
    """what a file brought; told until something else is kept, or it was looked at"""
    weight: Weight | None = None
    making: Making | None = None
    """the document that is being made, once that takes longer than a blink"""
    written: Mapping[tuple[Any, ...], Written] = field(default_factory=lambda: MappingProxyType({}))
    """by stamp: what was made here"""
    can_share: bool = False
    """whether this page can hand a file to another program"""
    told: Say | None = None
    waiting: Any = None
    """the effect that was asked to open a job and has not answered yet; None: none, or one went
    elsewhere since"""
    unjudged: tuple[Kept, ...] = ()
    """what is kept of the job in hand, and is being judged, in its order"""
    shown: str = "all"
    """which steps the list shows: ``all``, ``here`` or ``open``"""
    keeping: bool = False
    """an entry is on its way to the journal"""
    now: str = ""
    """the time as last told, RFC 3339: for what is asked once a day, and for timers"""
    ticking: bool = False
    """the next look at the clock is under way, because a timer is shown"""
    photo_of: str = ""
    """what the picker, opened by a press, is to show"""
    picks: str = ""
    """what it is to bring where that is no photo: ``TABLE`` of spans, else a job"""
    opened_at: str = ""
    """the route by which the job in hand was opened, while one is there: of a site that was left
    it is asked there why one has come"""
    people: int = 0
    """how many have come back, as pressed; 0: as on the last visit"""
    pictures: Mapping[str, bytes | None] = field(default_factory=lambda: MappingProxyType({}))
    """the pictures shown here, by their sums; None: it is not on this phone"""
    stays: Mapping[str, tuple[Stay, ...]] = field(default_factory=lambda: MappingProxyType({}))
    """by job, in capitals: what each came to by this phone's own log, as far as that is known"""
    along: tuple[str, float] = ("", 0.0)
    """how far a long line is moved sideways, and of which job and screen [dp]"""
    running: Running | None = None
    """the one thing that moves, while it does"""
    lit: bool = False
    """whether the phone was last asked to stay lit"""
    own_meters: tuple[OwnMeter, ...] = ()
    """the technician's own, kept with this phone"""
    meter_away: tuple[int, OwnMeter] | None = None
    """the one that was just taken off the list, and where it stood"""
    holding: Holding | None = None
    """what everything as one file would hold"""
    gathered: tuple[int, int] | None = None
    """while that takes longer than a blink: how many jobs of how many are in it"""
    installed: Installed | None = None
    """what an installed page knows of itself; None: this is none, and nothing of it is shown"""
    asking: bool = False
    """the browser is being asked whether it keeps what is here"""
    renewing: bool = False
    """the newer version is wanted, as soon as nothing is on its way to the store"""
    says_offline: bool = False
    """since it was opened it came to work without signal, for the first time"""
    settings: Settings = field(default_factory=Settings)
    window: Window = field(default_factory=Window)

    @property
    def open_job(self) -> OpenJob:
        """The job in hand, for what happens only while there is one."""
        assert self.job is not None
        return self.job

    @property
    def open_pad(self) -> Pad:
        """The pad, for what happens only while one is typed on."""
        assert self.pad is not None
        return self.pad

    @property
    def open_mending(self) -> Mending:
        """What is being mended, for what happens only while something is."""
        assert self.mending is not None
        return self.mending

    @property
    def open_sheet(self) -> Sheet:
        """The sheet from below, for what stands in it."""
        assert self.sheet is not None
        return self.sheet

    @property
    def today(self) -> str:
        """The day, as entries carry it."""
        return self.now[:10]

    @property
    def place(self) -> Place:
        """The place of the route."""
        return place_of(self.route)

    def has_open(self, job: str) -> bool:
        """Whether this job is in hand; ids are compared without case."""
        return self.job is not None and self.job.id.upper() == job.upper()

    @property
    def is_dark(self) -> bool:
        """Whether the dark look is in force."""
        return self.window.dark if self.settings.look == "phone" else self.settings.look == "dark"
