"""Writing a file: the old text or the new, whatever fails, and nothing else in the folder."""

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from routecode.files.write import write_file, write_new_file


def test_a_new_file_is_written_with_the_folders_above_it(tmp_path: Path) -> None:
    assert write_new_file(tmp_path / "a" / "b" / "x.toml", b"new") is None
    assert (tmp_path / "a" / "b" / "x.toml").read_bytes() == b"new"
    assert inside(tmp_path / "a" / "b") == ["x.toml"]


@pytest.mark.parametrize("write", [write_file, write_new_file])
def test_what_is_there_is_not_replaced_unless_told(tmp_path: Path, write: Callable[[Path, bytes], Any]) -> None:
    path = tmp_path / "x.toml"
    path.write_bytes(b"old")
    mistake = write(path, b"new")
    assert mistake.id == "file-exists"
    assert path.read_bytes() == b"old"
    assert inside(tmp_path) == ["x.toml"]
    assert write_file(path, b"new", overwrite=True) is None
    assert path.read_bytes() == b"new"
    assert inside(tmp_path) == ["x.toml"]


def test_permissions_and_links_stay(tmp_path: Path) -> None:
    path, link = tmp_path / "x.toml", tmp_path / "link.toml"
    path.write_bytes(b"old")
    path.chmod(0o640)
    link.symlink_to("x.toml")
    assert write_file(link, b"new", overwrite=True) is None
    assert link.is_symlink()
    assert path.read_bytes() == b"new"
    assert path.stat().st_mode & 0o777 == 0o640


def test_through_a_link_to_nothing_the_file_is_made(tmp_path: Path) -> None:
    link = tmp_path / "link.toml"
    link.symlink_to(tmp_path / "gone.toml")
    assert write_file(link, b"new") is None
    assert (tmp_path / "gone.toml").read_bytes() == b"new"


FAULTS = ["open", "write", "fsync", "replace", "link"]


@pytest.mark.parametrize("overwrite", [True, False])
@pytest.mark.parametrize("fault", FAULTS)
def test_whatever_fails_leaves_the_old_or_the_new_and_nothing_else(
    tmp_path: Path, fault: str, overwrite: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "x.toml"
    if overwrite:
        path.write_bytes(b"old")
    inject(fault, monkeypatch)
    mistake = write_file(path, b"new", overwrite=overwrite)
    monkeypatch.undo()
    before = [b"old"] if overwrite else []
    texts = [(tmp_path / name).read_bytes() for name in inside(tmp_path)]
    if mistake is None:
        assert texts == [b"new"]
        assert fault in (["link"] if overwrite else ["link", "replace"])
    else:
        assert texts == before
        assert mistake.id == "file-not-written"


@pytest.mark.parametrize("fault", ["write", "fsync", "replace"])
def test_an_interruption_leaves_no_stray_file(tmp_path: Path, fault: str, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "x.toml"
    path.write_bytes(b"old")
    inject(fault, monkeypatch, KeyboardInterrupt())
    with pytest.raises(KeyboardInterrupt):
        write_file(path, b"new", overwrite=True)
    monkeypatch.undo()
    assert inside(tmp_path) == ["x.toml"]
    assert path.read_bytes() == b"old"


def test_another_program_that_comes_first_wins(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "x.toml"
    link = os.link

    def late(source: Any, target: Any) -> None:
        path.write_bytes(b"theirs")
        link(source, target)

    monkeypatch.setattr(os, "link", late)
    mistake = write_file(path, b"ours")
    assert mistake is not None
    assert mistake.id == "file-exists"
    assert path.read_bytes() == b"theirs"
    assert inside(tmp_path) == ["x.toml"]


def inside(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def inject(fault: str, monkeypatch: pytest.MonkeyPatch, error: BaseException | None = None) -> None:
    """Let one step fail, as a full disk or a pulled drive would."""
    failure = error or OSError(28, "No space left on device")

    def fail(*args: Any, **kwargs: Any) -> Any:
        raise failure

    if fault == "write":
        fdopen = os.fdopen

        def broken(*args: Any, **kwargs: Any) -> Any:
            return _Broken(fdopen(*args, **kwargs), fail)

        monkeypatch.setattr(os, "fdopen", broken)
    elif fault == "replace":
        monkeypatch.setattr(Path, "replace", fail)
    else:
        monkeypatch.setattr(os, fault, fail)


class _Broken:
    """A file that takes half of what it is given and then fails."""

    def __init__(self, file: Any, fail: Callable[..., Any]) -> None:
        self._file = file
        self._fail = fail

    def __enter__(self) -> "_Broken":
        return self

    def __exit__(self, *error: object) -> None:
        self._file.close()

    def write(self, data: bytes) -> None:
        self._file.write(data[: len(data) // 2])
        self._fail()
