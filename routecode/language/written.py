"""The studio as written: one record class a table, one declaration a key. Nothing is resolved or spread here.

Every key a table may hold is declared once, here, in `equipment`, `setups`, `paper` or `allowed`; decoder, JSON Schema and reference
page are made from it. Fields without a declaration (`id`, `place`, `elsewhere`) are not keys.
"""

from datetime import date

from attrs import Factory, frozen

from routecode.ground.place import At
from routecode.language.allowed import Allowed, AllowedChange
from routecode.language.equipment import (
    DIRECTIONS,
    LEVELS,
    SIGNALS,
    Inside,
    Model,
    Multipin,
    Port,
    Signal,
    Switch,
    Unit,
)
from routecode.language.kinds import (
    Choice,
    Day,
    Flag,
    Id,
    LegList,
    Legs,
    NameList,
    Names,
    Number,
    Reserved,
    Tables,
    Text,
    TextList,
    Whole,
    key,
)
from routecode.language.paper import Adapter, CordType, Gap, Part, Times
from routecode.language.setups import Cord, Need, Plug, Route, Setup, SwitchSet
from routecode.language.table import Table

__all__ = [
    "CONTACTS",
    "DIRECTIONS",
    "KEYED",
    "LEVELS",
    "LISTED",
    "SIGNALS",
    "SINGLE",
    "Accept",
    "Adapter",
    "Allowed",
    "AllowedChange",
    "Bay",
    "Cable",
    "CableType",
    "Column",
    "Cord",
    "CordType",
    "Gap",
    "Head",
    "Inside",
    "Model",
    "Mult",
    "Multipin",
    "Need",
    "Normal",
    "Part",
    "Plug",
    "Port",
    "Rack",
    "Room",
    "Route",
    "Setup",
    "Signal",
    "Studio",
    "Switch",
    "SwitchSet",
    "Table",
    "Times",
    "Unit",
]


CONTACTS = ("pin", "bantam", "a-gauge", "b-gauge", "minijack", "xlr", "bnc", "rca", "8p8c")


@frozen(kw_only=True, slots=False)
class Head(Table):
    """The studio itself."""

    language: int = key(
        Whole(1, 1_000_000),
        "The version of the wiring language the files are written in.",
        required=True,
        example="language = 1",
    )
    sample_rate: int | None = key(Whole(1, 10_000_000), "The usual sample rate in Hz.", example="sample_rate = 48000")
    skip: tuple[str, ...] = key(
        TextList("globs", one=True), "Files and folders that are left out.", default=(), example='skip = ["old/*"]'
    )
    currency: str | None = key(Text(), "What prices are in.", example='currency = "EUR"')
    allowance_percent: float = key(
        Number(), "What is added to the length of cable to order, in percent; common practice, no source.", default=10.0
    )
    allowance_metres: float = key(
        Number(), "What is added to each length of cable to order besides; common practice, no source.", default=0.5
    )


@frozen(kw_only=True, slots=False)
class Room(Table):
    """A room of the building."""

    id: str


@frozen(kw_only=True, slots=False)
class Rack(Table):
    """A rack, a table, a shelf: where units stand."""

    id: str
    room: str | None = key(Id("room"), "The room it stands in.", example='room = "control"')


@frozen(kw_only=True, slots=False)
class Column(Table):
    """Columns of a bay: what is wired behind their jacks and how they are normalled."""

    at: Names = key(NameList("columns", numbers=True), "Which columns.", required=True, example='at = "1..8"')
    top: Names = key(
        NameList("places"), "What is wired to the rear of the top row.", default=(), example='top = "hall/line 1..8"'
    )
    bottom: Names = key(
        NameList("places"),
        "What is wired to the rear of the bottom row.",
        default=(),
        example='bottom = "pre-a/mic 1..8"',
    )
    normal: str | None = key(
        Choice(("none", "half", "full", "parallel")), "The normal of these columns, on bays with switching contacts."
    )
    plug: str | None = key(Choice(("bottom", "top", "none")), "Where the link plug sits, on bays with link plugs.")
    reserved: bool | str | None = key(
        Reserved(), "Kept free: true, or for what.", example='reserved = "second tape machine"'
    )
    group: str | None = key(Text(), "A title across these columns.")
    label_top: Names = key(NameList("labels"), "What the label strip says over the top row.", default=())
    label_bottom: Names = key(NameList("labels"), "What the label strip says under the bottom row.", default=())


@frozen(kw_only=True, slots=False)
class Mult(Table):
    """Jacks of one bay that are all joined."""

    at: Names = key(NameList("jacks"), "Which jacks.", required=True, example='at = ["top 41..42", "bottom 41..42"]')


@frozen(kw_only=True, slots=False)
class Bay(Table):
    """A patchbay."""

    id: str
    room: str | None = key(Id("room"), "The room it is in.")
    rack: str | None = key(Id("rack"), "The rack it is in.")
    at_u: int | None = key(Whole(1, 100), "Its lowest rack unit, counted from the bottom.")
    portable: bool = key(Flag(), "It is carried about and has no place of its own.", default=False)
    away: str | None = key(Text(), "Why it is away; its cables stay.")
    columns: int | None = key(Whole(1, 10_000), "How many columns it has.", required=True, example="columns = 48")
    rows: int = key(Whole(1, 2), "How many rows it has.", default=2)
    sources: str = key(Choice(("top", "bottom")), "The row that carries the sources.", default="top")
    contact: str | None = key(
        Text(usual=CONTACTS),
        "The kind of jack; pin, xlr, bnc and 8p8c short nothing on insertion, the others do for a moment.",
        example='contact = "bantam"',
    )
    shields: str | None = key(
        Choice(("own", "bussed", "strapped")),
        "How its shields are joined: each jack its own, all of a row together, or top and bottom of a column.",
        otherwise="own",
    )
    normalling: str = key(
        Choice(("switched", "plugs")), "Switching contacts in the jacks, or removable link plugs.", default="switched"
    )
    normal: str | None = key(
        Choice(("none", "half", "full", "parallel", "bottom", "top")),
        "The normal of its columns where they do not say it; with link plugs bottom, top or none, else the others.",
        otherwise="none",
    )
    rear: str | None = key(
        Choice(("solder", "connectors")),
        "How cables end behind its jacks: soldered, or on a connector for each jack.",
        otherwise="connectors on bays with link plugs, else solder",
    )
    pitch_mm: float | None = key(
        Number(above=True), "From the middle of one column to the middle of the next.", example="pitch_mm = 8.89"
    )
    start_mm: float | None = key(Number(), "From the left end of its label strip to the middle of column 1.")
    strip_mm: float | None = key(Number(above=True), "The height of its label strips.", example="strip_mm = 6.35")
    strip_length_mm: float | None = key(Number(above=True), "The length of its label strips.")
    gaps: tuple[Gap, ...] = key(
        Tables(Gap), "Where columns stand further apart.", default=(), example="gaps = [{ after = 8, mm = 3.2 }]"
    )
    column: tuple[Column, ...] = key(Tables(Column), "Its columns.", default=())
    mult: tuple[Mult, ...] = key(Tables(Mult), "Jacks that are all joined.", default=())


@frozen(kw_only=True, slots=False)
class Normal(Table):
    """A normal that goes sideways, across bays, or to a second destination."""

    from_: Names = key(NameList("jacks"), "The jacks it comes from.", required=True, example='from = "south/top 7"')
    to: Names = key(NameList("jacks"), "The jacks it goes to.", required=True, example='to = "south/bottom 9"')
    breaks: str = key(Choice(("to", "from", "both", "never")), "The jack in which a plug breaks it.", default="to")


@frozen(kw_only=True, slots=False)
class CableType(Table):
    """A kind of cable."""

    id: str
    pf_per_metre: float | None = key(
        Number(), "Capacitance hot to cold, in pF per metre.", example="pf_per_metre = 105"
    )
    ohms_per_km: float | None = key(
        Number(), "Resistance of one leg, in ohms per kilometre.", example="ohms_per_km = 84"
    )
    awg: int | None = key(
        Whole(0, 50), "Its wire gauge (ASTM B258), where the resistance is not given.", example="awg = 24"
    )
    mm2: float | None = key(
        Number(above=True), "The area of one conductor in square millimetres, where the resistance is not given."
    )
    ohms: float | None = key(Number(above=True), "Its characteristic impedance in ohms, for digital and clock lines.")
    hot_colour: str | None = key(
        Text(),
        "The colour of its hot wire, as a code of IEC 60757. Says nothing of polarity.",
        example='hot_colour = "WH"',
    )
    cold_colour: str | None = key(Text(), "The colour of its cold wire, as a code of IEC 60757.")
    od_mm: float | None = key(
        Number(above=True), "Its outer diameter in millimetres; of one jacket, not of a loom.", example="od_mm = 3.3"
    )
    circuits: int | None = key(
        Whole(1, 1000), "How many circuits are in one jacket.", example="circuits = 8", otherwise="1"
    )
    colours: tuple[str, ...] = key(
        TextList("circuits"),
        "The wires of each circuit, hot then cold, as codes of IEC 60757: one entry a circuit, in place of the two keys above.",
        default=(),
        example='colours = ["RD BK", "WH BK"]',
    )
    part: str | None = key(Id("part"), "What it is in the catalogue.")


@frozen(kw_only=True, slots=False)
class Cable(Table):
    """Fixed cabling between two places."""

    number: Names = key(
        NameList("cable numbers"),
        "The number on its labels; one number on a range is one multipair.",
        default=(),
        example='number = "L101..108"',
    )
    from_: Legs = key(
        LegList("places"),
        "One end. A bay means the rear of that jack.",
        required=True,
        example='from = "pre-a/out 1..8"',
    )
    to: Legs = key(
        LegList("places"),
        "The other end; a list of lists is a deliberate split.",
        required=True,
        example='to = "south/top 1..8"',
    )
    type: str | None = key(Id("cable_type"), "Its kind.", example='type = "pair"')
    metres: float | None = key(Number(above=True), "Its length in metres.", example="metres = 3.5")
    loom: str | None = key(Text(), "The jacket or bundle it runs in.")
    polarity: str | None = key(
        Choice(("kept", "reversed")), "Whether hot and cold are exchanged on the way.", otherwise="kept"
    )
    cold: str | None = key(
        Choice(("shield-at-from", "shield-at-to", "open")),
        "How the cold leg is made where an end is unbalanced: joined to the shield at one end, or left open.",
    )
    shield: str | None = key(Choice(("both", "from", "to")), "At which ends the shield is connected.", otherwise="both")
    pins: tuple[str, ...] = key(
        TextList("pins"),
        "Which pin goes to which where it is not made as published: what it carries, pin, pin; `-` for nothing.",
        default=(),
        example='pins = ["hot 2 tip", "cold 3 -", "shield 1 sleeve"]',
    )
    status: str | None = key(
        Choice(("in", "make", "dead")),
        "Whether it is there, still to be made, or lies there joined to nothing; the ends of a dead cable are where they lie, in any words.",
        otherwise="`in`",
    )
    tested: date | None = key(Day(), "The day on which it was last tested.", example="tested = 2026-03-01")
    front: bool | None = key(
        Flag(), "It is plugged into the faces of its passive (either) ports, not wired behind them.", otherwise="false"
    )


@frozen(kw_only=True, slots=False)
class Accept(Table):
    """A finding that was looked at and is meant to be so."""

    rule: str | None = key(Text(), "The rule's id.", required=True, example='rule = "polarity-reversed"')
    at: Names = key(
        NameList("places"), "Its subjects; a range accepts several.", required=True, example='at = "old-eq/in 1"'
    )
    because: str | None = key(Text(lines=True), "Why it is meant to be so.", required=True)
    setup: str | None = key(Id("setup"), "Only in this setup.", otherwise="everywhere")
    until: date | None = key(Day(), "The last day on which it holds.")


USUAL_TIMES = Times(place=At("studio.toml", ("times",)))
"""What holds where the studio has no table of times."""


@frozen
class Studio:
    """All tables of one studio, united over its files; dictionaries are sorted by id."""

    head: Head
    room: dict[str, Room]
    rack: dict[str, Rack]
    signal: dict[str, Signal]
    model: dict[str, Model]
    unit: dict[str, Unit]
    bay: dict[str, Bay]
    cable_type: dict[str, CableType]
    setup: dict[str, Setup]
    cable: tuple[Cable, ...]
    normal: tuple[Normal, ...]
    route: tuple[Route, ...]
    accept: tuple[Accept, ...]
    allowed: Allowed | None = None
    cord_type: dict[str, CordType] = Factory(dict)
    adapter: dict[str, Adapter] = Factory(dict)
    part: dict[str, Part] = Factory(dict)
    times: Times = USUAL_TIMES


SINGLE: tuple[tuple[str, type], ...] = (("studio", Head), ("allowed", Allowed), ("times", Times))
"""Tables of which there is one: `[studio]`."""

KEYED: tuple[tuple[str, type], ...] = (
    ("room", Room),
    ("rack", Rack),
    ("signal", Signal),
    ("model", Model),
    ("unit", Unit),
    ("bay", Bay),
    ("cable_type", CableType),
    ("setup", Setup),
    ("cord_type", CordType),
    ("adapter", Adapter),
    ("part", Part),
)
"""Tables named by an id: `[unit.pre-a]`."""

LISTED: tuple[tuple[str, type], ...] = (("cable", Cable), ("normal", Normal), ("route", Route), ("accept", Accept))
"""Arrays of tables at the top: `[[cable]]`."""
