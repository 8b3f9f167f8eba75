"""Paths folded for people: pairs that run in parallel, or all to all, over the same units are told in one line.

Lossless: spreading the lines gives back every pair. Decides nothing about the wiring; which way is told for a pair that
has several is the shortest, then the first by name.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from routecode.circuit.paths import Flow
from routecode.ground.order import natural


class Way(NamedTuple):
    """One path: source and destination by name, the ids of the units between them, whether the source is idle."""

    source: str
    target: str
    through: tuple[str, ...]
    idle: bool


class Line(NamedTuple):
    """Paths told together. `parallel`: sources reach targets one to one, in order; else each one reaches every one."""

    sources: tuple[str, ...]
    targets: tuple[str, ...]
    through: tuple[str, ...]
    idle: bool
    parallel: bool


def ways(flow: Flow) -> Iterator[Way]:
    """Every path of a state, each with one way."""
    plant = flow.plant
    for source, idle in sorted(flow.sources.items()):
        targets = flow.reached.get(2 * source + 1, frozenset())
        parents = _parents(flow, 2 * source + 1)
        for target in sorted(targets):
            through = _units(flow, parents, 2 * target)
            yield Way(plant.channel_name(source), plant.channel_name(target), through, idle)


def _parents(flow: Flow, start: int) -> dict[int, int]:
    parents = {start: -1}
    queue = [start]
    for vertex in queue:
        for other in sorted(flow.down.get(vertex, ())):
            if other not in parents:
                parents[other] = vertex
                queue.append(other)
    return parents


def _units(flow: Flow, parents: dict[int, int], target: int) -> tuple[str, ...]:
    found: list[str] = []
    vertex = parents[target]
    while vertex >= 0:
        unit = flow.plant.unit_of(flow.plant.node_of(vertex // 2)).id
        before = parents[vertex]
        if before >= 0 and (not found or found[-1] != unit):
            found.append(unit)
        vertex = before
    return tuple(reversed(found))


def folded(found: Iterable[Way]) -> list[Line]:
    """The paths in lines, in natural order of their first source."""
    groups: dict[tuple[str, str, tuple[str, ...], bool], list[tuple[str, str]]] = {}
    for way in found:
        key = (_head(way.source), _head(way.target), way.through, way.idle)
        groups.setdefault(key, []).append((way.source, way.target))
    lines = [line for (_, _, through, idle), pairs in groups.items() for line in _lines_of(pairs, through, idle)]
    return sorted(lines, key=lambda line: (natural(line.sources[0]), natural(line.targets[0]), line.through))


def _lines_of(pairs: list[tuple[str, str]], through: tuple[str, ...], idle: bool) -> Iterator[Line]:
    """One to one runs where each source has one target that no other has; the rest by equal sets of targets."""
    reached: dict[str, set[str]] = {}
    heard: dict[str, int] = {}
    for source, target in pairs:
        reached.setdefault(source, set()).add(target)
        heard[target] = heard.get(target, 0) + 1
    single: list[tuple[str, str]] = []
    shared: dict[frozenset[str], list[str]] = {}
    for source in sorted(reached, key=natural):
        targets = reached[source]
        only = next(iter(targets))
        if len(targets) == 1 and heard[only] == 1:
            single.append((source, only))
        else:
            shared.setdefault(frozenset(targets), []).append(source)
    for run in _runs(single):
        yield Line(tuple(a for a, _ in run), tuple(b for _, b in run), through, idle, True)
    for targets_together, sources in shared.items():
        yield Line(tuple(sources), tuple(sorted(targets_together, key=natural)), through, idle, len(sources) == 1)


def _runs(pairs: list[tuple[str, str]]) -> Iterator[list[tuple[str, str]]]:
    run: list[tuple[str, str]] = []
    for pair in pairs:
        if run and not (_next(run[-1][0], pair[0]) and _next(run[-1][1], pair[1])):
            yield run
            run = []
        run.append(pair)
    if run:
        yield run


def _next(name: str, other: str) -> bool:
    """Whether `other` is the name that follows in a range: `line 3` after `line 2`."""
    stem, digits = _numbered(name)
    stem_b, digits_b = _numbered(other)
    if stem != stem_b or not digits or not digits_b or int(digits_b) != int(digits) + 1:
        return False
    is_padded = digits[0] == "0" or digits_b[0] == "0"
    return len(digits) == len(digits_b) if is_padded else True


def _numbered(name: str) -> tuple[str, str]:
    stem = name.rstrip("0123456789")
    digits = name[len(stem) :]
    return (stem, digits) if len(digits) <= 18 else (name, "")


def _head(name: str) -> str:
    return name.partition("/")[0]
