"""Graphviz asked, and its answer judged: a wrong status or an error text is no answer. Starting the program is the command's (`cli`)."""

from collections.abc import Callable
from typing import NamedTuple

from attrs import frozen

SECONDS = 60.0
"""What a layout may take."""


class Answer(NamedTuple):
    """What a program gave back: exit status, output, error output."""

    status: int
    out: bytes
    told: str


class Fault(NamedTuple):
    """Why there is no drawing: one sentence."""

    text: str


Start = Callable[[tuple[str, ...], bytes, float], Answer | Fault]
"""Starts graphviz with arguments, an input and the seconds it may take; gives no exception."""


@frozen
class Engine:
    """A graphviz program: what it is called in messages, and how it is started."""

    name: str
    start: Start


def run(engine: Engine, method: str, form: str, text: str, more: tuple[str, ...] = ()) -> bytes | Fault:
    """What graphviz makes of a text: `method` is dot (it lays out) or neato (every place is given), `form` json, svg or png."""
    placed = ("-n2",) if method == "neato" else ()
    answer = engine.start((f"-K{method}", f"-T{form}", *more, *placed), text.encode(), SECONDS)
    if isinstance(answer, Fault):
        return Fault(f"{engine.name} {answer.text}")
    if answer.status != 0 or _complains(answer.told) or not answer.out:
        first = next((line for line in answer.told.splitlines() if line.strip()), "no reason given")
        return Fault(f"{engine.name} failed (status {answer.status}): {first[:200]}")
    return answer.out


def _complains(told: str) -> bool:
    """Whether the error output holds more than remarks on fonts."""
    return any("error" in line.lower() and "fontconfig" not in line.lower() for line in told.splitlines())
