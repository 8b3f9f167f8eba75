"""The command line asked for what it refuses, or answers: never with a traceback, or with a fault of its own."""

from routecode.cli.main import OK, UNREADABLE
from tests.cli.asking import Ran, ask, forget


def refused(*arguments: str) -> str:
    """What a refused request is told, on one line."""
    forget()
    ran = ask(*arguments)
    assert ran.status == UNREADABLE, ran
    assert ran.out == ""
    return plain(ran)


def answered(*arguments: str, status: int = OK) -> Ran:
    forget()
    ran = ask(*arguments)
    assert ran.status == status, ran
    assert "fault of routecode" not in ran.err
    return ran


def plain(ran: Ran) -> str:
    assert "Traceback" not in ran.err
    assert "fault of routecode" not in ran.err
    return " ".join(ran.err.split())


def squeezed(text: str) -> str:
    """Without spaces, since long names are broken over lines."""
    return "".join(text.split())
