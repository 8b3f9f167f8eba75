"""The JSON document of `cables`: every cable with its circuits, ends and pins. Names are canonical, amounts exact."""

from routecode.hands.cables import STATUSES, Circuit, LaidCable
from routecode.hands.cables_ends import FEMALE, HOWS, MALE, End
from routecode.show.document import Document, Row
from routecode.show.shape import OneOf, OrNull, Real, Record, Several, Whole, Word, Yes

PIN = Record(
    (
        ("carries", Word("What the wire carries: hot, cold, shield, or what the cable says.")),
        ("from", OrNull(Word(), "The pin at the first end; null: nothing is soldered there.")),
        ("to", OrNull(Word(), "The pin at the other end.")),
        ("colour", OrNull(Word(), "The colour of the wire, a code of IEC 60757.")),
        ("linked", OrNull(OneOf(("from", "to")), "The end at which the pin is joined to that of the shield.")),
    )
)
END = Record(
    (
        ("at", Word("The port or jack.")),
        ("socket", OrNull(Word(), "The connector or contact there, as written.")),
        ("how", OneOf(HOWS, "How the cable ends.")),
        ("plug", OrNull(Word(), "What is on the cable; null where it has no plug.")),
        ("gender", OrNull(OneOf((MALE, FEMALE)), "null: not known, or no plug.")),
        ("multipin", OrNull(Word(), "The connector that several circuits share.")),
        ("cold", OrNull(Word(), "How the cold leg is made here, in words.")),
        ("shield", OrNull(Word(), "How the shield is made here, in words.")),
    )
)
CIRCUIT = Record(
    (("from", END), ("to", END), ("pins", Several(PIN, "Empty where neither a pin nor a colour is known.")))
)
CABLE = Record(
    (
        ("number", OrNull(Word(), "The number on its labels.")),
        ("type", OrNull(Word(), "The id of its type.")),
        ("metres", OrNull(Real(), "Its length.")),
        ("loom", OrNull(Word(), "The jacket or bundle it runs in.")),
        ("status", OneOf(STATUSES, "There, still to be made, or dead.")),
        ("tested", OrNull(Word(), "The day on which it was last tested.")),
        ("split", Yes("Whether it has legs to several places.")),
        ("used", Whole("Circuits in use.")),
        ("spare", OrNull(Whole(), "Circuits left over; null: its type does not say how many it has.")),
        ("over", Whole("Circuits it is said to carry beyond those it has.")),
        ("circuits", Several(CIRCUIT, "None of a dead cable.")),
        ("lies", OrNull(Record((("from", Word()), ("to", Word()))), "Where the ends of a dead cable lie, as written.")),
    )
)
CABLES = Document(
    "cables",
    "What `routecode cables --json` prints.",
    (("revision", Word("The full id of a commit, `worktree`, or `staged`.")), ("cables", Several(CABLE))),
)


def cables_document(revision: str, cables: tuple[LaidCable, ...]) -> Row:
    """The document of a schedule."""
    return CABLES.answer(revision, [_cable(cable) for cable in cables])


def _cable(cable: LaidCable) -> Row:
    return CABLE.row(
        cable.number,
        cable.type,
        cable.metres,
        cable.loom,
        cable.status,
        cable.tested.isoformat() if cable.tested else None,
        cable.splits,
        cable.used,
        None if cable.spare is None else max(0, cable.spare),
        cable.too_many,
        [_circuit(circuit) for circuit in cable.circuits],
        None if cable.circuits else {"from": cable.lies[0], "to": cable.lies[1]},
    )


def _circuit(circuit: Circuit) -> Row:
    pins = [
        PIN.row(pin.carries, pin.from_pin, pin.to_pin, pin.colour or None, pin.linked or None) for pin in circuit.pins
    ]
    return CIRCUIT.row(_end(circuit.from_), _end(circuit.to), pins)


def _end(end: End) -> Row:
    plug, gender, shared = end.plug or None, end.gender or None, end.shared or None
    return END.row(end.name, end.socket or None, end.how, plug, gender, shared, end.cold or None, end.shield or None)
