"""The care card of a piece, for the client: what to show on it is in the address; the same page on paper and as PDF."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import Annotated, Literal
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.concurrency import run_in_threadpool
from fastapi.responses import Response
from pydantic import BeforeValidator, Field, field_validator

from movement.parts.fields import Described
from movement.piece import Piece
from webapp import exports, printing
from webapp.care import Care
from webapp.documents import Kept
from webapp.forms import Form, Spec, bind
from webapp.paper import opened
from webapp.posted import store_of
from webapp.render import render
from webapp.words import dated

router = APIRouter()

MOST_CONTACT = 200
"""Characters of the maker's contact text: what a small card has room for."""
MOST_CONTACT_LINES = 5
MOST_DAY = 40
MOST_LINES = 4
"""Lines of what not every card has that fit on one in the larger type, each `WIDE` characters (tried out)."""
WIDE = 52
NAME = 28
"""Characters of the piece's name in a line."""
PAPERS = (
    ("a6", "A6, one card"),
    ("a5", "A5, one card"),
    ("a4", "A4, four to cut apart"),
    ("letter", "Letter, four to cut apart"),
)
SHOWN = (
    ("range", "The humidity range", "yes"),
    ("gaps", "How much the panels move", "no"),
    ("contact", "How to reach you", "yes"),
    ("date", "The date", "yes"),
)
"""What may be left off the card: name, label, whether it is on it unless the maker says otherwise."""


def _plain_lines(text: str) -> str:
    """The text with one character at the end of each line, where a browser sends two."""
    return "\n".join(text.splitlines())


class CardFields(Described):
    """What is typed for a card."""

    paper: Literal["a6", "a5", "a4", "letter"] = "a6"
    contact: Annotated[str, BeforeValidator(_plain_lines), Field(max_length=MOST_CONTACT)] = ""
    day: Annotated[str, Field(max_length=MOST_DAY)] = ""

    @field_validator("contact")
    @classmethod
    def _few_lines(cls, text: str) -> str:
        if len(text.splitlines()) > MOST_CONTACT_LINES:
            raise ValueError(f"At most {MOST_CONTACT_LINES} lines have room on the card.")
        return text


def specs(today: date) -> tuple[Spec, ...]:
    """The fields of a card."""
    day = dated(today)
    return (
        Spec("paper", "Paper", "choice", default="a6", options=PAPERS),
        *(Spec(f"show_{name}", label, "check", default=default) for name, label, default in SHOWN),
        Spec(
            "contact",
            "Your name, telephone, address",
            hint=f"At most {MOST_CONTACT_LINES} lines, {MOST_CONTACT} characters.",
        ),
        Spec("day", "Date on the card", default=day),
    )


@dataclass(frozen=True)
class CarePage:
    """The context of care.html. ``card`` is None where something was refused, ``notice`` tells why there is no PDF."""

    kept: Kept
    piece: Piece
    form: Form
    card: CardFields | None
    query: Mapping[str, str] = field(default_factory=dict)
    notice: str = ""

    @property
    def href(self) -> str:
        """The piece's address."""
        return f"/pieces/{self.kept.id}"

    @property
    def paper(self) -> str:
        """The paper to print on."""
        return self.card.paper if self.card else "a6"

    @cached_property
    def care(self) -> Care:
        """What the card can tell."""
        return Care(self.piece)

    @property
    def copies(self) -> range:
        """The cards on a page."""
        return range(4 if self.paper in ("a4", "letter") else 1)

    def shows(self, what: str) -> bool:
        """Whether the maker wants this on the card."""
        return bool(self.form.values[f"show_{what}"])

    @property
    def contact(self) -> str:
        """How to reach the maker; empty where it is not to be on the card."""
        return self.card.contact if self.card and self.shows("contact") else ""

    @property
    def day(self) -> str:
        """The date; empty where it is not to be on the card."""
        return self.card.day if self.card and self.shows("date") else ""

    @property
    def gaps(self) -> str:
        """How much the panels move; empty where it is not to be on the card."""
        return self.care.gaps if self.shows("gaps") else ""

    @property
    def is_full(self) -> bool:
        """Whether so much is on the card that it needs smaller type."""
        lines = [*self.gaps.splitlines(), *self.contact.splitlines(), *self.day.splitlines()]
        more = len(self.piece.name) // NAME + self.care.loose + self.care.opens + 3 * self.care.slats
        return sum(1 + len(line) // WIDE for line in lines) + more > MOST_LINES

    @property
    def switches(self) -> Sequence[str]:
        """The fields that say what is on the card."""
        return [f"show_{name}" for name, _, _ in SHOWN]

    @property
    def pdf(self) -> str:
        """The address of the same card as PDF."""
        return f"{self.href}/care.pdf{f'?{urlencode(dict(self.query))}' if self.query else ''}"


@router.get("/pieces/{id}/care")
def show(request: Request, id: str) -> Response:
    """The card as a page, to be printed by the browser."""
    return _answer(request, _page(request, id))


@router.get("/pieces/{id}/care.pdf")
async def as_pdf(request: Request, id: str) -> Response:
    """The card as PDF; the page with a note where this computer cannot make one, or where something was refused."""
    page = await run_in_threadpool(_page, request, id)
    if page.card is None:
        return await run_in_threadpool(_answer, request, page)
    name = exports.file_name(page.piece.name, "care.pdf")
    return await printing.answer(lambda notice: _answer(request, replace(page, notice=notice)), name)


def _page(request: Request, id: str) -> CarePage:
    kept, piece = opened(store_of(request), id)
    query = dict(request.query_params)
    form = bind(specs(date.today()), query, piece.unit)
    card = form.build(CardFields)
    return CarePage(kept, piece, form, card if form.ok else None, query)


def _answer(request: Request, page: CarePage) -> Response:
    return render(request, "care.html", page, unit=page.piece.unit, status=200 if page.card else 422)
