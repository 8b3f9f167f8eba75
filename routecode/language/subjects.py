"""How mistakes call a table: `column 1..8 of bay north`, `cable L101..108`, `the 3rd cord of setup drums`."""

from collections.abc import Mapping
from typing import Any

from routecode.ground.place import At

_NAMED_BY = {"port": "name", "switch": "name", "column": "at", "cable": "number", "change": "id"}


def subject(at: At, table: Mapping[str, Any]) -> str:
    """The words for the table that stands at `at`; `table` is the table as parsed."""
    path = at.path
    if len(path) == 1:
        return f"[{path[0]}]"
    if len(path) >= 4:
        return f"{_one_of(path[2], path[3], table)} of {_kind(path[0])} {path[1]}"
    if len(path) == 3 and isinstance(path[2], int):
        return f"{_one_of(path[1], path[2], table)} of [{path[0]}]"
    if len(path) == 2 and isinstance(path[1], int):
        return _one_of(path[0], path[1], table)
    return " ".join([_kind(path[0]), *map(str, path[1:])]) if path else "the studio"


def header(at: At) -> str:
    """The header line of the table at `at`, as it stands in TOML: `[[bay.north.column]]`."""
    names = ".".join(_bare(step) for step in at.path if isinstance(step, str))
    return f"[[{names}]]" if at.path and isinstance(at.path[-1], int) else f"[{names}]"


def quoted_id(text: str) -> str:
    """An id as it stands in a TOML header: bare where that is allowed."""
    return _bare(text)


def ordinal(number: int) -> str:
    """1st, 2nd, 3rd, 4th, 11th, 21st."""
    last = "th" if number % 100 in (11, 12, 13) else {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{last}"


def _one_of(kind: Any, index: Any, table: Mapping[str, Any]) -> str:
    name = table.get(_NAMED_BY.get(kind, ""))
    if isinstance(name, list) and name:
        name = name[0] if len(name) == 1 else f"{name[0]}, ..."
    if type(name) in (str, int) and 0 < len(str(name)) <= 60:
        return f"{_kind(kind)} {name}"
    return f"the {ordinal(index + 1)} {_kind(kind)}"


def _kind(name: Any) -> str:
    return {"set": "switch setting"}.get(str(name), str(name).replace("_", " "))


def _bare(text: str) -> str:
    plain = text.isascii() and text.replace("-", "").replace("_", "").isalnum()
    return text if plain else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
