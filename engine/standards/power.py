"""Power over the pairs: what a class is granted."""

from __future__ import annotations

from engine.standards import Sourced, table

_SEEN = (
    "IEEE 802.3 clauses 33 and 145, as restated by an industry alliance's overview and data sheets"
)

CLASS_WATTS = table(
    *(
        Sourced(f"class-{number}", watts, "W at the source", _SEEN, "published")
        for number, watts in (
            (0, 15.4),
            (1, 4.0),
            (2, 7.0),
            (3, 15.4),
            (4, 30.0),
            (5, 45.0),
            (6, 60.0),
            (7, 75.0),
            (8, 90.0),
        )
    )
)


def granted_watts(class_: int) -> float:
    """The least that a source must give to a box of this class. [W]"""
    return CLASS_WATTS[f"class-{class_}"].value
