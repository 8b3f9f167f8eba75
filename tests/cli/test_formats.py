"""`diff` and `check` in other forms: what goes together, and what they leave on stdout, stderr and as a status."""

from pathlib import Path

import pytest

from tests.cli.asking import ROOT, ask, change, git, small


@pytest.fixture
def studio(machine: Path) -> Path:
    """A studio with one commit, below the top of its repository, and an edit that is not recorded."""
    folder = small(machine / "studios" / "small")
    git(machine, "init", "--quiet", ".")
    git(machine, "add", "--all")
    git(machine, "commit", "--quiet", "-m", "As it is")
    change(folder / "studio.toml", 'title = "Small"', 'title = "Small one"')
    return folder


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("diff --markdown --json", "Choose one of --markdown and --json."),
        ("diff --annotations --draft --markdown", "Choose one of --markdown and --annotations and --draft."),
        ("diff --markdown --expand", "--expand goes with the text, not with --markdown"),
        ("diff --annotations --undo studio.toml:1", "--undo does not go with --annotations."),
        ("check --annotations --json", "Choose one of --annotations and --json."),
    ],
)
def test_options_that_exclude_each_other_say_so(studio: Path, words: str, told: str) -> None:
    ran = ask(*words.split(), "--in", str(studio))
    assert ran.status == 2
    assert told in " ".join((ran.out + ran.err).split())


def test_a_refusal_is_told_in_the_form_that_is_asked_for(studio: Path) -> None:
    (studio / "studio.toml").write_text("[studio\n", encoding="utf-8")
    marked = ask("check", "--annotations", "--in", str(studio))
    assert marked.status == 2
    assert marked.out.startswith("::error file=studios/small/studio.toml,line=1,")
    assert marked.out.count("\n") == 1
    assert marked.err == ""
    marked = ask("diff", "--annotations", "--in", str(studio))
    assert (marked.status, marked.out.split(",")[0]) == (2, "::error file=studios/small/studio.toml")
    text = ask("diff", "--markdown", "--in", str(studio))
    assert text.status == 2
    assert text.out.startswith("**Nothing was compared: 1 error.**")
    assert "`studios/small/studio.toml:1:" in text.out


def test_errors_of_the_side_before_are_not_marked_in_the_files(studio: Path) -> None:
    good = (studio / "studio.toml").read_text(encoding="utf-8")
    (studio / "studio.toml").write_text("[studio\n", encoding="utf-8")
    git(studio, "commit", "--quiet", "--all", "-m", "Broken")
    (studio / "studio.toml").write_text(good, encoding="utf-8")
    marked = ask("diff", "--annotations", "--in", str(studio))
    assert marked.status == 2
    assert "file=" not in marked.out.split("::")[1]
    assert "Before this change (studios/small/studio.toml:1)" in marked.out


def test_a_revision_that_is_not_there_is_told_in_markdown(studio: Path) -> None:
    ran = ask("diff", "nothing..last", "--markdown", "--in", str(studio))
    assert ran.status == 2
    assert 'There is no commit "nothing"' in ran.out


def test_markdown_names_the_command_and_the_sides(studio: Path) -> None:
    ran = ask("diff", "--markdown", "--in", str(studio))
    assert ran.status == 0
    assert ran.out.startswith("**")
    assert '"As it is"' in ran.out
    assert "After: the files as they are now" in ran.out
    assert ask("diff", "--markdown", "--exit-code", "--in", str(studio)).status == 1


def test_what_is_staged_is_a_revision_of_its_own(studio: Path) -> None:
    assert ask("diff", "last..staged", "--exit-code", "--in", str(studio)).status == 0
    assert ask("diff", "staged", "--exit-code", "--in", str(studio)).status == 1
    git(studio, "add", "--all")
    assert ask("diff", "last..staged", "--exit-code", "--in", str(studio)).status == 1
    assert ask("diff", "staged", "--exit-code", "--in", str(studio)).status == 0
    (studio / "more.toml").write_text('[room.extra]\ntitle = "Extra"\n', encoding="utf-8")
    told = ask("diff", "last..staged", "--in", str(studio)).out
    assert "After: what is staged, not staged: more.toml" in told
    assert ask("check", "--at", "staged", "--in", str(studio)).status == 0
    (studio / "studio.toml").write_text("[studio\n", encoding="utf-8")
    assert ask("check", "--at", "staged", "--in", str(studio)).status == 0
    assert ask("check", "--in", str(studio)).status == 2


def test_reading_what_is_staged_changes_nothing(studio: Path) -> None:
    git(studio, "add", "--all")
    top = studio.parents[1]
    before = {path: path.read_bytes() for path in (top / ".git").rglob("*") if path.is_file()}
    ask("diff", "last..staged", "--draft", "--in", str(studio))
    ask("check", "--at", "staged", "--in", str(studio))
    assert {path: path.read_bytes() for path in (top / ".git").rglob("*") if path.is_file()} == before


def test_a_conflict_in_the_index_is_told(studio: Path) -> None:
    git(studio, "checkout", "--quiet", "-b", "side")
    git(studio, "commit", "--quiet", "--all", "-m", "one")
    git(studio, "checkout", "--quiet", "-")
    change(studio / "studio.toml", 'title = "Small"', 'title = "Small two"')
    git(studio, "commit", "--quiet", "--all", "-m", "two")
    with pytest.raises(Exception, match="merge"):
        git(studio, "merge", "side")
    ran = ask("diff", "last..staged", "--in", str(studio))
    assert ran.status == 2
    assert "A merge is half done" in " ".join(ran.err.split())


@pytest.mark.parametrize(("option", "page"), [("--git", "git.md"), ("--changes", "changes.md")])
def test_pages_are_printed_as_they_are(option: str, page: str) -> None:
    assert ask("rules", option).out == (ROOT / "routecode" / "pages" / page).read_text(encoding="utf-8")
