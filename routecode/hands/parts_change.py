"""What a change needs and what it sets free: plugs, parts of bays, and lengths of cable, of which those that fit are used again.

Which cable stays, goes, comes or is used again is the plan of the jobsheet (`job_cables`), so that what is ordered is what is made. Plugs
stay on the cable that they are on: only what it carries more or less is counted.
"""

from collections import Counter
from collections.abc import Callable, Iterable
from typing import NamedTuple

from routecode.change.difference import Compared
from routecode.circuit.plant import Plant
from routecode.ground.order import natural
from routecode.hands.cables import MAKE, LaidCable
from routecode.hands.job_cables import AGAIN, COMES, GOES, Side, works
from routecode.hands.job_state import frame_of
from routecode.hands.parts_counts import Counts, Seat, bay_counts, fixed_counts, seats_of


class Again(NamedTuple):
    """A length of cable, as it was and as it is to be."""

    was: LaidCable
    now: LaidCable


class Turnover(NamedTuple):
    """What is needed and what is set free, plugs and parts of bays; the cables to be made, those that are left over, those used again.

    `waiting`: cables that were to be made before and still are; they are not counted. `corrected`: cables that stay and are written
    longer: nothing is made or ordered for them.
    """

    needs: Counts
    freed: Counts
    come: tuple[LaidCable, ...]
    gone: tuple[LaidCable, ...]
    again: tuple[Again, ...]
    waiting: int
    corrected: tuple[Again, ...]


_Pair = tuple[LaidCable | None, LaidCable | None]
"""One cable: as it was (None: it was not there) and as it is to be (None: it goes)."""


def turnover(compared: Compared) -> Turnover:
    """The turnover of two circuits."""
    frame = frame_of(compared)
    done, same = works(frame)
    waiting = sum(_to_make(old) and _to_make(new) for old, new in same)
    staying = [Again(old.cable, new.cable) for old, new in same if not _to_make(old)]
    again = [Again(one.old.cable, one.new.cable) for one in done if one.how == AGAIN and one.old and one.new]
    come = [one.new.cable for one in done if one.how == COMES and one.new]
    come += [new.cable for old, new in same if _to_make(old) and not _to_make(new)]
    gone = [one.old.cable for one in done if one.how == GOES and one.old and not _to_make(one.old)]
    pairs: list[_Pair] = [*staying, *again, *((None, now) for now in come), *((was, None) for was in gone)]
    needs, freed = _plugs(compared, pairs)
    more, less = _bays(compared, frame.before, frame.after)
    return Turnover(
        needs + more,
        freed + less,
        tuple(come),
        tuple(gone),
        tuple(sorted(again, key=_order)),
        waiting,
        tuple(sorted((one for one in staying if _longer(one)), key=_order)),
    )


def _to_make(side: Side) -> bool:
    return side.cable.status == MAKE


def _longer(one: Again) -> bool:
    return one.was.metres is not None and one.now.metres is not None and one.now.metres > one.was.metres


def _order(one: Again) -> tuple[object, ...]:
    return natural(one.now.number or one.now.ends[0])


# -- plugs and bays ------------------------------------------------------------------------------------------------------


def _plugs(compared: Compared, pairs: list[_Pair]) -> tuple[Counts, Counts]:
    """Plugs that a cable carries more than it did, and plugs that it carries less; what stays joined is neither."""
    read = compared.identity.read
    was = _seats(compared.before.plant, (pair[0] for pair in pairs), lambda seat: _read(seat, read))
    now = _seats(compared.after.plant, (pair[1] for pair in pairs), lambda seat: seat)
    stays = {seat for seat in was.keys() & now.keys() if not was[seat].isdisjoint(now[seat])}
    before, after = _by_cable(was, stays), _by_cable(now, stays)
    needs: Counts = Counter()
    freed: Counts = Counter()
    for index in range(len(pairs)):
        old, new = before.get(index, Counter()), after.get(index, Counter())
        needs += new - old
        freed += old - new
    return needs, freed


def _seats(plant: Plant, cables: Iterable[LaidCable | None], named: Callable[[Seat], Seat]) -> dict[Seat, set[int]]:
    """Every plug in its place, with the numbers of the cables that share it."""
    found: dict[Seat, set[int]] = {}
    for index, cable in enumerate(cables):
        for seat in seats_of(plant, cable) if cable is not None else ():
            found.setdefault(named(seat), set()).add(index)
    return found


def _by_cable(seats: dict[Seat, set[int]], stays: set[Seat]) -> dict[int, Counts]:
    """The plugs of each cable that are not in their old place; what several cables share is of the first of them."""
    found: dict[int, Counts] = {}
    for seat, cables in seats.items():
        if seat not in stays:
            found.setdefault(min(cables), Counter())[seat.item] += 1
    return found


def _read(seat: Seat, read: Callable[[str], str]) -> Seat:
    """A seat of the before side in names as they read after."""
    return seat._replace(owner=read(seat.owner), place=read(seat.place) if "/" in seat.place else seat.place)


def _bays(compared: Compared, before: Plant, after: Plant) -> tuple[Counts, Counts]:
    """Rear connectors, link plugs and dummy plugs that come and go, bay by bay."""
    needs: Counts = Counter()
    freed: Counts = Counter()
    names = {compared.identity.bays.get(name, name): bay for name, bay in before.bays.items()}
    for name in sorted(names.keys() | after.bays.keys()):
        was = bay_counts(before, names[name]) if name in names else Counter()
        now = bay_counts(after, after.bays[name]) if name in after.bays else Counter()
        needs.update(now - was)
        freed.update(was - now)
    dummies = fixed_counts(before, ()), fixed_counts(after, ())
    for item in sorted(dummies[0].keys() | dummies[1].keys()):
        if item.kind == "dummy-plug":
            change = dummies[1][item] - dummies[0][item]
            (needs if change > 0 else freed)[item] += abs(change)
    return needs, freed
