"""The text of a new studio: a small one that compiles and explains itself, or one empty bay laid out as a sheet is.

Pure text; `routecode new` writes it.
"""

from routecode.ground.canonical import canonical
from routecode.language.schema import ADDRESS, studio_schema

HIDDEN = f".routecode/{ADDRESS}"
"""Where the copy of the schema lies: hidden, so it is no part of the studio. First lines lead editors to it."""


def starter(title: str) -> dict[str, str]:
    """A small studio: text by path below its folder."""
    return {
        HIDDEN: canonical(studio_schema()),
        "studio.toml": _head(title) + _ROOMS,
        "equipment.toml": _schema_line(0) + _EQUIPMENT,
        "bays/main.toml": _schema_line(1) + _BAY,
        "cables.toml": _schema_line(0) + _CABLES,
        "setups.toml": _schema_line(0) + _SETUPS,
    }


def empty_bay(title: str, columns: int) -> dict[str, str]:
    """A studio of one empty bay, one line a column."""
    return {
        HIDDEN: canonical(studio_schema()),
        "studio.toml": _head(title) + _ROOMS,
        "bays/main.toml": _schema_line(1) + _sheet(columns),
    }


def _schema_line(depth: int) -> str:
    return f"#:schema {'../' * depth}{HIDDEN}\n"


def _head(title: str) -> str:
    text = title.replace("\\", "\\\\").replace('"', '\\"')
    return f"""{_schema_line(0)}# A studio is this file and every *.toml below it. Any table may stand in any file.
# Every key, explained: routecode rules --language

[studio]
title = "{text}"
language = 1
sample_rate = 48000
"""


_ROOMS = """
[room.control]
title = "Control room"

[room.live]
title = "Live room"

[rack.left]
title = "Left rack"
room = "control"
"""

_EQUIPMENT = """# What there is: models say what a kind of unit is like, units say which of them you have and where.

[model.pre8]
title = "Eight-channel microphone preamplifier"
[[model.pre8.port]]
name = "mic 1..8"                     # eight ports, "mic 1" to "mic 8"
direction = "in"
signal = "mic"
[[model.pre8.port]]
name = "out 1..8"
direction = "out"
signal = "line"
[[model.pre8.inside]]                 # what comes in here goes out there
from = "mic 1..8"
to = "out 1..8"

[model.compressor]
title = "Compressor"
[[model.compressor.port]]
name = "in"
direction = "in"
signal = "line"
[[model.compressor.port]]
name = "out"
direction = "out"
signal = "line"
[[model.compressor.inside]]
from = "in"
to = "out"

[unit.pre]
model = "pre8"
title = "Preamp"
rack = "left"

[unit.comp]
model = "compressor"
title = "Compressor"
rack = "left"

[unit.live]                           # a unit may carry its ports itself
title = "Live room box"
room = "live"
[[unit.live.port]]
name = "line 1..8"
direction = "either"                  # passive: a socket on a wall
signal = "mic"

[unit.rec]
title = "Recorder"
rack = "left"
[[unit.rec.port]]
name = "line 1..8"
direction = "in"
signal = "line"
[[unit.rec.port]]
name = "mix 1..2"
direction = "out"
signal = "line"

[unit.near]
title = "Near loudspeakers"
room = "control"
[[unit.near.port]]
name = "in 1..2"
direction = "in"
signal = "line"
"""

_BAY = """# Sources on the top row, destinations on the bottom row.
# A half normal joins the two until a plug goes into the bottom jack.

[bay.main]
title = "Main bay"
rack = "left"
columns = 24

[[bay.main.column]]
at = "1..8"
top = "pre/out 1..8"                  # what is wired to the rear of the top jacks
bottom = "rec/line 1..8"
normal = "half"

[[bay.main.column]]
at = 17
top = "comp/out"
bottom = "comp/in"
normal = "none"
"""

_CABLES = """# Cables that do not end at a bay, and cables of which more is known than their two ends.

[cable_type.pair]
title = "Installation pair"

[[cable]]
number = "L1..8"
from = "live/line 1..8"
to = "pre/mic 1..8"
type = "pair"
metres = 12

[[cable]]
number = "M1..2"
from = "rec/mix 1..2"
to = "near/in 1..2"
type = "pair"
metres = 4
"""

_SETUPS = """# What is patched for a kind of work. Without a setup the studio is unpatched: normals only.

[setup.voice]
title = "Voice through the compressor"
times_per_year = 50
[[setup.voice.cord]]
from = "main/top 1"                   # in a cord a bay means the front
to = "main/bottom 17"
[[setup.voice.cord]]
from = "main/top 17"
to = "main/bottom 1"
[[setup.voice.need]]                  # a path that must exist; `routecode check` sees to it
path = ["live/line 1", "pre/mic 1", "comp/in", "rec/line 1"]
"""

_SHEET_HEAD = """# A bay as a sheet, one line a column. `top` and `bottom` are what is wired to the rear of its jacks:
# write "unit/port" between the brackets. Lines that are still empty can stay.
# Units are declared elsewhere, in any file; see: routecode rules --language

[bay.main]
title = "Main bay"
rack = "left"
columns = {columns}
normal = "none"                       # for columns that do not say their own: none, half, full, parallel

column = [
"""


def _sheet(columns: int) -> str:
    wide = len(str(columns))
    lines = [
        f'  {{ at = {number:{wide}}, top = [{" " * 24}], bottom = [{" " * 24}], normal = "none" }},'
        for number in range(1, columns + 1)
    ]
    return _SHEET_HEAD.format(columns=columns) + "\n".join(lines) + "\n]\n"
