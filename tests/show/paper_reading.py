"""A PDF read back by an outside reader (pdfplumber): words, boxes of signs, lines, in millimetres or points from the upper left."""

import io
from typing import Any

import pdfplumber

MM = 72 / 25.4


def pages(data: bytes) -> list[Any]:
    """The pages of a document."""
    return list(pdfplumber.open(io.BytesIO(data)).pages)


def signs(page: Any) -> str:
    """All signs of a page, without blanks, in the order in which they were written."""
    return "".join("".join(char["text"] for char in page.chars).split())


def squeezed(words: str) -> str:
    """A text as `signs` gives it."""
    return "".join(words.split())
