"""What one revision changed about a place: paths lost and gained there, other ways, the sentences of `diff`, the lines that did it."""

from collections.abc import Iterable, Iterator

from attrs import evolve, frozen

from routecode.change.changes import Change
from routecode.change.claims import Claim
from routecode.change.matched import AFTER, BEFORE
from routecode.circuit.circuit import Circuit
from routecode.history.story_place import CABLE, Place, Step, nodes_of, wired, wires_of
from routecode.history.story_told import Mark, Told, at_nodes, channels_of, told_of
from routecode.history.story_ways import Hop, Path, Ways

Ends = tuple[str, str]
"""Source and destination of a path by names."""

_FIGURED = ("altered", "phantom")
_JOINTS = ("tied", "feedback")
_COMPARED = 200
"""Paths of a place whose ways are looked at one by one."""
_TOUCHED = 400
"""Steps of ways that are asked for what changed at them."""


@frozen
class Turned:
    """What differs in one state; names as they read after. `still`: those of `lost` that connect another way; `rerouted`: other ways."""

    setup: str | None
    before: Ways
    after: Ways
    lost: tuple[Ends, ...] = ()
    gained: tuple[Ends, ...] = ()
    still: frozenset[Ends] = frozenset()
    rerouted: tuple[Ends, ...] = ()
    sentences: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()


def turned(step: Step, before: Ways, after: Ways) -> Turned | None:
    """What differs of a place in one state; None where nothing does that is about a signal."""
    return _otherwise(step, before, after) or _figured(step, before, after)


def _figured(step: Step, before: Ways, after: Ways) -> Turned | None:
    """Levels and phantom power that are otherwise on ways that are the same; looked at where a unit on them is described otherwise."""
    if not _units_differ(step, before, after):
        return None
    names = {name for path in after.paths for name in path[:2]}
    names |= {name for hop in after.hops for name in (hop.source, hop.target)} | {name for name, _ in after.gates}

    def wanted(change: Change, _: Claim | None) -> bool:
        return change.kind in _FIGURED and not names.isdisjoint((*change.subjects, *change.channels))

    said = told_of(step, after.setup, wanted)
    return Turned(after.setup, before, after, sentences=said.sentences, marks=said.marks) if said.sentences else None


def _units_differ(step: Step, before: Ways, after: Ways) -> bool:
    """Whether a unit on the ways, its model or the setup is written otherwise."""
    if after.setup is not None and step.before.studio.setup.get(after.setup) != step.after.studio.setup.get(
        after.setup
    ):
        return True
    for head in sorted({*before.titles, *after.titles}):
        one, other = step.before.studio.unit.get(head), step.after.studio.unit.get(head)
        if one != other:
            return True
        model = other.model if other is not None else None
        if model and step.before.studio.model.get(model) != step.after.studio.model.get(model):
            return True
    return False


def _otherwise(step: Step, before: Ways, after: Ways) -> Turned | None:
    """Paths and ways that differ."""
    if (before.paths, before.hops, before.arrives) == (after.paths, after.hops, after.arrives):
        return None
    was = _read(step, before)
    if (was.paths, was.hops, was.arrives) == (after.paths, after.hops, after.arrives):
        return None
    cut = before.cut or after.cut
    lost = () if cut else tuple(sorted(was.ends - after.ends))
    gained = () if cut else tuple(sorted(after.ends - was.ends))
    rerouted = tuple(_rerouted(was, after))
    if not (lost or gained or rerouted or cut or was.arrives != after.arrives):
        return _joint(step, was, after)
    assert step.newer.circuit is not None
    still = frozenset(ends for ends in lost if connected(step.newer.circuit, after.setup, ends))
    found = Turned(after.setup, was, after, lost, gained, still, rerouted)
    said = _said(step, found)
    return evolve(found, sentences=said.sentences, marks=said.marks or _at(step, before, after, was))


def _joint(step: Step, was: Ways, after: Ways) -> Turned | None:
    """Signals that meet on one wire, or come back to themselves, where the paths that carry something are the same."""
    said = told_of(step, after.setup, lambda change, claim: _is_joint(change, claim, _named(was, after)))
    return Turned(after.setup, was, after, sentences=said.sentences, marks=said.marks) if said.sentences else None


def _is_joint(change: Change, claim: Claim | None, names: set[str]) -> bool:
    return claim is None and change.kind in _JOINTS and not names.isdisjoint((*change.subjects, *change.channels))


def _named(*several: Ways) -> set[str]:
    """The channels and ports on some ways."""
    names = {name for ways in several for hop in ways.hops for name in (hop.source, hop.target)}
    names |= {name for ways in several for name, _ in ways.gates}
    return names | {name.partition(" ch ")[0] for name in names}


def connected(circuit: Circuit, setup: str | None, ends: Ends) -> bool:
    """Whether a signal gets from one channel to another in a state, on whatever way."""
    if setup is not None and setup not in circuit.setups:
        return False
    source, target = map(circuit.plant.channel, ends)
    if source is None or target is None:
        return False
    down = circuit.flow(setup).down
    queue = [2 * source + 1]
    seen = set(queue)
    for vertex in queue:
        if vertex == 2 * target:
            return True
        more = [other for other in down.get(vertex, ()) if other not in seen]
        seen.update(more)
        queue += more
    return False


def _read(step: Step, ways: Ways) -> Ways:
    """Ways of the older revision in names as they read in the newer one."""
    names: dict[str, str] = {}

    def read(name: str) -> str:
        if name not in names:
            names[name] = step.read(name)
        return names[name]

    return evolve(
        ways,
        paths=frozenset(Path(read(path.source), read(path.target), path.idle) for path in ways.paths),
        hops=frozenset(
            Hop(read(hop.source), read(hop.target), hop.feed, tuple(map(read, hop.jacks)), hop.polarity)
            for hop in ways.hops
        ),
        arrives=frozenset(map(read, ways.arrives)),
        titles={**ways.titles, **{step.read(head): title for head, title in ways.titles.items()}},
    )


def _rerouted(was: Ways, after: Ways) -> Iterator[Ends]:
    if was.hops == after.hops:
        return
    for ends in sorted(was.ends & after.ends)[:_COMPARED]:
        if was.way(*ends) != after.way(*ends):
            yield ends


# -- sentences and lines -------------------------------------------------------------------------------------------------


def _said(step: Step, found: Turned) -> Told:
    """The changes of the difference that are of these paths, told of these alone."""
    differ = {*found.lost, *found.gained}
    on_ways = {
        name
        for ends in found.rerouted
        for ways in (found.before, found.after)
        for hop in ways.way(*ends)
        for name in (hop.source, hop.target)
    }

    at_joints = _named(found.before, found.after)

    def wanted(change: Change, claim: Claim | None) -> bool:
        if change.kind in _JOINTS and _is_joint(change, claim, at_joints):
            return True
        pairs = (*change.lost, *change.gained) if claim is None else (*claim.lost, *claim.gained)
        if differ and not differ.isdisjoint(step.pairs(pairs)):
            return True
        names = {*change.subjects, *change.channels} if claim is None else channels_of(step, claim)
        return change.kind == "rerouted" and len(names & on_ways) > 1

    return told_of(step, found.setup, wanted)


def _at(step: Step, before: Ways, after: Ways, was: Ways) -> tuple[Mark, ...]:
    """The lines of what differs where the steps of the ways do."""
    gone = [hop for hop in sorted(before.hops) if _read_hop(step, hop) not in after.hops]
    come = sorted(after.hops - was.hops)
    nodes = {*_touched(step, BEFORE, gone), *_touched(step, AFTER, come)}
    return at_nodes(step, nodes, after.setup)


def _read_hop(step: Step, hop: Hop) -> Hop:
    return Hop(step.read(hop.source), step.read(hop.target), hop.feed, tuple(map(step.read, hop.jacks)), hop.polarity)


def _touched(step: Step, side: str, hops: list[Hop]) -> Iterator[int]:
    plant = step.before if side == BEFORE else step.after
    for hop in hops[:_TOUCHED]:
        for name in (hop.source, hop.target, *hop.jacks):
            node = plant.node(name)
            channel = plant.channel(name)
            if node is None and channel is not None:
                node = plant.node_of(channel)
            if node is not None:
                yield step.difference.matched.shared_node(side, node)


def shared_nodes(step: Step, side: str, place: Place) -> set[int]:
    """The ports and jacks of a place, or the ends of a cable, by shared numbers."""
    plant = step.before if side == BEFORE else step.after
    own = nodes_of(plant, place)
    if place.kind == CABLE:
        own = [node for wire in wires_of(plant, place) for node in (wire.a, wire.b)]
    return {step.difference.matched.shared_node(side, node) for node in own}


# -- what is wired to it, what is said of it -----------------------------------------------------------------------------


def rewired(step: Step, was: Place, now: Place) -> tuple[frozenset[Ends], frozenset[Ends]]:
    """Cables at the place that are gone and that are new: (place, other end), as they read after."""
    before, after = wired(step.before, was), wired(step.after, now)
    if before == after:
        return frozenset(), frozenset()
    read = frozenset((step.read(a), step.read(b)) for a, b in before)
    if now.kind == CABLE:
        return frozenset(_unordered(read) - _unordered(after)), frozenset(_unordered(after) - _unordered(read))
    return read - after, after - read


def _unordered(pairs: Iterable[Ends]) -> set[Ends]:
    return {(a, b) if a < b else (b, a) for a, b in pairs}


def notes(step: Step, was: Place, now: Place) -> tuple[str, ...]:
    """What else is said of its unit or bay, or of the cable: moved, called otherwise, away, made otherwise."""
    if now.kind == CABLE:
        if _made(step, BEFORE, was) == _made(step, AFTER, now):
            return ()
        ends = {
            frozenset(step.difference.matched.nodes[node] for node in (wire.a, wire.b))
            for wire in wires_of(step.before, was)
        }
        ends |= {frozenset((wire.a, wire.b)) for wire in wires_of(step.after, now)}
        return tuple(line.text for line in step.difference.cables if {*map(frozenset, line.joints)} & ends)
    if _described(step, BEFORE, was) == _described(step, AFTER, now):
        return ()
    return tuple(line.text for line in step.difference.things if now.head in line.units)


def _made(step: Step, side: str, place: Place) -> list[tuple[str, float, str]]:
    plant = step.before if side == BEFORE else step.after
    return sorted((wire.type or "", wire.metres or 0.0, wire.loom or "") for wire in wires_of(plant, place))


def _described(step: Step, side: str, place: Place) -> object:
    plant = step.before if side == BEFORE else step.after
    unit, bay = plant.units.get(place.head), plant.bays.get(place.head)
    if unit is not None:
        return unit.title, unit.written.room, unit.written.rack, unit.written.at_u, unit.written.away
    if bay is not None:
        return bay.title, bay.written.room, bay.written.rack, bay.written.at_u
    return None
