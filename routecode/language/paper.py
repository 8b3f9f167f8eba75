"""The tables for paper as written: gaps of a bay's strip, cords and adapters owned, parts of the catalogue, minutes for an operation.

Nothing here makes a circuit: what is on order, in the drawer or on the strip joins no conductors.
"""

from typing import Any

from attrs import frozen

from routecode.language.kinds import Choice, Id, Number, Text, TextList, Whole, key
from routecode.language.table import Table

MOST_OWNED = 100_000
PART_KINDS = ("plug", "rear", "link-plug", "dummy-plug", "other")
PART_UNITS = ("piece", "metre", "set")


@frozen(kw_only=True, slots=False)
class Gap(Table):
    """Room between two columns of a bay that is wider than its pitch."""

    after: int | None = key(
        Whole(1, 10_000),
        "The column, counted from the left, behind which it comes.",
        required=True,
        example="after = 8",
    )
    mm: float | None = key(
        Number(above=True), "What it adds to the pitch, in millimetres.", required=True, example="mm = 3.2"
    )


@frozen(kw_only=True, slots=False)
class CordType(Table):
    """A kind of patch cord, and how many of it the studio owns."""

    id: str
    ends: tuple[str, ...] = key(
        TextList("plugs", one=True, repeats=True),
        "The plugs at its ends, as `contact` and `connector` have them; one text: both alike; of a Y-cord its one end first.",
        required=True,
        default=(),
        example='ends = ["bantam", "bantam"]',
    )
    metres: float | None = key(Number(above=True), "How far it reaches, in metres.", example="metres = 0.6")
    own: int | None = key(Whole(0, MOST_OWNED), "How many there are.", example="own = 24", otherwise="not known")
    part: str | None = key(Id("part"), "What it is in the catalogue.")


@frozen(kw_only=True, slots=False)
class Adapter(Table):
    """A kind of adapter, and how many of it the studio owns."""

    id: str
    ends: tuple[str, ...] = key(
        TextList("plugs", one=True, repeats=True),
        "What is at its ends, in the words for contacts and connectors.",
        default=(),
        example='ends = ["bantam", "xlr-f"]',
    )
    own: int | None = key(Whole(0, MOST_OWNED), "How many there are.", otherwise="not known")
    part: str | None = key(Id("part"), "What it is in the catalogue.")


@frozen(kw_only=True, slots=False)
class Part(Table):
    """Something that is bought: the studio's own catalogue."""

    id: str
    price: float | None = key(Number(), "What one costs, in the studio's currency.", example="price = 2.35")
    unit: str = key(Choice(PART_UNITS), "What the price and the stock are counted in.", default="piece")
    pieces: int = key(Whole(1, MOST_OWNED), "How many pieces are in one set.", default=1)
    stock: float = key(Number(), "How much of it lies in the drawer, in its unit.", default=0.0, example="stock = 12")
    kind: str = key(
        Choice(PART_KINDS),
        "What it is counted for: plugs of fixed cables, connectors behind jacks, link and dummy plugs; `other`: the wiring counts none.",
        default="plug",
    )
    fits: tuple[str, ...] = key(
        TextList("connectors", one=True),
        "Of a plug the sockets it goes into, as ports say them in `connector`; else the `contact` of the bay.",
        default=(),
        example='fits = "xlr-f"',
    )
    group: str | None = key(Text(), "The heading under which it is summed up.", example='group = "Connectors"')


def _minutes(usual: float, doc: str) -> Any:
    return key(Number(), doc, default=usual)


@frozen(kw_only=True, slots=False)
class Times(Table):
    """How long the hands need, in minutes; the usual figures are common practice, without a source."""

    make_end: float = _minutes(6.0, "One end of one circuit at the bench: strip, solder, close the connector.")
    solder_jack: float = _minutes(5.0, "One circuit soldered behind a rack.")
    unsolder_jack: float = _minutes(3.0, "One circuit taken off behind a rack.")
    pull_metre: float = _minutes(0.5, "One metre of cable run through tray and loom, and tied.")
    plug: float = _minutes(0.5, "One connector lifted or plugged in, found by its label.")
    link_plug: float = _minutes(0.2, "One link plug pulled or put in.")
    cord: float = _minutes(0.5, "One cord patched or pulled.")
    switch: float = _minutes(0.2, "One switch set.")
    mount: float = _minutes(15.0, "One unit or bay mounted in a rack or taken out.")
    tag: float = _minutes(1.0, "Both ends of one cable tagged.")
    label: float = _minutes(2.0, "One piece of label strip, or the flags of one cable, put on.")
    power: float = _minutes(3.0, "One unit powered down or up, in its order.")
    phantom: float = _minutes(2.0, "Phantom power of one unit switched off, discharged and measured.")
    walk: float = _minutes(1.0, "From one rack or room to another, with the tools.")
    continuity: float = _minutes(1.0, "One cable tested for shorts and continuity.")
    test: float = _minutes(2.0, "One path tested: fed, read at the far end, its polarity seen.")
