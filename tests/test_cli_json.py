"""What the command line prints for programs: every figure, unrounded, and one schema."""

from __future__ import annotations

import pytest
from command_line import of_sample, parsed, ran
from jsonschema import Draft202012Validator
from samples import NAMES, sample

BAND = {"low", "expected", "high"}


@pytest.mark.parametrize("name", NAMES)
def test_check_json(name):
    out = parsed(of_sample("check", name, "--json"))
    assert out == {"format": "farend-check/1", "ok": True, "problems": []}


@pytest.mark.parametrize("name", NAMES)
def test_predict_json(name):
    out, doc = parsed(of_sample("predict", name, "--json")), sample(name)
    assert out["format"] == "farend-prediction/1" and out["job"] == doc["id"]
    assert {
        "operates",
        "collapse",
        "load_share",
        "watts_to_spare",
        "points",
        "links",
        "sources",
        "findings",
        "assumed",
    } <= set(out)
    assert out["operates"] is True and out["collapse"] is None and out["load_share"] > 1
    endpoints = {
        box["id"] for box in doc["boxes"] if doc["sheets"][box["sheet"]]["kind"] == "endpoint"
    }
    assert set(out["watts_to_spare"]) == endpoints
    ends = {span[key] for span in doc["spans"] for key in ("from", "to")}
    assert ends <= set(out["points"])
    for point in out["points"].values():
        for key in ("volts", "amps", "watts"):
            band = point[key]
            assert set(band) == BAND
            assert band["low"] <= band["expected"] <= band["high"]
        assert point["pairs"] in (2, 4) and point["state"] == "on"
    for link in out["links"]:
        assert set(link) >= {
            "from",
            "to",
            "through",
            "length_m",
            "expected_mbps",
            "margin_db",
            "margin_m",
            "why",
        }
        margins = (link["margin_db"], link["margin_m"])
        assert margins.count(None) == 1, "decibels for ordinary ports, metres for stated reaches"
        assert max(m for m in margins if m is not None) > 0
    for feed in out["sources"].values():
        assert set(feed) >= {"watts", "limit_watts", "granted_watts"}
    for finding in out["findings"]:
        assert set(finding) >= {"rule", "at", "severity", "text", "say"}
        assert finding["severity"] in ("stop", "warn", "note")
        assert finding["say"]["code"]
    assert all(isinstance(line, str) and line for line in out["assumed"])


def test_json_numbers_are_not_rounded():
    out = parsed(of_sample("predict", "orchard-gate", "--json"))
    volts = out["points"]["E.in"]["volts"]["expected"]
    assert volts != round(volts, 6)


@pytest.mark.parametrize("name", NAMES)
def test_judge_json(name):
    out, doc = parsed(of_sample("judge", name, "--json")), sample(name)
    assert out["format"] == "farend-judgement/1" and out["job"] == doc["id"]
    assert sum(fault["probability"] for fault in out["faults"]) == pytest.approx(1, abs=1e-9)
    for fault in out["faults"]:
        assert set(fault) >= {"cause", "where", "probability", "size", "ends", "because"}
        assert fault["text"] and fault["say"]["code"]
    assert {"none", "other"} <= {fault["cause"] for fault in out["faults"]}
    assert set(out["fit"]) >= {"chi2", "readings", "ok"}
    test = out["next_test"]
    if test is not None:
        assert set(test) >= {
            *("at", "kind", "with", "minutes", "walk_m", "bits", "dead", "needs", "parts"),
            *("say", "do", "why", "cautions"),
        }
    read = {entry["id"] for entry in doc["log"] if entry["what"] == "reading"}
    assert {row["reading"] for row in out["verdicts"]} == read
    for row in out["verdicts"]:
        assert set(row) >= {
            "reading",
            "at",
            "kind",
            "value",
            "band",
            "z",
            "by",
            "verdict",
            "current",
            "say",
            "text",
            "moment",
            "smallest_ohms",
            "apart",
        }
        assert row["by"] in ("today", "design")
        assert row["verdict"] in ("inside", "unclear", "outside", "no-band")
        assert row["say"]["code"]
    assert out["ready_to_leave"] is False and out["blockers"]
    for row in out["blockers"]:
        assert set(row) >= {"id", "text", "can_waive", "reading", "say"}
        assert row["can_waive"] in ("no", "responsible", "self")
        assert row["say"]["code"].startswith("hold-")


@pytest.mark.parametrize("name", NAMES)
def test_steps_json(name):
    out, doc = parsed(of_sample("steps", name, "--json")), sample(name)
    assert out["format"] == "farend-steps/1" and out["job"] == doc["id"]
    assert out["people"] == 1 and out["minutes"] > 0 and out["walk_m"] > 0
    for step in out["steps"]:
        assert set(step) >= {
            "id",
            "stop",
            "box",
            "span",
            "do",
            "why",
            "caution",
            "power",
            "both_ends",
            "needs",
            "minutes",
            "after",
            "asks",
            "state",
            "say",
        }
        assert step["power"] in ("dead", "live", "any")
        assert step["state"] in ("open", "done", "not-here")
        assert step["do"] and step["why"] and step["stop"] in doc["stops"]
        assert step["asks"] is None or set(step["asks"]) == {"at", "kind"}


def test_schema_is_printed_and_accepts_the_samples():
    out = parsed(ran("schema"))
    Draft202012Validator.check_schema(out)
    for name in NAMES:
        Draft202012Validator(out).validate(sample(name))
