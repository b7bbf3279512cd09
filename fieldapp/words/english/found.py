"""What one has found: how often each cause is met, by the table and by one's own log."""

from __future__ import annotations

from collections.abc import Mapping

PLACES: Mapping[str, str] = {
    "per source": "sources",
    "per source with classes": "sources with classes",
    "per source that shares": "sources on one supply",
    "per span": "spans",
    "per endpoint": "far ends",
    "per endpoint at a gigabit-only link": "gigabit-only links",
    "per box": "boxes",
    "per arrestor": "arrestors",
    "per earth": "earths",
    "per link": "links",
    "per reading": "readings",
    "per meter": "meters",
    "per span read": "spans read",
    "per visit": "visits",
}
"""the places of a cause, by the unit of its rate"""
ENDS = frozenset({"joint.high", "joint.wet", "contact.high"})
"""causes of a termination: their rate is of a span, which has two ends"""


def often(cause: str, rate: float, unit: str) -> str:
    """How often a cause is met: ``1 in 100 ends``, ``4 in 10 spans``."""
    places = "ends" if cause in ENDS else PLACES[unit]
    each = rate / 2 if cause in ENDS else rate
    if each <= 0:
        return "never"
    times, of = _times_of(each)
    return f"{times} in {of} {places}"


def _times_of(share: float) -> tuple[int, int]:
    """A share as so many times of so many: of ten, or once of a round number."""
    if share >= 0.25:
        return min(round(share * 10), 9), 10
    one_in = 1 / share
    return 1, round(round(one_in, min(2 - len(str(int(one_in))), 0)))


def found_title() -> str:
    """The page, and the row of Settings that leads there."""
    return "What you have found"


def found_more(finds: int, settled: int) -> str:
    """Under that row, and on the page."""
    if not settled:
        return "Nothing counts yet: the odds are the table's."
    visits = "1 visit" if settled == 1 else f"{settled} visits"
    finds_ = "Nothing found" if not finds else "1 find" if finds == 1 else f"{finds} finds"
    return f"{finds_} on {visits} that {'is' if settled == 1 else 'are'} settled."


def found_why() -> str:
    """How the odds move."""
    return (
        "The table is worth **50 jobs**. Yours move it once they are settled. "
        "Practice does not count."
    )


def first_visits() -> str:
    """Which visits are shown."""
    return "first visit"


def returns() -> str:
    """Or those."""
    return "return"


def found_times(times: int, jobs: int) -> str:
    """How often a cause was found: ``3 times, in 2 jobs``."""
    if not times:
        return "not found so far"
    each = "once" if times == 1 else "twice" if times == 2 else f"{times} times"
    return f"found {each}, in {'1 job' if jobs == 1 else f'{jobs} jobs'}"


def table_says(often_: str) -> str:
    """The table's rate, with its mark."""
    return f"table: {often_}, from memory"


def yours_say(often_: str) -> str:
    """One's own."""
    return f"yours: {often_}"


def no_rate() -> str:
    """A cause that no reading shows has none."""
    return "No reading shows it, so it has no odds."


def never_found() -> str:
    """Over the causes that were never found."""
    return "Not found so far"


def count_anew() -> str:
    """The slab that starts the counting anew."""
    return "Start counting anew"


def count_anew_more() -> str:
    """Under it."""
    return "what was found stays in the record"


def count_all() -> str:
    """It taken back."""
    return "Count all of it again"


def counted_anew() -> str:
    """What stands on the page after it."""
    return "What was found before is left out of the odds."
