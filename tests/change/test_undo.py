"""What comes back if an edit is undone, against the text with that edit taken back, compiled by itself."""

import json
from copy import deepcopy
from pathlib import Path
from random import Random

import jsonschema
import pytest

from routecode.change.delta import StateDelta
from routecode.change.difference import Compared, Difference
from routecode.change.undo import Undone, described, meant, places, undone
from routecode.cli.undo import edited
from routecode.show.diagnostic import Page
from routecode.show.undo import undo_document, undo_text
from tests.change.any_edit import roughly_edited
from tests.change.edit_kinds import Base
from tests.change.kind_cases import FIGURED, WEAKER
from tests.change.known_edits import KINDS, example
from tests.change.loosened import text_of
from tests.change.test_command import diff, record
from tests.change.test_raw_sets import compare
from tests.change.wiring import PLAIN, changed
from tests.cli.asking import ROOT, git
from tests.cli.conftest import machine
from tests.reference.compiler import circuit_of as reference_circuit
from tests.reference.studios import random_studio
from tests.seeds import some
from tests.show.studios import circuit_of, opened

__all__ = ["machine"]

Pairs = set[tuple[str, str, bool]]


def pairs(undone_: Undone, which: str) -> Pairs:
    name = undone_.names.matched.channel_name
    return {(name(a), name(b), idle) for a, b, idle in getattr(undone_.delta, which)}


def paths(text: str) -> Pairs:
    return {tuple(path) for path in circuit_of(opened({"studio.toml": text})).flow(None).paths()}  # type: ignore[misc] # three of each


TWO_CABLES = (
    PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n[[cable]]\nfrom = "booth/2"\nto = "pre-b/mic 2"\n'
)


def test_one_of_two_edits_undone_is_the_text_without_it() -> None:
    one = PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
    difference = Difference(opened({"studio.toml": TWO_CABLES}), opened({"studio.toml": PLAIN}))
    edits = difference.causes.edits
    assert len(edits) == 2
    gone = next(edit for edit in edits if "1 to" in described([edit], difference)[0])
    states = undone(difference, [gone], None, one=True)
    assert states is not None
    (state,) = states
    assert pairs(state, "gained") == paths(one) - paths(PLAIN)
    assert pairs(state, "lost") == paths(PLAIN) - paths(one)
    text = undo_text(difference, meant(difference, [gone]), states, Page(difference.new, 80))
    assert text.startswith("What this edit did:\n- Gone: cable ")
    assert "\nIf it is undone, and nothing else:\n\nComes back\n- " in text
    assert "Comes back\n- " in text
    document = undo_document(difference, meant(difference, [gone]), states)
    assert document["states"][0]["sentences"]
    assert document["edit"] == [
        {"side": "before", "place": {"file": "studio.toml", "line": PLAIN.count("\n") + 3, "column": 8}}
    ]


def test_an_edit_that_stands_alone_changes_no_path() -> None:
    before = PLAIN
    after = PLAIN + '\n[unit.spare]\n[[unit.spare.port]]\nname = "in"\ndirection = "in"\nsignal = "line"\n'
    difference = Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))
    states = undone(difference, difference.causes.edits, None, one=False)
    assert states is not None
    assert [state.changes for state in states] == [()]
    whole = meant(difference, difference.causes.edits)
    assert "No path changes." in undo_text(difference, whole, states, Page(difference.new, 80))


@pytest.mark.parametrize("seed", some(range(40), 20))
def test_all_edits_undone_are_the_before_side(seed: int) -> None:
    before, after = roughly_edited(seed)
    difference = Difference(opened(dict(before)), opened(dict(after)), guessing=False)
    if not difference.causes.edits or any(delta.presence != "both" for delta in difference.states):
        return
    for delta in difference.states:
        states = undone(difference, difference.causes.edits, delta.setup, one=True)
        if states is None:
            continue
        name = difference.matched.channel_name
        assert pairs(states[0], "gained") == {(name(a), name(b), idle) for a, b, idle in delta.lost}
        assert pairs(states[0], "lost") == {(name(a), name(b), idle) for a, b, idle in delta.gained}


def test_every_edit_has_a_place() -> None:
    difference = Difference(opened({"studio.toml": PLAIN}), opened({"studio.toml": TWO_CABLES}))
    assert all(places(edit) for edit in difference.causes.edits)


# -- one edit of two, against the text in which only the other one was made ----------------------------------------------

EDITS = (
    "cable removed", "cable added", "cable moved to another jack", "normal changed", "plug moved", "cord added",
    "cord removed", "cord moved", "inside changed", "switch turned", "unit removed", "unit added",
)  # fmt: skip
SEEDS = some(range(72), 24)


def two_edits(seed: int) -> tuple[dict[str, str], dict[str, str], dict[str, str]] | None:
    """A studio, with a first edit, and with a second one on top; None where one of them is not to be had."""
    rng = Random(seed)
    base = Base.of(random_studio(seed)) if seed % 12 else example()
    texts = [{"studio.toml": text_of(base.whole)}]
    whole = base.whole
    for _ in range(2):
        whole = deepcopy(whole)
        edited = KINDS[rng.choice(EDITS)](Base.of(texts[-1]), whole, rng)
        texts.append({"studio.toml": text_of(whole)})
        if edited is None or reference_circuit(texts[-1])[0] is None:
            return None
    return texts[0], texts[1], texts[2]


def lost_and_gained(found: Compared, delta: StateDelta) -> tuple[Pairs, Pairs]:
    name = found.matched.channel_name
    return tuple({(name(a), name(b), idle) for a, b, idle in one} for one in (delta.lost, delta.gained))  # type: ignore[return-value] # two


def undone_and_reverted(seed: int) -> bool:
    """Whether the second edit could be told from the first; then undoing it is as if the text had never had it."""
    texts = two_edits(seed)
    if texts is None:
        return False
    start, first, both = texts
    whole, reverted, second = compare(start, both), compare(both, first), compare(first, both)
    wanted = set(described(second.causes.edits, second))
    edits = [edit for edit in whole.causes.edits if set(described([edit], whole)) <= wanted]
    if not edits or set(described(edits, whole)) != wanted:
        return False
    states = undone(whole, edits, None, one=False)
    assert states is not None
    told = {state.setup: lost_and_gained(state.names, state.delta) for state in states}
    for delta in reverted.states:
        assert told.pop(delta.setup, (set(), set())) == lost_and_gained(reverted, delta), delta.setup
    assert not told
    return True


def test_an_edit_undone_is_the_text_without_it() -> None:
    assert sum(undone_and_reverted(seed) for seed in SEEDS) > len(SEEDS) * 0.4, "most edits can be told apart"


# -- the command ---------------------------------------------------------------------------------------------------------

SETUP = '\n[setup.folk]\ntitle = "Folk"\n[[setup.folk.cord]]\nfrom = "north/top 9"\nto = "north/bottom 1"\n'


@pytest.fixture
def studio(machine: Path) -> Path:
    """Two commits: the second crosses two lines, lays two cables from the booth and adds a setup."""
    folder = machine / "weir"
    folder.mkdir()
    (folder / "studio.toml").write_text(PLAIN, encoding="utf-8")
    git(machine, "init", "-q", "-b", "main", str(folder))
    record(folder, "As it is")
    after = changed(TWO_CABLES, ('at = "9..12"', 'at = "13..16"'))
    (folder / "studio.toml").write_text(after + SETUP, encoding="utf-8")
    record(folder, "More")
    return folder


def line_of(studio: Path, text: str) -> int:
    return (studio / "studio.toml").read_text(encoding="utf-8").splitlines().index(text) + 1


def test_a_line_of_the_text(studio: Path) -> None:
    """As diff prints it, with or without column and side; any other line of the same table will do."""
    number = line_of(studio, 'from = "booth/1"')
    asked = [
        f"studio.toml:{number}",
        f"studio.toml:{number}:8",
        f"studio.toml:{number}:8 (after)",
        f"studio.toml:{number + 1}",
    ]
    (said,) = {diff(studio, "last~1..last", "--undo", place).out for place in asked}
    assert said == (
        "What this edit did:\n"
        "- New: cable Narration booth 1 to Preamp B mic 1.\n"
        f"    studio.toml:{number}:8 (after)\n"
        "\n"
        "If it is undone, and nothing else:\n"
        "\n"
        "Goes again\n"
        "- Narration booth 1 no longer reaches Converter line 9. It stops at Narration\n"
        "  booth 1: its cable to Preamp B mic 1 is gone.\n"
    )


def test_the_id_of_a_change(studio: Path) -> None:
    states = json.loads(diff(studio, "last~1..last", "--json").out)["states"]
    (gained,) = [change for change in states[0]["changes"] if change["kind"] == "gained"]
    answer = json.loads(diff(studio, "last~1..last", "--json", "--undo", gained["id"]).out)
    assert (answer["schema"], answer["ok"]) == ("routecode/undo/1", True)
    jsonschema.validate(answer, json.loads((ROOT / "schemas" / "undo.schema.json").read_text(encoding="utf-8")))
    (state,) = answer["states"]
    assert [path["from"] for path in state["gone"]] == ["booth/1", "booth/2"]
    assert all(path["idle"] for path in state["back"]), "what the booth drove gives nothing again"


def test_a_setup_of_one_side_is_an_edit_too(studio: Path) -> None:
    number = line_of(studio, 'to = "north/bottom 1"')
    ran = diff(studio, "last~1..last", "--undo", f"studio.toml:{number}")
    assert "- Setup Folk is gone: 1 cord, no needed path." in ran.out


def test_a_place_of_no_edit_lists_the_edits_there_are(studio: Path) -> None:
    ran = diff(studio, "last~1..last", "--undo", "studio.toml:3")
    assert (ran.status, ran.out) == (2, "")
    assert "No edit stands at studio.toml:3." in ran.err
    number = line_of(studio, 'from = "booth/1"')
    assert f"studio.toml:{number}  New: cable Narration booth 1" in ran.err
    assert "Setup Folk is new" in ran.err
    ran = diff(studio, "last~1..last", "--undo", "\x1b[2J")
    assert ran.status == 2
    assert "\x1b" not in ran.err


def test_an_id_that_is_of_no_change_of_this_diff(studio: Path) -> None:
    ran = diff(studio, "last~1..last", "--undo", "a021766cae0c")
    assert ran.status == 2
    assert "This diff has no change with the id a021766cae0c." in ran.err
    assert "is no line" not in ran.err


def test_an_edit_that_changes_no_wiring_is_not_denied(studio: Path) -> None:
    """A length, edited; the line above it is as it was."""
    path = studio / "studio.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(changed(text, ('to = "pre-b/mic 1"', 'to = "pre-b/mic 1"\nmetres = 3')), encoding="utf-8")
    number = line_of(studio, "metres = 3")
    ran = diff(studio, "last", "--undo", f"studio.toml:{number}")
    assert f"What was edited at studio.toml:{number} changes no wiring." in ran.err
    ran = diff(studio, "last", "--undo", f"studio.toml:{number - 1}")
    assert f"No edit stands at studio.toml:{number - 1}." in ran.err


def test_a_change_that_rests_on_a_figure_says_so(machine: Path) -> None:
    folder = machine / "lock"
    folder.mkdir()
    git(machine, "init", "-q", "-b", "main", str(folder))
    for text in (FIGURED, WEAKER):
        (folder / "studio.toml").write_text(text, encoding="utf-8")
        record(folder, "Level")
    (change,) = json.loads(diff(folder, "last~1..last", "--json").out)["states"][0]["changes"]
    ran = diff(folder, "last~1..last", "--undo", change["id"])
    assert (change["kind"], ran.status) == ("altered", 2)
    assert "rests on no wiring that differs" in " ".join(ran.err.split())


@pytest.mark.parametrize(
    ("before", "after", "side", "lines"),
    [
        ("abc", "axc", "after", [2]),
        ("abc", "ac", "before", [2]),
        ("abc", "ac", "after", []),
        ("aabb", "babab", "after", [1, 4]),
        ("", "ab", "after", [1, 2]),
    ],
)
def test_lines_that_only_one_side_has(before: str, after: str, side: str, lines: list[int]) -> None:
    assert [line for line in range(-1, 9) if edited(list(before), list(after), side, line)] == lines


def test_of_very_much_that_differs_all_in_between_counts() -> None:
    before, after = [str(number) for number in range(9_000)], [str(number) for number in range(1, 9_001)]
    assert edited(before, after, "after", 4_000)
    assert not edited(["x", *before], ["x", *after], "after", 1)


def test_an_edit_that_others_stand_on_says_which(machine: Path) -> None:
    """A unit whose ports and whose insides changed in two tables: neither can be half of it."""
    folder = machine / "lock"
    folder.mkdir()
    git(machine, "init", "-q", "-b", "main", str(folder))
    unit = '[studio]\ntitle = "Lock"\nlanguage = 1\n[unit.desk]\ntitle = "Desk"\n'
    port = '[[unit.desk.port]]\nname = "{}"\ndirection = "{}"\nsignal = "line"\n'
    ports = port.format("in", "in") + port.format("out", "out")
    (folder / "studio.toml").write_text(unit + ports, encoding="utf-8")
    record(folder, "As it is")
    inside = '[[unit.desk.inside]]\nfrom = "in"\nto = "out"\n'
    (folder / "studio.toml").write_text(unit + ports + port.format("spare", "in") + inside, encoding="utf-8")
    record(folder, "More")
    number = line_of(folder, 'name = "spare"')
    ran = diff(folder, "last~1..last", "--undo", f"studio.toml:{number}")
    assert ran.status == 2
    assert "cannot be undone alone" in ran.err
    assert "Undo it together with this one: studio.toml:" in " ".join(ran.err.split())
