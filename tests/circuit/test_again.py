"""A circuit made of another one gives the answers of one that was compiled as a whole: on random studios, every table a file of its own."""

from collections.abc import Iterator, Mapping
from functools import cache
from random import Random
from typing import Any

import pytest

from routecode.change.difference import Difference
from routecode.files.tree import Files
from routecode.ground.finding import Severity
from routecode.show.check import Judged, check_document
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_document import difference_document
from routecode.show.paths import paths_document
from routecode.studio.opened import Opened
from tests.change.any_edit import any_edit
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.seeds import some

SEEDS = some(range(200), 120)


def apart(whole: Mapping[str, Any]) -> dict[str, bytes]:
    """A studio with every table in a file of its own, always spelt the same way."""
    return {name: document(Random(0), table).encode() for name, table in _tables(whole)}


def _tables(whole: Mapping[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for name, value in whole.items():
        if name == "studio":
            yield "studio.toml", {name: value}
        elif isinstance(value, dict):
            for each, table in value.items():
                yield f"{name}/{each}.toml", {name: {each: table}}
        else:
            for number, table in enumerate(value):
                yield f"{name}/{number:03}.toml", {name: [table]}


def _opened(texts: Mapping[str, bytes], name: str, like: Opened | None = None) -> Opened:
    return Opened(Files("studio", dict(sorted(texts.items())), ()), name, None, like)


@cache
def sides(seed: int) -> tuple[Opened, Opened, Opened]:
    """A random studio; an edit of it made of the first; the same edit compiled as a whole."""
    rng = Random(seed)
    whole = united(random_studio(seed))
    before = _opened(apart(whole), "before")
    for _ in range(rng.choice((1, 1, 2, 3))):
        whole = any_edit(whole, rng)
    texts = apart(whole)
    again, once = _opened(texts, "after", before), _opened(texts, "after")
    return before, again, once


@pytest.mark.parametrize("seed", SEEDS)
def test_the_answers_are_the_same(seed: int) -> None:
    _, again, once = sides(seed)
    assert again.mistakes == once.mistakes
    if once.circuit is None:
        return
    assert again.circuit is not None
    assert again.studio == once.studio
    for setup in once.circuit.state_names:
        assert paths_document(again, again.circuit, setup) == paths_document(once, once.circuit, setup)
    pages = [
        check_document(Judged(side, side.circuit.plant, side.report.findings, Severity.NOTE))
        for side in (again, once)
        if side.circuit is not None
    ]
    assert pages[0] == pages[1]


def together(whole: Mapping[str, Any]) -> dict[str, bytes]:
    """All of it in one file: every edit changes it, and nearly every table stands as it did."""
    return {"studio.toml": document(Random(0), dict(whole)).encode()}


def elsewhere(whole: Mapping[str, Any]) -> dict[str, bytes]:
    """Tables in files of their own as `apart`, those of units in another folder."""
    return {name.replace("unit/", "moved/"): text for name, text in apart(whole).items()}


@pytest.mark.parametrize("seed", some(range(90), 45))
def test_the_answers_are_the_same_where_files_change_and_tables_do_not(seed: int) -> None:
    """Places above all: a table that says the same may stand in another file, or on another line."""
    rng = Random(seed)
    whole = united(random_studio(seed))
    first, second = ((together, together), (apart, elsewhere), (together, apart))[seed % 3]
    before = _opened(first(whole), "before")
    whole = any_edit(whole, rng) if seed % 3 == 0 else whole
    again, once = _opened(second(whole), "after", before), _opened(second(whole), "after")
    assert again.mistakes == once.mistakes
    if once.circuit is None or again.circuit is None:
        assert once.circuit is again.circuit is None
        return
    pages = [
        check_document(Judged(side, circuit.plant, side.report.findings, Severity.NOTE))
        for side, circuit in ((again, again.circuit), (once, once.circuit))
    ]
    assert pages[0] == pages[1]
    plants = [circuit.plant for circuit in (again.circuit, once.circuit)]
    spots = [
        [spot for unit in plant.units.values() for port in (unit.written, *unit.written.port) for spot in [port.place]]
        for plant in plants
    ]
    assert spots[0] == spots[1]


@pytest.mark.parametrize("seed", SEEDS)
def test_the_difference_is_the_same(seed: int) -> None:
    before, again, once = sides(seed)
    if once.circuit is None:
        return
    short, long = Difference(before, again), Difference(before, once)
    assert difference_document(short) == difference_document(long)
    texts = [difference_text(one, Page(one.new, 80), Asked("before", "after")) for one in (short, long)]
    assert texts[0] == texts[1]
    assert difference_document(Difference(again, before)) == difference_document(Difference(once, before))


def test_most_edits_are_made_of_the_first_side() -> None:
    fine = [again for _, again, once in map(sides, SEEDS) if once.circuit is not None]
    made = [again for again in fine if again.circuit is not None and again.circuit.base is not None]
    assert len(fine) > len(SEEDS) * 0.4
    assert len(made) > len(fine) / 3
