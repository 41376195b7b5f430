"""A piece's gap table as files: CSV and a spreadsheet, in the piece's unit."""

import csv
import io
import re
from datetime import date
from fractions import Fraction

from fastapi.responses import Response

from movement import gap_table, names
from movement.lengths import INCH, Unit
from movement.parts.making import Cell
from movement.piece import Piece

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_DECIMALS = {"mm": 2, "in": 6}
"""Decimals of a length in a file: finer than any shop cuts, and 1/64 in exactly."""
_FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_FINEST = 64
"""The finest fraction of an inch that a spreadsheet shows, as the page does."""
_WIDE = {"frame": 20, "part": 22, "species": 24, "also": 40, "advice": 60}


def safe_text(text: str) -> str:
    """Text that no spreadsheet runs as a formula: a leading apostrophe where the first character could start one."""
    return f"'{text}" if text.startswith(_FORMULA) or text.lstrip().startswith(_FORMULA) else text


def headings(unit: Unit) -> list[str]:
    """The columns' headings, lengths in the unit."""
    return [text.replace("(mm)", f"({unit})") for text in gap_table.COLUMNS.values()]


def value(name: str, cell: Cell, unit: Unit) -> Cell:
    """A cell as a file holds it: lengths in the unit, yes or no, harmless text."""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, str):
        return safe_text(cell)
    if isinstance(cell, float) and name.endswith("_mm"):
        return round(cell / (INCH if unit == "in" else 1.0), _DECIMALS[unit])
    return round(cell, 2) if isinstance(cell, float) else cell


def csv_text(piece: Piece) -> str:
    """The gap table as CSV: a heading row with units, one row per part, numbers with a decimal point."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(headings(piece.unit))
    for row in gap_table.whole(piece):
        writer.writerow([value(name, cell, piece.unit) for name, cell in row.cells().items()])
    return out.getvalue()


def xlsx_bytes(piece: Piece) -> bytes:
    """The gap table as a spreadsheet: typed numbers, a frozen heading, a print area one page wide.

    In inches the numbers are inches, each shown as the fraction of 1/64 or coarser that the page shows.
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
        for shape in ("General", "0.0", "0.00", "0", *(_fraction(1 << power) for power in range(1, 7)))
    }
    for index, (name, text) in enumerate(zip(gap_table.COLUMNS, headings(piece.unit), strict=True)):
        sheet.write_string(0, index, text, heading)
        sheet.set_column(index, index, _WIDE.get(name, 11))
    table = gap_table.whole(piece)
    for line, row in enumerate(table, start=1):
        for index, (name, cell) in enumerate(row.cells().items()):
            shown = value(name, cell, piece.unit)
            if isinstance(shown, str):
                sheet.write_string(line, index, shown, words)
            elif shown is not None:
                sheet.write_number(line, index, shown, looks[_shape(name, shown, piece.unit)])
    sheet.freeze_panes(1, 2)
    sheet.repeat_rows(0)
    sheet.print_area(0, 0, max(len(table), 1), len(gap_table.COLUMNS) - 1)
    sheet.set_landscape()
    sheet.set_paper(9)
    sheet.fit_to_pages(1, 0)
    sheet.set_footer(f"&L{title.replace('&', '&&')}&C{date.today().isoformat()}&R&P / &N")
    book.close()
    return out.getvalue()


def _shape(name: str, number: float, unit: Unit) -> str:
    """The number format of a cell."""
    if name.endswith("_mm"):
        if unit == "mm":
            return "0.00"
        parts = Fraction(round(number * _FINEST), _FINEST).denominator
        return "0" if parts == 1 else _fraction(parts)
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
