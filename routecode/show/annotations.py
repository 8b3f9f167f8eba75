"""Lines by which continuous integration marks places in files: `::error file=...,line=...,col=...,title=...::text`.

The format is the workflow command of the common runners (open and documented). Texts cannot start a command of their own: line ends,
percent signs and, in values, colons and commas are written as %XX.
"""

from collections.abc import Iterable, Iterator

from routecode.change.changes import LOSS, RISK
from routecode.change.difference import Difference
from routecode.change.matched import AFTER, BEFORE
from routecode.ground.finding import Finding, Mistake, Severity
from routecode.ground.place import Spot
from routecode.show.allowed import EXCEEDED
from routecode.show.difference_sections import FAILING, Scope, over_states, places, sections
from routecode.show.escape import visible
from routecode.studio.opened import Opened

ERROR, WARNING = "error", "warning"


def annotation(level: str, title: str, text: str, spot: Spot | None, prefix: str = "") -> str:
    """One line. `prefix` leads from the top of the repository to the studio."""
    place = {} if spot is None else {"file": f"{prefix}{spot.file}", "line": str(spot.line), "col": str(spot.column)}
    values = ",".join(f"{key}={_value(value)}" for key, value in {**place, "title": title}.items())
    return f"::{level} {values}::{_data(visible(text))}"


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _value(text: str) -> str:
    return _data(visible(text)).replace(":", "%3A").replace(",", "%2C")


def of_mistakes(mistakes: Iterable[Mistake], opened: Opened | None, prefix: str) -> Iterator[str]:
    """Source errors."""
    for mistake in mistakes:
        place = mistake.place
        spot = place if isinstance(place, Spot) or place is None else opened.spot(place) if opened is not None else None
        yield annotation(ERROR, mistake.id, " ".join(filter(None, (mistake.text, mistake.do))), spot, prefix)


def of_findings(findings: Iterable[Finding], opened: Opened, prefix: str) -> Iterator[str]:
    """Findings above notes."""
    for finding in findings:
        if finding.severity is not Severity.NOTE:
            level = WARNING if finding.severity is Severity.WARNING else ERROR
            setup = f" (in setup {finding.setup})" if finding.setup else ""
            text = f"{finding.text}{setup} {finding.why} {finding.do}"
            yield annotation(level, finding.rule, text, opened.spot(finding.place), prefix)


def of_difference(difference: Difference, scope: Scope, prefix: str) -> Iterator[str]:
    """Needs that now fail, losses, risks, and findings that are new."""
    for section in sections(difference, scope):
        for item in section.items if section.heading == FAILING else ():
            spot = difference.new.spot(item.needs[0].place) if item.needs else None
            yield annotation(ERROR, "need", item.text, spot, prefix)
        for item in section.items if section.heading == EXCEEDED else ():
            yield annotation(ERROR, "allowed", item.text, None, prefix)
    for told in over_states(difference, scope):
        change = told.change
        if change.harm not in (LOSS, RISK) or change.under is not None:
            continue
        spots = places(change, difference)
        spot = next((spot for side, spot in spots if side == AFTER), None)
        text = change.sentence
        if spot is None and (gone := next((spot for side, spot in spots if side == BEFORE), None)) is not None:
            text = f"{text} It stood at {gone.file}:{gone.line}."
        yield annotation(ERROR if change.harm == LOSS else WARNING, change.kind, text, spot, prefix)
    yield from of_findings(difference.findings_new, difference.new, prefix)
