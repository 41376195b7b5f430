"""What publications say of the shapes that boards take as they dry. No published table of cup depths is quoted.

Marks: seen = the statement was read in a copy; secondary = in a quotation of it; from memory = not read.
"""

import numpy as np
import pytest

from movement import species
from movement.endgrain import Change, Heart, Straight, sawn
from movement.glueup import Strip, cup
from movement.swelling import size_ratio

# black cherry: Wood Handbook, FPL-GTR-190, Table 13-5 (seen)
RADIAL, TANGENTIAL = 0.00126, 0.00248


def change(radial: float, tangential: float, before: float, after: float) -> Change:
    return Change(float(size_ratio(radial, before, after)), float(size_ratio(tangential, before, after)))


DRIED = change(RADIAL, TANGENTIAL, 20, 8)


def test_the_bark_side_of_a_flat_sawn_board_turns_hollow_as_it_dries() -> None:
    # Wood Handbook, ch. 4, figure of characteristic shrinkage and distortion (from memory)
    woods = species.catalogue()
    assert len(woods) > 100
    for wood in woods:
        if wood.coefficient_radial < wood.coefficient_tangential:
            dried = change(wood.coefficient_radial, wood.coefficient_tangential, 12, 6)
            assert cup(Heart(80), 25, Strip(-75, 75), dried) > 0, wood.name


def test_a_flat_sawn_board_from_near_the_heart_cups_more_than_one_from_further_out() -> None:
    # trade column on dimensional change in drying (secondary); Wood Handbook, ch. 4 (from memory)
    cups = [cup(Heart(height), 25, Strip(-75, 75), DRIED) for height in (30, 60, 120, 240, 480)]
    assert cups == sorted(cups, reverse=True)
    assert cups[0] > 4 * cups[-1]


def test_a_quarter_sawn_board_keeps_flat() -> None:
    # Wood Handbook, ch. 4, figure of characteristic shrinkage and distortion (from memory)
    flat = cup(Heart(60), 25, Strip(-60, 60), DRIED)
    quarter = cup(Heart(13, -200), 25, Strip(-60, 60), DRIED)
    assert 0 <= quarter < flat / 100


def test_a_square_turns_to_a_diamond_most_where_the_rings_run_from_corner_to_corner() -> None:
    # G. Wengert, "The Wood Doctor", Woodworking Network, on squares that lose their square profile (seen)
    corners = np.array([-25 - 25j, 25 - 25j, 25 + 25j, -25 + 25j])

    def out_of_square(angle: float) -> float:
        shape = Straight(angle).moved(corners, DRIED)
        return float(abs(abs(shape[2] - shape[0]) - abs(shape[3] - shape[1])))

    found = [out_of_square(angle) for angle in range(0, 91, 5)]
    assert int(np.argmax(found)) == 45 // 5
    assert found[0] == found[-1] == pytest.approx(0, abs=1e-9)


def test_the_diamond_is_longer_across_the_rings() -> None:
    # the same column: more shrinkage along the rings than across them, so a round turns oval (seen)
    across_rings, along_rings = Straight(45).moved(np.array([25 + 25j, 25 - 25j]), DRIED).tolist()
    assert abs(across_rings) > abs(along_rings)


def test_what_is_flat_and_what_is_quarter_sawn_agrees_with_45_degrees() -> None:
    # Wood Handbook: plain-sawn 0 to 45 degrees, quarter-sawn 45 to 90, rift or bastard-sawn 30 to 60 (from memory)
    assert sawn(0, 29) == "flat-sawn"
    assert sawn(31, 59) == "rift-sawn"
    assert sawn(61, 90) == "quarter-sawn"
