"""What the page says, as plain values in the order of the page: sections, setups, findings, causes, jacks; each sentence with its number.

The sentences are those of every other output (`difference_sections`); nothing is decided or worded anew but headings.
"""

from collections.abc import Iterable, Iterator

from attrs import define, frozen

from routecode.change.delta import BOTH, StateDelta
from routecode.change.difference import Difference
from routecode.change.matched import AFTER, BEFORE
from routecode.change.needs import NeedChange
from routecode.change.view import View
from routecode.circuit.setups import whole_cords
from routecode.ground.finding import Finding
from routecode.ground.order import natural
from routecode.ground.place import Spot
from routecode.show.diagnostic import Told as Shown
from routecode.show.diagnostic import told_findings
from routecode.show.difference_sections import FAILING, MET, Item, Scope, Section, in_order, places, sections
from routecode.show.excerpt import excerpt
from routecode.show.review.numbered import Numbers
from routecode.show.review.touching import Touched, Toucher
from routecode.show.spoken import counted, joined
from routecode.studio.opened import Opened

_COLUMNS = 110
"""Letters of a quoted line of text."""
_KINDS = {FAILING: "failing", "Lost": "loss", "At risk": "risk", "Gained": "gain", MET: "met"}
_FINDINGS = ("New findings", "Findings gone")


@frozen
class Quote:
    """A line of text: before, under and after the mark; all empty where there is nothing to quote."""

    before: str
    marked: str
    after: str


@frozen
class Place:
    """A place in the text of one side, with its line. `key` ties a sentence to it."""

    key: str
    side: str
    file: str
    line: int
    column: int
    quote: Quote


@frozen
class Sentence:
    """One sentence; `number` None: nothing in a picture belongs to it."""

    text: str
    number: int | None
    places: tuple[Place, ...] = ()
    below: tuple["Sentence", ...] = ()
    states: tuple[str | None, ...] = ()


@frozen
class Part:
    """A heading of the summary with its sentences; `kind` says how it is set."""

    heading: str
    kind: str
    sentences: tuple[Sentence, ...]


@frozen
class Row:
    """A row of the table by jack."""

    jacks: str
    was: str
    now: str
    number: int | None


@frozen
class Found:
    """A finding; `side` says in which text its place is."""

    shown: Shown
    states: str
    number: int | None
    place: Place | None


@frozen
class Setup:
    """A setup that differs: how much, which cords, and the sentences that are true of it and not of every state."""

    title: str
    id: str
    lines: tuple[str, ...]
    sentences: tuple[Sentence, ...]
    everywhere: int


@frozen
class Cause:
    """A place in the text with the sentences that rest on it."""

    place: Place
    sentences: tuple[Sentence, ...]


@define
class Teller:
    """Puts together everything that is said; asks for each thing once."""

    difference: Difference
    toucher: Toucher
    numbers: Numbers

    # -- the summary ----------------------------------------------------------------------------------------------------

    def summary(self) -> tuple[tuple[Part, ...], tuple[Row, ...]]:
        """The parts of the summary, and the table by jack."""
        parts: list[Part] = []
        rows: tuple[Row, ...] = ()
        for section in sections(self.difference, Scope(how="routecode diff --expand")):
            if section.rows:
                rows = self._rows(section)
            elif section.heading not in _FINDINGS:
                kind = _KINDS.get(section.heading, "note")
                parts.append(Part(section.heading, kind, tuple(map(self._sentence, section.items))))
        return tuple(parts), rows

    def _rows(self, section: Section) -> tuple[Row, ...]:
        return tuple(
            Row(row.jacks, row.was, row.now, self.numbers.add(self.toucher.nodes(row.nodes))) for row in section.rows
        )

    def _sentence(self, item: Item) -> Sentence:
        touched = Touched()
        stand: list[tuple[str, Spot]] = []
        states: tuple[str | None, ...] = ()
        if item.told is not None:
            touched = self.toucher.change(item.told.change, item.told.states[0])
            stand = places(item.told.change, self.difference)
            states = item.told.states
        elif item.needs:
            touched = self.toucher.needs(item.needs)
            stand = [each for need in item.needs for each in self._stated(need)]
        elif item.listed is not None:
            touched = self.toucher.listed(item.listed)
        number = self.numbers.add(touched)
        where = tuple(self._place(side, spot) for side, spot in dict.fromkeys(stand))
        return Sentence(item.text, number, where, tuple(map(self._sentence, item.below)), states)

    def _stated(self, need: NeedChange) -> Iterator[tuple[str, Spot]]:
        """Where a need is asked for: on the side before, where it is not any more."""
        side = BEFORE if need.gone else AFTER
        spot = self._opened(side).spot(need.place)
        if spot is not None:
            yield side, spot

    def _place(self, side: str, spot: Spot) -> Place:
        opened = self._opened(side)
        key = f"{'a' if side == AFTER else 'b'}{sorted(opened.files.texts).index(spot.file)}-{spot.line}-{spot.column}"
        return Place(key, side, spot.file, spot.line, spot.column, _quoted(opened, spot))

    def _opened(self, side: str) -> Opened:
        return self.difference.new if side == AFTER else self.difference.old

    # -- findings -------------------------------------------------------------------------------------------------------

    def findings(self) -> tuple[tuple[Found, ...], tuple[Found, ...]]:
        """Findings that are new, and those that are gone; notes too."""
        new, gone = self.difference.findings_new, self.difference.findings_gone
        return tuple(self._found(new, AFTER)), tuple(self._found(gone, BEFORE))

    def _found(self, findings: Iterable[Finding], side: str) -> Iterator[Found]:
        listed = in_order(findings)
        at = {(finding.rule, finding.text): finding for finding in reversed(listed)}
        for shown in told_findings(listed, self._opened(side)):
            number = self.numbers.add(self.toucher.finding(at[shown.id, shown.text], side))
            place = self._place(side, shown.spot) if shown.spot is not None else None
            yield Found(shown, self._states(shown.setups), number, place)

    def _states(self, setups: Iterable[str | None]) -> str:
        named = ["unpatched" if setup is None else self.difference.words.setup(setup) for setup in setups]
        return "" if named == ["unpatched"] else f"in {', '.join(named)}"

    # -- setups and causes ----------------------------------------------------------------------------------------------

    def setups(self, parts: Iterable[Part]) -> tuple[Setup, ...]:
        """Every setup in which anything differs."""
        told = [one for part in parts for sentence in part.sentences for one in (sentence, *sentence.below)]
        usual = {delta.setup for delta in self.difference.states if delta.presence == BOTH}
        return tuple(
            self._setup(delta, told, usual)
            for delta in self.difference.states
            if delta.setup is not None and (delta.presence != BOTH or not delta.empty or self._cords(delta))
        )

    def _setup(self, delta: StateDelta, told: list[Sentence], usual: set[str | None]) -> Setup:
        assert delta.setup is not None
        here = [sentence for sentence in told if delta.setup in sentence.states]
        own = tuple(sentence for sentence in here if set(sentence.states) != usual)
        lines = (*_counted(delta), *self._cords(delta))
        return Setup(self.difference.words.setup(delta.setup), delta.setup, lines, own, len(here) - len(own))

    def _cords(self, delta: StateDelta) -> tuple[str, ...]:
        was, now = self._ends(delta.before), self._ends(delta.after)
        name = self.difference.words.node
        texts = []
        for word, cords in (("new", now - was), ("gone", was - now)):
            said = (
                f"{'Y-cord' if len(ends) > 1 else 'Cord'} {word}: {name(start).text} to {joined(name(end).text for end in ends)}."
                for start, *ends in cords
            )
            texts += sorted(said, key=natural)
        return tuple(texts)

    def _ends(self, view: View | None) -> set[tuple[int, ...]]:
        """Of each cord its ends in shared numbers, of a Y-cord the one that it has once first."""
        if view is None or view.state.placed is None:
            return set()
        shared = self.difference.matched.shared_node
        found = set()
        for legs in whole_cords(view.state.placed.cords):
            start, ends = legs[0].a.node, [leg.b.node for leg in legs if leg.b.node >= 0]
            if start >= 0 and ends:
                found.add((shared(view.side, start), *sorted(shared(view.side, end) for end in ends)))
        return found

    def causes(self, parts: Iterable[Part]) -> tuple[Cause, ...]:
        """The places in the text that the summary rests on, in the order of the files."""
        found: dict[Place, list[Sentence]] = {}
        for part in parts:
            for sentence in part.sentences:
                for one in (sentence, *sentence.below):
                    for place in one.places:
                        found.setdefault(place, []).append(one)
        ordered = sorted(found, key=lambda place: (place.file, place.line, place.column, place.side))
        return tuple(Cause(place, tuple(dict.fromkeys(found[place]))) for place in ordered)


def _counted(delta: StateDelta) -> Iterator[str]:
    lost, gained = (sum(1 for pair in pairs if not pair.idle) for pairs in (delta.lost, delta.gained))
    told = [f"{counted(gained, 'path')} gained"] if gained else []
    told += [f"{counted(lost, 'path')} lost"] if lost else []
    told += [f"{counted(len(delta.rerouted), 'feed')} another way"] if delta.rerouted else []
    if told:
        yield f"{', '.join(told)}."


def _quoted(opened: Opened, spot: Spot) -> Quote:
    found = excerpt(opened.line(spot), spot.column, spot.length, _COLUMNS)
    if found is None:
        return Quote("", "", "")
    stop = found.start + found.length
    return Quote(found.text[: found.start], found.text[found.start : stop], found.text[stop:])
