"""The answer of `check`: findings for people, the worst first, with a summary; and a JSON document."""

from collections.abc import Sequence

from attrs import frozen

from routecode.circuit.jackets import jackets
from routecode.circuit.plant import Plant
from routecode.ground.finding import Finding, Severity
from routecode.show.diagnostic import Page, Told, counts, diagnostic, told_findings
from routecode.show.document import Row
from routecode.show.documents import ACCEPTED, CHECK, COUNTS
from routecode.show.escape import visible
from routecode.show.measure import wrapped
from routecode.show.paths import finding_rows
from routecode.show.spoken import counted, title
from routecode.studio.opened import Opened


@frozen
class Judged:
    """A revision with its circuit, its findings and the line above which they fail it."""

    opened: Opened
    plant: Plant
    findings: tuple[Finding, ...]
    tolerated: Severity

    @property
    def fine(self) -> bool:
        """Whether nothing is worse than what is tolerated."""
        return all(finding.severity.rank >= self.tolerated.rank for finding in self.findings)


def check_document(judged: Judged) -> Row:
    """The document of one revision."""
    opened, head = judged.opened, judged.plant.studio.head
    accepted = [
        ACCEPTED.row(each.rule, each.severity.value, list(each.at), each.setup, accept.because or "")
        for each, accept in opened.report.accepted
    ]
    return CHECK.answer(
        opened.name,
        head.title or "",
        judged.fine,
        judged.tolerated.value,
        dict(zip((name for name, _ in COUNTS), _sizes(judged.plant), strict=True)),
        finding_rows(judged.findings, opened),
        sorted(accepted, key=lambda row: (row["rule"], row["at"], row["setup"] or "")),
    )


def check_text(judged: Judged, page: Page, called: str, *, notes: bool = False) -> str:
    """Findings above `note` in full, notes as one line a unit or bay (with `notes` in full too), and the summary."""
    told = told_findings(judged.findings, judged.opened)
    full = [each for each in told if notes or each.severity != Severity.NOTE.value]
    short = [] if notes else _short(judged, page)
    parts = ["\n".join(diagnostic(each, page) for each in full)] if full else []
    if short:
        parts.append("\n".join(short) + "\n")
    parts.append("\n".join(_summary(judged, told, page, called, notes)) + "\n")
    return "\n".join(parts)


def _short(judged: Judged, page: Page) -> list[str]:
    """Notes by the unit or bay they are about: a line each, with the sentence where there is only one."""
    by_head: dict[str, list[Finding]] = {}
    for finding in judged.findings:
        if finding.severity is Severity.NOTE:
            by_head.setdefault(finding.at[0].partition("/")[0] if finding.at else "", []).append(finding)
    lines: list[str] = []
    for head, findings in by_head.items():
        if len(findings) == 1:
            text = findings[0].text
        else:
            text = f"{title(judged.plant, head)}: {counted(len(findings), 'note')}, the first: {findings[0].text}"
        first, *rest = wrapped(visible(text), page.width - 9)
        lines.append(page.paint("note     ", "note") + first)
        lines += [" " * 9 + line for line in rest]
    return lines


def _sizes(plant: Plant) -> tuple[int, ...]:
    return len(plant.units), len(plant.bays), plant.channel_count, sum(1 for _ in jackets(plant)), len(plant.setups)


def _summary(judged: Judged, told: Sequence[Told], page: Page, called: str, notes: bool) -> list[str]:
    plant = judged.plant
    units, bays, channels, cables, setups = _sizes(plant)
    things = (
        f"{counted(units, 'unit')}, {counted(bays, 'bay')}, {counted(channels, 'channel')}, "
        f"{counted(cables, 'cable')}, {counted(setups, 'setup')}"
    )
    name = plant.studio.head.title or "The studio"
    lines = wrapped(visible(f"{name} ({called}): {things}."), page.width)
    found = counts(each.severity for each in told)
    accepted = len(judged.opened.report.accepted)
    more = f"; {accepted:,} accepted" if accepted else ""
    lines += wrapped(f"Found: {found}{more}." if found else f"Nothing to report{more}.", page.width)
    if not notes and any(each.severity == Severity.NOTE.value for each in told):
        lines += wrapped("Every note with its place and its reason: routecode check --notes", page.width)
    return lines
