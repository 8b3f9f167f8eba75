"""Studios for the tests of paper: a small house with all that cables and parts can be, and ways to open one."""

from collections.abc import Mapping

from routecode.change.difference import Difference
from routecode.circuit.plant import Plant
from routecode.files.tree import Files
from routecode.studio.opened import Opened

HEAD = '[studio]\ntitle = "Millrace"\nlanguage = 1\n'

MODELS = """
[room.control]
[rack.left]
room = "control"
[model.pre8]
title = "Preamplifier"
[[model.pre8.port]]
name = "mic 1..8"
direction = "in"
signal = "mic"
connector = "xlr-f"
[[model.pre8.port]]
name = "out 1..8"
direction = "out"
signal = "line"
connector = "db25"
[[model.pre8.inside]]
from = "mic 1..8"
to = "out 1..8"
[[model.pre8.multipin]]
name = "OUT"
connector = "db25"
layout = "aes59"
carries = "out 1..8"
[model.deck]
[[model.deck.port]]
name = "in 1..2"
direction = "in"
signal = "line"
connector = "rca"
[[model.deck.port]]
name = "out 1..2"
direction = "out"
signal = "line"
connector = "xlr-m"
"""

UNITS = """
[unit.hall]
title = "Hall box"
room = "control"
[[unit.hall.port]]
name = "line 1..4"
direction = "either"
signal = "mic"
connector = "xlr-f"
[unit.pre-a]
model = "pre8"
title = "Preamp A"
rack = "left"
[unit.deck]
model = "deck"
title = "Deck"
rack = "left"
"""

BAYS = """
[bay.north]
title = "North bay"
rack = "left"
at_u = 20
columns = 32
contact = "pin"
normalling = "plugs"
pitch_mm = 13
start_mm = 20
[[bay.north.column]]
at = "1..4"
top = "hall/line 1..4"
bottom = "pre-a/mic 1..4"
plug = "bottom"
[bay.south]
title = "South bay"
rack = "left"
at_u = 10
columns = 48
contact = "bantam"
pitch_mm = 8.89
start_mm = 20
gaps = [{ after = 24, mm = 10 }]
[[bay.south.column]]
at = "1..8"
top = "pre-a/out 1..8"
normal = "half"
[[bay.south.column]]
at = "9..10"
bottom = "deck/in 1..2"
[[bay.south.column]]
at = "25..26"
top = "deck/out 1..2"
"""

CABLES = """
[cable_type.pair]
title = "Pair"
part = "pair"
hot_colour = "WH"
cold_colour = "BU"
od_mm = 3
[cable_type.multi]
title = "Twelve pairs"
circuits = 12
od_mm = 12
colours = ["RD BK", "WH BK", "GN BK", "BU BK", "YE BK", "BN BK", "OG BK", "WH RD", "GN RD", "BU RD", "YE RD", "BN RD"]
[part.pair]
title = "Pair, by the metre"
unit = "metre"
kind = "other"
price = 0.8
stock = 20
[[cable]]
number = "L1..4"
from = "hall/line 1..4"
to = "north/top 1..4"
type = "pair"
metres = 12
loom = "Hall"
tested = 2026-03-01
[[cable]]
number = "L5..8"
from = "north/bottom 1..4"
to = "pre-a/mic 1..4"
type = "pair"
metres = 2
[[cable]]
number = "M1"
from = "pre-a/out 1..8"
to = "south/top 1..8"
type = "multi"
metres = 5
loom = "Rack"
[[cable]]
number = "L9..10"
from = "south/bottom 9..10"
to = "deck/in 1..2"
type = "pair"
metres = 3
cold = "shield-at-to"
shield = "from"
status = "make"
[[cable]]
number = "L99"
from = "the old hall box"
to = "under the north bay"
type = "pair"
metres = 15
loom = "Hall"
status = "dead"
"""

HOUSE: dict[str, str] = {
    "studio.toml": HEAD,
    "models.toml": MODELS,
    "units.toml": UNITS,
    "bays.toml": BAYS,
    "cables.toml": CABLES,
}


def opened(files: Mapping[str, str], name: str = "worktree") -> Opened:
    """A studio of these files, opened; mistakes are shown."""
    found = Opened(Files("", {path: text.encode() for path, text in sorted(files.items())}, ()), name)
    assert found.mistakes == (), found.mistakes
    return found


def plant_of(files: Mapping[str, str]) -> Plant:
    """Its plant."""
    circuit = opened(files).circuit
    assert circuit is not None
    return circuit.plant


def small(text: str) -> Plant:
    """The plant of one file below the head."""
    return plant_of({"studio.toml": HEAD + text})


def house(**other: str) -> dict[str, str]:
    """The house with some of its files otherwise (`cables=...`), or with more files."""
    return HOUSE | {f"{name}.toml": text for name, text in other.items()}


def between(before: Mapping[str, str], after: Mapping[str, str]) -> Difference:
    """The difference of two studios."""
    return Difference(opened(before, "0" * 40), opened(after))
