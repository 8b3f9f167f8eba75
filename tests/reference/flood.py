"""The reference: what a studio means, state by state, worked out slowly and plainly from its text.

Written from the meaning page alone. It builds every contact and conductor, floods from every driver, and lets networkx
find the paths. It reports no mistake of a user: the text must be one that the language accepts.
"""

from __future__ import annotations

from collections.abc import Mapping

from attrs import frozen

from .conductors import Conductors, all_joints
from .feeds import all_feeds
from .paths import Signals, channel_name, failing
from .readings import RIGHT, Reading, Wrong
from .roles import all_nets, all_roles
from .state import state_of
from .written import Written, read


@frozen
class Answer:
    """What one state answers, with the names of the JSON contract.

    feeds: (from, to, jacks, polarity, either); paths: (from, to, idle); points: (jack, wired);
    feedback: (channels, controlled); needs: (mode, path) of those that fail. All tuples inside are sorted, but `jacks`
    and `path` keep their order.
    """

    feeds: frozenset[tuple[str, str, tuple[str, ...], str, bool]]
    paths: frozenset[tuple[str, str, bool]]
    points: frozenset[tuple[str, tuple[str, ...]]]
    feedback: frozenset[tuple[tuple[str, ...], bool]]
    needs: frozenset[tuple[str, tuple[str, ...]]]


def answers(files: Mapping[str, str], reading: Reading = RIGHT) -> dict[str | None, Answer]:
    """The answer of every state: None for the unpatched one, then each setup by its id."""
    written = read(files, reading)
    return {setup: answer(written, setup, reading) for setup in [None, *sorted(written.setups)]}


def answer(written: Written, setup: str | None, reading: Reading = RIGHT) -> Answer:
    """The answer of one state."""
    state = state_of(written, setup, reading)
    conductors = Conductors(all_joints(written, state, reading))
    nets = all_nets(written, conductors, reading)
    roles = all_roles(written, state, nets, reading)
    feeds = all_feeds(written, state, conductors, nets, roles, reading)
    signals = Signals(written, feeds, roles.flows, reading)
    return Answer(
        feeds=frozenset(
            (channel_name(written, f.driver), channel_name(written, f.receiver), f.jacks, f.polarity, f.either)
            for f in feeds
        ),
        paths=signals.paths(),
        points=points(written, reading),
        feedback=signals.feedback(),
        needs=failing(signals, feeds, state.needs),
    )


def points(written: Written, reading: Reading) -> frozenset[tuple[str, tuple[str, ...]]]:
    """For each jack with cables at its rear, the places at their other ends."""
    wired: dict[str, set[str]] = {}
    for cable in written.cables:
        if cable.short or Wrong.POINTS_WITHOUT_CABLES not in reading:
            for jack, other in ((cable.a, cable.b), (cable.b, cable.a)):
                if jack in written.jacks:
                    wired.setdefault(jack, set()).add(other)
    return frozenset((jack, tuple(sorted(others))) for jack, others in wired.items())
