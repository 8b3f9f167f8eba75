"""Files that are made for people (sheets, labels, tables): all of them written or none, and nothing of others replaced unasked.

The name `-` is stdout, for one file.
"""

import os
import sys
from collections.abc import Callable, Mapping
from pathlib import Path

from routecode.cli.failure import Refused
from routecode.cli.say import say
from routecode.files.ordinary import read_ordinary
from routecode.ground.finding import Mistake
from routecode.show.escape import visible

STDOUT = Path("-")
_HEAD = 4096
_WIRING = ".toml"


def may_put(path: Path, force: bool, ours: Callable[[bytes], bool]) -> None:
    """Refuse a name that holds what we did not make (`ours` is asked with its first bytes), unless forced; wiring is never replaced."""
    if path == STDOUT:
        return
    head = read_ordinary(path, _HEAD)
    if head is None:
        return
    if isinstance(head, Mistake):
        raise Refused(head)
    made = ours(head)
    if not made and is_wiring_name(path):
        text = f'The file "{path}" holds wiring, or other TOML; it is not replaced.'
        raise Refused(Mistake("file-exists", text, do="Choose another name."))
    if not made and not force:
        text = f'There is a file "{path}" that this program did not write.'
        raise Refused(Mistake("file-exists", text, do="Choose another name, or say --force."))


def is_wiring_name(path: Path) -> bool:
    """Whether the file, or the one that a link leads to, is named as wiring is."""
    return _WIRING in (path.suffix.lower(), path.resolve().suffix.lower())


def put_all(files: Mapping[Path, bytes], force: bool, ours: Callable[[bytes], bool]) -> None:
    """Write several: all of them, or none where one cannot be written."""
    from routecode.files.write import write_files

    for path in files:
        may_put(path, force, ours)
    problem = write_files(files)
    if problem is not None:
        raise Refused(problem)


def deliver(
    files: Mapping[Path, bytes], force: bool, ours: Callable[[bytes], bool], out: Callable[[str], None] = say
) -> None:
    """Write the files and tell their names; what is named `-` goes to stdout, and then it is the only one."""
    if STDOUT not in files:
        put_all(files, force, ours)
        out("".join(f"{visible(str(path))}\n" for path in files))
        return
    if len(files) > 1:
        text = "Only one file can go to stdout, and nothing else beside it."
        raise Refused(Mistake("one-on-stdout", text, do="Ask for one file, or give every file a name."))
    _pour(files[STDOUT])


def _pour(data: bytes) -> None:
    """The bytes as they are; a terminal gets none that it cannot show."""
    if sys.stdout.isatty() and b"\0" in data:
        text = "A file of this kind is not for the terminal."
        raise Refused(Mistake("not-for-terminal", text, do="Name a file, or lead it on: ... | lpr"))
    try:
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)
