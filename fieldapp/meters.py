"""One's own meters: kept with this phone, on the pad of every job. The reading that is first taken
with one brings it into the job, and after a change brings that too. Pure.

What a reading brought stays when that reading is taken back: the record still names what it was
taken with. The plan's own Undo passes over it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from types import MappingProxyType
from typing import Any

from attrs import evolve

from engine.edits import GONE, value_at
from engine.job import Job, Meter
from engine.jobfile import BadFile, read_job
from engine.log import State
from engine.practice.after import is_made_up
from fieldapp.halfdone import OwnSheet
from fieldapp.model import Model, OpenJob
from fieldapp.questions import BROUGHT

KEPT_AS = "meters"
"""under which name the list is kept with this phone"""
DAY_DIGITS = 8
NOBODYS = ""
"""the job of a sheet that is typed for the phone itself"""


@dataclass(frozen=True)
class OwnMeter:
    """A meter of one's own; ``sheet`` has the keys of a job file's sheet, ``calibrated`` is a day
    (2031-06-14). Serial number and day are '' where nobody said."""

    id: str
    name: str
    sheet: Mapping[str, Any]
    serial: str = ""
    calibrated: str = ""

    @property
    def sheet_id(self) -> str:
        """The name that its sheet has in a job."""
        return f"my.{self.id}"

    @property
    def row(self) -> dict[str, Any]:
        """The meter as a job file holds it."""
        told = {"serial": self.serial, "calibrated": self.calibrated}
        more = {key: value for key, value in told.items() if value}
        return {"id": self.id, "sheet": self.sheet_id, "name": self.name, **more}

    @property
    def kept(self) -> dict[str, Any]:
        """As it is kept with the phone."""
        return {**self.row, "sheet": dict(self.sheet)}

    @cached_property
    def noun(self) -> Meter | None:
        """What a job makes of it; None where no job can hold it."""
        alone = {
            "format": "farend-job/1",
            "id": "X",
            "title": "X",
            "site": {"name": "X", "ambient_c": 0},
            "boxes": [],
            "spans": [],
            "sheets": {self.sheet_id: dict(self.sheet)},
            "meters": [self.row],
        }
        try:
            return next(iter(read_job(alone).plan.meters.values()))
        except BadFile:
            return None

    @property
    def known(self) -> Meter:
        """The same of one that is on the list: none that no job can hold comes onto it."""
        assert self.noun is not None
        return self.noun


def meter_from(kept: Any) -> OwnMeter | None:
    """A meter as it was kept; None for what is none, or none that is known here."""
    if not isinstance(kept, Mapping) or not isinstance(kept.get("sheet"), Mapping):
        return None
    texts = {key: kept.get(key, "") for key in ("id", "name", "serial", "calibrated")}
    if not all(isinstance(value, str) for value in texts.values()):
        return None
    meter = OwnMeter(sheet=kept["sheet"], **texts)
    return meter if meter.noun is not None else None


def meters_from(kept: Any) -> tuple[OwnMeter, ...]:
    """The list as it was kept, without what cannot be read."""
    found = map(meter_from, kept if isinstance(kept, list) else ())
    return tuple({one.id: one for one in found if one is not None}.values())


# ---------------------------------------------------------------- on the pad


def offered(model: Model, job: OpenJob) -> Mapping[str, Meter]:
    """One's own meters as a reading with them would bring them in. A made-up site has its own."""
    if is_made_up(job.judgement.state.doc):
        return MappingProxyType({})
    state = job.judgement.state
    brought_in = ((one.id, one.noun) for one in model.own_meters if _edits(state, one))
    return MappingProxyType({name: meter for name, meter in brought_in if meter is not None})


def with_own(model: Model, job: OpenJob) -> Job:
    """The job's plan with the meters that its pads offer."""
    plan = job.judgement.state.job
    mine = offered(model, job)
    return evolve(plan, meters={**plan.meters, **mine}) if mine else plan


def meters_of(model: Model, job: OpenJob, kind: str) -> tuple[str, ...]:
    """The meters that can take a kind of reading: the job's, then one's own."""
    meters = with_own(model, job).meters
    return tuple(name for name, one in meters.items() if kind in one.sheet.accuracy)


def brought(model: Model, meter: str) -> tuple[dict[str, Any], ...]:
    """What comes into the log in front of a reading with this meter."""
    if meter not in offered(model, model.open_job):
        return ()
    own = next(one for one in model.own_meters if one.id == meter)
    return _edits(model.open_job.judgement.state, own)


def _edits(state: State, own: OwnMeter) -> tuple[dict[str, Any], ...]:
    """The sheet and the meter, each where it was not brought as it is now.

    What others altered of it in the job since stays as they have it.
    """
    last: dict[str, Any] = {}
    for entry in state.entries:
        if entry.body.get(BROUGHT) == own.id and entry.id not in state.voided:
            last[entry.body["path"][0]] = entry.body["value"]
    out = []
    wanted = (
        (("sheets", own.sheet_id), ["sheets", own.sheet_id], dict(own.sheet)),
        (("meters", own.id), ["meters"], own.row),
    )
    for path, added_at, value in wanted:
        if last.get(path[0]) == value:
            continue
        stands = value_at(state.doc, path)
        if stands is GONE:
            edit = {"what": "add", "path": added_at, "value": value}
        else:
            edit = {"what": "set", "path": list(path), "value": value, "was": stands}
        out.append({**edit, "as": "correction", BROUGHT: own.id})
    return tuple(out)


# ---------------------------------------------------------------- being typed


def form_of(model: Model) -> OwnSheet | None:
    """The meter that is being typed at this place; of one there is, what is kept of it."""
    own, at = model.own, model.place.at
    if own is not None and own.job == NOBODYS and own.thing == at:
        return own
    known = next((one for one in model.own_meters if one.id == at), None)
    if known is None:
        return None
    return OwnSheet(
        NOBODYS,
        at,
        at,
        changes=True,
        title=known.name,
        single=True,
        serial=known.serial,
        day=digits_of(known.calibrated),
    )


def digits_of(day: str) -> str:
    """A day as its digits are typed: day, month, year.

    >>> digits_of("2031-06-14")
    '14062031'
    """
    return "".join(reversed(day.split("-")))


def day_of(digits: str) -> str:
    """The day that eight digits name; '' where they name none.

    >>> day_of("14062031"), day_of("31022031"), day_of("1406")
    ('2031-06-14', '', '')
    """
    text = f"{digits[4:]}-{digits[2:4]}-{digits[:2]}"
    try:
        return date.fromisoformat(text).isoformat() if len(digits) == DAY_DIGITS else ""
    except ValueError:
        return ""


def own_sheets(model: Model) -> dict[str, Any]:
    """Sheets of one's own meters, as the part of a job's document that they would be."""
    return {"sheets": {one.id: one.sheet for one in model.own_meters}}
