"""The fewest cords: against brute force over recompiled texts, and case by case on small studios."""

import tomllib
from collections import Counter
from collections.abc import Iterator, Sequence
from functools import cache
from typing import Any

import pytest

from routecode.circuit.circuit import Circuit
from routecode.circuit.corded import Corded
from routecode.circuit.cords import Cords, Outcome
from routecode.circuit.crossings import Crossings, Way
from routecode.circuit.plant import Plant
from tests.change.wiring import PLAIN, changed, circuit
from tests.circuit.cording import Brute, disagreements
from tests.reference.studios import random_studio
from tests.reference.written import united
from tests.seeds import some

MANY = 22
"""Fronts up to which every single cord is tried."""
FEW = 9
"""Fronts up to which every two cords are tried."""


def brutes(seeds: Sequence[int]) -> Iterator[Brute]:
    for seed in seeds:
        whole = united(random_studio(seed, "tiny"))
        for setup in (None, *sorted(whole.get("setup", {}))):
            count = len(Brute(whole, setup).fronts)
            if 2 <= count <= MANY:
                yield Brute(whole, setup, 2 if count <= FEW else 1)


@pytest.mark.parametrize("first", some(range(0, 120, 20), 3))
def test_against_brute_force(first: int) -> None:
    for brute in brutes(range(first, first + 20)):
        assert disagreements(brute, brute.open_pairs(8)) == [], (first, brute.setup)


def test_brute_force_meets_single_cords() -> None:
    met: Counter[int | None] = Counter()
    for brute in few():
        met.update(brute.least(pair) for pair in brute.open_pairs(8))
    assert met[1] > 20
    assert met[None] > 100


TWO_FAMILIES = """
[studio]
title = "Weir"
language = 1
[unit.deck]
port = [{ name = "out", direction = "out", signal = "line" }]
[unit.spare]
port = [{ name = "in", direction = "in", signal = "line" }]
[unit.box]
port = [
    { name = "in 1..2", direction = "in", signal = "line" },
    { name = "out", direction = "out", signal = "aes3" },
]
[[unit.box.inside]]
from = "in 1..2"
to = "out"
[unit.rec]
port = [{ name = "in", direction = "in", signal = "aes3" }]
[bay.north]
columns = 3
[[bay.north.column]]
at = 1
top = "deck/out"
bottom = "spare/in"
normal = "half"
[[bay.north.column]]
at = 2
top = "box/out"
[[bay.north.column]]
at = 3
bottom = "rec/in"
"""


def test_two_cords_against_brute_force() -> None:
    brute = Brute(tomllib.loads(TWO_FAMILIES), None, 2)
    pair = ("deck/out", "rec/in ch 1")
    assert brute.least(pair) == 2
    assert disagreements(brute, brute.open_pairs(40)) == []
    assert disagreements(brute, [pair]) == []


def test_a_search_that_stops_at_one_cord_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Crossings, "_before", lambda *_: [])
    brute = Brute(tomllib.loads(TWO_FAMILIES), None, 2)
    assert any("2 would do" in text for text in disagreements(brute, [("deck/out", "rec/in ch 1")]))


# Wrong searches, planted: brute force must tell each.


@cache
def few() -> tuple[Brute, ...]:
    return tuple(brutes(range(40)))


def seen() -> list[str]:
    return [text for brute in few() for text in disagreements(brute, brute.open_pairs(8))]


def test_a_search_that_ties_outputs_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Corded, "sound", True)
    assert any("does not do" in text for text in seen())


def test_a_search_that_confirms_nothing_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Corded, "joins", lambda *_: True)
    assert any("does not do" in text for text in seen())


def test_a_search_without_single_cords_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    right = Crossings.ways

    def wrong(self: Crossings, pair: tuple[int, int], cords: int) -> tuple[list[Way], bool]:
        return ([], True) if cords == 1 else right(self, pair, cords)

    monkeypatch.setattr(Crossings, "ways", wrong)
    assert any("would do" in text for text in seen())


def test_a_search_that_hides_what_it_costs_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Corded, "loses", ())
    assert any("loses" in text for text in seen())


def test_a_search_that_ignores_what_plugs_break_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Crossings, "_on_wire", lambda *_: [])
    assert any("would do" in text for text in seen())


# -- case by case --------------------------------------------------------------------------------------------------------


def find(made: Circuit, *pairs: tuple[str, str], setup: str | None = None, **options: Any) -> Outcome:
    wanted = []
    for pair in pairs:
        source, target = (made.plant.channel(name) for name in pair)
        assert source is not None
        assert target is not None
        wanted.append((source, target))
    return Cords(made, **options).find(setup, wanted)


def cords(made: Circuit, found: Outcome) -> list[tuple[str, str]] | None:
    return None if found.cords is None else [(made.plant.name(a), made.plant.name(b)) for a, b in found.cords]


def lost(made: Circuit, found: Outcome) -> list[tuple[str, str]]:
    return [(made.plant.channel_name(a), made.plant.channel_name(b)) for a, b in found.loses]


NO_NORMAL = changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', 'bottom = "pre-a/mic 1..8"\nnormal = "none"\n'))


def test_a_normal_that_is_gone_is_a_cord() -> None:
    made = circuit(NO_NORMAL)
    found = find(made, ("hall/line 3", "conv/line 3"))
    assert cords(made, found) == [("north/top 3", "north/bottom 3")]
    assert lost(made, found) == []


def test_several_at_once_use_no_jack_twice() -> None:
    made = circuit(NO_NORMAL)
    found = find(made, *((f"hall/line {n}", f"conv/line {n}") for n in range(1, 9)))
    assert cords(made, found) == [(f"north/top {n}", f"north/bottom {n}") for n in range(1, 9)]


def test_a_path_that_is_there_needs_no_cord() -> None:
    assert find(circuit(PLAIN), ("hall/line 3", "conv/line 3")).cords == ()


def test_what_a_half_normal_costs() -> None:
    made = circuit(PLAIN)
    found = find(made, ("hall/line 9", "conv/line 1"))
    # Straight into the converter, past the preamplifier: nothing vetoes that here, and it passes least.
    assert cords(made, found) == [("north/top 9", "south/bottom 1")]
    assert lost(made, found) == [("hall/line 1", "conv/line 1")]


def test_a_veto_is_heard() -> None:
    made = circuit(PLAIN)

    def not_there(plant: Plant, driver: int, hearer: int) -> bool:
        same = plant.socket(driver).signal == plant.socket(hearer).signal
        return same and plant.name(hearer) != "pre-b/mic 1"

    free = find(made, ("hall/line 9", "conv/line 9"))
    assert cords(made, free) == [("north/top 9", "pre-b/mic 1")]
    kept = find(made, ("hall/line 9", "conv/line 9"), fits=not_there)
    assert cords(made, kept) == [("north/top 9", "pre-b/mic 2"), ("south/top 10", "south/bottom 9")]


def test_two_outputs_are_never_tied() -> None:
    text = """
[studio]
title = "Weir"
language = 1
[unit.a]
[[unit.a.port]]
name = "out"
direction = "out"
signal = "line"
[unit.b]
[[unit.b.port]]
name = "out"
direction = "out"
signal = "line"
[unit.c]
[[unit.c.port]]
name = "in"
direction = "in"
signal = "line"
[bay.north]
columns = 1
[[bay.north.column]]
at = 1
top = "a/out"
bottom = "c/in"
normal = "NORMAL"
"""
    parallel = circuit(text.replace("NORMAL", "parallel"))
    found = find(parallel, ("b/out", "c/in"))
    assert (found.cords, found.searched) == (None, 3)
    half = circuit(text.replace("NORMAL", "half"))
    assert cords(half, find(half, ("b/out", "c/in"))) == [("b/out", "north/bottom 1")]


def test_families_are_kept_apart() -> None:
    text = changed(
        PLAIN,
        (
            "[unit.booth]\n",
            '[unit.word]\n[[unit.word.port]]\nname = "out"\ndirection = "out"\nsignal = "wordclock"\n[unit.booth]\n',
        ),
    )
    made = circuit(text)
    assert find(made, ("word/out", "conv/line 1")).cords is None


def test_a_link_plug_comes_out_first() -> None:
    text = changed(
        PLAIN,
        (
            'title = "North bay"\ncolumns = 16\nnormal = "half"\n',
            'title = "North bay"\ncolumns = 16\nnormalling = "plugs"\nnormal = "bottom"\n',
        ),
    )
    made = circuit(text)
    found = find(made, ("hall/line 9", "pre-a/mic 1"))
    assert cords(made, found) == [("north/top 9", "north/bottom 1")]
    assert [made.plant.name(node) for node in found.link_plugs] == ["north/bottom 1"]
    assert lost(made, found) == [("hall/line 1", "conv/line 1")]


def test_cords_and_dummy_plugs_of_the_setup_stay_where_they_are() -> None:
    setup = '[setup.x]\n[[setup.x.cord]]\nfrom = "north/top 3"\nto = "north/bottom 9"\n[[setup.x.plug]]\nat = "north/top 4"\nset = "broken"\n'
    made = circuit(NO_NORMAL + setup)
    for line in (3, 4):
        assert cords(made, find(made, (f"hall/line {line}", f"pre-a/mic {line}"), setup="x")) is None
        assert cords(made, find(made, (f"hall/line {line}", f"pre-a/mic {line}"))) == [
            (f"north/top {line}", f"north/bottom {line}")
        ]


def test_one_long_cord_is_fewer_than_two_over_a_tie_line() -> None:
    ties = """
[unit.pit]
[[unit.pit.port]]
name = "in"
direction = "in"
signal = "mic"
[bay.east]
columns = 4
[[bay.east.column]]
at = 1
bottom = "pit/in"
[[cable]]
from = "north/bottom 15"
to = "east/top 4"
"""
    made = circuit(PLAIN + ties)
    assert cords(made, find(made, ("hall/line 9", "pit/in"))) == [("north/top 9", "east/bottom 1")]


def test_a_large_studio_says_what_was_not_looked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("routecode.circuit.crossings.MOST_PLACES", 10)
    made = circuit(
        changed(
            PLAIN, ('[unit.booth]\ntitle = "Narration booth"', '[unit.booth]\naway = "x"\ntitle = "Narration booth"')
        )
    )
    found = find(made, ("booth/1", "conv/line 1"))
    assert (found.cords, found.searched) == (None, 1)


def test_the_same_question_gets_the_same_answer() -> None:
    made = [circuit(PLAIN) for _ in range(2)]
    pairs = [("hall/line 9", "conv/line 12"), ("hall/line 10", "conv/line 11")]
    assert find(made[0], *pairs) == find(made[1], *pairs)
