"""Links: from one transceiver to the next, how fast, and how far that is assured."""

from __future__ import annotations

import pytest
from jobs import (
    active,
    arrestor,
    band,
    chain,
    endpoint,
    injector,
    joint,
    regenerating,
    run,
    source,
    turned,
)
from links_found import links_of, only_link, reach

from engine.jobfile import read_job
from engine.phrases import english
from engine.predict import predict
from engine.report_json import prediction_json

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- from where to where


def test_a_link_runs_through_arrestors_and_joints():
    """Port to port through two arrestors and a joint is one link of the whole length."""
    link = only_link(
        source(),
        run(10),
        turned(arrestor()),
        run(20),
        joint(),
        run(30),
        arrestor(),
        run(5),
        endpoint(),
    )
    assert (str(link.start), str(link.end)) == ("S1.out", "E1.in")
    assert link.length_m == 65
    assert link.through == ("C1", "A1", "C2", "J1", "C3", "A2", "C4")
    assert (link.expected_mbps, link.assured) == (1000, True)


def test_data_passes_an_injector():
    """Power starts at the injector; the link does not end there."""
    link = only_link(source(), run(40), injector(), run(50), endpoint())
    assert {str(link.start), str(link.end)} == {"S1.out", "E1.in"}
    assert (link.length_m, link.pairs, link.expected_mbps) == (90, 4, 1000)
    assert "P1" in link.through


def test_a_link_through_an_injector_begins_in_front_of_it():
    """Whatever the ids, the port whose data runs into the injector's in is the nearer end."""
    link = only_link(source(), run(40), injector(), run(50), endpoint())
    assert (str(link.start), str(link.end)) == ("S1.out", "E1.in")


def test_every_active_box_ends_a_link():
    """Repeaters and splitters, pass-through or not, have transceivers on both sides."""
    doc = chain(
        source(),
        run(80),
        active(),
        run(80),
        regenerating(),
        run(80),
        active(2, "splitter"),
        [[run(80), endpoint()], [run(80), endpoint()]],
    )
    assert set(links_of(doc)) == {
        ("S1.out", "R1.in"),
        ("R1.out", "R2.in"),
        ("R2.out", "Y1.in"),
        ("Y1.out1", "E1.in"),
        ("Y1.out2", "E2.in"),
    }
    assert all(link.expected_mbps == 1000 and link.assured for link in links_of(doc).values())


def test_an_open_end_is_no_link():
    """A joint with nothing behind it leads nowhere."""
    doc = chain(source(), run(10), joint(), run(10), endpoint())
    doc["spans"].pop()
    assert links_of(doc) == {}


# ---------------------------------------------------------------- which speed


@pytest.mark.parametrize(
    ("near", "far", "mbps"),
    [
        ([100, 1000], [100, 1000], 1000),
        ([10, 100, 1000], [10, 100], 100),
        ([10], [10, 100], 10),
        ([1000, 100], [100, 1000, 2500], 1000),
        ([1000], [10, 100], 0),
    ],
)
def test_the_highest_speed_that_both_ends_list(near, far, mbps):
    """Negotiation takes the best mode in common (IEEE 802.3 clause 28); none in common, no link."""
    link = only_link(source(speeds_mbps=near), run(50), endpoint(speeds_mbps=far))
    assert link.expected_mbps == mbps


def test_gigabit_only_meets_a_10_100_device():
    """No link at all, and the finding names the two ends and what each speaks."""
    long_span = active(2.5, "long-span", speeds_mbps=[1000])
    doc = chain(
        source(), run(50), long_span, run(20), joint(), run(20), endpoint(speeds_mbps=[10, 100])
    )
    prediction = predict(read_job(doc).plan)
    assert prediction.operates
    links = {str(link.start): link.expected_mbps for link in prediction.links}
    assert links == {"S1.out": 1000, "L1.out": 0}
    (finding,) = [f for f in prediction.findings if f.rule == "speed-mismatch"]
    assert (finding.at, finding.severity) == ("L1.out", "stop")
    assert finding.say.parts["far"] == "E1.in"
    assert tuple(finding.say.parts["mbps"]) == (1000,)
    assert tuple(finding.say.parts["far_mbps"]) == (10, 100)
    words = english(finding.say)
    assert words.text == (
        "L1.out (gigabit only) and E1.in (10/100 Mb/s) share no speed: no link at all."
    )
    assert words.why == "Power is fine, lights may be on, data is dead."


@pytest.mark.parametrize(
    "narrow",
    [
        (source(), run(50, pairs=2)),
        (source(), run(20), joint(pairs=2), run(30)),
        (source(), run(50, cable={"kind": "cable", "awg": 24, "pairs": 2})),
    ],
)
def test_two_pairs_carry_100_at_most(narrow):
    """Gigabit needs four pairs, 100 Mb/s two (IEEE 802.3 clauses 40 and 25)."""
    assert only_link(*narrow, endpoint()).expected_mbps == 100


def test_gigabit_only_ends_on_two_pairs_do_not_link():
    """Both ends speak gigabit only, the cable has two pairs: dead."""
    link = only_link(source(speeds_mbps=[1000]), run(50, pairs=2), endpoint(speeds_mbps=[1000]))
    assert link.expected_mbps == 0


def test_power_on_two_pairs_leaves_the_data_its_four():
    """A port that feeds two pairs still has all four for data."""
    assert only_link(source(pairs=4), run(50), endpoint()).expected_mbps == 1000


def test_a_passive_box_may_be_the_slow_one():
    """An arrestor made for 100 Mb/s holds the link to it; one without a list passes all."""
    slow = only_link(source(), run(50), arrestor(speeds_mbps=[10, 100]), run(5), endpoint())
    assert slow.expected_mbps == 100
    assert only_link(source(), run(50), arrestor(), run(5), endpoint()).expected_mbps == 1000


# ---------------------------------------------------------------- how far


@pytest.mark.parametrize(("length_m", "assured"), [(99.5, True), (100, True), (100.1, False)])
def test_a_hundred_metres_are_assured(length_m, assured):
    """The ordinary channel of ISO/IEC 11801 and TIA-568: beyond it is a matter of length."""
    link = only_link(source(), run(length_m), endpoint())
    assert (link.expected_mbps, link.assured) == (1000, assured)
    assert link.offer.doubt == (None if assured else "length")


def test_beyond_a_hundred_metres_is_not_assured_rather_than_dead():
    """120 m of ordinary ports: the speed stands, the assurance does not, and that is a warning."""
    prediction = predict(read_job(chain(source(), run(120), endpoint())).plan)
    (link,) = prediction.links
    assert (link.expected_mbps, link.assured) == (1000, False)
    (finding,) = [f for f in prediction.findings if f.rule == "reach"]
    assert (finding.severity, finding.say.code) == ("warn", "reach-ordinary")
    words = english(finding.say)
    assert "not assured" in words.text and "dead" not in words.text + words.why


@pytest.mark.parametrize(
    ("length_m", "mbps", "assured"),
    [(280, 1000, True), (281, 100, True), (500, 100, True), (501, 0, True)],
)
def test_a_reach_table_says_how_far_at_each_speed(length_m, mbps, assured):
    """1000 Mb/s to 280 m, 100 Mb/s to 500 m, nothing beyond: stated by both ports."""
    near = active(2, "long-span", ports=reach(s1000=280, s100=500))
    far = active(2, "long-span", ports=reach(s1000=280, s100=500))
    doc = chain(source(), run(5), near, run(length_m), far, run(5), endpoint())
    link = links_of(doc)[("L1.out", "L2.in")]
    assert (link.expected_mbps, link.assured) == (mbps, assured)


def test_the_shorter_of_two_tables_holds():
    """Ends of different reach: the shorter one ends gigabit; 100 Mb/s is beyond 100 m."""
    near = active(2, "long-span", ports=reach(s1000=280))
    far = active(2, "long-span", ports=reach(s1000=200))
    doc = chain(source(), run(5), near, run(250), far, run(5), endpoint())
    link = links_of(doc)[("L1.out", "L2.in")]
    assert link.limits == {1000: "reach"}
    assert (link.expected_mbps, link.assured) == (100, False)


def test_a_speed_left_out_of_a_table_has_the_ordinary_reach():
    """Beyond a table with gigabit only, 100 Mb/s may come, but 100 m are all that is assured."""
    near = active(2, "long-span", ports=reach(s1000=280))
    far = active(2, "long-span", ports=reach(s1000=280))
    doc = chain(source(), run(5), near, run(300), far, run(5), endpoint())
    prediction = predict(read_job(doc).plan)
    link = links_of(doc)[("L1.out", "L2.in")]
    assert (link.expected_mbps, link.offer.doubt) == (100, "length")
    stops = [(f.rule, f.at, f.severity) for f in prediction.findings if f.at == "L1.out"]
    assert stops == [("reach", "L1.out", "stop")]


@pytest.mark.parametrize(("metres", "mbps"), [(70, 1000), (80, 100)])
def test_beyond_a_stated_reach_a_link_falls_to_the_next_speed(metres, mbps):
    """Gigabit to 70 m by both tables; at 80 m ordinary 100 Mb/s is assured."""
    near, far = (active(2, "long-span", ports=reach(s1000=70)) for _ in range(2))
    doc = chain(source(), run(5), near, run(metres), far, run(5), endpoint())
    link = links_of(doc)[("L1.out", "L2.in")]
    assert (link.expected_mbps, link.assured) == (mbps, True)


def test_a_reach_that_only_the_longest_length_breaks_is_told():
    """79 m that may be 80.6, stated 80 m at both ends: a warning, and gigabit expected."""
    near, far = (active(2, "long-span", ports=reach(s1000=80)) for _ in range(2))
    doc = chain(source(), run(5), near, run(band(78, 79, 80.6)), far, run(5), endpoint())
    prediction = predict(read_job(doc).plan)
    assert links_of(doc)[("L1.out", "L2.in")].expected_mbps == 1000
    found = {f.id: (f.severity, f.say.code) for f in prediction.findings}
    assert found["reach.L1.out"] == ("warn", "reach-hot")


def test_where_a_sheet_lists_no_speeds_none_is_made_up():
    """The speed is null, said to be unknown, and no finding accuses the link."""
    doc = chain(source(), run(50), endpoint())
    del doc["sheets"]["my.E1"]["speeds_mbps"]
    prediction = predict(read_job(doc).plan)
    (link,) = prediction_json(prediction)["links"]
    assert link["expected_mbps"] is None and "no speeds" in link["why"]
    assert not [f for f in prediction.findings if f.rule in ("speed-mismatch", "reach")]


def test_a_reach_table_does_not_hide_that_no_speed_is_shared():
    """Gigabit only against 10/100 with a table for gigabit: still no link, and a stop."""
    doc = chain(
        source(speeds_mbps=[1000]),
        run(50),
        endpoint(
            5, speeds_mbps=[10, 100], ports={"in": {"faces": "any", "reach_m": {"1000": 400}}}
        ),
    )
    found = {f.id: f.severity for f in predict(read_job(doc).plan).findings}
    assert found["speed-mismatch.S1.out"] == "stop"


def test_one_long_end_does_not_make_the_other_long():
    """A long port towards an ordinary one is assured to 100 m only."""
    near = active(2, "long-span", ports=reach(s1000=280))
    doc = chain(source(), run(5), near, run(150), endpoint())
    link = links_of(doc)[("L1.out", "E1.in")]
    assert (link.expected_mbps, link.assured, link.offer.doubt) == (1000, False, "length")


# ---------------------------------------------------------------- dead, and said so


def stops_of(doc) -> set[str]:
    """The points and boxes that a stop stands at."""
    return {f.at for f in predict(read_job(doc).plan).findings if f.severity == "stop"}


def test_a_working_link_has_no_stop():
    """The counter-example of the next two."""
    assert stops_of(chain(source(), run(50), endpoint())) == set()


def test_a_link_dead_for_want_of_pairs_is_a_stop():
    """Gigabit-only ends on two pairs share a speed that the cable cannot carry."""
    parts = (source(speeds_mbps=[1000]), run(50, pairs=2), endpoint(speeds_mbps=[1000]))
    assert stops_of(chain(*parts)) == {"S1.out"}


def test_a_stated_reach_exceeded_is_a_stop_on_two_pairs_too():
    """100 Mb/s stated to 200 m, 300 m of two pairs: no link, and the plan must not pass."""
    ports = reach(s1000=150, s100=200)
    near, far = (active(2, "long-span", ports=ports) for _ in range(2))
    doc = chain(source(), run(5), near, run(300, pairs=2), far, run(5), endpoint(3))
    assert links_of(doc)[("L1.out", "L2.in")].expected_mbps == 0
    assert "L1.out" in stops_of(doc)


def test_a_slow_arrestor_is_not_a_matter_of_reach():
    """55 m through a 100 Mb/s arrestor breaks no reach."""
    parts = (source(), run(50), arrestor(speeds_mbps=[10, 100]), run(5), endpoint())
    findings = predict(read_job(chain(*parts)).plan).findings
    assert "reach" not in {finding.rule for finding in findings}


def test_links_of_unpowered_runs_are_listed_too():
    """Links are a matter of wiring, not of power."""
    doc = chain(source(), run(10), turned(regenerating()), run(10), endpoint())
    assert set(links_of(doc)) == {("S1.out", "R1.out"), ("E1.in", "R1.in")}


def test_a_link_begins_at_the_end_nearer_the_feed():
    """However the spans are written and the boxes listed, and through a unit the other way round."""
    doc = chain(source(), run(10), turned(active(2, "long-span")), run(10), endpoint())
    for span in doc["spans"]:
        span["from"], span["to"] = span["to"], span["from"]
    doc["boxes"].reverse()
    assert list(links_of(doc)) == [("S1.out", "L1.out"), ("L1.in", "E1.in")]
