"""Counts of parts on random studios against a second count, made from the tables alone by the naive reading of the language.

The random studios say no connectors; both counts are given the same ones, drawn by seed.
"""

from collections import Counter
from random import Random
from typing import Any

import pytest

from routecode.hands.cables import schedule
from routecode.hands.cables_ends import CARRIES_MANY, PLUG
from routecode.hands.parts import bill_of, bill_of_change
from routecode.hands.parts_counts import LINK, REAR, Item, fixed_counts
from tests.reference.readings import RIGHT
from tests.reference.state import included, links_of
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import Table, Written, read, united

from .studios import between, plant_of

SEEDS = range(80)
WORDS = ("xlr-f", "xlr-m", "trs", "rca", "bnc", "terminals", None)


def furnished(seed: int) -> Table:
    """A random studio with connectors, contacts, types and lengths."""
    dice = Random(seed)
    whole = united(random_studio(seed, "small"))
    for kind in ("unit", "model"):
        for table in whole.get(kind, {}).values():
            for port in table.get("port", []):
                if word := dice.choice(WORDS):
                    port["connector"] = word
    for bay in whole.get("bay", {}).values():
        bay["contact"] = dice.choice(("pin", "bantam"))
    return whole


def files_of(whole: Table) -> dict[str, str]:
    return {"studio.toml": document(Random(0), whole)}


def connector(whole: Table, written: Written, place: str) -> str | None:
    """What a port says its connector is: the unit's own word, else the model's."""
    unit = whole["unit"][written.ports[place].unit]
    name = place.partition("/")[2]
    said: dict[str, Any] = {}
    for table in (whole.get("model", {}).get(unit.get("model"), {}), unit):
        for port in table.get("port", []):
            if name in names_of(port["name"]):
                said |= {key: value for key, value in port.items() if key == "connector"}
    return said.get("connector")


def names_of(value: Any) -> list[str]:
    from tests.reference.spread import spread

    return spread(value, RIGHT)


def plugs(whole: Table, written: Written) -> Counter[str]:
    """A plug for each face or inside of a port that has cables there and is no passive socket wired from behind."""
    bonded = {
        f"{inside.unit}/{name}"
        for inside in written.insides
        if inside.kind == "hardwired"
        for pair in inside.pairs
        for name in (pair[0][0].partition("/")[2], pair[1][0].partition("/")[2])
    }
    seats = set()
    for cable in written.cables:
        for place in (cable.a, cable.b):
            port = written.ports.get(place)
            if port is None:
                continue
            behind = port.direction == "either" and not cable.front and place not in bonded
            word = connector(whole, written, place)
            if not behind and word not in (None, "terminals"):
                seats.add((place, cable.front, word))
    return Counter(str(word) for _, _, word in seats)


def links(whole: Table, written: Written) -> Counter[str]:
    """Link plugs by contact, of each bay in the state that has most of them in."""
    found: Counter[str] = Counter()
    for name, bay in whole["bay"].items():
        if bay.get("normalling") != "plugs" or bay.get("rows", 2) == 1:
            continue
        resting = {column.number: column.setting for column in written.columns if column.bay == name}
        counts = []
        for setup in (None, *written.setups):
            tables = list(included(written, setup, RIGHT)) if setup else []
            moved = {number: where for (own, number), where in links_of(written, tables, RIGHT).items() if own == name}
            counts.append(sum(where in ("top", "bottom") for where in (resting | moved).values()))
        found[bay["contact"]] += max(counts)
    return found


@pytest.mark.parametrize("seed", SEEDS)
def test_counts_against_the_naive_ones(seed: int) -> None:
    whole = furnished(seed)
    files = files_of(whole)
    written = read(files, RIGHT)
    plant = plant_of(files)
    counts = fixed_counts(plant, schedule(plant))
    expected: Counter[Item] = Counter({Item(PLUG, word): number for word, number in plugs(whole, written).items()})
    expected += Counter({Item(LINK, word): number for word, number in links(whole, written).items()})
    for bay in whole["bay"].values():
        if bay.get("normalling") == "plugs":
            expected[Item(REAR, bay["contact"])] += bay["columns"] * bay.get("rows", 2)
    own = Counter({item: number for item, number in counts.items() if item.kind in (PLUG, LINK, REAR)})
    assert own == +expected


@pytest.mark.parametrize("seed", range(0, 80, 4))
def test_every_wire_is_in_one_cable(seed: int) -> None:
    plant = plant_of(files_of(furnished(seed)))
    laid = [id(circuit.wire) for cable in schedule(plant) for circuit in cable.circuits]
    assert sorted(laid) == sorted(map(id, plant.wires))


@pytest.mark.parametrize("seed", range(0, 80, 8))
def test_between_two_studios_what_is_needed_less_what_is_freed_is_the_difference(seed: int) -> None:
    """Whatever stays, comes and goes: the totals of one side and of the other must come out."""
    one, other = files_of(furnished(seed)), files_of(furnished(seed + 1))
    before, after = (bill_of(plant_of(files)) for files in (one, other))
    change = bill_of_change(between(one, other))
    held = [
        {each.called: each.contains for each in bill.lines if each.kind in (PLUG, REAR, LINK)}
        for bill in (before, after)
    ]
    net = {each.called: each.needs - each.freed for each in change.lines if each.kind in (PLUG, REAR, LINK)}
    for called in held[0].keys() | held[1].keys():
        assert net.get(called, 0) == held[1].get(called, 0) - held[0].get(called, 0), called


def test_the_studios_have_what_is_counted() -> None:
    """No count above is of nothing."""
    total: Counter[str] = Counter()
    for seed in range(20):
        plant = plant_of(files_of(furnished(seed)))
        total.update({item.kind: number for item, number in fixed_counts(plant, schedule(plant)).items()})
    assert {PLUG, REAR, LINK} <= {kind for kind, number in total.items() if number > 20}
    assert not set(WORDS) & set(CARRIES_MANY)
