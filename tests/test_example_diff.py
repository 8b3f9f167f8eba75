"""What the command line says of the example's history, on the real repository: the diff of each commit, and the last check.

The expectations are written from the commit messages, by hand; the sentences themselves are tested with `change`.
"""

import importlib.util
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parent.parent

EXPECTED: tuple[tuple[str, str, set[str]], ...] = (
    ("Comments:", "text-only", set()),
    ("Preamp B bought", "ends-changed", {"gained"}),
    ("by normal", "same-ends", {"rerouted"}),
    ("Setup for folk", "ends-changed", {"phantom"}),
    ("comes back on desk channels", "ends-changed", {"feedback", "rerouted"}),
    ("leads made anew", "ends-changed", {"exchanged"}),
    ("extended to 32", "ends-changed", {"gained"}),
    ("exchanged since", "ends-changed", {"exchanged"}),
    ("needs the turntable", "text-only", set()),
    ("called Plate", "text-only", set()),
    ("is reversed at the box", "same-ends", {"rerouted"}),
    ("soldered the right way", "same-ends", {"rerouted"}),
    ("renumbered D309", "text-only", set()),
    ("to the workshop", "ends-changed", {"lost"}),
    ("Compressor B is back", "ends-changed", {"gained"}),
    ("phantom power on all eight", "same-ends", {"phantom"}),
    ("channel 1 off again", "same-ends", {"phantom"}),
    ("Stage box and splitter", "ends-changed", {"gained", "split"}),
    ("Setup for foley", "ends-changed", set()),
    ("Cue mixer", "ends-changed", {"gained"}),
    ("talkback to the booth", "text-only", set()),
)
"""Words of the message, the result, and the kinds of change in the unpatched state."""


def routecode(*words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "routecode", *words]
    return subprocess.run(command, env=environment, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    spec = importlib.util.spec_from_file_location("build_history", ROOT / "examples" / "build_history.py")
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    dest = tmp_path_factory.mktemp("diff") / "millrace"
    script.build(dest)
    return dest


@pytest.fixture(scope="module")
def log(built: Path) -> list[tuple[str, str]]:
    """Id and message of every commit, oldest first."""
    answer = subprocess.run(
        ["git", "log", "--reverse", "--format=%H%x09%s"], cwd=built, capture_output=True, text=True, check=True
    )
    return [(line.split("\t")[0], line.split("\t")[1]) for line in answer.stdout.splitlines()]


def diff(built: Path, log: list[tuple[str, str]], words: str) -> dict[str, Any]:
    """The diff of the commit with these words in its message."""
    (at,) = [place for place, (_, message) in enumerate(log) if words in message]
    answer = routecode("diff", "--json", "--in", str(built), f"{log[at - 1][0]}..{log[at][0]}")
    assert answer.returncode == 0, answer.stderr
    document: dict[str, Any] = json.loads(answer.stdout)
    return document


def unpatched(document: dict[str, Any]) -> dict[str, Any]:
    (state,) = [state for state in document["states"] if state["setup"] is None]
    found: dict[str, Any] = state
    return found


def test_every_commit_but_the_first_is_expected(log: list[tuple[str, str]]) -> None:
    assert len(EXPECTED) == len(log) - 1
    assert all(words in message for (words, _, _), (_, message) in zip(EXPECTED, log[1:], strict=True))


@pytest.mark.parametrize(("words", "result", "kinds"), EXPECTED, ids=[each[0] for each in EXPECTED])
def test_the_diff_of_each_commit(
    built: Path, log: list[tuple[str, str]], words: str, result: str, kinds: set[str]
) -> None:
    document = diff(built, log, words)
    assert document["result"] == result
    assert {change["kind"] for change in unpatched(document)["changes"]} == kinds


def test_the_electrical_mistake_is_told_and_is_a_hazard(built: Path, log: list[tuple[str, str]]) -> None:
    document = diff(built, log, "phantom power on all eight")
    (folk,) = [state for state in document["states"] if state["setup"] == "folk"]
    assert [(change["kind"], change["sense"], change["harm"]) for change in folk["changes"]] == [
        ("phantom", "new", "risk")
    ]
    assert [(one["rule"], one["severity"], one["setup"]) for one in document["findings"]["new"]] == [
        ("phantom-harms", "hazard", "folk")
    ]
    assert (
        routecode("check", "--in", str(built), "--at", next(at for at, text in log if "all eight" in text)).returncode
        == 1
    )


def test_the_mistake_shows_as_an_exchange_with_its_place_and_a_warning(built: Path, log: list[tuple[str, str]]) -> None:
    document = diff(built, log, "leads made anew")
    (change,) = unpatched(document)["changes"]
    assert change["harm"] == "loss"
    assert change["subjects"] == ["turntable/left", "turntable/right"]
    assert [cause["place"]["file"] for cause in change["cause"]] == ["cables.toml"]
    assert [finding["rule"] for finding in document["findings"]["new"]] == ["left-right-exchanged"]


def test_the_rollback_takes_back_exactly_what_the_mistake_did(built: Path, log: list[tuple[str, str]]) -> None:
    mistake, rollback = (
        unpatched(diff(built, log, words))["paths"] for words in ("leads made anew", "exchanged since")
    )
    assert mistake["gained"] == rollback["lost"]
    assert mistake["lost"] == rollback["gained"]
    assert mistake["gained"]


def test_the_rename_is_told_as_one(built: Path, log: list[tuple[str, str]]) -> None:
    renamed = diff(built, log, "called Plate")["renamed"]
    assert [(one["before"], one["after"], one["how"]) for one in renamed] == [("reverb", "plate", "declared")]


def test_the_last_check_is_fine_and_the_check_while_the_compressor_is_away_is_not(
    built: Path, log: list[tuple[str, str]]
) -> None:
    (away,) = [commit for commit, message in log if "to the workshop" in message]
    assert routecode("check", "--in", str(built)).returncode == 0
    assert routecode("check", "--in", str(built), "--at", away).returncode == 1
