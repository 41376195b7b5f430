"""Page, paper and bench write the same lengths, and none to the unsafe side, in mm and in 1/64 and 1/32 of an inch."""

import csv
import html
import io
import math
import re
from typing import Any

import pytest
from fastapi import FastAPI
from hypothesis import given
from hypothesis import strategies as st

from movement import lengths
from movement import piece as pieces
from movement.lengths import INCH, Unit
from movement.parts.climates import MoistureClimate
from movement.piece import Frame, Piece
from tests.webapp.reading import plain
from webapp import columns, lines, measures, rounding, worked
from webapp.otherparts import others
from webapp.rounding import Measure
from webapp.store import Store
from webapp.words import Words

from . import paper_cases
from .conftest import Client

UNITS: list[Unit] = ["mm", "in"]
STEPS = [("mm", 0.1), ("mm", 0.5), ("in", INCH / 64), ("in", INCH / 32)]
"""Unit, and the step that widths are cut to [mm]."""
_EXACT = 1e-6


def read(text: str, unit: Unit) -> float:
    return lengths.read(text.replace("\u00a0", " ").replace(lengths.MINUS, "-"), unit)


def stepped(unit: Unit, step: float, **more: Any) -> Piece:
    piece = paper_cases.piece(unit, parts=paper_cases.PARTS, **more)
    return piece.model_copy(update={"defaults": piece.defaults.model_copy(update={"width_step_mm": step})})


class TestWords:
    @given(length=st.floats(0.0, 500.0), unit=st.sampled_from(UNITS))
    def test_there_is_never_more_room_than_is_written(self, length: float, unit: Unit) -> None:
        words = Words(unit)
        told = read(words.room(length), unit)
        assert told <= length + _EXACT
        assert length - told < words.step + _EXACT

    @given(length=st.floats(0.03, 0.39))
    def test_room_that_the_step_would_leave_none_of_is_a_decimal(self, length: float) -> None:
        assert 0 < read(Words("in").room(length), "in") <= length + _EXACT

    @pytest.mark.parametrize(("unit", "told"), [("mm", "0.5 mm"), ("in", '1/32"')])
    def test_half_a_millimetre_that_is_needed_is_never_written_as_less(self, unit: Unit, told: str) -> None:
        assert Words(unit).least(0.5) == told
        assert read(told, unit) >= 0.5

    @given(length=st.floats(0.0, 50.0), unit=st.sampled_from(UNITS))
    def test_what_is_needed_is_never_written_as_less(self, length: float, unit: Unit) -> None:
        assert read(Words(unit).least(length), unit) >= length - _EXACT

    @given(one=st.floats(-5.0, 50.0), other=st.floats(-5.0, 50.0), unit=st.sampled_from(UNITS))
    def test_the_widest_is_not_narrower_and_the_narrowest_not_wider(self, one: float, other: float, unit: Unit) -> None:
        told = [read(text, unit) for text in Words(unit).extremes(one, other)]
        assert max(told) >= max(one, other) - _EXACT
        assert min(told) <= min(one, other) + _EXACT


class TestMeasures:
    @given(
        low=st.floats(10.0, 300.0), span=st.floats(0.03, 5.0), share=st.floats(0.0, 1.0), unit=st.sampled_from(UNITS)
    )
    def test_a_length_within_a_range_is_written_within_it(
        self, low: float, span: float, share: float, unit: Unit
    ) -> None:
        told = read(Measure(low + share * span, low, low + span).said(Words(unit)), unit)
        assert low - _EXACT <= told <= low + span + _EXACT

    def test_the_gap_beside_a_part_has_its_range(self) -> None:
        """By hand: 300 wide in 310 leaves 5 at each of two edges; 299 to 302 leave 5.5 to 4."""
        assert Measure(300.0, 299.0, 302.0).beside(5.0, 2) == Measure(5.0, 4.0, 5.5)

    def test_a_need_of_half_a_millimetre_is_left_whole_in_inches(self) -> None:
        """Nearest would be 1/64 in, which is 0.4 mm."""
        assert Measure(0.55, 0.5, 0.9).said(Words("in")) == '1/32"'
        assert Measure(0.55, 0.5, 0.6).said(Words("in")) == '0.022"'


@given(
    width=st.floats(50.0, 900.0),
    now=st.floats(5.0, 14.0),
    hold=st.sampled_from(["centred", "loose", "one edge"]),
    case=st.sampled_from(STEPS),
)
def test_a_panel_is_written_to_the_safe_side(width: float, now: float, hold: Any, case: Any) -> None:
    unit, step = case
    part = paper_cases.panel("p", "Panel", width, 400.0, hold=hold, moisture_now_pct=now)
    piece = stepped(unit, step, frames=[Frame(id="f", panels=[part])])
    [(_, done)] = worked.frames(piece)
    made = done.rows["p"].result
    told = {name: read(text, unit) for name, text in rounding.panel(made, Words(unit)).items()}
    assert made.panel_length_mm is not None
    assert told["cut_length"] <= made.panel_length_mm + _EXACT
    assert told["engagement_dry"] <= made.engagement_dry_mm + _EXACT
    for name, gap in (("gap_dry", made.gap_dry_mm), ("gap_wet", made.gap_wet_mm)):
        if math.isclose(gap, made.gap_now_mm, abs_tol=1e-9):  # of one state there is one gap: the one that is left
            assert told[name] == told["gap_now"]
        else:
            assert told[name] <= gap + _EXACT
    low, high = made.panel_width_min_mm, made.panel_width_max_mm
    if made.fits and high - low > 0.06:  # twice the finest that is written
        assert low - _EXACT <= told["cut_width"] <= high + _EXACT
        edges = 2 if made.fixed_engagement_mm is None else 1
        widest = made.gap_now_mm + (made.panel_width_mm - low) / edges
        narrowest = made.gap_now_mm - (high - made.panel_width_mm) / edges
        assert narrowest - _EXACT <= told["gap_now"] <= widest + _EXACT


def test_a_panel_s_three_states_are_written_to_the_safe_side() -> None:
    part = paper_cases.panel("p", "Panel", 300.0)
    [(_, done)] = worked.frames(stepped("mm", 0.1, frames=[Frame(id="f", panels=[part])]))
    known = {
        "width_dry_mm": 300.04,
        "width_wet_mm": 305.06,
        "gap_dry_mm": 4.09,
        "gap_wet_mm": 0.04,
        "engagement_now_mm": 6.09,
        "engagement_dry_mm": 5.09,
        "engagement_wet_mm": 7.09,
    }
    made = done.rows["p"].result.model_copy(update=known)
    today, driest, wettest = rounding.states(made, Words("mm"))
    assert (today[0], today[1], today[4]) == ("Today", made.moisture_now_pct, "6.0 mm")
    assert driest == ("Driest", made.moisture_dry_pct, "300.0 mm", "4.0 mm", "5.0 mm")
    assert wettest == ("Wettest", made.moisture_wet_pct, "305.1 mm", "0.04 mm", "7.0 mm")


@given(dry=st.floats(5.0, 7.0), wet=st.floats(10.0, 13.0), now=st.floats(7.0, 10.0), case=st.sampled_from(STEPS))
def test_every_other_kind_is_written_to_the_safe_side(dry: float, wet: float, now: float, case: Any) -> None:
    unit, step = case
    piece = stepped(unit, step, climate=MoistureClimate(dry_pct=dry, wet_pct=wet))
    piece = piece.model_copy(update={"defaults": piece.defaults.model_copy(update={"moisture_now_pct": now})})
    for part, row in worked.parts(piece):
        assert not isinstance(row, str)
        found, texts = measures.of(row.result), columns.part(row, Words(unit))
        if found.dry is not None and found.wet is not None:
            narrow, wide = ("gap_dry", "gap_wet") if found.dry < found.wet else ("gap_wet", "gap_dry")
            for name, gap, way in ((narrow, min(found.dry, found.wet), 1), (wide, max(found.dry, found.wet), -1)):
                if found.now is not None and math.isclose(gap, found.now.length, abs_tol=1e-9):
                    assert texts[name] == texts["gap_now"], part.kind
                else:
                    assert way * (read(texts[name], unit) - gap) <= _EXACT, part.kind
        for name, measure in (("cut_width", found.width), ("cut_length", found.length), ("gap_now", found.now)):
            if part.kind == "boards":
                continue  # so that the run goes into its opening, see test_setout
            if measure is not None and measure.high - measure.low > 0.06:
                assert measure.low - _EXACT <= read(texts[name], unit) <= measure.high + _EXACT, (part.kind, name)


@pytest.mark.parametrize("unit", UNITS)
@pytest.mark.parametrize("extreme", ["dry", "wet"])
@pytest.mark.parametrize("sight", [237.3, 300.0, 412.5, 431.9])
def test_where_today_is_the_driest_or_the_wettest_both_read_the_same(unit: Unit, extreme: str, sight: float) -> None:
    year = MoistureClimate(dry_pct=6.0, wet_pct=12.0)
    part = paper_cases.panel("p", "Panel", sight, moisture_now_pct=6.0 if extreme == "dry" else 12.0)
    piece = paper_cases.piece(unit, frames=[Frame(id="f", panels=[part])], climate=year)
    [(_, done)] = worked.frames(piece)
    made = done.rows["p"].result
    texts = rounding.panel(made, Words(unit))
    assert texts["gap_now"] == texts[f"gap_{extreme}"]
    today, *states = rounding.states(made, Words(unit))
    assert states[0 if extreme == "dry" else 1][2:] == today[2:]


def test_a_part_s_gap_of_one_state_reads_the_same() -> None:
    words = Words("mm")
    assert words.through((1.06, 4.04, 1.06)) == ("1.0 mm", "4.1 mm", "1.0 mm")
    assert words.through((4.04, 4.04, 1.06)) == ("4.1 mm", "4.1 mm", "1.0 mm")
    assert words.through((1.06, 4.04, 1.06), "1.1 mm") == ("1.1 mm", "4.1 mm", "1.1 mm")


def test_a_breadboard_end_stands_proud_by_one_length_on_one_page(client: Client) -> None:
    text = plain(client.get("/parts/breadboard", params={"unit": "in"}).text)
    for when, what in (
        ("wettest", "stands up to ([^ ]+) proud of the end"),
        ("driest", "stands up to ([^ ]+) proud of the top"),
    ):
        said = re.search(what, text)
        assert said is not None
        assert re.search(rf"(Proud|Shy) when {when} {re.escape(said[1])} ", text)


@pytest.fixture
def store(app: FastAPI) -> Store:
    kept: Store = app.state.store
    return kept


@pytest.mark.parametrize(("unit", "step"), STEPS)
def test_page_and_paper_do_not_differ_by_a_step(client: Client, store: Store, unit: Unit, step: float) -> None:
    piece = stepped(unit, step)
    id = store.add_piece(piece.name, pieces.dump(piece)).id
    page, sheet = client.get(f"/pieces/{id}").text, client.get(f"/pieces/{id}/sheet").text
    labels, kit = client.get(f"/pieces/{id}/labels").text, client.get(f"/pieces/{id}/kit?order=assembly").text
    for line in (line for drawn in lines.frames(piece) for line in drawn.lines):
        row = re.search(rf'<tr id="gap-{line.id}">(.*?)</tr>', page, re.DOTALL)
        assert row
        cells = [plain(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row[1], re.DOTALL)]
        wanted = ("cut_width", "cut_length", "gap_now", "gap_dry", "gap_wet", "engagement_dry")
        shown = dict(zip(wanted, (cells[1], cells[5], cells[2], *cells[6:9]), strict=True))
        assert shown == {name: line.cells[name] for name in wanted}
        printed = re.search(rf'<td class="number">{line.number}</td>.*?</tr>', sheet, re.DOTALL)
        assert printed
        for name in ("cut_width", "cut_length", "gap_now", "engagement_dry", "gap_wet"):
            assert f">{line.cells[name]}<" in html.unescape(printed[0])
        bench = plain(client.get(f"/pieces/{id}/parts/{line.id}").text)
        assert f"engaged {line.cells['engagement_dry']}" in bench or not line.fits
        if line.fits:
            assert plain(line.size) in plain(labels)
            assert plain(line.leave) in plain(kit)


@pytest.mark.parametrize(("depth", "told"), [(9.525, "9.53 mm"), (8.25, "8.25 mm"), (9.0, "9.0 mm")])
def test_a_groove_is_written_as_exactly_as_a_cutter_is_set(
    client: Client, store: Store, depth: float, told: str
) -> None:
    frame = Frame(id="f", groove_depth_mm=depth, panels=[paper_cases.panel("p", "Panel", 200.0)])
    piece = paper_cases.piece(frames=[frame], parts=[])
    id = store.add_piece(piece.name, pieces.dump(piece)).id
    for address in ("", "/sheet", "/kit", "/labels", "/parts/p"):
        assert told in plain(client.get(f"/pieces/{id}{address}").text), address
    assert f"Groove depth {told}" in plain(client.get("/", params={"groove_depth": f"{depth}"}).text)
    written = list(csv.DictReader(io.StringIO(client.get(f"/pieces/{id}/gap-table.csv").text)))
    assert float(written[0]["Groove depth (mm)"]) == depth


@pytest.mark.parametrize(("unit", "step"), STEPS)
def test_other_parts_do_not_differ_by_a_step_either(client: Client, store: Store, unit: Unit, step: float) -> None:
    piece = stepped(unit, step)
    id = store.add_piece(piece.name, pieces.dump(piece)).id
    page, sheet = client.get(f"/pieces/{id}").text, client.get(f"/pieces/{id}/sheet").text
    for line in others(piece):
        row = re.search(rf'<tr class="part"><th scope="row"><a href="/pieces/{id}/parts/{line.id}">(.*?)</tr>', page)
        assert row
        cells = [plain(cell) for cell in re.findall(r"<td[^>]*>(.*?)</td>", row[1])]
        wanted = ("cut_width", "cut_length", "gap_now", "gap_dry", "gap_wet")
        assert [cells[1], cells[5], cells[2], *cells[6:8]] == [line.cells[name] for name in wanted]
        printed = re.search(rf'<td class="number">{line.number}</td>.*?</tr>', sheet, re.DOTALL)
        assert printed
        assert plain(line.size) in plain(printed[0])
        assert all(line.cells[name] in plain(printed[0]) for name in ("gap_now", "gap_dry", "gap_wet"))
        bench = plain(client.get(f"/pieces/{id}/parts/{line.id}").text)
        assert plain(line.cells["gap_now"]) in bench or line.cells["gap_now"] == rounding.NONE
        for name in ("gap_dry", "gap_wet"):
            assert line.cells[name] in bench or line.cells[name] == rounding.NONE
