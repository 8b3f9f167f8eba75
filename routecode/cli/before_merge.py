"""`routecode before-merge`: what joining another branch would do to the wiring."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.say import page_of, say, sentences
from routecode.files.tree import Files
from routecode.ground.finding import Mistake
from routecode.show.escape import visible
from routecode.studio.opened import Opened

if TYPE_CHECKING:
    from routecode.files.git import Commit, Repository
    from routecode.files.git.merging import Merged
    from routecode.history.branches import Branches
    from routecode.history.branches_text import Torn
    from routecode.show.branches_document import Asked
    from routecode.show.branches_sections import Called

_SHORT = 10
_FETCH = "git fetch --unshallow"


@click.command("before-merge")
@click.argument("other", metavar="OTHER")
@options.in_folder
@click.option(
    "--into",
    "into",
    metavar="REVISION",
    default=None,
    help="What OTHER would be joined into. Without it: the commit that is checked out.",
)
@options.no_guess
@options.formats("markdown")
@options.as_json
def command(other: str, folder: Path, into: str | None, guessing: bool, markdown: bool, as_json: bool) -> int:
    """Say what joining another branch would do to the wiring, before it is joined.

    OTHER is a branch, tag or commit. git works out the joined text aside: no file, index or branch is touched, nothing is fetched, and
    no program runs that the repository names. Told: what git cannot join; what is wrong with wiring whose text joins; what both sides
    did to the same path, jack or unit. Status 1 where anything is wrong.
    """
    if markdown and as_json:
        raise click.UsageError("Choose one of --markdown and --json.")
    sides = _sides(folder, other, into)
    if sides.relation in ("same", "contained"):
        _nothing(sides, markdown=markdown, as_json=as_json)
        return 0
    branches, called, merged = _joined(folder, sides, into, guessing=guessing)
    if as_json:
        from routecode.show.branches_document import branches_document
        from routecode.show.document import written

        say(written(branches_document(_document(sides, merged.drivers), branches)))
    elif markdown:
        from routecode.show.branches import branches_markdown

        say(branches_markdown(branches, called, asked.from_top(folder)))
    else:
        from routecode.show.branches import branches_text

        say(branches_text(branches, called, page_of(branches.joined, sys.stdout, "")))
    return int(not branches.fine)


class _Sides(NamedTuple):
    """Both commits, what a person calls them, where they parted, and how they stand to each other."""

    ours: "Commit"
    theirs: "Commit"
    names: tuple[str, str]
    bases: tuple[str, ...]
    relation: str


def _sides(folder: Path, other: str, into: str | None) -> _Sides:
    from routecode.files.git import merging

    repository = asked.repository_of(folder)
    ours, theirs = asked.commit_of(folder, into or "last"), asked.commit_of(folder, other)
    names = (_short(into or merging.branch(repository.top) or "last"), _short(other))
    bases = merging.bases(repository.top, ours.id, theirs.id)
    if not bases:
        raise Refused(_unrelated(repository, names))
    if ours.id == theirs.id:
        return _Sides(ours, theirs, names, bases, "same")
    relation = "contained" if theirs.id in bases else "ahead" if ours.id in bases else "apart"
    return _Sides(ours, theirs, names, bases, relation)


def _short(text: str) -> str:
    """A branch by name; a full id by its beginning."""
    is_id = len(text) in (40, 64) and all(character in "0123456789abcdef" for character in text)
    return visible(text[:_SHORT] if is_id else text)


def _unrelated(repository: "Repository", names: tuple[str, str]) -> Mistake:
    ours, theirs = names
    if repository.is_shallow:
        return Mistake(
            "history-cut",
            f"Where {theirs} and {ours} parted is not in this copy of the repository.",
            why="The copy is shallow: it holds only the newest commits. Nothing is fetched without being asked for.",
            do=f"Fetch the rest of the history, then ask again:\n{_FETCH}",
        )
    return Mistake(
        "unrelated",
        f"{theirs} and {ours} have no commit in common, so git would not join them.",
        why="They were begun apart from each other: there is no state that both sides changed.",
        do=f"Compare them as they are:\nroutecode diff {quoted(f'{ours}..{theirs}')}",
    )


def _nothing(sides: _Sides, *, markdown: bool, as_json: bool) -> None:
    from routecode.show.branches import nothing_to_join
    from routecode.show.branches_sections import Called

    if as_json:
        from routecode.show.branches_document import branches_document
        from routecode.show.document import written

        say(written(branches_document(_document(sides), None)))
        return
    called = Called(sides.names, _said(sides), "", (0, 0), sides.relation)
    text = nothing_to_join(called)
    if markdown:
        from routecode.show.markdown import escaped

        say(f"{escaped(text, called.ids)}\n")
    else:
        say(sentences(text))


def _said(sides: _Sides) -> tuple[str, str]:
    """Both commits in full."""
    return asked.called(sides.ours), asked.called(sides.theirs)


def _document(sides: _Sides, drivers: tuple[tuple[str, str], ...] = ()) -> "Asked":
    from routecode.show.branches_document import Asked

    return Asked(sides.ours.id, sides.theirs.id, sides.bases, sides.relation, drivers)


# -- joined --------------------------------------------------------------------------------------------------------------


def _joined(folder: Path, sides: _Sides, into: str | None, *, guessing: bool) -> "tuple[Branches, Called, Merged]":
    """Everything that is asked for, worked out; refused where a side is no wiring."""
    from routecode.files.git import merging
    from routecode.history.branches import Branches
    from routecode.show.branches_sections import Called

    repository = asked.repository_of(folder)
    base, base_said, several = _base(repository, sides)
    ours = _side(repository, sides.ours, sides.names[0], base)
    theirs = _side(repository, sides.theirs, sides.names[1], base)
    merged = merging.merged(repository.top, sides.ours.id, sides.theirs.id, repository.studio)
    if isinstance(merged, Mistake):
        raise Refused(merged)
    joined = Opened(merged.files, merged.name, asked.today(), ours)
    branches = Branches(base, ours, theirs, joined, _torn(repository, merged, (ours, theirs)), guessing=guessing)
    counts = (
        merging.count(repository.top, sides.theirs.id, sides.ours.id),
        merging.count(repository.top, sides.ours.id, sides.theirs.id),
    )
    notes = [*several, *_notes(folder, repository, merged, ours if into is None else None)]
    return branches, Called(sides.names, _said(sides), base_said, counts, sides.relation, tuple(notes)), merged


def _base(repository: "Repository", sides: _Sides) -> tuple[Opened, str, list[str]]:
    """Where the sides parted, what it is called, and what is to be told of it."""
    from routecode.files.git import merging

    commit = repository.resolve(sides.bases[0])
    if isinstance(commit, Mistake):
        raise Refused(commit)
    said = asked.called(commit)
    if len(sides.bases) == 1:
        return _side(repository, commit, "the commit at which they parted", None), said, []
    found = merging.joined_bases(repository.top, sides.bases, repository.studio)
    opened = Opened(found, "joined", asked.today()) if found is not None else None
    told = f"They were joined crosswise before, so they parted at {len(sides.bases)} commits."
    if opened is not None and not opened.mistakes:
        return opened, said, [f"{told} What each side did is told against those, joined."]
    told = f"{told} Those do not join, so what each side did is told against the newest of them."
    return _side(repository, commit, "the commit at which they parted", None), said, [told]


def _side(repository: "Repository", commit: "Commit", name: str, like: Opened | None) -> Opened:
    """One side, opened; refused where it does not compile."""
    opened = Opened(repository.read(commit, repository.studio), commit.id, asked.today(), like)
    if opened.mistakes:
        told = Mistake(
            "side-broken",
            f"The wiring of {name} has errors, so what joining would do to it cannot be told: {asked.called(commit)}.",
            do=f"Correct it there first. To see it as it is:\nroutecode check --at {commit.id[:_SHORT]}",
        )
        raise Refused(*opened.mistakes, told, opened=opened)
    return opened


def _torn(repository: "Repository", merged: "Merged", sides: tuple[Opened, Opened]) -> "list[Torn]":
    """What git could not join, by the names of the studio's files."""
    from routecode.history.branches_text import Place, Torn

    below = f"{repository.studio}/" if repository.studio else ""
    torn: list[Torn] = []
    for path, kind, hunks in merged.conflicts:
        name = path.removeprefix(below) if path.startswith(below) else None
        known = any(name in opened.files.texts for opened in sides)
        places = tuple(Place(*hunk) for hunk in hunks)
        torn.append(Torn(path, name if known else None, kind, places))
    return torn


def _notes(folder: Path, repository: "Repository", merged: "Merged", ours: Opened | None) -> list[str]:
    """What should be known beside the answer."""
    told = [
        f'For {file} git would run the merge driver "{driver}", a program of yours. Nothing is run here, so git may join it otherwise.'
        for file, driver in merged.drivers
    ]
    if repository.is_shallow:
        told.append(f"This copy is shallow, so they may have parted later than can be seen here. To be sure: {_FETCH}")
    if ours is not None:
        told += _unrecorded(asked.files_now(folder), ours)
    return told


def _unrecorded(now: Files, ours: Opened) -> list[str]:
    """Work that is recorded nowhere takes no part."""
    then = ours.files.texts
    names = [name for name in sorted(now.texts.keys() | then.keys()) if not _same(now.texts.get(name), then.get(name))]
    return [asked.listed("Not recorded yet, and so not joined: ", names, ".")] if names else []


def _same(one: bytes | None, other: bytes | None) -> bool:
    return asked.same_texts({"": one} if one is not None else {}, {"": other} if other is not None else {})
