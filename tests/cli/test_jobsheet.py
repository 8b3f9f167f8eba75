"""`jobsheet`: text of 80 columns, Markdown, JSON by its schema, one page with a strict policy; hostile names; results that `check` reads."""

import csv
import json
import re
import shlex
from html.parser import HTMLParser
from pathlib import Path

import fastjsonschema
import pytest

from routecode.show.schemas import schemas
from tests.cli.asking import ask, change, forget, git, small
from tests.files.shop import pin
from tests.show.paper_reading import pages, signs, squeezed

HOSTILE = '<script>alert(1)</script> [x](http://evil.example) @all #1 \\"q\\"'


@pytest.fixture
def studio(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The starter studio, recorded, then rewired and not recorded."""
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.chdir(tmp_path)
    folder = small(tmp_path / "studio")
    git(folder, "init", "--quiet")
    git(folder, "add", ".")
    git(folder, "commit", "--quiet", "-m", "First")
    forget()
    return folder


def rewired(folder: Path, title: str = "New box") -> None:
    """One more unit with two cables to it."""
    text = f"""
[unit.newbox]
title = "{title}"
[[unit.newbox.port]]
name = ["in 1", "in 2"]
direction = "in"
signal = "line"
connector = "xlr-f"
[unit.newsource]
title = "Source {title}"
[[unit.newsource.port]]
name = ["out 1", "out 2"]
direction = "out"
signal = "line"
connector = "xlr-m"
[[cable]]
number = "Z1..2"
from = "newsource/out 1..2"
to = "newbox/in 1..2"
metres = 3
"""
    (folder / "new.toml").write_text(text, encoding="utf-8")


def test_the_sheet_fits_80_columns_and_has_its_three_parts(studio: Path) -> None:
    rewired(studio)
    ran = ask("jobsheet", "--in", str(studio))
    assert ran.status == 0, ran.err
    lines = ran.out.splitlines()
    assert max(map(len, lines)) <= 80
    heads = [line for line in lines if re.match(r"[123]\. ", line)]
    assert heads == ["1. At the bench beforehand", "2. At the racks, studio down", "3. Tests"]
    for wanted in ("Headphones off heads", "[ ] Z1:", "Done differently:", "Initials:", "Undoing everything"):
        assert wanted in ran.out, wanted


def test_the_way_back_is_a_command_that_works(studio: Path) -> None:
    rewired(studio)
    git(studio, "add", ".")
    git(studio, "commit", "--quiet", "-m", "Second")
    forget()
    ran = ask("jobsheet", "2..1", "--in", str(studio))
    back = re.search(r"The way back: routecode jobsheet (\S+) ", ran.out)
    assert back is not None
    assert back[1] == "1..2"
    again = ask("jobsheet", back[1], "--in", str(studio))
    assert again.status == 0
    assert "Tag both ends of Z1-2" in again.out
    assert "Take New box out" in again.out


def test_nothing_to_do_says_so(studio: Path) -> None:
    ran = ask("jobsheet", "--in", str(studio))
    assert ran.status == 0
    assert "Nothing for the hands" in ran.out
    assert "Before anything" not in ran.out


def test_json_is_as_its_schema_says(studio: Path) -> None:
    rewired(studio)
    ran = ask("jobsheet", "--json", "--in", str(studio))
    found = json.loads(ran.out)
    fastjsonschema.compile(json.loads(schemas()["schemas/jobsheet.schema.json"]))(found)
    assert [step["kind"] for step in found["steps"]].count("lay") == 1
    assert found["after"] == "worktree"
    numbers = [step["number"] for step in found["steps"]]
    assert numbers == sorted(numbers)
    tested = {test["kind"]: test["number"] for test in found["tests"]}
    assert sorted({*numbers, *tested.values()}) == list(range(1, len({*numbers, *tested.values()}) + 1))
    on = next(step["number"] for step in found["steps"] if step["kind"] == "power on")
    assert tested["continuity"] < on < tested["level"]
    assert [step["part"] for step in found["steps"] if step["kind"] == "power on"] == ["tests"]


class Tags(HTMLParser):
    """Every tag of a page, and its policy."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.policy = ""
        self.boxes = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note it."""
        self.tags.add(tag)
        given = dict(attrs)
        if given.get("http-equiv") == "Content-Security-Policy":
            self.policy = given.get("content") or ""
        self.boxes += given.get("class") == "box"


def test_the_page_has_boxes_a_strict_policy_and_no_markup_of_names(studio: Path, tmp_path: Path) -> None:
    rewired(studio, HOSTILE)
    page = tmp_path / "job.html"
    ran = ask("jobsheet", "--html", str(page), "--in", str(studio))
    assert ran.status == 0, ran.err
    text = page.read_text(encoding="utf-8")
    tags = Tags()
    tags.feed(text)
    assert tags.tags <= {
        "html",
        "head",
        "meta",
        "title",
        "style",
        "body",
        "h1",
        "h2",
        "p",
        "br",
        "div",
        "strong",
        "ul",
        "li",
        "span",
        "pre",
    }
    assert tags.policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in tags.policy
    assert tags.boxes > 5
    assert "&lt;script&gt;" in text
    assert ask("jobsheet", "--html", str(page), "--in", str(studio)).status == 0


def test_a_file_of_someone_else_is_not_replaced(studio: Path, tmp_path: Path) -> None:
    rewired(studio)
    page = tmp_path / "job.html"
    page.write_text("mine", encoding="utf-8")
    ran = ask("jobsheet", "--html", str(page), "--in", str(studio))
    assert ran.status == 2
    assert "--force" in ran.err
    assert page.read_text(encoding="utf-8") == "mine"
    assert ask("jobsheet", "--html", str(page), "--force", "--in", str(studio)).status == 0


def test_markdown_of_hostile_names_is_text(studio: Path) -> None:
    from markdown_it import MarkdownIt

    rewired(studio, HOSTILE)
    ran = ask("jobsheet", "--markdown", "--in", str(studio))
    assert "- [ ] **1**" in ran.out
    html = MarkdownIt("commonmark", {"html": True, "linkify": True}).render(ran.out)
    assert "<script" not in html
    assert "<a " not in html


def test_control_characters_of_names_do_not_reach_the_terminal(studio: Path) -> None:
    rewired(studio, "bad\\u202ename")
    for words in ((), ("--markdown",), ("--json",)):
        assert "\u202e" not in ask("jobsheet", *words, "--in", str(studio)).out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nowhere..last",), "There is no commit"),
        (("1...2",), "two dots"),
        (("--json", "--markdown"), "Choose one of"),
        (("--force",), "--force goes with --html FILE or --pdf"),
        (("--test",), "Did you mean --tests?"),
    ],
)
def test_a_typing_mistake_is_answered(studio: Path, words: tuple[str, ...], said: str) -> None:
    ran = ask("jobsheet", *words, "--in", str(studio))
    assert ran.status == 2
    assert said in ran.err + ran.out


def test_results_are_written_filled_in_and_held_by_check(studio: Path) -> None:
    rewired(studio)
    ran = ask("jobsheet", "--write-results", "--in", str(studio))
    assert ran.status == 0, ran.err
    path = studio / "results.csv"
    missing = ask("check", "--in", str(studio))
    assert "test-missing" in missing.out
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) > 2
    for row in rows:
        row["result"] = "ok"
    rows[0]["result"] = "fail"
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, rows[0])
        writer.writeheader()
        writer.writerows(rows)
    failed = ask("check", "--in", str(studio))
    assert failed.status == 1
    assert "results.csv:2:1 (test-failed)" in failed.out
    assert "test-missing" not in failed.out
    change(path, ",fail,", ",ok,")
    assert "test-" not in ask("check", "--in", str(studio)).out
    assert ask("jobsheet", "--write-results", "--in", str(studio)).status == 0
    assert path.read_text(encoding="utf-8").count(",ok,") == len(rows)


def test_check_without_results_reads_none(studio: Path) -> None:
    assert "results" not in ask("check", "--in", str(studio)).out


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("letter", (612, 792))])
def test_the_paper_has_every_step_boxes_and_room_to_write(studio: Path, paper: str, size: tuple[int, int]) -> None:
    rewired(studio, HOSTILE)
    ran = ask("jobsheet", "--pdf", "job.pdf", "--paper", paper, "--in", str(studio))
    assert (ran.status, ran.out) == (0, "job.pdf\n"), ran.err
    found = pages(Path("job.pdf").read_bytes())
    assert {(round(page.width), round(page.height)) for page in found} == {size}
    text = "".join(map(signs, found))
    steps = json.loads(ask("jobsheet", "--json", "--in", str(studio)).out)["steps"]
    assert steps
    for step in steps:
        assert squeezed(f"{step['number']}. {step['text']}") in text
    assert text.count("Donedifferently:") == len(steps)
    assert text.count("Date,initials:") > len(steps)
    assert squeezed("Headphones off heads, monitors down") in text
    assert sum(len(page.rects) for page in found) > len(steps)
    inside = [char["x0"] >= 0 and char["x1"] <= size[0] for page in found for char in page.chars]
    assert all(inside)
    assert all(f"page{number}of{len(found)}" in signs(page) for number, page in enumerate(found, 1))


def test_the_test_sheet_alone_and_a_revision_on_its_pages(studio: Path) -> None:
    rewired(studio)
    git(studio, "add", ".")
    git(studio, "commit", "--quiet", "-m", "Second")
    forget()
    assert ask("jobsheet", "2..1", "--tests", "--pdf", "tests.pdf", "--in", str(studio)).status == 0
    found = pages(Path("tests.pdf").read_bytes())
    text = "".join(map(signs, found))
    assert "Donedifferently" not in text
    assert squeezed("Result (ok or fail)") in text or squeezed("result (ok or fail)") in text
    assert all(git(studio, "rev-parse", "HEAD") in signs(page) for page in found)
    assert ask("jobsheet", "2..1", "--tests", "--pdf", "tests.pdf", "--in", str(studio)).status == 0


def test_a_pdf_of_someone_else_is_not_replaced(studio: Path) -> None:
    rewired(studio)
    Path("mine.pdf").write_text("mine", encoding="utf-8")
    ran = ask("jobsheet", "--pdf", "mine.pdf", "--in", str(studio))
    assert (ran.status, "--force" in ran.err) == (2, True)
    assert ask("jobsheet", "--pdf", "mine.pdf", "--html", "mine.pdf", "--in", str(studio)).status == 2
    assert Path("mine.pdf").read_text(encoding="utf-8") == "mine"


def test_the_page_of_jobs_is_printed_and_its_commands_work(studio: Path) -> None:
    page = ask("rules", "--jobs").out
    assert "## The file of results" in page
    commands = re.findall(r"^    (routecode .+|git .+)$", page, re.MULTILINE)
    assert [line.split()[1] for line in commands] == ["jobsheet", "check", "add", "commit"]
    rewired(studio)
    assert ask(*commands[0].split()[1:], "--in", str(studio)).status == 0
    assert "test-missing" in ask("check", "--in", str(studio)).out
    git(studio, *commands[2].split()[1:])
    git(studio, *shlex.split(commands[3])[1:])
    assert "results.csv" in git(studio, "show", "--stat", "HEAD")


def test_every_id_that_check_shows_of_results_has_a_page() -> None:
    for rule in ("test-missing", "test-failed", "test-out-of-range", "test-stale", "results-unreadable"):
        ran = ask("rules", rule)
        assert ran.status == 0
        assert ran.out.startswith(f"{rule}: ")


@pytest.mark.parametrize(
    ("option", "name", "right"),
    [
        ("--html", "j.pdf", "j.html"),
        ("--pdf", "job.html", "job.pdf"),
        ("--html", "job.txt", "job.html"),
        ("--pdf", "job.HTM", "job.pdf"),
    ],
)
def test_a_name_that_says_another_format_is_refused_with_the_right_one(
    studio: Path, monkeypatch: pytest.MonkeyPatch, option: str, name: str, right: str
) -> None:
    rewired(studio)
    monkeypatch.chdir(studio)
    kept = b"<!doctype html><p>mine"
    (studio / name).write_bytes(kept)
    ran = ask("jobsheet", option, name, "--force")
    assert ran.status == 2
    assert f"Write {option} {right}" in ran.err
    assert (studio / name).read_bytes() == kept
    assert not (studio / right).exists()


def test_the_files_as_they_are_now_may_be_named_and_labels_are_asked_for_so(
    studio: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(studio)
    bay = next(path for path in sorted(studio.rglob("*.toml")) if "[bay.main]" in path.read_text())
    scaled = bay.read_text().replace("columns = 24", "columns = 24\npitch_mm = 18", 1)
    bay.write_text(scaled)
    git(studio, "commit", "--quiet", "-am", "Scaled")
    forget()
    bay.write_text(f'{scaled}\n[[bay.main.column]]\nat = "24"\nlabel_top = "Spare"\n')
    said = [ask("jobsheet", *words) for words in ((), ("last",), ("last..worktree",))]
    assert [ran.status for ran in said] == [0, 0, 0]
    for ran in said:
        told = " ".join(ran.out.split())
        assert "(routecode labels last..worktree)" in told
        assert "The way back" not in told
    assert "routecode jobsheet last..worktree --write-results" in " ".join(said[2].out.split())
    labels = ask("labels", "last..worktree", "-o", "labels.pdf")
    assert labels.status == 0
