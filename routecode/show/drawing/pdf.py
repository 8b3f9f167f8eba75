"""A finished drawing as a PDF of one page as large as the drawing, in the fonts of the paper, which are in the file."""

from typing import NamedTuple

from routecode.show.drawing.svg import MADE_BY

MOST = 14_400.0
"""The longest side of a page that every reader of PDF shows, in points (200 inches); a larger drawing is scaled down to it."""


class Made(NamedTuple):
    """The file, and for each text with signs that the fonts lack those signs."""

    data: bytes
    lacking: tuple[tuple[str, tuple[str, ...]], ...]


def pdf_of(svg: str, title: str = "") -> Made:
    """The PDF of a finished drawing."""
    from routecode.show.paper import vector
    from routecode.show.paper.pen import Pen, Size

    picture = vector.read(svg)
    scale = min(1.0, MOST / max(picture.wide, picture.high))
    pen = Pen(title, made_by=MADE_BY)
    pen.page(Size("drawing", picture.wide * scale, picture.high * scale))
    vector.draw(pen, picture, 0, 0, scale)
    return Made(pen.done(), tuple(sorted(pen.lacking.items())))
