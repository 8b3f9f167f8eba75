"""The other way round: what the after side would do if one edit were undone, all others left as they are.

The edit is found by a line of the text. The after side is put together without it (`replay`) and compared with itself: what comes back,
what goes again. An edit that cannot be taken back alone says so.
"""

from collections.abc import Iterable
from typing import NamedTuple

from routecode.change.besides import besides
from routecode.change.cause import Edit
from routecode.change.changes import Change
from routecode.change.delta import StateDelta
from routecode.change.difference import Compared
from routecode.change.fact import Fact
from routecode.change.matched import AFTER, BEFORE
from routecode.change.replay import mixture
from routecode.ground.place import At


class Undone(NamedTuple):
    """One state with an edit undone: how it then differs from the after side, in raw sets and in sentences."""

    setup: str | None
    delta: StateDelta
    changes: tuple[Change, ...]
    names: Compared
    """Gives the names of the numbers in the raw sets."""


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
        without = mixture(compared.matched, compared.facts, AFTER, {id(fact) for fact in facts}, state)
        if whole is None or without is None:
            return None
        after = Compared(whole.circuit, without.circuit, guessing=False)
        delta = next((each for each in after.states if each.setup == state), None)
        if delta is None:
            return None
        found.append(Undone(state, delta, after.changes[state], after))
    return found


def _states(compared: Compared, facts: list[Fact]) -> list[str | None]:
    """Unpatched, if any of the facts is fixed wiring; the setups that the others are of."""
    both = {delta.setup for delta in compared.states if delta.presence == "both"}
    wanted = {fact.setup for fact in facts} & both
    return sorted(wanted, key=lambda setup: (setup is not None, setup or ""))
