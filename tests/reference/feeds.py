"""The feeds of one state: every driver's hot conductor is flooded, and what it reaches receives."""

from __future__ import annotations

from collections.abc import Iterator

from attrs import frozen

from .conductors import Conductors, Wire
from .readings import Reading, Wrong
from .roles import Nets, Roles
from .state import State
from .written import Channel, Written


@frozen
class Fed:
    """One feed, by its channels."""

    driver: Channel
    receiver: Channel
    jacks: tuple[str, ...]
    polarity: str
    either: bool


def all_feeds(
    written: Written, state: State, conductors: Conductors, nets: Nets, roles: Roles, reading: Reading
) -> list[Fed]:
    """Every feed of the state."""
    found: list[Fed] = []
    for net, families in nets.families.items():
        if len(families) == 1 or Wrong.MIXED_FAMILIES_FEED in reading:
            drivers, receivers, either = in_net(written, nets.members(net), roles, reading)
            found += flooded(written, conductors, drivers, receivers, either, reading)
    return [*found, *by_routes(written, state, conductors, nets, reading)]


def in_net(written: Written, members: list[str], roles: Roles, reading: Reading) -> tuple[list[str], list[str], bool]:
    """The ports of one net that drive, those that receive, and whether they are ends alone."""
    here = [written.ports[place] for place in members if not written.ports[place].away]
    outs = [port.place for port in here if port.direction == "out"]
    ins = [port.place for port in here if port.direction == "in"]
    listens, speaks, asked, ends = (
        [place for place in members if place in role]
        for role in (roles.listens, roles.speaks, roles.speaks_as_end, roles.ends)
    )
    if Wrong.BOTH_NEEDS_NO_ROUTE in reading:
        both = [port.place for port in here if port.direction == "both"]
        outs, ins = outs + both, ins + both
    if outs or speaks:
        silent = [p for p in ends if p not in speaks or Wrong.SPEAKER_RECEIVES in reading]
        silent = [] if Wrong.ENDS_NEVER_RECEIVE in reading else silent
        beside = ends if Wrong.ENDS_DRIVE_BESIDE_OUT in reading else []
        return unique(outs + speaks + beside), unique(ins + listens + silent), False
    if ins or listens:
        driving = [] if Wrong.ENDS_NEVER_DRIVE in reading else ends
        return unique(driving + asked), unique(ins + listens), False
    return ends, ends, True


def unique(places: list[str]) -> list[str]:
    """The places without repeats."""
    return sorted(set(places))


def flooded(
    written: Written, conductors: Conductors, drivers: list[str], receivers: list[str], either: bool, reading: Reading
) -> Iterator[Fed]:
    """The feeds from each driver to what its flood reaches."""
    for driver in drivers:
        reached = conductors.flood((driver, "port", "hot"))
        for receiver in receivers:
            skipped = either and Wrong.EITHER_ONE_WAY in reading and driver > receiver
            if receiver != driver and not skipped:
                yield from between(written, conductors, driver, receiver, either, reached, reading)


def between(
    written: Written,
    conductors: Conductors,
    driver: str,
    receiver: str,
    either: bool,
    reached: set[Wire],
    reading: Reading,
) -> Iterator[Fed]:
    """The feeds between two ports, channel by channel."""
    jacks = conductors.way((driver, "port"), (receiver, "port"), written, reading)
    polarity = polarity_at(written, receiver, reached, reading)
    counts = written.ports[driver].channels, written.ports[receiver].channels
    channels = max(counts) if Wrong.CHANNELS_TO_LARGER in reading else min(counts)
    for n in range(1, 2 if Wrong.ONLY_FIRST_CHANNEL in reading else channels + 1):
        yield Fed((driver, n), (receiver, n), jacks, polarity, either)


def polarity_at(written: Written, receiver: str, reached: set[Wire], reading: Reading) -> str:
    """How the driver's hot arrives at a port: on hot, on cold, or on both."""
    if written.ports[receiver].family != "analogue" and Wrong.POLARITY_FOR_ALL not in reading:
        return "kept"
    hot, cold = ((receiver, "port", wire) in reached for wire in ("hot", "cold"))
    if hot and cold:
        return "kept" if Wrong.MIXED_UNNOTICED in reading else "mixed"
    return "kept" if hot else "reversed"


def by_routes(written: Written, state: State, conductors: Conductors, nets: Nets, reading: Reading) -> Iterator[Fed]:
    """The feeds that routes make between `both` ports of different units in one net."""
    for a, b in sorted(state.routes):
        near, far = written.ports[a[0]], written.ports[b[0]]
        both = near.direction == far.direction == "both" and near.unit != far.unit
        there = not (near.away or far.away)
        if both and there and nets.of[near.place] == nets.of[far.place]:
            if len(nets.families[nets.of[near.place]]) == 1 or Wrong.MIXED_FAMILIES_FEED in reading:
                reached = conductors.flood((near.place, "port", "hot"))
                jacks = conductors.way((near.place, "port"), (far.place, "port"), written, reading)
                yield Fed(a, b, jacks, polarity_at(written, far.place, reached, reading), False)
        elif both and there and Wrong.BOTH_NEEDS_NO_NET in reading:
            yield Fed(a, b, (), "kept", False)
