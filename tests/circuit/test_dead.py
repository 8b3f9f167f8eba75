"""Dead cables: they join nothing, their ends are any words, and nothing else may say that they are joined."""

from typing import Any

import pytest

from routecode.change.difference import Difference
from routecode.circuit.dead import dead_cables
from tests.hands.studios import HEAD, opened

PORTS = """
[unit.a]
[[unit.a.port]]
name = "out 1..4"
direction = "out"
signal = "line"
[unit.b]
[[unit.b.port]]
name = "in 1..4"
direction = "in"
signal = "line"
"""


def studio(cables: str) -> Any:
    from routecode.files.tree import Files
    from routecode.studio.opened import Opened

    return Opened(Files("", {"cables.toml": cables.encode(), "studio.toml": (HEAD + PORTS).encode()}, ()), "worktree")


def cable(froms: str, tos: str, more: str = 'status = "dead"') -> str:
    return f"[[cable]]\nfrom = {froms}\nto = {tos}\n{more}\n"


@pytest.mark.parametrize(
    ("froms", "tos", "ends"),
    [
        ('"a/out 1..2"', '"b/in 1..2"', [("a/out 1", "b/in 1"), ("a/out 2", "b/in 2")]),
        ('"a/out 1..2"', '"under the floor"', [("a/out 1", "under the floor"), ("a/out 2", "under the floor")]),
        ('"the tray"', '"north"', [("the tray", "north")]),
        ('"x 1"', '[["y 1"], ["y 2"]]', [("x 1", "y 1"), ("x 1", "y 2")]),
    ],
)
def test_a_dead_cable_joins_nothing_whatever_its_ends(froms: str, tos: str, ends: list[tuple[str, str]]) -> None:
    found = studio(cable(froms, tos))
    assert found.mistakes == ()
    assert found.circuit.plant.wires == []
    assert found.circuit.feeds() == ()
    assert [(one.from_, one.to) for one in dead_cables(found.circuit.plant)] == ends


@pytest.mark.parametrize(
    ("cables", "fault"),
    [
        (cable('"a/out 1..3"', '"b/in 1..2"'), "unequal-lengths"),
        (cable('"a/out 1..0x"', '"b/in 1"'), "bad-range"),
        (cable('"a/out 1"', '"b/in 1"') + cable('"b/in 1"', '"a/out 1"', ""), "cable-contradicts"),
    ],
)
def test_mistakes(cables: str, fault: str) -> None:
    found = studio(cables)
    assert found.circuit is None
    assert [mistake.id for mistake in found.mistakes] == [fault]


def test_the_same_is_told_of_a_studio_made_of_another() -> None:
    """What only differs in a file is resolved on top of the other: a cable that comes may contradict a dead one that stays."""
    from routecode.files.tree import Files
    from routecode.studio.opened import Opened

    dead = cable('"a/out 1"', '"b/in 1"')
    texts = {"a.toml": cable('"a/out 2"', '"b/in 2"', ""), "d.toml": dead, "studio.toml": HEAD + PORTS}
    files = Files("", {name: text.encode() for name, text in texts.items()}, ())
    before = Opened(files, "worktree")
    assert before.mistakes == ()
    more = texts | {"a.toml": texts["a.toml"] + cable('"a/out 1"', '"b/in 1"', "")}
    after = Opened(Files("", {name: text.encode() for name, text in more.items()}, ()), "worktree", None, before)
    assert [mistake.id for mistake in after.mistakes] == ["cable-contradicts"]


def test_a_cable_that_dies_is_a_path_that_is_lost() -> None:
    alive = opened({"studio.toml": HEAD + PORTS + cable('"a/out 1"', '"b/in 1"', "")}, "0" * 40)
    dead = opened({"studio.toml": HEAD + PORTS + cable('"a/out 1"', '"b/in 1"')})
    found = Difference(alive, dead)
    assert found.result == "ends-changed"
    assert [change.kind for change in found.changes[None]] == ["lost"]


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("", 'status = "make"', ["Changed: a out 1 to b in 1 (to be made)."]),
        ('status = "make"', "", ["Changed: a out 1 to b in 1 (is there now)."]),
        ("", 'status = "in"', []),
        ("", "tested = 2026-03-01", ["Changed: a out 1 to b in 1 (tested 2026-03-01)."]),
        ("tested = 2026-03-01", "", ["Changed: a out 1 to b in 1 (no longer said to be tested)."]),
    ],
)
def test_state_and_test_of_a_cable_are_told_and_change_no_path(was: str, now: str, said: list[str]) -> None:
    one, other = (opened({"studio.toml": HEAD + PORTS + cable('"a/out 1"', '"b/in 1"', more)}) for more in (was, now))
    found = Difference(one, other)
    assert found.result in ("text-only", "identical")
    assert found.cabling == said
