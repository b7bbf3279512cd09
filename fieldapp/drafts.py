"""Entries as they are handed to the store: without id, time and count, which it adds. Pure."""

from __future__ import annotations

from typing import Any

from engine.cautions import read_at
from engine.entries import BY_METHOD
from engine.job import Job, Point
from engine.judge import Judgement
from engine.leave import Hold
from engine.log import Reading, State
from engine.network import AS_PLANNED, Standing
from engine.say import Say
from engine.step import Step
from fieldapp import words
from fieldapp.halfdone import Pad
from fieldapp.model import Model, OpenJob, Sheet
from fieldapp.wires import PINOUT, ends_of, made_ends, pinout_of
from fieldapp.words.units import kept_figure

Draft = dict[str, Any]
FIRST_REPEAT = 2


def standing_of(pad: Pad) -> Standing:
    """What stands there while this is read."""
    if pad.standing == "open":
        return Standing(beyond=Point.parse(pad.at))
    if pad.standing == "known" and pad.watts is not None:
        if pad.watts:
            return Standing(known={pad.box: pad.watts})
        return Standing(off=frozenset({pad.box}))
    return AS_PLANNED


def standing_like(reading: Reading) -> tuple[str, str, float | None]:
    """What stood there for a reading, as the pad says it: which way, which box, its watts."""
    standing = reading.standing
    if standing.beyond is not None:
        return "open", "", None
    for box, watts in standing.known.items():
        return "known", box, watts
    for box in sorted(standing.off):
        return "known", box, 0.0
    return "loaded", "", None


def reading_draft(model: Model, value: float) -> Draft:
    """A reading as the pad has it.

    One taken beside another shares its moment, however long the lead took to clip on. One
    that repeats another has a moment of its own, so that both are used.
    """
    pad, state = model.open_pad, model.open_job.judgement.state
    draft: Draft = {"what": "reading", "at": pad.at, "kind": pad.kind, "value": value}
    if pad.meter:
        draft["meter"] = pad.meter
    if pad.method and pad.kind in BY_METHOD:
        draft["method"] = pad.method
    standing = standing_of(pad)
    if standing.beyond is not None:
        draft["with"] = {"*": "off"}
    elif not standing.as_planned:
        watts = {box: {"watts": watts} for box, watts in standing.known.items()}
        draft["with"] = {**dict.fromkeys(sorted(standing.off), "off"), **watts}
    moment = moment_of(pad, state)
    draft = {**draft, "moment": moment} if moment else draft
    return as_shown(pad, draft)


def as_shown(pad: Pad, draft: Draft) -> Draft:
    """A reading with what a made-up meter showed beside its figure: the pairs, or how it moves."""
    shown = pad.shown
    if shown is None or kept_figure(shown.digits, pad.kind) != draft["value"]:
        return draft
    if "pairs" in shown.keys:
        draft = {key: value for key, value in draft.items() if key != "value"}
    return {**draft, **shown.keys}


def reading_of(state: State, ident: str) -> Reading | None:
    """A reading by its entry's id, taken back or not."""
    return next((reading for reading in state.readings if reading.id == ident), None)


def moment_of(pad: Pad, state: State) -> str:
    """The moment of what the pad takes, where it is not the log that finds it out."""
    first = reading_of(state, pad.beside or pad.again)
    if first is None:
        return ""
    return first.moment if pad.beside else fresh_moment(state, first)


def fresh_moment(state: State, first: Reading) -> str:
    """The name of a moment for a repeat: the first reading's id, and how many there are."""
    taken = {reading.moment for reading in state.readings}
    n = FIRST_REPEAT
    while f"{first.id}-{n}" in taken:
        n += 1
    return f"{first.id}-{n}"


def moved_draft(job: OpenJob, ident: str, at: str) -> Draft | None:
    """A reading put on another place: the same figure, meter and moment."""
    entry = next((entry for entry in job.file.entries if entry.id == ident), None)
    first = reading_of(job.judgement.state, ident)
    if entry is None or first is None:
        return None
    # keys that Python keeps for itself carry a stroke behind them while they travel
    body = {
        key.rstrip("_"): list(value) if isinstance(value, tuple) else value
        for key, value in entry.body.items()
    }
    return {"what": "reading", **body, "at": at, "moment": first.moment}


def change_draft(sheet: Sheet) -> Draft | None:
    """What was mended and where; None while one of both is missing."""
    did = sheet.reason.strip()
    return {"what": "change", "where": sheet.where, "did": did} if sheet.where and did else None


def settled_drafts(entries: tuple[str, ...], keep: str) -> tuple[Draft, ...]:
    """Of plan edits that have not seen each other one is kept: a word for each other one."""
    return tuple(
        {"what": "resolve", "of": [keep, other], "keep": keep} for other in entries if other != keep
    )


# ---------------------------------------------------------------- remarks that the engine reads


def _note(at: str, text: str, **keys: Any) -> Draft:
    """A remark with keys of ours; its text is for whoever reads the file."""
    return {"what": "note", "at": at, "text": text, **keys}


def caution_drafts(job: Job, step: Step, cautions: tuple[Say, ...]) -> tuple[Draft, ...]:
    """Cautions that were read before a step, each at the stop it speaks of."""
    return tuple(
        _note(read_at(job, step, one), words.plain(words.sentence(one)), x_caution=one.code)
        for one in cautions
    )


def timer_draft(step: str, seconds: float, round_: int) -> Draft:
    """A timer that starts now; the entry's own time is when."""
    return _note(step, words.note_timer(seconds), x_timer=seconds, x_round=round_)


def dark_draft(box: str, dark: bool) -> Draft:
    """All lights of a box are off, or it is lit."""
    return _note(box, words.note_dark(box) if dark else words.note_lit(box), x_dark=dark)


def in_draft(what: str, at: str) -> Draft:
    """Something was put in for a test."""
    return _note(at, words.note_in(what), x_fitted=what)


def out_draft(hold: Hold) -> Draft:
    """What was fitted for a test is out again."""
    what, at = hold.say.parts["what"], hold.say.parts["at"]
    return _note(at, words.note_out(what), x_taken_back=what)


def pinout_draft(state: State, pinout: str) -> Draft:
    """The order of the wires, as an edit of the plan: two who choose differently are told."""
    was = state.doc.get(PINOUT[0])
    edit: Draft = {"what": "set", "path": list(PINOUT), "value": pinout, "as": "correction"}
    return edit if was is None else {**edit, "was": was}


def end_drafts(judgement: Judgement, step: Step, at: str) -> tuple[Draft, ...]:
    """An end of a span pressed: made, and with the other one the step is done; or open again."""
    state, span = judgement.state, step.span or ""
    made = made_ends(state, step)
    if step.state == "done":
        return ({"what": "step", "step": step.id, "state": "undone"},)
    if at in made:
        return ({"what": "void", "of": made[at].entry},)
    pinout = pinout_of(state)
    note = _note(span, words.note_end(at, pinout), x_end=at, x_pinout=pinout)
    ends = {str(end) for end in ends_of(state.job, state.network, span)}
    if ends <= {*made, at}:
        return note, {"what": "step", "step": step.id, "state": "done"}
    return (note,)
