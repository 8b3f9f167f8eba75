"""The hooks of the page `git`, pasted and run by real commits."""

from pathlib import Path

import pytest

from tests.cli.plain_git import Machine, recipes

(MESSAGE,) = recipes("A message")
CHECK, FOR_MERGES = recipes("No commit")


@pytest.fixture
def host(tmp_path: Path) -> Machine:
    return Machine(tmp_path)


@pytest.mark.parametrize("below", ["", "studios/mill race"])
def test_a_commit_without_a_message_gets_a_draft(tmp_path: Path, below: str) -> None:
    host = Machine(tmp_path, below)
    host.run(MESSAGE)
    host.longer(26)
    host.run("git add cables.toml && git commit --quiet")
    assert "length 26" in host.message()
    assert 0 < len(host.run("git log -1 --format=%s").strip()) <= 72
    host.longer(27)
    host.run("git commit --quiet --all")
    assert "length 27" in host.message()
    host.longer(28)
    host.edit("studio.toml", 'title = "', 'title = "The ')
    host.run("git commit --quiet cables.toml")
    assert "length 28" in host.message()
    assert "studio.toml" in host.run("git status --porcelain")


def test_only_what_is_staged_is_drafted(host: Machine) -> None:
    host.run(MESSAGE)
    host.longer(26)
    host.run("git add cables.toml")
    host.longer(99)
    (host.studio / "new.toml").write_text('[unit.extra]\ntitle = "Extra"\nroom = "hall"\n', "utf-8")
    shown = " ".join(host.run("routecode diff last..staged").split())
    assert "After: what is staged, not staged: cables.toml, new.toml" in shown
    host.run("git commit --quiet")
    assert "length 26" in host.message()
    assert "99" not in host.message()
    assert "Extra" not in host.message()


@pytest.mark.parametrize("how", ["-m 'My words'", "-F ../own", "--amend --no-edit", "-C HEAD", "-t ../own"])
def test_a_message_that_is_there_stays(host: Machine, how: str) -> None:
    host.run("git commit --quiet --amend -m 'My words'")
    (host.base / "own").write_text("My words\n", "utf-8")
    host.run(MESSAGE)
    host.longer()
    host.environment["GIT_EDITOR"] = (
        "sed -i 's/My words/My words, edited/'"  # git refuses a template that nobody edited
    )
    host.run(f"git add --all . && git commit --quiet {how}")
    assert host.message() in ("My words", "My words, edited")


def test_merges_squashes_and_rewritten_commits_keep_theirs(host: Machine) -> None:
    host.run(MESSAGE)
    host.run("git checkout --quiet -b side")
    host.longer()
    host.commit("On the side")
    host.run("git checkout --quiet main")
    host.edit("rooms.toml", "title", "# more\ntitle")
    host.commit("On main")
    host.run("git merge --quiet --no-ff --edit side")
    assert host.message() == "Merge branch 'side'"
    host.run("git reset --quiet --hard HEAD~1 && git merge --quiet --squash side && git commit --quiet")
    assert host.message().startswith("Squashed commit of the following")
    host.run("git reset --quiet --hard HEAD~1 && git cherry-pick side > ../out")
    assert host.message() == "On the side"
    host.run("git revert --no-edit HEAD > ../out")
    assert host.message().startswith('Revert "On the side"')


def test_nothing_that_goes_wrong_stops_a_commit(host: Machine) -> None:
    host.run(MESSAGE)
    host.broken()
    host.run("git commit --quiet --all --allow-empty-message --no-edit")
    host.environment["GIT_EDITOR"] = """sh -c 'echo "By hand" > "$1"' -"""
    host.run("git checkout --quiet HEAD~1 -- . && git commit --quiet")
    assert host.message() == "By hand"
    host.program("routecode", "#!/bin/sh\nexit 3\n")
    host.longer(33)
    host.run("git commit --quiet --all")
    host.run("git rm --quiet -r . && git commit --quiet", host.top)
    assert host.message() == "By hand"


def test_the_first_commit_of_all_is_made(tmp_path: Path) -> None:
    host = Machine(tmp_path)
    host.run("rm -rf .git && git init --quiet . && git config user.name A && git config user.email a@millrace.example")
    host.run(MESSAGE)
    host.run(CHECK)
    host.environment["GIT_EDITOR"] = """sh -c 'echo "First" > "$1"' -"""
    host.run("git add --all && git commit --quiet")
    assert host.message() == "First"


def test_a_line_that_git_takes_for_its_own_is_kept(tmp_path: Path) -> None:
    """A title may begin with the sign of a comment."""
    host = Machine(tmp_path)
    host.run(MESSAGE)
    host.edit("units/control.toml", 'title = "', 'title = "# ')
    host.run("git commit --quiet --all")
    draft = host.run("routecode diff last~1..last --draft")
    kept = host.run("git log -1 --format=%B")
    assert "# " in draft
    assert kept.split() == draft.split()


@pytest.mark.parametrize("recipe", [MESSAGE, CHECK])
def test_a_hook_that_is_there_is_left(tmp_path: Path, recipe: str) -> None:
    host = Machine(tmp_path)
    host.run(recipe)
    hooks = host.studio / ".git" / "hooks"
    (own,) = (path for path in hooks.iterdir() if path.suffix != ".sample")
    own.write_text("#!/bin/sh\n# my own\n", "utf-8")
    host.run(recipe, status=2)
    assert own.read_text("utf-8") == "#!/bin/sh\n# my own\n"
    assert host.err


@pytest.mark.parametrize("below", ["", "studios/mill race"])
def test_errors_and_hazards_are_not_committed(tmp_path: Path, below: str) -> None:
    host = Machine(tmp_path, below)
    host.run(CHECK)
    host.longer()
    assert host.run("git commit --quiet --all -m fine") == ""
    assert host.err == ""
    host.broken()
    host.run("git commit --quiet --allow-empty -m 'nothing staged'")
    host.run("git commit --quiet --all -m broken", status=1)
    assert "cables.toml" in host.err
    assert host.message() == "nothing staged"
    host.run("git checkout --quiet HEAD -- cables.toml")
    host.hazard()
    host.run("git commit --quiet --all -m hazard", status=1)
    assert "outputs-tied" in host.err
    host.run("git commit --quiet --no-verify --all -m hazard")
    assert host.message() == "hazard"
    (host.studio / "notes.txt").write_text("no wiring\n", "utf-8")
    host.run("git add notes.txt && git commit --quiet -m 'no wiring'")
    host.program("routecode", "#!/bin/sh\nexit 127\n")
    host.longer(30)
    host.run("git commit --quiet --all -m 'not checked'", status=1)


def test_two_good_sides_that_make_a_bad_whole_are_not_merged(tmp_path: Path) -> None:
    host = Machine(tmp_path)
    host.run(CHECK)
    host.run(FOR_MERGES)
    host.run("git checkout --quiet -b side")
    (host.studio / "new.toml").write_text('[[cable]]\nfrom = "spare/out"\nto = "spare/out"\n', "utf-8")
    host.commit("side")
    host.run("git checkout --quiet main")
    host.longer()
    host.commit("main")
    host.run("git merge --quiet --no-edit side", status=1)
    assert "new.toml" in host.err


def test_linked_work_trees_and_long_messages(host: Machine) -> None:
    """A work tree of its own has an index of its own; `-v` puts the diff, in plain lines, below the message."""
    host.run(MESSAGE)
    host.run(CHECK)
    for recipe in recipes("git diff")[0], recipes("git diff")[2]:
        host.run(recipe)
    host.run("git worktree add --quiet ../linked -b linked")
    first, host.studio, host.top = host.studio, host.base / "linked", host.base / "linked"
    host.longer(61)
    host.run("git commit --quiet --all -v")
    assert "length 61" in host.message()
    assert "diff --git" not in host.message()
    assert host.run("git status --porcelain") == ""
    assert host.run("git status --porcelain", first) == ""
    host.hazard()
    host.run("git commit --quiet --all", status=1)
    assert "outputs-tied" in host.err


def test_two_studios_in_one_repository_are_both_told_and_checked(tmp_path: Path) -> None:
    host = Machine(tmp_path, "mill")
    host.run("cp -r mill weir && git add weir && git commit --quiet -m Weir", host.top)
    host.run(MESSAGE)
    host.run(CHECK)
    host.longer(61)
    host.studio = host.top / "weir"
    host.longer(62)
    host.run("git commit --quiet --all")
    assert "length 61" in host.message()
    assert "length 62" in host.message()
    host.hazard()
    host.run("git commit --quiet --all", host.top, status=1)
    assert "weir/cables.toml" in host.err
    assert "mill/cables.toml" not in host.err
