"""The schema against two validators and an editor tool, none of them ours; the generated files against their source."""

import json
import subprocess
import sys
import sysconfig
from collections.abc import Callable
from datetime import date, datetime
from pathlib import Path
from typing import Any

import fastjsonschema
import jsonschema
import pytest

from routecode.language.generate import ROOT, generated
from routecode.language.plan import declarations, headings
from routecode.language.schema import studio_schema

from .cases import Case, cases
from .editor import Editor

BAD = cases("bad.md")
GOOD = [*cases("good.md"), *cases("example.md")]
SCHEMA = ROOT / "schemas" / "studio.schema.json"


def plain(value: Any) -> Any:
    """A document as an editor tool gives it to a schema: days as text."""
    if isinstance(value, dict):
        return {key: plain(below) for key, below in value.items()}
    if isinstance(value, list):
        return [plain(below) for below in value]
    return value.isoformat() if isinstance(value, (date, datetime)) else value


def fast(document: Any) -> bool:
    try:
        _FAST(document)
    except fastjsonschema.JsonSchemaValueException:
        return False
    return True


_FAST: Callable[[Any], Any] = fastjsonschema.compile(studio_schema())
_STRICT = jsonschema.Draft7Validator(studio_schema(), format_checker=jsonschema.Draft7Validator.FORMAT_CHECKER)


def strict(document: Any) -> bool:
    return bool(_STRICT.is_valid(document))


VALIDATORS = pytest.mark.parametrize("accepts", [fast, strict])


def test_the_schema_is_a_schema() -> None:
    jsonschema.Draft7Validator.check_schema(studio_schema())


@VALIDATORS
@pytest.mark.parametrize("case", GOOD, ids=lambda case: case.title)
def test_what_decodes_is_accepted(case: Case, accepts: Callable[[Any], bool]) -> None:
    for name, table in case.tables:
        assert accepts(plain(table)), name


@VALIDATORS
@pytest.mark.parametrize("case", BAD, ids=lambda case: case.title)
def test_what_a_schema_can_see_is_refused_and_nothing_else(case: Case, accepts: Callable[[Any], bool]) -> None:
    refused = {name for name, table in case.tables if not accepts(plain(table))}
    assert refused >= case.seen_by_schema
    clean = {name for name in case.files if "# !" not in case.files[name]}
    if case.title.startswith("a newer language"):
        clean -= {"a.toml"}  # what the decoder leaves to a newer program, an editor still marks
    assert not refused & clean


def test_every_declared_key_is_in_the_schema_with_its_words() -> None:
    schema = studio_schema()
    for heading, record in headings():
        properties = schema["definitions"][record.__name__]["properties"]
        declared = list(declarations(record))
        assert [each.name for each in declared] == list(properties), heading
        for each in declared:
            assert properties[each.name]["description"].startswith(each.key.doc)


def test_every_example_is_a_value_of_its_key() -> None:
    schema = studio_schema()
    for _, record in headings():
        for name, prop in schema["definitions"][record.__name__]["properties"].items():
            validator = jsonschema.Draft7Validator(prop | {"definitions": schema["definitions"]})
            for example in [*prop.get("examples", []), *([prop["default"]] if "default" in prop else [])]:
                assert validator.is_valid(example), (record, name, example)


@pytest.mark.parametrize("name", sorted(generated()))
def test_generated_files_are_what_the_declarations_say(name: str) -> None:
    written = (ROOT / name).read_text("utf-8")
    assert written == generated()[name], "run: python -m routecode.language.generate"


TOMBI = str(Path(sysconfig.get_path("scripts")) / ("tombi.exe" if sys.platform == "win32" else "tombi"))


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    command = [TOMBI, "lint", "--offline", "--error-on-warnings", "wiring.toml"]
    return subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=60, check=False)


def place(folder: Path, text: str) -> Path:
    (folder / "studio.schema.json").write_text(SCHEMA.read_text("utf-8"), "utf-8")
    file = folder / "wiring.toml"
    file.write_text("#:schema ./studio.schema.json\n" + text, "utf-8")
    return file


def test_the_editor_tool_accepts_the_example(tmp_path: Path) -> None:
    place(tmp_path, GOOD[-1].files["studio.toml"])
    done = lint(tmp_path)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ('[[cable]]\nfrom = "a"\nto = "b"\nmetres = "3"\n', 5),
        ('[unit.a]\ncolour = "red"\n', 3),
        ("[bay.north]\ncolumns = 0\n", 3),
        ('[bay.north]\ncolumns = 8\nsources = "Top"\n', 4),
        ('[[accept]]\nrule = "outputs-tied"\nat = "a..b"\nbecause = "c"\n', 4),
    ],
)
def test_the_editor_tool_marks_the_line(tmp_path: Path, text: str, line: int) -> None:
    place(tmp_path, text)
    done = lint(tmp_path)
    assert done.returncode != 0
    assert f"wiring.toml:{line}:" in done.stdout + done.stderr


def test_an_editor_offers_keys_and_words_and_shows_what_a_key_is_for(tmp_path: Path) -> None:
    file = place(
        tmp_path,
        '[bay.north]\ncolumns = 48\n[[bay.north.column]]\nat = 1\nnormal = ""\n'
        '[unit.a]\n[[unit.a.port]]\nname = "1"\nsignal = ""\n',
    )
    with Editor([TOMBI, "lsp", "--offline"], tmp_path) as editor:
        editor.open(file)
        assert "How many columns it has." in editor.hover(file, 2, 3)
        assert "Which columns." in editor.hover(file, 4, 0)
        assert {'"half"', '"full"', '"parallel"', '"none"'} <= set(editor.completions(file, 5, 10))
        assert {'"line"', '"speaker-level"'} <= set(editor.completions(file, 9, 10))


def test_an_editor_offers_the_keys_of_a_table(tmp_path: Path) -> None:
    file = place(tmp_path, "[bay.north]\ncolumns = 48\n\n")
    with Editor([TOMBI, "lsp", "--offline"], tmp_path) as editor:
        editor.open(file)
        assert {"rows", "sources", "normalling", "title"} <= set(editor.completions(file, 3, 0))


def test_the_schema_names_its_draft() -> None:
    document = json.loads(SCHEMA.read_text("utf-8"))
    assert document["$schema"].startswith("http://json-schema.org/draft-07/")
