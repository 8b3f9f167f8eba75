"""Stopping points: which setups' needs are met by what stands, were everything that is down for the job on again."""

from typing import NamedTuple

from routecode.circuit.circuit import Circuit, compile_studio
from routecode.circuit.needs import NeedJudge
from routecode.hands.job_state import OFF, Frame, Standing
from routecode.language.written import Setup


class Works(NamedTuple):
    """A setup at a stopping point: whether all it needs is met; `new`: with its cords as they will be, not as they were."""

    setup: str
    title: str
    works: bool
    new: bool


def working(frame: Frame, standing: Standing, target: Standing) -> tuple[Works, ...]:
    """Every setup of the finished studio, and those that only the studio before has."""
    restored = {key: value for key, value in standing.items() if not (key[0] == "away" and value == OFF)}
    for key, value in target.items():
        if key[0] == "phantom" and ("unit", key[1]) in restored:
            restored.setdefault(key, value)
    names = frame.identity.setups
    old = {names.get(name, name): setup for name, setup in frame.before.studio.setup.items()}
    new = frame.after.studio.setup
    renamed = frame.identity.units or frame.identity.bays or frame.identity.ports or names
    as_new = _all_met(frame, restored, new)
    as_was = {} if renamed else as_new if old == new else _all_met(frame, restored, old)
    found = []
    for name in sorted(old.keys() | new.keys()):
        setup = new.get(name) or old[name]
        was, will = as_was.get(name, False), as_new.get(name, False)
        found.append(Works(name, setup.title or name, was or will, will and not was))
    return tuple(found)


def _all_met(frame: Frame, standing: Standing, setups: dict[str, Setup]) -> dict[str, bool]:
    """For each setup whether all it needs is met: all in one circuit, or, where one names what is not there, one by one."""
    circuit = compile_studio(frame.studio(standing, setups))[0]
    if circuit is not None:
        return {name: _needs_met(circuit, name) for name in setups}
    return {name: _met(frame, standing, setups, name) for name in setups}


def _met(frame: Frame, standing: Standing, setups: dict[str, Setup], name: str) -> bool:
    """Whether all needs of a setup are met; false where it does not compile (it names what is not there)."""
    wanted, queue = {}, [name]
    for each in queue:
        if each in setups and each not in wanted:
            wanted[each] = setups[each]
            queue += setups[each].include
    circuit = compile_studio(frame.studio(standing, wanted))[0]
    return circuit is not None and _needs_met(circuit, name)


def _needs_met(circuit: Circuit, name: str) -> bool:
    judge = NeedJudge(circuit.state(name), circuit.flow(name))
    return all(judge.judge(need).met for need in circuit.plant.setups[name].needs)
