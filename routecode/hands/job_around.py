"""What is around an operation: the blocks that hang together, the units to be switched off for it, who drives what. Decides no order."""

from collections.abc import Iterator

from routecode.circuit.circuit import Circuit
from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.hands.cables_ends import IN_PLUG, MULTIPIN
from routecode.hands.job_operations import (
    ALTER,
    BACK,
    BORROWED,
    CUT,
    EXCHANGE,
    LABEL,
    LAY,
    LIFT,
    MAKE,
    MOVE,
    OUT,
    PUT,
    SET,
    THINGS,
    TURN,
    WRITTEN,
    Op,
    Todo,
)
from routecode.hands.job_rows import handled_ends
from routecode.hands.job_state import Frame

RANK = {
    WRITTEN: 0,
    LIFT: 1,
    CUT: 2,
    OUT: 3,
    ALTER: 4,
    MOVE: 4,
    EXCHANGE: 4,
    PUT: 4,
    LABEL: 5,
    LAY: 6,
    MAKE: 7,
    SET: 8,
    TURN: 8,
}
STAGE = {**dict.fromkeys((LIFT, CUT, *THINGS), 1), **dict.fromkeys((LAY, MAKE), 6)}
"""What may be done in any order, as far as safety and the needs of each let it."""
LISTENING = ("speaker-level", "headphone")


def behind_racks(frame: Frame, op: Op) -> bool:
    """Whether an operation needs the studio down: not a label, a switch, a route, or something that is carried about."""
    carried = [plant.units.get(op.owner) for plant in (frame.before, frame.after)]
    portable = any(unit is not None and unit.written.portable for unit in carried)
    return op.kind not in (WRITTEN, LABEL, SET, TURN) and not (portable and op.kind in (OUT, PUT, MOVE))


def order_key(op: Op) -> tuple[object, ...]:
    """Walking: by what it is at, then by sort of work, then by number."""
    work = op.work
    how, number = (work.how, work.called) if work is not None else ("", "")
    heads = tuple(name.partition("/")[0] for name in op.touches[:2])
    return natural(op.owner), how, tuple(map(natural, heads)), natural(number), tuple(map(natural, op.touches[:2]))


def multipins(op: Op, busy: frozenset[str] = frozenset()) -> set[str]:
    """The units whose multipin connector an operation on a cable lifts or plugs; one that stays joined is not touched.
    `busy`: units and bays that are exchanged or moved."""
    if op.work is None or op.kind not in (LIFT, LAY):
        return set()
    side = op.work.old if op.kind == LIFT else op.work.new
    if side is None:
        return set()
    hands = {end.name for end in handled_ends(op, busy) if end.how in (MULTIPIN, IN_PLUG)}
    return {
        name.partition("/")[0]
        for index, names in enumerate(side.pairs)
        for end, name in zip(side.ends(index), names, strict=True)
        if end.name in hands
    }


def around(circuit: Circuit, name: str) -> set[str]:
    """The units that drive, or may drive, the net of a place."""
    node = circuit.plant.node(name)
    net = circuit.state(None).net_of(node) if node is not None else None
    return {circuit.plant.unit_of(other).id for other in (*net.outs, *net.passive)} if net is not None else set()


def handled(ops: tuple[Op, ...], block: list[int]) -> set[str]:
    """Units that are taken out, sent away, exchanged, moved or altered: without power."""
    return {ops[index].owner for index in block if ops[index].kind in (OUT, BORROWED, EXCHANGE, MOVE, ALTER)}


def powered_units(frame: Frame) -> set[str]:
    """The units of both sides that are likely to have a mains switch: not wall boxes, transformers, passive loudspeakers, hand luggage."""
    found: set[str] = set()
    for plant, names in ((frame.before, frame.identity.units), (frame.after, {})):
        for unit in plant.units.values():
            sockets, branches = unit.kit.sockets, unit.kit.branches
            passive = all(one.written.direction == "either" or one.signal == "speaker-level" for one in sockets)
            passes = bool(branches) and all(branch.kind in ("transformer", "capacitor") for branch in branches)
            if not passive and not passes and not unit.written.portable:
                found.add(names.get(unit.id, unit.id))
    return found


def listening(plant: Plant, frame: Frame) -> list[str]:
    """Amplifiers, headphone amplifiers and powered monitors: off first, on last; a monitor is a unit that only takes one or two line signals."""
    found = []
    for unit in plant.units.values():
        sockets = unit.kit.sockets
        amplifies = any(socket.signal in LISTENING and socket.written.direction == "out" for socket in sockets)
        ends = 0 < len(sockets) <= _FEW and all(
            one.written.direction == "in" and one.signal == "line" for one in sockets
        )
        if amplifies or ends:
            found.append(frame.identity.units.get(unit.id, unit.id) if plant is frame.before else unit.id)
    return sorted(found, key=natural)


_FEW = 2


def phantoms(frame: Frame, circuits: tuple[Circuit, Circuit], todo: Todo, tested: frozenset[str]) -> list[str]:
    """The units whose phantom power reaches a place where hands or a generator will be, before or after; not those that are away then."""
    touched = {name for op in todo.ops for name in op.touches} | tested
    lifted = {op.owner for op in todo.ops if op.kind in (BORROWED, BACK)}
    found: set[str] = set()
    for circuit, standing in zip(circuits, (todo.before, todo.after), strict=True):
        plant, state = circuit.plant, circuit.state(None)
        read = frame.identity.node_name if plant is frame.before else None
        for node in plant.phantom_on:
            net = state.net_of(node)
            names = {read(plant, each) if read else plant.name(each) for each in ([node] if net is None else net.nodes)}
            unit = next(iter({(read(plant, node) if read else plant.name(node)).partition("/")[0]}))
            here = ("unit", unit) in standing and ("away", unit) not in standing
            if here and (names & touched or any(name.partition("/")[0] in lifted for name in names)):
                found.add(unit)
    return sorted(found, key=natural)


# -- blocks --------------------------------------------------------------------------------------------------------------


def blocks(todo: Todo, circuits: tuple[Circuit, Circuit], frame: Frame) -> list[list[int]]:
    """Operations that hang together: over one wire before or after, or because one needs the other. By place."""
    root = list(range(len(todo.ops)))

    def top(index: int) -> int:
        while root[index] != index:
            root[index] = root[root[index]]
            index = root[index]
        return index

    seen: dict[object, int] = {}
    for index, op in enumerate(todo.ops):
        for thing in (
            *_nets(op, circuits, frame),
            *((op.owner,) if op.kind in (PUT, OUT, EXCHANGE, MOVE, ALTER, TURN) else ()),
            *_plugs(op),
        ):
            root[top(index)] = top(seen.setdefault(thing, index))
        for other in op.needs:
            root[top(index)] = top(other)
    found: dict[int, list[int]] = {}
    for index in range(len(todo.ops)):
        found.setdefault(top(index), []).append(index)
    return sorted(found.values(), key=lambda block: (todo.ops[block[0]].kind != WRITTEN, order_key(todo.ops[block[0]])))


def together(todo: Todo, parts: list[list[int]]) -> list[list[int]]:
    """Blocks of the same work on what lies side by side as one: a pair is not parted, and neighbouring columns are one step."""
    found: list[list[int]] = []
    last: object = None
    count = 0
    for block in parts:
        work = _same_work([todo.ops[index] for index in block])
        count = count + 1 if work is not None and work == last else 1
        if count > 1 and (count % _MOST != 1 or todo.ops[block[0]].work is None):
            found[-1] += block
        else:
            found.append(list(block))
        last = work
    return found


_MOST = 8
"""Cables of one sort between two stopping points: the channels of a multipin (common practice, no source)."""


def _same_work(ops: list[Op]) -> object:
    """What blocks must share to be one: which work, between which units and bays; None: each is its own."""
    found: list[object] = []
    for op in ops:
        if op.work is not None and op.kind in (LIFT, LAY):
            side = op.work.old if op.kind == LIFT else op.work.new
            heads = [name.partition("/")[0] for name in op.touches[:2]]
            found.append((op.kind, op.work.how, tuple(heads), side.type if side is not None else None))
        elif op.kind in (CUT, MAKE) and op.edits[0][0][0] == "column":
            found.append((op.kind, op.owner, op.edits[0][1]))
        else:
            return None
    return tuple(found)


def _nets(op: Op, circuits: tuple[Circuit, Circuit], frame: Frame) -> Iterator[object]:
    for which, circuit in enumerate(circuits):
        plant = circuit.plant
        for name in op.touches:
            node = plant.node(_back(name, frame) if plant is frame.before else name)
            net = None if node is None else circuit.state(None).net_of(node)
            yield (which, net.nodes[0]) if net is not None else name


def _plugs(op: Op) -> Iterator[object]:
    """The plugs of other cables that an operation solders in: each is lifted once for all of it."""
    work = op.work
    side = None if work is None else work.old if op.kind == LIFT else work.new
    if side is None:
        return
    for index, names in enumerate(side.pairs):
        for end, name in zip(side.ends(index), names, strict=True):
            if end.how == IN_PLUG:
                yield "plug", name.partition("/")[0], end.shared


def _back(name: str, frame: Frame) -> str:
    """A name as it read before."""
    head, _, rest = name.partition("/")
    back = {new: old for names in (frame.identity.units, frame.identity.bays) for old, new in names.items()}
    ports = {new: old for old, new in frame.identity.ports.get(head, {}).items()}
    return f"{back.get(head, head)}/{ports.get(rest, rest)}"
