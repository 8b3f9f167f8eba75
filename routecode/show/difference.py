"""The answer of `diff` for people: the result first and last, needs that now fail, then losses, risks, gains and notes.

What it says is decided in `change`; here it is put in order, folded over the states, and broken into lines.
"""

import json
from collections.abc import Iterable, Iterator, Sequence

from attrs import frozen

from routecode.change.changes import GAIN, HARMS, LOSS, NOTE, RISK, Change
from routecode.change.delta import BOTH, StateDelta
from routecode.change.difference import ENDS_CHANGED, IDENTICAL, SAME_ENDS, TEXT_ONLY, Difference
from routecode.change.matched import BEFORE
from routecode.change.needs import need_sentences
from routecode.change.view import SeenFeed
from routecode.ground.finding import Finding, Severity
from routecode.ground.order import natural
from routecode.show.diagnostic import Page
from routecode.show.escape import visible
from routecode.show.measure import width, wrapped
from routecode.show.spoken import counted
from routecode.studio.opened import Opened

HEADINGS = {LOSS: "Lost", RISK: "At risk", GAIN: "Gained", NOTE: "To note"}
_SHOWN_PLACES = 2
_TITLE = 72


@frozen
class Asked:
    """What is to be shown: of which state alone (`one`), whether every pair, and what the two sides are called."""

    before: str
    after: str
    setup: str | None = None
    one: bool = False
    expand: bool = False


@frozen
class Told:
    """A change with the states it is true of."""

    change: Change
    states: tuple[str | None, ...]


def difference_text(difference: Difference, page: Page, asked: Asked) -> str:
    """The whole report."""
    result = result_text(difference)
    lines = [*_wrap(f"Before: {asked.before}", page, 8), *_wrap(f"After: {asked.after}", page, 8), ""]
    lines += [page.paint(line, "strong") for line in wrapped(result, page.width)]
    told = list(_sections(difference, page, asked))
    if any(delta.cut for delta in difference.states):
        lines += wrapped("Of very many paths only the ends were compared, not the ways between them.", page.width)
    for heading, body in told:
        lines += ["", page.paint(heading, "strong"), *body]
    if lines[-1] != page.paint(wrapped(result, page.width)[-1], "strong"):
        lines += ["", *wrapped(result, page.width)]
    return "\n".join(lines) + "\n"


def result_text(difference: Difference) -> str:
    """The result in words, with how many paths were compared."""
    words = {
        IDENTICAL: "The two are identical.",
        TEXT_ONLY: "Only text differs: wiring, paths and what is behind the jacks are the same.",
        SAME_ENDS: "The wiring differs; all paths connect the same ends.",
        ENDS_CHANGED: "Paths connect other ends than before.",
    }[difference.result]
    count = difference.compared
    return f"{words} {count:,} of {counted(count, 'path')} compared."


def draft(before: Opened, after: Opened) -> str:
    """A message for the commit that makes `after` of `before`: a title of at most 72 characters, then what changed."""
    difference = Difference(before, after)
    sentences = [visible(text) for text in _drafted(difference)]
    if not sentences:
        return "Text only: the wiring is the same" if difference.result == TEXT_ONLY else ""
    title = sentences[0].partition(". ")[0].rstrip(".")
    if width(title) > _TITLE:
        title = title[: _TITLE - 3].rsplit(" ", 1)[0].rstrip(",;:") + "..."
    body = "\n".join(line for text in sentences for line in wrapped(text, _TITLE))
    return f"{title}\n\n{body}\n"


def _drafted(difference: Difference) -> list[str]:
    told = [each.change.sentence for each in _over_states(difference, None, False) if each.change.under is None]
    words = [*need_sentences(difference.needs, difference.words), *told, *difference.cabling, *difference.equipment]
    rows = (f"{row.jacks}: {row.now}. Before: {row.was}." for row in difference.jacks)
    return [*dict.fromkeys(words)] or [*rows, *difference.besides()]


# -- sections ------------------------------------------------------------------------------------------------------------


def _sections(difference: Difference, page: Page, asked: Asked) -> Iterator[tuple[str, list[str]]]:
    needs = [need for need in difference.needs if not asked.one or need.setup == asked.setup]
    failing = need_sentences([need for need in needs if need.after is False], difference.words)
    if failing:
        yield "Needs that now fail", [line for text in failing for line in _item(text, page)]
    told = _over_states(difference, asked.setup, asked.one)
    for harm in HARMS:
        these = [each for each in told if each.change.harm == harm and each.change.under is None]
        if these:
            yield HEADINGS[harm], [line for each in these for line in _change(each, told, difference, page)]
    met = need_sentences([need for need in needs if need.after is True], difference.words)
    if met:
        yield "Needs that are met again", [line for text in met for line in _item(text, page)]
    yield from _listed(difference, page, asked)
    if asked.expand:
        yield from _expanded(difference, asked)


def _listed(difference: Difference, page: Page, asked: Asked) -> Iterator[tuple[str, list[str]]]:
    if difference.jacks:
        rows = [(row.jacks, row.was, row.now) for row in difference.jacks]
        yield "By jack", _table(("jack", "was", "is"), rows, page)
    for heading, lines in (
        ("Cabling", difference.cabling),
        ("Equipment", difference.equipment),
        ("Besides", _besides(difference, asked)),
    ):
        if lines:
            yield heading, [line for text in lines for line in _item(text, page)]
    for heading, findings in (("New findings", difference.findings_new), ("Findings gone", difference.findings_gone)):
        told = _findings(findings, page)
        if told:
            yield heading, told


def _besides(difference: Difference, asked: Asked) -> list[str]:
    """What differs and is not told above, so that nothing that differs is passed over in silence."""
    lines = difference.besides(asked.setup, one=asked.one)
    count = difference.untold(asked.setup, one=asked.one)
    if count and not asked.expand:
        they = "carry nothing, or are parts" if count > 1 else "carries nothing, or is part"
        ways = "longer ways" if count > 1 else "a longer way"
        lines.append(f"{counted(count, 'more path')} {they} of {ways}; --expand lists all.")
    return lines


def _findings(findings: Iterable[Finding], page: Page) -> list[str]:
    full = [finding for finding in findings if finding.severity is not Severity.NOTE]
    notes = sum(1 for finding in findings if finding.severity is Severity.NOTE)
    lines = []
    for finding in sorted(full, key=lambda each: (each.severity.rank, each.rule, each.at, each.setup or "")):
        setup = f" (in setup {finding.setup})" if finding.setup else ""
        lines += _item(f"{finding.severity.value}: {finding.text}{setup}", page)
    return lines + (_item(f"{counted(notes, 'note')}.", page) if notes else [])


def _over_states(difference: Difference, setup: str | None, one: bool) -> list[Told]:
    """Every change once, with the states it is true of, worst first."""
    found: dict[tuple[str, str], list[str | None]] = {}
    first: dict[tuple[str, str], Change] = {}
    for delta in difference.states:
        if one and delta.setup != setup:
            continue
        for change in difference.changes[delta.setup]:
            key = (change.id, change.sentence)
            first.setdefault(key, change)
            found.setdefault(key, []).append(delta.setup)
    told = [Told(first[key], tuple(states)) for key, states in found.items()]
    return sorted(told, key=lambda each: HARMS.index(each.change.harm))


def _change(told: Told, all_told: list[Told], difference: Difference, page: Page) -> list[str]:
    change = told.change
    where = _where(told, difference)
    lines = _item(change.sentence + (f" {where}" if where else ""), page)
    for place in _places(change, difference):
        lines += [page.paint(line, "quiet") for line in _wrap(f"    {place}", page, 6)]
    below = [each for each in all_told if each.change.under == change.id and set(each.states) & set(told.states)]
    if below:
        lines += _wrap("    Because of this:", page, 4)
        for each in below:
            lines += _wrap(f"    - {visible(each.change.sentence)}", page, 6)
    return lines


def _where(told: Told, difference: Difference) -> str:
    """The states, where it is not true of all that both sides have."""
    if told.change.kind == "setup":
        return ""
    usual = tuple(delta.setup for delta in difference.states if delta.presence == BOTH)
    if told.states == usual or len(usual) == 1:
        return ""
    setups = [difference.words.setup(setup) for setup in told.states if setup is not None]
    parts = (["unpatched"] if None in told.states else []) + ([f"in {', '.join(setups)}"] if setups else [])
    return f"({' and '.join(parts)})"


def _places(change: Change, difference: Difference) -> list[str]:
    texts = []
    for side, at in change.cause[:_SHOWN_PLACES]:
        spot = (difference.old if side == BEFORE else difference.new).spot(at)
        if spot is not None:
            texts.append(f"{visible(spot.file)}:{spot.line}:{spot.column} ({side})")
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
