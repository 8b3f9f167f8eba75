"""Needs of setups that stand otherwise than before: those that now fail come first of all that a diff says."""

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

Key = tuple[tuple[int, ...], bool, bool]


class NeedChange(NamedTuple):
    """A need whose verdict differs. `before` None: it is new; `after` None: it is not asked for any more."""

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


def needs_of(delta: StateDelta) -> list[NeedChange]:
    """The needs of one setup that fail now, or are met again."""
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
        if old.get(key) != met and (met is False or key in old)
    ]
    return sorted(found, key=lambda need: need.steps)


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
    groups: dict[object, list[NeedChange]] = defaultdict(list)
    for need in needs:
        stems = tuple(words.channel(step)[:2] for step in (need.steps[0], need.steps[-1]))
        groups[need.setup, need.never, need.only, need.before, need.after, stems].append(need)
    texts = []
    for group in groups.values():
        group.sort(key=lambda need: natural(words.channel(need.steps[0]).text))
        texts.append(_sentence(group, words))
    return texts


def _sentence(group: list[NeedChange], words: Words) -> str:
    first = group[0]
    starts = in_order(list(dict.fromkeys(words.channel(need.steps[0]) for need in group)))
    stops = in_order(list(dict.fromkeys(words.channel(need.steps[-1]) for need in group)))
    start, stop = (
        ", ".join(names[:3]) + (f" and {len(names) - 3} more" if len(names) > 3 else "") for names in (starts, stops)
    )
    must = "must not reach" if first.never else "alone must reach" if first.only else "must reach"
    more = len({need.steps[0] for need in group}) > 1
    if first.after:
        verdict = "That need is met again." if first.before is False else "That need is met."
    elif first.never:
        verdict = "They do now." if more else "It does now."
    elif first.before is None:
        verdict = "That need is new, and it is not met."
    else:
        verdict = "They no longer do." if more else "It no longer does."
    return f"{words.setup(first.setup)}: {start} {must} {stop}. {verdict}"
