"""The sentences of the record that is left behind, in German. They are printed: nothing in them can be
pressed."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words import units
from fieldapp.words.english.record import (  # noqa: F401
    record_answered,
    record_photo,
)
from fieldapp.words.german.figures import (
    DIGITS,
    EARTH_METHODS,
    KINDS,
    NBSP,
    VERDICTS,
    cable_wire,
    capital,
    comma,
    length,
    metres,
    plain_number,
    several,
    things,
    unit_of,
    with_unit,
)
from fieldapp.words.german.reel import METALS

LANGUAGE = "de"

RECORD_HEADS = {
    "built": "Was gebaut wurde",
    "waived": "Hingenommene Mängel, die sonst aufhalten",
    "line": "Volt entlang der Linie",
    "open": "Was noch offen ist",
    "since": "Seit dem letzten Besuch",
    "readings": "Messwerte",
    "findings": "Mängel im Plan",
    "diagnosis": "Worauf die Messwerte deuten",
    "faults": "Gefundene und behobene Fehler",
    "answered": "Was sonst hingenommen wurde",
    "steps": "Schritte",
    "visits": "Besuche",
    "notes": "Bemerkungen",
    "odd": "Was im Protokoll auffällt",
    "photos": "Fotos",
    "boxes": "Boxen und Kabel, wie gebaut",
    "remote-power": "Strom auf den Kabeln",
    "meters": "Messgeräte",
    "assumed": "Annahmen und Quellen",
    "cautions": "Worauf zu achten ist",
    "heeded": "Gelesene Hinweise, gestartete Uhren",
    "signatures": "Unterschriften",
}
RECORD_COLUMNS = {
    "time": "Zeit",
    "place": "Stelle",
    "kind": "was",
    "value": "Wert",
    "band": "soll",
    "verdict": "Urteil",
    "meter": "Messgerät",
    "by": "von",
    "weight": "Gewicht",
    "finding": "worum es geht",
    "answered": "hingenommen von",
    "odds": "Chance",
    "cause": "Ursache",
    "done": "was gemacht wurde",
    "state": "Stand",
    "step": "Schritt",
    "box": "Box",
    "box-kind": "Art",
    "name": "Name",
    "stop": "Ort",
    "sheet": "Datenblatt",
    "bond": "Erdverbindung",
    "span": "Kabel",
    "ends": "von, bis",
    "length": "Länge",
    "resistance": "Schleifenohm",
    "text": "Bemerkung",
    "left": "verlassen",
    "reason": "Anlass",
    "people": "Personen",
    "before": "vorher",
    "now": "jetzt",
    "difference": "Differenz",
    "sure": "Deutung",
    "role": "Rolle",
    "wire": "Adern",
    "bundle": "Bündel",
    "most": "höchster Strom, schlimmster Fall",
    "warmth": "Adern bei",
    "serial": "Seriennummer",
    "calibrated": "kalibriert",
    "reach": "mögliche Abweichung",
    "said": "was da stand",
    "where": "wo und wann",
}
RECORD_NOTHING = {
    "waived": "Keiner wurde hingenommen.",
    "open": "Nichts.",
    "readings": "Noch ist nichts gemessen. Was hier steht, ist allein der Plan.",
    "findings": "Keine.",
    "faults": "Kein Fehler ist eingetragen.",
    "answered": "Nichts.",
    "steps": "Kein Schritt ist nötig.",
    "visits": "Kein Besuch ist eingetragen.",
    "photos": "Kein Foto wurde gemacht.",
    "signatures": "Niemand hat in der App unterschrieben.",
    "boxes": "Noch ist keine Box im Plan.",
    "meters": "Kein Messgerät ist genannt: Die Messwerte gelten als die eines einfachen.",
    "line": "Noch ist keine Box im Plan.",
}
RECORD_WEIGHTS = {"stop": "Halt", "warn": "ansehen", "note": "Hinweis"}
RECORD_STEPS = {
    "done": "erledigt",
    "open": "offen",
    "undone": "zurückgenommen",
    "not-here": "nicht gemacht",
}


def record_head(part: str) -> str:
    """Over a part of the record."""
    return RECORD_HEADS[part]


def record_column(column: str) -> str:
    """Over a column."""
    return RECORD_COLUMNS[column]


def record_nothing(part: str) -> str:
    """In place of a table without rows."""
    return RECORD_NOTHING[part]


def record_title(title: str) -> str:
    """The name of the record."""
    return f"Bericht zu {title}"


def record_weight(severity: str) -> str:
    """How much a finding weighs."""
    return RECORD_WEIGHTS[severity]


def record_step_state(mark: str) -> str:
    """How a step stands."""
    return RECORD_STEPS[mark]


# ---------------------------------------------------------------- the first page


def record_built(boxes: int, length_m: float, source: str, end: str) -> str:
    """What was built, in one sentence; a plan without a run has no ends."""
    many = several(boxes, "eine Box", "Boxen")
    if not end:
        return f"{capital(many)}; noch keine Linie von einer Einspeisung zu einem Endpunkt."
    return f"{metres(length_m)} Kabel von {source} bis {end}, insgesamt {many}."


def record_between(first: str, last: str) -> str:
    """When the log was written."""
    if not first:
        return "Im Protokoll steht keine Zeit."
    return f"Eingetragen {first}." if first == last else f"Eingetragen von {first} bis {last}."


def record_people(names: Sequence[str]) -> str:
    """Who kept entries."""
    return f"Von {', '.join(names)}." if names else "Im Protokoll steht kein Name."


def record_verdict(state: str, number: int) -> str:
    """What it all comes to."""
    many = capital(several(number, "ein Messwert", "Messwerte"))
    is_one = number == 1
    rules = several(number, "eine Regel, die aufhält", "Regeln, die aufhalten")
    unclear = "ist unklar und sollte" if is_one else "sind unklar und sollten"
    return {
        "outside": f"{many} {'liegt' if is_one else 'liegen'} außerhalb dessen, was dieser Auftrag "
        "zeigen kann.",
        "collapse": "Nach dem Plan kann diese Linie ihre Volt nicht halten.",
        "stop": f"Der Plan verletzt {rules}, und niemand steht dafür ein.",
        "nothing-read": "Noch ist nichts gemessen: Das ist allein der Plan.",
        "unclear": f"{many} {unclear} neu gemessen werden; keiner liegt außerhalb.",
        "no-band": "Für nichts Gemessenes gibt es einen Maßstab.",
        "open": f"Kein Messwert liegt außerhalb; {things(number)} {'ist' if is_one else 'sind'} "
        "noch offen.",
        "agrees": f"{many}, {'nicht' if is_one else 'keiner'} außerhalb, und nichts ist offen.",
    }[state]


# ---------------------------------------------------------------- its tables


def record_band(low: float | None, expected: float | None, high: float | None, kind: str) -> str:
    """What a reading should be."""
    if kind == "mbps" and expected is not None:
        return with_unit(expected, kind)
    if low is None:
        return "kein Band" if high is None else f"bis {with_unit(high, kind)}"
    if high is None:
        return f"mindestens {with_unit(low, kind)}"
    return f"{' bis '.join(map(comma, units.apart(low, high, kind, DIGITS.get(kind, 1))))}{NBSP}{unit_of(kind)}"


def record_word(verdict: str, is_current: bool, is_void: bool) -> str:
    """The word on a reading; one that no longer counts says why it is struck through."""
    if is_void:
        return "zurückgenommen"
    return VERDICTS[verdict] if is_current else "zählt nicht mehr"


def record_stood(known: Sequence[tuple[str, float]], off: Sequence[str], is_alone: bool) -> str:
    """What stood otherwise than planned while it was read; empty where nothing did."""
    parts = [f"{plain_number(watts)}{NBSP}W statt {box}" for box, watts in known]
    parts += [f"{box} aus" for box in off]
    if is_alone:
        parts.append("dahinter nichts angesteckt")
    return ", ".join(parts)


def record_no_meter() -> str:
    """Of a reading whose meter nobody named."""
    return "nicht genannt"


def record_mended(is_open: bool) -> str:
    """Whether something was altered where a fault was found."""
    return "nicht behoben" if is_open else "seither geändert"


def record_found(what: str, text: str) -> str:
    """A fault that was found; what was written then may name it already."""
    if text.lower().startswith(what.lower()):
        return f"Gefunden: {text}"
    return f"Gefunden: {what}. {text}".rstrip()


def record_did(text: str) -> str:
    """A change that was made."""
    return f"Gemacht: {text}"


def record_left(number: int, answered: bool) -> str:
    """How a visit ended; what somebody answered for was not in the way."""
    if not number:
        return "verlassen, nichts offen"
    return f"verlassen, {things(number)} {'hingenommen' if answered else 'offen'}"


def record_not_left() -> str:
    """Of a visit without an end in the log."""
    return "kein Ende im Protokoll"


def record_do(do: str) -> str:
    """What to do about a cause."""
    return f"Zu tun: {do}"


def record_next(test: str) -> str:
    """The test that would tell most."""
    return f"Als Nächstes: {test}"


def record_length(low: float, expected: float, high: float) -> str:
    """The length of a span."""
    if units.length_text(low) == units.length_text(high):
        return metres(expected)
    return f"{metres(expected)} ({units.length_text(low)} bis {units.length_text(high)})"


def record_to_earth(earth: str, lead_m: float | None) -> str:
    """Where a box is bonded."""
    return f"{earth}, {length(lead_m)}" if lead_m is not None else earth


# ---------------------------------------------------------------- pictures, sources, names


def record_no_photo() -> str:
    """In the place of a photo that did not come with the file."""
    return "Dieses Bild kam nicht mit der Datei."


def record_sheet(name: str, note: str) -> str:
    """A sheet whose figures were used."""
    return f"Datenblatt {name}: {note}" if note else f"Datenblatt {name}"


def record_reach(kind: str, percent: float, least: float) -> str:
    """How far a meter can be out, for one kind of reading."""
    share, rest = plain_number(percent), plain_number(least)
    return f"{KINDS[kind]} ±{share}{NBSP}% und {rest}{NBSP}{unit_of(kind)}"


def record_kind(kind: str, method: str) -> str:
    """What was read, and how where somebody said so."""
    named, _ = EARTH_METHODS.get(method, (method, ""))
    return f"{KINDS[kind]}, {named}" if named else KINDS[kind]


def record_wire(category: str | None, material: str | None, awg: int | None) -> str:
    """The kind of cable and its gauge."""
    parts = (
        category and f"Kategorie {category}",
        material and METALS.get(material, material),
        awg and cable_wire(awg),
    )
    return ", ".join(part for part in parts if part) or "nicht angegeben"


def record_bundle(bundle: int | None) -> str:
    """How many cables with power lie together."""
    return "nicht angegeben" if bundle is None else several(bundle, "ein Kabel", "Kabel")


def record_conductor(amps: float | None) -> str:
    """The most that one conductor carries at worst."""
    return "kein Strom" if amps is None else f"{amps * 1000:.0f}{NBSP}mA je Ader"


_SOURCES = {
    "common practice, fixed by the job format, section 2": (
        "übliche Praxis, festgelegt im Auftragsformat, Abschnitt 2"
    ),
    "a bare number of this kind has no tolerance": (
        "eine bloße Zahl dieser Art hat keine Toleranz"
    ),
    "IEEE 802.3 clause 33, as restated by two data sheets of powered devices: on at or below, "
    "rising": "IEEE 802.3, Abschnitt 33, nach zwei Datenblättern: spätestens hier an, steigend",
    "common practice: the thinnest usual solid cable": (
        "übliche Praxis: das dünnste gängige Kabel mit massiven Adern"
    ),
    "the poorer of the two usual grades of clad wire (ASTM B566, classes 10 and 15)": (
        "die schlechtere der zwei üblichen Güten kupferkaschierter Adern (ASTM B566, Klassen 10 und 15)"
    ),
    "ASTM B258 sizes, IEC 60028 copper, lay and strands: see standards.conductors": (
        "Maße nach ASTM B258, Kupfer nach IEC 60028, Verseilung: siehe standards.conductors"
    ),
    "common practice: the plainest cable still sold for data": (
        "übliche Praxis: das einfachste Datenkabel, das es noch zu kaufen gibt"
    ),
    "ISO/IEC 11801 and TIA-568 channel: 90 m of fixed cable and 10 m of cords, by the rule "
    "cords = (102 - cable)/1.2 on a university course page": (
        f"Kanal nach ISO/IEC 11801 und TIA-568: 90{NBSP}m fest und 10{NBSP}m Patchkabel, nach "
        "(102 − fest)/1,2 (Kursseite einer Hochschule)"
    ),
}
"""where what nobody typed comes from, by the words of the engine; one not known here stays as it is"""


def record_source(what: str, source: str) -> str:
    """What was taken where nobody typed a figure, and why."""
    return f"{what} {capital(_SOURCES.get(source, source))}."


def record_sources() -> str:
    """Where the published numbers are."""
    return "farend sources nennt jede veröffentlichte Zahl mit ihrer Herkunft."


def record_limits() -> str:
    """What this record is not."""
    return (
        "Hier steht, was geplant, gemessen und gesagt wurde. Über Erdung, Netz und Höhe "
        "entscheiden örtliche Vorschriften und Fachkräfte."
    )


def record_sign_here() -> str:
    """Over lines for a pen."""
    return "Name, Rolle, Datum und Unterschrift:"


def record_line_speech(title: str) -> str:
    """The drawing, for who cannot see it."""
    return f"Volt entlang {title}: von der Einspeisung zum fernen Ende fallend."


def record_page(number: int | str, of: int | str) -> str:
    """In the foot of each page; what counts pages itself puts its own signs for the two."""
    return f"Seite {number} von {of}"


def record_boxes() -> str:
    """Where a name has letters that the printed typeface lacks."""
    return "Buchstaben, die dieser Schrift fehlen, stehen hier als Kästchen; die Auftragsdatei hat sie."
