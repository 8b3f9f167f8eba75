"""Ports, switches and connectors of models and units, resolved: ranges spread, keys of model and unit united. Insides are in `insides`.

One kit serves all units of a model that add nothing of their own.
"""

from collections.abc import Iterable

from attrs import evolve, fields

from routecode.circuit.insides import InsideMaker
from routecode.circuit.parts import Plugged
from routecode.circuit.plant import (
    DIRECTION_NUMBER,
    Kit,
    Plant,
    Socket,
)
from routecode.circuit.problems import Problems, upper
from routecode.language.ranges import spread
from routecode.language.signals import KINDS, channels_of, family_of, kind_of
from routecode.language.written import Inside, Model, Multipin, Port, Studio, Switch, Unit
from routecode.physics.pins import layout_pins

_OWN_KEYS = tuple(attribute.name for attribute in fields(Port) if attribute.name not in ("place", "elsewhere", "name"))


class KitMaker:
    """Makes kits, once for each model and once for each unit with things of its own."""

    def __init__(self, plant: Plant, problems: Problems) -> None:
        self.plant = plant
        self.studio: Studio = plant.studio
        self.problems = problems
        self.family_numbers: dict[str, int] = {"": 0}
        self._of_model: dict[str, Kit] = {}
        self._empty = self._assemble({}, (), (), "unit")

    def kit(self, unit: Unit) -> Kit:
        """The kit of a unit."""
        model = self.studio.model.get(unit.model) if unit.model else None
        if not (unit.port or unit.inside or unit.switch or unit.multipin):
            return self._model_kit(model) if model else self._empty
        owner = f"unit {unit.id}"
        if model is None:
            return self._make(unit, owner)
        kit = self._assemble(
            self._united_ports(model, unit), (*model.inside, *unit.inside), (*model.switch, *unit.switch), owner
        )
        return self._with_multipins(kit, (*model.multipin, *unit.multipin), owner)

    def check_unused(self) -> None:
        """Resolve models that no unit uses, for their mistakes."""
        for model in self.studio.model.values():
            self._model_kit(model)

    def _model_kit(self, model: Model) -> Kit:
        kit = self._of_model.get(model.id)
        if kit is None:
            kit = self._of_model[model.id] = self._make(model, f"model {model.id}")
        return kit

    def _make(self, written: Model | Unit, owner: str) -> Kit:
        kit = self._assemble(self._spread_ports(written.port, owner), written.inside, written.switch, owner)
        return self._with_multipins(kit, written.multipin, owner)

    def _with_multipins(self, kit: Kit, multipins: Iterable[Multipin], owner: str) -> Kit:
        taken: dict[int, Multipin] = {}
        for multipin in multipins:
            at = multipin.where("carries")
            sockets: list[int] = []
            for name in spread(multipin.carries, at, self.problems.mistakes):
                number = kit.index.get(name)
                if number is None:
                    near = self.problems.near(name, kit.index)
                    do = f"Did you mean {near}?" if near else f"Name ports of {owner}."
                    if not self.problems.enough("unknown-port", name, at):
                        self.problems.add("unknown-port", f"{upper(owner)} has no port {name}.", at, do=do)
                elif number in taken:
                    also = (("the other connector", taken[number].where("carries")),)
                    text = f"Port {name} of {owner} is carried by two connectors."
                    self.problems.add("name-twice", text, at, do="Take it out of one of them.", also=also)
                else:
                    taken[number] = multipin
                    sockets.append(number)
            self._within(multipin, len(sockets))
            kit.multipins = (*kit.multipins, Plugged(tuple(sockets), multipin))
        return kit

    def _within(self, multipin: Multipin, carried: int) -> None:
        """Told where a connector carries more circuits than its published layout has."""
        pins = layout_pins(multipin.layout or "")
        if pins is not None and carried > len(pins):
            text = f"`carries` names {carried} ports, and the layout {multipin.layout} has {len(pins)} circuits."
            do = "Make two connectors of it, or correct `layout`."
            self.problems.add("circuits-unequal", text, multipin.where("carries"), do=do)

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
