"""Needs of setups that stand otherwise than before, or that only one side asks for: those that now fail come first of all a diff says."""

from collections import defaultdict
from typing import NamedTuple

from routecode.change.delta import REMOVED, StateDelta
from routecode.change.view import View
from routecode.change.words import Words, in_order
from routecode.circuit.plant import PlacedNeed
from routecode.ground.order import natural
from routecode.ground.place import At
from routecode.rules.needing import standings
from routecode.rules.rule import Scene

_MOST = 6
"""Inputs of a way that are told."""

Key = tuple[tuple[int, ...], bool, bool]


class NeedChange(NamedTuple):
    """A need whose verdict differs, or that only one side asks for.

    `before`, `after`: whether it is met. `before` None: it is new; `after` None: it is not asked for any more, and `place` is where it
    stood.
    """

    setup: str
    steps: tuple[int, ...]
    never: bool
    only: bool
    before: bool | None
    after: bool | None
    place: At

    @property
    def fails(self) -> bool:
        """Whether it fails now and did not before."""
        return self.after is False and self.before is not False

    @property
    def mended(self) -> bool:
        """Whether it failed before and is met now."""
        return self.before is False and self.after is True

    @property
    def gone(self) -> bool:
        """Whether it is not asked for any more."""
        return self.after is None

    @property
    def one_sided(self) -> bool:
        """Whether only one side asks for it."""
        return (self.before is None) != (self.after is None)


def needs_of(delta: StateDelta) -> list[NeedChange]:
    """The needs of one setup that fail now, or are met again; where both sides have the setup those, too, that only one side asks for."""
    if delta.setup is None or delta.presence == REMOVED or delta.after is None:
        return []
    after = _needs(delta.after)
    before = _needs(delta.before) if delta.before is not None else {}
    if delta.before is not None and delta.empty and not delta.touched and before.keys() == after.keys():
        return []
    old, new = _verdicts(delta.before, before), _verdicts(delta.after, after)
    found = [
        NeedChange(delta.setup, *key, old.get(key), met, after[key].written.where("path"))
        for key, met in new.items()
        if old.get(key) != met and (met is False or key in old or delta.before is not None)
    ]
    found += [
        NeedChange(delta.setup, *key, met, None, before[key].written.where("path"))
        for key, met in old.items()
        if key not in new
    ]
    return sorted(found, key=lambda need: (need.steps, need.never, need.only))


def _needs(view: View) -> dict[Key, PlacedNeed]:
    placed = view.state.placed
    shared = view.matched.shared_channel
    needs = placed.needs if placed is not None else ()
    return {
        (tuple(shared(view.side, step) for step in need.steps), need.written.never, need.written.only): need
        for need in needs
    }


def _verdicts(view: View | None, needs: dict[Key, PlacedNeed]) -> dict[Key, bool]:
    if view is None or not needs:
        return {}
    shared = view.matched.shared_channel
    met: dict[Key, bool] = {}
    for standing in standings(Scene(view.circuit, view.setup)):
        need = standing.need
        key = (tuple(shared(view.side, step) for step in need.steps), need.written.never, need.written.only)
        met[key] = not standing.exists if need.written.never else standing.exists and not standing.others
    return met


def need_sentences(needs: list[NeedChange], words: Words) -> list[str]:
    """The needs in words, neighbouring ones together."""
    return [text for text, _ in told_needs(needs, words)]


def told_needs(needs: list[NeedChange], words: Words) -> list[tuple[str, list[NeedChange]]]:
    """The same, each sentence with the needs it is of."""
    groups: dict[object, list[NeedChange]] = defaultdict(list)
    for need in needs:
        stems = tuple(words.channel(step)[:2] for step in (need.steps[0], need.steps[-1]))
        groups[need.setup, need.never, need.only, need.before, need.after, stems, _through(need, words)].append(need)
    told = []
    for group in groups.values():
        group.sort(key=lambda need: [natural(words.channel(need.steps[at]).text) for at in (0, -1)])
        told += [(_sentence(part, words), part) for part in _in_step(group)]
    return told


def _through(need: NeedChange, words: Words) -> tuple[str, ...]:
    """Titles of the units that the need names between its ends."""
    units = (words.matched.channel_name(step).partition("/")[0] for step in need.steps[1:-1])
    return tuple(dict.fromkeys(map(words.unit, units)))


def _in_step(group: list[NeedChange]) -> list[list[NeedChange]]:
    """The needs whole, where both ends can be said as two lists in step, or one of them once; else one by one."""
    for column in ([need.steps[0] for need in group], [need.steps[-1] for need in group]):
        if len(set(column)) not in (1, len(group)):
            return [[need] for need in group]
    return [group]


def _sentence(group: list[NeedChange], words: Words) -> str:
    first = group[0]
    columns = [list(dict.fromkeys(words.channel(need.steps[at]) for need in group)) for at in (0, -1)]
    start, stop = (words.shortened(in_order(labels), len(labels), "place", 1) for labels in columns)
    plural = len(columns[0]) > 1
    setup = words.setup(first.setup)
    if first.gone or (first.before is None and first.after):
        return f"{setup} {_asks(first, plural, start)} {stop}.{_way(group, words)}{_was(first, plural)}"
    units = _through(first, words)
    way = f" through {words.shortened(units, len(units), 'unit')}" if units else ""
    must = "must not reach" if first.never else "alone must reach" if first.only else "must reach"
    return f"{setup}: {start} {must} {stop}{way}. {_verdict(first, plural, len(group) > 1)}"


def _asks(need: NeedChange, plural: bool, start: str) -> str:
    """What a setup asks for now, or no longer; as a whole sentence, since the title of a commit is made of the first one."""
    asks, reach = "forbid" if need.never else "ask", "reach" if plural else "reaches"
    asked = f"no longer {asks}s" if need.gone else f"now {asks}s"
    return f"{asked} that {start}{' alone' if need.only else ''} {reach}"


def _way(group: list[NeedChange], words: Words) -> str:
    """What is asked for between the ends: of one need input by input, since an old and a new one may differ in no more than that."""
    first = group[0]
    between = [words.channel(step).text for step in first.steps[1:-1]] if len(group) == 1 else _through(first, words)
    more = f" > {len(between) - _MOST} more" if len(between) > _MOST else ""
    return f" Way: {' > '.join(between[:_MOST])}{more}." if between else ""


def _was(need: NeedChange, plural: bool) -> str:
    """How a need stood that went without having been met: taking it away hides that."""
    if not need.gone or need.before:
        return ""
    they = "They" if plural else "It"
    return f" {they} did." if need.never else f" {they} did not, or not alone." if need.only else f" {they} did not."


def _verdict(need: NeedChange, plural: bool, several: bool) -> str:
    """How needs stand now; `plural`: more than one thing must reach; `several`: more than one need."""
    they = "Those needs are" if several else "That need is"
    if need.after:
        return f"{they} met again."
    if need.before is None:
        return f"{they} new and not met."
    if need.never:
        return "They do now." if plural else "It does now."
    return "They no longer do." if plural else "It no longer does."
