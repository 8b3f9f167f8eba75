"""The mistakes that decoding a table can find, in words. Finds none itself."""

from collections.abc import Collection, Iterable, Iterator, Sequence
from heapq import nsmallest
from typing import Any

from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean, nearest
from routecode.ground.place import At
from routecode.language.plan import KEYED_CLASSES, SINGLE_CLASSES, Plan, holders, plan_of
from routecode.language.subjects import header, subject
from routecode.language.values import Fault

Table = dict[str, Any]


def told_faults(faults: Iterable[Fault], at: At, table: Table, name: str) -> Iterator[Mistake]:
    """What is wrong with the value of key `name` of the table at `at`."""
    for fault in faults:
        steps = fault.steps
        item = f"Item {int(steps[0]) + 1} of `{name}`" if steps else f"`{name}`"
        text = f"{item} in {subject(at, table)} {fault.says}."
        yield Mistake(fault.id, text, At(at.file, (*at.path, name, *steps)), do=fault.do)


MOST_LOOKED = 1_000_000
"""Names that are compared with mistyped ones before a studio's further mistakes go without a guess of what was meant."""

MOST_GUESSED = 1_000
"""Mistakes before a studio's further ones go without a guess of what was meant: nobody reads so many."""


def unknown_key(plan: Plan, at: At, table: Table, name: str, *, guess: bool = True) -> Mistake:
    """A key that the table does not take: told with the table it belongs to, or with the nearest of its own keys."""
    here = subject(at, table)
    place = At(at.file, (*at.path, name))
    shown = name[:80]
    near = nearest(name, plan.names) if guess else None
    top = str(at.path[0])
    holder = At(at.file, at.path[: 1 if top in SINGLE_CLASSES else 2])
    if len(at.path) > 2 and name in plan_of(SINGLE_CLASSES.get(top) or KEYED_CLASSES[top]).declared:
        text = f"`{shown}` is a key of {header(holder)}; here it belongs to {here}."
        do = f"Move it up, below {header(holder)} and above its first {header(at)}."
        why = "A line belongs to the last header above it."
        return Mistake("unknown-key", text, place, why, do)
    places = holders().get(name)
    if places and not (near and places == ("[allowed]",)):  # its keys are the plurals of others
        text = f"`{shown}` is a key of {either(places)}; here it belongs to {here}."
        do = f"Did you mean `{near}`?" if near else "Move it below the header of the table it is meant for."
        return Mistake("unknown-key", text, place, "A line belongs to the last header above it.", do)
    do = f"Did you mean `{near}`?" if near else f"It takes {', '.join(plan.names)}."
    return Mistake("unknown-key", f"There is no key `{shown}` in {here}.", place, do=do)


def missing_key(plan: Plan, at: At, table: Table, name: str) -> Mistake:
    """A key that the table must have."""
    declared = plan.declared[name]
    do = f"Add a line such as: {declared.example}" if declared.example else f"Add it: {declared.doc}"
    return Mistake("missing-key", f"`{name}` is missing in {subject(at, table)}.", at, do=do)


def key_twice(at: At, table: Table, name: str, first: At) -> Mistake:
    """A key of one table given in two files; `first` is the table in the first of them."""
    text = f"`{name}` of {subject(at, table)} is given twice: in {first.file} and in {at.file}."
    also = (("given first here", At(first.file, (*first.path, name))),)
    return Mistake("key-twice", text, At(at.file, (*at.path, name)), do="Keep one of the two.", also=also)


def unknown_name(what: str, name: str, place: At, choices: Collection[str], before: int) -> Mistake:
    """A name of something (`rack`) that is not in the studio; `before`: how many such were told before it."""
    do = "Correct the name, or add a table for it."
    if choices and before * len(choices) < MOST_LOOKED:
        do = did_you_mean(name, choices) or f"There are: {', '.join(nsmallest(8, choices))}."
    return Mistake("unknown-name", f"There is no {what} `{name[:80]}`.", place, do=do)


def either(places: Sequence[str]) -> str:
    """Headers joined in words; where there are more than three, two of them."""
    shown = [*places[:2], "other tables"] if len(places) > 3 else list(places)
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"
