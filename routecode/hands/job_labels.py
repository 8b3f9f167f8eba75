"""Labels to renew with a job: jacks that read otherwise on the strips, cable flags that do, cables that belong to another loom.

Which texts differ, not how they look: sheets to print are made by `labels`.
"""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from routecode.circuit.plant import PlacedBay, Plant
from routecode.ground.order import natural
from routecode.hands.job_cables import AGAIN, COMES, Side, Work
from routecode.hands.job_state import Frame
from routecode.hands.job_words import columns
from routecode.hands.labels import groups, labels
from routecode.hands.labels_flags import flags

STRIP, LOOM, FLAGS = "strip", "loom", "flags"


class Renewed(NamedTuple):
    """What is to be lettered anew. `strip`: a bay (`at`) with its columns; `loom`: cables that go into the loom `at`, or into none
    (empty); `flags`: numbers of cables. `scaled`: the bay says its pitch, so that its strip can be printed at true scale."""

    kind: str
    at: str
    title: str
    columns: tuple[int, ...] = ()
    lines: tuple[str, ...] = ()
    cables: tuple[str, ...] = ()
    scaled: bool = False


def renewed(frame: Frame, works: tuple[Work, ...], staying: tuple[tuple[Side, Side], ...]) -> tuple[Renewed, ...]:
    """Strips by bay, then looms, then flags."""
    old = {frame.identity.bays.get(name, name): bay for name, bay in frame.before.bays.items()}
    strips = [_strip(frame, old.get(name), bay) for name, bay in frame.after.bays.items()]
    found = [strip for strip in strips if strip is not None]
    return (*found, *_looms(works, staying), *_flags(frame, works))


def _strip(frame: Frame, old: PlacedBay | None, new: PlacedBay) -> Renewed | None:
    before = _read(frame.before, old) if old is not None else {}
    after = _read(frame.after, new)
    differing = [key for key in after if before.get(key, "") != after[key]]
    if not differing:
        return None
    lines = tuple(_lines(frame.after, new, set(differing)))
    columns = tuple(sorted({number for _, number in differing}))
    return Renewed(STRIP, new.id, new.title, columns, lines, (), new.written.pitch_mm is not None)


Read = dict[tuple[str, int], str]


def _read(plant: Plant, bay: PlacedBay) -> Read:
    """What stands at each jack, and over each column as the title of its group; nothing is a text too."""
    rows = ("top", "bottom")[: bay.rows]
    found: Read = {(row, number): "" for row in ("group", *rows) for number in range(1, bay.columns + 1)}
    for label in labels(plant, bay, each=True):
        found[label.row, label.first] = label.whole
    for group in groups(bay):
        found.update({("group", number): group.text for number in range(group.first, group.last + 1)})
    return found


def _lines(plant: Plant, bay: PlacedBay, differing: set[tuple[str, int]]) -> Iterator[str]:
    """The labels as they stand on the strip, those of them that differ anywhere; then jacks and groups that are blank now."""
    titles = groups(bay)
    for group in titles:
        if any(("group", number) in differing for number in range(group.first, group.last + 1)):
            yield f'Group over {columns(range(group.first, group.last + 1))}: "{group.text}"'
    named: set[tuple[str, int]] = set()
    for label in labels(plant, bay):
        named |= {(label.row, number) for number in label.columns}
        if any((label.row, number) in differing for number in label.columns):
            yield f'{label.row.capitalize()} {_numbers(label.columns)}: "{label.whole}"'
    for row in ("top", "bottom"):
        blank = [number for place, number in differing if place == row and (row, number) not in named]
        if blank:
            yield f"{row.capitalize()} {_numbers(blank)}: blank"
    grouped = {number for group in titles for number in range(group.first, group.last + 1)}
    loose = [number for place, number in differing if place == "group" and number not in grouped]
    if loose:
        yield f"Group over {columns(loose)}: blank"


def _numbers(numbers: Iterable[int]) -> str:
    return columns(numbers).partition(" ")[2]


def _looms(works: tuple[Work, ...], staying: tuple[tuple[Side, Side], ...]) -> Iterator[Renewed]:
    """Cables that belong to another loom, by the loom they go into."""
    pairs = [*staying, *((work.old, work.new) for work in works if work.how == AGAIN and work.old and work.new)]
    into: dict[str, set[str]] = {}
    for old, new in pairs:
        if old.cable.loom != new.cable.loom:
            into.setdefault(new.cable.loom or "", set()).add(new.called)
    for loom in sorted(into, key=natural):
        yield Renewed(LOOM, loom, loom, cables=tuple(sorted(into[loom], key=natural)))


def _flags(frame: Frame, works: tuple[Work, ...]) -> Iterator[Renewed]:
    """Cables that keep their number and whose flags read otherwise; what is made or renumbered is labelled with its own step."""
    lettered = {work.new.cable.number for work in works if work.new is not None and work.how in (COMES, AGAIN)}
    reads: list[dict[str, set[tuple[str, str]]]] = [{}, {}]
    for read, plant in zip(reads, (frame.before, frame.after), strict=True):
        for flag in flags(plant).flags:
            read.setdefault(flag.number, set()).add((flag.here, flag.there))
    numbers = [
        number
        for number, ends in reads[1].items()
        if number in reads[0] and ends != reads[0][number] and number not in lettered
    ]
    if numbers:
        yield Renewed(FLAGS, "", "", cables=tuple(sorted(numbers, key=natural)))
