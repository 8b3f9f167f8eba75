"""Ports, insides and switches of models and units, resolved: ranges spread, channels paired, conditions found.

One kit serves all units of a model that add nothing of their own.
"""

from collections.abc import Iterable

from attrs import evolve, fields

from routecode.circuit.plant import (
    BOTH,
    DIRECTION_NUMBER,
    EITHER,
    IN,
    OUT,
    Bond,
    Branch,
    Kit,
    Plant,
    Socket,
)
from routecode.circuit.problems import MOST_PAIRS, Problems
from routecode.language.ranges import spread
from routecode.language.signals import KINDS, channels_of, family_of, kind_of
from routecode.language.written import Inside, Model, Port, Studio, Switch, Unit

_OWN_KEYS = tuple(attribute.name for attribute in fields(Port) if attribute.name not in ("place", "elsewhere", "name"))
_SOURCES = (IN, EITHER, BOTH)
_TARGETS = (OUT, EITHER, BOTH)


class KitMaker:
    """Makes kits, once for each model and once for each unit with things of its own."""

    def __init__(self, plant: Plant, problems: Problems) -> None:
        self.plant = plant
        self.studio: Studio = plant.studio
        self.problems = problems
        self.family_numbers: dict[str, int] = {"": 0}
        self._of_model: dict[str, Kit] = {}
        self._empty = self._make((), (), (), "unit")

    def kit(self, unit: Unit) -> Kit:
        """The kit of a unit."""
        model = self.studio.model.get(unit.model) if unit.model else None
        if not (unit.port or unit.inside or unit.switch):
            return self._model_kit(model) if model else self._empty
        own = (unit.port, unit.inside, unit.switch)
        if model is None:
            return self._make(*own, f"unit {unit.id}")
        ports = self._united_ports(model, unit)
        return self._assemble(ports, (*model.inside, *unit.inside), (*model.switch, *unit.switch), f"unit {unit.id}")

    def check_unused(self) -> None:
        """Resolve models that no unit uses, for their mistakes."""
        for model in self.studio.model.values():
            self._model_kit(model)

    def _model_kit(self, model: Model) -> Kit:
        kit = self._of_model.get(model.id)
        if kit is None:
            kit = self._of_model[model.id] = self._make(model.port, model.inside, model.switch, f"model {model.id}")
        return kit

    def _make(self, ports: Iterable[Port], insides: Iterable[Inside], switches: Iterable[Switch], owner: str) -> Kit:
        return self._assemble(self._spread_ports(ports, owner), insides, switches, owner)

    def _spread_ports(self, ports: Iterable[Port], owner: str) -> dict[str, Port]:
        spread_ports: dict[str, Port] = {}
        for port in ports:
            for name in spread(port.name, port.where("name"), self.problems.mistakes, down=False):
                if name in spread_ports:
                    first = spread_ports[name].where("name")
                    self.problems.add(
                        "name-twice",
                        f"Port {name} of {owner} is declared twice.",
                        port.where("name"),
                        do="Give one of them another name, or remove it.",
                        also=(("the first one", first),),
                    )
                else:
                    spread_ports[name] = port
        return spread_ports

    def _united_ports(self, model: Model, unit: Unit) -> dict[str, Port]:
        ports = dict(self._spread_ports(model.port, f"model {model.id}"))
        for name, port in self._spread_ports(unit.port, f"unit {unit.id}").items():
            base = ports.get(name)
            ports[name] = port if base is None else self._overridden(base, port, unit)
        return ports

    def _overridden(self, base: Port, port: Port, unit: Unit) -> Port:
        for key in ("direction", "channels"):
            said = getattr(port, key)
            if said is not None and said != getattr(base, key):
                self.problems.add(
                    "override-refused",
                    f"A unit cannot change the {key} of a port of its model {unit.model}.",
                    port.where(key),
                    do="Leave the key out, or give the unit a model of its own.",
                    also=(("the model's port", base.where(key)),),
                )
        given = {key: getattr(port, key) for key in _OWN_KEYS if getattr(port, key) is not None}
        if port.signal is not None and base.channels is None:
            kind = KINDS.get(kind_of(base.signal or "", self.studio.signal) or "")
            given["channels"] = kind.channels if kind else None  # a unit never changes how many channels a port has
        return evolve(base, **given)

    # -- one kit --------------------------------------------------------------------------------------------------------

    def _assemble(
        self, ports: dict[str, Port], insides: Iterable[Inside], switches: Iterable[Switch], owner: str
    ) -> Kit:
        self._check_case(ports, owner)
        sockets = tuple(
            socket for name, port in ports.items() if (socket := self._socket(name, port, owner)) is not None
        )
        offsets = [0]
        for socket in sockets:
            offsets.append(offsets[-1] + socket.channels)
        kit = Kit(
            sockets,
            {socket.name: number for number, socket in enumerate(sockets)},
            [socket.direction for socket in sockets],
            [self._family_number(socket.family) for socket in sockets],
            [socket.channels for socket in sockets],
            offsets,
            (),
            (),
            self._switches(switches, owner),
            frozenset(),
        )
        if len(sockets) == len(ports):
            InsideMaker(kit, self.problems, owner).make(insides)
        return kit

    def _check_case(self, ports: dict[str, Port], owner: str) -> None:
        folded: dict[str, str] = {}
        for name, port in ports.items():
            first = folded.setdefault(name.casefold(), name)
            if first != name:
                self.problems.add(
                    "case-only",
                    f"Ports {first} and {name} of {owner} differ only in case.",
                    port.where("name"),
                    do="Rename one of them.",
                )

    def _socket(self, name: str, port: Port, owner: str) -> Socket | None:
        if port.direction is None or port.signal is None:
            missing = "direction" if port.direction is None else "signal"
            said = ", ".join(map(str, port.name)) or name
            example = 'direction = "in"' if missing == "direction" else 'signal = "line"'
            self.problems.add(
                "missing-key",
                f"Port {said} of {owner} has no {missing}.",
                port.place,
                do=f"Add a line such as: {example}",
            )
            return None
        family = family_of(port.signal, self.studio.signal)
        if family is None:
            near = self.problems.near(port.signal, [*KINDS, *self.studio.signal])
            hint = f"Did you mean {near}?" if near else "Use a kind of the reference, or declare [signal.NAME]."
            self.problems.add("unknown-signal", f"{port.signal} is no kind of signal.", port.where("signal"), do=hint)
            return None
        channels = channels_of(port.signal, port.channels, self.studio.signal, port.place, self.problems.mistakes)
        if channels is None:
            return None
        return Socket(name, DIRECTION_NUMBER[port.direction], port.signal, family, channels, port)

    def _family_number(self, family: str) -> int:
        number = self.family_numbers.get(family)
        if number is None:
            number = self.family_numbers[family] = len(self.plant.family_names)
            self.plant.family_names.append(family)
        return number

    def _switches(self, switches: Iterable[Switch], owner: str) -> dict[str, tuple[str, ...]]:
        named: dict[str, tuple[str, ...]] = {}
        for switch in switches:
            assert switch.name is not None
            if switch.name in named:
                self.problems.add(
                    "name-twice",
                    f"Switch {switch.name} of {owner} is declared twice.",
                    switch.where("name"),
                    do="Remove one.",
                )
            if not switch.positions or len(set(switch.positions)) != len(switch.positions):
                self.problems.add(
                    "switch-positions",
                    f"Switch {switch.name} of {owner} needs positions that all differ.",
                    switch.where("positions"),
                    do='Write positions = ["off", "on"], the resting one first.',
                )
            named[switch.name] = switch.positions
        return named


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
            branch = Branch(
                *source, *target, inside.kind, inside.control, reverses, switch, position, unless, inside.place
            )
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
                f"{self.owner[0].upper()}{self.owner[1:]} has no port {name}.",
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
                    f"{self.owner[0].upper()}{self.owner[1:]} has no switch {switch}.",
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
                    f"{self.owner[0].upper()}{self.owner[1:]} has no port {inside.unless}.",
                    inside.where("unless"),
                    do=hint,
                )
        return switch, position, unless
