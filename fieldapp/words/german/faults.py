"""What can be wrong, in German: what it is, where from and to, and what it does."""

from __future__ import annotations

from fieldapp.words import units
from fieldapp.words.english.faults import LEAST_SIZE
from fieldapp.words.english.faults import _about as _size
from fieldapp.words.german.causes import cause_name
from fieldapp.words.german.figures import comma, decimal, spot, with_unit
from fieldapp.words.german.said import says


def _run(at: str, near: str, far: str) -> str:
    """``C4 (Sluice bis Hide)``"""
    return f"{at} ({near} bis {far})" if near != far else f"{at} ({near})"


def _about(value: float | None, begins: str, unit: str, digits: int = 2) -> str:
    """A size to so many digits; nothing where it is not known."""
    small = value is not None and 0 <= value < LEAST_SIZE
    return comma(_size(value, begins.replace("etwa", "unter") if small else begins, unit, digits))


# ---------------------------------------------------------------- nothing, something, two


@says("fault-none")
def _none(readings: int, outside: int, drifted: int) -> str:
    if not readings:
        return "**Noch ist nichts gemessen.** Es folgt, wie oft etwas vorkommt."
    if drifted:
        what = "ein Messwert ist" if drifted == 1 else f"{drifted} Messwerte sind"
        return f"**Ein Fehler ist kaum zu erwarten, aber {what} verändert.** Sieh nach, wo das anfängt."
    if outside:
        what = "ein Messwert liegt" if outside == 1 else f"{outside} Messwerte liegen"
        return f"**Ein Fehler ist kaum zu erwarten**: {what} wohl zufällig außerhalb."
    return "**Die Messwerte passen zum Plan.** Alles sehen sie nicht."


@says("fault-other")
def _other(first: str | None) -> str:
    if first is None:
        return "**Etwas anderes**, das keine bekannte Ursache erklärt."
    return f"**Etwas anderes**: Ab {spot(first)} erklärt keine bekannte Ursache die Messwerte."


@says("fault-pair")
def _pair(both: tuple[tuple[str, str], ...]) -> str:
    first, second = (f"{cause_name(cause)} ({spot(at)})" for cause, at in both)
    return f"**Zwei zugleich**: {first} und {second}."


# ---------------------------------------------------------------- sources and ports


@says("fault-source-dead")
def _source_dead(at: str, stop: str) -> str:
    return f"{at} ({stop}) **gibt keine Spannung ab**."


@says("fault-source-low")
def _source_low(at: str, stop: str, volts: float | None) -> str:
    return f"{at} ({stop}) **gibt zu wenig Spannung ab**{_about(volts, ', etwa ', 'V', 3)}."


@says("fault-feed-twice")
def _feed_twice(at: str, stop: str, volts: float | None) -> str:
    about = _about(volts, ": etwa ", "V", 3)
    return f"**Eine zweite Quelle** speist die Linie von {at} ({stop}){about}."


@says("fault-source-soft")
def _source_soft(at: str, stop: str, ohms: float | None) -> str:
    return f"{at} ({stop}) **sackt unter Last ab**{_about(ohms, ', wie hinter ', 'Ω')}."


@says("fault-port-off")
def _port_off(at: str, stop: str) -> str:
    return f"Der Port von {at} ({stop}) **gibt keinen Strom**. Daten können trotzdem laufen."


@says("fault-port-refused")
def _port_refused(at: str, stop: str) -> str:
    return f"{at} ({stop}) **findet keine Box zum Speisen** und sucht weiter."


@says("fault-port-trip")
def _port_trip(at: str, stop: str) -> str:
    return f"{at} ({stop}) **schaltet immer wieder ab**: zu viel Last oder ein Kurzschluss."


@says("fault-budget-shed")
def _budget_shed(at: str, stop: str) -> str:
    return f"Das Netzteil von {at} ({stop}) **hat kein Watt übrig** für diesen Port."


# ---------------------------------------------------------------- spans


@says("fault-span-high")
def _span_high(at: str, near: str, far: str, factor: float | None) -> str:
    more = f": {decimal(factor, 2)}-mal so viel wie geplant" if factor is not None else ""
    return f"{_run(at, near, far)} **ist auf ganzer Länge zu hochohmig**{more}."


@says("fault-span-open")
def _span_open(at: str, near: str, far: str) -> str:
    return f"{_run(at, near, far)} **ist unterbrochen**: Dahinter kommt nichts mehr an."


@says("fault-span-short")
def _span_short(at: str, near: str, far: str) -> str:
    return f"{_run(at, near, far)} **ist kurzgeschlossen**: Die Einspeisung schaltet ab."


@says("fault-joint-high")
def _joint_high(at: str, near: str, far: str, ohms: float | None) -> str:
    return f"{_run(at, near, far)} **hat ein schlechtes Ende**{_about(ohms, ', etwa ', 'Ω')}."


@says("fault-joint-wet")
def _joint_wet(at: str, near: str, far: str, ohms: float | None) -> str:
    about = _about(ohms, ", etwa ", "Ω")
    return f"{_run(at, near, far)} **hat ein nasses Ende**{about}, bei Regen mehr."


@says("fault-contact-high")
def _contact_high(at: str, near: str, far: str, ohms: float | None) -> str:
    return f"{_run(at, near, far)} **hat einen schlechten Kontakt**{_about(ohms, ', etwa ', 'Ω')}."


@says("fault-pairs-lost")
def _pairs_lost(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **führt ein Satz Paare ins Leere**."


@says("fault-pair-split")
def _pair_split(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **ist ein Paar gesplittet**: Ohmwerte stimmen, Daten leiden."


@says("fault-pair-crossed")
def _pair_crossed(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **sind zwei Paare gekreuzt**."


# ---------------------------------------------------------------- endpoints and boxes


@says("fault-load-heavy")
def _load_heavy(at: str, stop: str, watts: float | None) -> str:
    return f"{at} ({stop}) **zieht zu viel**{_about(watts, ', etwa ', 'W')}."


@says("fault-load-off")
def _load_off(at: str, stop: str, watts: float | None) -> str:
    return f"{at} ({stop}) **zieht fast nichts**{_about(watts, ', etwa ', 'W')}."


@says("fault-load-varies")
def _load_varies(at: str, stop: str, percent: float | None) -> str:
    return f"{at} ({stop}) **zieht mal mehr, mal weniger**{_about(percent, ', um bis zu ', '%')}."


@says("fault-box-reversed")
def _box_reversed(at: str, stop: str) -> str:
    return f"{at} ({stop}) **sitzt verkehrt herum**: Keine Link-LED leuchtet."


@says("fault-box-dead")
def _box_dead(at: str, stop: str) -> str:
    return f"{at} ({stop}) **tut nichts**: kein Strom, keine Daten dahinter."


@says("fault-box-heavy")
def _box_heavy(at: str, stop: str, watts: float | None) -> str:
    return f"{at} ({stop}) **zieht selbst zu viel**{_about(watts, ', etwa ', 'W')}."


@says("fault-box-restart")
def _box_restart(at: str, stop: str) -> str:
    return f"{at} ({stop}) **startet immer wieder neu**."


@says("fault-box-no-pass")
def _box_no_pass(at: str, stop: str) -> str:
    return f"{at} ({stop}) **gibt Daten weiter, aber keinen Strom**."


@says("fault-arrestor-open")
def _arrestor_open(at: str, stop: str) -> str:
    return f"{at} ({stop}) **ist unterbrochen**: Nichts oder die Hälfte der Paare kommt durch."


@says("fault-arrestor-short")
def _arrestor_short(at: str, stop: str) -> str:
    return f"{at} ({stop}) **ist kurzgeschlossen**: Die Einspeisung schaltet ab."


@says("fault-earth-open")
def _earth_open(at: str, stop: str) -> str:
    return f"{at} ({stop}) **ist mit nichts verbunden**: Ein Blitzstoß kann nirgends hin."


@says("fault-earth-high")
def _earth_high(at: str, stop: str) -> str:
    return f"{at} ({stop}) **liegt über ihrem Zielwert**."


# ---------------------------------------------------------------- links


@says("fault-link-slow-endpoint")
def _slow_endpoint(at: str, stop: str) -> str:
    return f"{at} ({stop}) **kann kein Gigabit**, die Box davor nichts anderes. Strom ist da."


@says("fault-link-pair-open")
def _pair_open(at: str, near: str, far: str) -> str:
    return f"In {_run(at, near, far)} **ist eine Ader unterbrochen**: Strom ist da, Daten leiden."


@says("fault-link-too-long")
def _too_long(at: str, near: str, far: str, metres: float | None) -> str:
    value = None if metres is None else units.shown(metres, units.LENGTH)
    about = _about(value, ", etwa ", units.length_unit(), 3)
    return f"{_run(at, near, far)} **ist zu lang für die Verbindung**{about}."


@says("fault-link-noise")
def _noise(at: str, near: str, far: str) -> str:
    return f"Etwas neben {_run(at, near, far)} **stört die Daten**."


@says("fault-link-port-down")
def _port_down(at: str, to: str, stop: str) -> str:
    return f"An {spot(at)} ({stop}) **sind die Daten abgeschaltet**: keine LED zu {spot(to)}."


# ---------------------------------------------------------------- between meter and log


@says("fault-reading-typed")
def _typed(at: str, kind: str, value: float, beside: str | None) -> str:
    return (
        f"**{with_unit(value, kind)} an {spot(at)} ist vertippt**: Der Rest passt ohne diese Zahl."
    )


@says("fault-reading-unit")
def _unit(at: str, kind: str, value: float, beside: str | None) -> str:
    return f"**{with_unit(value, kind)} an {spot(at)} hat die falsche Einheit**."


@says("fault-reading-ac")
def _ac(at: str, kind: str, value: float, beside: str | None) -> str:
    return f"{with_unit(value, kind)} an {spot(at)}: **Das Messgerät stand auf Wechselspannung**."


@says("fault-reading-place")
def _place(at: str, kind: str, value: float, beside: str | None) -> str:
    whose = spot(beside) if beside else "einer anderen Box"
    return f"**{with_unit(value, kind)} an {spot(at)} gehört zu {whose}**."


@says("fault-reading-state")
def _state(at: str, stop: str) -> str:
    return f"{at} ({stop}) **war beim Messen aus**, und niemand hat es notiert."


@says("fault-reading-lead")
def _lead(at: str, ohms: float | None) -> str:
    about = _about(ohms, ", etwa ", "Ω")
    return f"**Der Widerstand der Messspitzen** steckt in jeder Schleife von {at}{about}."


@says("fault-reading-no-short")
def _no_short(at: str, near: str, far: str) -> str:
    return f"{_run(at, near, far)} **hatte keinen Kurzschluss am Ende**, als die Schleife gemessen wurde."


@says("no-cause-fits")
def _no_cause_fits(at: str | None, kind: str | None, value: float | None) -> str:
    doubtful = ""
    if at is not None and kind is not None and value is not None:
        doubtful = f" Am fraglichsten: {with_unit(value, kind)} an {spot(at)}."
    return f"**Keine Ursache allein erklärt das.**{doubtful}"
