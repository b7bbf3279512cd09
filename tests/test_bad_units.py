"""Numbers typed in the wrong unit: each told at its place, with the one that fits."""

from __future__ import annotations

import json

import pytest
from command_line import called, started
from units_typed import (
    BASE,
    FIELDS,
    MUST_CATCH,
    PLACES,
    every_number_key,
    get,
    only,
    place_of,
    problems,
    put,
    read_alone,
)

from engine.fields import BAD, Kind, Number, Quantity
from engine.format import SHEET_KEYS

# ---------------------------------------------------------------- a factor of a thousand


def test_every_physical_key_of_the_format_is_tried():
    """A key added to the tables must be added to the base job, or this fails."""
    tried = {next(s for s in reversed(way) if str(s) != "1000") for way, _ in FIELDS}

    assert tried == every_number_key()
    assert set(SHEET_KEYS) == {sheet["kind"] for sheet in BASE["sheets"].values()}
    assert {key for key, _ in MUST_CATCH} <= tried


def test_good_values_pass():
    """The base job is read without a word."""
    assert problems(BASE) == ()


@pytest.mark.parametrize("factor", [1000, 0.001], ids=["thousandfold", "thousandth"])
@pytest.mark.parametrize("place", PLACES)
def test_a_number_in_the_wrong_unit_is_told_with_the_one_that_fits(place, factor):
    """Out of range by a slip of a thousand: one line, with place, range and the right number."""
    way, kind = PLACES[place]
    good = get(BASE, way)
    slipped = good * factor
    found = problems(put(way, slipped))

    if kind.least <= slipped <= kind.most:
        assert found == ()
        return
    (problem,) = found
    assert problem.at == place_of(way)
    assert problem.expected == f"a number {kind.least:g} to {kind.most:g}"
    assert float(problem.near) == pytest.approx(good)
    assert problem.line().endswith(f". Did you mean {problem.near}?")
    assert len(problem.line().splitlines()) == 1


@pytest.mark.parametrize(("key", "factor"), sorted(MUST_CATCH))
def test_ranges_are_narrow_enough_where_a_slip_is_likely(key, factor):
    """At least one good number of each of these keys cannot be typed in the wrong unit unseen."""
    ways = [(way, get(BASE, way)) for way, _ in FIELDS if way[-1] == key]

    assert any(problems(put(way, good * factor)) for way, good in ways)


def test_a_slip_inside_a_band_is_told_at_its_corner():
    """Low, expected and high are read one by one."""
    band = {"low": 52.5, "expected": 53.5, "high": 54500}
    problem = only(put(("sheets", "my.source", "volts"), band))

    assert problem.at == 'sheets["my.source"].volts.high'
    assert problem.line().endswith("found 54500, expected a number 1 to 75. Did you mean 54.5?")


def test_a_band_all_in_the_wrong_unit_is_told_thrice():
    """Every corner has its line, none hides the others."""
    band = {"low": 0.0635, "expected": 0.0668, "high": 0.0702}
    found = problems(put(("sheets", "my.cable", "ohms_per_km"), band))

    assert [problem.at.rpartition(".")[2] for problem in found] == ["low", "expected", "high"]
    assert [problem.near for problem in found] == ["63.5", "66.8", "70.2"]


def test_efficiency_in_percent_is_told_as_a_share():
    """A share typed in percent is a slip of a hundred, not of a thousand."""
    assert only(put(("sheets", "my.repeater", "efficiency"), 88.5)).near == "0.885"


@pytest.mark.parametrize(
    ("kind", "value"),
    [
        (Quantity("source-volts", 1, 75), 80),  # a little high: no unit explains it
        (Quantity("source-volts", 1, 75), 0.5),
        (Quantity("exact", -60, 100), 120),
        (Quantity("source-volts", 1, 75), -53500),
        (Quantity("source-volts", 1, 75), 10**400),
        (Quantity("source-volts", 1, 75), 0),
        (Number(0, 8, whole=True), 6000),  # a count has no unit
        (Number(0, 200), "90"),
        (Number(0, 200), True),
    ],
    ids=lambda x: "" if isinstance(x, Kind) else str(x)[:8],
)
def test_no_number_is_offered_that_nobody_meant(kind, value):
    """A hint is given only where another unit explains the number."""
    read, found = read_alone(kind, value)

    assert read is BAD
    assert [problem.near for problem in found] == [None]


def test_the_offered_number_is_read():
    """Typing what the hint says mends the file."""
    way = ("sheets", "my.cable", "ohms_per_km")
    near = only(put(way, 0.0668)).near

    assert near == "66.8"
    assert problems(put(way, float(near))) == ()


# ---------------------------------------------------------------- the command


@pytest.mark.parametrize("place", PLACES)
def test_check_prints_one_line_and_no_traceback(place, tmp_path):
    """A slip far beyond every range ends in one line on standard error and status 2."""
    way, kind = PLACES[place]
    path = tmp_path / "slip.json"
    path.write_text(json.dumps(put(way, kind.most * 10 + 1)), encoding="utf-8")
    status, out, err = called("check", str(path))

    assert status == 2
    assert out == ""
    assert len(err.splitlines()) == 1
    assert err.startswith(f"{place_of(way)}: found ")
    assert f"{kind.least:g} to {kind.most:g}" in err


def test_check_as_a_process_of_its_own(tmp_path):
    """The whole command, as typed in a shell."""
    path = tmp_path / "slip.json"
    path.write_text(json.dumps(put(("sheets", "my.source", "volts"), 53500)), encoding="utf-8")
    done = started("check", str(path))

    assert done.code == 2
    assert done.out == ""
    assert done.err == (
        'sheets["my.source"].volts: found 53500, expected a number 1 to 75. Did you mean 53.5?\n'
    )


def test_check_for_programs_carries_the_number(tmp_path):
    """``--json`` has the fitting number under ``near``."""
    path = tmp_path / "slip.json"
    path.write_text(json.dumps(put(("spans", 1, "length_m"), 463_000)), encoding="utf-8")
    status, out, _ = called("check", str(path), "--json")
    report = json.loads(out)

    assert status == 2
    assert report["ok"] is False
    assert report["problems"] == [
        {
            "at": "spans[1].length_m",
            "found": "463000",
            "expected": "a number 0 to 100000",
            "near": "463",
        }
    ]
