"""The reference against answers written by hand: each row of the table of columns, with and without plugs.

The table is that of the meaning page (routecode/pages/meaning.md, "Joints"); that half and full normals break so is
common practice, no source.
"""

import pytest

from .flood import answers

HEAD = """
[studio]
title = "Columns"
language = 1

[unit.a]
port = [{ name = "out", direction = "out", signal = "line" }]
[unit.b]
port = [{ name = "in", direction = "in", signal = "line" }]
[unit.c]
port = [{ name = "out", direction = "out", signal = "line" }, { name = "in", direction = "in", signal = "line" }]
"""

BROKEN_BY = {
    ("switched", "none"): None,
    ("switched", "half"): {"other"},
    ("switched", "full"): {"source", "other"},
    ("switched", "parallel"): set(),
    ("plugs", "other"): {"other"},
    ("plugs", "source"): None,
    ("plugs", "none"): None,
}
"""Which jacks break the normal when a plug is in them; None: there is no normal."""


def studio(kind: str, setting: str, sources: str, cord: str = "") -> dict[str, str]:
    """One column between `a/out` and `b/in`; `source` and `other` in the setting are its rows."""
    source, other = ("top", "bottom") if sources == "top" else ("bottom", "top")
    rows = {"source": source, "other": other}
    text = f"""{HEAD}
[bay.x]
columns = 1
normalling = "{kind}"
sources = "{sources}"
[[bay.x.column]]
at = 1
{source} = "a/out"
{other} = "b/in"
{"normal" if kind == "switched" else "plug"} = "{rows.get(setting, setting)}"
"""
    if cord:
        port = "c/in" if cord == "source" else "c/out"
        text += f'[[setup.s.cord]]\nfrom = "{port}"\nto = "x/{rows[cord]} 1"\n'
    return {"studio.toml": text}


def fed(files: dict[str, str], setup: str | None) -> set[tuple[str, str]]:
    return {(feed[0], feed[1]) for feed in answers(files)[setup].feeds}


@pytest.mark.parametrize("sources", ["top", "bottom"])
@pytest.mark.parametrize(("kind", "setting"), BROKEN_BY)
def test_normal_without_plugs(kind: str, setting: str, sources: str) -> None:
    expected = set() if BROKEN_BY[kind, setting] is None else {("a/out", "b/in")}
    assert fed(studio(kind, setting, sources), None) == expected


@pytest.mark.parametrize("sources", ["top", "bottom"])
@pytest.mark.parametrize(("kind", "setting"), BROKEN_BY)
def test_cord_in_the_source_row_takes_the_source_along(kind: str, setting: str, sources: str) -> None:
    broken_by = BROKEN_BY[kind, setting]
    kept = broken_by is not None and "source" not in broken_by
    expected = {("a/out", "c/in"), *([("a/out", "b/in")] if kept else [])}
    assert fed(studio(kind, setting, sources, "source"), "s") == expected


@pytest.mark.parametrize("sources", ["top", "bottom"])
@pytest.mark.parametrize(("kind", "setting"), BROKEN_BY)
def test_cord_in_the_other_row_replaces_the_source(kind: str, setting: str, sources: str) -> None:
    broken_by = BROKEN_BY[kind, setting]
    tied = broken_by is not None and "other" not in broken_by
    expected = {("c/out", "b/in"), *([("a/out", "b/in")] if tied else [])}
    assert fed(studio(kind, setting, sources, "other"), "s") == expected


@pytest.mark.parametrize(
    ("setting", "row", "expected"),
    [
        ("half", "bottom", set()),
        ("half", "top", {("a/out", "b/in")}),
        ("full", "top", set()),
        ("parallel", "top", {("a/out", "b/in")}),
    ],
)
def test_dummy_plug_is_a_plug(setting: str, row: str, expected: set[tuple[str, str]]) -> None:
    files = studio("switched", setting, "top")
    files["studio.toml"] += f'[[setup.s.plug]]\nat = "x/{row} 1"\nset = "broken"\n'
    assert fed(files, "s") == expected


@pytest.mark.parametrize(("to", "joined"), [("bottom", True), ("top", False), ("out", False)])
@pytest.mark.parametrize("row", ["top", "bottom"])
def test_link_plug_moved_in_a_setup(to: str, joined: bool, row: str) -> None:
    files = studio("plugs", "none", "top")
    files["studio.toml"] += f'[[setup.s.plug]]\nat = "x/{row} 1"\nset = "{to}"\n'
    assert fed(files, "s") == ({("a/out", "b/in")} if joined else set())


def test_jacks_of_a_normal_and_of_a_cord() -> None:
    normal = answers(studio("switched", "half", "top"))[None]
    assert normal.feeds == {("a/out", "b/in", ("x/top 1", "x/bottom 1"), "kept", False)}
    assert normal.points == {("x/top 1", ("a/out",)), ("x/bottom 1", ("b/in",))}
    listening = answers(studio("switched", "half", "top", "source"))["s"]
    assert ("a/out", "c/in", ("x/top 1",), "kept", False) in listening.feeds
