"""Sheets of labels as PDF (one file) and SVG (one file a page), from the same shapes. Same input, same bytes."""

from collections.abc import Sequence

from attrs import frozen

from routecode.show.escape import visible
from routecode.show.labels_shapes import Line, Page, Text
from routecode.show.paper import script
from routecode.show.paper.pen import INK, MM, Pen, Size, Stroke

MADE_BY = "routecode labels"
_SVG_FONT = "'DejaVu Sans', Verdana, Arial, sans-serif"
_POINT = 25.4 / 72


@frozen
class Pdf:
    """The file, and for each text with signs that the fonts lack those signs."""

    data: bytes
    lacking: tuple[tuple[str, tuple[str, ...]], ...]


def pdf(pages: Sequence[Page], title: str, about: str) -> Pdf:
    """The sheets as one PDF."""
    pen = Pen(title, about)
    for page in pages:
        pen.page(Size("", page.wide * MM, page.high * MM))
        for shape in page.shapes:
            if isinstance(shape, Line):
                dash = (2.0, 1.5) if shape.dashed else ()
                ends = (shape.x1 * MM, shape.y1 * MM, shape.x2 * MM, shape.y2 * MM)
                pen.line(*ends, Stroke(INK, shape.wide * MM, dash))
            else:
                pen.text(
                    shape.x * MM,
                    shape.y * MM,
                    shape.words,
                    shape.size,
                    bold=shape.bold,
                    anchor=shape.anchor,
                    squeeze=shape.squeeze,
                )
    return Pdf(pen.done(), tuple(sorted(pen.lacking.items())))


def svg(page: Page, title: str) -> str:
    """A sheet as SVG in millimetres. Texts have their lengths set, so that another font takes no more room."""
    size = f'width="{_mm(page.wide)}mm" height="{_mm(page.high)}mm" viewBox="0 0 {_mm(page.wide)} {_mm(page.high)}"'
    head = (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<!-- {MADE_BY} -->\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} font-family="{_SVG_FONT}">\n<title>{_safe(title)}</title>\n'
        f'<rect width="{_mm(page.wide)}" height="{_mm(page.high)}" fill="#FFFFFF"/>\n'
    )
    body = [_line(shape) if isinstance(shape, Line) else _text(shape) for shape in page.shapes]
    return head + "".join(body) + "</svg>\n"


def _line(shape: Line) -> str:
    ends = f'x1="{_mm(shape.x1)}" y1="{_mm(shape.y1)}" x2="{_mm(shape.x2)}" y2="{_mm(shape.y2)}"'
    dash = ' stroke-dasharray="0.7 0.5"' if shape.dashed else ""
    return f'<line class="{shape.of}" {ends} stroke="{INK}" stroke-width="{_mm(shape.wide)}"{dash}/>\n'


def _text(shape: Text) -> str:
    weight = ' font-weight="bold"' if shape.bold else ""
    anchor = f' text-anchor="{shape.anchor}"' if shape.anchor != "start" else ""
    place = f'x="{_mm(shape.x)}" y="{_mm(shape.y)}" font-size="{_mm(shape.size * _POINT)}"'
    long = f' textLength="{_mm(shape.long)}" lengthAdjust="spacingAndGlyphs"' if shape.words else ""
    words = _safe(script.cleaned(shape.words))
    return f'<text class="{shape.of}" {place}{anchor}{weight}{long} fill="{INK}" xml:space="preserve">{words}</text>\n'


def _mm(value: float) -> str:
    return f"{value:.4f}".rstrip("0").rstrip(".") or "0"


def _safe(text: str) -> str:
    """A text for SVG, without signs that XML cannot hold."""
    kept = "".join(sign if ord(sign) not in (0xFFFE, 0xFFFF) else "\ufffd" for sign in visible(text))
    kept = kept.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
    return kept.replace('"', "&quot;").replace("'", "&#39;")


def is_ours(data: bytes) -> bool:
    """Whether a file that begins so was made by this folder."""
    from routecode.show.paper.pen import is_ours as is_paper

    return is_paper(data) or MADE_BY.encode() in data[:1024]
