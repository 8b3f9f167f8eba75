"""A guard against work without end: not a measurement, those stand in `tests/bench/`."""

import signal
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

ENDLESS = 30.0
"""Seconds of processor: some thirty times what the slowest guarded work takes; work that grows with a power takes hours."""


class EndlessError(Exception):
    """The guarded work was stopped."""


@contextmanager
def with_an_end(seconds: float = ENDLESS) -> Iterator[None]:
    """Stop the work inside after so many seconds of this process's own processor time.

    Raises:
        EndlessError: the work was not done by then.

    """

    def stop(_number: int, _frame: FrameType | None) -> None:
        raise EndlessError(f"not done after {seconds} s of processor")

    before = signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)
