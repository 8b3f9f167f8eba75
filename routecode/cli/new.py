"""`routecode new`: the folder of a new studio, with its first commit."""

import re
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from routecode.cli.advice import NOT_A_BACKUP, synchronised
from routecode.cli.asked import called
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.say import say, sentences
from routecode.files.filling import clear, filling
from routecode.files.tree import STUDIO
from routecode.ground.finding import Mistake

if TYPE_CHECKING:
    from routecode.files.git import Commit

_UNSEEN = re.compile(r"[^\w .,()-]+")


@click.command("new")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--title", default=None, help="What the studio is called. Without it: the name of the folder.")
@click.option(
    "--bay",
    "columns",
    metavar="COLUMNS",
    type=click.IntRange(1, 1000),
    default=None,
    help="Begin with one empty bay of so many columns, laid out as a sheet to fill in, and nothing else.",
)
def command(folder: Path, title: str | None, columns: int | None) -> None:
    """Make FOLDER, the folder of a new studio, with its first commit.

    It holds a small studio that compiles, to be changed into yours, and hooks up the schema of the language, by which
    editors complete and explain keys.
    """
    from routecode.show.starter import empty_bay, starter

    clear(folder, partial(_is_recorded, folder))
    _check_empty(folder)
    _check_git(folder)
    name = title or _UNSEEN.sub(" ", folder.resolve().name).strip() or "Studio"
    texts = empty_bay(name, columns) if columns else starter(name)
    whole = dict(sorted(texts.items(), key=lambda item: item[0] == STUDIO))  # with it, it is a studio
    with filling(folder, whole, partial(_is_recorded, folder)) as problem:
        if problem is not None:
            raise Refused(Mistake("folder-unwritable", problem.text, do=problem.do))
        commit = _first_commit(folder, list(texts), f"Start the studio {name}")
    where = quoted(folder)
    files = ", ".join(sorted(text for text in texts if not text.startswith(".")))
    say(
        sentences(f"A new studio in {where}: {files}.")
        + sentences(f"First commit: {called(commit)}.")
        + sentences(NOT_A_BACKUP)
        + "\n"
        f"Edit the files, then look at what you have:\n"
        f"  routecode check --in {where}\n"
        f"  routecode paths --in {where}\n"
        f'  routecode record --in {where} "what I did"\n'
    )
    synchronised(folder)


def _check_empty(folder: Path) -> None:
    try:
        if not folder.exists() or (folder.is_dir() and not any(folder.iterdir())):
            return
    except OSError as error:
        raise Refused(Mistake("folder-unreadable", f"{folder} cannot be read: {error.strerror}.")) from None
    what = "is not empty" if folder.is_dir() else "is a file"
    stem = folder.stem if folder.is_file() else folder.name
    free = folder.with_name(f"{stem}-new") if stem.strip(".") else folder / "my-studio"
    do = f"Choose another folder: routecode new {quoted(free)}"
    raise Refused(Mistake("folder-not-empty", f"{folder} {what}; a new studio starts in an empty folder.", do=do))


def _check_git(folder: Path) -> None:
    """Refuse before anything is written where git is missing, or does not know who records."""
    from routecode.files.git import open_repository
    from routecode.files.git.record import identity_of

    there = next(parent for parent in (folder.resolve(), *folder.resolve().parents) if parent.is_dir())
    opened = open_repository(there)
    if isinstance(opened, Mistake) and opened.id != "no-repository":
        raise Refused(opened)
    if not isinstance(opened, Mistake):
        hindrance = opened.state().hindrance()
        if hindrance is not None:
            raise Refused(hindrance)
    who = identity_of(there)
    if isinstance(who, Mistake):
        again = f"routecode new {quoted(folder)}"
        raise Refused(Mistake(who.id, who.text, who.place, who.why, f"{who.do}\nThen again:\n{again}", who.also))


def _is_recorded(folder: Path) -> bool:
    """Whether the folder is a studio with a commit of its own."""
    from routecode.files.git import open_repository

    found = open_repository(folder)
    if isinstance(found, Mistake):
        return False
    found.clear()
    head = found.head()
    return head is not None and STUDIO in found.read(head, found.studio).texts


def _first_commit(folder: Path, names: list[str], message: str) -> "Commit":
    from routecode.files.git import Repository

    repository = Repository.init(folder)
    commit = repository if isinstance(repository, Mistake) else repository.commit(names, message)
    if isinstance(commit, Mistake):
        raise Refused(commit)
    return commit
