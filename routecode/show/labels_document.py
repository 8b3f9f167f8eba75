"""The JSON document of `labels`: strips with their pieces and cells, flags. Millimetres are true ones, before any correction for a printer."""

from typing import TYPE_CHECKING

from routecode.show.document import Document, Row
from routecode.show.shape import OneOf, OrNull, Real, Record, Several, Whole, Word, Yes

if TYPE_CHECKING:
    from routecode.hands.labels_flags import Flag
    from routecode.show.labels import Sheets
    from routecode.show.labels_strip import Strip

LINES = ("group", "top", "numbers", "bottom")
RULES = ("whole", "usual", "vowels", "three", "initials", "close", "port", "number", "cut", "blank")
_LEFT, _RIGHT = Real("From the left end of the strip."), Real("From the left end of the strip.")
LINE = Record(
    (
        ("line", OneOf(LINES)),
        ("top_mm", Real("From the upper edge of the strip.")),
        ("bottom_mm", Real("From the upper edge of the strip.")),
        ("points", Real("The size of its type; 0 where nothing is in it.")),
    )
)
PIECE = Record(
    (
        ("number", Whole("From the left.", low=1)),
        ("first", Whole("Its lowest column.", low=1)),
        ("last", Whole("Its highest column.", low=1)),
        ("left_mm", _LEFT),
        ("right_mm", _RIGHT),
        ("printed", Yes("Whether it is on the sheets; of two revisions only what differs is.")),
    )
)
CELL = Record(
    (
        ("line", OneOf(LINES)),
        ("first", Whole("Its lowest column.", low=1)),
        ("last", Whole("Its highest column.", low=1)),
        ("left_mm", _LEFT),
        ("right_mm", _RIGHT),
        ("text", Word("What is read there.")),
        ("whole", Word("What it stands for.")),
        ("rule", OneOf(RULES, "How it was shortened; `whole`: not at all.")),
    )
)
COLUMN = Record((("column", Whole(low=1)), ("left_mm", _LEFT), ("right_mm", _RIGHT)))
STRIP = Record(
    (
        ("bay", Word()),
        ("rear", Yes("As seen from behind: column 1 is on the right.")),
        ("length_mm", Real()),
        ("height_mm", Real()),
        ("columns", Several(COLUMN, "The cell of each column.")),
        ("lines", Several(LINE, "From the upper edge down.")),
        ("pieces", Several(PIECE)),
        ("cells", Several(CELL, "Line by line, as they stand.")),
    )
)
FLAG = Record(
    (
        ("number", Word("The cable.")),
        ("here", Word("Where this end goes.")),
        ("there", Word("Where the other end is.")),
        ("od_mm", OrNull(Real(), "null: its type does not say it.")),
        ("wrap_mm", Real("Once around the cable.")),
        ("dead", Yes("It is joined to nothing.")),
    )
)
LABELS = Document(
    "labels",
    "What `routecode labels --json` prints.",
    (
        ("before", OrNull(Word("The full id of a commit, `worktree`, or `staged`."), "null: not two revisions.")),
        ("revision", Word("The full id of a commit, `worktree`, or `staged`.")),
        ("paper", OneOf(("a4", "letter"))),
        ("scale", Real("What lengths are drawn with on the sheets; 1 without `--ruler-measured`.")),
        ("strips", Several(STRIP)),
        ("flags", Several(FLAG, "Two for each cable.")),
        ("notes", Several(Word(), "What a person is told besides. Outside the contract.")),
    ),
)


def labels_document(sheets: "Sheets", before: str | None, revision: str) -> Row:
    """The document of laid out labels."""
    return LABELS.answer(
        before,
        revision,
        sheets.paper.name,
        _mm(sheets.paper.scale),
        [_strip(strip) for strip in sheets.strips],
        [_flag(flag) for flag in sheets.flags],
        list(sheets.notes),
    )


def _strip(strip: "Strip") -> Row:
    found = strip.geometry
    return STRIP.row(
        strip.bay,
        strip.rear,
        _mm(found.long),
        _mm(found.high),
        [COLUMN.row(number, *map(_mm, found.cell(number))) for number in range(1, strip.columns + 1)],
        [LINE.row(band.name, _mm(band.top), _mm(band.bottom), band.size) for band in strip.bands],
        [
            PIECE.row(one.number, one.first, one.last, _mm(one.left), _mm(one.right), one.number in strip.changed)
            for one in strip.pieces
        ],
        [
            CELL.row(
                band.name, cell.first, cell.last, _mm(cell.left), _mm(cell.right), cell.shown, cell.whole, cell.rule
            )
            for band in strip.bands
            for cell in band.cells
        ],
    )


def _flag(flag: "Flag") -> Row:
    return FLAG.row(flag.number, flag.here, flag.there, flag.od_mm, _mm(flag.wrap_mm), flag.dead)


def _mm(value: float) -> float:
    return round(value, 4)
