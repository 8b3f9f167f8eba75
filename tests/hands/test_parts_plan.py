"""What is ordered is what is made: parts and jobsheet over random rewirings, with one plan of cables; and plugs that neither come nor go."""

from collections import Counter
from random import Random

import pytest

from routecode.change.difference import Difference
from routecode.circuit.circuit import Circuit
from routecode.hands.cables import schedule
from routecode.hands.cables_ends import PLUG
from routecode.hands.job import job
from routecode.hands.job_cables import Side, worth, worths
from routecode.hands.parts import bill_of, bill_of_change
from routecode.hands.parts_change import turnover
from routecode.hands.parts_counts import REAR
from routecode.show.jobsheet import Named, sheet
from routecode.show.parts_sheets import remarks
from tests.hands.jobs import opened

from .studios import HOUSE, between, house

UNITS = """
[studio]
title = "Millrace"
language = 1
[room.control]
[cable_type.pair]
[cable_type.lead]
[unit.deck]
room = "control"
[[unit.deck.port]]
name = "out 1..6"
direction = "out"
signal = "line"
connector = "xlr-m"
[unit.rec]
room = "control"
[[unit.rec.port]]
name = "in 1..3"
direction = "in"
signal = "line"
connector = "xlr-f"
[[unit.rec.port]]
name = "in 4..6"
direction = "in"
signal = "line"
connector = "trs"
[bay.north]
room = "control"
columns = 12
contact = "bantam"
normal = "none"
[bay.south]
room = "control"
columns = 12
contact = "pin"
rear = "connectors"
normal = "none"
"""
SOURCES = [
    *(f"deck/out {n}" for n in range(1, 7)),
    *(f"{bay}/bottom {n}" for bay in ("north", "south") for n in range(1, 4)),
]
ENDS = [*(f"rec/in {n}" for n in range(1, 7)), *(f"{bay}/top {n}" for bay in ("north", "south") for n in range(1, 4))]


def wiring(dice: Random) -> list[list[str]]:
    """Some cables: number, ends, type, metres, loom."""
    count = dice.randint(1, 7)
    looms = ["", "", "Hall", "Stage"]
    return [
        [f"K{n}", source, end, dice.choice(("pair", "pair", "lead")), str(dice.randint(2, 8)), dice.choice(looms)]
        for n, (source, end) in enumerate(zip(dice.sample(SOURCES, count), dice.sample(ENDS, count), strict=True), 1)
    ]


def rewired(cables: list[list[str]], dice: Random) -> list[list[str]]:
    """The same with some of them gone, moved at an end, of another number, length or type, and some new."""
    made = [list(cable) for cable in cables if dice.random() < 0.8]
    for cable in made:
        for at, choices in ((1, SOURCES), (2, ENDS)):
            free = [each for each in choices if each not in {other[at] for other in made}]
            if dice.random() < 0.35:
                cable[at] = dice.choice(free)
        cable[0] = f"N{cable[0]}" if dice.random() < 0.3 else cable[0]
        cable[4] = str(dice.randint(2, 8)) if dice.random() < 0.3 else cable[4]
        cable[3] = dice.choice(("pair", "lead")) if dice.random() < 0.15 else cable[3]
    for number in range(dice.randint(0, 2)):
        source = dice.choice([each for each in SOURCES if each not in {cable[1] for cable in made}])
        end = dice.choice([each for each in ENDS if each not in {cable[2] for cable in made}])
        made.append([f"Z{number}", source, end, "pair", str(dice.randint(2, 8)), ""])
    return made


def text_of(cables: list[list[str]]) -> str:
    told = UNITS
    for number, source, end, kind, metres, loom in cables:
        told += f'[[cable]]\nnumber = "{number}"\nfrom = "{source}"\nto = "{end}"\ntype = "{kind}"\nmetres = {metres}\n'
        told += f'loom = "{loom}"\n' if loom else ""
    return told


@pytest.mark.parametrize("seed", range(60))
def test_parts_and_jobsheet_have_one_plan(seed: int) -> None:
    dice = Random(seed)
    cables = wiring(dice)
    compared = Difference(opened(text_of(cables), "a" * 40), opened(text_of(rewired(cables, dice)), "b" * 40))
    made_of, bill = job(compared), bill_of_change(compared)
    becomes = {
        (row.cable, row.becomes or row.cable) for told in made_of.racks if told.kind == "lift" for row in told.rows
    }
    assert {(one.was.number, one.now.number) for one in bill.again} <= becomes
    lifted = [told for told in made_of.racks if told.kind == "lift" and "Not used again: " in " ".join(told.mind)]
    made = {row.cable for told in made_of.bench if told.kind == "make" for row in told.rows}
    plan = turnover(compared)
    assert made == {cable.number for cable in plan.come}
    assert {row.cable for told in lifted for row in told.rows} == {cable.number for cable in plan.gone}
    assert made_of.saved[0] == sum(one.now.metres or 0 for one in bill.again)


@pytest.mark.parametrize("seed", range(60))
def test_plugs_that_come_less_those_that_go_are_what_the_studio_has_more(seed: int) -> None:
    """Counted at both studios on their own, by nothing that knows of the change."""
    dice = Random(seed)
    cables = wiring(dice)
    texts = text_of(cables), text_of(rewired(cables, dice))
    sides = [opened(text, name * 40) for text, name in zip(texts, "ab", strict=True)]
    change = {
        line.called: line.needs - line.freed for line in bill_of_change(Difference(*sides)).lines if line.kind == PLUG
    }
    counts = []
    for side in sides:
        assert side.circuit is not None
        counts.append(
            Counter({line.called: line.contains for line in bill_of(side.circuit.plant).lines if line.kind == PLUG})
        )
    for called in counts[0] | counts[1]:
        assert change[called] == counts[1][called] - counts[0][called]


def test_a_plug_that_stays_joined_is_neither_needed_nor_freed() -> None:
    cable = '[[cable]]\nnumber = "L20"\nfrom = "north/bottom {}"\nto = "pre-a/mic 5"\ntype = "pair"\nmetres = 3'
    one, other = (house(more=cable.format(number)) for number in (5, 6))
    found = bill_of_change(between(one, other))
    assert [(line.needs, line.freed) for line in found.lines if line.kind == PLUG and (line.needs or line.freed)] == []


def test_what_was_never_made_and_what_lies_dead_is_not_used_again() -> None:
    was = ["K1", "deck/out 1", "north/top 1", "pair", "5", ""]
    come = text_of([["K2", "deck/out 2", "north/top 2", "pair", "4", ""]])
    dead = '[[cable]]\nnumber = "K1"\nfrom = "deck"\nto = "north"\ntype = "pair"\nmetres = 5\nstatus = "dead"\n'
    for before, after in ((text_of([was]), come + dead), (text_of([was]) + 'status = "make"\n', come)):
        compared = Difference(opened(before, "a" * 40), opened(after, "b" * 40))
        assert bill_of_change(compared).again == ()
        assert [row.becomes for told in job(compared).racks if told.kind == "lift" for row in told.rows] == [""]
    plain = Difference(opened(text_of([was]), "a" * 40), opened(come, "b" * 40))
    assert [one.was.number for one in bill_of_change(plain).again] == ["K1"]
    assert len(schedule(plain.after.plant)) == 1


def test_rear_connectors_are_the_bays_own_in_both() -> None:
    """A bay of n columns with removable parts has 2 n of them from the start (common practice, no source)."""
    cable = '[[cable]]\nnumber = "L20"\nfrom = "north/bottom 5"\nto = "south/top 5"\ntype = "pair"\nmetres = 3'
    compared = between(HOUSE, house(more=cable))
    bill, made = bill_of_change(compared), job(compared)
    assert [line.needs for line in bill.lines if line.kind == REAR] == [0]
    assert bill.rears == 1
    (told,) = [text for text in remarks(compared.after.plant, bill) if "rear connector" in text]
    assert told.startswith("Of these cables 1 end takes a rear connector")
    (bench, *_) = sheet(made, Named("a", "b", "", "")).parts
    assert "Rear connectors are those of the bay" in bench.lead
    assert (bill_of_change(between(HOUSE, HOUSE)).rears, job(between(HOUSE, HOUSE)).saved) == (0, (0.0, 0))


def test_connectors_behind_a_bay_are_not_saved_and_a_multipin_is_one() -> None:
    cables = [
        ["K1", "deck/out 1", "south/top 1", "pair", "5", ""],
        ["K2", "deck/out 2", "south/top 2", "pair", "4", ""],
    ]
    made = job(Difference(opened(text_of(cables[:1]), "a" * 40), opened(text_of(cables[1:]), "b" * 40)))
    assert made.saved == (4.0, 1)  # the plug at the deck


@pytest.mark.parametrize("seed", range(20))
def test_what_cables_are_worth_as_others_is_the_same_pair_by_pair(seed: int) -> None:
    dice = Random(seed)
    cables = wiring(dice)
    plants = [opened(text).circuit for text in (text_of(cables), text_of(rewired(cables, dice)))]
    olds, news = (_sides(circuit) for circuit in plants)
    assert worths(olds, news, {"Hall"}) == [[worth(old, new, {"Hall"}) for new in news] for old in olds]


def _sides(circuit: Circuit | None) -> list[Side]:
    assert circuit is not None
    plant = circuit.plant
    return [
        Side(plant, cable, tuple((each.from_.name, each.to.name) for each in cable.circuits), cable.type)
        for cable in schedule(plant)
    ]
