"""Names in commands that are printed to be pasted."""

import shlex
from pathlib import Path

from routecode.show.escape import visible


def quoted(text: object) -> str:
    """A word for a shell. What a terminal would not show becomes `$'...'`, which shells read back."""
    word = f"./{text}" if isinstance(text, Path) and str(text).startswith("-") else str(text)
    if visible(word) == word:
        return shlex.quote(word)
    inner = word.replace("\\", "\\\\").replace("'", "\\'")
    return f"$'{visible(inner)}'"
