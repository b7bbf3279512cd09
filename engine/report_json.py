"""The command line's JSON, as the job format fixes it. Not built yet is null, never made up."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from engine.design_band import apart
from engine.diagnose.account import account
from engine.diagnose_json import diagnosis_json
from engine.fields import Problem
from engine.judge import Judgement
from engine.leave import Hold
from engine.links import Link
from engine.phrases import english
from engine.phrases.book import DOUBTS
from engine.say import Say
from engine.since_text import since_json
from engine.study import Prediction, Range
from engine.worked import worked


def _range(band: Range) -> dict[str, float | None]:
    return {"low": band.low, "expected": band.expected, "high": band.high}


def check_json(problems: Iterable[Problem]) -> dict[str, Any]:
    """``farend-check/1``"""
    listed = [
        {"at": p.at, "found": p.found, "expected": p.expected, "near": p.near} for p in problems
    ]
    return {"format": "farend-check/1", "ok": not listed, "problems": listed}


def prediction_json(prediction: Prediction) -> dict[str, Any]:
    """``farend-prediction/1``"""
    collapse = prediction.collapse
    return {
        "format": "farend-prediction/1",
        "job": prediction.job.id,
        "operates": prediction.operates,
        "collapse": None
        if collapse is None
        else {
            "at": str(collapse.at),
            "volts_needed": collapse.volts_needed,
            "load_share": collapse.load_share,
            "why": _collapse_why(prediction),
        },
        "load_share": prediction.load_share,
        "watts_to_spare": dict(prediction.watts_to_spare),
        "points": {
            str(point): {
                "volts": _range(seen.volts),
                "amps": _range(seen.amps),
                "watts": _range(seen.watts),
                "pairs": seen.pairs,
                "state": seen.state,
                "at_worst": seen.at_worst,
                "feed": str(seen.feed) if seen.feed else None,
                "by": seen.by,
            }
            for point, seen in prediction.points.items()
        },
        "spans": {
            name: {
                "loop_ohms": _range(span.loop_ohms),
                "drop_volts": _range(span.drop_volts),
                "celsius": _range(span.celsius),
                "rise_k": span.rise,
                "conductor_amps": span.conductor_amps,
            }
            for name, span in prediction.spans.items()
        },
        "links": [_link(link) for link in prediction.links],
        "sources": {
            str(point): {
                "watts": _range(feed.watts),
                "limit_watts": feed.limit.limit_watts,
                "granted_watts": feed.limit.granted_watts,
                "answers": feed.answers,
                "lets_go": feed.lets_go,
            }
            for point, feed in prediction.sources.items()
        },
        "findings": [
            {
                "id": finding.id,
                "rule": finding.rule,
                "at": finding.at,
                "severity": finding.severity,
                "say": finding.say.json(),
                "text": english(finding.say).text,
                "why": english(finding.say).why,
            }
            for finding in prediction.findings
        ],
        "assumed": [
            english(finding.say).text
            for finding in prediction.findings
            if finding.rule == "assumed"
        ],
    }


def _link(link: Link) -> dict[str, Any]:
    offer = link.offer
    margin = offer.margin if offer else None
    return {
        "from": str(link.start),
        "to": str(link.end),
        "through": list(link.through),
        "length_m": link.length_m,
        "expected_mbps": link.expected_mbps if link.known else None,
        "assured": link.assured,
        "margin_db": margin.db if margin else None,
        "loss_db": margin.loss_db if margin else None,
        "at_mhz": margin.mhz if margin else None,
        "margin_m": offer.margin_m if offer else None,
        "delay_ns": link.delay_ns,
        "skew_ns": link.skew_ns,
        "why": _link_why(link),
    }


def _collapse_why(prediction: Prediction) -> str:
    words = next(english(f.say) for f in prediction.findings if f.rule == "collapse")
    return f"{words.text} {words.why}"


def _link_why(link: Link) -> str:
    if not link.known:
        return "a sheet lists no speeds, so none is predicted"
    if not link.shared:
        return "the two ends share no speed"
    offer = link.offer
    if offer is None:
        return "no shared speed reaches this far over these pairs"
    if offer.doubt:
        return f"the highest shared speed, not assured: {DOUBTS[offer.doubt]}"
    fastest = link.offers[0]
    if fastest.doubt:
        return f"{fastest.mbps} Mb/s is not assured: {DOUBTS[fastest.doubt]}"
    if offer.margin is None:
        return "within the reach that the ports' own sheets state"
    return "the highest speed that both ends list, within the limits of loss and length"


def judgement_json(judgement: Judgement) -> dict[str, Any]:
    """``farend-judgement/1``"""
    return {
        "format": "farend-judgement/1",
        "job": judgement.state.job.id,
        "verdicts": [
            {
                "reading": verdict.id,
                "at": verdict.reading.at,
                "kind": verdict.reading.kind,
                "value": verdict.reading.figure,
                "band": _range(verdict.band) if verdict.band else None,
                "z": verdict.z,
                "by": verdict.by,
                "verdict": verdict.verdict,
                "current": verdict.current,
                "meter_reach": verdict.reach,
                "smallest_ohms": verdict.smallest_ohms,
                "moment": verdict.reading.moment,
                "say": verdict.say.json(),
                "text": english(verdict.say).text,
                "apart": _told(odd) if (odd := apart(judgement.state, verdict.reading)) else None,
            }
            for verdict in judgement.verdicts
        ],
        "since": since_json(judgement),
        **diagnosis_json(account(judgement)),
        "oddities": [{"entry": odd.entry, **_told(odd.say)} for odd in judgement.state.oddities],
        "ready_to_leave": judgement.ready_to_leave,
        "blockers": [_hold(hold) for hold in judgement.blockers],
        "waived": [
            {**_hold(hold), "by": hold.waiver.by, "reason": hold.waiver.reason}
            for hold in judgement.holds
            if hold.waiver
        ],
    }


def _told(statement: Say) -> dict[str, Any]:
    """A statement of its own, with its words."""
    return {"say": statement.json(), "text": english(statement).text}


def _hold(hold: Hold) -> dict[str, Any]:
    return {
        "id": hold.id,
        "say": _nested(hold.say),
        "text": english(hold.say).text,
        "can_waive": hold.can_waive,
        "reading": hold.reading,
        "step": hold.step,
        "stop": hold.stop,
    }


def _nested(statement: Say) -> dict[str, Any]:
    """A hold may speak of a finding or a step: its statement goes in as an object."""
    return {
        key: value.json() if hasattr(value, "json") else value
        for key, value in statement.json().items()
    }


def steps_json(judgement: Judgement, people: int) -> dict[str, Any]:
    """``farend-steps/1``: the steps in the order to be done, for one or two people."""
    work = worked(judgement, people)
    return {
        "format": "farend-steps/1",
        "job": judgement.state.job.id,
        "people": people,
        "minutes": work.minutes,
        "walk_m": work.walk_m,
        "steps": [
            {
                "id": step.id,
                "stop": step.stop,
                "box": step.box,
                "span": step.span,
                "say": step.say.json(),
                "do": english(step.say).text,
                "why": english(step.say).why,
                "caution": english(step.caution).text
                if step.caution
                else english(step.say).caution,
                "power": step.power,
                "both_ends": step.both_ends,
                "needs": list(step.needs),
                "minutes": step.minutes,
                "who": list(work.shifts[step.id].who),
                "after": list(step.after),
                "asks": {"at": step.asks.at, "kind": step.asks.kind} if step.asks else None,
                "state": step.state,
                "reopened_by": step.reopened_by,
            }
            for step in work.steps
        ],
    }
