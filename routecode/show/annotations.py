"""Lines by which continuous integration marks places in files: `::error file=...,line=...,col=...,title=...::text`.

The format is the workflow command of the common runners (open and documented). Texts cannot start a command of their own: line ends,
percent signs and, in values, colons and commas are written as %XX. Runners show only the first few of a step, so the worst come first.
"""

from collections.abc import Iterable, Iterator

from routecode.change.changes import LOSS, RISK, Change
from routecode.change.difference import Difference
from routecode.change.matched import AFTER, BEFORE
from routecode.ground.finding import Finding, Mistake, Severity
from routecode.ground.place import Spot
from routecode.show.allowed import EXCEEDED
from routecode.show.diagnostic import told_findings
from routecode.show.difference_sections import FAILING, Item, Scope, in_order, places, sections
from routecode.show.escape import visible
from routecode.show.spots import first_of, spot_of
from routecode.studio.opened import Opened

ERROR, WARNING = "error", "warning"
_MOST = 50
"""Source errors that are told; a flood of them is mostly one made many times."""


def annotation(level: str, title: str, text: str, spot: Spot | None, prefix: str = "") -> str:
    """One line. `prefix` leads from the top of the repository to the studio."""
    place = {} if spot is None else {"file": f"{prefix}{spot.file}", "line": str(spot.line), "col": str(spot.column)}
    return _command(level, {**place, "title": title}, text)


def _command(level: str, values: dict[str, str], text: str) -> str:
    told = ",".join(f"{key}={_value(value)}" for key, value in values.items())
    shown = "\n".join(map(visible, text.split("\n")))
    return f"::{level} {told}::{_data(shown)}"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _value(text: str) -> str:
    return _data(visible(text)).replace(":", "%3A").replace(",", "%2C")


def of_mistakes(
    mistakes: Iterable[Mistake], opened: Opened | None, prefix: str, *, before: bool = False
) -> Iterator[str]:
    """Source errors; those of the side `before` have no place in the files as they are after it."""
    for mistake in first_of(list(mistakes), _MOST):
        spot = spot_of(mistake, opened)
        text = "\n".join(filter(None, (mistake.text, mistake.do)))
        if before:
            where = f" ({prefix}{spot.file}:{spot.line})" if spot is not None else ""
            text, spot = f"Before this change{where}: {text}", None
        yield annotation(ERROR, mistake.id, text, spot, prefix)


def of_findings(findings: Iterable[Finding], opened: Opened, prefix: str) -> Iterator[str]:
    """Findings above notes, worst first; what is the same in several setups once, with all of them."""
    listed = in_order(finding for finding in findings if finding.severity is not Severity.NOTE)
    for told in told_findings(listed, opened):
        level = WARNING if told.severity == Severity.WARNING.value else ERROR
        setups = ", ".join(setup for setup in told.setups if setup is not None)
        text = f"{told.text} (in setup {setups})" if setups and None not in told.setups else told.text
        yield annotation(level, told.id, " ".join(filter(None, (text, told.why, told.do))), told.spot, prefix)


def of_difference(difference: Difference, scope: Scope, prefix: str) -> list[str]:
    """Needs that now fail, what goes beyond what is allowed, losses, risks, and findings that are new; errors first."""
    lines = sorted(_of_difference(difference, scope, prefix), key=lambda line: not line.startswith(f"::{ERROR} "))
    return list(dict.fromkeys(lines))


def _of_difference(difference: Difference, scope: Scope, prefix: str) -> Iterator[str]:
    told = list(sections(difference, scope))
    needs = [item for section in told if section.heading == FAILING for item in section.items]
    for item in needs:
        yield annotation(ERROR, "need", item.text, _spot_of_need(item, difference), prefix)
    for item in (item for section in told if section.heading == EXCEEDED for item in section.items):
        yield annotation(ERROR, "allowed", item.text, None, prefix)
    for item in (item for section in told for item in section.items):
        if item.told is not None and item.told.change.harm in (LOSS, RISK):
            level = ERROR if item.told.change.harm == LOSS else WARNING
            yield _changed(item.told.change, item.text, level, difference, prefix)
    places_told = {need.place for item in needs for need in item.needs}
    new = (finding for finding in difference.findings_new if finding.place not in places_told)
    yield from of_findings(new, difference.new, prefix)


def _spot_of_need(item: Item, difference: Difference) -> Spot | None:
    return difference.new.spot(item.needs[0].place) if item.needs else None


def _changed(change: Change, text: str, level: str, difference: Difference, prefix: str) -> str:
    """At the first cause that stands in the files after; else at the file that its cause stood in, if that is still there."""
    found = places(change, difference)
    spot = next((spot for side, spot in found if side == AFTER), None)
    gone = next((spot for side, spot in found if side == BEFORE), None)
    if spot is not None or gone is None:
        return annotation(level, change.kind, text, spot, prefix)
    there = {"file": f"{prefix}{gone.file}"} if gone.file in difference.new.files.texts else {}
    return _command(
        level, {**there, "title": change.kind}, f"{text} Its cause stood at {prefix}{gone.file}:{gone.line}."
    )
