"""What a rule is and what it sees.

A rule module's docstring is its manual page: the headline, what and why, then `Bad:`, `Good:` and `Accept:`, each followed by an
indented piece of a studio. The pieces are run by the tests on top of the models in `manual.MODELS`. The module ends with
`RULE = Rule(...)` and is named in `registry`. A rule yields faults; id, severity and setup are put to them by `run`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from typing import Literal, TypeVar, cast

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.circuit.nets import Net
from routecode.circuit.plant import CordEnd, PlacedCord, PlacedSetup, Wire
from routecode.figures.figures import Figures, StateFigures
from routecode.ground.finding import Severity
from routecode.ground.place import At
from routecode.language.written import Cable
from routecode.rules.survey import Survey, survey
from routecode.rules.words import Words

Also = tuple[tuple[str, At], ...]
T = TypeVar("T")


@frozen
class Fault:
    """What a rule yields: `at` are canonical names in any order; `text`, `why` and `do` are sentences."""

    at: tuple[str, ...]
    text: str
    why: str
    do: str
    place: At | None = None
    also: Also = ()


@frozen
class Rule:
    """A rule: `states` says where it is asked: in all states, in the unpatched one only (fixed things), or in setups only."""

    id: str
    severity: Severity
    check: Callable[[Scene], Iterable[Fault]]
    states: Literal["all", "unpatched", "setups"] = "all"

    def asked(self, setup: str | None) -> bool:
        """Whether the rule looks at this state."""
        return self.states == "all" or (self.states == "unpatched") == (setup is None)


class Scene:
    """One state of a circuit as rules see it: all nets of the unpatched state, and of a setup only those it makes anew."""

    def __init__(self, circuit: Circuit, setup: str | None, unpatched: Scene | None = None) -> None:
        self.circuit = circuit
        self.plant = circuit.plant
        self.setup = setup
        self.state = circuit.state(setup)
        self.words = Words(circuit.plant)
        self._unpatched = unpatched
        self._kept: dict[Callable[[Scene], object], object] = {}

    @property
    def unpatched(self) -> Scene:
        """The scene of the unpatched state, for what is the same in every state (`scene.unpatched.kept(...)`)."""
        return (
            self._unpatched or self
        )  # not kept: a scene that held itself would hold its circuit until a collector comes by

    @cached_property
    def _all_figures(self) -> Figures:
        return Figures(self.circuit) if self._unpatched is None else self._unpatched._all_figures

    @cached_property
    def figures(self) -> StateFigures:
        """Levels, loads, phantom power and the like in this state."""
        return self._all_figures.state(self.setup)

    @property
    def nets(self) -> list[Net]:
        """The nets to look at."""
        return self.state.nets

    @property
    def placed(self) -> PlacedSetup:
        """The setup (ValueError in the unpatched state)."""
        if self.state.placed is None:
            raise ValueError("the unpatched state has no setup")
        return self.state.placed

    @cached_property
    def survey(self) -> Survey:
        """The nets to look at, sorted by what is remarkable about them."""
        return survey(self.state, self.nets)

    def kept(self, make: Callable[[Scene], T]) -> T:
        """What `make` works out for this scene, worked out once for all rules that ask."""
        if make not in self._kept:
            self._kept[make] = make(self)
        return cast(T, self._kept[make])

    def names(self, nodes: Iterable[int]) -> tuple[str, ...]:
        """Canonical names of nodes, sorted."""
        return tuple(sorted({self.plant.name(node) for node in nodes}))

    def net_faults_at(self, net: Net, nodes: Iterable[int]) -> tuple[At | None, Also]:
        """Where hands or text made this net what it is: the setup's cords in it, else the cables at `nodes`; the last is the place."""
        found = [*self._cords_in(net)] or [
            (f"{self.words.node(node)} is wired here", wire.at) for node in nodes for wire in self.plant.wires_of(node)
        ]
        by_place = {at: (said, at) for said, at in found}
        ordered = [by_place[at] for at in sorted(by_place, key=place_key)]
        return (ordered[-1][1], tuple(ordered[:-1])) if ordered else (None, ())

    def _cords_in(self, net: Net) -> Iterator[tuple[str, At]]:
        members = set(net.nodes) if self.state.cords else set()
        for cord in self.state.cords:
            if cord.a.node in members and cord.b.node in members:
                yield "this cord is in it", cord.b.at


def place_key(at: At) -> tuple[str, tuple[tuple[int, int, str], ...]]:
    """Order of places: file, then the way through its tables."""
    return at.file, tuple((0, step, "") if isinstance(step, int) else (1, 0, step) for step in at.path)


def cord_ends(scene: Scene) -> dict[int, list[tuple[PlacedCord, CordEnd]]]:
    """Node -> the cords that end there; a Y-cord counts once at its `from`. Ambiguous ends are not here."""
    found: dict[int, list[tuple[PlacedCord, CordEnd]]] = {}
    for cord in scene.state.cords:
        for end in (cord.a, cord.b):
            if end.node < 0:
                continue
            ends = found.setdefault(end.node, [])
            if not any(other.written is cord.written for other, _ in ends):
                ends.append((cord, end))
    return found


def corded_anywhere(circuit: Circuit) -> set[int]:
    """Nodes at which a cord of any setup ends."""
    return {end.node for setup in circuit.plant.setups.values() for cord in setup.cords for end in (cord.a, cord.b)}


def polarity_at(wire: Wire) -> At:
    """Where the text says that a cable is reversed."""
    for said in wire.said:
        if isinstance(said.table, Cable) and said.table.polarity is not None:
            return said.table.where("polarity")
    return wire.at
