"""The kinds of edits whose effect is known beforehand: each changes a studio in the loose form and says what it did to names.

What an edit does to the paths is not said here: `truth` reads it off the reference. Where nothing but text, names or columns
differs an edit is `quiet`, and then no path may differ at all.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from random import Random
from typing import Any

from attrs import Factory, define, frozen

from tests.change.loosened import is_split, jacks_replaced, loosened, names, text_of
from tests.reference.readings import RIGHT
from tests.reference.state import cord_end
from tests.reference.written import Written, read, united

Table = dict[str, Any]
Files = Mapping[str, str]
SWITCHED = ("none", "half", "full", "parallel")
LINKS = ("top", "bottom", "none")


@define
class Effect:
    """What an edit did to names; `files` where the text itself is what it made. Shifts: (bay, first, last) -> by how many."""

    quiet: bool = False
    renamed: list[tuple[str, str, str, str]] = Factory(list)
    """(kind, before, after, declared or proved)."""
    shifted: dict[tuple[str, int], int] = Factory(dict)
    """(bay, column before) -> column after."""
    files: dict[str, str] | None = None


@frozen
class Base:
    """A studio to be edited: as it is written, and in the loose form."""

    files: Files
    whole: Table
    written: Written

    @classmethod
    def of(cls, files: Files) -> Base:
        """The base that some files make."""
        whole = loosened(united(files))
        return cls(files, whole, read({"studio.toml": text_of(whole)}, RIGHT))


Kind = Callable[[Base, Table, Random], Effect | None]
"""Edits the tables (a copy of the base's own); None where it finds nothing to edit."""


# -- cables --------------------------------------------------------------------------------------------------------------


def plain_cables(whole: Table) -> list[Table]:
    """The cables that are no splits."""
    return [entry for entry in whole.get("cable", []) if not is_split(entry)]


def wired(base: Base) -> set[str]:
    """The places with a cable."""
    return {place for cable in base.written.cables for place in (cable.a, cable.b)}


def cable_removed(base: Base, whole: Table, rng: Random) -> Effect | None:
    """One cable is gone."""
    cables = plain_cables(whole)
    if not cables:
        return None
    gone = rng.choice(cables)
    whole["cable"] = [entry for entry in whole["cable"] if entry is not gone]
    return Effect()


def cable_added(base: Base, whole: Table, rng: Random) -> Effect | None:
    """One more cable, from what gives signal to what takes it."""
    taken, ports = wired(base), base.written.ports
    free = [place for place in (*ports, *base.written.jacks) if place not in taken]
    near = [place for place in free if place not in ports or ports[place].direction in ("out", "either")]
    far = [place for place in free if place not in ports or ports[place].direction in ("in", "either")]
    if not near or not far:
        return None
    one = rng.choice(near)
    like = [place for place in far if one in ports and place in ports and ports[place].family == ports[one].family]
    other = rng.choice(like or far)
    if one == other:
        return None
    whole.setdefault("cable", []).append({"from": one, "to": other})
    return Effect()


def cable_moved(base: Base, whole: Table, rng: Random) -> Effect | None:
    """One end of a cable at another jack."""
    taken, jacks = wired(base), base.written.jacks
    ends = [(entry, side) for entry in plain_cables(whole) for side in ("from", "to") if entry[side] in jacks]
    free = [jack for jack in jacks if jack not in taken]
    if not ends or not free:
        return None
    entry, side = rng.choice(ends)
    near = [jack for jack in free if jacks[jack][:2] == jacks[entry[side]][:2]]
    entry[side] = rng.choice(near if near and rng.random() < 0.7 else free)
    return Effect() if entry["from"] != entry["to"] else None


def cables_exchanged(base: Base, whole: Table, rng: Random) -> Effect | None:
    """Two cables take each other's place at one end."""
    cables = plain_cables(whole)
    if len(cables) < 2:
        return None
    one = rng.choice(cables)
    like = [entry for entry in cables if entry is not one and _head(entry["to"]) == _head(one["to"])]
    other = rng.choice(like or [entry for entry in cables if entry is not one])
    one["to"], other["to"] = other["to"], one["to"]
    return Effect() if one["from"] != one["to"] and other["from"] != other["to"] else None


def _head(place: str) -> str:
    return place.partition("/")[0]


# -- bays ----------------------------------------------------------------------------------------------------------------


def normal_changed(base: Base, whole: Table, rng: Random) -> Effect | None:
    """Another normal, or another place of the link plug, in one column."""
    bays = [ident for ident, bay in whole["bay"].items() if bay.get("rows") != 1]
    if not bays:
        return None
    ident = rng.choice(bays)
    bay = whole["bay"][ident]
    key, words = ("plug", LINKS) if bay.get("normalling") == "plugs" else ("normal", SWITCHED)
    column = _column(bay, rng.randint(1, bay["columns"]))
    was = column.get(key, bay.get("normal", "none"))
    column[key] = rng.choice([word for word in words if word != was])
    return Effect()


def _column(bay: Table, number: int) -> Table:
    """The statement of a column, made where there is none."""
    columns: list[Table] = bay.setdefault("column", [])
    for entry in columns:
        if entry["at"] == number:
            return entry
    columns.append({"at": number})
    return columns[-1]


def bay_extended(base: Base, whole: Table, rng: Random) -> Effect | None:
    """New columns in the middle of a bay: all behind them is some columns further on."""
    ident = rng.choice(list(whole["bay"]))
    columns, more = whole["bay"][ident]["columns"], rng.randint(1, 4)
    cut = rng.randint(1, columns - 1)
    whole["bay"][ident]["columns"] += more
    return _shift(whole, ident, {number: number + more for number in range(cut + 1, columns + 1)})


def block_moved(base: Base, whole: Table, rng: Random) -> Effect | None:
    """A block of columns, with all that is there, takes the place of another one of the same bay, and the other way round."""
    ident = rng.choice(list(whole["bay"]))
    columns = whole["bay"][ident]["columns"]
    size = rng.randint(1, min(8, columns // 2))
    one = rng.randint(1, columns - 2 * size + 1)
    other = rng.randint(one + size, columns - size + 1)
    steps = {one + step: other + step for step in range(size)}
    return _shift(whole, ident, steps | {now: was for was, now in steps.items()})


def _shift(whole: Table, ident: str, steps: dict[int, int]) -> Effect:
    """Move columns along with their cables, cords, plugs, normals and mults."""

    def turn(place: str) -> str:
        head, _, jack = place.partition("/")
        row, space, number = jack.rpartition(" ")
        if head != ident or not number.isdigit():
            return place
        return f"{ident}/{row}{space}{steps.get(int(number), int(number))}"

    jacks_replaced(whole, turn)
    for entry in whole["bay"][ident].get("column", []):
        entry["at"] = steps.get(entry["at"], entry["at"])
    return Effect(quiet=True, shifted={(ident, was): now for was, now in steps.items()})


# -- setups --------------------------------------------------------------------------------------------------------------


def some_setup(whole: Table, rng: Random, array: str = "") -> Table | None:
    """A setup, one with entries of this array where one is named."""
    found = [setup for setup in whole.get("setup", {}).values() if not array or setup.get(array)]
    return rng.choice(found) if found else None


def free_fronts(base: Base, setup: Table) -> list[str]:
    """Jacks in which the setup itself puts nothing."""
    used = {
        cord_end(base.written, place, RIGHT)
        for cord in setup.get("cord", [])
        for place in names(cord["from"]) + names(cord["to"])
    }
    used |= {plug["at"] for plug in setup.get("plug", [])}
    return [jack for jack in base.written.jacks if jack not in used]


def cord_added(base: Base, whole: Table, rng: Random) -> Effect | None:
    """One more cord in a setup."""
    setup = some_setup(whole, rng)
    free = free_fronts(base, setup) if setup is not None else []
    if setup is None or len(free) < 2:
        return None
    near, far = rng.sample(free, 2)
    setup.setdefault("cord", []).append({"from": near, "to": far})
    return Effect()


def cord_removed(base: Base, whole: Table, rng: Random) -> Effect | None:
    """One cord less in a setup."""
    setup = some_setup(whole, rng, "cord")
    if setup is None:
        return None
    setup["cord"].pop(rng.randrange(len(setup["cord"])))
    return Effect()


def cord_moved(base: Base, whole: Table, rng: Random) -> Effect | None:
    """One end of a cord in another jack."""
    setup = some_setup(whole, rng, "cord")
    free = free_fronts(base, setup) if setup is not None else []
    if setup is None or not free:
        return None
    entry = rng.choice(setup["cord"])
    entry["from" if isinstance(entry["to"], list) else rng.choice(("from", "to"))] = rng.choice(free)
    return Effect() if entry["from"] != entry["to"] else None


def plug_moved(base: Base, whole: Table, rng: Random) -> Effect | None:
    """A dummy plug or a link plug of a setup in another jack."""
    setup = some_setup(whole, rng, "plug")
    if setup is None:
        return None
    entry = rng.choice(setup["plug"])
    jacks, bay = base.written.jacks, base.written.jacks[entry["at"]][0]
    held = {plug["at"].rpartition(" ")[2] for plug in setup["plug"] if _head(plug["at"]) == bay}
    free = [jack for jack in free_fronts(base, setup) if jacks[jack][0] == bay and str(jacks[jack][2]) not in held]
    if not free:
        return None
    entry["at"] = rng.choice(free)
    return Effect()


def switch_turned(base: Base, whole: Table, rng: Random) -> Effect | None:
    """Another position of a switch: in a setup, or the one it rests in."""
    switches = base.written.switches
    setup = some_setup(whole, rng)
    if not switches:
        return None
    unit, name = rng.choice(sorted(switches))
    if setup is not None and rng.random() < 0.7:
        sets = setup.setdefault("set", [])
        mine = next((entry for entry in sets if entry["switch"] == f"{unit}/{name}"), None)
        was = mine["to"] if mine is not None else ""
        to = rng.choice([position for position in switches[unit, name] if position != was])
        if mine is None:
            sets.append({"switch": f"{unit}/{name}", "to": to})
        else:
            mine["to"] = to
        return Effect()
    tables = [table for kind in ("unit", "model") for table in whole.get(kind, {}).values()]
    entries = [entry for table in tables for entry in table.get("switch", [])]
    entry = rng.choice(entries)
    entry["positions"] = [*entry["positions"][1:], entry["positions"][0]]
    return Effect()


# -- equipment -----------------------------------------------------------------------------------------------------------


def inside_changed(base: Base, whole: Table, rng: Random) -> Effect | None:
    """An inside of a unit or model: gone, controlled, reversed, or paired otherwise."""
    tables = [table for kind in ("unit", "model") for table in whole.get(kind, {}).values()]
    lists = [table["inside"] for table in tables if table.get("inside")]
    if not lists:
        return None
    insides = rng.choice(lists)
    entry = rng.choice(insides)
    change = rng.choice(("gone", "gone", "control", "polarity", "pairing"))
    if change == "gone":
        insides.remove(entry)
    elif change == "control":
        entry["control"] = rng.choice(
            [word for word in ("none", "level", "routed") if word != entry.get("control", "none")]
        )
    elif change == "polarity":
        entry["polarity"] = "kept" if entry.get("polarity") == "reversed" else "reversed"
    else:
        entry["pairing"] = "one-to-one" if entry.get("pairing") == "all-to-all" else "all-to-all"
    return Effect()


def unit_removed(base: Base, whole: Table, rng: Random) -> Effect | None:
    """A unit is gone, with its cables and all that names it."""
    ident = rng.choice(list(whole["unit"]))
    del whole["unit"][ident]
    ports = {place for place in base.written.ports if _head(place) == ident}

    def names_it(entry: Any) -> bool:
        return any(part == ident or part.startswith(f"{ident}/") for part in _texts(entry))

    splits = [entry for entry in whole.get("cable", []) if is_split(entry) and names_it(entry)]
    if splits or not ports or any(names_it(table.get("allowed", {})) for table in (whole,)):
        return None
    for table in (whole, *whole.get("setup", {}).values()):
        for array in ("cable", "normal", "route", "accept", "cord", "set", "need"):
            if array in table:
                table[array] = [entry for entry in table[array] if not names_it(entry)]
        for key in ("phantom_on", "phantom_off"):
            if key in table:
                table[key] = [place for place in names(table[key]) if _head(place) != ident]
    return Effect()


def _texts(value: Any) -> list[str]:
    if isinstance(value, dict):
        return [text for part in value.values() for text in _texts(part)]
    if isinstance(value, list):
        return [text for part in value for text in _texts(part)]
    return [value] if isinstance(value, str) else []


def unit_added(base: Base, whole: Table, rng: Random) -> Effect | None:
    """A new box, wired between what is free."""
    ports, taken = base.written.ports, wired(base)
    sources = [place for place, port in ports.items() if port.direction == "out" and place not in taken]
    sinks = [place for place, port in ports.items() if port.direction == "in" and place not in taken]
    jacks = [jack for jack in base.written.jacks if jack not in taken]
    entry = {"signal": "line"}
    whole["unit"]["new-box"] = {
        "title": "New box",
        "port": [{"name": "in 1..2", "direction": "in", **entry}, {"name": "out 1..2", "direction": "out", **entry}],
        "inside": [{"from": "in 1..2", "to": "out 1..2"}],
    }
    near, far = sources + jacks, sinks + jacks
    if not near or not far:
        return None
    one, other = rng.choice(near), rng.choice(far)
    cables = whole.setdefault("cable", [])
    cables.append({"from": one, "to": "new-box/in 1"})
    if other != one:
        cables.append({"from": "new-box/out 1", "to": other})
    return Effect()
