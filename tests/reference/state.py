"""What a setup adds to the fixed wiring: cords, plugs, positions of switches, routes, needs."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest
from typing import Any

from attrs import frozen

from .readings import Reading, Wrong
from .spread import spread
from .written import Channel, Inside, Table, Written, channels_at, route_pairs


@frozen
class Need:
    """One path that must exist (or, with mode `never`, must not), by the channels it names."""

    mode: str
    path: tuple[Channel, ...]


@frozen
class State:
    """Everything that may differ between setups. Cords map their two ends to whether they are reversed."""

    cords: dict[tuple[str, str], bool]
    dummies: frozenset[str]
    links: dict[tuple[str, int], str]
    positions: dict[tuple[str, str], str]
    routes: frozenset[tuple[Channel, Channel]]
    needs: tuple[Need, ...]

    def plugged(self, jack: str, reading: Reading) -> bool:
        """Whether a plug is in this jack: a cord ends there, or a dummy plug sits there."""
        dummy = jack in self.dummies and Wrong.DUMMY_PLUG_IGNORED not in reading
        return dummy or any(jack in ends for ends in self.cords)


def state_of(written: Written, setup: str | None, reading: Reading) -> State:
    """The state of one setup, or the unpatched state for None."""
    tables = list(included(written, setup, reading)) if setup is not None else []
    own = [written.setups[setup]] if setup is not None else []
    for_rest = own if Wrong.INCLUDE_ONLY_CORDS in reading else tables
    needing = tables if Wrong.NEEDS_COME_ALONG in reading else own
    return State(
        cords=cords_of(written, tables, reading),
        dummies=frozenset(jack for jack, to in plugs_of(for_rest, reading) if to == "broken"),
        links=links_of(written, for_rest, reading),
        positions=positions_of(written, for_rest, reading),
        routes=frozenset(routes_of(written, for_rest, setup, reading)),
        needs=tuple(need for t in needing for entry in t.get("need", []) for need in needs_of(written, entry, reading)),
    )


def included(written: Written, setup: str, reading: Reading, depth: int = 0) -> Iterator[Table]:
    """The tables that make a setup, the weakest first and its own last."""
    names = written.setups[setup].get("include", [])
    names = [names] if isinstance(names, str) else names
    if Wrong.INCLUDE_WINS in reading:
        yield written.setups[setup]
    if not (depth and Wrong.INCLUDE_ONE_LEVEL in reading):
        for name in reversed(names) if Wrong.INCLUDE_REVERSED in reading else names:
            yield from included(written, name, reading, depth + 1)
    if Wrong.INCLUDE_WINS not in reading:
        yield written.setups[setup]


def cord_end(written: Written, place: str, reading: Reading) -> str | None:
    """Where a cord that names this place is plugged in; None where that cannot be told."""
    port = written.ports.get(place)
    if port is None or port.direction not in ("in", "out") or Wrong.CORD_TAKES_THE_PORT in reading:
        return place
    ends = {c.b if c.a == place else c.a for c in written.cables if place in (c.a, c.b)}
    jacks = sorted(end for end in ends if end in written.jacks)
    if len(jacks) > 1:
        return None
    return jacks[0] if jacks else place


def cords_of(written: Written, tables: list[Table], reading: Reading) -> dict[tuple[str, str], bool]:
    """Every cord by its sorted ends; a later statement of the same cord wins."""
    cords: dict[tuple[str, str], bool] = {}
    for entry in (entry for table in tables for entry in table.get("cord", [])):
        reverse = entry.get("polarity") == "reversed"
        for near, far in cord_pairs(entry, reading):
            a, b = cord_end(written, near, reading), cord_end(written, far, reading)
            if a is not None and b is not None and known(written, a, b, reading):
                ends = (min(a, b), max(a, b))
                first = cords.setdefault(ends, reverse)
                cords[ends] = first if Wrong.FIRST_CORD_WINS in reading else reverse
    return cords


def known(written: Written, a: str, b: str, reading: Reading) -> bool:
    """Whether both places are there; the right reading never meets others."""
    missing = [place for place in (a, b) if place not in written.ports and place not in written.jacks]
    assert reading or not missing, missing
    return not missing


def cord_pairs(entry: Table, reading: Reading) -> list[tuple[str, str]]:
    """The pairs of places that one statement of a cord joins; a list under `to` is a Y-cord."""
    near, far = spread(entry["from"], reading), spread(entry["to"], reading)
    if isinstance(entry["to"], list):
        far = far[:1] if Wrong.Y_CORD_FIRST_LEG in reading else far
        return [(near[0], end) for end in far]
    return list(zip(near, far, strict=not reading))


def plugs_of(tables: list[Table], reading: Reading) -> Iterator[tuple[str, str]]:
    """Each (jack, setting) that the setups state, in order."""
    for entry in (entry for table in tables for entry in table.get("plug", [])):
        for jack in spread(entry["at"], reading):
            yield jack, entry["set"]


def links_of(written: Written, tables: list[Table], reading: Reading) -> dict[tuple[str, int], str]:
    """Where the link plug of a column sits, for every column that the setups name."""
    links: dict[tuple[str, int], str] = {}
    if Wrong.PLUG_SETTING_IGNORED in reading:
        return links
    for jack, setting in plugs_of(tables, reading):
        if setting != "broken" and jack in written.jacks:
            bay, _, number = written.jacks[jack]
            links[bay, number] = setting
    return links


def positions_of(written: Written, tables: list[Table], reading: Reading) -> dict[tuple[str, str], str]:
    """The position of every switch."""
    resting = -1 if Wrong.LAST_POSITION_RESTS in reading else 0
    positions = {key: names[resting] for key, names in written.switches.items()}
    for entry in (entry for table in tables for entry in table.get("set", [])):
        unit, _, name = entry["switch"].partition("/")
        if Wrong.SET_IGNORED not in reading:
            positions[unit, name] = entry["to"]
    return positions


def routes_of(
    written: Written, tables: list[Table], setup: str | None, reading: Reading
) -> Iterator[tuple[Channel, Channel]]:
    """All routes that hold in the state."""
    if setup is None or Wrong.TOP_ROUTES_UNPATCHED_ONLY not in reading:
        yield from written.routes
    if Wrong.SETUP_ROUTES_IGNORED not in reading:
        for entry in (entry for table in tables for entry in table.get("route", [])):
            yield from route_pairs(entry, written.ports, reading)


def needs_of(written: Written, entry: dict[str, Any], reading: Reading) -> Iterator[Need]:
    """The needs that one statement makes: as many as its places have names."""
    mode = "never" if entry.get("never") else "only" if entry.get("only") else "must"
    steps = [channels_at("", place, written.ports, reading) for place in entry["path"]]
    for path in zip_longest(*steps):
        if not reading or None not in path:
            yield Need(mode, path)


def closed(written: Written, state: State, inside: Inside, reading: Reading) -> bool:
    """Whether the conditions of an inside, `when` and `unless`, hold in this state."""
    if inside.when is not None and Wrong.WHEN_IGNORED not in reading:
        switch, position = inside.when
        if state.positions[inside.unit, switch] != position:
            return False
    return inside.unless is None or not occupied(written, state, inside.unless, reading)


def occupied(written: Written, state: State, place: str, reading: Reading) -> bool:
    """Whether anything is joined to this port: a cable at either face of it, or a cord that takes the port itself."""
    if Wrong.UNLESS_IGNORED in reading:
        return False
    cabled = any(place in (cable.a, cable.b) for cable in written.cables)
    corded = any(place in ends for ends in state.cords)
    if Wrong.UNLESS_NEEDS_CORD in reading:
        return corded
    return cabled if Wrong.UNLESS_NEEDS_CABLE in reading else cabled or corded
