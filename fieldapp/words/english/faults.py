"""What can be wrong: what it is, where from and to, and what it does."""

from __future__ import annotations

from fieldapp.words import units
from fieldapp.words.english.causes import cause_name
from fieldapp.words.english.figures import NBSP, spot, with_unit
from fieldapp.words.english.said import says


def _run(at: str, near: str, far: str) -> str:
    """``C4, Sluice to Hide,``"""
    return f"{at}, {near} to {far}," if near != far else f"{at}, at {near},"


LEAST_SIZE = 0.1
"""a size below this is told as under it"""


def _about_metres(metres: float | None, begins: str) -> str:
    """A length to three digits; nothing where it is not known."""
    value = None if metres is None else units.shown(metres, units.LENGTH)
    return _about(value, begins, units.length_unit(), 3)


def _about(value: float | None, begins: str, unit: str, digits: int = 2) -> str:
    """A size to so many digits; nothing where it is not known."""
    if value is None:
        return ""
    if 0 <= value < LEAST_SIZE:
        return f"{begins.replace('about', 'under')}{LEAST_SIZE:g}{NBSP}{unit}"
    shown = f"{value:.{digits}g}" if abs(value) < 10**digits else f"{value:.0f}"
    return f"{begins}{shown}{NBSP}{unit}"


# ---------------------------------------------------------------- nothing, something, two


@says("fault-none")
def _none(readings: int, outside: int, drifted: int) -> str:
    if not readings:
        return "**Nothing is read yet.** What follows is how often things are met."
    if drifted:
        was = "one reading is not as it was"
        were = f"{drifted} readings are not as they were"
        return f"**No fault is likely, yet {was if drifted == 1 else were}.** Look where it starts."
    if outside:
        what = "one reading is" if outside == 1 else f"{outside} readings are"
        return f"**No fault is likely**: {what} outside, as chance has it."
    return "**The readings agree with the plan.** They do not see everything."


@says("fault-other")
def _other(first: str | None) -> str:
    if first is None:
        return "**Something else**, which none of the known causes explains."
    return f"**Something else**: from {spot(first)} on no known cause explains what is read."


@says("fault-pair")
def _pair(both: tuple[tuple[str, str], ...]) -> str:
    first, second = (f"{spot(at)}, {cause_name(cause)}" for cause, at in both)
    return f"**Two at once**: {first}, and {second}."


# ---------------------------------------------------------------- sources and ports


@says("fault-source-dead")
def _source_dead(at: str, stop: str) -> str:
    return f"{at}, {stop}, **gives no volts**."


@says("fault-source-low")
def _source_low(at: str, stop: str, volts: float | None) -> str:
    return f"{at}, {stop}, **gives too few volts**{_about(volts, ', about ', 'V', 3)}."


@says("fault-feed-twice")
def _feed_twice(at: str, stop: str, volts: float | None) -> str:
    return f"**Another supply** feeds the run of {at}, {stop}{_about(volts, ': about ', 'V', 3)}."


@says("fault-source-soft")
def _source_soft(at: str, stop: str, ohms: float | None) -> str:
    return f"{at}, {stop}, **sags under load**{_about(ohms, ', as if behind ', 'Ω')}."


@says("fault-port-off")
def _port_off(at: str, stop: str) -> str:
    return f"The port of {at}, {stop}, **gives no power**. Its link may be up all the same."


@says("fault-port-refused")
def _port_refused(at: str, stop: str) -> str:
    return f"{at}, {stop}, **finds no box to feed** and keeps looking."


@says("fault-port-trip")
def _port_trip(at: str, stop: str) -> str:
    return f"{at}, {stop}, **lets go again and again**: too much is drawn, or a short."


@says("fault-budget-shed")
def _budget_shed(at: str, stop: str) -> str:
    return f"The supply of {at}, {stop}, **has no watts left** for this port."


# ---------------------------------------------------------------- spans


@says("fault-span-high")
def _span_high(at: str, near: str, far: str, factor: float | None) -> str:
    more = f": {factor:.2f} times its plan" if factor is not None else ""
    return f"{_run(at, near, far)} **resists too much along its whole length**{more}."


@says("fault-span-open")
def _span_open(at: str, near: str, far: str) -> str:
    return f"{_run(at, near, far)} **is open**: nothing goes on behind it."


@says("fault-span-short")
def _span_short(at: str, near: str, far: str) -> str:
    return f"{_run(at, near, far)} **is shorted**: what feeds it lets go."


@says("fault-joint-high")
def _joint_high(at: str, near: str, far: str, ohms: float | None) -> str:
    return f"{_run(at, near, far)} **has a bad end**{_about(ohms, ', about ', 'Ω')}."


@says("fault-joint-wet")
def _joint_wet(at: str, near: str, far: str, ohms: float | None) -> str:
    return f"{_run(at, near, far)} **has a wet end**{_about(ohms, ', about ', 'Ω')}, worse in rain."


@says("fault-contact-high")
def _contact_high(at: str, near: str, far: str, ohms: float | None) -> str:
    return f"{_run(at, near, far)} **has one bad contact**{_about(ohms, ', about ', 'Ω')}."


@says("fault-pairs-lost")
def _pairs_lost(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **one set of pairs leads nowhere**."


@says("fault-pair-split")
def _pair_split(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **a pair is split**: ohms are right, data suffers."


@says("fault-pair-crossed")
def _pair_crossed(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **two pairs are crossed**."


# ---------------------------------------------------------------- endpoints and boxes


@says("fault-load-heavy")
def _load_heavy(at: str, stop: str, watts: float | None) -> str:
    return f"{at}, {stop}, **draws too much**{_about(watts, ', about ', 'W')}."


@says("fault-load-off")
def _load_off(at: str, stop: str, watts: float | None) -> str:
    return f"{at}, {stop}, **hardly draws anything**{_about(watts, ', about ', 'W')}."


@says("fault-load-varies")
def _load_varies(at: str, stop: str, percent: float | None) -> str:
    return f"{at}, {stop}, **draws now more, now less**{_about(percent, ', by up to ', '%')}."


@says("fault-box-reversed")
def _box_reversed(at: str, stop: str) -> str:
    return f"{at}, {stop}, **is the wrong way round**: its links stay dark."


@says("fault-box-dead")
def _box_dead(at: str, stop: str) -> str:
    return f"{at}, {stop}, **does nothing**: no power, no data behind it."


@says("fault-box-heavy")
def _box_heavy(at: str, stop: str, watts: float | None) -> str:
    return f"{at}, {stop}, **draws too much for itself**{_about(watts, ', about ', 'W')}."


@says("fault-box-restart")
def _box_restart(at: str, stop: str) -> str:
    return f"{at}, {stop}, **starts anew again and again**."


@says("fault-box-no-pass")
def _box_no_pass(at: str, stop: str) -> str:
    return f"{at}, {stop}, **hands on data, but no power**."


@says("fault-arrestor-open")
def _arrestor_open(at: str, stop: str) -> str:
    return f"{at}, {stop}, **is open**: nothing, or half the pairs, goes through."


@says("fault-arrestor-short")
def _arrestor_short(at: str, stop: str) -> str:
    return f"{at}, {stop}, **is shorted**: what feeds it lets go."


@says("fault-earth-open")
def _earth_open(at: str, stop: str) -> str:
    return f"{at}, {stop}, **is bonded to nothing**: a surge has nowhere to go."


@says("fault-earth-high")
def _earth_high(at: str, stop: str) -> str:
    return f"{at}, {stop}, **resists more than its target**."


# ---------------------------------------------------------------- links


@says("fault-link-slow-endpoint")
def _slow_endpoint(at: str, stop: str) -> str:
    return f"{at}, {stop}, **has no gigabit**, the box before it nothing else. Power is fine."


@says("fault-link-pair-open")
def _pair_open(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **a wire is open**: power is fine, data suffers."


@says("fault-link-too-long")
def _too_long(at: str, near: str, far: str, metres: float | None) -> str:
    return f"{_run(at, near, far)} **is too long for its link**{_about_metres(metres, ', about ')}."


@says("fault-link-noise")
def _noise(at: str, near: str, far: str) -> str:
    return f"Something beside {_run(at, near, far)} **damages frames**."


@says("fault-link-port-down")
def _port_down(at: str, to: str, stop: str) -> str:
    return f"At {spot(at)}, {stop}, **data is switched off**: no lights to {spot(to)}."


# ---------------------------------------------------------------- between meter and log


@says("fault-reading-typed")
def _typed(at: str, kind: str, value: float, beside: str | None) -> str:
    return f"**{with_unit(value, kind)} at {spot(at)} is mistyped**: the rest agrees without it."


@says("fault-reading-unit")
def _unit(at: str, kind: str, value: float, beside: str | None) -> str:
    return f"**{with_unit(value, kind)} at {spot(at)} is in another unit**."


@says("fault-reading-ac")
def _ac(at: str, kind: str, value: float, beside: str | None) -> str:
    return f"{with_unit(value, kind)} at {spot(at)}: **the dial stood on alternating volts**."


@says("fault-reading-place")
def _place(at: str, kind: str, value: float, beside: str | None) -> str:
    whose = spot(beside) if beside else "another box"
    return f"**{with_unit(value, kind)} at {spot(at)} belongs to {whose}**."


@says("fault-reading-state")
def _state(at: str, stop: str) -> str:
    return f"{at}, {stop}, **was off while it was read**, and nobody noted that."


@says("fault-reading-lead")
def _lead(at: str, ohms: float | None) -> str:
    about = _about(ohms, ", about ", "Ω")
    return f"**The probes' own ohms** are in every loop read by {at}{about}."


@says("fault-reading-no-short")
def _no_short(at: str, near: str, far: str) -> str:
    return f"{_run(at, near, far)} **was not shorted** at its far end for its loop."


@says("no-cause-fits")
def _no_cause_fits(at: str | None, kind: str | None, value: float | None) -> str:
    doubtful = ""
    if at is not None and kind is not None and value is not None:
        doubtful = f" Most doubtful: {with_unit(value, kind)} at {spot(at)}."
    return f"**No single cause explains these.**{doubtful}"
