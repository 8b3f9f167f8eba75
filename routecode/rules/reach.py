"""Where a signal goes in a state, for rules: `circuit.reach`."""

from routecode.circuit.reach import Reach, spread_out, ways_of

__all__ = ["Reach", "spread_out", "ways_of"]
