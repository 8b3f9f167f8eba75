"""Markdown for a pull request: nothing of a name becomes markup, and it fits into a comment; read by a CommonMark reader."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from routecode.change.difference import Difference
from routecode.show.difference_markdown import LIMIT, difference_markdown
from routecode.show.difference_sections import Scope
from routecode.show.escape import visible
from routecode.show.markdown import JOINER, code, escaped
from tests.change.wiring import PLAIN
from tests.show.studios import opened

READER = MarkdownIt("gfm-like")
"""CommonMark with tables, strike-through and addresses found in the text."""
HOSTILE = (
    "<script>alert(1)</script>", "![x](http://evil.invalid/x.png)", "[a](javascript:alert(1))", "@everyone", "#123", "owner/repo#1",
    "GH-7", "http://evil.invalid", "www.evil.invalid", "a@evil.invalid", "| a | b |", "```", "`x`", "~~~", "# big", "> quoted",
    "1. one", "- item", "***", ":tada:", "</details>", "<!-- x -->", "&lt;", "a\\", "deadbeefcafe", "x  ", "$x$", "[^1]", "- [ ] todo",
    "&#60;b&#62;", "mailto:a@evil.invalid", "ftp://evil.invalid", "__x__", "*y*", "~z~", "==m==", "\u202eabc", "<http://evil.invalid>",
)  # fmt: skip


def tokens(text: str) -> list[str]:
    """The types of all tokens, inner ones too."""
    found = []
    for token in READER.parse(text):
        found.append(token.type)
        found += [inner.type for inner in token.children or ()]
    return found


def read(text: str) -> str:
    """What a reader sees."""
    shown = [
        "".join(inner.content for inner in token.children or () if inner.type in ("text", "code_inline"))
        for token in READER.parse(text)
        if token.type == "inline"
    ]
    return "".join(shown).replace(JOINER, "")


def assert_plain(text: str) -> None:
    for written in (f"- {escaped(text)}", f"| a |\n|---|\n| {escaped(text)} |", f"**x** {escaped(text)}"):
        kinds = set(tokens(written))
        assert not kinds & {
            "link_open",
            "image",
            "html_inline",
            "html_block",
            "fence",
            "code_block",
            "code_inline",
            "s_open",
            "em_open",
        }, written
    assert read(f"x{escaped(text)}x") == f"x{visible(text)}x"


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_names_are_only_text(text: str) -> None:
    assert_plain(text)


@given(st.text(alphabet=st.sampled_from("ab1 @#:/.`*_[]()<>!|~&\\-+=$^{}wftp\n\t")))
def test_any_text_is_only_text(text: str) -> None:
    assert_plain(text.strip())


@pytest.mark.parametrize(
    "text", ["@someone", "#12", "GH-12", "https://x.invalid", "www.x.invalid", "0123456789abcdef", ":smile:"]
)
def test_what_forges_look_for_is_broken(text: str) -> None:
    """Mentions, references, commit ids and addresses are found in the finished text, so the text itself must not hold them."""
    seen = re.sub(r"\\(.)", r"\1", escaped(text))
    assert text not in seen
    assert seen.replace(JOINER, "") == text


@pytest.mark.parametrize("text", ["a`b", "``", "`x`", "plain.toml:3"])
def test_code_spans_hold_any_text(text: str) -> None:
    assert read(f"x {code(text)}") == f"x {text}"


def markdown(before: str, after: str, limit: int = LIMIT) -> str:
    difference = Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))
    return difference_markdown(difference, "one", "two", Scope(), "routecode diff one..two", limit)


CUT = PLAIN.replace('from = "hall/line 1..8"', 'from = "hall/line 1..4"').replace(
    'to = "north/top 1..8"', 'to = "north/top 1..4"'
)


def test_the_result_stands_first_and_last() -> None:
    after = PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
    text = markdown(PLAIN, after)
    first, last = text.splitlines()[0], text.splitlines()[-1]
    assert first == last
    assert first.startswith("**Paths connect other ends")
    assert "### Gained" in text


def test_it_is_cut_from_the_end_and_says_so() -> None:
    extra = "".join(
        f'\n[unit.x{number}]\ntitle = "A unit with quite a long name, number {number}"\n[[unit.x{number}.port]]\nname = "in"\n'
        f'direction = "in"\nsignal = "line"\n'
        for number in range(400)
    )
    after = PLAIN + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n' + extra
    whole, part = markdown(PLAIN, after), markdown(PLAIN, after, 3000)
    assert len(part) <= 3000 < len(whole)
    assert "### Gained" in part
    assert re.search(r"> \d+ more could not be shown here\. All of it: `routecode diff one\.\.two`", part)
    assert part.count("<details>") == part.count("</details>")


def test_a_hostile_studio_is_only_text() -> None:
    bad = "<img src=x onerror=alert(1)> @all [x](y) | `z`"
    after = PLAIN.replace('title = "Hall"', f"title = '{bad}'").replace(
        'title = "Preamp A"', "title = '</details><script>'"
    )
    text = markdown(PLAIN, after + '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n')
    html = [token.content for token in READER.parse(text) if token.type == "html_block"]
    assert all(re.fullmatch(r"(</?details>|<details><summary>[A-Za-z ()0-9]+</summary>)\s*", each) for each in html)
    assert "link_open" not in tokens(text)
