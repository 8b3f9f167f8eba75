"""Files that are made for people (sheets, labels, tables): all of them written or none, and nothing of others replaced unasked."""

from collections.abc import Callable, Mapping
from pathlib import Path

from routecode.cli.failure import Refused
from routecode.ground.finding import Mistake

_HEAD = 4096


def may_put(path: Path, force: bool, ours: Callable[[bytes], bool]) -> None:
    """Refuse a name that holds what we did not make (`ours` is asked with its first bytes), unless forced."""
    try:
        with path.open("rb") as file:
            made = ours(file.read(_HEAD))
    except FileNotFoundError:
        return
    except OSError as error:
        text = f'The file "{path}" cannot be read: {error.strerror or error}.'
        raise Refused(Mistake("file-unreadable", text, do="Choose another name for the file.")) from error
    if not made and not force:
        text = f'There is a file "{path}" that this command did not write.'
        raise Refused(Mistake("file-exists", text, do="Choose another name with -o, or say --force."))


def put(path: Path, data: bytes, force: bool, ours: Callable[[bytes], bool]) -> None:
    """Write a file for people."""
    put_all({path: data}, force, ours)


def put_all(files: Mapping[Path, bytes], force: bool, ours: Callable[[bytes], bool]) -> None:
    """Write several: all of them, or none where one cannot be written."""
    from routecode.files.write import write_files

    for path in files:
        may_put(path, force, ours)
    problem = write_files(files)
    if problem is not None:
        raise Refused(problem)
