"""What readings point to, as text: the likeliest causes, what says so, what to do, what to test."""

from __future__ import annotations

from collections.abc import Iterator

from engine.diagnose.account import AGAINST, EITHER, FOR, Account, Evidence, Fault
from engine.diagnose.asking import Test
from engine.diagnose.nexttest import SURE
from engine.faults import NONE, OTHER
from engine.layout import wrapped
from engine.phrases import READINGS, english
from engine.phrases.causes import SPAN_KINDS, cause_name, odds
from engine.say import Say
from engine.verdict import INSIDE

MOST_OTHERS = 4
"""other causes that are named; the rest is told as one"""
LEAST_OTHER = 0.05
"""a cause less likely than this is named only where it says what else it could be"""
MOST_LINES = 6
"""readings that are told one by one"""
MOST_NAMED = 6
"""readings that are told by their names; more are counted"""
SIGNS = {FOR: "for      ", AGAINST: "against  "}
MARGIN = "    "


def diagnosis_text(told: Account) -> list[str]:
    """The lines of the section."""
    if not told.diagnosis.scene.readings:
        return ["Nothing is read yet, so nothing points to a fault.", ""]
    lines = ["What the readings point to", ""]
    if told.doubt is not None:
        lines += [wrapped(_both(told.doubt)), ""]
    lines += _best(told)
    lines += _others(told)
    lines += _next(told)
    if told.best.cause == NONE and told.unseen:
        lines += ["What no reading sees here", ""]
        lines += [*(wrapped(_both(one)) for one in told.unseen), ""]
    return lines


def _both(statement: Say) -> str:
    words = english(statement)
    return f"{words.text} {words.why}".strip()


def _best(told: Account) -> Iterator[str]:
    """The likeliest cause with its readings and what to do about it."""
    best = told.best
    yield wrapped(english(best.say).text)
    yield wrapped(_capital(f"{odds(best.probability)}. {english(best.say).why}".strip()), MARGIN)
    yield from (wrapped(line, MARGIN) for line in (*_at_heart(best), *_places(told)))
    yield ""
    yield from _because(best)
    for title, said in (("do", best.do), ("look", best.look), ("be sure", best.sure)):
        if said is not None:
            yield wrapped(english(said).text, "  ", f"{title:<9}")
    yield ""


def _capital(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}"


def _at_heart(fault: Fault) -> Iterator[str]:
    """What it may be of, and which end of a span it is at."""
    if fault.kinds:
        named = [f"{SPAN_KINDS[kind]} ({odds(share)})" for kind, share in fault.kinds]
        yield f"It may be {', '.join(named)}."
    if fault.ends:
        (near, share), (far, other) = fault.ends
        if share == other:
            yield f"Readings do not tell which end: {near} and {far} are alike."
        else:
            likely = near if share > other else far
            yield f"Of its ends, {near} and {far}, begin with {likely}: {odds(max(share, other))}."


def _places(told: Account) -> Iterator[str]:
    """Where readings cannot tell one place of the cause from another: all of them together."""
    best = told.best
    alike = [one for one in told.faults if one.cause == best.cause and one.where]
    alike = [one for one in alike if one.probability >= LEAST_OTHER]
    if len(alike) > 1:
        chance = odds(sum(one.probability for one in alike))
        places = dict.fromkeys(str(one.say.parts.get("at", one.where)) for one in alike)
        yield f"The same at one of {', '.join(places)}: {chance}."


def _because(fault: Fault) -> Iterator[str]:
    """The readings that tell, one by one; those that are merely as they should be, or tell
    nothing, by their names."""
    plain = [one for one in fault.because if one.say.parts.get("word") == INSIDE]
    plain = [one for one in plain if one.speaks != AGAINST]
    telling = [one for one in fault.because if one.speaks != EITHER and one not in plain]
    shown, more = telling[:MOST_LINES], telling[MOST_LINES:]
    rest = [one for one in fault.because if one not in telling and one not in plain]
    yield from (wrapped(english(one.say).text, "  ", SIGNS[one.speaks]) for one in shown)
    for begins, which in (
        ("As they should be", plain),
        ("More that say so", [one for one in more if one.speaks == FOR]),
        ("More against it", [one for one in more if one.speaks == AGAINST]),
        ("As likely without it", rest),
    ):
        if which:
            yield wrapped(f"{begins}: {_names(which)}.")
    if fault.because:
        yield ""


def _names(which: list[Evidence]) -> str:
    names = list(dict.fromkeys(map(_named, which)))
    more = len(names) - MOST_NAMED
    if more < 2:
        return ", ".join(names)
    return f"{', '.join(names[:MOST_NAMED])} and {more} more"


def _named(one: Evidence) -> str:
    parts = one.say.parts
    return f"{parts['at']} {READINGS[parts['kind']]}"


def _others(told: Account) -> Iterator[str]:
    """What else it could be."""
    best, *others = told.faults
    named = [one for one in others if one.cause != OTHER and one.probability >= LEAST_OTHER]
    named = named[:MOST_OTHERS]
    rest = sum(one.probability for one in others if one not in named)
    if best.cause == NONE and not named:
        return
    yield "It could also be" if named else "Anything else"
    yield ""
    for one in named:
        yield wrapped(f"{cause_of(one)}: {odds(one.probability)}.", mark="- ")
    if named:
        yield wrapped(f"anything else: {odds(rest)}.", mark="- ")
    else:
        yield wrapped(_capital(f"{odds(rest)}."))
    yield ""


def cause_of(fault: Fault) -> str:
    """A cause and its place in a few words; of a slip where it was read, of two both."""
    return cause_name(fault.cause, fault.parts or fault.say.parts.get("at", fault.where))


def _next(told: Account) -> Iterator[str]:
    """The test that tells most for its minutes."""
    test = told.next_test
    if test is None:
        if told.best.cause not in (NONE, OTHER) and told.best.probability < SURE:
            yield "No test within reach parts them."
            yield ""
        return
    yield f"The next test: {takes(test)}"
    yield ""
    yield wrapped(english(test.say).text)
    yield wrapped(english(test.why).text, MARGIN)
    yield from (wrapped(english(one).text, MARGIN, "- ") for one in test.cautions)
    yield ""


def takes(test: Test) -> str:
    """Minutes and metres of a test."""
    minutes = max(round(test.minutes), 1)
    walk = f", {test.walk_m:.0f} m to walk" if test.walk_m >= 1 else ""
    return f"{minutes} min{walk}"
