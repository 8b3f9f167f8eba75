"""Text of users made fit for Markdown: nothing of it can become a link, an image, markup, a mention or a reference.

What CommonMark or a forge's extensions read as markup is escaped. What forges look for in the finished page (mentions, numbers of issues,
commit ids, addresses, short codes of pictures) no escape holds back: it is broken by an invisible joiner, which changes nothing that is seen.
Ids that this program tells itself are code instead, where forges look for nothing: they are copied into commands, as they stand.
"""

import re
from collections.abc import Collection

from routecode.show.escape import visible

JOINER = "\u2060"
"""Word joiner: no width, no break. `visible` lets none of it through, so each one in a page is ours."""
_MARKUP = re.compile(r"([\\`*_{}\[\]<|~&$^])")
_AT_START = re.compile(r"\A([#>+=-])")
_NUMBERED = re.compile(r"\A(\d+)([.)])")
_FOUND = (
    re.compile(r"([@#!$%&~^])(?=[\w\"])"),  # mentions; numbers and names of issues, requests, labels, milestones
    re.compile(r"(\[)(?=[a-z_]+:)"),
    re.compile(r"([Gg][Hh]-)(?=\d)"),
    re.compile(r"(:)(?=//)"),
    re.compile(r"([Ww]{3}\.)"),
    re.compile(r"((?i:mailto|xmpp|tel|data|javascript):)"),
    re.compile(r"(:)(?=[\w+-]+:)"),
    re.compile(r"([0-9a-fA-F]{6})(?=[0-9a-fA-F])"),  # commit ids are at least seven long
)
_ID = re.compile(r"(?<![\w@#!$%&~^:/\\-])[0-9a-f]{7,64}(?!\w)")
"""What may be the id of a commit and no part of a longer word, an address or a reference."""
_NAMED = re.compile(r'([0-9a-f]{10}), "')


def escaped(text: str, ids: Collection[str] = ()) -> str:
    """A text on one line as Markdown that reads as the text; spaces at its ends are dropped.

    `ids`: commits that the text names, in full or by their beginning; where it does, there is a code span.
    """
    shown = visible(text).strip()
    written, done = "", 0
    for found in _ID.finditer(shown) if ids else ():
        if any(known.startswith(found[0]) or found[0].startswith(known) for known in ids if known):
            written += _plain(shown[done : found.start()], is_start=not done) + code(found[0])
            done = found.end()
    return written + _plain(shown[done:], is_start=not done)


def _plain(shown: str, *, is_start: bool) -> str:
    for pattern in _FOUND:
        shown = pattern.sub(rf"\1{JOINER}", shown)
    shown = _MARKUP.sub(r"\\\1", shown)
    if not is_start:
        return shown
    shown = _AT_START.sub(r"\\\1", shown)
    return _NUMBERED.sub(r"\1\\\2", shown)


def named_at(said: str) -> tuple[str, ...]:
    """The id that what a commit is called begins with; none for what is no commit."""
    found = _NAMED.match(said)
    return (found[1],) if found is not None else ()


def code(text: str) -> str:
    """A text as a code span, for files, lines and commands; forges look for nothing in it. Not for cells of tables."""
    shown = visible(text) or " "
    fence = "`" * (max(map(len, re.findall("`+", shown)), default=0) + 1)
    pad = " " if shown[0] in "` " or shown[-1] in "` " else ""
    return f"{fence}{pad}{shown}{pad}{fence}"


def units(text: str) -> int:
    """How long a text is for whoever limits it: in units of UTF-16, which no way of counting characters exceeds."""
    return len(text) + sum(1 for character in text if character > "\uffff")
