"""A repository that is open: commits resolved, read, listed, made. Once resolved, only object ids are used."""

import re
from collections.abc import Iterator, Sequence
from contextlib import AbstractContextManager
from functools import partial
from pathlib import Path

from attrs import field, frozen

from routecode.files.git import built, history, revision
from routecode.files.git.index import put_back_left
from routecode.files.git.objects import Commit, read_commit
from routecode.files.git.process import NO_GIT, objects, run, said
from routecode.files.git.reading import read_files, read_staged
from routecode.files.git.record import identity_of, is_head, record, way_out
from routecode.files.git.state import State, state_of
from routecode.files.git.walking import Walker, walking
from routecode.files.leftover import sweep
from routecode.files.tree import Files
from routecode.ground.finding import Mistake

_NUMBER = re.compile(r"[0-9]{1,6}")
_BUILT = re.compile(r"built(?=[~^]|\Z)")
_BRANCH = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]*")


@frozen
class Repository:
    """`top` is the work tree's folder, `studio` the posix path from there to the opened folder ('' for `top`)."""

    top: Path
    git_dir: Path
    studio: str
    is_shallow: bool
    _texts: dict[str, bytes] = field(factory=dict, eq=False, repr=False)
    """The texts of the last revision read, by the id of their object: the next one has most of them too."""

    def head(self) -> Commit | None:
        """The commit that is checked out; None before the first one."""
        commit_id = revision.verified(self.top, "HEAD")
        commit = self._commit(commit_id) if commit_id else None
        return commit if isinstance(commit, Commit) else None

    def resolve(self, text: str, studio: str | None = None) -> Commit | Mistake:
        """The commit a person means: `last`, `built`, a date, a number from the history of `studio` (1: newest), or git's names.

        Up to six digits are a number; seven or more may be the beginning of an id. Without `studio` it is the own one.
        """
        mistake = revision.refused(text)
        if mistake is not None:
            return mistake
        found = self._found(text.strip(), self.studio if studio is None else studio)
        if isinstance(found, Mistake) and revision.verified(self.top, "HEAD") is None:
            damaged = revision.head_id(self.top)
            return _unreadable(damaged) if damaged else _nothing_recorded()
        if isinstance(found, Mistake):
            return revision.in_shallow(found) if self.is_shallow else found
        return self._commit(found)

    def _found(self, text: str, studio: str) -> str | Mistake:
        if _NUMBER.fullmatch(text):
            return self._numbered(int(text), studio)
        if _BUILT.match(text):
            return self._marked(text)
        return revision.dated(self.top, text) or revision.named(self.top, re.sub(r"\Alast(?=[~^]|\Z)", "HEAD", text))

    def _marked(self, text: str) -> str | Mistake:
        """`built`, or a commit before it; a branch of that name is meant where nothing is marked."""
        found, branch = built.built(self.top), revision.verified(self.top, "refs/heads/built")
        if found is None:
            missing = built.missing(self.top, is_shallow=self.is_shallow)
            return revision.named(self.top, text) if branch else missing
        if branch is not None and branch != found.id:
            told = f'There are a branch "built" and a revision marked as built ({found.tag}), and they are different commits.'
            do = f"Write heads/built for the branch or tags/{found.tag} for the mark."
            return Mistake("revision-ambiguous", told, do=do)
        return revision.named(self.top, _BUILT.sub(found.id, text))

    def _numbered(self, number: int, studio: str) -> str | Mistake:
        known = 0
        for known, commit in enumerate(self.log(studio, number or None), 1):
            if known == number:
                return commit.id
        commits = "one commit" if known == 1 else f"{known} commits"
        told = f"The history has {commits}, so there is no number {number}."
        do = "1 is the newest commit." if number == 0 else revision.ALL_COMMITS
        return Mistake("revision-number", told, do=do)

    def log(self, studio: str, limit: int | None = None) -> Iterator[Commit]:
        """The commits back from HEAD that touched a `*.toml` below `studio`, newest first."""
        head = revision.verified(self.top, "HEAD")
        return history.log(self.top, head, studio, limit) if head else iter(())

    def walking(self) -> AbstractContextManager[Walker]:
        """The history back from HEAD, open to be read revision by revision."""
        return walking(self.top, revision.verified(self.top, "HEAD"), self.studio)

    def read(self, commit: Commit, studio: str) -> Files:
        """The studio's files in a commit, chosen as in a work tree. What cannot be read is in `mistakes`."""
        return read_files(self.top, commit.id, studio, self._texts)

    def staged(self) -> Files:
        """The studio's files as they are staged for the next commit."""
        return read_staged(self.top, self.studio)

    def clear(self) -> None:
        """Take up what a run that was killed while it recorded has left in git's folder."""
        put_back_left(self.git_dir, partial(is_head, self.top))
        sweep(self.git_dir)

    def state(self) -> State:
        """What stands in the way of recording, or should be told."""
        self.clear()
        return state_of(self.top, self.git_dir, self.studio, self.is_shallow)

    def identity(self) -> tuple[str, str] | Mistake:
        """Name and mail address of who records, from the environment or git's configuration."""
        return identity_of(self.top)

    def commit(self, files: Sequence[str], message: str) -> Commit | Mistake:
        """Record these files (posix paths below `studio`; a missing one is recorded as deleted) and nothing else."""
        made = record(self.top, self.git_dir, self.studio, files, message)
        return self._commit(made) if isinstance(made, str) else made

    @classmethod
    def init(cls, folder: Path) -> "Repository | Mistake":
        """Make a repository in `folder`, without templates or hooks; one that is there already is opened."""
        opened = open_repository(folder)
        if isinstance(opened, Repository) or opened.id != "no-repository":
            return opened
        given = run(folder, "config", "--get", "init.defaultBranch").line
        branch = given if _BRANCH.fullmatch(given) else "main"
        done = run(folder, "init", "--quiet", "--template=", f"--initial-branch={branch}")
        if done.status:
            told = f"git could not make a repository in {folder.resolve()}."
            return Mistake("git-failed", told, why=said(done.complaint), do=way_out(done.complaint))
        return open_repository(folder)

    def _commit(self, commit_id: str) -> Commit | Mistake:
        with objects(self.top) as reader:
            found = reader.get(commit_id)
        if found is None or found.kind != "commit":
            return _unreadable(commit_id)
        return read_commit(commit_id, found.data)


def open_repository(folder: Path) -> Repository | Mistake:
    """The repository that `folder` is in, or why there is none to work with."""
    folder = folder.resolve()
    if not folder.is_dir():
        return Mistake("folder-unreadable", f"There is no folder {folder}.")
    done = run(folder, "rev-parse", "--is-bare-repository", "--is-shallow-repository", "--absolute-git-dir")
    if done.status:
        return _not_opened(folder, done.status, done.complaint)
    is_bare, is_shallow, git_dir = done.line.split("\n", 2)
    found = run(folder, "rev-parse", "--show-toplevel")
    if is_bare == "true" or found.status:
        return _bare(folder)
    top = Path(found.line).resolve()
    if not folder.is_relative_to(top):
        return Mistake(
            "no-repository", f"The repository's files are in {top}, and not in {folder}.", do=f"Go to {top}."
        )
    studio = folder.relative_to(top).as_posix()
    return Repository(top, Path(git_dir), "" if studio == "." else studio, is_shallow == "true")


def _not_opened(folder: Path, status: int, complaint: str) -> Mistake:
    if status == NO_GIT:
        return Mistake(
            "no-git", "The program git is not installed, or not found.", do="Install git: https://git-scm.com"
        )
    if "dubious ownership" in complaint:
        return Mistake(
            "other-owner",
            f"The repository in {folder} belongs to another user of this machine, so git does not trust its settings.",
            why="Whoever owns it could have programs run in your name.",
            do="Work as the user who owns the folder, or make it yours; then try again.",
        )
    if "cannot use bare repository" in complaint:
        return _bare(folder)
    if "not a git repository" in complaint:
        return Mistake("no-repository", f"{folder} is not in a git repository.")
    return Mistake(
        "git-failed", f"git cannot open the repository of {folder}.", why=said(complaint), do="Look at it: git fsck"
    )


def _bare(folder: Path) -> Mistake:
    """Also where it is hidden among the files of another one: its settings would be somebody else's."""
    return Mistake(
        "bare-repository",
        f"{folder} is in the bare files of a repository, which has no work tree; git is not run there.",
        why="Such a repository can come along among the files of another one, with settings of its own.",
        do="Go to a folder where the files of the studio are, or move its files (HEAD, objects, refs) out of this folder.",
    )


def _unreadable(commit_id: str) -> Mistake:
    told = f"The commit {commit_id[:12]} cannot be read: it is not in this copy of the repository, or damaged."
    return Mistake("object-missing", told, do="Look at the repository with: git fsck")


def _nothing_recorded() -> Mistake:
    told = "Nothing has been recorded here yet."
    return Mistake("nothing-recorded", told, do='Record what you have: routecode record "the studio as it is"')
