"""The usual cautions: which step calls for which, and that each is shown once a stop and a day."""

from __future__ import annotations

import re

import pytest
from samples import planned

from engine.cautions import (
    CODES,
    OF_KIND,
    OPENS,
    READ_LIKE,
    called_for,
    caution_of,
    due,
    of_mending,
    of_reading,
)
from engine.diagnose.remedies import REMEDIES
from engine.entries import POINT_KINDS
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.phrases import english
from engine.say import say
from engine.steps import RULES

pytestmark = pytest.mark.pure

DAY = "2031-05-04"


def judged(doc: dict, *bodies: dict) -> Judgement:
    entries = [
        {"id": f"e{n}", "device": "d", "n": n, "by": "Rafe", "t": f"{DAY}T08:{n:02}:00Z", **body}
        for n, body in enumerate(bodies, 1)
    ]
    return judge(read_job({**doc, "log": entries}))


def codes(doc: dict, step: str, *bodies: dict, today: str = DAY) -> list[str]:
    return [one.code for one in due_of(doc, step, *bodies, today=today)]


def due_of(doc: dict, step: str, *bodies: dict, today: str = DAY):
    one = judged(doc, *bodies)
    found = next(each for each in one.steps if each.id == step)
    return due(one.state, found, today)


def answer(code: str, at: str, **more) -> dict:
    return {"what": "note", "at": at, "text": "read", "x_caution": code, **more}


def tick(step: str, state: str = "done") -> dict:
    return {"what": "step", "step": step, "state": state}


REED, ORCHARD = "reedbed-hide", "orchard-gate"


def test_each_kind_that_is_named_is_a_step():
    assert set(OF_KIND) <= {rule.kind for rule in RULES}


@pytest.mark.parametrize(
    ("step", "expected"),
    [
        ("announce.site", ["caution-thunder"]),
        ("walk.site", ["caution-thunder"]),
        ("meter.site", []),
        ("feed.S", ["caution-mains"]),
        ("off.S", ["caution-off", "caution-mains", "caution-unplug"]),
        ("pull.C4", ["caution-thunder", "caution-ladder", "caution-off"]),
        ("pairs.C3", ["caution-thunder", "caution-off", "caution-insulation"]),
        ("bond.A1", ["caution-off", "caution-earth", "caution-metal"]),
        (
            "earth.EB2",
            [
                *("caution-thunder", "caution-ladder", "caution-off"),
                *("caution-earth", "caution-metal"),
            ],
        ),
        ("fit.J1", ["caution-thunder", "caution-off", "caution-eyes"]),
        (
            "mount.C",
            [
                *("caution-thunder", "caution-ladder", "caution-off"),
                *("caution-eyes", "caution-metal"),
            ],
        ),
        ("terminate.C3", ["caution-thunder", "caution-off", "caution-eyes"]),
        ("energise.S", ["caution-live"]),
        ("volts.L2.in", ["caution-thunder", "caution-ladder", "caution-live", "caution-unplug"]),
        ("cold.S", ["caution-unplug"]),
        (
            "load.C",
            [
                *("caution-thunder", "caution-ladder", "caution-known-load"),
                *("caution-live", "caution-unplug"),
            ],
        ),
        ("take-back.site", ["caution-unplug"]),
        ("link.L1.out", []),
    ],
)
def test_what_a_step_of_the_reedbed_calls_for(step, expected):
    assert codes(planned(REED), step) == expected


def test_indoors_without_a_ladder_nobody_asks_about_the_sky():
    one = judged(planned(ORCHARD))
    called = {said.code for step in one.steps for said in called_for(one.state, step)}
    assert not called & {"caution-thunder", "caution-ladder", "caution-earth"}
    assert caution_of("announce", one.state.job) is None
    doc = planned(ORCHARD)
    doc["spans"][0]["indoor"] = False  # from house to house over the yard
    assert codes(doc, "announce.site") == ["caution-thunder"]


def test_the_steps_own_caution_is_the_one_of_its_work():
    one = judged(planned(REED))
    own = {step.id: step.caution.code for step in one.steps if step.caution}
    assert own["bond.A2"] == "caution-earth" and own["load.C"] == "caution-known-load"
    assert own["volts.C.in"] == "caution-live" and "fit.L2" not in own
    for step in one.steps:
        if step.caution:
            assert step.caution.code in [said.code for said in called_for(one.state, step)]


def test_who_is_to_dig_is_told_before_it_and_nobody_else():
    doc = planned(REED)
    assert not any("caution-dig" in codes(doc, f"pull.{span}") for span in ("C3", "C4"))
    next(one for one in doc["spans"] if one["id"] == "C4")["route"] = "buried"
    assert "caution-dig" in codes(doc, "pull.C4")
    assert "caution-dig" not in codes(doc, "pull.C3"), "the other one lies in the open"
    assert "caution-dig" not in codes(doc, "terminate.C4"), "it lies by then"


def test_a_mending_with_hands_on_copper_wants_the_run_off_and_another_one_does_not():
    state = judged(planned(REED), tick("off.S")).state
    off, unplug = of_mending(state, say("do-ends", at="C4"))
    assert (off.code, unplug.code) == ("caution-off", "caution-unplug")
    assert off.parts["said"], "it names whose word that is"
    assert of_mending(state, say("do-port-on", at="S")) == () == of_mending(state, None)


def test_what_is_opened_for_a_mending_is_one_of_the_remedies():
    assert {row.do for row in REMEDIES.values()} >= OPENS


ROWS = {
    "thunder": ("caution-thunder",),
    "57 V on the pairs": ("caution-off", "caution-live"),
    "unplugging under load": ("caution-unplug",),
    "mains inside a box": ("caution-mains",),
    "unknown metal, another's bond": ("caution-earth", "caution-metal"),
    "ladder, roof, mast": ("caution-ladder",),
    "digging": ("caution-dig",),
    "two buildings": ("caution-two-earths",),
    "flame, glue, cut ends, dust": ("caution-eyes",),
    "the meter itself": ("caution-insulation",),
    "the load itself": ("caution-known-load",),
}
"""what the trade warns of, and the cautions that say so"""


def test_every_row_of_the_usual_cautions_has_one_and_every_one_defers_to_who_decides():
    assert {code for codes_ in ROWS.values() for code in codes_} == {*CODES}
    deciding = {"caution-mains": "licensed", "caution-two-earths": "licensed"}
    deciding |= {
        "caution-earth": "licensed",
        "caution-dig": "rules",
        "caution-insulation": "people",
    }
    for code, who in deciding.items():
        assert who in english(say(code)).text, code


def test_one_answer_holds_for_its_stop_and_day():
    doc, read = planned(REED), answer("caution-ladder", "hide")
    assert "caution-ladder" not in codes(doc, "pull.C4", read)
    assert "caution-ladder" not in codes(doc, "mount.C", read), "another step, same stop"
    assert "caution-thunder" in codes(doc, "pull.C4", read), "another caution"
    assert "caution-ladder" in codes(doc, "pull.C4", read, today="2031-05-05")
    assert "caution-ladder" in codes(doc, "pull.C4", answer("caution-ladder", "hut"))
    assert "caution-ladder" in codes(doc, "pull.C4", read, {"what": "void", "of": "e1"})
    assert "caution-ladder" not in codes(doc, "pull.C4", answer("caution-ladder", "HIDE"))
    assert "caution-ladder" not in codes(doc, "pull.C4", read, today=f"{DAY}T23:59:00Z")


def test_thunder_is_asked_again_at_each_outdoor_stop():
    doc, read = planned(REED), answer("caution-thunder", "sluice")
    assert "caution-thunder" not in codes(doc, "pull.C3", read)
    assert "caution-thunder" in codes(doc, "pull.C4", read)


def off_of(step: str, *bodies: dict):
    """What is said of 'off' before a step of the reedbed."""
    (said,) = [one for one in due_of(planned(REED), step, *bodies) if one.code == "caution-off"]
    return said


def test_off_names_who_said_so_and_when():
    said = off_of("fit.J1", tick("off.S"))
    assert said.parts["said"] == (("S", "Rafe", f"{DAY}T08:01:00Z"),)
    words = english(said).text
    assert "S is off, said by Rafe, 2031-05-04 08:01" in words
    assert "not what a wire is" in words and "known live" in words
    nobody = off_of("fit.J1")
    assert nobody.parts["said"] == ()


def test_off_is_no_longer_off_once_somebody_switched_it_on():
    doc = planned(REED)
    (said,) = due_of(doc, "fit.L1", tick("off.S"), tick("energise.S"))
    assert (said.code, said.parts["said"]) == ("caution-off", ())
    (said,) = due_of(doc, "fit.L1", tick("off.S"), tick("off.S", "undone"))
    assert said.parts["said"] == ()
    (said,) = due_of(doc, "fit.L1", tick("energise.S"), tick("off.S"))
    assert [box for box, *_ in said.parts["said"]] == ["S"]


def test_off_is_due_again_after_a_later_word_on_it():
    doc, read = planned(REED), answer("caution-off", "hut")
    assert codes(doc, "fit.L1", tick("off.S"), read) == []
    assert codes(doc, "fit.L1", read, tick("off.S")) == ["caution-off"]
    assert codes(doc, "fit.L1", tick("off.S"), read, tick("energise.S")) == ["caution-off"]


# ---------------------------------------------------------------- a ladder at the other end


def ladder_at(*stops: str) -> dict:
    """The reedbed with ladders at these stops alone."""
    doc = planned(REED)
    for stop in doc["stops"].values():
        stop["needs"] = []
    for name in stops:
        doc["stops"][name]["needs"] = ["ladder"]
    return doc


def ladders(doc: dict, step: str, *bodies: dict) -> list[str]:
    """The stops whose ladder is asked about."""
    due_now = due_of(doc, step, *bodies)
    return [one.parts["stop"] for one in due_now if one.code == "caution-ladder"]


@pytest.mark.parametrize("kind", ["pull", "terminate", "pairs"])
def test_who_works_at_both_ends_is_asked_about_the_ladder_at_the_other(kind):
    both = f"{kind}.C4"  # stands at the hide; its other end is at the sluice
    name = {key: stop["name"] for key, stop in planned(REED)["stops"].items()}
    assert ladders(ladder_at("sluice"), both) == [name["sluice"]]
    assert ladders(ladder_at("hide"), both) == [name["hide"]]
    assert ladders(ladder_at("hide", "sluice"), both) == [name["hide"], name["sluice"]]
    assert ladders(ladder_at("hut"), both) == [], "no end of it"
    assert ladders(ladder_at(), both) == []


def test_what_is_done_at_one_end_asks_about_its_own_ladder_only():
    for step in ("fit.A2", "marks.C4", "volts.L2.in"):
        assert ladders(ladder_at("sluice"), step) == [], step


def test_a_ladder_counts_as_read_where_it_stands():
    doc = ladder_at("hide", "sluice")
    (sluice,) = ladders(doc, "pull.C4", answer("caution-ladder", "hide"))
    assert sluice == doc["stops"]["sluice"]["name"]
    (hide,) = ladders(doc, "pull.C4", answer("caution-ladder", "sluice"))
    assert hide == doc["stops"]["hide"]["name"]
    both = [answer("caution-ladder", stop) for stop in ("hide", "sluice")]
    assert ladders(doc, "pull.C4", *both) == []
    assert ladders(doc, "fit.J1", answer("caution-ladder", "sluice")) == []


# ---------------------------------------------------------------- a reading opened by itself


def before_reading(doc: dict, at: str, kind: str, *bodies: dict) -> list[str]:
    one = judged(doc, *bodies)
    step = of_reading(one.state, one.steps, at, kind)
    return [said.code.removeprefix("caution-") for said in due(one.state, step, DAY)]


def test_a_reading_that_a_step_asks_for_has_the_cautions_of_that_step():
    for name in (REED, ORCHARD, "tide-mill"):
        one = judged(planned(name))
        for step in one.steps:
            if step.asks is not None:
                found = of_reading(one.state, one.steps, step.asks.at, step.asks.kind)
                assert found is step, step.id


@pytest.mark.parametrize(
    ("at", "kind", "expected"),
    [
        ("J1.a", "volts", ["thunder", "live", "unplug"]),
        ("L2.in", "milliamps", ["thunder", "ladder", "live", "unplug"]),
        ("L1.in", "watts", ["live", "unplug"]),
        ("C4", "unbalance_ohms", ["thunder", "ladder", "off", "insulation"]),
        ("C2", "loop_ohms", ["off", "insulation"]),
    ],
)
def test_one_that_no_step_asks_for_has_those_of_its_like(at, kind, expected):
    assert before_reading(planned(REED), at, kind) == expected


def test_every_live_quantity_warns_and_no_other_one_does():
    live = {kind for kind, (_, power) in READ_LIKE.items() if power == "live"}
    assert live == {"volts", "milliamps", "watts"}
    for kind in POINT_KINDS:
        assert ("live" in before_reading(planned(REED), "J1.b", kind)) == (kind in live), kind


def test_a_place_at_no_stop_has_no_step_to_be_like():
    one = judged(planned(REED))
    assert of_reading(one.state, one.steps, "nowhere.x", "volts") is None
    assert of_reading(one.state, one.steps, "Q9", "loop_ohms") is None


# ---------------------------------------------------------------- odd notes


@pytest.mark.parametrize("odd", [None, 7, ["caution-ladder"], {"code": "caution-ladder"}])
def test_what_is_no_code_answers_nothing(odd):
    assert "caution-ladder" in codes(planned(REED), "pull.C4", answer(odd, "hide"))


def test_an_answer_without_a_time_is_of_no_day():
    doc = planned(REED)
    doc["log"] = [{"id": "e1", "n": 1, **answer("caution-ladder", "hide")}]
    one = judge(read_job(doc))
    step = next(each for each in one.steps if each.id == "pull.C4")
    assert "caution-ladder" in [said.code for said in due(one.state, step, DAY)]


def test_no_caution_says_that_a_wire_is_dead():
    for name in (REED, ORCHARD, "tide-mill"):
        one = judged(planned(name), tick("off.S"))
        for step in one.steps:
            for said in called_for(one.state, step):
                text = english(said).text
                assert not re.search(r"\b(safe|dead|harmless)\b", text), text
