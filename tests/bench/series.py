"""Two-way splits in series: `python -m tests.bench.series [--stages 40]` shows how long questions about 2 to the power of 40 ways take.

Each stage takes a signal apart (one input to two outputs) and puts it together again (two inputs to one output), so that every stage
doubles the ways between the two ends. No test depends on the times; `tests/change/test_one_sentence.py` counts steps instead.
"""

import argparse
import time
from collections.abc import Callable
from functools import partial

from routecode.change.difference import Compared
from routecode.circuit.circuit import Circuit
from routecode.show.paths import paths_text
from routecode.show.trace import trace_text
from routecode.show.tracing import Trace
from tests.change.wiring import changed, circuit

HEAD = """
[studio]
title = "Weir"
language = 1

[unit.start]
title = "Start"
[[unit.start.port]]
name = "out"
direction = "out"
signal = "line"

[unit.end]
title = "End"
[[unit.end.port]]
name = "in"
direction = "in"
signal = "line"

[model.split]
[[model.split.port]]
name = "in"
direction = "in"
signal = "line"
[[model.split.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[model.split.inside]]
from = "in"
to = "out 1..2"
pairing = "all-to-all"

[model.mix]
[[model.mix.port]]
name = "in 1..2"
direction = "in"
signal = "line"
[[model.mix.port]]
name = "out"
direction = "out"
signal = "line"
[[model.mix.inside]]
from = "in 1..2"
to = "out"
pairing = "all-to-all"
"""
STAGE = """
[unit.split-{number}]
model = "split"
title = "Split {number}"
[unit.mix-{number}]
model = "mix"
title = "Mix {number}"
[[cable]]
from = "{before}"
to = "split-{number}/in"
[[cable]]
from = "split-{number}/out 1..2"
to = "mix-{number}/in 1..2"
"""


def in_series(stages: int) -> str:
    """A studio of so many stages: one path, and two to the power of `stages` ways."""
    before = ["start/out", *(f"mix-{number}/out" for number in range(1, stages + 1))]
    parts = [STAGE.format(number=number + 1, before=before[number]) for number in range(stages)]
    return HEAD + "".join(parts) + f'[[cable]]\nfrom = "{before[-1]}"\nto = "end/in"\n'


def leg_cut(text: str, stage: int) -> str:
    """One of the two legs of a stage is gone: half of the ways."""
    legs = f'from = "split-{stage}/out 1..2"\nto = "mix-{stage}/in 1..2"'
    return changed(text, (legs, legs.replace("1..2", "1")))


def legs_crossed(text: str, stage: int) -> str:
    """The two legs of a stage are crossed: as many ways, other ones."""
    legs = f'to = "mix-{stage}/in 1..2"'
    return changed(text, (legs, f'to = "mix-{stage}/in 2..1"'))


def cut(text: str, stage: int) -> str:
    """Nothing comes into a stage any more."""
    return changed(text, (f'\n[[cable]]\nfrom = "mix-{stage - 1}/out"\nto = "split-{stage}/in"', ""))


def _told(before: str, after: str) -> str:
    return " ".join(change.sentence for change in Compared(circuit(before), circuit(after)).changes[None])


def _timed(name: str, question: Callable[[], str]) -> None:
    start = time.perf_counter()
    text = question()
    print(f"{name:<28} {time.perf_counter() - start:7.3f} s  {text.splitlines()[0]}")


def main() -> None:
    """Ask and tell."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--stages", type=int, default=40)
    stages = parser.parse_args().stages
    text = in_series(stages)
    made: Circuit = circuit(text)
    for name, edit in (("one leg cut", leg_cut), ("legs crossed", legs_crossed), ("a stage cut off", cut)):
        after = edit(text, stages // 2)
        _timed(f"diff, {name}", partial(_told, text, after))
    _timed("paths", lambda: paths_text(made, None))
    _timed("trace", lambda: trace_text(Trace(made, None, "start/out")))


if __name__ == "__main__":
    main()
