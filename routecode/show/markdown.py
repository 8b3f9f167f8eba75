"""Text of users made fit for Markdown: nothing of it can become a link, an image, markup, a mention or a reference.

Everything that CommonMark or a forge's extensions could read as markup is escaped; what forges look for in the finished page (mentions,
issue numbers, commit ids, addresses) is broken by an invisible joiner, which copies along and changes nothing that is seen.
"""

import re

from routecode.show.escape import visible

JOINER = "\u2060"
"""Word joiner: no width, no break."""
_MARKUP = re.compile(r"([\\`*_{}\[\]()<>#+!|~$&^=-])")
_FOUND = (
    re.compile(r"(@)(?=\w)"),
    re.compile(r"(#)(?=\d)"),
    re.compile(r"((?i:\bgh)-)(?=\d)"),
    re.compile(r"((?i:\b[a-z][a-z0-9+.-]*):)(?=//)"),
    re.compile(r"((?i:\bwww)\.)"),
    re.compile(r"((?i:\b(?:mailto|xmpp)):)"),
    re.compile(r"(\b[0-9a-f]{3})(?=[0-9a-f]{4,37}\b)"),
    re.compile(r"(:)(?=[\w+-]+:)"),
)
_NUMBERED = re.compile(r"\A(\d+)([.)])")


def escaped(text: str) -> str:
    """A text on one line as Markdown that reads as the text."""
    shown = visible(text)
    for pattern in _FOUND:
        shown = pattern.sub(rf"\1{JOINER}", shown)
    shown = _MARKUP.sub(r"\\\1", shown)
    return _NUMBERED.sub(r"\1\\\2", shown)


def code(text: str) -> str:
    """A text as a code span, for files, lines and commands."""
    shown = visible(text).replace(JOINER, "")
    fence = "`" * (max(map(len, re.findall("`+", shown)), default=0) + 1)
    pad = " " if shown.startswith("`") or shown.endswith("`") else ""
    return f"{fence}{pad}{shown}{pad}{fence}"
