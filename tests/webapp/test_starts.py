"""A default that no publication gives says so at its field; a rule's limit stays as it was typed."""

import json
from typing import Any

import pytest

from movement import piece as pieces
from movement.lengths import Unit
from movement.piece import Piece
from tests.webapp.reading import Sent, plain
from webapp import board_fields, panel_fields, rows
from webapp.checks import measured
from webapp.kinds.catalogue import KINDS

RULES = ("least_gap", "making_tolerance", "tongue_thickness", "end_play", "cutter_step", "width_step")
REVEALS = ("least_reveal", "fixed_reveal", "top_reveal", "bottom_reveal")


@pytest.mark.parametrize("name", RULES)
def test_a_panel_s_clearances_are_marked_as_ours(name: str) -> None:
    for specs in (panel_fields.specs("mm"), panel_fields.specs("in"), rows.setup_specs("mm")):
        assert panel_fields.OURS in next(one.hint for one in specs if one.name == name)


def test_the_least_engagement_is_held_against_common_practice() -> None:
    for specs in (panel_fields.specs("mm"), rows.setup_specs("in")):
        hint = next(one.hint for one in specs if one.name == "least_engagement")
        assert "About 3 mm (1/8 in) is common practice, no source" in hint


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.key)
def test_every_reveal_and_gap_of_a_part_tells_where_it_comes_from(kind: Any) -> None:
    for one in kind.specs:
        if one.name in (*REVEALS, "screw", "least_gap", "least_engagement") and one.default not in ("", "0"):
            assert "no source" in one.hint, one.name


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_what_a_board_and_a_check_start_from_is_marked_as_ours(unit: Unit) -> None:
    marked = {one.name for one in board_fields.specs(unit) if panel_fields.OURS in one.hint}
    assert {"board_width", "board_thickness", "ring_left", "ring_right", "ring_angle", "boards"} <= marked
    assert {"heart_depth", "ring_chord", "ring_rise"} <= marked
    tolerance = next(one for one in measured.specs(unit) if one.name == "making_tolerance")
    assert panel_fields.OURS in tolerance.hint


def test_when_boards_count_as_settled_is_marked_as_ours(still: Any) -> None:
    assert f"Of the moisture it is heading for. {panel_fields.OURS}" in plain(still.get("/stock").text)


def test_rounding_tells_what_it_is_for(still: Any) -> None:
    assert "Rounded so that it does not bind." in plain(still.get("/parts/front").text)


def test_the_dust_of_old_boards_is_minded_on_the_first_page(still: Any) -> None:
    told = plain(still.get("/").text)
    assert "Dust and cutters." in told
    assert "salvaged boards" in told


def test_the_frame_is_asked_for_first_and_the_hold_before_the_groove(still: Any) -> None:
    fields = list(Sent(still.get("/").text).fields)
    order = [fields.index(name) for name in ("sight_width", "species", "moisture_now", "hold", "groove_depth")]
    assert order == sorted(order)


def test_a_panel_that_does_not_fit_tells_why_before_any_size(still: Any) -> None:
    text = still.get("/", params={"groove_depth": "3"}).text
    answer = text.partition('aria-labelledby="answer-title"')[2].partition("</section>")[0]
    assert "It does not fit" in answer
    assert 0 < answer.index('class="sentence"') < answer.index('class="figures moot"')
    assert "figure main" not in answer
    fits = still.get("/").text
    assert "figure main" in fits
    assert "moot" not in fits


def test_a_bias_below_the_step_is_not_told_as_nothing(still: Any) -> None:
    query = {"unit": "in", "moisture_now": "8.3", "moisture_dry": "6", "moisture_wet": "11", "sight_width": "8"}
    text = plain(still.get("/", params=query).text)
    assert 'Leave it < 1/64" looser' in text


def test_an_empty_gap_table_says_what_to_add(client: Any, app: Any) -> None:
    store = app.state.store
    bare = pieces.load(store.piece(store.pieces()[0].id).document)
    empty = Piece.model_validate(bare.model_dump() | {"frames": [], "parts": []})
    id = store.add_piece("Empty", pieces.dump(empty)).id
    assert "Add a frame and its first panel." in plain(client.get(f"/pieces/{id}").text)
    full = store.add_piece("Full", pieces.dump(bare)).id
    assert "Add a frame and its first panel." not in plain(client.get(f"/pieces/{full}").text)


class TestALimit:
    """A rule's 60 mm must not become 2 23/64 inches on a page in inches."""

    def test_it_stays_as_typed_on_the_page(self, still: Any) -> None:
        typed = {"unit": "in", "limit": "60 mm", "slat_width": '2 1/2"', "space_now": "1 1/2"}
        page = still.get("/parts/slats", params=typed)
        assert Sent(page.text).fields["limit"] == "60 mm"
        assert "your limit of at most 60 mm" in plain(page.text)

    def test_it_stays_as_typed_beside_a_refusal(self, still: Any) -> None:
        page = still.get("/parts/slats", params={"unit": "in", "limit": "60 mm", "slat_width": "wide"})
        assert page.status_code == 422
        assert Sent(page.text).fields["limit"] == "60 mm"

    def test_it_is_kept_and_shown_as_typed_with_a_piece(self, client: Any, app: Any) -> None:
        store = app.state.store
        id = store.pieces()[0].id
        client.post(f"/pieces/{id}/unit?unit=in")
        new = {"kind": "slats", "unit": "in", "limit": "60 mm", "slat_width": "2 1/2", "space_now": "1 1/2"}
        assert client.post(f"/pieces/{id}/parts", data=new).status_code == 303
        added = json.loads(store.piece(id).document)["parts"][-1]
        assert added["limit_mm"] == 60.0
        page = client.get(f"/pieces/{id}?more={added['id']}").text
        assert 'name="limit" value="60 mm"' in page
