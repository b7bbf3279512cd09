"""The page of a fault: odds in words, names of causes in lists, what its buttons say."""

from __future__ import annotations

from collections.abc import Sequence

from fieldapp.words.english.causes import cause_name
from fieldapp.words.english.figures import (
    KINDS,
    NBSP,
    capital,
    count,
    figure,
    metres,
    point,
    side_of,
    unit_of,
)
from fieldapp.words.english.reel import odds
from fieldapp.words.english.work import takes

# ---------------------------------------------------------------- odds


def in_ten(probability: float) -> str:
    """``7 in 10``"""
    return odds(probability).partition(", ")[2]


# ---------------------------------------------------------------- causes in a list


def cause_at(cause: str, where: str) -> str:
    """A cause and its place, for the record: ``bad termination, C4``."""
    return f"{cause_name(cause)}, {point(where)}" if where else cause_name(cause)


def speak_cause(cause: str, where: str, probability: float) -> str:
    """A row of the list for a screen reader."""
    return f"{capital(cause_at(cause, where))}. {capital(odds(probability))}."


def rest_of(causes: Sequence[str]) -> str:
    """What stands behind the last row: the likeliest of the others."""
    named = [cause_name(cause) for cause in dict.fromkeys(causes) if cause != "other"]
    return f"such as {named[0]}" if named else "nothing of this list"


def of_reading(at: str, kind: str) -> str:
    """The place of a slip: ``the volts at A2, line side``."""
    return f"the {KINDS.get(kind, kind)} at {point(at)}"


def along(stops: Sequence[str]) -> str:
    """The place of a span, by its stops: ``Sluice to Hide``; within one stop ``at Sluice``."""
    return at_stop(stops[0]) if len(stops) == 1 else " to ".join(stops)


def at_stop(name: str) -> str:
    """The place of a box."""
    return f"at {name}"


def also(parts: Sequence[str]) -> str:
    """Two at once: ``bad end of a span, C4; far end draws too much, C``."""
    return "; ".join(parts)


def and_more(name: str, more: int) -> str:
    """One name for several: ``C2 and 3 more``."""
    return f"{name} and {more} more"


# ---------------------------------------------------------------- the states of the page


def weighing(share: float) -> str:
    """While causes are looked for: how far that is, in words."""
    far = "just begun" if share < 0.25 else "halfway" if share < 0.75 else "nearly there"
    return f"Weighing what can be wrong: {far}."


def gave_up() -> str:
    """The search broke off."""
    return "The causes could **not be worked out**. All readings are kept."


def readings_count(number: int) -> str:
    """Right of the ribbon's title: ``five readings``."""
    return f"{count(number)} {'reading' if number == 1 else 'readings'}"


def agree_not_proof() -> str:
    """What that does not say."""
    return "That is not the same as nothing wrong. **Readings cannot see**:"


def nothing_read() -> str:
    """No reading counts."""
    return "**Nothing is read yet** that could point anywhere."


def one_test(number: int) -> str:
    """Over the gauge of the next test."""
    return "One test parts them" if number > 1 else "One test tells more"


def no_test() -> str:
    """No test within reach tells them apart."""
    return "No test within reach parts them."


def no_test_more(same_place: bool) -> str:
    """And what then is cheapest."""
    if same_place:
        return "Both sit in one place: the same mending is for both."
    return "Mend the likeliest, then measure again."


def test_name(kind: str, at: str) -> str:
    """Right of it: ``volts at J1, out side``."""
    of = KINDS[kind]
    return f"{of} at {point(at)}" if "." in at else f"{of} of {at}"


def range_of(low: float, high: float, kind: str) -> str:
    """``45.6 to 47.0 V`` under a sleeve; in one figure where both ends read the same."""
    ends = dict.fromkeys((figure(max(low, 0.0), kind), figure(max(high, 0.0), kind)))
    return f"{' to '.join(ends)}{NBSP}{unit_of(kind)}"


def light_foretold(probability: float) -> str:
    """What a link's light would show under a cause."""
    return f"full speed: {odds(probability)}"


def speak_sleeves(rows: Sequence[tuple[str, str]], test: str) -> str:
    """The gauge of the next test for a screen reader."""
    return f"{capital(test)}. " + " ".join(f"If {name}: {shows}." for name, shows in rows)


# ---------------------------------------------------------------- the slab


def walk_to(box: str, metres_: float, back: bool) -> str:
    """``Walk back to J1, 256 m``"""
    return f"Walk {'back' if back else 'on'} to {box}, {metres(metres_)}"


def then_measure(kind: str, at: str) -> str:
    """Under a walk: ``then volts at its out side``."""
    if "." not in at:
        return f"then {KINDS[kind]} of {at}"
    return f"then {KINDS[kind]} at its {point(at).partition(', ')[2]}"


def with_stand_in(box: str, watts: float) -> str:
    """What stands in for a box: ``15 W in place of C``, ``C unplugged``."""
    return f"{watts:g}{NBSP}W in place of {box}" if watts else f"{box} unplugged"


def first_off() -> str:
    """Under the slab of a test that wants the power off."""
    return "first the power off, and a word on it"


def find_fault() -> str:
    """The slab that leads here."""
    return "Find the fault"


def find_more(causes: int, parts: bool, sure: bool) -> str:
    """Under it: ``five fit; one test parts them``."""
    if sure:
        return "one cause stands out"
    if parts and causes > 1:
        return f"{count(causes)} fit; one test parts them"
    return f"{count(causes)} {'cause fits' if causes == 1 else 'causes fit'}"


def none_stands_out() -> str:
    """Under it where many causes fit a little and none of them well: too little was read."""
    return "no cause stands out yet"


def none_fits() -> str:
    """Under it where no cause explains the readings."""
    return "no single cause explains these"


def still_weighing() -> str:
    """Under it while that is not worked out."""
    return "weighing what can be wrong"


# ---------------------------------------------------------------- a dead test


def test_title(kind: str, at: str) -> str:
    """The sentence of what comes before a test."""
    return f"Before **{test_name(kind, at)}**:"


def is_off(box: str) -> str:
    """The press that somebody says that a feed is off."""
    return f"{box} is off"


def is_off_said(box: str, by: str, at: str) -> str:
    """Whose word it is: ``S is off: Orla, 14:05``."""
    told = ", ".join(word for word in (by, at) if word)
    return f"**{box} is off**: {told}" if told else f"**{box} is off**"


def waits_for_off(boxes: Sequence[str]) -> str:
    """Under the slab that waits: ``first a word that S is off``."""
    return f"first a word that {' and '.join(boxes)} {'is' if len(boxes) == 1 else 'are'} off"


def test_hold() -> str:
    """What holds one until it is as it was."""
    return "What is off or put in holds you here until it is as it was."


# ---------------------------------------------------------------- mending


def mended_slab() -> str:
    """The slab that keeps what was mended."""
    return "Mended"


def mended_asks() -> str:
    """Under it."""
    return "older readings of this run are asked again"


def was_it_that() -> str:
    """The question that comes with it."""
    return "Was it that?"


def was_it_missing() -> str:
    """Under the slab while it is not answered."""
    return "say first what it was"


def it_was_that() -> str:
    """One answer."""
    return "Yes, that"


def it_was_else() -> str:
    """Another."""
    return "Something else"


def it_was_unseen() -> str:
    """The third."""
    return "Could not tell"


def what_was_it() -> str:
    """Over the list of what it can have been."""
    return "What was it?"


def for_next_time() -> str:
    """Why that is asked."""
    return "It goes into the record, and moves the odds of your next jobs."


def look_for() -> str:
    """Before what eye and hand look for."""
    return "Look"


def to_be_sure() -> str:
    """Before what would make it sure."""
    return "To be sure"


def suspect_line(what: str, probability: float) -> str:
    """In a hold: what its reading points to."""
    return f"Suspect: {what}, {odds(probability)}."


def nearest_is() -> str:
    """Where nothing fits, before the cause that comes nearest."""
    return "What comes nearest:"


def then_say() -> str:
    """Under the slab of a mending: what comes after it."""
    return "then say what it was"


def found_already() -> str:
    """The quiet for who has found the cause without the test."""
    return "Found it, mend it"


def speaks_against(said: str) -> str:
    """A reading that does not fit a cause: what it says, and that."""
    return f"{said} **It speaks against.**"


def others_say(telling: int, silent: int) -> str:
    """The readings that are not shown: how many speak of a cause, how many do not."""
    says = f"{count(silent)} {'says' if silent == 1 else 'say'} nothing of it"
    if not telling:
        return f"{capital(says)}."
    speaks = f"{capital(count(telling))} more {'speaks' if telling == 1 else 'speak'} of it"
    return f"{speaks}, {says}." if silent else f"{speaks}."


def read_there(at: str, value: str) -> str:
    """A reading in a line: ``A2, line side: 41.0 V``."""
    return f"{point(at)}: **{value}**"


KINDS_OF_SPAN = {
    "clad": "clad wire",
    "thin": "thin wire",
    "long": "longer than planned",
    "hot": "hotter than planned",
}


def kinds_told(kinds: Sequence[tuple[str, float]]) -> str:
    """What a span may be at heart: volts cannot tell that."""
    named = "; ".join(f"{KINDS_OF_SPAN.get(kind, kind)}, {in_ten(share)}" for kind, share in kinds)
    return f"Volts cannot tell why: {named}."


def ends_told(ends: Sequence[tuple[str, float]]) -> str:
    """At which end it sits: volts cannot tell that."""
    named = "; ".join(f"{side_of(at)}, {in_ten(share)}" for at, share in ends)
    return f"Volts cannot tell which end: {named}."


def test_takes(minutes: float, needs: Sequence[str]) -> str:
    """What a test takes, walk and all: ``9 min, with the far-end short``."""
    return takes(minutes, tuple(need.replace("known-load", "known load") for need in needs))


def may_be_in(places: Sequence[str], together: float) -> str:
    """The same cause elsewhere, as likely: ``It may as well be in C3 or C5: together likely, …``"""
    *before, last = places
    named = f"{', '.join(before)} or {last}" if before else last
    return f"It may as well be in {named}: together {odds(together)}."
