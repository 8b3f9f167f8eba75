"""The report of a diff, its JSON document, its draft of a message: complete, valid, safe, 80 columns wide."""

import importlib.util
import json
import re
from collections import Counter
from functools import cache
from pathlib import Path
from random import Random
from statistics import median
from typing import Any

import fastjsonschema
import jsonschema
import pytest

from routecode.change.difference import Difference
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_document import difference_document
from routecode.show.document import written
from routecode.show.draft import draft
from routecode.show.measure import width
from tests.change.any_edit import roughly_edited
from tests.change.wiring import PLAIN, changed
from tests.reference.edits import mutate
from tests.reference.studios import random_studio
from tests.show.studios import opened

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "examples"
SCHEMA = json.loads((ROOT / "schemas" / "diff.schema.json").read_text(encoding="utf-8"))
CUT = changed(PLAIN, ('bottom = "pre-a/mic 1..8"\n', ""))


def difference(before: str, after: str) -> Difference:
    return Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))


def shuffled(seed: int) -> Difference:
    rng = Random(seed)
    before = random_studio(seed)
    after = mutate(mutate(before, rng), rng)
    return Difference(opened(dict(before)), opened(dict(after)))


def report(found: Difference, **options: Any) -> str:
    return difference_text(found, Page(found.new), Asked("one", "other", **options))


# -- the example's history -----------------------------------------------------------------------------------------------


def _builder() -> Any:
    spec = importlib.util.spec_from_file_location("build_history", EXAMPLES / "build_history.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@cache
def history() -> tuple[tuple[str, Difference], ...]:
    """Every commit of the example against the one before it."""
    builder = _builder()
    commits = builder.read_history(EXAMPLES / "history.toml")
    studios = [opened(files) for files in builder.states(commits, builder.read_studio(EXAMPLES / "millrace"))]
    return tuple(
        (commit.message, Difference(before, after))
        for commit, before, after in zip(commits[1:], studios, studios[1:], strict=False)
    )


def test_sentences_of_the_examples_history_are_short() -> None:
    counts = [
        len(part.split())
        for _, found in history()
        for changes in found.changes.values()
        for change in changes
        for part in change.sentence.split(". ")
    ]
    assert max(counts) <= 25
    assert median(counts) <= 16


def test_every_commit_of_the_example_is_told() -> None:
    told = {
        message: {change.kind for changes in found.changes.values() for change in changes}
        for message, found in history()
    }
    results = {message: found.result for message, found in history()}
    assert results["Comments: what the spreadsheet had no column for"] == "text-only"
    assert results["The reverb is called Plate, here and on the labels"] == "text-only"
    assert results["Fibre of Preamp C renumbered D309: D303 was on two cables"] == "text-only"
    assert told["Preamp B bought, hall lines 9-16 go to it"] == {"gained"}
    assert told["Turntable leads made anew, shorter"] == {"exchanged"}
    assert told["Hall line 11 is reversed at the box: written down until it is mended"] == {"rerouted"}
    assert told["Compressor B to the workshop: the left side crackles"] == {"lost"}
    assert "feedback" in told["Reverb comes back on desk channels 23-24, tape echo takes the free effect return"]
    assert told["Setup for folk sessions in the hall"] == {"setup", "phantom"}  # ribbon and DI box: power off there


def test_the_commit_and_its_rollback_tell_the_same_exchange() -> None:
    found = dict(history())
    there = found["Turntable leads made anew, shorter"].changes[None]
    back = found["Turntable left and right were exchanged since 9 December: old leads back in"].changes[None]
    assert [change.id for change in there] == [change.id for change in back]
    assert there[0].sentence.startswith("Turntable left and right are exchanged. Left now reaches ")


# -- text ----------------------------------------------------------------------------------------------------------------


def test_the_result_stands_first_and_last() -> None:
    lines = report(difference(PLAIN, CUT)).splitlines()
    said = "Paths connect other ends than before. 24 of 24 paths compared."
    assert lines[3] == said
    assert lines[-1] == said


def test_text_is_80_columns_wide() -> None:
    for _, found in history():
        assert max(map(width, report(found).splitlines())) <= 80
    for seed in range(20):
        assert max(map(width, report(shuffled(seed)).splitlines())) <= 80


HOSTILE = "bays/\x1b[31m\u202eevil\u2028\x07.toml"
"""The language refuses such characters in names and titles; git has no objection to them in the name of a file."""


def test_hostile_names_cannot_reach_the_terminal() -> None:
    head, bays = PLAIN[: PLAIN.index("[bay.north]")], PLAIN[PLAIN.index("[bay.north]") :]
    cut = changed(bays, ('bottom = "pre-a/mic 1..8"\n', ""))
    found = Difference(*(opened({"studio.toml": head, HOSTILE: text}) for text in (bays, cut)))
    unseen = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2028\u2029]")
    assert "evil" in report(found)
    assert not unseen.search(report(found, expand=True))
    assert not unseen.search(written(difference_document(found)))


def test_the_place_in_the_text_is_given() -> None:
    line = 1 + PLAIN[: PLAIN.index('bottom = "pre-a/mic 1..8"')].count("\n")
    assert f"studio.toml:{line}:10 (before)" in report(difference(PLAIN, CUT))


def test_one_setup_alone() -> None:
    setups = "".join(f'\n[setup.{name}]\ntitle = "{name.title()}"\n' for name in ("folk", "jazz"))
    cord = '[[setup.folk.cord]]\nfrom = "north/top 9"\nto = "north/bottom 1"\n'
    found = difference(PLAIN + setups, PLAIN + setups + cord)
    assert "Converter line 1 now gets Hall line 9" in report(found, setup="folk", one=True)
    assert "Converter line 1" not in report(found, setup="jazz", one=True)
    states = difference_document(found, "folk", one=True)["states"]
    assert [state["setup"] for state in states] == ["folk"]


# -- what changes no path ------------------------------------------------------------------------------------------------

ROUTED = (
    PLAIN
    + """
[unit.matrix]
title = "Matrix"
[[unit.matrix.port]]
name = "in 1..2"
direction = "in"
signal = "line"
[[unit.matrix.port]]
name = "out 1..2"
direction = "out"
signal = "line"
[[unit.matrix.switch]]
name = "pad"
positions = ["off", "on"]
[[unit.matrix.inside]]
from = "in 1..2"
to = "out 1..2"
pairing = "all-to-all"
control = "routed"
[setup.folk]
title = "Folk"
"""
)


@pytest.mark.parametrize(
    ("more", "new", "gone"),
    [
        (
            '[[route]]\nfrom = "matrix/in 1"\nto = "matrix/out 2"\n',
            "New: route Matrix in 1 to Matrix out 2.",
            "Gone: route Matrix in 1 to Matrix out 2.",
        ),
        (
            '[[setup.folk.cord]]\nfrom = "matrix/out 1"\nto = "matrix/out 2"\n',
            "New: cord Matrix out 1 to Matrix out 2 (in setup Folk).",
            "Gone: cord Matrix out 1 to Matrix out 2 (in setup Folk).",
        ),
        (
            '[[setup.folk.set]]\nswitch = "matrix/pad"\nto = "on"\n',
            "Switch pad of Matrix: on (in setup Folk). Before: not set.",
            "Switch pad of Matrix: not set (in setup Folk). Before: on.",
        ),
        (
            '[[unit.matrix.port]]\nname = "key 1..3"\ndirection = "in"\nsignal = "line"\n',
            "New: ports Matrix key 1-3.",
            "Gone: ports Matrix key 1-3.",
        ),
    ],
)
def test_what_changes_no_path_is_listed(more: str, new: str, gone: str) -> None:
    for found, line in ((difference(ROUTED, ROUTED + more), new), (difference(ROUTED + more, ROUTED), gone)):
        assert found.result == "same-ends"
        assert found.besides() == [line]
        assert f"Besides\n- {line}\n" in report(found)
        assert draft(found.old, found.new).splitlines()[0] == line.partition(". ")[0].rstrip(".")


def test_what_changes_a_path_is_not_listed_again() -> None:
    assert difference(PLAIN, CUT).besides() == []
    assert not [message for message, found in history() if found.changes[None] and found.besides()]


def test_paths_that_no_change_tells_are_counted() -> None:
    """The preamplifier that nothing feeds any more is the source of eight idle paths."""
    found = difference(PLAIN, CUT)
    assert found.untold() == 8
    assert "- 8 more paths carry nothing, or are parts of longer ways; --expand lists all." in report(found)
    assert "longer ways" not in report(found, expand=True)


@pytest.mark.parametrize("seed", range(40))
def test_where_wiring_differs_something_is_said(seed: int) -> None:
    before, after = roughly_edited(seed)
    found = Difference(opened(dict(before)), opened(dict(after)))
    lines = len(report(found).splitlines())
    assert max(map(width, report(found).splitlines())) <= 80
    assert lines > 4 or found.result == "text-only"
    assert draft(found.old, found.new).strip()


# -- every pair ----------------------------------------------------------------------------------------------------------

NAME = r'(?:"(?:[^"\\]|\\.)*"|[^",;:]+?)'
PATH = re.compile(rf"  path (lost|gained): ({NAME}) -> ({NAME})( \(idle\))?")
FEED = re.compile(rf"  feed (lost|gained): ({NAME}) -> ({NAME})((?: by {NAME}(?:, {NAME})*)?); (\w+)(; either)?")
POINT = re.compile(rf"  point (lost|gained): ({NAME}): ({NAME}(?:, {NAME})*)")
TURNED = re.compile(
    rf"  feed rerouted: ({NAME}) -> ({NAME}); was((?: by {NAME}(?:, {NAME})*)?); (\w+)(?:; either)?"
    rf"; is((?: by {NAME}(?:, {NAME})*)?); (\w+)(?:; either)?"
)


def plain(name: str) -> str:
    return str(json.loads(name)) if name.startswith('"') else name


def names(text: str) -> list[str]:
    return [plain(found) for found in re.findall(rf"({NAME})(?:, |$)", text.removeprefix(" by "))] if text else []


def read_back(text: str) -> list[dict[str, Counter[str]]]:
    """The raw sets of a report, state by state, each element as JSON."""
    states: list[dict[str, Counter[str]]] = []
    for line in text.splitlines():
        if line.startswith("Every pair, "):
            states.append({})
        for kind, pattern in (("paths", PATH), ("feeds", FEED), ("points", POINT), ("turned", TURNED)):
            found = pattern.fullmatch(line)
            if found and states:
                key, element = _element(kind, found)
                states[-1].setdefault(key, Counter())[json.dumps(element)] += 1
    return states


def _element(kind: str, found: re.Match[str]) -> tuple[str, Any]:
    parts = found.groups()
    if kind == "paths":
        return f"paths {parts[0]}", [plain(parts[1]), plain(parts[2]), bool(parts[3])]
    if kind == "feeds":
        return f"feeds {parts[0]}", [plain(parts[1]), plain(parts[2]), names(parts[3]), parts[4], bool(parts[5])]
    if kind == "points":
        return f"points {parts[0]}", [plain(parts[1]), sorted(names(parts[2]))]
    return "rerouted", [plain(parts[0]), plain(parts[1]), names(parts[2]), parts[3], names(parts[4]), parts[5]]


def of_document(state: dict[str, Any]) -> dict[str, Counter[str]]:
    found: dict[str, Counter[str]] = {}
    for word in ("lost", "gained"):
        rows = {kind: [list(row.values()) for row in state[kind][word]] for kind in ("paths", "feeds", "points")}
        found |= {f"{kind} {word}": Counter(map(json.dumps, lists)) for kind, lists in rows.items() if lists}
    turned = [
        [row["from"], row["to"], *row["before"].values(), *row["after"].values()] for row in state["feeds"]["rerouted"]
    ]
    return found | ({"rerouted": Counter(map(json.dumps, turned))} if turned else {})


@pytest.mark.parametrize("seed", range(25))
def test_expand_gives_back_the_raw_sets(seed: int) -> None:
    found = shuffled(seed)
    given = read_back(report(found, expand=True))
    wanted = [of_document(state) for state in difference_document(found)["states"]]
    assert given == [state for state in wanted if state]


# -- JSON ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("seed", range(12))
def test_documents_are_valid(seed: int) -> None:
    document = json.loads(written(difference_document(shuffled(seed))))
    jsonschema.Draft7Validator(SCHEMA).validate(document)
    fastjsonschema.compile(SCHEMA)(document)


def test_documents_of_the_example_are_valid_and_sorted() -> None:
    validate = fastjsonschema.compile(SCHEMA)
    for _, found in history():
        document = json.loads(written(difference_document(found)))
        validate(document)
        for state in document["states"]:
            for kind in ("paths", "feeds", "points"):
                for rows in state[kind].values():
                    keys = [[row.get("from", row.get("jack")), row.get("to", "")] for row in rows]
                    assert keys == sorted(keys)


@pytest.mark.parametrize("seed", range(6))
def test_the_same_question_gets_the_same_bytes(seed: int) -> None:
    assert written(difference_document(shuffled(seed))) == written(difference_document(shuffled(seed)))
    assert report(shuffled(seed)) == report(shuffled(seed))


def test_findings_keep_their_identity_through_a_rename() -> None:
    tied = '\n[[cable]]\nfrom = "booth/1"\nto = "pre-a/mic 3"\n'
    before = PLAIN + tied
    after = before.replace("pre-a", "pre-west")
    found = difference(before, after)
    assert [one.kind for one in found.renamed] == ["unit"]
    assert {finding.rule for finding in found.old.report.findings} >= {"outputs-tied"}
    assert (found.findings_new, found.findings_gone) == ((), ())


# -- the draft of a message ----------------------------------------------------------------------------------------------


def test_a_draft_has_a_short_title_and_a_body() -> None:
    for _, found in history():
        title, _, body = draft(found.old, found.new).partition("\n\n")
        assert 0 < len(title.strip()) <= 72
        assert all(len(line) <= 72 for line in body.splitlines())


def test_a_draft_says_what_changed() -> None:
    found = difference(PLAIN, CUT)
    assert draft(found.old, found.new).startswith("Hall lines 1-8 no longer reach Converter lines 1-8\n\n")


def test_a_draft_of_comments_says_so() -> None:
    found = difference(PLAIN, PLAIN + "\n# looked at again\n")
    assert draft(found.old, found.new).strip() == "Text only: the wiring is the same"
