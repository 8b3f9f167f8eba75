"""Which place of the text a mistake stands at: mostly the value, but a key that is no key is marked itself."""

from functools import lru_cache

from routecode.files.positions import Positions
from routecode.files.toml import parse
from routecode.ground.finding import Mistake
from routecode.ground.place import At, Spot
from routecode.studio.opened import Opened

_AT_THE_KEY = ("unknown-key", "unknown-table")


def spot_of(mistake: Mistake, opened: Opened | None) -> Spot | None:
    """Line and column of a mistake; None where it has no place, or nothing is open to look it up in."""
    place = mistake.place
    if mistake.id in _AT_THE_KEY and isinstance(place, At) and opened is not None and place.file in opened.files.texts:
        found = _positions(opened.files.texts[place.file]).key(place.path)
        if found is not None:
            return Spot(place.file, *found)
    return further(place, opened)


def further(place: At | Spot | None, opened: Opened | None) -> Spot | None:
    """Line and column of any place."""
    if isinstance(place, Spot):
        return place
    return opened.spot(place) if opened is not None else None


@lru_cache(maxsize=16)
def _positions(data: bytes) -> Positions:
    return Positions(parse("", data).text)
