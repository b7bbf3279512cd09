"""Masks of square codes: the quick way makes and weighs what ``qrcode`` does, module by module."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from qrcode.util import lost_point

from fieldapp.handover.codes import VERSION, code_text, square_of
from fieldapp.handover.masks import MASKS, best, coded, differences, field_of, weight

IDS = st.text("ABCXYZ019-", min_size=1, max_size=30)


@settings(max_examples=25, deadline=None)
@given(IDS, IDS, st.sampled_from(MASKS))
def test_a_code_under_each_mask_is_the_librarys_own(job, thing, mask):
    """In the versions 3 to 5 that long ids take, too."""
    text = code_text(job, thing)
    first = coded(text, VERSION, 0)
    field = field_of(first.get_matrix()).turned(differences(first.version)[mask])
    own = coded(text, VERSION, mask)

    assert own.version == first.version
    assert field.lines() == tuple(map(tuple, own.get_matrix()))
    assert weight(field) == lost_point(own.get_matrix())


@pytest.mark.parametrize("many", [21, 29, 45])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9])
def test_any_field_weighs_what_the_library_says(many, share):
    """Made-up fields reach long runs, squares and false corners that no code has."""
    draw = random.Random(many + share)
    for _ in range(10):
        rows = [[draw.random() < share for _ in range(many)] for _ in range(many)]
        for at in range(0, many - 11, 6):  # corners along and across
            for i, one in enumerate("10111010000"):
                rows[at][i] = rows[many - 1 - i][at] = one == "1"
        assert weight(field_of(rows)) == lost_point(rows)


@pytest.mark.parametrize("shade", [True, False])
def test_a_field_of_one_shade_weighs_what_the_library_says(shade):
    rows = [[shade] * 21 for _ in range(21)]

    assert weight(field_of(rows)) == lost_point(rows)


def test_a_field_is_its_rows():
    rows = square_of(code_text("HERON-HIDE", "B1")).rows

    assert field_of(rows).lines() == rows


def test_the_mask_that_weighs_least_is_taken():
    for thing in ("S", "A1", "C4", "NEAR-UNIT-2"):
        text = code_text("ORCHARD-GATE-NORTH-WALK", thing)
        all_eight = [coded(text, VERSION, mask).get_matrix() for mask in MASKS]
        least = min(map(lost_point, all_eight))
        chosen = square_of(text)

        assert lost_point([list(row) for row in chosen.rows]) == least
        first = field_of(all_eight[0])
        assert best(first, chosen.version).lines() == chosen.rows
