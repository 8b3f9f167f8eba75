"""The history against independent truth: git itself for who, when and why; a cold diff of each pair for what; and hostile or broken repositories."""

import json
from pathlib import Path

import pytest

from routecode.change.changes import LOSS
from routecode.change.difference import Difference
from routecode.files.git.walking import Walker
from routecode.history.entry import BROKEN, COMPARED, FIRST, Entry, entry_of
from routecode.history.log import Item, entries, folded
from routecode.studio.opened import Opened
from tests.change.wiring import PLAIN
from tests.files.shop import at, git, pin
from tests.history.mill import Counting, Memory, commit, example, history, new, opened, weir

CUT = PLAIN.replace(
    'top = "pre-a/out 1..8"\nbottom = "conv/line 1..8"', 'top = "pre-a/out 1..8"\nbottom = "conv/line 9..16"'
).replace('top = "pre-b/out 1..8"\nbottom = "conv/line 9..16"', 'top = "pre-b/out 1..8"')


@pytest.fixture(autouse=True)
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    pin(monkeypatch, tmp_path / "home")
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path))
    return tmp_path


@pytest.fixture(scope="module")
def mill() -> list[Item]:
    return history(example())


def told(folder: Path, form: str) -> list[str]:
    """What git itself says of each commit, newest first."""
    return git(folder, "log", "--date-order", f"--format={form}").split("\n")


def cold(before: str, after: str) -> Difference:
    """Two revisions of the example read one by one and compared, neither made of the other."""
    repository = opened(example())
    sides = []
    for name in (before, after):
        found = repository.resolve(name)
        assert not hasattr(found, "text"), found
        sides.append(Opened(repository.read(found, ""), name))
    return Difference(*sides)


# -- against git -----------------------------------------------------------------------------------------------------------


def test_commits_are_those_of_git_and_numbered_as_revisions_take_them(mill: list[Item]) -> None:
    assert [item.commit.id for item in mill] == told(example(), "%H")
    assert [item.commit.author for item in mill] == told(example(), "%an")
    assert [item.commit.title for item in mill] == told(example(), "%s")
    assert [item.commit.when for item in mill] == told(example(), "%cI")
    repository = opened(example())
    for item in mill[:3] + mill[-1:]:
        found = repository.resolve(str(item.number))
        assert found == item.commit


def test_what_is_read_revision_by_revision_is_what_is_read_of_each_alone() -> None:
    repository = opened(example())
    with repository.walking() as reader:
        for commit_ in [*reader.commits()][::-1]:
            assert reader.files(commit_.id) == repository.read(commit_, "")


# -- against cold diffs ----------------------------------------------------------------------------------------------------


def test_counts_are_those_of_a_cold_diff_of_each_pair(mill: list[Item]) -> None:
    compared = 0
    for item in mill:
        if item.against is None:
            continue
        difference = cold(item.against, item.commit.id)
        changes = [one for each in difference.changes.values() for one in each if one.kind != "setup"]
        ways = difference.matched.channel_name
        lost = {(ways(pair.source), ways(pair.target)) for one in changes for pair in one.lost}
        gained = {(ways(pair.source), ways(pair.target)) for one in changes for pair in one.gained}
        entry = item.entry
        assert (entry.lost, entry.gained) == (len(lost), len(gained)), item.commit.title
        assert entry.result == difference.result
        assert (entry.failing, entry.met) == (
            sum(n.fails for n in difference.needs),
            sum(n.mended for n in difference.needs),
        )
        for counts, findings in ((entry.new, difference.findings_new), (entry.gone, difference.findings_gone)):
            levels = [finding.severity.value for finding in findings]
            assert [counts.error, counts.hazard, counts.warning, counts.note] == [
                levels.count(level) for level in ("error", "hazard", "warning", "note")
            ]
        assert entry.loses == (
            entry.failing > 0 or any(one.harm == LOSS for each in difference.changes.values() for one in each)
        )
        compared += 1
    assert compared == len(mill) - 1


def test_the_examples_story_is_told_in_one_line_each(mill: list[Item]) -> None:
    by_title = {item.commit.title: item.entry for item in mill}
    away = by_title["Compressor B to the workshop: the left side crackles"]
    assert away.meaning == "88 paths lost; 2 needs now fail; 2 errors new."
    assert away.loses
    assert "comp-b" in away.units
    assert away.setups == ("folk",)
    back = by_title["Compressor B is back"]
    assert (back.gained, back.lost, back.met) == (away.lost, 0, away.failing)
    turned = by_title["Hall line 11 is reversed at the box: written down until it is mended"]
    assert turned.meaning == "2 paths rerouted; 1 warning new."
    assert {"hall", "control"} <= set(turned.rooms)
    called = by_title["The reverb is called Plate, here and on the labels"]
    assert {"plate", "reverb"} <= set(called.units)
    assert not called.only_text
    needs = by_title["Radio drama needs the turntable the right way round"]
    assert needs.said == (
        "Radio drama now asks that Turntable left reaches Recording computer madi in ch 19. "
        "Way: Matching amplifier in left > Converter line 19.",
        "Radio drama now asks that Turntable right reaches Recording computer madi in ch 20. "
        "Way: Matching amplifier in right > Converter line 20.",
    )
    assert (needs.meaning, needs.only_text) == ("No path changed; 2 needs new.", False)
    assert needs.setups == ("drama",)
    comments = by_title["Comments: what the spreadsheet had no column for"]
    assert comments.only_text
    assert (comments.units, comments.bays, comments.rooms, comments.setups) == ((), (), (), ())


def test_an_entry_counts_every_path_once_over_all_states(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    setups = "".join(
        f'\n[setup.{name}]\n[[setup.{name}.cord]]\nfrom = "north/top 1"\nto = "north/bottom 2"\n' for name in "ab"
    )
    commit(folder, "Two setups", studio=PLAIN + setups)
    commit(
        folder,
        "Line 8 off the bay",
        studio=PLAIN.replace('"hall/line 1..8"', '["hall/line 1..7"]')
        .replace('at = "1..8"\ntop = ["hall', 'at = "1..7"\ntop = ["hall')
        .replace('"pre-a/mic 1..8"', '"pre-a/mic 1..7"')
        + setups,
    )
    last = history(folder)[0].entry
    assert (last.lost, last.gained) == (1, 0)


def test_a_split_that_is_gone_is_a_lost_path_in_the_line_too(shelf: Path) -> None:
    """As the count and the diff have it: the cord taps a half normal, which a full one breaks."""
    folder = weir(shelf / "weir")
    setup = '\n[setup.listen]\n[[setup.listen.cord]]\nfrom = "south/top 3"\nto = "south/bottom 16"\n'
    tapped = PLAIN + setup
    full = 'title = "South bay"\ncolumns = 16\nnormal = "{}"'
    commit(folder, "Listen", studio=tapped)
    commit(folder, "Full normals", studio=tapped.replace(full.format("half"), full.format("full")))
    commit(folder, "Half normals", studio=tapped)
    back, there, _, _ = (item.entry for item in history(folder))
    assert (there.lost, there.gained, there.meaning) == (1, 0, "1 path lost.")
    assert (back.lost, back.gained, back.meaning) == (0, 1, "1 path split.")


# -- which revisions are compared -------------------------------------------------------------------------------------------


def test_a_merge_is_put_beside_its_first_parent(shelf: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = weir(shelf / "weir")
    git(folder, "switch", "-qc", "side")
    at(monkeypatch, 1)
    commit(folder, "Booth to the other preamplifier", more='[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n')
    git(folder, "switch", "-q", "main")
    at(monkeypatch, 2)
    mine = commit(folder, "Booth 2 as well", other='[[cable]]\nfrom = "booth/2"\nto = "pre-b/mic 2"\n')
    at(monkeypatch, 3)
    git(folder, "merge", "-q", "--no-edit", "side")
    merge, second, first, begin = history(folder)
    assert merge.merges
    assert merge.against == mine
    assert (merge.entry.gained, second.entry.gained, first.entry.gained) == (1, 1, 1)
    assert second.against == first.against == begin.commit.id
    assert begin.entry.kind == FIRST


def test_a_revision_that_does_not_compile_is_told_with_its_first_error_and_skipped(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    good = history(folder)[0].commit.id
    commit(folder, "Typing mistakes", studio=PLAIN.replace("columns = 16", 'columns = "many"', 1))
    commit(folder, "Worse", more='[[cable]]\nfrom = "nowhere/1"\nto = "conv/line 1"\n')
    commit(folder, "Mended, and a path lost", studio=CUT, more=None)
    mended, worse, typing, begin = history(folder)
    assert typing.entry.kind == worse.entry.kind == BROKEN
    assert typing.entry.error is not None
    text, file, line, column = typing.entry.error
    assert (file, line) == ("studio.toml", PLAIN[: PLAIN.index("columns = 16")].count("\n") + 1)
    assert column > 1
    assert text in typing.entry.meaning
    assert f"studio.toml:{line}:{column}" in typing.entry.meaning
    assert typing.against is None
    assert mended.against == good == begin.commit.id
    assert mended.mended
    assert mended.entry.lost == mended.entry.gained == 8
    assert mended.entry.loses


def test_a_studio_that_never_compiled_before_begins_where_it_does(shelf: Path) -> None:
    folder = new(shelf / "weir")
    commit(folder, "Unfinished", studio="[studio]\ntitle = 1\n")
    commit(folder, "Finished", studio=PLAIN)
    items = history(folder)
    assert [item.entry.kind for item in items] == [FIRST, BROKEN]
    assert items[0].entry.meaning.startswith("Begins with 5 units, 2 bays and 16 paths.")


def test_commits_that_change_only_text_are_folded(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "A comment", studio=f"# ours\n{PLAIN}")
    commit(folder, "Another", studio=f"# ours, really\n{PLAIN}")
    commit(folder, "Exchanged", studio=CUT)
    commit(folder, "And a last comment", studio=f"{CUT}\n# end\n")
    shape = [
        [one.number for one in each] if isinstance(each, list) else each.number for each in folded(history(folder))
    ]
    assert shape == [[1], 2, [3, 4], 5]


def test_a_file_split_in_two_is_only_text_and_a_new_title_is_not(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    head, _, rest = PLAIN.partition("[bay.north]")
    commit(folder, "Bays in a file of their own", studio=head, bays=f"[bay.north]{rest}")
    commit(folder, "Another name on the front", studio=head.replace('title = "Preamp A"', 'title = "Preamp West"'))
    named, split, _ = history(folder)
    assert split.entry.only_text
    assert not named.entry.only_text
    assert named.entry.meaning == "No path changed."
    assert named.entry.units == ("pre-a",)


# -- what is opened ---------------------------------------------------------------------------------------------------------


def test_the_same_wiring_is_opened_once_and_kept_entries_not_at_all(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "There", studio=CUT)
    commit(folder, "And back", studio=PLAIN)
    commit(folder, "And there again", studio=CUT)
    keep = Memory()
    with opened(folder).walking() as walker:
        reader = Counting(walker)
        first = list(entries(reader, keep=keep))
        assert len(reader.asked) == 2
    keep.kept = json.loads(json.dumps(keep.kept))
    with opened(folder).walking() as walker:
        reader = Counting(walker)
        assert list(entries(reader, keep=keep)) == first
        assert reader.asked == []


def test_the_key_of_a_revision_is_that_of_its_wiring_alone(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    (folder / "README").write_text("hello\n", encoding="utf-8")
    ids = [
        commit(folder, "A text beside it"),
        commit(folder, "Back", studio=CUT),
        commit(folder, "Forth", studio=PLAIN),
    ]
    with opened(folder).walking() as walker:
        first, cut, again = map(walker.key, ids)
    assert first == again
    assert first != cut
    assert len(history(folder)) == 3


def test_what_a_store_gives_back_is_not_trusted() -> None:
    entry = Entry(COMPARED, "same-ends", meaning="x", others=(("tied", "new", 2),))
    plain = entry.to_plain()
    assert Entry.from_plain(json.loads(json.dumps(plain))) == entry
    for name, wrong in (
        ("lost", -1),
        ("lost", True),
        ("kind", "odd"),
        ("said", "text"),
        ("others", [["a", "b"]]),
        ("new", {}),
        ("error", ["a", "b", 1]),
        ("entry", 0),
        ("result", "fine"),
        ("loses", 1),
        ("meaning", None),
    ):
        assert Entry.from_plain({**plain, name: wrong}) is None, name
    assert Entry.from_plain({**plain, "more": 1}) is None
    assert Entry.from_plain(None) is None
    assert Entry.from_plain([plain]) is None


def test_spoilt_kept_entries_are_worked_out_again(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "Exchanged", studio=CUT)
    keep = Memory()
    first = history(folder, keep)
    keep.kept = {key: {"entry": 1, "kind": "compared"} if key.startswith("entry") else "yes" for key in keep.kept}
    assert history(folder, keep) == first
    assert keep.hits > 0


def test_an_entry_does_not_depend_on_what_a_revision_was_made_of(mill: list[Item]) -> None:
    repository = opened(example())
    for item in mill[3:7]:
        assert item.against is not None
        sides = []
        for name in (item.against, item.commit.id):
            found = repository.resolve(name)
            sides.append(Opened(repository.read(found, ""), name))  # type: ignore[arg-type] # both are commits of the list
        assert entry_of(*sides) == item.entry


# -- hostile and partial repositories -----------------------------------------------------------------------------------------


def test_hostile_messages_and_names_are_told_as_they_are(shelf: Path) -> None:
    folder = new(shelf / "weir")
    message = "\x1b[2Jtitle \u202e <b>\n\n--output=x\n"
    commit(folder, message, studio=PLAIN.replace('title = "Hall"', 'title = "<script>alert(1)</script>"'))
    (item,) = history(folder)
    assert item.commit.title == "\x1b[2Jtitle \u202e <b>"
    assert item.entry.kind == FIRST


def test_an_empty_repository_has_no_history(shelf: Path) -> None:
    assert history(new(shelf / "weir")) == []


def test_a_shallow_copy_begins_where_it_is_cut(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "Exchanged", studio=CUT)
    commit(folder, "And back", studio=PLAIN)
    git(shelf, "clone", "-q", "--depth", "2", f"file://{folder}", "copy")
    items = history(shelf / "copy")
    assert [item.commit.title for item in items] == ["And back", "Exchanged"]
    assert [item.cut for item in items] == [False, True]
    assert [item.entry.kind for item in items] == [COMPARED, FIRST]


def test_a_studio_below_the_top_has_a_history_of_its_own(shelf: Path) -> None:
    folder = new(shelf / "house")
    (folder / "a").mkdir()
    (folder / "b").mkdir()
    for name, text in (("a", PLAIN), ("b", PLAIN), ("a", CUT)):
        (folder / name / "studio.toml").write_text(text, encoding="utf-8")
        commit(folder, f"{name} {len(text)}")
    with opened(folder / "a").walking() as reader:
        items = list(entries(reader))
    assert [item.commit.title for item in items] == [f"a {len(CUT)}", f"a {len(PLAIN)}"]
    assert items[0].entry.lost == 8


@pytest.mark.parametrize(
    "spoil", ["link", "folder", "module", "not utf-8", "head", "new file"], ids=lambda name: name.replace(" ", "-")
)
def test_revisions_that_are_not_plain_files_are_read_as_each_alone(shelf: Path, spoil: str) -> None:
    folder = weir(shelf / "weir")
    commit(folder, "More", more='[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n')
    if spoil == "link":
        (folder / "linked.toml").symlink_to("more.toml")
    elif spoil == "folder":
        (folder / "inner").mkdir()
        (folder / "inner" / "studio.toml").write_text("[studio]\n", encoding="utf-8")
    elif spoil == "module":
        inner = new(folder / "module")
        commit(inner, "x", a="a = 1\n")
    elif spoil == "not utf-8":
        Path(str(folder).encode().decode() + "/\udcff.toml").write_text("a = 1\n", encoding="utf-8")
    elif spoil == "head":
        (folder / "studio.toml").write_text(
            PLAIN.replace("language = 1", 'language = 1\nskip = ["more.toml"]'), encoding="utf-8"
        )
    else:
        (folder / "new.toml").write_text('[[cable]]\nfrom = "booth/2"\nto = "pre-b/mic 2"\n', encoding="utf-8")
    commit(folder, "Spoilt")
    commit(folder, "After it", more='[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 3"\n')
    repository = opened(folder)
    with repository.walking() as reader:
        commits = list(reader.commits())
        for order in (commits, commits[::-1]):
            for each in order:
                assert reader.files(each.id) == repository.read(each, "")


def test_a_deep_tree_does_no_harm(shelf: Path) -> None:
    folder = weir(shelf / "weir")
    tree = git(folder, "mktree", given=b"")
    for _ in range(1500):
        tree = git(folder, "mktree", given=f"040000 tree {tree}\tx\n".encode())
    blob = git(folder, "rev-parse", "HEAD:studio.toml")
    top = git(folder, "mktree", given=f"040000 tree {tree}\tdeep\n100644 blob {blob}\tstudio.toml\n".encode())
    made = git(folder, "commit-tree", top, "-p", "HEAD", "-m", "deep")
    with opened(folder).walking() as walker:
        assert isinstance(walker, Walker)
        assert walker.key(made)
        assert walker.files(made).texts.keys() == {"studio.toml"}


def test_a_key_that_is_none_stands_where_check_marks_it(tmp_path: Path) -> None:
    """At the key, not at its value: one place has one line and column wherever it is told."""
    folder = weir(tmp_path / "weir")
    commit(folder, "A slip", studio=PLAIN.replace('normal = "half"', 'norml = "half"', 1))
    error = history(folder)[0].entry.error
    assert error is not None
    before = PLAIN[: PLAIN.index('normal = "half"')]
    assert error[1:] == ("studio.toml", before.count("\n") + 1, 1)
