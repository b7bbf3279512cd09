"""What is found in a plan, in German."""

from __future__ import annotations

from fieldapp.words.german.figures import (
    NBSP,
    _printed,
    decimal,
    length,
    metres,
    plain_number,
    speed,
    speeds,
    spot,
    wire,
    with_unit,
)
from fieldapp.words.german.said import says


@says("feed")
def _no_feed(box: str) -> str:
    return f"**{box} bekommt keinen Strom.** Keine Quelle speist sie."


@says("feed-unplugged")
def _feed_unplugged(box: str) -> str:
    return f"**{box} steckt nirgends.** Im Plan eine Strecke anschließen."


@says("feed-twice")
def _feed_twice(box: str, first: str, second: str) -> str:
    return (
        f"**Zwei Einspeisungen erreichen {box}**: {spot(first)} und {spot(second)}. Eine muss weg."
    )


@says("orientation")
def _orientation(box: str, port: str, wants: str, meets: str | None) -> str:
    there = f" Dort ist {spot(meets)}." if meets else ""
    return f"**{box} ist verkehrt herum.** {_printed(port)} will {WANTS[wants]}.{there}"


WANTS = {
    "source": "die Einspeisung",
    "endpoint": "das ferne Ende",
    "equipment": "ein kurzes Patchkabel",
    "long-span": "das lange Kabel",
    "exposed": "die Wetterseite",
}


@says("arrestor-facing")
def _arrestor_facing(box: str, port: str, span: str) -> str:
    return f"**{box} hat den Rücken zum Wetter.** Die Zähne müssen zu {span} zeigen."


@says("bond")
def _no_bond(box: str) -> str:
    return f"**{box} hat im Plan keine Erdleitung.** Wie geerdet wird, entscheidet die Elektrofachkraft."


@says("bond-long")
def _bond_long(box: str, lead_m: float, volts: float) -> str:
    return (
        f"**Die Erdleitung von {box} ist lang**: {length(lead_m)} lassen bei "
        f"3{NBSP}kA etwa {volts:.0f}{NBSP}V mehr durch. Kürzer als {length(0.5)}, gerade."
    )


@says("bond-thin")
def _bond_thin(box: str, mm2: float) -> str:
    return f"**Die Erdleitung von {box} ist dünn**: {wire(mm2)}. Mindestens {wire(1.5)}."


@says("arrestor-missing")
def _arrestor_missing(at: str, span: str) -> str:
    return f"**Kein Ableiter zwischen {span} und {spot(at)}.** Kabel im Freien bringt Überspannung herein."


@says("separate-buildings")
def _separate_buildings(spans: tuple[str, ...], buildings: tuple[str, str]) -> str:
    first, second = buildings
    return (
        f"**Linie {', '.join(spans)} verbindet zwei Gebäude**, {first} und {second}. "
        f"Erst zwischen ihren Erden messen; über 1{NBSP}V die Elektrofachkraft fragen."
    )


@says("box-place")
def _box_place(box: str, stop: str) -> str:
    return f"**{box} ist eine Box für innen**, und {stop} ist im Freien."


@says("cable-place")
def _cable_place(span: str) -> str:
    return f"**{span} ist Kabel für innen**, sein Weg führt ins Freie."


@says("cable-material")
def _cable_material(span: str, material: str, factor: float) -> str:
    metal = {"clad": "kupferkaschiertes Alu"}.get(material, material)
    return f"**{span} ist {metal}**: {decimal(factor, 2)}-mal so viel Ohm wie Kupfer."


@says("speed-mismatch")
def _mismatch(at: str, mbps: tuple[int, ...], far: str, far_mbps: tuple[int, ...]) -> str:
    return (
        f"**{spot(at)} und {spot(far)} haben kein gemeinsames Tempo**: {speeds(mbps)} gegen "
        f"{speeds(far_mbps)}. Strom, LEDs, keine Daten."
    )


@says("speed-unfit")
def _unfit(at: str, far: str, mbps: tuple[int, ...], pairs: int, boxes: tuple[str, ...]) -> str:
    over = "das eine Paar" if pairs == 1 else f"die {pairs} Paare"
    way = f"durch {', '.join(boxes)}" if boxes else f"über {over} hier"
    return f"**{spot(at)} und {spot(far)} ohne Verbindung**: {speeds(mbps)} läuft nicht {way}."


@says("reach-stated")
def _reach_stated(at: str, far: str, length_m: float, mbps: int) -> str:
    return f"**{spot(at)} bis {spot(far)} sind {metres(length_m)}**: mehr, als das Datenblatt bei {speed(mbps)} nennt."


@says("reach-ordinary")
def _reach_ordinary(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> str:
    return (
        f"**{spot(at)} bis {spot(far)} sind {metres(length_m)}**: über {metres(100)} sind {speed(mbps)} "
        f"nicht zugesagt.{_falls(falls_to)}"
    )


@says("reach-loss")
def _reach_loss(
    at: str,
    far: str,
    length_m: float,
    mbps: int,
    falls_to: int | None,
    over_db: float,
    mhz: float,
) -> str:
    return (
        f"**{spot(at)} bis {spot(far)}, {metres(length_m)}**: {speed(mbps)} sind nicht zugesagt, "
        f"{decimal(over_db)}{NBSP}dB über der Grenze.{_falls(falls_to)}"
    )


@says("reach-category")
def _reach_category(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> str:
    return (
        f"**{spot(at)} bis {spot(far)}**: Dieses Kabel ist nicht für {speed(mbps)} über "
        f"{metres(length_m)} gemacht.{_falls(falls_to)}"
    )


@says("reach-hot")
def _reach_hot(at: str, far: str, length_m: float, mbps: int) -> str:
    return (
        f"**{spot(at)} bis {spot(far)}, {metres(length_m)}**: bei größter Länge und Hitze sind "
        f"{speed(mbps)} nicht zugesagt."
    )


def _falls(falls_to: int | None) -> str:
    return f" {speed(falls_to)} schon." if falls_to else ""


@says("collapse")
def _collapse(
    at: str,
    volts: float,
    share: float,
    feed: str,
    ohms: float,
    seen: float | None,
    idle: str | None,
) -> str:
    return f"**Hinter {spot(at)} läuft nichts**: {volts:.0f}{NBSP}V sind nicht zu halten."


@says("collapse-worst")
def _collapse_worst(at: str, feed: str) -> str:
    return f"**Im schlimmsten Fall ist {spot(at)} nicht zu halten**, von {spot(feed)} aus."


@says("volts-low")
def _volts_low(at: str, volts: float, cutoff: float) -> str:
    return f"**{spot(at)} bekäme {with_unit(volts)}**; unter {cutoff:.0f}{NBSP}V geht es dort aus."


@says("start-up")
def _start_up(at: str, volts: float, needed: float) -> str:
    return (
        f"**{spot(at)} geht vielleicht nie an**: dort liegen {with_unit(volts)}, "
        f"gebraucht werden {needed:.0f}{NBSP}V."
    )


@says("start-up-cycling")
def _start_up_cycling(at: str) -> str:
    return f"**{spot(at)} geht an und aus**, immer wieder. Die eigene Last zieht die Spannung herunter."


@says("port-trip")
def _port_trip(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return (
        f"**{spot(at)} schaltet ab**: {watts:.0f}{NBSP}W verlangt, {plain_number(granted)}{NBSP}W "
        f"gewährt. {box} zeigt Klasse{NBSP}{class_}."
    )


@says("class-tight")
def _class_tight(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return (
        f"**{spot(at)} schaltet bei voller Last vielleicht ab**: bis {watts:.0f}{NBSP}W verlangt, "
        f"{plain_number(granted)}{NBSP}W gewährt. {box} zeigt Klasse{NBSP}{class_}."
    )


@says("class-short")
def _class_short(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return (
        f"**{box} verlangt Klasse{NBSP}{class_}**, {spot(at)} gewährt höchstens "
        f"{plain_number(granted)}{NBSP}W."
    )


@says("class-above")
def _class_above(at: str, watts: float, class_: int, most: float) -> str:
    return (
        f"**{spot(at)} zieht {decimal(watts)}{NBSP}W**; Klasse{NBSP}{class_} darf "
        f"{plain_number(most)}{NBSP}W ziehen. Der Port kann abschalten."
    )


@says("class-far")
def _class_far(at: str, box: str, class_: int, ohms: float) -> str:
    return (
        f"**{spot(at)} liest Klasse{NBSP}{class_} von {box} vielleicht falsch**: das Paar hat "
        f"{ohms:.0f}{NBSP}Ω, zugesagt ist es bis 22,7{NBSP}Ω."
    )


@says("keep-alive")
def _keep_alive(at: str, amps: float, least: float) -> str:
    return (
        f"**{spot(at)} schaltet bei kleiner Last vielleicht ab**: {amps * 1000:.0f}{NBSP}mA, "
        f"gebraucht werden {plain_number(least * 1000)}{NBSP}mA."
    )


@says("port-power")
def _port_power(at: str, watts: float, most: float) -> str:
    return (
        f"**Von {spot(at)} werden {watts:.0f}{NBSP}W verlangt**; das Datenblatt gibt "
        f"{plain_number(most)}{NBSP}W."
    )


@says("budget")
def _budget(budget: str, watts: float, most: float) -> str:
    return (
        f"**Die Ports an {budget} brauchen zusammen {watts:.0f}{NBSP}W**; "
        f"vorhanden sind {plain_number(most)}{NBSP}W."
    )


@says("current")
def _current(span: str, amps: float, most: float) -> str:
    return (
        f"**Eine Ader von {span} trägt vielleicht {decimal(amps, 2)}{NBSP}A**; "
        f"die Grenze ist {plain_number(most)}{NBSP}A."
    )


@says("heat")
def _heat(span: str, celsius: float, most: float) -> str:
    return (
        f"**{span} wird vielleicht {celsius:.0f}{NBSP}°C heiß**; "
        f"ausgelegt ist es für {plain_number(most)}{NBSP}°C."
    )


@says("heat-bundle")
def _heat_bundle(span: str, rise: float, most: float) -> str:
    return (
        f"**Das Bündel von {span} wird {rise:.0f}{NBSP}°C wärmer**; "
        f"empfohlen sind höchstens {plain_number(most)}{NBSP}°C."
    )
