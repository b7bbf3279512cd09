"""Every published number with its source, mark and use: as text and as plain data."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from typing import Any

from engine.standards import Sourced
from engine.standards.families import FAMILIES
from engine.standards.uses import uses

FORMAT = "farend-sources/1"
WIDTH = 80
UNTOLD = "Where the numbers are used cannot be told: the program's sources are not at hand."

_SIDES = {"exact": "exact", "typical": "typical", "least": "at least", "most": "at most"}


def sources_json() -> dict[str, Any]:
    """All rows as plain data; ``used_by`` is null where uses cannot be told."""
    used = uses()
    return {
        "format": FORMAT,
        "rows": [
            {
                "family": family,
                "id": row.id,
                "value": row.value,
                "low": row.low,
                "high": row.high,
                "unit": row.unit,
                "side": row.side,
                "mark": row.mark,
                "source": row.source,
                "used_by": list(used[row.id]) if used is not None else None,
            }
            for family, (_, rows) in FAMILIES.items()
            for row in rows.values()
        ],
    }


def sources_text() -> str:
    """All rows family by family, no line wider than 80 columns."""
    used = uses()
    lines = [] if used is not None else [*textwrap.wrap(UNTOLD, WIDTH), ""]
    for title, rows in FAMILIES.values():
        lines += [title, "", *_family(rows, used)]
    return "\n".join(lines).rstrip() + "\n"


def _family(
    rows: Mapping[str, Sourced], used: Mapping[str, tuple[str, ...]] | None
) -> Iterator[str]:
    shown = {ident: _value(row) for ident, row in rows.items()}
    wide = max(map(len, rows)), max(map(len, shown.values()))
    for ident, row in rows.items():
        yield f"  {ident:<{wide[0]}}  {shown[ident]:<{wide[1]}}  {_SIDES[row.side]}"
        yield from _under(f"{row.mark}: {row.source}")
        if used is not None:
            places = ", ".join(used[ident])
            yield from _under(f"used by {places}" if places else "kept for reading")
        yield ""


def _value(row: Sourced) -> str:
    spread = ""
    if row.low is not None and row.high is not None:
        spread = f" ({row.low:.4g} to {row.high:.4g})"
    return f"{row.value:.6g}{spread} {'' if row.unit == '1' else row.unit}".rstrip()


def _under(text: str) -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent="      ",
        subsequent_indent="        ",
        break_on_hyphens=False,
    )
