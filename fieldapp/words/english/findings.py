"""What is found in a plan."""

from __future__ import annotations

from fieldapp.words.english.figures import (
    NBSP,
    length,
    metres,
    speed,
    speeds,
    spot,
    wire,
    with_unit,
)
from fieldapp.words.english.said import says


@says("feed")
def _no_feed(box: str) -> str:
    return f"**{box} gets no power.** No source feeds it."


@says("feed-unplugged")
def _feed_unplugged(box: str) -> str:
    return f"**{box} is plugged into nothing.** Give it a span in the plan."


@says("feed-twice")
def _feed_twice(box: str, first: str, second: str) -> str:
    return f"**Two feeds reach {box}**: {spot(first)} and {spot(second)}. One must go."


@says("orientation")
def _orientation(box: str, port: str, wants: str, meets: str | None) -> str:
    there = f" It meets {spot(meets)}." if meets else ""
    return f"**{box} is the wrong way round.** {port.upper()} wants {WANTS[wants]}.{there}"


WANTS = {
    "source": "the feed",
    "endpoint": "the far end",
    "equipment": "a patch lead to equipment",
    "long-span": "the long cable",
    "exposed": "the weather",
}


@says("arrestor-facing")
def _arrestor_facing(box: str, port: str, span: str) -> str:
    return f"**{box} has its back to the weather.** The teeth must face {span}."


@says("bond")
def _no_bond(box: str) -> str:
    return f"**{box} has no earth lead** in the plan. A licensed person decides how."


@says("bond-long")
def _bond_long(box: str, lead_m: float, volts: float) -> str:
    return (
        f"**{box}’s earth lead is long**: {length(lead_m)} let about {volts:.0f}{NBSP}V more "
        f"through on a 3{NBSP}kA surge. Under {length(0.5)}, straight."
    )


@says("bond-thin")
def _bond_thin(box: str, mm2: float) -> str:
    return f"**{box}’s earth lead is thin**: {wire(mm2)}. At least {wire(1.5)}."


@says("arrestor-missing")
def _arrestor_missing(at: str, span: str) -> str:
    return f"**No arrestor between {span} and {spot(at)}.** Outdoor cable brings surges in."


@says("separate-buildings")
def _separate_buildings(spans: tuple[str, ...], buildings: tuple[str, str]) -> str:
    first, second = buildings
    return (
        f"**The run {', '.join(spans)} joins two buildings**, {first} and {second}. "
        f"Meter between their earths first; above 1{NBSP}V ask a licensed person."
    )


@says("box-place")
def _box_place(box: str, stop: str) -> str:
    return f"**{box} is an indoor box**, and {stop} is outdoors."


@says("cable-place")
def _cable_place(span: str) -> str:
    return f"**{span} is indoor cable** on a way outdoors."


@says("cable-material")
def _cable_material(span: str, material: str, factor: float) -> str:
    metal = {"clad": "copper-clad aluminium"}.get(material, material)
    return f"**{span} is {metal}**: {factor:.2f} times the ohms of copper."


@says("speed-mismatch")
def _mismatch(at: str, mbps: tuple[int, ...], far: str, far_mbps: tuple[int, ...]) -> str:
    return (
        f"**{spot(at)} and {spot(far)} share no speed**: {speeds(mbps)} against {speeds(far_mbps)}. "
        "Power, lights, no data."
    )


@says("speed-unfit")
def _unfit(at: str, far: str, mbps: tuple[int, ...], pairs: int, boxes: tuple[str, ...]) -> str:
    way = f"through {', '.join(boxes)}" if boxes else f"over {pairs} pairs here"
    return f"**{spot(at)} and {spot(far)} get no link**: {speeds(mbps)} cannot run {way}."


@says("reach-stated")
def _reach_stated(at: str, far: str, length_m: float, mbps: int) -> str:
    return (
        f"**{spot(at)} to {spot(far)} is {metres(length_m)}**: beyond its sheet at {speed(mbps)}."
    )


@says("reach-ordinary")
def _reach_ordinary(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> str:
    return (
        f"**{spot(at)} to {spot(far)} is {metres(length_m)}**: {speed(mbps)} is not assured past "
        f"{metres(100)}.{_falls(falls_to)}"
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
        f"**{spot(at)} to {spot(far)}, {metres(length_m)}**: {speed(mbps)} is not assured, "
        f"{over_db:.1f}{NBSP}dB over the limit.{_falls(falls_to)}"
    )


@says("reach-category")
def _reach_category(at: str, far: str, length_m: float, mbps: int, falls_to: int | None) -> str:
    return (
        f"**{spot(at)} to {spot(far)}**: this cable is not made for {speed(mbps)} over "
        f"{metres(length_m)}.{_falls(falls_to)}"
    )


@says("reach-hot")
def _reach_hot(at: str, far: str, length_m: float, mbps: int) -> str:
    return f"**{spot(at)} to {spot(far)}, {metres(length_m)}**: {speed(mbps)} is not assured at its longest and hottest."


def _falls(falls_to: int | None) -> str:
    return f" {speed(falls_to)} is." if falls_to else ""


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
    return f"**Nothing runs past {spot(at)}**: {volts:.0f}{NBSP}V cannot be held."


@says("collapse-worst")
def _collapse_worst(at: str, feed: str) -> str:
    return f"**At worst {spot(at)} cannot be held** by {spot(feed)}."


@says("volts-low")
def _volts_low(at: str, volts: float, cutoff: float) -> str:
    return f"**{spot(at)} would see {with_unit(volts)}**; it stops below {cutoff:.0f}{NBSP}V."


@says("start-up")
def _start_up(at: str, volts: float, needed: float) -> str:
    return f"**{spot(at)} may never start**: it sees {with_unit(volts)} and starts at {needed:.0f}{NBSP}V."


@says("start-up-cycling")
def _start_up_cycling(at: str) -> str:
    return f"**{spot(at)} comes on and drops out**, again and again. Its own load pulls it down."


@says("port-trip")
def _port_trip(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return (
        f"**{spot(at)} lets go**: {watts:.0f}{NBSP}W asked, {granted:g}{NBSP}W granted. "
        f"{box} shows class{NBSP}{class_}."
    )


@says("class-tight")
def _class_tight(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return (
        f"**{spot(at)} may let go at full load**: up to {watts:.0f}{NBSP}W asked, "
        f"{granted:g}{NBSP}W granted. {box} shows class{NBSP}{class_}."
    )


@says("class-short")
def _class_short(at: str, watts: float, granted: float, box: str, class_: int) -> str:
    return f"**{box} asks for class{NBSP}{class_}**, {spot(at)} grants no more than {granted:g}{NBSP}W."


@says("class-above")
def _class_above(at: str, watts: float, class_: int, most: float) -> str:
    return (
        f"**{spot(at)} draws {watts:.1f}{NBSP}W**; class{NBSP}{class_} may draw {most:g}{NBSP}W. "
        "The port may take the power away."
    )


@says("class-far")
def _class_far(at: str, box: str, class_: int, ohms: float) -> str:
    return (
        f"**{spot(at)} may misread {box}’s class{NBSP}{class_}**: the pair has {ohms:.0f}{NBSP}Ω, "
        f"assured are 22.7{NBSP}Ω."
    )


@says("keep-alive")
def _keep_alive(at: str, amps: float, least: float) -> str:
    return (
        f"**{spot(at)} may let go at light load**: {amps * 1000:.0f}{NBSP}mA, it wants "
        f"{least * 1000:g}{NBSP}mA."
    )


@says("port-power")
def _port_power(at: str, watts: float, most: float) -> str:
    return f"**{spot(at)} is asked for {watts:.0f}{NBSP}W**; its sheet gives {most:g}{NBSP}W."


@says("budget")
def _budget(budget: str, watts: float, most: float) -> str:
    return f"**The ports on {budget} need {watts:.0f}{NBSP}W** together; it has {most:g}{NBSP}W."


@says("current")
def _current(span: str, amps: float, most: float) -> str:
    return f"**A wire of {span} may carry {amps:.2f}{NBSP}A**; the limit is {most:g}{NBSP}A."


@says("heat")
def _heat(span: str, celsius: float, most: float) -> str:
    return f"**{span} may reach {celsius:.0f}{NBSP}°C**; it is rated for {most:g}{NBSP}°C."


@says("heat-bundle")
def _heat_bundle(span: str, rise: float, most: float) -> str:
    return f"**{span}’s bundle warms by {rise:.0f}{NBSP}°C**; {most:g}{NBSP}°C are recommended at most."
