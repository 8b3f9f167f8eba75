"""The words for faults of structure in a TOML text: one function for each thing the scanner can be lost in.

Each takes the text and where the scanner stopped, and gives the mistake. Finding the fault is not its work.
"""

import re

from routecode.files.scan import Lost
from routecode.files.suspect import Text
from routecode.ground.finding import Mistake

_STATEMENT = re.compile(
    r"""^[ \t]*+(?:[A-Za-z0-9_.\-]+|"[^"\n]*"|'[^'\n]*')[ \t]*=|^[ \t]*+\[\[?[A-Za-z0-9_.\- "']+\]\]?[ \t]*(?:#.*)?$""",
    re.MULTILINE,
)
_LOOK_AHEAD = 100_000  # a next statement further away explains nothing
_NEXT_KEY = re.compile(r"[A-Za-z0-9_.\-]+[ \t]*=")
_BARE = re.compile(r"[^\s#,\]}]+(?:[ \t]+[^\s#,\]}=]+)*")
_TO_LINE_END = re.compile(r"[^#\n]*")


def lost_key(where: Text, lost: Lost) -> Mistake:
    """A statement that does not begin with a key."""
    at, rest = lost.at, where.rest(lost.at)
    curly = where.curly(at, 1)
    if curly is not None:
        return curly
    if rest.startswith(("//", "/*", ";", "--")):
        return Mistake(
            "comment-sign", "A comment in TOML begins with #.", where.spot(at, at + 2), do="Put # there instead."
        )
    if rest.startswith("="):
        return Mistake(
            "key-missing", "There is no key before this =.", where.spot(at), do="Write the name of the key before it."
        )
    if rest[:1] in ('"', "'"):
        return _no_closing_quote(where, at)
    if rest[:1] in ("]", "}", ",", ")"):
        said = f"This {rest[0]} closes or continues nothing."
        return Mistake(
            "stray-sign", said, where.spot(at), do="Delete it, or look for an opening bracket missing above."
        )
    if rest[:1] == "." or not rest:
        return Mistake(
            "key-missing",
            "A part of the key is missing here.",
            where.spot(at),
            do="Write a name on each side of the dot.",
        )
    return _key_sign(where, at)


def _key_sign(where: Text, at: int) -> Mistake:
    said = f"The sign {where.sign(at)} cannot stand in a key without quotes."
    do = "Write letters a-z, digits, - and _, or put the key in double quotes."
    return Mistake("key-sign", said, where.spot(at), do=do)


def lost_equals(where: Text, lost: Lost) -> Mistake:
    """A key with something other than `=` after it."""
    at, rest = lost.at, where.rest(lost.at)
    key = where.text[lost.opened : at].strip()
    curly = where.curly(at, 1)
    if curly is not None:
        return curly
    if rest.startswith(":"):
        return Mistake(
            "equals-missing",
            "A key and its value are joined by =, not by a colon.",
            where.spot(at),
            do=f"Write {key} = ..." if rest[1:].strip() else f"Write [{key}] for a table, {key} = ... for a value.",
        )
    if not rest.strip() or rest.startswith("#"):
        do = f"Write {key} = and a value, or [{key}] if it is a table."
        return Mistake(
            "equals-missing", f'The key "{key}" has no value.', where.spot(lost.opened, lost.opened + len(key)), do=do
        )
    before, equals, _ = rest.partition("=")
    if equals and re.fullmatch(r"[\w \t.\-]+", before):
        whole = f"{key} {before.strip()}"
        do = f'Write {whole.replace(" ", "_")} = ... if the key is one word, or put it in quotes: "{whole}" = ...'
        return Mistake("key-sign", "A key without quotes has no blanks in it.", where.spot(at), do=do)
    if equals:
        return _key_sign(where, at)
    is_value = rest[:1].isalnum() or rest[:1] in "\"'[{+-"
    do = f"Write {key} = {rest.strip()}" if is_value else 'A line is a key and its value: title = "Hall"'
    return Mistake("equals-missing", f'There is no = between the key "{key}" and its value.', where.spot(at), do=do)


def lost_header(where: Text, lost: Lost) -> Mistake:
    """A `[table]` that does not close, or has no proper name."""
    at, rest = lost.at, where.rest(lost.at)
    header = where.rest(lost.opened)
    brackets = "]]" if header.startswith("[[") else "]"
    curly = where.curly(at, 1)
    if curly is not None:
        return curly
    name = _TO_LINE_END.match(header)
    shown = (name.group() if name else header).strip()
    place = where.spot(lost.opened, lost.opened + len(shown))
    if rest.startswith("]") and at > lost.opened + len(brackets):
        do = f"Write {shown.rstrip(']')}]]" if brackets == "]]" else "Write a name after the last dot."
        return Mistake(
            "header-not-closed",
            f"This header opens with {'[' * len(brackets)} and must close the same way.",
            place,
            do=do,
        )
    if rest.startswith("]"):
        return Mistake(
            "key-missing", "This header names no table.", place, do="Write a name between the brackets: [bay.north]"
        )
    if not rest.strip() or rest.startswith("#"):
        return Mistake("header-not-closed", "This header is not closed.", place, do=f"Write {shown}{brackets}")
    if rest[0] in "\"'":
        return _no_closing_quote(where, at)
    if "]" not in rest:
        return Mistake(
            "header-not-closed", "This header is not closed.", place, do=f"End it with {brackets} on the same line."
        )
    do = "Write ids with letters a-z, digits, - and _, like [unit.pre-a]."
    if where.text[at - 1] in " \t":
        return Mistake("key-sign", "A name in a header has no blanks in it.", where.spot(at - 1), do=do)
    return Mistake("key-sign", f"The sign {where.sign(at)} cannot stand in a header here.", where.spot(at), do=do)


def lost_value(where: Text, lost: Lost) -> Mistake:
    """Something after `=` (or in an array) that begins no value."""
    at, rest = lost.at, where.rest(lost.at)
    if where.text[lost.opened] in "[{" and _opens_value(where, lost.opened):
        if _next_statement(where, lost.opened, at):
            return _not_closed(where, lost)
        if rest.startswith(","):
            return Mistake(
                "comma-twice", "Between these two commas is no value.", where.spot(at), do="Delete one of the commas."
            )
    curly = where.curly(at, 1)
    if curly is not None:
        return curly
    if rest[:1] in ('"', "'"):
        return _no_closing_quote(where, at)
    if not rest.strip() or rest[0] == "#":
        line = where.line_start(at)
        key = where.text[max(line, lost.opened) : at].strip()
        place = where.spot(max(line, lost.opened), where.last_before(at))
        return Mistake(
            "value-missing",
            "There is no value after the =.",
            place,
            do=f'Write one, like {key} "text", or delete the line.',
        )
    if rest[0] in "=:>,;)]}":
        return Mistake(
            "value-missing",
            f'A value is missing before this "{rest[0]}".',
            where.spot(at),
            do="Write the value there, or delete the sign.",
        )
    return _not_quoted_from(where, at)


def lost_array(where: Text, lost: Lost) -> Mistake:
    """An array in which neither a comma nor `]` follows."""
    at = lost.at
    if at >= len(where.text) or _next_statement(where, lost.opened, at):
        return _not_closed(where, lost)
    if where.text[at] in "};)":
        return Mistake(
            "array-not-closed",
            f'An array closes with ], and here stands "{where.text[at]}".',
            where.spot(at),
            do="Write ] there.",
        )
    before = where.text[at - 1]
    if before not in " \t\n\"']}":
        start = max(where.text.rfind(sign, 0, at) for sign in "[,\n") + 1
        return _not_quoted_from(where, start + len(where.text[start:at]) - len(where.text[start:at].lstrip()))
    return _no_comma(where, lost, "value")


def lost_inline(where: Text, lost: Lost) -> Mistake:
    """An inline table in which no key, comma or `}` follows where it must."""
    at = lost.at
    before = where.last_before(at)
    if at >= len(where.text):
        return _not_closed(where, lost)
    if where.text[at] == "}" and where.text[before - 1] == ",":
        return Mistake(
            "comma-last",
            "In TOML 1.0 no comma stands before the } of an inline table.",
            where.spot(before - 1),
            do="Delete the comma.",
        )
    if where.text[at] in "\n#":
        return _inline_over_lines(where, lost)
    if where.text[at] in "\"'":
        return _no_closing_quote(where, at)
    curly = where.curly(at, 1)
    if curly is not None:
        return curly
    if where.text[at] in "];)":
        return Mistake(
            "inline-not-closed",
            f'An inline table closes with }}, and here stands "{where.text[at]}".',
            where.spot(at),
            do="Write } there.",
        )
    if where.text[before - 1] in "{,":
        return _key_sign(where, at)
    if not _NEXT_KEY.match(where.text, at):
        return _after_value(where, at)
    return _no_comma(where, lost, "key")


def lost_end(where: Text, lost: Lost) -> Mistake:
    """Something after a whole statement, on the same line."""
    at, rest = lost.at, where.rest(lost.at)
    if rest.startswith(("//", "/*", ";", "--")):
        return Mistake(
            "comment-sign", "A comment in TOML begins with #.", where.spot(at, at + 2), do="Put # there instead."
        )
    if where.text[lost.opened] == "[":
        if rest.startswith("]"):
            do = "Write as many closing brackets as opening ones."
            return Mistake(
                "header-not-closed", "This header closes with more brackets than it opens with.", where.spot(at), do=do
            )
        return Mistake(
            "line-end-missing",
            "After a header the line must end.",
            where.spot(at),
            do="Put the keys on the lines below it.",
        )
    if rest.startswith(",") and not rest[1:].strip():
        return Mistake(
            "stray-sign", "No comma stands at the end of a line like this.", where.spot(at), do="Delete the comma."
        )
    return _after_value(where, at)


def _after_value(where: Text, at: int) -> Mistake:
    """What a person meant who wrote something after a value."""
    text, rest, before = where.text, where.rest(at), where.text[where.last_before(at) - 1]
    if before in "\"'":
        if rest[0] == ",":
            return Mistake(
                "brackets-missing",
                "Several values stand in brackets.",
                where.spot(at),
                do='Write them like ["a", "b"].',
            )
        if _NEXT_KEY.match(rest):
            return Mistake(
                "line-end-missing",
                "A second key must stand on a line of its own.",
                where.spot(at),
                do="Begin a new line here.",
            )
        do = "Write \\\" for a quote inside a text, or put the whole text in 'single quotes'."
        return Mistake("quote-inside", "The text ended at the quote before this.", where.spot(at), do=do)
    if before in "]}":
        return Mistake(
            "line-end-missing",
            "After this value the line must end.",
            where.spot(at),
            do="Begin a new line here, or delete the rest.",
        )
    key = _NEXT_KEY.match(rest)
    if key and text[at - 1 : at] in (" ", "\t"):
        return Mistake(
            "line-end-missing",
            "A second key must stand on a line of its own.",
            where.spot(at),
            do="Begin a new line here.",
        )
    start = text.rfind("=", where.line_start(at), at) + 1
    start += len(text[start:at]) - len(text[start:at].lstrip())
    if rest[0] == "," and re.fullmatch(r"\d+", text[start:at].strip()) and re.match(r",\d+\s*(?:#|$)", rest):
        do = f"Write {text[start:at].strip()}.{rest[1:].split('#')[0].strip()}"
        return Mistake("decimal-comma", "Decimals are written with a point.", where.spot(at), do=do)
    return _not_quoted_from(where, start)


def _not_quoted_from(where: Text, start: int) -> Mistake:
    match = _BARE.match(where.text, start)
    return where.not_quoted(start, match.end() if match else start + 1)


def _no_closing_quote(where: Text, at: int) -> Mistake:
    quote = where.text[at]
    if where.text.startswith(quote * 3, at):
        said = f"The text that begins here with {quote * 3} is never closed."
        return Mistake("quote-missing", said, where.spot(at, at + 3), do=f"Write {quote * 3} where it ends.")
    rest = where.rest(at)
    if rest.rstrip().endswith("\\" + quote):
        said = f"The backslash before the last {quote} makes it a part of the text, so the text is never closed."
        return Mistake(
            "quote-missing", said, where.spot(at, at + len(rest.rstrip())), do="Write two backslashes for one."
        )
    curly = where.curly(at, len(rest))
    if curly is not None:
        return curly
    said = f"The text that begins here has no closing {quote}."
    return Mistake(
        "quote-missing",
        said,
        where.spot(at, at + len(rest.rstrip())),
        do=f"Write {quote} where the text ends, on the same line.",
    )


def _opens_value(where: Text, opened: int) -> bool:
    """Whether the bracket at `opened` opens an array or inline table (a header's stands first on its line)."""
    return bool(where.text[where.line_start(opened) : opened].strip()) or where.text[opened] == "{"


def _next_statement(where: Text, opened: int, at: int) -> int:
    """The first line below the one of `opened`, up to that of `at`, that looks like a new beginning; or 0."""
    below = where.text.find("\n", opened) + 1
    end = min(at + len(where.rest(at)), below + _LOOK_AHEAD)
    match = _STATEMENT.search(where.text, below, end) if below else None
    return match.start() if match else 0


def _not_closed(where: Text, lost: Lost) -> Mistake:
    is_array = where.text[lost.opened] == "["
    what, closing = ("array", "]") if is_array else ("inline table", "}")
    line = _next_statement(where, lost.opened, lost.at)
    also = (("this already looks like the next statement", where.spot(line, line + len(where.rest(line)))),)
    return Mistake(
        "array-not-closed" if is_array else "inline-not-closed",
        f"The {what} that begins here is not closed.",
        where.spot(lost.opened),
        do=f"Write {closing} after its last value.",
        also=also if line > lost.opened else (),
    )


def _inline_over_lines(where: Text, lost: Lost) -> Mistake:
    line = where.text.find("\n", lost.at) + 1
    is_last = "}" not in where.text[lost.opened :]
    if not line or (is_last and _STATEMENT.match(where.text, line)):
        return _not_closed(where, lost)
    return Mistake(
        "inline-over-lines",
        "In TOML 1.0 an inline table stands on one line.",
        where.spot(lost.opened),
        do="Write it on one line, or as a table with a header of its own.",
    )


def _no_comma(where: Text, lost: Lost, what: str) -> Mistake:
    before = where.last_before(lost.at)
    end = before
    comment = where.text.find("#", where.line_start(before), before)
    if comment >= 0 and not _within_quotes(where.text[where.line_start(before) : comment]):
        end = where.last_before(comment)
    return Mistake(
        "comma-missing",
        f"There is no comma between this {what} and the one before it.",
        where.spot(lost.at),
        do="Put a comma between them.",
        also=(("the comma belongs here", where.spot(end, end)),),
    )


def _within_quotes(before: str) -> bool:
    return before.count('"') % 2 == 1 or before.count("'") % 2 == 1
