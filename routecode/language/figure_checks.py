"""Figures of one port that cannot go together. What figures mean on a path is not looked at here."""

from collections.abc import Iterator

from routecode.ground.finding import Mistake
from routecode.language.equipment import LEVELS, Port
from routecode.language.quantities import read_quantity
from routecode.physics.levels import dbu_from


def figure_mistakes(ports: Iterator[Port]) -> Iterator[Mistake]:
    """A highest level that is below the nominal one."""
    for port in ports:
        level, highest = _dbu(port.level), _dbu(port.max_level)
        if level is not None and highest is not None and highest < level:
            yield Mistake(
                "max-below-level",
                f"`max_level` ({port.max_level}) is below `level` ({port.level}).",
                port.where("max_level"),
                why="A port clips at its highest level, and works at its nominal one.",
                do="Correct one of the two; exchange them if they are the wrong way round.",
            )


def _dbu(text: str | None) -> float | None:
    found = read_quantity(text, LEVELS) if text is not None else None
    return dbu_from(*found) if found is not None else None
