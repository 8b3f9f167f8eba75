"""`routecode diff`: what a rewiring changes."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.annotated import annotated, lines
from routecode.cli.failure import Refused
from routecode.cli.kept import Answer, answered, built_id
from routecode.cli.quoted import quoted
from routecode.cli.racks import racks
from routecode.cli.say import page_of, say, sentences

if TYPE_CHECKING:
    from routecode.change.difference import Difference
    from routecode.studio.opened import Opened


@click.command("diff")
@click.argument("between", metavar="[A..B | A]", required=False)
@options.in_folder
@options.setup
@click.option("--expand", is_flag=True, help="List every path, feed and point that differs, one by one.")
@options.no_guess
@click.option("--exit-code", is_flag=True, help="End with status 1 where anything differs.")
@click.option(
    "--write-allowed",
    "output",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write a table [allowed] that lists exactly what changed; what later goes beyond it is told.",
)
@click.option("--force", is_flag=True, help="Replace a file that says something else.")
@click.option(
    "--undo",
    "undo",
    metavar="FILE:LINE",
    help="The other way round: what comes back if the edit on this line, as `diff` prints it, is undone. A change's id will do too.",
)
@options.formats("markdown", "annotations", "draft")
@options.as_json
def command(
    between: str | None, folder: Path, setup: str | None, output: Path | None, undo: str | None, **flags: bool
) -> int:
    """Say what changed: A..B two revisions, A (or A..worktree) one revision and the files as they are now.

    Without either: the last commit and the files as they are now, recorded or not. A revision is a commit, `last`, a date, a tag, a
    number (1 is the newest change), `built` (what stands in the racks), or `staged`. Status 1 where a change goes beyond what the table
    [allowed] permits.
    """
    asked_for = Flags(**flags)
    asked_for.check(output, undo=undo is not None)
    between = asked.against_now(between)
    if undo is None and output is None:
        answer = _kept(folder, between, setup, asked_for)
        say(answer.text)
        return answer.status
    difference, setup = _difference(folder, between, setup, asked_for)
    if undo is not None:
        from routecode.cli.undo import tell

        tell(difference, undo, setup, asked.prefix_of(folder), as_json=asked_for.as_json)
        return 0
    assert output is not None
    from routecode.cli.permit import write_allowed

    write_allowed(difference, output, asked_for.force, asked.root_of(folder))
    say(_told(folder, between, difference, setup, asked_for))
    return _status(difference, setup, asked_for)


class Flags(NamedTuple):
    """What is asked for beside the revisions."""

    expand: bool
    guessing: bool
    exit_code: bool
    force: bool
    markdown: bool
    annotations: bool
    draft: bool
    as_json: bool

    def check(self, output: Path | None, *, undo: bool) -> None:
        """Refuse what does not go together."""
        if self.force and output is None:
            raise click.UsageError("--force goes with --write-allowed FILE.")
        formats = {
            "--markdown": self.markdown,
            "--annotations": self.annotations,
            "--draft": self.draft,
            "--json": self.as_json,
        }
        given = [name for name, on in formats.items() if on]
        if len(given) > 1:
            raise click.UsageError(f"Choose one of {' and '.join(given)}.")
        if self.expand and given and not self.as_json:
            raise click.UsageError(f"--expand goes with the text, not with {given[0]}; --json lists all, too.")
        if undo and given and not self.as_json:
            raise click.UsageError(f"--undo does not go with {given[0]}.")


def _recorded(folder: Path, between: str | None) -> tuple[str, str] | None:
    """The ids of two commits that are compared; None where a side is not recorded, or not found (that is told by who opens it)."""
    before, dots, after = (between or "").partition("..")
    if not dots or after.startswith(".") or asked.STAGED in (before, after):
        return None
    try:
        return asked.commit_of(folder, before or "last").id, asked.commit_of(folder, after or "last").id
    except Refused:
        return None


def _difference(folder: Path, between: str | None, setup: str | None, flags: Flags) -> tuple["Difference", str | None]:
    """Both sides opened and compared; and the setup, if one of them has it."""
    from routecode.change.difference import Difference

    with annotated(folder, annotations=flags.annotations, markdown=flags.markdown):
        before, after = asked.both(folder, between)
    if setup is not None and not _known(before, setup):
        setup = asked.checked_setup(after, setup)
    return Difference(before, after, guessing=flags.guessing), setup


def _kept(folder: Path, between: str | None, setup: str | None, flags: Flags) -> Answer:
    """The answer, kept where it is one about recorded revisions."""
    ids = _recorded(folder, between)
    if ids is None:
        return _answer(folder, between, setup, flags)
    question = ("diff", between, *ids, setup, *flags, built_id(folder))
    return answered(folder, question, lambda: _answer(folder, between, setup, flags))


def _answer(folder: Path, between: str | None, setup: str | None, flags: Flags) -> Answer:
    difference, setup = _difference(folder, between, setup, flags)
    return Answer(_told(folder, between, difference, setup, flags), _status(difference, setup, flags))


def _status(difference: "Difference", setup: str | None, flags: Flags) -> int:
    """1 where something goes beyond what is allowed, or differs at all where that is asked."""
    from routecode.change.allowed import judged

    beyond = bool(judged(difference).shown(setup, setup is not None))
    return int(beyond or (flags.exit_code and difference.result != "identical"))


def _told(folder: Path, between: str | None, difference: "Difference", setup: str | None, flags: Flags) -> str:
    """The answer in the form that is asked for."""
    from routecode.show.difference_sections import Scope

    scope = Scope(setup, setup is not None, flags.expand)
    if flags.as_json:
        from routecode.show.difference_document import difference_document
        from routecode.show.document import written

        return written(difference_document(difference, setup, one=setup is not None))
    if flags.annotations:
        from routecode.show.annotations import of_difference

        return lines(of_difference(difference, scope, asked.from_top(folder)))
    if flags.draft:
        from routecode.show.draft import drafted_message

        return drafted_message(difference)
    if flags.markdown:
        from routecode.show.difference_markdown import Named, difference_markdown

        words = filter(None, (between, *_narrowed(setup, flags)))
        command = " ".join(["routecode diff", *map(quoted, words)])
        named = Named(*_names(folder, between, difference), command, asked.from_top(folder))
        return difference_markdown(difference, named, scope)
    return _text(folder, between, difference, setup, flags.expand)


def _narrowed(setup: str | None, flags: Flags) -> Iterator[str]:
    """The options that narrow what is told."""
    yield from () if setup is None else ("--setup", setup)
    yield from () if flags.guessing else ("--no-guess",)


def _names(folder: Path, between: str | None, difference: "Difference") -> tuple[str, str]:
    """What the two sides are called."""
    names = (between or "last").partition("..")
    first = asked.named(folder, names[0] or "last", difference.old)
    return first, asked.named(folder, names[2] or "last", difference.new) if names[1] else _now(folder, difference.new)


def _known(opened: "Opened", setup: str) -> bool:
    return opened.circuit is not None and setup in opened.circuit.setups


def _text(folder: Path, between: str | None, difference: "Difference", setup: str | None, expand: bool) -> str:
    from routecode.change.difference import IDENTICAL
    from routecode.show.difference import Asked, difference_text

    if between is None and difference.result == IDENTICAL:
        return _nothing(folder) + racks(folder, difference.new, None)
    question = Asked(*_names(folder, between, difference), setup, setup is not None, expand)
    text = difference_text(difference, page_of(difference.new, sys.stdout, asked.prefix_of(folder)), question)
    return text + _to_do(folder, between, difference)


def _to_do(folder: Path, between: str | None, difference: "Difference") -> str:
    """What is not in the racks yet, unless that is what was asked."""
    before, dots, after = (between or "last").partition("..")
    told = "" if before == "built" else racks(folder, difference.new, after or "last" if dots else None)
    return f"\n{told}" if told else ""


def _nothing(folder: Path) -> str:
    """Right after a commit there is nothing to compare; say so, and how to see that commit."""
    commit = asked.commit_of(folder, "last")
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    see = f"To see that commit: routecode diff last~1..last{where}" if commit.parents else "It is the first commit."
    return f"{sentences(f'Nothing changed since {asked.called(commit)}.')}{see}\n"


def _now(folder: Path, opened: "Opened") -> str:
    """The work tree, with the files that no commit knows yet."""
    repository = asked.repository_of(folder)
    recorded = repository.read(asked.commit_of(folder, "last"), repository.studio).texts
    new = [name for name in opened.files.texts if name not in recorded]
    return f"the files as they are now{asked.listed(' (not recorded yet: ', new, ')')}"
