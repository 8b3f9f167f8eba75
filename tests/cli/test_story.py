"""`history --of PLACE` as a user asks it: text of 80 columns, Markdown, one valid document, mistakes answered, merges, odd names."""

import json
import re
from pathlib import Path
from typing import Any

import fastjsonschema
import pytest
from markdown_it import MarkdownIt

from routecode.show.schemas import schemas
from tests.cli.asking import ask, change, git, run, small

HOSTILE = 'Pre\\"amp |`*<b>@all #1'
CUT = 'number = "L2..8"\nfrom = "live/line 2..8"\nto = "pre/mic 2..8"'
WHOLE = 'number = "L1..8"\nfrom = "live/line 1..8"\nto = "pre/mic 1..8"'


def studio(folder: Path) -> Path:
    """The starter studio in git, with its first commit."""
    small(folder)
    git(folder, "init", "--quiet", "--initial-branch=main")
    return record(folder, "As it is")


def record(folder: Path, message: str) -> Path:
    git(folder, "add", "--all")
    git(folder, "commit", "--quiet", "--message", message)
    return folder


def document(text: str) -> Any:
    valid = fastjsonschema.compile(json.loads(schemas()["schemas/story.schema.json"]))
    return valid(json.loads(text))


def test_since_when_is_answered_on_top(machine: Path) -> None:
    studio(machine)
    change(machine / "cables.toml", WHOLE, CUT)
    record(machine, "Line 1 taken out")
    change(machine / "cables.toml", 'title = "Installation pair"', 'title = "Pair"')
    record(machine, "A title")
    told = ask("history", "--of", "rec/line 1")
    assert (told.status, told.err) == (0, "")
    question, _, rest = told.out.partition("Since when does this not work?")[2].partition("The story, newest first")
    assert "Live room box line 1 no longer reaches Recorder line 1." in question
    since, until = git(machine, "rev-parse", "HEAD~1"), git(machine, "rev-parse", "HEAD~2")
    assert f'Since {since[:10]}, "Line 1 taken out"' in question
    assert f'It worked until {until[:10]}, "As it is"' in question
    assert (
        f"cables.toml:{1 + (machine / 'cables.toml').read_text().split(chr(10)).index(CUT.split(chr(10))[1])}"
        in question
    )
    assert "1 revision that changed nothing of it" in rest
    assert told.out.endswith("To see one whole: routecode diff 3..2\n")


@pytest.mark.parametrize("place", ["rec/line 1", "main", "pre", "L3", "main/top 17", "near/in 1"])
def test_every_form_is_fit_for_where_it_goes(machine: Path, place: str) -> None:
    studio(machine)
    change(machine / "equipment.toml", 'title = "Preamp"', f'title = "{HOSTILE}"')
    change(machine / "cables.toml", WHOLE, CUT)
    record(machine, "Odd \x1b[31mtitle | `x` <b>\u202e")
    text = ask("history", "--of", place, "--setup", "voice").out
    assert max(map(len, text.split("\n"))) <= 80
    assert "\x1b" not in text
    assert "\u202e" not in text
    markdown = ask("history", "--of", place, "--markdown").out
    assert markdown.startswith("# ")
    assert "\x1b" not in markdown
    assert all(
        re.match(r"### (`[0-9a-f]{10}`|The files)", line) for line in markdown.splitlines() if line[:4] == "### "
    )
    page = MarkdownIt("commonmark").render(markdown)
    assert "<b>" not in page
    assert ("&lt;b&gt;" in page) == (place in ("rec/line 1", "main", "pre", "L3"))
    made = document(ask("history", "--of", place, "--setup", "voice", "--json").out)
    assert made["standing"]
    assert made["revision"]["id"] == git(machine, "rev-parse", "HEAD")
    assert [moment["kind"] for moment in made["moments"]][-1] == "appeared"
    assert all(not ways["cut"] for ways in made["ways"])


def test_the_document_names_the_line_and_the_revision(machine: Path) -> None:
    studio(machine)
    change(machine / "cables.toml", WHOLE, CUT)
    record(machine, "Line 1 taken out")
    made = document(ask("history", "--of", "rec/line 1", "--setup", "voice", "--json").out)
    needs, paths = ([one for one in made["since"] if one["kind"] == kind] for kind in ("need", "path"))
    assert [one["need"]["path"] for one in needs] == [["live/line 1", "pre/mic 1", "comp/in", "rec/line 1"]]
    assert [(one["setup"], one["paths"]) for one in paths] == [(None, [{"from": "live/line 1", "to": "rec/line 1"}])]
    assert {one["since"]["title"] for one in made["since"]} == {"Line 1 taken out"}
    assert {one["until"]["title"] for one in made["since"]} == {"As it is"}
    assert all(line["place"]["file"] == "cables.toml" for one in paths for line in one["lines"])
    assert made["moments"][0]["before"]["title"] == "As it is"


def test_what_is_not_recorded_yet_is_the_newest(machine: Path) -> None:
    studio(machine)
    change(machine / "cables.toml", WHOLE, CUT)
    told = ask("history", "--of", "live/line 1")
    assert "Since the files as they are now, not recorded yet." in told.out
    assert told.out.endswith("To see one whole: routecode diff 1\n")
    assert document(ask("history", "--of", "live/line 1", "--json").out)["revision"]["id"] == "worktree"


def test_the_files_as_they_are_now_do_not_compile(machine: Path) -> None:
    studio(machine)
    (machine / "more.toml").write_text("a = [\n")
    told = ask("history", "--of", "live/line 1")
    assert told.status == 0
    assert "what is newer does not compile" in " ".join(told.out.split())
    assert "more.toml:1" in told.out


def test_nothing_compiles(machine: Path) -> None:
    small(machine, more="a = [\n")
    git(machine, "init", "--quiet", "--initial-branch=main")
    record(machine, "Broken from the start")
    told = ask("history", "--of", "live/line 1")
    assert (told.status, told.out) == (2, "")
    assert "more.toml:1" in told.err
    for words in (("--of", "live/line 1"), ("--of=live/line 1",)):
        refused = document(ask("history", *words, "--json").out)
        assert (refused["schema"], refused["ok"]) == ("routecode/story/1", False)
    assert json.loads(ask("history", "--unit", "nothing", "--json").out)["schema"] == "routecode/history/1"


# -- places that are not there ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "meant"),
    [
        ("live/lime 1", 'Did you mean "live/line 1"?'),
        ("lvie/line 1", 'Did you mean "live/line 1"?'),
        ("Live room box/line 1", 'Did you mean "live/line 1"?'),
        ("live/line 1..4", 'One place is followed at a time, as in "live/line 1".'),
        ("main/top 99", '"main/top 1" to "main/bottom 24"'),
        ("comp/inn", 'Did you mean "comp/in"?'),
        ("cmop", 'Did you mean "comp"?'),
        ("Preamp", 'Did you mean "pre"?'),
        ("M22", 'Did you mean "M2"?'),
        ("voice", "It is a setup. What touched it: routecode history --setup voice"),
        ("rec/line 1 ch 2", 'Write "rec/line 1".'),
        ("nothing like it", 'Write "unit/port"'),
        ("\x1b[31m/\u202e", 'Write "unit/port"'),
        ("  ", "The name of the place is empty."),
        ("--help", 'Write "unit/port"'),
    ],
)
def test_a_place_that_never_was_is_answered_with_what_may_be_meant(machine: Path, asked: str, meant: str) -> None:
    studio(machine)
    change(machine / "equipment.toml", '[unit.comp]\nmodel = "compressor"\ntitle = "Compressor"\nrack = "left"\n', "")
    change(machine / "bays/main.toml", 'top = "comp/out"\nbottom = "comp/in"\n', "")
    change(machine / "setups.toml", '"comp/in", ', "")
    record(machine, "Compressor sold")
    told = ask("history", f"--of={asked}")
    assert (told.status, told.out) == (2, "")
    assert meant in " ".join(told.err.split())
    assert "\x1b" not in told.err


def test_a_place_that_is_gone_is_found(machine: Path) -> None:
    studio(machine)
    change(machine / "equipment.toml", '[unit.comp]\nmodel = "compressor"\ntitle = "Compressor"\nrack = "left"\n', "")
    change(machine / "bays/main.toml", 'top = "comp/out"\nbottom = "comp/in"\n', "")
    change(machine / "setups.toml", '"comp/in", ', "")
    record(machine, "Compressor sold")
    told = ask("history", "--of", "comp")
    assert told.status == 0
    assert "Compressor is not there any more." in told.out
    assert '"Compressor sold"' in told.out
    assert "equipment.toml:37 (before): [unit.comp]" in told.out


def test_a_setup_that_is_not_there(machine: Path) -> None:
    studio(machine)
    told = ask("history", "--of", "rec/line 1", "--setup", "vioce")
    assert told.status == 2
    assert "Did you mean `voice`?" in told.err


def test_nothing_recorded(machine: Path) -> None:
    small(machine)
    told = ask("history", "--of", "rec/line 1")
    assert told.status == 2
    assert "so it has no history" in " ".join(told.err.split())
    git(machine, "init", "--quiet")
    told = ask("history", "--of", "rec/line 1")
    assert told.status == 2
    assert "Nothing has been recorded here yet." in told.err


def test_commits_that_never_touched_the_wiring(machine: Path) -> None:
    git(machine, "init", "--quiet")
    (machine / "read.me").write_text("Nothing yet.\n")
    record(machine, "A text")
    small(machine)
    told = ask("history", "--of", "rec/line 1")
    assert told.status == 2
    assert "No commit has touched the wiring yet" in told.err
    assert "routecode record" in told.err


@pytest.mark.parametrize(
    "more", [("--limit", "3"), ("--losses",), ("--setup", "voice", "--setup", "voice"), ("--unit", "rec")]
)
def test_what_does_not_go_together(machine: Path, more: tuple[str, ...]) -> None:
    studio(machine)
    assert ask("history", "--of", "rec/line 1", *more).status == 2


# -- branches, copies, folders ---------------------------------------------------------------------------------------------


def test_a_merge_is_one_change_of_all_it_brought_in(machine: Path) -> None:
    studio(machine)
    git(machine, "checkout", "--quiet", "-b", "side")
    change(machine / "cables.toml", WHOLE, CUT)
    record(machine, "Taken out on a branch")
    change(machine / "cables.toml", CUT, CUT.replace("2..8", "3..8"))
    record(machine, "Line 2 as well")
    git(machine, "checkout", "--quiet", "main")
    change(machine / "equipment.toml", 'title = "Near loudspeakers"', 'title = "Near"')
    record(machine, "A title meanwhile")
    git(machine, "merge", "--quiet", "--no-ff", "--message", "Lines out", "side")
    made = document(ask("history", "--of", "rec/line 1", "--json").out)
    assert [one["kind"] for one in made["since"]] == ["need", "path"]
    for since in made["since"]:
        assert (since["since"]["title"], since["until"]["title"]) == ("Lines out", "A title meanwhile")
    assert [moment["revision"]["title"] for moment in made["moments"]] == ["Lines out", "As it is"]
    assert made["revisions"] == 3
    told = ask("history", "--of", "rec/line 1")
    assert "a merge" in told.out
    between = told.out.split("To see one whole: routecode diff ")[1].strip()
    assert ask("diff", between).status == 0
    assert "Live room box lines 1-2 no longer reach" in ask("diff", between).out


def test_a_merge_that_changed_nothing_here_is_no_revision(machine: Path) -> None:
    studio(machine)
    git(machine, "checkout", "--quiet", "-b", "side")
    (machine / "read.me").write_text("A note.\n")
    record(machine, "A note")
    git(machine, "checkout", "--quiet", "main")
    git(machine, "merge", "--quiet", "--no-ff", "--message", "The note", "side")
    assert document(ask("history", "--of", "rec/line 1", "--json").out)["revisions"] == 1


def test_a_shallow_copy_says_so(machine: Path) -> None:
    first = studio(machine / "whole")
    change(first / "cables.toml", WHOLE, CUT)
    record(first, "Line 1 taken out")
    git(machine, "clone", "--quiet", "--depth", "1", f"file://{first}", "copy")
    told = ask("history", "--of", "rec/line 1", "--in", str(machine / "copy"))
    assert told.status == 0
    assert "This copy of the repository is shallow" in " ".join(told.out.split())


def test_a_studio_in_a_folder_of_its_repository(machine: Path) -> None:
    git(machine, "init", "--quiet", "--initial-branch=main")
    inner = small(machine / "studios" / "one")
    record(machine, "As it is")
    change(inner / "cables.toml", WHOLE, CUT)
    record(machine, "Line 1 taken out")
    (machine / "other.toml").write_text("a = 1\n")
    record(machine, "Not of this studio")
    told = ask("history", "--of", "rec/line 1", "--in", str(inner))
    assert "Since" in told.out
    assert '"Line 1 taken out"' in told.out
    assert "Followed through 2 revisions" in told.out
    assert f"--in {inner}" in told.out


def test_as_a_process_of_its_own(machine: Path) -> None:
    studio(machine)
    told = run("history", "--of", "rec/line 1", folder=machine)
    assert (told.status, told.err) == (0, "")
    assert "Nothing is amiss" in told.out
