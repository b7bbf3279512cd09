"""What readings point to, as JSON: the part of ``farend-judgement/1`` that a diagnosis fills."""

from __future__ import annotations

from typing import Any

from engine.diagnose.account import Account, Evidence, Fault
from engine.diagnose.asking import Test
from engine.network import Standing
from engine.phrases import english
from engine.say import Say


def diagnosis_json(told: Account) -> dict[str, Any]:
    """``faults``, ``fit``, ``next_test``, and what no reading sees. Numbers are not rounded."""
    return {
        "faults": [_fault(one) for one in told.faults],
        "fit": {
            "chi2": told.misfit,
            "readings": told.readings,
            "ok": told.fits,
            "doubtful": told.doubtful,
            "say": told.doubt.json() if told.doubt else None,
            "text": _words(told.doubt) if told.doubt else None,
        },
        "next_test": _test(told.next_test) if told.next_test else None,
        "unseen": [{"say": one.json(), "text": _words(one)} for one in told.unseen],
    }


def _words(statement: Say) -> str:
    words = english(statement)
    return f"{words.text} {words.why}".strip()


def _fault(fault: Fault) -> dict[str, Any]:
    words = english(fault.say)
    out = {
        "cause": fault.cause,
        "where": fault.where or None,
        "probability": fault.probability,
        "size": dict(fault.size),
        "kinds": [{"kind": kind, "share": share} for kind, share in fault.kinds],
        "ends": [{"at": at, "probability": share} for at, share in fault.ends],
        "because": [english(one.say).text for one in fault.because],
        "evidence": [_evidence(one) for one in fault.because],
        "say": fault.say.json(),
        "text": words.text,
        "why": words.why,
        **{
            key: english(said).text if said else None
            for key, said in (("do", fault.do), ("look", fault.look), ("sure", fault.sure))
        },
    }
    if fault.parts:
        out["parts"] = [{"cause": cause, "where": where} for cause, where in fault.parts]
    if fault.beside:
        out["beside"] = fault.beside
    return out


def _evidence(one: Evidence) -> dict[str, Any]:
    return {"reading": one.reading, "speaks": one.speaks, "say": one.say.json()}


def _test(test: Test) -> dict[str, Any]:
    return {
        "at": test.at,
        "kind": test.kind,
        "with": _with(test.standing),
        "minutes": test.minutes,
        "walk_m": test.walk_m,
        "bits": test.bits,
        "dead": test.dead,
        "needs": list(test.needs),
        "parts": [f"{cause} {where}".strip() for cause, where in test.parts],
        "foretold": [
            {"cause": one.cause, "where": one.where or None, "mean": one.mean, "sd": one.sd}
            for one in test.foretold
        ],
        "stop": test.stop,
        "way": test.way,
        "say": test.say.json(),
        "do": english(test.say).text,
        "why": english(test.why).text,
        "cautions": [english(one).text for one in test.cautions],
    }


def _with(standing: Standing) -> dict[str, Any]:
    """What is to stand there, as the log writes it."""
    out: dict[str, Any] = dict.fromkeys(sorted(standing.off), "off")
    out |= {box: {"watts": watts} for box, watts in standing.known.items()}
    return {**out, "*": "off"} if standing.beyond is not None else out
