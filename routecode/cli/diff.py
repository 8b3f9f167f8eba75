"""`routecode diff`: what a rewiring changes."""

import sys
from pathlib import Path

import click

from routecode.cli import asked, options
from routecode.cli.quoted import quoted
from routecode.cli.say import page_of, say, sentences
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
@options.as_json
def command(
    between: str | None,
    folder: Path,
    setup: str | None,
    expand: bool,
    guessing: bool,
    exit_code: bool,
    output: Path | None,
    force: bool,
    undo: str | None,
    as_json: bool,
) -> int:
    """Say what changed: A..B two revisions, A one revision and the files as they are now.

    Without either: the last commit and the files as they are now, recorded or not. A revision is a commit, `last`, a date, a tag, or a
    number (1 is the newest change). Status 1 where a change goes beyond what the table [allowed] permits.
    """
    if force and output is None:
        raise click.UsageError("--force goes with --write-allowed FILE.")
    from routecode.change.allowed import judged
    from routecode.change.difference import Difference

    before, after = asked.both(folder, between)
    if setup is not None and not _known(before, setup):
        setup = asked.checked_setup(after, setup)
    difference = Difference(before, after, guessing=guessing)
    if undo is not None:
        from routecode.cli.undo import tell

        tell(difference, undo, setup, asked.prefix_of(folder), as_json=as_json)
        return 0
    if output is not None:
        from routecode.cli.permit import write_allowed

        write_allowed(difference, output, force, asked.root_of(folder))
    if as_json:
        from routecode.show.difference_document import difference_document
        from routecode.show.document import written

        say(written(difference_document(difference, setup, one=setup is not None)))
    else:
        _text(folder, between, difference, setup, expand)
    beyond = bool(judged(difference).shown(setup, setup is not None))
    return int(beyond or (exit_code and difference.result != "identical"))


def _known(opened: Opened, setup: str) -> bool:
    return opened.circuit is not None and setup in opened.circuit.setups


def _text(folder: Path, between: str | None, difference: object, setup: str | None, expand: bool) -> None:
    from routecode.change.difference import IDENTICAL, Difference
    from routecode.show.difference import Asked, difference_text

    assert isinstance(difference, Difference)
    if between is None and difference.result == IDENTICAL:
        say(_nothing(folder))
        return
    names = (between or "last").partition("..")
    first = asked.called(asked.commit_of(folder, names[0] or "last"))
    second = asked.called(asked.commit_of(folder, names[2] or "last")) if names[1] else _now(folder, difference.new)
    question = Asked(first, second, setup, setup is not None, expand)
    say(difference_text(difference, page_of(difference.new, sys.stdout, asked.prefix_of(folder)), question))


def _nothing(folder: Path) -> str:
    """Right after a commit there is nothing to compare; say so, and how to see that commit."""
    commit = asked.commit_of(folder, "last")
    where = "" if folder == Path() else f" --in {quoted(folder)}"
    see = f"To see that commit: routecode diff last~1..last{where}" if commit.parents else "It is the first commit."
    return f"{sentences(f'Nothing changed since {asked.called(commit)}.')}{see}\n"


def _now(folder: Path, opened: Opened) -> str:
    """The work tree, with the files that no commit knows yet."""
    from routecode.show.escape import visible

    repository = asked.repository_of(folder)
    recorded = repository.read(asked.commit_of(folder, "last"), repository.studio).texts
    new = [visible(name) for name in opened.files.texts if name not in recorded]
    if not new:
        return "the files as they are now"
    listed = ", ".join(new[:3]) + (f" and {len(new) - 3} more" if len(new) > 3 else "")
    return f"the files as they are now (not recorded yet: {listed})"
