"""A mapping and a row that many share: a longer one leaves those alone that it shares with."""

from __future__ import annotations

import pytest

from engine.grown import LATELY, Grown, Row

pytestmark = pytest.mark.pure

MANY = 2 * LATELY + 3


def numbers(count: int) -> Row[int]:
    """Added one by one."""
    row: Row[int] = Row()
    for number in range(count):
        row = row.plus(number)
    return row


@pytest.mark.parametrize("count", [0, 1, LATELY, LATELY + 1, MANY])
def test_a_row_is_what_was_added_in_its_order(count):
    row = numbers(count)

    assert row.whole == tuple(row) == tuple(range(count))
    assert list(reversed(row)) == list(range(count))[::-1]
    assert [row[place] for place in range(count)] == list(range(count))
    assert len(row) == count and (not count or row[-1] == count - 1)
    assert row == Row().plus(*range(count))
    for start in (0, count // 2, max(count - 1, 0), count):
        assert row.behind(start) == tuple(range(start, count))


def test_a_row_can_be_gone_on_from_twice():
    row = numbers(MANY)

    one, other = row.plus(7), row.plus(8, 9)

    assert row.whole == tuple(range(MANY))
    assert one.whole == (*row, 7) and other.whole == (*row, 8, 9)
    assert one != other and one != (*row, 7)


def test_a_row_knows_what_begins_with_it():
    for count in (0, 3, LATELY, MANY):
        row = numbers(count)
        for more in (row, row.plus(1), numbers(MANY + 5), Row(tuple(range(MANY + 5)))):
            assert more.goes_on(row) and row.begins(more.whole)
        assert not count or not Row().plus(5).goes_on(row)
        assert not count or not row.begins(tuple(range(count - 1)))


def test_a_mapping_tells_what_was_put_in_since():
    before: Grown[int, str] = Grown()
    for number in range(MANY):
        before[number] = "old"
    after = before.copy()
    after[3], after[MANY] = "new", "more"
    beside = before.copy()
    beside[5] = "new"

    assert set(before) == set(range(MANY)) and before[3] == before[5] == "old"
    assert set(after.put_since(before)) == {3, MANY}
    assert {3, 5, MANY} <= set(after.put_since(beside))
    strange: Grown[int, str] = Grown({1: "a"})
    assert set(after.put_since(strange)) == set(after)
