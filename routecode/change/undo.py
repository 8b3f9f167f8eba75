"""The other way round: what the after side would do if one edit were undone, all others left as they are.

The edit is found by a line of the text. The after side is put together without it (`replay`) and compared with itself: what comes back,
what goes again. An edit that cannot be taken back alone says so.
"""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from routecode.change.besides import besides
from routecode.change.cause import Edit
from routecode.change.changes import Change
from routecode.change.delta import BOTH, StateDelta
from routecode.change.difference import Compared
from routecode.change.fact import Fact
from routecode.change.matched import AFTER, BEFORE
from routecode.change.replay import Mixture, mixture
from routecode.ground.place import At

MOST_OTHERS = 50
"""Other edits that are tried together with one that cannot be undone alone."""


class Undone(NamedTuple):
    """One state with an edit undone: how it then differs from the after side, in raw sets and in sentences."""

    setup: str | None
    delta: StateDelta
    changes: tuple[Change, ...]
    names: Compared
    """Gives the names of the numbers in the raw sets."""


class Meant(NamedTuple):
    """What is to be undone: edits, or a setup (`whole`) that only one side has; in words, and with the places in the text."""

    edits: tuple[Edit, ...]
    said: tuple[str, ...]
    places: tuple[tuple[str, At], ...]
    whole: str | None = None


def meant(compared: Compared, edits: Iterable[Edit]) -> Meant:
    """Some edits as what is to be undone."""
    chosen = tuple(edits)
    said = tuple(described(chosen, compared))
    return Meant(chosen, said, tuple(dict.fromkeys(place for edit in chosen for place in places(edit))))


def setups(compared: Compared) -> list[tuple[Change, Meant]]:
    """The setups that only one side has, each with its change, as what is to be undone."""
    found = []
    for delta in compared.states:
        if delta.presence != BOTH and delta.setup is not None:
            (change,) = compared.changes[delta.setup]
            found.append((change, Meant((), (change.sentence,), change.cause, delta.setup)))
    return found


def setup_undone(compared: Compared, setup: str) -> Undone:
    """A setup that only one side has, taken out again or put back: the same difference read backwards, in that state."""
    back = Compared(compared.after, compared.before, guessing=compared.guessing)
    names = compared.identity.setups
    delta = next(each for each in back.states if each.setup in (setup, names.get(setup, setup)))
    return Undone(delta.setup, delta, back.changes[delta.setup], back)


def places(edit: Edit) -> list[tuple[str, At]]:
    """(side, place) of every statement of an edit, each once."""
    found = [(side, at) for fact in edit.facts for side, at in ((AFTER, fact.after_at), (BEFORE, fact.before_at)) if at]
    return list(dict.fromkeys(found))


def described(edits: Iterable[Edit], compared: Compared) -> list[str]:
    """What edits are, a line for each kind of thing."""
    return besides((fact for edit in edits for fact in edit.facts), compared.words, every=True)


def undone(compared: Compared, edits: Iterable[Edit], setup: str | None, *, one: bool) -> list[Undone] | None:
    """The states in which the edits hold, each with them undone; with `one` the state `setup`. None where they cannot be undone alone."""
    facts = [fact for edit in edits for fact in edit.facts]
    found = []
    for state in [setup] if one else _states(compared, facts):
        whole = mixture(compared.matched, compared.facts, AFTER, (), state)
        without = _without(compared, facts, state)
        if whole is None or without is None:
            return None
        after = Compared(whole.circuit, without.circuit, guessing=False)
        delta = next((each for each in after.states if each.setup == state), None)
        if delta is None:
            return None
        found.append(Undone(state, delta, after.changes[state], after))
    return found


def together(compared: Compared, edits: Sequence[Edit]) -> list[Edit]:
    """For edits that cannot be undone alone: the first other edit with which they can be; nothing where no single one helps."""
    numbers = {edit.number for edit in edits}
    others = [edit for edit in compared.causes.edits if edit.number not in numbers]
    for other in others[:MOST_OTHERS]:
        facts = [fact for edit in (*edits, other) for fact in edit.facts]
        if all(_without(compared, facts, state) is not None for state in _states(compared, facts)):
            return [other]
    return []


def _without(compared: Compared, facts: Iterable[Fact], state: str | None) -> Mixture | None:
    return mixture(compared.matched, compared.facts, AFTER, {id(fact) for fact in facts}, state)


def _states(compared: Compared, facts: list[Fact]) -> list[str | None]:
    """Of the states that both sides have: all where any of the facts is fixed wiring, else the setups that they are of."""
    both = [delta.setup for delta in compared.states if delta.presence == BOTH]
    wanted = {fact.setup for fact in facts}
    return both if None in wanted else [setup for setup in both if setup in wanted]
