"""Every place of the app in a real browser, by its tree of names: what a thumb and a screen reader
meet. One walk through all of them; what is wrong anywhere is told together.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from app_presses import step_called, with_cautions_read
from real_app import FIXED, JOB, serve, spoken
from semantics_read import one_line

from engine.verdict import OUTSIDE
from fieldapp import words
from fieldapp.screens.shared import slab_words

if TYPE_CHECKING:
    from browser import Phone
    from semantics_read import Box, Node
    from shots.shot import Shot

__all__ = ["serve"]

TARGET, HIGH = 56, 72
"""what can be pressed is so wide and high; slabs and keys so high [dp]"""
KEY = 130
"""how wide a key is in a window of 390 [dp]"""
APART = 8
"""two things that are pressed are so far apart, or share their outline [dp]"""
SHARED = 5
"""an outline, or what lies around the line between two rows of a list [dp]"""
END = 13
"""so near to the end of a list something may be cut: a field is told with room around it [dp]"""
NEAR = 1
"""tolerance for rounding to the screen's pixels"""
AFTER_TOUCH_MS = 700
"""for half a second after a touch the client's lists are not told as lists"""
LOOKS = 3
"""how often a page is looked at before what is wrong on it counts: the tree comes in pieces"""
PHONE, WIDE = (390, 844), (1180, 820)

PLACES = (
    *("jobs-three", "new", "settings", "found", "shapes", "new-metres"),
    *("now-fit", "now-photo", "now-pairs", "now-cannot", "caution-many"),
    *("steps-worked", "wires-one", "run-planned", "run-readings", "put-in"),
    *("read-typed", "read-earth", "read-points", "load-set"),
    *("verdict-inside", "verdict-outside", "change-ready", "taken-back"),
    *("fault-dead", "fault-mend", "leave-worked", "leave-waive"),
    *("hand-older", "sign-empty", "hand-signed", "plan", "plan-span", "plan-box", "plan-length"),
    *("whatif-longer", "sheets-box", "newsheet-begin", "compare-copy", "spans-refused"),
    *("reel-sound", "power-next", "visit", "return-leave", "practice-taken"),
)
"""the states of ``shots`` that are looked at: every screen, and what it becomes"""
READ_TREE = """() => {
  const bare = [], unsaid = [];
  for (const el of document.querySelectorAll("flt-semantics, flt-semantics input, flt-semantics textarea")) {
    const name = (el.getAttribute("aria-label") || el.textContent || "").trim();
    const field = el.nodeName === "INPUT" || el.nodeName === "TEXTAREA";
    const holder = el.closest("flt-semantics[aria-label]");
    const r = el.getBoundingClientRect();
    const where = el.outerHTML.slice(0, 300);
    const pressed = el.hasAttribute("flt-tappable") || el.getAttribute("role") === "button";
    if ((field && !el.disabled && !name && !holder) || (pressed && !name && !el.querySelector("input")))
      bare.push(where);
    if (el.getAttribute("role") === "img" && !name) unsaid.push(where);
  }
  return {bare, unsaid, lang: document.documentElement.lang};
}"""

LISTEN = """() => {
  window.heard = [];
  const note = (node) => {
    const text = (node.textContent || "").trim();
    if (text) window.heard.push(text);
  };
  const look = new MutationObserver((all) => {
    for (const one of all) for (const node of one.addedNodes) {
      if (node.parentElement?.closest("flt-announcement-host, [aria-live]")) note(node);
    }
  });
  look.observe(document, {subtree: true, childList: true});
}"""


def places() -> tuple[list[dict[str, Any]], list[tuple[str, Shot]]]:
    """The jobs, each under an id of its own, and where to go in which of them."""
    from shots.states import states

    docs: list[dict[str, Any]] = []
    found: dict[str, Shot] = {}
    for number, (group, jobs, _) in enumerate(states()):
        wanted = [shot for shot in group if shot.name in PLACES and shot.name not in found]
        for shot in wanted:
            place = shot.place
            for doc in jobs:
                place = place.replace(f"/{doc['id']}", f"/{doc['id']}-{number}")
            found[shot.name] = replace(shot, place=place)
        for doc in jobs:
            ident = f"{doc['id']}-{number}"
            if any(f"/{ident}" in found[shot.name].place for shot in wanted):
                docs.append({**doc, "id": ident, "title": f"{doc['title']} {number}"})
    assert set(found) == set(PLACES), set(PLACES) - set(found)
    return docs, [found[name] for name in PLACES]


def line_names(docs: Iterable[dict[str, Any]]) -> frozenset[str]:
    """What is called so stands on a drawing of the run, as narrow as it is there: boxes of one stop
    shoulder to shoulder, short spans between them. The steppers beside the chosen point reach each
    box, and a box leads to its spans."""
    names = [one.get("name") or one["id"] for doc in docs for one in doc["boxes"]]
    names += [one["id"] for doc in docs for one in doc["spans"]]
    stops = [one.get("name") for doc in docs for one in doc["stops"].values()]
    return frozenset(filter(None, (*names, *stops)))


# ---------------------------------------------------------------- what must be so


def gap(one: Box, other: Box) -> tuple[float, float]:
    """How far two rectangles are apart, across and down; below 0 where they overlap. [dp]"""
    across = max(one.x - other.x - other.width, other.x - one.x - one.width)
    down = max(one.y - other.y - other.height, other.y - one.y - one.height)
    return across, down


def holds(outer: Box, inner: Box) -> bool:
    """Whether one rectangle lies within another."""
    return (
        gap(outer, inner)[0] <= -inner.width + NEAR and gap(outer, inner)[1] <= -inner.height + NEAR
    )


def stands_on(row: Box, button: Box) -> bool:
    """Whether a button lies on a row wholly, and leaves a finger's room beside it at its full height."""
    left, right = button.x - row.x, row.x + row.width - button.x - button.width
    return holds(row, button) and max(left, right) >= 2 * TARGET and row.height >= TARGET


def cut(node: Node, scrollers: list[list[float]]) -> bool:
    """Whether it lies across an end of a list: the tree has only a part of it."""
    near = 2 * END if node.role == "textbox" else END
    ends = [end for _, top, _, high in scrollers for end in (top, top + high)]
    edges = (node.box.y, node.box.y + node.box.height)
    return any(abs(edge - end) <= near for edge in edges for end in ends)


def wrong_targets(
    nodes: list[Node], scrollers: list[list[float]], width: float, on_line: frozenset[str]
) -> Iterator[str]:
    """Sizes, room between, the window's edges."""
    keys = {*"0123456789", FIXED.reading_key_point, FIXED.reading_key_rub}
    pressed = [node for node in nodes if node.tappable]
    pad = keys <= {node.name for node in pressed}
    shown = [node for node in pressed if node.visible and not cut(node, scrollers)]
    firm = [node for node in shown if node.line not in on_line]
    for node in firm:
        wide, high = (KEY, HIGH) if pad and node.name in keys and width >= 390 else (TARGET, TARGET)
        size = f"{node.box.width:.0f} x {node.box.height:.0f}"
        if node.box.width < wide - NEAR or node.box.height < high - NEAR:
            yield f"{node.line!r} is {size}"
        field = node.role == "textbox"
        if not field and (node.box.x < -NEAR or node.box.x + node.box.width > width + NEAR):
            yield f"{node.line!r} of {size} leaves the window at {node.box.x:.0f}"
    # a field is told with the room around it, its drawing is smaller
    for one, other in combinations([node for node in firm if node.role != "textbox"], 2):
        across, down = gap(one.box, other.box)
        both = f"{one.line!r} and {other.line!r}"
        if stands_on(one.box, other.box):  # it takes its own presses; around it the row is pressed
            continue
        if across < -NEAR and down < -NEAR:
            yield f"{both} overlap"
        elif min(across, down) < -NEAR and SHARED < max(across, down) < APART - NEAR:
            yield f"{both} are {max(across, down):.1f} apart"


def wrong_names(nodes: list[Node], tree: dict[str, Any]) -> Iterator[str]:
    """Names that are missing, shared, or read twice; roles that are none."""
    yield from (f"pressed, without a name: {one}" for one in tree["bare"])
    yield from (f"a picture without words: {one}" for one in tree["unsaid"])
    named = Counter(node.line for node in nodes if node.tappable)
    yield from (f"{n} are pressed that are called {one!r}" for one, n in named.items() if n > 1)
    for one, other in pairwise(nodes):
        if one.line == other.line:
            yield f"read twice: {one.line!r} as {one.role} and {other.role}"
    for node in nodes:
        if node.tappable and node.role not in ("button", "textbox", "link"):
            yield f"{node.line!r} is pressed, and is a {node.role}"


def wrong_order(nodes: list[Node]) -> Iterator[str]:
    """Read from the top: nothing comes behind what stands wholly below it. Within a drawing its
    parts have an order of their own."""
    drawings = [node.box for node in nodes if node.role == "img"]
    for one, other in pairwise([node for node in nodes if node.visible]):
        if any(holds(box, one.box) and holds(box, other.box) for box in drawings):
            continue
        across, down = gap(one.box, other.box)
        if across < -NEAR and down >= -NEAR and other.box.y < one.box.y:
            yield f"{other.line!r} is read behind {one.line!r}, and stands above it"


# ---------------------------------------------------------------- the walk


def stands_still(hand: Phone, before: list[Node]) -> list[Node]:
    """What is there once it is another page than before, and no longer moves."""
    hand.wait_until(lambda: hand.nodes(hidden=True) != before, 10, "another page")
    return hand.still()


def look(hand: Phone, shot: Shot, size: tuple[int, int], on_line: frozenset[str]) -> list[str]:
    """What is wrong at one place."""
    from browser import SCROLLERS

    before = hand.nodes(hidden=True)
    if hand.route == shot.place:
        hand.go("/settings")
        before = stands_still(hand, before)
    hand.go(shot.place)
    if shot.place == "/":  # empty until each job is judged
        hand.wait_for(words.more_button(), timeout=30)
    stands_still(hand, before)
    taps = hand.taps
    shot.act(hand)
    if hand.taps > taps:
        hand.pause(AFTER_TOUCH_MS)
    wrong: list[str] = []
    for _ in range(LOOKS):
        nodes = hand.still()
        tree, scrollers = hand.page.evaluate(READ_TREE), hand.page.evaluate(SCROLLERS)
        wrong = [*wrong_targets(nodes, scrollers, size[0], on_line), *wrong_names(nodes, tree)]
        if size == PHONE:
            wrong += wrong_order(nodes)
        if not wrong:
            break
        hand.pause(AFTER_TOUCH_MS)
    return [f"{shot.name} {size[0]}: {one}" for one in wrong]


def files_of(docs: Iterable[dict[str, Any]], folder: Path) -> list[Path]:
    """Jobs as files."""
    out = []
    for doc in docs:
        out.append(folder / f"{doc['id']}.json")
        out[-1].write_text(json.dumps(doc), encoding="utf-8")
    return out


def narrow_keys(hand: Phone, pad: str) -> list[str]:
    """The pad on a small phone: its keys are narrower there, and still no glove misses them."""
    hand.page.set_viewport_size({"width": 360, "height": 640})
    hand.go(pad)
    hand.wait_for(FIXED.reading_key_rub)
    keys = (*"0123456789", FIXED.reading_key_point, FIXED.reading_key_rub)
    hand.wait_until(lambda: hand.box("1", exact=True).width == 120, 5, "the pad to be narrower")
    found = {key: hand.find(key, exact=True, role="button").box for key in keys}
    return [f"{key} on a small phone" for key, box in found.items() if box.height < 60 - NEAR]


AT_THE_SIDE = ("now-fit", "read-typed", "verdict-outside", "leave-worked", "settings")
"""looked at in a wide window too"""


@pytest.mark.browser
@pytest.mark.parametrize(
    "every", [2, pytest.param(1, marks=pytest.mark.slow)], ids=("every-second", "all")
)
def test_every_place_is_met_by_a_thumb_and_by_a_screen_reader(
    serve, new_phone, tmp_path: Path, every: int
) -> None:
    docs, there = places()
    on_line = line_names(docs)
    hand: Phone = new_phone(size=PHONE)
    hand.open(f"{serve(*files_of(docs, tmp_path)).url}/#/settings")
    wrong: list[str] = []
    for shot in there[::every]:
        try:
            wrong += look(hand, shot, PHONE, on_line)
        except AssertionError as trouble:
            wrong.append(f"{shot.name}: {str(trouble).splitlines()[0]}")
    hand.page.set_viewport_size(dict(zip(("width", "height"), WIDE, strict=True)))
    for shot in there:
        if shot.name in AT_THE_SIDE:
            wrong += look(hand, shot, WIDE, on_line)
    wrong += narrow_keys(hand, next(shot.place for shot in there if shot.name == "read-typed"))
    assert hand.console_errors == []
    assert not wrong, f"{len(wrong)}:\n" + "\n".join(wrong)


# ---------------------------------------------------------------- what speaks by itself, and when


def heard(hand: Phone) -> list[str]:
    """What was said by itself since it was last asked."""
    return hand.page.evaluate("() => window.heard.splice(0)")


def says(hand: Phone, text: str) -> list[str]:
    """Wait until this is said; all that was said by then."""
    said: list[str] = []

    def there() -> bool:
        said.extend(heard(hand))
        return any(one_line(text) in one_line(one) for one in said)

    hand.wait_until(there, 10, f"{text!r} to be said; so far {said}")
    return said


def in_order(nodes: list[Node], *beginnings: str) -> bool:
    """Whether things that begin so are read one after another."""
    names = [spoken(node.line) for node in nodes]
    at = [next((i for i, n in enumerate(names) if n.startswith(b)), None) for b in beginnings]
    assert None not in at, (beginnings, at, names)
    return at == sorted(at)


@pytest.mark.slow
@pytest.mark.browser
def test_nothing_speaks_by_itself_but_word_comment_and_strip(
    serve, new_phone, tmp_path: Path
) -> None:
    job = with_cautions_read([])
    hand: Phone = new_phone(size=PHONE)
    hand.page.add_init_script(f"({LISTEN})()")
    hand.open(f"{serve(*files_of([job], tmp_path)).url}/#/j/{JOB}/now?step=fit.L2")
    hand.wait_for(FIXED.cannot)
    fit = step_called("fit.L2")
    told = words.step(fit.say)
    # A ribbon and a head were to be read last, behind the bar: the client reads a page from its
    # top, and Flet gives no order of its own.
    now = (spoken(told.sentence), FIXED.why, slab_words(fit), FIXED.cannot, FIXED.now)
    assert in_order(hand.still(), "Run, ", *map(one_line, now))
    for place in ("run", "leave", "steps", "plan", "hand", "read/L2.in/volts"):
        before = hand.nodes(hidden=True)
        hand.go(f"/j/{JOB}/{place}")
        stands_still(hand, before)
    assert heard(hand) == [], "going about says nothing"

    pad = (*"123456789", FIXED.reading_key_point, "0", FIXED.reading_key_rub, FIXED.type_it)
    keys = [node for node in hand.still() if node.name in pad and node.role == "button"]
    assert [node.name for node in keys] == list(pad), "digits in the order of the pad, then Keep"
    hand.press("4", "1")
    slab = one_line(words.keep_slab("41", "volts"))
    said = says(hand, slab)
    assert [one for one in said if words.keep_slab("4", "volts") in one] == []
    assert all(slab in one_line(one) for one in said), said
    hand.tap(slab)
    assert any(words.VERDICTS[OUTSIDE] in one for one in says(hand, words.VERDICTS[OUTSIDE]))
    step = step_called("announce.site")
    hand.go(f"/j/{JOB}/now?step={step.id}")
    hand.tap(slab_words(step), role="button")
    hand.wait_for(FIXED.take_back)
    says(hand, words.step(step.say).short)

    hand.go("/settings")
    language = "() => document.documentElement.lang"
    for code, name in (("de", "Deutsch"), ("en", "English")):
        hand.tap(name, role="button")
        hand.wait_until(lambda code=code: hand.page.evaluate(language) == code, 10, code)
