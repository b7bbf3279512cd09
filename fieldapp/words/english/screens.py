"""The sentences of the screens: titles, buttons, labels."""

from __future__ import annotations

from fieldapp.words.english.figures import (
    KINDS,
    MOST,
    NBSP,
    capital,
    count,
    figure,
    metres,
    reach_of,
    spot,
    things,
    typed_with_unit,
    with_unit,
)
from fieldapp.words.english.fixed import FIXED

CANNOT = ("not here", "no part", "not allowed")
"""ready reasons why a step cannot be done"""

WAIVERS = ("part on order", "done by others", "no access today", "agreed with the client")
"""ready reasons to waive"""


def _lowered(short: str) -> str:
    """What a step is called, inside a sentence: its first letter small, unless it is an id's."""
    return short if short[:2].isupper() else short[:1].lower() + short[1:]


def kept(at: str) -> str:
    """``kept 14:32``: the last entry that is safely on this phone."""
    return f"kept {at}" if at else "nothing kept yet"


def job_line(length_m: float, boxes: int, next_stop: str) -> str:
    """Second line of a job's row."""
    where = f", {next_stop.lower()} next" if next_stop else ""
    return f"{metres(length_m)}, {boxes} {'box' if boxes == 1 else 'boxes'}{where}"


def held_by(number: int) -> str:
    """``held by 2``"""
    return f"held by {number}" if number else "free"


def go_on(title: str) -> str:
    """The slab of Jobs."""
    return f"Go on with {title}"


def run_line(length_m: float, at: str) -> str:
    """Under the job's name on Run."""
    return f"{metres(length_m)}, {kept(at)}"


def progress(done: int, total: int, following: str) -> str:
    """Under the slab of Now."""
    then = f" Next: {_lowered(following)}" if following else ""
    return f"done: {done} of {total}.{then}"


def progress_short(done: int, total: int, following: str) -> str:
    """The same where what follows has a long name."""
    then = f" Next: {_lowered(following)}" if following else ""
    return f"{done}/{total}.{then}"


def mend_the_plan() -> str:
    """The slab where a plan breaks a rule that must not be broken."""
    return "Mend the plan"


def cannot_short() -> str:
    """The quiet that says a step cannot be done, where letters are large."""
    return "Cannot"


def steps_short() -> str:
    """The way to all steps, where letters are large."""
    return "Steps"


def all_steps(total: int) -> str:
    """The quiet button that leads to Steps."""
    return f"All {total} steps"


def leave_bar(number: int) -> str:
    """The third place on the bar."""
    if not number:
        return FIXED.open_holds
    return f"{FIXED.open_holds}: {number} {'holds' if number == 1 else 'hold'}"


def leave_bar_short(number: int) -> str:
    """The same where letters are large."""
    return f"{FIXED.open_holds}: {number}" if number else FIXED.open_holds


def steps_title(done: int, total: int, following: str) -> str:
    """What stands next, on Steps, and how far one is."""
    then = f"**Next:** {following}." if following else "**Nothing more to do.**"
    return f"{then} Done: {done} of {total}."


def stop_header(name: str, at_m: float) -> str:
    """A stop's black tag."""
    return f"{name} {metres(at_m)}"


def done_by(by: str, at: str) -> str:
    """Who did a step, and when."""
    return " ".join(word for word in (by, at) if word) or "done"


def reopened(short: str) -> str:
    """A step that has to be done again: what it rested on was undone."""
    return f"open again: {_lowered(short)} was undone"


def not_here(why: str) -> str:
    """A step that was put aside."""
    return f"not done: {why}" if why else "not done"


def press_end(short: str, done: bool) -> str:
    """The name of the jacket's end that ticks a step off."""
    return f"Open again: {short}" if done else f"Done: {short}"


def here_line(kind: str, stop: str, at_m: float | None) -> str:
    """Under the point on the pad: kind, stop, metres."""
    place = f", {stop}" if stop else ""
    far = f", {metres(at_m)}" if at_m is not None else ""
    return f"{KINDS[kind]}{place.lower()}{far}"


def keep_slab(digits: str, kind: str) -> str:
    """The pad's slab."""
    return f"Keep {typed_with_unit(digits.rstrip('.'), kind)}"


def over_range(digits: str, kind: str) -> str:
    """A figure nothing here can reach; keeping is allowed."""
    return f"{typed_with_unit(digits, kind)}? Nothing here over {figure(MOST[kind], kind).removesuffix('.0')}"


def below(value: float, kind: str) -> str:
    """The typed figure lies under the band."""
    return f"below {figure(value, kind)}: is the lead seated?"


def above(value: float, kind: str) -> str:
    """The typed figure lies over the band."""
    return f"above {figure(value, kind)}: right point and range?"


def within(low: float, high: float, kind: str, today: bool) -> str:
    """The typed figure lies in the band."""
    who = "today" if today else "the plan says"
    return f"{who} {figure(low, kind)} to {with_unit(high, kind)}"


def meter_reach(reach: float, kind: str) -> str:
    """The meter's ± at this value."""
    return f"±{reach_of(reach, kind)} here"


def were_typing(digits: str, at: str, since: str) -> str:
    """After a kill: what was on the pad."""
    when = f", {since}" if since else ""
    return f"You were typing {digits} at {spot(at)}{when}"


def verdict_state(standing: str, at: str) -> str:
    """Beside the point on a verdict: what stood there, and when it was read."""
    return ", ".join(word for word in (standing, at) if word)


def off_by(by: float, kind: str, low: bool) -> str:
    """``2.7 V low``"""
    return f"{with_unit(by, kind)} {'low' if low else 'high'}"


def one_after_the_other(first: str, second: str) -> str:
    """Two whole sentences in one paragraph."""
    return f"{first} {second}"


def starts_past(box: str) -> str:
    """Where a loss starts."""
    return f"{box} was as expected, so it starts **past {box}**."


def starts_at_feed() -> str:
    """A loss with no good reading in front of it."""
    return "Nothing in front of it is measured yet. **Measure nearer the feed.**"


def go_on_to(short: str) -> str:
    """The slab after an inside."""
    return f"Go on: {_lowered(short)}" if short else "Go on"


_READ_OFF = {"milliamps", "error_count", "metres", "celsius", "earth_ohms"}
"""what a meter shows by itself; it is also the shorter word, on a slab of one line"""


def measure_at(at: str, kind: str) -> str:
    """The slab of a step that asks for a reading."""
    if kind == "volts":
        return f"Measure volts at {spot(at)}"
    if kind == "mbps":
        return f"Read the speed at {spot(at)}"
    verb = "Read" if kind in _READ_OFF else "Measure"
    return f"{verb} {KINDS[kind]} at {spot(at)}"


def way_to(end: str) -> str:
    """At a fork of Run, the way to one of its far ends."""
    return f"Towards {end}"


def log_here(kind: str = "volts") -> str:
    """The slab of Run."""
    return f"Log {KINDS[kind]} here"


def see_verdict() -> str:
    """The slab of Run at a point that was read and agrees."""
    return "See its verdict"


def collapse_line(at: str, volts: float) -> str:
    """On the falling line where the cable breaks off."""
    return f"Nothing runs past {spot(at)}: {volts:.0f}{NBSP}V cannot be held"


def lets_go_line(at: str, watts: float, most: float) -> str:
    """On the falling line where a port is asked for more than it gives."""
    return f"{spot(at)} lets go: {watts:.0f}{NBSP}W asked, {most:.0f}{NBSP}W given"


def no_longer_counts() -> str:
    """A reading that was repeated, taken back, or made before something was altered."""
    return "It **no longer counts**: repeated, taken back, or altered since."


def gone() -> str:
    """A verdict whose reading is not in this job."""
    return "This reading is not here any more."


def both_used() -> str:
    """Under the slab after an unclear."""
    return "both readings are used"


def amps_why() -> str:
    """Why amps are asked beside volts."""
    return "same moment: tells load from cable"


def no_lead() -> str:
    """The quiet way past the milliamps."""
    return "No lead for it"


def what_is_missing() -> str:
    """Under the slab of a waiver that cannot be kept yet."""
    return "a reason and a name are needed"


def no_predicted() -> str:
    """A point without power."""
    return "no power by the plan"


_DARK = {
    "cycling": "will come and go",
    "starved": "will not come on",
    "off": no_predicted(),
}


def predicted(low: float | None, high: float | None, state: str = "on") -> str:
    """What a point should show; where the worst case holds nothing there is no low end."""
    if state in _DARK:
        return _DARK[state]
    if low is None:
        return no_predicted() if high is None else f"should show up to {with_unit(high)}"
    if high is None:
        return f"should show {with_unit(low)} or more"
    return f"should show {figure(low)} to {with_unit(high)}"


def predicted_today(low: float, high: float) -> str:
    """What a point should show by all that was read today."""
    return f"today {figure(low)} to {with_unit(high)}"


def floor(volts: float, box: str) -> str:
    """Words above the hatching."""
    return f"{volts:.0f}{NBSP}V  below this, {box} stops"


def held_title(number: int) -> str:
    """The sentence of Leave."""
    if not number:
        return FIXED.free
    verb = "holds" if number == 1 else "hold"
    return f"**{capital(things(number))}** {verb} you here."


def held_box(number: int) -> str:
    """The box the cable plugs into."""
    return f"Held by {count(number)}" if number else FIXED.leave_site


def leave_summary(done: int, total: int, readings: int, photos: int) -> str:
    """Under it."""
    taken = "1 reading" if readings == 1 else f"{readings} readings"
    pictures = "1 photo" if photos == 1 else f"{photos} photos"
    return f"{done} of {total} done, {taken}, {pictures} kept"


def where_you_stand(stop: str, is_here: bool) -> str:
    """Beside a hold's tag."""
    return f"{stop.lower()}, where you stand" if is_here else stop.lower()


def waived_by(at: str, by: str, reason: str) -> str:
    """A waived hold stays, with who and why."""
    when = f" {at}" if at else ""
    return f"Waived{when} by {by}: {reason}"


def stays_wrong(what: str) -> str:
    """What stays wrong when it is waived."""
    return f"It stays: {what}"


def version(number: str) -> str:
    """At the foot of Settings."""
    return f"Farend {number}"
