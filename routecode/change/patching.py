"""Whether cords could do what the soldering does: for paths that a change lost (on the after side) or gained (on the before side).

Asked state by state, of paths that are told as changes; how many are asked is bounded, and what was not asked is counted. What a
cord may join here: equal kinds of signal, so that no microphone is proposed into a line input. Levels and phantom power are not
judged.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

from attrs import evolve, field, frozen

from routecode.change.changes import Change
from routecode.change.delta import BOTH, Pair, StateDelta
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.sentence import LONGEST
from routecode.change.view import View
from routecode.change.words import Label, Words, in_order, many, several
from routecode.circuit.circuit import Circuit
from routecode.circuit.cords import Cords, Outcome
from routecode.circuit.plant import Plant
from routecode.ground.order import natural

MOST_CORDS = 2
"""Cords for one path."""
MOST_TRIES = 6
"""Ways that are compiled for one path and one number of cords."""
MOST_COMPILED = 40
"""Ways that are compiled on each side, over all states."""
MOST_TOGETHER = 16
"""Paths of one change that are asked about, all at once; a change of more is not asked about."""
MOST_ASKED = 96
"""Paths that are asked about in one difference, over all states."""
ASKED = ("exchanged", "redirected", "split", "lost", "gained")
"""Kinds of change whose paths somebody may want; nobody wants feedback back."""
CAUTION = (
    "Before a cord goes in: mute what it feeds. Phantom power off, and wait a minute, where a contact shorts on insertion. "
    "House rules and local codes come first."
)

Ends = tuple[int, int]


@frozen
class Patched:
    """One question and its answer, in shared numbers: `paths` (source, destination) of one change, asked on `side`.

    `cords` None: none were found; surely there are none of up to `searched` for each path. `loses`: present paths they cost.
    """

    side: str
    paths: tuple[Ends, ...]
    cords: tuple[Ends, ...] | None
    searched: int
    loses: tuple[Ends, ...] = ()
    link_plugs: tuple[int, ...] = ()
    kept: bool = False
    """Whether the setup has cords of its own. They stay where they are: with them moved nothing was looked for."""


@frozen
class StatePatching:
    """What is said of one state that both sides have. `gains`, `loses`: paths told as changes; `unasked`: of these, not asked about."""

    setup: str | None
    gains: int
    loses: int
    answers: tuple[Patched, ...] = field(default=())
    unasked: int = 0
    new_ends: int = 0
    """Gained paths with an end that the before side has not."""
    gone_ends: int = 0
    """Lost paths with an end that the after side has not."""


def alike(plant: Plant, driver: int, hearer: int) -> bool:
    """Whether two ports carry the same kind of signal."""
    return plant.socket(driver).signal == plant.socket(hearer).signal


class Patching:
    """Asks for cords on both sides of a difference."""

    def __init__(self, before: Circuit, after: Circuit, matched: Matched) -> None:
        self.matched = matched
        self.cords = {
            side: Cords(circuit, alike, MOST_CORDS, MOST_TRIES, MOST_COMPILED)
            for side, circuit in ((BEFORE, before), (AFTER, after))
        }
        self.left = MOST_ASKED

    def states(
        self, deltas: Iterable[StateDelta], changes: dict[str | None, tuple[Change, ...]]
    ) -> tuple[StatePatching, ...]:
        """All states that both sides have, in their order."""
        return tuple(self._state(delta, changes[delta.setup]) for delta in deltas if delta.presence == BOTH)

    def _state(self, delta: StateDelta, changes: Sequence[Change]) -> StatePatching:
        told = [change for change in changes if change.kind in ASKED]
        answers: list[Patched] = []
        unasked = 0
        apart = {BEFORE: 0, AFTER: 0}
        for change in sorted(told, key=lambda each: each.under is not None):
            for side, pairs in ((AFTER, change.lost), (BEFORE, change.gained)):
                paths = tuple((one.source, one.target) for one in pairs if self._ends_there(side, one))
                apart[side] += len(pairs) - len(paths)
                answer = self._asked(delta, side, paths, change) if paths else None
                if answer is not None:
                    answers.append(answer)
                else:
                    unasked += len(paths)
        gains, loses = (sum(len(getattr(change, which)) for change in changes) for which in ("gained", "lost"))
        return StatePatching(delta.setup, gains, loses, tuple(answers), unasked, apart[BEFORE], apart[AFTER])

    def _ends_there(self, side: str, path: Pair) -> bool:
        return min(self.matched.own_channel(side, end) for end in path[:2]) >= 0

    def _asked(self, delta: StateDelta, side: str, paths: tuple[Ends, ...], change: Change) -> Patched | None:
        """The answer for the paths of one change; None where they are too many."""
        view, other = (delta.after, delta.before) if side == AFTER else (delta.before, delta.after)
        assert view is not None
        assert other is not None
        own = [self._own(side, path) for path in paths]
        found: Outcome | None = None
        for question in _questions(paths, change, other, side):
            if len(question) > min(MOST_TOGETHER, self.left):
                continue
            asked = [self._own(side, path) for path in question]
            if min(min(path) for path in asked) < 0:
                continue
            self.left -= len(asked)
            found = self.cords[side].find(view.setup, asked, own)
            if found.cords is not None:
                break
            if not set(question) <= set(paths):
                found = evolve(found, searched=0)  # what stands for the sources may be passed by
        return None if found is None else evolve(self._answer(side, paths, found), kept=bool(view.state.cords))

    def _own(self, side: str, path: Ends) -> Ends:
        return self.matched.own_channel(side, path[0]), self.matched.own_channel(side, path[1])

    def _answer(self, side: str, paths: tuple[Ends, ...], found: Outcome) -> Patched:
        cords = None if found.cords is None else tuple(self._nodes(side, cord) for cord in found.cords)
        loses = tuple(
            (self.matched.shared_channel(side, a), self.matched.shared_channel(side, b)) for a, b in found.loses
        )
        plugs = tuple(self.matched.shared_node(side, node) for node in found.link_plugs)
        return Patched(side, paths, cords, found.searched, loses, plugs)

    def _nodes(self, side: str, cord: Ends) -> Ends:
        return self.matched.shared_node(side, cord[0]), self.matched.shared_node(side, cord[1])


def _questions(paths: tuple[Ends, ...], change: Change, other: View, side: str) -> Iterator[tuple[Ends, ...]]:
    """Paths to look for so that all `paths` are there: first a few that stand for all, then all.

    Of a trunk, the channel where all break off stands for the sources; `other` is the side that has the paths.
    """
    if len(paths) > MOST_TOGETHER:
        claims = change.claims
        breaks = [one for claim in claims for one in (claim.breaks if side == AFTER else claim.makes) if one.is_feed]
        drivers = sorted({one.edge[0] // 2 for one in breaks})
        if 0 < len(drivers) <= MOST_TOGETHER:
            ends = {driver: other.ends_below(2 * driver + 1) for driver in drivers}
            targets = sorted({target for _, target in paths})
            yield tuple((driver, target) for driver in drivers for target in targets if target in ends[driver])
    few = min(({path[at]: path for path in reversed(paths)} for at in (0, 1)), key=len)
    if len(few) < len(paths):
        yield tuple(sorted(few.values()))
    yield paths


# -- in words ------------------------------------------------------------------------------------------------------------


def patching_lines(states: Sequence[StatePatching], failing: Mapping[str | None, int], words: Words) -> list[str]:
    """What every state gains, loses and needs, then which cords would do; what is true of several states once."""
    counts: dict[str, list[StatePatching]] = {}
    answers: dict[str, list[str | None]] = {}
    for state in states:
        told = _counts(state, failing.get(state.setup, 0))
        if told:
            counts.setdefault(told, []).append(state)
        for text in dict.fromkeys(_sentence(answer, words) for answer in state.answers):
            answers.setdefault(text, []).append(state.setup)
    lines = []
    for alike in counts.values():
        names = _names([state.setup for state in alike], words, "Unpatched")
        told = _counts(alike[0], failing.get(alike[0].setup, 0), plural=len(alike) > 1)
        lines.append(f"{names}: {told}")
    usual = [state.setup for state in states]
    for text, setups in answers.items():
        lines.append(text if setups == usual else f"{text} ({_names(setups, words, 'unpatched')})")
    proposed = any(answer.cords for state in states for answer in state.answers)
    return [*lines, CAUTION] if proposed else lines


def _names(setups: Sequence[str | None], words: Words, unpatched: str) -> str:
    names = [unpatched if setup is None else words.setup(setup) for setup in setups]
    return words.shortened(names, len(names), "setup", 2)


def _counts(state: StatePatching, failing: int, *, plural: bool = False) -> str:
    """What a state gains, loses and needs; `plural`: said of several states."""
    gain, lose = ("gain", "lose") if plural else ("gains", "loses")
    parts = [f"{gain} {many(state.gains, 'path')}"] if state.gains else []
    parts += [f"{lose} {many(state.loses, 'path')}"] if state.loses else []
    said = [f"{several(parts)}."] if parts else []
    said += [f"{many(failing, 'need')} now {'fails' if failing == 1 else 'fail'}."] if failing else []
    if not said:
        return ""
    more = [f"For {many(state.unasked, 'path')} cords were not looked for."] if state.unasked else []
    if state.new_ends:
        more.append(f"{state.new_ends:,} of the gained paths {_there(state.new_ends)} where nothing is today.")
    if state.gone_ends:
        more.append(f"{state.gone_ends:,} of the lost paths {_there(state.gone_ends)} at what is gone.")
    return " ".join([*said, *more])


def _there(count: int) -> str:
    return "starts or ends" if count == 1 else "start or end"


def _sentence(answer: Patched, words: Words) -> str:
    what = _pairs(answer.paths, words.channel, "path", 1)
    today = " today" if answer.side == BEFORE else ""
    if answer.cords is None:
        if answer.searched < MOST_CORDS:
            return f"{what}: no cords were found{today}, but not every way was tried."
        kept = " The cords of the setup were left where they are." if answer.kept else ""
        return f"{what} cannot be had{today} with cords, up to {MOST_CORDS} for each path.{kept}"
    if not answer.cords:
        return f"{what}: the signal gets there{today} as part of a longer way."
    count = many(len(answer.cords), "cord")
    can = f"can be had today with {count}" if answer.side == BEFORE else f"can still be had with {count}"
    parts = [f"{what} {can}, no soldering."]
    if len(parts[0].split()) > LONGEST:
        parts = [f"{what} {can}.", "Nothing is soldered."]
    named = _pairs(answer.cords, words.node, "cord")
    parts.append(f"{'Cord' if len(answer.cords) == 1 else 'Cords'}: {named}.")
    if answer.link_plugs:
        jacks = in_order(sorted(map(words.node, answer.link_plugs), key=lambda label: natural(label.text)))
        one = len(answer.link_plugs) == 1
        shown = words.shortened(jacks, len(answer.link_plugs), "jack")
        parts.append(f"Take the link {'plug' if one else 'plugs'} out of {shown} first.")
    if answer.loses:
        lost = _pairs(answer.loses, words.channel, "path", 1)
        parts.append(f"That costs {many(len(answer.loses), 'path')}: {lost}.")
    return " ".join(parts)


def _pairs(pairs: Sequence[Ends], name: Callable[[int], Label], noun: str, more: int = 0) -> str:
    """`Hall lines 1-8 to Converter lines 1-8`: pairs in step, as many phrases as the rest of the report would use."""
    groups: dict[object, list[tuple[Label, Label]]] = defaultdict(list)
    for start, stop in pairs:
        groups[name(start)[:2], name(stop)[:2]].append((name(start), name(stop)))
    phrases: list[str] = []
    first = 0
    for group in groups.values():
        for run in _runs(sorted(group, key=lambda pair: [natural(label.text) for label in pair])):
            starts, stops = (in_order(list(dict.fromkeys(labels))) for labels in zip(*run, strict=True))
            phrases.append(f"{several(starts)} to {several(stops)}")
            first = first or len(run)
    if len(phrases) <= 2 - more:
        return several(phrases)
    return f"{phrases[0]} and {many(len(pairs) - first, f'more {noun}')}"


def _runs(group: list[tuple[Label, Label]]) -> list[list[tuple[Label, Label]]]:
    """Parts of a sorted group whose pairing two lists say rightly: one start, one stop, or both counting up by one."""
    for side in (0, 1):
        if len({pair[side] for pair in group}) == 1:
            return [group]
    runs: list[list[tuple[Label, Label]]] = []
    for pair in group:
        last = runs[-1][-1] if runs else None
        if last is not None and all(_follows(old, new) for old, new in zip(last, pair, strict=True)):
            runs[-1].append(pair)
        else:
            runs.append([pair])
    return runs


def _follows(old: Label, new: Label) -> bool:
    return old.plain and new.plain and new.number == old.number + 1
