"""In what state a work tree is: what stands in the way of recording, and what a person should be told.

Looks at git's own folder and at the index (`ls-files --stage` with file monitors switched off reads it and runs
nothing). Changes nothing.
"""

import re
from pathlib import Path

from attrs import frozen

from routecode.files.git.listing import listing, unlisted
from routecode.files.git.objects import tree_of
from routecode.files.git.process import objects, run, said
from routecode.files.git.revision import head_id
from routecode.files.tree import read_worktree
from routecode.ground.finding import Mistake
from routecode.ground.place import Spot

_OPERATIONS = (
    ("merge", "MERGE_HEAD", "git merge --abort"),
    ("rebase", "rebase-merge", "git rebase --abort"),
    ("rebase", "rebase-apply", "git rebase --abort"),
    ("cherry-pick", "CHERRY_PICK_HEAD", "git cherry-pick --abort"),
    ("revert", "REVERT_HEAD", "git revert --abort"),
)
_MARK = re.compile(rb"^<{7}(?: [^\r\n]*)?\r?$", re.MULTILINE)
Staged = dict[str, tuple[str, str]]


@frozen
class State:
    """`branch` is None when the head is detached; `operation` is `merge`, `rebase`, `cherry-pick`, `revert` or None.

    `unmerged` are paths with more than one version in the index, `staged_elsewhere` paths with staged changes that are
    no wiring of this studio (both from the top of the work tree); `marks` are conflict marks in wiring files.
    """

    branch: str | None
    operation: str | None
    unmerged: tuple[str, ...]
    marks: tuple[Spot, ...]
    staged_elsewhere: tuple[str, ...]
    is_shallow: bool
    unreadable: Mistake | None = None
    """Why the index, or the commit that is checked out, cannot be read; then nothing else is known of them."""

    @property
    def is_detached(self) -> bool:
        """Whether a commit is checked out that is not the end of a branch."""
        return self.branch is None

    def hindrance(self) -> Mistake | None:
        """Why nothing can be recorded now; None when it can. A detached head is no hindrance: see `detached`."""
        return self.unreadable or _operation(self.operation) or _unmerged(self) or _elsewhere(self.staged_elsewhere)

    def detached(self) -> Mistake | None:
        """What to tell about a detached head."""
        if not self.is_detached:
            return None
        return Mistake(
            "detached-head",
            "You are looking at an older state, on no branch (git calls this a detached head).",
            why="What is recorded now is easily lost when you go back to a branch.",
            do="Go back, or keep it on a branch of its own:\ngit switch -\ngit switch -c a-name",
        )


def state_of(top: Path, git_dir: Path, studio: str, is_shallow: bool) -> State:
    """The state of this work tree."""
    named = run(top, "symbolic-ref", "--quiet", "HEAD")
    branch = named.line.removeprefix("refs/heads/") if named.status == 0 else None
    operation = next((name for name, file, _ in _OPERATIONS if (git_dir / file).exists()), None)
    index, recorded = index_of(top), recorded_of(top)
    if isinstance(index, Mistake) or isinstance(recorded, Mistake):
        unreadable = index if isinstance(index, Mistake) else recorded if isinstance(recorded, Mistake) else None
        return State(branch, operation, (), _marks(top / studio), (), is_shallow, unreadable)
    staged, unmerged = index
    differing = {path for path in staged.keys() | recorded.keys() if staged.get(path) != recorded.get(path)}
    elsewhere = tuple(sorted(path for path in differing if not _is_wiring(path, studio)))
    return State(branch, operation, unmerged, _marks(top / studio), elsewhere, is_shallow)


def index_of(top: Path) -> tuple[Staged, tuple[str, ...]] | Mistake:
    """The index: path to (mode, id), and the paths that are unmerged."""
    done = run(top, "ls-files", "--stage", "-z", "--full-name")
    if done.status:
        told = "What is staged in this repository (its index) cannot be read."
        do = "Look at it: git status\nWhere it is damaged, make it anew from the last commit; your files stay as they are:\n"
        again = "mv .git/index .git/index.old\ngit reset"
        return Mistake("index-unreadable", told, why=said(done.complaint), do=f"{do}{again}")
    staged: Staged = {}
    unmerged: set[str] = set()
    for line in done.out.split(b"\0"):
        facts, tab, name = line.partition(b"\t")
        if not tab:
            continue
        mode, object_id, stage = facts.decode("ascii", errors="replace").split(" ")
        path = name.decode("utf-8", errors="surrogateescape")
        if stage == "0":
            staged[path] = (mode.lstrip("0"), object_id)
        else:
            unmerged.add(path)
    return staged, tuple(sorted(unmerged))


def recorded_of(top: Path) -> Staged | Mistake:
    """The files of the commit that is checked out: path to (mode, id); nothing before the first commit."""
    head = head_id(top)
    if head is None:
        return {}
    with objects(top) as reader:
        commit = reader.get(head)
        entries = listing(reader, tree_of(commit.data), "the last commit") if commit else unlisted("the last commit")
    if isinstance(entries, Mistake):
        return entries
    return {entry.name.decode("utf-8", errors="surrogateescape"): (entry.mode, entry.id) for entry in entries}


def _is_wiring(path: str, studio: str) -> bool:
    return path.endswith(".toml") and (not studio or path.startswith(studio + "/"))


def _marks(root: Path) -> tuple[Spot, ...]:
    """The first conflict mark of each wiring file."""
    spots = []
    for name, data in read_worktree(root).texts.items():
        mark = _MARK.search(data)
        if mark is not None:
            spots.append(Spot(name, data.count(b"\n", 0, mark.start()) + 1, 1, 7))
    return tuple(spots)


def _operation(name: str | None) -> Mistake | None:
    if name is None:
        return None
    abort = next(command for operation, _, command in _OPERATIONS if operation == name)
    return Mistake(
        "half-done",
        f"A {name} is half done in this repository.",
        why="Recording now would make it look finished.",
        do=f"Correct the files and finish it, or go back to before it:\n{abort.replace('--abort', '--continue')}\n{abort}",
    )


def _unmerged(state: State) -> Mistake | None:
    if state.unmerged:
        shown = _some(state.unmerged)
        said = f"git holds two versions that could not be joined: {shown}."
        return Mistake("unmerged", said, do="Edit the files until they are right, then tell git: git add FILE")
    if state.marks:
        said = "There are still conflict marks in the wiring."
        return Mistake("conflict-mark", said, state.marks[0], do="Keep the lines that are right and delete the others.")
    return None


def _elsewhere(paths: tuple[str, ...]) -> Mistake | None:
    if not paths:
        return None
    return Mistake(
        "staged-elsewhere",
        f"Other changes are staged in this repository: {_some(paths)}.",
        why="They would get into the same commit.",
        do="Commit them first, or take them out of the way:\ngit commit\ngit restore --staged FILE",
    )


def _some(paths: tuple[str, ...]) -> str:
    shown = ", ".join(path.encode("utf-8", errors="backslashreplace").decode() for path in paths[:3])
    return shown if len(paths) <= 3 else f"{shown} and {len(paths) - 3} more"
