"""Sheets as one page for a browser: it needs nothing else, runs nothing, and loads nothing."""

from base64 import b64encode
from collections.abc import Iterable, Iterator
from hashlib import sha256
from html import escape

from routecode.show.sheets.sheet import Book, Sheet, text_of

STYLE = """\
:root { color-scheme: light dark; }
body { font: 15px/1.45 system-ui, sans-serif; margin: 2rem auto; max-width: 90rem; padding: 0 1rem; }
h1 { font-size: 1.5rem; margin: 0; } h2 { font-size: 1.15rem; margin: 2rem 0 .3rem; }
p { margin: .3rem 0; max-width: 60rem; }
.scroll { overflow-x: auto; }
.caution { border-left: .3rem solid; padding-left: .7rem; }
table { border-collapse: collapse; font-size: .88rem; }
th, td { text-align: left; vertical-align: top; padding: .25rem .6rem; border-bottom: 1px solid #8886; }
th { position: sticky; top: 0; background: Canvas; border-bottom: 2px solid; vertical-align: bottom; }
td.n { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; }
tbody tr:nth-child(even) { background: #8881; }
@media print { body { margin: 0; max-width: none; } tr { break-inside: avoid; } thead { display: table-header-group; }
.scroll { overflow: visible; } table { font-size: 8pt; } }
"""


def page_of(book: Book, name: str, cautions: Iterable[str] = ()) -> bytes:
    """The page; `cautions` stand on top; `name` is the command that made it, by which it knows its own pages again."""
    return "".join(_page(book, name, cautions)).encode()


def is_ours(start: bytes, name: str) -> bool:
    """Whether a file that begins so is a page that this command made."""
    return f'<meta name="generator" content="routecode {name}">'.encode() in start


def _page(book: Book, name: str, cautions: Iterable[str]) -> Iterator[str]:
    digest = b64encode(sha256(STYLE.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
    title = f"{text_of(book.title)}: {text_of(book.studio)}"
    yield '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
    yield f'<meta http-equiv="Content-Security-Policy" content="{policy}">\n'
    yield f'<meta name="generator" content="routecode {name}">\n<meta name="referrer" content="no-referrer">\n'
    yield '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
    yield f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n<h1>{escape(title)}</h1>\n"
    yield f"<p>{escape(text_of(book.called))}</p>\n"
    yield from (f'<p class="caution"><strong>Caution:</strong> {escape(caution)}</p>\n' for caution in cautions)
    for sheet in book.sheets:
        yield from _sheet(sheet)
    yield "</main>\n</body>\n</html>\n"


def _sheet(sheet: Sheet) -> Iterator[str]:
    yield f"<section>\n<h2>{escape(text_of(sheet.title))}</h2>\n"
    if sheet.words:
        yield f"<p>{escape(text_of(sheet.words))}</p>\n"
    if sheet.rows:
        heads = "".join(f'<th scope="col">{escape(head)}</th>' for head in sheet.heads)
        yield f'<div class="scroll" tabindex="0">\n<table>\n<thead><tr>{heads}</tr></thead>\n<tbody>\n'
        for row, texts in zip(sheet.rows, sheet.texts, strict=True):
            cells = zip(row, texts, strict=True)
            yield "<tr>" + "".join(
                f'<td class="n">{text}</td>' if isinstance(cell, (int, float)) else f"<td>{escape(text)}</td>"
                for cell, text in cells
            )
            yield "</tr>\n"
        yield "</tbody>\n</table>\n</div>\n"
    yield "</section>\n"
