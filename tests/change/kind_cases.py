"""For every kind of change, and both its senses, a rewiring of an invented studio that is just that."""

from tests.change.wiring import PLAIN, changed

LOOP = """
[studio]
title = "Weir"
language = 1
[unit.desk]
title = "Desk"
[[unit.desk.port]]
name = ["return 1", "return 2"]
direction = "in"
signal = "line"
[[unit.desk.port]]
name = ["aux 1", "aux 2"]
direction = "out"
signal = "line"
[[unit.desk.inside]]
from = "return 1..2"
to = "aux 1..2"
control = "level"
[unit.plate]
title = "Plate"
[[unit.plate.port]]
name = "in"
direction = "in"
signal = "line"
[[unit.plate.port]]
name = "out"
direction = "out"
signal = "line"
[[unit.plate.inside]]
from = "in"
to = "out"
[[cable]]
from = "desk/aux 2"
to = "plate/in"
"""
RETURN = '[[cable]]\nfrom = "plate/out"\nto = "desk/return 2"\n'
DIRECT = PLAIN + '[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
TWO = PLAIN + '[[cable]]\nfrom = [["booth/1"], ["booth/2"]]\nto = "pre-b/mic 1"\n'
ALSO = PLAIN + '[[cable]]\nfrom = "booth/1"\nto = [["pre-b/mic 1"], ["pre-b/mic 2"]]\n'
SETUP = '[setup.folk]\ntitle = "Folk takes"\n[[setup.folk.cord]]\nfrom = "north/top 9"\nto = "north/bottom 1"\n'
CROSSED = changed(PLAIN, ('bottom = "conv/line 1..8"', 'bottom = ["conv/line 2", "conv/line 1", "conv/line 3..8"]'))
REVERSED = changed(DIRECT, ('to = "pre-b/mic 1"\n', 'to = "pre-b/mic 1"\npolarity = "reversed"\n'))
"""A cable from the booth with hot and cold exchanged."""
THROUGH_B = changed(
    PLAIN,
    ('bottom = "pre-a/mic 1..8"', 'bottom = "pre-b/mic 1..8"'),
    ('top = "pre-a/out 1..8"', 'top = "pre-spare/out 1..8"'),
    ('top = "pre-b/out 1..8"', 'top = "pre-a/out 1..8"'),
    ("pre-spare/out", "pre-b/out"),
)
WEST = changed(
    DIRECT.replace("pre-a", "pre-west").replace('"Preamp A"', '"Preamp West"'),
    ('bottom = "pre-west/mic 1..8"', 'bottom = ["pre-west/mic 2", "pre-west/mic 1", "pre-west/mic 3..8"]'),
)
"""A preamplifier called otherwise without saying so, and two of its lines exchanged."""
FIGURED = """
[studio]
title = "Weir"
language = 1
[unit.booth]
title = "Narration booth"
[[unit.booth.port]]
name = "1"
direction = "out"
signal = "mic"
level = "-50 dBu"
ohms = 150
[[unit.booth.port]]
name = "2"
direction = "out"
signal = "mic"
[unit.pre-b]
title = "Preamp B"
[[unit.pre-b.port]]
name = "mic 1"
direction = "in"
signal = "mic"
ohms = 150000
phantom = "supply"
[[cable]]
from = "booth/1"
to = "pre-b/mic 1"
"""
"""A microphone whose figures are all written down."""
WEAKER = changed(FIGURED, ("-50 dBu", "-56 dBu"))
POWERED = changed(FIGURED, ('title = "Preamp B"', 'title = "Preamp B"\nphantom_on = "mic 1"'))
CASES: dict[str, list[tuple[str, str]]] = {
    "feedback": [(LOOP, LOOP + RETURN), (LOOP + RETURN, LOOP)],
    "tied": [(DIRECT, TWO), (TWO, DIRECT)],
    "exchanged": [(PLAIN, CROSSED)],
    "redirected": [(DIRECT, changed(DIRECT, ("pre-b/mic 1", "pre-b/mic 5")))],
    "split": [(DIRECT, ALSO), (ALSO, DIRECT)],
    "lost": [(DIRECT, PLAIN)],
    "gained": [(PLAIN, DIRECT)],
    "rerouted": [(PLAIN, THROUGH_B), (DIRECT, REVERSED)],
    "altered": [(FIGURED, WEAKER)],
    "phantom": [(FIGURED, POWERED), (POWERED, FIGURED)],
    "moved": [(PLAIN, changed(PLAIN, ('at = "9..12"', 'at = "13..16"')))],
    "setup": [(PLAIN, PLAIN + SETUP), (PLAIN + SETUP, PLAIN)],
    "renamed": [(DIRECT, WEST)],
}
