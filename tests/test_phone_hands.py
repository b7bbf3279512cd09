"""Files in and out of the installed page, as an Android phone's browser has it: downloads, its share
sheet, our own sheet where the tap is over, and places opened by a link. One start of the app."""

from __future__ import annotations

import base64
import io
import json
import time
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from pages import Host, host, pick, records, works_without_signal
from real_app import FIXED, JOB, SAMPLE, spoken
from test_journey_hand import into_a_file
from test_phone_page import page_folder

from engine.say import say
from fieldapp import words
from fieldapp.exchange.unpacking import unpack
from fieldapp.handover.codes import code_text
from fieldapp.handover.giving import BREATH
from fieldapp.jpeg import size_of
from fieldapp.shrink import MOST_SIDE

try:
    from browser import FLAGS, BrowserError, Phone
    from playwright.sync_api import sync_playwright
except ImportError:  # then every test here is skipped
    Phone = object

__all__ = ["page_folder"]
pytestmark = [pytest.mark.browser, pytest.mark.slow]
SAYS = words.PAGE_SAYS
MIDDLE = (195, 422)
ANDROID = (
    "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 (KHTML, like Gecko) "
    "Chrome/140.0.0.0 Mobile Safari/537.36"
)
"""what a browser on a phone says of itself; sharing is offered on phones"""
SHARES = """(() => {
  const real = navigator.userActivation;
  const own = globalThis.hands = { given: [], refusals: [], over: false, held: null };
  globalThis.Worker = class extends Worker {
    set onmessage(heard) {
      super.onmessage = (event) => own.held && event.data.ask === "give"
        ? own.held.push(() => heard(event)) : heard(event);
    }
  };
  navigator.canShare = () => true;
  navigator.share = async ({ files }) => {
    const refused = own.refusals.shift();
    own.given.push({ tapped: real.isActive, refused: refused ?? "",
      files: await Promise.all(files.map(async (one) => [one.name, one.type, await one.text()])) });
    if (refused) throw new DOMException("no", refused);
  };
  Object.defineProperty(navigator, "userActivation",
    { get: () => ({ isActive: !own.over && real.isActive }) });
})();"""
"""a share sheet in place of a phone's: keeps what it was given, refuses as it is told; a tap that
can be said to be over; and what the app asks the page to give, held until two of it are there"""
LARGE = """async () => {
  const canvas = new OffscreenCanvas(2400, 1800);
  const pen = canvas.getContext("2d");
  for (let at = 0; at < 60; at++) {
    pen.fillStyle = `hsl(${at * 6} 60% 50%)`;
    pen.fillRect(at * 40, 0, 40, 1800);
  }
  const bytes = new Uint8Array(await (await canvas.convertToBlob({ type: "image/jpeg" })).arrayBuffer());
  return btoa(Array.from(bytes, (one) => String.fromCharCode(one)).join(""));
}"""


class Glass(Phone):
    """A phone on which names come once its glass was touched in the middle, as Flutter wants it
    there."""

    def _wake(self, began: float, timeout: float) -> None:
        def touched() -> bool:
            here = "(what) => !!document.querySelector(what)"
            waits = "body:has(#first[hidden]) flt-semantics-placeholder"
            if self.page.evaluate(here, waits):  # gone once it took a touch: the next is the app's
                self.page.touchscreen.tap(*MIDDLE)
                self.pause(400)
            return self.page.evaluate(here, "flt-semantics")

        self.wait_until(touched, timeout, "Flutter to start")
        self.wait_until(self._shown, timeout, "anything with a name")
        self.first_screen_seconds = time.monotonic() - began

    def given(self) -> list[dict]:
        """What reached the share sheet since this was asked last."""
        return self.page.evaluate("() => hands.given.splice(0)")

    def refuses(self, *how: str, over: bool = False) -> None:
        """Let the next shares be refused so; and the tap be over when something is ready."""
        self.page.evaluate("(how) => Object.assign(hands, how)", {"refusals": how, "over": over})


@pytest.fixture(scope="module")
def opened(
    chromium: str, page_folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Glass, Host]]:
    """The app on a phone, with the sample in it; and its host."""
    look = {"viewport": {"width": 390, "height": 844}, "has_touch": True}
    profile = tmp_path_factory.mktemp("phone")
    with sync_playwright() as playwright, host(page_folder) as site:
        context = playwright.chromium.launch_persistent_context(
            str(profile),
            executable_path=chromium,
            args=list(FLAGS),
            reduced_motion="reduce",
            user_agent=ANDROID,
            **look,
        )
        context.add_init_script(SHARES)
        hand = Glass(context)
        hand.open(site.url)
        hand.wait_for(FIXED.no_jobs)
        pick(hand, FIXED.open_file, SAMPLE.name, SAMPLE.read_bytes())
        hand.wait_route(f"/j/{JOB}/now", timeout=20)
        yield hand, site
        context.close()


@pytest.fixture
def hand(opened: tuple[Glass, Host]) -> Glass:
    """At the page of what is handed over; nothing was shared yet, nothing refuses."""
    hand = opened[0]
    hand.page.evaluate("() => document.querySelector('dialog[open]')?.close()")
    hand.refuses()
    hand.given()
    hand.go("/")
    hand.wait_for(FIXED.jobs)
    hand.go(f"/j/{JOB}/hand")
    hand.wait_for(words.all_at_once(3))
    hand.pause(1000 * BREATH + 50)  # what went once goes again a breath later
    return hand


def presses(hand: Glass, what: str, way: str) -> None:
    """Share a document, or put it into a file."""
    hand.tap(words.speak_hand(words.document(what), way), role="button")


def exports(hand: Glass) -> int:
    """How many copies of the job the log knows of; -1 while something is being written to it."""
    try:
        return sum(one["what"] == "export" for one in records(hand, JOB)[1:])
    except BrowserError as trouble:
        assert "NotReadableError" in str(trouble)
        return -1


def says(hand: Glass, code: str) -> bool:
    """Whether this is told on the screen."""
    return hand.has(spoken(words.sentence(say(code))))


def sheet_opens(hand: Glass, name: str, button: str) -> None:
    """Wait for our own sheet with the name of a file above, and this on its first button."""
    sheet = hand.page.locator("dialog[open]")
    sheet.wait_for()
    texts = [sheet.locator(one).inner_text() for one in ("h2", "#sheet-yes", "#sheet-no")]
    assert texts == [name, button, SAYS["not-now"]]


def on_sheet(hand: Glass, button: str) -> None:
    """Tap a button of our own sheet, and see it close."""
    hand.page.get_by_role("button", name=button, exact=True).tap()
    hand.page.locator("dialog[open]").wait_for(state="hidden")


# ---------------------------------------------------------------- through the share sheet


def test_a_file_reaches_the_share_sheet_in_the_tap_and_is_logged_once_it_went(hand: Glass) -> None:
    """As a text: of the kinds that this browser shares JSON is none."""
    before = exports(hand)
    presses(hand, "whole", words.share())
    hand.wait_until(lambda: exports(hand) == before + 1, 10, "the copy in the log")
    (given,) = hand.given()
    assert given["tapped"] and not hand.page.locator("dialog[open]").count()
    ((name, kind, text),) = given["files"]
    assert (name, kind) == ("reedbed-hide.json.txt", "text/plain")
    assert unpack(text.encode()).file.plan.id == JOB
    hand.wait_for(words.sent_same(""))
    presses(hand, "readings", words.share())
    hand.wait_until(lambda: says_of_table(hand), 10, "what the table is")
    (given,) = hand.given()
    assert [one[:2] for one in given["files"]] == [["reedbed-hide-readings.csv", "text/csv"]]
    assert exports(hand) == before + 1, "a table is no copy"


def says_of_table(hand: Glass) -> bool:
    """Whether it is told that the readings alone went."""
    table = words.sentence(say("told-table-out", name="reedbed-hide-readings.csv"))
    return hand.has(spoken(table))


def test_a_browser_that_wants_its_own_tap_gets_one_on_our_sheet(hand: Glass) -> None:
    before = exports(hand)
    hand.refuses("NotAllowedError")
    presses(hand, "whole", words.share())
    sheet_opens(hand, "reedbed-hide.json", SAYS["share"])
    assert exports(hand) == before
    on_sheet(hand, SAYS["share"])
    hand.wait_until(lambda: exports(hand) == before + 1, 10, "the copy in the log")
    refused, taken = hand.given()
    assert refused["refused"] and not taken["refused"] and taken["tapped"]
    assert taken["files"] == refused["files"]


def test_who_closes_the_share_sheet_is_told_nothing_and_one_that_breaks_says_so(
    hand: Glass,
) -> None:
    before = exports(hand)
    hand.refuses("AbortError")
    presses(hand, "whole", words.share())
    hand.wait_until(lambda: hand.page.evaluate("() => hands.given.length") == 1, 10, "the share")
    hand.pause(300)
    assert not says(hand, "told-share-unknown")
    assert not hand.page.locator("dialog[open]").count()
    hand.refuses("DataError")
    presses(hand, "whole", words.share())
    hand.wait_until(lambda: says(hand, "told-share-unknown"), 10, "that nobody knows")
    assert len(hand.given()) == 2 and exports(hand) == before
    presses(hand, "whole", words.share())
    hand.wait_until(lambda: exports(hand) == before + 1, 10, "the next share")


def test_what_is_not_wanted_on_our_sheet_went_nowhere(hand: Glass) -> None:
    """By its button, or twice by the key that a phone's Back is too: the page stays where it is."""
    before = exports(hand)
    hand.refuses(over=True)
    for way in ("not-now", "Escape", "Escape"):
        presses(hand, "whole", words.share())
        sheet_opens(hand, "reedbed-hide.json", SAYS["share"])
        if way == "not-now":
            on_sheet(hand, SAYS[way])
        else:
            hand.press(way)
            hand.page.locator("dialog[open]").wait_for(state="hidden")
        hand.pause(300)
        assert hand.route == f"/j/{JOB}/hand" and not says(hand, "told-share-unknown")
    assert hand.given() == [] and exports(hand) == before


def test_a_second_wish_waits_until_the_sheet_is_answered(hand: Glass) -> None:
    """No sheet is exchanged for another under a finger, and none is lost."""
    before = exports(hand)
    hand.refuses(over=True)
    hand.page.evaluate("() => { hands.held = []; }")
    for number, what in enumerate(("whole", "readings"), 1):
        presses(hand, what, words.share())
        held = "(number) => hands.held.length === number"
        hand.wait_until(lambda n=number, h=held: hand.page.evaluate(h, n), 10, "a wish")
    hand.page.evaluate(
        "() => { const all = hands.held; hands.held = null; all.forEach((on) => on()); }"
    )
    sheet_opens(hand, "reedbed-hide.json", SAYS["share"])
    hand.page.get_by_role("button", name=SAYS["share"], exact=True).tap()
    title = hand.page.locator("#sheet-title")
    hand.wait_until(lambda: title.inner_text() == "reedbed-hide-readings.csv", 10, "the second")
    on_sheet(hand, SAYS["not-now"])
    hand.wait_until(lambda: exports(hand) == before + 1, 10, "the copy in the log")
    assert len(hand.given()) == 1 and not says_of_table(hand)


# ---------------------------------------------------------------- into a file


def test_a_tap_that_is_over_is_asked_for_once_more_before_a_download(hand: Glass) -> None:
    before = exports(hand)
    hand.refuses(over=True)
    presses(hand, "whole", words.to_a_file())
    sheet_opens(hand, "reedbed-hide.json", SAYS["save"])
    with hand.page.expect_download() as loaded:
        on_sheet(hand, SAYS["save"])
    assert loaded.value.suggested_filename == "reedbed-hide.json"
    hand.wait_until(lambda: exports(hand) == before + 1, 10, "the copy in the log")


def test_a_job_with_a_photo_goes_out_whole_and_back_in(hand: Glass) -> None:
    """The photo made smaller by the canvas. Brought back where it is: nothing new. A zip is no kind
    that this browser shares: told at once, in place of a tap that would come to nothing."""
    large = base64.b64decode(hand.page.evaluate(LARGE))
    assert size_of(large) == (2400, 1800)
    hand.go(f"/j/{JOB}/run?at=L2")
    hand.take_photo(words.photo_short(), large, exact=True)
    hand.wait_until(lambda: records(hand, JOB)[-1]["what"] == "photo", 20, "the photo in the log")
    entry = records(hand, JOB)[-1]

    hand.go(f"/j/{JOB}/hand")
    hand.wait_for(words.all_at_once(3))
    presses(hand, "whole", words.share())
    hand.wait_until(lambda: says(hand, "told-share-unknown"), 10, "that it cannot be shared")
    assert hand.given() == []
    name, data = into_a_file(hand, words.speak_hand(words.document("whole"), words.to_a_file()))
    assert name == "reedbed-hide.zip"
    incoming = unpack(data)
    assert incoming.left_out == ()
    (picture,) = incoming.pictures.values()
    assert max(size_of(picture)) == MOST_SIDE and len(picture) < len(large)
    assert entry["bytes"] == len(picture)

    hand.wait_until(lambda: records(hand, JOB)[-1]["what"] == "export", 10, "the copy in the log")
    there = records(hand, JOB)
    name, table = into_a_file(hand, words.speak_hand(words.document("readings"), words.to_a_file()))
    assert name == "reedbed-hide-readings.csv" and table.decode("utf-8-sig").count("\n") >= 1
    hand.go("/")
    pick(hand, FIXED.open_file, name := "reedbed-hide.zip", data)
    hand.wait_for(spoken(words.sentence(say("told-nothing-new", name=name))), timeout=20)
    assert records(hand, JOB) == there

    hand.go("/settings/everything")
    hand.wait_for(words.to_a_file())
    name, whole = into_a_file(hand, words.to_a_file())
    with zipfile.ZipFile(io.BytesIO(whole)) as archive:
        (one,) = [name for name in archive.namelist() if name.lower().startswith("reedbed")]
        assert unpack(archive.read(one)).pictures == incoming.pictures
    assert name.startswith("farend-") and name.endswith(".zip")


# ---------------------------------------------------------------- links


def test_a_link_goes_to_its_place_with_nobody_there_to_answer(
    opened: tuple[Glass, Host],
) -> None:
    """Opened by a code that a camera read; while the app is open; typed; and back again."""
    hand, site = opened
    works_without_signal(hand)
    site.off()
    hand.context.set_offline(True)
    hand.page.goto("about:blank")
    hand.open(f"{site.url}#/j/{JOB}/run?at=L2")
    assert hand.route == f"/j/{JOB}/run?at=L2"
    hand.wait_for("L2")

    hand.go(f"/j/{JOB}/read/S.out/volts")
    hand.wait_for(words.understood())
    hand.back()
    hand.wait_route(f"/j/{JOB}/run?at=L2")
    hand.wait_for("L2")

    hand.go("/j/HERON-HIDE/run?at=L1")
    hand.wait_for(spoken(words.sentence(say("told-no-name", name="HERON-HIDE"))))
    hand.wait_route("/")

    hand.type_into(words.code_label(), code_text(JOB, "A2"))
    hand.press("Enter")
    hand.wait_route(f"/j/{JOB}/run?at=A2")
    assert hand.outside_requests == [] and json.dumps(hand.console_errors) == "[]"
