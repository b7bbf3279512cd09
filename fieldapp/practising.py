"""Practice on a made-up site: a job laid there, a meter that shows it, and how it went.

Nothing of what is hidden is stored: site, minutes and outcome follow from the seed and the log.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from engine.figures import FLOW_KINDS
from engine.job import Job
from engine.jobfile import JobFile, load, read_job
from engine.judge import Judgement, judging
from engine.log import State, fold
from engine.powerup import power_walk
from engine.practice import MADE_UP_KEY, Truth, readings
from engine.practice.after import (
    BEGUN,
    LEVELS,
    PRACTICE,
    SHOWN,
    SOUND,
    asked,
    hidden,
    is_at,
    mended_by,
    moment_at,
    site_now,
)
from engine.practice.clock import Clock, clock
from engine.practice.site import COUNT_SECONDS, Shown, Site
from engine.sliced import Progress
from engine.step import PHOTO, Step
from engine.timers import WAIT
from engine.verdict import OUTSIDE
from fieldapp import messages as m
from fieldapp import words
from fieldapp.breath import in_slices
from fieldapp.copies import own_title
from fieldapp.drafts import Draft, moment_of, standing_of
from fieldapp.halfdone import Pad, Taken
from fieldapp.keeping import Result, ask, keep
from fieldapp.model import Model, OpenJob
from fieldapp.moving import go, remembered
from fieldapp.pad import MOST_DIGITS
from fieldapp.questions import visit_is_over
from fieldapp.routes import Place, route_of
from fieldapp.shipped import practice_files
from fieldapp.words import units

if TYPE_CHECKING:
    from fieldapp.services import Send
    from fieldapp.shelf import Shelf

ID = "PRACTICE-"
"""before the id of the plan: no real job's file is ever taken for one of these"""
BEFORE_POWER = ("arrive", "off", "pull", "fit", "look")
LEFT_TO_DO = frozenset({"copy", "sign"})
"""steps without a reading that nobody did before one came"""
RUNNING = ""
MOST_DRAWS = 40
"""sites drawn until one shows what is wrong with it; on these plans two in three do, or more"""


# ---------------------------------------------------------------- what is known of it


def practises(job: OpenJob | None) -> bool:
    """Whether a job has a made-up site that can be measured."""
    return job is not None and asked(job.file) is not None


@dataclass(frozen=True)
class Went:
    """How a practice run stands: what was said of the site, and how it ended, if it has."""

    outcome: str
    """``RUNNING``, ``mended``, ``named``, ``shown``, ``sound``, ``missed`` or ``left``"""
    truth: Truth
    found: tuple[tuple[str, str], ...]
    """cause and place of what was named"""
    altered: tuple[str, ...]
    said_sound: bool
    clock: Clock

    @property
    def is_over(self) -> bool:
        """Whether what is hidden may be told."""
        return self.outcome != RUNNING


def went(job: OpenJob) -> Went | None:
    """How the practice on a job stands; None where nobody knows what is hidden there."""
    truth = hidden(job.file)
    if truth is None:
        return None
    state = job.judgement.state
    live = [entry for entry in state.entries if entry.id not in state.voided]
    found = tuple((e.body["cause"], e.body["where"]) for e in live if e.what == "found")
    altered = tuple(dict.fromkeys(e.body["where"] for e in live if e.what == "change"))
    notes = {entry.body[PRACTICE] for _, entry in state.notes_with(PRACTICE)}
    outcome = _outcome(state, truth, found, notes, is_left=visit_is_over(job))
    return Went(outcome, truth, found, altered, SOUND in notes, clock(state))


def _outcome(
    state: State,
    truth: Truth,
    found: tuple[tuple[str, str], ...],
    notes: set[str],
    *,
    is_left: bool,
) -> str:
    """The first that is so: what was done counts before what was said, and that before a look."""
    is_sound = not truth.where
    named = [where for cause, where in found if cause != words.NO_CAUSE]
    rows = (
        ("mended", bool(mended_by(state, truth))),
        ("named", not is_sound and any(is_at(state, truth, where) for where in named)),
        ("shown", SHOWN in notes),
        ("missed", bool(named)),
        ("sound", is_sound and (SOUND in notes or is_left)),
        ("missed", SOUND in notes),
        ("left", is_left),
    )
    return next((name for name, is_so in rows if is_so), RUNNING)


def after_leaving(job: OpenJob) -> str:
    """Where one is once the site is left: at what is handed over, of a made-up one at how it went."""
    return route_of(Place("practised" if practises(job) else "hand", job.id))


def after_mending(job: OpenJob) -> str:
    """Where one is once it is said what was mended, and what it was."""
    return route_of(Place("practised" if practises(job) else "now", job.id))


# ---------------------------------------------------------------- the meter


def site_of(job: OpenJob) -> Site | None:
    """The job's made-up site as it is now."""
    return site_now(job.file, job.judgement.state)


def taken_by(pad: Pad, job: OpenJob) -> Taken | None:
    """What the made-up meter shows for what the pad asks; None on a real site."""
    site, state = site_of(job), job.judgement.state
    if site is None:
        return None
    moment = moment_of(pad, state) or moment_at(state, pad.at)
    shown = site.shown(pad.at, pad.kind, pad.meter or None, standing_of(pad), moment)
    keys: dict[str, Any] = {"moment": moment}
    if shown.pairs:
        keys["pairs"] = dict(shown.pairs)
    if shown.unsteady:
        keys["unsteady"] = list(shown.unsteady)
    if pad.kind == "error_count":
        keys["seconds"] = COUNT_SECONDS
    return Taken(pad.asks, digits_of(site.job, pad, shown), keys)


def digits_of(job: Job, pad: Pad, shown: Shown) -> str:
    """A figure as the meter has it on its display, with as many digits as the pad holds."""
    accuracy = job.accuracy(pad.meter or None, pad.kind)
    step = accuracy.resolution if accuracy else 0.0
    places = len(f"{step:f}".rstrip("0").partition(".")[2]) if step else PLACES.get(pad.kind, 1)
    text = f"{units.shown(shown.value, pad.kind):.{places}f}"
    while "." in text and len(text.replace(".", "").lstrip("-")) > MOST_DIGITS:
        text = text[:-1].rstrip(".")
    return text


PLACES = {"mbps": 0, "error_count": 0, "metres": 0}
"""digits behind the point where no meter says it: jacket marks are whole metres or feet"""


def _meter_taken(model: Model, message: m.MeterTaken) -> Result:
    """As if the digits had been typed: they can be typed over, and are kept by the same press."""
    pad = model.pad
    taken = taken_by(pad, model.open_job) if pad is not None else None
    if pad is None or taken is None:
        return model, ()
    pad = replace(pad, digits=taken.digits, taken=taken, restored=False)
    return remembered(replace(model, pad=pad, told=None), m.TellTime())


# ---------------------------------------------------------------- what is pressed


def _level_picked(model: Model, message: m.LevelPicked) -> Result:
    return (replace(model, level=message.level) if message.level in LEVELS else model), ()


def _site_picked(model: Model, message: m.SitePicked) -> Result:
    if model.waiting:  # one press, one job
        return model, ()
    return ask(model, m.MakeUp(message.name, model.level))


def _said(model: Model, word: str, text: str) -> Result:
    """A word on the practice itself, then how it went; once it is over nothing is added."""
    here = route_of(Place("practised", model.open_job.id))
    stands = went(model.open_job)
    if stands is None or stands.is_over:
        return go(model, m.Go(here))
    return keep(model, {"what": "note", "text": text, PRACTICE: word}, then=here)


def _sound_said(model: Model, message: m.SoundSaid) -> Result:
    return _said(model, SOUND, words.note_sound())


def _truth_shown(model: Model, message: m.TruthShown) -> Result:
    return _said(model, SHOWN, words.note_shown())


HANDLERS: Mapping[type, Callable[[Model, Any], Result]] = {
    m.LevelPicked: _level_picked,
    m.SitePicked: _site_picked,
    m.MeterTaken: _meter_taken,
    m.SoundSaid: _sound_said,
    m.TruthShown: _truth_shown,
}


# ---------------------------------------------------------------- a job is made up


def made_up_job(path: Path, level: str, seed: int, title: str) -> JobFile:
    """A job on a made-up site: the plan, without what was logged of another site."""
    doc = {key: value for key, value in load(path).doc.items() if key != "log"}
    made = {"seed": seed, "level": level}
    return read_job({**doc, "id": f"{ID}{doc['id']}", "title": title, MADE_UP_KEY: made})


def showing_itself(file: JobFile) -> Progress[bool]:
    """Whether nothing is hidden, or a careful first walk meets a reading that is outside: what
    nobody could notice is nothing to practise on.
    """
    site = site_now(file, fold(file))
    if site is None or not site.truth.where:
        return True
    walked = yield from judging(read_job({**file.doc, "log": readings(site)}))
    return any(one.current and one.verdict == OUTSIDE for one in walked.verdicts)


def built_drafts(judgement: Judgement, site: Site) -> tuple[Draft, ...]:
    """What stands before one comes: all is laid, fitted, earthed and on, and nobody measured yet.

    What only a camera could do is put aside, and answered for by the practice itself.
    """
    by = words.made_up()
    drafts: list[Draft] = []
    for step in judgement.steps:
        drafts += _built(step, site, by)
    state = judgement.state
    for stage in power_walk(state, judgement.prediction, judgement.judged).stages:
        note = {"what": "note", "at": f"{WAIT}{stage.box}", "text": words.note_on(), "by": by}
        drafts.append({**note, "x_timer": 1, "x_round": 1})
    first = next(iter(state.job.stops), "")
    begun = {"what": "note", "at": first, "text": words.note_begun(), "by": by}
    return (*drafts, {"what": "visit", "people": 1}, {**begun, PRACTICE: BEGUN})


def _built(step: Step, site: Site, by: str) -> list[Draft]:
    if step.asks is None:
        if step.kind in LEFT_TO_DO:
            return []
        return [{"what": "step", "step": step.id, "state": "done", "by": by}]
    aside = {"what": "step", "step": step.id, "state": "not-here", "by": by}
    at, kind = step.asks.at, step.asks.kind
    if kind == PHOTO:
        why = words.note_built()
        held = {"what": "waive", "of": f"photo.{at}", "reason": why, "by": by}
        return [{**aside, "why": why}, *([held] if step.holds else [])]
    if step.part not in BEFORE_POWER or kind in FLOW_KINDS:
        return []
    if kind == "earth_ohms":
        value = round(site.shown(at, kind).value, 1)
        return [{"what": "reading", "at": at, "kind": kind, "value": value, "by": by}]
    return [{**aside, "why": words.note_built()}]


async def make_up(effect: m.MakeUp, send: Send, shelf: Shelf) -> None:
    """Make a job on a made-up site, and go there.

    Raises
    ------
    BadFile, StoreError
    """
    path = next(path for path in practice_files() if path.stem == effect.name)
    taken = [card.title for card in await shelf.store.list_jobs()]
    title = own_title(words.made_up_title(load(path).plan.title), taken)
    for _ in range(MOST_DRAWS):
        made = made_up_job(path, effect.level, shelf.world.seed(), title)
        if await in_slices(showing_itself(made)):
            break
    ident = await shelf.bring_in(made, "", fresh_id=True)
    judgement = (await shelf.opened(ident)).judgement
    site = site_now(made, judgement.state)
    assert site is not None  # its file was made with one
    shelf.keep(await shelf.journal(ident), built_drafts(judgement, site))
    send(m.JobLoaded(await shelf.opened(ident), route_of(Place("now", ident)), effect))
