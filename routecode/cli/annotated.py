"""Source errors as annotations: told on stdout before the command ends with its refusal."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from routecode.cli import asked
from routecode.cli.failure import Refused
from routecode.cli.say import say


@contextmanager
def annotated(folder: Path, *, on: bool) -> Iterator[None]:
    """Within it, where `on`, a refusal is told as annotations too."""
    try:
        yield
    except Refused as refused:
        if on:
            from routecode.show.annotations import of_mistakes
            from routecode.studio.opened import Opened

            opened = refused.opened if isinstance(refused.opened, Opened) else None
            lines = of_mistakes(refused.mistakes, opened, asked.from_top(folder))
            say("".join(f"{line}\n" for line in lines))
        raise
