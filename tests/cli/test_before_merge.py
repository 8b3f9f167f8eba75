"""`routecode before-merge`: answers, refusals and forms, in real repositories; nothing of them changes and nothing they name runs."""

import json
import re
import tempfile
from pathlib import Path
from typing import Any

import fastjsonschema
import pytest

from routecode.files.git import merging, process
from routecode.show.schemas import schemas
from tests.cli.asking import Ran, ask, forget
from tests.history.joining import branched, commit, git, weir, write
from tests.history.test_branches import BOOTH_1, EQ, TWO_WAYS, WAY_A, WAY_B

BOOTH_2 = BOOTH_1.replace("booth/1", "booth/2")
FINE = (weir(), weir(ours=BOOTH_1), weir(theirs=BOOTH_2.replace("13", "14")))
TWICE = (weir(), weir(ours=BOOTH_1), weir(theirs=BOOTH_2))
TORN = (weir(x=BOOTH_1), weir(x=BOOTH_1.replace("13", "14")), weir(x=BOOTH_1.replace("13", "15")))


@pytest.fixture
def root(tmp_path: Path) -> Path:
    return tmp_path / "mill"


def asked(root: Path, *more: str, other: str = "other") -> Ran:
    forget()
    return ask("before-merge", other, "--in", str(root), *more)


def plain(text: str) -> str:
    return " ".join(text.split())


def document(ran: Ran) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(ran.out)
    fastjsonschema.compile(json.loads(schemas()["schemas/before-merge.schema.json"]))(found)
    return found


# -- answers -------------------------------------------------------------------------------------------------------------


def test_branches_that_join(root: Path) -> None:
    branched(root, *FINE)
    ran = asked(root)
    assert (ran.status, ran.err) == (0, "")
    assert "as one side has it" in plain(ran.out)
    assert "1 commit on main, 1 commit on other" in plain(ran.out)


def test_one_jack_used_twice(root: Path) -> None:
    branched(root, *TWICE)
    ran = asked(root)
    assert ran.status == 1
    assert "the wiring that comes out is wrong: 1 place used twice and 1 tie of signals." in plain(ran.out)
    assert (
        "ours.toml:2:8 (main), theirs.toml:2:8 (other)" in ran.out
        or "theirs.toml:2:8 (other), ours.toml:2:8 (main)" in ran.out
    )
    assert "main: New: cable Narration booth 1 to North bay top 13." in plain(ran.out)
    assert "other: New: cable Narration booth 2 to North bay top 13." in plain(ran.out)


def test_a_path_that_neither_side_lost(root: Path) -> None:
    base, one, other = weir(TWO_WAYS, a=WAY_A, b=WAY_B), weir(TWO_WAYS, b=WAY_B), weir(TWO_WAYS, a=WAY_A)
    branched(root, base, one, other)
    ran = asked(root)
    assert ran.status == 1
    assert "Lost, though neither side lost it" in ran.out
    assert "Player no longer reaches Recorder" in plain(ran.out)


def test_what_does_not_compile_is_told_with_its_place(root: Path) -> None:
    branched(root, weir(), weir(ours=EQ.format("eq")), weir(theirs=EQ.format("eq")))
    ran = asked(root)
    assert ran.status == 1
    assert "does not compile" in plain(ran.out)
    assert "theirs.toml:2" in ran.out
    found = document(asked(root, "--json"))
    assert found["fine"] is False
    assert found["wrong"] is None
    assert found["mistakes"]


def test_text_that_git_cannot_join(root: Path) -> None:
    branched(root, *TORN)
    ran = asked(root)
    assert ran.status == 1
    assert "git cannot join the text by itself: 1 place to decide." in plain(ran.out)
    assert "- x.toml:3\n" in ran.out
    assert "New: cable Narration booth 1 to North bay top 14." in plain(ran.out)
    assert "New: cable Narration booth 1 to North bay top 15." in plain(ran.out)
    found = document(asked(root, "--json"))
    assert (found["mistakes"], found["wrong"]) == (None, None)
    assert [(each["file"], each["line"], each["kind"]) for each in found["torn"]] == [("x.toml", 3, "contents")]


def test_text_that_is_no_wiring_is_told_apart(root: Path) -> None:
    base, one, other = FINE
    branched(root, {**base, "README": "a\n"}, {**one, "README": "b\n"}, {**other, "README": "c\n"})
    ran = asked(root)
    assert ran.status == 1
    assert "README: It is no wiring of this studio." in ran.out
    assert "The wiring itself joins." in plain(ran.out)


def test_a_file_that_one_side_deleted(root: Path) -> None:
    base = weir(x=BOOTH_1)
    branched(root, base, weir(), weir(x=BOOTH_1.replace("13", "15")))
    ran = asked(root)
    assert ran.status == 1
    assert "x.toml: One side deleted this file, the other changed it." in plain(ran.out)
    assert "main: The file is gone." in plain(ran.out)


# -- how they stand to each other ---------------------------------------------------------------------------------------


def test_one_commit_and_what_is_contained(root: Path) -> None:
    branched(root, *FINE)
    git(root, "tag", "here")
    ran = asked(root, other="here")
    assert (ran.status, ran.err) == (0, "")
    assert "are the same commit" in plain(ran.out)
    assert document(asked(root, "--json", other="here"))["relation"] == "same"
    ran = asked(root, other="last~1")
    assert (ran.status, plain(ran.out)) == (0, "All of last~1 is already in main. There is nothing to join.")
    assert document(asked(root, "--json", other="last~1"))["relation"] == "contained"
    assert plain(asked(root, "--markdown", other="last~1").out).endswith("There is nothing to join.")


def test_a_branch_that_is_ahead(root: Path) -> None:
    branched(root, *FINE)
    ran = asked(root, "--into", "last~1")
    assert ran.status == 0
    assert "last~1 has not moved since" in plain(ran.out)
    assert document(asked(root, "--into", "last~1", "--json"))["relation"] == "ahead"


def test_branches_joined_crosswise_before(root: Path) -> None:
    base = weir()
    branched(root, base, weir(a="# a\n"), weir(b="# b\n"))
    git(root, "branch", "old-main")
    git(root, "merge", "-q", "-m", "one way", "other")
    git(root, "switch", "-q", "other")
    git(root, "merge", "-q", "-m", "other way", "old-main")
    commit(root, weir(a="# a\n", b="# b\n", theirs=BOOTH_2), "there")
    git(root, "switch", "-q", "main")
    commit(root, weir(a="# a\n", b="# b\n", ours=BOOTH_1), "here")
    ran = asked(root)
    assert ran.status == 1
    assert "They were joined crosswise before, so they parted at 2 commits." in plain(ran.out)
    assert len(document(asked(root, "--json"))["bases"]) == 2


def test_histories_with_nothing_in_common(root: Path) -> None:
    branched(root, *FINE)
    git(root, "switch", "-q", "--orphan", "elsewhere")
    commit(root, weir(), "begun anew")
    ran = asked(root)
    assert ran.status == 2
    assert "other and elsewhere have no commit in common" in plain(ran.err)
    assert "routecode diff elsewhere..other" in ran.err
    assert json.loads(asked(root, "--json").out)["errors"][0]["id"] == "unrelated"


def test_a_shallow_copy_says_which_fetch_is_needed(root: Path, tmp_path: Path) -> None:
    branched(root, *FINE)
    git(tmp_path, "clone", "-q", "--depth", "1", "--no-single-branch", f"file://{root}", "copy")
    copy = tmp_path / "copy"
    ran = asked(copy, other="origin/other")
    assert ran.status == 2
    assert "Where origin/other and main parted is not in this copy" in plain(ran.err)
    assert "git fetch --unshallow" in ran.err
    assert git(copy, "rev-parse", "--is-shallow-repository") == "true"
    git(copy, "fetch", "-q", "--unshallow")
    assert asked(copy, other="origin/other").status == 0


def test_a_shallow_copy_that_holds_the_base_is_answered_with_a_note(root: Path, tmp_path: Path) -> None:
    git(tmp_path, "init", "-q", "-b", "main", "mill")
    commit(root, weir(), "the first")
    branched(root, *FINE)
    git(tmp_path, "clone", "-q", "--depth", "2", "--no-single-branch", f"file://{root}", "copy")
    ran = asked(tmp_path / "copy", other="origin/other")
    assert ran.status == 0
    assert "This copy is shallow" in plain(ran.out)


@pytest.mark.parametrize("which", ["ours", "theirs", "base"])
def test_a_side_that_does_not_compile_is_named(root: Path, which: str) -> None:
    texts = dict(zip(("base", "ours", "theirs"), FINE, strict=True))
    texts[which] = {**texts[which], "broken.toml": '[unit.x]\nracks = "left"\n'}
    branched(root, texts["base"], texts["ours"], texts["theirs"])
    ran = asked(root)
    name = {"ours": "main", "theirs": "other", "base": "the commit at which they parted"}[which]
    assert ran.status == 2
    assert ran.out == ""
    assert f"The wiring of {name} has errors" in plain(ran.err)
    assert "broken.toml:2:1" in ran.err
    errors = json.loads(asked(root, "--json").out)["errors"]
    assert [error["id"] for error in errors] == ["unknown-key", "side-broken"]


def test_what_is_not_recorded_takes_no_part(root: Path) -> None:
    branched(root, *FINE)
    write(root, weir(ours=BOOTH_1.replace("13", "14")))
    ran = asked(root)
    assert ran.status == 0
    assert "Not recorded yet, and so not joined: ours.toml." in plain(ran.out)


def test_a_half_done_merge_is_no_hindrance(root: Path) -> None:
    branched(root, *TORN)
    git(root, "merge", "-q", "other", check=False)
    ran = asked(root, other="MERGE_HEAD")
    assert ran.status == 1
    assert "x.toml:3" in ran.out


# -- forms and requests -------------------------------------------------------------------------------------------------


def test_the_document_names_everything(root: Path) -> None:
    _, ours, theirs = branched(root, *TWICE)
    found = document(asked(root, "--json"))
    assert (found["ours"], found["theirs"], found["relation"], found["fine"]) == (ours, theirs, "apart", False)
    tied, wrong = found["wrong"]
    assert (tied["kind"], tied["rule"], tied["severity"]) == ("outputs-tied", "outputs-tied", "error")
    assert (wrong["kind"], wrong["rule"], wrong["at"]) == ("used-twice", "jack-wired-twice", ["north/top 13"])
    assert {place["place"]["file"] for place in wrong["places"]} == {"ours.toml", "theirs.toml"}
    (both,) = found["both"]
    assert (both["kind"], both["names"], both["alike"]) == ("jack", ["north/top 13"], False)


def test_markdown(root: Path) -> None:
    branched(root, *({f"studio/{name}": text for name, text in texts.items()} for texts in TWICE))
    ran = asked(root / "studio", "--markdown")
    ids = re.findall(r"^(?:Into|From): .*?, `([0-9a-f]{10})`, \"", ran.out, re.MULTILINE)
    assert ids == [git(root, "rev-parse", "--short=10", name) for name in ("HEAD", "other")]
    assert ran.status == 1
    assert "### Used twice" in ran.out
    assert "`studio/ours.toml:2`" in ran.out
    assert ran.out.splitlines()[0] == ran.out.splitlines()[-1]


def test_markdown_is_cut_to_what_a_comment_holds(root: Path) -> None:
    cables = "".join(
        f'[[cable]]\nfrom = "booth/{{0}}"\nto = "south/top {number}"\nnumber = "{{0}}-{number} {"x" * 200}"\n'
        for number in range(1, 17)
    )
    branched(root, weir(), weir(ours=cables.format("1")), weir(theirs=cables.format("2")))
    ran = asked(root, "--markdown")
    assert ran.status == 1
    assert len(ran.out) <= 65_000


@pytest.mark.parametrize("texts", [FINE, TWICE, TORN])
def test_lines_fit(root: Path, texts: tuple[dict[str, str], dict[str, str], dict[str, str]]) -> None:
    branched(root, *texts)
    assert all(len(line) <= 80 for line in asked(root).out.splitlines())


def test_a_name_cannot_write_over_the_terminal(root: Path) -> None:
    branched(root, *TWICE)
    git(root, "branch", "tur\u202ened", "other")
    ran = asked(root, other="tur\u202ened")
    assert ran.status == 1
    assert "\u202e" not in ran.out
    assert "tur\\u202ened" in ran.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (["othre"], "Did you mean other?"),
        (["other..main"], "is a range"),
        (["--in", "."], "Missing argument"),
        (["other", "--markdown", "--json"], "Choose one of --markdown and --json."),
        (["other", "--into", "nowhere"], 'There is no commit "nowhere"'),
        (["heads/--output=x"], "There is no commit"),
        (["staged"], "There is no commit"),
        (["other", "main"], "unexpected extra argument"),
    ],
)
def test_what_cannot_be_asked(root: Path, arguments: list[str], said: str, monkeypatch: pytest.MonkeyPatch) -> None:
    branched(root, *FINE)
    monkeypatch.chdir(root)
    ran = ask("before-merge", *arguments)
    assert ran.status == 2
    assert said in plain(ran.err + ran.out)


def test_without_a_repository(root: Path) -> None:
    root.mkdir()
    write(root, weir())
    ran = asked(root)
    assert ran.status == 2
    assert "is not in a git repository" in plain(ran.err)


def test_without_room_for_temporary_files(root: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    branched(root, *FINE)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path / "nowhere"))
    ran = asked(root)
    assert ran.status == 2
    assert "needs a folder for temporary files" in plain(ran.err)


def test_a_git_that_cannot_join_aside(root: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What git before 2.38 says to `merge-tree --write-tree` (the words are from memory)."""
    branched(root, *FINE)
    usage = process.Done(129, b"", "usage: git merge-tree <base-tree> <branch1> <branch2>")
    real = process.run

    def old(folder: Path, *words: str, **more: Any) -> process.Done:
        return usage if "merge-tree" in words else real(folder, *words, **more)

    monkeypatch.setattr(merging, "run", old)
    ran = asked(root)
    assert ran.status == 2
    assert "Install git 2.38 or newer" in plain(ran.err)


def test_a_text_that_is_missing_from_this_copy(root: Path) -> None:
    branched(root, *FINE)
    blob = git(root, "rev-parse", "other:theirs.toml")
    (root / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    ran = asked(root)
    assert ran.status == 2
    assert 'The text of "theirs.toml"' in plain(ran.err)
    assert "The wiring of other has errors" in plain(ran.err)


def test_a_readme_that_is_missing_from_this_copy(root: Path) -> None:
    """All wiring can be read, and git still cannot join."""
    base, one, other = FINE
    branched(root, {**base, "README": "a\nb\nc\n"}, {**one, "README": "a\nb\nd\n"}, {**other, "README": "e\nb\nc\n"})
    blob = git(root, "rev-parse", "other:README")
    (root / ".git" / "objects" / blob[:2] / blob[2:]).unlink()
    ran = asked(root)
    assert ran.status == 2
    assert "a part of their history is missing or damaged" in plain(ran.err)
