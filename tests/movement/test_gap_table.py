"""A piece's fits as one table: one groove a frame, one row a part."""

import json
from dataclasses import replace
from typing import Any

import pandas as pd
import pytest
from hypothesis import given
from panel_cases import ROUND, Case, cases

from movement import gap_table
from movement.gap_table import COLUMNS, NUMBERS, TEXTS, Row
from movement.piece import FORMAT, Piece, load

# A wood of C_T 0.0025, C_R 0.0015, start of shrinkage 30 %; 8 % today, 6 to 11 % over the year: the panels of
# test_panel.py, whose least grooves are 6.9476 mm centred, 9.9706 mm loose.
TEST_WOOD = {"name": "Test wood", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}


def panel(id: str, **more: Any) -> dict[str, Any]:
    return {"kind": "panel", "id": id, "name": id, "sight_width_mm": 300.0, **more}


def piece(*panels: dict[str, Any], groove: float | None = None, **defaults: Any) -> Piece:
    document = {
        "format": FORMAT,
        "version": 1,
        "name": "Chest",
        "climate": {"kind": "moisture", "dry_pct": 6.0, "wet_pct": 11.0},
        "own_species": [TEST_WOOD],
        "defaults": {"species": "Test wood", "width_step_mm": 0.1} | defaults,
        "frames": [{"id": "f1", "name": "Side", "groove_depth_mm": groove, "panels": list(panels)}],
    }
    return load(json.dumps(document))


def rows(*panels: dict[str, Any], groove: float | None = None, **defaults: Any) -> list[Row]:
    return gap_table.rows(piece(*panels, groove=groove, **defaults))


def test_one_panel_as_worked_by_hand() -> None:
    (row,) = rows(panel("a"))
    # test_panel.py: 6.9476 mm asks for 7 mm; 310.1104 mm to 0.1 mm is 310.1 mm, inside 310.0581 to 310.1621 mm
    cells = row.cells()
    assert (cells["groove_depth_mm"], cells["cut_width_mm"], cells["fits"]) == (7.0, 310.1, True)
    # 7 − 10.1/2 = 1.95; mid 310.1·1.001256 = 310.4896, gap 1.7552, bias +0.1948
    assert cells["gap_now_mm"] == pytest.approx(1.95, abs=1e-9)
    assert cells["bias_mm"] == pytest.approx(0.1948, abs=6e-5)
    assert (cells["bias"], cells["advice"]) == ("looser", "")


def test_a_frame_is_grooved_as_deep_as_its_deepest_panel_asks() -> None:
    found = rows(panel("a"), panel("b", hold="loose"), panel("c", sight_width_mm=100.0))
    assert [row.result.groove_depth_mm for row in found] == [10.0, 10.0, 10.0]
    assert all(row.result.fits for row in found)
    # the least is each panel's own: 0.75 + (1.012626·108.5 − 100)/2 = 5.6850 mm for the narrow one
    own = [row.result.least_groove_depth_mm for row in found]
    assert own == pytest.approx([6.9476, 9.9706, 5.6850], abs=6e-5)


def test_each_panel_is_cut_to_the_frames_groove() -> None:
    centred, loose = rows(panel("a"), panel("b", hold="loose"))
    # centred in 10 mm: (600 + 20 + 8 − 1)/2.002513 = 313.1066, to 0.1 mm; loose as by hand 316.1029
    assert centred.result.panel_width_mm == pytest.approx(313.1, abs=1e-9)
    assert loose.result.panel_width_mm == pytest.approx(316.1, abs=1e-9)


def test_a_given_groove_is_the_frames() -> None:
    found = rows(panel("a"), panel("b", hold="loose"), groove=8.5)
    assert [row.result.groove_depth_mm for row in found] == [8.5, 8.5]
    assert [row.result.fits for row in found] == [True, False]


def test_cutters_that_are_all_too_shallow_are_a_result_with_advice() -> None:
    (row,) = rows(panel("a"), cutter_depths_mm=[5, 6.5])
    assert (row.result.groove_depth_mm, row.result.fits) == (6.5, False)
    assert "none of the shop's depths" in str(row.cells()["advice"])


def test_a_panel_that_is_cut_already_asks_for_its_groove() -> None:
    # test_panel.py: 311 mm asks for 7.4221 mm, the next step 8 mm; its neighbour alone for 7 mm
    found = rows(panel("a"), panel("b", panel_width_mm=311.0))
    assert [(row.result.groove_depth_mm, row.result.fits) for row in found] == [(8.0, True), (8.0, True)]


def test_a_panel_that_is_cut_and_cannot_work_leaves_its_neighbours_alone() -> None:
    found = rows(panel("a"), panel("b", panel_width_mm=305.0))
    assert [(row.result.groove_depth_mm, row.result.fits) for row in found] == [(7.0, True), (7.0, False)]


def test_two_panels_of_one_frame_have_opposite_biases() -> None:
    found = rows(panel("a", moisture_now_pct=6.5), panel("b", moisture_now_pct=10.5), panel("c", moisture_now_pct=8.5))
    assert [row.cells()["bias"] for row in found] == ["looser", "tighter", "neutral"]


def test_a_frame_without_panels_has_no_groove_and_no_rows() -> None:
    assert rows() == []
    assert gap_table.groove(piece().frames[0], piece(), []) is None
    assert gap_table.groove(piece(groove=9.0).frames[0], piece(groove=9.0), []) == 9.0


def test_frames_do_not_share_their_grooves() -> None:
    whole = piece(panel("a"))
    other = whole.frames[0].model_copy(update={"id": "f2", "panels": piece(panel("b", hold="loose")).frames[0].panels})
    found = gap_table.rows(whole.model_copy(update={"frames": [whole.frames[0], other]}))
    assert [(row.frame.id, row.result.groove_depth_mm) for row in found] == [("f1", 7.0), ("f2", 10.0)]


def test_a_row_has_the_columns_of_the_table() -> None:
    (row,) = rows(panel("a", count=3, ring_angle_deg=90, sight_height_mm=500))
    cells = row.cells()
    assert list(cells) == list(COLUMNS)
    assert (cells["frame"], cells["part"], cells["kind"], cells["count"]) == ("Side", "a", "panel", 3)
    assert (cells["species"], cells["ring_angle_deg"], cells["hold"]) == ("Test wood", 90, "centred")
    assert (cells["moisture_now_pct"], cells["moisture_dry_pct"], cells["moisture_wet_pct"]) == (8, 6, 11)
    # 500 + 2 (groove − 1)
    assert cells["cut_length_mm"] == 498 + 2 * row.result.groove_depth_mm


def test_every_length_has_its_unit_in_its_heading() -> None:
    for column, heading in COLUMNS.items():
        assert heading.endswith({"mm": "(mm)", "pct": "(%)", "deg": "(°)"}.get(column.rpartition("_")[2], "")), column
    assert len(set(COLUMNS.values())) == len(COLUMNS)


def test_the_table_as_a_data_frame() -> None:
    whole = piece(panel("a", sight_height_mm=500), panel("b", sight_height_mm=400, hold="loose"))
    table = gap_table.data_frame(whole)
    told = table.astype(object).where(table.notna(), None)
    assert told.to_dict("records") == [row.cells() for row in gap_table.rows(whole)]
    for name in NUMBERS:  # those too that no part has
        assert pd.api.types.is_float_dtype(table[name])
    assert set(COLUMNS) == {*NUMBERS, *TEXTS, "count", "fits"}
    assert list(gap_table.data_frame(piece()).columns) == list(COLUMNS)


@given(cases(), cases())
def test_no_row_that_fits_breaks_its_rule(one: Case, other: Case) -> None:
    """Two panels drawn at random in one frame, in one shop and one house."""
    # as told in the file, whose air is saturated at 28.8 % MC
    one = replace(one, dry=min(one.dry, 28.0), wet=min(one.wet, 28.0))
    keep, both = one.keep, [one, replace(other, dry=one.dry, wet=one.wet, keep=one.keep)]
    panels = [
        panel(
            f"p{number}",
            species={
                "name": f"wood {number}",
                "coefficient_radial": case.coefficient,
                "coefficient_tangential": case.coefficient,
                "start_of_shrinkage_pct": case.start,
            },
            sight_width_mm=case.sight,
            hold=case.hold,
            moisture_now_pct=case.now,
        )
        for number, case in enumerate(both)
    ]
    document = {
        "format": FORMAT,
        "version": 1,
        "name": "Chest",
        "climate": {"kind": "moisture", "dry_pct": one.dry, "wet_pct": one.wet},
        "defaults": {
            "least_engagement_mm": keep.engagement,
            "least_gap_mm": keep.gap,
            "making_tolerance_mm": keep.tolerance,
            "fixed_engagement_mm": keep.fixed_engagement,
        },
        "frames": [{"id": "f1", "panels": panels}],
    }
    found = gap_table.rows(load(json.dumps(document)))
    assert len({row.result.groove_depth_mm for row in found}) == 1
    for row, case in zip(found, both, strict=True):
        groove, width = row.result.groove_depth_mm, row.result.panel_width_mm
        assert (case.shortfall(groove, width) <= ROUND) if row.result.fits else (case.works(groove) > -ROUND)
