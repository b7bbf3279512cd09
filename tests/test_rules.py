"""Design rules: each finding on a plan made for it, and none of them on a sound plan."""

from __future__ import annotations

from math import sqrt
from pathlib import Path

import pytest
from jobs import (
    Bare,
    Part,
    active,
    arrestor,
    band,
    chain,
    endpoint,
    exact,
    injector,
    joint,
    quantity,
    regenerating,
    run,
    source,
    turned,
    with_keys,
)

from engine.job import Point
from engine.jobfile import load, read_job
from engine.predict import predict
from engine.report_text import prediction_text
from engine.rules import RULES
from engine.rules.rule import Rule
from engine.standards import Sourced

pytestmark = pytest.mark.pure

SAMPLES = Path(__file__).parents[1] / "sample_jobs"
STATED = {"cutoff_volts": 36, "on_volts": 42}
INDOOR_CABLE = {"kind": "cable", "category": "6", "ohms_per_km": exact(66.6)}
CABLE = {**INDOOR_CABLE, "outdoor": True}
DUCT = {"indoor": False, "route": "duct"}
OUTDOORS = {**DUCT, "cable": CABLE}


def findings_of(doc) -> dict[str, object]:
    """The findings of a document by their id.

    That ordinary ports reach 100 m is noted in every job; it has a test of its own.
    """
    found = predict(read_job(doc).plan).findings
    return {finding.id: finding for finding in found if not finding.id.endswith(".reach_m")}


def long_span_pair(near_turned=True, far_turned=False):
    """Two long-span units: their ``in`` faces the long cable, their ``out`` equipment."""
    ports = {
        "in": {"faces": "long-span", "reach_m": {"1000": 500}},
        "out": {"faces": "equipment", "reach_m": {"1000": 100}},
    }
    unit = active(2.5, "long-span", ports=ports, speeds_mbps=[1000], class_=6, **STATED)
    near = turned(unit) if near_turned else unit
    return near, turned(unit) if far_turned else unit


def hide(
    *,
    near_turned=True,
    far_turned=False,
    first=None,
    last=None,
    end=None,
    length_m=300,
    feed=None,
    ports=OUTDOORS,
):
    """A sound job: port, long-span unit, arrestor, joint, arrestor, long-span unit, radio."""
    near, far = long_span_pair(near_turned, far_turned)
    return chain(
        feed or source(54, watts_max=90),
        run(2),
        near,
        run(1),
        first or turned(arrestor()),
        run(length_m / 2, **ports),
        joint(),
        run(length_m / 2, **ports),
        last or arrestor(),
        run(1),
        far,
        run(8),
        end or endpoint(12, watts_swing_percent=10, class_=4, **STATED),
    )


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

RADIO = {"watts_swing_percent": 10, **STATED}
FAR = {"100": 1000, "1000": 1000}
FAR_PORTS = {"out": {"reach_m": FAR}, "in": {"reach_m": FAR}}
"""ports whose own sheets reach farther than any span here: data is not what is looked at"""
UNBONDED = Part(arrestor().sheet)


def splitter_fed_from_behind():
    """A splitter whose first out is plugged towards the feed and whose in is not."""
    radio = endpoint(5, **RADIO)
    doc = chain(source(), run(10), active(2, "splitter", **STATED), [[run(10), radio]])
    doc["spans"][0]["to"], doc["spans"][1]["from"] = "Y1.out1", "Y1.in"
    return doc


def lone(watts, length_m=300, *, volts=54, feed=(), load=(), **keys):
    """One radio behind one span: 54 V and 9.99 ohm unless said otherwise.

    No root above 72.97 W then, under 36 V above 64.86 W.
    """
    return chain(
        source(volts, ports=FAR_PORTS, **dict(feed)),
        run(length_m, **keys),
        endpoint(watts, ports=FAR_PORTS, **{**RADIO, **dict(load)}),
    )


def plain(length_m, *, ambient_c=20, speeds=(100, 1000), cable=None, **keys):
    """Ordinary ports at both ends of one span, 5 W."""
    ends = source(speeds_mbps=list(speeds)), endpoint(5, speeds_mbps=list(speeds), **RADIO)
    return chain(ends[0], run(length_m, cable=cable, **keys), ends[1], ambient_c=ambient_c)


def cat(category):
    """Copper cable of a category."""
    return {**INDOOR_CABLE, "category": category}


def shared_drop(own_watts, on_volts):
    """50 V, 9.99 ohm, a box that draws, and a radio of 1 W right behind it.

    At 20 W the box holds (50 + sqrt(2500 - 4 x 9.99 x 20))/2 = 45.62 V without the radio.
    """
    return chain(
        source(50, ports=FAR_PORTS),
        run(300),
        active(own_watts, ports=FAR_PORTS, **STATED),
        run(1),
        endpoint(1, ports=FAR_PORTS, **{**RADIO, "on_volts": on_volts}),
    )


def budgeted(watts, *, most, others=0):
    """A radio on a port that shares a budget."""
    doc = lone(watts, 10)
    doc["budgets"] = {"rack": {"watts": most, "other_watts": others}}
    doc["boxes"][0]["budget"] = "rack"
    return doc


def bonded(**lead):
    """The sound job with another earth lead on its second arrestor."""
    return hide(last=with_keys(arrestor(), bond={"to": "EB", **lead}))


def outdoors(box, **sheet):
    """A radio on a stop outdoors, its cable indoors."""
    doc = lone(5, 10, load=sheet)
    doc["stops"]["mast"] = {"at_m": 10, "indoor": False}
    next(row for row in doc["boxes"] if row["id"] == box)["stop"] = "mast"
    return doc


def across(near, far):
    """The sound job from one building to another."""
    doc = hide()
    doc["stops"]["post"]["building"] = near
    doc["stops"]["shed"] = {"at_m": 300, "indoor": True, "building": far}
    for row in doc["boxes"]:
        if row["id"] in ("A2", "L2", "E1"):
            row["stop"] = "shed"
    return doc


def loose(kind):
    """A sound run, and one more box that is plugged into nothing."""
    doc = lone(5, 10)
    doc["sheets"]["my.spare"] = dict(kind.sheet)
    doc["boxes"].append({"id": "SPARE", "sheet": "my.spare", "stop": "post", **kind.keys})
    return doc


def chained(own_watts, watts, *, class_, last=None):
    """A repeater that shows its class, and a radio behind it that may show another."""
    shows = {} if last is None else {"class_": last}
    return chain(
        source(54),
        run(10),
        active(own_watts, class_=class_, **STATED),
        run(10),
        endpoint(watts, **{**RADIO, **shows}),
    )


STARVED = {"collapse.E1.in": "stop", "start-up.E1.in": "stop"}
"""a lone box that cannot be held comes on as long as it draws nothing: it restarts for ever"""

CASES: dict[str, tuple[dict, dict[str, str], dict]] = {
    # what is wrong: the plan, its findings with their severities, the nearest plan without
    # ---- feeding and the way round
    "a repeater fed from behind": (
        chain(
            source(),
            run(10),
            turned(active(2, ports={"in": {"faces": "source"}}, **STATED)),
            run(10),
            endpoint(5, **RADIO),
        ),
        {"orientation.R1": "stop"},
        chain(
            source(),
            run(10),
            active(2, ports={"in": {"faces": "source"}}, **STATED),
            run(10),
            endpoint(5, **RADIO),
        ),
    ),
    "a regenerating box fed from behind": (
        chain(source(), run(10), turned(regenerating(**STATED)), run(10), endpoint(5, **RADIO)),
        {"orientation.R1": "stop", "feed.R1": "stop", "feed.E1": "stop"},
        chain(source(), run(10), regenerating(**STATED), run(10), endpoint(5, **RADIO)),
    ),
    "a splitter fed through an out": (
        splitter_fed_from_behind(),
        {"orientation.Y1": "stop"},
        chain(
            source(), run(10), active(2, "splitter", **STATED), [[run(10), endpoint(5, **RADIO)]]
        ),
    ),
    "both long-span units the wrong way round": (
        hide(near_turned=False, far_turned=True),
        {"orientation.L1": "stop", "orientation.L2": "stop", "reach.L1.out": "stop"},
        hide(),
    ),
    "a box that is plugged into nothing": (
        loose(active(2, **STATED)),
        {"feed.SPARE": "stop"},
        loose(source()),
    ),
    # ---- data
    "gigabit only meets 10/100": (
        hide(end=endpoint(12, speeds_mbps=[10, 100], **RADIO)),
        {"speed-mismatch.L2.out": "stop"},
        hide(end=endpoint(12, speeds_mbps=[10, 100, 1000], **RADIO)),
    ),
    "gigabit only over two pairs": (
        plain(50, speeds=[1000], pairs=2),
        {"speed-mismatch.S1.out": "stop"},
        plain(50, speeds=[100], pairs=2),
    ),
    "longer than the sheet's reach": (
        hide(length_m=500),
        {"reach.L1.in": "stop"},
        hide(length_m=498),
    ),
    "longer than ordinary ports are assured": (
        plain(100.1),
        {"reach.S1.out": "warn"},
        plain(100),
    ),
    "too much loss within a hundred metres": (
        plain(92, cable=cat("5e"), ambient_c=60),
        {"reach.S1.out": "warn"},
        plain(90, cable=cat("5e"), ambient_c=60),
    ),
    "too much loss on the hottest day": (
        plain(92, cable=cat("5e"), ambient_c=band(20, 20, 60)),
        {"reach.S1.out": "warn"},
        plain(90, cable=cat("5e"), ambient_c=band(20, 20, 60)),
    ),
    "a category that ends below what a speed needs": (
        plain(30, cable=cat("5e"), speeds=[1000, 5000]),
        {"reach.S1.out": "warn"},
        plain(30, cable=cat("6"), speeds=[1000, 5000]),
    ),
    # ---- volts
    "no operating point at all": (lone(73), STARVED, lone(64)),
    "a root, but under the cut-off": (
        lone(65),
        {**STARVED, "volts-low.E1.in": "stop"},
        lone(64.8),
    ),
    "under the cut-off at worst only": (
        lone(band(5, 12, 65)),
        {"collapse-worst.E1.in": "warn", "volts-low.E1.in": "warn"},
        lone(band(5, 12, 64.8)),
    ),
    "no operating point at worst only": (
        lone(band(5, 12, 73)),
        {"collapse-worst.E1.in": "warn"},
        lone(band(5, 12, 64)),
    ),
    "too few volts to start beside the others": (
        shared_drop(20, 46),
        {"start-up.E1.in": "stop"},
        shared_drop(20, 45.5),
    ),
    "too few volts to start at worst only": (
        shared_drop(band(5, 10, 20), 46),
        {"start-up.E1.in": "warn"},
        shared_drop(band(5, 10, 18), 46),
    ),
    # ---- what ports grant and bear
    "more than the first box is granted": (
        chained(2.5, 13.5, class_=3),
        {"port-trip.S1.out": "stop"},
        chained(2.5, 9.5, class_=3),
    ),
    "a grant that only the worst case exceeds": (
        lone(band(5, 15, 25), pairs=2, load={"class_": 4}),
        {"class.S1.out": "warn"},
        lone(band(5, 15, 23.5), pairs=2, load={"class_": 4}),
    ),
    "a port that grants less than is asked": (
        lone(20, 10, feed={"class_": 4}, load={"class_": 6}),
        {"class.S1.out": "warn"},
        lone(20, 10, feed={"class_": 6}, load={"class_": 6}),
    ),
    "a box that draws above its class": (
        lone(13.2, 10, load={"class_": 3}),
        {"class.E1.in": "stop"},
        lone(12.9, 10, load={"class_": 3}),
    ),
    "a box that draws above its class at worst": (
        lone(band(2, 10, 13.2), 10, load={"class_": 3}),
        {"class.E1.in": "warn"},
        lone(band(2, 10, 12.9), 10, load={"class_": 3}),
    ),
    "a class over too long a pair": (
        lone(12, 341, load={"class_": 4}),
        {"class-far.S1.out": "warn"},
        lone(12, 340, load={"class_": 4}),
    ),
    "more than the port's sheet gives": (
        lone(12, 10, feed={"watts_max": 11.9}),
        {"port-power.S1.out": "stop"},
        lone(12, 10, feed={"watts_max": 12.1}),
    ),
    "more than the port's sheet gives at worst": (
        lone(band(5, 8, 12), 10, feed={"watts_max": 11.9}),
        {"port-power.S1.out": "warn"},
        lone(band(5, 8, 12), 10, feed={"watts_max": 12.1}),
    ),
    "too little current to stay on": (
        lone(band(0.5, 5, 8), 10),
        {"keep-alive.S1.out": "warn"},
        lone(band(0.6, 5, 8), 10),
    ),
    "too little current for a high class": (
        lone(band(0.85, 5, 8), 10, load={"class_": 5}),
        {"keep-alive.S1.out": "warn"},
        lone(band(0.9, 5, 8), 10, load={"class_": 5}),
    ),
    "a supply with too few watts": (
        budgeted(12, most=20, others=8),
        {"budget.rack": "stop"},
        budgeted(12, most=20, others=7.9),
    ),
    "a supply with too few watts at worst": (
        budgeted(band(2, 8, 13), most=13),
        {"budget.rack": "warn"},
        budgeted(band(2, 8, 12.9), most=13),
    ),
    # ---- current and heat
    "a conductor beyond its current": (
        lone(81, 5, pairs=2),
        {"current.C1": "warn"},
        lone(78, 5, pairs=2),
    ),
    "uneven sets on four pairs": (lone(90, 5), {"current.C1": "warn"}, lone(90, 20)),
    "a cable hotter than its rating": (
        lone(5, 10, ambient_c=exact(60.5)),
        {"heat.C1": "warn"},
        lone(5, 10, ambient_c=exact(59.5)),
    ),
    "a bundle that warms too much": (
        lone(60, 50, bundle=400),
        {"heat.C1": "warn"},
        lone(60, 50, bundle=100),
    ),
    # ---- surge, earth, places, materials
    "no arrestor at the ends of outdoor cable": (
        lone(5, 50, **OUTDOORS),
        {"arrestor-missing.S1.out": "stop", "arrestor-missing.E1.in": "stop"},
        lone(5, 50, cable=CABLE),
    ),
    "the line side of an arrestor indoors": (
        hide(first=arrestor()),
        {"arrestor-facing.A1": "stop"},
        hide(first=turned(arrestor())),
    ),
    "an arrestor without an earth lead": (hide(last=UNBONDED), {"bond.A2": "stop"}, hide()),
    "an earth lead too long": (bonded(lead_m=0.6), {"bond.A2": "stop"}, bonded(lead_m=0.5)),
    "an earth lead too thin": (bonded(mm2=1), {"bond.A2": "stop"}, bonded(mm2=1.5)),
    "two buildings joined by a run": (
        across("lodge", "barn"),
        {"separate-buildings.C3": "warn"},
        across("lodge", "lodge"),
    ),
    "an indoor box outdoors": (
        outdoors("E1"),
        {"box-place.E1": "warn"},
        outdoors("E1", outdoor=True),
    ),
    "indoor cable outdoors": (
        hide(ports={**DUCT, "cable": INDOOR_CABLE}),
        {"cable-place.C3": "warn", "cable-place.C4": "warn"},
        hide(ports=OUTDOORS),
    ),
    "cable that is not copper": (
        lone(5, 10, cable={**INDOOR_CABLE, "material": "clad", "awg": 23, "copper_percent": 15}),
        {"cable-material.C1": "warn"},
        lone(5, 10, cable={**INDOOR_CABLE, "material": "copper", "awg": 23}),
    ),
}


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


# ---------------------------------------------------------------- feeding


def test_a_box_without_feed():
    """A span taken out: what needs power behind it has none; passive boxes do not count."""
    doc = hide()
    doc["spans"] = [span for span in doc["spans"] if span["to"] != "J1.a"]
    found = findings_of(doc)
    unfed = {ident for ident in found if ident.startswith("feed.")}
    assert unfed == {"feed.L2", "feed.E1"}
    assert {found[ident].severity for ident in unfed} == {"stop"}


def test_a_box_with_two_feeds():
    """Two powered ports at the ends of one run: stop, with both feeds named."""
    doc = chain(source(), run(10), active(2, **STATED), run(10), Part(source().sheet, {}, True))
    doc["spans"][-1]["to"] = "S2.out"
    (finding,) = findings_of(doc).values()
    assert (finding.rule, finding.severity) == ("feed-twice", "stop")
    assert {finding.say.parts["first"], finding.say.parts["second"]} == {"S1.out", "S2.out"}


def test_an_injector_behind_a_powered_port_is_one_feed():
    """The port's power ends at the injector: nothing is fed twice."""
    doc = chain(source(), run(10), injector(), run(10), endpoint(5, **RADIO))
    assert findings_of(doc) == {}


# ---------------------------------------------------------------- orientation


@pytest.mark.parametrize(
    ("keys", "reversed_unit"),
    [({"near_turned": False}, "L1"), ({"far_turned": True}, "L2")],
)
def test_only_the_unit_that_is_the_wrong_way_round_is_named(keys, reversed_unit):
    """Turning every unit that is named must mend the job."""
    named = {f.at for f in findings_of(hide(**keys)).values() if f.rule == "orientation"}
    assert named == {reversed_unit}


@pytest.mark.parametrize(
    ("keys", "reversed_unit"),
    [({"near_turned": False}, "L1"), ({"far_turned": True}, "L2")],
)
def test_a_reversed_unit_is_named(keys, reversed_unit):
    """Found through arrestor and joint, from what the ports face."""
    assert findings_of(hide(**keys))[f"orientation.{reversed_unit}"].severity == "stop"


# ---------------------------------------------------------------- collapse and its neighbours


def test_the_numbers_of_a_collapse():
    """The share that the run bears and the volts it needs, by hand.

    53.5 V behind 9.99 ohm leaves 36 V at 36 x 17.5 / 9.99 = 63.06 W: 0.7883 of 80 W.
    """
    prediction = predict(read_job(chain(source(53.5), run(300), endpoint(80, **RADIO))).plan)
    assert prediction.collapse.at == Point("E1", "in")
    assert prediction.collapse.volts_needed == 36
    assert prediction.collapse.load_share == pytest.approx(36 * 17.5 / 9.99 / 80, rel=1e-5)
    shown = prediction.points[Point("E1", "in")]
    assert (shown.volts.low, shown.volts.expected, shown.volts.high) == (None, None, None)
    assert set(prediction.points) == {Point("S1", "out"), Point("E1", "in")}


def test_volts_that_a_starving_box_would_see():
    """The wires alone would hold (53.5 + sqrt(53.5² - 4 x 9.99 x 65))/2 = 34.67 V for 65 W."""
    found = findings_of(chain(source(53.5), run(300), endpoint(65, **RADIO)))
    by_hand = (53.5 + sqrt(53.5**2 - 4 * 9.99 * 65)) / 2
    assert found["volts-low.E1.in"].say.parts["volts"] == pytest.approx(by_hand, abs=1e-6)
    assert found["volts-low.E1.in"].say.parts["cutoff"] == 36


def test_the_worst_corner_without_an_answer_leaves_low_open():
    """`low` volts and `high` amps of the whole tree are null; the rest of the band stands."""
    doc = CASES["no operating point at worst only"][0]
    prediction = predict(read_job(doc).plan)
    assert prediction.operates and prediction.collapse is None
    for shown in prediction.points.values():
        assert shown.volts.low is None and shown.amps.high is None and shown.watts.high is None
        assert shown.volts.expected <= shown.volts.high
        assert shown.state == "on"


def test_a_collapse_at_worst_is_told_of_a_box_that_draws_power():
    """A joint cannot starve: the finding stands at a box with a load."""
    doc = chain(
        source(53.5),
        run(5),
        active(2),
        run(band(600, 600, 1800)),
        joint(),
        run(5),
        arrestor(),
        run(5),
        active(2),
        run(5),
        endpoint(band(2, 4, 25)),
    )
    places = [f.at for f in predict(read_job(doc).plan).findings if f.rule == "collapse-worst"]
    assert len(places) == 1
    assert places[0] in ("R1.in", "R2.in", "E1.in")


def test_a_tree_that_fails_behind_leaves_the_tree_in_front_running():
    """A regenerating box whose own tree collapses idles: 2 W / 0.8 in front of it."""
    doc = chain(
        source(53.5),
        run(90),
        regenerating(2, 54, 0.8, **STATED),
        run(90),
        active(2, **STATED),
        run(90),
        endpoint(190, **RADIO),
    )
    prediction = predict(read_job(doc).plan)
    assert not prediction.operates
    assert prediction.collapse.at == Point("E1", "in")
    front = prediction.points[Point("R1", "in")]
    assert (front.state, front.watts.expected) == ("on", pytest.approx(2.5))
    assert prediction.points[Point("E1", "in")].volts.expected is None


# ---------------------------------------------------------------- assumed


def test_what_nobody_has_typed_is_noted():
    """Each bare number and each value taken for granted, under the thing it belongs to."""
    doc = chain(
        source(Bare(54)),
        run(Bare(20), Bare(70)),
        active(Bare(2), ohms_per_conductor=quantity(Bare(0.1)), **STATED),
        run(10),
        endpoint(Bare(12)),
    )
    found = findings_of(doc)
    assert {finding.severity for finding in found.values()} == {"note"}
    assert set(found) == {
        "assumed.my.S1.volts",
        "assumed.C1.length",
        "assumed.my.C1.ohms_per_km",
        "assumed.my.R1.own_watts",
        "assumed.my.R1.ohms_per_conductor",
        "assumed.my.E1.watts",
        "assumed.my.E1.cutoff_volts",
        "assumed.my.E1.on_volts",
        "assumed.my.E1.watts_swing_percent",
    }


def test_stops_come_first():
    """The list is for reading from the top: stop, warn, note."""
    doc = hide(last=UNBONDED, end=endpoint(Bare(12)))
    order = [finding.severity for finding in predict(read_job(doc).plan).findings]
    assert order == sorted(order, key=["stop", "warn", "note"].index)
    assert {"stop", "note"} <= set(order)


def test_the_same_matter_keeps_its_id():
    """An id is made of the rule and the place, so it outlives other changes of the plan."""
    before = findings_of(hide(last=UNBONDED))["bond.A2"]
    after = findings_of(hide(last=UNBONDED, length_m=200))["bond.A2"]
    assert before.id == after.id == f"{before.rule}.{before.at}"


def test_a_gauge_and_a_copper_share_nobody_typed_are_told():
    """A cable with neither ohms nor gauge is worked out all the same; the prediction says from what."""
    bare = {"kind": "cable", "material": "clad"}
    told = {**bare, "awg": 24, "copper_percent": 10}
    ends = {}
    for name, sheet in (("bare", bare), ("told", told)):
        prediction = predict(read_job(chain(source(), run(90, cable=sheet), endpoint(5))).plan)
        quantities = {f.say.parts["quantity"] for f in prediction.findings if f.rule == "assumed"}
        assert ({"gauge", "copper_share"} <= quantities) == (name == "bare")
        ends[name] = prediction.points[Point("E1", "in")].volts

    assert ends["bare"] == ends["told"]
