"""The parts of a piece as paper shows them: numbers that run on, and sizes that never err to the unsafe side."""

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import lengths
from movement.lengths import INCH, Unit
from movement.piece import Frame, Piece
from webapp import lines, worked
from webapp.lines import Line
from webapp.worked import Worked

from . import paper_cases


def read(text: str, unit: Unit) -> float:
    return lengths.read(text.replace("\u00a0", " ").replace(lengths.MINUS, "-"), unit)


def only(piece: Piece, id: str) -> Line:
    return next(line for drawn in lines.frames(piece) for line in drawn.lines if line.id == id)


def test_numbers_run_on_through_the_frames() -> None:
    found = [line.title for drawn in lines.frames(paper_cases.piece()) for line in drawn.lines]
    assert found[0] == "1. Side, upper"
    assert found[-1] == "6. Too wide"


def test_a_part_without_a_name_has_its_number() -> None:
    nameless = paper_cases.piece(frames=[Frame(id="f", panels=[paper_cases.panel("p", "", 300.0)])])
    [drawn] = lines.frames(nameless)
    assert (drawn.name, drawn.lines[0].name) == ("Frame", "Panel 1")


@given(
    width=st.floats(50.0, 900.0),
    height=st.floats(50.0, 2000.0),
    now=st.floats(5.0, 14.0),
    hold=st.sampled_from(["centred", "loose", "one edge"]),
    unit=st.sampled_from(["mm", "in"]),
)
def test_what_is_written_keeps_the_rules(width: float, height: float, now: float, hold: Any, unit: Any) -> None:
    part = paper_cases.panel("p", "Panel", width, height, hold=hold, moisture_now_pct=now)
    piece = paper_cases.piece(unit, frames=[Frame(id="f", panels=[part])])
    line = only(piece, "p")
    assert line.row is not None
    made = line.row.result
    cut = read(line.cells["cut_width"], unit)
    if made.fits and made.panel_width_max_mm - made.panel_width_min_mm > 0.03:
        assert made.panel_width_min_mm - 1e-6 <= cut <= made.panel_width_max_mm + 1e-6
    assert made.panel_length_mm is not None
    assert read(line.cells["cut_length"], unit) <= made.panel_length_mm + 1e-6
    assert read(line.cells["engagement_dry"], unit) <= made.engagement_dry_mm + 1e-6
    if abs(made.gap_wet_mm - made.gap_now_mm) < 1e-9:  # of one state there is one gap: the one that is left
        assert line.cells["gap_wet"] == line.cells["gap_now"]
    else:
        assert read(line.cells["gap_wet"], unit) <= made.gap_wet_mm + 1e-6
    step = 0.1 if unit == "mm" else INCH / 64
    assert abs(read(line.cells["gap_now"], unit) - made.gap_now_mm) <= step + 1e-6


def test_the_width_is_written_as_the_page_writes_it() -> None:
    line = only(paper_cases.piece(), "s1")
    assert line.row is not None
    assert line.cells["cut_width"] == lengths.show(line.row.result.panel_width_mm, "mm", 0.1, with_unit=False)


def test_a_range_that_no_step_lies_in_is_written_finer() -> None:
    part = paper_cases.panel("p", "Panel", 307.0, 300.0, hold="loose", species="Yellow-poplar", moisture_now_pct=11.0)
    line = only(paper_cases.piece("in", frames=[Frame(id="f", panels=[part])]), "p")
    assert line.row is not None
    made = line.row.result
    assert float(lengths.round_to(made.panel_width_min_mm, INCH / 64, "up")) > made.panel_width_max_mm
    assert re.fullmatch(r'\d+\.\d{3}"', line.cells["cut_width"])


@pytest.mark.parametrize(("depth", "words"), [(8.0, "8.0 mm"), (9.525, "9.53 mm"), (12.7, "12.7 mm")])
def test_a_groove_that_no_step_meets_is_written_finer(depth: float, words: str) -> None:
    frame = Frame(id="f", groove_depth_mm=depth, panels=[paper_cases.panel("p", "Panel", 200.0)])
    [drawn] = lines.frames(paper_cases.piece(frames=[frame]))
    assert drawn.depth == words


def test_the_groove_is_as_wide_as_the_edge_grows() -> None:
    [drawn] = lines.frames(paper_cases.piece(frames=[Frame(id="f", panels=[paper_cases.panel("p", "P", 300.0)])]))
    row = drawn.lines[0].row
    assert row is not None
    assert row.result.thickness_play_mm is not None
    least = re.search(r"at least (\S+) mm wide for an edge 6\.0 mm thick", drawn.setting)
    assert least is not None
    assert 6.0 + row.result.thickness_play_mm <= float(least[1]) < 6.1 + row.result.thickness_play_mm


@pytest.mark.parametrize(
    ("id", "short", "sentence"),
    [
        ("s1", "gap at each edge, centred", "Pin it at mid-width, or set it on spacers."),
        ("b1", "gap at each edge, free to slide", "Nothing holds it: it may slide later."),
        (
            "b2",
            "fixed edge 4.0 mm deep, other edge",
            "Set the fixed edge 4.0 mm deep in its groove and fasten it there.",
        ),
    ],
)
def test_every_hold_says_what_to_leave_at_which_edge(id: str, short: str, sentence: str) -> None:
    line = only(paper_cases.piece(), id)
    assert short in line.short
    assert sentence in line.today


@pytest.mark.parametrize(
    ("now", "word", "why"),
    [(6.0, "looser", "drier"), (9.0, "neutral", "near the middle"), (12.0, "tighter", "wetter")],
)
def test_the_bias_is_told_in_words_with_its_reason(now: float, word: str, why: str) -> None:
    part = paper_cases.panel("p", "Panel", 300.0, moisture_now_pct=now)
    line = only(paper_cases.piece(frames=[Frame(id="f", panels=[part])]), "p")
    assert word in line.bias
    assert word in line.cells["bias"]
    assert word in line.lean
    assert why in line.lean


def test_a_bias_too_small_to_write_is_less_than_a_step() -> None:
    part = paper_cases.panel("p", "Panel", 300.0, moisture_now_pct=8.8)
    line = only(paper_cases.piece("in", frames=[Frame(id="f", panels=[part])]), "p")
    assert line.row is not None
    assert line.row.result.bias == "looser"
    assert (line.bias, line.cells["bias"]) == ('< 1/64" looser than neutral', 'looser < 1/64"')
    assert 'That is < 1/64" looser' in line.lean


def test_a_part_that_the_core_refuses_has_its_reason_and_no_size(monkeypatch: pytest.MonkeyPatch) -> None:
    piece = paper_cases.piece(frames=[Frame(id="f", panels=[paper_cases.panel("p", "Panel", 300.0)])])
    refused = Worked(8.0, problems={"p": "Sight width is 9 mm."})
    monkeypatch.setattr(worked, "frames", lambda piece: [(piece.frames[0], refused)])
    line = only(piece, "p")
    assert (line.problem, line.sizes, line.fits) == ("Sight width is 9 mm.", (), False)
    assert line.stock == "Oak, red: northern red, ring angle 0°"
