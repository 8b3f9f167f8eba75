"""The insides of a kit resolved: channels paired, conditions found, conductors told from what only carries the signal."""

from collections.abc import Iterable

from routecode.circuit.plant import BOTH, DIRECTION_NUMBER, EITHER, IN, OUT, Bond, Branch, Kit, Socket
from routecode.circuit.problems import MOST_PAIRS, Problems, upper
from routecode.language.ranges import spread
from routecode.language.written import Inside

_SOURCES = (IN, EITHER, BOTH)
_TARGETS = (OUT, EITHER, BOTH)


class InsideMaker:
    """Resolves the insides of one kit."""

    def __init__(self, kit: Kit, problems: Problems, owner: str) -> None:
        self.kit = kit
        self.problems = problems
        self.owner = owner
        self.branches: list[Branch] = []
        self.bonds: list[Bond] = []
        self.seen: dict[tuple[int, int, int, int], Inside] = {}
        self.pairs = 0

    def make(self, insides: Iterable[Inside]) -> None:
        """Fill the kit's branches and bonds."""
        for inside in insides:
            self._inside(inside)
        self.kit.branches = tuple(self.branches)
        self.kit.bonds = tuple(self.bonds)
        self.kit.bonded = frozenset(end for bond in self.bonds for end in (bond.source, bond.target))

    def _inside(self, inside: Inside) -> None:
        before = len(self.problems.mistakes)
        condition = self._condition(inside)
        whole = inside.kind == "hardwired"
        sources = self._side(inside, "from_", _SOURCES, whole)
        targets = self._side(inside, "to", _TARGETS, whole)
        if len(self.problems.mistakes) > before:
            return
        self.pairs += len(sources) * len(targets) if inside.pairing == "all-to-all" else len(sources)
        if self.pairs > MOST_PAIRS:
            self.problems.add(
                "too-large",
                f"The insides of {self.owner} join more than {MOST_PAIRS:,} pairs.",
                inside.where("to"),
                do="Check the ranges; leave out crosspoints that are never used.",
            )
            return
        if inside.pairing == "all-to-all":
            pairs = [(source, target) for source in sources for target in targets]
        elif len(sources) != len(targets):
            self.problems.unequal("`from`", len(sources), "`to`", len(targets), inside.where("to"))
            return
        else:
            pairs = list(zip(sources, targets, strict=True))
        for source, target in pairs:
            self._pair(inside, source, target, condition)

    def _pair(
        self,
        inside: Inside,
        source: tuple[int, int],
        target: tuple[int, int],
        condition: tuple[str | None, str | None, int | None],
    ) -> None:
        hardwired = inside.kind == "hardwired"
        if (
            source == target and self.kit.sockets[source[0]].direction != BOTH
        ):  # what a network channel gets may go back
            if not hardwired or inside.pairing == "one-to-one":
                self.problems.add(
                    "inside-to-itself",
                    f"An inside of {self.owner} leads from a channel to itself.",
                    inside.where("to"),
                    do="Correct `to`.",
                )
            return
        low, high = sorted((source[0], target[0]))
        key = (low, high, -1, -1) if hardwired else (*source, *target)
        first = self.seen.get(key)
        if first is inside and hardwired:
            return  # all-to-all names each pair both ways round
        if first is not None:
            names = f"{self.kit.sockets[source[0]].name} to {self.kit.sockets[target[0]].name}"
            self.problems.add(
                "inside-twice",
                f"The inside {names} of {self.owner} is given twice.",
                inside.place,
                do="Remove one; a unit's insides are added to its model's.",
                also=(("the first one", first.place),),
            )
            return
        self.seen[key] = inside
        reverses = inside.polarity == "reversed"
        if hardwired:
            self.bonds.append(Bond(source[0], target[0], reverses, *condition, inside.place))
        else:
            switch, position, unless = condition
            figures = (inside.ratio or 1.0, inside.gain_db)
            ends = (*source, *target, inside.kind, inside.control, reverses)
            branch = Branch(*ends, switch, position, unless, inside.place, *figures)
            self.branches.append(branch)

    def _side(self, inside: Inside, key: str, allowed: tuple[int, ...], whole: bool) -> list[tuple[int, int]]:
        """Channels (socket, channel) of one side, in order; for hardwired insides (socket, 0) of whole ports."""
        found: list[tuple[int, int]] = []
        for name in spread(getattr(inside, key), inside.where(key.rstrip("_")), self.problems.mistakes):
            found += self._channels(inside, key.rstrip("_"), name, allowed, whole)
        return found

    def _channels(
        self, inside: Inside, key: str, name: str, allowed: tuple[int, ...], whole: bool
    ) -> list[tuple[int, int]]:
        number = self.kit.index.get(name)
        channel: int | None = None
        if number is None:
            stem, mark, digits = name.rpartition(" ch ")
            if mark and digits.isascii() and digits.isdecimal() and digits[0] != "0":
                number, channel = self.kit.index.get(stem), int(digits)
        if number is None:
            if self.problems.enough("unknown-port", name, inside.where(key)):
                return []
            near = self.problems.near(name, self.kit.index)
            self.problems.add(
                "unknown-port",
                f"{upper(self.owner)} has no port {name}.",
                inside.where(key),
                do=f"Did you mean {near}?" if near else "Declare the port, or correct the name.",
            )
            return []
        socket = self.kit.sockets[number]
        wanted = (EITHER,) if whole else allowed
        if socket.direction not in wanted:
            self._wrong_direction(inside, key, socket, whole)
            return []
        if channel is not None and (whole or channel > socket.channels):
            text = (
                "A hardwired inside joins whole ports"
                if whole
                else f"Port {socket.name} has {socket.channels} channels"
            )
            self.problems.add(
                "channel-unknown",
                f"{text}; {name} names another.",
                inside.where(key),
                do="Correct the channel, or leave it out.",
            )
            return []
        if whole:
            return [(number, 0)]
        return [(number, channel - 1)] if channel is not None else [(number, at) for at in range(socket.channels)]

    def _wrong_direction(self, inside: Inside, key: str, socket: Socket, whole: bool) -> None:
        direction = next(word for word, number in DIRECTION_NUMBER.items() if number == socket.direction)
        kinds = "either ports" if whole else ("inputs" if key == "from" else "outputs")
        self.problems.add(
            "inside-direction",
            f"Port {socket.name} of {self.owner} has direction {direction}; `{key}` of this inside takes {kinds}.",
            inside.where(key),
            do="Exchange `from` and `to`, or correct the direction of the port."
            if not whole
            else 'Use direction = "either" for passive sockets.',
        )

    def _condition(self, inside: Inside) -> tuple[str | None, str | None, int | None]:
        switch: str | None = None
        position: str | None = None
        if inside.when is not None:
            switch, equals, position = (part.strip() for part in inside.when.partition("="))
            if not equals or switch not in self.kit.switches:
                near = self.problems.near(switch, self.kit.switches)
                hint = f"Did you mean {near}?" if near else 'Write when = "SWITCH = POSITION", and declare the switch.'
                self.problems.add(
                    "unknown-switch",
                    f"{upper(self.owner)} has no switch {switch}.",
                    inside.where("when"),
                    do=hint,
                )
            elif position not in self.kit.switches[switch]:
                known = ", ".join(self.kit.switches[switch])
                self.problems.add(
                    "unknown-position",
                    f"Switch {switch} has no position {position}.",
                    inside.where("when"),
                    do=f"Its positions are: {known}.",
                )
        unless: int | None = None
        if inside.unless is not None:
            unless = self.kit.index.get(inside.unless)
            if unless is None:
                near = self.problems.near(inside.unless, self.kit.index)
                hint = f"Did you mean {near}?" if near else "Name a port of the same unit."
                self.problems.add(
                    "unknown-port",
                    f"{upper(self.owner)} has no port {inside.unless}.",
                    inside.where("unless"),
                    do=hint,
                )
        return switch, position, unless
