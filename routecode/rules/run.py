"""Judging a circuit: every rule in every state, then what was accepted. The door to this folder."""

from collections.abc import Iterable, Iterator
from datetime import date

from attrs import frozen

from routecode.circuit.circuit import Circuit
from routecode.circuit.plant import Plant
from routecode.ground.finding import Finding, Severity
from routecode.ground.order import natural
from routecode.language.written import Accept
from routecode.rules.accepting import Accepting
from routecode.rules.registry import ACCEPT_RULES, RULES
from routecode.rules.rule import Fault, Scene

Identity = tuple[str, tuple[str, ...], str | None]


@frozen
class Report:
    """All findings of all states: `findings` are to be told, the worst first; `accepted` were looked at and are meant to be so."""

    findings: tuple[Finding, ...]
    accepted: tuple[tuple[Finding, Accept], ...]


def judge(circuit: Circuit, today: date | None = None) -> Report:
    """What the rules say of a circuit. `today` decides which acceptances with `until` ran out; without it none did."""
    found = tuple(_unrepeated(circuit.plant, _found(circuit)))
    accepting = Accepting(circuit, tuple(rule.id for rule in RULES), found, today)
    told = [finding for finding in found if finding.identity not in accepting.by_identity]
    for rule in ACCEPT_RULES:
        told += [_finding(rule.id, rule.severity, None, fault) for fault in rule.check(accepting)]
    accepted = [
        (finding, accepting.by_identity[finding.identity])
        for finding in found
        if finding.identity in accepting.by_identity
    ]
    return Report(tuple(sorted(told, key=_order)), tuple(sorted(accepted, key=lambda each: _order(each[0]))))


def _found(circuit: Circuit) -> Iterator[Finding]:
    unpatched = Scene(circuit, None)
    for setup in circuit.state_names:
        scene = Scene(circuit, setup, unpatched) if setup is not None else unpatched
        for rule in RULES:
            if rule.asked(setup):
                for fault in rule.check(scene):
                    yield _finding(rule.id, rule.severity, setup, fault)


def _finding(rule: str, severity: Severity, setup: str | None, fault: Fault) -> Finding:
    at = tuple(sorted(set(fault.at)))
    return Finding(rule, severity, at, fault.text, fault.why, fault.do, setup, fault.place, fault.also)


def _unrepeated(plant: Plant, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Each finding once: not again in a setup where it is there unpatched, or where it came with what the setup includes.

    That it came so is seen by what it says, not by where it stands in the text: the order of files never matters.
    """
    listed = {finding.identity: finding for finding in sorted(findings, key=_words, reverse=True)}
    below = {name: sorted(_included(plant, name)) for name in plant.setups}
    for (rule, at, setup), finding in listed.items():
        if setup is not None:
            brought = [listed[rule, at, other] for other in below[setup] if (rule, at, other) in listed]
            if (rule, at, None) in listed or any(_words(finding) == _words(other) for other in brought):
                continue
        yield finding


def _words(finding: Finding) -> tuple[str, str]:
    return (finding.text, finding.why)


def _included(plant: Plant, name: str) -> set[str]:
    """The setups that a setup brings along."""
    found: set[str] = set()
    queue = [name]
    for one in queue:
        for other in plant.setups[one].written.include:
            if other in plant.setups and other not in found and other != name:
                found.add(other)
                queue.append(other)
    return found


def _order(finding: Finding) -> tuple[object, ...]:
    first = tuple(natural(name) for name in finding.at[:4])
    return (finding.severity.rank, first, finding.at, finding.rule, finding.setup or "", finding.text)
