"""A reel before it is pulled: its length, what its wire can be of, and what would settle that."""

from __future__ import annotations

from collections import defaultdict
from functools import cache
from math import isclose
from random import Random

import pytest
from jobs import band, chain, endpoint, run, source

from engine import kinds_of_span as kinds
from engine.band import Band
from engine.job import CableSheet, Job
from engine.jobfile import read_job
from engine.judge import judge
from engine.kinds_of_span import CLAD, COPPER, LONGER, OTHER, THIN
from engine.phrases import english
from engine.reel import ReelReading, check_reel
from engine.say import Say
from engine.verdict import INSIDE, NO_BAND, OUTSIDE, UNCLEAR

pytestmark = pytest.mark.pure

PER_1000_FT = 1 / 0.3048
"""ohms per 1000 ft -> ohms per km"""
CABLE = {"kind": "cable", "title": "A cable", "material": "copper", "awg": 23, "category": "6"}
METER = {
    "kind": "meter",
    "title": "A meter",
    "loop_ohms": {"percent": 0.5, "digits": 2, "resolution": 0.01},
}


@cache
def _job(awg: int | None, ohms: float | None, material: str) -> Job:
    doc = chain(source(), run(100), endpoint())
    sheet = {**CABLE, "material": material}
    if awg is None:
        del sheet["awg"]
    else:
        sheet["awg"] = awg
    if ohms is not None:
        sheet["ohms_per_km"] = ohms
    doc["sheets"] |= {"my.reel": sheet, "my.tester": METER}
    doc["meters"] = [{"id": "M1", "sheet": "my.tester"}]
    doc["spans"][0]["cable"] = "my.reel"
    doc["site"]["ambient_c"] = band(0, 15, 30)
    return judge(read_job(doc)).state.job


def check(
    loop=None, *, awg=23, ohms=66.8, material="copper", first=0.0, second=100.0, wanted=90.0, **more
):
    """A reel of 100 m at 20 °C, unless something else is said."""
    job = _job(awg, ohms, material)
    more = {"celsius": 20.0, "meter": "M1"} | more
    reading = ReelReading(first, second, wanted, loop, **more)
    return check_reel(job, next(iter(job.spans.values())), reading)


# ---------------------------------------------------------------- printed numbers

LOOPS = {22: 10.59, 23: 13.36, 24: 16.84, 26: 26.78}
"""one pair of 100 m as a loop, copper, 20 °C, without lay (table 2)"""
CLAD_HIGH = {22: 84.2, 23: 106.2, 24: 133.9, 26: 212.9}
CLAD_LOW = {22: 79.4, 23: 100.2, 24: 126.3, 26: 200.9}
"""ohms a km of clad wire: 10 % with its most, 15 % as expected (table 2)"""
PRINTED = {22: 16.14, 23: 20.36, 24: 25.67, 26: 40.81}
"""copper, ohms per 1000 ft (E1)"""
CLAD_OVER_COPPER = {
    10: (3.91 / 2.525, 9.90 / 6.385, 15.7 / 10.15, 19.8 / 12.8),
    15: (3.79 / 2.525, 9.61 / 6.385, 15.2 / 10.15, 19.2 / 12.8),
}
"""printed ohms of clad over copper of 14, 18, 20, 21 AWG (E5)"""


@pytest.mark.parametrize("awg", LOOPS)
def test_a_printed_loop_is_inside_and_its_clad_sister_outside(awg):
    sheet = PRINTED[awg] * PER_1000_FT
    sound = check(LOOPS[awg], awg=awg, ohms=sheet)
    assert sound.verdict == INSIDE and sound.kind == COPPER
    assert isclose(sound.planned.expected, LOOPS[awg], abs_tol=0.006)
    for per_km in (CLAD_LOW[awg] * 1.025, CLAD_HIGH[awg]):
        clad = check(per_km / 5, awg=awg, ohms=sheet)
        assert clad.verdict == OUTSIDE and clad.wrong_wire
        assert clad.kinds[CLAD] == max(clad.kinds.values())


@pytest.mark.parametrize("awg", LOOPS)
def test_the_clad_sleeve_holds_what_is_printed_of_clad_wire(awg):
    """Table 2 is without lay, a cable has one of 1.01 to 1.05; at its middle all is within."""
    sleeve = check(awg=awg, ohms=PRINTED[awg] * PER_1000_FT).other_metal
    for per_km in (CLAD_LOW[awg], CLAD_HIGH[awg]):
        assert sleeve.low < 1.025 * per_km / 5 < sleeve.high


@pytest.mark.parametrize("percent", CLAD_OVER_COPPER)
def test_clad_wire_is_as_much_above_copper_as_printed(percent):
    row = next(
        wire
        for wire, (grade, _) in zip(
            kinds.wires_of(CLAD, CableSheet("c", awg=24)), kinds.GRADES, strict=True
        )
        if grade == percent
    )
    copper = kinds.as_planned(CableSheet("c", awg=24))
    for printed in CLAD_OVER_COPPER[percent]:
        assert isclose(
            row.ohms_per_km.expected / copper.ohms_per_km.expected, printed, rel_tol=0.005
        )


def test_warm_copper_is_not_taken_for_another_wire():
    """Copper at 60 °C reads 1.157 times as much (computed there from IEC 60028's 0.00393)."""
    warm = check(13.36 * 1.157, celsius=60)
    assert warm.verdict == INSIDE
    assert check(13.36 * 1.157).verdict == OUTSIDE
    assert isclose(warm.measured_ohms_per_km.expected, 66.8, rel_tol=0.001)


def test_eight_conductors_weigh_as_computed_from_densities():
    """8.89 and 3.32 g/cm3 over eight circles of 0.2582 mm2."""
    assert isclose(kinds.metal_g_per_m(23, "copper", 8), 8 * 0.2582 * 8.89, rel_tol=1e-3)
    assert isclose(kinds.metal_g_per_m(23, "clad", 8), 6.9, abs_tol=0.05)


# ---------------------------------------------------------------- marks and lengths


def test_the_difference_of_the_marks_is_the_length_whichever_way_round():
    for marks in ((391, 112), (112, 391)):
        one = check(first=marks[0], second=marks[1], wanted=264)
        assert (one.length_m, one.spare_m, one.fits) == (279, 15, True)
        assert one.verdict == NO_BAND and one.length_say.code == "reel-long-enough"


def test_a_short_reel_says_by_how_much():
    short = check(first=391, second=138, wanted=264)
    assert not short.fits and short.length_say.parts["by_m"] == 11


def test_with_one_mark_there_is_no_length_and_no_band():
    one = check(20.0, second=None)
    assert (one.length_m, one.spare_m, one.planned, one.ohms) == (None, None, None, None)
    assert one.length_say.code == "reel-one-mark" and one.verdict == NO_BAND
    none = check(first=None, second=None)
    assert none.length_say.code == "reel-no-marks"


def test_two_marks_that_are_the_same_give_no_band():
    same = check(20.0, first=112, second=112)
    assert same.length_m == 0 and same.planned is None and same.verdict == NO_BAND


# ---------------------------------------------------------------- the word and the kinds


def test_probabilities_sum_to_one_whatever_is_read():
    for loop in (None, 0.001, 1, 9, 13.4, 14.2, 17, 21, 25, 60, 1e4):
        for grams in (None, 5.0, 30.0, 44.0, 140.0):
            one = check(loop, grams_per_m=grams)
            assert isclose(sum(one.kinds.values()), 1) and OTHER in one.kinds
            assert list(one.kinds.values()) == sorted(one.kinds.values(), reverse=True)
            english(one.wire_say), english(one.length_say)


def test_a_short_piece_cannot_be_told_by_a_plain_meter():
    """A meter that is 0.3 ohm out does not part 0.67 from 1.03 ohm."""
    short = check(0.9, second=5.0, wanted=4.0, meter=None)
    assert short.verdict == UNCLEAR and not short.wrong_wire


def test_a_far_off_reading_that_is_probably_sound_is_unclear_not_outside():
    off = check(14.7)
    assert off.kind == COPPER and off.verdict == UNCLEAR and off.settle


def test_a_misread_mark_is_named():
    """20 % more ohms is no wire that could lie in the jacket."""
    longer = check(13.36 * 1.15)
    assert longer.kind == LONGER and longer.verdict == OUTSIDE and not longer.wrong_wire
    assert "tape" in {one.id for one in longer.settle}


def test_a_gauge_thinner_is_named_among_the_first():
    thin = check(16.84 * 1.025)
    assert thin.kinds[THIN] > 0.25 and thin.verdict == OUTSIDE


def test_less_than_any_wire_is_other():
    low = check(7.0)
    assert low.kind == OTHER and low.wire_say.parts["low"] is True


def test_scraping_the_end_is_what_settles_clad():
    clad = check(104 / 5)
    assert clad.kind == CLAD and clad.kinds[CLAD] < 0.95
    assert clad.settle[0].id == "scrape"


def test_a_light_metre_speaks_for_clad_and_a_heavy_one_against_it():
    chances = [check(104 / 5, grams_per_m=grams).kinds[CLAD] for grams in (26, None, 46)]
    assert chances == sorted(chances, reverse=True) and chances[0] - chances[2] > 0.1
    assert "weigh" not in {one.id for one in check(104 / 5, grams_per_m=30).settle}


def test_weight_alone_never_makes_it_sure():
    """The jacket of a cable is not known to better than a copper core weighs."""
    assert check(None, grams_per_m=22).kinds[CLAD] < 0.5


def test_a_sheet_of_clad_wire_is_held_against_copper():
    clad = check(2 * 104 / 10, material="clad", ohms=None)
    assert clad.kind == CLAD and clad.verdict == INSIDE
    copper = check(13.5, material="clad", ohms=None)
    assert copper.kind == COPPER and copper.verdict == OUTSIDE


def test_where_the_sheet_has_no_gauge_its_ohms_tell_it():
    assert isclose(
        kinds.gauge_of(CableSheet("c", ohms_per_km=Band.exact(84.2 * 1.02))), 24, abs_tol=0.1
    )
    assert kinds.gauge_of(CableSheet("c", awg=24, ohms_per_km=Band.exact(140.0))) > 25.5
    assert check(13.4, awg=None).verdict == INSIDE


def test_measured_ohms_hold_the_truth_and_their_limits():
    one = check(100 / 5 * 1.0)
    assert isclose(one.measured_ohms_per_km.expected, 100)
    low, high = one.measured_ohms_per_km.low, one.measured_ohms_per_km.high
    assert 0.97 < low / 100 < 0.99 and 1.01 < high / 100 < 1.03


def reels_said() -> tuple[Say, ...]:
    """Everything that is said of reels."""
    reels = (
        check(first=None, second=None),
        check(second=None),
        check(second=80.0),
        *(check(loop) for loop in (None, 13.4, 14.7, 15.4, 20.8, 7.0, 90.0)),
        check(22.0, grams_per_m=24),
        check(17.4, grams_per_m=26),
        check(13.5, material="clad", ohms=None),
    )
    return tuple(said for one in reels for said in (one.length_say, one.wire_say))


# ---------------------------------------------------------------- the table


def test_every_row_has_its_mark_and_its_source():
    tables = (kinds.RATES, kinds.SIZES, kinds.PLASTIC)
    rows = [row for one in tables for row in one.values()] + [kinds.DRAWN]
    assert all(row.source and row.mark == "from memory" for row in rows)
    assert sum(row.value for row in kinds.RATES.values()) < 0.1
    for shares in (kinds.THINNER, kinds.GRADES):
        assert isclose(sum(share for _, share in shares), 1)


# ---------------------------------------------------------------- made-up reels


def _drawn(rng: Random, low: float, top: float, high: float) -> float:
    return rng.triangular(low, high, top)


def made_up(rng: Random, kind: str, length: float) -> tuple[float, float, float]:
    """Loop ohms as the tester shows them, the temperature told, grams of a metre, of a made-up reel.

    Nothing here is asked of the code under test but the shares of its table.
    """
    air = rng.uniform(-5, 30)
    wire = air + rng.uniform(-3, 3)
    alpha, ohms, times = 0.00393, 66.8 * rng.uniform(0.95, 1.05), 1.0
    grams = 8 * 0.2582 * 8.89 * 1.025
    lay, drawn = _drawn(rng, 1.01, 1.025, 1.05), rng.uniform(0.98, 1.02)
    if kind == CLAD:
        iacs = rng.choice(((62.9, 64.5, 64.9), (64.4, 66.7, 66.9)))
        ohms, alpha = 66.79 * 100 / _drawn(rng, *iacs) * lay * drawn, 0.0040
        grams = 8 * 0.2582 * rng.choice((3.32, 3.63)) * 1.025
    elif kind == THIN:
        gauges = rng.choices((1, 2, 3), (0.5, 0.3, 0.2))[0]
        ohms = 66.79 * 1.2610**gauges * 100 / _drawn(rng, 98, 100, 101) * lay * drawn
        grams /= 1.2610**gauges
    elif kind == LONGER:
        times = _drawn(rng, 1.03, 1.1, 2.0)
    elif kind == OTHER:
        times = 5.0 ** rng.uniform(-1, 1)
    off = 1.0 + 0.01 * length
    metres = (length + rng.uniform(-off, off)) * times
    loop = 2 * ohms / 1000 * metres * (1 + alpha * (wire - 20)) + 4 * rng.uniform(0, 0.01)
    reach = 0.005 * loop + 0.02
    grams = rng.uniform(0, 150) if kind == OTHER else grams + _drawn(rng, 10, 18, 40)
    return max(loop + rng.uniform(-reach, reach), 0.01), air, grams * rng.uniform(0.97, 1.03)


def reels(count: int, seed: int = 11):
    """Made-up reels, as many of each kind, and how much each counts by how often it is met."""
    rng = Random(seed)
    rates = {kind: kinds.RATES[kind].value for kind in (CLAD, THIN, LONGER, OTHER)}
    rates[COPPER] = 1 - sum(rates.values())
    for _ in range(count):
        for kind, rate in rates.items():
            length = rng.choice((60.0, 120.0, 280.0))
            loop, air, grams = made_up(rng, kind, length)
            weighed = grams if rng.random() < 0.5 else None
            yield kind, rate, check(loop, second=length, celsius=air, grams_per_m=weighed)


@pytest.mark.long
def test_what_is_called_likely_at_made_up_reels_is_so_as_often():
    """Of all that is said with 0.9 and more at least 0.9 is so; below, as often as it is said."""
    said, right = defaultdict(float), defaultdict(float)
    middling = defaultdict(lambda: [0.0, 0.0, 0.0])
    words, count = defaultdict(float), 600
    for kind, rate, found in reels(count):
        chance, named = found.kinds[found.kind], found.kind
        words[kind, found.verdict] += 1 / count
        if chance >= 0.9:
            for name in (named, "any but copper" if named != COPPER else "copper"):
                said[name] += rate
                right[name] += rate * (named == kind)
        elif chance >= 0.5:
            for place, more in enumerate((1.0, chance, float(named == kind))):
                middling[named][place] += rate * more
    for name in (COPPER, CLAD, LONGER, "any but copper"):
        assert right[name] / said[name] >= 0.9, (name, right[name] / said[name])
    for name in (CLAD, LONGER):
        often, mean, so = middling[name]
        assert abs(mean - so) / often < 0.06, (name, mean / often, so / often)
    assert words[COPPER, INSIDE] > 0.97 and words[COPPER, OUTSIDE] < 0.005
    assert words[CLAD, OUTSIDE] > 0.99 and words[THIN, OUTSIDE] > 0.99


if __name__ == "__main__":
    import sys

    tally = defaultdict(lambda: [0.0, 0.0, 0.0, 0])
    for truth, often, one in reels(int(sys.argv[1]) if len(sys.argv) > 1 else 4000, 5):
        top = one.kinds[one.kind]
        cell = tally[one.kind, int(top * 10) / 10]
        for place, value in enumerate((often, often * top, often * (one.kind == truth), 1)):
            cell[place] += value
    for key, (often, mean, right, count) in sorted(tally.items()):
        print(*key, f"said {mean / often:.3f} so {right / often:.3f} of {count}")
