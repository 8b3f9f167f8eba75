"""Mistakes and findings on a terminal: the sentence, the place, the line of text with a mark under it, why, what to do.

Everything hangs from one margin that holds the severity and the labels, so a run of many reads like a list. Colour is
laid over at the end and carries no meaning of its own.
"""

from collections import Counter
from collections.abc import Iterable, Iterator

from attrs import frozen

from routecode.ground.finding import Finding, Mistake, Severity
from routecode.ground.place import Spot
from routecode.show.escape import visible
from routecode.show.excerpt import excerpt
from routecode.show.measure import padded, wrapped
from routecode.show.paint import Paint, plain
from routecode.show.spots import first_of, further, in_order, spot_of
from routecode.studio.opened import Opened

_MARGIN = 9
_LINE = 4
"""How much further the line of text is moved in."""

_ONE = {"error": "1 error", "hazard": "1 hazard", "warning": "1 warning", "note": "1 note"}


@frozen
class Told:
    """One mistake or finding with its places worked out; `setups` are the states it was found in (None: unpatched)."""

    severity: str
    id: str
    text: str
    why: str = ""
    do: str = ""
    spot: Spot | None = None
    also: tuple[tuple[str, Spot], ...] = ()
    setups: tuple[str | None, ...] = ()


@frozen
class Page:
    """How wide, in which colours, with which folder before file names, and whose lines of text."""

    opened: Opened | None = None
    width: int = 80
    paint: Paint = plain
    prefix: str = ""


def told_mistake(mistake: Mistake, opened: Opened | None) -> Told:
    """A mistake ready to be shown."""
    spot = spot_of(mistake, opened)
    also = tuple((words, found) for words, at in mistake.also if (found := further(at, opened)) is not None)
    return Told("error", mistake.id if spot else "", mistake.text, mistake.why, mistake.do, spot, also)


def noted(mistake: Mistake) -> Told:
    """What is told along the way and stops nothing."""
    return Told("note", "", mistake.text, mistake.why, mistake.do)


def told_findings(findings: Iterable[Finding], opened: Opened) -> list[Told]:
    """Findings ready to be shown; what is the same in several setups is told once, with all of them."""
    same: dict[tuple[str, Severity, str, tuple[str, ...]], list[Finding]] = {}
    for finding in findings:
        same.setdefault((finding.rule, finding.severity, finding.text, finding.at), []).append(finding)
    told: list[Told] = []
    for group in same.values():
        first = group[0]
        also = tuple((words, found) for words, at in first.also if (found := opened.spot(at)) is not None)
        setups = tuple(finding.setup for finding in group)
        spot = opened.spot(first.place)
        told.append(Told(first.severity.value, first.rule, first.text, first.why, first.do, spot, also, setups))
    return told


def diagnostic(told: Told, page: Page) -> str:
    """One of them as text; several lines, the last one with a line end."""
    return "\n".join(_lines(told, page)) + "\n"


def _lines(told: Told, page: Page) -> Iterator[str]:
    room = page.width - _MARGIN
    label = page.paint(padded(told.severity, _MARGIN), told.severity)
    for number, line in enumerate(wrapped(visible(told.text), room)):
        yield (label if not number else " " * _MARGIN) + page.paint(line, "strong")
    yield from _place(told, page)
    for name, text in (("Why:", told.why), ("Do:", told.do)):
        if text:
            yield from _labelled(name, text, page)
    for words, spot in told.also:
        yield from _labelled("Also:", f"{_where(spot, page)}, {words}", page)
        yield from _marked(spot, page)


def _place(told: Told, page: Page) -> Iterator[str]:
    inner = ", ".join(part for part in (told.id, _states(told.setups)) if part)
    where = _where(told.spot, page) if told.spot else ""
    words = f"{where} ({inner})".strip() if inner else where
    for line in wrapped(words, page.width - _MARGIN) if words else ():
        yield " " * _MARGIN + page.paint(line, "quiet")
    if told.spot:
        yield from _marked(told.spot, page)


def _states(setups: tuple[str | None, ...]) -> str:
    named = [visible(setup) for setup in setups if setup is not None]
    if not named:
        return ""
    shown = ", ".join(named[:4]) + (f" and {len(named) - 4} more" if len(named) > 4 else "")
    return f"{'unpatched and ' if None in setups else ''}in setup {shown}"


def _labelled(name: str, text: str, page: Page) -> Iterator[str]:
    """A label and its text; further lines of the text are commands to copy and are left whole."""
    first, *commands = text.split("\n")
    for number, line in enumerate(wrapped(visible(first), page.width - _MARGIN)):
        yield padded("" if number else "  " + name, _MARGIN) + line
    for command in commands:
        yield " " * _MARGIN + visible(command)


def _where(spot: Spot, page: Page) -> str:
    place = visible(f"{page.prefix}{spot.file}")
    return f"{place}:{spot.line}:{spot.column}" if spot.length or (spot.line, spot.column) != (1, 1) else place


def _marked(spot: Spot, page: Page) -> Iterator[str]:
    line = page.opened.line(spot) if page.opened is not None else ""
    found = excerpt(line, spot.column, spot.length, page.width - _MARGIN - _LINE)
    if found is None or not (spot.length or (spot.line, spot.column) != (1, 1)):
        return
    before = " " * (_MARGIN + _LINE)
    yield before + found.text
    yield before + " " * found.start + page.paint("=" * found.length, "mark")


def counts(severities: Iterable[str]) -> str:
    """How many of each, worst first: `2 errors, 1 warning`; empty for none."""
    found = Counter(severities)
    words = [
        _ONE[severity.value] if found[severity.value] == 1 else f"{found[severity.value]:,} {severity.value}s"
        for severity in Severity
        if found[severity.value]
    ]
    return ", ".join(words)


MOST_TOLD = 50
"""Mistakes that are told in full; a flood of them is mostly one mistake made many times."""


def all_mistakes(mistakes: Iterable[Mistake], page: Page) -> str:
    """The mistakes of a studio or a request, an empty line between them, and the count where there are several.

    The first MOST_TOLD are told, in the order of the text; the others are counted.
    """
    found = list(mistakes)
    few = found if len(found) <= 2 * MOST_TOLD else first_of(found, MOST_TOLD)
    told = [told_mistake(mistake, page.opened) for mistake in in_order(few, page.opened)][:MOST_TOLD]
    text = "\n".join(diagnostic(each, page) for each in told)
    if len(found) < 2:
        return text
    others = f" The first {len(told)} are told." if len(told) < len(found) else ""
    return f"{text}\n{len(found):,} errors.{others} Nothing was computed.\n"
