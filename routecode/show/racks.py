"""What is still to be done to the racks: how far the wiring as it is written is from what was marked as built, in one sentence."""

from routecode.change.difference import IDENTICAL, TEXT_ONLY, Difference
from routecode.show.spoken import counted, joined


def still_to_do(difference: Difference, tag: str) -> str:
    """The sentence for a difference with the marked revision; empty where nothing is to be done."""
    fixed = [fact for fact in difference.facts if fact.kind in ("cable", "normal", "mult")]
    cables = {joint for line in difference.cables for joint in line.joints}
    cables |= {fact.key for fact in fixed if fact.kind == "cable"}  # also those that moved with their column
    jacks = {node for fact in fixed for node in fact.nodes if difference.matched.is_jack(node)}
    units = {unit for line in difference.things for unit in line.units}
    cords = [fact for fact in difference.facts if fact.kind == "cord"]
    counts = ((cables, "cable"), (jacks, "jack"), (cords, "cord"), (units, "unit or bay"))
    told = [_counted(len(found), word) for found, word in counts if found]
    if told:
        verb = "differs" if len(told) == 1 and told[0].startswith("1 ") else "differ"
        return f"Not in the racks yet: since {tag}, {joined(told)} {verb}."
    if difference.result in (IDENTICAL, TEXT_ONLY):
        return ""
    return f"Not in the racks yet: since {tag}, plugs, switches, routes or insides differ."


def _counted(count: int, word: str) -> str:
    first, _, rest = word.partition(" or ")
    return f"{counted(count, first)} or {rest}{'s' if count > 1 else ''}" if rest else counted(count, word)
