"""Design rules: each finding on a plan made for it, and none of them on a sound plan."""

from __future__ import annotations

import pytest
from jobs import arrestor, band, chain, endpoint, run, source, turned
from rule_plans import CASES, FAR_PORTS, OUTDOORS, RADIO, UNBONDED, findings_of, hide
from samples import SAMPLES

from engine.jobfile import load, read_job
from engine.predict import predict
from engine.report_text import prediction_text
from engine.rules import RULES
from engine.rules.rule import Rule
from engine.standards import Sourced

pytestmark = pytest.mark.pure


def test_a_sound_plan_has_no_finding():
    """Every quantity stated, every box the right way round, bonded, in reach, with volts to spare."""
    assert predict(read_job(hide()).plan).operates
    assert findings_of(hide()) == {}


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.json")), ids=lambda path: path.stem)
def test_the_sample_jobs_are_sound(path):
    """The samples break nothing; what they assume is noted, and that a run joins buildings."""
    findings = predict(load(path).plan).findings
    assert {finding.rule for finding in findings} <= {"assumed", "separate-buildings"}
    assert "stop" not in {finding.severity for finding in findings}


# ---------------------------------------------------------------- one plan for each finding


@pytest.mark.parametrize("case", CASES)
def test_a_plan_made_for_a_finding_has_it_and_no_other(case):
    """Exactly these stops and warnings, with these severities, and no assumption to note."""
    doc, expected, _ = CASES[case]
    found = findings_of(doc)
    assert {ident: finding.severity for ident, finding in found.items()} == expected


@pytest.mark.parametrize("case", CASES)
def test_its_sound_neighbour_has_none(case):
    """The plan just on the sound side breaks nothing at all."""
    assert findings_of(CASES[case][2]) == {}


def test_every_rule_of_the_table_is_tried():
    """A rule that joins the table needs a plan here."""
    tried = {ident.partition(".")[0] for _, expected, _ in CASES.values() for ident in expected}
    assert {rule.id for rule in RULES} == tried | {"feed-twice", "assumed"}


CONTRACT = [
    "orientation",
    "feed",
    "feed-twice",
    "volts-low",
    "collapse",
    "collapse-worst",
    "start-up",
    "class",
    "class-far",
    "port-power",
    "port-trip",
    "keep-alive",
    "budget",
    "current",
    "reach",
    "speed-mismatch",
    "cable-material",
    "cable-place",
    "arrestor-missing",
    "arrestor-facing",
    "bond",
    "box-place",
    "heat",
    "separate-buildings",
    "assumed",
]
"""the rules of the job format, section 4"""


def test_the_rules_are_those_of_the_contract():
    """No rule is missing, none has a name that readers of the file do not know."""
    assert {rule.id for rule in RULES} == set(CONTRACT)


CODES = {
    "a box that is plugged into nothing": "feed-unplugged",
    "a regenerating box fed from behind": "feed",
    "gigabit only meets 10/100": "speed-mismatch",
    "gigabit only over two pairs": "speed-unfit",
    "longer than the sheet's reach": "reach-stated",
    "longer than ordinary ports are assured": "reach-ordinary",
    "too much loss within a hundred metres": "reach-loss",
    "too much loss on the hottest day": "reach-hot",
    "a category that ends below what a speed needs": "reach-category",
    "no operating point at all": "start-up-cycling",
    "too few volts to start beside the others": "start-up",
    "a grant that only the worst case exceeds": "class-tight",
    "a port that grants less than is asked": "class-short",
    "a box that draws above its class": "class-above",
    "a cable hotter than its rating": "heat",
    "a bundle that warms too much": "heat-bundle",
    "an arrestor without an earth lead": "bond",
    "an earth lead too long": "bond-long",
    "an earth lead too thin": "bond-thin",
}


@pytest.mark.parametrize(("case", "code"), CODES.items())
def test_what_is_said_of_rules_that_say_several_things(case, code):
    """One rule, several matters: the code tells which."""
    said = {finding.say.code for finding in findings_of(CASES[case][0]).values()}
    assert code in said


@pytest.mark.parametrize("case", CASES)
def test_what_is_printed_of_it_fits_eighty_columns(case):
    """The text of the prediction, its findings in full sentences, on a narrow screen."""
    text = prediction_text(predict(read_job(CASES[case][0]).plan))
    assert [line for line in text.splitlines() if len(line) > 80] == []
    assert len(text.splitlines()) > 5


@pytest.mark.parametrize("wanted", ["stop", "warn", "note"])
def test_a_number_from_memory_stops_no_job(wanted):
    """The row's mark overrules what a check asks for; a published one lets it stand."""
    rows = {mark: Sourced("x", 1, "m", "somewhere", mark) for mark in ("published", "from memory")}
    bears = {mark: Rule("x", "", lambda _: iter(()), (row,)) for mark, row in rows.items()}
    assert bears["published"].severity(wanted) == wanted
    assert bears["from memory"].severity(wanted) == {"stop": "warn"}.get(wanted, wanted)


# ---------------------------------------------------------------- what stops, what warns


@pytest.mark.parametrize(("stated_by", "severity"), [("starter", "warn"), ("job", "stop")])
def test_a_reach_recalled_from_memory_warns_where_a_stated_one_stops(stated_by, severity):
    """The same units, 310 m: their starter sheets' 300 m are recalled, the job's own are read."""
    doc = hide(length_m=310)
    for row in doc["boxes"]:
        if row["id"] in ("L1", "L2"):
            own = doc["sheets"].pop(row["sheet"])
            row["sheet"] = "generic.long-span"
            if stated_by == "job":
                row["sheet"] = f"my.{row['id']}"
                ports = {**own["ports"], "in": {"faces": "long-span", "reach_m": {"1000": 300}}}
                doc["sheets"][row["sheet"]] = {**own, "ports": ports}
    (finding,) = [f for f in findings_of(doc).values() if f.rule == "reach"]
    assert (finding.at, finding.say.code, finding.severity) == ("L1.in", "reach-stated", severity)


def test_the_shorter_of_two_stated_reaches_decides_how_grave_it_is():
    """One end's own sheet ends at 200 m, the other's starter sheet at 300 m: 250 m stops."""
    doc = hide(length_m=250)
    near = next(box for box in doc["boxes"] if box["id"] == "L1")
    far = next(box for box in doc["boxes"] if box["id"] == "L2")
    doc["sheets"][near["sheet"]]["ports"]["in"]["reach_m"] = {"1000": 200}
    far["sheet"] = "generic.long-span"
    assert findings_of(doc)["reach.L1.in"].severity == "stop"


def test_a_speed_left_out_of_a_reach_table_is_no_fault_while_another_runs():
    """Ports of 100/1000 whose tables know 100 Mb/s alone, 150 m of 200: it falls, no stop."""
    ports = {"out": {"faces": "any", "reach_m": {"100": 200}}}
    far = {"in": {"faces": "any", "reach_m": {"100": 200}}}
    doc = chain(source(54, ports=ports), run(150), endpoint(5, ports=far))
    found = findings_of(doc)["reach.S1.out"]
    assert (found.severity, found.say.code) == ("warn", "reach-ordinary")
    assert found.say.parts["falls_to"] == 100


def test_the_ordinary_reach_of_a_port_is_noted_as_taken():
    """Of each sheet with a transceiver whose ports do not state their reach."""
    found = predict(read_job(hide()).plan).findings
    noted = {finding.say.parts["of"] for finding in found if finding.id.endswith(".reach_m")}
    assert noted == {"my.S1", "my.E1"}


@pytest.mark.parametrize(
    ("stops", "exposed"),
    [
        (({"indoor": True}, {"indoor": True}), False),
        (({"indoor": True}, {"indoor": False}), True),
        (({"indoor": True, "building": "hut"}, {"indoor": True, "building": "hut"}), False),
        (({"indoor": True, "building": "hut"}, {"indoor": True, "building": "barn"}), True),
    ],
)
def test_a_span_is_exposed_outdoors_and_between_buildings(stops, exposed):
    """Where the span itself says nothing, its stops decide."""
    doc = chain(source(), run(10), endpoint())
    del doc["spans"][0]["indoor"]
    doc["stops"] = {name: {"at_m": 0, **keys} for name, keys in zip("ab", stops, strict=True)}
    doc["earths"] = {}
    doc["boxes"][0]["stop"], doc["boxes"][1]["stop"] = "a", "b"
    job = read_job(doc).plan
    assert job.is_exposed(job.spans["C1"]) == exposed


def test_a_link_that_a_passive_box_stops_names_the_box():
    """A 100 Mb/s arrestor between gigabit-only ends: its name, not the pairs."""
    doc = chain(
        source(speeds_mbps=[1000]),
        run(5),
        arrestor(speeds_mbps=[100]),
        run(5),
        endpoint(5, speeds_mbps=[1000]),
    )
    found = findings_of(doc)["speed-mismatch.S1.out"]
    assert (found.say.code, found.say.parts["boxes"]) == ("speed-unfit", ("A1",))


@pytest.mark.parametrize(
    ("doc", "begins"),
    [
        (chain(source(54), run(10), endpoint(5)), "It will work. It holds"),
        (chain(source(54), run(300), endpoint(80)), "It will not work: nothing runs past E1.in"),
        (chain(source(54), run(10), endpoint(5, on_volts=60)), "It will not work: E1.in sees"),
        (
            chain(source(band(41, 50, 50)), run(10), endpoint(5, on_volts=42)),
            "It will work as expected. With every tolerance against you it would not.",
        ),
        (hide(last=UNBONDED), "It would work, but must not be left so"),
    ],
)
def test_the_first_line_says_whether_it_will_work(doc, begins):
    """As expected and at worst; what is only about leaving it so is told apart."""
    lines = " ".join(prediction_text(predict(read_job(doc).plan)).splitlines()[2:5])
    assert lines.startswith(begins)


def test_a_long_name_does_not_break_the_columns():
    """Ids of 39 letters: cut in the middle, no line beyond 80 columns."""
    doc = chain(source(54), run(10), endpoint(5))
    long = "E" + "x" * 38
    doc["boxes"][1]["id"] = long
    doc["spans"][0]["to"] = f"{long}.in"
    text = prediction_text(predict(read_job(doc).plan))
    assert max(map(len, text.splitlines())) <= 80


def test_what_a_sheet_gives_has_no_slack():
    """12.02 W are more than the 12 W of a port's own sheet, if by little."""
    doc = chain(source(54, watts_max=12, grants="always"), run(0), endpoint(12.02))
    assert findings_of(doc)["port-power.S1.out"].severity == "stop"
    doc = chain(source(54, watts_max=12, grants="always"), run(0), endpoint(12))
    assert "port-power.S1.out" not in findings_of(doc)


def test_a_corner_without_an_answer_is_asked_for_what_its_boxes_draw():
    """Where nothing can be held, the boxes' own watts still count for grants and budgets."""
    worst = {"low": 5, "expected": 12, "high": 73}
    doc = chain(source(54), run(300), endpoint(worst, class_=3))
    found = findings_of(doc)
    assert found["collapse-worst.E1.in"].severity == "warn"
    assert found["class.S1.out"].severity == "warn"
    assert found["class.S1.out"].say.parts["watts"] == pytest.approx(73)
    doc = chain(source(54), run(300), endpoint(100))
    doc["budgets"] = {"shared": {"watts": 60}}
    doc["boxes"][0]["budget"] = "shared"
    assert findings_of(doc)["budget.shared"].severity == "stop"


def test_an_arrestor_with_weather_on_both_sides_faces_it():
    """Half way of an outdoor run: its line side faces exposed cable, whatever the other side."""
    doc = chain(
        source(54, ports=FAR_PORTS),
        run(5),
        turned(arrestor()),
        run(50, **OUTDOORS),
        arrestor(),
        run(50, **OUTDOORS),
        arrestor(),
        run(5),
        endpoint(5, ports=FAR_PORTS, **RADIO),
    )
    assert findings_of(doc) == {}


def test_an_arrestor_at_one_end_is_missing_at_the_other():
    """Only the bare end is named."""
    doc = chain(source(), run(5), turned(arrestor()), run(50, **OUTDOORS), endpoint(5, **RADIO))
    found = {ident: finding.severity for ident, finding in findings_of(doc).items()}
    assert found == {"arrestor-missing.E1.in": "stop"}


def test_arrestors_with_their_backs_to_the_weather_are_each_named():
    """Both turned round by mistake: two findings."""
    doc = chain(
        source(),
        run(5),
        arrestor(),
        run(50, **OUTDOORS),
        turned(arrestor()),
        run(5),
        endpoint(5, **RADIO),
    )
    assert set(findings_of(doc)) == {"arrestor-facing.A1", "arrestor-facing.A2"}
