"""Stiles, rails and muntins of a frame, and a door's rails beside the frames of its piece."""

import re
from typing import Any

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.piece import Frame, Piece
from webapp import members, otherparts, worked
from webapp.words import Words

from . import paper_cases
from .conftest import FRAGMENT, Client

MM = Words("mm")


def frame(*sizes: tuple[float, float | None], layout: Any = "column", member: float | None = 50.0) -> Frame:
    panels = [paper_cases.panel(f"p{n}", "", width, height) for n, (width, height) in enumerate(sizes)]
    return Frame(id="f", layout=layout, member_width_mm=member, panels=panels)


def lengths(one: Frame) -> list[tuple[int, str, float | None]]:
    return [(found.number, found.name, found.length) for found in members.of(one)]


class TestMembers:
    """By hand: members 50 wide."""

    def test_a_column_has_a_rail_between_every_two_panels(self) -> None:
        assert lengths(frame((300.0, 400.0), (300.0, 500.0))) == [(2, "stile", 1050.0), (3, "rail", 300.0)]

    def test_a_row_has_a_muntin_between_every_two_panels(self) -> None:
        found = lengths(frame((250.0, 400.0), (280.0, 400.0), layout="row"))
        assert found == [(2, "stile", 500.0), (2, "rail", 580.0), (1, "muntin", 400.0)]

    def test_what_is_not_told_is_not_made_up(self) -> None:
        assert lengths(frame((300.0, None))) == [(2, "stile", None), (2, "rail", 300.0)]
        assert lengths(frame((300.0, 400.0), (310.0, 400.0)))[1] == (3, "rail", None)
        assert "length not known: a sight height is not told" in members.said(frame((300.0, None)), MM)

    def test_none_are_listed_without_their_width_or_a_panel(self) -> None:
        assert members.said(frame((300.0, 400.0), member=None), MM) == members.said(frame(), MM) == ""

    def test_the_kit_lists_them(self, client: Client, app: FastAPI) -> None:
        piece = paper_cases.piece()
        id = app.state.store.add_piece(piece.name, pieces.dump(piece)).id
        text = " ".join(re.sub(r"<[^>]+>", " ", client.get(f"/pieces/{id}/kit").text).split()).replace("\xa0", " ")
        # by hand: 400 + 500 of sight heights and three members of 50
        assert "2 stiles, 1050.0 mm long; 3 rails, 300.0 mm between shoulders. Each 50.0 mm wide; add tenons." in text
        assert "Its stiles and rails are not listed: their width is not told." in text


def pair(width: float) -> Piece:
    doors = [part for part in paper_cases.PARTS if part.kind == "door"]
    return paper_cases.piece(parts=doors, frames=[frame((width, 400.0))])


class TestADoorsRail:
    @pytest.fixture
    def rail(self) -> float:
        [(_, row)] = worked.parts(pair(300.0))
        assert not isinstance(row, str)
        return float(row.result.model_dump()["rail_mm"])

    @pytest.mark.parametrize(("off", "told"), [(0.0, False), (0.4, False), (-0.4, False), (0.6, True), (-20.0, True)])
    def test_a_frame_of_another_width_is_told(self, rail: float, off: float, told: bool) -> None:
        [line] = otherparts.others(pair(rail + off))
        assert any("No frame here is that wide" in text for text in line.advice) is told

    def test_a_row_is_as_wide_as_its_panels_and_muntins(self, rail: float) -> None:
        half = (rail - 50.0) / 2
        piece = pair(300.0).model_copy(update={"frames": [frame((half, 400.0), (half, 400.0), layout="row")]})
        [line] = otherparts.others(piece)
        assert not any("No frame here" in text for text in line.advice)

    def test_nothing_is_told_where_no_frame_s_width_is_known(self) -> None:
        unknown = frame((100.0, 400.0), (120.0, 400.0), layout="row", member=None)
        for frames in ([], [unknown]):
            [line] = otherparts.others(pair(300.0).model_copy(update={"frames": frames}))
            assert not any("No frame here" in text for text in line.advice)

    @pytest.mark.parametrize("address", ["", "/sheet", "/parts/q7"])
    def test_the_pages_tell_it(self, client: Client, app: FastAPI, address: str) -> None:
        piece = pair(300.0)
        id = app.state.store.add_piece(piece.name, pieces.dump(piece)).id
        assert "No frame here is that wide" in client.get(f"/pieces/{id}{address}").text

    def test_a_frame_that_is_widened_takes_it_back_in_the_page(self, client: Client, app: FastAPI, rail: float) -> None:
        piece = pair(300.0)
        id = app.state.store.add_piece(piece.name, pieces.dump(piece)).id
        page = client.get(f"/pieces/{id}").text
        assert "No frame here is that wide" in page
        stamps = re.findall(r'action="/pieces/[^"]*/panels/p0".*?name="stamp" value="([^"]*)"', page, re.S)
        data = {
            "unit": "mm",
            "stamp": stamps[0],
            "name": "",
            "sight_width": f"{rail}",
            "sight_height": "400",
            "count": "1",
        }
        sent = client.post(f"/pieces/{id}/panels/p0", data=data, headers=FRAGMENT).text
        assert "gap-parts" in sent
        assert "No frame here is that wide" not in sent
