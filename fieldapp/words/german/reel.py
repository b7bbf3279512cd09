"""The reel check in German: what is typed, what the reel is found to be, what to do."""

from __future__ import annotations

from fieldapp.words import units
from fieldapp.words.english.reel import (  # noqa: F401
    REEL_UNITS,
    _grams,
    _mark,
    _whole,
    reel_mark,
    reel_no_mark,
)
from fieldapp.words.german.figures import (
    NBSP,
    capital,
    decimal,
    metres,
    reach_of,
    typed_with_unit,
    with_unit,
)

METALS = {"copper": "Kupfer", "clad": "kupferkaschiertes Alu", "aluminium": "Aluminium"}
_OF_METAL = {"copper": "aus Kupfer", "clad": "kupferkaschiert", "aluminium": "aus Aluminium"}
"""what wires are, after ``sind``"""
REEL_FIELDS = {
    "first": ("Marke außen", "die Zahl, die am losen Ende aufgedruckt ist"),
    "second": ("Marke innen", "die Zahl, die am Ende innen im Kern aufgedruckt ist"),
    "ohms": ("Ein Paar als Schleife", "Adern am anderen Ende verbunden"),
    "celsius": ("Wie warm es ist", "die Luft, in der die Trommel lag"),
    "grams": ("{piece}, gewogen", "abschneiden, auf die Waage, mit Mantel"),
}
"""what is typed: its title, what is meant"""
REEL_REASONS = ("Keine andere Trommel da", "Nur für einen Test", "Der Kunde will es so")
ODDS = ((0.95, "fast sicher"), (0.7, "wahrscheinlich"), (0.4, "vielleicht"), (0.15, "eher nicht"))


def _of_metal(metal: str) -> str:
    return _OF_METAL.get(metal, f"aus {metal}")


def reel_title(name: str) -> str:
    """Over the pad: what is typed of a reel."""
    title, _ = REEL_FIELDS[name]
    return title.format(piece=capital(_piece("ein Meter")))


def reel_meant(name: str) -> str:
    """Under it: what is meant."""
    return REEL_FIELDS[name][1]


def reel_unit(name: str) -> str:
    """The unit it is typed in; of a mark that of lengths."""
    return REEL_UNITS.get(name) or units.length_unit()


def _piece(metre: str) -> str:
    """What is cut off a reel to be weighed."""
    return "drei Fuß" if units.in_feet() else metre


# ---------------------------------------------------------------- what it is found to be


def odds(chance: float) -> str:
    """``wahrscheinlich, 8 von 10``"""
    word = next((name for least, name in ODDS if chance >= least), "kaum")
    if chance < 0.05:
        return f"{word}, unter 1{NBSP}von{NBSP}20"
    return f"{word}, {min(max(round(10 * chance), 1), 10)}{NBSP}von{NBSP}10"


# ---------------------------------------------------------------- the page


def reel_slab(span: str) -> str:
    """The slab of the step: it opens the check."""
    return f"Trommel für {span} prüfen"


def reel_amount(known: bool) -> str:
    """Under the metres between the marks."""
    return "auf der Trommel" if known else "noch unbekannt"


def reel_wanted(span: str) -> str:
    """Under the metres that are wanted."""
    return f"braucht {span},"


def reel_slack(slack_m: float) -> str:
    """The line below: what of them is slack."""
    return f"davon {metres(slack_m)} Reserve"


def reel_too_short(span: str) -> str:
    """Under the metres that are missing."""
    return f"fehlen für {span}"


def reel_again_why() -> str:
    """Under the slab where a reading told too little."""
    return "beide Enden gut verbinden"


def reel_marks_why() -> str:
    """Under the slab that asks for the marks once more."""
    return "oder am Maßband auslegen"


def reel_short_of(by_m: float, span: str) -> str:
    """``11 m zu kurz für C4``"""
    return f"{metres(max(by_m, 1))} zu kurz für {span}"


def reel_over(length_m: float, over_m: float) -> str:
    """What two marks give, while the second is typed."""
    return f"{metres(length_m)} auf der Trommel, {metres(over_m)} übrig"


def reel_how(celsius: float | None, low: float, high: float) -> str:
    """How the ohms were taken, in italics beside them."""
    warm = f"{_whole(low)} bis {_whole(high)}" if celsius is None else _whole(celsius)
    return f"Schleife, ein Paar, {warm}{NBSP}°C"


def reel_sleeve(low: float, high: float) -> str:
    """Under a sleeve: ``34,4 bis 38,6 Ω``"""
    return f"{decimal(low)} bis {with_unit(high, 'loop_ohms')}"


def reel_sleeve_name(metal: str) -> str:
    """Over a sleeve."""
    return {"copper": "Kupfer", "clad": "kupferkaschiert", "aluminium": "Aluminium"}.get(
        metal, metal
    )


def reel_pull() -> str:
    """The slab for a reel that is right."""
    return "Diese Trommel nehmen"


def reel_keep_low(mark: float, stop: str) -> str:
    """Which mark goes where: metres then read upwards, away from the feed."""
    where = f"bei {stop}" if stop else "zur Quelle"
    return f"kleinere Marke {where}: {_mark(mark)}"


def reel_keep_off() -> str:
    """The slab for a reel that is not."""
    return "Trommel nicht nehmen"


def reel_then(way: str) -> str:
    """Under a slab that keeps a reel off: what would still tell more, else what follows."""
    return {
        "scrape": "erst ankratzen: silbern heißt Alu",
        "weigh": f"{_piece('einen Meter')} zu wiegen sagt mehr",
        "tape": "das Maßband sagt mehr",
        "again": "eine zweite Messung sagt mehr",
    }.get(way, "dann eine andere prüfen")


def reel_below() -> str:
    """Degrees of frost."""
    return "unter 0"


def reel_above() -> str:
    """Degrees above."""
    return "über 0"


def reel_use() -> str:
    """The quiet for somebody who has reasons."""
    return "Doch nehmen"


def reel_other_one() -> str:
    """Another reel is taken up."""
    return "Andere Trommel"


def reel_type(name: str) -> str:
    """The slab while something is missing: the two marks, then the pair."""
    return {"ohms": "Ein Paar messen", "first": "Marke außen tippen"}.get(
        name, "Marke innen tippen"
    )


def reel_marks_again() -> str:
    """Type the marks anew."""
    return "Marken neu"


def reel_keep(digits: str, unit: str) -> str:
    """The pad's slab."""
    return f"{reel_typed(digits.rstrip('.'), unit)} behalten"


def reel_typed(digits: str, unit: str) -> str:
    """What stands on the pad."""
    return f"{digits.replace('.', ',')}{NBSP}{unit}"


def reel_type_it(mark: bool) -> str:
    """The pad's slab while there is no figure."""
    return "Gedruckte Zahl tippen" if mark else "Angezeigten Wert tippen"


def reel_for(span: str, wanted_m: float) -> str:
    """Under the pad's title."""
    return f"Trommel für {span}, {metres(wanted_m)} nötig"


def reel_warmth(celsius: float | None) -> str:
    """The temperature's own row."""
    return "Wie warm?" if celsius is None else f"{_whole(celsius)}{NBSP}°C"


def reel_weight(grams: float | None) -> str:
    """The weight's own row."""
    return (
        f"{capital(_piece('einen Meter'))} wiegen"
        if grams is None
        else f"{_grams(grams)} auf {_piece('einen Meter')}"
    )


def reel_second_opinion() -> str:
    """Under the weight."""
    return "zur Gegenprobe"


def reel_warmth_why(known: bool) -> str:
    """Under the temperature."""
    return "der Trommel" if known else "macht Bänder enger"


def reel_settle(way: str) -> str:
    """What would tell more."""
    return {
        "scrape": "**Ader am Schnitt ankratzen**: silbern unter dem Kupfer heißt kupferkaschiert.",
        "weigh": f"**{capital(_piece('einen Meter'))} wiegen**: kupferkaschiert ist ein Drittel leichter.",
        "tape": "**Am Maßband auslegen**, oder beide Marken noch einmal ablesen.",
        "again": "**Das Paar am anderen Ende neu verbinden** und noch einmal messen.",
    }.get(way, "")


def reel_taken(span: str, at: str) -> str:
    """A reel that was taken already."""
    when = f" um {at}" if at else ""
    return f"Diese Trommel wurde{when} für **{span}** genommen."


def reel_go_on() -> str:
    """The slab then."""
    return "Weiter"


def reel_why_use() -> str:
    """The title of the sheet that asks for a reason."""
    return "Warum trotzdem nehmen?"


def reel_use_then(measured: bool) -> str:
    """What will come of it."""
    if measured:
        return "Der Plan rechnet mit diesen Ohm."
    return "Plan bleibt, Grund im Bericht."


def reel_own_reason() -> str:
    """The field for own words."""
    return "Anderer Grund"


def reel_use_it() -> str:
    """The slab of that sheet."""
    return "Trotzdem nehmen"


def reel_needs_reason() -> str:
    """Under it while there is none."""
    return "Grund wählen oder tippen"


# ---------------------------------------------------------------- spoken, and for the record


def speak_reel(first: str, second: str, length: str, wanted: str) -> str:
    """The drawn reel in words."""
    return f"Trommel. Außen {first}, innen {second}. {length}. {wanted}."


def speak_reel_gauge(ohms: float | None, reach: float, sleeves: str, word: str) -> str:
    """The two sleeves in words."""
    if ohms is None:
        return f"Schleifenohm. {sleeves}."
    shown = with_unit(ohms, "loop_ohms")
    return f"{shown}, plus oder minus {reach_of(reach, 'loop_ohms')}. {sleeves}. {word}."


def reel_typing_line(digits: str, unit: str, since: str) -> str:
    """After a kill: what was on the pad."""
    when = f", {since}" if since else ""
    return f"Getippt war {reel_typed(digits, unit)}{when}"


def note_reel(number: int, span: str, ohms: float | None) -> str:
    """In the record: a reel with what is known of it."""
    measured = f", {typed_with_unit(f'{ohms:g}', 'loop_ohms')}" if ohms is not None else ""
    return f"Trommel {number} für {span}{measured}"


def note_reel_taken(number: int, span: str) -> str:
    """In the record: it goes into the run."""
    return f"Trommel {number} wird für {span} genommen"


def note_reel_refused(number: int, span: str) -> str:
    """In the record: it does not."""
    return f"Trommel {number} wird für {span} nicht genommen"


def reel_sheet_title(span: str) -> str:
    """The name of the sheet that a span gets of its own."""
    return f"Adern von {span}, gemessen"
