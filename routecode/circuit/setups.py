"""Setups resolved: cords with their ends, plugs, positions, routes and needs; includes united."""

from collections.abc import Iterable

from routecode.circuit.plant import (
    BOTH,
    EITHER,
    OUT,
    CordEnd,
    PlacedCord,
    PlacedNeed,
    PlacedSetup,
    Plant,
)
from routecode.circuit.problems import Problems
from routecode.ground.place import At
from routecode.language.kinds import Names
from routecode.language.ranges import spread
from routecode.language.written import Cord, Need, Plug, Route, Setup, SwitchSet

_SWITCHED_PLUGS = ("broken",)
_LINK_PLUGS = ("bottom", "top", "out")


def whole_cords(cords: Iterable[PlacedCord]) -> list[list[PlacedCord]]:
    """Cords as they are picked up: the legs of a Y-cord together."""
    found: dict[tuple[int, int], list[PlacedCord]] = {}
    for index, cord in enumerate(cords):
        found.setdefault((id(cord.written), -1 if len(cord.written.to) > 1 else index), []).append(cord)
    return list(found.values())


class SetupMaker:
    """Resolves the setups and routes of a plant whose cabling is complete."""

    def __init__(self, plant: Plant, problems: Problems) -> None:
        self.plant = plant
        self.problems = problems
        self.own: dict[str, PlacedSetup] = {}

    def make(self) -> None:
        """Fill `plant.routes`, `plant.phantom_on` and `plant.setups`."""
        for unit in self.plant.studio.unit.values():
            if unit.phantom_on:
                self.plant.phantom_on.update(self._supplying(unit.phantom_on, unit.where("phantom_on"), f"{unit.id}/"))
        for route in self.plant.studio.route:
            self._route(route, self.plant.routes)
        for setup in self.plant.studio.setup.values():
            self.own[setup.id] = self._own(setup)
        for name in self.own:
            self.plant.setups[name] = self._united(name)

    def _own(self, setup: Setup) -> PlacedSetup:
        placed = PlacedSetup(setup.id, setup)
        placed.cords = tuple(end for cord in setup.cord for end in self._cord(cord, setup.id))
        for plug in setup.plug:
            self._plug(plug, placed)
        for turned in setup.set:
            self._position(turned, placed)
        for route in setup.route:
            self._route(route, placed.routes)
        for names, key, on in ((setup.phantom_on, "phantom_on", True), (setup.phantom_off, "phantom_off", False)):
            placed.phantom.update(dict.fromkeys(self._supplying(names, setup.where(key)), on))
        placed.needs = tuple(need for written in setup.need for need in self._need(written))
        return placed

    def _united(self, name: str) -> PlacedSetup:
        """The setup with all it includes, later ones winning."""
        own = self.own[name]
        united = PlacedSetup(name, own.written, needs=own.needs)
        cords: dict[tuple[int, ...], PlacedCord] = {}
        for part in self._order(name):
            source = self.own[part]
            for cord in source.cords:
                # An ambiguous end joins nothing, so such cords are kept apart by their names.
                key = tuple(sorted((cord.a.node, cord.b.node)))
                cords[key if key[0] >= 0 else (hash((cord.a.named, cord.b.named)),)] = cord
            united.dummies.update(source.dummies)
            united.links.update(source.links)
            united.positions.update(source.positions)
            united.routes.update(source.routes)
            united.phantom.update(source.phantom)
        united.cords = tuple(cords.values())
        return united

    def _order(self, name: str) -> list[str]:
        """The setup and all it includes, each once, where it counts last: later ones win."""
        backwards: list[str] = []
        seen: set[str] = set()
        waiting = [name]
        while waiting:
            part = waiting.pop()
            if part in seen or part not in self.own:
                continue
            seen.add(part)
            backwards.append(part)
            waiting += self.own[part].written.include
        return backwards[::-1]

    # -- cords ----------------------------------------------------------------------------------------------------------

    def _cord(self, cord: Cord, setup: str) -> list[PlacedCord]:
        froms = spread(cord.from_, cord.where("from"), self.problems.mistakes)
        tos = spread(cord.to, cord.where("to"), self.problems.mistakes)
        if len(cord.to) > 1:
            if len(froms) != 1:
                if froms:
                    self.problems.add(
                        "y-cord",
                        f"A Y-cord has one `from`; this one names {len(froms)}.",
                        cord.where("from"),
                        do="Write one cord for each.",
                    )
                return []
            froms = froms * len(tos)
        elif len(froms) != len(tos):
            if froms and tos:
                self.problems.unequal("`from`", len(froms), "`to`", len(tos), cord.where("to"), (*froms, *tos))
            return []
        ends: list[PlacedCord] = []
        for start, stop in zip(froms, tos, strict=True):
            a, b = self._end(start, cord.where("from")), self._end(stop, cord.where("to"))
            if a is None or b is None:
                continue
            if a.node == b.node and a.node >= 0:
                self.problems.add(
                    "cord-to-itself",
                    f"Both ends of this cord go to {self.plant.name(a.node)}.",
                    cord.where("to"),
                    do="Correct one end.",
                )
                continue
            ends.append(PlacedCord(a, b, cord.polarity == "reversed", cord, setup))
        return ends

    def _end(self, name: str, at: At) -> CordEnd | None:
        node = self.plant.node(name)
        if node is None:
            self.problems.unknown_place(self.plant, name, at)
            return None
        if self.plant.is_jack(node):
            return CordEnd(name, node, "jack", (), at)
        direction = self.plant.direction[node]
        if direction == EITHER:
            return CordEnd(name, node, "face", (), at)
        if direction == BOTH:
            return CordEnd(name, node, "port", (), at)
        jacks = tuple(
            sorted({place for place in self.plant.wired(node) if self.plant.is_jack(place)}, key=self.plant.jack_key)
        )
        if len(jacks) == 1:
            return CordEnd(name, jacks[0], "jack", jacks, at)
        return CordEnd(name, -1, "ambiguous", jacks, at) if jacks else CordEnd(name, node, "port", (), at)

    # -- plugs and positions --------------------------------------------------------------------------------------------

    def _plug(self, plug: Plug, placed: PlacedSetup) -> None:
        for name in spread(plug.at, plug.where("at"), self.problems.mistakes):
            node = self.plant.node(name)
            if node is None or not self.plant.is_jack(node):
                self.problems.unknown_place(self.plant, name, plug.where("at"), wanted="jack")
                continue
            bay = self.plant.bay_of(node)
            allowed = _LINK_PLUGS if bay.plugs else _SWITCHED_PLUGS
            if plug.set not in allowed:
                kind = "link plugs" if bay.plugs else "switching contacts"
                self.problems.add(
                    "wrong-plug",
                    f"{bay.title} has {kind}: set takes {', '.join(allowed)}, not {plug.set}.",
                    plug.where("set"),
                    do="Correct `set`.",
                )
            elif plug.set == "broken":
                placed.dummies[node] = plug
            else:
                setting = "none" if plug.set == "out" else str(plug.set)
                placed.links[bay.id, bay.place(node)[1]] = (setting, plug)

    def _position(self, turned: SwitchSet, placed: PlacedSetup) -> None:
        head, _, name = (turned.switch or "").partition("/")
        unit = self.plant.units.get(head)
        if unit is None or name not in unit.kit.switches:
            known = [f"{head}/{switch}" for switch in unit.kit.switches] if unit else list(self.plant.units)
            near = self.problems.near(turned.switch or "" if unit else head, known)
            hint = f"Did you mean {near}?" if near else "Write unit/name of a switch that the unit declares."
            self.problems.add("unknown-switch", f"There is no switch {turned.switch}.", turned.where("switch"), do=hint)
            return
        if turned.to not in unit.kit.switches[name]:
            known_words = ", ".join(unit.kit.switches[name])
            self.problems.add(
                "unknown-position",
                f"Switch {turned.switch} has no position {turned.to}.",
                turned.where("to"),
                do=f"Its positions are: {known_words}.",
            )
            return
        placed.positions[head, name] = (turned.to or "", turned)

    # -- phantom power ---------------------------------------------------------------------------------------------------

    def _supplying(self, names: Names, at: At, unit: str = "") -> list[int]:
        """The inputs named, with all that share their switch; each must be able to supply phantom power."""
        found: list[int] = []
        for name in spread(names, at, self.problems.mistakes):
            node = self.plant.node(f"{unit}{name}")
            if node is None or node >= self.plant.ports:
                self.problems.unknown_place(self.plant, f"{unit}{name}", at, wanted="port")
            elif self.plant.socket(node).written.phantom != "supply":
                self.problems.add(
                    "no-phantom",
                    f"{self.plant.name(node)} supplies no phantom power.",
                    at,
                    do='Say phantom = "supply" at that port, or leave it out here.',
                )
            else:
                found += self._bank(node)
        return found

    def _bank(self, node: int) -> list[int]:
        """An input and those of its unit that share its phantom switch."""
        name = self.plant.socket(node).written.phantom_bank
        if name is None:
            return [node]
        return [other for other in self.plant.unit_of(node) if self.plant.socket(other).written.phantom_bank == name]

    # -- channels -------------------------------------------------------------------------------------------------------

    def channels(self, names: Names, at: At, wanted: str = "channel") -> list[int]:
        """Channels named by texts; a port without `ch` stands for all of its channels."""
        found: list[int] = []
        for name in spread(names, at, self.problems.mistakes):
            node = self.plant.node(name)
            if node is not None and not self.plant.is_jack(node):
                found += self.plant.channels_of(node)
                continue
            channel = self.plant.channel(name)
            if channel is None:
                self.problems.unknown_place(self.plant, name, at, wanted=wanted)
            else:
                found.append(channel)
        return found

    def _route(self, route: Route, into: dict[tuple[int, int], Route]) -> None:
        before = len(self.problems.mistakes)
        froms = self.channels(route.from_, route.where("from"))
        tos = self.channels(route.to, route.where("to"))
        if len(self.problems.mistakes) > before:
            return
        if len(froms) != len(tos):
            self.problems.unequal("`from`", len(froms), "`to`", len(tos), route.where("to"))
            return
        for pair in zip(froms, tos, strict=True):
            into[pair] = route

    def _need(self, need: Need) -> list[PlacedNeed]:
        columns: list[list[tuple[int, str]]] = []
        before = len(self.problems.mistakes)
        for step in need.path:
            columns.append(self._step(str(step), need))
        if len(self.problems.mistakes) > before:
            return []
        if len(columns) < 2:
            self.problems.add(
                "short-need",
                "A need names at least two places.",
                need.where("path"),
                do="Name where the signal starts and where it must arrive.",
            )
            return []
        longest = max(columns, key=len)
        for number, column in enumerate(columns):
            if len(column) != len(longest):
                self.problems.unequal(
                    f"step {number + 1}",
                    len(column),
                    f"step {columns.index(longest) + 1}",
                    len(longest),
                    need.where("path"),
                )
                return []
        return [
            PlacedNeed(tuple(channel for channel, _ in row), tuple(name for _, name in row), need)
            for row in zip(*columns, strict=True)
        ]

    def _step(self, text: str, need: Need) -> list[tuple[int, str]]:
        at = need.where("path")
        found = [(channel, self.plant.channel_name(channel)) for channel in self.channels((text,), at)]
        directions = {self.plant.direction[self.plant.node_of(channel)] for channel, _ in found}
        if need.path and text != need.path[0] and directions == {OUT}:
            self.problems.add(
                "need-names-output",
                f"A need goes by inputs in order; {text} is an output.",
                at,
                do="Name the input it arrives at.",
            )
        return found
