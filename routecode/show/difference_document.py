"""The answer of `diff` as a JSON document: the raw sets whole, the changes that tell them, names as they read after."""

from collections.abc import Iterable

from routecode.change.allowed import Judged, judged
from routecode.change.changes import Change
from routecode.change.delta import Pair, Point, Rerouted, StateDelta
from routecode.change.difference import Difference
from routecode.change.matched import BEFORE, Matched
from routecode.change.needs import NeedChange
from routecode.change.patching import Patched
from routecode.change.view import SeenFeed
from routecode.ground.place import At
from routecode.show.document import Row, place
from routecode.show.documents import (
    BEYOND,
    CAUSE,
    CHANGE,
    CORDED,
    DIFF,
    ENDS,
    FEED,
    NEED,
    PATH,
    POINT,
    RENAMED,
    REROUTED,
    STATE,
    WAY,
)
from routecode.show.paths import finding_rows
from routecode.studio.opened import Opened


def difference_document(difference: Difference, only: str | None = None, *, one: bool = False) -> Row:
    """The document; with `one` just the state `only`."""
    teller = _Names(difference.matched)
    states = [_state(delta, difference, teller) for delta in difference.states if not one or delta.setup == only]
    verdict = judged(difference)
    renamed = sorted({(each.before, each.after, each.how) for each in difference.renamed})
    return DIFF.answer(
        difference.old.name,
        difference.new.name,
        difference.result,
        states,
        RENAMED.rows(renamed),
        {
            "new": finding_rows(difference.findings_new, difference.new),
            "gone": finding_rows(difference.findings_gone, difference.old),
        },
        _asked(difference, only, one),
        _beyond(verdict, difference, only, one),
        sorted(each.written.id or "" for each in verdict.awaited),
    )


def _asked(difference: Difference, only: str | None, one: bool) -> Row:
    """Needs that are new, and those that are gone."""
    asked = [need for need in difference.asked if not one or need.setup == only]
    new, gone = ([need for need in asked if need.gone is side] for side in (False, True))
    return {
        "new": _needs(new, difference.new, difference.matched),
        "gone": _needs(gone, difference.old, difference.matched),
    }


def _needs(needs: Iterable[NeedChange], opened: Opened, matched: Matched) -> list[Row]:
    found = [([matched.channel_name(step) for step in need.steps], need) for need in needs]
    found.sort(key=lambda each: (each[1].setup, each[0], each[1].never, each[1].only))
    return [
        NEED.row(
            need.setup,
            path,
            need.never,
            need.only,
            need.before if need.gone else need.after,
            place(opened.spot(need.place)),
        )
        for path, need in found
    ]


def _beyond(verdict: Judged, difference: Difference, only: str | None, one: bool) -> list[Row]:
    rows = []
    for each in verdict.shown(only, one):
        spot = (difference.old if each.side == BEFORE else difference.new).spot(each.at)
        ids = (each.print, None) if each.change is not None else (None, each.print)
        order = (each.print, each.setup or "", each.rule, each.side)
        rows.append((order, (*ids, each.setup, each.rule, each.side, place(spot))))
    return BEYOND.rows([row for _, row in sorted(rows, key=lambda row: row[0])])


class _Names:
    """Rows of shared numbers by names, sorted by code point."""

    def __init__(self, matched: Matched) -> None:
        self.channel = matched.channel_name
        self.node = matched.node_name

    def paths(self, pairs: Iterable[Pair]) -> list[Row]:
        return PATH.rows(sorted((self.channel(source), self.channel(target), idle) for source, target, idle in pairs))

    def feeds(self, seen: Iterable[SeenFeed]) -> list[Row]:
        rows = [
            (self.channel(feed.source), self.channel(feed.target), self.jacks(feed), feed.polarity, feed.either)
            for feed in seen
        ]
        return FEED.rows(sorted(rows))

    def rerouted(self, pairs: Iterable[Rerouted]) -> list[Row]:
        rows = [
            (
                self.channel(old.source),
                self.channel(old.target),
                WAY.row(self.jacks(old), old.polarity),
                WAY.row(self.jacks(new), new.polarity),
            )
            for old, new in pairs
        ]
        return REROUTED.rows(sorted(rows, key=lambda row: (row[0], row[1])))

    def jacks(self, feed: SeenFeed) -> list[str]:
        return [self.node(jack) for jack in feed.jacks]

    def corded(self, answer: Patched) -> Row:
        ends = [
            ENDS.rows(sorted((name(a), name(b)) for a, b in pairs))
            for name, pairs in (
                (self.channel, answer.paths),
                (self.node, answer.cords or ()),
                (self.channel, answer.loses),
            )
        ]
        cords = None if answer.cords is None else ends[1]
        plugs = sorted(map(self.node, answer.link_plugs))
        return CORDED.row(ends[0], answer.side, cords, answer.searched, ends[2], plugs)

    def points(self, points: Iterable[Point]) -> list[Row]:
        return POINT.rows(sorted((self.node(point.jack), sorted(map(self.node, point.wired))) for point in points))


def _state(delta: StateDelta, difference: Difference, names: _Names) -> Row:
    patching = next((each for each in difference.patching if each.setup == delta.setup), None)
    return STATE.row(
        delta.setup,
        delta.presence,
        delta.compared,
        {"gained": names.paths(delta.gained), "lost": names.paths(delta.lost)},
        {
            "gained": names.feeds(delta.feeds_gained),
            "lost": names.feeds(delta.feeds_lost),
            "rerouted": names.rerouted(delta.rerouted),
        },
        {"gained": names.points(delta.points_gained), "lost": names.points(delta.points_lost)},
        [_change(change, difference) for change in difference.changes[delta.setup]],
        [names.corded(answer) for answer in patching.answers] if patching is not None else [],
        patching.unasked if patching is not None else 0,
    )


def causes(places: Iterable[tuple[str, At]], difference: Difference) -> list[Row]:
    """Places in the text, each with its side."""
    return [
        CAUSE.row(side, place((difference.old if side == BEFORE else difference.new).spot(at))) for side, at in places
    ]


def _change(change: Change, difference: Difference) -> Row:
    return CHANGE.row(
        change.id,
        change.kind,
        change.sense,
        change.harm,
        list(change.subjects),
        list(change.channels),
        list(change.names),
        change.under,
        causes(change.cause, difference),
        change.proof,
        change.sentence,
    )
