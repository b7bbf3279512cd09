"""The sentences of the screens in German: titles, buttons, labels."""

from __future__ import annotations

from fieldapp.words.english.screens import one_after_the_other, version  # noqa: F401
from fieldapp.words.german.figures import (
    _SHORT_KINDS,
    KINDS,
    MOST,
    NBSP,
    SIDES,
    as_typed,
    capital,
    figure,
    metres,
    reach_of,
    spot,
    things,
    typed_with_unit,
    with_unit,
)
from fieldapp.words.german.fixed import FIXED

CANNOT = ("nicht hier", "Teil fehlt", "nicht erlaubt")
"""ready reasons why a step cannot be done"""

WAIVERS = ("Teil bestellt", "machen andere", "heute kein Zugang", "mit Kunden abgesprochen")
"""ready reasons to waive"""


def _holds(number: int) -> str:
    return f"{number} offen"


def kept(at: str) -> str:
    """``behalten 14:32``: the last entry that is safely on this phone."""
    return f"behalten {at}" if at else "noch nichts behalten"


def job_line(length_m: float, boxes: int, next_stop: str) -> str:
    """Second line of a job's row."""
    where = f", dann {next_stop}" if next_stop else ""
    return f"{metres(length_m)}, {boxes} {'Box' if boxes == 1 else 'Boxen'}{where}"


def held_by(number: int) -> str:
    """``2 offen``"""
    return _holds(number) if number else "frei"


def go_on(title: str) -> str:
    """The slab of Jobs."""
    return f"Weiter mit {title}"


def run_line(length_m: float, at: str) -> str:
    """Under the job's name on Run."""
    return f"{metres(length_m)}, {kept(at)}"


def progress(done: int, total: int, following: str) -> str:
    """Under the slab of Now."""
    then = f" Dann: {following}" if following else ""
    return f"erledigt: {done} von {total}.{then}"


def progress_short(done: int, total: int, following: str) -> str:
    """The same where what follows has a long name."""
    then = f" Dann: {following}" if following else ""
    return f"{done}/{total}.{then}"


def mend_the_plan() -> str:
    """The slab where a plan breaks a rule that must not be broken."""
    return "Plan nachbessern"


def cannot_short() -> str:
    """The quiet that says a step cannot be done, where letters are large."""
    return "Geht nicht"


def steps_short() -> str:
    """The way to all steps, where letters are large."""
    return "Schritte"


def all_steps(total: int) -> str:
    """The quiet button that leads to Steps."""
    return "Der Schritt" if total == 1 else f"Alle {total} Schritte"


def leave_bar(number: int) -> str:
    """The third place on the bar."""
    return f"{FIXED.open_holds}: {_holds(number)}" if number else FIXED.open_holds


def leave_bar_short(number: int) -> str:
    """The same where letters are large."""
    return f"{FIXED.open_holds}: {number}" if number else FIXED.open_holds


def steps_title(done: int, total: int, following: str) -> str:
    """What stands next, on Steps, and how far one is."""
    then = f"**Weiter:** {following}." if following else "**Nichts mehr zu tun.**"
    return f"{then} Erledigt: {done} von {total}."


def stop_header(name: str, at_m: float) -> str:
    """A stop's black tag."""
    return f"{name} {metres(at_m)}"


def done_by(by: str, at: str) -> str:
    """Who did a step, and when."""
    return " ".join(word for word in (by, at) if word) or FIXED.done


def reopened(short: str) -> str:
    """A step that has to be done again: what it rested on was undone."""
    return f"wieder offen, zurückgenommen: {short}"


def not_here(why: str) -> str:
    """A step that was put aside."""
    return f"nicht gemacht: {why}" if why else "nicht gemacht"


def press_end(short: str, done: bool) -> str:
    """The name of the jacket's end that ticks a step off."""
    return f"Wieder offen: {short}" if done else f"Erledigt: {short}"


def here_line(kind: str, stop: str, at_m: float | None) -> str:
    """Under the point on the pad: kind, stop, metres."""
    place = f", {stop}" if stop else ""
    far = f", {metres(at_m)}" if at_m is not None else ""
    return f"{KINDS[kind]}{place}{far}"


def keep_slab(digits: str, kind: str) -> str:
    """The pad's slab."""
    return f"{typed_with_unit(digits.rstrip('.'), kind)} behalten"


def over_range(digits: str, kind: str) -> str:
    """A figure nothing here can reach; keeping is allowed."""
    return f"{typed_with_unit(digits, kind)}? Hier nichts über {figure(MOST[kind], kind).removesuffix(',0')}"


def below(value: float, kind: str) -> str:
    """The typed figure lies under the band."""
    return f"unter {figure(value, kind)}: sitzt die Leitung?"


def above(value: float, kind: str) -> str:
    """The typed figure lies over the band."""
    return f"über {figure(value, kind)}: Punkt, Bereich richtig?"


def within(low: float, high: float, kind: str, today: bool) -> str:
    """The typed figure lies in the band."""
    who = "heute" if today else "laut Plan"
    return f"{who} {figure(low, kind)} bis {with_unit(high, kind)}"


def meter_reach(reach: float, kind: str) -> str:
    """The meter's ± at this value."""
    return f"±{reach_of(reach, kind)} hier"


def were_typing(digits: str, at: str, since: str) -> str:
    """After a kill: what was on the pad."""
    when = f", {since}" if since else ""
    return f"Getippt war {as_typed(digits)} an {spot(at)}{when}"


def verdict_state(standing: str, at: str) -> str:
    """Beside the point on a verdict: what stood there, and when it was read."""
    return ", ".join(word for word in (standing, at) if word)


def off_by(by: float, kind: str, low: bool) -> str:
    """``−2,7 V``: beside ``außerhalb`` there is no room for words."""
    return f"{'−' if low else '+'}{with_unit(by, kind)}"


def starts_past(box: str) -> str:
    """Where a loss starts."""
    return f"{box} war wie erwartet, also beginnt es **dahinter**."


def starts_at_feed() -> str:
    """A loss with no good reading in front of it."""
    return "Davor ist noch nichts gemessen. **Näher an der Einspeisung messen.**"


def go_on_to(short: str) -> str:
    """The slab after an inside."""
    return f"Weiter: {short}" if short else "Weiter"


_READ_OFF = {"mbps", "error_count", "metres"}
"""what stands somewhere to be read, and is not measured"""


def measure_at(at: str, kind: str) -> str:
    """The slab of a step that asks for a reading."""
    there = spot(at).replace(SIDES["line"], "Leitung")
    return f"{_reading(kind)}: {there}"


def _reading(kind: str) -> str:
    """``Volt messen``, ``Tempo lesen``"""
    verb = "lesen" if kind in _READ_OFF else "messen"
    return f"{_SHORT_KINDS.get(kind, KINDS[kind])} {verb}"


def way_to(end: str) -> str:
    """At a fork of Run, the way to one of its far ends."""
    return f"Richtung {end}"


def log_here(kind: str = "volts") -> str:
    """The slab of Run."""
    return f"Hier {_reading(kind)}"


def see_verdict() -> str:
    """The slab of Run at a point that was read and agrees."""
    return "Urteil ansehen"


def collapse_line(at: str, volts: float) -> str:
    """On the falling line where the cable breaks off."""
    return f"Hinter {spot(at)} läuft nichts: {volts:.0f}{NBSP}V sind nicht zu halten"


def lets_go_line(at: str, watts: float, most: float) -> str:
    """On the falling line where a port is asked for more than it gives."""
    return f"{spot(at)} schaltet ab: {watts:.0f}{NBSP}W verlangt, {most:.0f}{NBSP}W da"


def no_longer_counts() -> str:
    """A reading that was repeated, taken back, or made before something was altered."""
    return "Er **zählt nicht mehr**: wiederholt, zurückgenommen oder seither geändert."


def gone() -> str:
    """A verdict whose reading is not in this job."""
    return "Dieser Messwert ist nicht mehr hier."


def both_used() -> str:
    """Under the slab after an unclear."""
    return "beide Messwerte zählen"


def amps_why() -> str:
    """Why amps are asked beside volts."""
    return "zugleich: trennt Last von Kabel"


def no_lead() -> str:
    """The quiet way past the milliamps."""
    return "Adapter fehlt"


def what_is_missing() -> str:
    """Under the slab of a waiver that cannot be kept yet."""
    return "Grund und Name fehlen noch"


def no_predicted() -> str:
    """A point without power."""
    return "kein Strom laut Plan"


_DARK = {
    "cycling": "wird an- und ausgehen",
    "starved": "wird nicht angehen",
    "off": no_predicted(),
}


def predicted(low: float | None, high: float | None, state: str = "on") -> str:
    """What a point should show; where the worst case holds nothing there is no low end."""
    if state in _DARK:
        return _DARK[state]
    if low is None:
        return no_predicted() if high is None else f"soll bis {with_unit(high)} zeigen"
    if high is None:
        return f"soll mindestens {with_unit(low)} zeigen"
    return f"soll {figure(low)} bis {with_unit(high)} zeigen"


def predicted_today(low: float, high: float) -> str:
    """What a point should show by all that was read today."""
    return f"heute {figure(low)} bis {with_unit(high)}"


def floor(volts: float, box: str) -> str:
    """Words above the hatching."""
    return f"{volts:.0f}{NBSP}V{NBSP} darunter geht {box} aus"


def held_title(number: int) -> str:
    """The sentence of Leave."""
    if not number:
        return FIXED.free
    return f"**{capital(things(number))}** {'hält' if number == 1 else 'halten'} dich hier auf."


def held_box(number: int) -> str:
    """The box the cable plugs into."""
    return f"Noch {number} offen" if number else FIXED.leave_site


def leave_summary(done: int, total: int, readings: int, photos: int) -> str:
    """Under it."""
    taken = "1 Messwert" if readings == 1 else f"{readings} Messwerte"
    pictures = "1 Foto" if photos == 1 else f"{photos} Fotos"
    return f"{done} von {total} erledigt, {taken}, {pictures}"


def where_you_stand(stop: str, is_here: bool) -> str:
    """Beside a hold's tag."""
    return f"{stop}, wo du stehst" if is_here else stop


def waived_by(at: str, by: str, reason: str) -> str:
    """A waived hold stays, with who and why."""
    when = f" {at}" if at else ""
    return f"Hingenommen{when} von {by}: {reason}"


def stays_wrong(what: str) -> str:
    """What stays wrong when it is waived."""
    return f"Es bleibt: {what}"
