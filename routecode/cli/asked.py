"""What a command is asked about: the work tree, a revision, or both ends of a range, opened.

Every way in refuses with the mistakes that keep the studio from being compiled; what comes back has a circuit.
"""

import os
from datetime import date
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.files.git_folder import DESK, own
from routecode.files.tree import Files, find_root, read_worktree
from routecode.ground.finding import Mistake
from routecode.ground.nearest import did_you_mean
from routecode.show.escape import visible

if TYPE_CHECKING:  # git is slow to load, and the work tree needs none of it; what is kept needs no compiler
    from routecode.circuit.circuit import Circuit
    from routecode.files.git import Commit, Repository
    from routecode.studio.opened import Opened

WORKTREE = "worktree"
STAGED = "staged"
AS_IT_IS = "The studio as it is"
_TITLE = 60
_LISTED = 3


class Asked(NamedTuple):
    """A revision that compiles, with what a person calls it and the way from here to its folder."""

    opened: "Opened"
    called: str
    prefix: str


def today() -> date:
    """The day on which acceptances with `until` are judged."""
    return date.today()


def root_of(folder: Path) -> Path:
    """The folder with the `studio.toml` that `folder` is in."""
    found = find_root(folder)
    if isinstance(found, Mistake):
        raise Refused(found)
    return found


def repository_of(folder: Path) -> "Repository":
    """The repository that holds the studio `folder` is in."""
    return _repository(root_of(folder))


@cache
def _repository(root: Path) -> "Repository":
    from routecode.files.git import open_repository

    found = open_repository(root)
    if isinstance(found, Mistake):
        raise Refused(_begin(root) if found.id == "no-repository" and not found.do else found)
    return found


def git_init(root: Path) -> str:
    """The command that begins the history of a folder, to be copied."""
    return f"git init {quoted(root)}"


def _begin(root: Path) -> Mistake:
    """A studio that is there and not in git yet."""
    record = f"routecode record --in {quoted(root)} {quoted(AS_IT_IS)}"
    return Mistake(
        "no-repository",
        f"{root} is not in a git repository, so it has no history.",
        do=f"Begin one:\n{git_init(root)}\n{record}",
    )


def commit_of(folder: Path, text: str) -> "Commit":
    """The commit that a person means by a revision."""
    found = repository_of(folder).resolve(text)
    if isinstance(found, Mistake):
        raise Refused(found)
    return found


def one(folder: Path, text: str | None) -> Asked:
    """The revision that a person names, or the work tree where none is named."""
    if text is None:
        return Asked(worktree(folder), "the files as they are now", prefix_of(folder))
    if text == STAGED:
        opened = staged(folder)
        return Asked(opened, called_staged(folder, opened), prefix_of(folder))
    commit = commit_of(folder, text)
    return Asked(_opened_commit(folder, commit), called(commit), "")


def worktree(folder: Path, like: "Opened | None" = None) -> "Opened":
    """The files as they are now; with mistakes it is refused."""
    return _fine(_made(files_now(folder), WORKTREE, like), prefix_of(folder))


def files_now(folder: Path) -> Files:
    """The files as they are now; refused where a rollback that was cut short left a mixture."""
    root = root_of(folder)
    _no_mixture(folder, root)
    return read_worktree(root)


def _no_mixture(folder: Path, root: Path) -> None:
    """Nearly always no more than a look whether there is a folder of a name."""
    try:
        git_dir = own(root)
        if git_dir is None or not (git_dir / DESK).is_dir():
            return
    except OSError:  # it is told by whoever opens the repository
        return
    from routecode.cli.recovered import refuse_mixture

    refuse_mixture(folder, root)


def staged(folder: Path, like: "Opened | None" = None) -> "Opened":
    """The files as they are staged for the next commit; with mistakes it is refused."""
    _no_mixture(folder, root_of(folder))
    return _fine(_made(repository_of(folder).staged(), STAGED, like), prefix_of(folder))


def revision(folder: Path, text: str) -> "Opened":
    """A recorded revision (commit, `last`, date, tag, number), or what is staged; with mistakes it is refused."""
    if text == STAGED:
        return staged(folder)
    return _opened_commit(folder, commit_of(folder, text))


def is_range(text: str | None) -> bool:
    """Whether two sides are named; on paper one revision alone is no comparison, but a list or a sheet of it."""
    return text is not None and ".." in text


def against_now(text: str | None) -> str | None:
    """`A..worktree` as `A`, which says the same where a revision alone is compared with the files as they are now."""
    now = f"..{WORKTREE}"
    if text is None or not text.endswith(now) or text.endswith(f".{now}"):
        return text
    return text.removesuffix(now) or "last"


def both(folder: Path, text: str | None) -> "tuple[Opened, Opened]":
    """Before and after: `A..B`, `A` and the work tree (also `A..worktree`), or the last commit and the work tree."""
    before, dots, after = (against_now(text) or "last").partition("..")
    if after.startswith("."):
        do = f"Write {before}..{after.lstrip('.')} with two dots."
        raise Refused(Mistake("bad-range", f"A range of revisions has two dots: {text}.", do=do))
    try:
        first = revision(folder, before or "last")
    except Refused as refused:
        refused.before = True
        raise
    if not dots:
        return first, worktree(folder, first)
    if after == STAGED:
        return first, staged(folder, first)
    return first, _opened_commit(folder, commit_of(folder, after or "last"), first)


def named(folder: Path, text: str, opened: "Opened") -> str:
    """A revision, opened, as a person is told of it."""
    return called_staged(folder, opened) if text == STAGED else called(commit_of(folder, text))


def called_staged(folder: Path, opened: "Opened") -> str:
    """What is staged, with the wiring files that are not in it as they are now."""
    now, then = files_now(folder).texts, opened.files.texts
    other = sorted(name for name in now.keys() | then.keys() if not _same(now.get(name), then.get(name)))
    return f"what is staged{listed(', not staged: ', other, '')}"


def same_texts(some: dict[str, bytes], others: dict[str, bytes]) -> bool:
    """Whether two revisions say the same, whatever line ends the disk keeps."""
    return some.keys() == others.keys() and all(_same(some[name], others[name]) for name in some)


def _same(one: bytes | None, other: bytes | None) -> bool:
    return one == other or _unix(one) == _unix(other)


def _unix(text: bytes | None) -> bytes | None:
    """git may keep other line ends than the disk."""
    return None if text is None else text.replace(b"\r\n", b"\n")


def listed(ahead: str, names: list[str], behind: str) -> str:
    """The first few names; empty for none."""
    if not names:
        return ""
    more = f" and {len(names) - _LISTED} more" if len(names) > _LISTED else ""
    return f"{ahead}{', '.join(map(visible, names[:_LISTED]))}{more}{behind}"


def prefix_of(folder: Path) -> str:
    """What stands before the names of files so that they can be opened from the current folder."""
    root = root_of(folder)
    try:
        way = Path(os.path.relpath(root)).as_posix()
    except ValueError:  # another drive
        way = root.as_posix()
    return "" if way == "." else f"{way}/"


def from_top(folder: Path) -> str:
    """What stands before the names of files so that they are those of the repository; empty where there is none."""
    try:
        studio = repository_of(folder).studio
    except Refused:  # it is told on the way; here it only says that nothing leads there
        return ""
    return f"{studio}/" if studio else ""


def called(commit: "Commit") -> str:
    """A commit as a person is told of it: the beginning of its id, its title and its date."""
    title = commit.title if len(commit.title) <= _TITLE else f"{commit.title[: _TITLE - 3]}..."
    return visible(f'{commit.id[:10]}, "{title}", {commit.when[:10]}')


def checked_setup(opened: "Opened", setup: str | None) -> str | None:
    """The setup that is asked for, if the studio has it."""
    setups = opened.circuit.setups if opened.circuit is not None else ()
    if setup is None or setup in setups:
        return setup
    known = f"There are: {', '.join(setups)}." if setups else "The studio has no setups."
    raise Refused(Mistake("unknown-setup", f"There is no setup {setup}.", do=did_you_mean(setup, setups) or known))


def _opened_commit(folder: Path, commit: "Commit", like: "Opened | None" = None) -> "Opened":
    return _fine(_recorded(repository_of(folder), commit, like), "")


@cache
def _recorded(repository: "Repository", commit: "Commit", like: "Opened | None" = None) -> "Opened":
    return _made(repository.read(commit, repository.studio), commit.id, like)


def _made(files: Files, name: str, like: "Opened | None") -> "Opened":
    from routecode.studio.opened import Opened

    return Opened(files, name, today(), like)


def _fine(opened: "Opened", prefix: str) -> "Opened":
    if opened.mistakes:
        raise Refused(*opened.mistakes, opened=opened, prefix=prefix)
    return opened


def circuit_of(opened: "Opened") -> "Circuit":
    """The circuit of a revision that was not refused."""
    circuit = opened.circuit
    assert circuit is not None
    return circuit
