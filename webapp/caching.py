"""What need not be sent or computed again: answers that a browser has, and answers given before."""

import hashlib
from collections import OrderedDict
from collections.abc import Hashable
from threading import Lock
from typing import Generic, TypeVar

from starlette.datastructures import Headers, MutableHeaders
from starlette.types import ASGIApp, Message, Receive, Scope, Send

Value = TypeVar("Value")

_KINDS = ("text/html", "application/json")
_LEFT_OUT = ("content-length", "content-type")


class Revalidated:
    """Pure ASGI middleware: pages and JSON carry an entity tag of their body, and are not sent again to who has them.

    A HEAD request is answered as GET is, without the body.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http" or scope["method"] not in ("GET", "HEAD"):
            await self.app(scope, receive, send)
            return
        answer = _Answer(send, Headers(scope=scope).get("if-none-match", ""), scope["method"] == "HEAD")
        await self.app({**scope, "method": "GET"}, receive, answer)


class _Answer:
    """Holds an answer back until its body is complete; passes on at once what gets no tag."""

    def __init__(self, send: Send, known: str, bare: bool) -> None:
        self.send = send
        self.known = known
        self.bare = bare
        self.start: Message | None = None
        self.body: list[bytes] = []

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            headers = Headers(raw=message["headers"])
            if message["status"] == 200 and headers.get("content-type", "").startswith(_KINDS):
                self.start = message
                return
        elif message["type"] == "http.response.body":
            if self.start is not None:
                self.body.append(message.get("body", b""))
                if not message.get("more_body"):
                    await self._tagged(self.start, b"".join(self.body))
                return
            if self.bare:
                message = {**message, "body": b""}
        await self.send(message)

    async def _tagged(self, start: Message, body: bytes) -> None:
        headers = MutableHeaders(raw=start["headers"])
        tag = headers.get("ETag") or tag_of(body)
        headers["ETag"] = tag
        status, sent = 200, b"" if self.bare else body
        if _knows(self.known, tag):
            status, sent = 304, b""
            for name in _LEFT_OUT:
                del headers[name]
        await self.send({**start, "status": status, "headers": headers.raw})
        await self.send({"type": "http.response.body", "body": sent})


def tag_of(body: bytes) -> str:
    """The entity tag of a body."""
    return f'"{hashlib.sha256(body).hexdigest()[:32]}"'


def _knows(known: str, tag: str) -> bool:
    return known.strip() == "*" or tag in (part.strip().removeprefix("W/") for part in known.split(","))


class Recent(Generic[Value]):
    """The last values that were asked for, by what they depend on."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[Hashable, Value] = OrderedDict()
        self._lock = Lock()

    def recall(self, key: Hashable) -> Value | None:
        """The value kept under a key."""
        with self._lock:
            found = self._values.get(key)
            if found is not None:
                self._values.move_to_end(key)
            return found

    def keep(self, key: Hashable, value: Value) -> None:
        """Keep a value, and let go of the one that was not asked for the longest."""
        with self._lock:
            self._values[key] = value
            while len(self._values) > self._most:
                self._values.popitem(last=False)


class Answers(Recent[tuple[bytes, str]]):
    """The bodies of the last answers with their tags, by what they depend on."""

    def __init__(self, most: int = 256) -> None:
        super().__init__(most)
