"""What a printed page may load: the app's own static files, and what the page holds itself."""

from typing import Any
from urllib.parse import urlsplit

from weasyprint.urls import URLFetcher, URLFetcherResponse

from webapp.assets import folder

BASE = "http://sheet.invalid/"
"""The address that the page is taken to come from; no host has it."""
_KINDS = {".css": "text/css", ".svg": "image/svg+xml"}


class OwnFiles(URLFetcher):  # type: ignore[misc]
    """Serves the static files and data: addresses; fetches nothing from anywhere else."""

    def fetch(self, url: str, headers: dict[str, str] | None = None) -> Any:
        """The file behind an address.

        Raises
        ------
        ValueError
            None of the page's own.
        """
        if url.startswith("data:"):
            return super().fetch(url, headers)
        root = folder("static").resolve()
        path = (root / urlsplit(url).path.removeprefix("/static/")).resolve()
        if not url.startswith(f"{BASE}static/") or path.parent != root or path.suffix not in _KINDS:
            raise ValueError(f"{url} is none of the page's own files")
        return URLFetcherResponse(url, path.read_bytes(), {"Content-Type": _KINDS[path.suffix]})
