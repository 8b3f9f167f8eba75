"""The page about lines to read says what is so now. `python -m tests.bench.reading --write` writes it anew."""

from tests.bench.reading import PAGE, git_lines, page_with, table


def test_the_page_is_fresh() -> None:
    assert PAGE.read_text(encoding="utf-8") == page_with(table())


def test_lines_of_git_are_counted_as_git_prints_them() -> None:
    """One line of nine exchanged: five lines of heading, three before, two that changed, three after (git-diff(1), -U)."""
    before = b"".join(b"%d\n" % number for number in range(9))
    after = before.replace(b"4\n", b"four\n")
    assert len(git_lines({"a.toml": before}, {"a.toml": after})) == 5 + 3 + 2 + 3
    assert git_lines({"a.toml": before}, {"a.toml": after}, "-U0")[-2:] == ["-4", "+four"]
