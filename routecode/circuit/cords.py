"""The fewest cords that make paths in a state, on top of the cords of its setup.

Ways over one cord are tried, then over two, then three, in order of what they break and how awkward they are; only what a state
compiled with those cords confirms is an answer. Insides, switches and routes are used as they stand. Whether a cord may bring
this signal to that input is asked of `fits`: the place for rules that veto. Says nothing; wording is done above.
"""

from collections.abc import Iterator, Sequence

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.circuit.corded import Corded, Ends, Fits
from routecode.circuit.crossings import Crossings, Way
from routecode.circuit.fronts import Fronts
from routecode.circuit.plant import Plant
from routecode.circuit.reach import Reach, spread_out

MOST_CORDS = 3
"""Cords for one path; with more nothing is looked for."""
MOST_TRIES = 40
"""Ways that are compiled for one path and one number of cords, and sets of ways for several paths."""
MOST_COMPILED = 2_000
"""States that are compiled for all questions together."""
FEW = 3
"""Up to so many paths at once are weighed against each other for what they cost; of more the first ways that go together are taken."""
ENOUGH = 8
"""Ways that are confirmed for one path before the best of them is taken."""


@frozen
class Outcome:
    """What was found; own numbers of the plant. `cords`: (front that gives the signal, front that takes it), path by path.

    `cords` None: nothing was found; with up to `searched` cords for each path there surely is nothing (0: it was not looked for to the
    end). `loses`: present paths (source, destination) that the cords cost; `link_plugs`: jacks whose link plug comes out first.
    """

    cords: tuple[Ends, ...] | None
    searched: int
    loses: tuple[Ends, ...] = ()
    link_plugs: tuple[int, ...] = ()


def any_signal(plant: Plant, driver: int, hearer: int) -> bool:
    """No veto; families are judged by the search itself."""
    del plant, driver, hearer
    return True


class Cords:
    """Asks for cords in the states of a circuit; what is worked out for one question is kept for the next."""

    def __init__(
        self,
        circuit: Circuit,
        fits: Fits = any_signal,
        most: int = MOST_CORDS,
        tries: int = MOST_TRIES,
        left: int = MOST_COMPILED,
    ) -> None:
        self.circuit = circuit
        self.fits = fits
        self.most = most
        self.tries = tries
        self.left = left
        """States that may still be compiled."""
        self._searches: dict[str | None, _Search] = {}

    def find(self, setup: str | None, pairs: Sequence[Ends], also: Sequence[Ends] = ()) -> Outcome:
        """The cords with which every source channel reaches its destination channel in a state, all of them at once.

        Each path gets the fewest it can have alone; a cord that serves several paths counts once, and no front is used twice.
        `also`: paths that these cords must make as well; none are looked for on their account.
        """
        return self._search(setup).find(pairs, also)

    def _search(self, setup: str | None) -> "_Search":
        if setup not in self._searches:
            base = self._search(None).fronts if setup is not None else None
            self._searches[setup] = _Search(self, Fronts(self.circuit.state(setup), base))
        return self._searches[setup]


@frozen
class _Options:
    """Ways that are confirmed for one path, best first; surely nothing with up to `searched` cords."""

    ways: tuple[Way, ...]
    searched: int


class _Search:
    """The search in one state."""

    def __init__(self, asked: Cords, fronts: Fronts) -> None:
        self.asked = asked
        self.fronts = fronts
        self.reach = Reach(fronts.state)
        self.crossings = Crossings(self.reach, fronts, asked.fits)

    def find(self, pairs: Sequence[Ends], also: Sequence[Ends]) -> Outcome:
        """See `Cords.find`."""
        wanted = [pair for pair in dict.fromkeys(pairs) if not self._there(pair)]
        if not wanted:
            return Outcome((), 0) if all(map(self._there, also)) else Outcome(None, 0)
        quick = self._quick(wanted, also)
        if quick is not None:
            return quick
        options = []
        for pair in wanted:
            options.append(self._options(pair))
            if not options[-1].ways:
                return Outcome(None, options[-1].searched)
        best: Outcome | None = None
        for _, cords in zip(range(self.asked.tries), _together([each.ways for each in options]), strict=False):
            outcome = self._tried(cords, (*wanted, *also))
            if outcome is not None and (best is None or _cost(outcome) < _cost(best)):
                best = outcome
            if best is not None and not best.loses:
                break
        return best or Outcome(None, 0)

    def _there(self, pair: Ends) -> bool:
        return 2 * pair[1] in spread_out((2 * pair[0] + 1,), self.reach.down)

    def _quick(self, pairs: list[Ends], also: Sequence[Ends]) -> Outcome | None:
        """The first ways of all paths, where they go together, and cost nothing or are many."""
        first = [next((ways for ways in self._levels(pair) if ways), []) for pair in pairs]
        cords = next(_together([tuple(ways) for ways in first], reach=64), None)
        outcome = self._tried(cords, (*pairs, *also)) if cords is not None else None
        return outcome if outcome is not None and (not outcome.loses or len(pairs) > FEW) else None

    def _levels(self, pair: Ends) -> Iterator[list[Way]]:
        for count in range(1, self.asked.most + 1):
            yield self.crossings.ways(pair, count)[0]

    def _options(self, pair: Ends) -> _Options:
        """The ways of fewest cords that a compiled state confirms."""
        searched, whole = 0, True
        for count in range(1, self.asked.most + 1):
            ways, all_of_them = self.crossings.ways(pair, count)
            good: list[tuple[int, Way]] = []
            for way in ways[: self.asked.tries]:
                outcome = self._tried(way.cords, [pair])
                if outcome is not None:
                    good.append((len(outcome.loses), way))
                if len(good) == ENOUGH:
                    break
            if good:
                return _Options(tuple(way for _, way in sorted(good)), searched)
            whole = whole and all_of_them and len(ways) <= self.asked.tries and self.asked.left > 0
            searched = count if whole else searched
        return _Options((), searched)

    def _tried(self, cords: Sequence[Ends], pairs: Sequence[Ends]) -> Outcome | None:
        """The cords as an answer, if a state compiled with them confirms it."""
        if not self.asked.left:
            return None
        self.asked.left -= 1
        corded = Corded(self.asked.circuit, self.reach, cords, self.asked.fits)
        if not corded.joins(pairs) or not corded.sound:
            return None
        plugs = sorted({node for cord in cords for node in cord if self.fronts.link_plug(node)})
        return Outcome(tuple(cords), 0, corded.loses, tuple(plugs))


def _together(options: Sequence[tuple[Way, ...]], reach: int | None = None) -> Iterator[tuple[Ends, ...]]:
    """One way for each path so that no front is in two cords; best first, as far as ways of single paths are.

    `reach`: how many ways are looked at before it is given up.
    """
    looked = 0
    chosen: list[tuple[Ends, ...]] = []

    def further(number: int) -> Iterator[tuple[Ends, ...]]:
        nonlocal looked
        if number == len(options):
            yield tuple(dict.fromkeys(cord for cords in chosen for cord in cords))
            return
        cords_so_far = {cord for cords in chosen for cord in cords}
        used = {node for cord in cords_so_far for node in cord}
        for way in options[number]:
            looked += 1
            if reach is not None and looked > reach * len(options):
                return
            fresh = [cord for cord in way.cords if cord not in cords_so_far]
            if not any(node in used for cord in fresh for node in cord):
                chosen.append(way.cords)
                yield from further(number + 1)
                chosen.pop()

    yield from further(0)


def _cost(outcome: Outcome) -> tuple[int, int]:
    return len(outcome.cords or ()), len(outcome.loses)
