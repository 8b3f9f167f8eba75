"""Annotations for continuous integration: one command a line, whatever the names hold."""

import re

import pytest

from routecode.change.difference import Difference
from routecode.ground.finding import Mistake
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
    lines = of_difference(difference, Scope(), "sub/")
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


def test_an_edit_that_is_gone_is_told_at_its_file() -> None:
    """The line does not stand in the files after, so the file alone is marked."""
    lost = PLAIN.replace('[[bay.south.column]]\nat = "9..16"\ntop = "pre-b/out 1..8"\n', "", 1)
    before = PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
    lines = list(
        of_difference(Difference(opened({"studio.toml": before}), opened({"studio.toml": PLAIN})), Scope(), "sub/")
    )
    assert lost != PLAIN
    (line,) = (each for each in lines if "title=lost" in each)
    assert line.startswith("::error file=sub/studio.toml,title=lost::")
    assert line.endswith(f"Its cause stood at sub/studio.toml:{PLAIN.count(chr(10)) + 3}.")


def test_the_worst_comes_first_and_what_several_setups_share_once() -> None:
    """Runners show few of a step (ten of a kind, from memory)."""
    setups = "".join(
        f'\n[setup.s{number}]\n[[setup.s{number}.cord]]\nfrom = "south/top 9"\nto = "north/bottom 9"\n'
        for number in range(3)
    )
    before = PLAIN + '\n[setup.s]\n[[setup.s.need]]\npath = ["pre-a/mic 1", "conv/line 1"]\n'
    after = before.replace('bottom = "conv/line 1..8"', 'bottom = ["conv/line 2..8", "conv/line 1"]') + setups
    after += '\n[[cable]]\nfrom = "pre-b/out 1"\nto = "pre-a/out 1"\n'
    difference = Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))
    lines = of_difference(difference, Scope(), "")
    levels = [line.partition(" ")[0] for line in lines]
    assert "title=need::" in lines[0]
    assert levels == sorted(levels)
    assert len(set(lines)) == len(lines)


def test_errors_of_the_side_before_have_no_place_in_the_files_after() -> None:
    broken = opened({"studio.toml": PLAIN + "\n[unit.x\n"})
    (line,) = of_mistakes(broken.mistakes, broken, "sub/", before=True)
    assert not re.search("[ ,](file|line)=", line.split("::")[1])
    assert re.search(r"::Before this change \(sub/studio\.toml:\d+\): ", line)


def test_what_to_do_is_on_lines_of_its_own() -> None:
    (line,) = of_mistakes([Mistake("no-repository", "No history.", do="Begin one:\ngit init .")], None, "")
    assert line == "::error title=no-repository::No history.%0ABegin one:%0Agit init ."


@pytest.mark.parametrize("bad", ["::error::x", "a,b:c%0A", "%0A::warning file=x::", "]]##[error]", "##[error]"])
def test_a_hostile_studio_starts_no_command(bad: str) -> None:
    """As many lines as with plain titles, each one command."""
    edit = ('bottom = "conv/line 1..8"', 'bottom = ["conv/line 2..8", "conv/line 1"]')

    def lines(text: str) -> list[str]:
        return of_difference(
            Difference(opened({"studio.toml": text}), opened({"studio.toml": text.replace(*edit)})), Scope(), ""
        )

    named = lines(PLAIN.replace('title = "Hall"', f'title = "{bad} Hall"'))
    assert len(named) == len(lines(PLAIN)) > 0
    assert all(COMMAND.fullmatch(line) for line in named)
    assert any("Hall" in line for line in named)
