"""Headers on every answer, the defence against requests from other sites, and the limit on a request's body."""

from urllib.parse import urlsplit

from starlette.datastructures import Headers, MutableHeaders
from starlette.responses import PlainTextResponse
from starlette.types import ASGIApp, Message, Receive, Scope, Send

POLICY = (
    "default-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'; object-src 'none'; "
    "img-src 'self' data:"
)
_SAFE = {"GET", "HEAD", "OPTIONS"}


class Guard:
    """Pure ASGI middleware around the whole app."""

    def __init__(self, app: ASGIApp, body_limit: int) -> None:
        self.app = app
        self.body_limit = body_limit

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)

        async def guarded(message: Message) -> None:
            if message["type"] == "http.response.start":
                _dress(MutableHeaders(scope=message), scope["path"])
            await send(message)

        if scope["method"] not in _SAFE and _is_foreign(headers):
            refusal = PlainTextResponse("This request came from another site and was refused.", 403)
            await refusal(scope, receive, guarded)
            return
        length = headers.get("content-length", "")
        if length.isdecimal() and int(length) > self.body_limit:
            await _drain(receive, self.body_limit)
            await PlainTextResponse(too_large(self.body_limit), 413)(scope, receive, guarded)
            return
        await self.app(scope, _Limited(receive, self.body_limit), guarded)


class _Limited:
    """Counts a body that does not tell its length, and ends it as if the client had gone once it is too large."""

    def __init__(self, receive: Receive, limit: int) -> None:
        self.receive = receive
        self.left = limit

    async def __call__(self) -> Message:
        message = await self.receive()
        if message["type"] == "http.request":
            self.left -= len(message.get("body", b""))
            if self.left < 0:
                return {"type": "http.disconnect"}
        return message


async def _drain(receive: Receive, limit: int) -> None:
    """Read a refused body away, up to ten times the limit, so that a browser gets to see the answer."""
    left = 10 * limit
    while left > 0:
        message = await receive()
        left -= len(message.get("body", b"")) or 1
        if message["type"] != "http.request" or not message.get("more_body"):
            return


def too_large(limit: int) -> str:
    return f"What was sent is larger than {limit // 1_000_000} MB and was refused. Nothing was changed."


def _is_foreign(headers: Headers) -> bool:
    """Whether a browser says that the request comes from another site; clients that are no browser say nothing."""
    site = headers.get("sec-fetch-site")
    if site is not None:
        return site not in ("same-origin", "none")
    origin = headers.get("origin")
    return origin is not None and urlsplit(origin).netloc != headers.get("host")


def _dress(headers: MutableHeaders, path: str) -> None:
    headers.setdefault("Content-Security-Policy", POLICY)
    headers.setdefault("X-Content-Type-Options", "nosniff")
    headers.setdefault("Referrer-Policy", "same-origin")
    if headers.get("content-type", "").startswith("text/html"):
        headers.setdefault("Cache-Control", "private, no-cache")
        headers.add_vary_header("HX-Request, HX-Request-Type")
