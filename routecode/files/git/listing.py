"""Everything below a tree, listed from git's objects one by one: each is held against its id, and their number is bounded.

A few small trees that name each other often can stand for more paths than any memory holds, so git is not asked to spread them.
"""

from routecode.files import tree
from routecode.files.git.objects import FOLDER, Entry, RawEntry, whole_entries
from routecode.files.git.process import Objects
from routecode.ground.finding import Mistake

MAX_ENTRIES = 500_000
_FOLDER = FOLDER.encode()


def listing(reader: Objects, tree_id: str, called: str) -> list[Entry] | Mistake:
    """The files, links and modules below a tree, with their paths from there; `called`: whose tree it is, for a mistake."""
    seen: dict[str, list[RawEntry]] = {}
    entries: list[Entry] = []
    pending = [(b"", tree_id)]
    while pending:
        above, one = pending.pop()
        if one not in seen:
            found = reader.get(one)
            raw = whole_entries(found.data, len(one) // 2) if found and found.kind == "tree" else None
            if raw is None:
                return unlisted(called)
            seen[one] = raw
        if len(entries) + len(pending) + len(seen[one]) > MAX_ENTRIES:
            return tree.too_many_entries(called, MAX_ENTRIES)
        for mode, name, raw_id in seen[one]:
            if mode == _FOLDER:
                pending.append((above + name + b"/", raw_id.hex()))
            else:
                entries.append(Entry(mode.decode("ascii"), raw_id.hex(), above + name))
    return entries


def unlisted(called: str) -> Mistake:
    """A tree that is not there or not whole."""
    told = f"The files of {called} cannot be listed: a part of them is missing or damaged."
    return Mistake("object-missing", told, do="Look at the repository with: git fsck")
