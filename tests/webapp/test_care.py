"""The care card: what the client reads, what the maker leaves off it, the same in a browser and as PDF."""

import io
import json
import math
import re
from typing import Any

import pytest
from fastapi import FastAPI
from pypdf import PdfReader

from movement import gap_table, prospects
from movement import piece as pieces
from movement.fits import survival
from movement.fits.survival import Humidities
from movement.parts.climates import MoistureClimate, PlaceClimate, RecordClimate, RecordMonth
from movement.piece import Frame, Piece
from webapp import printing
from webapp.care import Care, Range
from webapp.pages import care

from . import paper_cases
from .reading import Sent, plain, refusal

FITTING = 3
"""The frames of the paper's piece whose panels all fit; the fourth is too shallow."""
PDF_SIZES = {"a6": (105, 148), "a5": (148, 210), "a4": (210, 297), "letter": (215.9, 279.4)}
OFF = {"show_range": "no", "show_gaps": "no", "show_contact": "no", "show_date": "no"}
CONTACT = "Anna Maker\r\n+44 20 7946 0000\r\nanna@maker.example"
SLATS = {"kind": "slats", "id": "slats", "name": "Base", "slat_width_mm": 45, "slats": 10, "opening_mm": 900}
FRONT = {"kind": "front", "id": "front", "name": "Drawer front", "opening_mm": 180, "least_reveal_mm": 1}


@pytest.fixture
def store(app: FastAPI) -> Any:
    return app.state.store


def piece(**more: Any) -> Piece:
    return paper_cases.piece(**{"frames": paper_cases.piece().frames[:FITTING], **more})


def with_parts(*parts: dict[str, Any], **more: Any) -> Piece:
    raw = piece(**more).model_dump(mode="json") | {"parts": list(parts)}
    return Piece.model_validate_json(json.dumps(raw))


def keep(store: Any, kept: Piece | None = None) -> str:
    kept = kept or piece()
    return str(store.add_piece(kept.name, pieces.dump(kept)).id)


def cards(text: str) -> list[str]:
    """The words of every card on the page."""
    return [plain(one) for one in re.findall(r'<article class="care".*?</article>', text, re.DOTALL)]


def card(client: Any, id: str, **query: str) -> str:
    response = client.get(f"/pieces/{id}/care", params=query)
    assert response.status_code == 200
    return cards(response.text)[0]


# what is on it


def test_it_says_between_which_humidities_to_keep_the_room_rounded_inward(client: Any, store: Any) -> None:
    kept = prospects.piece_survives(piece()).kept
    found = survival.humidities(kept)
    assert found.low is not None
    assert found.high is not None
    told = re.search(r"humidity between (\d+) and (\d+) %", card(client, keep(store)))
    assert told
    low, high = int(told[1]), int(told[2])
    assert found.low <= low < found.low + 5
    assert found.high - 5 < high <= found.high
    home = Care(piece()).piece.climate.year()
    coarse = low % 5 == high % 5 == 0
    assert coarse or survival.humidity_at(home.dry) < 5 * math.ceil(
        found.low / 5
    )  # else the home's own year is shut out


@pytest.mark.parametrize("measured", [1, 12])
def test_a_card_for_a_part_of_a_year_is_looked_at_again(client: Any, store: Any, measured: int) -> None:
    months = [
        RecordMonth(temperature_c=20, humidity_pct=48, moisture_pct=8.8, measured=index < measured)
        for index in range(12)
    ]
    home = RecordClimate(months=months, dry_pct=8.7, wet_pct=8.9)
    id = keep(store, piece().model_copy(update={"climate": home}))
    page = plain(client.get(f"/pieces/{id}/care").text)
    told = "Look again. Only a part of the home's year was recorded. What the other 11 months bring is not known"
    assert (told in page) is (measured < 12)


def test_it_says_why_what_is_normal_and_when_to_call(client: Any, store: Any) -> None:
    told = card(client, keep(store))
    assert told.startswith("Wall cupboard How to keep it well")
    for words in ("solid wood", "This is normal", "Please call", "light shows beside it", "Do not force it"):
        assert words in told
    assert "safe" not in told.lower()


def test_it_bears_no_number_that_the_maker_did_not_choose(client: Any, store: Any) -> None:
    id = keep(store)
    assert re.findall(r"\d", card(client, id, contact="+44 20", day="2026", **OFF)) == []
    assert re.findall(r"\d", card(client, id, **OFF | {"show_range": "yes"}))
    assert "mm" in card(client, id, **OFF | {"show_gaps": "yes"})
    assert card(client, id, day="May 2026", **OFF | {"show_date": "yes"}).endswith("May 2026")


def test_what_is_shown_unless_the_maker_says_otherwise(client: Any, store: Any) -> None:
    told = card(client, keep(store), contact=CONTACT, day="1 May 2026")
    assert "humidity between" in told
    assert "Anna Maker +44 20 7946 0000 anna@maker.example 1 May 2026" in told
    assert " mm" not in told


def test_the_date_is_today_s_unless_it_is_typed(client: Any, store: Any) -> None:
    assert re.search(r"\d{1,2} [A-Z][a-z]+ 20\d\d", card(client, keep(store)))


def test_the_panels_movement_is_the_core_s_in_the_piece_s_unit(client: Any, store: Any) -> None:
    found = prospects.widest_change(gap_table.rows(piece()))
    assert found is not None
    told = card(client, keep(store), show_gaps="yes")
    assert f"moves most changes by about {found[1]:.1f} mm in width" in told
    rows = gap_table.rows(piece())
    still = [
        r.result.groove_depth_mm - r.result.fixed_engagement_mm
        for r in rows
        if r.result.fixed_engagement_mm is not None
    ]
    assert still  # a panel is fixed at one edge, where its room does not change
    least = min([r.result.gap_wet_mm for r in rows] + still)
    most = max([r.result.gap_dry_mm for r in rows] + still)
    shown = re.search(r"have ([\d.]+) mm to ([\d.]+) mm of room", told)
    assert shown
    assert float(shown[1]) <= least < float(shown[1]) + 0.1
    assert float(shown[2]) - 0.1 < most <= float(shown[2])
    inches = card(client, keep(store, piece(unit="in")), show_gaps="yes")
    assert " mm" not in inches
    assert re.search(r'about (\d+ )?\d+/\d+" in width', inches)


def test_it_speaks_of_what_the_piece_has(client: Any, store: Any) -> None:
    still = card(client, keep(store, piece(frames=[piece().frames[0]])))
    assert "slide or rattle" not in still
    assert "Doors and drawers" not in still
    assert "slats" not in still
    assert "slide or rattle" in card(client, keep(store))
    told = card(client, keep(store, with_parts(SLATS, FRONT)))
    assert "Doors and drawers run tighter" in told
    assert "a door or drawer jams" in told
    assert "Published rules limit such spaces where children are" in told


# The other parts are sized for 7.5 (today) to 10 % alone, so the card promises no more than the air of that at 20 °C.
def test_with_other_parts_it_promises_no_more_than_their_year() -> None:
    year = MoistureClimate(dry_pct=8.0, wet_pct=10.0)
    beside = Care(with_parts(FRONT, climate=year, frames=[])).humidities
    assert beside.low == pytest.approx(survival.humidity_at(7.5))  # today's moisture, which they are sized for too
    assert beside.high == pytest.approx(survival.humidity_at(10.0))
    alone, both = Care(piece(climate=year)).humidities, Care(with_parts(FRONT, climate=year)).humidities
    assert both.low == max(alone.low or 0, beside.low or 0)
    assert both.high == min(alone.high or 100, beside.high or 100)


@pytest.mark.parametrize(("dry", "told"), [(6.0, "28 and 60 %"), (7.0, "30 and 60 %"), (5.0, "30 and 60 %")])
def test_a_range_is_rounded_no_further_than_the_home_s_own_year(
    monkeypatch: pytest.MonkeyPatch, dry: float, told: str
) -> None:
    """At 20 °C air of 28.8 % leads to 6 %, of 35.4 % to 7 %, of 22.9 % to 5 %: from 28 % up the last is not kept."""
    monkeypatch.setattr(Care, "humidities", Humidities(28.0, 60.9, ()))
    kept = Care(piece(climate=MoistureClimate(dry_pct=dry, wet_pct=9.0))).range
    assert kept is not None
    assert kept.figure == told


def test_a_piece_for_outdoors_has_no_room_to_keep(client: Any, store: Any) -> None:
    told = card(client, keep(store, piece(climate=PlaceClimate(place="Chicago"))))
    assert "Keep it under cover" in told
    assert "off the ground and clear of splashing water." in told
    assert "humidity" not in told
    assert "humidifier" not in told


@pytest.mark.parametrize(
    ("low", "high", "told"),
    [
        (33.1, 61.9, Range("Keep the room’s humidity between", "35 and 60 %")),
        (35.0, 60.0, Range("Keep the room’s humidity between", "35 and 60 %")),
        (0.0, 61.9, Range("Keep the room’s humidity at", "60 %", "or below")),
        (33.1, 100.0, Range("Keep the room’s humidity at", "35 %", "or above")),
        (41.2, 44.9, Range("Keep the room’s humidity between", "42 and 44 %")),
        (44.2, 45.9, Range("Keep the room’s humidity at", "45 %")),
        (41.2, 41.9, None),
        (0.0, 100.0, None),
        (None, None, None),
    ],
)
def test_a_range_is_told_in_plain_words(
    monkeypatch: pytest.MonkeyPatch, low: float | None, high: float | None, told: Range | None
) -> None:
    monkeypatch.setattr(Care, "humidities", Humidities(low, high, ()))
    assert Care(piece()).range == told


# what the maker is told beside it


@pytest.mark.parametrize(
    ("frames", "said"),
    [
        (paper_cases.piece().frames, "One part does not fit. Mend the piece first"),
        ([], "has no parts that could be sized"),
        (
            [Frame(id="f", groove_depth_mm=4, panels=[paper_cases.panel("p", "P", 450.0, panel_width_mm=470.0)])],
            "No humidity keeps every part's clearances",
        ),
    ],
)
def test_the_maker_is_warned_before_the_card_is_handed_out(client: Any, store: Any, frames: Any, said: str) -> None:
    response = client.get(f"/pieces/{keep(store, piece(frames=frames))}/care", params={"show_gaps": "yes"})
    assert response.status_code == 200
    assert said in plain(response.text)
    assert "Look again" not in cards(response.text)[0]
    assert " mm" not in cards(response.text)[0]


def test_a_piece_in_order_warns_of_nothing(client: Any, store: Any) -> None:
    assert "Look again" not in client.get(f"/pieces/{keep(store)}/care").text


# its address, and what is typed


@pytest.mark.parametrize("query", [{}, {"paper": "a4", "contact": CONTACT, **OFF}, {"show_gaps": "yes", "day": "May"}])
def test_the_form_sends_back_the_same_card_without_script(client: Any, store: Any, query: dict[str, str]) -> None:
    id = keep(store)
    text = client.get(f"/pieces/{id}/care", params=query).text
    sent = Sent(text).fields
    assert query.items() <= (sent | {"contact": sent["contact"].replace("\n", "\r\n").replace("\r\r", "\r")}).items()
    assert cards(client.get(f"/pieces/{id}/care", params=sent).text) == cards(text)
    assert f'<form class="choices" method="get" action="/pieces/{id}/care">' in text


def test_a_sheet_to_cut_apart_holds_four_alike(client: Any, store: Any) -> None:
    id = keep(store)
    for paper, count in (("a6", 1), ("a5", 1), ("a4", 4), ("letter", 4)):
        found = cards(client.get(f"/pieces/{id}/care", params={"paper": paper}).text)
        assert len(found) == count
        assert len(set(found)) == 1


@pytest.mark.parametrize(
    ("name", "typed", "said"),
    [
        ("paper", "a7", "Choose one of A6, one card"),
        ("contact", "x" * 201, "at most 200 characters"),
        ("contact", "\n".join("abcdef"), "At most 5 lines"),
        ("day", "y" * 41, "at most 40 characters"),
    ],
)
def test_bad_input_is_told_at_its_field_and_nothing_typed_is_lost(
    client: Any, store: Any, name: str, typed: str, said: str
) -> None:
    id = keep(store)
    query = {"contact": "Anna", "day": "May", "show_range": "no", name: typed}
    for address in (f"/pieces/{id}/care", f"/pieces/{id}/care.pdf"):
        response = client.get(address, params=query)
        assert response.status_code == 422
        assert said in refusal(response.text, name)
        assert "No card yet" in cards(response.text)[0]
        assert 'href="/pieces' in response.text
        sent = Sent(response.text).fields
        assert sent["show_range"] == "no"
        for kept in {"contact", "day"} - {name}:
            assert sent[kept] == query[kept]
        if name != "paper":
            assert sent[name] == typed


def test_what_is_typed_and_what_the_piece_is_called_are_escaped(client: Any, store: Any) -> None:
    evil = "<script>x</script>"
    id = keep(store, piece(name=evil))
    text = client.get(f"/pieces/{id}/care", params={"contact": f"</textarea>{evil}", "day": f'">{evil}'}).text
    assert "<script>" not in text
    assert text.count("</textarea>") == 1
    assert f"</textarea>{evil}" in cards(text)[0]


def test_a_piece_that_is_gone_has_no_card(client: Any, store: Any) -> None:
    id = keep(store)
    assert client.get("/pieces/nowhere/care").status_code == 404
    client.post(f"/pieces/{id}/delete")
    for address in (f"/pieces/{id}/care", f"/pieces/{id}/care.pdf"):
        assert client.get(address).status_code == 404


def test_the_piece_leads_to_its_card_and_back(client: Any, store: Any) -> None:
    id = keep(store)
    assert f'href="/pieces/{id}/care">Care card</a>' in client.get(f"/pieces/{id}").text
    assert f'<a href="/pieces/{id}">' in client.get(f"/pieces/{id}/care").text


# the PDF


@pytest.mark.parametrize("paper", PDF_SIZES)
def test_the_pdf_is_one_page_of_the_paper_with_the_same_words(client: Any, store: Any, paper: str) -> None:
    id = keep(store)
    query = {"paper": paper, "contact": CONTACT, "day": "1 May 2026", "show_gaps": "yes"}
    response = client.get(f"/pieces/{id}/care.pdf", params=query)
    assert response.headers["content-type"] == "application/pdf"
    assert 'filename="wall-cupboard.care.pdf"' in response.headers["content-disposition"]
    [page] = PdfReader(io.BytesIO(response.content)).pages
    size = [float(side) / 72 * 25.4 for side in page.mediabox[2:]]
    assert size == pytest.approx(PDF_SIZES[paper], abs=0.1)
    text = " ".join(page.extract_text().split())
    assert text.count("Anna Maker") == len(cards(client.get(f"/pieces/{id}/care", params=query).text))
    for words in ("How to keep it well", "humidity between", "+44 20 7946 0000", "1 May 2026", "moves most"):
        assert words in text
    assert "On the card" not in text
    assert "Page 1" not in text


def test_the_fullest_card_still_fits_on_one_page(client: Any, store: Any) -> None:
    name = "A long-named linen cupboard with drawers and a slatted base for the upper landing"[:80]
    id = keep(store, with_parts(SLATS, FRONT, name=name))
    contact = "\r\n".join(["Forty characters of an address to write"] * care.MOST_CONTACT_LINES)
    assert len(contact.replace("\r", "")) <= care.MOST_CONTACT < len(contact)
    for paper in PDF_SIZES:
        query = {"paper": paper, "contact": contact, "day": "27 September 2026, the upper landing", "show_gaps": "yes"}
        pdf = PdfReader(io.BytesIO(client.get(f"/pieces/{id}/care.pdf", params=query).content))
        assert len(pdf.pages) == 1
        assert "Figures are estimates" in pdf.pages[0].extract_text()


def test_without_a_printer_the_page_says_why_there_is_no_pdf(
    client: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def broken(html: str) -> bytes:
        raise printing.NoPrinterError(printing.MISSING)

    monkeypatch.setattr(printing, "pdf", broken)
    response = client.get(f"/pieces/{keep(store)}/care.pdf")
    assert response.status_code == 200
    assert "Print this page from the browser instead" in response.text
    assert cards(response.text)
