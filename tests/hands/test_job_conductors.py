"""The steps of a job followed to the letter, conductor by conductor: each keeps its colour, and what it is soldered to, until a step says otherwise.

After the last step every conductor must join what the cable schedule of the finished studio says it joins; an end that is said to
stay joined must hold the wire of the colour and on the pin that the step prints for it.
"""

from collections.abc import Iterator
from random import Random
from typing import NamedTuple

import pytest

from routecode.circuit.plant import Plant
from routecode.hands.cables import Pin, schedule
from routecode.hands.job import Job
from routecode.hands.job_cables import Work
from routecode.hands.job_operations import LAY, LIFT
from routecode.hands.job_rows import Row, rows_of
from routecode.hands.job_words import Stand
from tests.hands.jobs import job_of

COLOURS = ["RD BK", "WH BK", "GN BK", "BU BK", "YE BK", "BN BK", "OG BK", "WH RD"]
STUDIO = f"""
[studio]
title = "Small"
language = 1
[room.control]
[rack.left]
room = "control"
[cable_type.multi]
circuits = 8
colours = {COLOURS}
[cable_type.pair]
hot_colour = "WH"
cold_colour = "BU"
[bay.lines]
title = "Line bay"
rack = "left"
columns = 24
contact = "bantam"
[unit.pre]
title = "Preamp"
rack = "left"
[[unit.pre.port]]
name = "out 1..16"
direction = "out"
signal = "line"
[[unit.pre.port]]
name = "out 17..20"
direction = "out"
signal = "line"
connector = "xlr-m"
[[unit.pre.multipin]]
name = "out 1-8"
connector = "db25-f"
layout = "aes59"
carries = "out 1..8"
[[unit.pre.multipin]]
name = "out 9-16"
connector = "db25-f"
layout = "aes59"
carries = "out 9..16"
[unit.conv]
title = "Converter"
rack = "left"
[[unit.conv.port]]
name = "in 1..16"
direction = "in"
signal = "line"
[[unit.conv.port]]
name = "in 17..20"
direction = "in"
signal = "line"
connector = "trs"
[[unit.conv.multipin]]
name = "in 1-8"
connector = "db25-f"
layout = "aes59"
carries = "in 1..8"
[[unit.conv.multipin]]
name = "in 9-16"
connector = "db25-f"
layout = "aes59"
carries = "in 9..16"
"""
OUTS = [f"pre/out {n}" for n in range(1, 21)]
INS = [f"conv/in {n}" for n in range(1, 21)]
TOPS, BOTTOMS = ([f"lines/{row} {n}" for n in range(1, 25)] for row in ("top", "bottom"))


class Laid(NamedTuple):
    """One cable of a random studio."""

    number: str
    pairs: tuple[tuple[str, str], ...]
    reversed_: bool = False
    turned: bool = False

    @property
    def text(self) -> str:
        froms, tos = zip(*(pair[::-1] if self.turned else pair for pair in self.pairs), strict=True)
        lines = [f'number = "{self.number}"', f"from = {list(froms)}", f"to = {list(tos)}", "metres = 4"]
        lines += [f'type = "{"multi" if self.number.startswith("M") else "pair"}"']
        lines += ['polarity = "reversed"'] if self.reversed_ else []
        return "[[cable]]\n" + "\n".join(lines) + "\n"


def text_of(cables: list[Laid]) -> str:
    return STUDIO + "".join(cable.text for cable in cables if cable.pairs)


def free(rng: Random, cables: list[Laid], pool: list[str], count: int) -> list[str]:
    """Places in a row where nothing is joined, or as many of any as there are."""
    used = {name for cable in cables for pair in cable.pairs for name in pair}
    step = 8 if count == 8 and rng.random() < 0.7 else 1  # a whole plug, more often than not
    runs = [pool[at : at + count] for at in range(0, len(pool) - count + 1, step)]
    open_ = [run for run in runs if used.isdisjoint(run)]
    if open_:
        return rng.choice(open_)
    return [name for name in pool if name not in used][:count]


def random_cables(rng: Random) -> list[Laid]:
    cables: list[Laid] = []
    for number in rng.sample(("M1", "M2", "M3", "L1", "L2", "L3"), 4):
        count = rng.choice((2, 8, 8)) if number.startswith("M") else 1
        pools = rng.choice(((OUTS, TOPS), (BOTTOMS, INS), (OUTS, INS)))
        ends = [free(rng, cables, pool, count) for pool in pools]
        pairs = tuple(zip(*ends, strict=False))
        cables.append(Laid(number, pairs, rng.random() < 0.2, rng.random() < 0.3))
    return [cable for cable in cables if cable.pairs]


def rewired(rng: Random, cables: list[Laid]) -> list[Laid]:
    """The same with one thing otherwise, as people rewire."""
    found = list(cables)
    at = rng.randrange(len(found))
    cable = found[at]
    others = [*found[:at], *found[at + 1 :]]
    pairs = list(cable.pairs)
    what = rng.choice(
        ("shift", "plug", "swap", "first", "last", "more", "polarity", "turn", "number", "loose", "socket", "socket")
    )
    which = rng.randrange(2)
    pool = next(pool for pool in (OUTS, INS, TOPS, BOTTOMS) if pairs[0][which] in pool)
    if what in ("shift", "socket"):
        step = rng.choice((-1, 1)) * (8 if what == "socket" else 1)
        places = [pool[(pool.index(pair[which]) + step) % len(pool)] for pair in pairs]
        if {name for other in others for pair in other.pairs for name in pair}.isdisjoint(places):
            pairs = [(new, pair[1]) if which == 0 else (pair[0], new) for new, pair in zip(places, pairs, strict=True)]
    elif what == "plug":
        places = free(rng, others, pool, len(pairs))
        pairs = [
            (new, pair[1]) if which == 0 else (pair[0], new) for new, pair in zip(places, pairs, strict=False)
        ] or pairs
    elif what == "swap":
        one, other = rng.randrange(len(pairs)), rng.randrange(len(pairs))
        moved = (pairs[one][0], pairs[other][1]), (pairs[other][0], pairs[one][1])
        if one != other:
            pairs[one], pairs[other] = moved
    elif what == "first":
        pairs = pairs[1:]
    elif what == "last":
        pairs = pairs[:-1]
    elif what == "more" and len(pairs) < 8 and cable.number.startswith("M"):
        pools = [next(pool for pool in (OUTS, INS, TOPS, BOTTOMS) if name in pool) for name in pairs[0]]
        more = [free(rng, found, each, 1) for each in pools]
        pairs[0:0] = list(zip(*more, strict=False)) if rng.random() < 0.5 else []
    number = f"{cable.number[0]}{rng.randrange(7, 10)}" if what == "number" else cable.number
    if number in {other.number for other in others}:
        number = cable.number
    changed = Laid(number, tuple(pairs), cable.reversed_ ^ (what == "polarity"), cable.turned ^ (what == "turn"))
    loose = [Laid("L9", (pairs[-1],))] if what == "loose" and "L9" not in {each.number for each in found} else []
    if loose:
        changed = changed._replace(pairs=changed.pairs[:-1])
    return [each for each in (*others, changed, *loose) if each.pairs]


Wire = tuple[str, int, str]
"""Cable, as it was called first; pair, from 1; colour, or what it carries where it has none."""


class Bench:
    """What is soldered where, in all cables."""

    def __init__(self, plant: Plant) -> None:
        self.joined: dict[Wire, dict[str, str]] = {}
        self.plugs: dict[tuple[Wire, str], str] = {}
        """The pin on which a wire was in a plug that was lifted."""
        for cable in schedule(plant):
            for number, circuit in enumerate(cable.circuits, 1):
                for pin in circuit.pins:
                    ends = ((circuit.from_.name, pin.from_pin), (circuit.to.name, pin.to_pin))
                    wire = (cable.number or "", number, pin.colour or pin.carries)
                    self.joined[wire] = {name: where for name, where in ends if where is not None}

    def lift(self, cable: str, row: Row) -> None:
        wires = [wire for wire in self.joined if wire[:2] == (cable, row.circuit)]
        for end in (row.from_, row.to):
            assert any(end.name in self.joined[wire] for wire in wires), (row, end.name)
            for wire in wires if end.handled else ():
                pin = self.joined[wire].pop(end.name, None)
                self.plugs[wire, end.plug] = pin or ""

    def lay(self, cable: str, row: Row) -> None:
        for end, which in ((row.from_, 0), (row.to, 1)):
            for pin in row.pins:
                wire = (cable, row.circuit, pin.colour or pin.carries)
                assert not pin.colour or pin.colour in colours_in(row), (row, pin)
                self._end(wire, end, (pin.from_pin, pin.to_pin)[which], as_it_is=end.whole or not row.at_rack)

    def _end(self, wire: Wire, end: Stand, pin: str | None, *, as_it_is: bool) -> None:
        held = self.joined.setdefault(wire, {})
        if not end.handled:
            assert held.get(end.name) == pin, (wire, end.name, held, pin)
            return
        assert end.name not in held
        now = self.plugs.get((wire, end.plug), pin or "") if as_it_is else pin
        if now:
            held[end.name] = now


def colours_in(row: Row) -> list[str]:
    """The colours that the pair of a row has in its jacket."""
    return COLOURS[row.circuit - 1].split() if row.cable.startswith("M") else ["WH", "BU"]


def followed(made: Job) -> Bench:
    """What stands when all steps are done."""
    bench = Bench(made.frame.before)
    busy = frozenset(op.owner for op in made.todo.ops if op.kind in ("exchange", "move"))
    for told in made.racks:
        for step in told.steps:
            work = step.op.work if step.op is not None else None
            if step.op is not None and work is not None and step.op.kind in (LIFT, LAY):
                for row in rows_of(work, step.op.kind, busy):
                    do = bench.lift if step.op.kind == LIFT else bench.lay
                    do(_first_number(work), row)
    return bench


def _first_number(work: Work) -> str:
    side = work.old or work.new
    assert side is not None
    return side.cable.number or "" if work.old else f"new {side.cable.number}"


def joints(bench: Bench) -> list[list[tuple[str, str]]]:
    return sorted(sorted(ends.items()) for ends in bench.joined.values() if ends)


def wanted(plant: Plant) -> list[list[tuple[str, str]]]:
    def ends(names: tuple[str, str], pin: Pin) -> Iterator[tuple[str, str]]:
        yield from ((name, where) for name, where in zip(names, (pin.from_pin, pin.to_pin), strict=True) if where)

    return sorted(
        sorted(ends((circuit.from_.name, circuit.to.name), pin))
        for cable in schedule(plant)
        for circuit in cable.circuits
        for pin in circuit.pins
    )


@pytest.mark.parametrize("seed", range(30))
def test_steps_followed_to_the_letter_give_the_wanted_conductors(seed: int) -> None:
    rng = Random(seed)
    before = random_cables(rng)
    after = before
    for _ in range(1 + seed % 3):
        after = rewired(rng, after)
    for one, other in ((before, after), (after, before)):
        made = job_of(text_of(one), text_of(other))
        assert joints(followed(made)) == wanted(made.frame.after)
