"""A tablet with a keyboard, in a real browser: two columns, figures typed on keys, a turned phone."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from engine.cautions import CODES
from fieldapp import words
from fieldapp.store.files import read_journal
from fieldapp.store.journal import decode
from fieldapp.wide import LEFT

if TYPE_CHECKING:
    from browser import Phone
    from semantics_read import Box, Node

ROOT = Path(__file__).parent.parent
JOB = "REEDBED-HIDE"
FIXED = words.FIXED


def job_file(folder: Path) -> Path:
    """The sample with its cautions read at every stop today."""
    doc = json.loads((ROOT / "sample_jobs" / "reedbed-hide.json").read_text(encoding="utf-8"))
    stamp = f"{datetime.now(UTC).date().isoformat()}T00:00:00Z"
    for n, (stop, code) in enumerate((s, c) for s in doc["stops"] for c in CODES):
        note = {"id": f"c{n}", "device": "d", "n": n + 1, "t": stamp, "what": "note", "at": stop}
        doc["log"].append({**note, "text": code, "x_caution": code})
    path = folder / "job.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    return path


def tabbed(hand: Phone, most: int) -> list[str]:
    """Where Tab leads, until it comes round."""
    names: list[str] = []
    for _ in range(most):
        hand.press("Tab")
        hand.pause(40)
        name = hand.focused
        if names and name == names[0]:
            break
        names.append(name)
    return names


def pressable(hand: Phone) -> list[Node]:
    return [node for node in hand.nodes() if node.role == "button" and node.enabled]


@pytest.mark.slow
@pytest.mark.browser
def test_figures_are_typed_on_a_keyboard_beside_the_line(
    new_phone: Callable[..., Phone], tmp_path: Path
) -> None:
    """Wide, then on its side, then upright: what is typed is kept on the disk all the same."""
    from app_process import start_app

    data = tmp_path / "data"
    args = ["--no-browser", "--port", "0", "--data", str(data), str(job_file(tmp_path))]
    app = start_app([sys.executable, "-m", "fieldapp", *args], {"PYTHONPATH": str(ROOT)})
    try:
        hand = new_phone(size=(1180, 820))
        hand.open(app.url + f"/#/j/{JOB}/read/L2.in/volts")
        hand.wait_for(FIXED.type_it)
        key: Box = hand.box("5", exact=True)
        assert (round(key.width), round(key.height)) == (130, 72)
        assert key.x > LEFT > hand.box(FIXED.run, exact=True).x, "the line and its bar at the left"

        hand.press("4", "7", ",", "2", "Backspace", "9")
        hand.wait_for(words.keep_slab("47.9", "volts"))
        hand.press("Enter")
        hand.wait_until(lambda: hand.route.startswith(f"/j/{JOB}/verdict/"), 10, "a verdict")
        kept = [one for one in decode(read_journal(data, JOB)).records if one.get("value")]
        assert [one["value"] for one in kept] == [47.9]

        hand.wait_for(FIXED.take_back)
        every = {node.line for node in pressable(hand)}
        reached = tabbed(hand, 40)
        assert every <= set(reached), every - set(reached)
        while hand.focused != FIXED.run:
            hand.press("Tab")
            hand.pause(40)
        hand.press("Enter")
        hand.wait_route(f"/j/{JOB}/run")
        hand.press("Escape")
        hand.wait_route("/")

        hand.go("/settings")
        hand.type_into(FIXED.own_name_label, "Ola 78")
        hand.press("Backspace", "Enter")
        hand.wait_until(
            lambda: hand.find(FIXED.own_name_label, role="textbox").value == "Ola 7", 10, "a name"
        )

        hand.go(f"/j/{JOB}/leave")
        for size, across in (((844, 390), False), ((390, 844), True)):
            hand.page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
            hand.wait_until(
                lambda across=across: _is_across(hand) == across, 10, f"the bar at {size}"
            )
        assert not hand.console_errors
        assert "Traceback" not in app.output, app.output
    finally:
        app.kill9()


def _is_across(hand: Phone) -> bool | None:
    """Whether the bar is one row, None while it is drawn anew."""
    bar = [n.box for n in hand.nodes() if n.line in (FIXED.now, FIXED.run) and n.tappable]
    return abs(bar[0].y - bar[1].y) < 5 if len(bar) == 2 else None
