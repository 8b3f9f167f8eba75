"""Annotations for continuous integration: one command a line, whatever the names hold."""

import re

import pytest

from routecode.change.difference import Difference
from routecode.ground.place import Spot
from routecode.show.annotations import annotation, of_difference, of_findings, of_mistakes
from routecode.show.difference_sections import Scope
from tests.change.wiring import PLAIN
from tests.show.studios import opened

COMMAND = re.compile(r"::(error|warning) ((?:[a-z]+=[^:,\r\n]*)(?:,[a-z]+=[^:,\r\n]*)*)::([^\r\n]*)")


@pytest.mark.parametrize(
    "text", ["plain", "a\nb", "::error::x", "100%", "\r\n::set-env name=x::y", "a,b:c", "\x1b[31m", "%0A::error::"]
)
def test_a_text_stays_in_its_line(text: str) -> None:
    line = annotation("error", text, text, Spot(text, 1, 2), "studio/")
    found = COMMAND.fullmatch(line)
    assert found is not None, line
    assert "\x1b" not in line
    assert "%0A::error" not in line.replace("%250A", "")


def test_losses_and_risks_are_told_at_their_place() -> None:
    after = PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-a/out 1"\n'
    difference = Difference(opened({"studio.toml": PLAIN}), opened({"studio.toml": after}))
    lines = list(of_difference(difference, Scope(), "sub/"))
    assert lines
    assert all(COMMAND.fullmatch(line) for line in lines)
    place = f"file=sub/studio.toml,line={PLAIN.count(chr(10)) + 3},"
    assert any(place in line for line in lines)


def test_findings_and_mistakes() -> None:
    broken = opened({"studio.toml": PLAIN + "\n[unit.x\n"})
    (line,) = of_mistakes(broken.mistakes, broken, "")
    assert line.startswith("::error file=studio.toml,line=")
    tied = opened({"studio.toml": PLAIN + '\n[[cable]]\nfrom = "pre-b/out 1"\nto = "pre-a/out 1"\n'})
    lines = list(of_findings(tied.report.findings, tied, ""))
    assert any("title=outputs-tied" in each for each in lines)
    assert not any("title=inputs-unfed" in each for each in lines)
