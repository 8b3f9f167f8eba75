"""Which findings are accepted by which `[[accept]]`. Says nothing itself; the rules about acceptances do."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from datetime import date
from functools import cached_property

from attrs import define, field, frozen

from routecode.circuit.circuit import Circuit
from routecode.ground.finding import Finding, Mistake, Severity
from routecode.language.ranges import spread
from routecode.language.written import Accept
from routecode.rules.rule import Fault

Identity = tuple[str, tuple[str, ...], str | None]


@define(eq=False)
class Acceptance:
    """One `[[accept]]` with its names spread: canonical ones, and those that name nothing."""

    written: Accept
    names: frozenset[str]
    unknown: tuple[str, ...]
    faults: tuple[Mistake, ...]
    ran_out: bool
    meets: list[Finding] = field(factory=list)
    """The findings it is about, also those it no longer holds for."""

    @property
    def subjects(self) -> tuple[str, ...]:
        """What it names: canonical names, or where none is one the texts as written."""
        return tuple(sorted(self.names)) or tuple(sorted(str(name) for name in self.written.at))


class Accepting:
    """The acceptances of a studio laid against its findings.

    An acceptance covers a finding of its rule whose subjects it names, every one: by name, by the port of a channel, or by the unit,
    bay or cable they belong to. With `setup` only the findings of that setup.
    """

    def __init__(
        self, circuit: Circuit, rules: tuple[str, ...], findings: tuple[Finding, ...], today: date | None
    ) -> None:
        self.rules = rules
        """The ids of the rules that can be accepted."""
        self.plant = circuit.plant
        self.acceptances = [self._acceptance(written, today) for written in self.plant.studio.accept]
        self.by_identity: dict[Identity, Accept] = {}
        """What was accepted, by the identity of the finding."""
        index: dict[tuple[str, str], list[Acceptance]] = {}
        for acceptance in self.acceptances:
            for name in acceptance.names:
                index.setdefault((acceptance.written.rule or "", name), []).append(acceptance)
        for finding in findings if index else ():
            self._cover(finding, index)

    def _acceptance(self, written: Accept, today: date | None) -> Acceptance:
        faults: list[Mistake] = []
        names = spread(written.at, written.where("at"), faults)
        known = {name: self._canonical(name) for name in names}
        ran_out = today is not None and written.until is not None and today > written.until
        unknown = tuple(name for name, canonical in known.items() if canonical is None)
        return Acceptance(written, frozenset(name for name in known.values() if name), unknown, tuple(faults), ran_out)

    def _canonical(self, name: str) -> str | None:
        plant = self.plant
        node = plant.node(name)
        if node is not None:
            return plant.name(node)
        channel = plant.channel(name)
        if channel is not None:
            return plant.channel_name(channel)
        there = name in plant.units or name in plant.bays or name in plant.studio.part
        return name if there or name in self._numbers else None

    @cached_property
    def _numbers(self) -> frozenset[str]:
        return frozenset(wire.number for wire in self.plant.wires if wire.number is not None)

    def _cover(self, finding: Finding, index: dict[tuple[str, str], list[Acceptance]]) -> None:
        for name in _names_of(finding.at[0]):
            for acceptance in index.get((finding.rule, name), ()):
                written = acceptance.written
                if written.setup is not None and written.setup != finding.setup:
                    continue
                if all(any(one in acceptance.names for one in _names_of(subject)) for subject in finding.at):
                    acceptance.meets.append(finding)
                    if not acceptance.ran_out:
                        self.by_identity.setdefault(finding.identity, written)


def _names_of(subject: str) -> Iterator[str]:
    """The names by which a subject may be covered: its own, its port's, its unit's or bay's."""
    yield subject
    stem, mark, number = subject.rpartition(" ch ")
    if mark and number.isdecimal():
        yield stem
    head, slash, _ = subject.partition("/")
    if slash:
        yield head


@frozen
class AcceptRule:
    """A rule about acceptances: asked once, when all findings are known."""

    id: str
    severity: Severity
    check: Callable[[Accepting], Iterable[Fault]]
