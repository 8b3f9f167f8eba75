"""What is marked as built: which revision `built` means, what is still to be done to the racks, and stages of a rewiring."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest

from routecode.files.built import may_be_marked
from routecode.files.git import Commit, Repository, open_repository
from routecode.ground.finding import Mistake
from tests.cli.asking import Ran, ask, forget, run
from tests.cli.test_before_merge_canaries import Cage
from tests.files.shop import at, pin
from tests.history.joining import ENVIRONMENT, branched, commit, git, weir, write
from tests.history.test_branches import BOOTH_1, TWO_WAYS, WAY_A

BOOTH_2 = BOOTH_1.replace("booth/1", "booth/2").replace("13", "14")
STAGES = (weir(), weir(one=BOOTH_1), weir(one=BOOTH_1, two=BOOTH_2))


@pytest.fixture
def root(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A studio rewired in two stages, nothing marked."""
    pin(monkeypatch, tmp_path / "home")
    folder = tmp_path / "mill"
    folder.mkdir()
    git(folder, "init", "-q", "-b", "main")
    for number, texts in enumerate(STAGES):
        at(monkeypatch, number)
        commit(folder, texts, f"stage {number}")
    forget()
    return folder


def asked(root: Path, *words: str) -> Ran:
    forget()
    return ask(*words, "--in", str(root))


def plain(text: str) -> str:
    return " ".join(text.split())


def repository(root: Path) -> Repository:
    found = open_repository(root)
    assert isinstance(found, Repository)
    return found


def resolved(root: Path, text: str = "built") -> str:
    found = repository(root).resolve(text)
    assert isinstance(found, Commit), found
    return found.title


# -- which one ----------------------------------------------------------------------------------------------------------


def test_built_is_the_newest_marked_commit(root: Path) -> None:
    git(root, "tag", "built/2026-03-01", "HEAD~2")
    assert resolved(root) == "stage 0"
    git(root, "tag", "built/2026-03-02", "HEAD~1")
    assert resolved(root) == "stage 1"
    git(root, "tag", "built/a-name-of-later", "HEAD~2")
    assert resolved(root) == "stage 1"
    assert resolved(root, "built~1") == "stage 0"
    assert resolved(root, "built^") == "stage 0"
    git(root, "switch", "-q", "--detach", "HEAD~2")
    assert resolved(root) == "stage 0"


@pytest.mark.parametrize("packed", [False, True])
def test_tags_of_every_kind_mark(root: Path, packed: bool) -> None:
    git(root, "tag", "-a", "-m", "by hand", "built/annotated", "HEAD~2")
    if packed:
        git(root, "pack-refs", "--all")
    assert resolved(root) == "stage 0"
    git(root, "tag", "-a", "-m", "tag", "inner", "HEAD~1")
    git(root, "tag", "-a", "-m", "of a tag", "built/of-a-tag", "inner")
    if packed:
        git(root, "pack-refs", "--all")
    assert resolved(root) == "stage 1"


def test_a_tag_with_the_bare_name_marks(root: Path) -> None:
    git(root, "tag", "built", "HEAD~1")
    assert resolved(root) == "stage 1"


def test_a_tag_of_something_else_marks_nothing(root: Path) -> None:
    git(root, "tag", "built/tree", "HEAD^{tree}")
    assert isinstance(repository(root).resolve("built"), Mistake)


def test_a_mark_on_another_branch_does_not_count(root: Path) -> None:
    git(root, "switch", "-qc", "side", "HEAD~2")
    commit(root, weir(two=BOOTH_2), "aside")
    git(root, "tag", "built/aside")
    git(root, "switch", "-q", "main")
    found = repository(root).resolve("built")
    assert isinstance(found, Mistake)
    assert "built/aside, is of a commit that does not lead to what is checked out" in found.why
    git(root, "merge", "-q", "-m", "joined", "side", check=False)
    commit(root, STAGES[2], "joined")
    assert resolved(root) == "aside"


def test_of_marks_on_two_joined_branches_the_later_by_date_counts(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pin(monkeypatch, tmp_path / "home")
    root = tmp_path / "shop"
    branched(root, weir(), weir(a="# a\n"), weir(b="# b\n"))
    for branch, seconds in (("main", 1772400000), ("other", 1772500000)):
        git(root, "switch", "-q", branch)
        environment = {"HOME": str(tmp_path), **ENVIRONMENT, "GIT_COMMITTER_DATE": f"{seconds} +0000"}
        done = subprocess.run(
            ["git", "commit", "-q", "--allow-empty", "-m", branch], cwd=root, env=environment, check=False
        )
        assert done.returncode == 0
        git(root, "tag", f"built/{branch}")
    git(root, "switch", "-q", "main")
    git(root, "merge", "-q", "-m", "joined", "other")
    assert resolved(root) == "other"


def test_a_branch_of_that_name_is_told_apart(root: Path) -> None:
    git(root, "branch", "built", "HEAD~2")
    assert resolved(root) == "stage 0"
    git(root, "tag", "built/2026-03-01", "HEAD~1")
    found = repository(root).resolve("built")
    assert isinstance(found, Mistake)
    assert found.id == "revision-ambiguous"
    assert resolved(root, "heads/built") == "stage 0"
    assert resolved(root, "tags/built/2026-03-01") == "stage 1"


# -- none ---------------------------------------------------------------------------------------------------------------


def test_where_nothing_is_marked_the_command_to_type_is_told_and_works(root: Path) -> None:
    ran = asked(root, "diff", "built..")
    assert ran.status == 2
    assert "No revision that leads to this one is marked as built." in plain(ran.err)
    command = ran.err.rstrip("\n").split("\n")[-1].strip()
    assert command == f"git tag built/{date.today().isoformat()} HEAD"
    git(root, *command.split()[1:])
    ran = asked(root, "diff", "built..")
    assert (ran.status, ran.err) == (0, "")
    assert resolved(root) == "stage 2"


def test_a_second_mark_on_one_day_gets_another_name(root: Path) -> None:
    today = f"built/{date.today().isoformat()}"
    git(root, "switch", "-qc", "side", "HEAD~2")
    commit(root, weir(two=BOOTH_2), "aside")
    git(root, "tag", today)
    git(root, "tag", f"{today}-2")
    git(root, "switch", "-q", "main")
    assert f"git tag {today}-3 HEAD" in asked(root, "diff", "built").err


def test_before_the_first_commit(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")
    (tmp_path / "fresh").mkdir()
    git(tmp_path / "fresh", "init", "-q")
    write(tmp_path / "fresh", weir())
    assert "Nothing has been recorded here yet." in plain(asked(tmp_path / "fresh", "check", "--at", "built").err)


def test_a_shallow_copy_says_which_fetch_is_needed(root: Path, tmp_path: Path) -> None:
    git(root, "tag", "built/2026-03-01", "HEAD~2")
    git(tmp_path, "clone", "-q", "--depth", "1", "--no-tags", f"file://{root}", "copy")
    assert "git fetch --unshallow --tags" in asked(tmp_path / "copy", "diff", "built").err


# -- what is still to be done -------------------------------------------------------------------------------------------

TO_DO = "Not in the racks yet: since built/2026-03-01, 2 cables and 2 jacks differ. To see it: routecode diff"


def test_check_and_diff_say_what_is_not_in_the_racks(root: Path) -> None:
    git(root, "tag", "built/2026-03-01", "HEAD~2")
    place = f" --in {root}"
    assert plain(asked(root, "check").out).endswith(f"{TO_DO} built{place}")
    assert plain(asked(root, "check", "--at", "last").out).endswith(f"{TO_DO} built..last{place}")
    assert plain(asked(root, "check", "--at", "staged").out).endswith(f"{TO_DO} built..staged{place}")
    assert plain(asked(root, "diff").out).endswith(f"{TO_DO} built{place}")
    assert plain(asked(root, "diff", "last~1").out).endswith(f"{TO_DO} built{place}")
    assert plain(asked(root, "diff", "last~1..").out).endswith(f"{TO_DO} built..last{place}")


@pytest.mark.parametrize(
    "words",
    [
        ("diff", "built"),
        ("diff", "built.."),
        ("diff", "last~2..last~1"),
        ("check", "--at", "built"),
        ("check", "--at", "last~1"),
    ],
)
def test_what_is_asked_about_the_racks_or_the_past_does_not_say_it_again(root: Path, words: tuple[str, ...]) -> None:
    git(root, "tag", "built/2026-03-01", "HEAD~2")
    assert "Not in the racks yet" not in plain(asked(root, *words).out)


@pytest.mark.parametrize("form", ["--json", "--annotations"])
@pytest.mark.parametrize("command", ["check", "diff"])
def test_forms_for_programs_do_not_say_it(root: Path, command: str, form: str) -> None:
    before = asked(root, command, form).out
    git(root, "tag", "built/2026-03-01", "HEAD~2")
    assert asked(root, command, form).out == before


def test_a_rewiring_built_in_stages(root: Path) -> None:
    git(root, "tag", "built/2026-03-01", "HEAD~2")
    assert "Narration booth 1-2 to North bay top 13-14" in plain(asked(root, "diff", "built..").out)
    git(root, "tag", "built/2026-03-02", "HEAD~1")
    told = plain(asked(root, "diff", "built..").out)
    assert "New: Narration booth 2 to North bay top 14." in told
    assert "booth 1" not in told
    assert "since built/2026-03-02, 1 cable and 1 jack differ" in plain(asked(root, "check").out)
    git(root, "tag", "built/2026-03-03", "HEAD")
    assert "The two are identical" in plain(asked(root, "diff", "built..").out)
    assert "Not in the racks yet" not in asked(root, "check").out
    write(root, weir(one=BOOTH_1))
    assert "since built/2026-03-03, 1 cable and 1 jack differ" in plain(asked(root, "check").out)


def test_text_alone_is_nothing_to_be_done(root: Path) -> None:
    git(root, "tag", "built/2026-03-01", "HEAD")
    write(root, {**STAGES[2], "remarks.toml": "# a remark\n"})
    assert "Not in the racks yet" not in asked(root, "check").out


def test_units_cords_and_other_wiring_are_counted(root: Path) -> None:
    setup = '[setup.take]\ntitle = "Take"\n[[setup.take.cord]]\nfrom = "south/top 1"\nto = "south/bottom 2"\n'
    commit(root, {**STAGES[0], "setup.toml": setup}, "a setup")
    git(root, "tag", "built/1")
    write(root, {**STAGES[0], "setup.toml": setup.replace("bottom 2", "bottom 3")})
    assert "since built/1, 2 cords differ." in plain(asked(root, "check").out)
    write(root, weir(TWO_WAYS, setup=setup, a=WAY_A))
    assert "since built/1, 3 cables and 4 units or bays differ." in plain(asked(root, "check").out)
    plug = '[[setup.take.plug]]\nat = "north/top 1"\nset = "broken"\n'
    write(root, {**STAGES[0], "setup.toml": setup, "plug.toml": plug})
    assert "since built/1, plugs, switches, routes or insides differ." in plain(asked(root, "check").out)


def test_a_marked_revision_that_does_not_compile(root: Path) -> None:
    broken = commit(root, {**STAGES[0], "x.toml": "[unit.x]\nracks = 1\n"}, "broken")
    git(root, "tag", "built/broken", broken)
    write(root, STAGES[2])
    ran = asked(root, "check")
    assert "What stands in the racks cannot be compared: the wiring of built/broken does not compile." in plain(ran.out)
    assert asked(root, "diff", "built").status == 2


def test_a_studio_without_git_is_checked_as_ever(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    (tmp_path / "bare").mkdir()
    write(tmp_path / "bare", weir())
    ran = asked(tmp_path / "bare", "check")
    assert ran.err == ""
    assert "racks" not in ran.out


# -- at no cost where nothing is marked ---------------------------------------------------------------------------------


def test_without_a_mark_check_does_not_even_load_what_starts_git(root: Path) -> None:
    code = (
        "import sys\nfrom routecode.cli.main import status_of\nstatus_of(['check', '--in', sys.argv[1]])\n"
        "sys.stderr.write(str('git' in sys.modules))"
    )

    def loads() -> str:
        done = subprocess.run([sys.executable, "-c", code, str(root)], capture_output=True, check=True, text=True)
        return done.stderr.strip().split("\n")[-1]

    assert loads() == "False"
    git(root, "tag", "built/2026-03-01", "HEAD~2")
    assert loads() == "True"


def test_whether_anything_may_be_marked_is_seen_from_outside(root: Path, tmp_path: Path) -> None:
    second = tmp_path / "second"
    git(root, "worktree", "add", "-q", "--detach", str(second))
    below = root / "bays"
    below.mkdir()
    for folder in (root, below, second, tmp_path):
        assert not may_be_marked(folder)
    git(root, "tag", "rebuilt/x")
    git(root, "tag", "before/built")
    assert not may_be_marked(root)
    git(root, "pack-refs", "--all")
    assert not may_be_marked(root)
    git(root, "tag", "built/x")
    assert all(map(may_be_marked, (root, below, second)))
    git(root, "pack-refs", "--all")
    assert not (root / ".git" / "refs" / "tags" / "built").exists()
    assert all(map(may_be_marked, (root, below, second)))


def test_the_page_is_printed_and_its_commands_are_those_that_work(root: Path) -> None:
    page = (Path(__file__).parents[2] / "routecode" / "pages" / "branches.md").read_text(encoding="utf-8")
    assert ask("rules", "--branches").out == page
    blocks = [block.strip() for block in page.split("```")[1::2]]
    assert blocks == [
        "routecode before-merge other-branch",
        "git tag built/2026-03-01 HEAD",
        "git tag built/2026-03-02 HEAD~1",
    ]
    git(root, "branch", "other-branch", "HEAD~1")
    ran = run(*blocks[0].split()[1:], folder=root)
    assert (ran.status, ran.err) == (0, "")
    for block in blocks[1:]:
        git(root, *block.split()[1:])
    assert resolved(root) == "stage 2"
    assert resolved(root, "built/2026-03-02") == "stage 1"


def test_no_program_runs_that_the_repository_names(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pin(monkeypatch, tmp_path / "home")
    cage = Cage(tmp_path)
    git(cage.root, "tag", "built/2026-03-01", "HEAD~1")
    cage.quiet()
    before = {path: path.read_bytes() for path in cage.root.rglob("*") if path.is_file()}
    assert "since built/2026-03-01, 2 cables and 2 jacks differ" in plain(asked(cage.root, "check").out)
    assert asked(cage.root, "diff", "built..").status == 0
    assert cage.heard() == set()
    assert {path: path.read_bytes() for path in cage.root.rglob("*") if path.is_file()} == before
