"""The answer of `diff` for people: the result first and last, needs that now fail, then losses, risks, gains and notes.

What it says is decided in `change`; here it is put in order, folded over the states, and broken into lines.
"""

import json
from collections.abc import Iterable, Iterator, Sequence

from attrs import frozen

from routecode.change.changes import Change
from routecode.change.delta import StateDelta
from routecode.change.difference import Difference
from routecode.change.view import SeenFeed
from routecode.ground.order import natural
from routecode.show.diagnostic import Page
from routecode.show.difference_sections import CUT, Item, Scope, Section, places, result_text, sections
from routecode.show.escape import visible
from routecode.show.measure import width, wrapped

_SHOWN_PLACES = 2


@frozen
class Asked:
    """What is to be shown: of which state alone (`one`), whether every pair, and what the two sides are called."""

    before: str
    after: str
    setup: str | None = None
    one: bool = False
    expand: bool = False

    @property
    def scope(self) -> Scope:
        """Which part of the difference is told."""
        return Scope(self.setup, self.one, self.expand)


def difference_text(difference: Difference, page: Page, asked: Asked) -> str:
    """The whole report."""
    result = result_text(difference)
    lines = [*_wrap(f"Before: {asked.before}", page, 8), *_wrap(f"After: {asked.after}", page, 8), ""]
    lines += [page.paint(line, "strong") for line in wrapped(result, page.width)]
    told = [section_lines(section, difference, page) for section in sections(difference, asked.scope)]
    told += list(_expanded(difference, asked)) if asked.expand else []
    if any(delta.cut for delta in difference.states):
        lines += wrapped(CUT, page.width)
    for heading, body in told:
        lines += ["", page.paint(heading, "strong"), *body]
    if lines[-1] != page.paint(wrapped(result, page.width)[-1], "strong"):
        lines += ["", *wrapped(result, page.width)]
    return "\n".join(lines) + "\n"


# -- sections ------------------------------------------------------------------------------------------------------------


def section_lines(section: Section, difference: Difference, page: Page) -> tuple[str, list[str]]:
    """The heading of a section, and its lines."""
    if section.rows:
        rows = [(row.jacks, row.was, row.now) for row in section.rows]
        return section.heading, _table(("jack", "was", "is"), rows, page)
    return section.heading, [line for item in section.items for line in _told(item, difference, page)]


def _told(item: Item, difference: Difference, page: Page) -> list[str]:
    lines = _item(item.text, page)
    if item.told is not None:
        for place in _places(item.told.change, difference):
            lines += [page.paint(line, "quiet") for line in _wrap(f"    {place}", page, 6)]
    if item.below:
        lines += _wrap("    Because of this:", page, 4)
        for each in item.below:
            lines += _wrap(f"    - {visible(each.text)}", page, 6)
    return lines


def _places(change: Change, difference: Difference) -> list[str]:
    shown = places(change, difference, _SHOWN_PLACES)
    texts = [f"{visible(spot.file)}:{spot.line}:{spot.column} ({side})" for side, spot in shown]
    more = len(change.cause) - _SHOWN_PLACES
    return [", ".join(texts) + (f" and {more} more" if more > 0 else "")] if texts else []


# -- every pair ----------------------------------------------------------------------------------------------------------


def _expanded(difference: Difference, asked: Asked) -> Iterator[tuple[str, list[str]]]:
    """The raw sets whole, each element on one line however long, so that nothing is lost in it."""
    for delta in difference.states:
        if (asked.one and delta.setup != asked.setup) or delta.empty:
            continue
        name = "unpatched" if delta.setup is None else difference.words.setup(delta.setup)
        yield f"Every pair, {visible(name)}", [f"  {text}" for text in _elements(delta, difference)]


def _elements(delta: StateDelta, difference: Difference) -> Iterator[str]:
    def channel(number: int) -> str:
        return _exact(difference.matched.channel_name(number))

    def nodes(numbers: Iterable[int]) -> str:
        return ", ".join(_exact(difference.matched.node_name(number)) for number in numbers)

    def way(feed: SeenFeed) -> str:
        by = f" by {nodes(feed.jacks)}" if feed.jacks else ""
        return f"{by}; {feed.polarity}{'; either' if feed.either else ''}"

    for word, pairs in (("lost", delta.lost), ("gained", delta.gained)):
        lines = [f"{channel(one.source)} -> {channel(one.target)}{' (idle)' if one.idle else ''}" for one in pairs]
        yield from (f"path {word}: {line}" for line in sorted(lines, key=natural))
    for word, feeds in (("lost", delta.feeds_lost), ("gained", delta.feeds_gained)):
        lines = [f"{channel(feed.source)} -> {channel(feed.target)}{way(feed)}" for feed in feeds]
        yield from (f"feed {word}: {line}" for line in sorted(lines, key=natural))
    lines = [
        f"{channel(old.source)} -> {channel(old.target)}; was{way(old)}; is{way(new)}" for old, new in delta.rerouted
    ]
    yield from (f"feed rerouted: {line}" for line in sorted(lines, key=natural))
    for word, points in (("lost", delta.points_lost), ("gained", delta.points_gained)):
        lines = [f"{nodes((point.jack,))}: {nodes(point.wired)}" for point in points]
        yield from (f"point {word}: {line}" for line in sorted(lines, key=natural))


def _exact(name: str) -> str:
    """A name as it is; in quotes, with escapes, where it could be read as something else."""
    doubtful = any(mark in name for mark in ("->", ",", ";", ":", '"', "\\", " (", " by ")) or visible(name) != name
    return json.dumps(name) if doubtful else name


# -- lines ---------------------------------------------------------------------------------------------------------------


def _item(text: str, page: Page) -> list[str]:
    return _wrap(f"- {visible(text)}", page, 2)


def _wrap(text: str, page: Page, indent: int) -> list[str]:
    stripped = text.lstrip(" ")
    lead = " " * (len(text) - len(stripped))
    first, *rest = wrapped(stripped, page.width - max(len(lead), indent))
    return [lead + first, *(" " * indent + line for line in rest)]


def _table(heads: tuple[str, ...], rows: Sequence[tuple[str, ...]], page: Page) -> list[str]:
    """Columns as wide as they need to be, sharing the page; long cells go over several lines."""
    shown = [tuple(visible(cell) for cell in row) for row in rows]
    room = page.width - 2 - 2 * (len(heads) - 1)
    wanted = [max(width(cell) for cell in column) for column in zip(heads, *shown, strict=True)]
    widths = [min(want, max(12, room // len(heads))) for want in wanted]
    spare = room - sum(widths)
    for number, want in enumerate(wanted):
        extra = min(spare, want - widths[number])
        widths[number] += extra
        spare -= extra
    lines = [page.paint(_row(heads, widths), "quiet")]
    for row in shown:
        cells = [wrapped(cell, size) for cell, size in zip(row, widths, strict=True)]
        for number in range(max(map(len, cells))):
            lines.append(_row([cell[number] if number < len(cell) else "" for cell in cells], widths))
    return lines


def _row(cells: Iterable[str], widths: list[int]) -> str:
    padded = [cell + " " * (size - width(cell)) for cell, size in zip(cells, widths, strict=True)]
    return ("  " + "  ".join(padded)).rstrip()
