"""`routecode plain`: one wiring file in plain lines, for git."""

import sys
from pathlib import Path

import click

from routecode.cli.failure import Refused
from routecode.ground.finding import Mistake
from routecode.show.escape import visible


@click.command("plain")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
def command(file: Path) -> int:
    """Print one wiring file in plain lines, a statement each, with ranges spread.

    It is what `git diff` can show of wiring files; see the page git. A file that cannot be read as TOML comes out as it is.
    """
    from routecode.show.plain import plain_text

    try:
        data = file.read_bytes()
    except OSError as error:
        said = f"{visible(str(file))} cannot be read: {error.strerror}."
        raise Refused(Mistake("unreadable", said, do="Name a wiring file.")) from None
    sys.stdout.flush()
    sys.stdout.buffer.write(plain_text(file.name, data))
    sys.stdout.buffer.flush()
    return 0
