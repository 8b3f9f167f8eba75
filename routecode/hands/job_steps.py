"""The steps of a rewiring as values: what a step does and edits, what a stopping point asks for. Their order is in `job_order`."""

from collections.abc import Iterator
from typing import NamedTuple

from attrs import define, field

from routecode.hands.job_operations import Op, Todo
from routecode.hands.job_safe import Danger
from routecode.hands.job_state import Edit, Frame, Standing, after

QUIET, PHANTOM_OFF, POWER_OFF, WORK, POWER_ON, PHANTOM_ON, LOUD, STOP = (
    *("quiet", "phantom off", "power off", "work", "power on", "phantom on", "loud", "stop"),
)


class Again(NamedTuple):
    """At a stopping point: what is switched on for work, and off again before the next step. `phantom`: units with their ports."""

    power: tuple[str, ...]
    phantom: tuple[tuple[str, tuple[str, ...]], ...]
    loud: tuple[str, ...]


class Step(NamedTuple):
    """One step: what is done, the facts it edits, and the dangers that are left after it because both ends of the job have them."""

    kind: str
    edits: tuple[Edit, ...]
    op: Op | None = None
    units: tuple[str, ...] = ()
    because: str = ""
    left: tuple[Danger, ...] = ()
    block: int = 0
    proved: bool = True
    """False where no order without danger was found, although everything at it is powered down."""
    ending: bool = False
    """Whether all work is done: what is off for the meter, and then comes on again, with tests between."""
    again: Again | None = None


@define(eq=False)
class Ordered:
    """The steps, and what they lead through."""

    frame: Frame
    todo: Todo
    standing: Standing = field(factory=dict)
    steps: list[Step] = field(factory=list)

    def states(self) -> Iterator[tuple[Step, Standing]]:
        """Every step with what stands after it."""
        standing: Standing = self.todo.before
        for step in self.steps:
            standing = after(standing, step.edits)
            yield step, standing
