"""A small studio to change: a hall box, two preamplifiers, a converter, two bays. Invented, like its names."""

from collections import Counter
from typing import Any

from routecode.change.changes import Change
from routecode.change.difference import Compared
from routecode.circuit.circuit import Circuit, compile_studio
from routecode.files.toml import parse
from routecode.language.decode import decode

PLAIN = """
[studio]
title = "Weir"
language = 1

[model.pre]
title = "Preamplifier"
[[model.pre.port]]
name = "mic 1..8"
direction = "in"
signal = "mic"
[[model.pre.port]]
name = "out 1..8"
direction = "out"
signal = "line"
[[model.pre.inside]]
from = "mic 1..8"
to = "out 1..8"

[unit.hall]
title = "Hall"
[[unit.hall.port]]
name = "line 1..12"
direction = "out"
signal = "mic"

[unit.booth]
title = "Narration booth"
[[unit.booth.port]]
name = ["1", "2"]
direction = "out"
signal = "mic"

[unit.pre-a]
model = "pre"
title = "Preamp A"

[unit.pre-b]
model = "pre"
title = "Preamp B"

[unit.conv]
title = "Converter"
[[unit.conv.port]]
name = "line 1..16"
direction = "in"
signal = "line"

[bay.north]
title = "North bay"
columns = 16
normal = "half"
[[bay.north.column]]
at = "1..8"
top = "hall/line 1..8"
bottom = "pre-a/mic 1..8"
[[bay.north.column]]
at = "9..12"
top = "hall/line 9..12"

[bay.south]
title = "South bay"
columns = 16
normal = "half"
[[bay.south.column]]
at = "1..8"
top = "pre-a/out 1..8"
bottom = "conv/line 1..8"
[[bay.south.column]]
at = "9..16"
top = "pre-b/out 1..8"
bottom = "conv/line 9..16"
"""


def circuit(*texts: str) -> Circuit:
    """The circuit of some files, in order a.toml, b.toml, ..."""
    tables = []
    for number, text in enumerate(texts):
        name = f"{chr(97 + number)}.toml"
        parsed = parse(name, text.encode())
        assert parsed.table is not None, parsed.mistake
        tables.append((name, parsed.table))
    studio, mistakes = decode(tables)
    assert studio is not None, mistakes
    made, problems = compile_studio(studio)
    assert made is not None, problems
    return made


def changed(text: str, *swaps: tuple[str, str]) -> str:
    """The text with some pieces replaced; each must stand in it exactly once."""
    for old, new in swaps:
        assert text.count(old) == 1, (text.count(old), old)
        text = text.replace(old, new)
    return text


def compared(before: str, after: str) -> Compared:
    """Two texts compared."""
    return Compared(circuit(before), circuit(after), before == after)


def changes(before: str, after: str, setup: str | None = None) -> tuple[Change, ...]:
    """The changes of one state."""
    return compared(before, after).changes[setup]


def sentences(before: str, after: str, setup: str | None = None) -> list[str]:
    """Their sentences, as kind, sense and text."""
    return [f"{change.kind} {change.sense or '-'}: {change.sentence}" for change in changes(before, after, setup)]


def asked(found: Compared, *, back: bool) -> Counter[tuple[Any, ...]]:
    """Needs that only one side asks for, read forwards or `back`; without names, where some read otherwise on the other side."""
    name = found.matched.channel_name
    return Counter(
        (
            *(() if found.renamed else (need.setup, tuple(map(name, need.steps)))),
            *(need.never, need.only, need.place),
            *((need.after, need.before) if back else (need.before, need.after)),
        )
        for need in found.asked
    )
