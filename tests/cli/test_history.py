"""`routecode history`, asked as a person would: text, Markdown, JSON, filters, mistakes of typing, repositories without a history."""

import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import fastjsonschema
import pytest

from routecode.cli.past import Progress
from tests.change.wiring import PLAIN
from tests.cli.asking import ROOT, ask, change, forget, git, small
from tests.files.shop import put
from tests.history.mill import example


@pytest.fixture(scope="module")
def mill(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The example's history. What is worked out of it is kept: `test_kept` holds kept answers against those worked out."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("ROUTECODE_KEEP", "yes")
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield str(example())


def document(*arguments: str) -> dict[str, object]:
    ran = ask("history", *arguments, "--json")
    found: dict[str, object] = json.loads(ran.out)
    schema = json.loads((ROOT / "schemas" / "history.schema.json").read_text(encoding="utf-8"))
    fastjsonschema.compile(schema)(found)
    return found


def numbers(*arguments: str) -> list[int]:
    found = document(*arguments)["entries"]
    assert isinstance(found, list)
    return [entry["number"] for entry in found]


def recorded(folder: Path, **texts: str) -> Path:
    """A small studio in git, all of it recorded."""
    small(folder, **texts)
    git(folder, "init", "-q")
    commit(folder, "As it is")
    return folder


def commit(folder: Path, message: str) -> None:
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "--cleanup=verbatim", "-m", message)


# -- text ------------------------------------------------------------------------------------------------------------------


def test_every_commit_is_told_within_eighty_columns(mill: str) -> None:
    ran = ask("history", "--in", mill)
    assert (ran.status, ran.err) == (0, "")
    assert all(len(line) <= 80 for line in ran.out.splitlines())
    count = int(git(Path(mill), "rev-list", "--count", "HEAD"))
    assert ran.out.startswith(f"Millrace: {count} commits that touched the wiring, the newest first.\n")
    heads = re.findall(r"^ +(\d+)  (\d{4}-\d\d-\d\d)  ", ran.out, re.MULTILINE)
    dates = git(Path(mill), "log", "--format=%cs").split("\n")
    assert heads == [(str(number), date) for number, date in enumerate(dates, 1)]
    assert "88 paths lost; 2 needs now fail; 2 errors new." in ran.out


def test_the_command_it_ends_with_works(mill: str) -> None:
    ran = ask("history", "--in", mill, "--unit", "comp-b", "--losses")
    command = ran.out.splitlines()[-1]
    assert command.startswith("To see one whole: routecode diff ")
    words = command.partition("routecode ")[2].split()
    shown = ask(*words)
    assert shown.status == 0
    assert "Compressor B" in shown.out


def test_text_only_commits_are_folded_and_unfolded(tmp_path: Path) -> None:
    folder = recorded(tmp_path / "small")
    for number in range(8):
        put(folder, "comments.toml", f"# {number}\n")
        commit(folder, f"Comment {number}")
    folded = ask("history", "--in", str(folder)).out
    assert " 1-8  " in folded
    assert "8 commits that changed only text, the wiring is the same:" in folded
    assert "and 3 more" in folded
    unfolded = ask("history", "--in", str(folder), "--unfold").out
    assert unfolded.count("Only text: the wiring is the same.") == 8
    assert "Comment 0" in unfolded


def test_what_is_not_recorded_yet_is_mentioned(tmp_path: Path) -> None:
    folder = recorded(tmp_path / "small")
    assert "differ from it" not in ask("history", "--in", str(folder)).out
    put(folder, "more.toml", "# more\n")
    out = ask("history", "--in", str(folder)).out
    command = next(line for line in out.splitlines() if "differ from it" in line).partition("routecode ")[2]
    forget()
    assert ask(*command.split()).status == 0


def test_hostile_text_moves_nothing(tmp_path: Path) -> None:
    folder = recorded(tmp_path / "small")
    put(folder, "more.toml", "# \n")
    commit(folder, "\x1b[2J\x1b]0;x\x07 \u202ereversed <img src=x> [a](b) @all #1")
    text = ask("history", "--in", str(folder)).out
    assert "\x1b" not in text
    assert "\\x1b[2J" in text
    assert "\u202e" not in text
    markdown = ask("history", "--in", str(folder), "--markdown").out
    assert "\x1b" not in markdown
    assert "<img" not in markdown.replace("\\<img", "")
    assert "[a](b)" not in markdown
    raw = ask("history", "--in", str(folder), "--json").out
    assert "\u202e" not in raw
    assert "\x1b" not in raw


# -- Markdown and JSON ---------------------------------------------------------------------------------------------------------


def test_markdown_is_one_heading_a_commit(mill: str) -> None:
    out = ask("history", "--in", mill, "--markdown").out
    count = int(git(Path(mill), "rev-list", "--count", "HEAD"))
    assert len(re.findall(r"^## \d+\. ", out, re.MULTILINE)) == count
    assert "**88 paths lost; 2 needs now fail; 2 errors new.**" in out


def test_the_document_keeps_its_shape_and_says_what_git_says(mill: str) -> None:
    found = document("--in", mill)
    entries = found["entries"]
    assert isinstance(entries, list)
    assert found["commits"] == len(entries)
    assert [entry["id"] for entry in entries] == git(Path(mill), "rev-list", "HEAD").split("\n")
    assert [entry["parents"] for entry in entries] == [
        line.split()[1:] for line in git(Path(mill), "rev-list", "--parents", "HEAD").split("\n")
    ]


# -- filters -------------------------------------------------------------------------------------------------------------------


def test_filters_choose(mill: str) -> None:
    everything = document("--in", mill)["entries"]
    assert isinstance(everything, list)
    for sort in ("room", "unit", "bay", "setup"):
        for name in {name for entry in everything for name in entry[f"{sort}s"]}:
            expected = [entry["number"] for entry in everything if name in entry[f"{sort}s"]]
            if name in ("comp-b", "folk", "north", "hall"):
                assert numbers("--in", mill, f"--{sort}", name) == expected
    losses = [entry["number"] for entry in everything if entry["loses"]]
    assert losses
    assert numbers("--in", mill, "--losses") == losses
    assert numbers("--in", mill, "--losses", "--limit", "1") == losses[:1]
    year = [entry["number"] for entry in everything if entry["when"].startswith("2025-0")]
    assert numbers("--in", mill, "--since", "2025", "--until", "2025-09") == year
    assert numbers("--in", mill, "--unit", "comp-b", "--until", "2025-05") == [
        entry["number"] for entry in everything if "comp-b" in entry["units"] and entry["when"] < "2025-06"
    ]


def test_a_title_will_do_for_a_name(mill: str) -> None:
    assert numbers("--in", mill, "--unit", "Compressor b") == numbers("--in", mill, "--unit", "comp-b")


def test_what_was_called_otherwise_is_followed_both_ways(mill: str) -> None:
    """The unit `plate` was called `reverb` before."""
    everything = document("--in", mill)["entries"]
    assert isinstance(everything, list)
    both = [entry["number"] for entry in everything if {"plate", "reverb"} & set(entry["units"])]
    assert len(both) > 3
    assert numbers("--in", mill, "--unit", "plate") == both
    assert numbers("--in", mill, "--unit", "reverb") == both
    old = [entry["number"] for entry in everything if "reverb" in entry["units"] and entry["when"] < "2025"]
    assert numbers("--in", mill, "--unit", "plate", "--until", "2024") == old


def test_a_name_only_the_past_has_is_known_outside_the_time_asked_for(mill: str) -> None:
    ran = ask("history", "--in", mill, "--unit", "reverb", "--since", "2026-06")
    assert ran.status == 0
    assert "None of them is what was asked for." in ran.out


@pytest.mark.parametrize(
    ("arguments", "text", "do"),
    [
        (["--unit", "comp-bb"], "No revision has a unit comp-bb.", "Did you mean `comp-b`?"),
        (["--setup", "fokl"], "No revision has a setup fokl.", "Did you mean `folk`?"),
        (["--room", "Contrl room"], "No revision has a room Contrl room.", "Did you mean `control` (Control room)?"),
        (["--since", "2025-13-01"], '--since: "2025-13-01" is no date.', "Write a year"),
        (["--since", "2026", "--until", "2025"], "Nothing is after 2026", "Exchange the two"),
        (["--limit", "0"], "--limit takes a whole number", "routecode history --help"),
        (["--losess"], "There is no option --losess.", "Did you mean --losses?"),
        (["--json", "--markdown"], "Choose one of --json and --markdown.", "routecode history --help"),
        (["--force"], "--force goes with --page FILE.", "routecode history --help"),
        (["--of", "hall/line 1", "--unit", "hall"], "--of goes with", "routecode history --help"),
        (["HEAD"], "Got unexpected extra argument (HEAD)", "routecode history --help"),
    ],
)
def test_mistakes_say_what_to_do(mill: str, arguments: list[str], text: str, do: str) -> None:
    ran = ask("history", "--in", mill, *arguments)
    assert ran.status == 2
    said = " ".join((ran.out if "--json" in arguments else ran.err).split())
    assert text in said
    assert do in said
    assert "Traceback" not in said
    if "--json" not in arguments:
        assert ran.out == ""


@pytest.mark.parametrize(("limit", "verb"), [("1", "is"), ("2", "are")])
def test_how_many_are_shown(mill: str, limit: str, verb: str) -> None:
    assert re.search(rf"^{limit} of [0-9]+ {verb} shown\.$", ask("history", "--in", mill, "--limit", limit).out, re.M)


# -- no history ------------------------------------------------------------------------------------------------------------------


def test_a_folder_without_git_says_how_to_begin(tmp_path: Path) -> None:
    ran = ask("history", "--in", str(small(tmp_path / "small")))
    assert ran.status == 2
    assert "git init" in ran.err


def test_a_repository_without_a_commit_says_how_to_begin(tmp_path: Path) -> None:
    folder = small(tmp_path / "small")
    git(folder, "init", "-q")
    ran = ask("history", "--in", str(folder))
    assert ran.status == 2
    assert "No commit has touched the wiring yet" in ran.err
    assert f"routecode record --in {folder}" in ran.err


def test_a_shallow_copy_says_that_there_was_more(tmp_path: Path) -> None:
    folder = recorded(tmp_path / "small")
    put(folder, "more.toml", "# x\n")
    commit(folder, "More")
    git(tmp_path, "clone", "-q", "--depth", "1", f"file://{folder}", "copy")
    ran = ask("history", "--in", str(tmp_path / "copy"))
    assert ran.status == 0
    assert "not in this copy of the repository" in " ".join(ran.out.split())
    assert "git fetch --unshallow" in ran.out


def test_a_broken_revision_and_its_mending_are_told(tmp_path: Path) -> None:
    folder = tmp_path / "weir"
    put(folder, "studio.toml", PLAIN)
    git(folder, "init", "-q")
    commit(folder, "Fine")
    change(folder / "studio.toml", 'title = "Narration booth"', 'titel = "Narration booth"')
    commit(folder, "Typing mistake")
    change(folder / "studio.toml", 'titel = "Narration booth"', 'title = "Narration booth"')
    commit(folder, "Mended")
    ran = ask("history", "--in", str(folder))
    text = " ".join(ran.out.split())
    line = PLAIN[: PLAIN.index('title = "Narration booth"')].count("\n") + 1
    assert "Does not compile:" in text
    assert f"(studio.toml:{line}:" in text
    assert "Compiles again. Since" in text
    assert numbers("--in", str(folder), "--losses") == [2]


def test_other_commands_send_to_the_history(mill: str) -> None:
    ran = ask("diff", "999..1", "--in", mill)
    assert ran.status == 2
    assert "routecode history" in ran.err
    assert "git log" not in ran.err


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def test_a_long_run_tells_on_a_terminal_how_far_it_is(monkeypatch: pytest.MonkeyPatch) -> None:
    for stream, told in ((Terminal(), True), (io.StringIO(), False)):
        clock = iter([0.0, 0.5, 1.5, 1.6, 3.0])
        monkeypatch.setattr("routecode.cli.past.time.monotonic", lambda clock=clock: next(clock))
        monkeypatch.setattr("sys.stderr", stream)
        progress = Progress(2000)
        for done in (1, 700, 701, 1400):
            progress(done)
        progress.end()
        text = stream.getvalue()
        assert ("700 of 2,000" in text and "1,400 of 2,000" in text) is told
        assert "701" not in text
        assert not told or text.endswith("\r")
        progress.end()
        assert stream.getvalue() == text


def test_a_second_run_says_the_same(mill: str) -> None:
    assert ask("history", "--in", mill).out == ask("history", "--in", mill).out


def test_the_story_of_one_place_is_told_elsewhere(mill: str) -> None:
    ran = ask("history", "--in", mill, "--of", "hall/line 11", "--json")
    assert json.loads(ran.out)["schema"].startswith("routecode/story/")
