"""Strips of a board, alone and glued up: against the cup of a whole face, an arc, and what turning must do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from movement.endgrain import Change, Heart, Rings, Straight
from movement.glueup import TURNS, Strip, cup, middle_line, out_of_flat, strips
from movement.grain import cup_depth
from movement.swelling import size_ratio

RADIAL, TANGENTIAL = 0.00126, 0.00248  # black cherry: Wood Handbook, FPL-GTR-190, Table 13-5 (seen)
THICK = 20.0


def change(before: float, after: float) -> Change:
    return Change(*(float(size_ratio(coefficient, before, after)) for coefficient in (RADIAL, TANGENTIAL)))


DRIED, WETTED = change(10, 6), change(8, 12)


@settings(deadline=None)  # no timed test
@given(st.floats(20, 400), st.floats(15, 800), st.floats(2, 20), st.floats(2, 20))
def test_a_board_over_the_heart_cups_as_its_middle_face(width: float, below: float, now: float, then: float) -> None:
    whole = Strip(-width / 2, width / 2)
    expected = float(cup_depth(RADIAL, TANGENTIAL, now, then, width, below))
    assert cup(Heart(below), THICK, whole, change(now, then)) == pytest.approx(expected, abs=1e-9)


def test_the_bark_side_turns_hollow_on_drying_wherever_the_heart_is() -> None:
    for beside in (-300.0, -40.0, 0.0, 70.0):
        heart = Heart(60.0, beside)
        assert cup(heart, THICK, Strip(-50, 50), DRIED) > 0
        assert cup(heart, THICK, Strip(-50, 50), WETTED) < 0


def test_straight_rings_do_not_cup() -> None:
    for angle in (0.0, 30.0, 90.0):
        assert cup(Straight(angle), THICK, Strip(-75, 75), DRIED) == pytest.approx(0, abs=1e-9)


def test_a_strip_cups_by_the_square_of_its_width_nearly() -> None:
    """The short formula, (ρ_R − ρ_T) w²/(4h), for a face that is narrow beside its height."""
    for width in (20.0, 40.0):
        short = (DRIED.radial - DRIED.tangential) * width**2 / (4 * 400)
        assert cup(Heart(400), THICK, Strip(-width / 2, width / 2), DRIED) == pytest.approx(short, rel=0.01)


@settings(deadline=None)  # no timed test
@given(st.floats(-200, 200), st.integers(2, 6))
def test_a_board_glued_as_it_was_sawn_is_the_whole_board(beside: float, pieces: int) -> None:
    heart, whole = Heart(80.0, beside), (Strip(-60.0, 60.0),)
    again = middle_line(heart, THICK, strips(120.0, pieces), DRIED)
    board = middle_line(heart, THICK, whole, DRIED)
    assert again[-1] == pytest.approx(board[-1], abs=1e-9)
    places = np.linspace(again[0].real, again[-1].real, 50)
    np.testing.assert_allclose(
        np.interp(places, again.real, again.imag), np.interp(places, board.real, board.imag), atol=2e-5
    )
    assert out_of_flat(heart, THICK, strips(120.0, pieces), DRIED) == pytest.approx(
        abs(cup(heart, THICK, whole[0], DRIED)), rel=1e-3, abs=1e-6
    )


def test_the_ends_lie_level() -> None:
    for turn in TURNS:
        line = middle_line(Heart(70, 30), THICK, strips(150, 3, turn), DRIED)
        assert line[0] == 0
        assert line[-1].imag == pytest.approx(0, abs=1e-12)


def test_flat_boards_turned_in_turn_stay_straight_as_a_panel() -> None:
    """Boards over the heart, every other one turned: each bows its own way and the panel as a whole does not."""
    one = cup(Heart(80), THICK, Strip(-50, 50), DRIED)
    for turn in ("rolled", "ended"):
        row = tuple(Strip(-50, 50, turn if index % 2 else "same") for index in range(8))
        assert out_of_flat(Heart(80), THICK, row, DRIED) == pytest.approx(2 * one, rel=1e-6)


def test_flat_boards_that_all_face_one_way_bow_as_a_whole_ever_more() -> None:
    rows = [(Strip(-50, 50),) * count for count in (1, 2, 4, 8)]
    bows = [out_of_flat(Heart(80), THICK, row, DRIED) for row in rows]
    assert bows == sorted(bows)
    assert bows[3] > 7 * bows[0]


def test_rift_boards_keep_flat_rolled_over_and_make_a_zigzag_end_for_end() -> None:
    """The corners of a rift board go out of square by (ρ_R − ρ_T) sin 2a; turned end for end they go the other way."""
    row = {turn: (Strip(-50, 50), Strip(-50, 50, turn)) for turn in TURNS}
    for turn in ("same", "rolled"):
        assert out_of_flat(Straight(45), THICK, row[turn], DRIED) == pytest.approx(0, abs=1e-9)
    kink = 2 * (DRIED.radial - DRIED.tangential)
    assert out_of_flat(Straight(45), THICK, row["ended"], DRIED) == pytest.approx(kink / 2 * 100, rel=0.02)


@pytest.mark.parametrize("rings", [Heart(80.0), Heart(40.0, -90.0), Straight(30.0)])
def test_a_mirrored_board_bows_the_same(rings: Rings) -> None:
    mirrored = Heart(rings.below, -rings.beside) if isinstance(rings, Heart) else rings
    for turn in TURNS:
        row = strips(120, 3, turn)
        assert out_of_flat(mirrored, THICK, row, DRIED) == pytest.approx(out_of_flat(rings, THICK, row, DRIED))


def test_equal_movement_both_ways_leaves_everything_flat() -> None:
    even = Change(0.99, 0.99)
    for turn in TURNS:
        assert out_of_flat(Heart(60, 20), THICK, strips(120, 3, turn), even) == pytest.approx(0, abs=1e-9)


def test_strips_share_the_width() -> None:
    found = strips(90, 3, "rolled")
    assert [(one.left, one.right) for one in found] == [(-45, -15), (-15, 15), (15, 45)]
    assert [one.turn for one in found] == ["same", "rolled", "same"]
