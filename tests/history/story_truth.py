"""The truth about one place in one revision, found without the story: compiled cold, asked of the ordinary `trace` and `paths`."""

from collections.abc import Mapping, Sequence

from routecode.circuit.circuit import Circuit
from routecode.files.git import Commit
from routecode.files.tree import Files
from routecode.history.story import Moment, Story
from routecode.history.story_line import Line
from routecode.show.tracing import Trace
from routecode.studio.opened import Opened

Ends = tuple[str, str]
Texts = Mapping[str, bytes]


def commit(number: int) -> Commit:
    """A commit for a line that is not in git; the larger the number the older."""
    when = f"2026-{1 + number // 28 % 12:02}-{1 + number % 28:02}T12:00:00+00:00"
    return Commit(f"{number:040x}", f"Change {number}", "Ann Wright", when, (f"{number + 1:040x}",), "")


def line_of(revisions: Sequence[Texts]) -> Line:
    """Revisions given as texts, oldest first, as a line."""
    newest_first = [Files("", dict(texts), ()) for texts in reversed(revisions)]
    return Line(
        [commit(number) for number in range(len(revisions))], lambda one: newest_first[int(one.id, 16) if one else 0]
    )


def cold(texts: Texts) -> Circuit | None:
    """A revision compiled as a whole, with the help of no other."""
    return Opened(Files("", dict(texts), ()), "cold").circuit


def through(circuit: Circuit | None, place: str, setup: str | None = None) -> set[Ends]:
    """The paths that carry something from what arrives at a port to where it goes; nothing where there is no such port.

    Exact for a port that only receives or only drives, and for a passive one.
    """
    if circuit is None or circuit.plant.node(place) is None or (setup is not None and setup not in circuit.setups):
        return set()
    trace = Trace(circuit, setup, place)
    pairs = {path[:2] for path in circuit.flow(setup).paths() if not path.idle}
    return {(source, target) for source in trace.sources for target in trace.destinations if (source, target) in pairs}


def joined(circuit: Circuit | None, ends: Ends, setup: str | None = None) -> bool:
    """Whether a signal gets from one channel to another, by the ordinary trace."""
    if circuit is None or any(circuit.plant.channel(name) is None for name in ends):
        return False
    if setup is not None and setup not in circuit.setups:
        return False
    trace = Trace(circuit, setup, ends[0])
    return any(step.target >= 0 and circuit.plant.channel_name(step.target) == ends[1] for step in trace.downstream)


def replayed(story: Story, count: int, setup: str | None = None) -> list[set[Ends]]:
    """The paths through the place in every revision, newest first, as the story tells them: going back from now, moment by moment.

    Names are those of the revision. Where a moment renames, the caller has to; revisions that do not compile have none.
    """
    moments: dict[int, Moment] = {moment.at: moment for moment in story.moments if moment.mistake is None}
    broken = {number for each in story.moments if each.mistake is not None for number in range(each.at, each.until + 1)}
    ways = next(each for each in story.ways if each.setup == setup)
    reached: set[Ends] = set(ways.ends) if story.stands else set()
    found: list[set[Ends]] = []
    for number in range(count):
        found.append(set() if number in broken else set(reached))
        moment = moments.get(number)
        for turned in moment.states if moment is not None else ():
            if (turned.setup is None) == (setup is None):
                assert set(turned.gained) <= reached
                assert not reached & set(turned.lost)
                reached = reached - set(turned.gained) | set(turned.lost)
    return found
