"""Changes to a piece: each gives another piece that is a piece still, and takes nothing else along."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from movement import piece as pieces
from movement.piece import Frame, Piece
from movement.tables import DATA
from webapp import edits
from webapp.documents import MissingError

DEMO = pieces.load((DATA / "demo_piece.json").read_bytes())
PANELS = [part.id for _, part in DEMO.panels()]
FRAMES = [frame.id for frame in DEMO.frames]


def flat(piece: Piece) -> list[str]:
    return [part.id for _, part in piece.panels()]


@pytest.mark.parametrize("id", PANELS)
def test_a_panel_taken_out_and_put_back_leaves_the_piece_as_it_was(id: str) -> None:
    left, taken = edits.take_panel(DEMO, id)
    assert id not in flat(left)
    again = edits.Taken.model_validate_json(taken.model_dump_json())
    assert edits.put_back(left, again) == DEMO
    assert edits.put_back(DEMO, again) is DEMO


@pytest.mark.parametrize("id", FRAMES)
def test_a_frame_taken_out_and_put_back_leaves_the_piece_as_it_was(id: str) -> None:
    left, taken = edits.take_frame(DEMO, id)
    assert edits.put_back(left, taken) == DEMO


def test_a_panel_whose_frame_is_gone_cannot_be_put_back() -> None:
    left, taken = edits.take_panel(DEMO, PANELS[0])
    with pytest.raises(MissingError):
        edits.put_back(edits.take_frame(left, FRAMES[0])[0], taken)


def test_what_was_taken_is_either_a_panel_of_a_frame_or_a_frame() -> None:
    part = DEMO.frames[0].panels[0]
    for wrong in (
        {},
        {"panel": part},
        {"whole": DEMO.frames[0], "frame": "f1"},
        {"panel": part, "whole": Frame(id="x")},
    ):
        with pytest.raises(ValueError, match="Either a panel"):
            edits.Taken(index=0, **wrong)


@given(st.lists(st.tuples(st.sampled_from(PANELS), st.sampled_from((-1, 1))), max_size=12))
def test_moving_loses_no_panel_and_keeps_every_frame(moves: list[tuple[str, int]]) -> None:
    piece = DEMO
    for id, step in moves:
        piece = edits.move_panel(piece, id, step)  # type: ignore[arg-type]
    assert sorted(flat(piece)) == sorted(PANELS)
    assert [frame.id for frame in piece.frames] == FRAMES


@pytest.mark.parametrize("id", PANELS)
def test_a_move_down_and_up_comes_back(id: str) -> None:
    down = edits.move_panel(DEMO, id, 1)
    assert down is DEMO or edits.move_panel(down, id, -1) == DEMO


def test_copies_have_handles_of_their_own() -> None:
    piece = DEMO
    for id in PANELS:
        piece, _ = edits.copy_panel(piece, id)
    for id in FRAMES:
        piece, _ = edits.copy_frame(piece, id)
    assert edits.written(piece)[0] == piece
    assert len(list(piece.panels())) == 4 * len(PANELS)


def test_names_keep_within_the_limit() -> None:
    assert len(edits.next_name("x" * 80, set())) <= edits.MOST_NAME
    assert len(edits.other_side("left " * 16)) <= edits.MOST_NAME


def test_a_panel_added_since_does_not_keep_another_from_coming_back() -> None:
    left, taken = edits.take_panel(DEMO, PANELS[-1])
    added, twin = edits.copy_panel(left, PANELS[0])
    assert {taken.panel, twin} <= {part for _, part in edits.put_back(added, taken).panels()}


def test_a_missing_panel_or_frame_is_told() -> None:
    with pytest.raises(MissingError):
        edits.panel_of(DEMO, "p99")
    with pytest.raises(MissingError):
        edits.frame_of(DEMO, "f99")
