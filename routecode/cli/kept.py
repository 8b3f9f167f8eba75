"""Answers about recorded revisions, kept from one run to the next: what was worked out once is printed again at once.

Only what is decided by commits may come through here: the files as they are now, and what is staged, are always looked at anew.
"""

import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

from routecode.cli import asked
from routecode.cli.say import paint_of, width_of
from routecode.show.paint import plain


class Answer(NamedTuple):
    """What is printed, and how the run ends."""

    text: str
    status: int


def answered(folder: Path, question: Sequence[str | bool | None], work: Callable[[], Answer]) -> Answer:
    """The answer, from an earlier run or worked out now.

    `question`: the command, its options and the ids of all commits that decide the answer. The day, the terminal and this state of the
    program are added.
    """
    from routecode.files.kept import open_kept

    out = sys.stdout
    asking = [*question, asked.prefix_of(folder), asked.today().isoformat(), width_of(out), paint_of(out) is plain]
    key = json.dumps(asking)
    with open_kept(asked.repository_of(folder).top) as kept:
        found = kept.get(key)
        if isinstance(found, list) and len(found) == len(Answer._fields) and [*map(type, found)] == [str, int]:
            return Answer(*found)
        answer = work()
        kept.put(key, list(answer))
    return answer


def built_id(folder: Path) -> str:
    """The id of what is marked as built, since answers may speak of it; empty where nothing is."""
    from routecode.files.built import may_be_marked

    if not may_be_marked(asked.root_of(folder)):
        return ""
    from routecode.files.git.built import built

    found = built(asked.repository_of(folder).top)
    return f"{found.tag} {found.id}" if found else ""
