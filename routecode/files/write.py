"""Writing files so that there is always the old text or the new one, and never half of either or a stray file.

Does not know what it writes; splicing a user's text is done before.
"""

import contextlib
import os
import secrets
from pathlib import Path

from routecode.ground.finding import Mistake


def write_file(path: Path, data: bytes, *, overwrite: bool = False) -> Mistake | None:
    """Write `data` to `path`, whole or not at all; None when it is written.

    What is there is only replaced when told so (`overwrite`); it keeps its permissions, and a link keeps being a link:
    the file it leads to is replaced.
    """
    try:
        target = path.resolve() if path.is_symlink() else path
        if not overwrite:
            return _write_new(target, path, data)
        _replace(target, data)
    except (OSError, RuntimeError) as error:
        return _not_written(path, error)
    return None


def write_new_file(path: Path, data: bytes) -> Mistake | None:
    """Write a file that is not there yet, with the folders above it; None when it is written."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        return _not_written(path, error)
    return write_file(path, data)


def _write_new(target: Path, path: Path, data: bytes) -> Mistake | None:
    if os.path.lexists(target):
        return _exists(path)
    draft = _draft(target, data)
    try:
        os.link(draft, target)  # unlike a rename this never replaces what another program wrote meanwhile
    except FileExistsError:
        return _exists(path)
    except OSError:  # a file system without links
        if os.path.lexists(target):
            return _exists(path)
        draft.replace(target)
    finally:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)
    _settle(target.parent)
    return None


def _replace(target: Path, data: bytes) -> None:
    draft = _draft(target, data)
    try:
        with contextlib.suppress(FileNotFoundError):
            draft.chmod(target.stat().st_mode & 0o7777)
        draft.replace(target)
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    _settle(target.parent)


def _draft(target: Path, data: bytes) -> Path:
    """The data in a hidden file beside the target, settled on the disk."""
    draft = target.with_name(f".{target.name[:100]}.{secrets.token_hex(8)}.new")
    handle = os.open(draft, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        draft.unlink(missing_ok=True)
        raise
    return draft


def _settle(folder: Path) -> None:
    """Make the new name itself survive a loss of power, where the system can."""
    if os.name == "nt":
        return
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _exists(path: Path) -> Mistake:
    return Mistake(
        "file-exists", f'There is a file "{path}" already.', do="Choose another name, or move that file away."
    )


def _not_written(path: Path, error: BaseException) -> Mistake:
    said = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    text = f'The file "{path}" could not be written: {said[:1].lower() + said[1:]}.'
    return Mistake(
        "file-not-written", text, why="Nothing that was there before is changed.", do="Choose another place for it."
    )
