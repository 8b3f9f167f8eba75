"""Where a cord can go in a state, and what is on the wire there once its plug is in.

A *front* is a jack, the face of a passive port, or a port with no cable that takes a cord itself. It is free while no cord, dummy
plug or cable is in it; a link plug does not count: it comes out first. Proposes nothing; that is `cords`.
"""

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from routecode.circuit.nets import Net
from routecode.circuit.parts import PlacedSetup
from routecode.circuit.plant import EITHER, OUT, Plant
from routecode.circuit.state import State
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.language.written import Setup


class Front(NamedTuple):
    """A free front. `wire`: nodes joined to it with a plug in it; `drivers`: ports on that wire that always drive it.

    `opens`: closed normals that the plug opens; `breaks`: those of them with a signal; `crowd`: ports that drive that wire as things
    stand; `awkward`: 1 for each of: no jack, reserved, link plug to take out.
    """

    node: int
    wire: frozenset[int]
    drivers: frozenset[int]
    opens: int
    breaks: int
    crowd: int
    awkward: int


class Fronts:
    """The free fronts of a state. `base`: those of the unpatched state, for what the setup leaves as it is."""

    def __init__(self, state: State, base: "Fronts | None" = None) -> None:
        self.state = state
        self.plant: Plant = state.plant
        self.base = base
        self._fronts: dict[int, Front | None] = {}
        self._at: dict[int, tuple[Front, ...]] = {}
        self._keys: dict[int, tuple[object, ...]] = {}
        self._speaks: set[int] | None = None
        self._probe = State(self.plant, state.placed or no_setup(), state.base or state)

    # -- fronts ---------------------------------------------------------------------------------------------------------

    def front(self, node: int) -> Front | None:
        """The front at a node; None where none is, or where it is taken."""
        if node not in self._fronts:
            self._fronts[node] = self._front(node)
        return self._fronts[node]

    def _front(self, node: int) -> Front | None:
        if not self.free(node):
            return None
        if self.base is not None and self._as_unpatched(node):
            return self.base.front(node)
        opened = self._opened(node)
        wire = self._wire(node, opened)
        drivers = frozenset() if self._opens_insides(node) else frozenset(filter(self._always_drives, wire))
        net = self.state.net_of(node)
        fed = net is not None and net.drives and net.hears and not net.mixed
        crowd = len(wire.intersection(net.drives)) if net is not None and not net.either else 0
        return Front(node, wire, drivers, len(opened), len(opened) if fed else 0, crowd, self._awkward(node))

    def free(self, node: int) -> bool:
        """Whether a cord can go there."""
        plant, state = self.plant, self.state
        if node >= plant.ports:
            return node < plant.hubs and node not in state.plugged
        unit = plant.unit_of(node)
        if node in state.corded or unit.written.away is not None:
            return False
        wires = plant.wires_of(node)
        if plant.direction[node] == EITHER and node - unit.first not in unit.kit.bonded:
            return not any(wire.front for wire in wires)
        return not wires

    def _as_unpatched(self, node: int) -> bool:
        """Whether the net of a node, and what is plugged in at it, is that of the unpatched state."""
        base = self.state.base
        assert base is not None
        if node in self.state.neighbours or self.state.net_of(node) is not base.net_of(node):
            return False
        placed = self.state.placed
        if placed is not None and placed.links and self.plant.is_jack(node):
            bay = self.plant.bay_of(node)
            return (bay.id, bay.place(node)[1]) not in placed.links
        return True

    def _opened(self, node: int) -> list[int]:
        """The other ends of the closed normals that a plug at a jack opens."""
        if not self.plant.is_jack(node):
            return []
        state, found = self.state, []
        self._probe.plugged = {*state.plugged, node}
        for number in self.plant.normals_at(node):
            normal = self.plant.normals[number]
            if state.normal_closed(normal) and not self._probe.normal_closed(normal):
                found.append(normal.target if normal.source == node else normal.source)
        return found

    def _wire(self, node: int, opened: list[int]) -> frozenset[int]:
        near = Counter(self.state.joined(node))
        near.subtract(opened)
        seen = {node}
        queue = [other for other, joints in near.items() if joints > 0]
        seen.update(queue)
        for here in queue:
            for other in self.state.joined(here):
                if other not in seen:
                    seen.add(other)
                    queue.append(other)
        return frozenset(seen)

    def _opens_insides(self, node: int) -> bool:
        """Whether a cord there may open hardwired insides: what drives it then is known only when that is compiled."""
        return node < self.plant.ports and any(bond.unless is not None for bond in self.plant.unit_of(node).kit.bonds)

    def _always_drives(self, port: int) -> bool:
        """Whether a node drives whatever else is on its wire: an output, or a passive port with a one-way inside to it."""
        plant = self.plant
        if port >= plant.ports or plant.unit_of(port).written.away is not None:
            return False
        return plant.direction[port] == OUT or port in self._spoken

    @property
    def _spoken(self) -> set[int]:
        if self._speaks is None:
            passives = self.state.passives
            turned = {node for crossing in passives.taken for node in crossing}
            self._speaks = passives.speaks - turned
        return self._speaks

    def _awkward(self, node: int) -> int:
        if not self.plant.is_jack(node):
            return 1
        bay = self.plant.bay_of(node)
        return (bay.place(node)[1] in bay.reserved) + self.link_plug(node)

    def link_plug(self, node: int) -> bool:
        """Whether a link plug sits in a jack and must come out first."""
        if not self.plant.is_jack(node):
            return False
        bay = self.plant.bay_of(node)
        row, column = bay.place(node)
        if not bay.plugs or not row:
            return False
        placed = self.state.placed
        moved = placed.links.get((bay.id, column)) if placed is not None else None
        return (moved[0] if moved is not None else bay.normals[column]) == row

    # -- round a port ---------------------------------------------------------------------------------------------------

    def group(self, node: int) -> Iterable[int]:
        """Everything joined to a node by conductors, the node among it."""
        net: Net | None = self.state.net_of(node)
        return (node,) if net is None else net.nodes

    def at(self, port: int) -> tuple[Front, ...]:
        """The free fronts at which a port can still be met once the plug is in, in natural order of their names."""
        found = self._at.get(port)
        if found is None:
            if self.base is not None and self._as_unpatched(port) and not self._plugged(port):
                found = self.base.at(port)
            else:
                fronts = (self.front(node) for node in self.group(port))
                found = tuple(
                    sorted(
                        (one for one in fronts if one is not None and port in one.wire),
                        key=lambda one: self.key(one.node),
                    )
                )
            self._at[port] = found
        return found

    def _plugged(self, port: int) -> bool:
        return any(node in self.state.plugged for node in self.group(port))

    def key(self, node: int) -> tuple[object, ...]:
        """The order of fronts among equals."""
        if self.base is not None:
            return self.base.key(node)
        found = self._keys.get(node)
        if found is None:
            found = self._keys[node] = tuple(natural(self.plant.name(node)))
        return found


def no_setup() -> PlacedSetup:
    """A setup with nothing in it, to lay cords over the unpatched state."""
    return PlacedSetup("", Setup(id="", place=At("", ())))
