"""Needs of setups that nobody would ask for any more: what was checked and no longer is, so that it is not lost unseen."""

from collections.abc import Iterator

from routecode.circuit.plant import Plant
from routecode.language.setups import Need, Setup
from routecode.show.spoken import place
from routecode.studio.opened import Opened

_MOST = 6


def no_longer_asked(now: Opened, after: Opened) -> list[str]:
    """A sentence for each, setup by setup; nothing of setups that go as a whole."""
    if now.studio is None or after.studio is None or now.circuit is None:
        return []
    told: list[str] = []
    for name, setup in now.studio.setup.items():
        other = after.studio.setup.get(name)
        if other is not None:
            told += _told(list(_gone(setup, other)), setup.title or name, now.circuit.plant)
    return told


def _gone(setup: Setup, other: Setup) -> Iterator[Need]:
    kept = {(need.path, need.never, need.only) for need in other.need}
    yield from (need for need in setup.need if (need.path, need.never, need.only) not in kept)


def _told(needs: list[Need], title: str, plant: Plant) -> list[str]:
    told = []
    for need in needs[:_MOST]:
        what = "forbids a path" if need.never else "asks for the path"
        alone = " alone" if need.only else ""
        ends = [place(plant, str(need.path[number])) for number in (0, -1)]
        told.append(f"{title} no longer {what} from {ends[0]}{alone} to {ends[1]}.")
    if len(needs) > _MOST:
        told.append(f"{title} no longer asks for {len(needs) - _MOST} more.")
    return told
