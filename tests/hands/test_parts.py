"""The parts list: counts against common practice, orders less stock and what is set free, prices and sums, cords."""

import pytest

from routecode.hands.job import job
from routecode.hands.parts import Bill, Line, bill_of, bill_of_change
from routecode.hands.parts_counts import LINK, REAR, Item, bay_counts
from tests.hands.jobs import ends_as_wanted

from .studios import HOUSE, between, house, plant_of, small

BAY = """
[bay.x]
columns = {columns}
contact = "pin"
normalling = "{normalling}"
normal = "{normal}"
"""


def line(bill: Bill, start: str) -> Line:
    return next(each for each in bill.lines if each.called.startswith(start))


@pytest.mark.parametrize("columns", [1, 16, 24, 32, 48, 96])
def test_a_bay_of_n_columns_takes_2n_rear_connectors_and_n_link_plugs(columns: int) -> None:
    """Common practice, no source: 32 columns with removable parts are 64 rear connectors and at most 32 link plugs."""
    plant = small(BAY.format(columns=columns, normalling="plugs", normal="bottom"))
    assert bay_counts(plant, plant.bays["x"]) == {Item(REAR, "pin"): 2 * columns, Item(LINK, "pin"): columns}


def test_only_the_normals_that_are_needed_take_a_link_plug() -> None:
    text = BAY.format(columns=32, normalling="plugs", normal="none") + '[[bay.x.column]]\nat = "1..20"\nplug = "bottom"'
    plant = small(text)
    assert bay_counts(plant, plant.bays["x"]) == {Item(REAR, "pin"): 64, Item(LINK, "pin"): 20}


def test_a_setup_that_puts_more_link_plugs_in_counts() -> None:
    text = BAY.format(columns=8, normalling="plugs", normal="none") + '[[bay.x.column]]\nat = "1..4"\nplug = "bottom"\n'
    setups = """[setup.a]
[[setup.a.plug]]
at = "x/bottom 1..2"
set = "out"
[[setup.a.plug]]
at = "x/bottom 5..8"
set = "bottom"
[setup.b]
[[setup.b.plug]]
at = "x/bottom 1..4"
set = "out"
"""
    plant = small(text + setups)
    assert bay_counts(plant, plant.bays["x"])[Item(LINK, "pin")] == 6


def test_a_soldered_bay_takes_neither() -> None:
    plant = small(BAY.format(columns=48, normalling="switched", normal="half"))
    assert bay_counts(plant, plant.bays["x"]) == {}


def test_a_bay_of_one_row_takes_a_connector_a_jack() -> None:
    plant = small('[bay.x]\ncolumns = 24\nrows = 1\nrear = "connectors"\ncontact = "bnc"')
    assert bay_counts(plant, plant.bays["x"]) == {Item(REAR, "bnc"): 24}


def test_what_the_house_contains() -> None:
    bill = bill_of(plant_of(HOUSE))
    counted = {each.called: each.contains for each in bill.lines}
    assert counted == {
        "plug db25, for db25 sockets": 1,  # one multipin, eight circuits
        "plug rca, male, for rca sockets": 2,
        "plug xlr-m, male, for xlr-f sockets": 4,
        "plug xlr-f, female, for xlr-m sockets": 2,
        "rear connector, pin": 64,
        "link plug, pin": 4,
        "Pair, by the metre": 4 * 12 + 4 * 2 + 2 * 3,  # the dead length is not part of what works
        "Twelve pairs": 5,
    }


def test_what_is_still_to_be_made_is_needed_with_the_allowance() -> None:
    """Two lengths of 3 m, each 10 percent longer and 0.5 m: 7.6 m, of which 20 m are in stock."""
    bill = bill_of(plant_of(HOUSE))
    pair, plugs = line(bill, "Pair"), line(bill, "plug rca")
    assert (pair.needs, pair.stock, pair.order, pair.cost) == (7.6, 20, 0, 0)
    assert (plugs.needs, plugs.order, plugs.cost) == (2, 2, None)
    assert line(bill, "plug xlr-m").needs == 0


def test_the_allowance_is_the_studios_own() -> None:
    text = HOUSE["studio.toml"] + "allowance_percent = 20\nallowance_metres = 1\n"
    assert line(bill_of(plant_of(house(studio=text))), "Pair").needs == 2 * (3 * 1.2 + 1)


PRICES = """
[part.plug-f]
title = "Plug with pins"
fits = ["xlr-f", "rca"]
price = 2.5
stock = 1
[part.rears]
kind = "rear"
fits = "pin"
unit = "set"
pieces = 10
price = 11.2
stock = 2
group = "Bay parts"
"""


def test_one_part_may_be_several_things_and_is_ordered_by_its_own_unit() -> None:
    bill = bill_of(plant_of(house(prices=PRICES)))
    plug = line(bill, "Plug with pins")
    assert (plug.contains, plug.needs, plug.order, plug.cost) == (4 + 2, 2, 1, 2.5)
    more = HOUSE["bays.toml"].replace("columns = 32", "columns = 48")
    change = bill_of_change(between(house(prices=PRICES), house(prices=PRICES, bays=more)))
    rears = line(change, "rears")
    assert (rears.contains, rears.needs, rears.order, rears.cost) == (96, 32, 2, 22.4)  # 32 less 20 in stock: two sets
    assert {group.group: group.cost for group in change.groups}["Bay parts"] == 22.4


def test_sums_by_group_and_what_has_no_price_is_said() -> None:
    currency = HOUSE["studio.toml"] + 'currency = "crowns"\n'
    text = PRICES.replace('"xlr-f", "rca"', '"xlr-f"')
    bill = bill_of(plant_of(house(studio=currency, prices=text)))
    assert bill.currency == "crowns"
    assert [each.called for each in bill.unpriced] == ["plug rca, male, for rca sockets"]
    assert {group.group: (group.cost, group.unpriced) for group in bill.groups}["Connectors"] == (0, 1)
    assert bill.cost == 0


def test_cable_may_be_bought_by_the_length() -> None:
    text = HOUSE["cables.toml"].replace('unit = "metre"', 'unit = "piece"').replace("stock = 20", "stock = 1")
    pair = line(bill_of(plant_of(house(cables=text))), "Pair")
    assert (pair.contains, pair.needs, pair.order) == (10, 2, 1)


# -- changes -------------------------------------------------------------------------------------------------------------


def test_a_change_that_changes_nothing_needs_nothing() -> None:
    bill = bill_of_change(between(HOUSE, HOUSE))
    assert [each for each in bill.lines if each.needs or each.freed or each.order] == []
    assert (bill.again, bill.waiting) == ((), 2)


def test_a_new_cable_needs_its_plug_and_its_length() -> None:
    before, after = (
        HOUSE,
        house(
            more='[[cable]]\nnumber = "L20"\nfrom = "north/bottom 5"\nto = "pre-a/mic 5"\ntype = "pair"\nmetres = 30'
        ),
    )
    bill = bill_of_change(between(before, after))
    assert (line(bill, "plug xlr-m").needs, line(bill, "plug xlr-m").order) == (1, 1)
    assert (line(bill, "Pair").needs, line(bill, "Pair").order) == (
        33.5,
        14,
    )  # 13.5 m more than the stock: whole metres
    assert line(bill, "rear connector").needs == 0


def test_a_change_back_sets_free_what_it_needed() -> None:
    after = house(more='[[cable]]\nfrom = "north/bottom 5"\nto = "pre-a/mic 5"\ntype = "pair"\nmetres = 30')
    bill = bill_of_change(between(after, HOUSE))
    plug = line(bill, "plug xlr-m")
    assert (plug.needs, plug.freed, plug.order) == (0, 1, 0)


def swapped(loom: str = "") -> tuple[dict[str, str], dict[str, str]]:
    """L8 goes, and a shorter cable of its kind comes elsewhere."""
    old = HOUSE["cables.toml"].replace('number = "L5..8"', f'number = "L5..8"\n{loom}')
    gone = old.replace('"L5..8"', '"L5..7"').replace('"north/bottom 1..4"', '"north/bottom 1..3"')
    gone = gone.replace('"pre-a/mic 1..4"\ntype', '"pre-a/mic 1..3"\ntype')
    bays = HOUSE["bays.toml"].replace('bottom = "pre-a/mic 1..4"\n', "")
    new = '[[cable]]\nnumber = "L30"\nfrom = "north/bottom 9"\nto = "pre-a/mic 8"\ntype = "pair"\nmetres = 1.5'
    return house(cables=old, bays=bays), house(cables=gone, bays=bays, more=new)


def test_a_length_that_comes_off_is_used_again() -> None:
    bill = bill_of_change(between(*swapped()))
    assert [(one.was.number, one.now.number) for one in bill.again] == [("L8", "L30")]
    assert line(bill, "Pair").needs == 0
    plug = line(bill, "plug xlr-m")
    assert (plug.needs, plug.freed, plug.order) == (0, 0, 0)  # it stays on the cable


def test_a_length_that_is_laced_into_a_loom_that_stays_is_not() -> None:
    bill = bill_of_change(between(*swapped('loom = "Left"')))
    assert bill.again == ()
    assert line(bill, "Pair").needs == pytest.approx(1.5 * 1.1 + 0.5)


def test_a_length_that_is_left_lying_dead_is_not() -> None:
    before, after = swapped()
    dead = '[[cable]]\nnumber = "L8"\nfrom = "north"\nto = "pre-a"\ntype = "pair"\nmetres = 2\nstatus = "dead"'
    assert bill_of_change(between(before, after | {"dead.toml": dead})).again == ()


def test_a_dead_length_is_no_part_of_the_plan() -> None:
    """The jobsheet makes a new cable: what lies dead has been given up, and is joined to nothing that could be taken off."""
    alive = HOUSE["cables.toml"].partition('[[cable]]\nnumber = "L99"')[0]
    new = '[[cable]]\nnumber = "L30"\nfrom = "north/bottom 9"\nto = "pre-a/mic 8"\ntype = "pair"\nmetres = 14\n'
    bill = bill_of_change(between(HOUSE, house(cables=alive + new)))
    assert bill.again == ()
    assert line(bill, "Pair").needs == pytest.approx(14 * 1.1 + 0.5)


def test_a_cable_that_stays_and_is_written_longer_is_a_corrected_record() -> None:
    """As lengths are text to diff and such a cable is in no step of the jobsheet; the same here."""
    for metres, corrected in ((2, 0), (1, 0), (4, 4)):
        text = HOUSE["cables.toml"].replace("metres = 2", f"metres = {metres}")
        compared = between(HOUSE, house(cables=text))
        bill = bill_of_change(compared)
        assert line(bill, "Pair").needs == 0
        assert len(bill.corrected) == corrected
        assert job(compared).idle


def test_a_longer_cable_of_another_number_at_the_same_ends_is_made_anew() -> None:
    cable = '[[cable]]\nnumber = "{}"\nfrom = "north/bottom 5"\nto = "pre-a/mic 5"\ntype = "pair"\nmetres = {}\n'
    before, longer, shorter = (house(more=cable.format(*each)) for each in (("L20", 3), ("L21", 5), ("L21", 2)))
    compared = between(before, longer)
    assert line(bill_of_change(compared), "Pair").needs == pytest.approx(5 * 1.1 + 0.5)
    made = job(compared)
    assert [row.cable for told in made.bench if told.kind == "make" for row in told.rows] == ["L21"]
    assert [row.cable for told in made.racks if told.kind == "lift" for row in told.rows] == ["L20"]
    assert ends_as_wanted(made)
    assert line(bill_of_change(between(before, shorter)), "Pair").needs == 0


def test_a_cable_that_moves_and_must_be_longer_is_made_anew() -> None:
    text = HOUSE["cables.toml"].replace('number = "L99"', 'number = "L98"')
    before = (
        text + '[[cable]]\nnumber = "L20"\nfrom = "north/bottom 5"\nto = "pre-a/mic 5"\ntype = "pair"\nmetres = 3\n'
    )
    after = text + '[[cable]]\nnumber = "L20"\nfrom = "north/bottom 6"\nto = "pre-a/mic 5"\ntype = "pair"\nmetres = 5\n'
    compared = between(house(cables=before), house(cables=after))
    assert line(bill_of_change(compared), "Pair").needs == pytest.approx(5 * 1.1 + 0.5)
    assert [told.kind for told in job(compared).bench if told.kind == "make"] == ["make"]


def test_the_end_that_the_legs_of_a_split_have_in_common_is_one_end() -> None:
    plant = small(
        """
[room.r]
[unit.a]
room = "r"
port = [{ name = "tally", direction = "out", signal = "gpio", connector = "d-sub-25" }]
[unit.b]
room = "r"
port = [{ name = "in 1..3", direction = "in", signal = "gpio" }]
[[cable]]
number = "G1"
from = "a/tally"
to = [["b/in 1"], ["b/in 2"], ["b/in 3"]]
"""
    )
    told = {gap.do: gap.places for gap in bill_of(plant).uncounted}
    assert (told["[[model.X.multipin]]"], told["connector"]) == (1, 3)
