"""`routecode paths`: what reaches what."""

import sys
from pathlib import Path

import click

from routecode.cli import asked, options
from routecode.cli.say import say, width_of

LIMIT = 1_000_000


@click.command("paths")
@options.in_folder
@options.revision
@options.setup
@click.option(
    "--limit",
    type=click.IntRange(min=0),
    default=LIMIT,
    show_default=True,
    help="Above so many paths they are counted and not listed.",
)
@click.option("--figures", is_flag=True, help="Also the figures of every feed: level, load, headroom, phantom power.")
@options.as_json
def command(folder: Path, at: str | None, setup: str | None, limit: int, figures: bool, as_json: bool) -> None:
    """List what reaches what, from every source to every destination.

    The text is folded (lines 1-8 reach lines 1-8); `--json` gives every pair, every feed with the jacks it passes, and
    what is wired behind each jack.
    """
    from routecode.show.document import written
    from routecode.show.paths import paths_document, paths_text

    found = asked.one(folder, at)
    setup = asked.checked_setup(found.opened, setup)
    circuit = asked.circuit_of(found.opened)
    if as_json:
        say(written(paths_document(found.opened, circuit, setup, limit, figures=figures)))
    else:
        say(paths_text(circuit, setup, limit, width_of(sys.stdout), figures=figures))
