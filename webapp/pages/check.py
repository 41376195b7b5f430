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
from webapp.library import Shelf
from webapp.render import is_partial, recall, render, switch, unit_of

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
async def made(request: Request) -> Response:
    """Where a made panel stands, and what to do about it."""
    return await _show(request, Made)


@router.get("/check/groove")
async def groove(request: Request) -> Response:
    """What a groove or the shop's cutters serve."""
    return await _show(request, Groove)


@router.get("/check/room")
async def room(request: Request) -> Response:
    """Which room a panel survives."""
    return await _show(request, Room)


@router.get("/check/months")
async def months(request: Request) -> Response:
    """When a panel is best fitted."""
    return await _show(request, Months)


async def _show(request: Request, kind: type[Check]) -> Response:
    unit = unit_of(request)
    return await recall(request, unit, lambda known: _answered(request, kind, unit, known))


def _answered(request: Request, kind: type[Check], unit: Unit, known: Shelf) -> Response:
    found = kind.ask(request.query_params, unit, known)
    species = () if is_partial(request) else known.names
    links = switch(request, unit, found.form)
    status = 200 if found.form.ok else 422
    page = CheckPage(replace(found, species=species))
    return render(request, "check.html", page, unit=unit, unit_links=links, status=status)
