"""What becomes of every cable: it stays, goes, comes, is moved, made otherwise, or a removed one is used again as a new one.

A cable that stays is not touched. Which removed cable becomes which new one is an assignment (`job_assign`). In which order is in `job_order`.
"""

from collections.abc import Iterable, Iterator, Mapping, Set
from itertools import chain
from typing import NamedTuple

from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.hands.cables import DEAD, LaidCable, schedule
from routecode.hands.cables_ends import IN_PLUG, MULTIPIN, End
from routecode.hands.job_assign import assigned
from routecode.hands.job_free import free
from routecode.hands.job_state import Frame, pair

Pair = tuple[str, str]

GOES, COMES, MOVES, AGAIN, REMADE, UNPLUGGED = "goes", "comes", "moves", "used again", "made otherwise", "unplugged"


class Side(NamedTuple):
    """A cable on one side, its circuits as pairs of names as they read after, from where the signal comes."""

    plant: Plant
    cable: LaidCable
    pairs: tuple[Pair, ...]
    type: str | None
    """Its type as it reads after."""

    @property
    def keys(self) -> tuple[Pair, ...]:
        """Its circuits as keys of links."""
        return tuple(pair(*each) for each in self.pairs)

    @property
    def called(self) -> str:
        """Its number, or that it has none."""
        return self.cable.number or "without a number"

    def ends(self, circuit: int) -> tuple[End, End]:
        """Both ends of a circuit."""
        return self.cable.circuits[circuit].from_, self.cable.circuits[circuit].to


class Work(NamedTuple):
    """What becomes of one cable: `lifts` are the circuits that are taken off, `lays` those that are joined, both as indices."""

    how: str
    old: Side | None
    new: Side | None
    lifts: tuple[int, ...]
    lays: tuple[int, ...]
    renumbered: bool = False

    @property
    def called(self) -> str:
        """The number that is on it while it is lifted, or that it gets."""
        side = self.old or self.new
        assert side is not None
        return side.called

    @property
    def off(self) -> tuple[Pair, ...]:
        """The circuits that are taken off, as keys of links."""
        return tuple(self.old.keys[index] for index in self.lifts) if self.old else ()

    @property
    def on(self) -> tuple[Pair, ...]:
        """The circuits that are joined, as keys of links."""
        return tuple(self.new.keys[index] for index in self.lays) if self.new else ()


def sides(frame: Frame, plant: Plant) -> list[Side]:
    """The cables of a side that are there."""
    old = plant is frame.before
    read, types = frame.identity.read if old else str, frame.identity.others if old else {}
    found = []
    for cable in schedule(plant):
        if cable.status != DEAD:
            pairs = tuple((read(each.from_.name), read(each.to.name)) for each in cable.circuits)
            found.append(Side(plant, cable, pairs, types.get(("cable_type", cable.type or ""), cable.type)))
    return found


def works(frame: Frame) -> tuple[list[Work], list[tuple[Side, Side]]]:
    """What becomes of the cables that do not simply stay; and those that stay, before and after."""
    olds, news, same = _in_plugs(*_matched(frame))
    paired = {id(side) for one in same for side in one}
    gone = [side for side in olds if id(side) not in paired]
    come = [side for side in news if id(side) not in paired]
    staying_looms = {old.cable.loom for old, _ in same if old.cable.loom}
    found: list[Work] = []
    for old, new in reuse(free(gone, frame.after), come, staying_looms):
        found.append(Work(AGAIN, old, new, tuple(range(len(old.pairs))), tuple(range(len(new.pairs))), True))
        paired |= {id(old), id(new)}
    found += [Work(GOES, side, None, tuple(range(len(side.pairs))), ()) for side in gone if id(side) not in paired]
    found += [Work(COMES, None, side, (), tuple(range(len(side.pairs)))) for side in come if id(side) not in paired]
    for old, new in same:
        found += _altered(old, new)
    return sorted(found, key=_order), same


def _matched(frame: Frame) -> tuple[list[Side], list[Side], list[tuple[Side, Side]]]:
    olds, news = sides(frame, frame.before), sides(frame, frame.after)
    return olds, news, list(_same(olds, news))


def _in_plugs(
    olds: list[Side], news: list[Side], same: list[tuple[Side, Side]]
) -> tuple[list[Side], list[Side], list[tuple[Side, Side]]]:
    """The same, with the ends marked that are soldered into, or out of, the plug of a cable that stays in its socket."""
    owners: dict[Pair, str] = {}
    for old, new in same:
        for where in _multipins(old) & _multipins(new):
            owners.setdefault(where, old.cable.number or "a cable without a number")
    at_home = {(id(side), where) for one in same for side in one for where in _multipins(one[0]) & _multipins(one[1])}
    made = {id(side): _marked(side, owners, at_home) for side in (*olds, *news)}
    pairs = [(made[id(old)], made[id(new)]) for old, new in same]
    return [made[id(side)] for side in olds], [made[id(side)] for side in news], pairs


def _multipins(side: Side) -> set[Pair]:
    """The multipins that a cable is in: unit as it reads after, and name."""
    return {
        (name.partition("/")[0], end.shared)
        for index, names in enumerate(side.pairs)
        for end, name in zip(side.ends(index), names, strict=True)
        if end.how == MULTIPIN
    }


def _marked(side: Side, owners: Mapping[Pair, str], at_home: Set[tuple[int, Pair]]) -> Side:
    """A cable with those of its ends marked that are in the plug of another one."""

    def marked(end: End, name: str) -> End:
        where = (name.partition("/")[0], end.shared)
        if end.how != MULTIPIN or where not in owners or (id(side), where) in at_home:
            return end
        return end._replace(how=IN_PLUG, whose=owners[where])

    circuits = tuple(
        circuit._replace(from_=marked(circuit.from_, names[0]), to=marked(circuit.to, names[1]))
        for circuit, names in zip(side.cable.circuits, side.pairs, strict=True)
    )
    return side if circuits == side.cable.circuits else side._replace(cable=side.cable._replace(circuits=circuits))


def _order(work: Work) -> tuple[object, ...]:
    side = work.old or work.new
    assert side is not None
    return (natural(side.cable.number or "~"), tuple(map(natural, side.pairs[0])), work.how)


def _altered(old: Side, new: Side) -> Iterator[Work]:
    """The work on a cable that both sides have."""
    links = [{key: _made(side, index) for index, key in enumerate(side.keys)} for side in (old, new)]
    lifts = tuple(index for index, key in enumerate(old.keys) if key not in links[1])
    lays = tuple(index for index, key in enumerate(new.keys) if key not in links[0])
    renumbered = old.cable.number != new.cable.number
    if lifts or lays:
        yield Work(MOVES, old, new, lifts, lays, renumbered)
    remade = [index for index, key in enumerate(new.keys) if key in links[0] and links[0][key] != links[1][key]]
    if remade:
        before = {key: index for index, key in enumerate(old.keys)}
        yield Work(REMADE, old, new, tuple(before[new.keys[index]] for index in remade), tuple(remade), renumbered)
    elif renumbered and not lifts and not lays:
        yield Work(MOVES, old, new, (), (), True)


def _made(side: Side, index: int) -> tuple[object, ...]:
    """How a circuit is made, for the hands: pins and plugs, whichever end comes first."""
    circuit = side.cable.circuits[index]
    wire = circuit.wire.details
    straight = side.pairs[index] == pair(*side.pairs[index])
    pins = [(pin.from_pin, pin.to_pin) if straight else (pin.to_pin, pin.from_pin) for pin in circuit.pins]
    ends = side.ends(index) if straight else side.ends(index)[::-1]
    rows = tuple(zip((pin.carries for pin in circuit.pins), pins, strict=True))
    return wire.reversed, wire.front, rows, tuple((end.plug, end.gender) for end in ends)


# -- the same cable ------------------------------------------------------------------------------------------------------


def _same(olds: list[Side], news: list[Side]) -> Iterator[tuple[Side, Side]]:
    """Cables that both sides have: those that share most circuits, then those of one number; never of two types."""
    at: dict[Pair, Side] = {key: side for side in news for key in side.keys}
    shares: list[tuple[int, int, int]] = []
    number = {id(side): index for index, side in enumerate(news)}
    for index, old in enumerate(olds):
        count: dict[int, int] = {}
        for key in old.keys:
            if key in at:
                count[number[id(at[key])]] = count.get(number[id(at[key])], 0) + 1
        shares += [(-many, index, other) for other, many in count.items()]
    taken: tuple[set[int], set[int]] = (set(), set())
    by_number = {side.cable.number: index for index, side in enumerate(news) if side.cable.number}
    numbered = [
        (0, index, by_number[old.cable.number]) for index, old in enumerate(olds) if old.cable.number in by_number
    ]
    for _, index, other in [*sorted(shares), *numbered]:
        old, new = olds[index], news[other]
        if index in taken[0] or other in taken[1] or (old.type and new.type and old.type != new.type):
            continue
        if _replaced(old, new) if set(old.keys) & set(new.keys) else not _reaches(old, new):
            continue
        taken[0].add(index)
        taken[1].add(other)
        yield old, new


def _replaced(old: Side, new: Side) -> bool:
    """Whether a cable at the same ends is another one: of another number, and longer than the one that was there."""
    known = (old.cable.number, new.cable.number, old.cable.metres, new.cable.metres)
    longer = (new.cable.metres or 0.0) > (old.cable.metres or 0.0)
    return all(known) and old.cable.number != new.cable.number and longer


def _reaches(old: Side, new: Side) -> bool:
    """Whether a cable of the same number can be the same cable: long enough, and in no other loom."""
    long_enough = not old.cable.metres or not new.cable.metres or old.cable.metres >= new.cable.metres
    short_enough = not old.cable.metres or not new.cable.metres or old.cable.metres <= 2 * new.cable.metres + 2
    return long_enough and short_enough and (old.cable.loom is None or old.cable.loom == new.cable.loom)


# -- used again ----------------------------------------------------------------------------------------------------------


def reuse(gone: list[Side], come: list[Side], staying_looms: Iterable[str]) -> list[tuple[Side, Side]]:
    """Removed cables as new ones: as many as there can be, then as many ends as possible left where they are, then least left over."""
    looms = set(staying_looms)
    sorts: dict[object, tuple[list[Side], list[Side]]] = {}
    for which, side in [*((0, side) for side in gone), *((1, side) for side in come)]:
        sorts.setdefault((side.type, len(side.pairs)), ([], []))[which].append(side)
    found = []
    for olds, news in sorts.values():
        table = worths(olds, news, looms)
        found += [(olds[row], news[column]) for row, column in enumerate(assigned(table)) if column >= 0]
    return found


def worths(olds: list[Side], news: list[Side], looms: Set[str]) -> list[list[int]]:
    """The worth of each as each: worked out once for cables that are alike, unless the two have a place in common."""
    at: dict[str, set[int]] = {}
    for column, new in enumerate(news):
        for name in chain(*new.pairs):
            at.setdefault(name, set()).add(column)
    kinds: dict[object, int] = {}
    mine, yours = ([kinds.setdefault(_kind(side), len(kinds)) for side in each] for each in (olds, news))
    known: dict[tuple[int, int], int] = {}
    table = []
    for kind, old in zip(mine, olds, strict=True):
        near = {column for name in chain(*old.pairs) for column in at.get(name, ())}
        row = []
        for column, (other, new) in enumerate(zip(yours, news, strict=True)):
            value = None if column in near else known.get((kind, other))
            if value is None:
                value = worth(old, new, looms)
                if column not in near:
                    known[kind, other] = value
            row.append(value)
        table.append(row)
    return table


def _kind(side: Side) -> tuple[object, ...]:
    """What the worth of a cable depends on, besides its places."""
    return side.cable.metres, side.cable.loom, side.cable.splits, _fitted(side)


def worth(old: Side, new: Side, staying_looms: Iterable[str]) -> int:
    """What it is worth to use one cable as another: 0 where it does not fit.

    It fits with the type, the circuits and the length; where both ends carry what they must; or where one end stays as it is, in
    its place, and only the other gets another connector. It must not be laced into a loom that stays, unless the new one runs there too.
    """
    length, loom = old.cable.metres, old.cable.loom
    if old.type is None or old.type != new.type or len(old.pairs) != len(new.pairs):
        return 0
    if loom is not None and loom in staying_looms and loom != new.cable.loom:
        return 0
    if length is None or new.cable.metres is None or length < new.cable.metres or old.cable.splits or new.cable.splits:
        return 0
    was, now = _fitted(old), _fitted(new)
    stay, same = len(ends_left(old, new)), now in (was, was[::-1])
    if not same and not stay:
        return 0
    left_over = max(0, 50_000 - int(100 * (length - new.cable.metres)))
    return 1_000_000 + 100_000 * (stay > 0) + 300_000 * same + left_over


def ends_left(old: Side, new: Side) -> list[str]:
    """The places at which a cable that is used again stays joined, circuit by circuit, with what is on it there."""
    left: list[str] = []
    for index, (one, other) in enumerate(zip(old.pairs, new.pairs, strict=False)):
        if one[0] not in other and one[1] not in other:
            continue
        mine = dict(zip(old.pairs[index], _fitting(old, index), strict=True))
        yours = dict(zip(new.pairs[index], _fitting(new, index), strict=True))
        left += [name for name in mine if name in yours and mine[name] == yours[name]]
    whole = len(left) == len(set(left))
    return left if whole and len(left) in (len(old.pairs), 2 * len(old.pairs)) else []


def _fitted(side: Side) -> tuple[tuple[str, str, str], tuple[str, str, str]]:
    """What is on it at both ends, first circuit: a cable whose ends carry the same may be turned round."""
    return _fitting(side, 0)


def _fitting(side: Side, circuit: int) -> tuple[tuple[str, str, str], tuple[str, str, str]]:
    one, other = side.ends(circuit)
    return (one.how, one.plug, one.gender), (other.how, other.plug, other.gender)
