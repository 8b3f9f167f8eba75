"""A state with some cords added: whether they may be, whether they do what is wanted, and which present paths they cost.

Worked out round the cords only: what it takes follows what the cords touch, not the size of the studio.
"""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cached_property

from routecode.circuit.circuit import Circuit
from routecode.circuit.fronts import no_setup
from routecode.circuit.loops import strongly_connected
from routecode.circuit.nets import Net
from routecode.circuit.parts import CordEnd, PlacedCord, PlacedSetup
from routecode.circuit.plant import EITHER, IN, Plant
from routecode.circuit.reach import Reach, spread_out
from routecode.circuit.state import overlay
from routecode.ground.place import At
from routecode.language.written import Cord

Ends = tuple[int, int]
"""Two nodes (the fronts of a cord, the end that gives the signal first), or two channels (source, destination)."""
Fits = Callable[[Plant, int, int], bool]
"""Whether a cord may bring the signal of a driving port to a receiving port (plant, driver, receiver): the place for rules that veto."""
NOWHERE = At("", ())


class Corded:
    """The state of a setup (or unpatched) with cords on top. `before`: that state as it stands."""

    def __init__(self, circuit: Circuit, before: Reach, cords: Sequence[Ends], fits: Fits) -> None:
        self.plant = circuit.plant
        self.before = before
        self.cords = cords
        self.fits = fits
        own = before.state.placed or no_setup()
        placed = PlacedSetup(own.id, own.written, own.cords, own.dummies, own.links, own.positions, own.routes)
        placed.cords += tuple(PlacedCord(self._end(a), self._end(b), False, _CORD, own.id) for a, b in cords)
        self.state = overlay(circuit.state(None), placed)
        self.reach = Reach(self.state)

    def _end(self, node: int) -> CordEnd:
        if self.plant.is_jack(node):
            return CordEnd("", node, "jack", (), NOWHERE)
        return CordEnd("", node, "face" if self.plant.direction[node] == EITHER else "port", (), NOWHERE)

    # -- whether they may be --------------------------------------------------------------------------------------------

    @cached_property
    def sound(self) -> bool:
        """Whether no cord ties outputs, joins families, makes feedback, or brings a signal where it may not go."""
        nets = {id(net): net for net in (self.state.net_of(a) for a, _ in self.cords) if net is not None}
        return all(self._net_sound(net) for net in nets.values())

    def _net_sound(self, net: Net) -> bool:
        if net.mixed or net.either or len(net.drives) > 1:
            return False
        for driver in net.drives:
            for hearer in net.hears:
                asked = self.plant.direction[hearer] == IN or hearer in self.state.passives.listens
                if (
                    asked
                    and hearer != driver
                    and not self._fed(driver, hearer)
                    and not self.fits(self.plant, driver, hearer)
                ):
                    return False
        return not any(self._howls(vertex) for vertex in self._vertices(net))

    def _vertices(self, net: Net) -> Iterator[int]:
        """What the channels in a net receive and drive."""
        for node in net.nodes:
            for channel in self.plant.channels_of(node):
                yield from (2 * channel, 2 * channel + 1)

    def _fed(self, driver: int, hearer: int) -> bool:
        """Whether one port feeds the other without the cords."""
        net = self.before.state.net_of(driver)
        return net is not None and driver in net.drives and hearer in net.hears and not net.mixed

    def _howls(self, vertex: int) -> bool:
        """Whether a vertex comes back to itself with the cords and does not without."""
        return vertex in spread_out((vertex,), self.reach.down) and vertex not in spread_out(
            (vertex,), self.before.down
        )

    def joins(self, pairs: Iterable[Ends]) -> bool:
        """Whether every source reaches its destination; followed from the end with fewer channels."""
        pairs = set(pairs)
        sources, targets = {source for source, _ in pairs}, {target for _, target in pairs}
        if len(targets) < len(sources):
            above = {target: {*spread_out((2 * target,), self.reach.up)} for target in targets}
            return all(2 * source + 1 in above[target] for source, target in pairs)
        below = {source: {*spread_out((2 * source + 1,), self.reach.down)} for source in sources}
        return all(2 * target in below[source] for source, target in pairs)

    # -- what they cost -------------------------------------------------------------------------------------------------

    @cached_property
    def loses(self) -> tuple[Ends, ...]:
        """The present paths that are not there any more (source, destination), by numbers; paths that carry nothing left out."""
        lost: set[Ends] = set()
        for start, stop in self._edges_lost():
            ends = ends_below(self.before, stop)
            for source in sources_above(self.before, start):
                now = set(spread_out((2 * source + 1,), self.reach.down))
                lost.update((source, end) for end in ends if 2 * end not in now)
        return tuple(sorted(lost))

    def _edges_lost(self) -> Iterator[Ends]:
        for port in sorted(self._touched()):
            for channel in self.plant.channels_of(port):
                for vertex in (2 * channel, 2 * channel + 1):
                    old = self.before.down(vertex)
                    if old:
                        yield from ((vertex, other) for other in sorted({*old} - {*self.reach.down(vertex)}))

    def _touched(self) -> set[int]:
        """Ports whose feeds or insides may differ."""
        ends = {node for cord in self.cords for node in cord}
        old, new = self.before.state.passives, self.state.passives
        moved = (old.speaks ^ new.speaks) | (old.listens ^ new.listens) | (old.offers ^ new.offers)
        moved |= {node for crossing in old.taken ^ new.taken for node in crossing}
        units = (self.plant.unit_of(node) for node in ends if node < self.plant.ports)
        found = {port for unit in units for port in unit} | {node for node in moved if node < self.plant.ports}
        for node in ends | found | moved:
            for state in (self.before.state, self.state):
                net = state.net_of(node)
                found = found | {port for port in net.nodes if port < self.plant.ports} if net is not None else found
        return found


_CORD = Cord(from_=(), to=(), place=NOWHERE)


def sources_above(reach: Reach, vertex: int) -> list[int]:
    """Source channels that reach a vertex, sorted; idle ones not among them."""
    above = [vertex, *(one for one in spread_out((vertex,), reach.up) if one != vertex)]
    found = {one // 2 for one in above if one % 2 and not reach.brought(one // 2)}
    edges = {one: reach.up(one) for one in above}
    for loop in strongly_connected(edges):
        members = set(loop)
        givers = {giver for one in loop for giver in edges[one]} - members if len(loop) > 1 else {-1}
        if all(giver >= 0 and not giver % 2 and not reach.up(giver) for giver in givers):
            found.update(one // 2 for one in loop if one % 2 and reach.down(one))
    return sorted(found)


def ends_below(reach: Reach, vertex: int) -> list[int]:
    """Destination channels that a vertex reaches, itself too, sorted."""
    below = {vertex, *spread_out((vertex,), reach.down)}
    return sorted(one // 2 for one in below if not one % 2 and not any(reach.down(other) for other in reach.down(one)))
