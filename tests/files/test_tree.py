"""Which files belong to a studio: real folders, real links."""

import os
from pathlib import Path

import pytest

from routecode.files import tree
from routecode.files.tree import conflict_copies, find_root, read_worktree, select
from routecode.ground.finding import Mistake


def put(root: Path, *names: str, text: str = "a = 1\n") -> None:
    for name in names:
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")


def studio(root: Path, skip: str = "") -> Path:
    put(root, "studio.toml", text=f"[studio]\n{skip}\n")
    return root


def names(root: Path) -> list[str]:
    return list(read_worktree(root).texts)


def ids(root: Path) -> list[tuple[str, str]]:
    return [(mistake.id, mistake.place.file if mistake.place else "") for mistake in read_worktree(root).mistakes]


def test_the_root_is_the_nearest_folder_upward(tmp_path: Path) -> None:
    outer = studio(tmp_path)
    inner = studio(tmp_path / "b" / "inner")
    (inner / "c" / "d").mkdir(parents=True)
    assert find_root(inner / "c" / "d") == inner.resolve()
    assert find_root(tmp_path / "b") == outer.resolve()
    assert find_root(outer) == outer.resolve()


def test_no_studio_above_is_told(tmp_path: Path) -> None:
    found = find_root(tmp_path)
    assert isinstance(found, Mistake)
    assert found.id == "no-studio"
    assert "routecode new" in found.do


def test_every_toml_file_below_belongs_in_order(tmp_path: Path) -> None:
    root = studio(tmp_path)
    put(root, "b.toml", "a/z.toml", "a/b/c.toml", "note.txt", "A.toml")
    assert names(root) == ["A.toml", "a/b/c.toml", "a/z.toml", "b.toml", "studio.toml"]
    assert read_worktree(root).texts["b.toml"] == b"a = 1\n"
    assert ids(root) == []


def test_hidden_files_and_other_studios_are_left_out(tmp_path: Path) -> None:
    root = studio(tmp_path)
    put(
        root,
        ".h.toml",
        ".git/x.toml",
        "a/.venv/x.toml",
        "other/studio.toml",
        "other/x.toml",
        "other/y/z.toml",
        "others.toml",
    )
    assert names(root) == ["others.toml", "studio.toml"]


@pytest.mark.parametrize(
    ("skip", "left"),
    [
        ('skip = ["old"]', ["a/old/x.toml", "a/x1.toml", "older.toml"]),
        ('skip = ["old/"]', ["a/old/x.toml", "a/x1.toml", "older.toml"]),
        ('skip = ["**/old"]', ["a/x1.toml", "older.toml"]),
        ('skip = ["**/x*.toml"]', ["older.toml"]),
        ('skip = ["a/*.toml"]', ["a/old/x.toml", "old/x.toml", "older.toml"]),
        ('skip = ["*"]', []),
        ('skip = ["a/**"]', ["old/x.toml", "older.toml"]),
        ('skip = ["*/x[0-9].toml"]', ["a/old/x.toml", "old/x.toml", "older.toml"]),
        ('skip = "old"', ["a/old/x.toml", "a/x1.toml", "older.toml"]),
        ("skip = [1, true]", ["a/old/x.toml", "a/x1.toml", "old/x.toml", "older.toml"]),
        ("skip = {", ["a/old/x.toml", "a/x1.toml", "old/x.toml", "older.toml"]),
    ],
)
def test_skip_leaves_out_but_never_the_studio_itself(tmp_path: Path, skip: str, left: list[str]) -> None:
    root = studio(tmp_path, skip)
    put(root, "old/x.toml", "older.toml", "a/old/x.toml", "a/x1.toml")
    assert names(root) == sorted([*left, "studio.toml"])


def test_select_is_the_same_rule_for_names_of_a_revision() -> None:
    given = ["studio.toml", "x.toml", "b/studio.toml", "b/x.toml", ".h/x.toml", "old/x.toml", "x.txt", "new\nline.toml"]
    assert select(given, ["old"]) == ["new\nline.toml", "studio.toml", "x.toml"]


def test_a_skip_made_to_be_slow_is_not(tmp_path: Path) -> None:
    name = "a" * 200 + ".toml"
    assert select(["studio.toml", name], ["*a" * 40 + "b"]) == [name, "studio.toml"]
    deep = "/".join(["a"] * 200) + ".toml"
    assert select(["studio.toml", deep], ["**/a/" * 40 + "b"]) == [deep, "studio.toml"]


def test_links_inside_are_followed_once(tmp_path: Path) -> None:
    root = studio(tmp_path)
    put(root, "a/x.toml", ".parts/p.toml")
    (root / "again.toml").symlink_to("a/x.toml")
    (root / "b").symlink_to("a")
    (root / "a" / "up").symlink_to("..")
    (root / "parts").symlink_to(".parts")
    (root / "parts2").symlink_to(".parts")
    assert names(root) == ["a/x.toml", "parts/p.toml", "studio.toml"]
    assert ids(root) == []


def test_links_outside_are_refused_unless_skipped(tmp_path: Path) -> None:
    put(tmp_path, "outside/x.toml")
    root = studio(tmp_path / "in")
    (root / "x.toml").symlink_to(tmp_path / "outside" / "x.toml")
    (root / "folder").symlink_to("../outside")
    (root / "readme.md").symlink_to("/etc/hostname")
    assert names(root) == ["studio.toml"]
    assert ids(root) == [("link-outside", "folder"), ("link-outside", "x.toml")]
    studio(root, 'skip = ["folder", "x.toml"]')
    assert ids(root) == []


def test_links_to_nothing_and_to_themselves_are_told(tmp_path: Path) -> None:
    root = studio(tmp_path)
    (root / "gone.toml").symlink_to("nowhere.toml")
    (root / "loop.toml").symlink_to("loop.toml")
    assert ids(root) == [("file-unreadable", "gone.toml"), ("file-unreadable", "loop.toml")]


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    if not hasattr(os, "mkfifo"):  # only POSIX has pipes with a name
        return
    root = studio(tmp_path)
    os.mkfifo(root / "pipe.toml")
    assert ids(root) == [("file-unreadable", "pipe.toml")]


def test_a_name_that_is_not_utf8_is_told(tmp_path: Path) -> None:
    root = studio(tmp_path)
    try:
        (root / os.fsdecode(b"caf\xe9.toml")).write_bytes(b"")
    except OSError:  # a file system that has only UTF-8 names cannot have the fault
        return
    (mistake,) = read_worktree(root).mistakes
    assert mistake.id == "name-not-utf8"
    assert "caf\\xe9.toml" in mistake.text


def test_a_repository_inside_is_told(tmp_path: Path) -> None:
    root = studio(tmp_path)
    put(root, "sub/.git", "sub/x.toml")
    assert names(root) == ["studio.toml"]
    assert ids(root) == [("repository-inside", "sub")]


def test_a_studio_toml_that_is_missing_or_written_large_is_told(tmp_path: Path) -> None:
    put(tmp_path, "x.toml")
    assert ids(tmp_path) == [("no-studio", "")]
    put(tmp_path, "Studio.toml")
    if not (tmp_path / "studio.toml").exists():
        assert ids(tmp_path) == [("no-studio", "Studio.toml")]


def test_limits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    root = studio(tmp_path)
    put(root, *(f"{number}.toml" for number in range(5)))
    assert (tree.MAX_FILES, tree.MAX_BYTES) == (20_000, 64 * 1024 * 1024)
    monkeypatch.setattr(tree, "MAX_FILES", 5)
    assert (names(root), ids(root)) == ([], [("too-many-files", "")])
    monkeypatch.setattr(tree, "MAX_FILES", 6)
    monkeypatch.setattr(tree, "MAX_BYTES", 20)
    assert (names(root), ids(root)) == ([], [("studio-too-large", "")])


@pytest.mark.parametrize(
    ("name", "is_copy"),
    [
        ("bays/north (conflicted copy 2026-03-01).toml", True),
        ("north (Ann's conflicted copy 2026-03-01).toml", True),
        ("north (1 conflict).toml", True),
        ("north.sync-conflict-20260301-101010-ABCDEFG.toml", True),
        ("north-conflict-20260301.toml", True),
        ("conflicts.toml", False),
        ("bays/conflict.toml", False),
        ("north (copy).toml", False),
    ],
)
def test_copies_of_a_synchronised_folder_are_recognised(name: str, is_copy: bool) -> None:
    """The patterns are common practice, no source: (... conflict...) and sync-conflict-DATE in the file's name."""
    assert [mistake.id for mistake in conflict_copies([name])] == ["conflict-copy"] * is_copy
