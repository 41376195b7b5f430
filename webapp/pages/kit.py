"""The kit order: what to mill with which setting, what to assemble when; ticked off while it is made."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from webapp import kit
from webapp.documents import MissingError
from webapp.kit import Item, Kit, Ticks
from webapp.paper import PaperPage, opened
from webapp.posted import Typed, see, store_of
from webapp.render import is_partial, piece_switch, render

router = APIRouter()

Order = Literal["milling", "assembly"]
ORDERS: dict[Order, str] = {"milling": "Milling", "assembly": "Assembly"}


@dataclass(frozen=True)
class KitPage(PaperPage):
    """The context of kit.html."""

    ticks: Ticks = field(default_factory=dict)
    order: Order = "milling"

    @cached_property
    def kit(self) -> Kit:
        """What is to be made, in order."""
        return Kit(self.frames, self.ticks, self.words, self.others)

    @property
    def practice(self) -> str:
        """Where the order of assembly comes from."""
        return kit.PRACTICE

    @property
    def reason(self) -> str:
        """Why what is left open today leans from the neutral fit; told once for all parts."""
        return kit.REASON

    @property
    def orders(self) -> Sequence[tuple[str, str]]:
        """The orders to choose from, with their names."""
        return list(ORDERS.items())

    @property
    def status(self) -> str:
        """How far the work is, in a line."""
        return self.kit.progress


@router.get("/pieces/{id}/kit")
def show(request: Request, id: str, order: str = "") -> Response:
    """The kit in the order of milling or of assembly."""
    return _answer(request, id, order)


@router.post("/pieces/{id}/kit")
def tick(request: Request, id: str, data: Typed) -> Response:
    """Tick a step off, or take the tick back."""
    store = store_of(request)
    page = KitPage(*opened(store, id))
    item = _item(page.kit, data.get("step", ""), data.get("handle", ""))
    if data.get("done") == "1":
        store.tick(id, item.handle, item.step, kit.made(item))
    else:
        store.untick(id, item.handle, item.step)
    if is_partial(request):
        return _answer(request, id, data.get("order", ""))
    if data.get("at") == "bench":
        return see(f"{page.href}/parts/{item.handle}")
    return see(f"{page.href}/kit?order={_order(data.get('order', ''))}#{item.id}")


def _item(made: Kit, step: str, handle: str) -> Item:
    found = next((item for item in made.items if (item.step, item.handle) == (step, handle)), None)
    if found is None:
        raise MissingError(handle)
    return found


def _order(text: str) -> Order:
    return next((order for order in ORDERS if order == text), "milling")


def _answer(request: Request, id: str, order: str) -> Response:
    store = store_of(request)
    kept, piece = opened(store, id)
    page = KitPage(kept, piece, ticks=kit.by_step(store.ticks(id)), order=_order(order))
    return render(request, "kit.html", page, unit=piece.unit, unit_links=piece_switch(request, page.href, piece.unit))
