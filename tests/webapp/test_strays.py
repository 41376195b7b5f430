"""Stock outside the home's year: said on every page and paper that it is cut from, and only then."""

from typing import Any

import pytest

from movement.parts.climates import MoistureClimate
from movement.piece import Defaults, Frame, PanelPart, Piece
from tests.webapp.reading import plain
from webapp import strays

HEAD = "Stock outside the home's year."
YEAR = {"year": "moisture", "moisture_dry": "4.6", "moisture_wet": "10.1"}


@pytest.mark.parametrize(
    ("now", "said"),
    [
        ("12.3", "Today's 12.3 % lies 2.2 % above the wettest of the home's year (10.1 %)"),
        ("3.6", "Today's 3.6 % lies 1.0 % below the driest of the home's year (4.6 %)"),
        ("10.5", ""),
        ("8", ""),
    ],
)
@pytest.mark.parametrize(("page", "field"), [("/", "moisture_now"), ("/parts/top", "moisture_now")])
def test_a_page_tells_of_stock_outside_the_year(client: Any, page: str, field: str, now: str, said: str) -> None:
    text = plain(client.get(page, params=YEAR | {field: now}).text)
    assert (HEAD in text) == bool(said)
    assert said in text


def piece(*moistures: float | None, usual: float = 8.0) -> Piece:
    stock = [{"id": f"p{index}", "moisture_now_pct": now} for index, now in enumerate(moistures)]
    panels = [PanelPart.model_validate({"sight_width_mm": 300} | one) for one in stock]
    climate = MoistureClimate(dry_pct=4.6, wet_pct=10.1)
    return Piece(
        name="Case",
        climate=climate,
        defaults=Defaults(moisture_now_pct=usual),
        frames=[Frame(id="f1", name="Side", panels=panels)],
    )


def test_a_piece_tells_of_its_wettest_and_driest_stock() -> None:
    assert strays.words(piece(None, 9.0)) == ""
    assert strays.words(piece(9.0, usual=14.0)) == ""  # no part is made of the usual stock
    assert "12.3 % lies 2.2 % above" in strays.words(piece(None, 12.3, 11.0))
    assert "11.0" not in strays.words(piece(None, 12.3, 11.0))
    both = strays.words(piece(3.0, 14.0))
    assert "3.0 % lies 1.6 % below" in both
    assert "14.0 % lies 3.9 % above" in both
    assert "12.0 % lies" in strays.words(piece(usual=12.0))


def test_the_piece_and_its_sheet_tell_of_it(client: Any, app: Any) -> None:
    wet = app.state.store.add_piece("Wet", piece(None, 14.0).model_dump_json())
    dry = app.state.store.add_piece("Dry", piece(None).model_dump_json())
    for ending in ("", "/sheet"):
        assert plain(client.get(f"/pieces/{wet.id}{ending}").text).count(HEAD) == 1
        assert HEAD not in client.get(f"/pieces/{dry.id}{ending}").text
