"""Sheets as a workbook. Every text is written as text, no formula is; the same sheets give the same bytes."""

import io
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from routecode.show.measure import width
from routecode.show.sheets.sheet import Book, Cell, Money, Sheet, text_of

LONGEST = 32_767
"""Characters that one cell of a workbook holds."""

_WIDEST = 60
_NAME = 31
_FORBIDDEN = str.maketrans(dict.fromkeys("[]:*?/\\'", " "))
_MADE = datetime(2000, 1, 1)
"""A fixed day, so that the bytes are the same."""


def xlsx_of(book: Book) -> bytes:
    """The workbook: one page a sheet, the heads in bold and kept in sight."""
    import xlsxwriter

    out = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    workbook = xlsxwriter.Workbook(out, options)
    workbook.set_properties(
        {
            "title": text_of(book.title),
            "subject": text_of(book.studio),
            "comments": text_of(book.called),
            "created": _MADE,
        }
    )
    bold = workbook.add_format({"bold": True, "bottom": 1})
    looks = {
        date: workbook.add_format({"num_format": "yyyy-mm-dd"}),
        Money: workbook.add_format({"num_format": "#,##0.00"}),
    }
    names: set[str] = set()
    for sheet in book.sheets:
        page = workbook.add_worksheet(_name(sheet.title, names))
        page.freeze_panes(1, 0)
        page.set_landscape()
        page.fit_to_pages(1, 0)
        page.repeat_rows(0)
        for column, head in enumerate(sheet.heads):
            page.write_string(0, column, head, bold)
        for number, row in enumerate(sheet.rows, 1):
            for column, cell in enumerate(row):
                _write(page, number, column, cell, looks)
        for column, wide in enumerate(_widths(sheet)):
            page.set_column(column, column, wide)
    workbook.close()
    return out.getvalue()


def _write(page: Any, row: int, column: int, cell: Cell, looks: Mapping[type, Any]) -> None:
    if cell is None:
        return
    if isinstance(cell, str):
        page.write_string(row, column, text_of(cell)[:LONGEST])
    elif isinstance(cell, date):
        page.write_datetime(row, column, cell, looks[date])
    else:
        page.write_number(row, column, cell, looks.get(type(cell)))


def _widths(sheet: Sheet) -> list[float]:
    columns = zip(*([list(sheet.heads), *sheet.texts]), strict=True)
    return [min(_WIDEST, max(map(width, column)) + 1.5) for column in columns]


def _name(title: str, taken: set[str]) -> str:
    """A name that a page of a workbook may have, and that no other has."""
    name = (text_of(title).translate(_FORBIDDEN).strip() or "sheet")[:_NAME]
    count = 1
    while name.casefold() in taken:
        count += 1
        tail = f" {count}"
        name = name[: _NAME - len(tail)] + tail
    taken.add(name.casefold())
    return name
