"""A label's code typed in a real browser: mistyped first, mended, and Run stands at the box."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from engine.jobfile import load
from engine.judge import judge
from engine.say import say
from fieldapp import words
from fieldapp.handover.labels import BOX, labels_of

if TYPE_CHECKING:
    from browser import Phone

ROOT = Path(__file__).parent.parent
SAMPLES = ROOT / "sample_jobs"
FIXED = words.FIXED


@pytest.mark.slow
@pytest.mark.browser
def test_the_code_of_a_label_is_typed_and_opens_its_box(
    new_phone: Callable[..., Phone], tmp_path: Path
) -> None:
    from app_process import start_app

    labels = labels_of(judge(load(SAMPLES / "reedbed-hide.json")), "2031-05-04")
    (code,) = [one.code for one in labels if (one.sort, one.thing) == (BOX, "A2")]
    files = [str(SAMPLES / f"{name}.json") for name in ("reedbed-hide", "tide-mill")]
    args = ["--no-browser", "--port", "0", "--data", str(tmp_path / "data"), *files]
    app = start_app([sys.executable, "-m", "fieldapp", *args], {"PYTHONPATH": str(ROOT)})
    try:
        hand = new_phone()
        hand.open(app.url)
        hand.wait_for(FIXED.now)
        hand.go("/")
        hand.scroll_to(words.code_label())
        hand.type_into(words.code_label(), code[:-1])
        hand.press("Enter")
        hand.wait_for(words.sentence(say("code-mistyped")))

        hand.type_into(words.code_label(), f" {code.lower()} ")
        hand.tap(words.code_open(), role="button")
        hand.wait_route("/j/REEDBED-HIDE/run?at=A2")
        hand.wait_for(words.point("A2.line"))
        assert not hand.console_errors
        assert "Traceback" not in app.output, app.output
    finally:
        app.kill9()
