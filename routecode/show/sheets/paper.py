"""Sheets as pages of paper (PDF), with the cautions that belong on paper that sends hands to equipment."""

from collections.abc import Iterable

from routecode.show.paper.sheets import Head, Heading, Made, Notice, Table, Words, sheets
from routecode.show.sheets.sheet import Book, text_of


def pdf_of(book: Book, revision: str, cautions: Iterable[str] = (), paper: str = "a4") -> Made:
    """The sheets one after another on a paper (`a4`, `letter`), its long side level. `revision`: the full id, or `worktree`."""
    head = Head(text_of(book.studio), text_of(book.title), text_of(book.called), revision)
    blocks: list[Heading | Notice | Table | Words] = [Notice(caution) for caution in cautions]
    for sheet in book.sheets:
        blocks.append(Heading(text_of(sheet.title)))
        if sheet.words:
            blocks.append(Words(text_of(sheet.words)))
        if sheet.rows:
            blocks.append(Table(sheet.heads, sheet.texts))
    return sheets(head, blocks, paper, level=True)
