"""What lets a browser keep the app and open it like a program: the service worker and the page for a server away."""

import hashlib
import json
from functools import cache

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp.assets import asset, folder
from webapp.render import render

router = APIRouter()

AWAY = "/away"
WORKER = "service-worker.js"
_KEPT = (".css", ".js", ".svg")


@cache
def worker() -> str:
    """The service worker's text, headed by the addresses of the files that it keeps: another file, another text."""
    names = sorted(path.name for path in folder("static").iterdir() if path.suffix in _KEPT and path.name != WORKER)
    page = (folder("templates") / "away.html").read_bytes() + (folder("templates") / "base.html").read_bytes()
    kept = [asset(name) for name in names]
    edition = hashlib.sha256(json.dumps(kept).encode() + page).hexdigest()[:12]
    head = {"KEPT": kept, "AWAY": AWAY, "EDITION": edition}
    lines = [f"const {name} = {json.dumps(value, indent=2)};" for name, value in head.items()]
    return "\n".join((*lines, "", (folder("static") / WORKER).read_text("utf-8")))


@router.get(f"/{WORKER}")
async def service_worker() -> Response:
    """The service worker, at the root because it serves no address above its own."""
    return Response(worker(), media_type="text/javascript", headers={"Cache-Control": "no-cache"})


@router.get(AWAY)
async def away(request: Request) -> Response:
    """The page that the service worker shows while the server cannot be reached."""
    return render(request, "away.html", None)
