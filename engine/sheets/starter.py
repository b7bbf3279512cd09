"""The starter sheets as data. Every row is generic: replace with your maker's numbers."""

from __future__ import annotations

GENERIC = "generic: replace with your maker's numbers"

ROWS: dict[str, dict] = {
    "generic.source-90w": {
        "kind": "source",
        "title": "Switch port, 90 W",
        "note": f"{GENERIC}. Volts and watts: IEEE 802.3 type 4 port, class 8 (52 to 57 V, 90 W)",
        "volts": {"low": 52.0, "expected": 54.0, "high": 57.0},
        "watts_max": 90,
        "grants": "by-class",
        "pairs": 4,
        "speeds_mbps": [100, 1000],
    },
    "generic.source-30w": {
        "kind": "source",
        "title": "Switch port, 30 W, two pairs",
        "note": f"{GENERIC}. Volts and watts: IEEE 802.3 type 2 port, class 4 (50 to 57 V, 30 W)",
        "volts": {"low": 50.0, "expected": 54.0, "high": 57.0},
        "watts_max": 30,
        "grants": "by-class",
        "pairs": 2,
        "speeds_mbps": [10, 100, 1000],
    },
    "generic.cat6-outdoor": {
        "kind": "cable",
        "title": "Cat 6, solid copper, 23 AWG, outdoor",
        "note": f"{GENERIC}. Ohms: 23 AWG copper by ASTM B258 and IEC 60028, no lay",
        "category": "6",
        "material": "copper",
        "awg": 23,
        "ohms_per_km": 66.8,
        "outdoor": True,
    },
    "generic.patch": {
        "kind": "cable",
        "title": "Patch lead, stranded copper, 26 AWG",
        "note": f"{GENERIC}. Ohms: limit of stranded cord, 14 ohm per 100 m, from memory (TIA-568)",
        "category": "6",
        "material": "copper",
        "awg": 26,
        "stranded": True,
        "ohms_per_km": 140,
    },
    "generic.meter": {
        "kind": "meter",
        "title": "Pocket meter",
        "note": f"{GENERIC}. Accuracy of a plain hand-held meter: common practice",
        "volts": {"percent": 0.5, "digits": 2, "resolution": 0.01},
        "milliamps": {"percent": 1.5, "digits": 3, "resolution": 1},
        "watts": {"percent": 3, "digits": 1, "resolution": 0.1},
        "loop_ohms": {"percent": 1, "digits": 3, "resolution": 0.1},
        "earth_ohms": {"percent": 2, "digits": 3, "resolution": 0.01},
        "celsius": {"percent": 1, "digits": 1, "resolution": 1},
    },
}
