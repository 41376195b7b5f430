"""Board runs: hand-worked joints, boards moved one by one in their opening, inverses, limits, wording."""

from functools import partial
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from movement.arrays import Floats
from movement.errors import RangeError
from movement.fits import boards, run
from movement.fits.boards import BOARD_HOLDS, BOARDS, FACE, OPENING, PROFILES, STOCK_WIDTH, TONGUE
from movement.fits.panel import Clearances
from movement.fits.run import BoardsFit, Run
from movement.lengths import INCH, show
from movement.parts import boards as part
from movement.season import Ratios

# Stock that moves by 0.25 % per 1 % MC at 10 % MC: from 10 % to 6 and 14 %, ratios 0.99 and 1.01 exactly.
STOCK = {"name": "Apple, from the garden", "coefficient_radial": 0.0015, "coefficient_tangential": 0.0025}
YEAR = {"moisture_now_pct": 10, "moisture_dry_pct": 6, "moisture_wet_pct": 14}
RATIOS = Ratios(0.99, 1.0, 1.01)
KEEP = Clearances(3.0, 0.5, 0.0)

holds = st.sampled_from(BOARD_HOLDS)
profiles = st.sampled_from(PROFILES)
swings = st.builds(
    lambda dry, wet: Ratios(1 - dry, 1 + (wet - dry) / 2, 1 + wet), st.floats(0, 0.08), st.floats(0, 0.08)
)
kept = st.builds(Clearances, st.floats(0, 6), st.floats(0, 3), st.floats(0, 1))
runs = st.builds(Run, st.floats(300, 1900), swings, kept, holds, profiles)
counts = st.integers(2, 20)


def request(**more: Any) -> part.BoardsRequest:
    return part.BoardsRequest(**{"species": STOCK, **YEAR, "opening_mm": 800, **more})


def size(**more: Any) -> part.BoardsResult:
    asked = request(**more)
    return part.result(asked, asked.bench())


# Eight boards in 800 mm, held at mid-width, least gap 0.5 and engagement 3 mm: pitch (800 − 0.5)/8 = 99.9375 mm, face
# (99.9375 − 0.5)/1.01 = 98.452970 mm, gap 1.484530 mm; wet 1.484530 − 0.984530 = 0.5 mm, dry 1.484530 + 0.984530 =
# 2.469059 mm; tongue 2.469059 + 3 = 5.469059 mm; end gap (1.484530 + 0.5)/2 = 0.992265 mm.
def test_eight_boards_worked_by_hand() -> None:
    found = size(boards=8)
    assert found.fits
    assert found.boards == 8
    assert found.board_face_mm == pytest.approx(98.452970, abs=1e-6)
    assert found.gap_now_mm == pytest.approx(1.484530, abs=1e-6)
    assert found.gap_wet_mm == pytest.approx(0.5, abs=1e-9)
    assert found.gap_dry_mm == pytest.approx(2.469059, abs=1e-6)
    assert found.tongue_mm == pytest.approx(found.tongue_needed_mm) == pytest.approx(5.469059, abs=1e-6)
    assert found.engagement_dry_mm == pytest.approx(3.0, abs=1e-9)
    assert found.board_width_mm == pytest.approx(98.452970 + 5.469059, abs=2e-6)
    assert found.end_gap_now_mm == pytest.approx(0.992265, abs=1e-6)
    assert 8 * found.board_face_mm + 7 * found.gap_now_mm + 2 * found.end_gap_now_mm == pytest.approx(800)
    assert found.growth_wet_mm == pytest.approx(8 * 0.984530, abs=1e-5)


# Held at one edge the first board is tight: pitch 800/8 = 100 mm, face (100 − 0.5)/1.01 = 98.514851 mm, gap
# 1.485149 mm.
def test_eight_boards_held_at_one_edge() -> None:
    found = size(boards=8, hold="one edge")
    assert found.board_face_mm == pytest.approx(98.514851, abs=1e-6)
    assert found.gap_now_mm == found.end_gap_now_mm == pytest.approx(1.485149, abs=1e-6)
    assert 8 * (found.board_face_mm + found.gap_now_mm) == pytest.approx(800)


# An 8 mm tongue, 0.02 of swing between dry and wet: (8 − 3 − 0.5)/0.02 = 225 mm of face.
def test_the_widest_board_of_a_tongue() -> None:
    assert size(boards=8, tongue_mm=8).widest_board_mm == pytest.approx(225)
    assert size(boards=8, tongue_mm=8, profile="shiplap").widest_board_mm == pytest.approx(225)
    assert size(boards=8, tongue_mm=16, profile="loose tongue").widest_board_mm == pytest.approx(225)
    # ± 0.25 mm of face takes half a millimetre of the tongue: (8 − 3 − 0.5 − 0.5)/0.02
    assert size(boards=8, tongue_mm=8, making_tolerance_mm=0.25).widest_board_mm == pytest.approx(200)


# 0.0025 per 1 % at 10 % MC, made at 6 % for a year up to 12 %: (1 + 0.0025·2)/(1 − 0.0025·4) = 1.005/0.99 = 1.0151515,
# so a face of 100 mm grows 1.515 mm and is to be gapped 2.015 mm; it never gets drier than today.
def test_dry_boards_are_gapped_wide_today() -> None:
    year = {"moisture_now_pct": 6, "moisture_dry_pct": 6, "moisture_wet_pct": 12}
    found = size(**year, opening_mm=8 * 102.015151515, boards=8, hold="one edge", tongue_mm=8)
    assert found.board_face_mm == pytest.approx(100)
    assert found.gap_now_mm == found.gap_dry_mm == pytest.approx(2.0151515)
    assert found.bias == "looser"
    assert found.bias_mm == pytest.approx(found.gap_now_mm - found.gap_mid_mm) == pytest.approx(0.7575758)


def test_damp_boards_are_laid_tight_today() -> None:
    year = {"moisture_now_pct": 13, "moisture_dry_pct": 6, "moisture_wet_pct": 12}
    found = size(**year, boards=8, tongue_mm=8)
    assert found.gap_now_mm == pytest.approx(0.5)
    assert found.bias == "tighter"


# What each hold means, moved board by board: places of all edges today and at a ratio, from each board's held point.


def edges(found: BoardsFit, ratio: float, faces: Floats) -> tuple[Floats, Floats]:
    """Left and right edges of the boards at a ratio [mm], their held points where they were set out."""
    pitch = found.face + found.gap
    first = found.end_gap_at(1.0) + found.face / 2 if found.run.hold == "centred" else 0.0
    points = first + pitch * np.arange(found.boards)
    left = 0.5 if found.run.hold == "centred" else 0.0
    return points - left * faces * ratio, points + (1 - left) * faces * ratio


@given(runs, counts)
def test_the_boards_fill_the_opening_today(wanted: Run, count: int) -> None:
    found = run.fit(wanted, boards=count)
    starts, ends = edges(found, 1.0, np.full(count, found.face))
    assert starts[1:] - ends[:-1] == pytest.approx(np.full(count - 1, found.gap), abs=1e-6)
    assert wanted.opening - ends[-1] == pytest.approx(found.end_gap_at(1.0), abs=1e-6)
    assert starts[0] == pytest.approx(found.end_gap_at(1.0) if wanted.hold == "centred" else 0.0, abs=1e-6)


@given(runs, counts)
def test_every_joint_sees_the_movement_of_one_whole_board(wanted: Run, count: int) -> None:
    found = run.fit(wanted, boards=count)
    for ratio in (wanted.ratios.dry, wanted.ratios.mid, wanted.ratios.wet):
        starts, ends = edges(found, ratio, np.full(count, found.face))
        assert starts[1:] - ends[:-1] == pytest.approx(np.full(count - 1, found.gap_at(ratio)), abs=1e-6)
        assert wanted.opening - ends[-1] == pytest.approx(found.end_gap_at(ratio), abs=1e-6)


@given(runs, counts, st.data())
def test_no_joint_closes_when_wet_or_opens_when_dry_within_the_tolerance(wanted: Run, count: int, data: Any) -> None:
    found = run.fit(wanted, boards=count)
    t, e, c = wanted.clearances.tolerance, wanted.clearances.engagement, wanted.clearances.gap
    faces = found.face + np.array(data.draw(st.lists(st.floats(-t, t), min_size=count, max_size=count)))
    starts, ends = edges(found, wanted.ratios.wet, faces)
    slack = 1e-6 + t * (wanted.ratios.wet - 1)  # an error in the face moves by its own hundredth
    assert min(starts[1:] - ends[:-1]) >= c - slack
    assert wanted.opening - ends[-1] >= c - slack
    starts, ends = edges(found, wanted.ratios.dry, faces)
    assert found.reach - max(starts[1:] - ends[:-1]) >= e - slack
    assert found.end_cover - (wanted.opening - ends[-1]) >= e - slack


@given(runs, counts, st.sampled_from([None, 0.1, 0.5, 25.4 / 32]))
def test_a_run_without_a_given_tongue_always_fits(wanted: Run, count: int, step: float | None) -> None:
    found = run.fit(wanted, boards=count, step=step)
    assert found.fits
    assert found.gap_at(wanted.ratios.wet) >= wanted.clearances.gap - 1e-9
    assert found.engagement_at(wanted.ratios.dry) >= wanted.clearances.engagement - 1e-9
    assert found.tongue >= found.tongue_needed - 1e-9


@given(runs, counts, st.floats(*TONGUE), st.sampled_from([None, 0.5]))
def test_with_a_tongue_it_fits_where_some_face_does(wanted: Run, count: int, tongue: float, step: float | None) -> None:
    found = run.fit(wanted, boards=count, tongue=tongue, step=step)
    assert found.fits == (found.narrowest <= found.widest + 1e-7) or abs(found.narrowest - found.widest) < 1e-6
    if found.fits:
        assert found.gap_at(wanted.ratios.wet) >= wanted.clearances.gap - 1e-8
        assert found.engagement_at(wanted.ratios.dry) >= wanted.clearances.engagement - 1e-8


@given(runs, st.floats(40, 280), st.none() | st.floats(*TONGUE))
def test_a_face_given_alone_is_kept_or_made_narrower_never_wider(
    wanted: Run, face: float, tongue: float | None
) -> None:
    found = run.fit(wanted, face=face, tongue=tongue)
    assert found.face <= face + 1e-6
    assert found.margin_wet >= -1e-6


@given(runs, st.lists(st.floats(80, 300), min_size=1, max_size=4), st.sampled_from([None, 0.5]))
def test_stock_is_never_asked_to_be_wider_than_it_is(wanted: Run, stock: list[float], step: float | None) -> None:
    found = run.fit(wanted, stock=stock, step=step)
    assert found.fits
    assert found.stock_width is not None
    assert found.board_width <= found.stock_width + 1e-6


# An 8 mm tongue leaves 82, 112 and 142 mm of face from stock of 90, 120 and 150 mm, and the least gap is 0.5 mm plus a
# hundredth of the face. 799.5/(82·1.01 + 0.5) = 9.6, 799.5/(112·1.01 + 0.5) = 7.04, 799.5/(142·1.01 + 0.5) = 5.6: ten
# of 90 mm, eight of 120 mm or six of 150 mm, which take 900, 960 and 900 mm; the fewer boards of the two.
def test_the_stock_width_that_takes_the_least_stock_is_chosen() -> None:
    found = size(stock_widths_mm=[90, 120, 150], tongue_mm=8)
    assert (found.boards, found.stock_width_mm) == (6, 150)
    assert size(stock_widths_mm=[90, 120], tongue_mm=8).boards == 10
    assert size(stock_widths_mm=[120], tongue_mm=8).boards == 8
    # a loose tongue is not cut from the board: 799.5/(90·1.01 + 0.5) = 8.7 and 799.5/(150·1.01 + 0.5) = 5.3
    assert size(stock_widths_mm=[90, 150], profile="loose tongue").boards == 9


# Four boards of 200 mm leave no gap in 800 mm; at a pitch of 799.5/4 = 199.875 mm they have (199.875 − 0.5)/1.01 =
# 197.400990 mm of face.
def test_a_face_that_does_not_fill_the_opening_is_ripped_to_equal_boards() -> None:
    found = size(board_face_mm=200, tongue_mm=9)
    assert found.boards == 4
    assert found.board_face_mm == pytest.approx(197.400990, abs=1e-6)
    assert found.fits
    assert "do not fill the opening evenly" in found.advice[0]


# Seven boards have a pitch of 799.5/7 = 114.214 mm. A face of 108 mm leaves 6.214 mm, and a tongue of 12 mm holds up to
# 12 − 3 − 1.08 = 7.92 mm; a face of 100 mm would leave 14.2 mm and is ripped for eight boards.
def test_a_face_that_fills_the_opening_is_kept() -> None:
    found = size(board_face_mm=108, tongue_mm=12)
    assert (found.boards, found.board_face_mm) == (7, 108)
    assert found.gap_now_mm == pytest.approx(799.5 / 7 - 108)
    assert found.fits
    assert size(board_face_mm=100, tongue_mm=12).board_face_mm < 100


# Checked: 8 boards of 99.5 mm leave 0.4375 mm each, and need 0.995 + 0.5 mm; 99.5 − 98.45297 = 1.047 mm too wide.
def test_boards_too_wide_are_told_to_be_ripped() -> None:
    found = size(boards=8, board_face_mm=99.5, tongue_mm=8)
    assert not found.fits
    assert found.margin_wet_mm == pytest.approx(0.4375 - 1.495)
    assert found.gap_wet_mm == pytest.approx(0.4375 - 0.995)
    assert "1.1 mm too little" in found.advice[0]
    assert "at least 1.1 mm off each" in found.advice[1]


def test_boards_too_narrow_are_told_that_the_joints_stand_too_wide() -> None:
    found = size(boards=8, board_face_mm=80, tongue_mm=8)
    assert not found.fits
    assert found.margin_dry_mm < 0 < found.margin_wet_mm
    assert "the joints stand too wide" in found.advice[-1]


@settings(suppress_health_check=[HealthCheck.filter_too_much])  # most runs fit, and need no advice
@given(runs, counts, st.floats(1, 12))
def test_what_the_advice_names_mends_the_fit(wanted: Run, count: int, tongue: float) -> None:
    found = run.fit(wanted, boards=count, tongue=tongue)
    assume(not found.fits and found.tongue_needed <= TONGUE[1])
    longer = run.fit(wanted, boards=count, tongue=found.tongue_needed)
    assert longer.margin_dry >= -1e-6
    widest = wanted.widest_face(tongue)
    if 2 * FACE[0] < widest and wanted.pitch(BOARDS[1]) < widest:
        assert run.fit(wanted, boards=wanted.fewest(widest), tongue=tongue).margin_dry >= -1e-6


def test_a_tongue_too_short_is_mended_in_four_ways() -> None:
    found = size(boards=4, tongue_mm=6, moisture_now_pct=16)
    assert not found.fits
    wanted = ["too short", "Make the tongue at least", "narrower boards", "quarter-sawn", "drier stock"]
    assert all(word in sentence for word, sentence in zip(wanted, found.advice, strict=True))


def test_a_tongue_that_serves_no_board_says_so() -> None:
    found = size(boards=8, tongue_mm=3)
    assert not found.fits
    assert found.widest_board_mm == 0
    assert any("No board works" in sentence for sentence in found.advice)


# A loose tongue of 12 mm, 6 mm in each board at most: as a tongue of 6 mm where it slides or is glued; centred it sits
# (12 − q)/2 deep in both, deeper than 6 − q.
def test_a_loose_tongue_counts_its_worse_side() -> None:
    found = size(boards=8, tongue_mm=12, profile="loose tongue")
    cut = size(boards=8, tongue_mm=6)
    assert found.engagement_dry_mm == pytest.approx(cut.engagement_dry_mm)
    assert found.board_face_mm == pytest.approx(cut.board_face_mm)
    assert found.engagement_each_side_dry_mm == pytest.approx((12 - found.gap_dry_mm) / 2)
    assert found.engagement_each_side_dry_mm > found.engagement_dry_mm
    assert cut.engagement_each_side_dry_mm is None
    assert found.board_width_mm == found.board_face_mm


# Inverses, monotony, arrays.


@given(st.floats(0.5, 60), swings, kept)
def test_the_widest_face_of_a_reach_needs_that_reach(length: float, ratios: Ratios, clearances: Clearances) -> None:
    widest = boards.widest_face(length, ratios.dry, ratios.wet, clearances)
    assume(0 < widest < 1e6)
    gap = boards.least_gap(widest, ratios.wet, clearances)
    assert boards.reach_needed(widest, gap, ratios.dry, clearances) == pytest.approx(length, rel=1e-9)


@given(st.floats(1, 60), profiles)
def test_tongue_and_reach_are_inverse(tongue: float, profile: boards.Profile) -> None:
    assert boards.tongue_for(boards.reach(tongue, profile), profile) == tongue


def test_boards_that_just_fill_an_opening_are_not_one_too_many() -> None:
    for hold in boards.BOARD_HOLDS:
        made = Run(800.0, Ratios(0.99, 1.0, 1.01), Clearances(3.0, 0.5, 0.2), hold)
        for count in range(2, 21):
            assert made.fewest(made.face_range(count, None)[1]) == count


@given(runs, st.floats(40, 300))
def test_fewest_boards_is_the_fewest(wanted: Run, face: float) -> None:
    count = wanted.fewest(face)
    assert wanted.face_range(count, None)[1] <= face + 1e-6
    assert count == 2 or wanted.face_range(count - 1, None)[1] > face - 1e-6


@given(runs, counts)
def test_more_boards_need_shorter_tongues(wanted: Run, count: int) -> None:
    few, many = run.fit(wanted, boards=count), run.fit(wanted, boards=count + 1)
    assert many.face < few.face
    assert many.tongue <= few.tongue + 1e-9


@given(st.floats(5, 40), swings, kept, st.floats(0, 0.02))
def test_more_movement_allows_narrower_boards(length: float, ratios: Ratios, keep: Clearances, more: float) -> None:
    calm = boards.widest_face(length, ratios.dry, ratios.wet, keep)
    assume(calm > 0)
    assert boards.widest_face(length, ratios.dry, ratios.wet + more, keep) <= calm


def test_wood_that_does_not_move_allows_any_board() -> None:
    assert boards.widest_face(8.0, 1.0, 1.0, KEEP) == np.inf
    assert boards.widest_face(3.5, 1.0, 1.0, KEEP) == np.inf
    assert boards.widest_face(3.4, 1.0, 1.0, KEEP) == -np.inf
    still = {"moisture_now_pct": 10, "moisture_dry_pct": 10, "moisture_wet_pct": 10}
    found = size(**still, boards=8, tongue_mm=8)
    assert found.widest_board_mm is None
    assert found.gap_now_mm == found.gap_dry_mm == found.gap_wet_mm == pytest.approx(0.5)
    assert size(**still, boards=8, tongue_mm=3.4).widest_board_mm == 0


def test_arrays_give_what_scalars_give() -> None:
    faces, wets = np.array([60.0, 100.0, 150.0]), np.array([1.0, 1.01, 1.02])
    gaps = np.asarray(boards.least_gap(faces, wets, KEEP))
    counted = np.asarray(boards.fewest_boards(800.0, faces, "centred", wets, KEEP))
    pitches = np.asarray(boards.pitch(800.0, counted, "centred", KEEP))
    widest = np.asarray(boards.widest_face(np.array([6.0, 8.0, 2.0]), 0.99, 1.01, KEEP))
    least, most = boards.face_range(pitches, 8.0, 0.99, wets, KEEP)
    for k in range(3):
        assert gaps[k] == boards.least_gap(faces[k], wets[k], KEEP)
        assert counted[k] == boards.fewest_boards(800.0, faces[k], "centred", wets[k], KEEP)
        assert pitches[k] == boards.pitch(800.0, counted[k], "centred", KEEP)
        assert widest[k] == boards.widest_face([6.0, 8.0, 2.0][k], 0.99, 1.01, KEEP)
        assert (np.asarray(least)[k], np.asarray(most)[k]) == boards.face_range(pitches[k], 8.0, 0.99, wets[k], KEEP)
    assert all(np.diff(counted) < 0)


# Limits and refusals.


@pytest.mark.parametrize(
    ("change", "name"),
    [
        ({"opening": OPENING[0] - 1}, "opening"),
        ({"opening": OPENING[1] + 1}, "opening"),
        ({"boards": BOARDS[0] - 1}, "number of boards"),
        ({"boards": BOARDS[1] + 1}, "number of boards"),
        ({"boards": 200}, "board face"),
        ({"tongue": TONGUE[0] / 2}, "tongue"),
        ({"tongue": TONGUE[1] + 1}, "tongue"),
        ({"boards": None, "face": FACE[0] / 2}, "board face"),
        ({"boards": None, "face": FACE[1] + 1}, "board face"),
        ({"boards": None, "face": float("nan")}, "board face"),
        ({"boards": None, "face": 5.0, "opening": 4000.0}, "number of boards"),
        ({"boards": None, "stock": [STOCK_WIDTH[0] - 1]}, "width of the stock"),
        ({"boards": None, "stock": [12.0], "tongue": 8.0}, "width of the stock"),
    ],
)
def test_what_is_out_of_range_is_refused_by_name(change: dict[str, Any], name: str) -> None:
    options: dict[str, Any] = {"boards": 8, "opening": 800.0} | change
    with pytest.raises(RangeError) as refused:
        run.fit(Run(options.pop("opening"), RATIOS, KEEP), **options)
    assert refused.value.name == name


@pytest.mark.parametrize("length", OPENING)
def test_the_limits_themselves_are_allowed(length: float) -> None:
    assert run.fit(Run(length, RATIOS, Clearances(0.0, 0.0, 0.0)), boards=2 if length < 100 else 30).fits


def test_unknown_words_and_an_undivided_opening_are_refused() -> None:
    with pytest.raises(ValueError, match="hold is 'loose'; known for boards are centred, one edge"):
        boards.pitch(800.0, 8, "loose", KEEP)  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="known are tongue and groove, shiplap, loose tongue"):
        boards.reach(8.0, "butt")  # type: ignore[arg-type]
    with pytest.raises(ValueError, match="Give a board face, a number of boards, or the widths of the stock"):
        run.fit(Run(800.0, RATIOS, KEEP))
    with pytest.raises(ValidationError, match="Give a board face, a number of boards, or the widths of the stock"):
        request()
    with pytest.raises(ValidationError, match="least_gap_mm"):
        request(boards=8, least_gap_mm=-1)
    with pytest.raises(ValidationError, match="beads"):
        request(boards=8, beads=2)
    with pytest.raises(RangeError):
        boards.widest_face(8.0, 1.01, 0.99, KEEP)


def test_rounding_never_goes_to_the_unsafe_side() -> None:
    exact, rounded = size(boards=8), size(boards=8, size_step_mm=0.5)
    assert rounded.board_face_mm == 98.0 < exact.board_face_mm
    assert rounded.tongue_mm == 6.0 >= rounded.tongue_needed_mm
    assert rounded.gap_wet_mm >= 0.5
    assert rounded.engagement_dry_mm >= 3.0
    assert 8 * rounded.board_face_mm + 7 * rounded.gap_now_mm + 2 * rounded.end_gap_now_mm == pytest.approx(800)
    # 5.5 mm of tongue leave a face of 98.42 to 98.45 mm, too little for a step of 0.5 mm: the face stays as computed
    narrow = size(boards=8, tongue_mm=5.5, size_step_mm=0.5)
    assert narrow.fits
    assert narrow.board_face_mm == pytest.approx(exact.board_face_mm)


def test_the_result_carries_its_sources_and_its_moistures() -> None:
    found = size(boards=8)
    assert any("common practice, no source" in source for source in found.sources)
    assert any("Wood Handbook" in source for source in found.sources)
    assert (found.moisture_dry_pct, found.moisture_now_pct, found.moisture_wet_pct) == (6, 10, 14)
    assert all(before != after for before, after in pairwise(found.sources))


def test_a_run_of_the_maker_is_written_in_inches_where_the_bench_says_so() -> None:
    asked = request(boards=4, tongue_mm=6)
    bench = asked.bench(say=partial(show, unit="in", step=INCH / 32))
    said = " ".join(part.result(asked, bench).advice)
    assert '"' in said
    assert " mm" not in said
