"""The table `[allowed]` as written: what a rewiring may change. It is no wiring; what it means is judged in `change`."""

from attrs import frozen

from routecode.language.kinds import Choice, Choices, Flag, Tables, Text, TextList, key
from routecode.language.table import Table

KINDS = (
    *(
        "feedback",
        "tied",
        "exchanged",
        "redirected",
        "split",
        "lost",
        "gained",
        "rerouted",
        "altered",
        "phantom",
        "moved",
        "setup",
    ),
)
"""The kinds of change, in the order in which they are looked for."""

HARMS = ("loss", "risk", "gain", "note")
"""How bad a change is, worst first."""


@frozen(kw_only=True, slots=False)
class AllowedChange(Table):
    """A change that is expected, whatever else is allowed."""

    id: str | None = key(
        Text(), "The id of the change, as a diff gives it.", required=True, example='id = "4f2a09c1d3e5"'
    )
    says: str | None = key(Text(), "What the change says, for those who read this; it is not compared.")
    because: str | None = key(Text(lines=True), "Why it is meant to be so.")


@frozen(kw_only=True, slots=False)
class Allowed(Table):
    """What a rewiring may change; a diff tells what goes beyond it."""

    rooms: tuple[str, ...] | None = key(
        TextList("rooms", one=True),
        "Only what is in these rooms may change: of a path or a cable one end at least.",
        otherwise="all",
        example='rooms = ["booth"]',
    )
    racks: tuple[str, ...] | None = key(
        TextList("racks", one=True), "These racks too, or without `rooms` only these.", example='racks = ["left"]'
    )
    units: tuple[str, ...] | None = key(
        TextList("units", one=True), "These units too, or without the keys above only these."
    )
    bays: tuple[str, ...] | None = key(
        TextList("bays", one=True),
        "These bays too, or without the keys above only these. A path that breaks off or begins there counts as well.",
    )
    setups: tuple[str, ...] | None = key(
        TextList("setups", one=True),
        "Only in these setups may anything change; `unpatched` is the state without a setup.",
        otherwise="in all",
        example='setups = ["unpatched", "drums"]',
    )
    kinds: tuple[str, ...] | None = key(
        Choices(KINDS), "Only these kinds of change may come.", otherwise="all", example='kinds = ["gained", "split"]'
    )
    worst: str | None = key(
        Choice(HARMS), "No change may do worse than this, in the order given.", otherwise="`loss`, which is all"
    )
    lose: bool = key(Flag(), "Whether a path may be lost.", default=True)
    others: bool | None = key(
        Flag(),
        "Whether changes that are not listed may come, where the keys above allow them.",
        otherwise="true; false where changes are listed and none of the keys above is given",
    )
    wiring: tuple[str, ...] | None = key(
        TextList("fingerprints"),
        "Single cables, normals, cords and the like that may differ, as `diff --write-allowed` writes them.",
    )
    because: str | None = key(Text(lines=True), "Why it is meant to be so.")
    change: tuple[AllowedChange, ...] = key(Tables(AllowedChange), "Changes that are expected.", default=())
