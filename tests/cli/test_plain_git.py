"""The diff driver of the page `git`, pasted and run with real git."""

from pathlib import Path

import pytest

from tests.cli.plain_git import Machine, changed, recipes

SET_UP, FOR_ALL, FOR_ME, CACHE, FORGET = recipes("git diff")


@pytest.fixture
def host(tmp_path: Path) -> Machine:
    made = Machine(tmp_path)
    made.run(SET_UP)
    made.run(FOR_ME)
    return made


@pytest.mark.parametrize("here", [FOR_ALL, FOR_ME])
@pytest.mark.parametrize("below", ["", "studios/mill race"])
def test_both_ways_of_naming_the_files_work(tmp_path: Path, here: str, below: str) -> None:
    host = Machine(tmp_path, below)
    host.run(SET_UP)
    host.longer()
    assert all(line[1:].startswith("metres") for line in changed(host.run("git diff")))
    host.run(here)
    assert changed(host.run("git diff"))
    assert all(line[1:6] == "cable" for line in changed(host.run("git diff")))


def test_nothing_is_turned_on_by_a_repository(tmp_path: Path) -> None:
    """Attributes that came with a repository do nothing where nobody set the driver up."""
    host = Machine(tmp_path)
    host.run(FOR_ALL)
    host.longer()
    assert all(line[1:].startswith("metres") for line in changed(host.run("git diff")))


def test_work_tree_index_and_history_speak_plain_lines(host: Machine) -> None:
    host.longer(31)
    lines = changed(host.run("git diff"))
    assert lines
    assert all(line[1:].startswith("cable L") for line in lines)
    assert sum(line.startswith("+") and "metres = 31" in line for line in lines) == len(lines) / 2
    assert host.run("git diff --cached") == ""
    host.run("git add --all")
    assert changed(host.run("git diff --cached")) == lines
    assert host.run("git diff") == ""
    host.commit("A longer cable")
    for shown in ("git log -p -1", "git show", "git diff HEAD~1", "git diff HEAD~1 HEAD"):
        assert changed(host.run(shown)) == lines, shown
    assert changed(host.run("git show --no-textconv"))[1] == "+metres = 31"
    assert "L101" in host.run("git blame -L 1,60 cables.toml")


def test_a_patch_for_machines_is_the_text(host: Machine) -> None:
    """What git applies must not be made of plain lines."""
    host.longer(31)
    host.run("git diff --no-textconv > ../change.patch && git checkout --quiet . && git apply ../change.patch")
    host.commit("A longer cable")
    assert "+metres = 31\n" in host.run("git format-patch --stdout -1")


def test_new_deleted_and_renamed_files(host: Machine) -> None:
    host.run("git mv rooms.toml places.toml")
    shown = host.run("git diff --cached -M")
    assert "rename to places.toml" in shown
    assert changed(shown) == []
    host.run("git rm --quiet routes.toml")
    assert changed(host.run("git diff --cached -- routes.toml"))[0].startswith("-")
    (host.studio / "new.toml").write_text('[unit.extra]\ntitle = "Extra"\n', "utf-8")
    assert host.run("git diff -- new.toml") == ""
    host.run("git add --intent-to-add new.toml")
    assert changed(host.run("git diff -- new.toml")) == ["+unit extra: title = Extra"]


def test_what_is_no_toml_comes_out_as_it_is(host: Machine) -> None:
    host.broken()
    assert "+[[cable]" in changed(host.run("git diff"))
    (host.studio / "odd.toml").write_bytes(b"\x00\x01\x1b]0;title\x07")
    (host.studio / "latin.toml").write_bytes(b"# caf\xe9 \x1b[31m\r\nx = [\r\n")
    host.run("git add odd.toml latin.toml")
    (line,) = changed(host.run("git diff --cached -- odd.toml"))
    assert line.startswith("+not text: 12 bytes, SHA-256 ")
    assert changed(host.run("git diff --cached -- latin.toml")) == [r"+# caf\xe9 \x1b[31m", "+x = ["]


def test_a_merge_that_was_settled_by_hand_is_shown(host: Machine) -> None:
    host.run("git checkout --quiet -b side")
    host.longer(40)
    host.commit("forty")
    host.run("git checkout --quiet main")
    host.longer(50)
    host.commit("fifty")
    host.run("git merge --quiet side", status=1)
    assert "<<<<<<<" in host.run("git diff")
    host.run("git checkout --quiet --ours cables.toml")
    host.longer(45)
    host.commit("both")
    shown = host.run("git show")
    assert "++cable L101" in shown
    assert "metres = 45" in shown
    assert changed(host.run("git log -p -m -1 --format="))


def test_what_git_keeps_is_taken_away_again(host: Machine) -> None:
    host.run(CACHE)
    host.longer()
    host.commit("Longer")
    first = host.run("git show")
    assert "refs/notes/textconv/wiring" in host.run("git for-each-ref")
    host.program("routecode", "#!/bin/sh\nexit 1\n")
    assert host.run("git show") == first
    host.run(FORGET)
    assert "refs/notes" not in host.run("git for-each-ref")


def test_the_command_says_what_it_cannot_read(host: Machine) -> None:
    host.run("routecode plain nothing.toml", status=2)
    assert "nothing.toml cannot be read" in host.err
    host.run("routecode plain bays", status=2)
    assert "Traceback" not in host.err
