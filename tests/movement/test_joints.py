"""Tenons in their mortises: hand-worked slack, ends moved one by one, inverses, what is advised to glue."""

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.errors import RangeError
from movement.fits import joints
from movement.fits.joints import JOINT_HOLDS, MORTISE, TENON, TENONS, WIDE_GLUE, JointHold
from movement.fits.panel import Clearances
from movement.parts import joint
from movement.season import Ratios

# Stock that moves by 0.25 % per 1 % MC at 10 % MC: from 10 % to 6 and 14 %, ratios 0.99 and 1.01 exactly.
STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 14}
RATIOS = Ratios(0.99, 1.0, 1.01)
TIGHT = Clearances(0.0, 0.0, 0.0)

holds = st.sampled_from(JOINT_HOLDS)
swings = st.builds(
    lambda dry, wet: Ratios(1 - dry, 1 + (wet - dry) / 2, 1 + wet), st.floats(0, 0.08), st.floats(0, 0.08)
)
kept = st.builds(Clearances, st.just(0.0), st.floats(0, 3), st.floats(0, 1))
widths = st.floats(60, 600)


def request(**more: Any) -> joint.JointRequest:
    return joint.JointRequest(**{"species": STOCK, **YEAR, "tenon_width_mm": 120, **more})


def size(**more: Any) -> joint.JointResult:
    asked = request(**more)
    return joint.result(asked, asked.bench())


# 120 mm of tenon grows and shrinks 1.2 mm; held at mid-width, 0.6 mm of slack at each end: mortise 121.2 mm.
def test_a_tenon_held_at_mid_width_worked_by_hand() -> None:
    found = size()
    assert found.hold == "centred"
    assert found.growth_wet_mm == pytest.approx(1.2)
    assert found.shrinkage_dry_mm == pytest.approx(1.2)
    (mortise,) = found.mortises
    assert (mortise.slack_start_mm, mortise.slack_end_mm) == (pytest.approx(0.6), pytest.approx(0.6))
    assert mortise.mortise_length_mm == pytest.approx(121.2)


# Held at one edge, that edge is tight and all 1.2 mm are at the other end; 0.2 mm of gap and ± 0.1 mm are added there.
def test_a_tenon_held_at_one_edge() -> None:
    (mortise,) = size(hold="one edge").mortises
    assert (mortise.slack_start_mm, mortise.slack_end_mm) == (0, pytest.approx(1.2))
    (gapped,) = size(hold="one edge", least_gap_mm=0.2, making_tolerance_mm=0.1).mortises
    assert (gapped.slack_start_mm, gapped.slack_end_mm) == (0, pytest.approx(1.5))


# Two tenons in 120 mm are 40 mm each with 40 mm between. The first is glued at its edge: 0.4 mm at its far end. The
# second runs from 80 to 120 mm: its near end comes in by 0.8 mm when dry, its far end goes out by 1.2 mm when wet.
def test_two_tenons_of_which_one_is_glued() -> None:
    found = size(tenons=2)
    assert found.hold == "one edge"
    first, second = found.mortises
    assert (first.glued, second.glued) == (True, False)
    assert (first.slack_start_mm, first.slack_end_mm) == (0, pytest.approx(0.4))
    assert (second.tenon_start_mm, second.tenon_width_mm) == (pytest.approx(80), pytest.approx(40))
    assert (second.slack_start_mm, second.slack_end_mm) == (pytest.approx(0.8), pytest.approx(1.2))
    assert second.mortise_length_mm == pytest.approx(42)
    assert found.glued_mm == pytest.approx(40)
    assert found.glued_growth_wet_mm == pytest.approx(0.4)
    assert "Glue only the tenon at the edge that is held" in found.advice[0]
    assert "up to 42.0 mm long" in found.advice[0]


# Three in 120 mm are 24 mm each: the middle one is glued, and the outer ones move away from it when wet and toward it
# when dry, 12 to 60 mm from mid-width.
def test_three_tenons_held_at_the_middle_one() -> None:
    outer, middle, other = size(tenons=3).mortises
    assert [part.glued for part in (outer, middle, other)] == [False, True, False]
    assert (middle.slack_start_mm, middle.slack_end_mm) == (pytest.approx(0.12), pytest.approx(0.12))
    assert (other.slack_start_mm, other.slack_end_mm) == (pytest.approx(0.36), pytest.approx(0.6))
    assert (outer.slack_start_mm, outer.slack_end_mm) == (pytest.approx(0.6), pytest.approx(0.36))


@given(widths, holds, swings, kept, st.integers(*TENONS), st.floats(0, 1))
def test_no_tenon_touches_its_mortise_in_any_season(
    width: float, hold: JointHold, ratios: Ratios, keep: Clearances, tenons: int, share: float
) -> None:
    if hold == "centred" and tenons % 2 == 0:
        tenons -= 1
    found = joints.fit(width, hold, ratios, keep, tenons)
    place = width / 2 if hold == "centred" else 0.0
    room = keep.gap + keep.tolerance - 1e-9
    for end in (ratios.dry, ratios.wet):
        ratio = 1 + share * (end - 1)
        for mortise in found.mortises:
            start, stop = (place + (edge - place) * ratio for edge in (mortise.start, mortise.end))
            tight = hold == "one edge" and mortise.start == 0
            assert start - (mortise.start - mortise.slack_start) >= (-1e-9 if tight else room)
            assert mortise.end + mortise.slack_end - stop >= room
    assert sum(mortise.held for mortise in found.mortises) == 1
    assert sum(mortise.tenon for mortise in found.mortises) <= width + 1e-9


@given(widths, holds, swings, kept)
def test_mortise_and_tenon_are_inverse(width: float, hold: JointHold, ratios: Ratios, keep: Clearances) -> None:
    length = float(joints.mortise_length(width, hold, ratios.wet, keep))
    assert joints.widest_tenon(length, hold, ratios.wet, keep) == pytest.approx(width, rel=1e-12)
    assert joints.fit(width, hold, ratios, keep, mortise=length).fits
    assert not joints.fit(width, hold, ratios, keep, mortise=length - 0.001).fits
    assert joints.fit(width, hold, ratios, keep).mortises[0].length == pytest.approx(length)


@given(widths, holds, swings, st.floats(0.001, 0.02))
def test_more_swelling_asks_for_a_longer_mortise(width: float, hold: JointHold, ratios: Ratios, more: float) -> None:
    calm = joints.mortise_length(width, hold, ratios.wet, TIGHT)
    assert joints.mortise_length(width, hold, ratios.wet + more, TIGHT) > calm


def test_arrays_give_what_scalars_give() -> None:
    sizes, wets = np.array([40.0, 80.0, 160.0]), np.array([1.0, 1.01, 1.02])
    for function in (joints.mortise_length, joints.widest_tenon):
        found = np.asarray(function(sizes, "centred", wets, TIGHT))
        assert found.tolist() == [function(s, "centred", w, TIGHT) for s, w in zip(sizes, wets, strict=True)]
    assert np.asarray(joints.change(sizes, 0.99)) == pytest.approx([-0.4, -0.8, -1.6])
    assert np.asarray(joints.outward_slack(sizes, wets, TIGHT)) == pytest.approx([0.0, 0.8, 3.2])
    assert np.asarray(joints.inward_slack(sizes, 0.99, TIGHT)) == pytest.approx([0.4, 0.8, 1.6])


# 40 mm in a mortise of 40 mm: 0.4 mm too short when wet; the widest that goes in is 40/1.01 = 39.604 mm.
def test_a_tight_mortise_is_told_what_mends_it() -> None:
    found = size(tenon_width_mm=40, mortise_length_mm=40)
    assert not found.fits
    assert found.widest_tenon_mm == pytest.approx(39.603960)
    assert "0.4 mm too short" in found.advice[0]
    assert "Make it 40.4 mm long, or narrow the tenon to 39.6 mm" in found.advice[0]
    assert size(tenon_width_mm=39.6, mortise_length_mm=40).fits


def test_a_wide_tenon_is_advised_to_be_glued_in_part_or_split() -> None:
    wide = size()
    assert "Glued over 120.0 mm, the tenon is kept from growing 1.2 mm and from shrinking 1.2 mm" in wide.advice[0]
    assert "no measured source" in wide.advice[0]
    assert "split it into two tenons with a haunch" in wide.advice[1]
    assert "Quarter-sawn" in wide.advice[2]
    assert len(size(ring_angle_deg=90).advice) == 2
    assert size(tenon_width_mm=WIDE_GLUE).advice == []
    assert size(glued_mm=40).advice == []
    assert size(glued_mm=40).glued_growth_wet_mm == pytest.approx(0.4)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"tenon_width_mm": TENON[0] - 1}, "tenon_width_mm"),
        ({"tenon_width_mm": TENON[1] + 1}, "tenon_width_mm"),
        ({"tenons": TENONS[1] + 1}, "tenons"),
        ({"mortise_length_mm": MORTISE[1] + 1}, "mortise_length_mm"),
        ({"tenons": 2, "hold": "centred"}, "2 tenons have none at mid-width"),
        ({"tenons": 2, "mortise_length_mm": 60}, "for a single tenon only"),
        ({"between_mm": 10}, "A single tenon has no room between"),
        ({"tenons": 2, "between_mm": 115}, "room between tenons"),
        ({"hold": "loose"}, "hold"),
        ({"pegs": 1}, "pegs"),
    ],
)
def test_what_cannot_be_asked_is_refused_at_its_field(change: dict[str, Any], message: str) -> None:
    with pytest.raises(ValidationError, match=message):
        request(**change)


def test_the_core_refuses_by_name() -> None:
    with pytest.raises(RangeError, match="glued width is 130 mm; allowed is 0 to 120 mm"):
        joints.fit(120.0, "centred", RATIOS, TIGHT, glued=130.0)
    with pytest.raises(RangeError, match="length of the mortise"):
        joints.widest_tenon(MORTISE[0] - 1, "centred", 1.01, TIGHT)
    with pytest.raises(RangeError, match="room between tenons is 2 mm; allowed is 1 to 1 mm"):
        joints.spans(11.0, 2, 2.0)
    with pytest.raises(RangeError, match="width of the tenon is 10 mm; allowed is 11 to 1000 mm"):
        joints.spans(10.0, 2, 1.0)
    with pytest.raises(RangeError, match="width of the tenon is 20 mm; allowed is 55 to 1000 mm"):
        joints.spans(20.0, 6)
    with pytest.raises(ValueError, match="known for joints are centred, one edge"):
        joints.mortise_length(120.0, "loose", 1.01, TIGHT)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="hold them at one edge"):
        joints.mortises(120.0, "centred", RATIOS, TIGHT, tenons=2)
    with pytest.raises(ValueError, match="for a single tenon only"):
        joints.fit(120.0, "one edge", RATIOS, TIGHT, tenons=2, mortise=60.0)
    assert joints.spans(120.0, 2, 20.0) == ((0.0, 50.0), (70.0, 120.0))
    assert joints.spans(TENON[0], 1) == ((0.0, TENON[0]),)
