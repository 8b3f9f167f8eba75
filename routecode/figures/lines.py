"""Digital lines, clock and control: length, receivers, impedances of each net. Judges nothing."""

from attrs import frozen

from routecode.circuit.nets import Net
from routecode.circuit.parts import Wire
from routecode.circuit.state import State
from routecode.figures.ports import Known, Ports


@frozen
class Line:
    """One net with one driver: `metres` of the longest way as far as lengths are known, and whether all of them are."""

    driver: int
    hearers: tuple[int, ...]
    metres: float
    whole: bool
    cables: tuple[Wire, ...]


def line_of(state: State, net: Net) -> Line | None:
    """The line that a net is; None with no driver, several, or nothing that hears it."""
    hearers = tuple(node for node in net.hears if node not in net.drives)
    if len(net.drives) != 1 or not hearers or net.mixed:
        return None
    driver = net.drives[0]
    ways = ways_from(state, driver)
    lengths = [ways[node] for node in hearers if node in ways]
    metres, whole = max((length for length, _ in lengths), default=0.0), all(known for _, known in lengths)
    members = set(net.nodes)
    cables = [w for node in net.nodes for w in state.plant.wires_of(node) if w.a == node and w.b in members]
    return Line(driver, hearers, metres, whole, tuple(cables))


def ways_from(state: State, start: int) -> dict[int, tuple[float, bool]]:
    """Node -> metres of cable from the start by the fewest joints, and whether every cable on it says its length."""
    plant = state.plant
    found = {start: (0.0, True)}
    queue = [start]
    for node in queue:
        metres, whole = found[node]
        for other in sorted(state.joined(node)):
            if other in found:
                continue
            cables = [wire for wire in plant.wires_of(node) if wire.other(node) == other]
            length = cables[0].metres if cables else 0.0
            found[other] = (metres + (length or 0.0), whole and length is not None)
            queue.append(other)
    return found


def line_ohms(state: State, ports: Ports, line: Line) -> list[tuple[str, Known]]:
    """The impedances a line is made of, with what each is of: its ends and the types of its cables."""
    types = state.plant.studio.cable_type
    found = [(state.plant.name(node), known) for node in (line.driver, *line.hearers) if (known := _end(ports, node))]
    for wire in line.cables:
        kind = types.get(wire.type or "")
        if kind is not None and kind.ohms is not None:
            found.append((kind.title or kind.id, Known(kind.ohms)))
    return found


def _end(ports: Ports, node: int) -> Known | None:
    figures = ports.of(node)
    said = figures.socket.written.ohms
    return Known(said) if said is not None else figures.line
