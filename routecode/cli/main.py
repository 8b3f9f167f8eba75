"""The command line itself: which commands there are, and how a run ends. What each command does is in its own module.

Nothing of the project is imported before it is needed: `routecode --help` and `--version` load click and no more.
"""

import gc
import os
import signal
import sys
from importlib import import_module
from typing import NoReturn

import click

from routecode import __version__

COMMANDS = {
    "new": "Make the folder of a new studio, with its first commit.",
    "record": "Commit the wiring files, with a message of what changed.",
    "check": "Say what is wrong with the wiring.",
    "paths": "List what reaches what.",
    "trace": "Follow the signal from one port, channel or jack, both ways.",
    "diff": "Say what a rewiring changes.",
    "draw": "Draw the wiring, or the difference between two states of it.",
    "review": "Put a rewiring on one page for a browser, to be reviewed.",
    "history": "Tell every change to the wiring, newest first.",
    "rollback": "Go back to what the studio, or a part of it, was.",
    "before-merge": "Say what joining another branch would do to the wiring.",
    "jobsheet": "Say what hands do to turn one studio into another.",
    "cables": "List every fixed cable, spare circuits, and looms with pins.",
    "parts": "List what the studio contains, or what a change needs.",
    "labels": "Make label strips and cable flags at true scale.",
    "book": "Put the whole studio into one PDF to print.",
    "rules": "List rules and kinds of change, or print the page of one.",
    "plain": "Print one wiring file in plain lines, as git can show it.",
}
"""Every command with its line of help. The module of a command has its name and holds `command`."""

OK, NOT_FINE, UNREADABLE, FAULT, INTERRUPTED = 0, 1, 2, 3, 130
"""Exit statuses: see `routecode --help`."""

_ENDINGS = ("SIGTERM", "SIGHUP")

_EPILOG = """Exit status: 0 fine; 1 what was asked about is not fine; 2 the request or the wiring could not be read;
3 a fault of routecode; 130 interrupted.

A recorded studio is not a backup, and a commit is not the racks."""


class Commands(click.Group):
    """The commands by name; each is imported when it is called."""

    def list_commands(self, _ctx: click.Context) -> list[str]:
        """The names, in the order in which a person meets them."""
        return list(COMMANDS)

    def get_command(self, _ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now; None for an unknown name."""
        if cmd_name not in COMMANDS:
            return None
        found: click.Command = import_module(f"routecode.cli.{cmd_name.replace('-', '_')}").command
        return found

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """As click does it; an unknown name is answered with the nearest one."""
        if args[0] in COMMANDS or args[0].startswith("-"):
            return super().resolve_command(ctx, args)
        from routecode.cli.failure import unknown_command

        raise unknown_command(args[0])

    def format_commands(self, _ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """The list of commands, without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    no_args_is_help=False,
    invoke_without_command=True,
    epilog=_EPILOG,
)
@click.version_option(__version__, message="routecode %(version)s")
@click.pass_context
def main(ctx: click.Context) -> None:
    """The wiring of a recording studio as text in git.

    `routecode COMMAND --help` says more about a command.
    """
    if ctx.invoked_subcommand is None:
        click.echo(ctx.get_help())


def run() -> NoReturn:
    """What the command `routecode` runs: never returns, and skips taking the interpreter down (a tenth of a second)."""
    for name in _ENDINGS:
        number = getattr(signal, name, None)
        if number is not None and signal.getsignal(number) != signal.SIG_IGN:  # ignored: started by nohup
            signal.signal(number, _interrupted)
    gc.disable()  # a short life with many values that are kept: looking for cycles among them costs a fifth of it
    status = status_of(sys.argv[1:])
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except (OSError, ValueError):  # the reader has gone, or the stream is closed: nobody is left to tell
            continue
    os._exit(status)


def _interrupted(_number: int, _frame: object) -> NoReturn:
    """Told to end from outside: as if from the keyboard, so that what is half written is taken away first."""
    raise KeyboardInterrupt


def status_of(arguments: list[str]) -> int:
    """Run one command line and give its exit status; whatever goes wrong is told, never raised."""
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")  # a name that the terminal cannot show is no fault
    try:
        ended = main.main(arguments, prog_name="routecode", standalone_mode=False)
        return ended if isinstance(ended, int) else OK
    except (click.Abort, KeyboardInterrupt):
        return INTERRUPTED
    except (BrokenPipeError, SystemExit):  # the reader has gone; click leaves by SystemExit then
        return OK
    except click.ClickException as error:
        return _told(error, arguments)
    except Exception as error:  # the last line of defence: no traceback reaches a user unasked
        return _fault(error, arguments)


def _told(error: click.ClickException, arguments: list[str]) -> int:
    from routecode.cli.failure import show_refusal

    try:
        show_refusal(error, arguments)
    except BrokenPipeError:
        return UNREADABLE
    except Exception as fault:  # telling must not fail louder than what is told
        return _fault(fault, arguments)
    return UNREADABLE


def _fault(error: Exception, arguments: list[str]) -> int:
    from routecode.cli.failure import show_fault

    try:
        show_fault(error, arguments)
    except OSError:  # nobody is left to tell
        return FAULT
    return FAULT
