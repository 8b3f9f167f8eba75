"""Whether a studio that is half rewired could harm: hazards and outputs that drive one wire, with no cords in.

Errors that harm nothing (a jack wired twice on paper) are not asked about; the finished studio is judged by `check`.
"""

from typing import NamedTuple

from routecode.circuit.circuit import Circuit
from routecode.ground.finding import Severity
from routecode.hands.job_state import Frame, Standing
from routecode.rules.registry import RULES
from routecode.rules.rule import Scene

TIED = "outputs-tied"
_ASKED = tuple(rule for rule in RULES if rule.asked(None) and (rule.severity is Severity.HAZARD or rule.id == TIED))


class Danger(NamedTuple):
    """What could harm: the rule, its places, the sentence."""

    rule: str
    at: tuple[str, ...]
    text: str

    @property
    def key(self) -> tuple[str, tuple[str, ...]]:
        """What makes it the same one in another state."""
        return self.rule, self.at

    @property
    def units(self) -> tuple[str, ...]:
        """The units and bays it names."""
        return tuple(sorted({name.partition("/")[0] for name in self.at}))


def compiled(frame: Frame, standing: Standing) -> Circuit | None:
    """The circuit of what stands; None where the compiler refuses it."""
    return frame.circuit(standing)


def dangers(frame: Frame, standing: Standing) -> tuple[Danger, ...] | None:
    """All dangers of what stands, sorted; None where it cannot stand (a cable to what is not there)."""
    circuit = compiled(frame, standing)
    return None if circuit is None else dangers_of(circuit)


def dangers_of(circuit: Circuit) -> tuple[Danger, ...]:
    """All dangers of a circuit with no cords in."""
    scene = Scene(circuit, None)
    found = {
        Danger(rule.id, tuple(sorted(set(fault.at))), fault.text) for rule in _ASKED for fault in rule.check(scene)
    }
    return tuple(sorted(found))
