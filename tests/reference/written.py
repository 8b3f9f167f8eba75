"""The studio as written: all files of it united, ranges spread, models filled in. No state, no joints yet."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from itertools import product
from typing import Any

from attrs import frozen

from .readings import Reading, Wrong
from .spread import spread, spread_channels

Table = dict[str, Any]
Channel = tuple[str, int]
"""A place that is a port, and the number of one of its channels, from 1."""

FAMILIES = {
    **dict.fromkeys(("mic", "line", "instrument", "headphone", "speaker-level"), "analogue"),
    **dict.fromkeys(("aes3", "aes3id", "spdif"), "aes3"),
    **{s: s for s in ("optical8", "madi", "wordclock", "midi", "timecode", "network", "usb", "gpio", "cv")},
}
DEFAULT_CHANNELS = {"aes3": 2, "aes3id": 2, "spdif": 2, "optical8": 8}


@frozen
class Port:
    """One port, with what its net must know."""

    unit: str
    place: str
    direction: str
    family: str
    channels: int
    away: bool


@frozen
class Column:
    """One column of a two-row bay; `setting` is the normal, or where the link plug sits."""

    bay: str
    number: int
    links: bool
    sources: str
    setting: str


@frozen
class Cable:
    """One fixed cable between two places; `short` says that a column's `top` or `bottom` states it."""

    a: str
    b: str
    reversed: bool
    front: bool
    short: bool


@frozen
class Inside:
    """One inside, paired: channels for signals, whole ports (channel 0) for conductors."""

    unit: str
    kind: str
    reversed: bool
    control: str
    when: tuple[str, str] | None
    unless: str | None
    pairs: tuple[tuple[Channel, Channel], ...]


@frozen
class Written:
    """Everything of a studio that makes the circuit; `jacks` maps each jack to its (bay, row, number)."""

    ports: dict[str, Port]
    jacks: dict[str, tuple[str, str, int]]
    columns: list[Column]
    mults: list[list[str]]
    normals: list[tuple[str, str, str]]
    cables: list[Cable]
    insides: list[Inside]
    switches: dict[tuple[str, str], list[str]]
    routes: list[tuple[Channel, Channel]]
    setups: dict[str, Table]


def unite(into: Table, more: Table) -> Table:
    """Two statements of one table as one: keys unite, arrays of tables concatenate, a key given twice is refused."""
    for key, value in more.items():
        if key not in into:
            into[key] = value
        elif isinstance(value, dict) and isinstance(into[key], dict):
            into[key] = unite(dict(into[key]), value)
        elif isinstance(value, list) and all(isinstance(v, dict) for v in [*value, *into[key]]):
            into[key] = [*into[key], *value]
        else:
            raise ValueError(f"{key} is given twice")
    return into


def united(files: Mapping[str, str]) -> Table:
    """The one table that all files together say."""
    whole: Table = {}
    for name in sorted(files):
        whole = unite(whole, tomllib.loads(files[name]))
    return whole


def read(files: Mapping[str, str], reading: Reading) -> Written:
    """The studio that the files say. The text must be legal; KeyError or ValueError if it is not."""
    whole = united(files)
    ports = {port.place: port for port in all_ports(whole, reading)}
    jacks = dict(all_jacks(whole))
    return Written(
        ports=ports,
        jacks=jacks,
        columns=list(all_columns(whole, reading)),
        mults=[[f"{b}/{at}" for at in spread(m["at"], reading)] for b, m in entries(whole, "bay", "mult")],
        normals=list(all_normals(whole, reading)),
        cables=all_cables(whole, {**ports, **jacks}, reading),
        insides=list(all_insides(whole, ports, reading)),
        switches={(u, s["name"]): s["positions"] for u, s in all_switches(whole)},
        routes=[pair for route in whole.get("route", []) for pair in route_pairs(route, ports, reading)],
        setups=whole.get("setup", {}),
    )


def entries(whole: Table, kind: str, array: str) -> Iterator[tuple[str, Table]]:
    """Each entry of `[[kind.id.array]]` with its id."""
    for ident, table in whole.get(kind, {}).items():
        for entry in table.get(array, []):
            yield ident, entry


def family_of(whole: Table, signal: str, reading: Reading) -> str:
    """The family of a kind of signal, own kinds included."""
    own = whole.get("signal", {}).get(signal)
    if own is not None:
        return signal if Wrong.LIKE_IGNORED in reading else family_of(whole, own["like"], reading)
    return signal if Wrong.SIGNAL_IS_FAMILY in reading else FAMILIES[signal]


def channels_by_default(whole: Table, signal: str) -> int:
    """How many channels a port of this signal has that does not say it."""
    own = whole.get("signal", {}).get(signal)
    return channels_by_default(whole, own["like"]) if own is not None else DEFAULT_CHANNELS.get(signal, 1)


def all_ports(whole: Table, reading: Reading) -> Iterator[Port]:
    """Every port of every unit, its model's included."""
    for unit, table in whole.get("unit", {}).items():
        away = "away" in table and Wrong.AWAY_STILL_WORKS not in reading
        for name, keys in unit_ports(whole, table, reading).items():
            family = family_of(whole, keys["signal"], reading)
            yield Port(unit, f"{unit}/{name}", keys["direction"], family, keys["channels"], away)


def unit_ports(whole: Table, unit: Table, reading: Reading) -> dict[str, Table]:
    """The keys of each port of one unit by its name; the unit's keys win, but not direction and channels."""
    found: dict[str, Table] = {}
    for entry in [*model_of(whole, unit).get("port", []), *unit.get("port", [])]:
        for name in spread(entry["name"], reading):
            if name not in found and "direction" not in entry and reading:
                continue
            if name not in found:
                found[name] = {"channels": channels_by_default(whole, entry["signal"]), **entry}
            elif Wrong.OVERRIDE_IGNORED not in reading:
                found[name] |= {k: v for k, v in entry.items() if k not in ("direction", "channels")}
    return found


def model_of(whole: Table, unit: Table) -> Table:
    """The model of a unit, empty where it has none."""
    table: Table = whole["model"][unit["model"]] if "model" in unit else {}
    return table


def all_jacks(whole: Table) -> Iterator[tuple[str, tuple[str, str, int]]]:
    """Every jack by its name."""
    for bay, table in whole.get("bay", {}).items():
        for number in range(1, table["columns"] + 1):
            if table.get("rows", 2) == 1:
                yield f"{bay}/{number}", (bay, "", number)
            else:
                yield f"{bay}/top {number}", (bay, "top", number)
                yield f"{bay}/bottom {number}", (bay, "bottom", number)


def all_columns(whole: Table, reading: Reading) -> Iterator[Column]:
    """Every column of every bay of two rows, with the bay's default where it says nothing itself."""
    for bay, table in whole.get("bay", {}).items():
        if table.get("rows", 2) == 1:
            continue
        links = table.get("normalling", "switched") == "plugs"
        own = column_settings(table, "plug" if links else "normal", reading)
        for number in range(1, table["columns"] + 1):
            default = "none" if Wrong.BAY_DEFAULT_IGNORED in reading else table.get("normal", "none")
            if Wrong.UNNAMED_COLUMNS_OPEN in reading and number not in own:
                default = "none"
            yield Column(bay, number, links, table.get("sources", "top"), own.get(number) or default)


def column_settings(bay: Table, key: str, reading: Reading) -> dict[int, str | None]:
    """What each named column says under `normal` or `plug`; None where it is named and says nothing."""
    own: dict[int, str | None] = {}
    for entry in bay.get("column", []):
        for at in spread(entry["at"], reading):
            forgets = Wrong.COLUMNS_DO_NOT_MERGE in reading
            own[int(at)] = entry.get(key) if forgets else entry.get(key) or own.get(int(at))
    return own


def all_normals(whole: Table, reading: Reading) -> Iterator[tuple[str, str, str]]:
    """Every sideways normal as (from, to, breaks)."""
    default = "from" if Wrong.NORMAL_BREAKS_AT_FROM in reading else "to"
    for entry in whole.get("normal", []):
        for a, b in zip(spread(entry["from"], reading), spread(entry["to"], reading), strict=not reading):
            yield a, b, entry.get("breaks", default)


def all_cables(whole: Table, places: Mapping[str, object], reading: Reading) -> list[Cable]:
    """Every cable once, whatever statements there are of it."""
    stated: dict[frozenset[str], Table] = {}
    for a, b, keys in [*short_cables(whole, reading), *long_cables(whole, reading)]:
        pair = frozenset((a, b))
        if not reading or (a in places and b in places):
            assert a in places, a
            assert b in places, b
            first = stated.setdefault(pair, {"ends": (a, b), **keys})
            first |= {} if Wrong.RESTATED_KEYS_IGNORED in reading else keys
    return [made_cable(keys) for keys in stated.values()]


def made_cable(keys: Table) -> Cable:
    """The cable that these keys describe."""
    a, b = keys["ends"]
    return Cable(a, b, keys.get("polarity") == "reversed", keys.get("front", False), keys.get("short", False))


def short_cables(whole: Table, reading: Reading) -> Iterator[tuple[str, str, Table]]:
    """The cables that `top` and `bottom` of columns state."""
    for bay, entry in entries(whole, "bay", "column"):
        one_row = whole["bay"][bay].get("rows", 2) == 1
        for row in ("top", "bottom"):
            names = spread(entry[row], reading) if row in entry else []
            for at, name in zip(spread(entry["at"], reading), names, strict=False):
                yield (f"{bay}/{at}" if one_row else f"{bay}/{row} {at}"), name, {"short": True}


def long_cables(whole: Table, reading: Reading) -> Iterator[tuple[str, str, Table]]:
    """The cables that `[[cable]]` states; a list of lists gives one leg after the other."""
    for entry in whole.get("cable", []):
        if entry.get("status") == "dead" and Wrong.DEAD_CABLE_JOINS not in reading:
            continue
        keys = {k: entry[k] for k in ("polarity", "front") if k in entry}
        for near, far in product(legs(entry["from"], reading), legs(entry["to"], reading)):
            for a, b in zip(spread(near, reading), spread(far, reading), strict=not reading):
                yield a, b, keys


def legs(value: Any, reading: Reading) -> list[Any]:
    """The legs of one side of a cable: one, unless it is a list of lists."""
    if isinstance(value, list) and value and isinstance(value[0], list):
        return value[:1] if Wrong.SPLIT_FIRST_LEG in reading else value
    return [value]


def channels_at(prefix: str, value: Any, ports: Mapping[str, Port], reading: Reading) -> list[Channel]:
    """The channels a reference stands for; a port without `ch` stands for all of its channels."""
    if isinstance(value, list):
        return [channel for part in value for channel in channels_at(prefix, part, ports, reading)]
    found: list[Channel] = []
    for name, number in spread_channels(value, reading):
        place = prefix + name
        if place in ports or not reading:
            found += [(place, number)] if number else [(place, n + 1) for n in range(ports[place].channels)]
    return found


def all_insides(whole: Table, ports: Mapping[str, Port], reading: Reading) -> Iterator[Inside]:
    """Every inside of every unit, its model's included, paired."""
    for unit, table in whole.get("unit", {}).items():
        own, of_model = table.get("inside", []), model_of(whole, table).get("inside", [])
        for entry in own if own and Wrong.MODEL_INSIDES_REPLACED in reading else [*of_model, *own]:
            yield made_inside(unit, entry, ports, reading)


def made_inside(unit: str, entry: Table, ports: Mapping[str, Port], reading: Reading) -> Inside:
    """One inside of one unit."""
    switch, _, position = entry.get("when", "").partition("=")
    return Inside(
        unit=unit,
        kind=entry.get("kind", "active"),
        reversed=entry.get("polarity") == "reversed",
        control=entry.get("control", "none"),
        when=(switch.strip(), position.strip()) if "when" in entry else None,
        unless=f"{unit}/{entry['unless']}" if "unless" in entry else None,
        pairs=tuple(inside_pairs(unit, entry, ports, reading)),
    )


def inside_pairs(unit: str, entry: Table, ports: Mapping[str, Port], reading: Reading) -> list[tuple[Channel, Channel]]:
    """What the inside joins: whole ports where it is hardwired, else channels."""
    prefix, hard = f"{unit}/", entry.get("kind") == "hardwired"
    if hard:
        near, far = (whole_ports(prefix, entry[side], ports, reading) for side in ("from", "to"))
    else:
        near = channels_at(prefix, entry["from"], ports, reading)
        far = channels_at(prefix, entry["to"], ports, reading)
    narrowed = Wrong.HARDWIRED_ONE_TO_ONE if hard else Wrong.ALL_TO_ALL_ONE_TO_ONE
    if entry.get("pairing") == "all-to-all" and narrowed not in reading:
        return list(product(near, far))
    return list(zip(near, far, strict=not reading))


def whole_ports(prefix: str, value: Any, ports: Mapping[str, Port], reading: Reading) -> list[Channel]:
    """The ports a reference stands for, each as its channel 0."""
    places = [prefix + name for name in spread(value, reading)]
    return [(place, 0) for place in places if place in ports or not reading]


def all_switches(whole: Table) -> Iterator[tuple[str, Table]]:
    """Every switch with its unit."""
    for unit, table in whole.get("unit", {}).items():
        for entry in [*model_of(whole, table).get("switch", []), *table.get("switch", [])]:
            yield unit, entry


def route_pairs(entry: Table, ports: Mapping[str, Port], reading: Reading) -> list[tuple[Channel, Channel]]:
    """The channels that one route pairs."""
    near, far = (channels_at("", entry[side], ports, reading) for side in ("from", "to"))
    return list(zip(near, far, strict=not reading))
