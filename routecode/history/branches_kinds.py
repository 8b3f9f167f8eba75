"""The words for what is told of two branches, for whoever declares, tells or shows them; light to load."""

APART, AHEAD, CONTAINED, SAME = "apart", "ahead", "contained", "same"
RELATIONS = (APART, AHEAD, CONTAINED, SAME)
"""apart: both went on since they parted; ahead: only the other did; contained: only ours did; same: one commit."""

TWICE, TIED, NEED = "used-twice", "outputs-tied", "need-fails"
LOST, UNDONE, GAINED, BACK, FOUND = "path-lost", "path-undone", "path-gained", "path-back", "finding"
WRONG = (TWICE, TIED, NEED, LOST, UNDONE, GAINED, BACK, FOUND)
"""What can be wrong with joined wiring whose text joins, in the order of telling."""

PATH, JACK, UNIT = "path", "jack", "unit"
BOTH = (PATH, JACK, UNIT)
"""What both sides can have changed, in the order of telling; ports count as jacks, bays as units."""

OURS, THEIRS, JOINED = "ours", "theirs", "joined"
"""Whose text."""
