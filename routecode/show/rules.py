"""The answer of `rules`: a list, the page of one rule, and a JSON document."""

import inspect
from collections.abc import Iterable
from typing import NamedTuple, Protocol

from routecode.change.kinds import Kind
from routecode.ground.finding import Severity
from routecode.hands.tests_rules import ResultRule
from routecode.show.document import Row
from routecode.show.documents import KIND, RULE, RULES
from routecode.show.measure import padded, wrapped


class Registered(Protocol):
    """What is needed of a rule: its page is the docstring of the module that its check stands in."""

    @property
    def id(self) -> str:
        """Its id, in words."""

    @property
    def severity(self) -> Severity:
        """How bad what it finds is."""

    @property
    def check(self) -> object:
        """The function that looks."""


class RulePage(NamedTuple):
    """A rule as people read of it: the headline without the id, and the whole page."""

    id: str
    severity: Severity
    headline: str
    page: str


def rule_page(rule: Registered) -> RulePage:
    """The page of a rule."""
    module = inspect.getmodule(rule.check)
    page = inspect.cleandoc((module.__doc__ if module is not None else None) or "")
    first = page.partition("\n")[0]
    headline = first.removeprefix(f"{rule.id}:").strip()
    return RulePage(rule.id, rule.severity, headline[:1].upper() + headline[1:], page)


def result_page(rule: ResultRule) -> RulePage:
    """The page of a rule of results."""
    headline = rule.page.partition("\n")[0].removeprefix(f"{rule.id}:").strip()
    return RulePage(rule.id, rule.severity, headline[:1].upper() + headline[1:], rule.page)


def page_text(page: str, width: int = 80) -> str:
    """A page with its paragraphs broken to a width; lists, quotes, tables and indented pieces stay as they are."""
    blocks = []
    for block in page.split("\n\n"):
        plain = not any(line.startswith((" ", ">", "|", "-")) for line in block.split("\n"))
        blocks.append("\n".join(wrapped(" ".join(block.split()), width)) if plain else block)
    return "\n\n".join(blocks)


def rules_text(
    pages: Iterable[RulePage], kinds: Iterable[str], width: int = 80, results: Iterable[RulePage] = ()
) -> str:
    """One line or two a rule, under its severity, the worst first; then those of results; then the ids of the kinds of change."""
    listed, of_results = list(pages), list(results)
    room = max((len(page.id) for page in (*listed, *of_results)), default=0) + 2
    lines: list[str] = []
    groups = [(_HEADINGS[severity], [page for page in listed if page.severity is severity]) for severity in Severity]
    for heading, group in (*groups, (_OF_RESULTS, of_results)):
        if group:
            lines += ["", heading]
        for page in group:
            first, *rest = wrapped(page.headline, max(20, width - room - 2))
            lines.append(f"  {padded(page.id, room)}{first}")
            lines += [" " * (room + 2) + line for line in rest]
    lines += ["", "Kinds of change that diff tells"]
    for line in wrapped(", ".join(kinds), max(20, width - 2)):
        lines.append(f"  {line}")
    lines += ["", "The page of one: routecode rules ID. The language: routecode rules --language"]
    return "\n".join(lines[1:]) + "\n"


_OF_RESULTS = "Of the file of results, results.csv: what was tested against what is written"
_HEADINGS = {
    Severity.ERROR: "Errors: the wiring cannot work like this",
    Severity.HAZARD: "Hazards: ears, people or equipment can be harmed",
    Severity.WARNING: "Warnings: most likely not meant",
    Severity.NOTE: "Notes: worth knowing",
}


def rules_document(pages: Iterable[RulePage], kinds: Iterable[Kind]) -> Row:
    """The document of these rules and kinds of change, sorted by id."""
    rows = [RULE.row(page.id, page.severity.value, page.headline, page.page) for page in pages]
    told = [KIND.row(kind.id, kind.harm, kind.definition, list(kind.examples)) for kind in kinds]
    return RULES.answer(*(sorted(each, key=lambda row: str(row["id"])) for each in (rows, told)))
