"""Repositories that are odd or made to mislead, asked through the command line: each with its expected answer.

An answer says what, where, and what to do; a request that cannot be answered ends with status 2, and nothing ends with a traceback.
"""

import os
import zlib
from hashlib import sha1
from pathlib import Path

import pytest

from routecode.cli.main import NOT_FINE, OK, UNREADABLE
from routecode.files.git import listing, process
from routecode.files.hostile import MAX_BYTES
from tests.cli.asking import ask, forget
from tests.files.mill import HEAD, UNIT, loose, recorded
from tests.files.refusing import answered, plain, refused, squeezed
from tests.files.shop import git, pin, put


@pytest.fixture
def mill(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three commits of a small studio."""
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    root = tmp_path / "mill"
    root.mkdir()
    recorded(root)
    monkeypatch.chdir(root)
    forget()
    return root


def store(root: Path, kind: str, data: bytes) -> str:
    """An object as it is given, whether git likes it or not."""
    whole = b"%s %d\0" % (kind.encode(), len(data)) + data
    object_id = sha1(whole, usedforsecurity=False).hexdigest()
    path = loose(root, object_id)
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(zlib.compress(whole))
    return object_id


def entry(mode: str, name: bytes, object_id: str) -> bytes:
    return mode.encode() + b" " + name + b"\0" + bytes.fromhex(object_id)


def commit_tree(root: Path, tree_id: str, *parents: str) -> str:
    """A commit of a tree, as the new end of the branch."""
    words = [word for parent in parents for word in ("-p", parent)]
    made = git(root, "commit-tree", tree_id, *words, given=b"odd\n")
    git(root, "update-ref", "HEAD", made)
    return made


# what a person writes for a revision


REVISIONS = {
    "--output=stolen": "A revision does not begin with a dash",
    "-x": "A revision does not begin with a dash",
    "--upload-pack=touch stolen": "A revision does not begin with a dash",
    "last\nx": "has signs in it that no name has",
    "last\0x": "has signs in it that no name has",
    "last\x1b[2J": "has signs in it that no name has",
    "x" * 501: "is far too long",
    "\udcff": "is not UTF-8",
    " ": "The revision is empty",
    "$(touch stolen)": "There is no commit",
    "`touch stolen`": "There is no commit",
    "last; touch stolen": "There is no commit",
    "HEAD:units.toml": "There is no commit",
    ":/one": "There is no commit",
    "@{-1}": "There is no commit",
    "refs/heads/../../../etc/passwd": "is a range",
}


@pytest.mark.parametrize("text", REVISIONS)
def test_a_revision_is_a_name_and_nothing_else(mill: Path, text: str) -> None:
    for arguments in ((f"--at={text}",), ("--at", text)):
        forget()
        ran = ask("check", *arguments)
        said = plain(ran)
        assert ran.status == UNREADABLE, ran
        assert REVISIONS[text] in said.replace(", or is far too long", " or is far too long")
        assert "Do:" in said
        assert "\x1b" not in ran.err
    for more in (("diff", "--", f"{text}..last"), ("paths", "--at", text), ("rollback", "--", text)):
        forget()
        assert "fault of routecode" not in ask(*more).err
    assert not list(mill.rglob("stolen*"))


def test_branches_whose_names_begin_with_a_dash(mill: Path) -> None:
    """git makes none by its porcelain; its plumbing and other programs can."""
    git(mill, "update-ref", "refs/heads/-x", "HEAD~1")
    git(mill, "update-ref", "refs/heads/--output=stolen", "HEAD")
    assert "A branch whose name begins with one: heads/-x" in refused("check", "--at=-x")
    assert '"two"' in answered("check", "--at", "heads/-x").out
    assert '"three"' in answered("check", "--at", "heads/--output=stolen").out
    git(mill, "symbolic-ref", "HEAD", "refs/heads/--output=stolen")
    put(mill, "old.toml", UNIT.format("z"))
    answered("record", "four")
    assert git(mill, "rev-parse", "refs/heads/--output=stolen") == git(mill, "rev-parse", "HEAD")
    answered("before-merge", "heads/-x")
    assert not list(mill.rglob("stolen")) or list(mill.rglob("stolen")) == [
        path for path in mill.rglob("stolen") if ".git" in path.parts
    ]


# what is in a tree


def test_a_name_with_a_line_end_forges_no_line(mill: Path) -> None:
    name = "a\n  error    Forged.toml"
    put(mill, name, "bad = \n")
    for arguments in (("check",), ("check", "--at", "last", "--notes")):
        if "--at" in arguments:
            git(mill, "add", "-A")
            git(mill, "commit", "-qm", "odd")
        forget()
        ran = ask(*arguments)
        assert ran.status == UNREADABLE
        assert "a\\nerrorForged.toml" in squeezed(ran.err)
        assert not any(line.lstrip().startswith("error    Forged") for line in ran.err.splitlines())
    put(mill, name, UNIT.format("n"))
    answered("record", "with an odd name")
    assert name in git(mill, "ls-tree", "-z", "--name-only", "HEAD").split("\0")
    assert answered("check", "--at", "last").status == OK


def test_names_that_lead_out_of_a_tree_are_only_names(mill: Path, tmp_path: Path) -> None:
    """No git makes such a tree; somebody can. Nothing is read or written outside, whatever a rollback is told to restore."""
    before = git(mill, "rev-parse", "HEAD^{tree}")
    blob = store(mill, "blob", UNIT.format("out").encode())
    raw = git_bytes(mill, "cat-file", "tree", before)
    for name in (b"../out.toml", b"..", b".git", b"a/../../out.toml", b"/out.toml"):
        below = store(mill, "tree", entry("100644", b"out.toml", blob))
        odd = entry("40000", name, below) if b"/" not in name else entry("100644", name, blob)
        made = commit_tree(mill, store(mill, "tree", odd + raw), git(mill, "rev-parse", "HEAD"))
        git(mill, "read-tree", before)
        tidy = commit_tree(mill, before, made)
        for arguments in (("check", "--at", made), ("diff", f"{made}..{tidy}"), ("rollback", made, "--write")):
            forget()
            ran = ask(*arguments)
            assert ran.status in (OK, NOT_FINE, UNREADABLE), ran
            assert "fault of routecode" not in ran.err, (name, arguments, ran)
        assert not (tmp_path / "out.toml").exists()
        assert not Path("/out.toml").exists()
        assert not (mill / ".git" / "out.toml").exists()
        git(mill, "update-ref", "HEAD", tidy)


def git_bytes(root: Path, *words: str) -> bytes:
    return process.run(root, *words).out


def test_links_that_lead_out_are_refused_in_files_and_in_revisions(mill: Path, tmp_path: Path) -> None:
    (tmp_path / "secret.toml").write_text(UNIT.format("secret"))
    (mill / "link.toml").symlink_to(tmp_path / "secret.toml")
    (mill / "rooms").symlink_to(tmp_path)
    said = refused("check")
    assert squeezed(f'"link.toml" is a link to "{tmp_path}/secret.toml", which i') in squeezed(said)
    assert "leave the link out with skip in the [studio] table" in said
    git(mill, "add", "-A")
    git(mill, "commit", "-qm", "links")
    said = refused("check", "--at", "last")
    assert '"link.toml" is a link' in said
    assert "secret/out" not in said
    assert "link" in refused("record", "x")


def test_a_submodule_is_told_where_it_is(mill: Path) -> None:
    git(mill, "update-index", "--add", "--cacheinfo", f"160000,{git(mill, 'rev-parse', 'HEAD')},sub")
    put(mill, ".gitmodules", '[submodule "sub"]\n\tpath = sub\n\turl = ext::touch stolen\n\tupdate = !touch stolen\n')
    git(mill, "commit", "-qm", "module")
    said = refused("check", "--at", "last")
    assert '"sub" is a git repository of its own inside the studio.' in said
    assert "leave the folder out with skip" in said
    answered("check")  # the folder is not there
    put(mill, "sub/.git", "gitdir: /nowhere\n")
    assert '"sub" is a git repository of its own' in refused("check")
    assert not list(mill.rglob("stolen"))


def test_a_path_that_is_not_utf8_is_told(mill: Path) -> None:
    (mill / os.fsdecode(b"caf\xe9.toml")).write_text(UNIT.format("x"))
    assert 'The file name "caf\\xe9.toml" is not UTF-8. Do: Rename the file.' in refused("check")
    git(mill, "add", "-A")
    git(mill, "commit", "-qm", "odd")
    assert 'The file name "caf\\xe9.toml" is not UTF-8. Do: Rename the file.' in refused("check", "--at", "last")


def test_a_few_trees_that_stand_for_very_many_paths_are_not_spread(mill: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ten levels of ten names for one tree: ten thousand million paths in a kilobyte."""
    monkeypatch.setattr(listing, "MAX_ENTRIES", 20_000)
    blob = store(mill, "blob", b"a = 1\n")
    one = store(mill, "tree", b"".join(entry("100644", b"f%d.toml" % each, blob) for each in range(10)))
    for _ in range(9):
        one = store(mill, "tree", b"".join(entry("40000", b"d%d" % each, one) for each in range(10)))
    head = store(mill, "blob", HEAD.encode())
    top = store(mill, "tree", entry("40000", b"bomb", one) + entry("100644", b"studio.toml", head))
    commit_tree(mill, top, git(mill, "rev-parse", "HEAD"))
    for arguments in (("check", "--at", "last"), ("diff",), ("record", "x"), ("diff", "last~1..last")):
        said = refused(*arguments)
        assert f"more than {listing.MAX_ENTRIES:,} files of any kind below the studio in the" in said
        assert "Keep the studio in a folder of its own." in said


def test_a_text_larger_than_is_read_is_not_kept(mill: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    put(mill, "large.toml", "#" * (MAX_BYTES + 100_000))
    git(mill, "add", "-A")
    git(mill, "commit", "-qm", "large")
    said = refused("check", "--at", "last")
    assert "large.toml" in said
    with process.objects(mill) as reader:
        found = reader.get(git(mill, "rev-parse", "HEAD:large.toml"), 10)
        assert found is not None
        assert found.data == b"#" * 10
        assert reader.get(git(mill, "rev-parse", "HEAD:studio.toml")) == ("blob", HEAD.encode())


# what belongs to somebody else, or is made to mislead


def test_the_repository_of_another_owner_is_explained(mill: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """git refuses it (safe.directory); where the test may not give files away, git's own switch for tests stands in."""
    if os.geteuid() == 0:
        for path in (mill, mill / ".git"):
            os.chown(path, 12345, 12345)
    else:
        monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
        monkeypatch.setattr(process, "KEPT", (*process.KEPT, "GIT_TEST_ASSUME_DIFFERENT_OWNER"))
    for arguments in (("check", "--at", "last"), ("diff",), ("record", "x"), ("rollback", "last~1"), ("history",)):
        said = refused(*arguments)
        assert squeezed(f"The repository in {mill} belongs to another user of this machine") in squeezed(said)
        assert "Work as the user who owns the folder, or make it yours; then try again." in said
        assert "safe.directory" not in said
    answered("check")


def test_replaced_objects_grafts_and_a_false_commit_graph_change_no_answer(mill: Path) -> None:
    true = {text: answered("check", "--at", text).out for text in ("1", "2", "3", "last~1")}
    first, second, third = (git(mill, "rev-parse", f"HEAD~{back}") for back in (2, 1, 0))
    git(mill, "replace", second, first)
    put(mill, ".git/info/grafts", f"{third} {first}\n{second}\n")
    git(mill, "-c", "core.commitGraph=true", "commit-graph", "write", "--reachable", check=False)
    graph = mill / ".git" / "objects" / "info" / "commit-graph"
    if graph.exists():
        graph.chmod(0o644)
        graph.write_bytes(graph.read_bytes()[:-60] + b"\0" * 60)
    assert {text: answered("check", "--at", text).out for text in true} == true
    forget()
    assert ask("history").out.count("\n") >= 3


def test_a_bare_repository_hidden_in_the_work_tree_is_not_entered(mill: Path, tmp_path: Path) -> None:
    """Its files can be recorded like any others, and its settings would name programs."""
    hidden = mill / "rooms"
    git(mill, "init", "-q", "--bare", str(hidden))
    put(hidden, "studio.toml", HEAD)
    git(hidden, "config", "core.bare", "false")
    git(hidden, "config", "core.worktree", str(hidden))
    git(hidden, "config", "core.fsmonitor", f"touch {tmp_path}/stolen")
    for arguments in (("check", "--at", "last"), ("diff",), ("record", "x"), ("history",), ("new", str(hidden / "x"))):
        words = arguments if arguments[0] == "new" else (*arguments, "--in", str(hidden))
        said = refused(*words)
        assert "is in the bare files of a repository, which has no work tree; git is not run there." in said
        assert "Go to a folder where the files of the studio are" in said
    answered("check", "--at", "last")
    assert not (tmp_path / "stolen").exists()
    git(mill, "init", "-q", "--bare", str(tmp_path / "bare"))
    put(tmp_path / "bare", "studio.toml", HEAD)
    assert "is in the bare files of a repository" in refused("diff", "--in", str(tmp_path / "bare"))


def test_a_work_tree_that_its_settings_place_elsewhere_is_told(mill: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    git(mill, "config", "core.worktree", str(tmp_path / "elsewhere"))
    said = refused("check", "--at", "last")
    assert squeezed(f"The repository's files are in {tmp_path}/elsewhere, and no") in squeezed(said)
    assert squeezed(f"Go to {tmp_path}/elsewhere.") in squeezed(said)
