"""The page of a fault in German: odds in words, names of causes in lists, what its buttons say."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words.german.causes import cause_name
from fieldapp.words.german.figures import (
    KINDS,
    NBSP,
    capital,
    count,
    figure,
    metres,
    plain_number,
    point,
    several,
    side_of,
    unit_of,
)
from fieldapp.words.german.reel import odds
from fieldapp.words.german.work import takes

# ---------------------------------------------------------------- odds


def in_ten(probability: float) -> str:
    """``7 von 10``"""
    return odds(probability).partition(", ")[2]


# ---------------------------------------------------------------- causes in a list


def cause_at(cause: str, where: str) -> str:
    """A cause and its place, for the record: ``schlechtes Ende, C4``."""
    return f"{cause_name(cause)}, {point(where)}" if where else cause_name(cause)


def speak_cause(cause: str, where: str, probability: float) -> str:
    """A row of the list for a screen reader."""
    return f"{capital(cause_at(cause, where))}. {capital(odds(probability))}."


def rest_of(causes: Sequence[str]) -> str:
    """What stands behind the last row: the likeliest of the others."""
    named = [cause_name(cause) for cause in dict.fromkeys(causes) if cause != "other"]
    return f"etwa: {named[0]}" if named else "nichts aus dieser Liste"


def of_reading(at: str, kind: str) -> str:
    """The place of a slip: ``Volt an A2, Leitungsseite``."""
    return f"{capital(KINDS.get(kind, kind))} an {point(at)}"


def along(stops: Sequence[str]) -> str:
    """The place of a span, by its stops: ``Sluice bis Hide``; within one stop ``Sluice``."""
    return at_stop(stops[0]) if len(stops) == 1 else " bis ".join(stops)


def at_stop(name: str) -> str:
    """The place of a box: its name alone, for no one preposition fits hut, gate and roof."""
    return name


def also(parts: Sequence[str]) -> str:
    """Two at once: ``schlechtes Ende, C4; fernes Ende zieht zu viel, C``."""
    return "; ".join(parts)


def and_more(name: str, more: int) -> str:
    """One name for several: ``C2 und 3 mehr``."""
    return f"{name} und {more} mehr"


# ---------------------------------------------------------------- the states of the page


def weighing(share: float) -> str:
    """While causes are looked for: how far that is, in words."""
    far = "eben begonnen" if share < 0.25 else "zur Hälfte" if share < 0.75 else "gleich fertig"
    return f"Ursachen abwägen: {far}."


def gave_up() -> str:
    """The search broke off."""
    return "Die Ursachen ließen sich **nicht ausrechnen**. Alle Messwerte sind festgehalten."


def readings_count(number: int) -> str:
    """Right of the ribbon's title: ``fünf Messwerte``."""
    return several(number, "ein Messwert", "Messwerte")


def agree_not_proof() -> str:
    """What that does not say."""
    return "Das heißt nicht, dass nichts fehlt. **Messwerte sehen nicht**:"


def nothing_read() -> str:
    """No reading counts."""
    return "**Noch ist nichts gemessen**, was auf eine Ursache zeigt."


def one_test(number: int) -> str:
    """Over the gauge of the next test."""
    return "Ein Test trennt sie" if number > 1 else "Ein Test sagt mehr"


def no_test() -> str:
    """No test within reach tells them apart."""
    return "Kein Test in Reichweite trennt sie."


def no_test_more(same_place: bool) -> str:
    """And what then is cheapest."""
    if same_place:
        return "Beide sitzen an einer Stelle: Dieselbe Arbeit behebt beide."
    return "Das Wahrscheinlichste beheben, dann neu messen."


def test_name(kind: str, at: str) -> str:
    """Right of it: ``Volt an J1, OUT``."""
    return f"{KINDS[kind]} {'an' if '.' in at else 'von'} {point(at)}"


def range_of(low: float, high: float, kind: str) -> str:
    """``45,6 bis 47,0 V`` under a sleeve; in one figure where both ends read the same."""
    ends = dict.fromkeys((figure(max(low, 0.0), kind), figure(max(high, 0.0), kind)))
    return f"{' bis '.join(ends)}{NBSP}{unit_of(kind)}"


def light_foretold(probability: float) -> str:
    """What a link's light would show under a cause."""
    return f"volles Tempo: {odds(probability)}"


def speak_sleeves(rows: Sequence[tuple[str, str]], test: str) -> str:
    """The gauge of the next test for a screen reader."""
    return f"{capital(test)}. " + " ".join(f"Wenn {name}: {shows}." for name, shows in rows)


# ---------------------------------------------------------------- the slab


def walk_to(box: str, metres_: float, back: bool) -> str:
    """``Zurück zu J1, 256 m``"""
    return f"{'Zurück' if back else 'Weiter'} zu {box}, {metres(metres_)}"


def then_measure(kind: str, at: str) -> str:
    """Under a walk: ``dann Volt an der Boxseite``, ``dann Volt an OUT``."""
    if "." not in at:
        return f"dann {KINDS[kind]} von {at}"
    side = point(at).partition(", ")[2]
    return f"dann {KINDS[kind]} an {side if side.isupper() else f'der {side}'}"


def with_stand_in(box: str, watts: float) -> str:
    """What stands in for a box: ``15 W statt C``, ``C abgezogen``."""
    return f"{plain_number(watts)}{NBSP}W statt {box}" if watts else f"{box} abgezogen"


def first_off() -> str:
    """Under the slab of a test that wants the power off."""
    return "erst Strom aus, mit Rückmeldung"


def find_fault() -> str:
    """The slab that leads here."""
    return "Fehler suchen"


def find_more(causes: int, parts: bool, sure: bool) -> str:
    """Under it: ``fünf Ursachen; ein Test trennt sie``."""
    if sure:
        return "eine Ursache sticht heraus"
    if parts and causes > 1:
        return f"{count(causes)} Ursachen; ein Test trennt sie"
    return "eine Ursache passt" if causes == 1 else f"{count(causes)} Ursachen passen"


def none_stands_out() -> str:
    """Under it where many causes fit a little and none of them well: too little was read."""
    return "noch hebt sich keine Ursache ab"


def none_fits() -> str:
    """Under it where no cause explains the readings."""
    return "keine Ursache allein erklärt das"


def still_weighing() -> str:
    """Under it while that is not worked out."""
    return "Ursachen werden abgewogen"


# ---------------------------------------------------------------- a dead test


def test_title(kind: str, at: str) -> str:
    """The sentence of what comes before a test."""
    return f"Vor **{test_name(kind, at)}**:"


def is_off(box: str) -> str:
    """The press that somebody says that a feed is off."""
    return f"{box} ist aus"


def is_off_said(box: str, by: str, at: str) -> str:
    """Whose word it is: ``S ist aus: Orla, 14:05``."""
    told = ", ".join(word for word in (by, at) if word)
    return f"**{box} ist aus**: {told}" if told else f"**{box} ist aus**"


def waits_for_off(boxes: Sequence[str]) -> str:
    """Under the slab that waits: ``erst die Meldung: S ist aus``."""
    return f"erst die Meldung: {' und '.join(boxes)} {'ist' if len(boxes) == 1 else 'sind'} aus"


def test_hold() -> str:
    """What holds one until it is as it was."""
    return "Was aus oder eingesetzt ist, hält dich auf, bis es ist wie vorher."


# ---------------------------------------------------------------- mending


def mended_slab() -> str:
    """The slab that keeps what was mended."""
    return "Behoben"


def mended_asks() -> str:
    """Under it."""
    return "alte Werte der Linie neu messen"


def was_it_that() -> str:
    """The question that comes with it."""
    return "War es das?"


def was_it_missing() -> str:
    """Under the slab while it is not answered."""
    return "erst sagen, was es war"


def it_was_that() -> str:
    """One answer."""
    return "Ja, das"


def it_was_else() -> str:
    """Another."""
    return "Etwas anderes"


def it_was_unseen() -> str:
    """The third."""
    return "Nicht zu erkennen"


def what_was_it() -> str:
    """Over the list of what it can have been."""
    return "Was war es?"


def for_next_time() -> str:
    """Why that is asked."""
    return "Es kommt in den Bericht und zählt bei deinen nächsten Aufträgen mit."


def look_for() -> str:
    """Before what eye and hand look for."""
    return "Ansehen"


def to_be_sure() -> str:
    """Before what would make it sure."""
    return "Gegenprobe"


def suspect_line(what: str, probability: float) -> str:
    """In a hold: what its reading points to."""
    return f"Verdacht: {what}, {odds(probability)}."


def nearest_is() -> str:
    """Where nothing fits, before the cause that comes nearest."""
    return "Am nächsten kommt:"


def then_say() -> str:
    """Under the slab of a mending: what comes after it."""
    return "danach sagen, was es war"


def found_already() -> str:
    """The quiet for who has found the cause without the test."""
    return "Gefunden, jetzt beheben"


def speaks_against(said: str) -> str:
    """A reading that does not fit a cause: what it says, and that."""
    return f"{said} **Das spricht dagegen.**"


def others_say(telling: int, silent: int) -> str:
    """The readings that are not shown: how many speak of a cause, how many do not."""
    if not telling:
        says = "ein Messwert sagt" if silent == 1 else f"{count(silent)} Messwerte sagen"
        return f"{capital(says)} nichts dazu."
    more = "ein weiterer sagt" if telling == 1 else f"{count(telling)} weitere sagen"
    nothing = f", {'einer' if silent == 1 else count(silent)} nichts" if silent else ""
    return f"{capital(more)} etwas dazu{nothing}."


def read_there(at: str, value: str) -> str:
    """A reading in a line: ``A2, Leitungsseite: 41,0 V``."""
    return f"{point(at)}: **{value}**"


KINDS_OF_SPAN = {
    "clad": "kupferkaschierte Adern",
    "thin": "dünne Adern",
    "long": "mehr Länge",
    "hot": "mehr Wärme",
}


def kinds_told(kinds: Sequence[tuple[str, float]]) -> str:
    """What a span may be at heart: volts cannot tell that."""
    named = "; ".join(f"{KINDS_OF_SPAN.get(kind, kind)}, {in_ten(share)}" for kind, share in kinds)
    return f"Warum, zeigen Volt nicht: {named}."


def ends_told(ends: Sequence[tuple[str, float]]) -> str:
    """At which end it sits: volts cannot tell that."""
    named = "; ".join(f"{side_of(at)}, {in_ten(share)}" for at, share in ends)
    return f"Welches Ende, zeigen Volt nicht: {named}."


def test_takes(minutes: float, needs: Sequence[str]) -> str:
    """What a test takes, walk and all: ``9 min, mit dem Kurzschluss am Ende``."""
    return takes(minutes, tuple(need.replace("known-load", "known load") for need in needs))


def may_be_in(places: Sequence[str], together: float) -> str:
    """The same cause elsewhere, as likely: ``Es kann auch in C3 oder C5 sitzen: …``"""
    *before, last = places
    named = f"{', '.join(before)} oder {last}" if before else last
    return f"Es kann auch in {named} sitzen: zusammen {odds(together)}."
