"""The door on a network: nothing behind it without the code, and guessing is slow."""

from __future__ import annotations

import http.client
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from urllib.parse import urlencode, urlsplit

import pytest
from app_process import App, start_app
from hypothesis import given
from hypothesis import strategies as st

from fieldapp import door as d
from fieldapp.doorway import COOKIE, PATH, NoAddress, lan_address, page, square_code

CODE, NEXT, TOKEN = "48230917", "11112222", "token"

guesses = st.lists(
    st.tuples(st.text("0123456789 -", max_size=12), st.floats(0, 200)), min_size=1, max_size=40
)


# ---------------------------------------------------------------- the rule


@pytest.mark.parametrize("typed", [CODE, "4823 0917", " 4823-0917\n"])
def test_the_code_opens_once(typed: str) -> None:
    inside, answer = d.knock(d.Door(CODE), typed, 0.0, NEXT, TOKEN)
    assert answer.what == d.OPENED
    assert d.is_inside(inside, [answer.token])
    again, refused = d.knock(inside, CODE, 0.0, "33334444", "other")
    assert refused.what == d.WRONG
    assert not d.is_inside(again, ["other"])
    assert inside.code == NEXT


@given(guesses)
def test_no_wrong_code_ever_opens_and_waits_only_grow(tried: list[tuple[str, float]]) -> None:
    door, now, waits = d.Door(CODE), 0.0, []
    for typed, later in tried:
        now += later
        looked_at = now >= door.shut_until
        wrong = door.wrong
        door, answer = d.knock(door, typed, now, CODE, TOKEN)
        if d.plain(typed) == CODE and looked_at:
            assert answer.what == d.OPENED
            return
        assert not door.inside
        assert door.wrong == wrong + looked_at
        assert answer.what == (d.WRONG if looked_at else d.TOO_SOON)
        if looked_at:
            waits.append(answer.wait)
    assert waits == sorted(waits)
    assert max(waits) <= d.LONGEST_WAIT


def test_the_right_code_too_soon_is_not_looked_at() -> None:
    shut, _ = d.knock(d.Door(CODE), "0", 0.0, NEXT, TOKEN)
    same, answer = d.knock(shut, CODE, 0.5, NEXT, TOKEN)
    assert same is shut
    assert (answer.what, answer.wait) == (d.TOO_SOON, 0.5)
    assert d.knock(shut, CODE, 1.0, NEXT, TOKEN)[1].what == d.OPENED


def test_after_ten_wrong_ones_another_code_counts() -> None:
    door = d.Door(CODE)
    for number in range(d.WRONG_A_CODE):
        assert door.code == CODE
        door, _ = d.knock(door, "0", number * d.LONGEST_WAIT, NEXT, TOKEN)
    assert door.code == NEXT
    assert door.wrong == d.WRONG_A_CODE
    assert d.knock(door, CODE, 1e6, "33334444", TOKEN)[1].what == d.WRONG


def test_the_phone_that_came_first_goes_when_there_are_too_many() -> None:
    door = d.Door(CODE)
    for number in range(d.MOST_INSIDE + 1):
        door, _ = d.knock(door, door.code, 0.0, CODE, f"t{number}")
    assert not d.is_inside(door, ["t0"])
    assert d.is_inside(door, ["t1"])


# ---------------------------------------------------------------- the page


def test_what_is_in_the_address_stands_in_the_field_as_text() -> None:
    assert 'value="&quot;&gt;&lt;b"' in page('"><b')


def test_only_addresses_of_a_local_network_are_taken() -> None:
    assert lan_address("192.168.7.20") == "192.168.7.20"
    for wrong in ("0.0.0.0", "9.9.9.9", "fe80::1", "hut", "192.168.7"):
        with pytest.raises(NoAddress, match=re.escape(wrong)):
            lan_address(wrong)


def test_the_square_code_is_as_wide_as_high() -> None:
    rows = square_code("http://192.168.7.20:8550", CODE).splitlines()
    assert len(rows) >= 16
    assert {len(row) for row in rows} == {len(rows[0])}
    assert abs(2 * len(rows) - len(rows[0])) <= 1


# ---------------------------------------------------------------- the server


@pytest.fixture(scope="module")
def shut(tmp_path_factory: pytest.TempPathFactory) -> Iterator[App]:
    """The app behind its door, on this machine's own address."""
    folder = tmp_path_factory.mktemp("data")
    words = f"-m fieldapp --lan --address 127.0.0.1 --port 0 --data {folder}"
    app = start_app([sys.executable, *words.split()])
    yield app
    app.kill9()


def ask(
    app: App, path: str, method: str = "GET", body: str = "", **headers: str
) -> http.client.HTTPResponse:
    """One request; no redirect is followed."""
    address = urlsplit(app.url)
    with closing(http.client.HTTPConnection(address.hostname, address.port, timeout=10)) as line:
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        line.request(method, path, body=body or None, headers=named)
        answer = line.getresponse()
        answer.text = answer.read().decode()
        return answer


def knock(app: App, code: str, **headers: str) -> http.client.HTTPResponse:
    form = {"Content_Type": "application/x-www-form-urlencoded"}
    return ask(app, PATH, "POST", urlencode({"code": code}), **form, **headers)


SOCKET = {
    "Connection": "Upgrade",
    "Upgrade": "websocket",
    "Sec_WebSocket_Version": "13",
    "Sec_WebSocket_Key": "AAAAAAAAAAAAAAAAAAAAAA==",
}


def code_of(app: App) -> str:
    app.wait_output("next phone: ")
    return re.findall(r"next phone: (\d{4} \d{4})", app.output)[-1]


def test_behind_the_door_nothing_answers(shut: App) -> None:
    shut.wait_output("plain HTTP")
    for path in ("/", "/main.dart.js", "/flutter_bootstrap.js", "/assets/AssetManifest.json", "/x"):
        assert ask(shut, path).status == 403
    for cookie in ("", f"{COOKIE}=", f"{COOKIE}=token", "=;=,", f'{COOKIE}="'):
        assert ask(shut, "/ws", Cookie=cookie, **SOCKET).status == 403
        assert ask(shut, "/main.dart.js", Cookie=cookie).status == 403
    assert ask(shut, "/j/A/now", Accept="text/html").headers["location"] == PATH
    assert ask(shut, PATH, Host="farend.example").status == 400
    asked = ask(shut, f"{PATH}?12345678")
    assert asked.status == 200
    assert 'value="12345678"' in asked.text
    assert "default-src 'none'" in asked.headers["content-security-policy"]


def test_the_code_lets_one_phone_in(shut: App) -> None:
    code = code_of(shut)
    wrong = "0000 0000" if code != "0000 0000" else "1111 1111"
    assert knock(shut, code, Origin="http://farend.example").status == 403
    assert ask(shut, PATH, "POST", "code=" + "1" * 300).status == 400
    refused = knock(shut, wrong)
    assert (refused.status, refused.headers["retry-after"]) == (403, "1")
    assert knock(shut, code).status == 429
    opened = _when_looked_at(shut, code)
    assert opened.status == 303
    cookie = opened.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=strict" in cookie
    inside = cookie.partition(";")[0]
    assert ask(shut, "/", Cookie=inside).status == 200
    assert ask(shut, "/ws", Cookie=inside, **SOCKET).status == 101
    assert ask(shut, "/ws", Cookie=inside, Origin="http://farend.example", **SOCKET).status == 403
    assert ask(shut, "/").status == 403
    shut.wait_output("127.0.0.1 typed a wrong code; 1 wrong in all.")


def _when_looked_at(app: App, code: str) -> http.client.HTTPResponse:
    """The answer once the door looks at codes again."""
    while (answer := knock(app, code)).status == 429:
        pass
    return answer


def test_without_lan_an_address_is_refused() -> None:
    ran = subprocess.run(
        [sys.executable, "-m", "fieldapp", "--address", "127.0.0.1"],
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
        cwd=Path(__file__).parents[1],
    )
    assert ran.returncode == 2
    assert "--address goes with --lan" in ran.stderr


@pytest.mark.browser
def test_a_phone_types_the_code_and_works(shut: App, new_phone) -> None:
    hand = new_phone(moves=True)
    hand.page.goto(shut.url)
    assert hand.page.url.endswith(PATH)
    hand.page.get_by_label("Code").fill(code_of(shut))
    hand.page.get_by_role("button").click()
    hand.page.wait_for_url(re.compile(rf"{re.escape(shut.url)}/(#.*)?$"))
    hand.open(shut.url)
    hand.wait_for("No jobs yet.")
    assert hand.outside_requests == []
