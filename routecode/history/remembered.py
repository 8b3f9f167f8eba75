"""A whole history kept from one run to the next under the commit it leads back from, so that the next run asks git for next to nothing.

What is read back is checked field by field. A history that leads back from a newer commit is the older one with more on top, as long as
nothing was merged in between.
"""

from collections.abc import Sequence
from typing import Any

from attrs import evolve

from routecode.files.git.objects import Commit
from routecode.history.entry import Entry
from routecode.history.log import Item, Keep, Reader

MOST_NEW = 50
"""Commits since the history that is kept."""
_FIELDS = 6


def question(studio: str, head: str) -> str:
    """What a whole history is kept under: the folder of the studio in its repository, and the commit it leads back from."""
    return f"history {head} {studio}"


def remember(keep: Keep, studio: str, head: str, items: Sequence[Item]) -> None:
    """Keep a whole history, the newest first."""
    keep.put(question(studio, head), [_plain(item) for item in items])


def recall(keep: Keep, studio: str, head: str, reader: Reader) -> tuple[int, list[Item]] | None:
    """A history that is kept, and how many commits on top of it are new; None where there is none to build on.

    The numbers of its items are those that they have now.
    """
    at = head
    for _ in range(MOST_NEW):
        found = _items(keep.get(question(studio, at)))
        if found is not None:
            return _on_top(found, at == head, reader)
        commit = reader.commit(at)
        if commit is None or len(commit.parents) != 1:
            return None
        at = commit.parents[0]
    return None


def _on_top(found: list[Item], same: bool, reader: Reader) -> tuple[int, list[Item]] | None:
    """The items with the numbers they have now."""
    if same:
        return 0, found
    for new, commit in enumerate(reader.commits()):
        if new > MOST_NEW:
            return None
        if found and commit.id == found[0].commit.id:
            return new, [evolve(item, number=item.number + new) for item in found]
    return None


# -- as JSON has it ---------------------------------------------------------------------------------------------------------


def _plain(item: Item) -> list[Any]:
    commit = item.commit
    told = [commit.id, commit.title, commit.author, commit.when, list(commit.parents), commit.body]
    return [item.number, told, item.entry.to_plain(), item.against, item.mended, item.cut]


def _items(plain: object) -> list[Item] | None:
    if type(plain) is not list:
        return None
    found = [item for number, each in enumerate(plain, 1) if (item := _item(each, number)) is not None]
    return found if found and len(found) == len(plain) else None


def _item(plain: object, expected: int) -> Item | None:
    if type(plain) is not list or len(plain) != _FIELDS:
        return None
    number, told, entry, against, mended, cut = plain
    commit, read = _commit(told), Entry.from_plain(entry)
    fine = (
        number == expected and type(mended) is bool and type(cut) is bool and (against is None or type(against) is str)
    )
    return (
        Item(expected, commit, read, against, mended, cut) if fine and commit is not None and read is not None else None
    )


def _commit(told: object) -> Commit | None:
    if type(told) is not list or len(told) != _FIELDS:
        return None
    commit_id, title, author, when, parents, body = told
    texts = (commit_id, title, author, when, body, *(parents if type(parents) is list else (None,)))
    return (
        Commit(commit_id, title, author, when, tuple(parents), body)
        if all(type(text) is str for text in texts)
        else None
    )
