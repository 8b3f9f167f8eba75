"""Findings in the book: what is open, worst first, and what was looked at and accepted, with its reason."""

from collections.abc import Iterator, Sequence

from routecode.circuit.plant import Plant
from routecode.ground.finding import Finding, Severity
from routecode.language.written import Accept
from routecode.rules.words import counted, listed
from routecode.show.book_pages import Section, table
from routecode.show.diagnostic import Told, told_findings
from routecode.show.paper.pieces import Block, Heading, Space, Words
from routecode.show.spoken import places
from routecode.studio.opened import Opened

MOST_FINDINGS = 1500
"""Findings in one book, the worst; what is left out is said."""
_FEW = 12
"""Places that are named of one finding."""
_FULL = 60
"""Findings above a note that are told in full; the others go into the table."""
NOTHING = "Nothing is open: no rule has anything to report."
_HEADS = ("severity", "what", "why", "what to do", "where it is written")
_ACCEPTED = ("rule", "severity", "at", "setup", "because", "until")


class Findings:
    """The chapter of the findings. After `blocks`, `left` says what is left out."""

    def __init__(self, opened: Opened, plant: Plant) -> None:
        self.opened, self.plant = opened, plant
        self.left: list[str] = []

    def blocks(self) -> Iterator[Block]:
        """The chapter."""
        report = self.opened.report
        yield Section("Findings", "findings")
        yield Section("Open", "findings-open", 2, named=f"Open: {sizes(report.findings)}")
        told = told_findings(report.findings, self.opened)
        if not told:
            yield Words(NOTHING)
        elif len(told) > MOST_FINDINGS:
            self.left.append(
                f"The last {counted(len(told) - MOST_FINDINGS, 'finding')} of {len(told):,}. See them with: routecode check --notes"
            )
        yield from self._open(told[:MOST_FINDINGS])
        yield from self._accepted(report.accepted)

    def _open(self, told: Sequence[Told]) -> Iterator[Block]:
        full = [each for each in told if each.severity != Severity.NOTE.value][:_FULL]
        for each in full:
            yield Words(f"{each.severity.upper()}: {each.text}", bold=True)
            for name, text in (("Why", each.why), ("Do", each.do), ("Where", self._where(each))):
                if text:
                    yield Words(f"{name}: {text}", size=8, indent=14)
            yield Space(1)
        rest = told[len(full) :]
        if rest:
            yield Heading("Notes" if all(each.severity == Severity.NOTE.value for each in rest) else "More", 3)
            yield table(
                _HEADS, [[each.severity, each.text, each.why, each.do, self._where(each)] for each in rest], bold=()
            )

    def _where(self, told: Told) -> str:
        """Rule, setups, and the place in the text."""
        setups = [self.plant.setups[setup].written.title or setup for setup in told.setups if setup]
        spot = told.spot
        said = [
            f"{spot.file}:{spot.line}:{spot.column}" if spot is not None else "",
            f"rule {told.id}" if told.id else "",
            f"in setup {listed(setups, 4)}" if setups and None not in told.setups else "",
        ]
        return ", ".join(part for part in said if part)

    def _accepted(self, accepted: Sequence[tuple[Finding, Accept]]) -> Iterator[Block]:
        if not accepted:
            return
        yield Section("Accepted", "findings-accepted", 2, named=f"Accepted: {len(accepted):,}")
        yield Words("Looked at, and meant to be so.")
        if len(accepted) > MOST_FINDINGS:
            self.left.append(
                f"The last {counted(len(accepted) - MOST_FINDINGS, 'accepted finding')} of {len(accepted):,}."
            )
        yield table(_ACCEPTED, [self._row(*each) for each in accepted[:MOST_FINDINGS]])

    def _row(self, finding: Finding, accept: Accept) -> list[str]:
        names = places(self.plant, finding.at[:_FEW]) + (
            f" and {len(finding.at) - _FEW} more" if len(finding.at) > _FEW else ""
        )
        setup = self.plant.setups[finding.setup].written.title or finding.setup if finding.setup else ""
        until = accept.until.isoformat() if accept.until else ""
        return [finding.rule, finding.severity.value, names, setup, accept.because or "", until]


def sizes(findings: Sequence[Finding]) -> str:
    """`2 warnings, 5 notes`; `none`."""
    found = [(severity, sum(each.severity is severity for each in findings)) for severity in Severity]
    return ", ".join(counted(count, severity.value) for severity, count in found if count) or "none"
