"""Who comes up and stays on, who starves first, and how a class is read over a long pair."""

from __future__ import annotations

import pytest
from jobs import active, arrestor, band, chain, endpoint, run, source
from states_seen import OHMS_PER_M, seen, states, told, upper_root

pytestmark = pytest.mark.pure


# ---------------------------------------------------------------- who comes up, who restarts

LOOP_300 = OHMS_PER_M * 300 / 2


@pytest.mark.parametrize(
    ("cutoff", "product"), [(30, 705), (36, 630), (37, 610.5), (20, 53.5**2 / 4)]
)
@pytest.mark.parametrize("share", [0.999, 1.001])
def test_one_load_restarts_for_ever_beyond_its_turn_off(cutoff, product, share):
    """P R > V_off (V_s - V_off), or V_s squared / 4 below half the source volts: it cycles."""
    watts = product / LOOP_300 * share
    doc = chain(source(53.5), run(300), endpoint(watts, cutoff_volts=cutoff, on_volts=42))
    prediction = seen(doc)
    assert states(prediction)["E1.in"] == ("on" if share < 1 else "cycling")
    stops = {ident for ident, severity in told(prediction).items() if severity == "stop"}
    assert ("start-up.E1.in" in stops) == (share > 1)


def test_a_box_that_never_sees_its_turn_on_volts_is_starved():
    """Unloaded it sees 41 V, it starts at 42: it does not come and go, it never comes."""
    doc = chain(source(41), run(300), endpoint(50, cutoff_volts=36, on_volts=42))
    assert states(seen(doc))["E1.in"] == "starved"


def test_the_volts_before_a_start_are_those_with_all_others_on():
    """A repeater of 20 W drags its span to 45.62 V: what a radio behind it sees, still idle."""
    doc = chain(source(50), run(300), active(20), run(1), endpoint(1, cutoff_volts=36, on_volts=47))
    (finding,) = [f for f in seen(doc).findings if f.rule == "start-up"]
    assert (finding.at, finding.severity) == ("E1.in", "stop")
    assert finding.say.parts["volts"] == pytest.approx(upper_root(50, LOOP_300, 20), abs=1e-6)


def test_a_box_that_runs_but_would_not_come_up_is_on_and_told():
    """Above its turn-off under load, below its turn-on before: on, with a stop beside it."""
    doc = chain(source(45), run(100), endpoint(5, cutoff_volts=36, on_volts=46))
    prediction = seen(doc)
    assert states(prediction)["E1.in"] == "on"
    assert told(prediction)["start-up.E1.in"] == "stop"


# ---------------------------------------------------------------- staying on


@pytest.mark.parametrize(
    ("class_", "least"), [(1, 0.010), (4, 0.010), (5, 0.016), (8, 0.016), (None, 0.010)]
)
@pytest.mark.parametrize("share", [0.99, 1.01])
def test_a_port_wants_to_see_current(class_, least, share):
    """10 mA, and 16 mA for classes 5 to 8, seen at the source when the load is at its least."""
    keys = {} if class_ is None else {"class_": class_}
    doc = chain(source(54), run(1), endpoint(band(54 * least * share, 3, 3.5), **keys))
    prediction = seen(doc)
    assert ("keep-alive.S1.out" in told(prediction)) == (share < 1)
    assert told(prediction).get("keep-alive.S1.out", "warn") == "warn"


def test_all_boxes_together_keep_a_port_on():
    """What the repeater draws counts too: the port sees one current."""
    doc = chain(source(54), run(1), active(0.4, class_=2), run(1), endpoint(band(0.2, 1, 2)))
    assert "keep-alive.S1.out" not in told(seen(doc))


# ---------------------------------------------------------------- a class over a long pair


@pytest.mark.parametrize("pairs", [2, 4])
@pytest.mark.parametrize(("length_m", "far"), [(340.7, False), (341.0, True)])
def test_a_class_is_read_over_two_pairs_whatever_carries_the_power(pairs, length_m, far):
    """22.7 ohm of one pair set, r L; four pairs side by side have half of it and are no nearer."""
    doc = chain(source(54), run(length_m, pairs=pairs), endpoint(8, class_=4))
    found = told(seen(doc))
    assert ("class-far.S1.out" in found) == far
    assert found.get("class-far.S1.out", "warn") == "warn"


def test_the_ohms_of_a_far_class_are_told_of_one_pair_set():
    """400 m of 66.6 ohm/km and two conductors of 1 ohm: 26.64 + 2 x 0.5 = 27.64 ohm."""
    doc = chain(source(54), run(200), arrestor(1.0), run(200), endpoint(8, class_=4))
    (finding,) = [f for f in seen(doc).findings if f.rule == "class-far"]
    assert finding.say.parts["ohms"] == pytest.approx(OHMS_PER_M * 400 + 1.0)


def test_a_low_class_draws_too_little_to_be_blurred():
    """Class 3 over 400 m is read right."""
    doc = chain(source(54), run(400), endpoint(8, class_=3))
    assert "class-far.S1.out" not in told(seen(doc))


def test_only_the_way_to_the_box_that_answers_counts():
    """A repeater half way answers: 200 m, though the run is 400 m."""
    doc = chain(source(54), run(200), active(2, class_=4), run(200), endpoint(8, class_=4))
    assert "class-far.S1.out" not in told(seen(doc))


# ---------------------------------------------------------------- who starves first


@pytest.mark.parametrize(("near_cutoff", "starves"), [(46, "R1.in"), (36, "E1.in")])
def test_the_box_nearest_its_cut_off_starves_first(near_cutoff, starves):
    """A picky box in front starves before the far one; with like cut-offs the far one does."""
    doc = chain(
        source(53.5),
        run(150),
        active(2, cutoff_volts=near_cutoff),
        run(150),
        endpoint(64, cutoff_volts=36),
    )
    prediction = seen(doc)
    assert str(prediction.collapse.at) == starves
    assert told(prediction)[f"collapse.{starves}"] == "stop"
    assert prediction.collapse.load_share < 1


def test_behind_a_starving_box_it_is_dark():
    """The starving box and what is in front come and go, what is behind has no power."""
    doc = chain(
        source(53.5),
        run(150),
        active(2, cutoff_volts=46),
        run(150),
        endpoint(64, cutoff_volts=36),
    )
    assert states(seen(doc)) == {
        "S1.out": "cycling",
        "R1.in": "cycling",
        "R1.out": "off",
        "E1.in": "off",
    }
