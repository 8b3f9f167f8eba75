"""Which removed cables can be used again at all: those that were there, and that nobody leaves lying. Knows nothing of what they fit."""

from collections.abc import Iterable
from typing import TYPE_CHECKING

from routecode.circuit.plant import Plant
from routecode.hands.cables import DEAD, MAKE, schedule

if TYPE_CHECKING:  # the plan of the cables asks
    from routecode.hands.job_cables import Side


def free(gone: Iterable["Side"], after: Plant) -> list["Side"]:
    """Of the cables that go those that are free: not the ones that were never made, nor those that lie dead afterwards."""
    gone = list(gone)
    if not gone:
        return []
    dead = {
        (cable.number, cable.type) for cable in schedule(after) if cable.status == DEAD and cable.number is not None
    }
    return [side for side in gone if side.cable.status != MAKE and (side.cable.number, side.type) not in dead]
