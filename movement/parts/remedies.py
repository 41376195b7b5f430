"""Other stock for a part that cannot work: the same species quarter-sawn, or dried nearer to the year it will live."""

from dataclasses import replace
from typing import NamedTuple

from movement import wood
from movement.parts.base import Bench
from movement.season import Ratios


class Nearer(NamedTuple):
    """Stock at a moisture content inside the year where the piece lives."""

    word: str
    moisture: float
    ratios: Ratios


def quartered(bench: Bench) -> Ratios | None:
    """How the width stands against today's in quarter-sawn stock; ``None`` where that moves no less."""
    stock = wood.cut(bench.wood.species, 90.0)
    return bench.ratios(bench.season, stock) if stock.across < bench.wood.across - 1e-6 else None


def nearer(bench: Bench) -> Nearer | None:
    """How it stands in stock as wet as the year allows; ``None`` where today's is inside the year already."""
    season = bench.season
    near = min(max(season.now, season.year_dry), season.year_wet)
    if near == season.now:
        return None
    word = "drier" if near < season.now else "less dry"
    return Nearer(word, near, bench.ratios(replace(season, now=near), bench.wood))
