"""What is written of a run of boards fills its opening and keeps its rules, in both units, whatever the step."""

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import lengths
from movement.lengths import INCH, Unit
from movement.parts import boards
from movement.parts.boards import BoardsRequest, BoardsResult
from webapp import setout
from webapp.measures import of as measured
from webapp.words import Words

FINE = {"mm": 0.01, "in": INCH / 1000}
"""The finest that is written [mm]."""


def sized(**asked: Any) -> BoardsResult:
    request = BoardsRequest(**{"species": "Walnut, black", "moisture_dry_pct": 6, "moisture_wet_pct": 11} | asked)
    return boards.result(request, request.bench())


def read(text: str, unit: Unit) -> float:
    return lengths.read(text, unit)


def total(made: BoardsResult, unit: Unit) -> float:
    """How long the run is as it is written, with what is left at its ends [mm]."""
    run = setout.of(made, Words(unit))
    ends = 2 if made.hold == "centred" else 1
    gaps = (made.boards - 1) * read(run.gap, unit)
    return made.boards * read(run.face, unit) + gaps + ends * read(run.end, unit)


def test_a_run_of_the_driest_stock_goes_into_its_opening() -> None:
    """Ten boards in 18 in, sized at 4 % for 6 to 11 %: 3/32 in a joint would make it an eighth too long."""
    made = sized(
        opening_mm=18 * INCH,
        boards=10,
        moisture_now_pct=4,
        least_engagement_mm=INCH / 8,
        least_gap_mm=INCH / 64,
        making_tolerance_mm=INCH / 64,
        size_step_mm=INCH / 32,
    )
    run = setout.of(made, Words("in"))
    assert (run.face, run.gap) == ('1 23/32"', '5/64"')
    assert total(made, "in") <= 18 * INCH + 1e-6


@pytest.mark.parametrize("unit", ["mm", "in"])
@given(data=st.data())
def test_what_is_written_fills_the_opening_and_keeps_the_rules(unit: Unit, data: st.DataObject) -> None:
    step = data.draw(st.sampled_from([0.1, 0.5, 1.0] if unit == "mm" else [INCH / 64, INCH / 32, INCH / 16]))
    made = sized(
        opening_mm=data.draw(st.floats(200, 2000)),
        boards=data.draw(st.integers(2, 30)),
        hold=data.draw(st.sampled_from(["centred", "one edge"])),
        profile=data.draw(st.sampled_from(["tongue and groove", "shiplap", "loose tongue"])),
        moisture_now_pct=data.draw(st.floats(4, 16)),
        least_gap_mm=data.draw(st.floats(0.2, 1.0)),
        making_tolerance_mm=data.draw(st.sampled_from([0.0, 0.25, 0.5])),
        size_step_mm=step,
    )
    if not made.fits:
        return
    run, words = setout.of(made, Words(unit)), Words(unit)
    fine = FINE[unit] + 1e-6
    face, gap, end = (read(text, unit) for text in (run.face, run.gap, run.end))
    assert total(made, unit) <= made.opening_mm + 1e-6
    assert made.opening_mm - total(made, unit) < 2 * words.step + fine
    assert made.board_face_min_mm - 0.01 <= face <= made.board_face_max_mm + 0.01
    # by hand: what the wet rule has to spare may be missing of a joint, and half of it at each of two ends
    slack = made.margin_wet_mm + (face - made.board_face_mm)
    assert gap >= made.gap_now_mm - slack - 0.0101
    share = 2 if made.hold == "centred" else 1
    assert end >= made.end_gap_now_mm - made.margin_wet_mm / share - 0.0101
    # and a joint that is no wider than was computed holds its tongue as well
    assert gap <= made.gap_now_mm + (made.board_face_mm - face) + 1e-6
    tongue = 0.0 if made.profile == "loose tongue" else read(words.least(made.tongue_mm), unit)
    assert read(run.width, unit) == pytest.approx(face + tongue, abs=fine)


def test_page_and_paper_write_it_alike() -> None:
    made = sized(opening_mm=600, board_face_mm=90, moisture_now_pct=8)
    words = Words("mm")
    run, found = setout.of(made, words), measured(made)
    assert (found.across(words), found.today(words)) == (run.width, run.gap)


def test_a_run_that_does_not_fit_is_written_as_it_was_computed() -> None:
    made = sized(opening_mm=600, boards=12, board_face_mm=88.9, moisture_now_pct=8)
    assert not made.fits
    assert setout.of(made, Words("mm")).gap == f"{lengths.MINUS}38.9 mm"
    assert made.tongue_mm > 0
