"""Stiles, rails and muntins of a frame."""

import re
from typing import Any

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.piece import Frame
from webapp import members
from webapp.words import Words

from . import paper_cases
from .conftest import FRAGMENT, Client
from .test_piece_parts import fields

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

    def test_of_frames_that_are_made_several_times_all_are_counted(self) -> None:
        upper, lower = frame((300.0, 400.0), (300.0, 500.0)).panels
        twice, once = (
            Frame(id="f", member_width_mm=50.0, panels=[upper.model_copy(update={"count": 2}), other])
            for other in (lower.model_copy(update={"count": 2}), lower)
        )
        assert members.said(twice, MM) == (
            "4 stiles, 1050.0 mm long; 6 rails, 300.0 mm between shoulders. Each 50.0 mm wide; add tenons for 2 such "
            "frames."
        )
        assert members.said(once, MM).startswith("2 stiles, 1050.0 mm long; 3 rails")
        assert members.said(once, MM).endswith("add tenons for one such frame.")

    def test_the_kit_lists_them(self, client: Client, app: FastAPI) -> None:
        piece = paper_cases.piece()
        id = app.state.store.add_piece(piece.name, pieces.dump(piece)).id
        text = " ".join(re.sub(r"<[^>]+>", " ", client.get(f"/pieces/{id}/kit").text).split()).replace("\xa0", " ")
        # by hand: 400 + 500 of sight heights and three members of 50
        assert "2 stiles, 1050.0 mm long; 3 rails, 300.0 mm between shoulders. Each 50.0 mm wide; add tenons." in text
        assert "Its stiles and rails are not listed: their width is not told." in text


class TestPanelsOfOneColumnOrRow:
    @pytest.mark.parametrize(
        ("sizes", "layout", "told"),
        [
            (((300.0, 400.0), (300.0, 500.0)), "column", ""),
            (((300.0, 400.0), (320.0, 500.0)), "column", "differ in width"),
            (((300.0, 400.0), (320.0, 500.0)), "row", "differ in height"),
            (((300.0, 400.0), (320.0, 400.0)), "row", ""),
            (((300.0, None), (320.0, 400.0)), "row", ""),
        ],
    )
    def test_the_piece_tells_what_cannot_stand_so(
        self, client: Client, app: FastAPI, sizes: Any, layout: str, told: str
    ) -> None:
        piece = paper_cases.piece(frames=[frame(*sizes, layout=layout)], parts=[])
        id = app.state.store.add_piece(piece.name, pieces.dump(piece)).id
        page = client.get(f"/pieces/{id}").text
        assert ("Its panels differ in" in page) is bool(told)
        assert told in page

    def test_a_panel_that_is_made_as_wide_as_the_others_takes_it_back(self, client: Client, app: FastAPI) -> None:
        piece = paper_cases.piece(frames=[frame((300.0, 400.0), (320.0, 400.0))], parts=[])
        id = app.state.store.add_piece(piece.name, pieces.dump(piece)).id
        data = fields(client.get(f"/pieces/{id}").text, f"/pieces/{id}/panels/p1") | {"sight_width": "300"}
        sent = client.post(f"/pieces/{id}/panels/p1", data=data, headers=FRAGMENT).text
        assert 'id="head-f"' in sent
        assert "Its panels differ in" not in sent
