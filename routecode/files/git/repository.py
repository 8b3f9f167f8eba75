"""A repository that is open: commits resolved, read, listed. Object ids only, after one resolution of what a person wrote."""

import posixpath
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from attrs import frozen

from routecode.files import tree
from routecode.files.git import history, revision
from routecode.files.git.objects import FOLDER, LINK, MODULE, Commit, Entry, read_commit, read_listing, read_tree, tree_of
from routecode.files.git.process import NO_GIT, blobs, objects, run
from routecode.files.git.state import State, identity_of, state_of
from routecode.files.tree import Files
from routecode.ground.finding import Mistake

_NUMBER = re.compile(r"[0-9]{1,6}")
_MAX_HOPS = 10


@frozen
class Repository:
    """`top` is the work tree's folder, `studio` the posix path from there to the folder that was opened ('' for `top`)."""

    top: Path
    git_dir: Path
    studio: str
    is_shallow: bool

    def head(self) -> Commit | None:
        """The commit that is checked out; None before the first one."""
        commit_id = revision.verified(self.top, "HEAD")
        return self._commit(commit_id) if commit_id else None

    def resolve(self, text: str, studio: str | None = None) -> Commit | Mistake:
        """The commit a person means: `last`, a date, a number from the history of `studio` (1 newest), or git's own names.

        Up to six digits are a number; seven or more may be the beginning of an id.
        """
        mistake = revision.refused(text)
        if mistake is not None:
            return mistake
        text = text.strip()
        head = self.head()
        if head is None:
            return Mistake(
                "nothing-recorded",
                "Nothing has been recorded here yet.",
                do='Record what you have: routecode record "the studio as it is"',
            )
        if text == "last":
            return head
        if _NUMBER.fullmatch(text):
            return self._numbered(int(text), self.studio if studio is None else studio)
        commit_id = revision.dated(self.top, text, head.id) or revision.named(self.top, text)
        return self._commit(commit_id) if isinstance(commit_id, str) else commit_id

    def log(self, studio: str, limit: int | None = None) -> Iterator[Commit]:
        """The commits back from HEAD that touched a `*.toml` below `studio`, newest first."""
        head = revision.verified(self.top, "HEAD")
        return history.log(self.top, head, studio, limit) if head else iter(())

    def read(self, commit: Commit, studio: str) -> Files:
        """The studio's files in a commit, chosen as in a work tree. What cannot be read is in `mistakes`."""
        tree_id = self._tree(commit.id, studio)
        done = run(self.top, "ls-tree", "-r", "-z", "--full-tree", tree_id) if tree_id else None
        if done is None or done.status:
            return Files(studio, {}, (tree.missing_studio(f"the commit {commit.id[:12]}"),))
        return _Reading(self.top, studio, list(read_listing(done.out))).files()

    def state(self) -> State:
        """What stands in the way of recording, or should be told."""
        return state_of(self.top, self.git_dir, self.studio, self.is_shallow)

    def identity(self) -> tuple[str, str] | Mistake:
        """Name and mail address of who records, from the environment or git's configuration."""
        return identity_of(self.top)

    def commit(self, files: Sequence[str], message: str) -> Commit | Mistake:
        """Record these files (posix paths below `studio`; a missing one is recorded as deleted) and nothing else."""
        from routecode.files.git.record import record

        made = record(self.top, self.git_dir, self.studio, files, message)
        return self._commit(made) if isinstance(made, str) else made

    @classmethod
    def init(cls, folder: Path) -> "Repository | Mistake":
        """Make a repository in `folder`, without templates or hooks; one that is there already is opened."""
        opened = open_repository(folder)
        if isinstance(opened, Repository) or opened.id != "no-repository":
            return opened
        given = run(folder, "config", "--get", "init.defaultBranch").line
        branch = given if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9_./-]*", given) else "main"
        done = run(folder, "init", "--quiet", "--template=", f"--initial-branch={branch}")
        if done.status:
            return Mistake("git-failed", f"git could not make a repository in {folder}.", why=_said(done.complaint))
        return open_repository(folder)

    def _commit(self, commit_id: str) -> Commit | Mistake | None:
        return None

    def _numbered(self, number: int, studio: str) -> Commit | Mistake:
        known = 0
        for known, commit in enumerate(self.log(studio, number or None), 1):
            if known == number:
                return commit
        said = f"The history has {known} commits, so there is no number {number}." if number else "Numbers begin with 1, the newest."
        why = "This copy of the repository is shallow: it holds only the newest commits." if self.is_shallow else ""
        return Mistake("revision-number", said, why=why, do="See the commits there are: routecode history")
