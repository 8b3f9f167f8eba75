"""What a piece of text is, for showing it in colour. `cli` chooses the colours; no meaning rests on them."""

from collections.abc import Callable

Paint = Callable[[str, str], str]
"""Takes a text and its role: `error`, `hazard`, `warning`, `note`, `mark`, `quiet`, `strong`."""


def plain(text: str, _role: str) -> str:
    """No colour."""
    return text
