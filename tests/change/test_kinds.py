"""Each kind of change has an id, a harm, a definition and a section of the page, and its sentences are those that the tool says."""

import json
from importlib.resources import files

import pytest

from routecode.change.changes import HARMS
from routecode.change.claims import KINDS
from routecode.change.kinds import REGISTRY, Kind, kinds
from routecode.language.allowed import KINDS as ALLOWED
from tests.change.kind_cases import CASES
from tests.change.wiring import compared
from tests.cli.asking import ask

PAGE = files("routecode").joinpath("pages", "changes.md").read_text(encoding="utf-8")
TOLD = kinds(PAGE)


def test_every_kind_has_its_section_in_the_order_of_telling() -> None:
    assert tuple(TOLD) == REGISTRY == (*KINDS, "renamed")
    assert ALLOWED == KINDS


@pytest.mark.parametrize("kind", TOLD.values(), ids=list(TOLD))
def test_a_section_says_harm_and_definition(kind: Kind) -> None:
    assert kind.harm.partition(";")[0] in HARMS
    assert len(kind.definition.split()) >= 8
    assert kind.examples


@pytest.mark.parametrize("name", REGISTRY)
def test_the_sentences_of_the_page_are_said(name: str) -> None:
    """And with no other harm than the page gives."""
    said: list[str] = []
    for before, after in CASES[name]:
        found = compared(before, after)
        of_it = [change for changes in found.changes.values() for change in changes if change.kind == name]
        assert {change.harm for change in of_it} <= set(TOLD[name].harm.replace(";", "").split())
        said += [change.sentence for change in of_it] or found.guessed
    assert tuple(said) == TOLD[name].examples


def test_the_table_and_the_sections_say_the_same_harm() -> None:
    rows = [row.split("|") for row in PAGE.splitlines() if row.startswith(("| ", "|-")) and row.count("|") == 6]
    table = {row[2].strip(" `"): row[5].strip() for row in rows}
    assert table["feedback"] == TOLD["feedback"].harm
    for kind in REGISTRY:
        (harm,) = [harm for cell, harm in table.items() if kind in cell.replace("`", "").split(", ")]
        words = dict(zip(("lost", "gained"), harm.split("; "), strict=False)) if kind in ("lost", "gained") else {}
        assert TOLD[kind].harm == words.get(kind, harm)


@pytest.mark.parametrize("name", REGISTRY)
def test_the_tool_prints_the_page_of_a_kind(name: str) -> None:
    ran = ask("rules", name)
    assert (ran.status, ran.out) == (0, f"{TOLD[name].page}\n")
    answer = json.loads(ask("rules", name, "--json").out)
    assert answer["rules"] == []
    assert [(kind["id"], kind["examples"]) for kind in answer["kinds"]] == [(name, list(TOLD[name].examples))]


def test_all_kinds_are_listed_and_a_mistyped_one_is_answered_with_the_nearest() -> None:
    assert set(REGISTRY) <= set(ask("rules").out.replace(",", " ").split())
    ran = ask("rules", "redirekted")
    assert ran.status == 2
    assert "redirected" in ran.err
    assert ask("rules", "--changes").out == PAGE
