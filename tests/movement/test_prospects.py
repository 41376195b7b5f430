"""A whole piece: chances and survival over all its panels, and the confidence that it is sized for."""

from typing import Any

import pytest

from movement import gap_table, prospects
from movement.fits.survival import Span
from movement.piece import Piece, dump, load

PANELS: list[dict[str, Any]] = [
    {"id": "p1", "name": "Upper", "sight_width_mm": 300},
    {"id": "p2", "name": "Lower", "sight_width_mm": 450, "hold": "loose", "count": 2},
    {"id": "p3", "name": "Narrow", "sight_width_mm": 120, "ring_angle_deg": 80, "moisture_now_pct": 11},
]


def piece(panels: list[dict[str, Any]] = PANELS, **defaults: Any) -> Piece:
    return Piece(
        name="Bookcase",
        climate={"kind": "moisture", "dry_pct": 5, "wet_pct": 11},
        defaults={"species": "Cherry, black", "moisture_now_pct": 8, "least_gap_mm": 0, **defaults},
        frames=[{"id": "f1", "name": "Side", "panels": panels}],
    )


def test_a_piece_with_one_panel_has_that_panel_s_chances() -> None:
    alone = piece(PANELS[:1])
    cells = gap_table.rows(alone)[0].cells()
    found = prospects.piece_chance(alone)
    assert 100 * found.binds == pytest.approx(cells["chance_binds_pct"], abs=1e-9)
    assert 100 * found.comes_out == pytest.approx(cells["chance_comes_out_pct"], abs=1e-9)


def test_a_piece_is_in_trouble_at_least_as_often_as_its_worst_panel() -> None:
    rows = gap_table.rows(piece())
    found = prospects.piece_chance(piece(), rows)
    assert found.binds >= max(row.result.chance_binds_pct for row in rows) / 100
    assert found.binds <= sum(row.part.count * row.result.chance_binds_pct for row in rows) / 100
    assert found == prospects.piece_chance(piece())


def test_more_of_the_same_panel_are_more_often_in_trouble() -> None:
    few, many = (prospects.piece_chance(piece([{**PANELS[0], "count": count}])).binds for count in (1, 20))
    assert many > few


def test_a_piece_without_panels_has_nothing_to_fear() -> None:
    assert prospects.piece_chance(piece([])) == (0, 0)
    found = prospects.piece_survives(piece([]))
    assert (found.driest, found.wettest) == (None, None)
    assert found.kept == Span(float("-inf"), float("inf"))


# Every panel keeps its clearances over the year, so all of them survive at least the home's range; the limits are those
# of the panels named.
def test_a_piece_survives_its_own_year_and_names_the_panels_that_limit_it() -> None:
    found = prospects.piece_survives(piece())
    assert all(row.result.fits for row in gap_table.rows(piece()))
    assert found.kept.low <= 5 + 1e-9
    assert found.kept.high >= 11 - 1e-9
    assert found.strict.low <= found.kept.low
    assert found.strict.high >= found.kept.high
    assert found.driest is not None
    assert found.wettest is not None
    for row, end in ((found.driest, "low"), (found.wettest, "high")):
        alone = prospects.piece_survives(piece(), [row]).kept
        assert getattr(alone, end) == getattr(found.kept, end)


def test_a_piece_sized_for_a_confidence_has_deeper_grooves_and_less_to_fear() -> None:
    depths, chances = [], []
    for confidence in (None, 50, 90, 99):
        sized = piece(confidence_pct=confidence)
        depths.append(gap_table.rows(sized)[0].result.groove_depth_mm)
        chances.append(prospects.piece_chance(sized).binds)
    assert depths[0] == depths[1] <= depths[2] < depths[3]
    assert chances[0] == chances[1] > chances[2] > chances[3]
    assert chances[3] < 0.04  # four panels, each with at most 1 %


def test_the_spreads_of_a_piece_are_its_own() -> None:
    sure = {"natural_variation_pct": 0, "meter_error_pct": 0, "year_to_year_pct": 0, "ring_angle_doubt_deg": 0}
    exact = piece(spread=sure, making_tolerance_mm=0, least_gap_mm=0.2)
    assert prospects.piece_chance(exact) == (0, 0)


# By hand: C = 0.0025, cut 300 mm wide at 10 %: ratios 0.9875 at 5 % and 1.0025 at 11 %, so 300 × 0.015 = 4.5 mm; made
# at 12 % the same width is divided by 1.005.
def test_the_widest_change_is_that_of_the_year_alone() -> None:
    stock = {"name": "Apple", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
    panels = [{"id": "p1", "sight_width_mm": 280, "panel_width_mm": 300}, {"id": "p2", "sight_width_mm": 100}]
    for now, change in ((10, 4.5), (12, 4.5 / 1.005)):
        sized = piece(panels, species=stock, moisture_now_pct=now, confidence_pct=99)
        found = prospects.widest_change(gap_table.rows(sized))
        assert found is not None
        assert found[0].part.id == "p1"
        assert found[1] == pytest.approx(change)
    assert prospects.widest_change([]) is None


def test_a_piece_file_keeps_confidence_and_spreads_and_old_files_have_none() -> None:
    asked = piece(confidence_pct=95, spread={"meter_error_pct": 0.4})
    again = load(dump(asked))
    assert again.defaults.confidence_pct == 95
    assert again.defaults.spread.meter_error_pct == 0.4
    old = load(
        '{"format": "seasonal-panel-fit/piece", "version": 1, "name": "Old",'
        ' "climate": {"kind": "moisture", "dry_pct": 5, "wet_pct": 11}}'
    )
    assert old.defaults.confidence_pct is None
