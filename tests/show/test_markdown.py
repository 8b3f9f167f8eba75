"""Markdown for a pull request: nothing of a name becomes markup, and it fits into a comment; read by a CommonMark reader."""

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from routecode.change.difference import Difference
from routecode.show.difference_markdown import LIMIT, Named, difference_markdown, refused_markdown
from routecode.show.difference_sections import Scope
from routecode.show.escape import visible
from routecode.show.markdown import JOINER, code, escaped
from tests.change.wiring import PLAIN
from tests.show.studios import opened

READER = MarkdownIt("gfm-like", {"html": True})
"""CommonMark with tables, strike-through, HTML, and addresses found in the text."""
LOOKED_FOR = re.compile(
    r"@[\w]|[#!$%&~^][\w\"]|gh-\d|://|www\.\w|mailto:\w|:[\w+-]+:|[0-9a-f]{7}|\[[a-z_]+:", re.IGNORECASE
)
"""What forges look for in a finished page: mentions, references, addresses, short codes, commit ids (their manuals, from memory)."""
HOSTILE = (
    "<script>alert(1)</script>", "![x](http://evil.invalid/x.png)", "[a](javascript:alert(1))", "@everyone", "#123", "owner/repo#1",
    "GH-7", "http://evil.invalid", "www.evil.invalid", "a@evil.invalid", "| a | b |", "```", "`x`", "~~~", "# big", "> quoted",
    "1. one", "- item", "***", ":tada:", "</details>", "<!-- x -->", "&lt;", "a\\", "deadbeefcafe", "x  ", "$x$", "[^1]", "- [ ] todo",
    "&#60;b&#62;", "deadbeefdeadbeefdeadbeefdeadbeefdeadbeef", "1http://evil.invalid", "[vulnerability:1]", '~"label"', "    code", "\tcode",
    "%3", "!3", "--- | ---", "===", "+ x", "2) two", "http://a.invalid/@b#1:tada:", "\\|", "\\\\|", "!\\[x](y)", "<b", "x<!--", "?>", "]]>",
 "mailto:a@evil.invalid", "ftp://evil.invalid", "__x__", "*y*", "~z~", "==m==", "\u202eabc", "<http://evil.invalid>",
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
    seen = READER.renderInline(escaped(text))
    assert not LOOKED_FOR.search(re.sub(r"&(?:lt|gt|amp|quot);", " ", seen)), seen
    assert read(f"x {escaped(text)} x").split() == f"x {visible(text)} x".split()


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_names_are_only_text(text: str) -> None:
    assert_plain(text)


@given(st.text(alphabet=st.sampled_from("ab1 @#:/.`*_[]()<>!|~&\\-+=$^{}wftp\n\t")))
def test_any_text_is_only_text(text: str) -> None:
    assert_plain(text)


@given(st.lists(st.sampled_from(HOSTILE), max_size=4).map("".join))
def test_any_hostile_texts_together_are_only_text(text: str) -> None:
    assert_plain(text)


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


OURS = "5d68a92c63e1f0a7b4c2d3e4f5a6b7c8d9e0f1a2"
"""The id of a commit that a text of ours names."""


@pytest.mark.parametrize(
    ("text", "spans"),
    [
        (f'{OURS[:10]}, "Hall turned", 2026-01-02', [OURS[:10]]),
        (f'Since {OURS[:10]}, "deadbeefcafe", nobody.', [OURS[:10]]),
        (f"routecode jobsheet {OURS}..{OURS[:7]}", [OURS, OURS[:7]]),
        (f"@{OURS[:10]} owner/repo@{OURS} x/{OURS} #{OURS[:10]} x{OURS[:10]} {OURS[:10]}x", []),
        (f"{OURS[:6]} deadbeefcafe {OURS[:9]}0", []),
        ("", []),
    ],
)
def test_ids_of_ours_are_code_and_nothing_else_is(text: str, spans: list[str]) -> None:
    """Forges look for nothing in code spans; there an id can be copied as it stands."""
    written = escaped(text, (OURS,))
    inner = [token for each in READER.parse(written) for token in each.children or ()]
    assert [token.content for token in inner if token.type == "code_inline"] == spans
    seen = " ".join(token.content for token in inner if token.type == "text")
    assert not LOOKED_FOR.search(seen), seen
    assert read(written) == text


@given(st.lists(st.sampled_from((*HOSTILE, OURS, OURS[:10], " ", ", ")), max_size=5).map("".join))
def test_beside_ids_of_ours_any_text_is_only_text(text: str) -> None:
    inner = [token for each in READER.parse(f"- {escaped(text, (OURS,))}") for token in each.children or ()]
    assert {token.type for token in inner} <= {"text", "code_inline", "softbreak"}
    assert {token.content for token in inner if token.type == "code_inline"} <= {OURS, OURS[:10]}
    seen = "\n".join(token.content for token in inner if token.type == "text")
    assert not LOOKED_FOR.search(seen), seen
    assert read(f"x {escaped(text, (OURS,))} x").split() == f"x {visible(text)} x".split()


def test_what_the_sides_are_called_can_be_copied() -> None:
    difference = compared(PLAIN, PLAIN + GAINED)
    sides = (f'{OURS[:10]}, "@all deadbeefcafe", 2026-01-02', "the files as they are now")
    lines = difference_markdown(difference, Named(*sides, ALL), Scope()).splitlines()
    assert lines[2].startswith(f'Before: `{OURS[:10]}`, "@{JOINER}all deadbe{JOINER}efcafe"')
    assert lines[3] == f"After: {sides[1]}"


ALL = "routecode diff one..two"


def compared(before: str, after: str) -> Difference:
    return Difference(opened({"studio.toml": before}), opened({"studio.toml": after}))


def markdown(before: str, after: str, limit: int = LIMIT, prefix: str = "") -> str:
    return difference_markdown(compared(before, after), Named("one", "two", ALL, prefix), Scope(), limit)


GAINED = '\n[[cable]]\nfrom = "booth/1"\nto = "pre-b/mic 1"\n'
LOST = ('bottom = "conv/line 1..8"', 'bottom = ["conv/line 2..8", "conv/line 1"]')
"""Each of eight paths ends elsewhere."""
MANY = "".join(
    f'\n[unit.x{number}]\ntitle = "A unit with quite a long name, number {number}"\n[[unit.x{number}.port]]\nname = "in"\n'
    f'direction = "in"\nsignal = "line"\n'
    for number in range(400)
)


def test_the_result_stands_first_and_last_and_places_say_their_side() -> None:
    text = markdown(PLAIN, PLAIN + GAINED, prefix="studios/weir/")
    first, last = text.splitlines()[0], text.splitlines()[-1]
    assert first == last
    assert first.startswith("**Paths connect other ends")
    assert "\nGained: 1.\n" in text
    assert "### Gained" in text
    assert f"`studios/weir/studio.toml:{PLAIN.count(chr(10)) + 3}` (after)" in text


def test_needs_and_losses_outlive_all_others() -> None:
    """Whatever the limit, what is shown of a harm is never shown at the cost of a worse one."""
    need = '\n[setup.s]\n[[setup.s.need]]\npath = ["hall/line 1", "conv/line 1"]\n'
    before = PLAIN + need
    after = before.replace(*LOST) + MANY
    whole = markdown(before, after)
    order = ("### Needs that now fail", "### Lost", "<details><summary>Equipment")
    kept = [[heading for heading in order if heading in whole]]
    for limit in range(600, 6000, 150):
        text = markdown(before, after, limit)
        assert len(text) <= limit
        assert text.startswith("**Paths connect other ends than before.")
        shown = [heading for heading in order if heading in text]
        assert shown == kept[0][: len(shown)]
        assert re.search(
            rf"> [\d,]+ lines? would not fit here, the least harmful first\. All of it: `{re.escape(ALL)}`", text
        )
        assert text.count("<details>") == text.count("</details>")
    assert len(kept[0]) >= 2
    assert "would not fit" not in whole


def test_a_cut_list_counts_what_is_left_out() -> None:
    text = markdown(PLAIN, PLAIN + MANY, 4000)
    shown = text.count("A unit with quite a long name")
    assert 0 < shown < 400
    told = re.search(r"^- ([\d,]+) more\.$", text, re.MULTILINE)
    assert told is not None
    assert int(told[1]) == 400 - shown


@pytest.mark.parametrize("limit", [500, 2000, LIMIT])
def test_characters_beyond_the_first_plane_count_twice(limit: int) -> None:
    """Some forges count UTF-16; none counts more than that."""
    after = PLAIN + MANY.replace("quite a long name", "\U0001f3b9" * 40)
    assert len(markdown(PLAIN, after, limit).encode("utf-16-le")) // 2 <= limit


@pytest.mark.parametrize("bad", [*HOSTILE, "<img src=x onerror=alert(1)> @all [x](y) | `z` #1 :tada:"])
def test_a_hostile_studio_is_only_text(bad: str) -> None:
    """A name in every place that a report has: changes, the table of jacks, cabling, equipment, findings."""
    before = re.sub(
        r'title = "(?!Weir)(.*)"', lambda found: f"title = {json.dumps(f'{visible(bad)} {found[1]}')}", PLAIN
    )
    text = markdown(before, before.replace(*LOST) + GAINED)
    found = [token for token in READER.parse(text) if token.type == "html_block"]
    assert all(
        re.fullmatch(r"(</?details>|<details><summary>[A-Za-z ()0-9]+</summary>)\s*", each.content) for each in found
    )
    kinds = set(tokens(text))
    assert not kinds & {"link_open", "image", "html_inline", "fence", "code_block", "s_open", "em_open"}
    assert kinds >= {"table_open", "html_block", "heading_open"}
    columns = [line.count("<td>") for line in READER.render(text).split("</tr>") if "<td>" in line]
    assert set(columns) == {3}


def test_what_cannot_be_read_is_never_no_change() -> None:
    broken = opened({"studio.toml": PLAIN + "\n[unit.<b>@all\n"})
    text = refused_markdown(broken.mistakes, broken, "sub/")
    assert text.startswith("**Nothing was compared: 1 error.**\n")
    assert f"`sub/studio.toml:{PLAIN.count(chr(10)) + 2}:" in text
    assert not {"link_open", "html_inline", "html_block"} & set(tokens(text))
    assert len(refused_markdown(broken.mistakes * 3000, broken, "")) <= LIMIT
