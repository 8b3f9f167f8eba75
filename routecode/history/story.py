"""The story of one place: when it came to be, each way its signals took since, what changed it, when it went; and since when
something about it does not work.

Told going back from now, so that the place is followed by what it was called then. Pure over the revisions of a `Line`; which line
of text is shown how is for `show`.
"""

from collections.abc import Callable, Iterable, Mapping
from functools import cached_property

from attrs import define, field, frozen

from routecode.change.matched import AFTER, BEFORE
from routecode.circuit.circuit import Circuit
from routecode.circuit.plant import Plant
from routecode.ground.finding import Mistake
from routecode.history.story_change import Ends, Turned, connected, notes, rewired, shared_nodes, turned
from routecode.history.story_fails import GONE, KINDS, PATH, Fails, Since
from routecode.history.story_found import Unknown, followed_forward, found_place, mentions, plant_of
from routecode.history.story_line import Line
from routecode.history.story_place import Place, Step, stands, wired
from routecode.history.story_stated import new_line, old_line, own_line, thing_place, title_of
from routecode.history.story_still import Region, region_of, untouched
from routecode.history.story_today import with_today
from routecode.history.story_told import Mark, at_nodes
from routecode.history.story_ways import Ways, titles_of, ways
from routecode.studio.opened import Opened

APPEARED, CHANGED, WENT, BROKEN = "appeared", "changed", "gone", "broken"
MOMENTS = (APPEARED, CHANGED, WENT, BROKEN)


@frozen
class Moment:
    """One revision in which something of the place changed. `at` is its number in the line; names as they read after.

    `before`: the revision it is compared with (None: there is none). `was`, `how`: what the place was called before, where it
    was called otherwise. `uncabled`, `cabled`: cables at it that are gone and new. `until`: of revisions that do not compile
    the oldest of the run.
    """

    kind: str
    at: int
    place: Place
    before: int | None = None
    was: Place | None = None
    how: str = ""
    states: tuple[Turned, ...] = ()
    uncabled: tuple[Ends, ...] = ()
    cabled: tuple[Ends, ...] = ()
    notes: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    mistake: Mistake | None = None
    until: int = 0
    titles: Mapping[str, str] = field(factory=dict)


@frozen
class Story:
    """The whole story. `place` and `ways` are as in the newest revision that has the place (`last`); `stands`: it is there now.

    `newest` is the newest revision that compiles; `moments` and `since` the newest first and the worst first.
    """

    asked: str
    place: Place
    title: str
    stands: bool
    newest: int
    last: int
    setup: str | None
    ways: tuple[Ways, ...]
    moments: tuple[Moment, ...]
    since: tuple[Since, ...]


def story(line: Line, asked: str, setup: str | None = None) -> Story | Unknown:
    """The story of the place that a person means. A place that is gone is found where it was last."""
    newest = line.newest()
    if newest is None:
        return Unknown(frozenset(), None)
    found = found_place(line, asked, newest)
    if isinstance(found, Unknown):
        return found
    place, last, gone = followed_forward(line, *found)
    return _Telling(line, asked, setup, newest, gone).tell(place, last)


@define(slots=False)
class _Telling:
    """One telling, going back; what was found so far."""

    line: Line
    asked: str
    setup: str | None
    newest: int
    gone: int | None
    moments: list[Moment] = field(factory=list)
    since: list[Since] = field(factory=list)
    lost: list[tuple[Since, frozenset[Ends], frozenset[Ends]]] = field(factory=list)
    """What was lost and has not come back: the paths, and those that came for them, as they read now."""
    reads: list[Callable[[str], str]] = field(factory=list)
    region: tuple[tuple[Ways, ...], Region | None] | None = None
    """The ways that were asked about last, and by what they can be touched; only good while the numbers stay."""
    settled: dict[str | None, set[Ends]] = field(factory=dict)
    """By state the paths, as they read now, of which it is known how they stand now."""

    def tell(self, place: Place, last: int) -> Story:
        """The whole story of a place that is last in the revision `last`."""
        self._broken(0, self.newest, place)
        opened = self.line.opened(last)
        now = self._ways(opened, place, self.setup)
        self.settled = {each.setup: set(each.ends) for each in now}
        fails = Fails(opened, place, last, self.setup) if self.gone is None else None
        if self.gone is not None:
            self._went(Step(opened, self.line.opened(self.gone)), place, self.gone, last, now)
            marks = self.moments[-1].marks
            self.since.append(Since(GONE, None, self.gone, last, last - self.gone - 1, marks=marks))
        self._back(place, last, now, fails)
        lost = [(since, paths) for since, paths, _ in self.lost]
        both = (*((since, frozenset[Ends]()) for since in self.since), *lost)
        self.since = [with_today(self.line, self.newest, since, paths) for since, paths in both]
        self.since.sort(key=lambda one: KINDS.index(one.kind))
        return Story(
            *(self.asked, place, title_of(_plant_in(opened), place), self.gone is None),
            *(self.newest, last, self.setup),
            now,
            tuple(self.moments),
            tuple(self.since),
        )

    def _back(self, place: Place, number: int, now: tuple[Ways, ...], fails: Fails | None) -> None:
        """All that was before the revision `number`."""
        setup = self.setup
        while (older := self.line.older(number)) is not None:
            step = Step(self.line.opened(older), self.line.opened(number))
            if fails is not None:
                fails.back(step, older)
            if self._untouched(step, (older, number), place, now):
                self._broken(number + 1, older, place)
                number = older
                continue
            was = step.back(place)
            if was is not None:
                setup = step.setup_before(setup)
                then = self._ways(step.older, was, setup)
                self._compared(step, (was, place), (older, number), (then, now))
                self._broken(number + 1, older, place)
                if step.renames:
                    self.reads.append(step.difference.identity.read)
                self._restored(then)
                place, number, now = was, older, then
                continue
            self._appeared(step, place, number, now)
            self._broken(number + 1, older, place)
            if fails is not None:
                self.since += fails.end(step.older)
                fails = None
            earlier = self._earlier(place, older, setup)
            if earlier is None:
                return
            number, now = earlier
        self._first(place, number, now)
        if fails is not None:
            self.since += fails.end(self.line.opened(number))

    def _untouched(self, step: Step, numbers: tuple[int, int], place: Place, now: tuple[Ways, ...]) -> bool:
        """Whether what the newer revision changed cannot be about the place."""
        edited = self.line.edited(*numbers)
        if edited is None:
            self.region = None
            return False
        if self.region is None or self.region[0] is not now:
            self.region = now, region_of(_circuit_in(step.newer), place, now)
        return untouched(step, edited, self.region[1])

    def _earlier(self, place: Place, missing: int, setup: str | None) -> tuple[int, tuple[Ways, ...]] | None:
        """An earlier life of a place that is not in the revision `missing`: where it was last, and its ways there."""
        for number in range(missing + 1, len(self.line)):
            if not mentions(self.line, number, place.name):
                continue
            plant = plant_of(self.line, number)
            if plant is None or not stands(plant, place):
                continue
            newer = self.line.newer(number)
            assert newer is not None
            step = Step(self.line.opened(number), self.line.opened(newer))
            if step.forward(place) is not None:
                return None  # what had the name then is called otherwise since: another thing
            now = self._ways(step.older, place, setup)
            self._went(step, place, newer, number, now)
            return number, now
        return None

    def _ways(self, opened: Opened, place: Place, setup: str | None) -> tuple[Ways, ...]:
        """What goes through the place unpatched, and in the setup where one is asked about."""
        circuit = _circuit_in(opened)
        states = (None,) if self.setup is None else (None, setup)
        return tuple(ways(circuit, state, place) for state in states)

    # -- moments --------------------------------------------------------------------------------------------------------

    def _compared(
        self,
        step: Step,
        places: tuple[Place, Place],
        numbers: tuple[int, int],
        both: tuple[tuple[Ways, ...], tuple[Ways, ...]],
    ) -> None:
        """Two neighbouring revisions that both have the place; older ones first in each pair."""
        (was, place), (older, number), (then, now) = places, numbers, both
        states = tuple(each for a, b in zip(then, now, strict=True) if (each := turned(step, a, b)) is not None)
        gone, new = rewired(step, was, place)
        more = notes(step, was, place)
        if was == place and not (states or gone or new or more):
            return
        marks = _joined(each.marks for each in states)
        if not marks and (gone or new):
            nodes = shared_nodes(step, BEFORE, was) | shared_nodes(step, AFTER, place)
            marks = at_nodes(step, nodes, None)
        if not marks:
            marks = new_line(step, place)
        self.moments.append(
            Moment(
                *(CHANGED, number, place, older),
                was=was if was != place else None,
                how=step.how(was, place) if was != place else "",
                states=states,
                uncabled=tuple(sorted(gone)),
                cabled=tuple(sorted(new)),
                notes=more,
                marks=marks,
                titles=_titles(step, gone | new),
            )
        )
        self._settle(states, older, number)

    def _appeared(self, step: Step, place: Place, number: int, now: tuple[Ways, ...]) -> None:
        """The older revision of the step has not got the place."""
        states = tuple(each for b in now if (each := turned(step, Ways(b.setup), b)) is not None)
        marks = _joined((new_line(step, place), *(each.marks for each in states)))
        new = tuple(sorted(wired(step.after, place)))
        titles = titles_of(step.after, {name for ends in new for name in ends})
        self.moments.append(
            Moment(
                *(APPEARED, number, place, self.line.older(number)),
                states=states,
                cabled=new,
                marks=marks,
                titles=titles,
            )
        )

    def _first(self, place: Place, number: int, now: tuple[Ways, ...]) -> None:
        """The oldest revision that compiles has the place already."""
        opened = self.line.opened(number)
        plant = _plant_in(opened)
        states = tuple(Turned(each.setup, Ways(each.setup), each, gained=tuple(sorted(each.ends))) for each in now)
        new = tuple(sorted(wired(plant, place)))
        titles = titles_of(plant, {name for ends in new for name in ends})
        marks = own_line(opened, thing_place(plant, place))
        self.moments.append(
            Moment(APPEARED, number, place, states=states, cabled=new, marks=marks, titles=titles),
        )
        self._broken(number + 1, len(self.line), place)

    def _went(self, step: Step, place: Place, number: int, last: int, was: tuple[Ways, ...]) -> None:
        """The newer revision of the step, `number`, has not got the place any more; `last` is the older one."""
        states = tuple(each for a in was if (each := turned(step, a, Ways(a.setup))) is not None)
        marks = _joined((old_line(step, place), *(each.marks for each in states)))
        gone = wired(step.before, place)
        titles = titles_of(step.before, {name for ends in gone for name in ends})
        self.moments.append(
            Moment(
                *(WENT, number, place, last),
                states=states,
                uncabled=tuple(sorted(gone)),
                marks=marks,
                titles=titles,
            )
        )
        self._broken(number + 1, last, place)

    def _broken(self, start: int, stop: int, place: Place) -> None:
        """Revisions that do not compile, from `start` to before `stop`."""
        if start < stop:
            first = self.line.opened(start).mistakes[0]
            marks = own_line(self.line.opened(start), first.place)
            self.moments.append(Moment(BROKEN, start, place, marks=marks, mistake=first, until=stop - 1))

    # -- what does not work ---------------------------------------------------------------------------------------------

    def _settle(self, states: tuple[Turned, ...], older: int, number: int) -> None:
        """Paths that were lost here and have not come back since, on whatever way."""
        if self.gone is not None:
            return
        told: set[Ends] = set()
        for asked, each in zip((None, self.setup), _by_state(states), strict=False):
            if each is None:
                continue
            fresh = [ends for ends in each.lost if self._is_lost(ends, asked, each)]
            paths = tuple(ends for ends in fresh if ends not in told)
            told.update(paths)
            if paths:
                titles = {**each.after.titles, **each.before.titles}
                came = [ends for ends in each.gained if _came_for(ends, paths, each)]
                instead = tuple(ends for ends in came if self._stands(ends, asked))
                since = Since(
                    *(PATH, asked, number, older, older - number - 1, paths, instead),
                    sentences=each.sentences,
                    marks=each.marks,
                    titles=titles,
                )
                own, new = (frozenset(map(self._ends_now, some)) for some in (paths, came))
                self.lost.append((since, own, new))

    def _is_lost(self, ends: Ends, setup: str | None, each: Turned) -> bool:
        now = self._ends_now(ends)
        known = self.settled.setdefault(setup, set())
        if now in known:
            return False
        known.add(now)
        return ends not in each.still and not connected(self._circuit_now, setup, now)

    def _stands(self, ends: Ends, setup: str | None) -> bool:
        return connected(self._circuit_now, setup, self._ends_now(ends))

    def _restored(self, then: tuple[Ways, ...]) -> None:
        """Take back what was told of paths that only stood in for others: where they went, those that were there before came back."""
        kept = []
        for since, paths, came in self.lost:
            state = then[0] if since.setup is None else then[-1]
            there = set(map(self._ends_now, state.ends)) if came else set()
            if not (came and there >= came and there.isdisjoint(paths)):
                kept.append((since, paths, came))
        self.lost = kept

    def _ends_now(self, ends: Ends) -> Ends:
        return self._now(ends[0]), self._now(ends[1])

    def _now(self, name: str) -> str:
        """A name of the revision reached as it reads now."""
        for read in reversed(self.reads):
            name = read(name)
        return name

    @cached_property
    def _circuit_now(self) -> Circuit:
        return _circuit_in(self.line.opened(self.newest))


def _came_for(ends: Ends, lost: Iterable[Ends], each: Turned) -> bool:
    """Whether a path came in the place of lost ones; a piece of a way that was there before has not come."""
    alike = any(ends[0] == source or ends[1] == target for source, target in lost)
    return alike and not each.before.way(*ends)


def _by_state(states: tuple[Turned, ...]) -> tuple[Turned | None, Turned | None]:
    """What turned unpatched, and in the setup."""
    none = next((each for each in states if each.setup is None), None)
    return none, next((each for each in states if each.setup is not None), None)


def _joined(marks: Iterable[tuple[Mark, ...]]) -> tuple[Mark, ...]:
    """Lines of text, each once."""
    found = {(mark.side, mark.spot.file, mark.spot.line): mark for several in marks for mark in several}
    return tuple(found.values())


def _titles(step: Step, pairs: Iterable[Ends]) -> dict[str, str]:
    names = {name for ends in pairs for name in ends}
    return {**titles_of(step.before, names), **titles_of(step.after, names)}


def _circuit_in(opened: Opened) -> Circuit:
    circuit = opened.circuit
    assert circuit is not None
    return circuit


def _plant_in(opened: Opened) -> Plant:
    return _circuit_in(opened).plant
