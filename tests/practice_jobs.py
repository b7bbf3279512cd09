"""Jobs on made-up sites, as practice leaves them. The trials and pictures use them."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from typing import Any

from attrs import evolve

from engine.jobfile import read_job
from engine.judge import judge
from engine.practice import MADE_UP_KEY, Truth
from engine.practice.after import ONE_CAUSE, PERHAPS, hidden, site_now
from fieldapp.practising import ID, built_drafts

Doc = dict[str, Any]
PLAN = "reedbed-hide"
IDENT = f"{ID}REEDBED-HIDE"
JOB = f"/j/{IDENT}"


def job(*log: Doc, seed: int = 0, level: str = ONE_CAUSE) -> Doc:
    """The reedbed as a made-up site, the practice begun."""
    path = Path(__file__).resolve().parent.parent / "sample_jobs" / f"{PLAN}.json"
    plan = json.loads(path.read_text(encoding="utf-8"))
    made = {"seed": seed, "level": level}
    title = f"{plan['title']}, made up"
    doc = {**plan, "id": IDENT, "title": title, MADE_UP_KEY: made, "log": []}
    entries = [*_built(doc), *deepcopy(list(log))]
    # counted as those of one phone, so that what another one keeps comes after them
    return {**doc, "log": [{"device": "aaaa", "n": n, **e} for n, e in enumerate(entries, 1)]}


def _built(doc: Doc) -> list[Doc]:
    """What stands there before one comes."""
    judgement = judge(read_job(doc))
    site = site_now(read_job(doc), judgement.state)
    drafts = built_drafts(judgement, site)
    stamp = {"t": "2031-06-03T06:00:00Z"}
    return [{"id": f"built-{n}", **stamp, **draft} for n, draft in enumerate(drafts)]


def truth_of(doc: Doc) -> Truth:
    """What is hidden in a job."""
    return hidden(read_job(doc))


def seed_of(cause: str, level: str = ONE_CAUSE, where: str = "") -> int:
    """The first seed that hides a cause, at a place if one is named."""

    file = read_job(job(level=level))

    def fits(seed: int) -> bool:
        made = {**file.doc, MADE_UP_KEY: {"seed": seed, "level": level}}
        truth = hidden(evolve(file, doc=made))
        return truth.cause == cause and where in ("", truth.where)

    return next(seed for seed in range(4000) if fits(seed))


def reading(ident: str, at: str, kind: str = "volts", value: float = 50.0, **more: Any) -> Doc:
    """A reading of Ida's meter."""
    entry = {"id": ident, "what": "reading", "at": at, "kind": kind, "value": value}
    return {**entry, "meter": "M1", **more}


def change(where: str, ident: str = "c") -> Doc:
    """Something was made anew."""
    return {"id": ident, "what": "change", "where": where, "did": "made anew"}


def found(cause: str, where: str) -> Doc:
    """A cause was named."""
    return {"id": "f", "what": "found", "where": where, "cause": cause, "sure": True}


SPAN_HIGH = seed_of("span.high", where="C4")
SOUND_SITE = seed_of("none", PERHAPS)
WALK = (reading("a", "S.out", value=53.6), reading("b", "L2.in", value=44.9, moment="2"))


def practice_begun() -> Doc:
    """One walk, nothing said."""
    return job(*WALK, change("C3"), seed=SPAN_HIGH)


def practice_mended() -> Doc:
    """Named as something else at first, then mended."""
    return job(*WALK, found("joint.high", "C3"), change("C4"), seed=SPAN_HIGH)


def practice_trips() -> Doc:
    """A port that lets go again and again."""
    return job(seed=seed_of("port.trip"))


def practice_open() -> Doc:
    """A broken span."""
    return job(seed=seed_of("span.open", where="C4"))


PICTURED = (practice_begun, practice_mended, practice_trips, practice_open)
