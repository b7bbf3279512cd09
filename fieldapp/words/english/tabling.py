"""The sentences of spans from a table."""

from __future__ import annotations

from fieldapp.words.english.figures import count, length
from fieldapp.words.english.said import says


@says("table-large")
def _large(name: str) -> str:
    return f"**{name}** is too large for a table of spans. Nothing was changed."


@says("table-no-text")
def _no_text(name: str) -> str:
    return f"**{name}** is no table as text. Let the spreadsheet write it as CSV, then open that."


def spans_button() -> str:
    """Spans from a table."""
    return "Spans from a table"


def spans_columns(columns: str) -> str:
    """Which columns there are."""
    return f"First line: **{columns}**. Then one span a line:"


def table_label() -> str:
    """The field to paste into."""
    return "Paste the table here"


def table_rests() -> str:
    """While it is still being typed."""
    return "Reading the table"


def table_empty() -> str:
    """Nothing is there yet."""
    return "Paste a table, or open a file"


def table_line(spans: int, metres_: float) -> str:
    """What a table holds."""
    return f"{_spans(spans)}, {length(round(metres_, 1))}"


def boxes_missing(names: tuple[str, ...]) -> str:
    """Boxes that a table names and the plan lacks: they come first."""
    more = f" and {count(len(names) - 6)} more" if len(names) > 6 else ""
    are = "box is" if len(names) == 1 else "boxes are"
    return f"{len(names)} {are} not in the plan: **{', '.join(names[:6])}**{more}."


def put_boxes_first() -> str:
    """What to do about it."""
    return "Put them into the plan first, then read the table again."


def table_problem(at: str, found: str, expected: str) -> str:
    """What is wrong in a line."""
    stands = found.strip('"')
    return f"**{at}**: {stands}. Wanted: {expected}."


def more_problems(number: int) -> str:
    """Below those that are listed."""
    return f"and {number} more"


def put_spans_in(spans: int) -> str:
    """The slab: all of them with one press."""
    return f"Put {_spans(spans)} in"


def put_spans_more() -> str:
    """Under it."""
    return "Undo takes them all out again"


def nothing_put_in(problems: int) -> str:
    """The slab while a line does not hold."""
    lines = "1 line does" if problems == 1 else f"{problems} lines do"
    return f"{lines} not hold yet"


def all_or_none() -> str:
    """Under it."""
    return "nothing is put in until all do"


def _spans(number: int) -> str:
    return "1 span" if number == 1 else f"{number} spans"
