"""The door: once a passphrase is set, who has not told it is sent to tell it and sees nothing else."""

import hmac
import ipaddress
import math
from base64 import b64decode
from collections.abc import Callable
from functools import cached_property
from threading import Lock
from urllib.parse import quote, urlsplit

from fastapi import Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import RedirectResponse, Response
from sqlalchemy import Engine
from starlette.datastructures import Headers
from starlette.types import ASGIApp, Receive, Scope, Send

from webapp import passphrase
from webapp.passphrase import Kept
from webapp.render import is_partial
from webapp.secret import secret_of
from webapp.security import LOOPBACK
from webapp.sessions import LASTS, Sessions
from webapp.settings import Settings
from webapp.throttle import Throttle

ENTER, LEAVE = "/enter", "/leave"
WRONG = "That is not the passphrase."
UNASKED = "This asks for the passphrase: send it as HTTP Basic, with any user name, or as a Bearer token."
UNSENT = (
    "You are not in, or your time here has run out. Nothing was changed. Enter in another window, then send this again."
)
MISSING = (
    "This server may be reached from elsewhere and its passphrase is gone: set one with python -m webapp passphrase."
)
CHALLENGE = {"WWW-Authenticate": 'Basic realm="Seasonal Panel Fit", charset="UTF-8", Bearer realm="Seasonal Panel Fit"'}
_OPEN = (ENTER, "/health", "/ready", "/service-worker.js", "/away")
_OPEN_FOLDERS = ("/static/", "/shared/")
_SAFE = ("GET", "HEAD")
_API = "/api/"

Problem = Callable[..., Response]
"""Makes the answer to a request that is not served: of the request, a status, words and headers."""


class Gate:
    """Knows whether a passphrase is asked for, who is in, and who may try.

    Parameters
    ----------
    settings : Settings
        Where the passphrase and the secret are, and where the server listens.
    engine : Engine
        Of the database that remembers ended sessions.
    """

    def __init__(self, settings: Settings, engine: Engine) -> None:
        self.kept = Kept(settings.data, settings.passphrase_hash)
        self.throttle = Throttle()
        self.sessions = Sessions(engine, lambda: self._secret)
        self.is_reachable = not is_loopback(settings.host)
        self._settings = settings
        self._lock = Lock()
        self._known = ("", b"")

    @cached_property
    def _secret(self) -> bytes:
        return secret_of(self._settings.data, self._settings.secret)

    def prepare(self) -> None:
        """Find out, before anything is served, whether the passphrase and the secret can be used.

        Raises
        ------
        OSError
            They cannot be read, or the secret cannot be made.
        """
        if self.kept.hash():
            assert self._secret

    def admits(self, text: str, address: str) -> tuple[bool, float]:
        """Whether a text is the passphrase, and, where it was not even looked at, how long to wait [s].

        The answer to a right text that must wait is that to a wrong one. One text is looked at at a time, so that many
        cannot fill the memory, or be tried before the first is counted.
        """
        wait = self.throttle.wait(address)
        if wait:
            return False, wait
        with self._lock:
            wait = self.throttle.wait(address)
            if wait:
                return False, wait
            hash = self.kept.hash()
            mark = hmac.digest(self._secret, passphrase.plain(text[:10_000]).encode(errors="replace"), "sha256")
            known, before = self._known
            right = known == hash and hmac.compare_digest(before, mark)
            if not right:
                right = bool(hash) and passphrase.matches(hash, text)
                if not right:
                    self.throttle.count(address)
                    return False, 0.0
                self._known = (hash, mark)
            self.throttle.clear(address)
            return True, 0.0

    def enter(self, request: Request, response: Response) -> None:
        """Give a new session to whoever has told the passphrase, in place of the one before."""
        self._end(request)
        cookie = self.sessions.begin(self.kept.hash())
        secure = request.url.scheme == "https"
        response.set_cookie(
            cookie_name(request.url.scheme), cookie, max_age=LASTS, httponly=True, samesite="lax", secure=secure
        )

    def leave(self, request: Request, response: Response) -> None:
        """End the session."""
        self._end(request)
        name = cookie_name(request.url.scheme)
        response.delete_cookie(name, httponly=True, samesite="lax", secure=request.url.scheme == "https")

    def _end(self, request: Request) -> None:
        self.sessions.end(request.cookies.get(cookie_name(request.url.scheme), ""), self.kept.hash())

    def is_in(self, request: Request, hash: str) -> bool:
        """Whether a request has the cookie of a session that goes on."""
        cookie = request.cookies.get(cookie_name(request.url.scheme), "")
        return bool(cookie) and self.sessions.is_open(cookie, hash)


class Door:
    """Pure ASGI middleware that lets through who is in, and what is open to everyone.

    Parameters
    ----------
    gate : Gate
        Knows who is in.
    problem : callable
        Makes the answer to a refused request.
    """

    def __init__(self, app: ASGIApp, gate: Gate, problem: Problem) -> None:
        self.app = app
        self.gate = gate
        self.problem = problem

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        answer = await self._refusal(scope) if scope["type"] == "http" else None
        await (answer or self.app)(scope, receive, send)

    async def _refusal(self, scope: Scope) -> Response | None:
        """The answer to who is not let through."""
        path = scope["path"]
        if path in _OPEN or path.startswith(_OPEN_FOLDERS):
            return None
        request = Request(scope)
        hash = self.gate.kept.hash()
        if not hash:
            return self.problem(request, 503, MISSING) if self.gate.is_reachable else None
        request.state.is_in = await run_in_threadpool(self.gate.is_in, request, hash)
        if request.state.is_in:
            return None
        request.state.is_outside = True
        if path.startswith(_API):
            return await self._api(request)
        if scope["method"] not in _SAFE:
            request.state.must_enter = True
            return self.problem(request, 403, UNSENT)
        if is_partial(request):
            return Response(status_code=403, headers={"HX-Redirect": entrance(scope)})
        return RedirectResponse(entrance(scope), 303)

    async def _api(self, request: Request) -> Response | None:
        text = credentials(request.headers)
        if text is None:
            return self.problem(request, 401, UNASKED, CHALLENGE)
        right, wait = await run_in_threadpool(self.gate.admits, text, address_of(request))
        if wait:
            return self.problem(request, 429, patience(wait), {"Retry-After": str(seconds(wait))})
        return None if right else self.problem(request, 401, WRONG, CHALLENGE)


def is_loopback(host: str) -> bool:
    """Whether a server that listens on this address is reached from this machine alone.

    Example
    -------
    >>> is_loopback("127.0.0.2"), is_loopback("0.0.0.0"), is_loopback("shop.test")
    (True, False, False)
    """
    try:
        return ipaddress.ip_address(host).is_loopback
    except ValueError:
        return host in LOOPBACK


def address_of(request: Request) -> str:
    """The address that a request comes from; behind a proxy that the server trusts, the one that the proxy tells."""
    return request.client.host if request.client else ""


def cookie_name(scheme: str) -> str:
    """The session cookie's name; over https one that no other host, path or plain connection can set."""
    return "__Host-session" if scheme == "https" else "session"


def seconds(wait: float) -> int:
    """A wait in whole seconds, none of them too few."""
    return math.ceil(wait)


def patience(wait: float) -> str:
    """What who has to wait is told, whatever they sent."""
    number = seconds(wait)
    return f"There were too many wrong tries. Wait {number} {'second' if number == 1 else 'seconds'}, then try again."


def credentials(headers: Headers) -> str | None:
    """The passphrase that a request tells in its Authorization header; None where it tells none.

    Example
    -------
    >>> credentials(Headers({"authorization": "Bearer half a board"}))
    'half a board'
    """
    scheme, _, rest = headers.get("authorization", "").partition(" ")
    if scheme.lower() == "bearer":
        return _utf8(rest.strip().encode("latin-1"))
    if scheme.lower() == "basic":
        try:
            return _utf8(b64decode(rest.strip(), validate=True)).partition(":")[2]
        except ValueError:
            return None
    return None


def _utf8(sent: bytes) -> str:
    return sent.decode("utf-8", "replace")


def entrance(scope: Scope) -> str:
    """The address of the page that asks for the passphrase and then leads to what was asked for."""
    query = scope["query_string"].decode("latin-1")
    asked = quote(scope["path"]) + (f"?{query}" if query else "")
    return ENTER if asked == "/" else f"{ENTER}?next={quote(asked, safe='/')}"


def local(address: str) -> str:
    """An address to go on to, if it is one of this server; else that of the first page.

    Example
    -------
    >>> local("/pieces?removed=a"), local("//elsewhere.test"), local("https://elsewhere.test")
    ('/pieces?removed=a', '/', '/')
    """
    try:
        parts = urlsplit(address)
    except ValueError:
        return "/"
    plain = address.isascii() and address.isprintable() and " " not in address and "\\" not in address
    inside = address.startswith("/") and not address.startswith("//") and not parts.netloc and not parts.scheme
    return address if plain and inside and parts.path not in (ENTER, LEAVE) else "/"
