"""The book of the studio: one revision on paper, whole. The door; each chapter is a module of its own (`book_*`).

Chapters in order: drawings, bays, setups as patch sheets, cables, parts, findings, what is not written down. Nothing is refused for
its size; what is left out for it is said on the first pages. Same input, same bytes.
"""

from collections.abc import Iterator

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.hands.cables import schedule
from routecode.hands.parts import Bill, bill_of
from routecode.show.book_cables import Cables
from routecode.show.book_drawings import NO_ENGINE, Drawings
from routecode.show.book_faces import Faces
from routecode.show.book_findings import Findings
from routecode.show.book_front import contents, front
from routecode.show.book_gaps import gaps
from routecode.show.book_pages import Section, table
from routecode.show.book_setups import Setups
from routecode.show.drawing.engine import Engine
from routecode.show.paper.pieces import Block, Words
from routecode.show.paper.sheets import Head, Made, inner, sheets
from routecode.show.parts_sheets import book_of as parts_book
from routecode.studio.opened import Opened

TITLE = "Book of the studio"


@frozen
class Bound:
    """The book, and what had to be left out of it."""

    made: Made
    left: tuple[str, ...]


def book(opened: Opened, circuit: Circuit, head: Head, engine: Engine | None, paper: str = "a4") -> Bound:
    """The book of a revision that compiles; `engine` None: there is no graphviz, and no drawing."""
    plant, room = circuit.plant, inner(paper, level=True)
    cables, bill = schedule(plant), bill_of(plant)
    drawn = Drawings(circuit, head.studio, engine, room) if engine is not None else None
    faces, setups = Faces(circuit, room), Setups(circuit)
    laid, findings = Cables(plant, cables), Findings(opened, plant)
    left = [] if drawn is not None else [NO_ENGINE]
    body: list[Block] = [] if drawn is None else list(drawn.blocks())
    for blocks in (
        faces.blocks(),
        setups.blocks(),
        laid.blocks(),
        _parts(circuit, bill, head.called),
        findings.blocks(),
    ):
        body += blocks
    body += gaps(plant, cables, bill)
    left += [text for chapter in (drawn, faces, setups, laid, findings) if chapter is not None for text in chapter.left]
    before = [
        *front(head, opened, plant, cables, left),
        *contents(block for block in body if isinstance(block, Section)),
    ]
    return Bound(sheets(head, [*before, *body], paper, level=True), tuple(left))


def _parts(circuit: Circuit, bill: Bill, called: str) -> Iterator[Block]:
    """The chapter of the parts: what the studio contains that is bought, and what is to be ordered."""
    yield Section("Parts", "parts")
    for number, sheet in enumerate(parts_book(circuit.plant, bill, called, change=False).sheets):
        if sheet.title == "Not counted":
            continue  # the last chapter has it
        if number:
            yield Section(sheet.title, f"parts-{number}", 2)
        if sheet.words:
            yield Words(sheet.words)
        if sheet.rows:
            yield table(sheet.heads, sheet.texts, bold=(1,) if not number else (0,))
