"""The way out: answers to stdout, talk to stderr. Knows the terminal: its width, and whether colour is wanted."""

import io
import os
import shutil
import sys
from typing import TYPE_CHECKING, TextIO

import click

from routecode.show.measure import wrapped
from routecode.show.paint import Paint, plain

if TYPE_CHECKING:
    from routecode.show.diagnostic import Page
    from routecode.studio.opened import Opened

_WIDEST = 80
_NARROWEST = 40
_STYLES: dict[str, dict[str, object]] = {
    "error": {"fg": "red", "bold": True},
    "hazard": {"fg": "magenta", "bold": True},
    "warning": {"fg": "yellow", "bold": True},
    "note": {"fg": "cyan"},
    "mark": {"fg": "cyan", "bold": True},
    "quiet": {"dim": True},
    "strong": {"bold": True},
}


def say(text: str) -> None:
    """The answer. Where its reader has gone (`| head`), the rest is dropped and the run ends as it would have."""
    _write(sys.stdout, text)


def sentences(text: str) -> str:
    """Text broken into lines that fit where answers go, with a line end; commands to copy are not given to it."""
    return "".join(f"{line}\n" for line in wrapped(text, width_of(sys.stdout)))


def tell(text: str) -> None:
    """What is not the answer: mistakes, progress, advice."""
    _write(sys.stderr, text)


def _write(stream: TextIO, text: str) -> None:
    try:
        if isinstance(stream, io.TextIOWrapper) and not stream.isatty():
            stream.flush()
            stream.buffer.write(text.encode("utf-8", errors="backslashreplace"))  # files and pipes are UTF-8 everywhere
        else:
            stream.write(text)
        stream.flush()
    except BrokenPipeError:
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, stream.fileno())
        os.close(nowhere)


def width_of(stream: TextIO) -> int:
    """Columns to fill: 80, or fewer on a narrower terminal."""
    if not _is_terminal(stream):
        return _WIDEST
    return max(_NARROWEST, min(_WIDEST, shutil.get_terminal_size((_WIDEST, 24)).columns))


def paint_of(stream: TextIO) -> Paint:
    """Colour on a terminal, unless NO_COLOR is set or the terminal has none."""
    if not _is_terminal(stream) or os.environ.get("NO_COLOR") or os.environ.get("TERM") == "dumb":
        return plain
    return _styled


def _is_terminal(stream: TextIO) -> bool:
    try:
        return stream.isatty()
    except ValueError:  # closed
        return False


def _styled(text: str, role: str) -> str:
    return click.style(text, **_STYLES[role])  # type: ignore[arg-type]  # a table of keyword arguments


def page_of(opened: "Opened | None", stream: TextIO, prefix: str) -> "Page":
    """How to show mistakes and findings on a stream."""
    from routecode.show.diagnostic import Page

    return Page(opened, width_of(stream), paint_of(stream), prefix)
