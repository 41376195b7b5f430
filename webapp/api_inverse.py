"""The JSON API's questions asked backwards: what a groove serves, what a panel survives, and what would help."""

from typing import Annotated

from fastapi import APIRouter

from movement.parts import check, inverse, savings
from movement.parts.check import CheckRequest, CheckResult, MonthsRequest, MonthsResult
from movement.parts.inverse import SurvivesRequest, SurvivesResult, WidestRequest, WidestResult
from movement.parts.savings import SavingsRequest, SavingsResult
from webapp.api import PREFIX, REFUSALS, strict

router = APIRouter(prefix=PREFIX, tags=["inverse"], responses=REFUSALS)


@router.post("/widest", summary="Widest opening that a groove serves")
async def widest_opening(asked: Annotated[WidestRequest, strict(WidestRequest)]) -> WidestResult:
    """The widest opening that a groove serves."""
    return inverse.widest(asked)


@router.post("/survives", summary="Humidities that a panel survives")
async def humidities_survived(asked: Annotated[SurvivesRequest, strict(SurvivesRequest)]) -> SurvivesResult:
    """The humidities that a sized panel survives."""
    return inverse.survives(asked)


@router.post("/check", summary="Panel that exists already")
async def check_panel(asked: Annotated[CheckRequest, strict(CheckRequest)]) -> CheckResult:
    """Where a panel that exists stands, and what to do about it."""
    return check.check(asked, asked.bench())


@router.post("/months", summary="Months in which stock is fitted without bias")
def months_without_bias(asked: Annotated[MonthsRequest, strict(MonthsRequest)]) -> MonthsResult:
    """The months in which stock settled in the shop is fitted without bias."""
    return check.suited(asked)


@router.post("/savings", summary="What would save a panel the most groove")
async def groove_saved(asked: Annotated[SavingsRequest, strict(SavingsRequest)]) -> SavingsResult:
    """Which doubt or choice costs a panel the most groove."""
    return savings.result(asked)
