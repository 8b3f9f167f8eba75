"""How places are named in sentences: titles, not ids, made only for what is told. Decides nothing."""

from collections.abc import Iterable, Sequence

from routecode.circuit.plant import Plant
from routecode.ground import reading
from routecode.ground.order import natural
from routecode.language.ranges import fold

HUSH = "Monitors down and headphones off heads first."
"""Before anything that may howl or thump."""
MUTE = "Mute what it feeds first; under phantom, switch it off and wait a minute."
"""Before a link plug or a microphone cord is moved."""


class Words:
    """Names of one plant for sentences: `Hall wall box line 3`, `North bay top 3`, `Stage box net ch 2`."""

    def __init__(self, plant: Plant) -> None:
        self.plant = plant

    def node(self, node: int) -> str:
        """A port or a jack."""
        owner, own = self._split(node)
        return f"{owner} {own}"

    def channel(self, channel: int) -> str:
        """A channel; its number only where the port carries several."""
        node = self.plant.node_of(channel)
        if self.plant.channels[node] == 1:
            return self.node(node)
        return reading.channel(self.node(node), channel - self.plant.first_channel[node] + 1)

    def nodes(self, nodes: Iterable[int], most: int = 1) -> str:
        """Ports and jacks as one phrase, runs folded (`Preamp A out 1-8 and Desk group 1`); beyond `most` phrases a count."""
        owned: dict[str, list[str]] = {}
        for node in nodes:
            owner, own = self._split(node)
            owned.setdefault(owner, []).append(own)
        phrases = [f"{owner} {run}" for owner in sorted(owned, key=natural) for run in runs(owned[owner])]
        return listed(phrases, most)

    def setup(self, setup: str) -> str:
        """A setup."""
        return self.plant.setups[setup].written.title or setup

    def _split(self, node: int) -> tuple[str, str]:
        if node >= self.plant.ports:
            bay = self.plant.bay_of(node)
            row, number = bay.place(node)
            return bay.title, f"{row} {number}".lstrip()
        unit = self.plant.unit_of(node)
        return unit.title, unit.kit.sockets[node - unit.first].name


def runs(names: Iterable[str]) -> list[str]:
    """Names in natural order, consecutive numbers as `out 1-8` and `lines 1-8`."""
    return [reading.numbered(run) for run in fold(names)]


def listed(phrases: Sequence[str], most: int = 2) -> str:
    """`a`, `a and b`, `a, b and c`; beyond `most`: `a, b and 5 more`."""
    shown = list(phrases) if len(phrases) <= most + 1 else [*phrases[:most], f"{len(phrases) - most} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def counted(count: int, one: str, several: str = "") -> str:
    """`1 cable`, `3 cables`."""
    return f"{count:,} {one if count == 1 else several or one + 's'}"
