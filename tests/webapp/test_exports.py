"""A piece's gap table as files: the numbers of the page, text that no spreadsheet runs."""

import csv
import io
import json
from typing import Any

import openpyxl
import pytest
from fastapi import FastAPI

from movement import gap_table, lengths
from movement import piece as pieces
from movement.lengths import Unit
from movement.piece import Piece
from movement.tables import DATA
from webapp import columns, exports, rounding
from webapp.store import Store
from webapp.words import Words

from .conftest import Client

DEMO = json.loads((DATA / "demo_piece.json").read_text(encoding="utf-8"))
BAD = ("=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "\r=1", "＝1")


@pytest.fixture
def piece() -> Piece:
    return pieces.load(json.dumps(DEMO))


@pytest.fixture
def inches() -> Piece:
    return pieces.load(json.dumps(DEMO | {"unit": "in"}))


@pytest.fixture
def hostile() -> Piece:
    """Names that a spreadsheet would take for formulas, wherever a maker can name something."""
    own = [{"name": name.strip(), "coefficient_radial": 0.002, "coefficient_tangential": 0.004} for name in BAD]
    frames = [
        {
            "id": f"f{number}",
            "name": name,
            "panels": [{"id": f"p{number}", "name": name, "sight_width_mm": 3000, "species": own[number]["name"]}],
        }
        for number, name in enumerate(BAD)
    ]
    own = list({one["name"]: one for one in own}.values())
    parts = [
        {"kind": "slot", "id": f"s{number}", "name": name, "distance_mm": 300, "screw_mm": 5}
        for number, name in enumerate(BAD)
    ]
    hostile = {"own_species": own, "frames": frames, "parts": parts, "name": "=Cupboard & Co\x07"}
    return pieces.load(json.dumps(DEMO | hostile))


def narrow(unit: Unit) -> Piece:
    """A frame with one panel, whose groove leaves hardly any width to choose."""
    document = DEMO | {"unit": unit, "frames": [], "parts": []}
    panels = [{"id": "p", "name": "Panel", "sight_width_mm": 300.0}]
    frame: dict[str, Any] = {"id": "f", "name": "Frame", "panels": panels}
    (row,) = gap_table.rows(pieces.load(json.dumps(document | {"frames": [frame]})))
    frame["groove_depth_mm"] = row.result.least_groove_depth_mm + 0.1
    return pieces.load(json.dumps(document | {"frames": [frame]}))


def read_csv(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text)))


def sheet(content: bytes) -> Any:
    return openpyxl.load_workbook(io.BytesIO(content))["Gap table"]


def fraction(cell: Any) -> str:
    """What a spreadsheet shows of a number in a format such as "# ??/32" or "0.000"; empty for an empty cell."""
    if cell.value is None:
        return ""
    if cell.number_format == "0.000":
        return f"{abs(cell.value):.3f}"
    if cell.number_format == "0":
        return f"{cell.value:.0f}"
    parts = int(cell.number_format.rpartition("/")[2])
    whole, rest = divmod(round(abs(cell.value) * parts), parts)
    assert rest
    return f"{whole} {rest}/{parts}" if whole else f"{rest}/{parts}"


class TestCsv:
    def test_it_has_a_heading_with_units_and_a_line_per_part(self, piece: Piece) -> None:
        lines = read_csv(exports.csv_text(piece))
        assert list(lines[0]) == list(gap_table.COLUMNS.values())
        assert [line["Part"] for line in lines] == [row.part.name for row in gap_table.whole(piece)]

    @pytest.mark.parametrize("unit", ["mm", "in"])
    def test_its_lengths_are_those_of_the_page(self, unit: Unit) -> None:
        made = pieces.load(json.dumps(DEMO | {"unit": unit}))
        scale = 25.4 if unit == "in" else 1.0
        for line, row in zip(read_csv(exports.csv_text(made)), gap_table.whole(made), strict=True):
            for name, text in columns.table(row, Words(unit)).items():
                told = line[gap_table.COLUMNS[name].replace("(mm)", f"({unit})")]
                if name == "opening_mm":
                    continue
                if text == rounding.NONE:
                    assert told == ""
                else:
                    assert float(told) * scale == pytest.approx(lengths.read(text, unit), abs=1e-4), name

    def test_its_other_numbers_are_those_of_the_core(self, piece: Piece) -> None:
        for line, row in zip(read_csv(exports.csv_text(piece)), gap_table.whole(piece), strict=True):
            cells = row.cells()
            for name in ("sight_width_mm", "groove_depth_mm", "opening_mm", "moisture_dry_pct", "ring_angle_deg"):
                value = cells[name]
                if isinstance(value, float):
                    assert float(line[gap_table.COLUMNS[name]]) == pytest.approx(value, abs=0.00501)

    @pytest.mark.parametrize("unit", ["mm", "in"])
    def test_what_it_says_to_cut_keeps_every_rule(self, unit: Unit) -> None:
        """A groove that leaves a panel a hundredth of a millimetre or two, far less than 1/64 in."""
        made = narrow(unit)
        (row,) = gap_table.rows(made)
        scale = 25.4 if unit == "in" else 1.0
        assert row.result.fits
        assert row.result.panel_width_max_mm - row.result.panel_width_min_mm < 0.3
        (line,) = read_csv(exports.csv_text(made))
        cut, wet = float(line[f"Width to cut ({unit})"]) * scale, float(line[f"Gap, wet ({unit})"]) * scale
        assert row.result.panel_width_min_mm <= cut <= row.result.panel_width_max_mm
        assert 0 < wet <= row.result.gap_wet_mm + 1e-6

    def test_a_piece_in_inches_is_in_inches(self, piece: Piece, inches: Piece) -> None:
        line, metric = read_csv(exports.csv_text(inches))[0], read_csv(exports.csv_text(piece))[0]
        assert float(line["Sight width (in)"]) == pytest.approx(312 / 25.4, abs=1e-6)
        assert line["Moisture today (%)"] == metric["Moisture today (%)"]

    def test_it_is_sent_as_utf_8_with_a_name(self, client: Client, app: FastAPI) -> None:
        store: Store = app.state.store
        id = store.add_piece("Büfett", json.dumps(DEMO | {"name": "Büfett, größer"})).id
        response = client.get(f"/pieces/{id}/gap-table.csv")
        assert response.headers["content-type"] == "text/csv; charset=utf-8"
        assert response.headers["content-disposition"] == 'attachment; filename="bufett-grosser.csv"'
        assert response.content.startswith(b"\xef\xbb\xbf")
        assert "Ring angle (°)" in response.content.decode("utf-8-sig")

    def test_an_empty_piece_is_a_heading(self) -> None:
        assert exports.csv_text(pieces.load(json.dumps(DEMO | {"frames": [], "parts": []}))).count("\n") == 1


class TestSpreadsheet:
    def test_its_cells_are_those_of_the_csv(self, piece: Piece) -> None:
        heading, *lines = sheet(exports.xlsx_bytes(piece)).iter_rows(values_only=True)
        assert list(heading) == list(gap_table.COLUMNS.values())
        for line, told in zip(lines, read_csv(exports.csv_text(piece)), strict=True):
            for name, value in zip(heading, line, strict=True):
                same = float(told[name]) == value if isinstance(value, int | float) else told[name] == (value or "")
                assert same, name

    @pytest.mark.parametrize("made", [pieces.load(json.dumps(DEMO | {"unit": "in"})), narrow("in")])
    def test_in_inches_it_shows_what_the_page_shows(self, made: Piece) -> None:
        heading, *lines = sheet(exports.xlsx_bytes(made)).iter_rows()
        names = dict(zip(gap_table.COLUMNS, range(len(heading)), strict=True))
        for line, row in zip(lines, gap_table.whole(made), strict=True):
            for name, text in columns.table(row, Words("in")).items():
                if name != "opening_mm":
                    page = "" if text == rounding.NONE else text.removeprefix(lengths.MINUS).removesuffix('"')
                    assert fraction(line[names[name]]) == page, name

    def test_a_width_that_no_64th_keeps_is_a_decimal(self) -> None:
        _, line = sheet(exports.xlsx_bytes(narrow("in"))).iter_rows()
        cell = line[list(gap_table.COLUMNS).index("cut_width_mm")]
        assert cell.number_format == "0.000"

    def test_it_opens_with_its_heading_held_and_prints_one_page_wide(self, piece: Piece) -> None:
        shown = sheet(exports.xlsx_bytes(piece))
        assert shown.freeze_panes == "C2"
        assert shown.print_title_rows == "$1:$1"
        assert (shown.page_setup.orientation, shown.page_setup.fitToHeight) == ("landscape", 0)
        assert shown.sheet_properties.pageSetUpPr.fitToPage

    def test_it_is_sent_with_a_name(self, client: Client, app: FastAPI) -> None:
        id = app.state.store.pieces()[0].id
        response = client.get(f"/pieces/{id}/gap-table.xlsx")
        assert response.headers["content-type"] == exports.XLSX
        assert response.headers["content-disposition"] == 'attachment; filename="linen-cupboard-demo.xlsx"'
        assert sheet(response.content).max_row == 12


class TestFormulas:
    def test_no_cell_of_the_csv_starts_one(self, hostile: Piece) -> None:
        lines = read_csv(exports.csv_text(hostile))
        for line in lines:
            for name in ("Frame", "Part", "Species", "Also", "Advice", "Hold"):
                assert not line[name].lstrip().startswith(("=", "+", "-", "@", "＝")), line[name]
        assert lines[0]["Part"] == "'=1+1"

    def test_no_cell_of_the_spreadsheet_is_one(self, hostile: Piece) -> None:
        for line in sheet(exports.xlsx_bytes(hostile)).iter_rows():
            for cell in line:
                assert cell.data_type != "f"
                assert not str(cell.value if isinstance(cell.value, str) else "").startswith(("=", "+", "-", "@"))

    def test_numbers_below_zero_stay_numbers(self, piece: Piece) -> None:
        biases = [line["Bias (mm)"] for line in read_csv(exports.csv_text(piece))]
        assert min(float(one) for one in biases if one) < 0
