"""What does not work now about a place (needs that fail, findings that stand), followed back to where that began.

Going back revision by revision: a need or a finding is followed by its names as they read then, until a revision in which it was
met, or not there.
"""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from attrs import define, field, frozen

from routecode.change.changes import Change
from routecode.change.claims import Claim
from routecode.change.matched import AFTER, BEFORE
from routecode.circuit.circuit import Circuit
from routecode.ground.finding import Finding, Severity
from routecode.ground.place import At
from routecode.history.story_change import Ends
from routecode.history.story_place import CABLE, CHANNEL, JACK, Place, Step, nodes_of, wires_of
from routecode.history.story_stated import own_line
from routecode.history.story_told import Mark, at_nodes, channels_of, told_of
from routecode.history.story_ways import titles_of
from routecode.rules.needing import standings
from routecode.rules.rule import Scene
from routecode.studio.opened import Opened

PATH, NEED, FINDING, GONE = "path", "need", "finding", "gone"
KINDS = (GONE, NEED, PATH, FINDING)
"""What may not work, in the order of telling: the place is gone, a need fails, a path was lost, a finding stands."""
_NEEDS = "need-"
"""Rules that say of needs what is told here in another way."""

Identity = tuple[str, tuple[str, ...], str | None]


class Need(NamedTuple):
    """A need by names; `never`: it must not exist; `only`: nothing else may reach its end."""

    setup: str
    steps: tuple[str, ...]
    never: bool
    only: bool


@frozen
class Today:
    """What stands against it today, where the first cause was mended: the revision that brought it, in words, the lines."""

    since: int
    sentences: tuple[str, ...]
    marks: tuple[Mark, ...]


@frozen
class Since:
    """One thing that does not work now: `since` is the revision it began with, `until` the last one before in which it worked.

    `until` None: it never worked as long as it was there (or asked for). `unsure`: so many revisions right before `since` do
    not compile, so that it may have begun in one of them. Names as they read now (of lost paths: as they read then).
    """

    kind: str
    setup: str | None
    since: int
    until: int | None
    unsure: int = 0
    paths: tuple[Ends, ...] = ()
    instead: tuple[Ends, ...] = ()
    """Paths that came with the loss, from or to the same ends, and still stand."""
    need: Need | None = None
    finding: Finding | None = None
    sentences: tuple[str, ...] = ()
    marks: tuple[Mark, ...] = ()
    titles: Mapping[str, str] = field(factory=dict)
    today: Today | None = None


@define
class _Need:
    """A need that fails now: as it reads now, as it read in the revision reached, and the number of that."""

    now: Need
    then: Need
    at: int
    place: At
    titles: Mapping[str, str]


@define
class _Finding:
    """A finding that stands now, in the same way."""

    now: Finding
    then: Identity
    at: int
    place: At | None


class Fails:
    """Everything about a place that fails in one revision, followed back step by step."""

    def __init__(self, opened: Opened, place: Place, number: int, asked: str | None = None) -> None:
        self._needs = list(_needs_now(opened, place, number))
        self._findings = list(_findings_now(opened, place, number, asked))
        self._found: list[Since] = []

    def back(self, step: Step, older: int) -> None:
        """Look one revision further back; `older` is its number. What did not fail there began in the newer one."""
        if self._needs:
            self._needs = list(self._needs_back(step, older))
        if self._findings:
            self._findings = list(self._findings_back(step, older))

    def _needs_back(self, step: Step, older: int) -> Iterator[_Need]:
        known = {setup: _needs_before(step, setup) for setup in sorted({each.then.setup for each in self._needs})}
        for each in self._needs:
            need, met, place = known[each.then.setup].get(each.then, (each.then, None, each.place))
            if met is False:
                each.then, each.at, each.place = need, older, place
                yield each
            else:
                self._found.append(_need_since(each, step, older, worked=bool(met)))

    def _findings_back(self, step: Step, older: int) -> Iterator[_Finding]:
        known = {_read(step, finding): finding for finding in step.older.report.findings}
        for each in self._findings:
            finding = known.get(each.then)
            if finding is not None:
                each.then, each.at, each.place = finding.identity, older, finding.place
                yield each
            else:
                self._found.append(_finding_since(each, step, older))

    def end(self, opened: Opened) -> list[Since]:
        """No revision is further back than `opened`: what is still followed failed there already."""
        for need in self._needs:
            marks = own_line(opened, need.place)
            self._found.append(
                Since(NEED, need.now.setup, need.at, None, need=need.now, marks=marks, titles=need.titles)
            )
        for each in self._findings:
            marks = own_line(opened, each.place)
            self._found.append(Since(FINDING, each.now.setup, each.at, None, finding=each.now, marks=marks))
        self._needs, self._findings = [], []
        return sorted(self._found, key=_order)


def _order(one: Since) -> tuple[object, ...]:
    rank = one.finding.severity.rank if one.finding is not None else -1
    return (rank, one.since, one.setup or "", one.need.steps if one.need else one.finding.at if one.finding else ())


# -- now -----------------------------------------------------------------------------------------------------------------


def _circuit(opened: Opened) -> Circuit:
    circuit = opened.circuit
    assert circuit is not None
    return circuit


def _channels_near(circuit: Circuit, place: Place) -> set[str]:
    """The channels of a place, of its own ports; of a jack or cable those of all it is joined to: what needs may name of it."""
    plant = circuit.plant
    if place.kind == CHANNEL:
        return {place.name}
    nodes = set(nodes_of(plant, place))
    if place.kind == CABLE:
        nodes = {node for wire in wires_of(plant, place) for node in (wire.a, wire.b)}
    if place.kind in (CABLE, JACK):
        for node in tuple(nodes):
            net = circuit.state(None).net_of(node)
            nodes.update(net.nodes if net is not None else ())
    return {plant.channel_name(channel) for node in nodes for channel in plant.channels_of(node)}


def _needs_now(opened: Opened, place: Place, number: int) -> Iterator[_Need]:
    circuit = _circuit(opened)
    near, name = _channels_near(circuit, place), circuit.plant.channel_name
    for setup, placed in circuit.plant.setups.items():
        if not any(name(step) in near for need in placed.needs for step in need.steps):
            continue
        for need, (met, at) in verdicts(opened, setup).items():
            if not met and not near.isdisjoint(need.steps):
                yield _Need(need, need, number, at, titles_of(circuit.plant, need.steps))


def _findings_now(opened: Opened, place: Place, number: int, asked: str | None) -> Iterator[_Finding]:
    wires = _Wires(opened, place, asked)
    for finding in opened.report.findings:
        told = finding.severity is not Severity.NOTE and not finding.rule.startswith(_NEEDS)
        if told and any(is_of(place, at, opened) or wires.have(at, finding.setup) for at in finding.at):
            yield _Finding(finding, finding.identity, number, finding.place)


class _Wires:
    """What is on one wire with a place, state by state: what is wrong there is wrong for whoever hears it, too."""

    def __init__(self, opened: Opened, place: Place, asked: str | None) -> None:
        self._circuit = _circuit(opened)
        self._place = place
        self._asked = asked if asked in self._circuit.setups else None
        self._on: dict[str | None, set[int]] = {}

    def have(self, at: str, setup: str | None) -> bool:
        """Whether a subject of a finding is there; of a channel, at the channel of the same number."""
        plant = self._circuit.plant
        stem, _, number = at.partition(" ch ")
        if number and self._place.kind == CHANNEL and number != self._place.name.rpartition(" ch ")[2]:
            return False
        node = plant.node(stem)
        if node is None and (channel := plant.channel(at)) is not None:
            node = plant.node_of(channel)
        return node is not None and (node in self._in(setup) or (setup is None and node in self._in(self._asked)))

    def _in(self, setup: str | None) -> set[int]:
        if setup not in self._on:
            plant, state = self._circuit.plant, self._circuit.state(setup)
            own = set(nodes_of(plant, self._place))
            if self._place.kind == CABLE:
                own = {node for wire in wires_of(plant, self._place) for node in (wire.a, wire.b)}
            nets = (net for node in own if (net := state.net_of(node)) is not None)
            self._on[setup] = own.union(*(net.nodes for net in nets))
        return self._on[setup]


def is_of(place: Place, at: str, opened: Opened) -> bool:
    """Whether a subject of a finding is the place, is at it, or (of a channel) is the port that carries it."""
    if at == place.name or at.startswith(f"{place.name}/") or at.partition(" ch ")[0] == place.name:
        return True
    if place.kind == CHANNEL:
        return at == place.name.rpartition(" ch ")[0]
    if place.kind != CABLE:
        return False
    plant = _circuit(opened).plant
    return any(at in (plant.name(wire.a), plant.name(wire.b)) for wire in wires_of(plant, place))


def verdicts(opened: Opened, setup: str) -> dict[Need, tuple[bool, At]]:
    """Every need of a setup with whether it is met, and where it stands."""
    circuit = _circuit(opened)
    name = circuit.plant.channel_name
    found = {}
    for standing in standings(Scene(circuit, setup)):
        written = standing.need.written
        need = Need(setup, tuple(map(name, standing.need.steps)), written.never, written.only)
        met = not standing.exists if written.never else standing.exists and not standing.others
        found[need] = (met, written.where("path"))
    return found


# -- before --------------------------------------------------------------------------------------------------------------


def _needs_before(step: Step, setup: str) -> dict[Need, tuple[Need, bool, At]]:
    """The needs of a setup in the older revision, as they read in the newer one: (as it reads there, whether met, where)."""
    old = step.setup_before(setup)
    if old is None or old not in _circuit(step.older).setups:
        return {}
    return {
        Need(setup, tuple(map(step.read, need.steps)), need.never, need.only): (need, met, place)
        for need, (met, place) in verdicts(step.older, old).items()
    }


def _read(step: Step, finding: Finding) -> Identity:
    return (finding.rule, tuple(sorted(map(step.read, finding.at))), step.setup(finding.setup))


def _need_since(each: _Need, step: Step, older: int, *, worked: bool) -> Since:
    """The need was met in the older revision, or not asked for there."""
    steps = set(each.then.steps)

    def wanted(change: Change, claim: Claim | None) -> bool:
        names = {*change.subjects, *change.channels} if claim is None else channels_of(step, claim)
        return worked and not steps.isdisjoint(names)

    said = told_of(step, each.then.setup, wanted)
    return Since(
        NEED,
        each.now.setup,
        each.at,
        older if worked else None,
        older - each.at - 1,
        need=each.now,
        sentences=said.sentences,
        marks=said.marks or own_line(step.newer, each.place),
        titles=each.titles,
    )


def _finding_since(each: _Finding, step: Step, older: int) -> Since:
    """The finding was not there in the older revision."""
    nodes = {node for name in each.then[1] for node in _nodes(step, name)}
    marks = at_nodes(step, nodes, each.then[2]) or own_line(step.newer, each.place)
    return Since(FINDING, each.now.setup, each.at, older, older - each.at - 1, finding=each.now, marks=marks)


def _nodes(step: Step, name: str) -> Iterator[int]:
    """The shared number of a subject of a finding, where it is a place."""
    for side, plant in ((AFTER, step.after), (BEFORE, step.before)):
        node, channel = plant.node(name), plant.channel(name)
        if node is None and channel is not None:
            node = plant.node_of(channel)
        if node is not None:
            yield step.difference.matched.shared_node(side, node)
            return
