"""What a rewiring may change: judged by places, setups, kinds, harm and lists; which side's table holds; written from a diff."""

import json
import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from random import Random

import fastjsonschema
import pytest

from routecode.change.allowed import fingerprint, judged, wiring_of
from routecode.change.changes import HARMS
from routecode.change.claims import KINDS
from routecode.change.difference import Difference
from routecode.language import allowed as written
from routecode.show.allowed import allowed_text, awaited_lines, drafted, exceeding, permit_lines
from routecode.show.diagnostic import Page
from routecode.show.difference import Asked, difference_text
from routecode.show.difference_document import difference_document
from routecode.show.documents import DIFF
from routecode.show.draft import draft
from routecode.show.measure import width
from routecode.show.paint import plain
from tests.change.any_edit import TRIES, Files, any_edit, called_otherwise, roughly_edited
from tests.change.test_command import diff, machine, record
from tests.change.wiring import PLAIN, changed
from tests.cli.asking import git
from tests.reference.compiler import circuit_of
from tests.reference.toml_text import document
from tests.reference.written import united
from tests.seeds import some
from tests.show.studios import opened

__all__ = ["machine"]

STUDIO = (
    changed(
        PLAIN,
        ('title = "Hall"\n', 'title = "Hall"\nroom = "hall"\n'),
        ('title = "Narration booth"\n', 'title = "Narration booth"\nroom = "booth"\n'),
        ('title = "North bay"\n', 'title = "North bay"\nrack = "left"\n'),
        ('title = "South bay"\n', 'title = "South bay"\nrack = "left"\n'),
        (
            'at = "9..12"\ntop = "hall/line 9..12"\n',
            'at = "9..12"\ntop = "hall/line 9..12"\n[[bay.north.column]]\nat = [13, 14]\n'
            'top = ["booth/1", "booth/2"]\nbottom = "pre-b/mic 1..2"\n'
            '[[bay.north.column]]\nat = 15\nbottom = "pre-b/mic 3"\n',
        ),
    )
    + """
[room.hall]
title = "Hall"
[room.booth]
title = "Booth"
[room.control]
title = "Control room"
[rack.left]
title = "Left rack"
room = "control"

[setup.folk]
title = "Folk"
[[setup.folk.cord]]
from = "north/top 9"
to = "north/bottom 15"
"""
)
BOOTH = ('top = ["booth/1", "booth/2"]', 'top = ["booth/2", "booth/1"]')
HALL = ('top = "hall/line 1..8"', 'top = ["hall/line 2", "hall/line 1", "hall/line 3..8"]')
CORD = ('from = "north/top 9"', 'from = "north/top 10"')


def compare(before: Files, after: Files) -> Difference:
    return Difference(opened(dict(before)), opened(dict(after)))


def with_table(table: str, *swaps: tuple[str, str], before: str | None = None) -> Difference:
    """The studio rewired under a table that both sides have, or that `before` had otherwise."""
    old = {"studio.toml": STUDIO, "allowed.toml": table if before is None else before}
    return compare(old, {"studio.toml": changed(STUDIO, *swaps), "allowed.toml": table})


def told(difference: Difference) -> list[str]:
    return [" ".join((each.sentence, *each.rules)) for each in exceeding(judged(difference), difference)]


def rules(difference: Difference) -> set[str]:
    return {each.rule for each in judged(difference).beyond}


def text_of(difference: Difference) -> str:
    return difference_text(difference, Page(difference.new, 80, plain, ""), Asked("A", "B"))


def test_the_words_of_the_table_are_those_of_the_diff() -> None:
    assert (written.KINDS, written.HARMS) == (KINDS, HARMS)


# -- what is allowed -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "table", ["", "[allowed]\n", '[allowed]\nbecause = "Open season."\n', "[allowed]\nothers = true"]
)
def test_without_a_rule_all_is_allowed_and_nothing_is_said(table: str) -> None:
    difference = with_table(table, BOOTH, HALL, CORD)
    assert judged(difference).beyond == ()
    assert "llowed" not in text_of(difference)


WITHIN = ('rooms = "booth"', 'units = ["booth"]', 'bays = "north"', 'worst = "loss"', 'kinds = ["exchanged", "redirected"]',
          'setups = ["unpatched", "folk"]')  # fmt: skip


@pytest.mark.parametrize("table", WITHIN)
def test_within_is_not_beyond(table: str) -> None:
    difference = with_table(f"[allowed]\n{table}\n", BOOTH)
    assert [each.kind for each in difference.changes[None]] == ["exchanged"]
    assert told(difference) == []


@pytest.mark.parametrize("table", ['bays = "south"', 'racks = "left"', 'rooms = "hall"', 'units = "pre-b"'])
def test_what_is_elsewhere_is_beyond(table: str) -> None:
    assert "place" in rules(with_table(f"[allowed]\n{table}\n", BOOTH))


def test_a_path_outside_is_beyond_and_told_with_the_rule_and_its_place() -> None:
    (line,) = told(with_table('[allowed]\nrooms = "booth"\n', HALL))
    assert line.startswith("Hall line 1 and Hall line 2 are exchanged.")
    assert line.endswith("Only room Booth may change (allowed.toml:2:9, after).")
    assert told(with_table('[allowed]\nrooms = ["booth", "hall"]\n', HALL, BOOTH)) == []


def test_of_a_mixed_rewiring_only_what_is_outside_is_beyond() -> None:
    difference = with_table('[allowed]\nrooms = "booth"\n', HALL, BOOTH)
    (line,) = told(difference)
    assert "booth" not in line.partition("Only")[0]


def test_no_name_at_all_allows_nothing() -> None:
    (line,) = told(with_table("[allowed]\nrooms = []\n", BOOTH))
    assert line.endswith("Nothing may change: no name is given (allowed.toml:2:9, after).")


def test_what_is_only_passed_does_not_count() -> None:
    """Hall lines 1-8 pass Preamp A; it is named, both ends are not."""
    through = ('bottom = "pre-a/mic 1..8"', 'bottom = ["pre-a/mic 2", "pre-a/mic 1", "pre-a/mic 3..8"]')
    assert rules(with_table('[allowed]\nunits = "pre-a"\n', through)) == {"place"}
    assert rules(with_table('[allowed]\nunits = ["pre-a", "hall"]\n', through)) == set()


def test_a_jack_outside_that_changes_no_path_is_beyond() -> None:
    difference = with_table('[allowed]\nrooms = "booth"\n', ('top = "hall/line 9..12"', 'top = "hall/line 9..11"'),
                            ('at = "9..12"', 'at = "9..11"'))  # fmt: skip
    assert not [change for change in difference.changes[None] if change.kind != "moved"]
    (line,) = told(difference)
    assert line == "Gone: cable Hall line 12 to North bay top 12. Only room Booth may change (allowed.toml:2:9, after)."
    assert rules(with_table('[allowed]\nbays = "north"\n', ('at = "9..12"', 'at = "9..11"'),
                            ('top = "hall/line 9..12"', 'top = "hall/line 9..11"'))) == set()  # fmt: skip


def test_the_normal_of_a_jack_goes_with_what_is_wired_behind_it() -> None:
    normal = ("at = [13, 14]", 'at = [13, 14]\nnormal = "none"')
    assert rules(with_table('[allowed]\nrooms = "booth"\n', normal)) == set()
    assert rules(with_table('[allowed]\nrooms = "hall"\n', normal)) == {"place"}


def test_only_in_some_setups() -> None:
    assert told(with_table('[allowed]\nsetups = "folk"\n', CORD)) == []
    lines = told(with_table('[allowed]\nsetups = "unpatched"\n', CORD))
    assert lines
    assert all("Only the state without a setup may change (allowed.toml:2:10, after)." in line for line in lines)
    assert rules(with_table('[allowed]\nsetups = "folk"\n', BOOTH)) == {"setups"}


def test_kinds_harm_and_losses() -> None:
    (line,) = told(with_table('[allowed]\nkinds = ["gained", "split"]\n', HALL))
    assert line.endswith("Only these kinds of change may come: gained, split (allowed.toml:2:9, after).")
    assert rules(with_table('[allowed]\nworst = "risk"\n', HALL)) == {"worst"}
    assert rules(with_table('[allowed]\nworst = "gain"\n', HALL)) == {"worst"}
    assert rules(with_table("[allowed]\nlose = false\n", HALL)) == {"lose"}
    gained = ('at = "9..12"', 'at = "9..12"\nbottom = "pre-b/mic 5..8"')
    for table in ("lose = false", 'worst = "gain"', 'worst = "risk"'):
        assert rules(with_table(f"[allowed]\n{table}\n", gained)) == set()
    assert rules(with_table('[allowed]\nworst = "note"\n', gained)) == {"worst"}


def test_nothing_at_all_may_change() -> None:
    (line,) = told(with_table("[allowed]\nothers = false\n", BOOTH))
    assert line.endswith("Only what is listed may change (allowed.toml:2:10, after).")


def test_text_is_not_judged() -> None:
    difference = with_table("[allowed]\nothers = false\n", ('title = "Hall"\nroom', 'title = "Great hall"\nroom'))
    assert (difference.result, judged(difference).beyond) == ("text-only", ())


def test_a_new_setup_is_judged_by_what_it_holds() -> None:
    new = (
        'to = "north/bottom 15"\n',
        'to = "north/bottom 15"\n[setup.late]\n[[setup.late.cord]]\nfrom = "north/top 1"\nto = "north/bottom 3"\n',
    )
    assert rules(with_table('[allowed]\nrooms = "hall"\n', new)) == set()
    assert rules(with_table('[allowed]\nrooms = "booth"\n', new)) == {"place"}
    assert rules(with_table('[allowed]\nsetups = "folk"\n', new)) == {"setups"}


# -- which table holds ---------------------------------------------------------------------------------------------------

ONLY_BOOTH, BOTH_ROOMS = '[allowed]\nrooms = ["booth"]\n', '[allowed]\nrooms = ["booth", "hall"]\n'


def test_a_rewiring_cannot_widen_its_own_permission() -> None:
    difference = with_table(BOTH_ROOMS, HALL, before=ONLY_BOOTH)
    (line,) = told(difference)
    assert line.endswith("Only room Booth may change (allowed.toml:2:9, before).")
    assert permit_lines(judged(difference), difference) == [
        "What a rewiring may change is stated otherwise. Here both statements hold "
        "(allowed.toml:1:2, before; allowed.toml:1:2, after)."
    ]


def test_a_rewiring_cannot_take_its_permission_away() -> None:
    difference = with_table("", HALL, before=ONLY_BOOTH)
    assert rules(difference) == {"place"}
    assert permit_lines(judged(difference), difference) == [
        "What a rewiring may change is no longer stated; what was stated still holds here (allowed.toml:1:2, before)."
    ]


def test_a_new_permission_holds_for_the_range_it_comes_in() -> None:
    difference = with_table(ONLY_BOOTH, HALL, before="")
    assert rules(difference) == {"place"}
    assert permit_lines(judged(difference), difference) == [
        "What a rewiring may change is stated now and was not before (allowed.toml:1:2, after)."
    ]


def test_a_permission_alone_is_text_and_is_said() -> None:
    difference = with_table(ONLY_BOOTH, before=BOTH_ROOMS)
    assert difference.result == "text-only"
    assert "What is allowed\n- What a rewiring may change is stated otherwise." in text_of(difference)
    assert draft(difference.old, difference.new).startswith("What a rewiring may change is stated otherwise")


def test_moving_a_unit_into_the_room_does_not_help() -> None:
    moved = ('title = "Hall"\nroom = "hall"', 'title = "Hall"\nroom = "booth"')
    assert rules(with_table('[allowed]\nrooms = "booth"\n', HALL, moved)) == {"place"}


def test_a_unit_that_goes_stays_named_on_the_side_that_cannot_name_it() -> None:
    gone = changed(
        STUDIO,
        ('[unit.booth]\ntitle = "Narration booth"\nroom = "booth"\n[[unit.booth.port]]\nname = ["1", "2"]\n'
         'direction = "out"\nsignal = "mic"\n', ""),
        ('top = ["booth/1", "booth/2"]\n', ""),
    )  # fmt: skip
    before = {"studio.toml": STUDIO, "allowed.toml": '[allowed]\nunits = "booth"\n'}
    difference = compare(before, {"studio.toml": gone, "allowed.toml": "[allowed]\nunits = []\n"})
    assert any(change.kind == "lost" for change in difference.changes[None])
    assert judged(difference).beyond == ()


def test_names_are_read_after_where_things_were_renamed() -> None:
    before = {"studio.toml": STUDIO, "allowed.toml": '[allowed]\nunits = "booth"\n'}
    text = changed(STUDIO, BOOTH).replace("booth/", "cabin/").replace("unit.booth", "unit.cabin")
    text = changed(text, ('title = "Narration booth"\n', 'title = "Narration booth"\nwas = "booth"\n'))
    after = {"studio.toml": text, "allowed.toml": '[allowed]\nunits = "cabin"\n'}
    assert judged(compare(before, after)).beyond == ()


PAGE = Path(written.__file__).parents[1] / "pages" / "changes.md"


def test_the_example_of_the_page_does_what_it_says() -> None:
    (example,) = re.findall(r"^```toml\n(\[allowed\].*?)^```", PAGE.read_text("utf-8"), re.MULTILINE | re.DOTALL)
    assert rules(with_table(example, HALL)) == {"place", "worst"}
    assert {each.rule for each in judged(with_table(example, BOOTH)).beyond} == {"worst"}


# -- lists ---------------------------------------------------------------------------------------------------------------


def listing(difference: Difference) -> str:
    ids = sorted({change.id for change in difference.changes[None]})
    return "[allowed]\n" + "".join(f'[[allowed.change]]\nid = "{each}"\nsays = "As agreed."\n' for each in ids)


def test_a_listed_change_may_come_with_the_wiring_that_makes_it() -> None:
    table = listing(with_table("", HALL))
    assert judged(with_table(table, HALL)).beyond == ()
    (line,) = told(with_table(table, HALL, BOOTH))
    assert "booth" in line
    assert line.endswith("Only what is listed may change (allowed.toml:1:2, after).")


def test_a_list_beside_other_rules_adds_to_them() -> None:
    table = listing(with_table("", HALL)).replace("[allowed]\n", '[allowed]\nrooms = "booth"\n')
    assert judged(with_table(table, HALL, BOOTH)).beyond == ()


def test_what_was_expected_and_is_not_there_is_a_note() -> None:
    table = listing(with_table("", HALL))
    difference = with_table(table, BOOTH)
    assert awaited_lines(judged(difference), difference) == ["As agreed. (allowed.toml:3:6, after)"]
    assert "Allowed and not there\n- As agreed." in text_of(difference)
    two = table + '[[allowed.change]]\nid = "000000000000"\n'
    assert awaited_lines(judged(with_table(two, HALL)), with_table(two, HALL)) == [
        "The change 000000000000. (allowed.toml:6:6, after)"
    ]
    assert awaited_lines(judged(with_table(two, BOOTH)), with_table(two, BOOTH)) == [
        "None of the 2 listed changes is there (allowed.toml:1:2, after)."
    ]


def test_beyond_stands_before_losses_and_in_the_drafted_message() -> None:
    difference = with_table(ONLY_BOOTH, HALL)
    text = text_of(difference)
    assert text.index("Beyond what is allowed") < text.index("Lost")
    assert max(map(width, text.split("\n"))) <= 80
    assert drafted(judged(difference), difference)[0].startswith("Beyond what is allowed: Hall")
    assert "Beyond what is allowed: Hall" in " ".join(draft(difference.old, difference.new).split())


def test_the_document_has_it_all() -> None:
    difference = with_table(ONLY_BOOTH, HALL, CORD)
    made = json.loads(json.dumps(difference_document(difference)))
    fastjsonschema.compile(DIFF.schema)(made)
    ids = {change["id"] for state in made["states"] for change in state["changes"]}
    changes = [row for row in made["beyond"] if row["change"]]
    assert {row["change"] for row in changes} <= ids
    assert {row["setup"] for row in changes} == {None, "folk"}
    assert {row["place"]["file"] for row in made["beyond"]} == {"allowed.toml"}
    alone = difference_document(difference, "folk", one=True)
    assert {row["setup"] for row in alone["beyond"] if row["change"]} == {"folk"}


# -- written from a diff -------------------------------------------------------------------------------------------------


def written_into(files: Files, text: str) -> dict[str, str]:
    return {**files, "allowed.toml": text}


@cache
def three(seed: int) -> tuple[Files, Files, Files]:
    """A random studio, edited, and edited once more."""
    before, after = roughly_edited(seed)
    rng, whole = Random(seed + 7), united(after)
    for _ in range(TRIES):
        more = any_edit(whole, rng)
        text = document(Random(seed), more)
        if more != whole and circuit_of({"studio.toml": text})[0] is not None:
            return before, after, {"studio.toml": text}
    return before, after, after


def prints(difference: Difference) -> dict[str, tuple[object, ...]]:
    """Fingerprint -> what it stands for, by names."""
    return {fingerprint(fact, difference.matched): (fact.kind, fact.setup) for fact in wiring_of(difference)}


def ids(difference: Difference) -> set[str]:
    return {change.id for changes in difference.changes.values() for change in changes}


@pytest.mark.parametrize("seed", some(range(60), 20))
def test_written_from_a_diff_nothing_is_beyond(seed: int) -> None:
    before, after, _ = three(seed)
    text = allowed_text(compare(before, after))
    same = compare(before, written_into(after, text))
    verdict = judged(same)
    assert (verdict.beyond, verdict.awaited) == ((), ())
    back = compare(written_into(before, text), written_into(after, text))
    assert judged(back).beyond == ()
    assert not judged(back).differs


@pytest.mark.parametrize("seed", some(range(60), 20))
def test_one_more_edit_and_what_is_new_is_beyond(seed: int) -> None:
    before, after, more = three(seed)
    first, second, both = compare(before, after), compare(after, more), compare(before, more)
    verdict = judged(compare(before, written_into(more, allowed_text(first))))
    assert {each.print for each in verdict.beyond} == (ids(both) - ids(first)) | (
        prints(both).keys() - prints(first).keys()
    )
    missing = prints(first).keys() - prints(both).keys()
    differs = second.result in ("same-ends", "ends-changed")
    if not first.renamed and not second.renamed and not both.renamed:
        assert differs == bool(verdict.beyond or missing), "wiring that differs from what was written down is seen"


@pytest.mark.parametrize("seed", some(range(0, 60, 4), 8))
def test_fingerprints_and_ids_survive_new_names_for_files_and_an_order_of_tables(seed: int) -> None:
    before, after, _ = three(seed)
    first = compare(before, after)
    shuffled = compare(
        {"studio.toml": document(Random(seed + 1), united(before))},
        {"studio.toml": document(Random(seed + 2), united(after))},
    )
    assert prints(first).keys() == prints(shuffled).keys()
    assert ids(first) == ids(shuffled)


@pytest.mark.parametrize("seed", some(range(40), 15))
def test_what_is_within_by_the_table_is_within_by_names(seed: int) -> None:
    """The rule of places against the raw sets, read by names alone."""
    before, after, _ = three(seed)
    whole = united(before)
    rng = Random(seed)
    units = [name for name in whole["unit"] if rng.random() < 0.7 and name in united(after)["unit"]]
    table = "[allowed]\nunits = [" + ", ".join(json.dumps(name, ensure_ascii=False) for name in units) + "]\n"
    difference = compare(written_into(before, table), written_into(after, table))
    if difference.renamed:
        return
    verdict = judged(difference)
    beyond = {(each.setup, each.print) for each in verdict.beyond if each.change is not None}
    node, channel = difference.matched.node_name, difference.matched.channel_name
    for delta in difference.states:
        for change in difference.changes[delta.setup]:
            ends = [(channel(one.source), channel(one.target)) for one in (*change.lost, *change.gained)]
            outside = [pair for pair in ends if not any(name.partition("/")[0] in units for name in pair)]
            if change.kind != "setup" and outside:
                assert (delta.setup, change.id) in beyond
    unpatched = difference.states[0]
    was, now = (
        {node(p.jack): set(map(node, p.wired)) for p in some}
        for some in (unpatched.points_lost, unpatched.points_gained)
    )
    wires = {
        other
        for jack in {*was, *now}
        for other in was.get(jack, set()) ^ now.get(jack, set())
        if other.partition("/")[0] not in units
    }
    assert not wires or any(each.fact is not None and each.rule == "place" for each in verdict.beyond)


def test_another_value_of_the_same_thing_is_another_thing() -> None:
    """The normal of the booth's columns: taken away as agreed, or made full."""
    none, full = (("at = [13, 14]", f'at = [13, 14]\nnormal = "{word}"') for word in ("none", "full"))
    text = allowed_text(with_table("", none))
    assert judged(with_table(text, none)).beyond == ()
    assert {each.fact.kind for each in judged(with_table(text, full)).beyond if each.fact} == {"normal"}


def test_a_cable_keeps_its_fingerprint_when_its_unit_goes_too() -> None:
    """What is there on one side only is numbered otherwise; names stay."""
    off = ('top = ["booth/1", "booth/2"]\n', "")
    unit = (
        '[unit.booth]\ntitle = "Narration booth"\nroom = "booth"\n[[unit.booth.port]]\nname = ["1", "2"]\n'
        'direction = "out"\nsignal = "mic"\n'
    )
    cables = [
        {fingerprint(fact, found.matched) for fact in found.facts if fact.kind == "cable"}
        for found in (with_table("", off), with_table("", off, (unit, "")))
    ]
    assert len(cables[0]) == 2
    assert cables[0] == cables[1]


def test_a_list_with_fingerprints_takes_no_other_wiring_along() -> None:
    table = listing(with_table("", HALL)).replace("[allowed]\n", "[allowed]\nwiring = []\n")
    assert {each.fact.kind for each in judged(with_table(table, HALL)).beyond if each.fact} == {"cable"}


HOSTILE = [
    'say "no" \\ and \\n',
    "<script>alert(1)</script>",
    "'''\"\"\"",
    "]]\\u202e# x = 1",
    "Æ ∞ 🎚 \u200c",
    'a = \\"b\\"',
]


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_titles_survive_the_file(name: str) -> None:
    def titled(text: str) -> str:
        return text.replace('title = "Narration booth"', f"title = {json.dumps(name, ensure_ascii=False)}")

    before, after = {"studio.toml": titled(STUDIO)}, {"studio.toml": titled(changed(STUDIO, BOOTH))}
    if opened(before).mistakes:  # what the language refuses comes in no file
        assert not name.isprintable()
        return
    difference = compare(before, after)
    full = compare(before, written_into(after, allowed_text(difference)))
    assert judged(full).beyond == ()
    table = full.matched.after.studio.allowed
    assert table is not None
    (says,) = (change.says for change in table.change)
    (sentence,) = (change.sentence for change in difference.changes[None])
    assert says == sentence


def test_written_whatever_things_are_called() -> None:
    for seed in range(6):
        before, after, _ = three(seed)
        after = called_otherwise(after)
        text = allowed_text(compare(before, after))
        assert judged(compare(before, written_into(after, text))).beyond == ()


# -- the command ---------------------------------------------------------------------------------------------------------


@pytest.fixture
def studio(machine: Path) -> Path:
    """A recorded studio with two commits; the second exchanges two lines of the hall."""
    folder = machine / "weir"
    folder.mkdir()
    git(machine, "init", "-q", "-b", "main", str(folder))
    put(folder, {"studio.toml": STUDIO})
    record(folder, "As it is")
    put(folder, {"studio.toml": changed(STUDIO, HALL)})
    record(folder, "Hall turned")
    return folder


def put(folder: Path, files: Mapping[str, str]) -> None:
    for name, text in files.items():
        (folder / name).write_text(text, encoding="utf-8")


def test_the_whole_flow_from_a_diff(studio: Path) -> None:
    file = studio / "allowed.toml"
    ran = diff(studio, "last~1..last", "--write-allowed", str(file))
    assert ran.status == 0
    assert ran.err == f"Written: {file}\n"
    record(studio, "What was agreed")
    ran = diff(studio, "last~2..last")
    assert ran.status == 0
    assert "Beyond" not in ran.out
    put(studio, {"studio.toml": changed(STUDIO, HALL, BOOTH)})
    record(studio, "More than that")
    ran = diff(studio, "last~3..last")
    assert ran.status == 1
    assert "Beyond what is allowed\n- Narration booth" in ran.out
    made = json.loads(diff(studio, "last~3..last", "--json").out)
    assert diff(studio, "last~3..last", "--json").status == 1
    assert made["beyond"]
    assert made["awaited"] == []
    assert diff(studio, "last~1..last").status == 1


def test_the_whole_flow_from_a_permission(studio: Path) -> None:
    put(studio, {"allowed.toml": '[allowed]\nrooms = "booth"\nbecause = "The hall is in use."\n'})
    record(studio, "Only the booth")
    put(studio, {"studio.toml": changed(STUDIO, HALL, BOOTH)})
    assert diff(studio).status == 0
    put(studio, {"studio.toml": changed(STUDIO, BOOTH)})
    ran = diff(studio)
    assert ran.status == 1
    assert "Only room Booth may change (allowed.toml:2:9" in " ".join(ran.out.split())


def test_a_file_that_says_something_else_is_kept(studio: Path) -> None:
    file = studio / "allowed.toml"
    file.write_text("# mine\n", encoding="utf-8")
    ran = diff(studio, "last~1..last", "--write-allowed", str(file))
    assert (ran.status, file.read_text(encoding="utf-8")) == (2, "# mine\n")
    assert "--force" in ran.err
    assert diff(studio, "last~1..last", "--write-allowed", str(file), "--force").status == 0
    text = file.read_bytes()
    assert diff(studio, "last~1..last", "--write-allowed", str(file)).status == 0
    assert file.read_bytes() == text
    assert sorted(path.name for path in studio.iterdir() if path.name != ".git") == ["allowed.toml", "studio.toml"]


def test_what_must_be_known_before_it_counts_is_said(studio: Path, tmp_path: Path) -> None:
    ran = diff(studio, "last~1..last", "--write-allowed", str(tmp_path / "away.toml"))
    assert "no file of the studio" in " ".join(ran.err.split())
    assert diff(studio, "--write-allowed", str(tmp_path / "none.toml")).status == 2
    put(studio, {"mine.toml": '[allowed]\nrooms = "booth"\n'})
    record(studio, "Only the booth")
    put(studio, {"studio.toml": STUDIO})
    ran = diff(studio, "--write-allowed", str(studio / "allowed.toml"))
    assert ran.status == 1
    said = " ".join(ran.err.split())
    assert "There is a table [allowed] in mine.toml too" in said
    assert "still holds for this range" in said


def test_one_document_whatever_happens(studio: Path, tmp_path: Path) -> None:
    ran = diff(studio, "--json", "--write-allowed", str(tmp_path / "none.toml"))
    assert (ran.status, json.loads(ran.out)["errors"][0]["id"]) == (2, "nothing-to-allow")
    ran = diff(studio, "last~1..last", "--json", "--write-allowed", str(tmp_path / "some.toml"))
    assert (ran.status, json.loads(ran.out)["ok"]) == (0, True)
    assert diff(studio, "--force").status == 2


# -- any table -----------------------------------------------------------------------------------------------------------


def any_table(rng: Random, before: Files, after: Files) -> str:
    """A table with names that both sides have."""
    both = [united(files) for files in (before, after)]
    lines = ["[allowed]"]
    for key in ("room", "rack", "unit", "bay", "setup"):
        known = sorted(set(both[0].get(key, {})) & set(both[1].get(key, {})))
        if known and rng.random() < 0.4:
            names = rng.sample(known, rng.randint(0, len(known)))
            lines.append(f"{key}s = [{', '.join(json.dumps(name, ensure_ascii=False) for name in names)}]")
    lines += [f"kinds = {json.dumps(rng.sample(KINDS, 4))}"] if rng.random() < 0.3 else []
    lines += [f'worst = "{rng.choice(HARMS)}"'] if rng.random() < 0.3 else []
    lines += [f"lose = {rng.choice(('true', 'false'))}"] if rng.random() < 0.3 else []
    return "\n".join(lines) + "\n"


@pytest.mark.parametrize("seed", some(range(60), 20))
def test_any_table_gives_one_verdict_in_text_and_document(seed: int) -> None:
    before, after, _ = three(seed)
    rng = Random(seed)
    tables = [any_table(rng, before, after) for _ in range(2)]
    difference = compare(written_into(before, tables[0]), written_into(after, tables[1]))
    verdict = judged(difference)
    text, made = text_of(difference), difference_document(difference)
    fastjsonschema.compile(DIFF.schema)(json.loads(json.dumps(made)))
    assert ("Beyond what is allowed" in text) == bool(verdict.beyond) == bool(made["beyond"])
    assert max(map(width, text.split("\n"))) <= 80
    for side, table in (("before", tables[0]), ("after", tables[1])):
        alone = judged(compare(written_into(before, table), written_into(after, table)))
        if not difference.renamed and not alone.differs:
            both = {(each.print, each.setup, each.rule) for each in verdict.beyond if each.side == side}
            assert both == {(each.print, each.setup, each.rule) for each in alone.beyond} or not verdict.differs
