"""The page that asks for the passphrase, and what ends one's time here."""

from dataclasses import dataclass
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import Response

from webapp.entry import ENTER, LEAVE, WRONG, Gate, address_of, local, patience, seconds
from webapp.posted import see
from webapp.render import render

router = APIRouter()

MOST_BYTES = 10_000
"""What is sent to enter is no larger than this."""
_UNKEPT = {"Cache-Control": "no-store", "X-Robots-Tag": "noindex, nofollow"}


@dataclass(frozen=True, slots=True)
class EnterPage:
    """The context of enter.html. ``next`` is where it leads."""

    next: str = "/"
    error: str = ""


@router.get(ENTER)
def show(request: Request, next: str = "/") -> Response:
    """The question; who need not answer it goes on."""
    gate = _gate_of(request)
    hash = gate.kept.hash()
    if not hash or gate.is_in(request, hash):
        return see(local(next))
    return _answer(request, EnterPage(local(next)))


@router.post(ENTER)
def enter(request: Request, passphrase: Annotated[str, Form()] = "", next: Annotated[str, Form()] = "/") -> Response:
    """Let whoever tells the passphrase in."""
    gate = _gate_of(request)
    if not gate.kept.hash():
        return see(local(next))
    right, wait = gate.admits(passphrase, address_of(request))
    if wait:
        return _answer(request, EnterPage(local(next), patience(wait)), 429, {"Retry-After": str(seconds(wait))})
    if not right:
        return _answer(request, EnterPage(local(next), WRONG), 422)
    response = see(local(next))
    gate.enter(request, response)
    return response


@router.post(LEAVE)
def leave(request: Request) -> Response:
    """End one's time here, and have the browser forget the pages that it has kept."""
    response = see(ENTER)
    _gate_of(request).leave(request, response)
    response.headers["Clear-Site-Data"] = '"cache"'
    return response


def _gate_of(request: Request) -> Gate:
    gate: Gate = request.app.state.gate
    return gate


def _answer(request: Request, page: EnterPage, status: int = 200, headers: dict[str, str] | None = None) -> Response:
    request.state.is_outside = True
    return render(request, "enter.html", page, status=status, unit_links=(), headers=_UNKEPT | (headers or {}))
