"""A piece's gap table as files: CSV and a spreadsheet, in the piece's unit."""

import io
import re
from datetime import date
from fractions import Fraction
from math import isnan, nan
from typing import TYPE_CHECKING

from fastapi.responses import Response

from movement import gap_table, lengths, names
from movement.gap_table import PartRow, Row
from movement.lengths import INCH, Unit
from movement.parts.boards import BoardsResult
from movement.piece import Piece
from webapp import columns, rounding, setout
from webapp.words import Words

if TYPE_CHECKING:
    import pandas as pd

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_DECIMALS = {"mm": 2, "in": 6}
"""Decimals of a length in a file: finer than any shop cuts, and 1/64 in exactly."""
_GIVEN_DECIMALS = 6
"""Of a length that is given; what is beyond is of the machine's own counting."""
_GIVEN = ("sight_width_mm", "groove_depth_mm", "opening_mm")
"""Lengths that nothing is cut to by this table: they are written as exactly as a file holds them."""
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_SAME = 1e-6
_FINEST = 64
"""The finest fraction of an inch that a spreadsheet shows, as the page does."""
_WIDE = {"frame": 20, "part": 22, "species": 24, "also": 40, "advice": 60}


def safe_text(text: str) -> str:
    """Text that no spreadsheet runs as a formula: a leading apostrophe where the first character could start one."""
    return f"'{text}" if text.startswith(_FORMULA) or text.lstrip().startswith(_FORMULA) else text


def headings(unit: Unit) -> list[str]:
    """The columns' headings, lengths in the unit."""
    return [text.replace("(mm)", f"({unit})") for text in gap_table.COLUMNS.values()]


def table(piece: Piece) -> "pd.DataFrame":
    """The gap table as a file holds it: what is sized as the page writes it, yes or no, harmless text."""
    rows, words = gap_table.whole(piece), Words(piece.unit)
    frame = gap_table.data_frame(piece, rows)
    told = [columns.table(row, words) for row in rows]
    for name in gap_table.NUMBERS:
        if name in _GIVEN:
            frame[name] = (frame[name] / (INCH if piece.unit == "in" else 1.0)).round(_GIVEN_DECIMALS)
        elif name.endswith("_mm"):
            frame[name] = [_number(texts[name], piece.unit) for texts in told]
        else:
            frame[name] = frame[name].round(2)
    frame["also"] = [_also(row, text, words) for row, text in zip(rows, frame["also"], strict=True)]
    for name in gap_table.TEXTS:
        frame[name] = frame[name].map(safe_text, na_action="ignore")
    frame["fits"] = frame["fits"].map({True: "yes", False: "no"})
    return frame


def csv_text(piece: Piece) -> str:
    """The gap table as CSV: a heading row with units, one row per part, numbers with a decimal point."""
    return table(piece).to_csv(index=False, header=headings(piece.unit), lineterminator="\r\n")


def xlsx_bytes(piece: Piece) -> bytes:
    """The gap table as a spreadsheet: typed numbers, a frozen heading, a print area one page wide.

    What is sized has the rounded lengths of the page, so that its number format shows them as they are: in inches as
    fractions of 1/64 or coarser, or as decimals where no 1/64 keeps every rule.
    """
    import xlsxwriter

    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})
    title = "".join(letter if letter.isprintable() else " " for letter in piece.name)
    book.set_properties({"title": f"Gap table: {title}"})
    sheet = book.add_worksheet("Gap table")
    heading = book.add_format({"bold": True, "text_wrap": True, "valign": "top", "bottom": 1})
    words = book.add_format({"text_wrap": True, "valign": "top"})
    looks = {
        shape: book.add_format({"num_format": shape, "valign": "top"})
        for shape in ("General", "0.0", "0.00", "0.000", "0", *(_fraction(1 << power) for power in range(1, 7)))
    }
    for index, (name, text) in enumerate(zip(gap_table.COLUMNS, headings(piece.unit), strict=True)):
        sheet.write_string(0, index, text, heading)
        sheet.set_column(index, index, _WIDE.get(name, 11))
    rows = table(piece)
    for index, name in enumerate(gap_table.COLUMNS):
        for line, shown in enumerate(rows[name], start=1):
            if isinstance(shown, str):
                sheet.write_string(line, index, shown, words)
            elif shown is not None and not isnan(shown):
                sheet.write_number(line, index, shown, looks[_shape(name, shown, piece.unit)])
    sheet.freeze_panes(1, 2)
    sheet.repeat_rows(0)
    sheet.print_area(0, 0, max(len(rows), 1), len(gap_table.COLUMNS) - 1)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.set_footer(f"&L{title.replace('&', '&&')}&C{date.today().isoformat()}&R&P / &N")
    book.close()
    return out.getvalue()


def _number(text: str, unit: Unit) -> float:
    """The number of a length in words, in the unit; not a number where there is none."""
    if text == rounding.NONE:
        return nan
    length = lengths.read(text, unit)
    return round(length / INCH if unit == "in" else length, _DECIMALS[unit])


def _also(row: Row | PartRow, told: str, words: Words) -> str:
    """What else is told of a row; of a run of boards also what is left at its ends, as the page has it."""
    made = row.result
    if not isinstance(made, BoardsResult):
        return told
    run = setout.of(made, words)
    return f"{told}; {run.end} {run.where} today"


def _shape(name: str, number: float, unit: Unit) -> str:
    """The number format that shows a cell as it is."""
    if name.endswith("_mm"):
        if unit == "mm":
            return "0.0" if round(number, 1) == number else "0.00"
        parts = Fraction(number).limit_denominator(_FINEST)
        if abs(float(parts) - number) > _SAME or parts.denominator & (parts.denominator - 1):
            return "0.000"
        return "0" if parts.denominator == 1 else _fraction(parts.denominator)
    return "0.0" if name.endswith("_pct") else "General"


def _fraction(parts: int) -> str:
    return f"# {'??' if parts > 9 else '?'}/{parts}"


def file_name(name: str, ending: str) -> str:
    """A file name from a piece's name: ASCII letters, digits and hyphens.

    Example
    -------
    >>> file_name("Büfett, links", "csv")
    'bufett-links.csv'
    """
    plain = re.sub(r"[^a-z0-9]+", "-", names.fold(name)).strip("-") or "piece"
    return f"{plain[:60]}.{ending}"


def download(content: bytes, kind: str, name: str) -> Response:
    """A file that a browser saves."""
    return Response(content, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'})
