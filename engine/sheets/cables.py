"""Cables by gauge, metal and place. Where a gauge alone is honest, the engine works ohms out."""

from __future__ import annotations

from typing import Any

from engine.sheets.starter import Figure, Starter, band, starter

_PRINTED = {22: 52.95, 23: 66.8, 24: 84.2, 26: 133.9}
"""ohms of a kilometre of solid copper at 20 °C by gauge: a printed table of 1000 ft, / 0.3048"""

_COPPER = Figure("ohms_per_km", "wire table of a university physics reference, no lay", "published")
_BUILD = Figure("awg", "usual for such a cable", "common practice")
_GAUGE_ONLY = Figure("awg", "ohms from it, ASTM B258 and IEC 60028 with lay", "computed")


def _solid(id_: str, title: str, category: str, awg: int, **keys: Any) -> Starter:
    return starter(
        id_,
        "cable",
        title,
        _COPPER,
        _BUILD,
        category=category,
        material="copper",
        awg=awg,
        ohms_per_km=_PRINTED[awg],
        **keys,
    )


_6A = Figure(
    "ohms_per_km", "23 AWG bare, with lay, and the most on one data sheet", "common practice"
)


def _augmented(id_: str, title: str, **keys: Any) -> Starter:
    return starter(
        id_,
        "cable",
        title,
        _6A,
        _BUILD,
        category="6A",
        material="copper",
        awg=23,
        ohms_per_km=band(66.8, 68.5, 74.0),
        **keys,
    )


def _clad(percent: int) -> Starter:
    share = "by volume, ASTM B566; ohms from gauge and share, trade tables of clad wire"
    return starter(
        f"clad-{percent}",
        "cable",
        f"Cat 5e, clad aluminium {percent} %, 24 AWG",
        Figure("copper_percent", share, "published"),
        _GAUGE_ONLY,
        category="5e",
        material="clad",
        copper_percent=percent,
        awg=24,
    )


ROWS: tuple[Starter, ...] = (
    _solid("cat5e-indoor", "Cat 5e, solid copper, 24 AWG", "5e", 24),
    _solid("cat5e-outdoor", "Cat 5e, solid copper, 24 AWG, outdoor", "5e", 24, outdoor=True),
    _solid("cat6-indoor", "Cat 6, solid copper, 23 AWG", "6", 23),
    _solid("cat6-outdoor", "Cat 6, solid copper, 23 AWG, outdoor", "6", 23, outdoor=True),
    _solid(
        "cat6-screened",
        "Cat 6, 23 AWG, screened, outdoor",
        "6",
        23,
        outdoor=True,
        screened=True,
    ),
    _solid("cat6-buried", "Cat 6, 23 AWG, gel-filled, for burial", "6", 23, outdoor=True),
    _augmented("cat6a-indoor", "Cat 6A, solid copper, 23 AWG"),
    _augmented("cat6a-screened", "Cat 6A, 23 AWG, screened, outdoor", outdoor=True, screened=True),
    _solid("cat6a-22-outdoor", "Cat 6A, solid copper, 22 AWG, outdoor", "6A", 22, outdoor=True),
    _clad(10),
    _clad(15),
    _solid("thin-26", "Thin cable, solid copper, 26 AWG", "5e", 26),
    starter(
        "thin-28",
        "cable",
        "Slim lead, stranded copper, 28 AWG",
        _GAUGE_ONLY,
        category="6",
        material="copper",
        awg=28,
        stranded=True,
    ),
    starter(
        "patch",
        "cable",
        "Patch lead, stranded copper, 26 AWG",
        Figure("ohms_per_km", "limit of stranded cord, 14 ohm per 100 m, TIA-568", "from memory"),
        _BUILD,
        category="6",
        material="copper",
        awg=26,
        stranded=True,
        ohms_per_km=140,
    ),
    starter(
        "patch-24",
        "cable",
        "Patch lead, stranded copper, 24 AWG",
        _GAUGE_ONLY,
        category="6",
        material="copper",
        awg=24,
        stranded=True,
    ),
)
