"""The revisions of a studio one after another: along first parents, so that each is the one before it with one change.

What several branches did side by side is in `history`; a merge is one change here, that of all it brought in.
"""

from collections.abc import Iterator
from pathlib import Path

from routecode.files.git.history import Trees
from routecode.files.git.objects import Commit, read_commit
from routecode.files.git.process import lines, objects


def mainline(top: Path, start: str, studio: str) -> Iterator[Commit]:
    """From the commit `start` back along first parents: the commits that changed a `*.toml` below `studio`, newest first.

    In a shallow copy the oldest commit there counts as the one that brought everything.
    """
    with objects(top) as reader:
        trees = Trees(reader, studio)
        for commit_id in lines(top, "rev-list", "--first-parent", start):
            found = reader.get(commit_id)
            if found is None or found.kind != "commit":
                return
            commit = read_commit(commit_id, found.data)
            before = trees.of_commit(commit.parents[0]) if commit.parents else None
            if trees.differ(trees.of(found.data), before):
                yield commit
