"""What is taken when the job file does not say: one table, each row with its source.

Every use of a row is listed in the prediction under ``assumed``, so a reader sees
which figures of an answer nobody has typed.
"""

from __future__ import annotations

from attrs import frozen

from engine.band import Band
from engine.standards import Sourced
from engine.standards.ethernet import ETHERNET
from engine.standards.startup import STARTUP


@frozen
class Default:
    """One assumption: the shares of the typed number, or the value taken when none is typed."""

    id: str
    says: str
    source: str
    shares: tuple[float, float, float] | None = None
    _value: float | None = None

    @property
    def value(self) -> float:
        """What is taken where nothing is typed."""
        assert self._value is not None
        return self._value

    def spread(self, number: float) -> Band:
        """The band of a bare ``number`` (shares of it; always low to high)."""
        assert self.shares is not None
        low, expected, high = (share * number for share in self.shares)
        return Band(min(low, high), expected, max(low, high))


def _tolerance(ident: str, percent: float, source: str) -> Default:
    return Default(
        ident,
        f"±{percent:g} %",
        source,
        shares=(1 - percent / 100, 1.0, 1 + percent / 100),
    )


def _from(ident: str, row: Sourced) -> Default:
    """A published number that is taken when a sheet says nothing."""
    return Default(ident, f"{row.value:g} {row.unit}", row.source, value=row.value)


_HABIT = "common practice, fixed by the job format, section 2"

DEFAULTS: dict[str, Default] = {
    row.id: row
    for row in (
        _tolerance("source-volts", 2, _HABIT),
        _tolerance("cable-ohms", 5, _HABIT),
        _tolerance("length", 2, _HABIT),
        _tolerance("own-watts", 20, _HABIT),
        _tolerance("box-ohms", 20, _HABIT),
        Default("endpoint-watts", "0.5 / 0.8 / 1.0 of the sheet's", _HABIT, shares=(0.5, 0.8, 1.0)),
        Default("exact", "exact", "a bare number of this kind has no tolerance", shares=(1, 1, 1)),
        Default("cutoff", "36 V", _HABIT, value=36.0),
        _from("turn-on", STARTUP["turn-on"]),
        Default("swing", "10 %", _HABIT, value=10.0),
        Default("gauge", "24 AWG", "common practice: the thinnest usual solid cable", value=24),
        Default(
            "copper-share",
            "10 % copper by volume",
            "the poorer of the two usual grades of clad wire (ASTM B566, classes 10 and 15)",
            value=10.0,
        ),
        Default(
            "ohms-from-gauge",
            "worked out from gauge and material",
            "ASTM B258 sizes, IEC 60028 copper, lay and strands: see standards.conductors",
        ),
        Default(
            "category",
            "Cat 5e",
            "common practice: the plainest cable still sold for data",
        ),
        _from("reach", ETHERNET["ordinary-reach"]),
    )
}
