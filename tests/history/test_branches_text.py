"""The joined text against the ordinary `git merge`, byte by byte: random edits, renames, deletions, attributes, settings, crosswise histories."""

import re
from pathlib import Path
from random import Random

import pytest

from routecode.files.git import merging
from routecode.files.git.conflicts import Conflict
from routecode.files.git.merging import Merged
from routecode.ground.finding import Mistake
from tests.files.shop import pin
from tests.history.joining import branched, commit, git, write

STUDIO = '[studio]\ntitle = "Weir"\nlanguage = 1\n'
_MARK = re.compile(rb"^(<{7,}|>{7,}|={7,})(?: [^\n]*)?$", re.MULTILINE)


@pytest.fixture(autouse=True)
def machine(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")


def lines(rng: Random, count: int) -> list[str]:
    return [f"k{rng.randrange(20)} = {rng.randrange(50)}" for _ in range(count)]


def edited(rng: Random, text: list[str]) -> list[str]:
    """One to four places of a text taken out, put in or replaced."""
    text = list(text)
    for _ in range(rng.choice((0, 1, 1, 2, 4))):
        at, length = rng.randrange(len(text) + 1), rng.choice((0, 1, 1, 2))
        text[at : at + length] = lines(rng, rng.choice((0, 1, 1, 2)))
    return text


def random_sides(seed: int) -> tuple[dict[str, str], dict[str, str], dict[str, str]]:
    """Base, ours and theirs: some files, edited, renamed, deleted and added."""
    rng = Random(seed)
    base = {name: lines(rng, rng.randrange(3, 30)) for name in ("bays/north.toml", "bays/south.toml", "cables.toml")}
    sides = []
    for side in ("a", "b"):
        files = {name: edited(rng, text) for name, text in base.items()}
        if rng.random() < 0.25:
            moved = rng.choice(sorted(files))
            files[rng.choice((f"moved-{side}.toml", "moved.toml"))] = files.pop(moved)
        if rng.random() < 0.2:
            del files[rng.choice(sorted(files))]
        if rng.random() < 0.3:
            files[rng.choice(("new.toml", f"new-{side}.toml"))] = lines(rng, 4)
        sides.append(files)
    whole = [base, *sides]
    one, two, three = (
        {"studio.toml": STUDIO, **{name: "".join(f"{line}\n" for line in text) for name, text in side.items()}}
        for side in whole
    )
    return one, two, three


def ours_of(root: Path, ours: str, theirs: str) -> Merged:
    found = merging.merged(root, ours, theirs, "")
    assert not isinstance(found, Mistake), found
    return found


def by_git(root: Path) -> dict[str, bytes]:
    """The wiring files that the ordinary git leaves, after `git merge other`."""
    git(root, "merge", "-q", "-m", "joined", "other", check=False)
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in root.rglob("*.toml")
        if ".git" not in path.parts
    }


def unmarked(text: bytes) -> bytes:
    """A text whose conflict marks carry no names: git gives branches, we give ids."""
    return _MARK.sub(rb"\1", text)


@pytest.mark.parametrize("seed", range(24))
def test_the_text_is_what_git_merge_leaves(tmp_path: Path, seed: int) -> None:
    root = tmp_path / "shop"
    _, ours, theirs = branched(root, *random_sides(seed))
    found = ours_of(root, ours, theirs)
    real = by_git(root)
    unmerged = {line.partition("\t")[2] for line in git(root, "ls-files", "--unmerged").split("\n") if line}
    assert {each.path for each in found.conflicts} == unmerged
    texts = {name: unmarked(text) for name, text in found.files.texts.items()}
    assert texts == {name.partition("~")[0]: unmarked(text) for name, text in real.items()}
    for conflict in found.conflicts:
        _check_lines(root, found, conflict, (ours, theirs))


def _check_lines(root: Path, found: Merged, conflict: Conflict, sides: tuple[str, str]) -> None:
    """Each place is where its mark stands, and the lines of each side are what stands between the marks."""
    text = found.files.texts.get(conflict.path, b"").decode().split("\n")
    assert sum(line.startswith("<<<<<<<") for line in text) == len(conflict.hunks)
    for hunk in conflict.hunks:
        assert text[hunk.line - 1].startswith("<<<<<<< ")
        middle = text.index("=======", hunk.line)
        stop = next(at for at in range(middle, len(text)) if text[at].startswith(">>>>>>> "))
        for chunk, (first, count), side in (
            (text[hunk.line : middle], hunk.ours, sides[0]),
            (text[middle + 1 : stop], hunk.theirs, sides[1]),
        ):
            assert count == len(chunk)
            listed = git(root, "ls-tree", "-r", "--name-only", side).split("\n")
            if conflict.path in listed:
                own = git(root, "show", f"{side}:{conflict.path}").split("\n")
                assert own[first - 1 : first - 1 + count] == chunk


def test_some_random_sides_join_and_some_do_not(tmp_path: Path) -> None:
    """The test above sees both."""
    torn = []
    for seed in range(24):
        _, ours, theirs = branched(tmp_path / str(seed), *random_sides(seed))
        torn.append(bool(ours_of(tmp_path / str(seed), ours, theirs).conflicts))
    assert sum(torn) > 5
    assert len(torn) - sum(torn) > 5


NUMBERED = "".join(f"k{number} = 1\n" for number in range(20))


def clashing() -> tuple[dict[str, str], dict[str, str], dict[str, str]]:
    base = {"studio.toml": STUDIO, "bays/north.toml": NUMBERED, "south.toml": NUMBERED}
    ours, theirs = ({name: text.replace("k5 = 1", f"k5 = {value}") for name, text in base.items()} for value in (2, 3))
    return base, ours, theirs


@pytest.mark.parametrize(
    ("attributes", "torn"),
    [
        ({}, {"bays/north.toml", "south.toml"}),
        ({".gitattributes": "*.toml merge=union\n"}, set()),
        ({"bays/.gitattributes": "north.toml merge=union\n"}, {"south.toml"}),
        ({".gitattributes": "south.toml merge=binary\n"}, {"bays/north.toml", "south.toml"}),
        ({".gitattributes": "*.toml -merge\nsouth.toml merge=union\n"}, {"bays/north.toml"}),
        ({".gitattributes": "*.toml conflict-marker-size=12\n"}, {"bays/north.toml", "south.toml"}),
    ],
)
def test_attributes_count_as_for_git(tmp_path: Path, attributes: dict[str, str], torn: set[str]) -> None:
    root = tmp_path / "shop"
    base, one, other = ({**texts, **attributes} for texts in clashing())
    _, ours, theirs = branched(root, base, one, other)
    found = ours_of(root, ours, theirs)
    assert {each.path for each in found.conflicts} == torn
    assert {name: unmarked(text) for name, text in found.files.texts.items()} == {
        name: unmarked(text) for name, text in by_git(root).items()
    }


def test_attributes_of_this_copy_alone_count(tmp_path: Path) -> None:
    root = tmp_path / "shop"
    _, ours, theirs = branched(root, *clashing())
    (root / ".git" / "info").mkdir(exist_ok=True)
    (root / ".git" / "info" / "attributes").write_text("south.toml merge=union\n", encoding="utf-8")
    assert [each.path for each in ours_of(root, ours, theirs).conflicts] == ["bays/north.toml"]


@pytest.mark.parametrize(("value", "added"), [("true", "west/new.toml"), ("false", "bays/new.toml")])
def test_a_setting_by_which_git_follows_folders_counts(tmp_path: Path, value: str, added: str) -> None:
    root = tmp_path / "shop"
    base = {"studio.toml": STUDIO, "bays/north.toml": NUMBERED}
    moved, more = {"studio.toml": STUDIO, "west/north.toml": NUMBERED}, {**base, "bays/new.toml": "a = 1\n"}
    _, ours, theirs = branched(root, base, moved, more)
    (torn,) = ours_of(root, ours, theirs).conflicts
    assert (torn.path, torn.hunks) == ("west/new.toml", ())
    git(root, "config", "merge.directoryRenames", value)
    found = ours_of(root, ours, theirs)
    assert found.conflicts == ()
    assert set(found.files.texts) == {"studio.toml", "west/north.toml", added}
    assert found.files.texts == by_git(root)


def test_branches_that_were_joined_crosswise(tmp_path: Path) -> None:
    """The text is still git's; the commits at which they parted are two, and they join."""
    root = tmp_path / "shop"
    base = {"studio.toml": STUDIO, "north.toml": NUMBERED}
    branched(root, base, {**base, "a.toml": "a = 1\n"}, {**base, "b.toml": "b = 1\n"})
    git(root, "branch", "old-main")
    git(root, "merge", "-q", "-m", "one way", "other")
    git(root, "switch", "-q", "other")
    git(root, "merge", "-q", "-m", "other way", "old-main")
    theirs = commit(root, {**base, "a.toml": "a = 1\n", "b.toml": "b = 2\n"}, "later there")
    git(root, "switch", "-q", "main")
    ours = commit(root, {**base, "a.toml": "a = 2\n", "b.toml": "b = 1\n"}, "later here")
    parted = merging.bases(root, ours, theirs)
    assert len(parted) == 2
    both = merging.joined_bases(root, parted, "")
    assert both is not None
    assert set(both.texts) == {"a.toml", "b.toml", "north.toml", "studio.toml"}
    found = ours_of(root, ours, theirs)
    assert found.conflicts == ()
    assert found.files.texts == by_git(root)


def test_a_repository_with_long_ids(tmp_path: Path) -> None:
    root = tmp_path / "shop"
    root.mkdir()
    git(root, "init", "-q", "-b", "main", "--object-format=sha256")
    texts = random_sides(3)
    commit(root, texts[0], "as it was")
    git(root, "switch", "-qc", "other")
    theirs = commit(root, texts[2], "there")
    git(root, "switch", "-q", "main")
    ours = commit(root, texts[1], "here")
    assert len(ours) == 64
    found = ours_of(root, ours, theirs)
    assert {name: unmarked(text) for name, text in found.files.texts.items()} == {
        name: unmarked(text) for name, text in by_git(root).items()
    }


def test_a_studio_below_the_top_and_a_name_in_another_script(tmp_path: Path) -> None:
    root = tmp_path / 'höf "a" \\b'
    base, one, other = ({f"stüdio/{name}": text for name, text in texts.items()} for texts in clashing())
    _, ours, theirs = branched(root, base, one, other)
    found = merging.merged(root, ours, theirs, "stüdio")
    assert isinstance(found, Merged)
    assert [each.path for each in found.conflicts] == ["stüdio/bays/north.toml", "stüdio/south.toml"]
    assert [hunk.line for each in found.conflicts for hunk in each.hunks] == [6, 6]
    assert set(found.files.texts) == {"bays/north.toml", "south.toml", "studio.toml"}


def test_a_second_work_tree_joins_as_the_first(tmp_path: Path) -> None:
    root = tmp_path / "shop"
    _, ours, theirs = branched(root, *random_sides(1))
    second = tmp_path / "second"
    git(root, "worktree", "add", "-q", "--detach", str(second))
    assert ours_of(second, ours, theirs) == ours_of(root, ours, theirs)


def test_a_file_that_one_side_deletes_is_told_as_such(tmp_path: Path) -> None:
    root = tmp_path / "shop"
    base, one, _ = clashing()
    less = {name: text for name, text in base.items() if name != "south.toml"}
    _, ours, theirs = branched(root, base, one, less)
    (torn,) = ours_of(root, ours, theirs).conflicts
    assert (torn.path, torn.kind, torn.hunks) == ("south.toml", "modify/delete", ())


def test_marks_that_stand_in_a_text_are_no_places(tmp_path: Path) -> None:
    """A text that was recorded with conflict marks in it."""
    root = tmp_path / "shop"
    marked = "<<<<<<< HEAD\nk = 1\n=======\nk = 2\n>>>>>>> other\n"
    base, one, other = ({**texts, "south.toml": marked + texts["south.toml"]} for texts in clashing())
    _, ours, theirs = branched(root, base, one, other)
    torn = {each.path: [hunk.line for hunk in each.hunks] for each in ours_of(root, ours, theirs).conflicts}
    assert torn == {"bays/north.toml": [6], "south.toml": [11]}


def test_the_repository_stays_as_it_is(tmp_path: Path) -> None:
    root = tmp_path / "shop"
    _, ours, theirs = branched(root, *random_sides(5))
    write(root, {"studio.toml": "half written"})
    before = {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}
    ours_of(root, ours, theirs)
    merging.bases(root, ours, theirs)
    assert {path: path.read_bytes() for path in root.rglob("*") if path.is_file()} == before
