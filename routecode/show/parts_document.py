"""The JSON document of `parts`: every line with its amounts, sums by group, cords by setup, what could not be counted."""

from routecode.hands.cables import LaidCable
from routecode.hands.parts import Bill, Line
from routecode.hands.parts_cords import Covered
from routecode.hands.parts_counts import KINDS
from routecode.language.paper import PART_UNITS
from routecode.show.document import Document, Row
from routecode.show.shape import OneOf, OrNull, Real, Record, Several, Whole, Word

LINE = Record(
    (
        ("part", OrNull(Word(), "The id in the studio's catalogue; null: it is in none.")),
        ("called", Word("What people call it. Outside the contract.")),
        ("kind", OneOf(KINDS, "What it is counted as.")),
        ("group", Word("The heading it is summed up under.")),
        ("unit", OneOf(PART_UNITS, "What stock, order and price are in.")),
        ("pieces", Whole("How many pieces one unit holds; 1 but of sets.", low=1)),
        (
            "contains",
            Real("Pieces, or metres of cable, in the studio as it is to be; of cords and adapters what is owned."),
        ),
        ("needs", Real("What is to come; cable with its allowance.")),
        ("freed", Real("What the change sets free.")),
        ("stock", Real("What lies in the drawer.")),
        ("order", Real("What is to be ordered: needs less freed less stock.")),
        ("price", OrNull(Real(), "Of one unit; null: none is written.")),
        ("cost", OrNull(Real(), "Of the order.")),
        ("worth", OrNull(Real(), "Of all that the studio contains.")),
    )
)
GROUP = Record(
    (
        ("group", Word()),
        ("cost", Real("Of the orders.")),
        ("unpriced", Whole("Parts to order that have no price.")),
        ("worth", Real("Of all that the studio contains.")),
    )
)
SHORT = Record(
    (
        ("ends", Several(Word(), "The plugs at its ends, sorted.")),
        ("number", Whole("How many.")),
        ("reach_metres", OrNull(Real(), "What it must reach.")),
        ("why", OneOf(("none", "number", "reach", "own"), "None is owned; too few; too short; how many is not said.")),
    )
)
ADAPTERS = Record((("adapter", Word()), ("number", Whole())))
SETUP = Record(
    (
        ("setup", Word("The setup.")),
        ("cords", Whole("The cords it takes.")),
        ("unmeasured", Whole("Those of which the reach is not known.")),
        ("short", Several(SHORT, "Cords that are missing.")),
        ("adapters", Several(ADAPTERS, "Adapters that are missing.")),
    )
)
_END = Record((("number", OrNull(Word())), ("metres", OrNull(Real()))))
AGAIN = Record((("was", _END), ("now", _END), ("type", OrNull(Word()))))
GAP = Record(
    (("what", Word("What the text does not say. Outside the contract.")), ("places", Whole("In how many places.")))
)
PARTS = Document(
    "parts",
    "What `routecode parts --json` prints.",
    (
        ("before", OrNull(Word(), "The full id of the revision before; null: what one revision contains.")),
        ("revision", Word("The full id of a commit, `worktree`, or `staged`.")),
        ("currency", OrNull(Word(), "What prices are in.")),
        ("parts", Several(LINE)),
        ("groups", Several(GROUP)),
        ("cost", Real("Of all orders that have a price.")),
        ("worth", Real("Of all that the studio contains and has a price.")),
        ("setups", Several(SETUP, "Whether the cords owned cover every setup.")),
        ("again", Several(AGAIN, "Lengths of cable that are used again.")),
        ("waiting", Whole("Cables that were to be made before and still are; they are not counted.")),
        ("uncounted", Several(GAP)),
    ),
)


def parts_document(before: str | None, revision: str, bill: Bill) -> Row:
    """The document of a list."""
    return PARTS.answer(
        before,
        revision,
        bill.currency,
        [_line(line) for line in bill.lines],
        GROUP.rows(bill.groups),
        bill.cost,
        bill.worth,
        [_setup(setup) for setup in bill.setups],
        [AGAIN.row(_end(one.was), _end(one.now), one.now.type) for one in bill.again],
        bill.waiting,
        [GAP.row(gap.says, gap.places) for gap in bill.uncounted],
    )


def _line(line: Line) -> Row:
    return LINE.row(*line)


def _end(cable: LaidCable) -> Row:
    return _END.row(cable.number, cable.metres)


def _setup(setup: Covered) -> Row:
    short = [
        SHORT.row(list(one.ends), one.number, round(one.reach, 4) if one.reach is not None else None, one.why)
        for one in setup.short
    ]
    return SETUP.row(setup.setup, setup.cords, setup.unmeasured, short, ADAPTERS.rows(setup.adapters))
