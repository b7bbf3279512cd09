"""What a plan does not say, and what is taken instead, in German."""

from __future__ import annotations

from fieldapp.words.german.figures import NBSP, tied
from fieldapp.words.german.said import says

_QUANTITIES = {
    "volts": "Volt",
    "length": "Länge",
    "ohms_per_km": "Ohm je km",
    "ohms_per_conductor": "Ohm je Ader",
    "ohms": "Ohm",
    "own_watts": "Eigenverbrauch",
    "watts": "Watt",
    "watts_swing_percent": "Schwankung der Last",
    "cutoff_volts": "Abschaltspannung",
    "on_volts": "Einschaltspannung",
    "out_volts": "Ausgangsspannung",
    "reach_m": "Reichweite",
    "gauge": "Drahtmaß",
    "category": "Kategorie",
    "copper_share": "Kupferanteil",
}
"""what the plan does not say, by its key in the file"""
_TAKEN = {
    "0.5 / 0.8 / 1.0 of the sheet's": "0,5 / 0,8 / 1,0 des Datenblatts",
    "exact": "genau",
    "10 % copper by volume": f"10{NBSP}% Kupfer vom Volumen",
    "worked out from gauge and material": "aus Drahtmaß und Material gerechnet",
}
"""what is taken instead, where the engine says it in words"""


def _taken(said: str) -> str:
    return _TAKEN.get(said) or tied(said)


@says("assumed")
def _assumed(quantity: str, of: str, taken: str) -> str:
    return f"{_QUANTITIES.get(quantity, quantity)} von {of}: {_taken(taken)}."
