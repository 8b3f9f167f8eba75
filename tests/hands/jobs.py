"""Jobs for tests: the example's history both ways, small studios as text, and every state of a job judged by the ordinary compiler and rules."""

import importlib.util
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise
from pathlib import Path
from types import ModuleType

from routecode.change.difference import Difference
from routecode.circuit.circuit import Circuit, compile_studio
from routecode.files.tree import Files
from routecode.ground.finding import Severity
from routecode.hands.job import Job, job
from routecode.hands.job_state import Frame, Standing, after
from routecode.hands.job_steps import Step
from routecode.rules.run import judge
from routecode.studio.opened import Opened

ROOT = Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "examples"

Identity = tuple[str, tuple[str, ...]]


def opened(texts: Mapping[str, str] | str, name: str = "worktree") -> Opened:
    """A studio of some texts; one text is `studio.toml`."""
    files = {"studio.toml": texts} if isinstance(texts, str) else texts
    found = Opened(Files("", {file: text.encode() for file, text in files.items()}, ()), name)
    assert not found.mistakes, found.mistakes[0]
    return found


def job_of(before: Mapping[str, str] | str, after_: Mapping[str, str] | str) -> Job:
    """The job from one studio to another."""
    return job(Difference(opened(before, "a" * 40), opened(after_, "b" * 40)))


def _builder() -> ModuleType:
    spec = importlib.util.spec_from_file_location("build_history_for_jobs", EXAMPLES / "build_history.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@cache
def history() -> tuple[tuple[str, Opened], ...]:
    """(title, studio) of every commit of the example, oldest first."""
    builder = _builder()
    commits = builder.read_history(EXAMPLES / "history.toml")
    states = builder.states(commits, builder.read_studio(EXAMPLES / "millrace"))
    return tuple(
        (commit.message, opened(texts, f"{number:040x}"))
        for number, (commit, texts) in enumerate(zip(commits, states, strict=True))
    )


@cache
def steps_of_history() -> tuple[tuple[str, Job, Job], ...]:
    """(title, forth, back) of every commit of the example but the first."""
    found = history()
    return tuple(
        (title, job(Difference(before, then)), job(Difference(then, before)))
        for (_, before), (title, then) in pairwise(found)
    )


def dangerous(frame: Frame, standing: Standing) -> set[Identity]:
    """Hazards, and outputs tied, of what stands, by the ordinary compiler and all rules; AssertionError where it does not compile."""
    circuit, mistakes = compile_studio(frame.studio(standing))
    assert circuit is not None, mistakes[0].text
    return {
        (finding.rule, finding.at)
        for finding in judge(circuit).findings
        if finding.severity is Severity.HAZARD or finding.rule == "outputs-tied"
    }


def harms(made: Job, steps: list[Step] | None = None) -> Iterator[tuple[Step, set[Identity]]]:
    """Every step after which something could harm that the step does not say is left; `steps`: another order than the job's."""
    standing: Standing = made.todo.before
    said: set[Identity] = set()
    for step in made.ordered.steps if steps is None else steps:
        standing = after(standing, step.edits)
        said |= {danger.key for danger in step.left}
        if step.edits or step.op is not None:
            found = dangerous(made.frame, standing) - said
            if found:
                yield step, found


def last(made: Job) -> Standing:
    """What stands after the last step."""
    standing: Standing = made.todo.before
    for step in made.ordered.steps:
        standing = after(standing, step.edits)
    return standing


def same_circuit(one: Circuit, other: Circuit) -> bool:
    """Whether two circuits have the same paths, feeds and points in every state."""
    if one.setups != other.setups or one.points != other.points:
        return False
    return all(one.feeds(setup) == other.feeds(setup) for setup in one.state_names)


def ends_as_wanted(made: Job) -> bool:
    """Whether what stands at the end compiles to the circuit of the after side, in all its setups."""
    studio = made.frame.studio(last(made), made.frame.after.studio.setup)
    circuit = compile_studio(studio)[0]
    return circuit is not None and same_circuit(circuit, made.compared.after)
