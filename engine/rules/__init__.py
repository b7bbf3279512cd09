"""Design rules as a table: each a small function that looks at a study and names what breaks.

Severity follows the job format, section 4: what the job's own sheets say, and common
practice, may stop a job; a limit known only from memory warns at most.
"""

from __future__ import annotations

from engine.rules import data, power, wiring
from engine.rules.rule import FORMAT, Broken, Rule
from engine.say import say
from engine.study import Finding, Prediction

_ORDER = {"stop": 0, "warn": 1, "note": 2}


def findings(prediction: Prediction) -> tuple[Finding, ...]:
    """Everything the plan breaks, in the order of the table, stops first."""
    found = [
        Finding(rule.id, at, rule.severity(severity), what)
        for rule in RULES
        for at, severity, what in rule.check(prediction)
    ]
    return tuple(sorted(found, key=lambda finding: _ORDER[finding.severity]))


def _assumed(prediction: Prediction) -> Broken:
    for one in prediction.job.assumed:
        parts = {"quantity": one.quantity, "of": one.of, "taken": one.default.says}
        yield f"{one.at}.{one.quantity}", "note", say("assumed", **parts)


RULES: tuple[Rule, ...] = (
    *wiring.FIRST,
    *power.RULES,
    *data.RULES,
    *wiring.LAST,
    Rule("assumed", FORMAT, _assumed),
)
