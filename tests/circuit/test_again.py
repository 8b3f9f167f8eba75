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
