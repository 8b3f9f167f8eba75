"""Which test comes after which of the steps that bring a studio back: without power first, a generator before phantom power, loudspeakers last.

Knows the sorts of steps and tests, not their words.
"""

from collections.abc import Sequence
from typing import NamedTuple

from routecode.hands.job_steps import LOUD, PHANTOM_ON, POWER_OFF, POWER_ON, Step
from routecode.hands.tests import CONTINUITY, KINDS, PHANTOM, SIGNAL, Test

MOST_TESTS = 400
"""Tests that are printed; more are in the document and in the file of results."""


class Tried(NamedTuple):
    """Tests that are done alike and must come out alike: one number of the sheet, with a box each."""

    number: int
    tests: tuple[Test, ...]


def between(steps: Sequence[Step], tests: Sequence[Test]) -> list[tuple[int, tuple[Test, ...]]]:
    """The tests in the order in which they are done, those alike together, each with the number of steps that come before it."""
    found: dict[object, list[Test]] = {}
    for test in tests:
        after = _after(steps, test)
        alike = (test.kind, test.ask, test.expect, tuple(name.partition("/")[0] for name in test.at))
        found.setdefault((after, alike), []).append(test)
    groups = [(_after(steps, group[0]), tuple(group)) for group in found.values()]
    return sorted(groups, key=lambda one: (one[0], KINDS.index(one[1][0].kind)))


def _after(steps: Sequence[Step], test: Test) -> int:
    """How many of the steps come before a test."""
    if test.kind == CONTINUITY:
        return next((index for index, step in enumerate(steps) if step.kind != POWER_OFF), len(steps))
    hot = next((index for index, step in enumerate(steps) if step.kind == PHANTOM_ON), None)
    if test.kind == PHANTOM and hot is not None:
        return hot + 1
    quiet = next((index for index, step in enumerate(steps) if step.kind in (PHANTOM_ON, LOUD)), len(steps))
    ends = test.at if test.kind == SIGNAL else test.at[:1]
    units = {name.partition("/")[0] for name in ends}
    on = [
        index + 1
        for index, step in enumerate(steps)
        if step.kind in (POWER_ON, LOUD) and not units.isdisjoint(step.units)
    ]
    return max(quiet, *on, 0)
