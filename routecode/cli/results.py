"""The file of test results beside the wiring: read, and held against the wiring by `check`."""

from pathlib import Path

from routecode.cli import asked
from routecode.cli.failure import Refused
from routecode.files.ordinary import read_ordinary
from routecode.ground.finding import Finding, Mistake
from routecode.studio.opened import Opened

NAME = "results.csv"
_MOST = 20_000_001


def read_results(root: Path) -> bytes | None:
    """The file as it is; None where there is none."""
    data = read_ordinary(root / NAME, _MOST, "Make it readable, or move it away.")
    if isinstance(data, Mistake):
        raise Refused(data)
    return data


def results_held(folder: Path, opened: Opened) -> tuple[Finding, ...]:
    """What the results say of the files as they are now; of recorded revisions they say nothing."""
    if opened.name != asked.WORKTREE or opened.circuit is None:
        return ()
    data = read_results(asked.root_of(folder))
    if data is None:
        return ()
    from routecode.hands.tests_results import held

    return held(data, opened.circuit)
