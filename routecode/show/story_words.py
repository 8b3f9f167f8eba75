"""The story of one place in words: headings, sentences and ways as values, for text and Markdown alike. Nothing here is escaped."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import groupby

from attrs import frozen

from routecode.change.identity import DECLARED, PROVED
from routecode.ground.order import natural
from routecode.history.story import APPEARED, WENT, Moment, Story
from routecode.history.story_change import Ends, Turned
from routecode.history.story_fails import GONE, Need, Since, Today
from routecode.history.story_place import BAY, CABLE, JACK
from routecode.history.story_told import Mark
from routecode.history.story_ways import MOST_PATHS, Hop, Ways
from routecode.show.spoken import counted, joined, ports

MOST_WAYS = 3
"""Up to so many paths of a state are told with their ways."""
MOST_SENTENCES = 4
_HEADS = 4
"""Units and bays whose ports are named of many."""
_WAY = "Way:"
_PAIRS = 4
"""Paths that are named one by one."""
_HOW = {DECLARED: "the text says so", PROVED: "same ports, same wiring"}
Titles = Mapping[str, str]


def label(name: str, titles: Titles) -> str:
    """A canonical name with the title of its unit or bay."""
    head, _, rest = name.partition("/")
    return " ".join(filter(None, (titles.get(head, head), rest)))


def labels(names: Iterable[str], titles: Titles) -> str:
    """Several names, those of one unit or bay folded."""
    listed = sorted(set(names), key=natural)
    groups = [(head, [name.partition("/")[2] for name in group]) for head, group in groupby(listed, _head)]
    return "; ".join(f"{titles.get(head, head)} {joined(ports(rests))}".strip() for head, rests in groups)


def _head(name: str) -> str:
    return name.partition("/")[0]


# -- ways ----------------------------------------------------------------------------------------------------------------


def way_text(hops: Iterable[Hop], titles: Titles) -> str:
    """A way as a line: `Hall box line 9 > North bay top 9, bottom 9 > Preamp B mic 1, out 1`."""
    spots: list[tuple[str, str]] = []
    for hop in hops:
        turned = {"kept": "", "reversed": " (polarity reversed)", "mixed": " (polarity both ways at once)"}[
            hop.polarity
        ]
        for name in (hop.source, *hop.jacks, hop.target):
            head, _, rest = name.partition("/")
            spot = (head, rest + (turned if name == hop.target else ""))
            if not spots or (spots[-1][0], spots[-1][1].partition(" (polarity")[0]) != (head, rest):
                spots.append(spot)
    groups = groupby(spots, lambda spot: spot[0])
    return " > ".join(f"{titles.get(head, head)} {', '.join(rest for _, rest in group)}" for head, group in groups)


def ways_lines(ways: Ways, paths: Iterable[Ends]) -> list[str]:
    """The ways of some paths where they are few; else how many there are, and from where to where."""
    listed = sorted(paths, key=lambda ends: (natural(ends[0]), natural(ends[1])))
    if len(listed) > MOST_WAYS:
        return [f"{counted(len(listed), 'path')}, {ends_text(listed, ways.titles)}"]
    found = ((ends, ways.way(*ends)) for ends in listed)
    return [way_text(way, ways.titles) if way else pairs_text([ends], ways.titles) for ends, way in found]


def ends_text(paths: Iterable[Ends], titles: Titles) -> str:
    """All ends of some paths: `from Hall box lines 1-8 to Recording computer madi in ch 1-8`."""
    sources, targets = zip(*paths, strict=True)
    return f"from {_shortened(sources, titles)} to {_shortened(targets, titles)}"


def _shortened(names: Iterable[str], titles: Titles) -> str:
    """Names, those of the first few units or bays."""
    listed = labels(names, titles).split("; ")
    more = len(listed) - _HEADS
    return "; ".join(listed[:_HEADS]) + (f"; and {counted(more, 'more unit')}" if more > 0 else "")


def now_lines(ways: Ways) -> Iterator[str]:
    """What goes through the place in one state."""
    if ways.cut:
        yield f"There is too much to list: more than {MOST_PATHS:,} paths, or too many steps."
    elif ways.ends:
        yield from ways_lines(ways, ways.ends)
    elif ways.arrives:
        yield f"Nothing passes. What gets there and goes no further: {labels(ways.arrives, ways.titles)}."
    else:
        idle = {path.source for path in ways.paths}
        yield f"Nothing comes; joined on: {labels(idle, ways.titles)}." if idle else "Nothing goes through it."


def pairs_text(paths: Iterable[Ends], titles: Titles) -> str:
    """Paths by their ends: `Hall box line 9 to Converter line 9`, the first few."""
    listed = sorted(paths, key=lambda ends: (natural(ends[0]), natural(ends[1])))
    told = [f"{label(source, titles)} to {label(target, titles)}" for source, target in listed[:_PAIRS]]
    more = len(listed) - len(told)
    return "; ".join(told) + (f"; and {more:,} more" if more else "")


# -- what happened -------------------------------------------------------------------------------------------------------


def moment_lines(moment: Moment, story: Story) -> Iterator[str]:
    """What happened to the place in one revision, sentence by sentence."""
    if moment.mistake is not None:
        run = moment.until - moment.at
        yield f"Does not compile{f', nor do the {run:,} before it' if run else ''}: {moment.mistake.text}"
        return
    if moment.kind == APPEARED:
        yield "It is there from the first record on." if moment.before is None else "It is new here."
    if moment.kind == WENT:
        yield "It is gone from here on."
    if moment.was is not None:
        yield _called(moment)
    yield from moment.notes
    yield from _states(moment, story)
    yield from _cables(moment)


def _called(moment: Moment) -> str:
    assert moment.was is not None
    if moment.place.kind == JACK:
        return f"Until here it was {moment.was.name}: the column moved with all that is wired there."
    if moment.place.kind == CABLE and not moment.was.name:
        return "Until here it had no number (it joined the same places)."
    how = "it joined the same places" if moment.place.kind == CABLE else _HOW.get(moment.how, "")
    how = how or "probably, since most of it is alike; nothing proves it"
    return f"Until here it was called {moment.was.name} ({how})."


def _titles(moment: Moment) -> Titles:
    found = dict(moment.titles)
    for turned in moment.states:
        found = {**turned.before.titles, **turned.after.titles, **found}
    return found


def _states(moment: Moment, story: Story) -> Iterator[str]:
    told: set[str] = set()
    for turned in moment.states:
        lines = [text for text in turned_lines(turned, moment.kind) if text not in told]
        told.update(lines)
        yield from (text if turned.setup is None else _within(turned.setup, text) for text in lines)
    if len(moment.states) == 1 and story.setup is not None and moment.states[0].setup is None:
        yield f"(In {story.setup} nothing else changed for it.)"


def _within(setup: str, text: str) -> str:
    """A line that is said of a setup."""
    return f"Way in {setup}:{text.removeprefix(_WAY)}" if text.startswith(_WAY) else f"In {setup}: {text}"


def turned_lines(turned: Turned, kind: str) -> Iterator[str]:
    """What changed in one state; as the comparison says it where it does, else by the ends."""
    titles = {**turned.before.titles, **turned.after.titles}
    yield from turned.sentences[:MOST_SENTENCES]
    more = len(turned.sentences) - MOST_SENTENCES
    if more > 0:
        yield f"And {counted(more, 'more change')} of its paths."
    if kind != APPEARED or not turned.sentences:
        lost = [ends for ends in turned.lost if ends not in turned.still]
        if lost and not turned.sentences:
            yield f"Lost: {pairs_text(lost, titles)}."
        if turned.still and kind != WENT:
            yield f"No longer through here, but still connected: {pairs_text(turned.still, titles)}."
    ways = list(_new_ways(turned)) if kind != WENT else []
    yield from ways
    if kind not in (APPEARED, WENT) and not (ways or turned.sentences or turned.lost):
        yield from _steps(turned, titles)


def _steps(turned: Turned, titles: Titles) -> Iterator[str]:
    """Single steps that differ, where they make or break no path that carries something."""
    before, after = turned.before.hops, turned.after.hops
    for ahead, hops in (("No longer joined", before - after), ("Joined now", after - before)):
        feeds = [hop for hop in hops if hop.feed]
        listed = sorted(feeds or hops, key=lambda hop: (natural(hop.source), natural(hop.target)))
        if listed:
            more = f"; and {counted(len(listed) - 1, 'more step')}" if len(listed) > 1 else ""
            yield f"{ahead}: {way_text(listed[:1], titles)}{more}."


def _new_ways(turned: Turned) -> Iterator[str]:
    ways = [*turned.gained, *turned.rerouted]
    if turned.after.cut:
        yield "There are too many paths through it to say which."
    elif ways:
        yield from (f"{_WAY} {text}" for text in ways_lines(turned.after, ways))
    elif turned.lost and not turned.after.ends:
        yield from now_lines(turned.after)


def _cables(moment: Moment) -> Iterator[str]:
    if moment.place.kind == CABLE and moment.notes:
        return
    titles = _titles(moment)
    for pairs, one, several in (
        (moment.uncabled, "No longer wired to", "No longer wired"),
        (moment.cabled, "Wired to", "Wired"),
    ):
        if not pairs:
            continue
        if len({at for at, _ in pairs}) == 1 and moment.place.kind != CABLE:
            yield f"{one} {labels((to for _, to in pairs), titles)}."
        elif moment.place.kind == CABLE and len(pairs) <= _PAIRS:
            yield f"{several}: {pairs_text(pairs, titles)}."
        else:
            yield f"{several}: {counted(len(pairs), 'cable')}, to {labels((to for _, to in pairs), titles)}."


# -- what does not work --------------------------------------------------------------------------------------------------


@frozen
class Begun:
    """What began with one revision: what does not work, sentence by sentence, why, and the lines that did it."""

    first: Since
    what: tuple[str, ...]
    why: tuple[str, ...]
    marks: tuple[Mark, ...]
    today: tuple[Today, ...] = ()


def begun(story: Story) -> list[Begun]:
    """What does not work now, by the revision it began with; the worst first."""
    groups: dict[tuple[int, int | None], list[Since]] = {}
    for since in story.since:
        groups.setdefault((since.since, since.until), []).append(since)
    found = []
    for group in groups.values():
        what = tuple(dict.fromkeys(_what(since, story) for since in group))
        why = tuple(dict.fromkeys(text for since in group for text in since.sentences[:MOST_SENTENCES]))
        marks = tuple(dict.fromkeys(mark for since in group for mark in since.marks))
        later = [each for since in group for each in (since.today,) if each is not None]
        found.append(Begun(group[0], what, why[:MOST_SENTENCES], marks, _by_revision(later)))
    return found


def _by_revision(found: list[Today]) -> tuple[Today, ...]:
    """What stands today, each revision once."""
    groups: dict[int, list[Today]] = {}
    for each in found:
        groups.setdefault(each.since, []).append(each)
    return tuple(
        Today(
            number,
            tuple(dict.fromkeys(text for each in group for text in each.sentences))[:MOST_SENTENCES],
            tuple(dict.fromkeys(mark for each in group for mark in each.marks)),
        )
        for number, group in groups.items()
    )


def _what(since: Since, story: Story) -> str:
    ahead = "" if since.setup is None else f"In {since.setup}: "
    if since.need is not None:
        return need_text(since.need, since.titles)
    if since.finding is not None:
        return f"{ahead}{since.finding.severity.value}: {since.finding.text}"
    if since.kind == GONE:
        return f"{story.title} is not there any more."
    verb = "goes elsewhere" if since.instead else "is lost"
    instead = f" Instead: {pairs_text(since.instead, since.titles)}." if since.instead and not since.sentences else ""
    return (
        f"{ahead}{pairs_text(since.paths, since.titles)}: {verb if len(since.paths) == 1 else _PLURAL[verb]}.{instead}"
    )


_PLURAL = {"goes elsewhere": "go elsewhere", "is lost": "are lost"}


def need_text(need: Need, titles: Titles) -> str:
    """A need that fails, as a sentence."""
    first, *between, last = (label(step, titles) for step in need.steps)
    through = f" through {joined(between)}" if between else ""
    if need.never:
        return f"{need.setup} needs that {first} never reaches {last}{through}. It does."
    alone = " and nothing else to" if need.only else " to"
    return f"{need.setup} needs {first}{alone} reach {last}{through}. That need is not met."


def head_text(story: Story) -> str:
    """What the story is of."""
    name = "" if story.place.kind == CABLE else f" ({story.place.name})"
    state = "unpatched" if story.setup is None else f"unpatched and in {story.setup}"
    all_of = ", all its jacks" if story.place.kind == BAY else ""
    return f"{story.title}{name}{all_of}, {state}"
