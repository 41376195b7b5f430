"""Headers on every answer, the defence against requests from other sites, and the limit on a request's body."""

from collections.abc import Callable, Collection, Mapping
from types import MappingProxyType
from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'; "
    "img-src 'self' data:; worker-src 'self'; manifest-src 'self'"
)
LOOPBACK = ("localhost", "127.0.0.1", "::1")
"""Names of this machine for itself."""
_SAFE = {"GET", "HEAD", "OPTIONS"}
_DRAINED = 10
"""A refused body is read away up to this many times the limit, so that the client gets to see the answer."""

Problem = Callable[[Request, int, str], Response]
"""Makes the answer to a refused request."""


class Guard:
    """Pure ASGI middleware around the whole app.

    Parameters
    ----------
    body_limit : int
        A larger request body is refused [bytes].
    hosts : collection of str
        The names that the server answers to; empty for any. A site that points its own name at this machine, so that a
        browser takes the server for a part of it, is refused by this.
    problem : callable
        Makes the answer to a refused request.
    limits : mapping
        Limits of the addresses that have one of their own [bytes].
    """

    def __init__(
        self,
        app: ASGIApp,
        body_limit: int,
        hosts: Collection[str],
        problem: Problem,
        limits: Mapping[str, int] = MappingProxyType({}),
    ) -> None:
        self.app = app
        self.body_limit = body_limit
        self.hosts = hosts
        self.problem = problem
        self.limits = limits

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                dress(MutableHeaders(scope=message))
            await send(message)

        headers = Headers(scope=scope)
        name = _hostname(headers.get("host", ""))
        if self.hosts and name not in self.hosts:
            message = f"This server does not answer to the name “{name}”; its setting PANEL_FIT_HOSTS tells which."
            refusal = self.problem(Request(scope), 400, message)
            await refusal(scope, receive, guarded)
        elif scope["method"] not in _SAFE and is_foreign(headers):
            refusal = self.problem(Request(scope), 403, "This request came from another site and was refused.")
            await refusal(scope, receive, guarded)
        else:
            limit = self.limits.get(scope["path"], self.body_limit)
            await self.app(scope, _Limited(receive, headers, limit), guarded)


class _Limited:
    """Hands a body on until it is too large; then reads the rest away and refuses it."""

    def __init__(self, receive: Receive, headers: Headers, limit: int) -> None:
        self.receive = receive
        self.limit = limit
        length = headers.get("content-length", "")
        self.seen = 0
        self.declared = int(length) if length.isascii() and length.isdigit() and len(length) < 20 else 0

    async def __call__(self) -> Message:
        message = await self.receive()
        if message["type"] == "http.request":
            self.seen += len(message.get("body", b""))
            if max(self.seen, self.declared) > self.limit:
                while message.get("more_body") and self.seen <= _DRAINED * self.limit:
                    message = await self.receive()
                    self.seen += len(message.get("body", b""))
                raise HTTPException(413, too_large(self.limit))
        return message


def too_large(limit: int) -> str:
    """Why a body was refused."""
    size = f"{limit / 1e6:.3g} MB" if limit >= 1e6 else f"{limit / 1e3:.3g} kB"
    return f"What was sent is larger than {size} and was refused. Nothing was changed."


def is_foreign(headers: Headers) -> bool:
    """Whether a browser says that the request comes from another site; clients that are no browser say nothing."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site not in ("same-origin", "none")
    origin = headers.get("origin")
    if origin is None:
        return False
    try:
        return urlsplit(origin).netloc != headers.get("host")
    except ValueError:
        return True


def dress(headers: MutableHeaders) -> None:
    """Put on what every answer carries."""
    headers.setdefault("Content-Security-Policy", POLICY)
    headers.setdefault("X-Content-Type-Options", "nosniff")
    headers.setdefault("Referrer-Policy", "same-origin")
    headers.setdefault("Cache-Control", "private, no-cache")
    if headers.get("content-type", "").startswith("text/html"):
        headers.add_vary_header("HX-Request, HX-Request-Type")


def _hostname(host: str) -> str:
    """A Host header's name, without the port."""
    try:
        return urlsplit(f"//{host}").hostname or ""
    except ValueError:
        return ""
