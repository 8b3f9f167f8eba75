"""The example studio: what is in it, that its history builds, and what stands in each commit as text.

What each commit means as a circuit is tested in `test_example_circuit.py`.
"""

import importlib.util
import os
import re
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent
STUDIO = ROOT / "examples" / "millrace"
SCRIPT = ROOT / "examples" / "build_history.py"


def load_script() -> ModuleType:
    """The script as a module; `examples` is no package."""
    spec = importlib.util.spec_from_file_location("build_history", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


HISTORY: Any = load_script()


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    dest = tmp_path_factory.mktemp("history") / "millrace"
    HISTORY.build(dest)
    return dest


def git(repository: Path, *words: str) -> bytes:
    environment = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
    return subprocess.run(["git", *words], cwd=repository, env=environment, check=True, capture_output=True).stdout


def commits(repository: Path) -> list[str]:
    return git(repository, "rev-list", "--reverse", "HEAD").decode().split()


def texts_at(repository: Path, commit: str) -> dict[str, bytes]:
    names = git(repository, "ls-tree", "-r", "-z", "--name-only", commit).decode().split("\0")[:-1]
    return {name: git(repository, "cat-file", "blob", f"{commit}:{name}") for name in names}


def tables(key: str) -> dict[str, Any]:
    """All tables `[key.id]` of the studio, from tomllib, not from the compiler."""
    found: dict[str, Any] = {}
    for path in sorted(STUDIO.rglob("*.toml")):
        for name, table in tomllib.loads(path.read_text(encoding="utf-8")).get(key, {}).items():
            found[name] = found.get(name, {}) | table  # a model's multipins have a file of their own
    return found


def spread(name: str | list[str]) -> Iterator[str]:
    """Names of ranges, counted here once more, without the compiler."""
    for text in [name] if isinstance(name, str) else name:
        found = re.fullmatch(r"(.*?)(\d+)\.\.(\d+)", text)
        if found:
            yield from (f"{found[1]}{number}" for number in range(int(found[2]), int(found[3]) + 1))
        else:
            yield text


def channels(ports: list[dict[str, Any]]) -> int:
    usual = {"aes3": 2, "optical8": 8}
    return sum(len(list(spread(port["name"]))) * port.get("channels", usual.get(port["signal"], 1)) for port in ports)


# -- what is in it -----------------------------------------------------------------------------------------------------


def test_it_is_a_whole_studio() -> None:
    units, models = tables("unit"), tables("model")
    ports = [[*models.get(unit.get("model", ""), {}).get("port", []), *unit.get("port", [])] for unit in units.values()]
    assert len(units) >= 25
    assert sum(map(channels, ports)) >= 250
    assert set(tables("room")) >= {"control", "hall", "booth", "foley"}
    assert {unit["model"] for unit in units.values() if "model" in unit} == set(models), "a model nobody uses"


def test_it_has_a_switched_bay_and_one_with_link_plugs() -> None:
    bays = {(bay["normalling"], bay["contact"]): bay for bay in tables("bay").values()}
    assert set(bays) == {("switched", "bantam"), ("plugs", "pin")}
    normals = {column.get("normal") for column in bays["switched", "bantam"]["column"]}
    assert normals >= {"none", "half", "full", "parallel"}
    assert bays["switched", "bantam"]["columns"] == 48


def test_three_setups_have_needs_of_every_kind() -> None:
    setups = tables("setup")
    assert set(setups) == {"drama", "folk", "foley"}
    assert all(len(setup["need"]) >= 5 for setup in setups.values())
    needs = [need for setup in setups.values() for need in setup["need"]]
    assert any(need.get("never") for need in needs)
    assert any(need.get("only") for need in needs)


def test_everything_with_an_id_has_a_title() -> None:
    for key in ("room", "rack", "model", "unit", "bay", "cable_type", "setup"):
        untitled = [name for name, table in tables(key).items() if not table.get("title")]
        assert not untitled, f"{key} without a title"


@pytest.mark.parametrize("path", sorted(STUDIO.rglob("*.toml")), ids=lambda path: path.relative_to(STUDIO).as_posix())
def test_the_first_line_names_the_schema(path: Path) -> None:
    first = path.read_text(encoding="utf-8").splitlines()[0]
    assert first.startswith("#:schema ")
    assert (path.parent / first.removeprefix("#:schema ")).resolve() == ROOT / "schemas" / "studio.schema.json"


# -- how it came to be -------------------------------------------------------------------------------------------------


def test_the_history_ends_as_the_example_is(built: Path) -> None:
    there = {path.relative_to(STUDIO).as_posix(): path.read_bytes() for path in STUDIO.rglob("*") if path.is_file()}
    assert texts_at(built, "HEAD") == there
    assert git(built, "status", "--porcelain") == b""


def test_the_commits_are_what_a_workshop_would_write(built: Path) -> None:
    log = git(built, "log", "--reverse", "--format=%an <%ae>%x09%aI%x09%cI%x09%s").decode().splitlines()
    assert len(log) >= 14
    rows = [line.split("\t") for line in log]
    assert {row[0] for row in rows} == {"Millrace workshop <workshop@millrace.example>"}
    assert all(row[1] == row[2] for row in rows), "author and committer dates differ"
    assert [row[1] for row in rows] == sorted(row[1] for row in rows)
    assert len({row[3] for row in rows}) == len(rows)
    assert max(len(row[3]) for row in rows) <= 80


def test_every_commit_is_toml_throughout(built: Path) -> None:
    for commit in commits(built):
        for name, text in texts_at(built, commit).items():
            tomllib.loads(text.decode("utf-8"))
            assert name.endswith(".toml")


def test_one_commit_changes_comments_only(built: Path) -> None:
    states = [
        {name: tomllib.loads(text.decode()) for name, text in texts_at(built, commit).items()}
        for commit in commits(built)
    ]
    same = [number for number in range(1, len(states)) if states[number] == states[number - 1]]
    assert same == [1]


def test_the_exchange_was_rolled_back_exactly(built: Path) -> None:
    turntable = re.compile(rb'number = "M231\.\.232".*?\n\n', re.DOTALL)
    said = [
        found[0] for commit in commits(built) if (found := turntable.search(texts_at(built, commit)["cables.toml"]))
    ]
    changes = [number for number in range(1, len(said)) if said[number] != said[number - 1]]
    assert len(changes) == 2
    assert said[0] == said[-1]


def test_two_builds_give_the_same_commits_whatever_git_is_told(
    built: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = tmp_path / "home"
    (home / "hooks").mkdir(parents=True)
    (home / "hooks" / "pre-commit").write_text("#!/bin/sh\nexit 1\n")
    (home / "hooks" / "pre-commit").chmod(0o755)
    (home / ".config" / "git").mkdir(parents=True)
    (home / ".config" / "git" / "ignore").write_text("*.toml\n")
    (home / ".config" / "git" / "attributes").write_text("*.toml text eol=crlf\n")
    hooks = f"[core]\n\thooksPath = {home / 'hooks'}\n"
    (home / ".gitconfig").write_text(f"{hooks}[commit]\n\tgpgSign = true\n[gpg]\n\tprogram = false\n")
    for name, value in {
        "HOME": str(home),
        "GIT_AUTHOR_NAME": "Somebody",
        "GIT_DIR": str(tmp_path / "elsewhere"),
    }.items():
        monkeypatch.setenv(name, value)
    monkeypatch.delenv("XDG_CONFIG_HOME", raising=False)
    HISTORY.build(tmp_path / "again")
    monkeypatch.delenv("GIT_DIR")
    assert commits(tmp_path / "again") == commits(built)


def test_a_folder_in_use_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    answer = subprocess.run([sys.executable, str(SCRIPT), str(tmp_path)], capture_output=True, text=True, check=False)
    assert answer.returncode == 2
    assert "in use" in answer.stderr
    assert "Traceback" not in answer.stderr
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_an_edit_that_does_not_fit_stops_the_build(tmp_path: Path) -> None:
    text = (ROOT / "examples" / "history.toml").read_text(encoding="utf-8")
    broken = tmp_path / "history.toml"
    broken.write_text(text.replace("metres = 0.8\n", "metres = 0.9\n", 1), encoding="utf-8")
    with pytest.raises(HISTORY.HistoryError, match="Turntable leads"):
        HISTORY.build(tmp_path / "dest", history=broken)
    assert not (tmp_path / "dest").exists()
