"""Handing over in a real browser: from Leave one press to the page, one more for all three; each
document alone into a file; a phone whose sharing comes to nothing still gives the file."""

from __future__ import annotations

import io
import json
import shutil
import subprocess
import zipfile
from collections.abc import Callable
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from real_app import JOB, kept, nothing_went_wrong, on_site, serve, spoken

from engine.copied import HANDED
from engine.say import say
from fieldapp import words
from fieldapp.exchange.unpacking import unpack
from fieldapp.handover.documents import pages_in

if TYPE_CHECKING:
    from browser import Phone

WAYS_IT_GOES = ("share-unknown", "made-now")
__all__ = ["kept", "on_site", "serve"]


def into_a_file(hand: Phone, name: str) -> tuple[str, bytes]:
    """Press, and what the browser was given."""
    with hand.page.expect_download(timeout=120_000) as loaded:
        hand.tap(name, role="button")
    return loaded.value.suggested_filename, Path(loaded.value.path()).read_bytes()


def is_whole(data: bytes, folder: Path, pages: int) -> None:
    """By a program of somebody else, where it is there."""
    assert data.startswith(b"%PDF-") and pages_in(data) == pages
    if shutil.which("qpdf") is None:
        return
    path = folder / "looked-at.pdf"
    path.write_bytes(data)
    subprocess.run(["qpdf", "--check", path], check=True, capture_output=True)
    count = subprocess.run(["qpdf", "--show-npages", path], check=True, capture_output=True)
    assert int(count.stdout) == pages


@pytest.mark.slow
@pytest.mark.browser
def test_all_three_go_in_two_presses_from_leave_and_each_alone(on_site, tmp_path: Path) -> None:
    from pictured_jobs import counted, finished

    hand, held = on_site(counted(finished()))
    hand.go(f"/j/{JOB}/leave")
    hand.wait_for(words.copy_it())
    before = hand.taps
    hand.tap(words.hand_over(), role="button")
    hand.wait_route(f"/j/{JOB}/hand")
    hand.wait_for(spoken(words.hand_title("Reedbed hide")))
    name, data = into_a_file(hand, words.all_in_one(3))
    assert hand.taps - before == 2
    assert name == "reedbed-hide-all.zip"
    hand.wait_for(words.sent_same(""))
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        inside = {one: archive.read(one) for one in archive.namelist()}
    record, labels = (inside[f"reedbed-hide-{one}.pdf"] for one in ("record", "labels"))
    is_whole(record, tmp_path, pages_in(record))
    is_whole(labels, tmp_path, 1)
    assert unpack(data).left_out == ()
    export, note = held().records[-2:]
    assert export["sha256"] == sha256(inside["REEDBED-HIDE.json"]).hexdigest()
    assert note[HANDED]["what"] == ["report", "labels"]
    assert json.loads(inside["REEDBED-HIDE.json"])["id"] == JOB

    hand.pause(1200)  # the same press once more counts a breath later
    name, data = into_a_file(hand, words.speak_hand(words.document("labels"), words.to_a_file()))
    assert name == "reedbed-hide-labels.pdf" and data == labels, "it was not made anew"
    name, data = into_a_file(hand, words.speak_hand(words.document("report"), words.to_a_file()))
    assert name == "reedbed-hide-record.pdf"
    is_whole(data, tmp_path, pages_in(record))
    assert hand.has(words.written_line(pages_in(data), len(data), 1))
    as_page = words.speak_setting(words.report_as(), words.kind_of_file("html"), False)
    hand.tap(as_page, exact=True, role="button")
    name, data = into_a_file(hand, words.speak_hand(words.document("report"), words.to_a_file()))
    assert name == "reedbed-hide-record.html" and data.startswith(b"<!DOCTYPE html>")
    assert not any(one.line.endswith(words.share()) for one in hand.nodes()), "no phone"
    nothing_went_wrong(hand)


@pytest.mark.browser
def test_where_sharing_comes_to_nothing_the_file_is_still_there(
    new_phone: Callable[..., Phone],
) -> None:
    """A browser without anything to share with: it says so, nothing is told as sent."""
    from pictured_jobs import counted, finished
    from shots.states import AS_PHONE
    from shots.taking import served

    with served(counted(finished()), code=AS_PHONE) as url:
        hand = new_phone()
        hand.open(url)
        hand.go(f"/j/{JOB}/hand")
        hand.wait_for(words.all_at_once(3))
        unknown, late = (spoken(words.sentence(say(f"told-{one}"))) for one in WAYS_IT_GOES)
        hand.tap(words.all_at_once(3), role="button")
        hand.wait_until(lambda: hand.has(unknown) or hand.has(late), 30, "what came of it")
        if hand.has(late):  # a busy machine: what was made so late is shared by another press
            hand.tap(words.all_at_once(3), role="button")
        hand.wait_for(unknown)
        assert hand.has(words.sent_never()) and not hand.has(words.sent_same(""))
        name, _ = into_a_file(hand, words.all_in_one(3))
        assert name == "reedbed-hide-all.zip"
        hand.wait_for(words.sent_same(""))
