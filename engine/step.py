"""The nouns of the work: one step, and what it asks to be measured or photographed."""

from __future__ import annotations

from attrs import frozen

from engine.say import Say

BACK = "back"
PARTS = (BACK, "arrive", "off", "pull", "fit", "look", "power", "load", "leave")
"""the parts of the work, in order; ``back`` is there for whoever comes back to a site"""

NEEDS = ("ladder", "break-out lead", "known load", "partner", "far-end short", "camera")
"""what a step can need besides hands and a meter"""

AGAIN = "again"
"""the kind of step that is done by a reading of the present stay alone"""
PHOTO = "photo"
"""the kind that asks for a picture of a box, of ``bond.BOX`` or of ``stop:STOP``"""


@frozen
class Asks:
    """What a step wants measured, or photographed."""

    at: str
    kind: str


@frozen
class Step:
    """One thing to do at one stop."""

    id: str
    stop: str
    part: str
    say: Say
    power: str
    minutes: float
    holds: str | None
    """who may waive it when it forbids leaving; None when it does not hold"""
    box: str | None = None
    span: str | None = None
    both_ends: bool = False
    asks: Asks | None = None
    after: tuple[str, ...] = ()
    state: str = "open"
    reopened_by: str | None = None
    needs: tuple[str, ...] = ()
    """of ``NEEDS``"""
    caution: Say | None = None
    """what to say before it; what else is due at its stop, ``cautions.due`` knows"""
    wires: bool = False
    """eight wires are put in their order here"""
    each_visit: bool = False
    """done anew by whoever comes back after the site was left"""

    @property
    def kind(self) -> str:
        """Which row of the table it comes from."""
        return self.id.partition(".")[0]
