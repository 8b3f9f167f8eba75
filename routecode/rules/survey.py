"""One walk over the nets of a state, so that each rule is handed the nets that are its business. Judges nothing."""

from collections.abc import Iterable

from attrs import field, frozen

from routecode.circuit.nets import Net
from routecode.circuit.state import State


@frozen
class Survey:
    """Nets by what is remarkable about them; most nets are in none of these lists."""

    mixed: list[Net] = field(factory=list)
    """Ports of two families or more."""
    tied: list[tuple[Net, list[int]]] = field(factory=list)
    """Two driving ports or more, with those ports."""
    joined: list[tuple[Net, list[int]]] = field(factory=list)
    """One driving port, an input, and open ends of passive ports, with those ends."""
    places: list[Net] = field(factory=list)
    """No output; several passive places drive one input or more."""
    silent: list[Net] = field(factory=list)
    """Inputs that nothing drives."""
    deaf: list[Net] = field(factory=list)
    """Outputs that nothing hears."""


def survey(state: State, nets: Iterable[Net]) -> Survey:
    """Sort `nets` of a state into the lists."""
    found = Survey()
    for net in nets:
        if net.kinds & (net.kinds - 1):
            found.mixed.append(net)
        elif net.passive:
            _passive(state, net, found)
        elif len(net.outs) > 1:
            found.tied.append((net, net.outs))
        elif not net.outs:
            if net.ins:
                found.silent.append(net)
        elif not net.ins:
            found.deaf.append(net)
    return found


def _passive(state: State, net: Net, found: Survey) -> None:
    speaks = state.passives.speaks
    drivers = net.outs + [node for node in net.passive if node in speaks]
    if len(drivers) > 1:
        found.tied.append((net, drivers))
    elif drivers:
        ends = [node for node in net.ends if node not in speaks]
        if not net.hears:
            found.deaf.append(net)
        elif ends and net.ins:
            found.joined.append((net, ends))
    elif net.ins and not net.drives:
        found.silent.append(net)
    elif net.hears and len(net.drives) > 1 and not net.either:
        found.places.append(net)
