"""Signing the record with a finger in a real browser, and the record that comes of it."""

from __future__ import annotations

import pytest
from app_presses import with_cautions_read
from fingers import draw, scrawl
from real_app import FIXED, JOB, judged, nothing_went_wrong, on_site, serve

from engine.signed import signatures
from fieldapp import words
from fieldapp.handover.html import html
from fieldapp.handover.record import record

__all__ = ["on_site", "serve"]

GLOVE = 56.0


@pytest.mark.slow
@pytest.mark.browser
def test_a_finger_signs_and_the_record_shows_what_it_drew(on_site) -> None:
    hand, held = on_site(with_cautions_read([]))
    hand.go(f"/j/{JOB}/hand")
    hand.tap(words.sign_title(), role="button")
    hand.wait_route(f"/j/{JOB}/sign")
    hand.wait_for(words.sign_lacks())
    hand.type_into(words.sign_name_label(), "P. Quill")
    hand.tap("Owner", role="button")
    hand.wait_for(words.sign_as("P. Quill", "Owner", False))
    empty = words.speak_sign_field(0)
    before = hand.find(empty).seen
    draw(hand, empty, *scrawl())
    drawn = words.speak_sign_field(3)
    hand.wait_for(drawn)
    after = hand.find(drawn).seen
    assert (after.x, after.y) == (before.x, before.y), "a finger that draws moves no page"
    assert hand.box(words.sign_again(), role="button").height >= GLOVE
    assert hand.box(words.sign_slab(), role="button").height >= 72.0
    hand.tap(words.sign_slab(), role="button")
    hand.wait_route(f"/j/{JOB}/hand")
    hand.wait_for(words.signed_who("P. Quill", "Owner"))
    entry = held().records[-1]
    assert (entry["what"], entry["by"], entry["role"]) == ("sign", "P. Quill", "Owner")
    loops, bar, dot = entry["strokes"]
    assert len(loops) > 20 and len(bar) >= 2 and len(dot) == 1
    assert min(y for _, y in loops) < 120 and max(y for _, y in loops) > 260, "down and up again"
    assert abs(loops[0][0] - 100) < 12 and abs(loops[0][1] - 200) < 12, "from where it was put down"
    judgement = judged(held())
    (one,) = signatures(judgement.state)
    assert one.holds is True and one.since == 0
    page = html(record(judgement), {})
    assert page.count("<path", page.index(words.speak_signature("P. Quill"))) >= 2
    hand.tap(FIXED.take_back, role="button")
    hand.wait_for(words.signed_by_nobody())
    nothing_went_wrong(hand)
