"""Cords by brute force: every set of one cord, and of two, written into the text of a studio and compiled as a whole.

A set of cords counts where the signal goes over each of them: with the plugs of a cord in and its wire cut (each end parked in a jack
with nothing behind it) the path is gone. What a cord does only by opening a normal somewhere is not asked for.
"""

import itertools
from collections.abc import Collection, Mapping, Sequence
from copy import deepcopy
from functools import cached_property
from random import Random
from typing import Any

from routecode.circuit.circuit import Circuit
from routecode.circuit.cords import Cords
from routecode.circuit.paths import Flow
from tests.change.wiring import circuit
from tests.reference.toml_text import document

Cord = tuple[str, str]
Asked = tuple[str, str]
PARKED = tuple(f"parking/{number}" for number in range(1, 5))


class Brute:
    """A state of a studio, given as one table, and everything that up to `most` cords would make of it."""

    def __init__(self, whole: Mapping[str, Any], setup: str | None, most: int = 1) -> None:
        self.whole = whole
        self.setup = setup
        self.most = most
        self.before = circuit(document(Random(0), dict(whole)))

    @cached_property
    def fronts(self) -> list[str]:
        """Names of the places where a cord can go, by the rules of `cord-into-occupied` and of what a port stands for."""
        plant, state = self.before.plant, self.before.state(self.setup)
        free = []
        for node in range(plant.hubs):
            if plant.is_jack(node):
                taken = node in state.plugged
            else:
                unit, wires = plant.unit_of(node), plant.wires_of(node)
                if plant.direction[node] == 3 and node - unit.first not in unit.kit.bonded:
                    wires = [wire for wire in wires if wire.front]
                taken = bool(wires) or node in state.corded or unit.written.away is not None
            if not taken:
                free.append(plant.name(node))
        return free

    @cached_property
    def sets(self) -> dict[str, tuple[Cord, ...]]:
        """Name of a setup -> its cords."""
        singles = list(itertools.combinations(self.fronts, 2))
        found: dict[str, tuple[Cord, ...]] = {f"one-{number}": (cord,) for number, cord in enumerate(singles)}
        if self.most > 1:
            pairs = (both for both in itertools.combinations(singles, 2) if len({*both[0], *both[1]}) == 4)
            found |= {f"two-{number}": both for number, both in enumerate(pairs)}
        return found

    @cached_property
    def after(self) -> Circuit:
        """The studio with a setup for every set of cords, and for every set with one of its cords cut."""
        whole = deepcopy(dict(self.whole))
        whole["bay"] |= {"parking": {"columns": len(PARKED), "rows": 1}}
        setups = whole.setdefault("setup", {})
        for name, cords in self.sets.items():
            setups[name] = self._table(cords)
            for number, cut in enumerate(cords):
                kept = [cord for cord in cords if cord != cut]
                setups[f"{name}-cut-{number}"] = self._table([*kept, (cut[0], PARKED[0]), (cut[1], PARKED[1])])
        return circuit(document(Random(0), whole))

    def _table(self, cords: Sequence[Cord]) -> dict[str, Any]:
        table: dict[str, Any] = {"cord": [{"from": start, "to": stop} for start, stop in cords]}
        return table | ({"include": [self.setup]} if self.setup is not None else {})

    # -- what holds -----------------------------------------------------------------------------------------------------

    def reaches(self, setup: str, pair: Asked) -> bool:
        """Whether the signal arrives."""
        return _reaches(self.after, setup, pair)

    def works(self, name: str, pair: Asked) -> bool:
        """Whether the signal arrives and no wire with a cord has two drivers, two families or new feedback."""
        return self.reaches(name, pair) and self.sound(name)

    def sound(self, name: str) -> bool:
        """No two drivers, two families, or channels that come back to themselves, where there is a new cord."""
        plant, state = self.after.plant, self.after.state(name)
        new = _in_loops(self.after.flow(name)) - _in_loops(self.after.flow(self.setup))
        for start, _ in self.sets[name]:
            node = plant.node(start)
            assert node is not None
            net = state.net_of(node)
            assert net is not None
            on_wire = {vertex for one in net.nodes for ch in plant.channels_of(one) for vertex in (2 * ch, 2 * ch + 1)}
            if net.mixed or net.either or len(net.drives) > 1 or on_wire & new:
                return False
        return True

    def carries(self, name: str, pair: Asked) -> bool:
        """Whether it works, and the signal goes over every one of its cords."""
        cords = self.sets[name]
        if not self.works(name, pair) or not self._crosses(name, pair):
            return False
        return not any(self.reaches(f"{name}-cut-{number}", pair) for number in range(len(cords)))

    def _crosses(self, name: str, pair: Asked) -> bool:
        """Whether every way leads over the wire of each cord."""
        plant, state = self.after.plant, self.after.state(name)
        nodes = [plant.node(start) for start, _ in self.sets[name]]
        nets = [state.net_of(node) for node in nodes if node is not None]
        shut = [{channel for node in net.nodes for channel in plant.channels_of(node)} for net in nets if net]
        return not any(_reaches(self.after, name, pair, one) for one in shut)

    def least(self, pair: Asked) -> int | None:
        """The fewest cords that carry a signal, None where none of these sets does."""
        return min((len(cords) for name, cords in self.sets.items() if self.carries(name, pair)), default=None)

    def lost(self, name: str) -> set[Asked]:
        """Paths that carry something without the cords and are not there with them."""
        paths = {(path.source, path.target) for path in self.after.flow(self.setup).paths() if not path.idle}
        return {path for path in paths if not self.reaches(name, path)}

    def named(self, cords: Collection[Cord]) -> str:
        """The setup with these cords."""
        wanted = {frozenset(cord) for cord in cords}
        return next(name for name, found in self.sets.items() if {frozenset(cord) for cord in found} == wanted)

    def open_pairs(self, most: int) -> list[Asked]:
        """Channels that could drive and that could hear, and are not joined: some of them, always the same."""
        plant = self.before.plant
        ways = [plant.direction[plant.node_of(channel)] for channel in range(plant.channel_count)]
        names = [plant.channel_name(channel) for channel in range(plant.channel_count)]
        pairs = [
            (names[a], names[b])
            for a, b in itertools.product(range(len(names)), repeat=2)
            if ways[a] in (2, 3) and ways[b] in (1, 3) and plant.node_of(a) != plant.node_of(b)
        ]
        pairs = [pair for pair in pairs if not _reaches(self.before, self.setup, pair)]
        return sorted(Random(len(pairs)).sample(pairs, min(most, len(pairs))))


def disagreements(brute: Brute, pairs: Sequence[Asked]) -> list[str]:
    """Where the search and brute force differ; empty where they agree."""
    plant, asked, found = brute.before.plant, Cords(brute.before), []
    for pair in pairs:
        source, target = (plant.channel(name) for name in pair)
        assert source is not None
        assert target is not None
        outcome = asked.find(brute.setup, [(source, target)])
        least = brute.least(pair)
        if outcome.cords is None:
            if least is not None and outcome.searched >= least:
                found.append(f"{pair}: {least} would do, and surely none was said of {outcome.searched}")
            continue
        cords = [(plant.name(a), plant.name(b)) for a, b in outcome.cords]
        if least is not None and len(cords) > least:
            found.append(f"{pair}: {least} would do, not {len(cords)}")
        if len(cords) <= brute.most:
            name = brute.named(cords)
            if not brute.works(name, pair):
                found.append(f"{pair}: {cords} does not do")
            lost = {(plant.channel_name(a), plant.channel_name(b)) for a, b in outcome.loses}
            if lost != brute.lost(name):
                found.append(f"{pair}: {cords} loses {sorted(brute.lost(name))}, not {sorted(lost)}")
            if len(cords) == 1 == least:
                costs = [len(brute.lost(each)) for each in brute.sets if brute.carries(each, pair)]
                if len(lost) > min(costs, default=0) and len(costs) <= 8:
                    found.append(f"{pair}: {cords} loses {len(lost)}, others {min(costs)}")
    return found


def _reaches(made: Circuit, setup: str | None, pair: Asked, shut: Collection[int] = ()) -> bool:
    source, target = (made.plant.channel(name) for name in pair)
    assert source is not None
    assert target is not None
    down, queue = made.flow(setup).down, [2 * source + 1]
    seen = set(queue)
    for vertex in queue:
        if vertex % 2 and vertex // 2 in shut:
            continue
        fresh = [other for other in down.get(vertex, ()) if other not in seen]
        seen.update(fresh)
        queue += dict.fromkeys(fresh)
    return 2 * target in seen


def _in_loops(flow: Flow) -> set[int]:
    return {vertex for loop in flow.loops for vertex in loop}
