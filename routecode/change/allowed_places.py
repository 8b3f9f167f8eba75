"""Which changes and which wiring lie within the places that a table `[allowed]` names.

A unit or bay is where it stood before; one that is new is where it stands now. What joins two ends (a path, a cable, a normal, a
cord) is within where one of its ends is. What is only passed on the way does not count, but for bays that are named themselves:
paths never end at a bay, so what breaks off or begins there is within.
"""

from collections.abc import Iterable, Iterator

from routecode.change.changes import Change
from routecode.change.claims import Claim
from routecode.change.fact import Fact
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.circuit.parts import PlacedBay, PlacedUnit
from routecode.language.allowed import Allowed

PLACE_KEYS = ("rooms", "racks", "units", "bays")


class Places:
    """The places that the table of one side names, by names as they read after. `all`: it names none, so all are meant."""

    def __init__(self, matched: Matched, side: str, table: Allowed, before: Allowed | None) -> None:
        self.matched = matched
        self.all = all(getattr(table, key) is None for key in PLACE_KEYS)
        named = {key: {self._read(key[:-1], name, side) for name in getattr(table, key) or ()} for key in PLACE_KEYS}
        if side == AFTER and before is not None:
            for key, names in named.items():
                names.update(self._gone(key, before))
        self.rooms, self.racks, self.units, self.bays = (named[key] for key in PLACE_KEYS)
        identity = matched.identity
        self._old = {new: old for old, new in (*identity.units.items(), *identity.bays.items())}
        self._known: dict[str, bool] = {}

    def _read(self, table: str, name: str, side: str) -> str:
        """A name of a side as it reads after."""
        if side == AFTER:
            return name
        identity = self.matched.identity
        if table in ("unit", "bay"):
            return (identity.units if table == "unit" else identity.bays).get(name, name)
        return identity.others.get((table, name), name)

    def _gone(self, key: str, before: Allowed) -> Iterator[str]:
        """What the before side's table names and the after side's cannot: it is there no more."""
        table = key[:-1]
        there = getattr(self.matched.after.studio, table)
        return (name for one in getattr(before, key) or () if (name := self._read(table, one, BEFORE)) not in there)

    # -- units, bays, jacks ---------------------------------------------------------------------------------------------

    def thing(self, name: str) -> bool:
        """Whether a unit or bay is within."""
        if name not in self._known:
            self._known[name] = self._within(name)
        return self._known[name]

    def _within(self, name: str) -> bool:
        if name in self.units or name in self.bays:
            return True
        side, found = self._placed(name)
        studio = self.matched.plant(side).studio
        if found is None:
            return False
        rack, room = found.written.rack, found.written.room
        if rack is not None and room is None:
            room = studio.rack[rack].room
        within = room is not None and self._read("room", room, side) in self.rooms
        return within or (rack is not None and self._read("rack", rack, side) in self.racks)

    def _placed(self, name: str) -> tuple[str, PlacedUnit | PlacedBay | None]:
        """The thing as the before side has it, or else the after side."""
        old, plant, identity = self._old.get(name, name), self.matched.before, self.matched.identity
        if identity.units.get(old, identity.bays.get(old, old)) == name:
            found: PlacedUnit | PlacedBay | None = plant.units.get(old) or plant.bays.get(old)
            if found is not None:
                return BEFORE, found
        plant = self.matched.after
        return AFTER, plant.units.get(name) or plant.bays.get(name)

    def node(self, node: int) -> bool:
        """Whether a port or jack is on a unit or bay within."""
        return self.thing(self.matched.node_name(node).partition("/")[0])

    def jack(self, node: int) -> bool:
        """As `node`; a jack is within too where what is wired behind it, on either side, is."""
        if self.node(node):
            return True
        for side in (BEFORE, AFTER):
            own = self.matched.own_node(side, node)
            plant = self.matched.plant(side)
            if own >= 0 and any(self.node(self.matched.shared_node(side, other)) for other in plant.wired(own)):
                return True
        return False

    def channel(self, channel: int) -> bool:
        """Whether a channel is of a unit within."""
        return self.node(self.matched.channel_node(channel))

    # -- changes and facts ----------------------------------------------------------------------------------------------

    def change(self, change: Change) -> bool:
        """Whether all that a change tells is within. A setup that is new or gone is judged by what it holds."""
        if change.kind == "setup":
            return True
        if change.kind == "moved":
            return all(map(self.thing, change.names))
        return all(self._at_bay(claim) or self._claim(claim) for claim in change.claims)

    def _at_bay(self, claim: Claim) -> bool:
        """Whether all that a claim tells breaks off, begins or turns at a bay that is named itself."""
        ends: list[tuple[int, ...]] = [(one.at, one.beyond) for one in (*claim.breaks, *claim.makes)]
        ends = ends or [tuple(jack for side in claim.passes for jack in side.jacks)]
        return bool(self.bays) and all(any(map(self._on_bay, nodes)) for nodes in ends)

    def _on_bay(self, node: int) -> bool:
        return node >= 0 and self.matched.is_jack(node) and self.matched.node_name(node).partition("/")[0] in self.bays

    def _claim(self, claim: Claim) -> bool:
        """Whether every path of a claim has an end within; so too loops, outputs on one wire, paths that go another way."""
        if not all(self.channel(a) or self.channel(b) for a, b, _ in (*claim.lost, *claim.gained)):
            return False
        turn = claim.turns[0]
        if claim.kind == "feedback":
            return any(map(self.channel, (*turn.was, *turn.now)))
        if claim.kind == "tied":
            was, now = map(set, claim.drivers)
            return self.channel(turn.now[0]) or all(map(self.channel, was ^ now))
        if claim.kind == "rerouted":
            return self._every(turn.sources) or self._every(turn.now)
        return True

    def _every(self, channels: Iterable[int]) -> bool:
        return all(map(self.channel, channels))

    def fact(self, fact: Fact) -> bool:
        """Whether a piece of wiring is within."""
        if fact.kind in ("cable", "route"):
            return any(map(self.node, fact.nodes))
        if fact.kind in ("normal", "mult", "cord", "plug"):
            return any(self.jack(node) for node in fact.nodes)
        return self.thing(fact.key[-2] if fact.kind == "position" else fact.key[0])
