"""All revisions of a studio in one: every unit, bay, port and joint that any of them has, each with the revisions that have it.

Units, bays and rooms that were called otherwise are taken under the name they have last. Nothing is placed or painted here.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from attrs import evolve, frozen

from routecode.show.drawing.compare import Both, Joined, Mark
from routecode.show.drawing.facts import BayFacts, End, Joint, Normal, Side, UnitFacts

Times = frozenset[int]
"""The places, in the list of revisions, of those that have something."""
Names = Mapping[str, str]
Written = tuple[str, str]
"""Title and note of a unit or a bay."""

_NONE = Normal("none", False)
_OPEN = "|"
"""Stands between the patterns that a normal had over time; no pattern has it."""


@frozen
class Union:
    """The union, and when what is there: by id, by port or column (`block`, name), by joint, how each column was normalled, and what
    was written into each box (title and note)."""

    both: Both
    blocks: Mapping[str, Times]
    pins: Mapping[tuple[str, str], Times]
    joints: Mapping[tuple[object, ...], Times]
    normals: Mapping[tuple[str, int], Mapping[Normal, Times]]
    written: Mapping[str, Mapping[Written, Times]]
    rooms: Mapping[str, Times]


def united(sides: Sequence[Side]) -> Union:
    """The union of revisions, the newest first, in names that all of them share (ValueError for none)."""
    if not sides:
        raise ValueError("no revisions")
    parts = _apart(sides)
    units: dict[str, UnitFacts] = {}
    bays: dict[str, BayFacts] = {}
    blocks: dict[str, set[int]] = {}
    pins: dict[tuple[str, str], set[int]] = {}
    joints: dict[tuple[object, ...], tuple[Joint, set[int]]] = {}
    for at, side in enumerate(parts):
        for name, unit in side.units.items():
            units[name] = _unit(units[name], unit) if name in units else unit
            blocks.setdefault(name, set()).add(at)
            for port, _ in unit.ports:
                pins.setdefault((name, port), set()).add(at)
        for name, bay in side.bays.items():
            bays[name] = _bay(bays[name], bay) if name in bays else bay
            blocks.setdefault(name, set()).add(at)
            for number in range(1, bay.columns + 1):
                pins.setdefault((name, str(number)), set()).add(at)
        for joint in _fitting(side, bays):
            joints.setdefault(key_of(joint), (joint, set()))[1].add(at)
    normals = _normals(parts)
    rooms = {name: title for side in reversed(parts) for name, title in side.rooms.items()}
    whole = Side(units, {name: _with(bay, name, normals) for name, bay in bays.items()}, rooms, ())
    times = {key: frozenset(found) for key, (_, found) in joints.items()}
    joined = [_joined(joint, times[key]) for key, (joint, _) in sorted(joints.items(), key=lambda one: repr(one[0]))]
    return Union(
        Both(whole, whole, tuple(joined), False),
        {name: frozenset(found) for name, found in blocks.items()},
        {pin: frozenset(found) for pin, found in pins.items()},
        times,
        normals,
        _written(parts),
        {name: frozenset(at for at, side in enumerate(parts) if name in side.rooms) for name in rooms},
    )


def key_of(joint: Joint | Joined) -> tuple[object, ...]:
    """What makes two joints of two revisions the same: kind, ends, and how it is made; not its number, not its direction."""
    return (joint.kind, *sorted((joint.a, joint.b)), joint.traits)


def _joined(joint: Joint, times: Times) -> Joined:
    """A joint whose traits say when it is there, so that only what goes alike at all times becomes one line."""
    return Joined(joint.kind, joint.a, joint.b, Mark.SAME, joint.number, (*joint.traits, _token(times)))


def _token(times: Times) -> str:
    return ",".join(map(str, sorted(times)))


def times_of(line_traits: tuple[str, ...]) -> Times:
    """When a line is there whose joints were made by `united`."""
    return frozenset(int(part) for part in line_traits[-1].split(",") if part)


# -- one thing over time -------------------------------------------------------------------------------------------------


def _unit(newer: UnitFacts, older: UnitFacts) -> UnitFacts:
    known = {port for port, _ in newer.ports}
    more = tuple((port, way) for port, way in older.ports if port not in known)
    note = newer.note or older.note  # so that there is room for it
    return evolve(newer, ports=(*newer.ports, *more), passes=newer.passes or older.passes, note=note)


def _bay(newer: BayFacts, older: BayFacts) -> BayFacts:
    return evolve(newer, columns=max(newer.columns, older.columns), reserved=newer.reserved | older.reserved)


def _normals(sides: Sequence[Side]) -> dict[tuple[str, int], dict[Normal, Times]]:
    """How each column was normalled, and when."""
    found: dict[tuple[str, int], dict[Normal, set[int]]] = {}
    for at, side in enumerate(sides):
        for name, bay in side.bays.items():
            for number, normal in bay.normals.items():
                found.setdefault((name, number), {}).setdefault(normal, set()).add(at)
    return {column: {normal: frozenset(times) for normal, times in each.items()} for column, each in found.items()}


def _written(sides: Sequence[Side]) -> dict[str, dict[Written, Times]]:
    """What was written into each box, and when."""
    found: dict[str, dict[Written, set[int]]] = {}
    for at, side in enumerate(sides):
        texts = {name: (unit.title, unit.note) for name, unit in side.units.items()}
        texts.update((name, (bay.title, bay.note)) for name, bay in side.bays.items())
        for name, text in texts.items():
            found.setdefault(name, {}).setdefault(text, set()).add(at)
    return {name: {text: frozenset(times) for text, times in each.items()} for name, each in found.items()}


def _with(bay: BayFacts, name: str, normals: Mapping[tuple[str, int], Mapping[Normal, Times]]) -> BayFacts:
    """The bay with normals that say all they were over time, so that only columns that go alike at all times are one."""
    told = {number: _over_time(normals.get((name, number), {})) for number in range(1, bay.columns + 1)}
    return evolve(bay, normals=told)


def _over_time(each: Mapping[Normal, Times]) -> Normal:
    if all(normal.pattern == "none" for normal in each):
        return _NONE
    parts = [f"{normal.pattern} {normal.closed} {_token(times)}" for normal, times in sorted(each.items())]
    return Normal(_OPEN.join(parts), True)


# -- what does not fit together -------------------------------------------------------------------------------------------


def _apart(sides: Sequence[Side]) -> list[Side]:
    """The sides with ids that were a unit once and are a bay now (or had another number of rows) under names of their own."""
    kinds: dict[str, str] = {}
    found = []
    for side in sides:
        called: dict[str, str] = {}
        sorts = dict.fromkeys(side.units, "unit") | {name: f"bay, {bay.rows}" for name, bay in side.bays.items()}
        for name, sort in sorts.items():
            if kinds.setdefault(name, sort) != sort:
                called[name] = f"{name} ({sort})"
        found.append(_called(side, called) if called else side)
    return found


def _called(side: Side, called: Names) -> Side:
    def end(one: End) -> End:
        return one._replace(block=called.get(one.block, one.block))

    return Side(
        {called.get(name, name): unit for name, unit in side.units.items()},
        {called.get(name, name): bay for name, bay in side.bays.items()},
        side.rooms,
        tuple(joint._replace(a=end(joint.a), b=end(joint.b)) for joint in side.joints),
    )


def _fitting(side: Side, bays: Mapping[str, BayFacts]) -> Iterator[Joint]:
    """The joints whose ends are drawn."""
    ports = {name: {port for port, _ in unit.ports} for name, unit in side.units.items()}
    for joint in side.joints:
        if all(_there(one, ports, bays) for one in (joint.a, joint.b)):
            yield joint


def _there(end: End, ports: Mapping[str, Iterable[str]], bays: Mapping[str, BayFacts]) -> bool:
    return end.block in bays if end.row else end.name in ports.get(end.block, ())
