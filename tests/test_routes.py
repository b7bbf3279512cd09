"""Routes: every place has one, comes back from it, and knows what lies behind it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shots.states import every_page

from fieldapp.routes import BAR, BEHIND, JOBS, Place, place_of, route_of, stack_for
from fieldapp.viewstack import SCREENS

STACKS = {
    "/": ("/",),
    "/new": ("/", "/new"),
    "/settings": ("/", "/settings"),
    "/j/A/now": ("/", "/j/A/now"),
    "/j/A/now?step=fit.L2": ("/", "/j/A/now?step=fit.L2"),
    "/j/A/run": ("/", "/j/A/run"),
    "/j/A/run?at=L2.in": ("/", "/j/A/run?at=L2.in"),
    "/j/A/leave": ("/", "/j/A/leave"),
    "/j/A/steps": ("/", "/j/A/now", "/j/A/steps"),
    "/j/A/hand": ("/", "/j/A/leave", "/j/A/hand"),
    "/j/A/sign": ("/", "/j/A/leave", "/j/A/hand", "/j/A/sign"),
    "/j/A/power": ("/", "/j/A/now", "/j/A/power"),
    "/samples": ("/", "/samples"),
    "/settings/found": ("/", "/settings", "/settings/found"),
    "/settings/meter": ("/", "/settings", "/settings/meter"),
    "/settings/meter/ida-4f3a9c": ("/", "/settings", "/settings/meter/ida-4f3a9c"),
    "/settings/everything": ("/", "/settings", "/settings/everything"),
    "/settings/phone": ("/", "/settings", "/settings/phone"),
    "/shapes": ("/", "/settings", "/shapes"),
    "/practice": ("/", "/practice"),
    "/j/A/practice": ("/", "/j/A/now", "/j/A/practice"),
    "/j/A/wires/C4": ("/", "/j/A/now", "/j/A/wires/C4"),
    "/j/A/reel/C4": ("/", "/j/A/now", "/j/A/reel/C4"),
    "/j/A/reel/C4/ohms": ("/", "/j/A/now", "/j/A/reel/C4", "/j/A/reel/C4/ohms"),
    "/j/A/plan": ("/", "/j/A/run", "/j/A/plan"),
    "/j/A/plan/L2": ("/", "/j/A/run", "/j/A/plan/L2"),
    "/j/A/plan/C4/length": ("/", "/j/A/run", "/j/A/plan/C4", "/j/A/plan/C4/length"),
    "/j/A/compare": ("/", "/j/A/run", "/j/A/plan", "/j/A/compare"),
    "/j/A/compare/B": ("/", "/j/A/run", "/j/A/plan", "/j/A/compare/B"),
    "/j/A/spans": ("/", "/j/A/run", "/j/A/plan", "/j/A/spans"),
    "/j/A/whatif/C4": ("/", "/j/A/run", "/j/A/plan/C4", "/j/A/whatif/C4"),
    "/j/A/sheets/L2": ("/", "/j/A/run", "/j/A/plan/L2", "/j/A/sheets/L2"),
    "/j/A/newsheet/L2": ("/", "/j/A/run", "/j/A/plan/L2", "/j/A/newsheet/L2"),
    "/j/A/read/L2.in/volts": ("/", "/j/A/now", "/j/A/read/L2.in/volts"),
    "/j/A/verdict/e1": ("/", "/j/A/now", "/j/A/verdict/e1"),
    "/j/A/fault": ("/", "/j/A/now", "/j/A/fault"),
    "/j/A/test/C4/loop_ohms": ("/", "/j/A/now", "/j/A/fault", "/j/A/test/C4/loop_ohms"),
}
PLACES = [
    Place("jobs"),
    Place("new"),
    Place("samples"),
    Place("practice"),
    Place("practised", "REEDBED-HIDE"),
    Place("settings"),
    Place("found"),
    Place("found", at="return"),
    Place("meter"),
    Place("meter", at="ida-4f3a9c"),
    Place("everything"),
    Place("phone"),
    Place("shapes"),
    Place("now", "REEDBED-HIDE"),
    Place("now", "REEDBED-HIDE", "speeds.L1.out"),
    Place("run", "REEDBED-HIDE"),
    Place("run", "REEDBED-HIDE", "L2.in"),
    Place("leave", "REEDBED-HIDE"),
    Place("steps", "REEDBED-HIDE"),
    Place("hand", "REEDBED-HIDE"),
    Place("sign", "REEDBED-HIDE"),
    Place("power", "REEDBED-HIDE"),
    Place("wires", "REEDBED-HIDE", "C4"),
    Place("reel", "REEDBED-HIDE", "C4"),
    Place("reelpad", "REEDBED-HIDE", "C4", "ohms"),
    Place("plan", "REEDBED-HIDE"),
    Place("plan", "REEDBED-HIDE", "L2"),
    Place("planpad", "REEDBED-HIDE", "C4", "length"),
    Place("compare", "REEDBED-HIDE"),
    Place("compare", "REEDBED-HIDE", "TIDE-MILL"),
    Place("spans", "REEDBED-HIDE"),
    Place("fault", "REEDBED-HIDE"),
    Place("fault", "REEDBED-HIDE", "C4", "span.high"),
    Place("fault", "REEDBED-HIDE", kind="other"),
    Place("test", "REEDBED-HIDE", "C4", "loop_ohms"),
    Place("test", "REEDBED-HIDE", "L2.in", "volts", load="C:15"),
    Place("read", "REEDBED-HIDE", "L2.in", "volts", load="C:0"),
    Place("whatif", "REEDBED-HIDE", "C4"),
    Place("sheets", "REEDBED-HIDE", "L2"),
    Place("newsheet", "REEDBED-HIDE", "C4"),
    Place("read", "REEDBED-HIDE", "C4", "loop_ohms"),
    Place("verdict", "REEDBED-HIDE", "01890a5d-ac96-774b-bcce-b302099a8057"),
]


@pytest.mark.parametrize(("route", "stack"), STACKS.items())
def test_what_lies_behind_a_route(route, stack):
    assert stack_for(route) == stack


def test_the_table_above_knows_every_screen():
    assert {place_of(route).screen for route in STACKS} == set(BEHIND)
    assert {place.screen for place in PLACES} == set(BEHIND)


def test_a_screen_has_something_behind_it_and_is_photographed():
    """What is photographed is what the sweeps over all screens draw and measure."""
    photographed = {place_of(shot.place).screen for group, *_ in every_page() for shot in group}

    assert set(SCREENS) == set(BEHIND)
    assert set(BEHIND) - photographed == {"samples"}  # drawn in tests/test_screens.py


@pytest.mark.parametrize("place", PLACES, ids=route_of)
def test_a_place_comes_back_from_its_route(place):
    assert place_of(route_of(place)) == place


@pytest.mark.parametrize("place", PLACES, ids=route_of)
def test_a_stack_ends_where_one_is_and_begins_at_the_jobs(place):
    stack = stack_for(route_of(place))
    assert stack[0] == JOBS and stack[-1] == route_of(place)
    assert len(set(stack)) == len(stack) <= 4
    assert all(place_of(route).job in ("", place.job) for route in stack)


WORD = st.text(st.characters(codec="utf-8", exclude_characters="/"), min_size=1).filter(
    lambda text: text.strip() == text
)


@given(job=WORD, at=WORD, screen=st.sampled_from(["now", "run", "plan", "verdict"]))
def test_odd_names_survive_a_route(job, at, screen):
    place = Place(screen, job, at)
    assert place_of(route_of(place)) == place


@pytest.mark.parametrize(
    "route",
    [
        "",
        "/",
        "//",
        "/nowhere",
        "/j",
        "/j/A",
        "/j/A/flat",
        "/j/A/read/L2.in",
        "/j/A/now/x",
        "j?x=1",
    ],
)
def test_an_unknown_route_leads_to_the_jobs(route):
    assert place_of(route) == Place("jobs")
    assert stack_for(route) == (JOBS,)


def test_the_bar_leads_to_places_straight_above_the_jobs():
    assert {BEHIND[place] for place in BAR} == {"jobs"}


def test_the_way_behind_has_an_end():
    for screen in BEHIND:
        seen, here = [], screen
        while here is not None:
            assert here not in seen
            seen.append(here)
            here = BEHIND[here]
        assert seen[-1] == "jobs"
