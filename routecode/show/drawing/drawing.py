"""Drawings from circuits, whole: what to draw, one layout for all views, and each view as a file. The door to this folder."""

import struct
import zlib
from collections.abc import Sequence

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.show.drawing import around
from routecode.show.drawing.around import Part
from routecode.show.drawing.compare import Both, Mark, compared
from routecode.show.drawing.compose import compose
from routecode.show.drawing.engine import Engine, Fault, run
from routecode.show.drawing.layout import layout_text, read_layout
from routecode.show.drawing.measure import visible
from routecode.show.drawing.paint import Painted, View, page_size, paint
from routecode.show.drawing.pdf import pdf_of
from routecode.show.drawing.picture import Picture
from routecode.show.drawing.route import Placed
from routecode.show.drawing.svg import MADE_BY, finish

FORMATS = ("svg", "png", "pdf", "gv")
_DOTS_PER_INCH = 144
_TOLD = 40


@frozen
class Asked:
    """What is to be drawn. `called`: how the revisions are called, before and after (or one alone); `place`: draw what is around it.

    `guessing`: whether names that only probably read otherwise are taken so.
    """

    before: Circuit | None
    after: Circuit
    title: str
    called: tuple[str, ...]
    setup: str | None = None
    place: str | None = None
    whole: bool = False
    guessing: bool = True


@frozen
class Drawn:
    """One picture: `view` says which side, `data` are the bytes of the file, `note` what is to be known about it (or empty)."""

    view: View
    data: bytes
    note: str = ""


@frozen
class Plan:
    """A picture with its places: all views come from it."""

    asked: Asked
    both: Both
    picture: Picture
    placed: Placed

    @property
    def views(self) -> tuple[View, ...]:
        """The views that belong to what was asked."""
        return (View.BEFORE, View.AFTER, View.CHANGE) if self.picture.compared else (View.ONE,)

    def head(self, view: View) -> str:
        """The line above the picture."""
        side = {View.ONE: "", View.BEFORE: " before", View.AFTER: " after", View.CHANGE: " change"}[view]
        return visible(
            f"{self.asked.title}:{side}{' in setup' if self.asked.setup else ''} {self.asked.setup or 'unpatched'}"
        )

    def foot(self, view: View) -> str:
        """The line below it: revision, state, what is left out, and that it is no order to solder by."""
        called = self.asked.called
        shown = {View.BEFORE: called[0], View.AFTER: called[-1]}.get(view, " to ".join(called))
        state = f"setup {self.asked.setup}" if self.asked.setup else "unpatched"
        part = f"a part: {self.picture.drawn} of {self.picture.of} units and bays" if self.picture.part else ""
        return visible("; ".join(text for text in (shown, state, part, "design aid: check on site") if text))


def part_of(both: Both, asked: Asked) -> Part | None:
    """Which part is drawn; None where the place does not exist. A change of a large studio is drawn with what is around it."""
    if asked.place is not None:
        starts = around.steps_of_place(both, asked.place)
        return None if starts is None else around.nearby(both, starts, around.FAR)
    changed = around.changed_steps(both) if both.compared else set()
    if asked.whole or not changed or around.size(both) <= around.WHOLE_UP_TO:
        return around.whole(both)
    return around.nearby(both, changed)


def picture_of(asked: Asked) -> tuple[Both, Picture] | None:
    """Both sides and their picture; None where the place that was asked for does not exist."""
    both = compared(asked.before, asked.after, asked.setup, guessing=asked.guessing)
    part = part_of(both, asked)
    return None if part is None else (both, compose(both, part, asked.setup is not None))


def plan(asked: Asked, both: Both, picture: Picture, engine: Engine) -> Plan | Fault:
    """One layout for every view."""
    answer = run(engine, "dot", "json", layout_text(picture))
    if isinstance(answer, Fault):
        return answer
    placed = read_layout(picture, answer.decode(errors="replace"))
    if placed is None:
        return Fault(f"{engine.name} left something out of the layout.")
    return Plan(asked, both, picture, placed)


def drawn(planned: Plan, view: View, form: str, engine: Engine) -> Drawn | Fault:
    """One view as a file of the given format; checked for completeness before it is given out."""
    feet = [planned.foot(found) for found in planned.views]
    size = page_size(planned.picture, planned.placed, feet)
    texts = (planned.head(view), planned.foot(view))
    painted = paint(planned.picture, planned.placed, view, texts, size)
    if form == "gv":
        return Drawn(view, f"// {MADE_BY}; to render: neato -n2 -Tsvg\n{painted.text}".encode())
    answer = run(engine, "neato", "svg", painted.text)
    if isinstance(answer, Fault):
        return answer
    svg = finish(answer, painted, planned.head(view), _described(planned, view), f"{view.value}-" if view.value else "")
    if svg is None:
        return Fault(f"{engine.name} left lines out of the drawing.")
    if form == "svg":
        return Drawn(view, svg.encode())
    if form == "pdf":
        made = pdf_of(svg, planned.head(view))
        return Drawn(view, made.data, _lacking(made.lacking))
    return _png(planned, view, texts, engine)


def _lacking(lacking: Sequence[tuple[str, Sequence[str]]]) -> str:
    """What is to be known of signs that the fonts of the PDF lack."""
    if not lacking:
        return ""
    codes = sorted({sign for _, signs in lacking for sign in signs})
    said = ", ".join(f"U+{ord(sign):04X}" for sign in codes[:_CODES])
    more = f" and {len(codes) - _CODES} more" if len(codes) > _CODES else ""
    return f"The fonts of the PDF lack {said}{more}: a box with the code point stands there; the SVG has them."


_CODES = 6


def _png(planned: Plan, view: View, texts: tuple[str, str], engine: Engine) -> Drawn | Fault:
    size = page_size(planned.picture, planned.placed, [planned.foot(found) for found in planned.views])
    painted: Painted = paint(planned.picture, planned.placed, view, texts, size, cut=True)
    resolution = _DOTS_PER_INCH if max(size) < 7000 else 72
    answer = run(engine, "neato", "png", painted.text, (f"-Gdpi={resolution}",))
    if isinstance(answer, Fault):
        return answer
    others = sum(1 for sign in painted.text if ord(sign) > _LAST_DRAWN and not sign.isspace() and sign not in "–—…→�")
    note = f"{others} letters of other scripts may be missing in the PNG; the SVG has them." if others else ""
    return Drawn(view, marked(answer), note)


_LAST_DRAWN = 0x5FF
"""Latin, Greek, Cyrillic and Hebrew end here; the fonts that graphviz-pure brings know no others."""


def marked(png: bytes) -> bytes:
    """The PNG with a word in it that says who made it."""
    if len(png) < 33 or not png.startswith(b"\x89PNG\r\n\x1a\n"):
        return png
    body = b"tEXtSoftware\x00" + MADE_BY.encode()
    chunk = struct.pack(">I", len(body) - 4) + body + struct.pack(">I", zlib.crc32(body))
    return png[:33] + chunk + png[33:]


def is_ours(start: bytes) -> bool:
    """Whether a file that starts like this was drawn by us."""
    return MADE_BY.encode() in start[:4096]


def _described(planned: Plan, view: View) -> str:
    """The picture in a few sentences, for who cannot see it."""
    picture = planned.picture
    units = sum(1 for block in picture.blocks if block.kind == "unit" and view.shows(block.mark))
    bays = len({block.of for block in picture.blocks if block.kind == "band" and view.shows(block.mark)})
    lines = [line for line in picture.lines if view.shows(line.mark)]
    said = [
        f"{units} units and {bays} bays, joined by {sum(line.count for line in lines)} cables and cords. The signal flows from top to bottom."
    ]
    told = [line.said for line in lines if line.mark is not Mark.SAME]
    told += [block.said for block in picture.blocks if block.mark is not Mark.SAME and view.shows(block.mark)]
    said += _sentences(told)
    return visible(" ".join(said))


def _sentences(told: Sequence[str]) -> list[str]:
    found = [f"{text}." for text in told[:_TOLD]]
    return found + ([f"And {len(told) - _TOLD} more."] if len(told) > _TOLD else [])
