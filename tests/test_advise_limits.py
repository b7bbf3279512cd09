"""What would still work: each limit holds, and a little more does not."""

from __future__ import annotations

import json

import pytest
from advise_jobs import small_source
from samples import planned

from engine.advise import still_works
from engine.advise.ground import Ground

SAMPLES = ("orchard-gate", "reedbed-hide", "tide-mill")


@pytest.mark.parametrize("name", SAMPLES)
def test_each_limit_holds_and_a_little_more_does_not(name):
    ground = Ground.of(planned(name))
    limits = still_works(ground.doc)
    assert {limit.say.code for limit in limits} >= {"limit-length", "limit-load", "limit-heat"}
    for limit in limits:
        assert limit.value >= limit.now
        if limit.say.code not in ("limit-length", "limit-load") or not limit.say.parts["by"]:
            continue
        step = {"limit-length": 1.0, "limit-load": 0.1}[limit.say.code]
        for value, holds in ((limit.value, True), (limit.value + step, False)):
            after = Ground.of(stretched(ground.doc, limit.path, value / limit.now))
            slower = after.broken["reach"] > ground.broken["reach"]
            fine = after.works_at_worst and not after.stopped - ground.stopped and not slower
            assert fine == holds, (limit, value)


def stretched(doc: dict, path: tuple[str, ...], factor: float) -> dict:
    """A plan with one value and its band times a factor."""
    copy = json.loads(json.dumps(doc))
    spot = copy
    for name in path[:-1]:
        spot = next(r for r in spot if r["id"] == name) if isinstance(spot, list) else spot[name]
    value = spot[path[-1]]
    spot[path[-1]] = (
        {key: one * factor for key, one in value.items()}
        if isinstance(value, dict)
        else value * factor
    )
    return copy


def test_starter_sheets_and_a_bare_temperature_have_their_limits():
    doc = planned("orchard-gate")
    end = next(row for row in doc["boxes"] if row["sheet"] == "my.intercom")
    end["sheet"] = "generic.door-phone"
    doc["site"]["ambient_c"] = 20
    told = {limit.say.code: limit for limit in still_works(doc)}
    assert told["limit-load"].value > told["limit-load"].now
    assert told["limit-heat"].now == 20 and told["limit-heat"].value > 20


def test_a_plan_that_does_not_hold_has_no_limits():
    assert still_works(small_source()) == ()
