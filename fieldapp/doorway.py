"""The door in front of the app on a network: without the code nothing behind it answers.

What stands here is an ASGI middleware round the whole app and the page that asks for the code;
the rule is in ``door``.
"""

from __future__ import annotations

import ipaddress
import math
import secrets
import socket
import time
from collections.abc import Callable
from html import escape
from http.cookies import CookieError, SimpleCookie
from urllib.parse import parse_qs

from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.types import ASGIApp, Receive, Scope, Send

from fieldapp import words
from fieldapp.door import DIGITS, OPENED, TOO_SOON, WRONG, Answer, Door, is_inside, knock, shown
from fieldapp.drawing.tokens import DARK, SUN

PATH = "/door"
COOKIE = "farend_door"
LARGEST_BODY = 256
STATUS = {WRONG: 403, TOO_SOON: 429}
HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'unsafe-inline'; form-action 'self'; "
        "base-uri 'none'; frame-ancestors 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",  # with none a browser hides where the form came from
    "Cache-Control": "no-store",
}


def fresh_code() -> str:
    """A code nobody can foresee."""
    return f"{secrets.randbelow(10**DIGITS):0{DIGITS}d}"


class Doorway:
    """Lets requests through to the app once their phone has typed the code.

    ``tell`` gets each line for the terminal: who came in, who was wrong, the code of the moment.
    ``now`` is a clock that only runs forward [s].
    """

    def __init__(
        self, tell: Callable[[str], None], now: Callable[[], float] = time.monotonic
    ) -> None:
        self._tell, self._now = tell, now
        self.door = Door(fresh_code())

    def around(self, app: ASGIApp) -> ASGIApp:
        """The app behind this door."""

        async def guarded(scope: Scope, receive: Receive, send: Send) -> None:
            if scope["type"] == "lifespan" or is_inside(self.door, _tokens(scope)):
                await app(scope, receive, send)
            elif scope["type"] == "websocket":
                await receive()
                await send({"type": "websocket.close", "code": 1008})
            else:
                answer = await self._answer(Request(scope, receive))
                answer.headers.update(HEADERS)
                await answer(scope, receive, send)

        return guarded

    async def _answer(self, request: Request) -> Response:
        if request.url.path != PATH:
            asked = "text/html" in request.headers.get("accept", "")
            return RedirectResponse(PATH, 303) if asked else Response(status_code=403)
        if request.method != "POST":
            return HTMLResponse(page(request.url.query[:DIGITS]))
        if request.headers.get("origin") not in (None, f"http://{request.headers.get('host')}"):
            return Response(status_code=403)
        given = await _code_in(request)
        return Response(status_code=400) if given is None else self._knocked(request, given)

    def _knocked(self, request: Request, given: str) -> Response:
        before = self.door.code
        self.door, answer = knock(
            self.door, given, self._now(), fresh_code(), secrets.token_urlsafe(32)
        )
        who = request.client.host if request.client else ""
        if answer.what == WRONG:
            self._tell(words.door_was_wrong(who, self.door.wrong))
        if answer.what == OPENED:
            self._tell(words.door_came_in(who))
        if self.door.code != before:
            self._tell(words.door_open_for(shown(self.door.code)))
        if answer.what != OPENED:
            wait = str(math.ceil(answer.wait))
            body = page(said=_said(answer))
            return HTMLResponse(body, STATUS[answer.what], {"Retry-After": wait})
        inside = RedirectResponse("/", 303)
        inside.set_cookie(COOKIE, answer.token, httponly=True, samesite="strict")
        return inside


async def _code_in(request: Request) -> str | None:
    """The code in a form, None where the body is longer than any form with a code."""
    body = b""
    async for piece in request.stream():
        body += piece
        if len(body) > LARGEST_BODY:
            return None
    return parse_qs(body.decode("latin-1")).get("code", [""])[0]


def _tokens(scope: Scope) -> list[str]:
    """The tokens a request brings; a cookie that cannot be read brings none."""
    out = []
    for name, value in scope.get("headers", ()):
        if name == b"cookie":
            try:
                found = SimpleCookie(value.decode("latin-1")).get(COOKIE)
            except CookieError:
                continue
            out += [found.value] if found else []
    return out


def _said(answer: Answer) -> str:
    wait = math.ceil(answer.wait)
    return words.door_wrong(wait) if answer.what == WRONG else words.door_too_soon(wait)


def page(code: str = "", said: str = "") -> str:
    """The page that asks for the code; ``code`` stands in its field already."""
    colours = "".join(f"--{name}:{value};" for name, value in SUN.items())
    dark = "".join(f"--{name}:{value};" for name, value in DARK.items())
    trouble = f'<p role="alert"><b>{escape(said)}</b></p>' if said else ""
    return f"""<!doctype html>
<html lang="{words.LANGUAGE}"><head><meta charset="utf-8"><title>Farend</title>
<meta name="viewport" content="width=device-width, initial-scale=1">
<style>
:root{{{colours}}} @media (prefers-color-scheme: dark){{:root{{{dark}}}}}
body{{background:var(--ground);color:var(--ink);font:1.15rem/1.3 sans-serif;
 margin:0 auto;padding:2rem 1rem;max-width:30rem}}
h1{{font-size:1.8rem;font-weight:400;margin:0}} p.soft{{color:var(--soft)}}
input,button{{font:inherit;box-sizing:border-box;width:100%;min-height:76px;border-radius:0;
 border:2px solid var(--ink);padding:0 1.2rem;margin:.5rem 0}}
input{{background:var(--sheet);color:var(--ink);font-size:2.2rem;letter-spacing:.1em}}
button{{background:var(--ink);color:var(--ground);font-weight:600;text-align:left;
 clip-path:polygon(0 0,calc(100% - 18px) 0,100% 18px,100% 100%,0 100%)}}
</style></head><body>
<h1>{escape(words.door_title())}</h1>
<p>{escape(words.door_ask())}</p>{trouble}
<form method="post" action="{PATH}"><label for="code">{escape(words.door_label())}</label>
<input id="code" name="code" inputmode="numeric" autocomplete="one-time-code" autofocus
 value="{escape(code, quote=True)}">
<button>{escape(words.door_slab())}</button></form>
<p class="soft">{escape(words.door_plain())}</p>
</body></html>"""


# ---------------------------------------------------------------- addresses


class NoAddress(OSError):
    """No address to be reached by; its text is the sentence for the terminal."""


def lan_address(asked: str | None) -> str:
    """The one address to bind: as asked, else the one by which this computer reaches others.

    Raises NoAddress where it is no IPv4 address of a local network.
    """
    address = asked or _own_address()
    if not address:
        raise NoAddress(words.door_no_address())
    try:
        there = ipaddress.IPv4Address(address)
    except ValueError:
        raise NoAddress(words.door_bad_address(address)) from None
    if not there.is_private or there.is_unspecified:
        raise NoAddress(words.door_bad_address(address))
    return str(there)


def _own_address() -> str:
    """The address of the interface towards elsewhere; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # a block for documentation, RFC 5737: nobody's
        except OSError:
            return ""
        return str(probe.getsockname()[0])


def square_code(address: str, code: str) -> str:
    """The address of the page with its code, as a square code in letters for a terminal."""
    import io

    from qrcode import QRCode

    square = QRCode(border=2)
    square.add_data(f"{address}{PATH}?{code}")
    out = io.StringIO()
    square.print_ascii(out=out, invert=True)
    return out.getvalue()
