"""The options that several commands share."""

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Decorated = TypeVar("Decorated", bound=Callable[..., Any])


def in_folder(function: Decorated) -> Decorated:
    """`--in FOLDER`, as `folder`."""
    return click.option(
        "--in",
        "folder",
        metavar="FOLDER",
        type=click.Path(path_type=Path),
        default=Path(),
        help="The folder of the studio, or one below it. Without it: the current folder.",
    )(function)


def as_json(function: Decorated) -> Decorated:
    """`--json`, as `as_json`."""
    return click.option("--json", "as_json", is_flag=True, help="Print one JSON document, also when it fails.")(
        function
    )


def setup(function: Decorated) -> Decorated:
    """`--setup NAME`, as `setup`."""
    return click.option(
        "--setup", metavar="NAME", default=None, help="In this setup. Without it: unpatched, with no cords at all."
    )(function)


def revision(function: Decorated) -> Decorated:
    """`--at REVISION`, as `at`."""
    return click.option(
        "--at",
        "at",
        metavar="REVISION",
        default=None,
        help="As it was recorded: a commit, `last`, a date, a tag, a number (1 is the newest change), `built` (what stands "
        "in the racks); or as it is `staged` for the next commit. Without it: the files as they are now.",
    )(function)


def no_guess(function: Decorated) -> Decorated:
    """`--no-guess`, as `guessing` (true without it)."""
    return click.option(
        "--no-guess",
        "guessing",
        is_flag=True,
        flag_value=False,
        default=True,
        help="Take names for the same only where the text says so (was) or where ports and wiring prove it.",
    )(function)


_FORMATS = {
    "markdown": "Print Markdown for a pull request, cut where it would not fit into a comment.",
    "annotations": "Print lines by which continuous integration marks the places in the files.",
    "draft": "Print a message for the commit: a title, then what changed.",
}


def formats(*names: str) -> Callable[[Decorated], Decorated]:
    """Flags for forms of the answer, each as a flag of its name."""

    def decorate(function: Decorated) -> Decorated:
        for name in reversed(names):
            function = click.option(f"--{name}", name, is_flag=True, help=_FORMATS[name])(function)
        return function

    return decorate
