"""What is said about two branches before they are joined, in the order of telling, before it is broken into lines."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from routecode.ground.place import At, Spot
from routecode.history.branches import Branches
from routecode.history.branches_both import Shared
from routecode.history.branches_kinds import (
    BACK,
    FOUND,
    GAINED,
    JACK,
    JOINED,
    LOST,
    NEED,
    OURS,
    PATH,
    TIED,
    TWICE,
    UNDONE,
    UNIT,
    WRONG,
)
from routecode.history.branches_text import Conflict
from routecode.history.branches_wrong import Wrong
from routecode.show.markdown import named_at
from routecode.show.spoken import counted, joined, places
from routecode.studio.opened import Opened

TORN = "Text that git cannot join"
HEADINGS = {
    TWICE: "Used twice",
    TIED: "Tied together",
    NEED: "Needs that fail, though neither side broke them",
    LOST: "Lost, though neither side lost it",
    UNDONE: "Made by one side, gone once joined",
    GAINED: "Gained, though neither side made it",
    BACK: "Taken away by one side, there again once joined",
    FOUND: "Found on neither side",
}
SAME_THINGS = {
    PATH: "Both sides changed the same paths",
    JACK: "Both sides changed the same jacks and ports",
    UNIT: "Both sides changed the same units and bays",
}
_SHORT = {
    TWICE: "place used twice",
    TIED: "tie of signals",
    NEED: "failing need",
    LOST: "lost path",
    UNDONE: "undone path",
    GAINED: "unmeant path",
    BACK: "returned path",
    FOUND: "new finding",
}
_OF_PATHS = (LOST, UNDONE, GAINED, BACK)
_TORN_KINDS = {
    "modify/delete": "One side deleted this file, the other changed it.",
    "rename/delete": "One side deleted this file, the other renamed it.",
    "rename/rename": "Both sides renamed this file, each otherwise.",
    "add/add": "Both sides added this file, each otherwise.",
    "file/directory": "One side made a file of this name, the other a folder.",
    "binary": "git takes this file for no text.",
}
_SHOWN_PLACES = 3


class Called(NamedTuple):
    """What the sides (ours, theirs) are called, short and in full, where they parted, and what is told besides."""

    names: tuple[str, str]
    said: tuple[str, str]
    base_said: str
    counts: tuple[int, int]
    relation: str
    notes: tuple[str, ...] = ()

    @property
    def ours(self) -> str:
        """What is joined into, in short."""
        return self.names[0]

    @property
    def theirs(self) -> str:
        """What is joined, in short."""
        return self.names[1]

    @property
    def ids(self) -> tuple[str, ...]:
        """The commits that are told of, as they are named."""
        return tuple(each for said in (*self.said, self.base_said) for each in named_at(said))


class Item(NamedTuple):
    """One thing that is said; `sides`: (who, what) below it; `places` in files, each with whose text it is."""

    text: str
    sides: tuple[tuple[str, str], ...] = ()
    places: tuple[tuple[Spot, str], ...] = ()


class Section(NamedTuple):
    """A heading with its items."""

    heading: str
    items: tuple[Item, ...]


def verdict(branches: Branches) -> str:
    """The answer in one or two sentences."""
    torn = branches.torn
    if torn:
        number = sum(max(1, len(each.places)) for each in torn)
        text = f"git cannot join the text by itself: {counted(number, 'place')} to decide."
        if any(each.file is not None for each in torn):
            return f"{text} What the joined wiring means can be told after that."
        return f"{text} The wiring itself joins{_but(branches)}"
    if branches.mistakes:
        return f"The text joins, but what comes out does not compile: {counted(len(branches.mistakes), 'error')}."
    if branches.wrong:
        return f"The text joins{_but(branches)}"
    return "The branches join: every path, need and finding of the joined wiring is as one side has it."


def _but(branches: Branches) -> str:
    """How the joined wiring stands, as the end of a sentence."""
    if branches.mistakes:
        return f", but does not compile: {counted(len(branches.mistakes), 'error')}."
    numbers = [(kind, _number(branches.wrong, kind)) for kind in WRONG]
    told = [_counted(number, _SHORT[kind]) for kind, number in numbers if number]
    return f", but the wiring that comes out is wrong: {joined(told)}." if told else "."


def _counted(number: int, words: str) -> str:
    """`1 place used twice`, `2 places used twice`, `3 lost paths`."""
    first, _, rest = words.partition(" ")
    return f"{counted(number, first)} {rest}" if rest in ("used twice", "of signals") else counted(number, words)


def _number(wrong: Iterable[Wrong], kind: str) -> int:
    found = [each for each in wrong if each.kind == kind]
    return sum(len(each.paths) for each in found) if kind in _OF_PATHS else len(found)


def sections(branches: Branches, called: Called) -> Iterator[Section]:
    """All that is said, section by section; the mistakes of a joined text that does not compile are left to who shows it."""
    if branches.torn:
        yield Section(TORN, tuple(_conflict(each, called) for each in branches.conflicts))
    for kind in WRONG:
        found = [each for each in branches.wrong if each.kind == kind]
        if found:
            yield Section(HEADINGS[kind], tuple(_wrong(each, branches, called) for each in found))
    for kind, heading in SAME_THINGS.items():
        same = [each for each in branches.both if each.kind == kind]
        if same:
            yield Section(heading, tuple(_shared(each, branches, called) for each in same))


def _conflict(conflict: Conflict, called: Called) -> Item:
    name = conflict.file if conflict.file is not None else conflict.path
    where = f"{name}:{conflict.line}" if conflict.line is not None else name
    told = _TORN_KINDS.get(conflict.kind, "") if conflict.line is None or conflict.kind != "contents" else ""
    if conflict.file is None:
        told = " ".join(filter(None, (told, "It is no wiring of this studio.")))
    sides = ((called.ours, conflict.ours), (called.theirs, conflict.theirs))
    said = tuple((who, text) for who, texts in sides for text in (texts or (_NOTHING,) if conflict.line else texts))
    return Item(f"{where}{f': {told}' if told else ''}", said)


_NOTHING = "These lines are gone."


def _wrong(wrong: Wrong, branches: Branches, called: Called) -> Item:
    where = _where(wrong.setups, branches)
    severity = f"{wrong.finding.severity.value}: " if wrong.finding is not None else ""
    text = f"{severity}{wrong.text}{f' {where}' if where else ''}"
    if wrong.side is not None:
        who = called.ours if wrong.side == OURS else called.theirs
        how = "It was made by" if wrong.kind == UNDONE else "It was taken away by"
        text = f"{text} {how} {who}."
    spots = (_spot(branches, called, side, at) for side, at in wrong.places)
    return Item(text, (), tuple(dict.fromkeys(spot for spot in spots if spot is not None))[:_SHOWN_PLACES])


def _where(setups: Sequence[str | None], branches: Branches) -> str:
    """The states, where it is not true of all."""
    circuit = branches.joined.circuit
    if circuit is None or len(set(setups)) == len(circuit.state_names) or set(setups) == {None}:
        return ""
    names = [setup for setup in dict.fromkeys(setups) if setup is not None]
    parts = (["unpatched"] if None in setups else []) + ([f"in setup {', '.join(names)}"] if names else [])
    return f"({' and '.join(parts)})"


def _spot(branches: Branches, called: Called, side: str, at: At) -> tuple[Spot, str] | None:
    """A place and whose text it is: of the joined text the side that wrote the line."""
    if side != JOINED:
        opened, who = (branches.ours, called.ours) if side == OURS else (branches.theirs, called.theirs)
        spot = opened.spot(at)
        return None if spot is None else (spot, who)
    spot = branches.joined.spot(at)
    return None if spot is None else (spot, written_by(branches, called, spot))


def written_by(branches: Branches, called: Called, spot: Spot) -> str:
    """Who wrote a line of the joined text since the sides parted; `both` where it is in the text of both."""
    line = branches.joined.line(spot)
    ours, theirs = (_has(opened, spot.file, line) for opened in (branches.ours, branches.theirs))
    return "both" if ours == theirs else called.ours if ours else called.theirs


def _has(opened: Opened, file: str, line: str) -> bool:
    return line.encode() in opened.files.texts.get(file, b"").splitlines()


def _shared(shared: Shared, branches: Branches, called: Called) -> Item:
    sides = ((called.ours, shared.ours), (called.theirs, shared.theirs))
    said = (
        [("both", text) for text in shared.ours]
        if shared.alike
        else [(who, text) for who, all_ in sides for text in all_]
    )
    where = _where(shared.setups, branches) if shared.setups and None not in shared.setups else ""
    return Item(f"{_title(shared, branches)}{f' {where}' if where else ''}", tuple(said))


def _title(shared: Shared, branches: Branches) -> str:
    """The things, as people call them."""
    circuits = [opened.circuit for opened in (branches.base, branches.ours)]
    plants = [circuit.plant for circuit in circuits if circuit is not None]
    heads = {name.partition("/")[0] for name in shared.names}
    plant = next((plant for plant in plants if heads <= plant.units.keys() | plant.bays.keys()), plants[0])
    if shared.kind == UNIT:
        found = (plant.units.get(name) or plant.bays.get(name) for name in shared.names)
        return joined(
            [thing.title if thing is not None else name for name, thing in zip(shared.names, found, strict=True)]
        )
    return places(plant, shared.names)
