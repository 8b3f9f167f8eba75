"""The reference page: complete, narrow, and true where it can be tried."""

import re

import pytest

from routecode.ground.finding import Mistake
from routecode.ground.place import At
from routecode.language.decode import decode
from routecode.language.plan import declarations, headings
from routecode.language.ranges import spread
from routecode.language.reference import language_page
from routecode.language.signals import KINDS, family_of
from routecode.language.table import Table

from .cases import table_of

PAGE = language_page()
CHAPTERS = {part.split("\n")[0]: part for part in re.split(r"^##+ ", PAGE, flags=re.MULTILINE)}
COMMON = {each.name for each in declarations(Table)}


def test_every_line_fits_a_terminal() -> None:
    assert [line for line in PAGE.split("\n") if len(line) > 80] == []


def test_every_table_and_key_is_told() -> None:
    for heading, record in headings():
        chapter = CHAPTERS[f"`{heading}`"]
        keys = set(re.findall(r"^- `(\w+)`: ", chapter, re.MULTILINE))
        own = {each.name for each in declarations(record)} - COMMON
        assert keys == own or "Keys as in" in chapter, heading
    assert set(re.findall(r"^- `(\w+)`: ", CHAPTERS["Tables"], re.MULTILINE)) == COMMON


def test_every_kind_of_signal_is_told_with_its_family() -> None:
    rows = re.findall(r"^\| `([\w-]+)` \| .* \| (\w+) \| (\d+|must be given) \|$", PAGE, re.MULTILINE)
    assert [name for name, _, _ in rows] == list(KINDS)
    assert all(family_of(name, {}) == family for name, family, _ in rows)


@pytest.mark.parametrize("row", re.findall(r"^\| `([^`|[]*\.\.[^`|]*)` \| (.*) \|$", PAGE, re.MULTILINE))
def test_the_ranges_told_are_ranges(row: tuple[str, str]) -> None:
    text, told = row
    mistakes: list[Mistake] = []
    made = spread((text,), At("x", ()), mistakes)
    assert mistakes == []
    named = re.findall(r"`([^`]+)`", told)
    assert all(name in made for name in named)
    assert not named or (made[0], made[-1]) == (named[0], named[-1])


def test_the_example_of_a_signal_decodes() -> None:
    for block in re.findall(r"^```toml\n(.*?)^```", PAGE, re.MULTILINE | re.DOTALL):
        studio, mistakes = decode([("studio.toml", {"studio": {"language": 1}}), ("a.toml", table_of("a", block))])
        assert studio is not None, mistakes
