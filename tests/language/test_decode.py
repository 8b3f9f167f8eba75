"""Decoding: what must be read, what must be refused, where and in which words."""

import random
from datetime import date
from typing import Any

import pytest

from routecode.ground.finding import Mistake
from routecode.ground.place import At
from routecode.language.decode import decode
from routecode.language.written import Studio

from .cases import Case, cases, table_of

BAD = cases("bad.md")
GOOD = cases("good.md")

EXAMPLE = cases("example.md")


def read(*texts: str) -> tuple[Studio | None, tuple[Mistake, ...]]:
    files = [(f"{index}.toml", table_of("x", text)) for index, text in enumerate(texts)]
    return decode([("studio.toml", {"studio": {"language": 1}}), *files])


def good(*texts: str) -> Studio:
    studio, mistakes = read(*texts)
    assert studio is not None, mistakes
    return studio


def only_mistake(*texts: str) -> Mistake:
    studio, mistakes = read(*texts)
    assert studio is None
    assert len(mistakes) == 1, mistakes
    return mistakes[0]


@pytest.mark.parametrize("case", BAD, ids=lambda case: case.title)
def test_each_bad_case_is_refused_at_its_line(case: Case) -> None:
    studio, mistakes = decode(case.tables)
    assert studio is None
    assert case.told(mistakes) == case.expected


@pytest.mark.parametrize("case", BAD, ids=lambda case: case.title)
def test_mistakes_are_sentences_and_do_not_depend_on_order(case: Case) -> None:
    _, mistakes = decode(case.tables)
    for mistake in mistakes:
        assert mistake.text.endswith(".")
        assert mistake.text.isprintable()
        assert mistake.do == "" or mistake.do[-1] in ".?]" or ": " in mistake.do, mistake.do
    for seed in range(3):
        assert decode(shuffled(case.tables, seed))[1] == mistakes


@pytest.mark.parametrize("case", [*GOOD, *EXAMPLE], ids=lambda case: case.title)
def test_each_good_case_is_read_whatever_the_order_of_files_tables_and_keys(case: Case) -> None:
    studio, mistakes = decode(case.tables)
    assert mistakes == ()
    for seed in range(3):
        assert decode(shuffled(case.tables, seed))[0] == studio


def shuffled(files: list[tuple[str, dict[str, Any]]], seed: int) -> list[tuple[str, dict[str, Any]]]:
    dice = random.Random(seed)
    mixed = [(name, _mixed(table, dice)) for name, table in files]
    dice.shuffle(mixed)
    return mixed


def _mixed(value: Any, dice: random.Random) -> Any:
    if isinstance(value, dict):
        items = list(value.items())
        dice.shuffle(items)
        return {key: _mixed(below, dice) for key, below in items}
    return [_mixed(below, dice) for below in value] if isinstance(value, list) else value


@pytest.mark.parametrize("case", [*GOOD, *EXAMPLE], ids=lambda case: case.title)
def test_one_file_a_table_reads_the_same(case: Case) -> None:
    whole, _ = decode(case.tables)
    pieces: list[tuple[str, dict[str, Any]]] = []
    for file, data in case.tables:
        for name, value in data.items():
            if name in ("studio", "allowed", "times"):
                pieces += [(f"{file}-{key}.toml", {name: {key: each}}) for key, each in value.items()]
            elif isinstance(value, dict):
                for each, table in value.items():
                    inside = list(table.items()) or [("", None)]
                    pieces += [
                        (f"{file}-{name}-{each}-{i}.toml", {name: {each: {key: below} if key else {}}})
                        for i, (key, below) in enumerate(inside)
                    ]
            else:
                pieces += [(f"{file}-{name}-{i:03}.toml", {name: [table]}) for i, table in enumerate(value)]
    split, mistakes = decode(pieces)
    assert mistakes == ()
    assert split == whole


def test_the_example_of_the_language_is_read_key_by_key() -> None:
    studio, _ = decode(EXAMPLE[0].tables)
    assert studio is not None
    assert studio.head.title == "Millrace"
    assert studio.head.sample_rate == 48000
    assert [port.name for port in studio.model["pre8"].port] == [("mic 1..8",), ("out 1..8",)]
    assert studio.model["pre8"].port[1].max_level == "+26 dBu"
    assert studio.unit["pre-a"].phantom_on == ("mic 1..4",)
    column = studio.bay["north"].column[0]
    assert (column.at, column.top, column.bottom, column.plug) == (
        ("1..8",),
        ("hall/line 1..8",),
        ("pre-a/mic 1..8",),
        "bottom",
    )
    cable = studio.cable[0]
    assert (cable.from_, cable.to, cable.metres) == ((("pre-a/out 1..8",),), (("south/top 1..8",),), 3.5)
    assert studio.cable_type["pair"].pf_per_metre == 105.0
    assert studio.setup["drums"].need[0].path == ("hall/line 1", "pre-a/mic 1", "comp/in 1", "conv/line 1")
    assert studio.accept[0].rule == "polarity-reversed"


def test_legs_of_a_split_stay_apart() -> None:
    studio = good('[[cable]]\nfrom = "a/out 1..2"\nto = [["b/in 1..2"], ["c/in 1", "c/in 2"]]')
    assert studio.cable[0].to == (("b/in 1..2",), ("c/in 1", "c/in 2"))
    assert studio.cable[0].from_ == (("a/out 1..2",),)


def test_days_are_dates_however_written() -> None:
    head = '[[accept]]\nrule = "r"\nat = "a"\nbecause = "b"\nuntil = '
    assert good(head + "2026-03-01").accept[0].until == date(2026, 3, 1)
    assert good(head + '"2026-03-01"').accept[0].until == date(2026, 3, 1)


def test_defaults_are_the_declared_ones() -> None:
    bay = good("[bay.north]\ncolumns = 4").bay["north"]
    assert (bay.rows, bay.sources, bay.normalling, bay.normal, bay.column) == (2, "top", "switched", None, ())


def test_dictionaries_are_sorted_and_arrays_follow_the_names_of_the_files() -> None:
    studio = good(
        '[unit.b]\n[[cable]]\nfrom = "x"\nto = "y"',
        '[unit.a]\n[[cable]]\nfrom = "v"\nto = "w"\n[[unit.b.port]]\nname = "1"',
    )
    assert list(studio.unit) == ["a", "b"]
    assert [cable.from_ for cable in studio.cable] == [(("x",),), (("v",),)]


def test_places_count_within_their_own_file() -> None:
    studio = good(
        "[bay.n]\ncolumns = 9\n[[bay.n.column]]\nat = 1\n[[bay.n.column]]\nat = 2", "[[bay.n.column]]\nat = 3"
    )
    assert [column.place for column in studio.bay["n"].column] == [
        At("0.toml", ("bay", "n", "column", 0)),
        At("0.toml", ("bay", "n", "column", 1)),
        At("1.toml", ("bay", "n", "column", 0)),
    ]


def test_a_table_in_several_files_knows_where_each_key_stands() -> None:
    unit = good('[unit.a]\ntitle = "A"', "[unit.a]\nat_u = 3").unit["a"]
    assert unit.place == At("0.toml", ("unit", "a"))
    assert unit.where("at_u") == At("1.toml", ("unit", "a", "at_u"))
    assert unit.where("title") == At("0.toml", ("unit", "a", "title"))
    assert good("[unit.a]").unit["a"].elsewhere is None


def test_a_key_given_twice_names_both_places() -> None:
    mistake = only_mistake('[unit.a]\ntitle = "A"', '[unit.a]\ntitle = "B"')
    assert mistake.place == At("1.toml", ("unit", "a", "title"))
    assert [at for _, at in mistake.also] == [At("0.toml", ("unit", "a", "title"))]
    assert mistake.text == "`title` of unit a is given twice: in 0.toml and in 1.toml."


def test_a_key_below_the_wrong_header_is_told_where_it_belongs() -> None:
    mistake = only_mistake("[bay.north]\ncolumns = 4\n[[bay.north.column]]\nat = 3\nmetres = 3")
    assert (
        mistake.text == "`metres` is a key of [cord_type.ID] and [[cable]]; here it belongs to column 3 of bay north."
    )
    assert mistake.why == "A line belongs to the last header above it."
    mistake = only_mistake('[unit.hall]\n[[unit.hall.port]]\nname = "line 1..4"\nat_u = 4')
    assert mistake.text == "`at_u` is a key of [unit.hall]; here it belongs to port line 1..4 of unit hall."
    assert mistake.do == "Move it up, below [unit.hall] and above its first [[unit.hall.port]]."


def test_did_you_mean_is_asked() -> None:
    assert only_mistake('[bay.north]\ncolumns = 4\nsorces = "top"').do == "Did you mean `sources`?"
    assert only_mistake("[bays.north]\ncolumns = 4").do == "Did you mean `bay`?"
    assert only_mistake('[room.control]\n[unit.a]\nroom = "Control"').do == "Did you mean `control`?"
    assert only_mistake('[unit.a]\n[[unit.a.port]]\nname = "1"\nlevel = "−10dbv"').do == "Did you mean `-10 dBV`?"
    assert only_mistake('[[cable]]\nfrom = "a"\nto = "b"\nmetres = "3"').do == "Write 3 without quotes."
    unit = only_mistake('[[cable]]\nfrom = "a"\nto = "b"\nmetres = "3 m"').do
    assert unit == "Write the number alone, without quotes, in the unit that the key is in."


def test_a_newer_language_is_refused_alone_and_names_the_version() -> None:
    studio, mistakes = decode([("a.toml", {"studio": {"language": 7, "nonsense": 1}, "rubbish": 3})])
    assert studio is None
    assert [mistake.id for mistake in mistakes] == ["language-newer"]
    assert "language 7" in mistakes[0].do


def test_no_studio_table_and_no_files() -> None:
    assert [mistake.id for mistake in decode([])[1]] == ["studio-missing"]


def test_a_long_chain_of_includes_is_no_loop_and_costs_no_recursion() -> None:
    setups: dict[str, Any] = {f"s{i}": {"include": [f"s{i + 1}"]} for i in range(5000)} | {"s5000": {}}
    files: list[tuple[str, dict[str, Any]]] = [("studio.toml", {"studio": {"language": 1}, "setup": setups})]
    assert decode(files)[1] == ()
    setups["s5000"] = {"include": ["s0"]}
    assert [mistake.id for mistake in decode(files)[1]] == ["include-loop"]


def test_two_ways_to_one_setup_are_no_loop() -> None:
    assert good('[setup.a]\ninclude = ["b", "c"]\n[setup.b]\ninclude = "d"\n[setup.c]\ninclude = "d"\n[setup.d]')


def test_times_are_the_usual_ones_where_none_are_given() -> None:
    assert (good("").times.make_end, good("").times.walk) == (6.0, 1.0)
    given = good("[times]\nmake_end = 7.5").times
    assert (given.make_end, given.walk) == (7.5, 1.0)


def test_a_cord_may_have_the_same_plug_twice_and_a_list_of_globs_may_not() -> None:
    assert good('[cord_type.a]\nends = ["bantam", "bantam"]').cord_type["a"].ends == ("bantam", "bantam")
    assert only_mistake('[setup.a]\ninclude = ["b", "b"]\n[setup.b]').id == "repeated-name"


@pytest.mark.parametrize(
    ("level", "says", "do"),
    [
        ("775 mV", "must be a text of a number, a space and a unit (dBu, dBV, V).", "Did you mean `0.775 V`?"),
        ("-1 V", "must be more than 0 V.", 'Write the voltage between the two legs, such as "0.775 V".'),
        ("+201 dBu", "must lie between -200 and +200 dBu.", 'For example "+4 dBu".'),
        ("1e3 V", "must be a text of a number, a space and a unit (dBu, dBV, V).", 'For example "+4 dBu".'),
    ],
)
def test_a_level_that_is_none_says_what_is_wrong_with_it(level: str, says: str, do: str) -> None:
    mistake = only_mistake(f'[unit.a]\n[[unit.a.port]]\nname = "1"\nlevel = "{level}"')
    assert mistake.text.endswith(says)
    assert mistake.do == do
