"""The engine's English: each code has its words, each of the words is reached, and some are never said."""

from __future__ import annotations

import ast
import json
import re
from copy import deepcopy
from functools import cache
from pathlib import Path

import pytest
from account_jobs import accounts_said
from advise_jobs import CASES as ADVISED
from advise_jobs import hopeless, unfed
from again_sites import left, met_again
from rule_plans import CASES
from samples import sample
from test_reel import reels_said

from engine import inspan, planning
from engine.advise import advise, still_works
from engine.cautions import called_for
from engine.design_band import apart
from engine.entries import READING_KINDS, UNITS
from engine.jobfile import read_job
from engine.judge import Judgement, judge
from engine.phrases import PHRASES, READINGS, Phrase, english
from engine.powerup import power_walk
from engine.propose import propose
from engine.report_text import judgement_text, prediction_text, steps_text
from engine.rules import RULES as DESIGN_RULES
from engine.say import Say, say

pytestmark = [pytest.mark.pure, pytest.mark.long]

ROOT = Path(__file__).parent.parent
SOURCES = [path for path in (ROOT / "engine").rglob("*.py") if "phrases" not in path.parts]
"""where things are said; a code that only the words themselves know is never said"""
NEVER = re.compile(r"\b(safe(ly|ty)?|certif\w+|pass(es|ed|ing)?|fail\w*|errors?)\b", re.IGNORECASE)


# ---------------------------------------------------------------- codes in the source


def literals(tree: ast.AST) -> set[str]:
    return {
        node.value
        for node in ast.walk(tree)
        if isinstance(node, ast.Constant) and isinstance(node.value, str)
    }


def said(tree: ast.AST) -> set[str]:
    """Codes given to ``say`` as a literal."""
    return {
        node.args[0].value
        for node in ast.walk(tree)
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id == "say"
        and node.args
        and isinstance(node.args[0], ast.Constant)
    }


def _trees() -> list[ast.AST]:
    return [ast.parse(path.read_text(encoding="utf-8")) for path in SOURCES]


def test_every_code_in_the_source_has_its_words():
    codes = set().union(*map(said, _trees()))
    assert len(codes) > 30, "the scan must find something"
    assert codes <= set(PHRASES), codes - set(PHRASES)


def test_codes_that_reach_say_by_a_name_have_their_words_too():
    """What looks like a code of a family that is worded must be one of its codes."""
    families = ("step-", "verdict-", "no-band-", "hold-", "reach-", "caution-", "lights-")
    families += ("fault-", "do-", "look-", "sure-", "unseen-", "because-")
    used = {
        text
        for tree in _trees()
        for text in literals(tree)
        if text.startswith(families) and re.fullmatch(r"[a-z]+(-[a-z]+)+", text)
    }
    assert used <= set(PHRASES), used - set(PHRASES)


def test_no_words_without_a_code():
    used = set().union(*map(literals, _trees()))
    assert set(PHRASES) <= used, set(PHRASES) - used


def test_every_design_rule_has_words():
    several = {"reach", "class"}  # each of their matters has a code of its own
    assert {rule.id for rule in DESIGN_RULES} - several <= set(PHRASES)
    for rule in several:
        assert len([code for code in PHRASES if code.startswith(f"{rule}-")]) > 2, rule


# ---------------------------------------------------------------- real parts for each code


def reading(at: str, kind: str, value: float, **more) -> dict:
    return {"what": "reading", "at": at, "kind": kind, "value": value, "meter": "M1", **more}


def odd_log() -> list[dict]:
    """Two phones that did not see each other's work, and entries that lead nowhere."""

    def entry(ident: str, device: str, n: int, **body) -> dict:
        return {"id": ident, "device": device, "n": n, "by": "Ottar", **body}

    length = {"what": "set", "path": ["spans", "C1", "length_m"]}
    return [
        entry("o1", "a7f3", 1, **length, value=90),
        entry("o2", "c210", 1, **length, value={"low": 80, "expected": 84, "high": 88}),
        entry("o3", "a7f3", 2, what="void", of="nothing-there"),
        entry("o4", "a7f3", 3, what="change", where="C77", did="new plug"),
        entry("o5", "a7f3", 4, **reading("Z9.in", "volts", 50)),
        entry("o6", "a7f3", 4, what="note", text="typed on a phone set back to an older copy"),
        entry(
            "o7",
            "c210",
            2,
            what="note",
            text="one",
            x_twins=[entry("o7", "c210", 2, what="note", text="another")],
        ),
        entry("o8", "c210", 3, what="resolve", of=["o6", "o7"], keep="o6"),
        entry("o9", "c210", 4, what="note", text="before o10", seen={"e5d1": 1}),
        entry("o10", "e5d1", 1, what="note", text="before o9", seen={"c210": 4}),
        entry("o11", "e5d1", 2, what="found", where="C1", cause="span.hihg"),
    ]


def returns() -> list[dict]:
    """Sites that were left and met again, one with a joint that got worse."""
    site, doc = left(sample("reedbed-hide"), 5)
    _, spare = left(sample("reedbed-hide"), 5, ("volts",))
    return [
        met_again(doc, site, 77, reason="yearly", grown=("joint.high", "C4")),
        met_again(spare, site, 77, reason="storm", only=("S.out",)),
    ]


def variants() -> list[dict]:
    """Samples, and samples with something wrong, so that everything there is to say is said."""
    reed, orchard, mill = (sample(n) for n in ("reedbed-hide", "orchard-gate", "tide-mill"))
    turned = sample("reedbed-hide")
    turned["spans"][0]["to"], turned["spans"][1]["from"] = "L1.in", "L1.out"
    turned["spans"][1]["to"], turned["spans"][2]["from"] = "A1.line", "A1.kit"
    del turned["boxes"][4]["bond"]
    del turned["earths"]["EB1"]["target_ohms"]
    turned["log"] = [
        reading("EB1", "earth_ohms", 4),
        {"what": "set", "path": ["spans", "C99", "length_m"], "value": 3},
        {"what": "waive", "of": "finding.bond.A2", "reason": "electrician", "by": "Ottar"},
    ]
    turned["log"] += [
        reading("EB2", "earth_ohms", 40),
        reading("C3", "metres", 190, moment="a"),
        reading("C3", "loop_ohms", 34, moment="b"),
        {k: v for k, v in reading("C4", "loop_ohms", 0).items() if k != "value"}
        | {"pairs": {"1": 34.9, "2": 35.1, "3": 47.0, "4": 1e6}},
    ]
    slow = sample("tide-mill")
    slow["sheets"]["my.gauge"]["speeds_mbps"] = [10]
    slow["spans"][0]["length_m"] = 140
    slow["log"] = [
        reading("R2.in", "mbps", 100),
        reading("R2.in", "mbps", 0, moment="dusk"),
        reading("G.in", "error_count", 90, seconds=60),
        reading("G.in", "error_count", 90, moment="dusk"),
    ]
    far = sample("reedbed-hide")
    far["spans"][3]["length_m"] = 400
    narrow = sample("reedbed-hide")
    narrow["spans"][2]["pairs"] = 2
    heavy = sample("orchard-gate")
    heavy["sheets"]["my.intercom"]["watts"] = {"low": 30, "expected": 34, "high": 40}
    heavy["sheets"]["my.intercom"]["cutoff_volts"] = 40
    edge = sample("orchard-gate")
    edge["sheets"]["my.intercom"]["watts"] = {"low": 10, "expected": 14, "high": 45}
    edge["sheets"]["my.intercom"]["cutoff_volts"] = 44
    dark = sample("orchard-gate")
    dark["spans"] = dark["spans"][1:]
    twice = sample("orchard-gate")
    twice["sheets"]["my.injector"] = {"kind": "injector", "volts": 48, "grants": "always"}
    twice["boxes"].append({"id": "I", "sheet": "my.injector", "stop": "shed"})
    twice["spans"][0]["to"] = "I.out"
    twice["spans"].append({**twice["spans"][0], "id": "C3", "from": "I.in", "to": "R1.in"})
    orchard["log"] += [
        reading("S.out", "volts", 53.9, moment="a"),
        reading("S.out", "volts", 70.0, moment="b"),
        reading("S.out", "volts", 3.0, moment="c", **{"with": {"*": "off"}}),
        reading("E.in", "volts", 30.0, moment="d", **{"with": {"E": {"watts": 150}}}),
        reading("E.in", "volts", 48.0, moment="nobody", **{"with": {"Z": "off"}}),
        *(
            reading("E.in" if kind == "error_count" else "C1", kind, 3)
            for kind in ("unbalance_ohms", "metres", "celsius", "error_count")
        ),
    ]
    doubtful = sample("orchard-gate")
    doubtful["log"] = [reading("S.out", "volts", 53.51), reading("R1.in", "volts", 50.8)]
    mill["log"] += [reading("R1.in", "error_count", 90, seconds=60)]
    screened = sample("reedbed-hide")
    screened["sheets"]["my.cable"]["screened"] = True
    next(one for one in screened["spans"] if one["id"] == "C4")["route"] = "buried"
    screened["log"] = [
        {"what": "step", "step": "off.S", "state": "done", "by": "Ottar"},
        {"what": "note", "at": "C4", "text": "far end shorted", "x_fitted": "short"},
    ]
    parted = sample("orchard-gate")
    parted["log"] = odd_log()
    docs = [
        reed,
        orchard,
        mill,
        doubtful,
        parted,
        screened,
        turned,
        slow,
        far,
        narrow,
        heavy,
        edge,
        dark,
        twice,
        *returns(),
    ]
    broken = {name: deepcopy(doc) for name, (doc, *_) in CASES.items()}
    broken["more than the first box is granted"]["log"] = [reading("E1.in", "volts", 48)]
    docs += broken.values()
    for doc in docs:
        for n, entry in enumerate(doc["log"], start=1):
            entry.setdefault("id", f"v{n}")
    return docs


@cache
def judgements() -> tuple[Judgement, ...]:
    return tuple(judge(read_job(doc)) for doc in variants())


@cache
def statements() -> tuple[Say, ...]:
    """Everything that the engine says of all variants."""
    out: list[Say] = []
    for one in judgements():
        out += [finding.say for finding in one.prediction.findings]
        out += [step.say for step in one.steps]
        out += [said for step in one.steps for said in called_for(one.state, step)]
        out += [one.lights for one in power_walk(one.state, one.prediction, one.judged).stages]
        out += [verdict.say for verdict in one.verdicts]
        told = (apart(one.state, verdict.reading) for verdict in one.verdicts)
        out += [statement for statement in told if statement is not None]
        out += [hold.say for hold in one.holds]
        out += [odd.say for odd in one.state.oddities]
    return (*out, *refusals(), *reels_said(), *advice_said(), *accounts_said())


@cache
def advice_said() -> tuple[Say, ...]:
    """What is offered for plans that do not work, and how far others could be stretched."""
    docs = [make() for make, _ in ADVISED.values()] + [hopeless(), unfed(), sample("reedbed-hide")]
    out: list[Say] = []
    for doc in docs:
        advice = advise(doc)
        out += [change.say for change in advice.changes]
        out += [part for change in advice.changes for part in change.parts]
        out += [advice.limited_by] if advice.limited_by is not None else []
        out += [limit.say for limit in still_works(doc)]
    return tuple(out)


@cache
def refusals() -> tuple[Say, ...]:
    """What the engine says where a plan cannot be edited so."""
    doc, mill = sample("reedbed-hide"), sample("tide-mill")
    tries = (
        lambda: planning.applied(doc, ({"what": "set", "path": ["boxes", "Q9"], "value": 1},)),
        lambda: planning.with_value(doc, ("spans", "C4", "length_m"), -1),
        lambda: inspan.turn_round(doc, "Q9"),
        lambda: planning.with_sheet(doc, "C4", "nobody.sheet"),
        lambda: inspan.put_in(doc, "C4", "generic.source-30w"),
        lambda: inspan.put_in(doc, "C4", "generic.joint-gel", share=1.5),
        lambda: inspan.take_out(mill, "X"),
        lambda: inspan.turn_round(doc, "S"),
        lambda: planning.add_stop(doc, "hide", {"at_m": 7}),
        lambda: propose(-1, title="Gate", ident="GATE"),
        lambda: propose(90, watts=900, title="Gate", ident="GATE"),
    )
    said = []
    for one in tries:
        with pytest.raises(planning.BadPlan) as refused:
            one()
        said.append(refused.value.say)
    return tuple(said)


def phrases() -> list[tuple[str, Phrase]]:
    return [(statement.code, english(statement)) for statement in statements()]


def test_every_code_is_reached_by_a_real_job():
    said_of = {statement.code for statement in statements()}
    assert said_of == set(PHRASES), set(PHRASES) ^ said_of


def test_every_phrase_is_a_sentence_without_holes():
    for code, phrase in phrases():
        for text in (phrase.text, phrase.why, phrase.caution or ""):
            assert "None" not in text and "Say(" not in text and "{" not in text, (code, text)
            assert "Range(" not in text and "Point(" not in text and "('" not in text, (code, text)
            assert text == text.strip() and "  " not in text, (code, text)
            assert "\n" not in text
            assert not text or text[0].upper() == text[0] or re.match(r"[a-z_ ]+ of ", text), text
        assert phrase.text, code
        if code.startswith("step-"):
            assert phrase.why, code
            assert phrase.text.endswith((".", "?")) and phrase.why.endswith((".", "?")), code


def test_speeds_are_whole_numbers():
    for code, phrase in phrases():
        assert not re.search(r"\d\.\d+ Mb/s", phrase.text), (code, phrase.text)


@pytest.mark.parametrize("code", sorted(PHRASES))
def test_words_that_are_never_said(code):
    mine = [phrase for its, phrase in phrases() if its == code]
    for phrase in mine:
        for text in (phrase.text, phrase.why, phrase.caution or ""):
            # the kind of reading keeps its name from the job format
            found = NEVER.search(text.replace("error count", ""))
            assert not found, f"{found.group()!r} in {text!r}"


def test_the_reader_of_words_sees_what_it_should():
    for text in ("It is safe.", "CERTIFIED", "no data passes", "Power may fail", "an error"):
        assert NEVER.search(text)
    for text in ("the compass", "terror", "passive", "bailiff"):
        assert not NEVER.search(text)


def test_the_printed_text_never_says_them_either():
    for one in judgements():
        for text in (
            prediction_text(one.prediction),
            judgement_text(one),
            steps_text(one, 1),
        ):
            for word in ("safe", "certified", "PASS", "FAIL"):
                assert not re.search(rf"\b{word}\b", text), word


TOLD = [
    (
        say(
            "hold-conflict",
            path="spans/C2/length_m",
            values=(92, {"low": 80, "expected": 84, "high": 88}, None),
            by=("Ida", "", "Ottar"),
            shown="o3",
        ),
        "The plan's spans/C2/length_m was changed by people who did not see each other's change: "
        "92 by Ida, low 80, expected 84, high 88 and taken out by Ottar. "
        "The last that fits is shown until one is kept.",
    ),
    (
        say("verdict-errors", at="E.in", count=14, most=3),
        "E.in: 14 damaged frames in this time, where a sound link may count 3.",
    ),
    (
        say("verdict-over", at="C2", kind="unbalance_ohms", value=1.3, most=0.4987),
        "C2: unbalance 1.3 ohm, where the limit is 0.499 ohm.",
    ),
    (
        say("verdict-unclear", at="E.in", kind="volts", by=0.1234, low=False),
        "E.in: 0.12 V above today's band, which is not certain yet. Measure again; both readings "
        "are used.",
    ),
    (
        say("verdict-slow", at="E.in", mbps=100, expected=0),
        "E.in: 100 Mb/s where no link was expected.",
    ),
    (
        say(
            "verdict-outside-high",
            at="E.in",
            kind="milliamps",
            by=151.6,
            reach=4.97,
            spoke="design",
        ),
        "E.in: 152 mA above all that the plan allows; the meter is good to ± 5 mA.",
    ),
]


@pytest.mark.parametrize(("statement", "text"), TOLD, ids=[one.code for one, _ in TOLD])
def test_how_a_verdict_is_told(statement, text):
    assert english(statement).text == text


def test_an_excess_that_the_probes_may_be_is_told_so():
    for kind, by, told in (
        ("loop_ohms", 0.5, True),
        ("loop_ohms", 0.6, False),
        ("volts", 0.3, False),
    ):
        off = say("verdict-outside-high", at="C2", kind=kind, by=by, reach=0.2, spoke="today")
        assert ("probes" in english(off).why) == told


def test_a_value_of_the_plan_is_short_and_plain_in_a_sentence():
    for value, told in (
        (True, "yes by Ida"),
        (["a", 2.50], "a, 2.5 by Ida"),
        ({"bond": {"to": "EB1", "lead_m": 0.4}}, "bond to EB1, lead_m 0.4 by Ida"),
        ("x" * 60, f"{'x' * 38}.. by Ida"),
    ):
        clash = say("hold-conflict", path="a/b", values=(value, 1), by=("Ida", ""), shown="o1")
        assert f"change: {told} and 1." in english(clash).text


DEAD = re.compile(r"\b(is|are|now) dead\b")
OF_DATA = ("speed-mismatch",)
"""codes that say that *data* is dead: a matter of speeds, not of touching anything"""


def claims_a_dead_wire(code: str, text: str) -> bool:
    """Whether the words claim more than that data is dead, which only some codes may."""
    return bool(DEAD.search(text.replace("data is dead", "") if code in OF_DATA else text))


def test_nothing_says_that_a_wire_is_dead():
    for code, phrase in phrases():
        for text in (phrase.text, phrase.why, phrase.caution or ""):
            assert not claims_a_dead_wire(code, text), (code, text)


def test_a_claim_of_a_dead_wire_would_be_seen():
    for text in ("The wire is dead.", "The pairs are dead now", "The data is dead, C1 is dead."):
        assert claims_a_dead_wire("speed-mismatch", text)
    assert claims_a_dead_wire("feed", "The data is dead.")
    assert not claims_a_dead_wire("speed-mismatch", "Lights may be on, data is dead.")


def test_gigabit_meeting_less_is_said_exactly_so():
    """Power and lights are no sign of data: the sentence that keeps a person from the wrong end."""
    found = {phrase for code, phrase in phrases() if code == "speed-mismatch"}
    assert found
    for phrase in found:
        assert "share no speed: no link at all" in phrase.text
        assert phrase.why == "Power is fine, lights may be on, data is dead."


def test_what_is_printed_fits_eighty_columns():
    for one in judgements():
        for text in (prediction_text(one.prediction), judgement_text(one), steps_text(one, 1)):
            assert [line for line in text.splitlines() if len(line) > 80] == []


def test_every_kind_of_reading_has_a_name_and_a_unit():
    assert set(READINGS) == set(UNITS) == set(READING_KINDS)


def test_statements_travel_as_json():
    for statement in statements():
        parts = {k: v for k, v in statement.json().items() if not hasattr(v, "json")}
        again = json.loads(json.dumps(parts, allow_nan=False))
        assert again["code"] == statement.code


def test_a_code_without_words_is_not_passed_over():
    with pytest.raises(KeyError):
        english(say("no-such-code"))
