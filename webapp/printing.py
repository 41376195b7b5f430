"""Pages for the printer: the same HTML in a browser or, where WeasyPrint's system libraries are, as a tagged PDF."""

import logging
from collections.abc import Callable
from typing import Literal, get_args

from anyio import CapacityLimiter, to_thread
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response

from webapp.exports import download

Paper = Literal["a4", "letter"]
PAPERS: tuple[Paper, ...] = get_args(Paper)
PAPER_NAMES: dict[Paper, str] = {"a4": "A4", "letter": "Letter"}
MISSING = (
    "This computer cannot make the PDF: the system library that draws its text (Pango) is missing. "
    "Print this page from the browser instead, at 100 % size and without the browser's own headers."
)
_PRINTER = CapacityLimiter(1)
"""One PDF at a time, so that printing never takes the threads that the pages are served from."""

logging.getLogger("weasyprint").setLevel(logging.ERROR)  # it warns of CSS that is meant for screens


class NoPrinterError(Exception):
    """The PDF cannot be made on this computer."""


def paper_of(text: str) -> Paper:
    """The paper that an address asks for; A4 where it asks for none that there is."""
    return next((paper for paper in PAPERS if paper == text), "a4")


async def answer(page: Callable[[str], Response], name: str) -> Response:
    """A page as a PDF to be saved; the page itself, telling why, where this computer cannot make one.

    Parameters
    ----------
    page : callable
        Makes the page, with a notice or, where that is empty, without.
    name : str
        The file's name.
    """
    shown = await run_in_threadpool(page, "")
    try:
        content = await pdf(bytes(shown.body).decode())
    except NoPrinterError as error:
        return await run_in_threadpool(page, str(error))
    return download(content, "application/pdf", name)


async def pdf(html: str) -> bytes:
    """A page as a tagged PDF, made off the event loop.

    Raises
    ------
    NoPrinterError
        WeasyPrint's system libraries are missing.
    """
    return await to_thread.run_sync(_pdf, html, limiter=_PRINTER)


def _pdf(html: str) -> bytes:
    try:
        from weasyprint import HTML

        from webapp.ownfiles import BASE, OwnFiles
    except OSError as error:
        raise NoPrinterError(MISSING) from error
    document = HTML(string=html, base_url=BASE, url_fetcher=OwnFiles())
    return bytes(document.write_pdf(pdf_tags=True))
