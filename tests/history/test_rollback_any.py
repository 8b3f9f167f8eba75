"""Random chains of rough edits: a return to any point gives that point's answer; a return of any part gives that part and leaves the rest.

Whole returns are made by the command in real repositories. Parts are checked against a reading of the texts of its own (`united`).
"""

import json
from collections import Counter
from pathlib import Path
from random import Random
from typing import Any

import pytest

from routecode.files.tree import Files
from routecode.history.back import Back, Wanted, back
from routecode.studio.opened import Opened
from tests.change.any_edit import any_edit
from tests.cli.asking import ask, forget, git
from tests.files.shop import pin
from tests.reference.compiler import circuit_of
from tests.reference.studios import random_studio, scattered
from tests.reference.written import united
from tests.seeds import some

Texts = dict[str, str]


def chain(seed: int, length: int) -> list[Texts]:
    """States of one studio, each some rough edits after the one before, laid out anew now and then; all compile."""
    rng = Random(seed)
    texts = random_studio(seed)
    whole, found = united(texts), [texts]
    for _ in range(200):
        edited = any_edit(whole, rng)
        texts = scattered(Random(rng.choice((seed, rng.random()))), edited)
        if circuit_of(texts)[0] is not None and texts != found[-1]:
            whole = edited
            found.append(texts)
        if len(found) == length:
            break
    return found


def lay(folder: Path, texts: Texts) -> None:
    for path in folder.rglob("*.toml"):
        path.unlink()
    for name, text in texts.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text.encode())


def asked(*words: str) -> Any:
    forget()
    ran = ask(*words, "--json")
    assert ran.status in (0, 1), ran.out
    return json.loads(ran.out)


def answers(mill: Path, revision: str | None) -> list[Any]:
    """What `paths` says of a revision, unpatched and in every setup; without the name of the revision, and places."""
    at = ["--at", revision] if revision else []
    forget()
    known = json.loads(ask("diff", revision or "last", "--in", str(mill), "--json").out)["states"]
    found = []
    for state in known:
        setup = ["--setup", state["setup"]] if state["setup"] is not None and state["presence"] != "added" else []
        told = asked("paths", *at, *setup, "--in", str(mill))
        del told["revision"]
        found.append(told)
    return found


@pytest.mark.parametrize("seed", some(range(8), 4))
def test_a_return_to_any_point_gives_exactly_its_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, seed: int
) -> None:
    pin(monkeypatch, tmp_path / "home")
    mill, rng = tmp_path / "mill", Random(seed)
    mill.mkdir()
    git(mill, "init", "-q")
    ids = []
    for texts in chain(seed, 5):
        lay(mill, texts)
        forget()
        ran = ask("record", "--in", str(mill), "x")
        assert ran.status == 0, ran.err
        ids.append(git(mill, "rev-parse", "HEAD"))
    known = {each: answers(mill, each) for each in ids}
    for _ in range(3):
        to, before = rng.choice(ids), git(mill, "rev-list", "HEAD")
        forget()
        ran = ask("rollback", to, "--write", "--in", str(mill))
        assert ran.status == 0, ran.err
        assert answers(mill, None) == known[to]
        assert asked("diff", f"{to}..last", "--in", str(mill))["result"] == "identical"
        assert asked("diff", to, "--in", str(mill))["result"] == "identical"
        assert git(mill, "rev-list", "HEAD").endswith(before)
        assert git(mill, "status", "--porcelain") == ""
    assert git(mill, "fsck", "--full", "--strict") == ""


# -- parts -------------------------------------------------------------------------------------------------------------------


def opened(texts: Texts, name: str) -> Opened:
    return Opened(Files("x", {each: text.encode() for each, text in sorted(texts.items())}, ()), name)


def named(value: Any, each: str) -> bool:
    if isinstance(value, str):
        return value.startswith(f"{each}/")
    below = value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()
    return any(named(part, each) for part in below)


def wiring(whole: Any, kind: str, each: str, *, mine: bool) -> dict[str, Counter[str]]:
    """The tables without an id that belong to a thing, or those that do not."""
    lists = {"bay": ("cable", "normal"), "unit": ("cable", "route"), "setup": ()}[kind]
    found = {}
    for name in ("cable", "normal", "route", "accept"):
        tables = whole.get(name, [])
        found[name] = Counter(plain(table) for table in tables if (name in lists and named(table, each)) is mine)
    return found


def plain(value: Any) -> str:
    """A value as text, whatever the order of keys and of tables in arrays."""
    if isinstance(value, dict):
        return "{" + ",".join(sorted(f"{key}={plain(below)}" for key, below in value.items())) + "}"
    if isinstance(value, list):
        texts = [plain(part) for part in value]
        return "[" + ",".join(sorted(texts) if value and isinstance(value[0], dict) else texts) + "]"
    return repr(value)


def keyed(whole: Any) -> dict[tuple[str, str], str]:
    return {
        (kind, each): plain(table)
        for kind, tables in whole.items()
        if isinstance(tables, dict) and kind != "studio"
        for each, table in tables.items()
    }


def test_a_return_of_any_part_gives_that_part_and_leaves_the_rest() -> None:
    outcomes: Counter[str] = Counter()
    for seed in some(range(80), 40):
        rng = Random(seed)
        states = chain(seed, rng.randint(2, 7))
        then, now = states[0], states[-1]
        old, new = united(then), united(now)
        differing = [
            (kind, each)
            for kind in ("bay", "unit", "setup")
            for each in sorted({*old.get(kind, {}), *new.get(kind, {})})
            if plain(old.get(kind, {}).get(each)) != plain(new.get(kind, {}).get(each))
            or wiring(old, kind, each, mine=True) != wiring(new, kind, each, mine=True)
        ]
        if not differing:
            continue
        kind, each = rng.choice(differing)
        wanted = Wanted(**{f"{kind}s": (each,)})
        was = opened(now, "now")
        found = back(was, opened(then, "then"), wanted)
        if not isinstance(found, Back):
            outcomes[found[0].id] += 1
            assert all(mistake.text and mistake.do for mistake in found), (seed, found)
            continue
        texts = {name: text.decode() for name, text in found.after.files.texts.items()}
        result = united(texts)
        assert circuit_of(texts)[0] is not None
        assert result.get(kind, {}).get(each) is None or plain(result[kind][each]) == plain(old[kind][each])
        assert (each in result.get(kind, {})) == (each in old.get(kind, {}))
        others = keyed(new)
        others.pop((kind, each), None)
        assert {key: value for key, value in keyed(result).items() if key != (kind, each)} == others
        assert wiring(result, kind, each, mine=True) == wiring(old, kind, each, mine=True)
        assert wiring(result, kind, each, mine=False) == wiring(new, kind, each, mine=False)
        outcomes["same" if not found.changed(was) else "back"] += 1
    assert outcomes["back"] >= 15, outcomes
    assert outcomes.total() - outcomes["back"] - outcomes["same"] >= 3, outcomes
    assert "not-spliced" not in outcomes, outcomes
