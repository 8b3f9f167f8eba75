"""What keeps from working today what once was lost, where that is no more what it was lost by: one cause was mended, another stands.

The last revision in which it worked is put beside that of today as if nothing was between; which commit wrote the lines that
differ is looked up in the texts. Asked only where the lines that once did it are no longer as they were.
"""

from collections import Counter
from collections.abc import Iterable

from attrs import evolve

from routecode.change.changes import Change
from routecode.change.claims import Claim
from routecode.change.matched import BEFORE
from routecode.files.hostile import readable
from routecode.history.story_change import Ends
from routecode.history.story_fails import NEED, PATH, Since, Today
from routecode.history.story_line import Line
from routecode.history.story_place import Step
from routecode.history.story_told import Mark, channels_of, told_of


def with_today(line: Line, newest: int, since: Since, paths: Iterable[Ends]) -> Since:
    """The same with what stands against it today, if that is something else. `paths`: those that were lost, as they read now."""
    if since.until is None or since.since == newest or since.kind not in (PATH, NEED) or _stands(line, newest, since):
        return since
    step = Step(line.opened(since.until), line.opened(newest))
    lost = set(paths)
    names = set(since.need.steps) if since.need is not None else set()

    def wanted(change: Change, claim: Claim | None) -> bool:
        if lost:
            pairs = change.lost if claim is None else claim.lost
            return not lost.isdisjoint(step.pairs(pairs))
        return not names.isdisjoint({*change.subjects, *change.channels} if claim is None else channels_of(step, claim))

    said = told_of(step, since.setup, wanted)
    if not said.sentences or said.sentences == since.sentences:
        return since
    written = min((_written(line, newest, since.until, mark) for mark in said.marks), default=newest)
    return evolve(since, today=Today(written, said.sentences, said.marks))


def _stands(line: Line, newest: int, since: Since) -> bool:
    """Whether the lines that did it are still as they were."""
    then, now = _lines(line, since.since), _lines(line, newest)
    return bool(since.marks) and all(
        now[mark.text] <= then[mark.text] if mark.side == BEFORE else now[mark.text] >= then[mark.text]
        for mark in since.marks
    )


def _written(line: Line, newest: int, until: int, mark: Mark) -> int:
    """The revision from which on a line has been there, or has been gone, up to today."""
    now, found = _lines(line, newest)[mark.text], newest
    for number in range(newest + 1, until):
        if _lines(line, number)[mark.text] != now:
            break
        found = number
    return found


def _lines(line: Line, number: int) -> Counter[str]:
    """How often each line stands in the texts of a revision."""
    return Counter(each.strip() for text in line.files(number).texts.values() for each in readable(text).split("\n"))
