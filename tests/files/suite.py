"""The public TOML test suite, where it lies beside the repository (toml-lang/toml-test, MIT licence)."""

import json
from pathlib import Path
from typing import Any, NamedTuple

FOLDER = Path(__file__).resolve().parents[3] / "shared" / "toml-test" / "tests"
IS_THERE = (FOLDER / "files-toml-1.0.0").is_file()
CASES_OF_1_0 = 709  # lines ending in .toml in files-toml-1.0.0 of the snapshot of 2026-08-16: 210 valid, 499 invalid


class Case(NamedTuple):
    name: str
    data: bytes
    expected: Any  # tagged JSON of a valid case, None for an invalid one


def cases(version: str = "1.0.0") -> list[Case]:
    names = (FOLDER / f"files-toml-{version}").read_text(encoding="utf-8").split()
    return [_case(name) for name in names if name.endswith(".toml")]


def _case(name: str) -> Case:
    path = FOLDER / name
    is_valid = name.startswith("valid/")
    expected = json.loads(path.with_suffix(".json").read_text(encoding="utf-8")) if is_valid else None
    return Case(name, path.read_bytes(), expected)


def say_absent(test: str) -> None:
    """Said on the terminal whatever pytest captures: a run without the suite must not look like one with it."""
    import sys

    print(
        f"\n*** {test}: the public TOML suite is not at {FOLDER}; only the bundled cases ran ***", file=sys.__stderr__
    )
