"""Static files under addresses that carry a digest of their content, so that a browser may keep them for a year."""

import hashlib
from functools import cache
from pathlib import Path

from starlette.responses import Response
from starlette.staticfiles import StaticFiles
from starlette.types import Scope

_HERE = Path(__file__).parent
_FOREVER = "public, max-age=31536000, immutable"


def folder(name: str) -> Path:
    """The folder of that name, as shipped in the package or, in a checkout, beside it.

    Raises
    ------
    FileNotFoundError
        When there is neither.
    """
    for path in (_HERE / name, _HERE.parent / name):
        if path.is_dir():
            return path
    raise FileNotFoundError(f"The folder {name} is missing: the installation is incomplete.")


@cache
def digest(name: str) -> str:
    """The first twelve hex digits of a static file's SHA-256."""
    return hashlib.sha256((folder("static") / name).read_bytes()).hexdigest()[:12]


def asset(name: str) -> str:
    """A static file's address, with its digest."""
    return f"/static/{name}?v={digest(name)}"


class Assets(StaticFiles):
    """Serves the static files; an address with the right digest may be kept for a year, others are revalidated."""

    async def get_response(self, path: str, scope: Scope) -> Response:
        response = await super().get_response(path, scope)
        if response.status_code in (200, 304):
            asked = scope["query_string"].decode("ascii", "replace")
            fresh = asked == f"v={digest(path)}"
            response.headers["Cache-Control"] = _FOREVER if fresh else "no-cache"
        return response
