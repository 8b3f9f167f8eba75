"""The reference of the wiring language as Markdown, made from the declarations; narrow enough for a terminal.

It says what may be written. What it means as a circuit is told by the page `meaning`.
"""

from collections.abc import Callable, Iterator
from textwrap import fill
from typing import Any

from routecode.language.defaults import DEFAULTS
from routecode.language.kinds import (
    Choice,
    Choices,
    Day,
    Ends,
    Flag,
    Id,
    Kind,
    LegList,
    NameList,
    Number,
    Quantity,
    Reserved,
    Steps,
    Tables,
    Text,
    TextList,
    Whole,
)
from routecode.language.paper import Times
from routecode.language.plan import Declared, declarations, headings, summary
from routecode.language.ranges import LIMIT
from routecode.language.signals import KINDS
from routecode.language.table import Table
from routecode.language.values import UNBOUNDED
from routecode.language.written import Head

WIDTH = 78

_INTRO = """\
# The wiring language, version 1

A studio is a folder with a `studio.toml`; every `*.toml` file below it belongs
to the studio. Any table may stand in any file and may be continued in another:
keys unite, arrays of tables are joined in the order of the file names, and a
key given twice is a mistake. The order of files and of tables never matters.
Files are TOML 1.0.
"""

_GRAMMAR = f"""\
## Names

- An id (`[unit.pre-a]`) holds letters, digits, `-` and `_`, at most 100 of
  them. Letters of any script are letters; beyond ASCII, TOML wants quotes:
  `[unit."flügel"]`. Units and bays share their ids. Ids that differ only in
  upper and lower case are a mistake.
- A port's name is what is printed at the socket: any text of at most 200
  characters without `/`, `..`, a ` ch` and a number at its end, spaces at its
  ends or double spaces.
- Names match exactly: `Mic 1` is not `mic 1`. Texts are in Unicode form NFC
  and hold no characters that cannot be seen.

| written | meant |
| --- | --- |
| `pre-a/mic 1` | a port of a unit |
| `stage/out ch 3` | a channel of a port of several channels |
| `north/top 12`, `north/bottom 12` | a jack of a bay |
| `aux/7` | a jack of a bay with one row |

## Ranges and lists

| written | meant |
| --- | --- |
| `mic 1..8` | `mic 1` to `mic 8` |
| `mic 8..1` | counts down; only where names are used, not where they are made |
| `mic 1..9 step 2` | `mic 1`, `mic 3`, `mic 5`, `mic 7`, `mic 9` |
| `line 01..12` | padded: `line 01` to `line 12`; both ends equally wide |
| `out ch 1..8` | channels 1 to 8 |
| `["mic 1..4", "mic 9"]` | joined in order |

A range stands at the end of a text, and a text holds one. A field stands for at
most {LIMIT:,} names, and for none of them twice. Two sides of a cable, a column,
an inside, a normal, a route or a cord pair one to one, in order.
"""

_SIGNALS = """\
## Kinds of signal

Ports of one family may be joined. A port carries as many channels as stated
here unless `channels` says otherwise. An analogue port carries one channel.
A kind of your own joins the family of the kind it is like:

```toml
[signal.stage-link]
like = "aes3"
```
"""


def language_page() -> str:
    """The whole page, ending in a newline."""
    parts = [_INTRO, _GRAMMAR, *_tables(), _signals()]
    return "\n".join(parts)


def _tables() -> Iterator[str]:
    yield "## Tables\n"
    yield "Every table takes these keys:\n"
    yield _keys(list(declarations(Table)))
    common = {each.name for each in declarations(Table)}
    told: dict[type, str] = {}
    for heading, record in headings():
        yield f"### `{heading}`\n"
        yield _filled(summary(record)) + "\n"
        if record in told:
            yield f"Keys as in `{told[record]}`.\n"
            continue
        told[record] = heading
        own = [each for each in declarations(record) if each.name not in common]
        if own:
            yield _keys(own)


def _keys(declared: list[Declared]) -> str:
    return "".join(_key(each) for each in declared)


def _key(declared: Declared) -> str:
    key = declared.key
    facts = [kind_words(key.kind)]
    if key.required:
        facts.append("must be given")
    if default := key.default_words or _default(declared.default):
        facts.append(f"without it: {default}")
    lines = [_filled(f"- `{declared.name}`: {key.doc} ({'; '.join(facts)})", "  ")]
    if key.example and key.example.split(" = ")[0] == declared.name:
        lines.append(f"  `{key.example}`")
    return "\n".join(lines) + "\n"


def _default(value: Any) -> str:
    if value is None or value == ():
        return ""
    if isinstance(value, float):
        return f"{value:g}"
    return str(value).lower() if isinstance(value, bool) else f"`{value}`" if isinstance(value, str) else str(value)


def _signals() -> str:
    lines = [_SIGNALS, "| kind | what it is | family | channels |", "| --- | --- | --- | --- |"]
    for name, kind in KINDS.items():
        channels = "must be given" if kind.channels is None else str(kind.channels)
        lines.append(f"| `{name}` | {kind.doc} | {kind.family} | {channels} |")
    lines.append("\nWhat the numbers of channels rest on:\n")
    lines += [f"- `{name}`: {kind.source}" for name, kind in KINDS.items() if kind.source]
    return "\n".join([*lines, "", *_defaults()]) + "\n"


def _defaults() -> Iterator[str]:
    """What holds for a port that does not say its figures."""
    yield "## Usual figures"
    yield ""
    yield _filled(
        "What is taken for a port that does not say its figures. Every answer that rests on one says so, and no finding above a note does."
    )
    yield ""
    yield "| kind | output, ohms | input, ohms | level, dBu | maximum, dBu | balanced |"
    yield "| --- | --- | --- | --- | --- | --- |"
    for name, usual in DEFAULTS.items():
        numbers = (usual.out_ohms, usual.in_ohms, usual.level, usual.max_level)
        cells = ["" if number is None else f"{number:,.0f}" if number >= 1000 else f"{number:g}" for number in numbers]
        balanced = "" if usual.balanced is None else "yes" if usual.balanced else "no"
        yield f"| `{name}` | {' | '.join(cells)} | {balanced} |"
    yield ""
    yield "What they rest on:"
    yield ""
    for name, usual in DEFAULTS.items():
        yield _filled(f"- `{name}`: {usual.source}", "  ")
    yield ""
    yield from _times()


def _times() -> Iterator[str]:
    """How long the hands need, and how much more cable is ordered, where the studio does not say it."""
    yield "## Usual times and allowances"
    yield ""
    yield _filled("All of them are common practice, no source: put in your own figures in `[times]` and `[studio]`.")
    yield ""
    yield "| key | usual |"
    yield "| --- | --- |"
    own = {each.name for each in declarations(Table)}
    for each in declarations(Times):
        if each.name not in own:
            yield f"| `{each.name}` | {each.default:g} minutes |"
    for each in declarations(Head):
        if each.name.startswith("allowance_"):
            yield f"| `{each.name}` | {each.default:g} |"


def _filled(text: str, indent: str = "") -> str:
    return fill(text, WIDTH, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False)


def kind_words(kind: Kind) -> str:
    """What may be written for one kind, in words."""
    return _WORDS[type(kind)](kind)


def _name_words(kind: NameList) -> str:
    numbers = "whole numbers, " if kind.numbers else ""
    return f"{kind.of}: {numbers}a text or a list of texts, ranges allowed"


def _bounds(kind: Whole) -> str:
    return f"a whole number, {kind.low} to {kind.high:,}" if kind.high < UNBOUNDED else "a whole number"


_WORDS: dict[type, Callable[[Any], str]] = {
    Text: lambda kind: "a text, several lines allowed" if kind.lines else "a text",
    Id: lambda kind: f"the id of a {kind.table.replace('_', ' ')}",
    NameList: _name_words,
    LegList: lambda kind: f"{kind.of}: a text, a list of texts, or a list of lists (a split)",
    TextList: lambda kind: f"{kind.of}: {'a text or ' if kind.one else ''}a list of texts",
    Steps: lambda _: "a list of two places or more, ranges allowed",
    Ends: lambda _: "places: a text or a list of texts, ranges allowed",
    Whole: _bounds,
    Number: lambda kind: f"a number {'above' if kind.above else 'of at least'} {kind.low:g}",
    Flag: lambda _: "true or false",
    Choice: lambda kind: "one of " + ", ".join(f"`{word}`" for word in kind.words),
    Choices: lambda kind: "one or a list of " + ", ".join(f"`{word}`" for word in kind.words),
    Quantity: lambda kind: "a text: a number, a space and " + ", ".join(kind.units[:-1]) + f" or {kind.units[-1]}",
    Day: lambda _: "a date",
    Reserved: lambda _: "true, or a text",
    Tables: lambda _: "tables of their own, below",
}
