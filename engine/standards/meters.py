"""Measuring: from a meter's accuracy to a standard uncertainty, and what joints hide."""

from __future__ import annotations

from math import sqrt

from engine.standards import Sourced, read_at, table

_GUM = "JCGM 100:2008; two public metrology packages use it so"
_RULE = "JCGM 106:2012, one limit: how far inside, in standard uncertainties"
_GUARD = "JCGM 106:2012, 8.3, guard band as a share of U = 2 u: chance of a wrong acceptance"

METERS = table(
    *read_at(
        f"{_GUM}, 4.3.7 and 4.3.9: half-width over this gives the standard uncertainty",
        "from memory",
        ("rectangular-divisor", sqrt(3), "1", "exact"),
        ("triangular-divisor", sqrt(6), "1", "exact"),
        ("arcsine-divisor", sqrt(2), "1", "exact"),
    ),
    Sourced(
        "resolution-share",
        0.29,
        "1",
        "JCGM 100:2008, F.2.2.1: of one step; already inside 'digits'",
        "from memory",
    ),
    Sourced("coverage-factor", 2, "1", "JCGM 100:2008, 6.2: about 95 %", "from memory"),
    Sourced("lone-rectangle-factor", 1.645, "1", "0.95 x sqrt(3): k of one rectangle", "computed"),
    *read_at(
        _RULE,
        "computed",
        ("conformance-80", 0.84, "1", "exact"),
        ("conformance-90", 1.28, "1", "exact"),
        ("conformance-95", 1.64, "1", "exact"),
        ("conformance-99", 2.33, "1", "exact"),
        ("conformance-999", 3.09, "1", "exact"),
    ),
    *read_at(
        _GUARD,
        "computed",
        ("wrong-accept-whole-guard", 2.3, "%", "exact"),
        ("wrong-accept-0825-guard", 4.9, "%", "exact"),
        ("wrong-accept-half-guard", 16, "%", "exact"),
        ("wrong-accept-no-guard", 50, "%", "exact"),
    ),
    *read_at(
        "what no model of a joint holds: per plug and conductor, and on volts",
        "from memory",
        ("plug-floor-ohms", 0.02, "ohm", "typical"),
        ("plug-floor-volts", 0.05, "V", "typical"),
    ),
    *read_at(
        "probes shorted, to be subtracted from an ohm reading; the value is the middle of its range",
        "common practice",
        ("probe-ohms", 0.3, "ohm", "typical", 0.1, 0.5),
    ),
    *read_at(
        "accuracy of a plain hand-held meter on volts: percent of reading, digits, one step",
        "common practice",
        ("typical-volts-percent", 0.5, "%", "typical"),
        ("typical-volts-digits", 2, "digits", "typical"),
        ("typical-volts-step", 0.01, "V", "typical"),
    ),
    *read_at(
        "accuracy of a plain hand-held meter on ohms: percent of reading, digits, one step",
        "common practice",
        ("typical-ohms-percent", 1, "%", "typical"),
        ("typical-ohms-digits", 3, "digits", "typical"),
        ("typical-ohms-step", 0.1, "ohm", "typical"),
    ),
    Sourced("jacket-marks", 1, "%", "length by jacket marks, end from end", "common practice"),
)
