"""``farend serve``: a bundle on loopback, with the right types, and nothing outside its folder."""

from __future__ import annotations

import gzip
import http.client
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest

from fieldapp.phone.policy import HEADER_ONLY, PAGE_POLICY, POLICY
from fieldapp.phone.serve import PORT, names_us, serve, serving, takes_gzip, told

ROOT = Path(__file__).parents[1]
TEXT = "const words = 'the same again and again';\n" * 200


@pytest.fixture(scope="module")
def bundle(tmp_path_factory) -> Path:
    """A folder that passes for a bundle, with something beside it that nobody may have."""
    above = tmp_path_factory.mktemp("above")
    (above / "secret.txt").write_text("secret", "utf-8")
    folder = above / "site"
    (folder / "assets" / "fonts").mkdir(parents=True)
    (folder / "pyodide").mkdir()
    for name, text in {
        "index.html": "<!DOCTYPE html><title>Farend</title>",
        "sw.js": TEXT,
        "worker.js": TEXT,
        "manifest.webmanifest": "{}",
        "page.css": "body {}",
        "farend.svg": "<svg/>",
        "assets/FontManifest.json": "[]",
        "pyodide/pyodide.mjs": TEXT,
    }.items():
        (folder / name).write_text(text, "utf-8")
    for name in ("site.zip", "pyodide/a.wasm", "icon.png", "assets/fonts/a.woff2", "assets/x.bin"):
        (folder / name).write_bytes(bytes(2000))
    (folder / "out.txt").symlink_to(above / "secret.txt")
    return folder


@pytest.fixture(scope="module")
def address(bundle) -> Iterator[str]:
    with serving(bundle, 0) as where:
        yield where


def ask(
    address: str, path: str, method: str = "GET", headers: dict[str, str] | None = None
) -> tuple[int, http.client.HTTPMessage, bytes]:
    """One request, its path sent as it stands."""
    connection = http.client.HTTPConnection("127.0.0.1", urlsplit(address).port, timeout=5)
    try:
        connection.request(method, path, headers=headers or {})
        answer = connection.getresponse()
        return answer.status, answer.headers, answer.read()
    finally:
        connection.close()


@pytest.mark.parametrize(
    ("path", "media"),
    [
        ("/", "text/html; charset=utf-8"),
        ("/index.html?v=2", "text/html; charset=utf-8"),
        ("/sw.js", "text/javascript; charset=utf-8"),
        ("/pyodide/pyodide.mjs", "text/javascript; charset=utf-8"),
        ("/pyodide/a.wasm", "application/wasm"),
        ("/manifest.webmanifest", "application/manifest+json"),
        ("/assets/FontManifest.json", "application/json"),
        ("/assets/fonts/a.woff2", "font/woff2"),
        ("/site.zip", "application/zip"),
        ("/icon.png", "image/png"),
        ("/farend.svg", "image/svg+xml"),
        ("/page.css", "text/css; charset=utf-8"),
        ("/assets/x.bin", "application/octet-stream"),
    ],
)
def test_each_file_has_its_type_and_all_have_the_policy(address, bundle, path, media):
    status, headers, body = ask(address, path)

    name = urlsplit(path).path[1:] or "index.html"
    assert (status, headers["Content-Type"]) == (200, media)
    assert body == (bundle / name).read_bytes()
    assert headers["Content-Security-Policy"] == POLICY
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-cache"


def test_the_policy_leaves_no_door_open():
    """Whatever is not named falls back to ours alone; what is named names no host."""
    rules = dict(rule.split(" ", 1) for rule in POLICY.split("; "))
    assert rules["default-src"] == rules["manifest-src"] == rules["base-uri"] == "'self'"
    assert rules["object-src"] == rules["form-action"] == rules["frame-ancestors"] == "'none'"
    allowed = {"'self'", "'none'", "blob:", "data:", "'wasm-unsafe-eval'", "'unsafe-inline'"}
    assert {word for what in rules.values() for word in what.split()} <= allowed
    assert "'unsafe-inline'" not in rules["script-src"]
    page = dict(rule.split(" ", 1) for rule in PAGE_POLICY.split("; "))
    assert page == {name: what for name, what in rules.items() if name not in HEADER_ONLY}


def test_text_and_wasm_go_compressed_and_the_rest_as_it_is(address):
    takes = {"Accept-Encoding": "gzip, deflate, br"}
    status, headers, body = ask(address, "/sw.js", headers=takes)
    assert (status, headers["Content-Encoding"]) == (200, "gzip")
    assert gzip.decompress(body).decode() == TEXT and len(body) < len(TEXT) / 10
    assert headers["Vary"] == "Accept-Encoding"
    assert ask(address, "/pyodide/a.wasm", headers=takes)[1]["Content-Encoding"] == "gzip"
    for path in ("/icon.png", "/site.zip", "/assets/fonts/a.woff2"):
        _, headers, body = ask(address, path, headers=takes)
        assert headers["Content-Encoding"] is None and len(body) == 2000
    assert ask(address, "/sw.js")[1]["Content-Encoding"] is None


@pytest.mark.parametrize(
    ("header", "takes"),
    [("gzip", True), ("br, GZIP;q=0.5", True), ("*", True), ("br", False), ("gzip;q=0", False)],
)
def test_what_an_accept_encoding_takes(header, takes):
    assert takes_gzip(header) is takes


def test_a_head_has_the_same_head_and_no_body(address):
    whole, head = ask(address, "/sw.js"), ask(address, "/sw.js", "HEAD")
    assert head[2] == b"" and whole[2]
    kept = [[(k, v) for k, v in one[1].items() if k != "Date"] for one in (whole, head)]
    assert kept[0] == kept[1]


def test_what_did_not_change_is_not_sent_again_and_what_did_is(address, bundle):
    """Packed and plain bytes have tags of their own: a cache must not mix them."""
    takes = {"Accept-Encoding": "gzip"}
    plain, packed = (ask(address, "/worker.js", headers=h)[1]["ETag"] for h in ({}, takes))
    assert plain != packed
    status, headers, body = ask(
        address, "/worker.js", headers={**takes, "If-None-Match": f'"x", W/{packed}'}
    )
    assert (status, body, headers["ETag"]) == (304, b"", packed)
    assert headers["Content-Security-Policy"] == POLICY
    assert ask(address, "/worker.js", headers={"If-None-Match": packed})[0] == 200

    (bundle / "worker.js").write_text("changed", "utf-8")

    status, headers, body = ask(address, "/worker.js", headers={"If-None-Match": plain})
    assert (status, body) == (200, b"changed") and headers["ETag"] != plain


@pytest.mark.parametrize(
    "path",
    [
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/assets/..%2f..%2fsecret.txt",
        "/assets/../../secret.txt",
        "/..%5csecret.txt",
        "//secret.txt",
        "/out.txt",
        "/index.html%00.txt",
        "/c:/secret.txt",
        "/" + "x" * 5000,
        "secret.txt",
        "/assets",
        "/assets/",
        "/./index.html",
        "/nothing.js",
    ],
)
def test_nothing_outside_and_no_folder_is_shown(address, path):
    status, headers, body = ask(address, path)
    assert (status, body) == (404, b"Not Found\n")
    assert headers["Content-Security-Policy"] == POLICY


def test_a_name_that_was_made_to_lead_here_is_refused(address):
    port = urlsplit(address).port
    for host in ("evil.example", f"evil.example:{port}", "localhost.evil.example", "0.0.0.0", ""):
        assert ask(address, "/", headers={"Host": host})[0] == 421, host
    # the phone's end of a cable may have a port of its own
    for host in ("localhost", "LOCALHOST:1", f"127.0.0.1:{port}"):
        assert ask(address, "/", headers={"Host": host})[0] == 200, host
    assert not names_us("localhost:1:2") and not names_us("localhost@evil.example")


def test_only_reading_is_answered_and_the_line_stays_open(address):
    assert ask(address, "/sw.js", "POST")[0] == 501
    connection = http.client.HTTPConnection("127.0.0.1", urlsplit(address).port, timeout=5)
    for path in ("/sw.js", "/sw.js", "/index.html"):
        connection.request("GET", path)
        sock = connection.sock
        assert connection.getresponse().read()
        assert connection.sock is sock is not None
    connection.close()


def test_nobody_else_on_the_network_reaches_it(address):
    """Another address of this machine, as another machine would use it."""
    with socket.socket() as sock:
        sock.settimeout(5)
        assert sock.connect_ex(("127.0.0.2", urlsplit(address).port)) != 0


def test_what_is_printed_names_the_cable_and_warns_of_another_port():
    """Data go by port, so the phone's end has always the same one."""
    usual, other = told(f"http://localhost:{PORT}/"), told("http://localhost:9000/")
    assert usual[0] == f"http://localhost:{PORT}/" and other[0] == "http://localhost:9000/"
    assert "adb reverse tcp:8765 tcp:8765, then http://localhost:8765/ on it" in usual[1]
    assert "adb reverse tcp:8765 tcp:9000, then http://localhost:8765/ on it" in other[1]
    assert len(usual) == 2
    assert len(other) == 3 and "8765" in other[2] and "9000" in other[2]


def test_bad_input_is_one_line_and_status_2(tmp_path, bundle, capsys):
    assert serve([str(tmp_path / "nowhere")]) == 2
    assert capsys.readouterr().err == f"{tmp_path / 'nowhere'}: there is no such folder.\n"

    (tmp_path / "index.html").write_text("", "utf-8")
    assert serve([str(tmp_path)]) == 2
    line = f"{tmp_path} is no bundle: sw.js not in it. farend bundle makes one.\n"
    assert capsys.readouterr().err == line

    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert serve([str(bundle), "--port", str(port)]) == 2
    assert capsys.readouterr().err == f"port {port} is in use: choose another with --port.\n"

    for port in ("70000", "-1", "x"):
        with pytest.raises(SystemExit) as end:
            serve([str(bundle), "--port", port])
        assert end.value.code == 2


@pytest.mark.skipif(sys.platform == "win32", reason="no such signals there")
@pytest.mark.parametrize("number", [signal.SIGINT, signal.SIGTERM])
def test_the_command_answers_once_it_says_so_and_stops_when_told(bundle, number):
    code = "import sys; from fieldapp.phone.serve import serve; sys.exit(serve(sys.argv[1:]))"
    command = [sys.executable, "-c", code, str(bundle), "--port", "0"]
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, cwd=ROOT
    ) as process:
        try:
            address, cable = process.stdout.readline().strip(), process.stdout.readline()
            assert ask(address, "/sw.js")[0] == 200
            os.kill(process.pid, number)
            _, complaints = process.communicate(timeout=10)
        finally:
            process.kill()
    assert process.returncode == 0 and complaints == ""
    assert "adb reverse" in cable
