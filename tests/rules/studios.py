"""Small studios for the tests of the rules: text on top of the models of the manual."""

from collections.abc import Sequence
from datetime import date

from routecode.circuit.circuit import Circuit, compile_studio
from routecode.files.toml import parse
from routecode.ground.finding import Finding
from routecode.language.decode import decode
from routecode.rules.manual import MODELS
from routecode.rules.run import Report, judge


def compiled(*texts: str) -> Circuit:
    """The circuit of the models and of `texts`, each a file of its own."""
    files = []
    for number, text in enumerate((MODELS, *texts)):
        name = f"file-{number}.toml"
        parsed = parse(name, text.encode())
        assert parsed.table is not None, parsed.mistake
        files.append((name, parsed.table))
    studio, mistakes = decode(files)
    assert studio is not None, mistakes
    circuit, mistakes = compile_studio(studio)
    assert circuit is not None, mistakes
    return circuit


def judged(*texts: str, today: date | None = None) -> Report:
    """What is found in the models and `texts`."""
    return judge(compiled(*texts), today)


def told(*texts: str, rule: str = "") -> list[Finding]:
    """The findings, of one rule or of all."""
    return [finding for finding in judged(*texts).findings if not rule or finding.rule == rule]


def rules_of(findings: Sequence[Finding]) -> set[str]:
    return {finding.rule for finding in findings}
