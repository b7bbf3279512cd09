"""What a data sheet is called in German.

A title is data, and what comes with the app is titled in English. Those have their names here by
that title: a statement carries no more of a sheet, and one that a job titled anew keeps its own.
"""

from __future__ import annotations

from fieldapp.words.english.sheetnames import Named, held_together

_NAMES = {
    "Switch port, 15 W, two pairs": "Switchport, 15 W, zwei Paare",
    "Switch port, 30 W, two pairs": "Switchport, 30 W, zwei Paare",
    "Switch port, 60 W": "Switchport, 60 W",
    "Switch port, 90 W": "Switchport, 90 W",
    "Switch port, always on, 24 V": "Switchport, immer an, 24 V",
    "Switch port, always on, 48 V": "Switchport, immer an, 48 V",
    "Injector, always on, 24 V": "Einspeiser, immer an, 24 V",
    "Injector, always on, 48 V": "Einspeiser, immer an, 48 V",
    "Injector, 30 W, two pairs": "Einspeiser, 30 W, zwei Paare",
    "Injector, 60 W": "Einspeiser, 60 W",
    "Injector, 90 W": "Einspeiser, 90 W",
    "Repeater 10/100, power runs through": "Repeater 10/100, reicht Strom durch",
    "Repeater gigabit, power runs through": "Repeater Gigabit, reicht Strom durch",
    "Repeater, feeds anew, 15 W out": "Repeater, speist neu, 15 W",
    "Repeater, feeds anew, 30 W out": "Repeater, speist neu, 30 W",
    "Repeater, feeds anew, 60 W out": "Repeater, speist neu, 60 W",
    "Repeater gigabit, power through, outdoor": "Repeater Gigabit, reicht durch, außen",
    "Repeater, feeds anew, 30 W out, outdoor": "Repeater, speist neu, 30 W, außen",
    "Long-span unit, gigabit only": "Weitstreckenbox, nur Gigabit",
    "Splitter, two out, power runs through": "Verteiler zweifach, reicht Strom durch",
    "Splitter, four out, feeds anew, 55 W": "Verteiler vierfach, speist neu, 55 W",
    "Arrestor 10/100, indoor": "Ableiter 10/100, innen",
    "Arrestor 10/100, outdoor": "Ableiter 10/100, außen",
    "Arrestor gigabit, indoor": "Ableiter Gigabit, innen",
    "Arrestor gigabit, outdoor": "Ableiter Gigabit, außen",
    "Gel joint, outdoor": "Gelverbinder, außen",
    "Joint box, cutting contacts, indoor": "Verbinderdose, Schneidklemmen, innen",
    "Joint box, cutting contacts, outdoor": "Verbinderdose, Schneidklemmen, außen",
    "Coupler, two sockets, indoor": "Kupplung, zwei Buchsen, innen",
    "Cat 5e, solid copper, 24 AWG": "Cat 5e, Kupfer massiv, 24 AWG",
    "Cat 5e, solid copper, 24 AWG, outdoor": "Cat 5e, Kupfer massiv, 24 AWG, außen",
    "Cat 6, solid copper, 23 AWG": "Cat 6, Kupfer massiv, 23 AWG",
    "Cat 6, solid copper, 23 AWG, outdoor": "Cat 6, Kupfer massiv, 23 AWG, außen",
    "Cat 6, 23 AWG, screened, outdoor": "Cat 6, 23 AWG, geschirmt, außen",
    "Cat 6, 23 AWG, gel-filled, for burial": "Cat 6, 23 AWG, gelgefüllt, Erdkabel",
    "Cat 6A, solid copper, 23 AWG": "Cat 6A, Kupfer massiv, 23 AWG",
    "Cat 6A, 23 AWG, screened, outdoor": "Cat 6A, 23 AWG, geschirmt, außen",
    "Cat 6A, solid copper, 22 AWG, outdoor": "Cat 6A, Kupfer massiv, 22 AWG, außen",
    "Cat 5e, clad aluminium 10 %, 24 AWG": "Cat 5e, kupferkaschiert 10 %, 24 AWG",
    "Cat 5e, clad aluminium 15 %, 24 AWG": "Cat 5e, kupferkaschiert 15 %, 24 AWG",
    "Thin cable, solid copper, 26 AWG": "Dünnes Kabel, Kupfer massiv, 26 AWG",
    "Slim lead, stranded copper, 28 AWG": "Schlankes Patchkabel, Litze, 28 AWG",
    "Patch lead, stranded copper, 26 AWG": "Patchkabel, Kupferlitze, 26 AWG",
    "Patch lead, stranded copper, 24 AWG": "Patchkabel, Kupferlitze, 24 AWG",
    "Camera, small": "Kamera, klein",
    "Camera with heater": "Kamera mit Heizung",
    "Camera, turning": "Kamera, schwenkbar",
    "Radio bridge": "Richtfunk",
    "Radio bridge for 24 V": "Richtfunk für 24 V",
    "Access point": "Access Point",
    "Door phone": "Türsprechstelle",
    "Lamp, 40 W": "Leuchte, 40 W",
    "Sensor": "Sensor",
    "Pocket meter": "Taschenmultimeter",
    "Hand-held meter, better": "Handmultimeter, genauer",
    "Clamp for milliamps": "Stromzange für Milliampere",
    "Loop tester for pairs": "Schleifenmesser für Paare",
    "Earth tester": "Erdungsmesser",
}
"""by the title they come with"""


def _titled(title: str) -> str:
    """The German name of a title, where it has one."""
    return held_together(_NAMES.get(title, title))


def sheet_name(sheet: Named) -> str:
    """The name of a sheet that comes with the app; else its own title, or its id."""
    return _titled(sheet.title or sheet.id)
