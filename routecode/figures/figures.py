"""The figures of a circuit: the door to this folder. Everything is worked out when first asked for, and kept for each state."""

from functools import cached_property

from routecode.circuit.circuit import Circuit
from routecode.circuit.state import State
from routecode.figures.analogue import Analogue
from routecode.figures.lines import ways_from
from routecode.figures.phantom import Phantom
from routecode.figures.ports import Ports


class StateFigures:
    """The figures of one state."""

    def __init__(self, state: State, ports: Ports) -> None:
        self.state = state
        self.ports = ports
        self._ways: tuple[int, dict[int, tuple[float, bool]]] = (-1, {})

    def ways(self, driver: int) -> dict[int, tuple[float, bool]]:
        """Node -> metres of cable from a driving port, and whether all of them are known; the last one asked about is kept."""
        if self._ways[0] != driver:
            self._ways = (driver, ways_from(self.state, driver))
        return self._ways[1]

    @cached_property
    def analogue(self) -> Analogue:
        """Levels, loads, corners."""
        return Analogue(self.state, self.ports)

    @cached_property
    def phantom(self) -> Phantom:
        """Phantom power."""
        return Phantom(self.state, self.analogue)


class Figures:
    """The figures of all states of a circuit."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.ports = Ports(circuit.plant)
        self._states: dict[str | None, StateFigures] = {}

    def state(self, setup: str | None = None) -> StateFigures:
        """The figures of the unpatched state, or of a setup (KeyError where there is none)."""
        if setup not in self._states:
            self._states[setup] = StateFigures(self.circuit.state(setup), self.ports)
        return self._states[setup]
