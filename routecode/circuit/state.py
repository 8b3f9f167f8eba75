"""A state of the studio: unpatched, or a setup laid over it. Which joints are closed, which nets there are, which insides are open.

The unpatched state is built whole; a setup is an overlay that floods again only the nets it touches.
"""

from collections import Counter
from collections.abc import Iterator

from routecode.circuit.nets import Neighbours, Net, classified, flood_all, flood_from, settle
from routecode.circuit.passive import Passives
from routecode.circuit.plant import Branch, Joints, NormalJoint, PlacedCord, PlacedSetup, PlacedUnit, Plant

Pair = tuple[int, int]


def pair(a: int, b: int) -> Pair:
    """The unordered pair of two nodes."""
    return (a, b) if a < b else (b, a)


class State:
    """What holds in one state. Made by `unpatched` and `overlay`; never changed afterwards."""

    def __init__(self, plant: Plant, setup: PlacedSetup | None, base: "State | None") -> None:
        self.plant = plant
        self.placed = setup
        self.base = base
        self.setup: str | None = setup.id if setup else None
        self.cords: tuple[PlacedCord, ...] = setup.cords if setup else ()
        self.positions: dict[tuple[str, str], str] = (
            {key: word for key, (word, _) in setup.positions.items()} if setup else {}
        )
        self.routes: frozenset[Pair] = frozenset(plant.routes) | frozenset(setup.routes if setup else ())
        self.corded: Counter[int] = Counter()
        """Ports that take cords themselves, with how many."""
        self.plugged: set[int] = set(setup.dummies) if setup else set()
        """Jacks with a plug in them."""
        self.joints: Joints | None = None
        """All joints of the unpatched state; none in an overlay."""
        self.neighbours: Neighbours = {}
        """In an overlay: joined nodes of those whose joints differ from the unpatched ones."""
        self.reversed: Counter[Pair] = Counter()
        """Joints that exchange hot and cold, by their pair of nodes."""
        self.nets: list[Net] = []
        """All nets; in an overlay those that it made anew."""
        self.net_at: dict[int, Net] = {}
        self.replaced: set[int] = set()
        """`id` of the unpatched nets that an overlay replaces."""
        self.passives: Passives
        self._exchanging: frozenset[int] | None = None
        for cord in self.cords:
            for end in (cord.a, cord.b):
                if end.how == "jack":
                    self.plugged.add(end.node)
                elif end.node >= 0:
                    self.corded[end.node] += 1

    def exchanging(self) -> frozenset[int]:
        """Nodes at joints that exchange hot and cold."""
        if self._exchanging is None:
            self._exchanging = frozenset(node for ends, count in self.reversed.items() if count > 0 for node in ends)
        return self._exchanging

    # -- conditions -----------------------------------------------------------------------------------------------------

    def position(self, unit: PlacedUnit, switch: str) -> str:
        """Where a switch stands in this state."""
        return self.positions.get((unit.id, switch)) or unit.kit.switches[switch][0]

    def attached(self, node: int) -> bool:
        """Whether any cable, or a cord that takes the port itself, is joined to a port."""
        return node in self.plant.wire_at or node in self.corded

    def holds(self, unit: PlacedUnit, switch: str | None, position: str | None, unless: int | None) -> bool:
        """Whether the conditions of an inside are met."""
        if switch is not None and self.position(unit, switch) != position:
            return False
        return unless is None or not self.attached(unit.first + unless)

    def closed(self, unit: PlacedUnit, branch: Branch) -> bool:
        """Whether an inside that is not hardwired is closed here."""
        if unit.written.away is not None or not self.holds(unit, branch.switch, branch.position, branch.unless):
            return False
        return branch.control != "routed" or channels_of(unit, branch) in self.routes

    def normal_closed(self, normal: NormalJoint) -> bool:
        """Whether a normal is joined here."""
        if self.placed is None:
            return normal.rests
        if normal.column == 0:
            return not _plug_breaks(normal.pattern, normal, self.plugged)
        bay = self.plant.bays[normal.bay]
        if bay.plugs:
            word = normal.pattern
            if self.placed is not None and (normal.bay, normal.column) in self.placed.links:
                word = self.placed.links[normal.bay, normal.column][0]
            return word == bay.destination_row and normal.target not in self.plugged
        return not _plug_breaks(_SWITCHED[normal.pattern], normal, self.plugged)

    # -- nets -----------------------------------------------------------------------------------------------------------

    def net_of(self, node: int) -> Net | None:
        """The net of a node; None where nothing is joined to it."""
        found = self.net_at.get(node)
        if found is not None or self.base is None or node in self.neighbours:
            return found
        found = self.base.net_at.get(node)
        return None if found is not None and id(found) in self.replaced else found

    def joined(self, node: int) -> list[int]:
        """The nodes joined to a node directly, one for each joint."""
        if self.joints is not None:
            return self.joints.at(node)
        assert self.base is not None
        own = self.neighbours.get(node)
        return self.base.joined(node) if own is None else own

    def all_nets(self) -> Iterator[Net]:
        """Every net of the state."""
        if self.base is not None:
            for net in self.base.nets:
                if id(net) not in self.replaced:
                    yield net
        yield from self.nets


_SWITCHED = {"half": "to", "full": "both", "parallel": "never", "none": "always"}


def _plug_breaks(breaks: str, normal: NormalJoint, plugged: set[int]) -> bool:
    if breaks == "never":
        return False
    if breaks == "to":
        return normal.target in plugged
    if breaks == "from":
        return normal.source in plugged
    return breaks == "always" or normal.source in plugged or normal.target in plugged


def channels_of(unit: PlacedUnit, branch: Branch) -> Pair:
    """The channel numbers of an inside of a unit: (from, to)."""
    offsets = unit.kit.offsets
    return (
        unit.first_channel + offsets[branch.source] + branch.source_channel,
        unit.first_channel + offsets[branch.target] + branch.target_channel,
    )


# -- the unpatched state ------------------------------------------------------------------------------------------------


def unpatched(plant: Plant) -> State:
    """The state with no setup."""
    state = State(plant, None, None)
    state.joints = _resting_joints(state)
    net_at = state.net_at
    for net in flood_all(state.joints, plant.hubs, plant.direction, plant.family, plant.away):
        state.nets.append(net)
        for node in net.nodes:
            net_at[node] = net
    state.passives = Passives.of(state)
    for net in state.nets:
        if net.passive:
            settle_net(state, net)
    return state


def _resting_joints(state: State) -> Joints:
    """Cables, resting normals, mults and hardwired insides as they rest."""
    plant = state.plant
    joints = Joints(len(plant.direction))
    first, second = joints.first, joints.second
    for wire in plant.wires:
        a, b = wire.a, wire.b
        if first[a] < 0 and first[b] < 0:  # most cables are the first joint at both their ends
            first[a], first[b] = b, a
        else:
            joints.join(a, b)
        if wire.details.reversed:
            state.reversed[pair(a, b)] += 1
    for a, b, _, _, _, rests, _, _ in plant.normals:
        if rests:
            if second[a] < 0 and second[b] < 0 and first[a] >= 0 and first[b] >= 0:
                second[a], second[b] = b, a
            else:
                joints.join(a, b)
    for a, b in _mult_joints(plant):
        joints.join(a, b)
    for unit in plant.units.values():
        if unit.kit.bonds:
            for a, b, reverses in closed_bonds(state, unit):
                joints.join(a, b)
                if reverses:
                    state.reversed[pair(a, b)] += 1
    return joints


def _mult_joints(plant: Plant) -> Iterator[Pair]:
    for hub, jacks in enumerate(plant.hub_jacks, plant.hubs):
        for jack in jacks:
            yield hub, jack


def closed_bonds(state: State, unit: PlacedUnit) -> Iterator[tuple[int, int, bool]]:
    """The hardwired insides of a unit that join: (port, port, exchanges hot and cold)."""
    if unit.written.away is not None:
        return  # the box is not there: its cables end in the air
    for bond in unit.kit.bonds:
        if state.holds(unit, bond.switch, bond.position, bond.unless):
            yield unit.first + bond.source, unit.first + bond.target, bond.reversed


def settle_net(state: State, net: Net) -> None:
    """Let the passive ports of a net drive or receive, by what the state says of them."""
    passives = state.passives
    ends = [node for node in net.passive if _is_end(state, node)]
    settle(net, ends, passives.speaks, passives.listens, passives.offers)


def _is_end(state: State, node: int) -> bool:
    """Whether a passive port is joined on one side only."""
    plant = state.plant
    unit = plant.unit_of(node)
    wires = plant.wires_of(node)
    if node - unit.first in unit.kit.bonded:
        inside = any(node in (a, b) for a, b, _ in closed_bonds(state, unit))
        outside = bool(wires) or node in state.corded
    else:
        inside = any(not wire.front for wire in wires)
        outside = node in state.corded or any(wire.front for wire in wires)
    return inside != outside


# -- overlays -----------------------------------------------------------------------------------------------------------


def overlay(base: State, setup: PlacedSetup) -> State:
    """A setup over the unpatched state."""
    plant = base.plant
    state = State(plant, setup, base)
    state.reversed = base.reversed.copy()
    changed = _changed_joints(base, state)
    for node in changed:
        state.neighbours[node] = list(base.joined(node))
    for a, b, closes, reverses in _differences(base, state):
        if closes:
            state.neighbours[a].append(b)
            state.neighbours[b].append(a)
        else:
            state.neighbours[a].remove(b)
            state.neighbours[b].remove(a)
        if reverses:
            state.reversed[pair(a, b)] += 1 if closes else -1
    _reflood(base, state, changed)
    return state


def _changed_joints(base: State, state: State) -> set[int]:
    return {node for a, b, *_ in _differences(base, state) for node in (a, b)}


def _differences(base: State, state: State) -> Iterator[tuple[int, int, bool, bool]]:
    """Joints that differ: (a, b, closes here, reverses)."""
    for cord in state.cords:
        if cord.a.node >= 0 and cord.b.node >= 0:
            yield cord.a.node, cord.b.node, True, cord.reversed
    for normal in _normals_touched(state):
        before, after = base.normal_closed(normal), state.normal_closed(normal)
        if before != after:
            yield normal.source, normal.target, after, False
    for unit in _units_touched(state):
        before_bonds, after_bonds = set(closed_bonds(base, unit)), set(closed_bonds(state, unit))
        for a, b, reverses in sorted(before_bonds ^ after_bonds):
            yield a, b, (a, b, reverses) in after_bonds, reverses


def _normals_touched(state: State) -> list[NormalJoint]:
    plant = state.plant
    nodes = set(state.plugged)
    if state.placed is not None:
        nodes.update(plant.bays[bay].jack("bottom", column) for bay, column in state.placed.links)
    numbers = {number for node in nodes for number in plant.normals_at(node)}
    return [plant.normals[number] for number in sorted(numbers)]


def _units_touched(state: State) -> list[PlacedUnit]:
    """Units whose insides may stand otherwise than unpatched: switches set, cords in their ports."""
    ids = {unit for unit, _ in state.positions} | {
        state.plant.unit_of(node).id for node in state.corded if node < state.plant.ports
    }
    return [state.plant.units[name] for name in sorted(ids)]


def _reflood(base: State, state: State, changed: set[int]) -> None:
    plant, away = state.plant, state.plant.away
    seeds = set(changed) | {node for node in state.corded if node < plant.ports}
    for node in seeds:
        old = base.net_at.get(node)
        if old is not None:
            state.replaced.add(id(old))
    seeds |= set(_nodes_of_replaced(base, state))
    groups = flood_from(sorted(seeds), state.joined)
    named = ([node for node in group if node < plant.hubs] for group in groups)
    _take(state, [classified(group, plant.direction, plant.family, away) for group in named if len(group) > 1])
    state.passives = Passives.of(state)
    _follow_passives(base, state, away)
    for net in state.nets:
        if net.passive:
            settle_net(state, net)


def _nodes_of_replaced(base: State, state: State) -> Iterator[int]:
    for node in list(state.neighbours):
        old = base.net_at.get(node)
        if old is not None:
            yield from old.nodes
    for node in state.corded:
        old = base.net_at.get(node)
        if old is not None:
            yield from old.nodes


def _take(state: State, nets: list[Net]) -> None:
    for net in nets:
        state.nets.append(net)
        for node in net.nodes:
            state.net_at[node] = net


def _follow_passives(base: State, state: State, away: frozenset[int]) -> None:
    """Nets that this setup leaves joined as they were, but whose passive ports speak or listen otherwise, are made anew too."""
    before, after = base.passives, state.passives
    moved = (before.speaks ^ after.speaks) | (before.listens ^ after.listens) | (before.offers ^ after.offers)
    for node in sorted(moved):
        old = base.net_at.get(node)
        if old is not None and id(old) not in state.replaced and node not in state.net_at:
            state.replaced.add(id(old))
            _take(state, [classified(list(old.nodes), state.plant.direction, state.plant.family, away)])
