"""The history of a studio for people: a list in text and in Markdown. What an entry says is worked out in `history`."""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from attrs import frozen

from routecode.history.entry import BROKEN, FIRST
from routecode.history.log import Item, folded
from routecode.show.escape import visible
from routecode.show.markdown import code, escaped
from routecode.show.measure import padded, width, wrapped
from routecode.show.paint import Paint, plain
from routecode.show.spoken import counted

SHORT = 10
"""Digits of an id that are shown."""
_DATE = 10
_TITLES = 5
"""Titles that are told of a fold."""
CUT = "What was before is not in this copy of the repository."


@frozen
class Frame:
    """How wide, in which colours, and whether commits that changed only text are told one by one."""

    width: int = 80
    paint: Paint = plain
    unfolded: bool = False


def told(items: Iterable[Item], unfolded: bool) -> Iterator[Item | list[Item]]:
    """The items as they are told: neighbours that changed only text together, unless they are asked for one by one."""
    return iter(items) if unfolded else folded(items)


def history_text(items: Iterable[Item], frame: Frame) -> Iterator[str]:
    """The list, entry by entry; each ends with an empty line."""
    for one in told(items, frame.unfolded):
        yield _fold(one, frame) if isinstance(one, list) else _entry(one, frame)


def _entry(item: Item, frame: Frame) -> str:
    head = f"{item.number:>4}  {item.commit.when[:_DATE] or 'no date':<{_DATE}}  "
    room = frame.width - len(head)
    lines = [frame.paint(line, "strong") for line in wrapped(visible(item.commit.title) or "(no message)", room)]
    lines += wrapped(visible(meaning(item)), room)
    if item.entry.said:
        lines += wrapped(visible(item.entry.said[0]), room)
    lines += [frame.paint(line, "quiet") for line in wrapped(by(item), room)]
    return _beside(head, lines)


def _fold(items: Sequence[Item], frame: Frame) -> str:
    if len(items) == 1:
        return _entry(items[0], frame)
    numbers = f"{items[0].number}-{items[-1].number}"
    head = f"{numbers:>4}  {items[-1].commit.when[:_DATE]:<{_DATE}}  "
    lines = wrapped(
        f"{counted(len(items), 'commit')} that changed only text, the wiring is the same:", frame.width - 18
    )
    for item in items[:_TITLES]:
        lines += [frame.paint(line, "quiet") for line in wrapped(visible(item.commit.title), frame.width - 18)]
    if len(items) > _TITLES:
        lines.append(f"and {len(items) - _TITLES} more")
    return _beside(head, lines)


def _beside(head: str, lines: Sequence[str]) -> str:
    """Lines beside a head, that hangs over where it is too wide."""
    first = padded(head, 18)
    indent = " " * width(first)
    return "".join(f"{indent if number else first}{line}\n" for number, line in enumerate(lines)) + "\n"


def meaning(item: Item) -> str:
    """The line of meaning, with what there is to know of the place in the history."""
    entry = item.entry
    if item.cut and entry.kind == FIRST:
        return f"{entry.meaning} {CUT}"
    return (
        f"Compiles again. Since {short(item.against)}: {entry.meaning}"
        if item.mended and item.against
        else entry.meaning
    )


def by(item: Item) -> str:
    """Id and author, and of a merge what came together."""
    commit = item.commit
    merge = f", merge of {' and '.join(map(short, commit.parents[:4]))}" if item.merges else ""
    return visible(f"{short(commit.id)}, {commit.author or 'nobody'}{merge}")


def short(commit_id: str | None) -> str:
    """The beginning of an id."""
    return (commit_id or "")[:SHORT]


def between(item: Item, numbers: Mapping[str, int]) -> str | None:
    """What to give to `diff` to see an entry whole; None where there is nothing to compare. `numbers`: of commits, by id."""
    if item.against is None or item.entry.kind == BROKEN:
        return None
    return f"{numbers.get(item.against) or short(item.against)}..{item.number}"


# -- Markdown --------------------------------------------------------------------------------------------------------------


def history_markdown(items: Iterable[Item], title: str, frame: Frame) -> str:
    """The list as Markdown."""
    lines = [f"# {escaped(title)}: history", ""]
    for one in told(items, frame.unfolded):
        lines += _folded_markdown(one) if isinstance(one, list) and len(one) > 1 else _markdown(_only(one))
    return "\n".join(lines).rstrip("\n") + "\n"


def _only(one: Item | list[Item]) -> Item:
    return one[0] if isinstance(one, list) else one


def _markdown(item: Item) -> list[str]:
    commit = item.commit
    lines = [f"## {item.number}. {escaped(commit.title) or '(no message)'}", ""]
    lines += [f"{commit.when[:_DATE]}, {escaped(commit.author)}, {code(short(commit.id))}", ""]
    lines += [f"**{escaped(meaning(item), (short(item.against),))}**", ""]
    return lines + ([*(f"- {escaped(text)}" for text in item.entry.said), ""] if item.entry.said else [])


def _folded_markdown(items: Sequence[Item]) -> list[str]:
    lines = [f"## {items[0].number} to {items[-1].number}. Only text", ""]
    return [*lines, *(f"- {one.commit.when[:_DATE]}, {escaped(one.commit.title)}" for one in items), ""]
