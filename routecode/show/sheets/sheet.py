"""A table as a value, and what every form of it needs: cells as text, safe for a terminal and for a spreadsheet."""

from datetime import date

from attrs import frozen

from routecode.show.escape import visible


class Money(float):
    """An amount of money: always told with two decimals."""


Cell = str | float | int | date | None
"""None: empty. Numbers stay numbers in a spreadsheet; texts are texts there, whatever they begin with."""


@frozen
class Sheet:
    """A table: its title, a sentence under it (may be empty), heads, and rows with as many cells (ValueError otherwise)."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    words: str = ""

    def __attrs_post_init__(self) -> None:
        if any(len(row) != len(self.heads) for row in self.rows):
            raise ValueError("every row of a sheet has as many cells as the sheet has heads")

    @property
    def texts(self) -> list[list[str]]:
        """The rows as texts, fit to be shown."""
        return [[text_of(cell) for cell in row] for row in self.rows]


@frozen
class Book:
    """Sheets that belong together: the studio's title, what they are, which revision, as a person is told of it."""

    studio: str
    title: str
    called: str
    sheets: tuple[Sheet, ...]


def text_of(cell: Cell) -> str:
    """A cell as text: numbers without needless zeros, days as 2026-03-01, nothing that moves or hides text."""
    if cell is None:
        return ""
    if isinstance(cell, str):
        return visible(cell)
    if isinstance(cell, date):
        return cell.isoformat()
    return f"{cell:.2f}" if isinstance(cell, Money) else number(cell)


def number(value: float) -> str:
    """A number in full: 1013, 2.35; at most two decimals."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
