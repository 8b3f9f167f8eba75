"""What is one change to a studio engineer is one sentence, word for word; and what a list says is true of each of its pairs."""

import sys
import tomllib
from collections.abc import Callable
from functools import partial

import pytest

from routecode.change.difference import Compared
from routecode.show.paths import paths_text
from routecode.show.trace import MOST_LINES, trace_text
from routecode.show.tracing import Trace
from tests.bench.series import cut, in_series, leg_cut, legs_crossed
from tests.change.known_edits import example
from tests.change.loosened import loosened, text_of
from tests.change.test_raw_sets import compare
from tests.change.wiring import changed, circuit, compared

SLUICE = '[studio]\ntitle = "Sluice"\nlanguage = 1\n'


def box(ident: str, title: str, count: int, direction: str) -> str:
    """A unit with so many lines."""
    port = f'[[unit.{ident}.port]]\nname = "line 1..{count}"\ndirection = "{direction}"\nsignal = "line"\n'
    return f'\n[unit.{ident}]\ntitle = "{title}"\n{port}'


BULK = f"""{SLUICE}{box("stage", "Stage box", 48, "either")}{box("conv", "Converter", 96, "in")}
[bay.main]
title = "Main bay"
columns = 96
normal = "half"
[[bay.main.column]]
at = "1..48"
top = "stage/line 1..48"
bottom = "conv/line 1..48"
"""

TIED = f"""{SLUICE}{box("hall", "Hall box", 16, "out")}{box("booth", "Booth box", 8, "out")}{box("pit", "Pit box", 8, "out")}
{box("yard", "Yard box", 12, "out")}{box("loft", "Loft box", 4, "out")}{box("conv", "Converter", 48, "in")}
[model.panel]
[[model.panel.port]]
name = ["in 1..48", "out 1..48"]
direction = "either"
signal = "line"
[[model.panel.inside]]
from = "in 1..48"
to = "out 1..48"
kind = "hardwired"
[unit.far]
title = "Far panel"
model = "panel"
[unit.near]
title = "Near panel"
model = "panel"
[[cable]]
from = ["hall/line 1..16", "booth/line 1..8", "pit/line 1..8", "yard/line 1..12", "loft/line 1..4"]
to = "far/in 1..48"
[[cable]]
from = "near/out 1..48"
to = "conv/line 1..48"
"""
"""Five boxes on a far panel; the multipair between the panels is missing."""
TRUNK = '[[cable]]\nnumber = "T1"\nfrom = "far/out 1..48"\nto = "near/in 1..48"\n'


def told(found: Compared) -> list[str]:
    """Every sentence once, over all states."""
    return list(dict.fromkeys(change.sentence for changes in found.changes.values() for change in changes))


def of_example(*swaps: tuple[str, str, str]) -> Compared:
    """The example against itself with some pieces (file, old, new) replaced; each must stand there once."""
    files = dict(example().files)
    for file, old, new in swaps:
        files[file] = changed(files[file], (old, new))
    return compare(example().files, files)


def without(number: str) -> tuple[str, str, str]:
    """The cable of a number taken out of the example."""
    text = example().files["cables.toml"]
    start = text.index(f'[[cable]]\nnumber = "{number}"')
    return "cables.toml", text[start : text.index("[[cable]]", start + 1)], ""


# -- one change, one sentence --------------------------------------------------------------------------------------------


def test_a_bulk_move_of_48_channels() -> None:
    found = compared(BULK, changed(BULK, ("conv/line 1..48", "conv/line 49..96")))
    assert told(found) == ["Stage box lines 1-48 now reach Converter lines 49-96 instead of Converter lines 1-48."]


def test_48_columns_moved() -> None:
    found = compared(BULK, changed(BULK, ('at = "1..48"', 'at = "49..96"')))
    assert told(found) == [
        "Main bay columns 1-48 are now columns 49-96, with all that is wired there. No path changed."
    ]


def test_a_bay_extended_in_the_middle() -> None:
    after = changed(BULK, ("columns = 96", "columns = 100"), ('at = "1..48"', 'at = ["1..24", "29..52"]'))
    assert told(compared(BULK, after)) == [
        "Main bay columns 25-48 are now columns 29-52, with all that is wired there. No path changed."
    ]


@pytest.mark.parametrize("was", ["", 'was = "stage"\n'])
def test_a_unit_renamed(was: str) -> None:
    after = BULK.replace("stage/", "west/").replace("[[unit.stage.", "[[unit.west.")
    after = changed(after, ("[unit.stage]\n", f"[unit.west]\n{was}"))
    found = compared(BULK, after)
    how = "the text says so" if was else "same ports, same wiring"
    assert (found.result, told(found), found.equipment) == ("text-only", [], [f"Unit stage is now west ({how})."])


def test_a_multipair_cut() -> None:
    found = compared(BULK, changed(BULK, ('bottom = "conv/line 1..48"\n', "")))
    assert told(found) == [
        "Stage box lines 1-48 no longer reach Converter lines 1-48. "
        "They stop at Main bay bottom 1-48: nothing is wired there any more."
    ]


def test_a_tie_line_with_five_boxes_on_it_cut_and_laid() -> None:
    """The open ends at the panels are where the paths stop and begin; they are no paths of their own."""
    assert told(compared(TIED + TRUNK, TIED)) == [
        "Booth box lines 1-8 and 40 more sources no longer reach Converter lines 1-48 (48 paths). "
        "They stop at Far panel out 1-48: their cables to Near panel in 1-48 are gone."
    ]
    assert told(compared(TIED, TIED + TRUNK)) == [
        "Booth box lines 1-8 and 40 more sources now reach Converter lines 1-48 (48 paths). "
        "Cables join Far panel out 1-48 to Near panel in 1-48."
    ]
    assert compared(TIED + TRUNK, TIED).untold() == 96


def one_by_one(text: str) -> str:
    """The same studio with every cable and column stated by itself."""
    return text_of(loosened(tomllib.loads(text)))


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (BULK, changed(BULK, ("conv/line 1..48", "conv/line 49..96"))),
        (BULK, changed(BULK, ('bottom = "conv/line 1..48"\n', ""))),
        (BULK, changed(BULK, ('at = "1..48"', 'at = "49..96"'))),
        (TIED + TRUNK, TIED),
        (TIED, TIED + TRUNK),
    ],
)
def test_what_is_stated_one_by_one_is_told_as_what_is_stated_as_a_range(before: str, after: str) -> None:
    """Forty-eight statements that change alike are forty-eight edits, and still one sentence."""
    ranges, singles = compared(before, after), compared(one_by_one(before), one_by_one(after))
    assert len(ranges.causes.edits) < 3
    assert len(singles.causes.edits) >= 48
    assert told(singles) == told(ranges)
    (change,) = singles.changes[None]
    assert change.kind == "moved" or (len(change.edits), change.proof) == (48, "together")


def test_edits_of_another_sort_are_told_apart() -> None:
    """Two lines lost by their cables and two by their normals: two things were done."""
    text = one_by_one(BULK)
    for number in (1, 2):
        text = changed(text, (f'[[cable]]\nfrom = "main/bottom {number}"\nto = "conv/line {number}"\n', ""))
    for number in (3, 4):
        column = f"[[bay.main.column]]\nat = {number}\n"
        text = changed(text, (column, f'{column}normal = "none"\n'))
    assert told(compared(one_by_one(BULK), text)) == [
        "Stage box lines 1-2 no longer reach Converter lines 1-2. "
        "They stop at Main bay bottom 1-2: nothing is wired there any more.",
        "Stage box lines 3-4 no longer reach Converter lines 3-4. "
        "They stop at Main bay top 3-4: their normals are taken out.",
    ]


# -- the example ---------------------------------------------------------------------------------------------------------


def test_a_multichannel_cable_of_the_example_cut() -> None:
    """Forty sources on one coaxial cable: one sentence a state, since the sources are not the same in all."""
    found = of_example(without("D301"))
    assert [change.sentence for change in found.changes[None]] == [
        "Booth box lines 1-4 and 46 more sources no longer reach Recording computer madi in ch 1-22 and 25-32 (72 paths). "
        "They stop at Converter madi out: its cable to Recording computer madi in is gone."
    ]
    assert {len(changes) for changes in found.changes.values()} == {1}


def test_eight_cables_of_two_channels_of_the_example_cut() -> None:
    found = of_example(without("D303"))
    assert [change.sentence for change in found.changes[None]] == [
        "Hall box lines 1-16 no longer reach Safety recorder aes in 1-8 ch 1-2. "
        "They stop at Converter aes out 1-8: their cables to Safety recorder aes in 1-8 are gone."
    ]
    assert {change.sentence for change in found.changes["folk"]} == {
        "Hall box lines 1-2, 4-8 and 10-16 no longer reach 14 places of Safety recorder, one each. "
        "They stop at Converter aes out 1-8: their cables to Safety recorder aes in 1-8 are gone.",
        "Harmonium pickup no longer reaches Safety recorder aes in 5 ch 1. "
        "It stops at Converter aes out 5: its cable to Safety recorder aes in 5 is gone.",
    }


def test_a_unit_of_the_example_renamed() -> None:
    files = {name: text.replace("pre-a", "pre-west") for name, text in example().files.items()}
    found = compare(example().files, files)
    assert (found.result, told(found)) == ("text-only", [])
    assert found.equipment == ["Unit pre-a is now pre-west (same ports, same wiring)."]


# -- a list is true of each of its pairs ---------------------------------------------------------------------------------


def ports(ident: str, *named: str, direction: str = "in") -> str:
    """Ports of a unit, all of one direction."""
    names = ", ".join(f'"{port}"' for port in named)
    return f'[[unit.{ident}.port]]\nname = [{names}]\ndirection = "{direction}"\nsignal = "line"\n'


DIRECT = f"""{SLUICE}{box("mic", "Mic", 2, "out")}{box("track", "Track", 2, "in")}
[unit.desk]
title = "Desk"
{ports("desk", "in 1", "in 2")}{ports("desk", "direct 1", "direct 2", "bus", direction="out")}
[[unit.desk.inside]]
from = "in 1..2"
to = "direct 1..2"
[[unit.desk.inside]]
from = "in 1..2"
to = "bus"
pairing = "all-to-all"
[unit.matrix]
title = "Matrix"
{ports("matrix", "in 1", "in 2", "bus")}{ports("matrix", "out 1", "out 2", direction="out")}
[[unit.matrix.inside]]
from = "in 1..2"
to = "out 1..2"
[[unit.matrix.inside]]
from = "bus"
to = "out 1..2"
pairing = "all-to-all"
[[cable]]
from = "mic/line 1..2"
to = "desk/in 1..2"
[[cable]]
from = "desk/direct 1..2"
to = "matrix/in 1..2"
[[cable]]
from = "matrix/out 1..2"
to = "track/line 1..2"
"""
"""Each of two sources reaches its own track directly, and with the bus the other one's too."""
BUS = '[[cable]]\nfrom = "desk/bus"\nto = "matrix/bus"\n'


def test_a_bus_lost_beside_direct_ways() -> None:
    """Mic 1 still reaches track 1: `lines 1-2 no longer reach lines 1-2` would be false of half of its pairs."""
    assert told(compared(DIRECT + BUS, DIRECT)) == [
        "Mic lines 1-2 no longer reach Track lines 2 and 1. They stop at Desk bus: its cable to Matrix bus is gone.",
        "Mic lines 1-2 still reach Track lines 1-2. One way is gone: Desk bus to Matrix bus.",
    ]
    assert told(compared(DIRECT, DIRECT + BUS)) == [
        "Mic lines 1-2 now reach Track lines 2 and 1. A cable joins Desk bus to Matrix bus.",
        "Mic lines 1-2 still reach Track lines 1-2. There is another way now: Desk bus to Matrix bus.",
    ]
    lost, kept = compared(DIRECT + BUS, DIRECT).changes[None]
    assert [len(claim.turns[0].sources) for change in (lost, kept) for claim in change.claims] == [1, 1, 1, 1]


IDLE = f"""{SLUICE}{box("track", "Track", 2, "in")}
[unit.echo]
title = "Echo"
{ports("echo", "in")}{ports("echo", "out", direction="out")}
[[unit.echo.inside]]
from = "in"
to = "out"
[[cable]]
from = "echo/out"
to = "track/line 1"
"""


def test_what_carries_nothing_does_not_still_reach_anything() -> None:
    """Nothing comes out of the echo before; that its wire is another one too is no way that differs."""
    looped = IDLE + '[[cable]]\nfrom = "echo/out"\nto = "echo/in"\n'
    for before, after in ((IDLE, looped), (looped, IDLE)):
        assert [change.kind for change in compared(before, after).changes[None]] == ["feedback"]


def test_an_input_that_hears_nothing_any_more_does_not_hear_only_nothing() -> None:
    after = f"{SLUICE}{box('mic', 'Mic', 2, 'out')}{box('track', 'Track', 2, 'in')}"
    before = after + '[[cable]]\nfrom = [["mic/line 1"], ["mic/line 2"]]\nto = "track/line 1"\n'
    (change,) = compared(before, after).changes[None]
    assert (
        change.sentence == "Track line 1 no longer gets two signals on one wire. Now: nothing. Before: Mic lines 1-2."
    )


def test_what_silences_an_open_end_is_named() -> None:
    """An output on the wire of an open end: the end hears it, and drives no more."""
    split = '[[cable]]\nfrom = [["wall/line 1"], ["echo/out"]]\nto = "track/line 1"\n'
    here = IDLE[: IDLE.index("[[cable]]")] + box("wall", "Wall box", 2, "either") + split
    away = here.replace("[unit.echo]", '[unit.echo]\naway = "on loan"')
    assert told(compared(away, here)) == [
        "Wall box line 1 no longer reaches Track line 1. It stops at Wall box line 1: Echo out drives that wire now."
    ]


# -- two to the power of forty -------------------------------------------------------------------------------------------

STAGES = 40
SERIES = in_series(STAGES)


def test_of_ways_without_number_the_count_is_told() -> None:
    found = compared(SERIES, leg_cut(SERIES, 20))
    assert (found.result, found.compared, found.states[0].lost) == ("same-ends", 1, frozenset())
    assert told(found) == [
        "Start still reaches End, by fewer ways. Gone: Split 20 out 2 to Mix 20 in 2. "
        f"{2 ** (STAGES - 1):,} ways, too many to list. Before: {2**STAGES:,}."
    ]
    assert told(compared(leg_cut(SERIES, 20), SERIES)) == [
        "Start still reaches End, by more ways. New: Split 20 out 2 to Mix 20 in 2. "
        f"{2**STAGES:,} ways, too many to list. Before: {2 ** (STAGES - 1):,}."
    ]


def test_of_other_ways_without_number_the_turn_is_told() -> None:
    assert told(compared(SERIES, legs_crossed(SERIES, 20))) == [
        "Start still reaches End, by other ways. Gone: Split 20 out 1 to Mix 20 in 1 and Split 20 out 2 to Mix 20 in 2. "
        f"New: Split 20 out 1 to Mix 20 in 2 and Split 20 out 2 to Mix 20 in 1. {2**STAGES:,} ways, too many to list."
    ]


def test_a_pair_is_exact_however_many_ways_join_it() -> None:
    found = compared(SERIES, cut(SERIES, 20))
    name = found.matched.channel_name
    assert [(name(a), name(b), idle) for a, b, idle in found.states[0].lost] == [("start/out", "end/in", False)]
    assert found.changes[None][0].sentence == (
        "Start no longer reaches End. It stops at Mix 19 out: its cable to Split 20 in is gone."
    )


def test_paths_and_traces_of_ways_without_number() -> None:
    made = circuit(SERIES)
    assert paths_text(made, None).startswith("Unpatched: 1 path from 1 source to 1 destination.")
    half = circuit(in_series(STAGES // 2))
    few, lines = (trace_text(Trace(one, None, "start/out")).splitlines() for one in (half, made))
    assert len(lines) < 3 * len(few), "each place once, however many ways lead to it"
    assert any(line.endswith("(see above)") for line in lines), "the second leg of a stage is not followed twice"
    assert len(lines) < MOST_LINES or lines[-1].endswith("everything is in: routecode trace --json")


def calls(work: Callable[[], object]) -> int:
    """How many functions are called; the same on every machine."""
    count = 0

    def called(frame: object, event: str, argument: object) -> None:
        nonlocal count
        count += event == "call"

    sys.setprofile(called)
    try:
        work()
    finally:
        sys.setprofile(None)
    return count


@pytest.mark.parametrize("edit", [leg_cut, legs_crossed, cut])
def test_twice_the_stages_cost_twice_the_work(edit: Callable[[str, int], str]) -> None:
    """The ways are squared; the work grows with the stages."""
    counts = []
    for stages in (20, 40):
        before = in_series(stages)
        found = compared(before, edit(before, stages // 2))
        counts.append(calls(partial(getattr, found, "changes")))
    assert counts[1] < 3 * counts[0]
