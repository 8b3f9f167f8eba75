"""Splicing: parts of one text come into another; what is untouched stays byte for byte. TOML is read by the standard library here."""

import re
import tomllib
from collections.abc import Callable, Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from routecode.files.edit import spliced
from tests.change.any_edit import any_edit
from tests.reference.studios import random_studio
from tests.reference.toml_text import document
from tests.reference.written import united

Path = tuple[str | int, ...]


def among(*paths: Path) -> Callable[[Path], bool]:
    return lambda path: path[:2] in paths


def spliced_text(now: str, then: str, *paths: Path, then_paths: tuple[Path, ...] | None = None) -> str:
    wanted = among(*(paths if then_paths is None else then_paths))
    return spliced(now.encode(), among(*paths), then.encode(), wanted).decode()


NOW = """# Units of the control room.

[unit.a]
title = "A now" # typed anew
notes = "n" # still true

# About B.
[unit.b]
title = "B"

# ---- the other rack ----

[unit.c]
title = "C"
"""
THEN = """# Old.

[unit.a]
title = "A then" # as it was
notes = "n"

[[unit.a.port]]
name = "p"

# About B then.
[unit.b]
title = "B"

[unit.d]
title = "D"
"""


def test_a_table_is_changed_statement_by_statement_and_comments_of_the_others_stay() -> None:
    new = spliced_text(NOW, THEN, ("unit", "a"))
    first = '[unit.a]\ntitle = "A then" # as it was\nnotes = "n" # still true\n\n[[unit.a.port]]\nname = "p"\n'
    assert new == NOW.replace(NOW[NOW.index("[unit.a]") : NOW.index("\n# About B.")], first)


def test_what_says_the_same_keeps_its_comments() -> None:
    assert spliced_text(NOW, THEN, ("unit", "b")) == NOW


def test_a_table_that_was_not_there_goes_with_its_own_comment_and_no_other() -> None:
    assert spliced_text(NOW, THEN, ("unit", "c")) == NOW.replace('\n[unit.c]\ntitle = "C"\n', "")
    assert spliced_text(NOW, "", ("unit", "b")) == NOW.replace('\n# About B.\n[unit.b]\ntitle = "B"\n', "")


def test_a_table_that_is_gone_comes_back_where_it_stood() -> None:
    where = '[unit.b]\ntitle = "B"\n'
    assert spliced_text(NOW, THEN, ("unit", "d")) == NOW.replace(where, f'{where}\n[unit.d]\ntitle = "D"\n')


def test_there_and_back_gives_the_same_bytes() -> None:
    without = spliced_text(NOW, "", ("unit", "a"), ("unit", "c"))
    assert "unit.a" not in without
    back = spliced_text(without, NOW, ("unit", "a"), ("unit", "c"))
    assert back == NOW


def test_line_ends_a_byte_order_mark_and_a_missing_last_line_end_are_kept() -> None:
    wide = "\ufeff" + NOW.replace("\n", "\r\n").removesuffix("\r\n")
    new = spliced_text(wide, THEN, ("unit", "a"))
    assert new.startswith("\ufeff# Units")
    assert "\n" not in new.replace("\r\n", "")
    assert new.endswith('title = "C"')
    at_end = spliced_text("[unit.a]\nx = 1", "[unit.a]\nx = 1\n\n[unit.z]\ny = 2\n", ("unit", "z"))
    assert at_end == "[unit.a]\nx = 1\n\n[unit.z]\ny = 2\n"


def test_mixed_line_ends_of_untouched_lines_stay_as_they_are() -> None:
    now = "[unit.a]\r\nx = 1\n\r\n[unit.b]\nx = 2\r\n"
    assert spliced_text(now, "[unit.b]\nx = 3\n", ("unit", "b")) == "[unit.a]\r\nx = 1\n\r\n[unit.b]\nx = 3\r\n"


DOTTED = """unit.a.title = "x" # of a
unit.b.title = "y" # of b

[bay]
north = { columns = 4, rows = 2 }
south = { columns = 5 }
"""
DOTTED_THEN = """unit.a.title = "then"
unit.a.model = "m"

[bay]
north = { columns = 8 }
west = { columns = 1 }
"""


@pytest.mark.parametrize(
    ("path", "was", "now"),
    [
        (("unit", "a"), 'unit.a.title = "x" # of a\n', 'unit.a.title = "then"\nunit.a.model = "m"\n'),
        (("bay", "north"), "north = { columns = 4, rows = 2 }", "north = { columns = 8 }"),
        (("bay", "south"), "south = { columns = 5 }\n", ""),
        (("bay", "west"), "south = { columns = 5 }\n", "south = { columns = 5 }\nwest = { columns = 1 }\n"),
    ],
)
def test_dotted_keys_and_statements_below_a_shared_header(path: Path, was: str, now: str) -> None:
    assert spliced_text(DOTTED, DOTTED_THEN, path) == DOTTED.replace(was, now)


def test_a_shared_header_that_is_missing_is_put_there() -> None:
    new = spliced_text("[rack.a]\n", DOTTED_THEN, ("bay", "west"), ("unit", "a"))
    assert tomllib.loads(new) == {
        "unit": {"a": {"title": "then", "model": "m"}},
        "rack": {"a": {}},
        "bay": {"west": {"columns": 1}},
    }


ARRAY = """cable = [
  { from = "a/1", to = "b/1" }, # one
  # about two
  { from = "a/2", to = "b/2" },
  { from = "c/2", to = "d/2" } # last
]
"""


def test_entries_of_an_inline_array_on_lines_of_their_own() -> None:
    first = '  { from = "a/1", to = "b/1" }, # one\n'
    then = 'cable = [ { from = "a/1", to = "b/9" } ]\n'
    came = spliced_text(ARRAY, then, ("cable", 0), then_paths=(("cable", 0),))
    assert came == ARRAY.replace(first, '  { from = "a/1", to = "b/9" },\n')
    assert spliced_text(ARRAY, "", ("cable", 0)) == ARRAY.replace(first, "")
    assert spliced_text(ARRAY, "", ("cable", 2)) == ARRAY.replace('  { from = "c/2", to = "d/2" } # last\n', "")


@pytest.mark.parametrize(
    ("now", "then", "path", "want"),
    [
        (
            "unit = { a = { t = 1 }, b = { t = 2 } }\n",
            "unit = { a = { t = 3 } }\n",
            "a",
            "unit = { a = { t = 3 }, b = { t = 2 } }\n",
        ),
        ("unit = { a = { t = 1 }, b = { t = 2 } }\n", "", "b", "unit = { a = { t = 1 } }\n"),
        (
            "unit = { a = { t = 1 } }\n",
            "unit = { a = { t = 1 }, c = { t = 2 } }\n",
            "c",
            "unit = { a = { t = 1 }, c = { t = 2 } }\n",
        ),
        ("x = 1\n", "unit = { c = { t = 2 } }\n", "c", "x = 1\nunit = { c = { t = 2 } }\n"),
    ],
)
def test_entries_of_an_inline_table(now: str, then: str, path: str, want: str) -> None:
    assert spliced_text(now, then, ("unit", path)) == want


def test_texts_and_arrays_over_several_lines_move_whole() -> None:
    then = '[unit.a]\nnotes = """\none\n\n# no comment\n[unit.b]\n"""\non = [\n  "x", # one\n\n  "y",\n]\n'
    assert spliced_text("# top\n\n[unit.z]\n", f"[unit.z]\n\n{then}", ("unit", "a")) == f"# top\n\n[unit.z]\n\n{then}"


# -- any studio ------------------------------------------------------------------------------------------------------------

HEADER = re.compile(r"\[+(?P<kind>\w+)\.?(?P<id>[^\].]*)")


def chunks(text: str) -> Iterator[tuple[str, str, str]]:
    """(kind, id, text) of every stretch from one header to the next, for texts that `document` writes."""
    for part in re.split(r"(?m)^(?=\[)", text)[1:]:
        piece = re.sub(
            r"(?:(?<=\n)(?:#[^\n]*)?\n)*\Z", "", part
        )  # what stands right above the next header belongs to that one
        found = HEADER.match(piece)
        assert found is not None
        yield found["kind"], found["id"].strip('"'), piece


def pair(seed: int) -> tuple[str, str]:
    """One text before and after some rough edits, with comments and other line ends here and there."""
    rng = Random(seed)
    whole = united(random_studio(seed))
    other = whole
    for _ in range(rng.randint(1, 8)):
        other = any_edit(other, rng)
    return tuple(document(Random(rng.randint(0, 3)), each) for each in (whole, other))  # type: ignore[return-value]  # two of them


def kept(text: str, kind: str, each: str) -> list[str]:
    """The lines of the tables that are not meant, in order."""
    return [
        line
        for one, ident, piece in chunks(text)
        if (one, ident) != (kind, each)
        for line in piece.split("\n")
        if line.strip()
    ]


def table_of(text: str, kind: str, each: str) -> Any:
    below = tomllib.loads(text).get(kind, {})
    return below.get(each)


def rest_of(text: str, kind: str, each: str) -> Any:
    table = tomllib.loads(text)
    table.get(kind, {}).pop(each, None)
    return {key: value for key, value in table.items() if value != {}}


@settings(max_examples=60)
@given(st.integers(0, 10_000), st.data())
def test_any_table_of_any_studio_comes_back_and_nothing_else_changes(seed: int, data: st.DataObject) -> None:
    now, then = pair(seed)
    kinds = [
        kind
        for kind in ("unit", "bay", "setup")
        if {**tomllib.loads(now).get(kind, {}), **tomllib.loads(then).get(kind, {})}
    ]
    kind = data.draw(st.sampled_from(kinds))
    each = data.draw(st.sampled_from(sorted({*tomllib.loads(now).get(kind, {}), *tomllib.loads(then).get(kind, {})})))
    ending = data.draw(st.sampled_from(("\n", "\r\n")))
    wide = now.replace("\n", ending)
    new = spliced_text(wide, then, (kind, each))
    assert table_of(new, kind, each) == table_of(then, kind, each)
    assert rest_of(new, kind, each) == rest_of(now, kind, each)
    lines = new.split(ending)
    at = 0
    for line in kept(now, kind, each):
        at = lines.index(line, at) + 1
    again = spliced_text(new, now, (kind, each))
    assert table_of(again, kind, each) == table_of(now, kind, each)
    assert rest_of(again, kind, each) == rest_of(now, kind, each)
