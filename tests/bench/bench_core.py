"""The core's long work: `make bench`. What counts is a figure against another of the same run, not the figure alone."""

from typing import Any

import numpy as np
import pytest

from movement import course, gap_table, sorption
from movement import piece as pieces
from movement.catalogue import Panels, Years, blocks
from movement.fits.panel import Clearances
from movement.parts.climates import MoistureClimate
from movement.piece import Frame, PanelPart, Piece
from movement.slab import DIFFUSION

RNG = np.random.default_rng(20_261_125)


@pytest.mark.benchmark(group="ten million")
def test_emc_of_ten_million_hours(benchmark: Any) -> None:
    humidity = RNG.uniform(5, 95, 10_000_000)
    benchmark(sorption.equilibrium_moisture, 21.0, humidity)


@pytest.mark.benchmark(group="ten million")
def test_a_copy_of_ten_million_hours(benchmark: Any) -> None:
    """What the memory alone costs: the measure of the others."""
    humidity = RNG.uniform(5, 95, 10_000_000)
    benchmark(humidity.copy)


@pytest.mark.benchmark(group="ten million")
def test_ten_million_panel_place_rows(benchmark: Any) -> None:
    count, places = 10_000, 1_000
    panels = Panels(
        "centred",
        Clearances(),
        RNG.uniform(100, 600, count),
        RNG.uniform(6, 12, count),
        RNG.uniform(0.001, 0.004, count),
        np.full(count, 30.0),
        np.full(count, 1.0),
    )
    years = Years(RNG.uniform(4, 8, places), RNG.uniform(9, 16, places))

    def work() -> int:
        return sum(block.width.size for block in blocks(panels, years))

    assert benchmark(work) == count * places


@pytest.mark.benchmark(group="slab")
def test_a_thousand_panels_through_a_year_of_hours(benchmark: Any) -> None:
    hours = np.arange(8_760) / 24
    air = 9 + 3 * np.sin(2 * np.pi * hours / 365)
    thickness = RNG.uniform(6, 40, 1_000)
    benchmark(course.follow, hours, air, thickness, DIFFUSION["middle"])


def _piece(count: int) -> Piece:
    panels = [
        PanelPart(id=f"p{index}", name=f"Panel {index}", sight_width_mm=150 + index, sight_height_mm=400)
        for index in range(count)
    ]
    frame = Frame(id="f1", name="Front", panels=panels)
    return Piece(name="bench", climate=MoistureClimate(dry_pct=6, wet_pct=11), frames=[frame])


@pytest.mark.benchmark(group="piece")
@pytest.mark.parametrize("count", [1, 200])
def test_the_gap_table_of_a_piece(benchmark: Any, count: int) -> None:
    text = pieces.dump(_piece(count))

    def work() -> int:
        return len(gap_table.rows(pieces.load(text)))

    assert benchmark(work) == count
