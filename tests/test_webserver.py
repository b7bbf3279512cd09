"""The laptop's server: the app in a real browser, and nothing leaves the machine.

Run as a program (`python tests/test_webserver.py PORT ASSETS CACHE`) this file serves the small
app that its tests drive.
"""

from __future__ import annotations

import asyncio
import http.client
import json
import shutil
import signal
import socket
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import flet as ft
import flet.canvas as cv
import pytest

if TYPE_CHECKING:
    from app_process import App
    from browser import Phone

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))  # this file also runs as a program

from fieldapp import webclient, webserver  # noqa: E402

MISSING = "\u8a9e"  # a Han character: in none of the fonts


def demo(page: ft.Page) -> None:
    """A counter, a drawing, a field, a list and the route: one of each thing a screen has."""
    page.title = "Farend"
    taps = ft.Text("0 taps", size=24)
    place = ft.Text(f"place {page.route}")
    typed = ft.Text("typed nothing")

    def tapped() -> None:
        taps.value = f"{int(taps.value.split()[0]) + 1} taps"

    def missing() -> None:
        taps.value = f"glyph {MISSING} there"

    def moved() -> None:
        place.value = f"place {page.route}"
        page.update()

    def changed(event: ft.ControlEvent) -> None:
        typed.value = f"typed {event.control.value}"

    async def onwards() -> None:
        await page.push_route("/j/abc/leave")

    page.on_route_change = moved
    page.add(
        taps,
        place,
        ft.Button(
            content=ft.Column([ft.Text("IN meets A2", size=22), ft.Text("done: 11 of 17")]),
            height=76,
            on_click=tapped,
        ),
        ft.Button("Leave", on_click=onwards),
        ft.Button("Odd glyph", on_click=missing),
        ft.Button("Not now", disabled=True),
        ft.Semantics(
            label="4 boxes, lowest 18.0 V",
            image=True,
            exclude_semantics=True,
            content=cv.Canvas(
                [cv.Line(0, 0, 100, 40, ft.Paint(stroke_width=3))], width=200, height=60
            ),
        ),
        ft.TextField(label="Name of the job", on_change=changed),
        typed,
        ft.ListView([ft.Text(f"row {n}", height=40) for n in range(60)], height=160),
    )


@pytest.fixture(scope="module")
def assets(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The app's own files, or a stand-in with the icon font for a face where there are none."""
    own = ROOT / "fieldapp" / "assets"
    if (own / "fonts" / webclient.BODY_FONT).exists():
        return own
    import flet_web

    folder = tmp_path_factory.mktemp("assets")
    (folder / "fonts").mkdir()
    face = Path(flet_web.__file__).parent / "web/assets/fonts/roboto.woff2"
    for name in (webclient.BODY_FONT, webclient.STRESS_FONT):
        shutil.copy(face, folder / "fonts" / name)
    return folder


@pytest.fixture(scope="module")
def cache(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("web")


@pytest.fixture
def serve(assets: Path, cache: Path) -> Iterator[Callable]:
    """Starts the demo app in a process of its own; ends it with the test."""
    from app_process import start_app

    apps = []

    def start(port: int = 0):
        args = [sys.executable, __file__, str(port), str(assets), str(cache)]
        apps.append(start_app(args))
        return apps[-1]

    yield start
    for app in apps:
        app.kill9()


def ask(url: str, path: str, **headers: str) -> http.client.HTTPResponse:
    """One request to the server, as it is: no redirect is followed."""
    address = urlsplit(url)
    connection = http.client.HTTPConnection(address.hostname, address.port, timeout=10)
    try:
        connection.request(
            "GET", path, headers={k.replace("_", "-"): v for k, v in headers.items()}
        )
        answer = connection.getresponse()
        answer.read()
        return answer
    finally:
        connection.close()


# --- the patched client -----------------------------------------------------------------------


KNOWN = (
    'a="https://cdn.example/npm/@rive-app/x@1/",',
    "b={spinner_size:0,startup_message:1},",
    'c=[30,"Working..."];',
    'd("(forced-colors: active)");',
)


def test_the_harness_knows_the_sentence_of_the_client() -> None:
    from browser import STARTING

    assert webclient.WAITING in STARTING


def test_a_known_client_is_patched() -> None:
    assert webclient.patched_dart("".join(KNOWN)) == (
        'a="rive/",'
        "b={bgcolor_light:0,bgcolor_dark:1,startup_message:2},"
        f'c=["#FBFAF5", "#0A0F12", "{webclient.WAITING}"];'
        'd("(forced-colors: active), (prefers-contrast: more)");'
    )


@pytest.mark.parametrize("times", [0, 2])
@pytest.mark.parametrize("part", range(len(KNOWN)))
def test_an_unknown_client_is_refused(part: int, times: int) -> None:
    text = "".join(k * times if n == part else k for n, k in enumerate(KNOWN))
    with pytest.raises(webclient.ClientError, match=f"{times} times"):
        webclient.patched_dart(text)


def test_a_start_script_without_canvaskit_is_refused() -> None:
    other = '_flutter.buildConfig = {"builds":[{"renderer":"skwasm"}]};\n'
    for script in ("nothing", other):
        with pytest.raises(webclient.ClientError, match="CanvasKit"):
            webclient.canvaskit_build(script)


def test_the_built_client_names_no_outside_script(assets: Path, cache: Path) -> None:
    place = webclient.build_client(cache, assets)
    dart = (place / "main.dart.js").read_text("utf-8")
    assert "@rive-app" not in dart
    assert "Working..." not in dart
    for name in ("index.html", "boot.js", "start.js", "page.css"):
        assert "https://" not in (place / name).read_text("utf-8"), name
    manifest = json.loads((place / "assets/FontManifest.json").read_text("utf-8"))
    named = [font["asset"] for family in manifest for font in family["fonts"]]
    assert [family["family"] for family in manifest].count("Roboto") == 1
    assert all((place / "assets" / name).is_file() for name in named)


def test_the_client_is_built_once(assets: Path, cache: Path) -> None:
    place = webclient.build_client(cache, assets)
    mark = (place / "built.json").stat().st_mtime_ns
    assert webclient.build_client(cache, assets) == place
    assert (place / "built.json").stat().st_mtime_ns == mark


def test_half_a_client_is_built_again(assets: Path, tmp_path: Path) -> None:
    place = webclient.build_client(tmp_path, assets)
    whole = (place / "start.js").read_bytes()
    (place / "start.js").write_bytes(whole[:10])
    assert webclient.build_client(tmp_path, assets) == place
    assert (place / "start.js").read_bytes() == whole
    assert [p.name for p in tmp_path.iterdir()] == [place.name]


def test_other_fonts_make_another_client(assets: Path, cache: Path) -> None:
    plain = webclient.build_client(cache, assets)
    named = webclient.build_client(cache, assets, {"T": webclient.BODY_FONT})
    assert plain != named
    assert '"family": "T"' in (named / "assets/FontManifest.json").read_text("utf-8")


# --- the server -------------------------------------------------------------------------------


def test_a_taken_port_is_named() -> None:
    with webserver.listen("127.0.0.1", 0) as first:
        port = first.getsockname()[1]
        with pytest.raises(webserver.PortTakenError, match=f"^Port {port} on 127.0.0.1 ") as told:
            webserver.listen("127.0.0.1", port)
    assert told.value.port == port


def test_a_second_server_on_the_port_says_so(serve, assets: Path, cache: Path) -> None:
    port = urlsplit(serve().url).port
    never = pytest.fail
    with pytest.raises(webserver.PortTakenError, match=str(port)):
        asyncio.run(
            webserver.serve(demo, port=port, assets_dir=assets, web_dir=cache, on_ready=never)
        )


@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_it_ends_cleanly_and_frees_the_port(serve, number: int) -> None:
    app = serve()
    port = urlsplit(app.url).port
    app.process.send_signal(number)
    assert app.process.wait(10) == 0
    app.kill9()
    assert app.lines == [app.url, "ended"]
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) != 0


def test_an_error_in_on_ready_reaches_the_caller(assets: Path, cache: Path) -> None:
    def broken(_url: str) -> None:
        raise LookupError("no browser")

    with pytest.raises(LookupError, match="no browser"):
        asyncio.run(webserver.serve(demo, assets_dir=assets, web_dir=cache, on_ready=broken))


def test_only_this_machine_under_its_own_name_is_served(serve) -> None:
    app = serve()
    here = urlsplit(app.url).netloc
    upgrade = {
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec_WebSocket_Version": "13",
        "Sec_WebSocket_Key": "AAAAAAAAAAAAAAAAAAAAAA==",
    }
    assert ask(app.url, "/").status == 200
    assert ask(app.url, "/", Host="farend.example").status == 400
    assert ask(app.url, "/ws", Origin="http://farend.example", **upgrade).status == 403
    assert ask(app.url, "/ws", Origin=f"http://{here}", **upgrade).status == 101


def test_headers_and_missing_files(serve) -> None:
    app = serve()
    page = ask(app.url, "/")
    assert "connect-src 'self'" in page.headers["content-security-policy"]
    assert page.headers["cache-control"] == "no-cache"
    assert ask(app.url, "/nothing.js").status == 404
    assert ask(app.url, "/flutter_service_worker.js").status == 404
    wasm = ask(app.url, "/canvaskit/canvaskit.wasm")
    assert wasm.headers["content-type"] == "application/wasm"
    typed = ask(app.url, "/j/abc/run?at=A2.line", Accept="text/html")
    assert typed.headers["location"] == "/#/j/abc/run?at=A2.line"


# --- in a browser -----------------------------------------------------------------------------


@pytest.mark.browser
def test_one_page_is_used_guarded_and_comes_back(serve, new_phone) -> None:
    """All of it on one page: each part goes on where the last one stopped."""
    app, hand = serve(), new_phone()
    hand.open(app.url)
    found_by_name_tapped_and_changed(hand)
    a_missing_glyph_does_not_ask_for_ever(hand)
    comes_back_after_a_dead_server(hand, app, serve)
    the_guard_sees_and_stops_what_would_leave(hand)


def found_by_name_tapped_and_changed(hand: Phone) -> None:
    hand.wait_for("0 taps")
    assert ("IN meets A2 done: 11 of 17", "button") in hand.names()
    assert ("4 boxes, lowest 18.0 V", "img") in hand.names()
    assert hand.box("IN meets A2", exact=True).height == 76
    assert not hand.find("Not now").enabled
    hand.tap("IN meets A2", exact=True)
    hand.wait_for("1 taps")
    for _ in range(4):
        hand.tap("IN meets A2")
    hand.wait_for("5 taps")
    hand.type_into("Name of the job", "Saltmarsh 12.5")
    hand.wait_for("typed Saltmarsh 12.5")
    hand.scroll_to("row 25", exact=True)
    assert hand.find("row 25", exact=True).visible
    assert hand.page.title() == "Farend"
    assert hand.outside_requests == []
    assert hand.console_errors == []
    with pytest.raises(AssertionError, match="nothing is called 'Nowhere'"):
        hand.find("Nowhere")
    with pytest.raises(AssertionError, match="disabled"):
        hand.tap("Not now")


def a_missing_glyph_does_not_ask_for_ever(hand: Phone) -> None:
    before = len(hand.requests)
    hand.tap("Odd glyph")
    hand.wait_for(f"glyph {MISSING} there")
    hand.pause(3000)
    asked = [url for url in hand.requests[before:] if "fonts/" in url]
    assert 1 <= len(asked) <= 10  # none at all would mean that the glyph was not missing
    quiet = len(hand.requests)
    hand.pause(1500)
    assert len(hand.requests) == quiet
    assert hand.outside_requests == []
    assert hand.console_errors == []


def comes_back_after_a_dead_server(hand: Phone, app: App, serve: Callable) -> None:
    app.kill9()
    hand.wait_for(webclient.WAITING)
    serve(urlsplit(app.url).port)
    hand.wait_for("0 taps", timeout=30)
    assert not hand.has(webclient.WAITING)
    hand.tap("IN meets A2")
    hand.wait_for("1 taps")


def the_guard_sees_and_stops_what_would_leave(hand: Phone) -> None:
    assert hand.outside_requests == []
    hand.page.evaluate("() => fetch('https://farend.example/data').catch(() => 0)")
    hand.page.evaluate("() => { try { new WebSocket('wss://farend.example/ws'); } catch {} }")
    hand.wait_until(lambda: len(hand.outside_requests) >= 2, 5, "two attempts")
    assert "https://farend.example/data" in hand.outside_requests
    assert "wss://farend.example/ws" in hand.outside_requests


@pytest.mark.slow
@pytest.mark.browser
def test_deep_links_reload_and_back(serve, new_phone) -> None:
    url = serve().url
    hand = new_phone()
    hand.open(f"{url}/#/j/abc/run?at=A2.line")
    hand.wait_for("place /j/abc/run?at=A2.line")
    hand.tap("Leave")
    hand.wait_for("place /j/abc/leave")
    hand.wait_route("/j/abc/leave")
    hand.reload()
    hand.wait_for("place /j/abc/leave")
    hand.back()
    hand.wait_for("place /j/abc/run?at=A2.line")
    hand.open(f"{url}/#/shapes", timeout=10)  # same page, another place: nothing is loaded
    hand.wait_for("place /shapes")
    hand.go("/settings")
    hand.wait_for("place /settings")
    hand.open(f"{url}/j/abc/now")  # typed without the #
    hand.wait_for("place /j/abc/now")
    assert hand.outside_requests == []


@pytest.mark.browser
def test_the_page_is_ready_before_the_app_is(serve, new_phone) -> None:
    """The ground colour is there from the first moment, in sun and in the dark."""
    url = serve().url
    for colour, ground in (("light", "rgb(251, 250, 245)"), ("dark", "rgb(10, 15, 18)")):
        hand = new_phone(colour=colour)
        hand.page.goto(url, wait_until="commit")
        shown = "() => getComputedStyle(document.documentElement).backgroundColor"
        hand.wait_until(lambda h=hand, s=shown, g=ground: h.page.evaluate(s) == g, 5, ground)
        assert hand.page.title() == "Farend"


if __name__ == "__main__":
    asyncio.run(
        webserver.serve(
            demo,
            port=int(sys.argv[1]),
            assets_dir=Path(sys.argv[2]),
            web_dir=Path(sys.argv[3]),
            on_ready=lambda url: print(url, flush=True),
        )
    )
    print("ended", flush=True)
