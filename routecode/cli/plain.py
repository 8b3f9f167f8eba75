"""`routecode plain`: one wiring file in plain lines, for git."""

import sys
from pathlib import Path

import click

from routecode.cli.failure import Refused
from routecode.files.ordinary import read_ordinary
from routecode.ground.finding import Mistake


@click.command("plain")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
def command(file: Path) -> int:
    """Print one wiring file in plain lines, a statement each, with ranges spread.

    It is what `git diff` can show of wiring files; see the page git. A file that cannot be read as TOML comes out as it is.
    """
    from routecode.show.plain import plain_text

    data = read_ordinary(file, do="Name a wiring file.")
    if data is None:
        raise Refused(
            Mistake("file-unreadable", f"{file} cannot be read: there is no such file.", do="Name a wiring file.")
        )
    if isinstance(data, Mistake):
        raise Refused(data)
    sys.stdout.flush()
    sys.stdout.buffer.write(plain_text(file.name, data))
    sys.stdout.buffer.flush()
    return 0
