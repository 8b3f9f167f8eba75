"""JSON documents: valid by their schemas, one document, safe on a terminal; schemas fresh and strict."""

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import fastjsonschema
import jsonschema
import pytest

from routecode.change.kinds import kinds
from routecode.ground.finding import Mistake, Severity
from routecode.rules.registry import RULES
from routecode.show.check import Judged, check_document
from routecode.show.contracts import DOCUMENTS
from routecode.show.document import refused, written
from routecode.show.paths import paths_document
from routecode.show.rules import rule_page, rules_document
from routecode.show.schemas import schemas
from routecode.show.trace import trace_document
from routecode.show.tracing import Trace
from tests.show.studios import circuit_of, millrace, opened, small

ROOT = Path(__file__).resolve().parents[2]
CHANGES = (ROOT / "routecode" / "pages" / "changes.md").read_text(encoding="utf-8")
Document = dict[str, Any]


def documents() -> list[Document]:
    made: list[Document] = [rules_document((rule_page(rule) for rule in RULES), kinds(CHANGES).values())]
    for studio in (small(), millrace()):
        circuit = circuit_of(studio)
        made.append(check_document(Judged(studio, circuit.plant, studio.report.findings, Severity.WARNING)))
        for setup in circuit.state_names:
            made.append(paths_document(studio, circuit, setup))
            made += [trace_document(Trace(circuit, setup, place), "worktree") for place in _places(circuit.plant)]
    return made


def _places(plant: Any) -> list[str]:
    return [plant.name(node) for node in range(0, len(plant.direction), 40)]


@pytest.fixture(scope="module")
def made() -> list[Document]:
    return documents()


def validator(name: str) -> Callable[[Any], Any]:
    compiled: Callable[[Any], Any] = fastjsonschema.compile(json.loads(schemas()[f"schemas/{name}.schema.json"]))
    return compiled


@pytest.mark.parametrize("name", schemas())
def test_committed_schema_is_fresh(name: str) -> None:
    assert (ROOT / name).read_text(encoding="utf-8") == schemas()[name], "run: python -m routecode.cli.generate"


@pytest.mark.parametrize("name", schemas())
def test_schema_is_a_schema(name: str) -> None:
    jsonschema.Draft7Validator.check_schema(json.loads(schemas()[name]))


def test_documents_are_valid_and_complete(made: list[Document]) -> None:
    valid = {document.identity: validator(document.name) for document in DOCUMENTS}
    for document in made:
        valid[document["schema"]](json.loads(written(document)))
    assert {document["schema"] for document in made} == {
        f"routecode/{name}/1" for name in ("check", "paths", "trace", "rules")
    }


def test_a_document_without_one_of_its_keys_or_with_another_one_is_not_valid(made: list[Document]) -> None:
    for document in {each["schema"]: each for each in made}.values():
        valid = validator(document["schema"].split("/")[1])
        for key in document:
            less = copy.deepcopy(document)
            del less[key]
            with pytest.raises(fastjsonschema.JsonSchemaException):
                valid(less)
        with pytest.raises(fastjsonschema.JsonSchemaException):
            valid({**document, "more": 1})


@pytest.mark.parametrize("name", [document.name for document in DOCUMENTS])
def test_a_refusal_is_valid_everywhere(name: str) -> None:
    bad = opened({"studio.toml": '[studio]\nlanguage = 1\n[unit.a]\nracks = "x"\n'})
    document = refused(name, bad.mistakes, bad)
    validator(name)(document)
    validator("errors")(document)
    assert document["errors"][0]["place"] == {"file": "studio.toml", "line": 4, "column": 1}


def test_text_is_one_document_with_one_item_a_line(made: list[Document]) -> None:
    paths = next(each for each in made if each["schema"] == "routecode/paths/1")
    text = written(paths)
    assert json.loads(text) == json.loads(json.dumps(paths))
    assert text.endswith("}\n")
    assert all(sum(f'"{key}"' in line for key in ("from", "jack")) <= 1 for line in text.splitlines())


def test_arrays_are_sorted_sets(made: list[Document]) -> None:
    for document in made:
        for key in ("feeds", "paths", "upstream", "downstream"):
            rows = [(row["from"], row["to"]) for row in document.get(key) or []]
            assert rows == sorted(rows)
        told = [json.dumps(row) for row in document.get("paths") or []]
        assert len(told) == len(set(told))


def test_above_the_limit_paths_are_null_and_the_count_is_exact() -> None:
    studio = small()
    circuit = circuit_of(studio)
    assert paths_document(studio, circuit, None, 10)["count"] == 10
    assert paths_document(studio, circuit, None, 10)["paths"] is not None
    assert paths_document(studio, circuit, None, 9)["paths"] is None
    assert paths_document(studio, circuit, None, 9)["count"] == 10


def test_no_control_sequence_and_no_direction_mark_leaves_in_json() -> None:
    hostile = "a\x1b[2J\x9b31m\u202e\u2066\u200b\ufeff\x7f\udcff"
    text = written(refused("check", [Mistake("x", hostile)], None))
    assert not set("\x1b\x9b\u202e\u2066\u200b\ufeff\x7f") & set(text)
    encoded = text.encode("utf-8", errors="backslashreplace")
    assert json.loads(encoded)["errors"][0]["text"] == hostile
