"""Where another reading of a studio differs from the reference, in readable words."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Protocol

from .flood import Answer
from .flood import answers as reference_answers

KINDS = ("feeds", "paths", "points", "feedback", "needs")
SHOWN = 3
"""How many differences of one kind in one state are spelt out."""


class Sets(Protocol):
    """The raw sets of one state, shaped as in `flood.Answer`."""

    @property
    def feeds(self) -> Collection[Any]:
        """(from, to, jacks, polarity, either)."""

    @property
    def paths(self) -> Collection[Any]:
        """(from, to, idle)."""

    @property
    def points(self) -> Collection[Any]:
        """(jack, wired)."""

    @property
    def feedback(self) -> Collection[Any]:
        """(channels, controlled)."""

    @property
    def needs(self) -> Collection[Any]:
        """(mode, path) of the needs that fail."""


def disagreements(files: Mapping[str, str], answers: Mapping[str | None, Sets]) -> list[str]:
    """The differences between the reference and these answers, state by state; empty where they agree."""
    expected = reference_answers(files)
    found = [f"{state_name(s)}: not answered" for s in expected if s not in answers]
    found += [f"{state_name(s)}: answered, but there is no such setup" for s in answers if s not in expected]
    for setup, answer in expected.items():
        if setup in answers:
            found += differing(state_name(setup), answer, answers[setup])
    return found


def state_name(setup: str | None) -> str:
    """The state in words."""
    return "unpatched" if setup is None else f"setup {setup}"


def differing(state: str, expected: Answer, given: Sets) -> list[str]:
    """The differences in one state."""
    found: list[str] = []
    for kind in KINDS:
        right, other = set(getattr(expected, kind)), set(getattr(given, kind))
        if len(getattr(given, kind)) != len(other):
            found.append(f"{state}: {kind} are given more than once")
        found += listed(f"{state}: {kind} missing", right - other)
        found += listed(f"{state}: {kind} that should not be there", other - right)
    return found


def listed(head: str, items: set[Any]) -> list[str]:
    """The first few items in words, and how many more there are."""
    texts = sorted(map(told, items))
    more = [f"{head}: and {len(texts) - SHOWN} more"] if len(texts) > SHOWN else []
    return [f"{head}: {text}" for text in texts[:SHOWN]] + more


def told(item: Any) -> str:
    """One feed, path, point or feedback in words."""
    match item:
        case (str(a), str(b), tuple(jacks), str(polarity), bool(either)):
            way = " - ".join(jacks) or "no jack"
            return f"{a} to {b} by {way}, {polarity}{', ends alone' if either else ''}"
        case (str(a), str(b), bool(idle)):
            return f"{a} to {b}{', idle' if idle else ''}"
        case (str(jack), tuple(wired)):
            return f"behind {jack}: {', '.join(wired)}"
        case (tuple(channels), bool(controlled)):
            return f"{'controlled' if controlled else 'fixed'} through {', '.join(channels)}"
    return repr(item)
