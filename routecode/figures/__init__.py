"""Physics on the circuit: level, load, corner, balance, phantom and length on the ways of a state. Judges nothing."""
