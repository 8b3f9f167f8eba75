"""Only ordinary files are read beside the wiring: no device, which has no end, and no pipe, which is waited for."""

import os
import socket
from collections.abc import Callable
from pathlib import Path

import pytest

from routecode.files.ordinary import read_ordinary
from routecode.files.write import write_file, write_files
from routecode.ground.finding import Mistake


def _socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(path.name)


STRANGE: dict[str, Callable[[Path], None]] = {
    "a device": lambda path: path.symlink_to("/dev/zero"),
    "a pipe": lambda path: os.mkfifo(path),
    "a folder": lambda path: path.mkdir(),
    "a socket": _socket,
}


@pytest.fixture(name="strange", params=STRANGE)
def _strange(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[str, Path]:
    """Something that is no ordinary file, with what it is called; and `link` beside it, which leads to it."""
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "strange"
    STRANGE[request.param](path)
    (tmp_path / "link").symlink_to("strange")
    return request.param, path


@pytest.mark.parametrize("name", ["strange", "link"])
def test_what_is_no_file_is_not_read(strange: tuple[str, Path], name: str) -> None:
    found = read_ordinary(strange[1].with_name(name))
    assert isinstance(found, Mistake)
    assert f"is {strange[0]}, no ordinary file." in found.text
    assert found.do


@pytest.mark.parametrize("name", ["strange", "link"])
def test_what_is_no_file_is_neither_kept_nor_replaced(strange: tuple[str, Path], name: str) -> None:
    path = strange[1].with_name(name)
    before = path.stat().st_mode
    for problem in (write_file(path, b"new", overwrite=True), write_files({path: b"new"})):
        assert problem is not None
        assert f"it is {strange[0]}, no ordinary file" in problem.text
    assert path.stat().st_mode == before
    assert sorted(each.name for each in path.parent.iterdir()) == ["link", "strange"]


def test_files_and_links_to_them_are_read_as_far_as_asked(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"0123456789")
    (tmp_path / "link").symlink_to("file")
    (tmp_path / "nowhere").symlink_to("none")
    assert read_ordinary(tmp_path / "file") == b"0123456789"
    assert read_ordinary(tmp_path / "link", 4) == b"0123"
    assert read_ordinary(tmp_path / "none") is None
    assert read_ordinary(tmp_path / "nowhere") is None
    (tmp_path / "round").symlink_to("round")
    assert isinstance(read_ordinary(tmp_path / "round"), Mistake)
