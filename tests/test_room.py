"""Words fit where they are shown, in every language, on a phone 390 dp wide.

The states of ``shots`` are walked without a browser. Which function of words a text came from is
noted while it is drawn, and with it the room the text has there; then every such function is
said with its longest parts and measured in its rooms. A slab has one line and a second one, a
quiet button and the bar one; a sentence has the lines it is given, and no word is wider than its
place. At double size the same holds for what shows then.
"""

from __future__ import annotations

import ast
import gc
import inspect
import re
from collections import defaultdict
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path
from typing import Any

import flet.canvas as cv
import pytest
from german_told import MINE, texts_told
from rooms import QUIET, SECOND, SLAB, Room, rooms, running_off
from shots.states import LARGE, states
from test_every_state import ON_GLASS, Hand, within
from words_told import examples, public_functions

import fieldapp.viewstack as viewstack
from fieldapp import words
from fieldapp.buttons import slab_room
from fieldapp.paint import look_for

WIDE, SPOKEN, LONGEST = 390.0, tuple(words.FACES), "de"
WORDS, SCREENS = Path(words.__file__).parent, Path(viewstack.__file__).parent / "screens"
NAMED = re.compile(r"^\S*(names|signed|right)")
"""states in which somebody gave names longer than any room"""
LONGER = {
    "go_on": "the name of a job, in two lines if need be",
    "go_on_to": "a step in a few words, in two lines if need be",
    "press_end": "the same",
    "sentence": "what mends a cause, in two lines if need be",
}
"""functions of a slab that may take two lines, and the second line goes then"""
CHOSEN = {
    "own_choice": "the screen puts long ones one below the other",
    "as_typed": "the pad takes no more digits than fit",
    "spot": "causes stand at boxes and spans, at IN and at OUT",
}
"""functions whose longest parts are never shown in their narrowest place"""
BREAKS = {
    "Weitstreckenbox": "a kind, beside its drawing",
    "A2, Leitungsseite": "a point, in the head of the pad",
    "Reedbed hide": "a job's name, in the plan's head",
}
"""what does not stand whole at double size: its longest word goes on in the next line, unhyphened"""
CLOSE = 0.5
"""letters are drawn closer than their widths, by this much at least [dp]"""


@dataclass
class Walked:
    """What was shown on the way: texts that are too wide, and the rooms of each function."""

    wrong: list[str] = field(default_factory=list)
    rooms: dict[str, set[Room]] = field(default_factory=lambda: defaultdict(set))
    drawn: set[str] = field(default_factory=set)
    """functions met as a label of a drawing, or spoken"""
    seen: int = 0


def _bare(text: str) -> str:
    """A text as it may be shown, without marks of stress and a slab's last stop."""
    return text.replace("**", "").rstrip(".") or text


def _is_cut(text: str, room: Room, scale: float) -> bool:
    """Whether a text is too wide; at double size what may end in dots still shows its words."""
    if scale > 1.0:
        room = replace(room, lines=None)
        text = "" if text in BREAKS else text
    return room.over(text) > CLOSE * scale


class Told:
    """The words of one language, each noted with what it says."""

    def __init__(self, face: Any) -> None:
        self.face, self.said = face, defaultdict(set)

    def __getattr__(self, name: str) -> Any:
        thing = getattr(self.face, name)
        if not inspect.isfunction(thing):
            return thing

        def noting(*args: Any, **parts: Any) -> Any:
            out = thing(*args, **parts)
            if isinstance(out, str):
                self.said[_bare(out)].add(name)
            elif name == "step":
                for part, text in vars(out).items():
                    self.said[_bare(text)].add(f"{args[0].code}.{part}")
            return out

        return noting


@cache
def walked() -> Walked:
    """All states of ``shots`` in every language; in the longest one at double size where that is
    photographed too."""
    out, told, kept, gave = Walked(), {}, dict(words.FACES), viewstack.failure
    for language, face in kept.items():
        told[language] = words.FACES[language] = Told(face)
    viewstack.failure = _broken
    gc.disable()
    try:
        for model, send, name in _states(out):
            for language, face in told.items():
                for scale in (1.0, 2.0) if language == LONGEST and name in LARGE else (1.0,):
                    settings = replace(model.settings, language=language)
                    window = replace(model.window, width=WIDE, height=844.0, scale=scale)
                    face.said.clear()
                    shown = replace(model, settings=settings, window=window)
                    seen = viewstack.views(shown, send)[-1]
                    _look(out, face, f"{name} {language} x{scale:g}", seen, scale)
    finally:
        words.FACES.update(kept)
        viewstack.failure = gave
        gc.enable()
    return out


def _states(out: Walked) -> Iterator[tuple[Any, Any, str]]:
    for group, docs, _ in states():
        hand, places = Hand(docs), set()
        for shot in group:
            if shot.name not in ON_GLASS:
                hand.go("/settings")
                hand.go(shot.place)
                before = hand.model
                with suppress(AssertionError, AttributeError):  # what cannot be done is told
                    shot.act(hand)  # of in ``test_every_state``
                if hand.model is not before or shot.place not in places:  # not only scrolled
                    yield hand.model, hand.send, shot.name
                places.add(shot.place)
                out.seen += 1
        hand.end()


def _broken(*_: Any) -> Any:
    raise


def _look(out: Walked, face: Told, where: str, view: Any, scale: float) -> None:
    """What a view shows, and what of it is too wide."""
    for control in view.controls:
        for text, room in rooms(control, WIDE, scale=scale):
            said = face.said.get(_bare(text), set())
            if room.part == SLAB and LONGER.keys() & said:
                room = replace(room, lines=2)
            if _is_cut(text, room, scale) and not NAMED.search(where):
                over = room.over(text)
                out.wrong.append(f"{where}: {room.part} {room.key}: {text!r} by {over:.0f} dp")
            if scale == 1.0:
                for name in said:
                    out.rooms[name].add(room)
    for control, _ in within(view):
        if isinstance(control, cv.Canvas):
            for text, off in running_off(control):
                if scale == 1.0:
                    out.drawn |= face.said.get(text, set())
                if off > CLOSE:
                    out.wrong.append(f"{where}: drawn {text!r} runs off by {off:.0f} dp")


def said_longest(name: str, function: Any) -> Iterator[tuple[str, str]]:
    """(language, text) of a function of words for all its parts."""
    for language in SPOKEN:
        parts = examples(name, function)
        if language != "en":
            parts = iter(MINE.get(name) or tuple(texts_told(function, parts)))
        with words.speaking(words.Manner(language)):
            for args in parts:
                text = getattr(words, name)(*args)
                if isinstance(text, str):
                    yield language, text


def test_what_is_shown_has_room() -> None:
    """In every state, in every language, at once and at double size."""
    assert walked().seen > 250
    assert not walked().wrong, "\n".join(sorted(set(walked().wrong)))


def test_every_function_has_room_for_its_longest_parts() -> None:
    """Wherever a function of words was met, it fits with all its parts."""
    met, wrong = walked().rooms, []
    functions = public_functions()
    for name in sorted(met.keys() & functions.keys() - CHOSEN.keys()):
        for language, text in said_longest(name, functions[name]):
            wrong += [
                f"{name} {language}: {text!r}, {room.part} {room.key}, by {room.over(text):.0f} dp"
                for room in met[name]
                if room.over(text) > CLOSE
            ]
    assert len(met.keys() & functions.keys()) > 300
    assert not wrong, "\n".join(sorted(set(wrong)))


def slab_of(part: str) -> Room:
    """The room of a slab's first or second line."""
    face, size = {SLAB: ("TB", 22.0), SECOND: ("T", 16.0)}[part]
    width = slab_room(look_for(False, WIDE, 844.0, 1.0))
    return Room(part, face, "TB", size, width, 1, "slab")


PLACES = {1: SLAB, 2: SECOND, "more": SECOND}
"""where the words of a slab are given to it"""


@cache
def on_slabs() -> dict[str, set[str]]:
    """Functions of words that stand where a screen makes a slab, with their line."""
    out: dict[str, set[str]] = defaultdict(set)
    for path in SCREENS.glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "slab":
                given = [*enumerate(node.args), *((one.arg, one.value) for one in node.keywords)]
                for place, value in given:
                    for inner in ast.walk(value) if place in PLACES else ():
                        match inner:
                            case ast.Attribute(value=ast.Name(id="words"), attr=name):
                                out[name].add(PLACES[place])
    return out


NOT_MET = {
    "advice_more": SECOND,
    "all_at_once": SLAB,
    "measure_again_at": QUIET,
    "mended_own": QUIET,
    "other_ways": QUIET,
    "reel_use_then": SECOND,
    "share": QUIET,
    "steps_short": QUIET,
    "take_made_up_short": QUIET,
}
"""functions no state shows, or shows only in other words, with the part they are made for"""
HALF_ROW = 175.0
"""what a quiet button has of a row that two share [dp]"""


def test_slabs_that_no_state_shows_have_room_too() -> None:
    functions, wrong = public_functions(), []
    table = {**{name: {part} for name, part in NOT_MET.items()}, **on_slabs()}
    quiet = Room(QUIET, "TM", "TB", 18, HALF_ROW - 24, 1, "")
    for name in sorted(table.keys() & functions.keys() - LONGER.keys()):
        if name in walked().rooms and name not in NOT_MET:
            continue
        for language, text in said_longest(name, functions[name]):
            for part in table[name]:
                room = quiet if part == QUIET else slab_of(part)
                if room.over(text) > CLOSE:
                    wrong.append(f"{name} {language}: {text!r} by {room.over(text):.0f} dp")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("name", NOT_MET)
def test_the_table_names_functions_of_words(name: str) -> None:
    assert name in public_functions()


def test_a_word_too_many_would_be_seen() -> None:
    room = Room(SLAB, "TB", "TB", 22, 262, 1, "slab")
    assert room.over("Volts at L2") < 0 < room.over("Volts at L2, loaded and with the meter on")
    tall = replace(room, lines=2, width=120)
    assert tall.over("Volts at L2, both") == 0.0 < tall.over("Donaudampfschifffahrt")
    assert tall.over("Volts at L2, in one line or two or three of them") > 0
