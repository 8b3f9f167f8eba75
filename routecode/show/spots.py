"""Mistakes in the order of the text, and of a flood of them the first ones."""

from collections.abc import Iterable, Sequence

from routecode.ground.finding import Mistake
from routecode.ground.place import Spot
from routecode.studio.opened import Opened
from routecode.studio.spot import further, spot_of

__all__ = ["first_of", "further", "in_order", "spot_of"]


def in_order(mistakes: Iterable[Mistake], opened: Opened | None) -> list[Mistake]:
    """Mistakes in the order of the text, those without a place last."""

    def key(mistake: Mistake) -> tuple[bool, tuple[str, int, int], str]:
        spot = spot_of(mistake, opened)
        return spot is None, spot[:3] if spot is not None else ("", 0, 0), mistake.text if spot is not None else ""

    return sorted(mistakes, key=key)


def first_of(mistakes: Sequence[Mistake], most: int) -> Sequence[Mistake]:
    """Of a flood of mistakes the first ones, in the order of the text as far as it is known without looking for lines."""
    return mistakes if len(mistakes) <= most else sorted(mistakes, key=_roughly)[:most]


def _roughly(mistake: Mistake) -> tuple[bool, str, int]:
    place = mistake.place
    return (place is None, place.file if place is not None else "", place.line if isinstance(place, Spot) else 0)
