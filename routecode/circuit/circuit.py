"""The circuit of a studio: its plant and its states. The door to this folder."""

from functools import cached_property

from routecode.circuit.bays import BayMaker
from routecode.circuit.cables import CableMaker
from routecode.circuit.dead import check_dead
from routecode.circuit.feeds import Feed, feeds, points
from routecode.circuit.kits import KitMaker
from routecode.circuit.paths import Flow
from routecode.circuit.plant import Plant
from routecode.circuit.problems import Problems
from routecode.circuit.restate import Edited, unpatched_again
from routecode.circuit.setups import SetupMaker
from routecode.circuit.state import State, overlay, unpatched
from routecode.ground.finding import Mistake
from routecode.language.written import Studio


class Circuit:
    """A compiled studio. States, their feeds and paths are worked out when first asked for and kept."""

    def __init__(self, plant: Plant, base: "tuple[Circuit, Edited] | None" = None) -> None:
        self.plant = plant
        self.base = base
        """The circuit this one was made of, and what was changed for it."""
        self._states: dict[str | None, State] = {}
        self._flows: dict[str | None, Flow] = {}
        self._feeds: dict[str | None, tuple[Feed, ...]] = {}

    @property
    def setups(self) -> tuple[str, ...]:
        """The ids of all setups, sorted."""
        return tuple(self.plant.setups)

    @property
    def state_names(self) -> tuple[str | None, ...]:
        """None (unpatched) and all setups."""
        return (None, *self.plant.setups)

    def state(self, setup: str | None = None) -> State:
        """The unpatched state, or that of a setup (KeyError where there is none)."""
        if setup not in self._states:
            if setup is None:
                self._states[None] = self._unpatched()
            else:
                self._states[setup] = overlay(self.state(None), self.plant.setups[setup])
        return self._states[setup]

    def _unpatched(self) -> State:
        if self.base is None:
            return unpatched(self.plant)
        circuit, edited = self.base
        return unpatched_again(circuit.state(None), self.plant, edited)

    def flow(self, setup: str | None = None) -> Flow:
        """Feeds and closed insides of a state as a directed graph: paths, sources, destinations, feedback."""
        if setup not in self._flows:
            self._flows[setup] = Flow(self.state(setup))
        return self._flows[setup]

    def feeds(self, setup: str | None = None) -> tuple[Feed, ...]:
        """All feeds of a state by names, sorted."""
        if setup not in self._feeds:
            self._feeds[setup] = feeds(self.state(setup))
        return self._feeds[setup]

    @cached_property
    def points(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        """What is wired behind each jack, sorted; the same in every state."""
        return points(self.state(None))


def compile_studio(studio: Studio) -> tuple[Circuit | None, tuple[Mistake, ...]]:
    """The circuit of a studio as written, or the mistakes that keep it from having one."""
    problems = Problems()
    plant = Plant(studio)
    kits = KitMaker(plant, problems)
    kitted = [(unit, kits.kit(unit)) for unit in studio.unit.values()]
    if not problems.room_for(kitted, studio.bay.values()):
        return None, problems.told()
    for unit, kit in kitted:
        plant.add_unit(unit, kit)
    kits.check_unused()
    bays = BayMaker(plant, problems)
    for bay in studio.bay.values():
        bays.place(bay)
    plant.add_hubs()
    plant.normals += bays.explicit_normals()
    cables = CableMaker(plant, problems)
    cables.short_forms(bays.short_forms)
    for cable in studio.cable:
        cables.cable(cable)
    check_dead(plant, problems)
    plant.find_passive()
    SetupMaker(plant, problems).make()
    if problems.mistakes:
        return None, problems.told()
    return Circuit(plant), ()
