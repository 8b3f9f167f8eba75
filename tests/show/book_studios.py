"""Studios for the book: names in many scripts, hostile and very long ones, for everything that has a name; and large ones."""

import json

from tests.hands.label_studios import NAMES as LABELS

NAMES = {
    **LABELS,
    "markup": "</text></svg><img src=x onerror=alert(1)> & &lt;",
    "graph": '", URL="http://example.org", label="\\N',
    "han": "録音室のマイク",
    "wide": "漢" * 50,
    "paren": "a) (b \\) endobj stream",
}


def quoted(text: str) -> str:
    """A text in TOML: what JSON writes is a basic string of it."""
    return json.dumps(text)


def hostile(name: str) -> str:
    """A studio in which everything that may be called anything is called that; with a hazard, a note, an accepted finding."""
    text = quoted(name)
    switch = "".join(sign for sign in name[:40] if sign not in "/=").strip()
    position = quoted("to " + switch)
    return f"""
[studio]
title = {text}
language = 1
currency = {text}
[room.r]
title = {text}
[rack.k]
title = {text}
room = "r"
[unit.a]
title = {text}
rack = "k"
port = [{{ name = "out 1..4", direction = "out", signal = "line" }}, {{ name = "mic", direction = "in", signal = "mic", phantom = "supply" }}]
switch = [{{ name = {quoted(switch)}, positions = ["rest", {position}] }}]
[unit.b]
title = {text}
away = {text}
port = [{{ name = "in 1..4", direction = "in", signal = "line" }}]
[unit.c]
title = {text}
room = "r"
port = [{{ name = "in 1..2", direction = "in", signal = "line" }}]
[bay.d]
title = {text}
rack = "k"
columns = 5
normal = "half"
[[bay.d.column]]
at = "1..4"
top = "a/out 1..4"
bottom = "b/in 1..4"
label_top = [{text}, "w", "x", {text}]
group = {text}
[[bay.d.column]]
at = 5
reserved = {text}
[cable_type.t]
title = {text}
[cord_type.u]
title = {text}
ends = ["bantam"]
metres = 1
[[cable]]
number = "Z9"
from = "a/out 1"
to = "d/top 1"
type = "t"
loom = {text}
metres = 3
[setup.s]
title = {text}
notes = {text}
[[setup.s.cord]]
from = "d/top 1"
to = "c/in 1"
cord = "u"
notes = {text}
[[setup.s.cord]]
from = "d/top 2"
to = ["c/in 2", "d/bottom 4"]
[[setup.s.plug]]
at = "d/bottom 3"
set = "broken"
[[setup.s.set]]
switch = {quoted("a/" + switch)}
to = {position}
[[setup.s.need]]
path = ["a/out 1", "c/in 1"]
[[accept]]
rule = "inputs-unfed"
at = "a/mic"
because = {text}
"""
