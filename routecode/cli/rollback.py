"""`routecode rollback`: the studio, or a part of it, goes back to what it was; told first, written as a new commit when told to."""

import sys
from functools import partial
from pathlib import Path, PurePosixPath
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.advice import NOT_A_BACKUP
from routecode.cli.failure import Refused
from routecode.cli.quoted import quoted
from routecode.cli.recovered import recovered
from routecode.cli.say import page_of, say, sentences
from routecode.files.tree import Files, read_worktree
from routecode.ground.finding import Mistake
from routecode.history.back import Back, Wanted, back
from routecode.history.back_beside import beside
from routecode.history.back_more import together
from routecode.show.escape import visible
from routecode.studio.opened import Opened

if TYPE_CHECKING:
    from routecode.files.edit_tree import Step
    from routecode.files.git import Commit, Repository
    from routecode.files.git.walking import Walker
    from routecode.history.story_line import Line
    from routecode.show.rollback import Told


class _Request(NamedTuple):
    """What is asked, as it was typed."""

    to: str
    wanted: Wanted
    folder: Path

    def line(self, *more: str) -> str:
        """The command, to be copied, with more words at the end."""
        options = [
            *(("--bay", each) for each in self.wanted.bays),
            *(("--unit", each) for each in self.wanted.units),
            *(("--setup", each) for each in self.wanted.setups),
            *(("--file", each) for each in self.wanted.files),
        ]
        words = [self.to, *(word for option in options for word in option), *_where(self.folder), *more]
        return " ".join(["routecode rollback", *map(quoted, words)])


@click.command("rollback")
@click.argument("to", metavar="REVISION")
@click.option("--bay", "bays", metavar="BAY", multiple=True, help="Only this bay, with the cables and normals at it.")
@click.option("--unit", "units", metavar="UNIT", multiple=True, help="Only this unit, with its cables and routes.")
@click.option("--setup", "setups", metavar="SETUP", multiple=True, help="Only this setup.")
@click.option("--file", "files", metavar="FILE", multiple=True, help="Only this file, as a whole.")
@click.option("--write", is_flag=True, help="Do it: write the files, as a new commit on top of the last one.")
@options.in_folder
@options.no_guess
@options.as_json
def command(
    to: str,
    bays: tuple[str, ...],
    units: tuple[str, ...],
    setups: tuple[str, ...],
    files: tuple[str, ...],
    folder: Path,
    **flags: bool,
) -> None:
    """Go back to what the studio was at REVISION: the whole of it, or only bays, units, setups or files (each option may be repeated).

    Without --write it says what would change, the risks first, and writes nothing. With it the old text becomes a new commit; history is
    never rewritten, and the way back is printed. What bay columns say of a unit belongs to the bay. A revision is a commit, `last`, a
    date, a tag, or a number (1 is the newest change).
    """
    root = asked.root_of(folder)
    repository = asked.repository_of(folder)
    recovered(root, repository)
    request = _Request(to, Wanted(bays, units, setups, tuple(_below(each, folder) for each in files)), folder)
    commit, head = asked.commit_of(folder, to), asked.commit_of(folder, "last")
    now = Opened(repository.read(head, repository.studio), head.id, asked.today())
    again = request._replace(to=commit.id[:10]).line(*(["--write"] if flags["write"] else []))
    here = _nothing_unrecorded(repository, root, now, request, again)
    then = Opened(repository.read(commit, repository.studio), commit.id, asked.today(), now)
    with repository.walking() as reader:
        between = partial(_between, repository, reader, head, commit)
        attempt = partial(back, now, then, guessing=flags["guessing"], between=between)
        found = attempt(request.wanted)
        more = None if isinstance(found, Back) else together(attempt, request.wanted, found)
    if not isinstance(found, Back):
        raise Refused(*found, *_too_early(found, then, commit), *_all_at_once(request, more, commit), opened=then)
    told = _told(request, (now, then), (head, commit), found, guessing=flags["guessing"])
    written = None
    if flags["write"] and told.files:
        written = _written(repository, root, told, here, head)
    _tell(request, told, (head, commit), written, as_json=flags["as_json"])


def _where(folder: Path) -> list[str]:
    return [] if folder == Path() else ["--in", str(folder)]


def _below(name: str, folder: Path) -> str:
    """A file as it is called below the folder of the studio, however it was named."""
    path = PurePosixPath(name.replace("\\", "/"))
    prefix = PurePosixPath(asked.prefix_of(folder))
    if path.is_absolute() and path.is_relative_to(asked.root_of(folder).as_posix()):
        path = path.relative_to(asked.root_of(folder).as_posix())
    return (path.relative_to(prefix) if path.is_relative_to(prefix) else path).as_posix()


def _between(repository: "Repository", reader: "Walker", head: "Commit", commit: "Commit") -> "Line":
    """The revisions from `head` back to `commit` along first parents, by way of the one where two branches parted."""
    from routecode.files.git.mainline import mainline
    from routecode.history.story_line import Line

    down, up = (list(mainline(repository.top, one.id, repository.studio)) for one in (head, commit))
    here = {one.id: number for number, one in enumerate(down)}
    own = [one for one in up if one.id not in here]
    parted = here[up[len(own)].id] + 1 if len(own) < len(up) else len(down)

    def read(one: "Commit | None") -> Files:
        assert one is not None
        return reader.files(one.id)

    return Line((*down[:parted], *reversed(own)), read, asked.today())


# -- what stands in the way ------------------------------------------------------------------------------------------------


def _nothing_unrecorded(
    repository: "Repository", root: Path, now: Opened, request: _Request, again: str
) -> dict[str, bytes]:
    """The texts on the disk; refused where there is work that no commit has, or no branch to put one on.

    It ends with the commands to type; `again` is this one, with the id of the commit that is meant.
    """
    state = repository.state()
    hindrance = state.hindrance() or state.detached()
    prefix = asked.prefix_of(request.folder)
    if hindrance is not None:
        raise Refused(hindrance, opened=Opened(read_worktree(root), asked.WORKTREE), prefix=prefix)
    here = read_worktree(root)
    if here.mistakes:
        raise Refused(*here.mistakes, opened=Opened(here, asked.WORKTREE), prefix=prefix)
    same = _same_lines if _converts(repository) else _same_bytes
    for texts, words in ((here.texts, ""), (repository.staged().texts, " in what is staged")):
        differing = sorted(
            name
            for name in texts.keys() | now.files.texts.keys()
            if not same(texts.get(name), now.files.texts.get(name))
        )
        if differing:
            raise Refused(_unrecorded(differing, words, request, again))
    return here.texts


def _converts(repository: "Repository") -> bool:
    from routecode.files.edit_index import converts_line_ends

    return converts_line_ends(repository.top)


def _same_bytes(one: bytes | None, other: bytes | None) -> bool:
    return one == other


def _same_lines(one: bytes | None, other: bytes | None) -> bool:
    return one == other or (
        one is not None and other is not None and one.replace(b"\r\n", b"\n") == other.replace(b"\r\n", b"\n")
    )


def _unrecorded(differing: list[str], words: str, request: _Request, again: str) -> Mistake:
    record = " ".join(["routecode record", *map(quoted, _where(request.folder)), quoted("what I did")])
    text = f"There is work that is not recorded yet{words}: {asked.listed('', differing, '')}."
    why = "A rollback never touches what no commit has."
    if words:
        do = "Take it out of what is staged (your files stay as they are), or record it:"
        return Mistake(
            "not-recorded", text, why=why, do=f"{do}\ngit restore --staged .\n{record}\nThen again:\n{again}"
        )
    return Mistake("not-recorded", text, why=why, do=f"Record it first:\n{record}\nThen again:\n{again}")


def _all_at_once(request: _Request, more: Wanted | None, commit: "Commit") -> list[Mistake]:
    """The command that asks for all that has to go back together."""
    if more is None:
        return []
    line = request._replace(to=commit.id[:10], wanted=more).line()
    return [
        Mistake(
            "back-together",
            "It goes back only together with more; nothing was changed.",
            do=f"What goes back with all that it needs:\n{line}",
        )
    ]


def _too_early(found: tuple[Mistake, ...], then: Opened, commit: "Commit") -> list[Mistake]:
    """What to do where the revision itself does not compile."""
    if found != then.mistakes:
        return []
    text = f"So the studio cannot go back to {asked.called(commit)}; nothing was changed."
    return [Mistake("not-rolled-back", text, do="Choose another revision:\nroutecode history")]


# -- writing ---------------------------------------------------------------------------------------------------------------


def _written(repository: "Repository", root: Path, told: "Told", here: dict[str, bytes], head: "Commit") -> "Commit":
    """The new commit, with the files in the work tree and the index as it has them; `here` are the texts on the disk."""
    from routecode.files.edit_tree import Last, Step, exchange
    from routecode.show.rollback import rollback_message

    identity = repository.identity()
    if isinstance(identity, Mistake):
        raise Refused(identity)
    steps = [Step(name, here.get(name), told.after.files.texts.get(name)) for name in told.files]
    _nothing_in_the_way(root, steps)

    def make() -> Mistake | None:
        strange = _strangers(root, told)
        made = strange or repository.commit(told.files, rollback_message(told))
        return made if isinstance(made, Mistake) else None

    def is_made() -> bool:
        new = repository.head()
        return new is not None and head.id in new.parents

    mistake = exchange(root, repository.git_dir, head.id, steps, Last(make, is_made))
    if mistake is not None:
        raise Refused(mistake)
    return asked.commit_of(root, "last")


def _nothing_in_the_way(root: Path, steps: "list[Step]") -> None:
    for step in steps:
        path = root / step.name
        if any(each.is_symlink() for each in (path, *path.parents) if each.is_relative_to(root) and each != root):
            text = f'The way to "{step.name}" leads through a link, and links are not replaced.'
            raise Refused(Mistake("link-in-the-way", text, do="Put a file in the place of the link, and record that."))
        if step.was is None and path.exists():
            text = f'There is something called "{step.name}" that is not part of the studio now.'
            raise Refused(Mistake("file-in-the-way", text, do="Move it away, then try again."))


def _strangers(root: Path, told: "Told") -> Mistake | None:
    """Files that the studio would read then, and that no commit of it has: where `skip` was another."""
    here, wanted = read_worktree(root).texts, told.after.files.texts
    names = sorted(name for name in here.keys() | wanted.keys() if not _same_lines(here.get(name), wanted.get(name)))
    if not names:
        return None
    text = f"The studio as it was would read other files, too: {asked.listed('', names, '')}. Everything is as it was."
    return Mistake("other-files", text, do="Move them out of the folder of the studio, record that, and ask again.")


# -- telling -----------------------------------------------------------------------------------------------------------------


def _told(
    request: _Request, sides: tuple[Opened, Opened], commits: "tuple[Commit, Commit]", found: Back, *, guessing: bool
) -> "Told":
    from routecode.change.difference import Difference
    from routecode.show.rollback import Told

    now, after = sides[0], found.after
    files = found.changed(now)
    compiles = now.circuit is not None
    difference = Difference(now, after, guessing=guessing) if compiles else None
    head, to = commits
    short = f"{to.id[:10]} of {to.when[:10]}"
    return Told(
        asked.called(head),
        asked.called(to),
        short,
        request.wanted,
        now,
        after,
        files,
        difference,
        beside(now, sides[1], request.wanted),
    )


def _tell(
    request: _Request, told: "Told", commits: "tuple[Commit, Commit]", written: "Commit | None", *, as_json: bool
) -> None:
    from routecode.show.rollback import only, rollback_document, rollback_text, unmet_text

    head, to = commits
    undo = _Request(head.id[:10], Wanted(), request.folder).line("--write")
    if as_json:
        from routecode.show.document import written as as_text

        ids = (head.id, to.id)
        say(as_text(rollback_document(told, ids, written.id if written else None, undo if written else None)))
        return
    if not told.files:
        part = only(told.wanted, told.after, told.now)
        same = f"{part or 'The studio'} is already identical to what it was at {asked.called(to)}. Nothing to do."
        say("".join(sentences(visible(text)) for text in (same, *told.beside)))
        return
    if written is None:
        line = request._replace(to=to.id[:10]).line("--write")  # a number means another commit tomorrow
        say(rollback_text(told, page_of(told.after, sys.stdout, "")))
        unmet = unmet_text(told)
        ahead = f"Nothing has been written. {f'{unmet} ' if unmet else ''}To write it, as a new commit:"
        say(f"\n{sentences(ahead)}{line}\n")
        return
    say(rollback_text(told, page_of(told.after, sys.stdout, "")))
    files = "1 file" if len(told.files) == 1 else f"{len(told.files)} files"
    say(f"\n{sentences(f'Recorded {asked.called(written)}: {files}.')}{sentences(NOT_A_BACKUP)}To undo it:\n{undo}\n")
