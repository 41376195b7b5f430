"""The checks: a made panel, a groove, the room a panel survives, the months to fit one. The address is the question."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from movement.lengths import Unit
from webapp.checks.check import Check
from webapp.checks.groove import Groove
from webapp.checks.made import Made
from webapp.checks.months import Months
from webapp.checks.room import Room
from webapp.library import all_species
from webapp.posted import store_of
from webapp.render import is_partial, recall, render, switch, unit_of
from webapp.store import Store

router = APIRouter()

CHECKS: Sequence[type[Check]] = (Made, Groove, Room, Months)


@dataclass(frozen=True)
class CheckPage:
    """The context of check.html."""

    check: Check

    @property
    def checks(self) -> Sequence[tuple[str, str, bool]]:
        """(name, address, whether it is this one) of every check; what is typed goes along."""
        return [(one.name, self.check.led_to(one), isinstance(self.check, one)) for one in CHECKS]


@router.get("/check")
def made(request: Request) -> Response:
    """Where a made panel stands, and what to do about it."""
    return _show(request, Made)


@router.get("/check/groove")
def groove(request: Request) -> Response:
    """What a groove or the shop's cutters serve."""
    return _show(request, Groove)


@router.get("/check/room")
def room(request: Request) -> Response:
    """Which room a panel survives."""
    return _show(request, Room)


@router.get("/check/months")
def months(request: Request) -> Response:
    """When a panel is best fitted."""
    return _show(request, Months)


def _show(request: Request, kind: type[Check]) -> Response:
    store, unit = store_of(request), unit_of(request)
    return recall(request, unit, store.edition(), lambda: _answered(request, kind, unit, store))


def _answered(request: Request, kind: type[Check], unit: Unit, store: Store) -> Response:
    found = kind.ask(request.query_params, unit, store)
    species = [] if is_partial(request) else [(one.name, one.botanical_name) for one in all_species(store)]
    links = switch(request, unit, found.form)
    status = 200 if found.form.ok else 422
    page = CheckPage(replace(found, species=species))
    return render(request, "check.html", page, unit=unit, unit_links=links, status=status)
