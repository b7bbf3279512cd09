"""Settings with a finger in a real browser: German and back, a meter of one's own, a reading with it."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from engine.sheets import STARTER
from fieldapp import words
from fieldapp.store.files import read_journal
from fieldapp.store.journal import decode
from fieldapp.words.manner import Manner

if TYPE_CHECKING:
    from browser import Phone

ROOT = Path(__file__).parent.parent
JOB = "REEDBED-HIDE"
LANGUAGES = {"de": "Deutsch", "en": "English"}


def job_file(folder: Path) -> Path:
    """The sample with the cautions of its first reading read today."""
    doc = json.loads((ROOT / "sample_jobs" / "reedbed-hide.json").read_text(encoding="utf-8"))
    stamp = f"{datetime.now(UTC).date().isoformat()}T00:00:00Z"
    for n, code in enumerate(("live", "unplug", "two-earths", "insulation"), 1):
        note = {"id": f"c{n}", "device": "d", "n": n, "t": stamp, "what": "note", "at": "hut"}
        doc["log"].append({**note, "text": code, "x_caution": f"caution-{code}"})
    path = folder / "job.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    return path


def speaks(hand: Phone, language: str, before: str) -> None:
    """A press on a language, and the page says it in that one at once."""
    hand.scroll_to(LANGUAGES[language])
    with words.speaking(Manner(before)):
        label = words.speak_setting(words.setting_name("language"), LANGUAGES[language], False)
    hand.tap(label, role="button")
    with words.speaking(Manner(language)):
        hand.wait_for(words.FIXED.settings)
        hand.wait_for(
            words.speak_setting(words.setting_name("language"), LANGUAGES[language], True)
        )


@pytest.mark.browser
def test_german_and_back_then_a_meter_that_takes_a_reading(
    new_phone: Callable[..., Phone], tmp_path: Path
) -> None:
    from app_process import start_app

    data = tmp_path / "data"
    args = ["--no-browser", "--port", "0", "--data", str(data), str(job_file(tmp_path))]
    app = start_app([sys.executable, "-m", "fieldapp", *args], {"PYTHONPATH": str(ROOT)})
    try:
        hand = new_phone()
        hand.open(app.url + "/#/settings")
        hand.wait_for(words.setting_name("lengths"))
        speaks(hand, "de", "en")
        speaks(hand, "en", "de")

        hand.tap(words.meter_add(), role="button")
        hand.tap(words.sheet_name(STARTER["generic.meter-clamp"]), role="button")
        hand.wait_for(words.own_question_meter("milliamps"))
        for key in ("1", words.FIXED.reading_key_point, "5"):
            hand.tap(key, exact=True)
        hand.tap(words.own_take("").strip(), role="button")
        hand.tap(words.day_open(), role="button")
        hand.type_into(words.meter_name(), "Bench clamp")
        hand.tap(words.meter_keep(False), role="button")
        hand.wait_route("/settings")
        hand.wait_for("Bench clamp")

        hand.go(f"/j/{JOB}/read/S.out/milliamps")
        hand.tap("Orla's meter", role="button")
        hand.wait_for("Bench clamp")
        for key in "410":
            hand.tap(key, exact=True)
        hand.tap(words.keep_slab("410", "milliamps"), role="button")
        hand.wait_until(lambda: hand.route.startswith(f"/j/{JOB}/verdict/"), 10, "a verdict")
        kept = [one for one in decode(read_journal(data, JOB)).records if one.get("what") != "note"]
        sheet, meter, reading = kept[-3:]
        assert sheet["value"]["milliamps"]["percent"] == 1.5
        assert meter["value"]["name"] == "Bench clamp"
        assert reading["value"] == 410 and reading["meter"] == meter["value"]["id"]
        assert not hand.console_errors and not hand.outside_requests
        assert "Traceback" not in app.output, app.output
    finally:
        app.kill9()
