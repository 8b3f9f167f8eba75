"""A sheet as CSV (RFC 4180): UTF-8 with a mark at its beginning, so that spreadsheets read it as what it is.

A text that a spreadsheet would take for a formula has an apostrophe before it: a name in the wiring must never be run.
"""

import csv
import io

from routecode.show.sheets.sheet import Cell, Sheet, text_of

FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n")
"""What a text begins with that a spreadsheet may take for a formula; full-width forms of these count too."""

_WIDE = ("\uff1d", "\uff0b", "\uff0d", "\uff20")
MARK = "\ufeff"


def csv_of(sheet: Sheet) -> bytes:
    """The heads and the rows."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(sheet.heads)
    writer.writerows([_safe(cell) for cell in row] for row in sheet.rows)
    return (MARK + out.getvalue()).encode()


def _safe(cell: Cell) -> str:
    text = text_of(cell)
    if isinstance(cell, str) and text.lstrip(" ").startswith((*FORMULA, *_WIDE)):
        return f"'{text}"
    return text
