"""The frames of a piece's doors: made from a door, told where they are not as it is, changed along with it."""

import re

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.parts.any import DoorPart
from movement.piece import Frame, Piece
from webapp import edits, leaves, otherparts
from webapp.leaves import Leaf
from webapp.store import Store

from . import paper_cases
from .conftest import FRAGMENT, Client
from .test_members import frame
from .test_piece_parts import fields, form

DOOR = next(part for part in paper_cases.PARTS if isinstance(part, DoorPart))


def pair(width: float) -> Piece:
    return paper_cases.piece(parts=[DOOR], frames=[frame((width, 400.0))])


def tied(*frames: Frame) -> Piece:
    """The pair with frames that are told to be its own."""
    return paper_cases.piece(parts=[DOOR], frames=[one.model_copy(update={"door": DOOR.id}) for one in frames])


def advice(piece: Piece) -> str:
    """What is told of the door's frames."""
    [line] = otherparts.others(piece)
    told = " ".join(text for text in line.advice if "frame" in text.lower())
    return told.replace("\xa0", " ")


def changed(piece: Piece, **more: object) -> Piece:
    """The piece with something else of its door."""
    door = DoorPart.model_validate(dict(DOOR) | more)
    return leaves.follow(piece, piece.model_copy(update={"parts": [door]}))


def sights(piece: Piece) -> list[tuple[float, float | None]]:
    return [(panel.sight_width_mm, panel.sight_height_mm) for panel in piece.frames[0].panels]


@pytest.fixture
def leaf() -> Leaf:
    found = leaves.of(pair(300.0), DOOR.id)
    assert found is not None
    return found


@pytest.fixture
def rail(leaf: Leaf) -> float:
    return leaf.rail


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


def kept(store: Store, piece: Piece) -> str:
    return store.add_piece(piece.name, pieces.dump(piece)).id


def read(store: Store, id: str) -> Piece:
    return pieces.load(store.piece(id).document)


class TestALeaf:
    def test_its_rail_is_its_width_less_its_stiles(self, leaf: Leaf) -> None:
        """By hand: of 782 the hinges take 1 each, and 1 is kept between the leaves at the wettest of two 60 stiles."""
        bench = pair(300.0).bench(DOOR)
        ratio = bench.ratios(bench.season, bench.wood).wet
        widest = (782 - 2 - 1 - bench.clearances.tolerance * 2) / 2 - 120 * ratio
        assert widest - 0.5 < leaf.rail <= widest
        assert leaf.height == 1223.0

    def test_a_slab_has_none(self) -> None:
        slab = DoorPart.model_validate(dict(DOOR) | {"construction": "slab", "stile_width_mm": None})
        assert leaves.of(pair(300.0).model_copy(update={"parts": [slab]}), DOOR.id) is None

    def test_nor_has_one_that_does_not_fit_or_is_not_there(self) -> None:
        wide = DoorPart.model_validate(dict(DOOR) | {"made_width_mm": 500.0})
        assert leaves.of(pair(300.0).model_copy(update={"parts": [wide]}), DOOR.id) is None
        assert leaves.of(pair(300.0), "another") is None
        assert leaves.of(pair(300.0), None) is None


class TestMaking:
    def test_one_panel_fills_it_as_often_as_there_are_leaves(self, leaf: Leaf) -> None:
        piece, made = leaves.with_frame(pair(300.0), DOOR.id)
        assert made is not None
        assert made.name == "Pair of doors, frames"
        assert (made.door, made.member_width_mm) == (DOOR.id, 60.0)
        [panel] = made.panels
        assert (panel.sight_width_mm, panel.sight_height_mm, panel.count) == (leaf.rail, 1223.0 - 120.0, 2)
        assert leaves.frames(piece, DOOR.id) == [made]
        assert advice(piece) == ""

    def test_a_height_that_is_not_told_is_not_made_up(self) -> None:
        low = DoorPart.model_validate(dict(DOOR) | {"opening_height_mm": None, "count": 3, "leaves": 1})
        _, made = leaves.with_frame(pair(300.0).model_copy(update={"parts": [low]}), DOOR.id)
        assert made is not None
        assert made.panels[0].sight_height_mm is None
        assert made.panels[0].count == 3

    def test_a_door_so_low_that_no_sight_is_left_gets_no_height(self) -> None:
        low = DoorPart.model_validate(dict(DOOR) | {"opening_height_mm": 125.0})
        _, made = leaves.with_frame(pair(300.0).model_copy(update={"parts": [low]}), DOOR.id)
        assert made is not None
        assert made.panels[0].sight_height_mm is None

    def test_the_longest_name_leads_to_one_that_can_be_kept(self) -> None:
        long = DoorPart.model_validate(dict(DOOR) | {"name": "d" * 80})
        piece, _ = leaves.with_frame(pair(300.0).model_copy(update={"parts": [long]}), DOOR.id)
        assert pieces.load(pieces.dump(piece)) == piece

    def test_a_slab_gets_none(self) -> None:
        slab = DoorPart.model_validate(dict(DOOR) | {"construction": "slab", "stile_width_mm": None})
        piece = pair(300.0).model_copy(update={"parts": [slab]})
        assert leaves.with_frame(piece, DOOR.id) == (piece, None)

    def test_in_the_page(self, client: Client, store: Store, leaf: Leaf) -> None:
        id = kept(store, pair(300.0))
        page = client.get(f"/pieces/{id}").text
        assert 'aria-label="Make the frame of Pair of doors"' in page
        assert "No frame here is that wide" in page
        sent = client.post(f"/pieces/{id}/parts/{DOOR.id}/frame", data={"revision": "1"}, headers=FRAGMENT).text
        assert "Make the frame of" not in sent
        assert "No frame here is that wide" not in sent
        made = read(store, id).frames[-1]
        assert f'id="frame-{made.id}"' in sent
        assert made.panels[0].sight_width_mm == leaf.rail

    def test_without_script(self, client: Client, store: Store) -> None:
        id = kept(store, pair(300.0))
        answer = client.post(f"/pieces/{id}/parts/{DOOR.id}/frame")
        assert answer.status_code == 303
        assert answer.headers["location"].endswith(f"#frame-{read(store, id).frames[-1].id}")

    def test_of_what_is_no_door_nothing_is_made(self, client: Client, store: Store) -> None:
        id = kept(store, paper_cases.piece(parts=paper_cases.PARTS))
        before = read(store, id)
        assert client.post(f"/pieces/{id}/parts/q9/frame").status_code == 303
        assert client.post(f"/pieces/{id}/parts/nothing/frame").status_code == 409
        assert read(store, id) == before


class TestTelling:
    @pytest.mark.parametrize(("off", "told"), [(0.0, False), (0.4, False), (-0.4, False), (0.6, True), (-20.0, True)])
    def test_a_frame_of_another_width_is_told(self, rail: float, off: float, told: bool) -> None:
        assert ("No frame here is that wide" in advice(pair(rail + off))) is told
        assert ("the door’s rails are" in advice(tied(frame((rail + off, 1123.0))))) is told

    @pytest.mark.parametrize(("off", "told"), [(0.0, False), (0.4, False), (-0.6, True), (30.0, True)])
    def test_a_frame_of_another_height_is_told_of_the_door_s_own(self, rail: float, off: float, told: bool) -> None:
        """By hand: the door is 1223 high, two members of 50 leave 1123 between the rails."""
        said = advice(tied(frame((rail, 1123.0 + off))))
        assert ("high, but the door is 1223.0 mm" in said) is told

    def test_only_the_door_s_own_frame_counts_where_it_has_one(self, rail: float) -> None:
        piece = tied(frame((rail - 20.0, 1123.0)))
        other = frame((rail, 1123.0)).model_copy(update={"id": "other"})
        piece = piece.model_copy(update={"frames": [*piece.frames, other]})
        assert "the frame of this door, is" in advice(piece)

    def test_a_row_is_as_wide_as_its_panels_and_muntins(self, rail: float) -> None:
        half = (rail - 50.0) / 2
        piece = pair(300.0).model_copy(update={"frames": [frame((half, 400.0), (half, 400.0), layout="row")]})
        assert advice(piece) == ""

    def test_nothing_is_told_where_no_frame_s_width_is_known(self) -> None:
        unknown = frame((100.0, 400.0), (120.0, 400.0), layout="row", member=None)
        assert advice(pair(300.0).model_copy(update={"frames": []})) == ""
        assert advice(pair(300.0).model_copy(update={"frames": [unknown]})) == ""
        assert advice(tied(unknown)) == ""

    @pytest.mark.parametrize("address", ["", "/sheet", "/parts/q7"])
    def test_the_pages_tell_it(self, client: Client, store: Store, address: str) -> None:
        assert "No frame here is that wide" in client.get(f"/pieces/{kept(store, pair(300.0))}{address}").text
        assert (
            "the frame of this door, is" in client.get(f"/pieces/{kept(store, tied(frame((300, 400))))}{address}").text
        )

    def test_a_frame_that_is_widened_takes_it_back_in_the_page(self, client: Client, store: Store, rail: float) -> None:
        id = kept(store, pair(300.0))
        page = client.get(f"/pieces/{id}").text
        assert "No frame here is that wide" in page
        data = fields(page, f"/pieces/{id}/panels/p0") | {"sight_width": f"{rail}"}
        sent = client.post(f"/pieces/{id}/panels/p0", data=data, headers=FRAGMENT).text
        assert "gap-parts" in sent
        assert "No frame here is that wide" not in sent


class TestFollowing:
    def test_what_agreed_goes_along(self, rail: float) -> None:
        wider = changed(tied(frame((rail, 1123.0))), opening_mm=802.0, opening_height_mm=1200.0)
        now = leaves.of(wider, DOOR.id)
        assert now is not None
        assert now.rail == pytest.approx(rail + 10.0, abs=0.51)
        assert sights(wider) == [(pytest.approx(now.rail), pytest.approx(1100.0))]
        assert advice(wider) == ""

    def test_a_column_shares_the_height_and_a_row_the_width(self, rail: float) -> None:
        column = changed(tied(frame((rail, 500.0), (rail, 573.0))), opening_mm=802.0, opening_height_mm=1243.0)
        now = leaves.of(column, DOOR.id)
        assert now is not None
        assert sights(column) == [(pytest.approx(now.rail), 510.0), (pytest.approx(now.rail), 583.0)]
        half = (rail - 50.0) / 2
        row = changed(tied(frame((half, 1123.0), (half, 1123.0), layout="row")), opening_mm=802.0)
        grown = half + (now.rail - rail) / 2
        assert sights(row) == [(pytest.approx(grown), 1123.0), (pytest.approx(grown), 1123.0)]

    @pytest.mark.parametrize(("width", "height"), [(-2.0, 0.0), (0.0, 9.0)])
    def test_what_did_not_agree_stays_and_the_other_size_goes_along(
        self, rail: float, width: float, height: float
    ) -> None:
        before = tied(frame((rail + width, 1123.0 + height)))
        after = changed(before, opening_mm=802.0, opening_height_mm=1243.0)
        [(wide, high)] = sights(after)
        assert (wide == rail + width) is bool(width)
        assert (high == 1123.0 + height) is bool(height)
        assert "the frame of this door, is" in advice(after)

    def test_a_frame_of_no_door_or_of_another_stays(self, rail: float) -> None:
        assert sights(changed(pair(rail), opening_mm=802.0)) == [(rail, 400.0)]
        other = pair(rail).model_copy(update={"frames": [frame((rail, 1123.0)).model_copy(update={"door": "gone"})]})
        assert sights(changed(other, opening_mm=802.0)) == [(rail, 1123.0)]

    def test_a_sight_that_would_leave_its_range_stays(self, rail: float) -> None:
        before = tied(frame((rail, 1123.0)))
        after = changed(before, opening_mm=270.0)
        now = leaves.of(after, DOOR.id)
        assert now is not None
        assert 0 < now.rail < 20
        smaller = changed(after, opening_mm=257.0)
        assert sights(smaller) == sights(after)

    def test_a_change_of_the_climate_goes_along_too(self, client: Client, store: Store, rail: float) -> None:
        id = kept(store, tied(frame((rail, 1123.0))))
        setup = fields(client.get(f"/pieces/{id}").text, f"/pieces/{id}/setup")
        client.post(f"/pieces/{id}/setup", data=setup | {"moisture_now": "6"})
        piece = read(store, id)
        now = leaves.of(piece, DOOR.id)
        assert now is not None
        assert now.rail < rail
        assert sights(piece)[0][0] == now.rail

    def test_the_page_shows_it(self, client: Client, store: Store, rail: float) -> None:
        id = kept(store, tied(frame((rail, 1123.0))))
        data = form(client, id, DOOR.id) | {"opening": "802"}
        sent = client.post(f"/pieces/{id}/parts/{DOOR.id}", data=data, headers=FRAGMENT).text
        [(wide, _)] = sights(read(store, id))
        assert wide != rail
        assert f'name="sight_width" value="{wide:g}"' in sent
        assert f'id="part-{DOOR.id}"' in sent


class TestChoosing:
    def choose(self, client: Client, id: str, door: str) -> str:
        data = fields(client.get(f"/pieces/{id}").text, f"/pieces/{id}/frames/f") | {"door": door}
        return client.post(f"/pieces/{id}/frames/f", data=data, headers=FRAGMENT).text

    def test_a_frame_is_told_to_be_of_a_door_and_of_none_again(self, client: Client, store: Store) -> None:
        id = kept(store, pair(300.0))
        sent = self.choose(client, id, DOOR.id)
        assert read(store, id).frames[0].door == DOOR.id
        assert "Make the frame of" not in sent
        assert "the frame of this door, is" in sent
        assert "Make the frame of" in self.choose(client, id, "")
        assert read(store, id).frames[0].door is None

    def test_a_door_that_is_not_there_is_refused(self, client: Client, store: Store) -> None:
        id = kept(store, pair(300.0))
        assert "aria-invalid" in self.choose(client, id, "q99")
        assert read(store, id).frames[0].door is None

    def test_nothing_is_asked_where_no_door_is_framed(self, client: Client, store: Store) -> None:
        id = kept(store, paper_cases.piece(parts=[]))
        assert 'name="door"' not in client.get(f"/pieces/{id}").text

    def test_a_door_that_is_put_back_has_its_frame_again(self, rail: float) -> None:
        piece = tied(frame((rail, 1123.0)))
        without, taken = edits.take_part(piece, DOOR.id)
        assert leaves.follow(piece, without) == without
        assert leaves.frames(edits.put_back(without, taken), DOOR.id) == piece.frames


def test_the_demo_s_doors_are_those_of_its_frame(client: Client) -> None:
    page = client.get("/pieces").text
    id = re.findall(r'href="/pieces/([^"/?]+)"', page)[0]
    text = client.get(f"/pieces/{id}").text
    assert '<option value="p10" selected>' in text
    assert "the frame of this door, is" not in text


def test_a_framed_leaf_is_made_and_not_cut(client: Client, store: Store) -> None:
    slab = DoorPart.model_validate(dict(DOOR) | {"construction": "slab", "stile_width_mm": None})
    for door, is_made in ((DOOR, True), (slab, False)):
        id = kept(store, paper_cases.piece(parts=[door], frames=[]))
        assert ("Made to size" in client.get(f"/pieces/{id}/kit").text) is is_made
