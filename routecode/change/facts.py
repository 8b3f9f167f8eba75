"""What the circuit of each side is made of, as keyed facts: the facts that differ. The door to `joints`, `gear` and `settings`.

A fact is one cable, normal, mult, cord, plug, inside, port, unit, bay, switch or route. Two sides without differing facts
have the same feeds and paths in every state. What people write for themselves (titles, numbers, notes) is no fact.
"""

from routecode.change.fact import Fact
from routecode.change.gear import bays, equipment
from routecode.change.joints import cables, normals
from routecode.change.matched import Matched
from routecode.change.settings import routes, settings


def differing(matched: Matched) -> list[Fact]:
    """All facts that differ, fixed wiring first, then setup by setup (of those that both sides have)."""
    facts = [*cables(matched), *normals(matched), *equipment(matched), *bays(matched), *routes(matched)]
    before, after = matched.before.setups, matched.after.setups
    for name, old in before.items():
        setup = matched.identity.setups.get(name, name)
        new = after.get(setup)
        if new is not None:
            facts += settings(matched, old, new)
    return facts
