"""Studios to show: opened from texts, without a disk."""

from pathlib import Path

from routecode.circuit.circuit import Circuit
from routecode.files.tree import Files, read_worktree
from routecode.show.starter import starter
from routecode.studio.opened import Opened

MILLRACE = Path(__file__).resolve().parents[2] / "examples" / "millrace"


def opened(texts: dict[str, str], like: Opened | None = None) -> Opened:
    """A studio of these files."""
    files = Files("studio", {name: text.encode() for name, text in sorted(texts.items())}, ())
    return Opened(files, "worktree", None, like)


def small() -> Opened:
    """The studio that `routecode new` makes."""
    return opened({name: text for name, text in starter("Small").items() if name.endswith(".toml")})


def millrace() -> Opened:
    """The example studio."""
    return Opened(read_worktree(MILLRACE), "worktree")


def circuit_of(one: Opened) -> Circuit:
    """Its circuit; it must compile."""
    assert one.mistakes == ()
    assert one.circuit is not None
    return one.circuit
