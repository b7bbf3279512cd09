"""The sentences of the record that is left behind. They are printed: nothing in them can be pressed."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words import units
from fieldapp.words.english.figures import (
    DIGITS,
    EARTH_METHODS,
    KINDS,
    NBSP,
    VERDICTS,
    cable_wire,
    capital,
    count,
    length,
    metres,
    unit_of,
    with_unit,
)

LANGUAGE = "en-GB"
"""in which these words are, as documents name it (BCP 47, from memory)"""

RECORD_HEADS = {
    "built": "What was built",
    "waived": "Stop findings that somebody answers for",
    "line": "Volts along the run",
    "open": "What is still open",
    "since": "Since the last visit",
    "readings": "Readings",
    "findings": "What the plan breaks",
    "diagnosis": "What the readings point to",
    "faults": "Faults found and mended",
    "answered": "What else somebody answers for",
    "steps": "Steps",
    "visits": "Visits",
    "notes": "Remarks",
    "odd": "Oddities of the log",
    "photos": "Photos",
    "boxes": "Boxes and cables as built",
    "remote-power": "Power on the cables",
    "meters": "Meters",
    "assumed": "Assumptions and sources",
    "cautions": "Cautions",
    "heeded": "Cautions read, clocks started",
    "signatures": "Signatures",
}
"""over each part of the record"""

RECORD_COLUMNS = {
    "time": "time",
    "place": "place",
    "kind": "what",
    "value": "value",
    "band": "should be",
    "verdict": "verdict",
    "meter": "meter",
    "by": "by",
    "weight": "weight",
    "finding": "finding",
    "answered": "answered for",
    "odds": "odds",
    "cause": "cause",
    "done": "what was done",
    "state": "state",
    "step": "step",
    "box": "box",
    "box-kind": "kind",
    "name": "name",
    "stop": "stop",
    "sheet": "sheet",
    "bond": "bond",
    "span": "cable",
    "ends": "from, to",
    "length": "length",
    "resistance": "loop ohms",
    "text": "remark",
    "left": "left",
    "reason": "why",
    "people": "people",
    "before": "before",
    "now": "now",
    "difference": "difference",
    "sure": "how sure",
    "role": "role",
    "wire": "wire",
    "bundle": "bundle",
    "most": "most current, at worst",
    "warmth": "conductors at",
    "serial": "serial number",
    "calibrated": "calibrated",
    "reach": "how far it can be out",
    "said": "what it said",
    "where": "where and when",
}
"""heads of the record's tables"""

RECORD_NOTHING = {
    "waived": "Nobody answers for one.",
    "open": "Nothing.",
    "readings": "Nothing was measured yet. What stands here is the plan alone.",
    "findings": "Nothing.",
    "faults": "No fault was logged.",
    "answered": "Nothing.",
    "steps": "No step is called for.",
    "visits": "No visit was logged.",
    "photos": "No photo was taken.",
    "signatures": "Nobody signed in the app.",
    "boxes": "No box is in the plan yet.",
    "meters": "No meter is named: readings are taken as a plain one's.",
    "line": "No box is in the plan yet.",
}
"""what a part says that has nothing to tell"""

RECORD_WEIGHTS = {"stop": "stop", "warn": "look at it", "note": "note"}
RECORD_STEPS = {"done": "done", "open": "open", "undone": "taken back", "not-here": "not done"}


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
    return f"Record of {title}"


def record_weight(severity: str) -> str:
    """How much a finding weighs."""
    return RECORD_WEIGHTS[severity]


def record_step_state(mark: str) -> str:
    """How a step stands."""
    return RECORD_STEPS[mark]


# ---------------------------------------------------------------- the first page


def record_built(boxes: int, length_m: float, source: str, end: str) -> str:
    """What was built, in one sentence; a plan without a run has no ends."""
    many = "1 box" if boxes == 1 else f"{count(boxes)} boxes"
    if not end:
        return f"{capital(many)}; no run from a feed to an endpoint yet."
    return f"{metres(length_m)} of cable from {source} to {end}, {many} in all."


def record_between(first: str, last: str) -> str:
    """When the log was written."""
    if not first:
        return "Nothing in the log tells a time."
    return f"Logged {first}." if first == last else f"Logged from {first} to {last}."


def record_people(names: Sequence[str]) -> str:
    """Who kept entries."""
    return f"By {', '.join(names)}." if names else "No name stands in the log."


def record_verdict(state: str, number: int) -> str:
    """What it all comes to."""
    many = "1 reading" if number == 1 else f"{count(number)} readings"
    verb = "is" if number == 1 else "are"
    things = "1 thing" if number == 1 else f"{count(number)} things"
    return {
        "outside": f"{capital(many)} {verb} outside what this job can show.",
        "collapse": "By the plan this run cannot hold its volts.",
        "stop": f"The plan breaks {count(number)} stop {'rule' if number == 1 else 'rules'}, "
        "and nobody answers for it.",
        "nothing-read": "Nothing is measured yet: this is the plan alone.",
        "unclear": f"{capital(many)} {verb} unclear and should be taken again; none is outside.",
        "no-band": "Nothing that was read can be judged.",
        "open": f"No reading is outside; {things} still open.",
        "agrees": f"{capital(many)}, none outside, and nothing is open.",
    }[state]


def record_answered(by: str, role: str, when: str, reason: str) -> str:
    """Who answers for a hold, and why."""
    who = f"{by}, {role}" if role else by
    return f"{who}, {when}: {reason}" if when else f"{who}: {reason}"


# ---------------------------------------------------------------- its tables


def record_band(low: float | None, expected: float | None, high: float | None, kind: str) -> str:
    """What a reading should be."""
    if kind == "mbps" and expected is not None:
        return with_unit(expected, kind)
    if low is None:
        return "no band" if high is None else f"up to {with_unit(high, kind)}"
    if high is None:
        return f"{with_unit(low, kind)} or more"
    return f"{' to '.join(units.apart(low, high, kind, DIGITS.get(kind, 1)))}{NBSP}{unit_of(kind)}"


def record_word(verdict: str, is_current: bool, is_void: bool) -> str:
    """The word on a reading; one that no longer counts says why it is struck through."""
    if is_void:
        return "taken back"
    return VERDICTS[verdict] if is_current else "no longer counts"


def record_stood(known: Sequence[tuple[str, float]], off: Sequence[str], is_alone: bool) -> str:
    """What stood otherwise than planned while it was read; empty where nothing did."""
    parts = [f"{watts:g}{NBSP}W in place of {box}" for box, watts in known]
    parts += [f"{box} off" for box in off]
    if is_alone:
        parts.append("nothing plugged in beyond")
    return ", ".join(parts)


def record_no_meter() -> str:
    """Of a reading whose meter nobody named."""
    return "not named"


def record_mended(is_open: bool) -> str:
    """Whether something was altered where a fault was found."""
    return "not mended" if is_open else "altered since"


def record_found(what: str, text: str) -> str:
    """A fault that was found; what was written then may name it already."""
    if text.lower().startswith(what.lower()):
        return f"Found: {text}"
    return f"Found: {what}. {text}".rstrip()


def record_did(text: str) -> str:
    """A change that was made."""
    return f"Done: {text}"


def record_left(number: int, answered: bool) -> str:
    """How a visit ended; what somebody answered for was not in the way."""
    if not number:
        return "left, nothing open"
    return f"left, {count(number)} {'answered for' if answered else 'open'}"


def record_not_left() -> str:
    """Of a visit without an end in the log."""
    return "no end in the log"


def record_do(do: str) -> str:
    """What to do about a cause."""
    return f"To do: {do}"


def record_next(test: str) -> str:
    """The test that would tell most."""
    return f"Next: {test}"


def record_length(low: float, expected: float, high: float) -> str:
    """The length of a span."""
    if units.length_text(low) == units.length_text(high):
        return metres(expected)
    return f"{metres(expected)} ({units.length_text(low)} to {units.length_text(high)})"


def record_to_earth(earth: str, lead_m: float | None) -> str:
    """Where a box is bonded."""
    return f"{earth}, {length(lead_m)}" if lead_m is not None else earth


# ---------------------------------------------------------------- pictures, sources, names


def record_photo(of: str, when: str, by: str) -> str:
    """Under a photo."""
    return ", ".join(part for part in (of, when, by) if part)


def record_no_photo() -> str:
    """In the place of a photo that did not come with the file."""
    return "This picture did not come with the file."


def record_sheet(name: str, note: str) -> str:
    """A sheet whose figures were used."""
    return f"Sheet {name}: {note}" if note else f"Sheet {name}"


def record_reach(kind: str, percent: float, least: float) -> str:
    """How far a meter can be out, for one kind of reading."""
    return (
        f"{KINDS[kind]} ±{percent:g}{NBSP}% and {units.shown(least, kind):.3g}{NBSP}{unit_of(kind)}"
    )


def record_kind(kind: str, method: str) -> str:
    """What was read, and how where somebody said so."""
    named, _ = EARTH_METHODS.get(method, (method, ""))
    return f"{KINDS[kind]}, {named}" if named else KINDS[kind]


def record_wire(category: str | None, material: str | None, awg: int | None) -> str:
    """The kind of cable and its gauge."""
    parts = (category and f"category {category}", material, awg and cable_wire(awg))
    return ", ".join(part for part in parts if part) or "not told"


def record_bundle(bundle: int | None) -> str:
    """How many cables with power lie together."""
    return "not told" if bundle is None else f"{count(bundle)} cable{'' if bundle == 1 else 's'}"


def record_conductor(amps: float | None) -> str:
    """The most that one conductor carries at worst."""
    return "no power" if amps is None else f"{amps * 1000:.0f}{NBSP}mA a conductor"


def record_source(what: str, source: str) -> str:
    """What was taken where nobody typed a figure, and why."""
    return f"{what} {capital(source)}."


def record_sources() -> str:
    """Where the published numbers are."""
    return "farend sources lists every published number with where it comes from."


def record_limits() -> str:
    """What this record is not."""
    return (
        "This holds what was planned, read and said. Local code and licensed people decide "
        "about earthing, mains and height."
    )


def record_sign_here() -> str:
    """Over lines for a pen."""
    return "Name, role, date and signature:"


def record_line_speech(title: str) -> str:
    """The drawing, for who cannot see it."""
    return f"Volts along {title}, falling from the feed to the far end."


def record_page(number: int | str, of: int | str) -> str:
    """In the foot of each page; what counts pages itself puts its own signs for the two."""
    return f"page {number} of {of}"


def record_boxes() -> str:
    """Where a name has letters that the printed typeface lacks."""
    return "Letters that this typeface lacks stand as boxes here; the job file has them."
