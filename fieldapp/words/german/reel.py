"""The reel check in German: what is typed, what the reel is found to be, what to do."""

from __future__ import annotations

from engine.say import Say
from fieldapp.words.german.figures import (
    NBSP,
    decimal,
    metres,
    plain_number,
    reach_of,
    typed_with_unit,
    with_unit,
)
from fieldapp.words.german.said import says, sentence
from fieldapp.words.reel import _whole
from fieldapp.words.reel import reel_mark as _mark

METALS = {"copper": "Kupfer", "clad": "kaschiertes Alu", "aluminium": "Alu"}
REEL_FIELDS = {
    "first": ("Marke am freien Ende", "m", "die Meter, die dem freien Ende am nächsten stehen"),
    "second": ("Marke am inneren Ende", "m", "die Meter, die dem Kern am nächsten stehen"),
    "ohms": ("Ein Paar als Schleife", "Ω", "seine zwei Adern am fernen Ende verbunden"),
    "celsius": ("Wie warm es ist", "°C", "die Luft, in der die Trommel gelegen hat"),
    "grams": ("Ein Meter, gewogen", "g", "abgeschnitten und gewogen, mit Mantel und allem"),
}
REEL_REASONS = ("Keine andere Trommel da", "Nur für einen Test", "Der Eigentümer will es so")
ODDS = ((0.95, "fast sicher"), (0.7, "wahrscheinlich"), (0.4, "vielleicht"), (0.15, "eher nicht"))


# ---------------------------------------------------------------- what it is found to be


@says("reel-no-marks")
def _no_marks(span: str, wanted_m: float) -> str:
    return f"**Beide Metermarken** der Trommel für {span} ablesen; gebraucht: {metres(wanted_m)}."


@says("reel-one-mark")
def _one_mark(span: str, mark_m: float) -> str:
    return f"Eine Marke zeigt {metres(mark_m)}. **Jetzt die am anderen Ende.**"


@says("reel-short")
def _short(span: str, by_m: float) -> str:
    return f"Sie ist **{metres(max(by_m, 1))} zu kurz für {span}**."


@says("reel-long-enough")
def _long_enough(span: str, length_m: float, spare_m: float) -> str:
    return f"Sie reicht für {span}, {metres(spare_m)} bleiben übrig."


@says("reel-not-measured")
def _not_measured(span: str) -> str:
    return "Ein Paar am fernen Ende der Trommel verbinden und seine Schleife messen."


@says("reel-as-sheet")
def _as_sheet(span: str, metal: str) -> str:
    return f"Die Adern sind {METALS.get(metal, metal)}, wie im Datenblatt."


@says("reel-unclear")
def _unclear(span: str, metal: str) -> str:
    return (
        f"Der Messwert zeigt nicht, ob es Adern wie im Datenblatt sind: {METALS.get(metal, metal)}."
    )


@says("reel-metal")
def _metal(span: str, metal: str, chance: float) -> str:
    return f"Es sind nicht die Adern des Datenblatts: {METALS.get(metal, metal)}, {odds(chance)}."


@says("reel-thin")
def _thin(span: str, chance: float) -> str:
    return f"Die Adern sind mindestens eine Stufe zu dünn, {odds(chance)}."


@says("reel-longer")
def _longer(span: str, chance: float) -> str:
    return f"Es liegt mehr Kabel darauf, als die Marken sagen, {odds(chance)}."


@says("reel-other")
def _other(span: str, low: bool) -> str:
    return f"Keine Ader für {span} zeigt so {'wenig' if low else 'viel'}. Noch einmal messen."


LENGTHS = {
    "reel-short": lambda span, by_m: f"ist **{metres(max(by_m, 1))} zu kurz für {span}**",
    "reel-long-enough": lambda **_: "ist lang genug",
}
WIRES = {
    "reel-not-measured": lambda **_: ". Jetzt **ein Paar** davon",
    "reel-as-sheet": lambda metal, **_: f"**ihre Adern sind {METALS.get(metal, metal)}**",
    "reel-unclear": lambda **_: "**ihre Adern sind unklar**",
    "reel-metal": lambda metal, chance, **_: (
        f"**ihre Adern sind {METALS.get(metal, metal)}**: {odds(chance)}"
    ),
    "reel-thin": lambda chance, **_: f"**ihre Adern sind zu dünn**: {odds(chance)}",
    "reel-longer": lambda chance, **_: f"**eine Marke stimmt nicht**: {odds(chance)}",
    "reel-other": lambda low, **_: f"hat **{'weniger' if low else 'mehr'} Ohm als jede Ader**",
}


def reel_finding(number: int, length: Say, wire: Say) -> str:
    """The finding in one sentence: ``Trommel 2 ist lang genug, und ihre Adern sind Kupfer.``"""
    if length.code not in LENGTHS:
        return sentence(length)
    first = LENGTHS[length.code](**length.parts)
    second = WIRES[wire.code](**wire.parts)
    if wire.code == "reel-not-measured":
        second = second if length.code == "reel-long-enough" else ""
        return f"Trommel {number} {first}{second}."
    agree = (length.code == "reel-long-enough") == (wire.code == "reel-as-sheet")
    return f"Trommel {number} {first}, {'und' if agree else 'aber'} {second}."


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


def reel_mark(value: float) -> str:
    """A mark as it is printed on a jacket."""
    return _mark(value)


def reel_no_mark() -> str:
    """Where a mark is not known yet."""
    return f"?{NBSP}m"


def reel_amount(known: bool) -> str:
    """Under the metres between the marks."""
    return "auf der Trommel" if known else "noch unbekannt"


def reel_wanted(span: str) -> str:
    """Under the metres that are wanted."""
    return f"für {span} nötig,"


def reel_slack(slack_m: float) -> str:
    """The line below: what of them is slack."""
    return f"davon {metres(slack_m)} Reserve"


def reel_too_short(span: str) -> str:
    """Under the metres that are missing."""
    return f"fehlen für {span}"


def reel_again_why() -> str:
    """Under the slab where a reading told too little."""
    return "das Paar gut verbinden, beide Enden"


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
    if celsius is None:
        return f"Schleife, ein Paar, {_whole(low)} bis {_whole(high)}{NBSP}°C"
    return f"Schleife, ein Paar, {_whole(celsius)}{NBSP}°C"


def reel_sleeve(low: float, high: float) -> str:
    """Under a sleeve: ``34,4 bis 38,6 Ω``"""
    return f"{decimal(low, 1)} bis {with_unit(high, 'loop_ohms')}"


def reel_sleeve_name(metal: str) -> str:
    """Over a sleeve."""
    return {"clad": "kaschiert"}.get(metal, METALS.get(metal, metal))


def reel_pull() -> str:
    """The slab for a reel that is right."""
    return "Diese Trommel ziehen"


def reel_keep_low(mark: float, stop: str) -> str:
    """Which mark goes where: metres then read upwards, away from the feed."""
    where = f": {stop}" if stop else ""
    return f"Ende mit Marke {_mark(mark).partition(NBSP)[0]} bleibt hier{where}"


def reel_keep_off() -> str:
    """The slab for a reel that is not."""
    return "Nicht für diese Linie"


def reel_then(way: str) -> str:
    """Under a slab that keeps a reel off: what would still tell more, else what follows."""
    return {
        "scrape": "erst Ader ankratzen: Silber ist Alu",
        "weigh": "ein gewogener Meter sagt mehr",
        "tape": "ein Maßband daran sagt mehr",
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
    return "Trotzdem verwenden"


def reel_other_one() -> str:
    """Another reel is taken up."""
    return "Andere Trommel"


def reel_type(name: str) -> str:
    """The slab while something is missing: the two marks, then the pair."""
    return {"ohms": "Ein Paar messen", "first": "Marke am freien Ende"}.get(
        name, "Marke am inneren Ende"
    )


def reel_marks_again() -> str:
    """Type the marks anew."""
    return "Marken neu"


def reel_keep(digits: str, unit: str) -> str:
    """The pad's slab."""
    return f"{digits.rstrip('.').replace('.', ',')}{NBSP}{unit} behalten"


def reel_typed(digits: str, unit: str) -> str:
    """What stands on the pad."""
    return f"{digits.replace('.', ',')}{NBSP}{unit}"


def reel_type_it(unit: str) -> str:
    """The pad's slab while there is no figure."""
    return "Gedruckte Meter tippen" if unit == "m" else "Anzeige eintippen"


def reel_for(span: str, wanted_m: float) -> str:
    """Under the pad's title."""
    return f"Trommel für {span}, {metres(wanted_m)} nötig"


def reel_warmth(celsius: float | None) -> str:
    """The temperature's own row."""
    return "Wie warm?" if celsius is None else f"{_whole(celsius)}{NBSP}°C"


def reel_weight(grams: float | None) -> str:
    """The weight's own row."""
    return "Meter wiegen" if grams is None else f"{grams:.0f}{NBSP}g je Meter"


def reel_second_opinion() -> str:
    """Under the weight."""
    return "zweite Meinung"


def reel_warmth_why(known: bool) -> str:
    """Under the temperature."""
    return "der Trommel" if known else "macht die Bänder schmaler"


def reel_settle(way: str) -> str:
    """What would tell more."""
    return {
        "scrape": "**Das Ende einer Ader ankratzen**: Silber unter dem Kupfer ist Alu.",
        "weigh": "**Einen Meter wiegen**: Kaschiertes ist ein Drittel leichter.",
        "tape": "**Am Maßband auslegen**, oder beide Marken noch einmal lesen.",
        "again": "**Das Paar am fernen Ende neu verbinden** und noch einmal messen.",
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
    return "Warum trotzdem verwenden?"


def reel_use_then(measured: bool) -> str:
    """What will come of it."""
    if measured:
        return "Der Plan rechnet dann mit den gemessenen Ohm dieser Adern."
    return "Der Plan bleibt, wie er ist; der Grund kommt in den Bericht."


def reel_own_reason() -> str:
    """The field for own words."""
    return "Anderer Grund"


def reel_use_it() -> str:
    """The slab of that sheet."""
    return "Verwenden"


def reel_needs_reason() -> str:
    """Under it while there is none."""
    return "Grund wählen oder tippen"


# ---------------------------------------------------------------- spoken, and for the record


def speak_reel(first: str, second: str, length: str, wanted: str) -> str:
    """The drawn reel in words."""
    return f"Trommel. Freies Ende {first}, inneres Ende {second}. {length}. {wanted}."


def speak_reel_gauge(ohms: float | None, reach: float, sleeves: str, word: str) -> str:
    """The two sleeves in words."""
    if ohms is None:
        return f"Schleifenohm. {sleeves}."
    shown = with_unit(ohms, "loop_ohms")
    return f"{shown}, plus oder minus {reach_of(reach, 'loop_ohms')}. {sleeves}. {word}."


def reel_typing_line(digits: str, unit: str, since: str) -> str:
    """After a kill: what was on the pad."""
    when = f", {since}" if since else ""
    return f"Du warst bei {reel_typed(digits, unit)}{when}"


def note_reel(number: int, span: str, ohms: float | None) -> str:
    """In the record: a reel with what is known of it."""
    shown = plain_number(ohms) if ohms is not None else ""
    measured = f", {typed_with_unit(shown, 'loop_ohms')}" if shown else ""
    return f"Trommel {number} für {span}{measured}"


def note_reel_taken(number: int, span: str) -> str:
    """In the record: it goes into the run."""
    return f"Trommel {number} ist für {span} genommen"


def note_reel_refused(number: int, span: str) -> str:
    """In the record: it does not."""
    return f"Trommel {number} ist nicht für {span}"


def reel_sheet_title(span: str) -> str:
    """The name of the sheet that a span gets of its own."""
    return f"Adern von {span}, wie gemessen"
