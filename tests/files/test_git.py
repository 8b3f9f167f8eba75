"""Revisions read, told and recorded, with real repositories; git itself is the reference."""

import os
from pathlib import Path

import pytest

from routecode.files.git import Commit, Repository, open_repository, process
from routecode.ground.finding import Mistake
from tests.files.shop import at, git, pin, put


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty repository on the branch main."""
    pin(monkeypatch, tmp_path / "home")
    root = tmp_path / "shop"
    root.mkdir()
    git(root, "init", "-q")
    return root


def opened(folder: Path) -> Repository:
    found = open_repository(folder)
    assert isinstance(found, Repository), found
    return found


def done(found: Commit | Mistake | None) -> Commit:
    assert isinstance(found, Commit), found
    return found


def fault(found: object) -> str:
    assert isinstance(found, Mistake), found
    return found.id


def commit(root: Path, name: str, text: str, message: str) -> str:
    put(root, name, text)
    git(root, "add", "-A")
    git(root, "commit", "-qm", message)
    return git(root, "rev-parse", "HEAD")


@pytest.fixture
def three(shop: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, list[str]]:
    """Three commits of wiring, at noon, at 13:00 and on the next day at noon; a fourth of something else."""
    ids = [commit(shop, "studio.toml", "[studio]\n", "The studio as it is\n\nMeasured twice.")]
    at(monkeypatch, 1)
    ids.append(commit(shop, "bays/north.toml", "a = 1\n", "North bay"))
    at(monkeypatch, 24)
    ids.append(commit(shop, "bays/north.toml", "a = 2\n", "North bay: longer"))
    at(monkeypatch, 25)
    ids.append(commit(shop, "notes.txt", "x\n", "Notes"))
    return shop, ids


# opening


def test_a_folder_of_a_repository_is_opened_with_its_studio(shop: Path) -> None:
    (shop / "rooms" / "mill").mkdir(parents=True)
    assert opened(shop).studio == ""
    assert opened(shop / "rooms" / "mill").studio == "rooms/mill"
    assert opened(shop / "rooms" / "mill").top == shop.resolve()


def test_what_cannot_be_opened_is_told(shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert fault(open_repository(tmp_path)) == "no-repository"
    assert fault(open_repository(tmp_path / "nowhere")) == "folder-unreadable"
    git(tmp_path, "init", "-q", "--bare", "bare.git")
    assert fault(open_repository(tmp_path / "bare.git")) == "bare-repository"
    assert fault(open_repository(shop / ".git")) == "bare-repository"
    (shop / ".git" / "config").write_text("[core\n")
    assert fault(open_repository(shop)) == "git-failed"
    monkeypatch.setattr(process, "_layer", lambda: None)
    assert fault(open_repository(shop)) == "no-git"


def test_a_repository_of_another_owner_is_explained_and_never_excepted(
    shop: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """GIT_TEST_ASSUME_DIFFERENT_OWNER is git's own switch for this (git/setup.c)."""
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    monkeypatch.setattr(process, "KEPT", (*process.KEPT, "GIT_TEST_ASSUME_DIFFERENT_OWNER"))
    before = (tmp_path / "home" / "gitconfig").read_bytes()
    mistake = open_repository(shop)
    assert fault(mistake) == "other-owner"
    assert isinstance(mistake, Mistake)
    assert "safe.directory" not in mistake.do
    assert (tmp_path / "home" / "gitconfig").read_bytes() == before


def test_variables_that_point_elsewhere_are_not_followed(
    three: tuple[Path, list[str]], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As they are set while a hook runs."""
    shop, ids = three
    git(tmp_path, "init", "-q", "elsewhere")
    monkeypatch.setenv("GIT_DIR", str(tmp_path / "elsewhere" / ".git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(tmp_path / "elsewhere" / "index"))
    monkeypatch.setenv("GIT_WORK_TREE", str(tmp_path / "elsewhere"))
    assert done(opened(shop).head()).id == ids[3]


# resolving


def test_names_of_every_kind(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    git(shop, "tag", "before-drums", ids[0])
    git(shop, "tag", "-a", "-m", "told", "signed-off", ids[1])
    git(shop, "branch", "try/out", ids[1])
    repository = opened(shop)
    expected = {
        "last": ids[3],
        "HEAD": ids[3],
        "HEAD~2": ids[1],
        "main": ids[3],
        "before-drums": ids[0],
        "signed-off": ids[1],
        "try/out": ids[1],
        "refs/heads/try/out": ids[1],
        ids[1]: ids[1],
        ids[1][:9]: ids[1],
        "HEAD^{/North}": ids[2],
        "1": ids[2],
        "2": ids[1],
        "3": ids[0],
        "2026-03-01": ids[1],
        "2026-03-01 12:00": ids[0],
        "2026-03-01 12:59": ids[0],
        "2026-03-01T13:00": ids[1],
        "2026-03-01 12:59:59": ids[0],
        "2026-03-02": ids[3],
        "2030-01-01": ids[3],
        "  last ": ids[3],
    }
    assert {text: done(repository.resolve(text)).id for text in expected} == expected


def test_a_commit_is_told_with_title_author_and_date(
    three: tuple[Path, list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, ids = three
    first = done(opened(shop).resolve("3"))
    assert first == Commit(
        ids[0], "The studio as it is", "Ann Weaver", "2026-03-01T12:00:00+00:00", (), "Measured twice."
    )
    at(monkeypatch, 30, "-0330")
    last = commit(shop, "x.toml", "", "two\nlines\n\nbody\n\nmore")
    found = done(opened(shop).resolve(last))
    assert (found.title, found.body, found.parents) == ("two lines", "body\n\nmore", (ids[3],))
    assert found.when == "2026-03-02T14:30:00-03:30"


def test_a_date_is_a_day_of_this_machine(three: tuple[Path, list[str]], monkeypatch: pytest.MonkeyPatch) -> None:
    """At 13 hours east of Greenwich, noon of 1 March in Greenwich is 2 March already."""
    import time

    shop, ids = three
    monkeypatch.setenv("TZ", "XYZ-13")
    time.tzset()
    try:
        assert fault(opened(shop).resolve("2026-03-01")) == "revision-date"
        assert done(opened(shop).resolve("2026-03-02")).id == ids[1]
    finally:
        monkeypatch.setenv("TZ", "UTC")
        time.tzset()


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("", "revision-empty"),
        ("  ", "revision-empty"),
        ("-h", "revision-dash"),
        ("--upload-pack=touch x", "revision-dash"),
        ("a\nb", "revision-unreadable"),
        ("a\0b", "revision-unreadable"),
        ("a\x1b[2J", "revision-unreadable"),
        ("\udce9", "revision-unreadable"),
        ("x" * 501, "revision-unreadable"),
        ("main..HEAD", "revision-range"),
        ("0", "revision-number"),
        ("4", "revision-number"),
        ("999999", "revision-number"),
        ("2026-02-30", "revision-date"),
        ("2026-03-01 25:00", "revision-date"),
        ("2020-01-01", "revision-date"),
        ("no-such", "revision-unknown"),
        ("HEAD:notes.txt", "revision-unknown"),
        ("HEAD^{tree}", "revision-unknown"),
        ("0" * 40, "revision-unknown"),
        ("$(touch x)", "revision-unknown"),
    ],
)
def test_what_names_no_commit_is_told(three: tuple[Path, list[str]], text: str, kind: str) -> None:
    assert fault(opened(three[0]).resolve(text)) == kind


def test_a_name_nearly_right_is_suggested(three: tuple[Path, list[str]]) -> None:
    shop, _ = three
    git(shop, "tag", "before-drums")
    mistake = opened(shop).resolve("befor-drums")
    assert isinstance(mistake, Mistake)
    assert mistake.do == "Did you mean before-drums?"


def test_a_name_of_two_things_is_ambiguous(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    git(shop, "branch", "drums", ids[0])
    git(shop, "tag", "drums", ids[1])
    repository = opened(shop)
    assert fault(repository.resolve("drums")) == "revision-ambiguous"
    assert done(repository.resolve("heads/drums")).id == ids[0]
    assert done(repository.resolve("tags/drums")).id == ids[1]


def test_the_beginning_of_two_ids_is_ambiguous(shop: Path) -> None:
    """Commits made by hand until two of them begin alike."""
    tree = git(shop, "mktree")
    seen: dict[str, str] = {}
    for number in range(3000):
        body = f"tree {tree}\nauthor A <a@b> {number} +0000\ncommitter A <a@b> {number} +0000\n\nx\n".encode()
        commit_id = process_id(body)
        if commit_id[:4] in seen and not commit_id[:4].isdecimal():
            break
        seen[commit_id[:4]] = body.decode()
    for text in (body.decode(), seen[commit_id[:4]]):
        git(shop, "hash-object", "-t", "commit", "-w", "--stdin", given=text.encode())
    git(shop, "update-ref", "refs/heads/main", commit_id)
    mistake = opened(shop).resolve(commit_id[:4])
    assert fault(mistake) == "revision-ambiguous"
    assert isinstance(mistake, Mistake)
    assert commit_id[:12] in mistake.text


def process_id(body: bytes) -> str:
    from hashlib import sha1

    return sha1(b"commit %d\0" % len(body) + body, usedforsecurity=False).hexdigest()


def test_before_the_first_commit_everything_says_so(shop: Path) -> None:
    repository = opened(shop)
    assert repository.head() is None
    assert list(repository.log("")) == []
    for text in ("last", "1", "2026-03-01", "main", "x"):
        assert fault(repository.resolve(text)) == "nothing-recorded"


def test_a_shallow_copy_says_that_it_is_one(three: tuple[Path, list[str]], tmp_path: Path) -> None:
    shop, ids = three
    git(tmp_path, "clone", "-q", "--depth=2", f"file://{shop}", "copy")
    repository = opened(tmp_path / "copy")
    assert repository.is_shallow
    assert done(repository.resolve("last")).id == ids[3]
    for text in ("5", ids[0]):
        mistake = repository.resolve(text)
        assert isinstance(mistake, Mistake)
        assert "shallow" in mistake.why


def test_replaced_objects_and_odd_commits_do_not_mislead(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    git(shop, "replace", ids[2], ids[0])
    assert done(opened(shop).resolve(ids[2])).title == "North bay: longer"
    tree = git(shop, "rev-parse", "HEAD^{tree}")
    body = f"tree {tree}\nauthor <> 99999999999999999 +9999\ncommitter\nencoding no-such\n\n\xe9"
    odd = git(shop, "hash-object", "-t", "commit", "-w", "--literally", "--stdin", given=body.encode("latin-1"))
    git(shop, "update-ref", "refs/heads/odd", odd)
    found = opened(shop).resolve("odd")
    assert isinstance(found, Commit | Mistake)
    if isinstance(found, Commit):
        assert (found.author, found.when, found.title) == ("", "", "\ufffd")


# reading


def test_a_revision_reads_as_the_work_tree_did(three: tuple[Path, list[str]]) -> None:
    from routecode.files.tree import read_worktree

    shop, _ = three
    put(shop, "studio.toml", '[studio]\nskip = ["old"]\n')
    for name in (
        "old/x.toml",
        ".h/x.toml",
        "other/studio.toml",
        "other/x.toml",
        "é/ñ 1.toml",
        "new\nline.toml",
        "a/b.toml",
    ):
        put(shop, name, f"# {name!r}\r\n")
    git(shop, "add", "-A")
    git(shop, "commit", "-qm", "more")
    repository = opened(shop)
    files = repository.read(done(repository.head()), "")
    here = read_worktree(shop)
    assert files.texts == here.texts
    assert list(files.texts) == ["a/b.toml", "bays/north.toml", "new\nline.toml", "studio.toml", "é/ñ 1.toml"]
    assert files.mistakes == here.mistakes == ()


def test_a_studio_below_the_top_is_read_alone(shop: Path) -> None:
    put(shop, "mill/studio.toml")
    put(shop, "mill/x.toml", "x = 1\n")
    commit(shop, "y.toml", "", "both")
    repository = opened(shop / "mill")
    head = done(repository.head())
    assert list(repository.read(head, repository.studio).texts) == ["studio.toml", "x.toml"]
    assert [mistake.id for mistake in repository.read(head, "").mistakes] == ["no-studio"]
    assert [mistake.id for mistake in repository.read(head, "no/where").mistakes] == ["no-studio"]


def test_links_modules_and_odd_names_of_a_revision(shop: Path) -> None:
    put(shop, "studio.toml", "[studio]\n")
    put(shop, ".parts/p.toml", "p = 1\n")
    put(shop, "a.toml")
    for name, target in {
        "again": "a.toml",
        "part": ".parts/p.toml",
        "out": "../x.toml",
        "abs": "/etc/passwd",
        "loop": "loop.toml",
    }.items():
        (shop / f"{name}.toml").symlink_to(target)
    git(shop, "add", "-A")
    git(shop, "commit", "-qm", "links")
    tip = git(shop, "rev-parse", "HEAD")
    git(shop, "update-index", "--add", "--cacheinfo", f"160000,{tip},sub")
    blob = git(shop, "rev-parse", "HEAD:a.toml")
    git(shop, "update-index", "--add", "-z", "--index-info", given=f"100644 {blob}\t".encode() + b"caf\xe9.toml\0")
    git(shop, "commit", "-qm", "odd")
    repository = opened(shop)
    files = repository.read(done(repository.head()), "")
    assert files.texts == {"a.toml": b"a = 1\n", "part.toml": b"p = 1\n", "studio.toml": b"[studio]\n"}
    told = sorted((mistake.id, mistake.place.file if mistake.place else "") for mistake in files.mistakes)
    assert told == [
        ("link-outside", "abs.toml"),
        ("link-outside", "loop.toml"),
        ("link-outside", "out.toml"),
        ("name-not-utf8", ""),
        ("repository-inside", "sub"),
    ]


def test_a_damaged_repository_is_told(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    blob = git(shop, "rev-parse", "HEAD:bays/north.toml")
    (shop / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    repository = opened(shop)
    files = repository.read(done(repository.head()), "")
    assert [mistake.id for mistake in files.mistakes] == ["object-missing"]
    assert list(files.texts) == ["studio.toml"]
    tree = git(shop, "rev-parse", f"{ids[1]}^{{tree}}")
    path = shop / ".git" / "objects" / tree[:2] / tree[2:]
    path.chmod(0o644)
    path.write_bytes(b"rubbish")
    assert [mistake.id for mistake in repository.read(done(repository.resolve(ids[1])), "").mistakes]
    assert isinstance(list(repository.log("")), list)


# log


def test_the_log_holds_what_touched_the_wiring_as_git_tells_it(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    steps = [
        ("mill/studio.toml", "1"),
        ("mill/a/b/c.toml", "1"),
        ("readme.md", "1"),
        ("mill/notes.txt", "1"),
        ("mill/a/b/c.toml", "2"),
        ("other/x.toml", "1"),
        ("mill/.h/x.toml", "1"),
        ("mill/z.toml", "1"),
    ]
    for hours, (name, text) in enumerate(steps):
        at(monkeypatch, hours)
        commit(shop, name, text, name)
    git(shop, "rm", "-q", "mill/z.toml")
    git(shop, "commit", "-qm", "gone")
    repository = opened(shop / "mill")
    expected = git(shop, "log", "--format=%H", "--", ":(glob)mill/**/*.toml", ":(exclude)mill/.h").split()
    assert [found.id for found in repository.log("mill")] == expected
    assert [found.id for found in repository.log("mill", 2)] == expected[:2]
    assert done(repository.resolve("3")).id == expected[2]
    assert len(list(repository.log(""))) == len(expected) + 1


def test_merges_count_where_they_differ_from_each_parent(
    three: tuple[Path, list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, ids = three
    at(monkeypatch, 30)
    git(shop, "switch", "-qc", "side", ids[1])
    side = commit(shop, "side.toml", "s = 1\n", "side")
    git(shop, "switch", "-q", "main")
    at(monkeypatch, 31)
    git(shop, "merge", "-q", "--no-ff", "-m", "join", "side")
    joined = git(shop, "rev-parse", "HEAD")
    at(monkeypatch, 32)
    git(shop, "switch", "-qc", "idle", side)
    commit(shop, "idle.txt", "", "idle")
    git(shop, "switch", "-q", "main")
    at(monkeypatch, 33)
    git(shop, "merge", "-q", "--no-ff", "-m", "join idle", "idle")
    assert [found.id for found in opened(shop).log("")] == [joined, side, ids[2], ids[1], ids[0]]


def test_a_log_that_is_left_early_leaves_no_process(three: tuple[Path, list[str]]) -> None:
    log = opened(three[0]).log("")
    next(log)
    assert hasattr(log, "close")
    log.close()
    with pytest.raises(ChildProcessError):
        os.waitpid(-1, os.WNOHANG)


# state


def test_state_of_a_quiet_work_tree(three: tuple[Path, list[str]]) -> None:
    state = opened(three[0]).state()
    assert (state.branch, state.operation, state.unmerged, state.marks, state.staged_elsewhere) == (
        "main",
        None,
        (),
        (),
        (),
    )
    assert state.hindrance() is None
    assert state.detached() is None


def test_a_detached_head_is_told_and_no_hindrance(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    git(shop, "checkout", "-q", ids[0])
    state = opened(shop).state()
    assert state.is_detached
    assert fault(state.detached()) == "detached-head"
    assert state.hindrance() is None


def test_half_done_operations_hinder(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    git(shop, "switch", "-qc", "side", ids[1])
    commit(shop, "bays/north.toml", "a = 3\n", "side")
    for operation, arguments, abort in (
        ("merge", ("merge", "main"), ("merge", "--abort")),
        ("rebase", ("rebase", "main"), ("rebase", "--abort")),
        ("cherry-pick", ("cherry-pick", ids[2]), ("cherry-pick", "--abort")),
        ("revert", ("revert", "--no-edit", ids[1]), ("revert", "--abort")),
    ):
        git(shop, *arguments, check=False)
        state = opened(shop).state()
        assert state.operation == operation
        assert state.unmerged == ("bays/north.toml",)
        assert fault(state.hindrance()) == "half-done"
        assert fault(opened(shop).commit(["bays/north.toml"], "x")) == "half-done"
        git(shop, *abort)


def test_conflict_marks_hinder(three: tuple[Path, list[str]]) -> None:
    shop, _ = three
    put(shop, "bays/north.toml", "a = 1\n<<<<<<< HEAD\nb = 1\n=======\nb = 2\n>>>>>>> x\n")
    state = opened(shop).state()
    assert [spot[:3] for spot in state.marks] == [("bays/north.toml", 2, 1)]
    assert fault(opened(shop).commit(["bays/north.toml"], "x")) == "conflict-mark"


# recording


def test_the_first_commit(shop: Path) -> None:
    put(shop, "studio.toml", "[studio]\r\n")
    put(shop, "not-recorded.toml")
    made = done(opened(shop).commit(["studio.toml"], "The studio\n\nas it is"))
    assert git(shop, "cat-file", "-p", "HEAD").endswith("\n\nThe studio\n\nas it is")
    assert git(shop, "rev-parse", "main") == made.id
    assert git(shop, "ls-tree", "-r", "--name-only", "HEAD") == "studio.toml"
    assert git(shop, "status", "--porcelain") == "?? not-recorded.toml"
    assert (made.author, made.parents) == ("Ann Weaver", ())
    git(shop, "fsck", "--strict")


def test_changed_new_deleted_and_renamed_files(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    put(shop, "bays/south.toml", "new = 1\n")
    (shop / "bays" / "north.toml").rename(shop / "bays" / "west.toml")
    put(shop, "studio.toml", "[studio]\ntitle = 'x'\n")
    put(shop, "notes.txt", "theirs\n")
    put(shop, "loose.toml", "theirs = 1\n")
    made = done(opened(shop).commit(["bays/south.toml", "bays/north.toml", "bays/west.toml", "studio.toml"], "Moved"))
    assert made.parents == (ids[3],)
    assert git(shop, "diff-tree", "-r", "--no-commit-id", "--name-status", "HEAD").split("\n") == [
        "D\tbays/north.toml",
        "A\tbays/south.toml",
        "A\tbays/west.toml",
        "M\tstudio.toml",
    ]
    assert git(shop, "status", "--porcelain").split("\n") == [" M notes.txt", "?? loose.toml"]
    assert (shop / "notes.txt").read_text() == "theirs\n"
    assert git(shop, "reflog", "-1", "--format=%gs") == "routecode: record"


def test_a_studio_below_the_top_records_only_itself(shop: Path) -> None:
    put(shop, "mill/studio.toml")
    commit(shop, "x.txt", "", "first")
    put(shop, "mill/studio.toml", "a = 2\n")
    done(opened(shop / "mill").commit(["studio.toml"], "second"))
    assert git(shop, "diff-tree", "-r", "--no-commit-id", "--name-only", "HEAD") == "mill/studio.toml"


def test_nothing_changed_is_told_and_makes_no_commit(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    assert fault(opened(shop).commit(["studio.toml", "never-was.toml"], "x")) == "nothing-to-record"
    assert git(shop, "rev-parse", "HEAD") == ids[3]


def test_other_staged_changes_hinder_and_stay(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    put(shop, "notes.txt", "staged\n")
    git(shop, "add", "notes.txt")
    put(shop, "studio.toml", "[studio]\ntitle = 'x'\n")
    mistake = opened(shop).commit(["studio.toml"], "x")
    assert fault(mistake) == "staged-elsewhere"
    assert isinstance(mistake, Mistake)
    assert "notes.txt" in mistake.text
    assert git(shop, "rev-parse", "HEAD") == ids[3]
    assert git(shop, "status", "--porcelain").split("\n") == ["M  notes.txt", " M studio.toml"]


def test_staged_wiring_that_was_not_asked_for_stays_staged(three: tuple[Path, list[str]]) -> None:
    shop, _ = three
    put(shop, "bays/north.toml", "a = 9\n")
    git(shop, "add", "bays/north.toml")
    put(shop, "studio.toml", "[studio]\ntitle = 'x'\n")
    done(opened(shop).commit(["studio.toml"], "x"))
    assert git(shop, "status", "--porcelain") == "M  bays/north.toml"


def test_bytes_are_stored_as_they_are_written(shop: Path) -> None:
    git(shop, "config", "core.autocrlf", "true")
    put(shop, ".gitattributes", "*.toml text eol=crlf ident\n")
    put(shop, "studio.toml", "a = 1\r\nb = 2\n# $Id$\n")
    repository = opened(shop)
    made = done(repository.commit(["studio.toml"], "x"))
    assert repository.read(made, "").texts == {"studio.toml": b"a = 1\r\nb = 2\n# $Id$\n"}


def test_a_detached_head_records_onto_itself(three: tuple[Path, list[str]]) -> None:
    shop, ids = three
    git(shop, "checkout", "-q", ids[1])
    put(shop, "studio.toml", "a = 5\n")
    assert done(opened(shop).commit(["studio.toml"], "x")).parents == (ids[1],)
    assert git(shop, "rev-parse", "main") == ids[3]


def test_a_folder_that_became_a_file_and_back(shop: Path) -> None:
    repository = opened(shop)
    put(shop, "studio.toml")
    put(shop, "x.toml/y.toml")
    done(repository.commit(["studio.toml", "x.toml/y.toml"], "folder"))
    (shop / "x.toml" / "y.toml").unlink()
    (shop / "x.toml").rmdir()
    put(shop, "x.toml")
    done(repository.commit(["x.toml/y.toml", "x.toml"], "file"))
    assert git(shop, "ls-tree", "-r", "--name-only", "HEAD").split() == ["studio.toml", "x.toml"]
    assert git(shop, "status", "--porcelain") == ""


@pytest.mark.parametrize(
    "name", ["../x.toml", "/etc/x.toml", ".git/config", "a/../../x.toml", "a//b.toml", "", "link/x.toml"]
)
def test_what_is_not_in_the_studio_is_not_recorded(shop: Path, name: str) -> None:
    put(shop, ".parts/x.toml")
    (shop / "link").symlink_to(".parts")
    assert fault(opened(shop).commit([name], "x")) == "file-outside"


def test_links_and_odd_names_are_recorded_as_they_are(shop: Path) -> None:
    put(shop, "a.toml")
    (shop / "link.toml").symlink_to("a.toml")
    put(shop, "new\nline é.toml")
    put(shop, "tool.toml").chmod(0o755)
    put(shop, '"quoted".toml', "q = 1\n")
    done(opened(shop).commit(['"quoted".toml', "a.toml", "link.toml", "new\nline é.toml", "tool.toml"], "x"))
    assert git(shop, "ls-files", "--stage", "-z").split("\0")[:-1] == [
        f'100644 {git(shop, "hash-object", "--stdin", given=b"q = 1" + bytes([10]))} 0\t"quoted".toml',
        f"100644 {git(shop, 'rev-parse', 'HEAD:a.toml')} 0\ta.toml",
        f"120000 {git(shop, 'rev-parse', 'HEAD:link.toml')} 0\tlink.toml",
        f"100644 {git(shop, 'rev-parse', 'HEAD:a.toml')} 0\tnew\nline é.toml",
        f"100755 {git(shop, 'rev-parse', 'HEAD:a.toml')} 0\ttool.toml",
    ]
    assert git(shop, "cat-file", "-p", "HEAD:link.toml") == "a.toml"
    assert git(shop, "status", "--porcelain") == ""


@pytest.mark.parametrize("message", ["", "  \n ", "a\0b"])
def test_a_message_is_needed(shop: Path, message: str) -> None:
    put(shop, "studio.toml")
    assert fault(opened(shop).commit(["studio.toml"], message)) == "message-missing"


def test_a_missing_identity_is_asked_for_with_the_two_commands(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home", config="[init]\n\tdefaultBranch = main\n")
    root = tmp_path / "shop"
    root.mkdir()
    repository = Repository.init(root)
    assert isinstance(repository, Repository)
    put(root, "studio.toml")
    mistake = repository.commit(["studio.toml"], "x")
    assert fault(mistake) == "no-identity"
    assert isinstance(mistake, Mistake)
    assert 'git config --global user.name "Your Name"\ngit config --global user.email ' in mistake.do
    assert repository.head() is None
    monkeypatch.setenv("GIT_AUTHOR_NAME", "Ann")
    monkeypatch.setenv("GIT_AUTHOR_EMAIL", "a@example.com")
    assert repository.identity() == ("Ann", "a@example.com")
    assert fault(repository.commit(["studio.toml"], "x")) == "no-identity"  # the committer is still unknown
    git(root, "config", "user.name", "Local Name")
    git(root, "config", "user.email", "local@example.com")
    made = done(repository.commit(["studio.toml"], "x"))
    assert git(root, "log", "-1", "--format=%an %ae %cn %ce") == "Ann a@example.com Local Name local@example.com"
    assert made.author == "Ann"


def test_an_index_that_is_locked_or_a_branch_that_moved_leaves_everything(
    three: tuple[Path, list[str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    shop, ids = three
    put(shop, "studio.toml", "a = 5\n")
    lock = put(shop, ".git/index.lock", "")
    mistake = opened(shop).commit(["studio.toml"], "x")
    assert fault(mistake) == "git-failed"
    assert isinstance(mistake, Mistake)
    assert "lock" in mistake.do
    assert git(shop, "rev-parse", "HEAD") == ids[3]
    lock.unlink()
    put(shop, ".git/refs/heads/main.lock", "")
    assert fault(opened(shop).commit(["studio.toml"], "x")) == "git-failed"
    assert git(shop, "rev-parse", "HEAD") == ids[3]
    assert (shop / "studio.toml").read_text() == "a = 5\n"


def test_a_linked_work_tree_records_on_its_own_branch(three: tuple[Path, list[str]], tmp_path: Path) -> None:
    shop, ids = three
    git(shop, "worktree", "add", "-q", "-b", "side", str(tmp_path / "side"))
    put(tmp_path / "side", "studio.toml", "a = 7\n")
    made = done(opened(tmp_path / "side").commit(["studio.toml"], "x"))
    assert (git(shop, "rev-parse", "side"), git(shop, "rev-parse", "main")) == (made.id, ids[3])
    assert git(tmp_path / "side", "status", "--porcelain") == ""


def test_ids_of_64_digits(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")
    git(tmp_path, "init", "-q", "--object-format=sha256", "shop")
    put(tmp_path / "shop", "studio.toml")
    repository = opened(tmp_path / "shop")
    first = done(repository.commit(["studio.toml"], "one"))
    assert len(first.id) == 64
    put(tmp_path / "shop", "a/x.toml")
    second = done(repository.commit(["a/x.toml", "studio.toml"], "two"))
    assert [found.id for found in repository.log("")] == [second.id, first.id]
    assert list(repository.read(second, "").texts) == ["a/x.toml", "studio.toml"]


def test_init_makes_a_repository_once_and_keeps_one_that_is_there(
    tmp_path: Path, shop: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    root = tmp_path / "new"
    root.mkdir()
    made = Repository.init(root)
    assert isinstance(made, Repository)
    assert git(root, "symbolic-ref", "HEAD") == "refs/heads/main"
    assert not (root / ".git" / "hooks").exists()
    (shop / "below").mkdir()
    kept = Repository.init(shop / "below")
    assert isinstance(kept, Repository)
    assert (kept.top, kept.studio) == (shop.resolve(), "below")
