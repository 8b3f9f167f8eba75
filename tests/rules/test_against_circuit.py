"""Rules on random studios, held against the sets of the whole circuit (which the reference checks by itself)."""

from functools import cache
from random import Random

import pytest

from routecode.circuit.circuit import Circuit
from routecode.circuit.needs import NeedJudge
from routecode.circuit.reach import Reach
from routecode.ground.finding import Finding
from routecode.rules.needing import standings
from routecode.rules.rule import Scene
from routecode.rules.run import Report, judge
from tests.reference.compiler import circuit_of
from tests.reference.random_units import DIGITAL
from tests.reference.studios import SIZES, drawn_up, random_studio, scattered

SEEDS = range(60)
States = list[tuple[Circuit, str | None]]


@cache
def circuit(seed: int) -> Circuit:
    found, mistakes = circuit_of(random_studio(seed))
    assert found is not None, mistakes
    return found


@cache
def report(seed: int) -> Report:
    return judge(circuit(seed))


def states(seed: int) -> States:
    return [(circuit(seed), setup) for setup in circuit(seed).state_names]


def told(seed: int, setup: str | None, rule: str) -> list[Finding]:
    """What is told in a state, with what is told unpatched or in a setup that it includes: that is not repeated."""
    below: set[str | None] = {None, setup}
    plant = circuit(seed).plant
    queue = [setup] if setup is not None else []
    for name in queue:
        queue += [other for other in plant.setups[name].written.include if other not in below]
        below |= set(queue)
    every = [*report(seed).findings, *(finding for finding, _ in report(seed).accepted)]
    return [finding for finding in every if finding.rule == rule and finding.setup in below]


def port(channel: str) -> str:
    stem, mark, number = channel.rpartition(" ch ")
    return stem if mark and number.isdecimal() else channel


@pytest.mark.parametrize("seed", SEEDS)
def test_the_step_by_step_graph_is_the_whole_graph(seed: int) -> None:
    for found, setup in states(seed):
        flow, reach = found.flow(setup), Reach(found.state(setup))
        channels = sum(found.plant.channels[: found.plant.ports])
        for vertex in range(2 * channels):
            assert sorted(reach.down(vertex)) == sorted(flow.down.get(vertex, ()))
            assert sorted(reach.up(vertex)) == sorted(flow.up.get(vertex, ()))


@pytest.mark.parametrize("seed", SEEDS)
def test_every_loop_is_told_once(seed: int) -> None:
    for found, setup in states(seed):
        loops = found.flow(setup).feedback()
        fixed = [set(one.at) for one in told(seed, setup, "feedback-fixed")]
        controlled = {one.at for one in told(seed, setup, "feedback-controlled")}
        for loop in loops:
            if loop.controlled:
                assert loop.channels in controlled
            else:
                assert any(one <= set(loop.channels) for one in fixed)
    for finding in report(seed).findings:
        if finding.rule.startswith("feedback"):
            assert any(set(finding.at) <= set(loop.channels) for loop in circuit(seed).flow(finding.setup).feedback())


@pytest.mark.parametrize("seed", SEEDS)
def test_needs_stand_as_the_circuit_says(seed: int) -> None:
    for found, setup in states(seed):
        scene = Scene(found, setup)
        judging = NeedJudge(found.state(setup), found.flow(setup))
        for standing in standings(scene):
            verdict = judging.judge(standing.need)
            never = standing.need.written.never
            assert standing.reached == verdict.reached
            assert tuple(sorted(map(found.plant.channel_name, standing.others))) == (() if never else verdict.others)
            at = tuple(sorted(set(standing.need.names)))
            ids = {one.rule for one in report(seed).findings if one.setup == setup and one.rule.startswith("need-")}
            if not verdict.met:
                assert ids & {"need-unmet", "need-never", "need-only"}
                assert any(one.at == at and one.rule.startswith("need-") for one in report(seed).findings)


@pytest.mark.parametrize("seed", SEEDS)
def test_an_input_with_two_drivers_is_always_told(seed: int) -> None:
    for found, setup in states(seed):
        drivers: dict[str, set[str]] = {}
        for feed in found.feeds(setup):
            if not feed.either and feed.source.partition("/")[0] not in networked(found):
                drivers.setdefault(port(feed.target), set()).add(port(feed.source))
        covered = [set(one.at) for rule in ("outputs-tied", "two-places-one-input") for one in told(seed, setup, rule)]
        for target, sources in drivers.items():
            if len(sources) > 1 and family(found, target) != "gpio":
                assert any(sources <= one for one in covered), (setup, target, sources)


def networked(found: Circuit) -> set[str]:
    """Units with network ports: routes may bring several signals to one of those."""
    return {unit.id for unit in found.plant.units.values() if any(one.family == "network" for one in unit.kit.sockets)}


def family(found: Circuit, name: str) -> str:
    node = found.plant.node(name)
    assert node is not None
    return found.plant.socket(node).family


@pytest.mark.parametrize("seed", SEEDS)
def test_reversed_and_shorted_pairs_are_told_and_no_others(seed: int) -> None:
    for found, setup in states(seed):
        feeds = found.feeds(setup)
        at_inputs = [set(one.at) for one in told(seed, setup, "polarity-reversed")]
        shorted = [set(one.at) for one in told(seed, setup, "pair-shorted")]
        for feed in feeds:
            if feed.polarity == "reversed":
                assert any(port(feed.target) in one for one in at_inputs)
            if feed.polarity == "mixed":
                assert any({port(feed.source), port(feed.target)} <= one for one in shorted)
        turned = {port(feed.target) for feed in feeds if feed.polarity == "reversed"}
        own = [one for one in told(seed, setup, "polarity-reversed") if one.setup == setup]
        assert all(set(one.at) & turned for one in own)


def test_the_random_studios_trip_most_rules() -> None:
    """Otherwise the tests above could not fail."""
    found = {one.rule for seed in SEEDS for one in report(seed).findings}
    wanted = {"feedback-fixed", "feedback-controlled", "need-unmet", "need-never", "need-only", "outputs-tied"}
    assert wanted | {"two-places-one-input", "polarity-reversed"} <= found


@pytest.mark.parametrize("seed", range(0, 60, 3))
def test_the_order_of_files_tables_and_keys_changes_nothing(seed: int) -> None:
    draft = drawn_up(Random(seed), DIGITAL[seed % len(DIGITAL)], *SIZES["small"])
    reports = []
    for shuffle in (1, 2):
        found, mistakes = circuit_of(scattered(Random(shuffle), draft.whole))
        assert found is not None, mistakes
        reports.append(judge(found))
    one, other = reports
    assert [(f.identity, f.text, f.why, f.do) for f in one.findings] == [
        (f.identity, f.text, f.why, f.do) for f in other.findings
    ]
    assert [f.identity for f, _ in one.accepted] == [f.identity for f, _ in other.accepted]


@pytest.mark.parametrize("seed", SEEDS)
def test_findings_are_sorted_once_each_and_short(seed: int) -> None:
    findings = report(seed).findings
    assert [one.severity.rank for one in findings] == sorted(one.severity.rank for one in findings)
    identities = [one.identity for one in findings if not one.rule.startswith("accept-")]
    assert len(identities) == len(set(identities))
    for one in findings:
        assert one.at == tuple(sorted(set(one.at)))
        assert len(one.text.split()) <= 25, one.text
