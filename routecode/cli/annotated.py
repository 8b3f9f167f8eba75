"""Source errors in the form that is asked for: told on stdout before the command ends with its refusal."""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from routecode.cli import asked
from routecode.cli.failure import Refused
from routecode.cli.say import say


@contextmanager
def annotated(folder: Path, *, annotations: bool, markdown: bool = False) -> Iterator[None]:
    """Within it a refusal is told as annotations alone, since a runner obeys some texts for people, or as Markdown too."""
    try:
        yield
    except Refused as refused:
        from routecode.studio.opened import Opened

        opened = refused.opened if isinstance(refused.opened, Opened) else None
        if annotations:
            from routecode.show.annotations import of_mistakes

            prefix = asked.from_top(folder)
            say(lines(of_mistakes(refused.mistakes, opened, prefix, before=refused.before)))
            raise click.exceptions.Exit(refused.exit_code) from refused
        elif markdown:
            from routecode.show.difference_markdown import refused_markdown

            say(refused_markdown(refused.mistakes, opened, asked.from_top(folder)))
        raise


def lines(told: Iterable[str]) -> str:
    """Each with its line end."""
    return "".join(f"{line}\n" for line in told)
