"""`routecode diff`: what a rewiring changes."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

import click

from routecode.cli import asked, options
from routecode.cli.annotated import annotated, lines
from routecode.cli.quoted import quoted
from routecode.cli.say import page_of, say, sentences
from routecode.studio.opened import Opened

if TYPE_CHECKING:
    from routecode.change.difference import Difference


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
    """Say what changed: A..B two revisions, A one revision and the files as they are now.

    Without either: the last commit and the files as they are now, recorded or not. A revision is a commit, `last`, a date, a tag, a
    number (1 is the newest change), or `staged`. Status 1 where a change goes beyond what the table [allowed] permits.
    """
    asked_for = Flags(**flags)
    asked_for.check(output, undo=undo is not None)
    from routecode.change.allowed import judged
    from routecode.change.difference import Difference

    with annotated(folder, annotations=asked_for.annotations, markdown=asked_for.markdown):
        before, after = asked.both(folder, between)
    if setup is not None and not _known(before, setup):
        setup = asked.checked_setup(after, setup)
    difference = Difference(before, after, guessing=asked_for.guessing)
    if undo is not None:
        from routecode.cli.undo import tell

        tell(difference, undo, setup, asked.prefix_of(folder), as_json=asked_for.as_json)
        return 0
    if output is not None:
        from routecode.cli.permit import write_allowed

        write_allowed(difference, output, asked_for.force, asked.root_of(folder))
    _tell(folder, between, difference, setup, asked_for)
    beyond = bool(judged(difference).shown(setup, setup is not None))
    return int(beyond or (asked_for.exit_code and difference.result != "identical"))


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


def _tell(folder: Path, between: str | None, difference: "Difference", setup: str | None, flags: Flags) -> None:
    """Print the answer in the form that is asked for."""
    from routecode.show.difference_sections import Scope

    scope = Scope(setup, setup is not None, flags.expand)
    if flags.as_json:
        from routecode.show.difference_document import difference_document
        from routecode.show.document import written

        say(written(difference_document(difference, setup, one=setup is not None)))
    elif flags.annotations:
        from routecode.show.annotations import of_difference

        say(lines(of_difference(difference, scope, asked.from_top(folder))))
    elif flags.draft:
        from routecode.show.difference import drafted_message

        say(drafted_message(difference))
    elif flags.markdown:
        from routecode.show.difference_markdown import Named, difference_markdown

        words = filter(None, (between, *_narrowed(setup, flags)))
        command = " ".join(["routecode diff", *map(quoted, words)])
        named = Named(*_names(folder, between, difference), command, asked.from_top(folder))
        say(difference_markdown(difference, named, scope))
    else:
        _text(folder, between, difference, setup, flags.expand)


def _narrowed(setup: str | None, flags: Flags) -> Iterator[str]:
    """The options that narrow what is told."""
    yield from () if setup is None else ("--setup", setup)
    yield from () if flags.guessing else ("--no-guess",)


def _names(folder: Path, between: str | None, difference: "Difference") -> tuple[str, str]:
    """What the two sides are called."""
    names = (between or "last").partition("..")
    first = asked.named(folder, names[0] or "last", difference.old)
    return first, asked.named(folder, names[2] or "last", difference.new) if names[1] else _now(folder, difference.new)


def _known(opened: Opened, setup: str) -> bool:
    return opened.circuit is not None and setup in opened.circuit.setups


def _text(folder: Path, between: str | None, difference: "Difference", setup: str | None, expand: bool) -> None:
    from routecode.change.difference import IDENTICAL
    from routecode.show.difference import Asked, difference_text

    if between is None and difference.result == IDENTICAL:
        say(_nothing(folder))
        return
    question = Asked(*_names(folder, between, difference), setup, setup is not None, expand)
    say(difference_text(difference, page_of(difference.new, sys.stdout, asked.prefix_of(folder)), question))


def _nothing(folder: Path) -> str:
    """Right after a commit there is nothing to compare; say so, and how to see that commit."""
    commit = asked.commit_of(folder, "last")
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    see = f"To see that commit: routecode diff last~1..last{where}" if commit.parents else "It is the first commit."
    return f"{sentences(f'Nothing changed since {asked.called(commit)}.')}{see}\n"


def _now(folder: Path, opened: Opened) -> str:
    """The work tree, with the files that no commit knows yet."""
    repository = asked.repository_of(folder)
    recorded = repository.read(asked.commit_of(folder, "last"), repository.studio).texts
    new = [name for name in opened.files.texts if name not in recorded]
    return f"the files as they are now{asked.listed(' (not recorded yet: ', new, ')')}"
