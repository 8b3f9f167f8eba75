"""Graphviz run as a process: which program, with what limits, and whether its answer can be trusted. Reads and writes no files."""

import subprocess  # noqa: S404 - drawing is what the program graphviz does
from typing import NamedTuple

LAYOUT_SECONDS = 60.0


class Engine(NamedTuple):
    """A graphviz program: its path and what it is, for messages."""

    program: str
    name: str


class Fault(NamedTuple):
    """Why there is no answer: one sentence."""

    text: str


def run(engine: Engine, method: str, form: str, text: str, more: tuple[str, ...] = (), seconds: float = LAYOUT_SECONDS) -> bytes | Fault:
    """What graphviz makes of a text: `method` is dot or neato, `form` json, svg, png or pdf. A wrong status or an error text is a fault."""
    command = [engine.program, f"-K{method}", f"-T{form}", *more]
    if method == "neato":
        command.append("-n2")
    try:
        done = subprocess.run(command, input=text.encode(), capture_output=True, timeout=seconds, check=False)  # noqa: S603 - a program the user installed or named
    except subprocess.TimeoutExpired:
        return Fault(f"{engine.name} took longer than {seconds:g} seconds.")
    except OSError as error:
        return Fault(f"{engine.name} cannot be run: {error.strerror or error}.")
    told = done.stderr.decode(errors="replace")
    if done.returncode != 0 or _complains(told) or not done.stdout:
        first = next((line for line in told.splitlines() if line.strip()), "no reason given")
        return Fault(f"{engine.name} failed (status {done.returncode}): {first[:200]}")
    return done.stdout


def _complains(told: str) -> bool:
    """Whether the error output holds more than remarks on fonts."""
    return any("error" in line.lower() and "fontconfig" not in line.lower() for line in told.splitlines())
