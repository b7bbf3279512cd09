"""Where several loads along one line break it down, found by walking home from the far end."""

from __future__ import annotations

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from engine.sweeps import Collapsed, Solved, solve

pytestmark = pytest.mark.pure

many = settings(derandomize=True, deadline=None, max_examples=200)


@st.composite
def ladders(draw):
    """Several loads along one line: ohms and watts, nearest first."""
    count = draw(st.integers(2, 6))
    ohms = draw(st.lists(st.floats(0.1, 12), min_size=count, max_size=count))
    watts = draw(st.lists(st.floats(0, 25), min_size=count, max_size=count))
    return ohms, watts


def feed_needed(end_volts, ohms, watts):
    """The feed's volts under which the last load sits at ``end_volts``, by walking home."""
    volts, amps = end_volts, 0.0
    for r, p in zip(reversed(ohms), reversed(watts), strict=True):
        amps += p / volts
        volts += r * amps
    return volts


@pytest.mark.long
@many
@given(ladders(), st.floats(45, 57))
def test_collapse_is_told_exactly_when_no_end_volts_fit_the_feed(ladder, feed):
    """Bisection from the far end knows whether a line has an answer, and which is highest."""
    ohms, watts = ladder
    assume(sum(watts) > 0.1)
    grid = [feed * i / 4000 for i in range(20, 4001)]
    least = min(grid, key=lambda v: feed_needed(v, ohms, watts))
    low, high = max(least - feed / 1000, 1e-3), least + feed / 1000
    for _ in range(80):
        a, b = low + (high - low) / 3, high - (high - low) / 3
        if feed_needed(a, ohms, watts) < feed_needed(b, ohms, watts):
            high = b
        else:
            low = a
    least_feed = feed_needed(low, ohms, watts)
    assume(abs(least_feed - feed) > 1e-4)
    answer = solve(range(-1, len(ohms)), [0.0, *ohms], [0.0, *watts], feed)
    assert isinstance(answer, Solved) == (least_feed < feed)
    if isinstance(answer, Solved):
        high = feed
        for _ in range(80):
            middle = (low + high) / 2
            if feed_needed(middle, ohms, watts) < feed:
                low = middle
            else:
                high = middle
        assert answer.volts[-1] == pytest.approx(low, abs=1e-6)


@many
@given(ladders(), st.floats(45, 57), st.floats(20, 44))
def test_a_cutoff_is_held_exactly_when_the_wires_alone_leave_it(ladder, feed, cutoff):
    """With cut-offs, a line runs if it runs without and every loaded box is above its own."""
    ohms, watts = ladder
    parent, ohms, watts = range(-1, len(ohms)), [0.0, *ohms], [0.0, *watts]
    floors = [cutoff if w else 0.0 for w in watts]
    free = solve(parent, ohms, watts, feed)
    held = solve(parent, ohms, watts, feed, floors)
    expected = isinstance(free, Solved) and all(
        v >= f for v, f in zip(free.volts, floors, strict=True)
    )
    if isinstance(free, Solved):
        assume(all(abs(v - cutoff) > 1e-6 for v in free.volts))
    assert isinstance(held, Solved) == expected
    if isinstance(held, Collapsed) and isinstance(free, Solved):
        assert free.volts[held.node] < cutoff
