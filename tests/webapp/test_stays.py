"""The page of a piece's moves: its stays before it comes home, kept, changed, taken out and put back."""

import html
import json
import re
from typing import Any

import pytest
from fastapi import FastAPI

from movement import piece as pieces
from movement.piece import Piece
from tests.webapp.reading import plain

STORE = {"kind": "moisture", "dry_pct": 4.0, "wet_pct": 5.0, "driest_month": 1}
SHOP = {"kind": "moisture", "dry_pct": 9.0, "wet_pct": 12.0, "driest_month": 1}


class House:
    """A piece in a store of its own, two kept climates, and what a browser would do with its stays."""

    def __init__(self, client: Any, app: FastAPI) -> None:
        self.client, self.store = client, app.state.store
        document = {
            "format": pieces.FORMAT,
            "version": 1,
            "name": "Chest",
            "climate": {"kind": "moisture", "dry_pct": 6.0, "wet_pct": 11.0, "driest_month": 1},
            "frames": [{"id": "f1", "name": "Front", "panels": [{"id": "p1", "sight_width_mm": 300.0}]}],
        }
        self.id = self.store.add_piece("Chest", pieces.dump(pieces.load(json.dumps(document)))).id
        self.dry = self.store.save_climate("Dry store", json.dumps(STORE)).id
        self.shop = self.store.save_climate("Workshop", json.dumps(SHOP)).id
        self.address = f"/pieces/{self.id}/stays"

    @property
    def piece(self) -> Piece:
        return pieces.load(self.store.piece(self.id).document)

    def page(self) -> str:
        return str(self.client.get(self.address).text)

    def stamp(self) -> str:
        found = re.search(r'name="stamp" value="([^"]*)"', self.page())
        assert found
        return found[1]

    def own(self, place: str) -> str:
        """The value of the choice that leaves a stay's climate as it is."""
        found = re.search(rf'<option value="(own\.[^"]*)"[^>]*>As it is at {place}:', self.page())
        assert found
        return found[1]

    def post(self, *stays: tuple[str, str, str], home: str = "", headers: Any = None, **more: str) -> Any:
        data = {"stamp": self.stamp(), "home_first": home} | more
        for index, stay in enumerate(stays):
            names = (f"stay_{index}_{what}" for what in ("name", "first", "climate"))
            data |= dict(zip(names, stay, strict=True))
        return self.client.post(self.address, data=data, headers=headers)


@pytest.fixture
def house(client: Any, app: FastAPI) -> House:
    return House(client, app)


def stays(piece: Piece) -> list[tuple[str, str, Any]]:
    return [(stay.name, stay.first.isoformat(), stay.climate.model_dump()) for stay in piece.stays]


def error(text: str, name: str) -> str:
    found = re.search(rf'id="{name}-error">(.*?)</p>', text, re.DOTALL)
    assert found, name
    return plain(found[1])


# The page


def test_a_piece_at_home_from_the_start_has_one_blank_place(house: House) -> None:
    text = house.page()
    assert re.findall(r'name="(stay_\d+_name)" value="([^"]*)"', text) == [("stay_0_name", "")]
    assert "Way home: Chest" in text
    assert "Take out" not in text
    assert '<desc id="way-desc">The air leads to 6.0 to 11.0 %' in text


def test_the_piece_page_leads_there_and_draws_the_year(house: House) -> None:
    text = house.client.get(f"/pieces/{house.id}").text
    assert f'href="{house.address}"' in text
    assert '<desc id="course-chart-desc">The air leads to 6.0 to 11.0 %' in text


def test_a_piece_that_is_not_there_is_missing(client: Any) -> None:
    assert client.get("/pieces/none/stays").status_code == 404
    assert client.post("/pieces/none/stays", data={}).status_code == 404


# Keeping


def test_a_stay_is_kept_with_its_climate_in_the_piece(house: House) -> None:
    answer = house.post(("Store", "2025-11-03", house.dry), ("", "", house.dry), home="2026-02-10")
    assert answer.status_code == 303
    assert answer.headers["location"] == house.address
    assert stays(house.piece) == [("Store", "2025-11-03", STORE)]
    assert house.piece.home_first is not None
    house.store.delete_climate(house.dry)
    assert stays(house.piece) == [("Store", "2025-11-03", STORE)]


def test_a_stay_without_a_name_is_called_like_its_climate(house: House) -> None:
    house.post(("", "2025-11-03", house.dry), home="2026-02-10")
    assert house.piece.stays[0].name == "Dry store"


def test_a_second_stay_follows_and_the_first_keeps_its_climate(house: House) -> None:
    house.post(("Shop", "2025-11-03", house.shop), home="2026-02-10")
    house.post(("Shop", "2025-11-04", house.own("Shop")), ("Store", "2025-12-01", house.dry), home="2026-02-10")
    assert stays(house.piece) == [("Shop", "2025-11-04", SHOP), ("Store", "2025-12-01", STORE)]


def test_the_fits_take_in_the_stays(house: House) -> None:
    before = house.client.get(f"/pieces/{house.id}").text
    house.post(("Store", "2025-11-03", house.dry), home="2026-02-10")
    after = house.client.get(f"/pieces/{house.id}").text
    assert "On its way: Store from 3 November 2025; home from 10 February 2026." in plain(after)
    gaps = [re.findall(r'<tr id="gap-p1">.*?</tr>', text, re.DOTALL) for text in (before, after)]
    assert gaps[0] != gaps[1]


def test_the_chart_marks_the_moves(house: House) -> None:
    house.post(("Store", "2025-11-03", house.dry), home="2026-02-10")
    text = house.page()
    assert '<desc id="way-desc">Store from 3 November 2025; Home from 10 February 2026.' in text
    for name in ("Store", "Home"):
        assert re.search(rf'<text class="tick"[^>]*>{name}</text>', text)


def test_what_is_typed_is_never_markup(house: House) -> None:
    house.post(("<b>Store</b>", "2025-11-03", house.dry), home="2026-02-10")
    assert "<b>Store" not in house.page()
    assert "<b>Store" not in house.client.get(f"/pieces/{house.id}").text


def test_the_fragment_stands_in_the_page(house: House, fragment: dict[str, str]) -> None:
    answer = house.post(("Store", "2025-11-03", house.dry), home="2026-02-10", headers=fragment)
    assert answer.status_code == 200
    assert answer.text.lstrip().startswith("<title>")
    assert "The way home is kept." in answer.text
    assert plain(answer.text.partition('id="sheet">')[2].partition('<div id="status"')[0]) in plain(house.page())


# What is refused


@pytest.mark.parametrize(
    ("typed", "home", "field", "said"),
    [
        (("Store", "", "dry"), "2026-02-10", "stay_0_first", "Fill this in: the day on which the piece comes there."),
        (("Store", "soon", "dry"), "2026-02-10", "stay_0_first", "“soon” is not a day; write it like 2026-03-14."),
        (("Store", "1989-12-31", "dry"), "2026-02-10", "stay_0_first", "Allowed is 1990-01-01 to 2100-12-31."),
        (("Store", "2025-11-03", "dry"), "", "home_first", "Fill this in: the day on which the piece comes home."),
        (("Store", "2025-11-03", "dry"), "2101-01-01", "home_first", "Allowed is 1990-01-01 to 2100-12-31."),
        (("Store", "2025-11-03", "dry"), "2025-11-03", "home_first", "it must begin after the one at Store does"),
        (("Store", "2025-11-03", "gone"), "2026-02-10", "stay_0_climate", "Choose one of Dry store, "),
        (("x" * 81, "2025-11-03", "dry"), "2026-02-10", "stay_0_name", "Allowed is at most 80 characters."),
    ],
    ids=lambda value: str(value)[:20],
)
def test_each_refusal_stands_at_its_field_and_all_stays_typed(
    house: House, typed: tuple[str, str, str], home: str, field: str, said: str
) -> None:
    answer = house.post((*typed[:2], house.dry if typed[2] == "dry" else typed[2]), home=home)
    assert answer.status_code == 422
    assert said in error(answer.text, field)
    assert f'name="stay_0_name" value="{typed[0]}"' in answer.text
    assert f'name="stay_0_first" value="{typed[1]}"' in answer.text
    assert f'name="home_first" value="{home}"' in answer.text
    assert f'<a href="#{field}">' in answer.text
    assert house.piece.stays == []


def test_days_out_of_order_are_refused_at_the_later_place(house: House) -> None:
    answer = house.post(("Shop", "2025-11-03", house.shop), ("Store", "2025-10-03", house.dry), home="2026-02-10")
    assert answer.status_code == 422
    assert "The stay at Store begins on 2025-10-03; it must begin after the one at Shop does, on 2025-11-03." in error(
        answer.text, "stay_1_first"
    )


def test_a_day_of_coming_home_needs_a_place_before(house: House) -> None:
    answer = house.post(home="2026-02-10")
    assert answer.status_code == 422
    assert "leave this blank" in error(answer.text, "home_first")


def test_a_climate_deleted_meanwhile_is_refused(house: House) -> None:
    gone = house.dry
    house.store.delete_climate(gone)
    answer = house.post(("Store", "2025-11-03", gone), home="2026-02-10")
    assert answer.status_code == 422
    assert "Choose one of" in error(answer.text, "stay_0_climate")


def test_stays_changed_elsewhere_are_not_overwritten_unseen(house: House) -> None:
    old = house.stamp()
    house.post(("Shop", "2025-11-03", house.shop), home="2026-02-10")
    answer = house.post(("Store", "2025-12-03", house.dry), home="2026-02-10", stamp=old)
    assert answer.status_code == 422
    assert "The stays were changed elsewhere meanwhile; keep yours to overwrite them." in plain(answer.text)
    assert [stay.name for stay in house.piece.stays] == ["Shop"]
    house.post(("Store", "2025-12-03", house.dry), home="2026-02-10")
    assert [stay.name for stay in house.piece.stays] == ["Store"]


def test_nineteen_places_are_the_most(house: House) -> None:
    many = [(f"Place {day}", f"2025-11-{day:02d}", house.dry) for day in range(1, 20)]
    assert house.post(*many, home="2026-02-10").status_code == 303
    assert len(house.piece.stays) == 19
    assert "stay_19_name" not in house.page()


# Taking out and putting back


def test_a_stay_is_taken_out_and_put_back(house: House) -> None:
    both = (("Shop", "2025-11-03", house.shop), ("Store", "2025-12-01", house.dry))
    house.post(*both, home="2026-02-10")
    kept = stays(house.piece)
    shown = (("Shop", "2025-11-03", house.own("Shop")), ("Store", "2025-12-01", house.own("Store")))
    answer = house.post(*shown, home="2026-02-10", take_out="0")
    assert answer.status_code == 200
    assert "“Shop” was taken out." in plain(answer.text)
    assert stays(house.piece) == kept[1:]
    taken = re.search(r'name="taken" value="([^"]*)"', answer.text)
    assert taken
    back = house.client.post(f"{house.address}/put-back", data={"taken": html.unescape(taken[1])})
    assert back.status_code == 303
    assert stays(house.piece) == kept


def test_without_its_last_stay_a_piece_is_at_home_and_both_come_back(house: House) -> None:
    house.post(("Store", "2025-11-03", house.dry), home="2026-02-10")
    answer = house.post(("Store", "2025-11-03", house.own("Store")), home="2026-02-10", take_out="0")
    assert (house.piece.stays, house.piece.home_first) == ([], None)
    taken = re.search(r'name="taken" value="([^"]*)"', answer.text)
    assert taken
    house.client.post(f"{house.address}/put-back", data={"taken": html.unescape(taken[1])})
    assert [stay.name for stay in house.piece.stays] == ["Store"]
    assert str(house.piece.home_first) == "2026-02-10"


def test_the_others_climates_stay_when_one_is_taken_out(house: House) -> None:
    house.post(("Shop", "2025-11-03", house.shop), ("Store", "2025-12-01", house.dry), home="2026-02-10")
    shown = (("Shop", "2025-11-03", house.own("Shop")), ("Store", "2025-12-01", house.own("Store")))
    house.post(*shown, home="2026-02-10", take_out="0")
    assert stays(house.piece) == [("Store", "2025-12-01", STORE)]


def test_what_cannot_be_put_back_says_why(house: House) -> None:
    answer = house.client.post(f"{house.address}/put-back", data={"taken": "nothing"})
    assert answer.status_code == 422
    assert "could not be read" in plain(answer.text)
    house.post(("Shop", "2025-11-03", house.shop), home="2026-02-10")
    taken = json.dumps({"stay": {"name": "Store", "first": "2025-11-03", "climate": STORE}})
    answer = house.client.post(f"{house.address}/put-back", data={"taken": taken})
    assert answer.status_code == 422
    assert "It was not put back. The stay at Store begins on 2025-11-03; it must begin after" in plain(answer.text)
    assert [stay.name for stay in house.piece.stays] == ["Shop"]


def test_a_late_piece_draws_its_panel_with_its_range(house: House) -> None:
    document = json.loads(house.store.piece(house.id).document)
    document["defaults"] |= {"following": "lagged", "thickness_mm": 20.0, "finish": "Shellac, 2 coats"}
    house.store.change_piece(house.id, lambda _: ("Chest", pieces.dump(pieces.load(json.dumps(document)))))
    house.post(("Store", "2025-11-03", house.dry), home="2026-02-10")
    text = house.page()
    assert '<path class="band"' in text
    assert "Derived: the delay rests on" in plain(text)
