"""The story of one place as a JSON document."""

from collections.abc import Iterable

from routecode.history.story import Moment, Story
from routecode.history.story_change import Ends, Turned
from routecode.history.story_fails import Since, Today
from routecode.history.story_line import Line
from routecode.history.story_told import Mark
from routecode.history.story_ways import Hop, Ways
from routecode.show.document import PLACE, Row
from routecode.show.story_shapes import (
    CABLED,
    ENDS,
    FINDING,
    LINE,
    MOMENT,
    NEED,
    REVISION,
    SINCE,
    STEP,
    STORY,
    TODAY,
    TURNED,
    WAS,
    WAY,
    WAYS,
)

_TOLD = 200
"""Up to so many paths of one state are told with their ways."""


def story_document(story: Story, line: Line) -> Row:
    """The document."""
    revisions = [_revision(line, number) for number in range(len(line))]
    return STORY.answer(
        story.place.name,
        story.place.kind,
        story.setup,
        story.stands,
        revisions[story.newest],
        revisions[story.last],
        len(line),
        [_ways(ways) for ways in story.ways],
        [_since(since, revisions) for since in story.since],
        [_moment(moment, revisions, story.setup) for moment in story.moments],
    )


def _revision(line: Line, number: int) -> Row:
    commit = line.commits[number]
    if commit is None:
        return REVISION.row("worktree", "", "", "")
    return REVISION.row(commit.id, commit.title, commit.author, commit.when)


def _ways(ways: Ways) -> Row:
    return WAYS.row(ways.setup, _paths(ways, sorted(ways.ends)), sorted(ways.arrives), ways.cut)


def _paths(ways: Ways, paths: Iterable[Ends]) -> list[Row]:
    listed = list(paths)
    told = len(listed) <= _TOLD and not (ways.cut and not ways.hops)
    return [WAY.row(*ends, [_step(hop) for hop in ways.way(*ends)] if told else None) for ends in listed]


def _step(hop: Hop) -> Row:
    return STEP.row(hop.source, hop.target, "feed" if hop.feed else "inside", list(hop.jacks), hop.polarity)


def _lines(marks: Iterable[Mark]) -> list[Row]:
    return [
        LINE.row(mark.side, PLACE.row(mark.spot.file, mark.spot.line, mark.spot.column), mark.text) for mark in marks
    ]


def _since(since: Since, revisions: list[Row]) -> Row:
    need = NEED.row(since.need.setup, list(since.need.steps), *since.need[2:]) if since.need is not None else None
    finding = None
    if since.finding is not None:
        each = since.finding
        finding = FINDING.row(each.rule, each.severity.value, list(each.at), each.text)
    return SINCE.row(
        since.kind,
        since.setup,
        revisions[since.since],
        None if since.until is None else revisions[since.until],
        since.unsure,
        ENDS.rows(since.paths),
        ENDS.rows(since.instead),
        need,
        finding,
        _lines(since.marks),
        list(since.sentences),
        None if since.today is None else _today(since.today, revisions),
    )


def _today(today: Today, revisions: list[Row]) -> Row:
    return TODAY.row(revisions[today.since], _lines(today.marks), list(today.sentences))


def _moment(moment: Moment, revisions: list[Row], setup: str | None) -> Row:
    return MOMENT.row(
        moment.kind,
        revisions[moment.at],
        revisions[moment.until] if moment.mistake is not None and moment.until > moment.at else None,
        None if moment.before is None else revisions[moment.before],
        moment.place.name,
        None if moment.was is None else WAS.row(moment.was.name, moment.how),
        [_turned(turned, setup) for turned in moment.states],
        CABLED.rows(moment.uncabled),
        CABLED.rows(moment.cabled),
        _lines(moment.marks),
        list(moment.notes),
        None if moment.mistake is None else moment.mistake.text,
    )


def _turned(turned: Turned, setup: str | None) -> Row:
    return TURNED.row(
        None if turned.setup is None else setup,
        ENDS.rows(turned.lost),
        ENDS.rows(sorted(turned.still)),
        _paths(turned.after, turned.gained),
        _paths(turned.after, turned.rerouted),
        list(turned.sentences),
    )
