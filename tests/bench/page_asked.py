"""Every screen of the installed page, and what is asked of whom meanwhile."""

from __future__ import annotations

import socket
import threading
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress

from browser import Phone
from page_kit import FIXED, NAMES, ROOT_SIZE, Kit, doubled, elsewhere, in_german, told
from pages import pick
from shots.states import states

from fieldapp import words
from fieldapp.exchange import pack
from fieldapp.exchange.everything import everything
from fieldapp.routes import BEHIND, Place, place_of, route_of
from fieldapp.words.manner import Manner


@contextmanager
def nobody(url: str) -> Iterator[list[str]]:
    """In the host's place somebody who answers nothing, and writes down what he is asked."""
    asked: list[str] = []
    with socket.socket() as at:
        at.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        at.bind(("127.0.0.1", int(url.rstrip("/").rpartition(":")[2])))
        at.listen(64)

        def listen() -> None:
            while True:
                try:
                    one, _ = at.accept()
                except OSError:
                    return
                with one, suppress(OSError):
                    one.settimeout(2)
                    line = one.recv(4096).split(b"\r\n")[0].decode("latin-1")
                    if line:  # a browser opens connections that it may need, and asks nothing
                        asked.append(line)

        threading.Thread(target=listen, daemon=True).start()
        yield asked
        with suppress(OSError):
            at.shutdown(socket.SHUT_RDWR)


def every_place() -> tuple[list[dict], list[str]]:
    """Jobs with ids of their own, and the places of each: one a screen and a job that is
    photographed."""
    docs: dict[str, dict] = {}
    places: dict[str, None] = {}
    for number, (group, jobs, _) in enumerate(states()):
        names = {}
        for doc in jobs:
            new = doc["id"] if doc["id"] not in docs else f"{doc['id']}-{number}"
            docs[new], names[f"/j/{doc['id']}/"] = {**doc, "id": new}, f"/j/{new}/"
        seen = set()
        for shot in group:
            screen, job = place_of(shot.place).screen, place_of(shot.place).job
            if (screen, job) in seen or (job and f"/j/{job}/" not in names):
                continue
            seen.add((screen, job))
            old = f"/j/{job}/"
            places[shot.place.replace(old, names[old]) if job else shot.place] = None
    more = [route_of(Place(name)) for name in ("samples", "phone", "found", "practice", "new")]
    return list(docs.values()), [*places, *(one for one in more if one not in places)]


def paths(urls: list[str], url: str) -> str:
    """How many requests, and of which path most."""
    counts = Counter(one.removeprefix(url).partition("?")[0] or "/" for one in urls)
    most = ", ".join(f"{path} {n}" for path, n in counts.most_common(4))
    return f"{len(urls)} requests, {len(counts)} paths; {most}"


FOR_A_START = ("GET / HTTP/1.1",)
"""what Chromium asks by itself while it starts a service worker; the worker's own answer counts"""


def requests(kit: Kit) -> None:
    """Every screen, English and German, letters of twice the size: who is asked for what."""
    docs, places = every_place()
    if not kit.whole:
        first = {place_of(one).screen: one for one in reversed(places)}
        places = [one for one in places if one in first.values()]
        docs = [one for one in docs if any(f"/{one['id']}/" in place for place in places)]
    screens = {place_of(one).screen for one in places}
    kit.want(screens == set(BEHIND), f"not seen: {set(BEHIND) - screens}")
    doubled(kit.base / "requests")
    with kit.installed("requests") as (site, own, hand):
        kit.want(hand.page.evaluate(ROOT_SIZE) == "32px", "the letters are not twice as large")
        told(f"first visit: {paths(hand.requests, site.url)}")
        data = everything([pack(doc) for doc in docs])
        pick(hand, FIXED.open_file, "farend-all.zip", data)
        hand.wait_until(lambda: len(hand.page.evaluate(NAMES)) >= len(docs), 120, "all jobs")
        seen_outside, errors = list(hand.outside_requests), list(hand.console_errors)
        site.off()
        with nobody(site.url) as asked:
            own.close()
            hand = own.open(site.url)
            hand.wait_until(lambda: len(hand.names()) > 3, 30, "the first screen")
            told(f"offline start: {paths(hand.requests, site.url)}; the host was asked {asked}")
            for language in ("en", "de"):
                if language == "de":
                    in_german(hand)
                hand.requests.clear()
                with words.speaking(Manner(language)):
                    failed = [one for one in places if not drawn(hand, one)]
                kit.want(not failed, f"{language}: could not be drawn: {failed}")
                told(f"{language}: {len(places)} places, {len(screens)} screens: "
                     f"{paths(hand.requests, site.url)}")  # fmt: skip
            with words.speaking(Manner("de")):
                strange_letters(kit, hand)
            others = [one for one in asked if "/sw.js" not in one and one not in FOR_A_START]
            kit.want(not others, f"the host was asked {others}")
            told(f"in all the host was asked {dict(Counter(asked))}")
        outside = [*seen_outside, *hand.outside_requests]
        kit.want(not outside, f"asked outside: {outside}")
        wrong = [*errors, *hand.console_errors]
        kit.want(not wrong, f"the console has {Counter(wrong).most_common(5)}")


def drawn(hand: Phone, place: str) -> bool:
    """Go there and wait until it stands still; whether it could be drawn."""
    before = [node.name for node in hand.nodes()]
    hand.go(place)
    end = time.monotonic() + 4
    while time.monotonic() < end:
        now = [node.name for node in hand.nodes()]
        if now and now != before:
            break
        hand.pause(60)
    hand.still()
    return not hand.has(FIXED.went_wrong) and bool(hand.nodes())


def strange_letters(kit: Kit, hand: Phone) -> None:
    """Letters that no font of ours has, in a name: asked for once, not at every picture."""
    elsewhere(hand, "/settings", words.setting_name("lengths"))
    hand.type_into(words.FIXED.own_name_label, "x")
    for text in ("שלום", "🦊", "漢字"):
        hand.requests.clear()
        hand.page.keyboard.insert_text(text)
        hand.pause(5000)
        kit.want(len(hand.requests) <= 6, f"{text}: {len(hand.requests)} requests in 5 s")
        told(f"{text!a} in the name: {len(hand.requests)} requests in 5 s")
