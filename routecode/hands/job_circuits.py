"""Which pair of a cable a circuit is while the cable is moved, and what is done at each of its ends.

A pair keeps its number and its colours as long as there is the cable. So a circuit that comes gets the pair of its own number,
unless that pair carries a circuit that stays. An end is left as it is only if each of its wires stays on its pin; else it is carried
in its plug, if nothing in the plug changes, or it is made anew.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from routecode.figures.soldering import UNPUBLISHED
from routecode.hands.cables_ends import IN_PLUG, MULTIPIN, PLUG, REAR, UNKNOWN, End
from routecode.hands.job_cables import AGAIN, MOVES, UNPLUGGED, Side, Work
from routecode.hands.job_words import title

STAYS, CARRIED, WHOLE, MADE = "stays", "carried", "whole", "made"
"""Not touched; lifted or plugged with its plug as it is; the same of a plug of several circuits that moves from socket to socket; soldered."""

Connector = tuple[str, str]
"""The unit, as it reads after, and the name of its multipin."""


class Handled(NamedTuple):
    """A circuit that is lifted or laid: which of its side it is (from 0), the pair that it is (from 0), what is done at its first and second end."""

    circuit: int
    pair: int
    ends: tuple[str, str]


def circuits(work: Work, *, lifting: bool, busy: frozenset[str]) -> tuple[Handled, ...]:
    """The circuits that an operation on a cable lifts, or lays. `busy`: units and bays that are exchanged or moved."""
    old, new = work.old, work.new
    side, indices = (old, work.lifts) if lifting else (new, work.lays)
    if side is None:
        return ()
    if old is None or new is None:
        return tuple(Handled(index, index, _plain(side.ends(index))) for index in indices)
    numbers = pair_numbers(work)
    pairs = [index if lifting else numbers[index] for index in indices]
    if work.how == UNPLUGGED:
        return tuple(
            Handled(index, pair, _unplugged(side, index, busy)) for index, pair in zip(indices, pairs, strict=True)
        )
    moved = _Moved(old, new, work, {pair: index for index, pair in numbers.items()}, _turned(old, new, numbers))
    return tuple(
        Handled(index, pair, moved.ends(pair, lifting=lifting)) for index, pair in zip(indices, pairs, strict=True)
    )


def pair_numbers(work: Work) -> dict[int, int]:
    """Each circuit of the new side (index) -> the pair of the cable that it is; of a cable that comes they are the same."""
    old, new = work.old, work.new
    if new is None:
        return {}
    if old is None or work.how == AGAIN:
        return {index: index for index in range(len(new.pairs))}
    before = {key: index for index, key in enumerate(old.keys)}
    found = {index: before[key] for index, key in enumerate(new.keys) if key in before}
    free = [pair for pair in range(max(len(old.pairs), len(new.pairs))) if pair not in set(found.values())]
    waiting = [index for index in range(len(new.pairs)) if index not in found]
    for index in [index for index in waiting if index in free]:
        free.remove(index)
        found[index] = index
    for index in (index for index in waiting if index not in found):
        shares = [
            pair for pair in free if pair < len(old.pairs) and not set(old.pairs[pair]).isdisjoint(new.pairs[index])
        ]
        pair = (shares or free)[0]
        free.remove(pair)
        found[index] = pair
    return found


def _turned(old: Side, new: Side, numbers: Mapping[int, int]) -> bool:
    """Whether the first end of a cable is its second end after: by the places it keeps, then by what is on its ends."""
    score = [(0, 0), (0, 0)]
    for index, pair in numbers.items():
        if pair >= len(old.pairs):
            continue
        for turn in (0, 1):
            names, ends = new.pairs[index], new.ends(index)
            if turn:
                names, ends = names[::-1], ends[::-1]
            kept = sum(one == other for one, other in zip(old.pairs[pair], names, strict=True))
            alike = sum(_fit(one) == _fit(other) for one, other in zip(old.ends(pair), ends, strict=True))
            score[turn] = (score[turn][0] + kept, score[turn][1] + alike)
    return score[1] > score[0]


def _plain(ends: tuple[End, End]) -> tuple[str, str]:
    """Of a cable that comes or goes as a whole: what is on it was made at the bench."""
    one, other = (CARRIED if end.how in (PLUG, MULTIPIN, REAR, UNKNOWN) else MADE for end in ends)
    return one, other


def _unplugged(side: Side, index: int, busy: frozenset[str]) -> tuple[str, str]:
    """Of a cable that comes off for the sake of what it is at, and goes back."""
    one, other = (
        plain if name.partition("/")[0] in busy else STAYS
        for name, plain in zip(side.pairs[index], _plain(side.ends(index)), strict=True)
    )
    return one, other


def _fit(end: End) -> tuple[str, str, str]:
    return end.how, end.plug, end.gender


def soldered(side: Side, index: int, which: int) -> tuple[tuple[str, str | None, bool], ...]:
    """What is soldered where at an end of a circuit: each wire, its pin, whether it is linked to the shield there."""
    word = ("from", "to")[which]
    pins = side.cable.circuits[index].pins
    return tuple(sorted((pin.carries, (pin.from_pin, pin.to_pin)[which], pin.linked == word) for pin in pins))


class _Moved(NamedTuple):
    """A cable that is moved, used again or made otherwise. `at`: its pairs -> their circuits (indices) on the new side."""

    old: Side
    new: Side
    work: Work
    at: dict[int, int]
    turned: bool

    def ends(self, pair: int, *, lifting: bool) -> tuple[str, str]:
        """What is done at both ends of a pair, as the old side (`lifting`) or the new one counts them."""
        states = [self._state(pair, which) for which in (0, 1)]
        if states == [STAYS, STAYS]:  # nothing differs on the pins that are known: the second end is opened
            states[self._other(1)] = MADE
        return (states[0], states[1]) if lifting or not self.turned else (states[1], states[0])

    def _circuits(self, pair: int) -> tuple[int, int] | None:
        """The circuits of a pair before and after; None where it is in use on one side only."""
        after = self.at.get(pair)
        both = pair in self.work.lifts and after in self.work.lays
        return (pair, after) if both and after is not None else None

    def _other(self, which: int) -> int:
        return 1 - which if self.turned else which

    def _state(self, pair: int, which: int) -> str:
        """What is done at one end of a pair, as the old side counts ends."""
        found = self._circuits(pair)
        if found is None:
            side, index, end = self._alone(pair, which)
            how = side.ends(index)[end].how
            return CARRIED if how in (PLUG, REAR, UNKNOWN) else MADE
        before, after = found
        other = self._other(which)
        one, two = self.old.ends(before)[which], self.new.ends(after)[other]
        same = _fit(one) == _fit(two) and soldered(self.old, before, which) == soldered(self.new, after, other)
        if same and self.old.pairs[before][which] == self.new.pairs[after][other]:
            return STAYS
        if not same or one.how not in (PLUG, REAR, MULTIPIN, UNKNOWN):
            return MADE
        return CARRIED if one.how != MULTIPIN else WHOLE if self._whole(pair, which) else MADE

    def _alone(self, pair: int, which: int) -> tuple[Side, int, int]:
        if pair in self.work.lifts:
            return self.old, pair, which
        return self.new, self.at[pair], self._other(which)

    # -- a plug of several circuits ---------------------------------------------------------------------------------------

    def _whole(self, pair: int, which: int) -> bool:
        """Whether the plug that a pair is in moves from one socket to another as it is: all that is in it, and nothing else."""
        found = self._circuits(pair)
        assert found is not None
        was, comes = connector(self.old, found[0], which), connector(self.new, found[1], self._other(which))
        here = {(one, end) for one, end in _in(self.old, was)}
        there = {(one, end) for one, end in _in(self.new, comes)}
        moved = {(self.at.get(one, -1), self._other(end)) for one, end in here}
        fits = moved == there and all(self._fits(one, end) for one, end in here)
        return fits and _only(self.old, found[0], which) and _only(self.new, found[1], self._other(which))

    def _fits(self, pair: int, which: int) -> bool:
        found = self._circuits(pair)
        if found is None:
            return False
        before, after, other = found[0], found[1], self._other(which)
        one, two = self.old.ends(before)[which], self.new.ends(after)[other]
        pins = soldered(self.old, before, which)
        known = bool(pins) and all(pin != UNPUBLISHED for _, pin, _ in pins)
        alike = pins == soldered(self.new, after, other) and (known or one.circuit == two.circuit)
        return alike and _fit(one) == _fit(two)


def connector(side: Side, index: int, which: int) -> Connector:
    """The multipin that an end of a circuit is in."""
    return side.pairs[index][which].partition("/")[0], side.ends(index)[which].shared


def _in(side: Side, where: Connector) -> list[tuple[int, int]]:
    """The ends (circuit, which end) of a cable that are in a multipin."""
    return [
        (index, which)
        for index in range(len(side.pairs))
        for which in (0, 1)
        if side.ends(index)[which].circuit and connector(side, index, which) == where
    ]


def _only(side: Side, index: int, which: int) -> bool:
    """Whether the multipin of an end carries wires of this cable alone."""
    plant, end = side.plant, side.ends(index)[which]
    unit = plant.unit_of(end.node)
    own = {id(circuit.wire) for circuit in side.cable.circuits}
    carried = [many.sockets for many in unit.kit.multipins if many.written.name == end.shared]
    nodes = [unit.first + socket for sockets in carried for socket in sockets]
    return all(id(wire) in own for node in nodes for wire in plant.wires_of(node))


# -- what is said of plugs of several circuits ---------------------------------------------------------------------------


def plugs_moved(works: Sequence[Work], *, lifting: bool) -> str:
    """The words of a step in which plugs of several circuits go from socket to socket and nothing else is done; else empty."""
    found: dict[str, None] = {}
    for work in works if all(work.how == MOVES for work in works) else ():
        side = work.old if lifting else work.new
        handled = circuits(work, lifting=lifting, busy=frozenset())
        if side is None or any(state not in (STAYS, WHOLE) for one in handled for state in one.ends):
            return ""
        called = work.called if lifting else side.called
        for one in handled:
            for end, state in zip(side.ends(one.circuit), one.ends, strict=True):
                if state == WHOLE:
                    found[f"{called} ({end.plug}) {'from' if lifting else 'into'} {_socket(side, end)}"] = None
    words = [f"{'Lift the plug of' if lifting else 'Plug'} {each}." for each in found]
    mind = "It is not opened, and the other ends stay joined." if lifting else "Nothing is soldered."
    return f"{' '.join(words)}\n{mind}" if words else ""


def plugs_opened(works: Sequence[Work], *, lifting: bool, bench: bool = False) -> str:
    """What to mind where a step solders in a plug that belongs to another cable; empty where none does."""
    found: dict[str, None] = {}
    for side in (work.old if lifting else work.new for work in works):
        for end in _ends(side) if side is not None else ():
            if side is not None and end.how == IN_PLUG:
                found[f"the plug of {end.whose} at {_socket(side, end)}"] = None
    if not found:
        return ""
    if bench:
        return f"\nWhat goes into {' and '.join(found)} is soldered at the racks."
    done = "take all of these out of it" if lifting else "solder all of these into it"
    return f"\nLift {' and '.join(found)} once, {done}, and plug it in again: the other circuits in it stay."


def _ends(side: Side) -> Iterator[End]:
    for index in range(len(side.pairs)):
        yield from side.ends(index)


def _socket(side: Side, end: End) -> str:
    return f"{title(side.plant, side.plant.unit_of(end.node).id)} {end.shared}".rstrip()
