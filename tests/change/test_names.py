"""Names that read otherwise: declared or proved, one line each, and no path is told for them."""

import pytest

from routecode.change.difference import Compared
from tests.change.wiring import PLAIN, changed, circuit, compared, sentences

DECLARED = PLAIN.replace("pre-a", "pre-west").replace('"Preamp A"', '"Preamp West"\nwas = "pre-a"')
PROVED = PLAIN.replace("pre-a", "pre-west").replace('"Preamp A"', '"Preamp West"')


@pytest.mark.parametrize(("after", "how"), [(DECLARED, "declared"), (PROVED, "proved")])
def test_a_unit_called_otherwise(after: str, how: str) -> None:
    found = compared(PLAIN, after)
    assert [tuple(one) for one in found.renamed] == [("unit", "pre-a", "pre-west", how)]
    assert found.result == "text-only"
    assert all(delta.empty for delta in found.states)
    assert found.changes == {None: ()}
    said = {"declared": "the text says so", "proved": "same ports, same wiring"}[how]
    assert found.equipment == [f"Preamp A is now called Preamp West ({said})."]


def test_was_is_read_on_either_side() -> None:
    found = compared(DECLARED, PLAIN)
    assert [tuple(one) for one in found.renamed] == [("unit", "pre-west", "pre-a", "declared")]
    assert all(delta.empty for delta in found.states)


def test_was_counts_only_where_the_old_name_is_gone() -> None:
    """`was` stays in the text for years; a unit that takes the old name again is no rename."""
    after = PLAIN.replace('title = "Preamp B"', 'title = "Preamp B"\nwas = "pre-a"')
    assert compared(PLAIN, after).renamed == []


def test_two_that_claim_one_old_name_get_neither() -> None:
    after = PLAIN.replace("pre-a", "pre-west").replace('"Preamp A"', '"Preamp West"\nwas = "pre-a"')
    after += '\n[unit.pre-east]\nmodel = "pre"\nwas = "pre-a"\n'
    found = compared(PLAIN, after)
    assert [one.how for one in found.renamed] == ["proved"]


def test_what_looks_alike_twice_is_not_proved() -> None:
    """Two units without cables could be each other: nothing is guessed either."""
    spare = '\n[unit.{0}]\nmodel = "pre"\n'
    before = PLAIN + spare.format("spare-1") + spare.format("spare-2")
    after = PLAIN + spare.format("spare-3") + spare.format("spare-4")
    assert compared(before, after).renamed == []


def test_ports_called_otherwise_are_one_line() -> None:
    after = PLAIN.replace('"line 1..16"', '"input 1..16"').replace("conv/line", "conv/input")
    found = compared(PLAIN, after)
    assert found.result == "text-only"
    assert found.equipment == ["Converter: lines 1-16 are now inputs 1-16 (same ports, same wiring)."]


def test_ports_declared() -> None:
    after = PLAIN.replace('name = "line 1..16"', 'name = "input 1..16"\nwas = "line 1..16"').replace(
        "conv/line", "conv/input"
    )
    found = compared(PLAIN, after)
    assert {one.how for one in found.renamed} == {"declared"}
    assert all(delta.empty for delta in found.states)


def test_a_bay_and_a_unit_called_otherwise_together() -> None:
    after = PROVED.replace("bay.north", "bay.stage").replace('"North bay"', '"Stage bay"')
    found = compared(PLAIN, after)
    assert [(one.kind, one.after) for one in found.renamed] == [("bay", "stage"), ("unit", "pre-west")]
    assert found.result == "text-only"


def test_a_setup_called_otherwise() -> None:
    setup = '\n[setup.{0}]\n[[setup.{0}.cord]]\nfrom = "north/top 9"\nto = "north/bottom 1"\n'
    setup += '[[setup.{0}.cord]]\nfrom = "north/top 10"\nto = "north/bottom 2"\n'
    found = compared(PLAIN + setup.format("folk"), PLAIN + setup.format("session"))
    assert [tuple(one) for one in found.renamed] == [("setup", "folk", "session", "proved")]
    assert [(delta.setup, delta.presence, delta.empty) for delta in found.states] == [
        (None, "both", True),
        ("session", "both", True),
    ]


def test_a_rename_hides_no_change() -> None:
    after = changed(PROVED, ('bottom = "conv/line 1..8"', 'bottom = ["conv/line 2", "conv/line 1", "conv/line 3..8"]'))
    told = sentences(PLAIN, after)
    assert told == [
        "exchanged -: Hall line 1 and Hall line 2 are exchanged. "
        "Hall line 1 now reaches Converter line 2, Hall line 2 reaches Converter line 1."
    ]


EXTENDED = PLAIN.replace(
    '[bay.south]\ntitle = "South bay"\ncolumns = 16', '[bay.south]\ntitle = "South bay"\ncolumns = 18'
).replace('at = "9..16"', 'at = "11..18"')


def test_a_bay_extended_in_the_middle_is_one_sentence() -> None:
    told = "moved -: South bay columns 9-16 are now columns 11-18, with all that is wired there. No path changed."
    assert sentences(PLAIN, EXTENDED) == [told]
    assert compared(PLAIN, EXTENDED).jacks == []


def test_the_whole_layout_moved_under_live_paths() -> None:
    after = changed(PLAIN, ('at = "1..8"\ntop = "pre-a/out 1..8"', 'at = "9..16"\ntop = "pre-a/out 1..8"')).replace(
        'at = "9..16"\ntop = "pre-b/out 1..8"', 'at = "1..8"\ntop = "pre-b/out 1..8"'
    )
    found = compared(PLAIN, after)
    assert [change.kind for change in found.changes[None]] == ["moved", "moved"]
    assert len(found.states[0].rerouted) == 16, "the raw sets still hold every feed that passes other jacks"


def shifted(text: str, *ranges: tuple[str, str]) -> str:
    """A bay with all its columns under other numbers."""
    return changed(text, *((f'at = "{old}"\ntop = "hall', f'at = "{new}"\ntop = "hall') for old, new in ranges))


def test_all_columns_shifted_is_one_sentence() -> None:
    """The second statement first, so that no text is replaced twice."""
    wider = changed(PLAIN, ('title = "North bay"\ncolumns = 16', 'title = "North bay"\ncolumns = 24'))
    found = compared(wider, shifted(wider, ("9..12", "13..16"), ("1..8", "5..12")))
    assert [change.sentence for change in found.changes[None]] == [
        "North bay columns 1-12 are now columns 5-16, with all that is wired there. No path changed."
    ]
    assert (found.jacks, found.cabling, found.besides()) == ([], [], [])


def test_columns_counted_down_are_told_column_by_column_and_no_path_is() -> None:
    """Renumbered the other way round: no shift, but still no path."""
    after = changed(PLAIN, ('at = "9..12"\ntop = "hall/line 9..12"', 'at = "9..12"\ntop = "hall/line 12..9"'))
    found = compared(PLAIN, after)
    assert {change.kind for change in found.changes[None]} == {"moved"}
    assert found.result == "same-ends"


def test_tables_moved_between_files_are_text_only() -> None:
    head, _, rest = PLAIN.partition("[bay.north]")
    one, two = circuit(PLAIN), circuit(head, "[bay.north]" + rest)
    found = Compared(one, two)
    assert (found.result, found.facts, found.renamed, found.equipment, found.cabling) == ("text-only", [], [], [], [])
    assert found.changes == {None: ()}


def test_a_file_moved_and_a_unit_renamed_is_one_sentence() -> None:
    head, _, rest = PROVED.partition("[bay.north]")
    found = Compared(circuit(PLAIN), circuit("[bay.north]" + rest, head))
    assert found.equipment == ["Preamp A is now called Preamp West (same ports, same wiring)."]
    assert (found.result, found.cabling, found.jacks, found.besides()) == ("text-only", [], [], [])
