"""How a command ends that could not be answered: mistakes shown as text or as one JSON document, and faults of ours."""

import os
import platform
import sys
import traceback

import click

from routecode import __version__
from routecode.ground.finding import Mistake

_WORDED = ("new", "record", "trace")
_OTHERS = {"history": ("--of", "story"), "diff": ("--undo", "undo")}
"""Commands that print another document where they are asked with an option."""
"""Commands that take a text with spaces."""

REPORT = "to whoever gave you routecode"


class Refused(click.ClickException):
    """The request or the wiring could not be read. `opened` is the revision that the places belong to."""

    exit_code = 2

    def __init__(self, *mistakes: Mistake, opened: object = None, prefix: str = "") -> None:
        super().__init__(mistakes[0].text)
        self.mistakes = mistakes
        self.opened = opened
        self.prefix = prefix
        self.before = False
        """Whether it is the side before of two that are compared."""
        context = click.get_current_context(silent=True)
        self.command = (context.info_name or "") if context is not None else ""
        self.as_json = bool(context and context.params.get("as_json"))

    def show(self, file: object = None) -> None:  # noqa: ARG002 (the signature is click's)
        """Text on stderr, or a JSON document on stdout."""
        from routecode.cli.say import page_of, say, tell
        from routecode.show.diagnostic import all_mistakes
        from routecode.show.document import refused, written
        from routecode.studio.opened import Opened

        opened = self.opened if isinstance(self.opened, Opened) else None
        if self.as_json:
            say(written(refused(self.command, self.mistakes, opened)))
        else:
            tell(all_mistakes(self.mistakes, page_of(opened, sys.stderr, self.prefix)))


def show_refusal(error: click.ClickException, arguments: list[str]) -> None:
    """Show what click or a command refused."""
    if not isinstance(error, Refused):
        error = _as_refused(error, named(arguments))
    error.command, error.as_json = _document(arguments), "--json" in arguments
    error.show()


def named(arguments: list[str]) -> str:
    """The command that a line of arguments asks for, or an empty text."""
    from routecode.cli.main import COMMANDS

    return next((word for word in arguments[:1] if word in COMMANDS), "")


def _document(arguments: list[str]) -> str:
    """The document that is asked for: that of the command, or of the option that asks it for another one."""
    command = named(arguments)
    option, other = _OTHERS.get(command, ("", ""))
    asks = option and any(word == option or word.startswith(f"{option}=") for word in arguments)
    return other if asks else command or "errors"


def _as_refused(error: click.ClickException, command: str) -> Refused:
    text = error.format_message()
    text = text if text.endswith((".", "?", "!")) else f"{text}."
    help_line = f"routecode {command} --help" if command else "routecode --help"
    if isinstance(error, click.NoSuchOption):
        said = f"There is no option {error.option_name}."
        return Refused(Mistake("unknown-option", said, do=f"{_near(error)}To see the options: {help_line}"))
    if isinstance(error, click.BadParameter) and not isinstance(error, click.MissingParameter):
        text = _bad_value(error) or text
    do = f"To see how it is asked: {help_line}"
    if text.startswith("Got unexpected"):
        hint = "Put a text with spaces in quotes." if command in _WORDED else "A folder is named with --in FOLDER."
        do = f"{hint} To see how it is asked:\n{help_line}"
    return Refused(Mistake("bad-request", text, do=do))


def _near(error: click.NoSuchOption) -> str:
    """The option that is meant, where one is near; or what is given without an option."""
    from routecode.ground.nearest import nearest

    params = error.ctx.command.params if error.ctx is not None else []
    near = nearest(error.option_name, [name for each in params if isinstance(each, click.Option) for name in each.opts])
    if near:
        return f"Did you mean {near}? "
    word, bare = error.option_name.lstrip("-"), [each.name or "" for each in params if isinstance(each, click.Argument)]
    meant = word if word in bare else nearest(word, bare)
    return f"Leave {error.option_name} out: {meant.upper()} is given by itself. " if meant else ""


def _bad_value(error: click.BadParameter) -> str:
    """What is wrong with the value of an option, in a sentence."""
    if error.param is None or not error.param.opts:
        return ""
    kind, name = error.param.type, error.param.opts[-1]
    if isinstance(kind, click.IntRange):
        most = f" to {kind.max}" if kind.max is not None else " up"
        return f"{name} takes a whole number from {kind.min}{most}."
    if isinstance(kind, click.Choice):
        return f"{name} takes one of: {', '.join(map(str, kind.choices))}."
    return f"{name}: {error.message}"


def unknown_command(name: str) -> Refused:
    """The name of a command that does not exist."""
    from routecode.cli.main import COMMANDS
    from routecode.ground.nearest import nearest

    near = nearest(name, COMMANDS)
    do = f"Did you mean: routecode {near}" if near else f"There are: {', '.join(COMMANDS)}."
    return Refused(Mistake("unknown-command", f"There is no command {name[:80]}.", do=do))


def show_fault(error: Exception, arguments: list[str]) -> None:
    """Own up to a fault of routecode; the traceback only where it is asked for."""
    from routecode.cli.say import page_of, say, tell
    from routecode.show.diagnostic import all_mistakes
    from routecode.show.document import refused, written

    words = f"{type(error).__name__}: {error}"[:300]
    versions = f"routecode {__version__}, Python {platform.python_version()}"
    do = f"Please report it, with the command and this message ({versions}), {REPORT}."
    mistake = Mistake("fault", f"This is a fault of routecode, not of your wiring ({words}).", do=do)
    if os.environ.get("ROUTECODE_DEBUG") == "1":
        traceback.print_exception(error)
    if "--json" in arguments:
        say(written(refused(_document(arguments), [mistake], None)))
    else:
        tell(all_mistakes([mistake], page_of(None, sys.stderr, "")))
