"""The story of one place for people: text of 80 columns, and Markdown. What it says is worked out in `story_words`."""

from collections.abc import Iterator, Mapping

from attrs import frozen

from routecode.history.story import BROKEN, Moment, Story
from routecode.history.story_fails import FINDING, NEED, PATH, Since, Today
from routecode.history.story_line import Line
from routecode.history.story_told import Mark
from routecode.show.escape import visible
from routecode.show.markdown import code, escaped
from routecode.show.measure import wrapped
from routecode.show.paint import Paint, plain
from routecode.show.spoken import counted
from routecode.show.story_words import Begun, begun, head_text, moment_lines, now_lines

QUESTION = "Since when does this not work?"
FINE = "Nothing is amiss: no path through it was lost for good, no need that names it fails, no finding stands on its wires."
_SHOWN = 3
"""Lines of text that are shown of one change."""
_SINCE = 8
_WHAT = 6
_SHORT = 10
_DATE = 10


@frozen
class Frame:
    """How it is shown: columns, colours, what leads to the files, how revisions are called, what a command needs beside."""

    line: Line
    width: int = 80
    paint: Paint = plain
    numbers: Mapping[str, int] = {}
    """Commit -> its number in the history, where it has one."""
    where: str = ""
    """What a command to copy needs so that it is asked in the right folder."""
    shallow: bool = False

    def called(self, number: int) -> str:
        """A revision as a command takes it."""
        commit = self.line.commits[number]
        if commit is None:
            return ""
        known = self.numbers.get(commit.id)
        return commit.id[:_SHORT] if known is None else str(known)

    def ids(self, *numbers: int | None) -> tuple[str, ...]:
        """The ids by which `told` tells of some revisions."""
        commits = (self.line.commits[number] for number in numbers if number is not None)
        return tuple(commit.id[:_SHORT] for commit in commits if commit is not None)

    def told(self, number: int) -> str:
        """A revision as a person is told of it."""
        commit = self.line.commits[number]
        if commit is None:
            return "the files as they are now, not recorded yet"
        return f'{commit.id[:_SHORT]}, "{commit.title}", {commit.when[:_DATE]}, {commit.author or "nobody"}'


def story_text(story: Story, frame: Frame) -> str:
    """The whole story."""
    lines = [frame.paint(text, "strong") for text in wrapped(visible(head_text(story)), frame.width)]
    lines += _wrapped(_about(story, frame), frame, 0)
    for ways in story.ways:
        heading = "Now" if story.stands else "When it was last there"
        lines += ["", frame.paint(f"{heading}{'' if ways.setup is None else visible(f', in {ways.setup}')}", "strong")]
        lines += [line for text in now_lines(ways) for line in _wrapped(text, frame, 2)]
    lines += ["", frame.paint(QUESTION, "strong"), *_question(story, frame)]
    lines += ["", frame.paint("The story, newest first", "strong"), ""]
    for number, moment in enumerate(story.moments):
        lines += [*_quiet(story, number, frame), *_moment(moment, story, frame), ""]
    lines += _quiet(story, len(story.moments), frame)
    return "\n".join(lines).rstrip("\n") + "\n" + _see(story, frame)


def _about(story: Story, frame: Frame) -> str:
    """Over how many revisions, and what is not so plain about them."""
    told = [f"Followed through {counted(len(frame.line), 'revision')} that touched the wiring."]
    if story.newest:
        told.append(f"What is said of now is that of {frame.told(story.newest)}: what is newer does not compile.")
    if frame.shallow:
        told.append("This copy of the repository is shallow: what was before is not in it.")
    return " ".join(told)


def _wrapped(text: str, frame: Frame, indent: int) -> list[str]:
    first, *rest = wrapped(visible(text), frame.width - indent - 2 if indent else frame.width)
    return [" " * indent + first, *(" " * (indent + 2 if indent else 0) + line for line in rest)]


# -- since when ----------------------------------------------------------------------------------------------------------


def _question(story: Story, frame: Frame) -> Iterator[str]:
    if not story.since:
        yield from _wrapped(FINE, frame, 2)
    found = begun(story)
    for number, each in enumerate(found[:_SINCE]):
        if number:
            yield ""
        for text in each.what[:_WHAT]:
            yield from _wrapped(text, frame, 2)
        if len(each.what) > _WHAT:
            yield f"  And {counted(len(each.what) - _WHAT, 'thing')} more; all of them are in: --json"
        for now in each.today:
            for text in today(now, frame):
                yield from _wrapped(text, frame, 4)
            yield from _marks(now.marks, frame, 6)
        for text in (*_first(each), *each.why, began(each.first, frame)):
            yield from _wrapped(text, frame, 4)
        yield from _marks(each.marks, frame, 6)
        yield from _wrapped(ended(each.first, frame), frame, 4)
    if len(found) > _SINCE:
        yield f"  And {len(found) - _SINCE:,} more; all of them are in: --json"


def today(now: Today, frame: Frame) -> tuple[str, ...]:
    """What stands against it today, and since when."""
    return (*now.sentences, f"So it is since {frame.told(now.since)}.")


def _first(found: Begun) -> tuple[str, ...]:
    return ("It began with another cause, which was mended:",) if found.today else ()


def began(since: Since, frame: Frame) -> str:
    """With which revision it began."""
    return f"Since {frame.told(since.since)}."


def ended(since: Since, frame: Frame) -> str:
    """Until when it worked."""
    unsure = ""
    if since.unsure:
        they = "it does not compile" if since.unsure == 1 else f"the {since.unsure:,} revisions between do not compile"
        unsure = f" It may have begun before: {they if since.unsure > 1 else f'between them stands one revision, and {they}'}."
    if since.until is not None:
        return f"It worked until {frame.told(since.until)}.{unsure}"
    never = {NEED: "It was never met since it is asked for.", FINDING: "It stands as far back as this is followed."}
    return f"{never.get(since.kind, 'It never did before.')}{unsure}"


def _marks(marks: tuple[Mark, ...], frame: Frame, indent: int) -> Iterator[str]:
    for mark in marks[:_SHOWN]:
        text = f"{mark.spot.file}:{mark.spot.line}{' (before)' if mark.side == 'before' else ''}: {mark.text}"
        first, *rest = wrapped(visible(text), frame.width - indent)
        yield " " * indent + frame.paint(f"{first[: frame.width - indent - 3]}..." if rest else first, "quiet")
    if len(marks) > _SHOWN:
        yield " " * indent + frame.paint(f"and {counted(len(marks) - _SHOWN, 'more line')}", "quiet")


# -- moments -------------------------------------------------------------------------------------------------------------


def _moment(moment: Moment, story: Story, frame: Frame) -> Iterator[str]:
    commit = frame.line.commits[moment.at]
    date = "now" if commit is None else commit.when[:_DATE] or "no date"
    title = "The files as they are now, not recorded yet" if commit is None else commit.title or "(no message)"
    head = f"{frame.called(moment.at) or '-':>4}  {date:<10}  "
    first, *rest = wrapped(visible(title), frame.width - len(head))
    yield head + frame.paint(first, "strong")
    yield from (" " * len(head) + frame.paint(line, "strong") for line in rest)
    for text in moment_lines(moment, story):
        yield from _wrapped(text, frame, 6)
    yield from _marks(moment.marks, frame, 8)
    if commit is not None:
        merge = ", a merge" if len(commit.parents) > 1 else ""
        for line in wrapped(visible(f"{commit.id[:_SHORT]}, {commit.author or 'nobody'}{merge}"), frame.width - 6):
            yield " " * 6 + frame.paint(line, "quiet")


def quiet(story: Story, number: int, line: Line) -> int:
    """How many revisions between the moment `number` and the one before it in the list changed nothing of the place."""
    start = 0
    if number:
        before = story.moments[number - 1]
        start = (before.until if before.kind == BROKEN else before.at) + 1
    stop = story.moments[number].at if number < len(story.moments) else len(line)
    return stop - start


def _quiet(story: Story, number: int, frame: Frame) -> list[str]:
    count = quiet(story, number, frame.line)
    if not count:
        return []
    what = quiet_text(story, number, count)
    return [" " * 6 + frame.paint(what, "quiet"), ""]


def quiet_text(story: Story, number: int, count: int) -> str:
    """What is said of revisions that changed nothing of the place."""
    before = story.moments[number - 1] if number else None
    absent = (number == 0 and not story.stands) or (before is not None and before.kind == "appeared")
    return f"{counted(count, 'revision')} {'without it' if absent else 'that changed nothing of it'}"


def _see(story: Story, frame: Frame) -> str:
    """A command that shows one of the revisions whole."""
    since = next((each for each in story.since if each.kind == PATH), None)
    first = since.since if since is not None else None
    found = (one for one in story.moments if one.before is not None and (first is None or one.at == first))
    moment = next(found, None)
    if moment is None or moment.before is None:
        return ""
    after = frame.called(moment.at)
    between = f"{frame.called(moment.before)}..{after}" if after else frame.called(moment.before)
    return f"\nTo see one whole: routecode diff {between}{frame.where}\n"


# -- Markdown ------------------------------------------------------------------------------------------------------------


def story_markdown(story: Story, frame: Frame) -> str:
    """The whole story as Markdown."""
    lines = [f"# {escaped(head_text(story))}", "", escaped(_about(story, frame), frame.ids(story.newest))]
    for ways in story.ways:
        heading = "Now" if story.stands else "When it was last there"
        lines += ["", f"## {heading}{'' if ways.setup is None else f', in {escaped(ways.setup)}'}", ""]
        lines += [f"- {escaped(text)}" for text in now_lines(ways)]
    lines += ["", f"## {QUESTION}", "", *_question_markdown(story, frame)]
    lines += ["", "## The story, newest first"]
    for number, moment in enumerate(story.moments):
        count = quiet(story, number, frame.line)
        lines += ["", f"*{quiet_text(story, number, count)}*"] if count else []
        lines += ["", *_moment_markdown(moment, story, frame)]
    count = quiet(story, len(story.moments), frame.line)
    lines += ["", f"*{quiet_text(story, len(story.moments), count)}*"] if count else []
    return "\n".join(lines) + "\n"


def _question_markdown(story: Story, frame: Frame) -> Iterator[str]:
    if not story.since:
        yield escaped(FINE)
    for each in begun(story):
        yield from (f"- **{escaped(text)}**" for text in each.what)
        for now in each.today:
            yield from (f"  - {escaped(text, frame.ids(now.since))}" for text in today(now, frame))
            yield from _marks_markdown(now.marks)
        yield from (f"  - {escaped(text)}" for text in (*_first(each), *each.why))
        ids = frame.ids(each.first.since, each.first.until)
        yield from (f"  - {escaped(said(each.first, frame), ids)}" for said in (began, ended))
        yield from _marks_markdown(each.marks)


def _moment_markdown(moment: Moment, story: Story, frame: Frame) -> Iterator[str]:
    yield f"### {escaped(frame.told(moment.at), frame.ids(moment.at))}"
    yield ""
    yield from (f"- {escaped(text)}" for text in moment_lines(moment, story))
    yield from _marks_markdown(moment.marks)


def _marks_markdown(marks: tuple[Mark, ...]) -> Iterator[str]:
    for mark in marks[:_SHOWN]:
        side = " (before)" if mark.side == "before" else ""
        yield f"  - {code(f'{mark.spot.file}:{mark.spot.line}')}{side}: {code(mark.text)}"
    if len(marks) > _SHOWN:
        yield f"  - and {counted(len(marks) - _SHOWN, 'more line')}"
