"""What a change costs in effort, and what the kinds of change ask of a span."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from engine.advise.ground import Ground, Offer
from engine.circuit import conductor_ohms
from engine.job import Span

Offers = Iterator[Offer]

EFFORT: Mapping[str, float] = {
    "retype": 1.0,  # a setting, or a pair set that is there and not used
    "turn": 2.0,
    "lead": 2.0,  # a short lead at one stop
    "swap": 3.0,  # another box in the same place
    "exchange": 4.0,  # two boxes change places
    "bond": 4.0,
    "fit": 5.0,  # one more box at a stop that is there
    "fit-anew": 7.0,  # one more box at a stop that is not there yet
    "pull": 8.0,  # a cable, and more with its length
}
"""how much work a change is, in steps that a fitter would agree to put in this order (a choice)"""
PULL_A_METRE = 0.02
"""what each metre of a cable to be pulled adds (a choice)"""
LEAD_M = 5.0
"""a span up to this length within one stop is a lead [m] (a choice)"""


def is_lead(ground: Ground, span: Span) -> bool:
    """Short, and within one stop."""
    ends = {ground.job.boxes[end.box].stop for end in (span.a, span.b)}
    return len(ends) == 1 and span.length_m.expected <= LEAD_M


def laying(ground: Ground, span: Span) -> float:
    """The effort of another cable in a span's place."""
    if is_lead(ground, span):
        return EFFORT["lead"]
    return EFFORT["pull"] + PULL_A_METRE * span.length_m.expected


def most_ohms(ground: Ground) -> list[Span]:
    """The spans, the one that loses most first."""
    spans = [span for span in ground.job.spans.values() if span.length_m.expected > 0]
    return sorted(
        spans, key=lambda one: -one.length_m.expected * conductor_ohms(one.cable).expected
    )
