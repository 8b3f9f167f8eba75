"""Cords owned against the cords of setups: number, plugs, reach; held against every way of handing them out."""

from itertools import permutations
from random import Random

import pytest

from routecode.hands.parts import bill_of
from routecode.hands.parts_cords import SLACK, Covered, covered, most_missing, up_to_cm, wanted
from routecode.hands.parts_counts import CORD

from .studios import house, plant_of

SHORT = '[cord_type.short]\nends = ["bantam", "bantam"]\nmetres = 0.3\nown = {short}\n'
LONG = '[cord_type.long]\nends = "bantam"\nmetres = 1.2\nown = {long}\n'


def setups(*cords: str, **keys: str) -> str:
    rows = [f"[[setup.take.cord]]\n{cord}\n" for cord in cords]
    return "[setup.take]\n" + "".join(rows) + "".join(keys.values())


def cord(a: str, b: str, more: str = "") -> str:
    return f'from = "{a}"\nto = "{b}"\n{more}'


def only(text: str, short: int = 9, long: int = 9) -> Covered:
    owned = SHORT.format(short=short) + LONG.format(long=long)
    (found,) = covered(plant_of(house(owned=owned, setups=text)))
    return found


def test_reach_is_the_straight_line_and_the_slack() -> None:
    """3 columns of 8.89 mm; from column 1 to 32 also the gap; 10 units of 44.45 mm (IEC 60297-3-100) from bay to bay."""
    text = setups(
        cord("south/top 1", "south/bottom 4"),
        cord("south/top 2", "south/bottom 33"),
        cord("south/top 3", "north/bottom 3"),
        cord("south/top 5", "deck/in 1"),
    )
    plant = plant_of(house(setups=text))
    reaches = sorted(one.reach or 0 for one in wanted(plant, plant.setups["take"]))
    across = ((20 + 2 * 13) - (20 + 2 * 8.89)) / 1000
    assert reaches == pytest.approx(
        [
            3 * 0.00889 + SLACK,
            4 * 0.00889 + SLACK,  # the deck's input stands for its jack, column 9
            (31 * 8.89 + 10) / 1000 + SLACK,
            ((10 * 0.04445) ** 2 + across**2) ** 0.5 + SLACK,
        ]
    )


def test_cords_that_are_owned_cover_a_setup() -> None:
    found = only(setups(cord("south/top 1", "south/bottom 4"), cord("south/top 2", "south/bottom 33")))
    assert (found.cords, found.short, found.unmeasured) == (2, (), 0)


@pytest.mark.parametrize(
    ("short", "long", "why"),
    [(9, 1, {}), (9, 0, {"reach": 1}), (0, 2, {}), (0, 1, {"number": 1}), (0, 0, {"number": 2})],
)
def test_number_and_reach(short: int, long: int, why: dict[str, int]) -> None:
    found = only(setups(cord("south/top 1", "south/bottom 4"), cord("south/top 2", "south/bottom 33")), short, long)
    assert {one.why: one.number for one in found.short} == why


def test_a_kind_that_is_not_owned_at_all() -> None:
    found = only(setups(cord("north/top 9", "north/bottom 10")))
    assert [(one.ends, one.number, one.why) for one in found.short] == [(("pin", "pin"), 1, "none")]


def test_a_cord_that_names_its_kind_takes_that_one() -> None:
    text = setups(cord("south/top 1", "south/bottom 4", 'cord = "long"'), cord("south/top 2", "south/bottom 33"))
    assert [one.why for one in only(text, 9, 1).short] == ["reach"]


def test_how_many_are_owned_may_be_unknown() -> None:
    owned = '[cord_type.some]\nends = "bantam"\n'
    text = setups(cord("south/top 1", "south/bottom 4"))
    (found,) = covered(plant_of(house(owned=owned, setups=text)))
    assert [one.why for one in found.short] == ["own"]
    assert most_missing([found]) == {}


def test_a_y_cord_has_all_its_ends() -> None:
    text = setups('from = "south/top 1"\nto = ["south/bottom 3", "south/bottom 4"]')
    plant = plant_of(house(setups=text))
    assert [one.ends for one in wanted(plant, plant.setups["take"])] == [("bantam", "bantam", "bantam")]


def test_several_setups_take_the_same_cords_one_after_another() -> None:
    text = setups(cord("south/top 1", "south/bottom 4")) + setups(cord("south/top 2", "south/bottom 5")).replace(
        "setup.take", "setup.other"
    )
    owned = SHORT.format(short=1)
    found = covered(plant_of(house(owned=owned, setups=text)))
    assert [one.short for one in found] == [(), ()]
    assert most_missing(covered(plant_of(house(owned=SHORT.format(short=0), setups=text)))) == {("bantam", "bantam"): 1}


def orders(owned: str, *cords: str) -> dict[str, float]:
    bill = bill_of(plant_of(house(owned=owned, setups=setups(*cords))))
    return {line.called: line.order for line in bill.lines if line.kind == CORD and line.order}


def test_a_cord_that_reaches_is_bought_where_those_owned_are_too_short() -> None:
    """31 columns of 8.89 mm, a gap of 10 mm and the slack of 0.15 m are 0.4356 m: one of 0.3 m more would not help."""
    near, far = cord("south/top 1", "south/bottom 4"), cord("south/top 2", "south/bottom 33")
    assert orders(SHORT.format(short=1), near, far) == {"cord, bantam to bantam, 0.44 m or more": 1}
    assert orders(SHORT.format(short=1) + LONG.format(long=0), near, far) == {"cord, long": 1}
    assert orders(SHORT.format(short=0), near) == {"cord, short": 1}
    assert orders(SHORT.format(short=1) + LONG.format(long=1), near, far) == {}


@pytest.mark.parametrize(("metres", "told"), [(0.3532, 0.36), (0.35, 0.35), (0.07 * 5, 0.35), (1.2301, 1.24), (12, 12)])
def test_a_reach_is_never_told_shorter_than_it_is(metres: float, told: float) -> None:
    assert up_to_cm(metres) == told


def test_adapters_are_counted() -> None:
    text = setups(
        cord("south/top 1", "north/bottom 9", 'adapter = "small"'),
        cord("south/top 2", "north/bottom 10", 'adapter = "small"'),
    )
    adapter = '[adapter.small]\nends = ["bantam", "pin"]\nown = 1\n'
    (found,) = covered(plant_of(house(owned=adapter, setups=text)))
    assert found.adapters == (("small", 1),)


@pytest.mark.parametrize("seed", range(60))
def test_no_way_of_handing_them_out_covers_more(seed: int) -> None:
    """Six cords of random reach and three kinds: against every order of serving, the shortest that does or any other."""
    dice = Random(seed)
    ends = [(dice.randint(1, 24), dice.randint(25, 48)) for _ in range(5)]
    tops, bottoms = {a for a, _ in ends}, {b for _, b in ends}
    if len(tops) < 5 or len(bottoms) < 5:
        ends = [(n, 48 - 3 * n) for n in range(1, 6)]
    kinds = [(round(dice.uniform(0.15, 0.6), 2), dice.randint(0, 2)) for _ in range(3)]
    owned = "".join(
        f'[cord_type.k{n}]\nends = "bantam"\nmetres = {metres}\nown = {own}\n' for n, (metres, own) in enumerate(kinds)
    )
    text = setups(*(cord(f"south/top {a}", f"south/bottom {b}") for a, b in ends))
    plant = plant_of(house(owned=owned, setups=text))
    (found,) = covered(plant)
    reaches = [one.reach or 0 for one in wanted(plant, plant.setups["take"])]
    cords = [metres for metres, own in kinds for _ in range(own)]
    slots = [*cords, *([0.0] * max(0, len(reaches) - len(cords)))]
    most = max(
        sum(metres >= reach for metres, reach in zip(order, reaches, strict=True))
        for order in permutations(slots, len(reaches))
    )
    assert len(reaches) - sum(one.number for one in found.short) == most
