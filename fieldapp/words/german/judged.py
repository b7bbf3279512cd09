"""What is thought of readings, what holds one on site, and what is odd in a log, in German."""

from __future__ import annotations

from typing import Any

from engine.say import Say
from fieldapp.words.english.evidence import _OPEN
from fieldapp.words.english.figures import figure as exact
from fieldapp.words.english.judged import _key
from fieldapp.words.german.figures import (
    KINDS,
    capital,
    point,
    reach_of,
    speed,
    spot,
    with_unit,
)
from fieldapp.words.german.said import says, sentence
from fieldapp.words.german.sheets import conflict_value, place_of_path
from fieldapp.words.german.steps import STEPS


@says("verdict-inside")
def _inside(at: str, kind: str) -> str:
    return "So soll es hier sein. **Weiter.**"


@says("verdict-unclear")
def _unclear(at: str, kind: str, by: float, low: bool) -> str:
    way = "darunter" if low else "darüber"
    far = f", {with_unit(by, kind)} {way}" if float(exact(by, kind)) else ""
    return f"**Noch nicht eindeutig**{far}. Noch einmal messen: Beide Werte zählen."


@says("verdict-outside-low")
def _outside_low(at: str, kind: str, by: float, reach: float, spoke: str) -> str:
    return _outside(LACKS.get(kind, "es ist zu wenig"), kind, reach, spoke)


@says("verdict-outside-high")
def _outside_high(at: str, kind: str, by: float, reach: float, spoke: str) -> str:
    return _outside(EXCEEDS.get(kind, "es ist zu viel"), kind, reach, spoke)


def _outside(what: str, kind: str, reach: float, spoke: str) -> str:
    doubt = f"uch wenn das Messgerät um {reach_of(reach, kind)} danebenliegt" if reach else ""
    if spoke == "design":
        so = f", a{doubt}" if doubt else ""
        return f"**Keine Linie nach Plan** zeigt das{so}: {capital(what)}."
    return f"A{doubt}: **{capital(what)}**." if doubt else f"**{capital(what)}**."


LACKS = {
    "volts": "der Verlust ist echt",
    "milliamps": "es wird zu wenig gezogen",
    "watts": "es wird zu wenig gezogen",
    "loop_ohms": "dieses Kabel ist zu niederohmig",
    "metres": "dieses Kabel ist zu kurz",
}
EXCEEDS = {
    "volts": "weniger Last, oder die Einspeisung ist zu hoch",
    "milliamps": "es wird zu viel gezogen",
    "watts": "es wird zu viel gezogen",
    "loop_ohms": "dieses Kabel ist zu hochohmig",
    "metres": "dieses Kabel ist zu lang",
}


@says("verdict-slow")
def _slow(at: str, mbps: float, expected: float) -> str:
    awaited = "waren" if expected else "war"
    return f"**{capital(speed(mbps))}**, erwartet {awaited} {speed(expected)}."


@says("verdict-errors")
def _errors(at: str, count: float, most: float) -> str:
    seen = f"{count:.0f} {'defekter Frame' if round(count) == 1 else 'defekte Frames'}"
    return f"**{seen}**; eine gute Verbindung zeigt in der Zeit höchstens {most:.0f}."


@says("verdict-over")
def _over(at: str, kind: str, value: float, most: float) -> str:
    there = "Diese Erde hat" if kind == "earth_ohms" else "Die Adern eines Paars trennen"
    return (
        f"**{there} {with_unit(value, kind)}**. Höchstens {with_unit(most, kind)} dürfen es sein."
    )


@says("pairs-apart")
def _pairs_apart(at: str, pairs: tuple[str, ...], ohms: tuple[float, ...], others: float) -> str:
    many = len(pairs) > 1
    who = (
        f"Paare {', '.join(pairs)} von {at} weichen" if many else f"Paar {pairs[0]} von {at} weicht"
    )
    seen = "; ".join(with_unit(one, "loop_ohms") if one < _OPEN else "offen" for one in ohms)
    return f"**{who} ab**: {seen}, die anderen etwa {with_unit(others, 'loop_ohms')}."


@says("no-band-unplugged")
def _no_band_unplugged(at: str, box: str | None) -> str:
    plug = f"Erst {box} einstecken" if box else "Erst die nächste Box einstecken"
    return (
        f"Ein Standardport gibt dem bloßen Messgerät **keine feste Spannung**. {plug}, dann messen."
    )


@says("no-band-collapse")
def _no_band_collapse(at: str) -> str:
    return "Mit dieser Last **bricht die Spannung ein**: nichts Stetiges vorherzusagen."


@says("no-band-tripped")
def _no_band_tripped(at: str) -> str:
    return (
        "Der Port soll mehr geben, als er hat, und **schaltet immer wieder ab**: "
        "nichts Stetiges vorherzusagen."
    )


@says("no-band-unpowered")
def _no_band_unpowered(at: str) -> str:
    return "Der Plan bringt **keinen Strom** an diesen Punkt: nichts vorherzusagen."


@says("no-band-no-such-box")
def _no_band_no_such_box(at: str, box: str) -> str:
    return f"{box} sollte aus oder ersetzt sein, aber **der Plan hat keine solche Box**."


@says("no-band-not-judged")
def _no_band_not_judged(at: str, kind: str) -> str:
    return f"{capital(KINDS[kind])} an {spot(at)}: Der Plan gibt **keinen Maßstab** dafür."


@says("no-band-no-target")
def _no_band_no_target(at: str) -> str:
    return "Der Plan nennt **keinen Zielwert** für diese Erde. Bleibt, wie es ist."


@says("no-band-no-seconds")
def _no_band_no_seconds(at: str) -> str:
    return "Defekte Frames sagen nichts **ohne die Sekunden, in denen gezählt wurde**. Bleibt, wie es ist."


# ---------------------------------------------------------------- what holds one on site


@says("hold-finding")
def _hold_finding(finding: Say) -> str:
    return sentence(finding)


@says("hold-step")
def _hold_step(step: Say) -> str:
    words = STEPS[step.code](**step.parts)
    return f"**Nicht erledigt.** {words.short}."


@says("hold-missing")
def _hold_missing(at: str, kind: str) -> str:
    return f"**Nicht gemessen**: {READINGS[kind]} an {point(at)}."


READINGS = {**KINDS, "earth_ohms": "Erdmessung", "milliamps": "Ampere"}


@says("hold-outside")
def _hold_outside(at: str, kind: str, value: float) -> str:
    return f"**{capital(with_unit(value, kind))} an {spot(at)}**: Die Ursache ist nicht geklärt."


@says("hold-unclear")
def _hold_unclear(at: str, kind: str, value: float) -> str:
    return f"**{with_unit(value, kind)} an {spot(at)}** ist unklar. Noch einmal messen."


@says("hold-drifted")
def _hold_drifted(at: str, kind: str, before: float, now: float) -> str:
    was = with_unit(before, kind)
    return f"**{capital(with_unit(now, kind))} an {spot(at)}**, beim letzten Verlassen {was}."


@says("hold-edit")
def _hold_edit(path: str, problem: str) -> str:
    return f"**Eine Änderung am Plan passt nicht** bei {path}. Sie blieb weg."


@says("hold-conflict")
def _hold_conflict(path: str, values: tuple[Any, ...], by: tuple[str, ...], shown: str) -> str:
    each = "; ".join(conflict_value(path, value) for value in dict.fromkeys(map(_key, values)))
    return f"**{place_of_path(path)}: zwei Pläne.** {each}. Einer muss gewählt werden."


# ---------------------------------------------------------------- what was just done


@says("strip-step")
def _strip_step(state: str, step: Say | None) -> str:
    what = STEPS[step.code](**step.parts).short if step else ""
    word = {"done": "Erledigt", "undone": "Wieder offen", "not-here": "Nicht hier"}[state]
    return f"**{word}.** {what}"


@says("strip-change")
def _strip_change(where: str, did: str, struck: int) -> str:
    number = (
        "Ein Messwert zählt nicht mehr" if struck == 1 else f"{struck} Messwerte zählen nicht mehr"
    )
    return f"**{where} behoben.** {number if struck else 'Kein Messwert fällt weg'}."


# ---------------------------------------------------------------- what is odd in a log


@says("odd-twin")
def _odd_twin(entry: str) -> str:
    return "Zwei Einträge tragen **eine Kennung**. Einer wird benutzt, beide bleiben."


@says("odd-void")
def _odd_void(entry: str, of: str) -> str:
    return "Etwas wurde zurückgenommen, **das hier nie eingetragen wurde**."


@says("odd-change")
def _odd_change(entry: str, where: str) -> str:
    return f"Eine Reparatur nennt **{where}**; im Plan gibt es das nicht. Sie strich nichts."


@says("odd-reading")
def _odd_reading(entry: str, at: str) -> str:
    return f"Ein Messwert steht an **{spot(at)}**; im Plan gibt es das nicht."


@says("odd-count")
def _odd_count(entry: str, device: str, n: int) -> str:
    return f"Ein Handy zählte **Eintrag {n} zweimal**: Eine ältere Kopie kam darauf zurück."


@says("odd-resolve")
def _odd_resolve(entry: str, of: tuple[str, ...]) -> str:
    return "Eine Wahl nennt zwei Planänderungen, **die sich nicht berühren**. Sie klärte nichts."


@says("odd-seen")
def _odd_seen(entry: str) -> str:
    return "Zwei Einträge sagen beide, **sie kamen nach dem anderen**. Gereiht wird nach Zählung."
