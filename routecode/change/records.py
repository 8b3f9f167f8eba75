"""What a diff lists beside its changes: jacks (was, is), cabling, equipment. Compares what is written, not what it does."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from typing import NamedTuple

from routecode.change.delta import Point
from routecode.change.fact import Fact
from routecode.change.identity import PROBABLE, Renamed
from routecode.change.joints import differing_wires
from routecode.change.matched import AFTER, BEFORE, Matched
from routecode.change.moves import Moves
from routecode.change.words import Label, Piece, Words, in_order, label, many, names_of, several
from routecode.circuit.plant import PlacedBay, PlacedUnit, Plant, Wire
from routecode.ground.order import natural
from routecode.language.ranges import Range, fold, read_range

NOTHING = "nothing"


class JackRow(NamedTuple):
    """Jacks, what was behind them (or how they were normalled), and what is now; `nodes`: the jacks in shared numbers."""

    jacks: str
    was: str
    now: str
    nodes: tuple[int, ...] = ()


class Listed(NamedTuple):
    """A line of a list, with the cables (pairs of shared numbers) or the units and bays (ids as they read after) it is of.

    `made`: a cable that both sides have is made off otherwise (cold leg, shield, pins).
    """

    text: str
    joints: tuple[tuple[int, int], ...] = ()
    units: tuple[str, ...] = ()
    made: bool = False


Jack = tuple[Label, list[Label], list[Label], int]
"""A jack, what was behind it, what is now, and its shared number."""


# -- jacks ---------------------------------------------------------------------------------------------------------------


def jack_rows(
    lost: Iterable[Point], gained: Iterable[Point], facts: Iterable[Fact], words: Words, moved: Moves
) -> list[JackRow]:
    """The jacks whose rear or normal differs, neighbouring ones in one row; columns that moved whole are not among them."""
    was = {point.jack: point.wired for point in lost}
    now = {point.jack: point.wired for point in gained}
    explained = _explained(moved, was.keys(), now.keys())
    singles = [
        (jack, was.get(jack, ()), now.get(jack, ())) for jack in was.keys() | now.keys() if jack not in explained
    ]
    groups: dict[object, list[Jack]] = defaultdict(list)
    for jack, old, new in singles:
        row = (words.node(jack), _sorted(map(words.node, old)), _sorted(map(words.node, new)), jack)
        groups[row[0][:2], tuple(one[:2] for one in row[1]), tuple(one[:2] for one in row[2])].append(row)
    rows = [part for group in groups.values() for part in _rows(group, words)]
    return [row for _, row in sorted(rows, key=lambda one: natural(one[0]))] + _normals(
        (fact for fact in facts if not explained.issuperset(fact.nodes)), words
    )


def _explained(moved: Moves, was: Collection[int], now: Collection[int]) -> set[int]:
    """Jacks on which nothing is new or gone but by a column that moved."""
    come = set(moved.jack.values())
    left = {jack for jack in moved.jack if jack in come or jack not in now}
    return left | {jack for jack in come if jack in moved.jack or jack not in was}


def _rows(group: list[Jack], words: Words) -> list[tuple[str, JackRow]]:
    group.sort(key=lambda row: natural(row[0].text))
    runs: list[list[Jack]] = []
    for row in group:
        if runs and row[0].plain and row[0].number == runs[-1][-1][0].number + 1:
            runs[-1].append(row)
        else:
            runs.append([row])
    return [(run[0][0].text, _row(run, words)) for run in runs]


def _row(run: list[Jack], words: Words) -> JackRow:
    nodes = tuple(row[3] for row in run)
    jacks = several(in_order([row[0] for row in run])) + words.group(nodes)
    return JackRow(jacks, _column([row[1] for row in run]), _column([row[2] for row in run]), nodes)


def _column(run: list[list[Label]]) -> str:
    columns = list(zip(*run, strict=True))
    return several([", ".join(in_order(column)) for column in columns]) or NOTHING


def _sorted(labels: Iterable[Label]) -> list[Label]:
    return sorted(labels, key=lambda label: natural(label.text))


def _normals(facts: Iterable[Fact], words: Words) -> list[JackRow]:
    groups: dict[tuple[str, str, object], list[tuple[Label, Label, tuple[int, ...]]]] = defaultdict(list)
    for fact in facts:
        if fact.kind == "normal":
            a, b = words.node(fact.key[0]), words.node(fact.key[1])
            groups[_pattern(fact.before), _pattern(fact.after), (a[:2], b[:2])].append((a, b, fact.key[:2]))
    rows = []
    for (was, now, _), pairs in groups.items():
        pairs.sort(key=lambda pair: natural(pair[0].text))
        jacks = f"{several(in_order([pair[0] for pair in pairs]))} to {several(in_order([pair[1] for pair in pairs]))}"
        rows.append(JackRow(jacks, was, now, tuple(node for pair in pairs for node in pair[2])))
    return sorted(rows, key=lambda row: natural(row.jacks))


def _pattern(value: tuple[str, ...] | None) -> str:
    if value is None:
        return "no normal"
    words = [
        word.replace("plug", "link plug in the") if word.startswith("plug") else f"normal: {word}" for word in value
    ]
    return ", ".join(words)


# -- cabling -------------------------------------------------------------------------------------------------------------


_TOLD = ("type", "metres", "loom", "reversed", "front", "cold", "shield", "pins", "status", "tested")
_OTHERWISE = {
    "cold": "the cold leg is made off otherwise",
    "shield": "the shield is connected otherwise",
    "pins": "the pins are others",
}


Cable = tuple[Label, Label, Wire, tuple[int, int], str | None]
"""Both ends, the cable, the pair of shared numbers that it joins, and the number it had before."""


def cabling(matched: Matched, words: Words, moved: Moves) -> list[Listed]:
    """Fixed cables that are new, gone, or described otherwise, neighbouring ones together; one that moved with its column is the same."""
    before, after = differing_wires(matched)
    new = {_pair(wire.a, wire.b): wire for wire in after}
    old = {}
    for cable in before:
        ends = matched.nodes[cable.a], matched.nodes[cable.b]
        there = _pair(*moved.now(ends))
        old[there if there in new else _pair(*ends)] = cable
    made: set[tuple[int, int]] = set()
    groups: dict[tuple[tuple[str, str, bool], object], list[Cable]] = defaultdict(list)
    for key in old.keys() | new.keys():
        was, now = old.get(key), new.get(key)
        told = _told(was, now)
        if was is not None and now is not None and any(_differs(word, was, now) for word in _OTHERWISE):
            made.add(key)
        wire = now if now is not None else was
        if told is None or wire is None:
            continue
        side = AFTER if now is not None else BEFORE
        a, b = (words.node(matched.shared_node(side, end)) for end in (wire.a, wire.b))
        if natural(b.text) < natural(a.text):
            a, b = b, a
        groups[told, (a[:2], b[:2])].append((a, b, wire, key, was.number if was is not None else None))
    lines = []
    for (told, _), group in groups.items():
        group.sort(key=lambda row: (natural(row[0].text), natural(row[1].text), natural(row[2].number or "")))
        for part in _counting_up(group) if told[2] else [group]:
            joints = tuple(sorted(row[3] for row in part))
            lines.append(Listed(_cable(told, part), joints, made=not made.isdisjoint(joints)))
    return sorted(lines, key=lambda line: (natural(line.text), line.joints))


def _pair(a: int, b: int) -> tuple[int, int]:
    return (a, b) if a < b else (b, a)


def _told(was: Wire | None, now: Wire | None) -> tuple[str, str, bool] | None:
    """What is said of a cable: (new, gone or changed; how it is described, but for its number; whether that is another one)."""
    if was is None or now is None:
        wire = now if now is not None else was
        assert wire is not None
        return ("Gone" if now is None else "New", _described(wire), False)
    if was.details == now.details:
        return None
    changed = [text for text in (_differs(key, was, now) for key in _TOLD) if text]
    renumbered = was.number != now.number
    return ("Changed", "; ".join(changed), renumbered) if changed or renumbered else None


def _counting_up(group: list[Cable]) -> list[list[Cable]]:
    """Parts of a sorted group in which old and new numbers count up in step with the ends, so that they can be said as ranges."""
    parts: list[list[Cable]] = []
    for row in group:
        last = parts[-1][-1] if parts else None
        if last is not None and _next(last[2].number, row[2].number) and _next(last[4], row[4]):
            parts[-1].append(row)
        else:
            parts.append([row])
    return parts


def _next(number: str | None, other: str | None) -> bool:
    """Whether a number is the next one, or there is none of both."""
    if number is None or other is None:
        return number is other
    return fold((number, other)) == [f"{number}..{label('', other).digits}"]


def _described(wire: Wire) -> str:
    metres = f"{wire.metres:g} m" if wire.metres is not None else None
    return ", ".join(part for part in (wire.type, metres, wire.loom, "reversed" if wire.reversed else None) if part)


def _differs(key: str, was: Wire, now: Wire) -> str:
    old, new = getattr(was.details, key), getattr(now.details, key)
    if old == new:
        return ""
    if key == "reversed":
        return "hot and cold are exchanged now" if new else "hot and cold are the right way round now"
    if key in _OTHERWISE:
        return _OTHERWISE[key]
    if key == "front":
        return "at the face now" if new else "behind now"
    if key == "status":
        return "" if (old or "in") == (new or "in") else "to be made" if new == "make" else "is there now"
    if key == "tested":
        return f"tested {new}" if new else "no longer said to be tested"
    unit = " m" if key == "metres" else ""
    word = {"metres": "length"}.get(key, key)
    return f"{word} {_value(new)}{unit if new is not None else ''}, before {_value(old)}"


def _value(value: object) -> str:
    return "not given" if value is None else f"{value:g}" if isinstance(value, float) else str(value)


def _cable(told: tuple[str, str, bool], group: list[Cable]) -> str:
    numbers = _numbers(row[2].number for row in group)
    named = f"{numbers}, " if numbers else ""
    ends = f"{_few(in_order([row[0] for row in group]))} to {_few(in_order([row[1] for row in group]))}"
    what, how, renumbered = told
    if renumbered:
        old = _numbers(row[4] for row in group)
        again = f"number{'s' if len(group) > 1 else ''} {numbers or _value(None)}, before {old or _value(None)}"
        how = "; ".join(filter(None, (again, how)))
    return f"{what}: {named}{ends}{f' ({how})' if how else ''}."


def _numbers(numbers: Iterable[str | None]) -> str:
    """Numbers of cables, those that count up as ranges; nothing where none has one."""
    ranges = ((text, read_range(text)) for text in fold(number for number in numbers if number is not None))
    return _few([Piece(text.replace("..", "-"), one.size if isinstance(one, Range) else 1) for text, one in ranges])


def _few(pieces: Sequence[str]) -> str:
    return several(pieces) if len(pieces) < 4 else f"{', '.join(pieces[:3])} and {names_of(pieces[3:])} more"


# -- equipment -----------------------------------------------------------------------------------------------------------


def equipment(matched: Matched, words: Words) -> list[Listed]:
    """Units and bays that are new, gone, away, moved, called otherwise or larger; renames."""
    lines = _renames(matched, words)
    known = {one.after: one for one in matched.identity.renamed if one.kind in ("unit", "bay")}
    for kind in ("units", "bays"):
        names = getattr(matched.identity, kind)
        lines += _things(getattr(matched.before, kind), getattr(matched.after, kind), names, known)
    return lines


def _renames(matched: Matched, words: Words) -> list[Listed]:
    """What is called otherwise; the ports of one unit together."""
    lines: list[Listed] = []
    ports: dict[tuple[str, str], list[tuple[Label, Label]]] = defaultdict(list)
    for kind, before, after, how in matched.identity.renamed:
        if how == PROBABLE:
            continue  # told among the risks
        if kind in ("unit", "bay") and _called(matched.before, kind, before) != _called(matched.after, kind, after):
            continue  # told with the new title
        if kind == "port":
            unit, _, new = after.partition("/")
            ports[unit, how].append((_bare(before.partition("/")[2]), _bare(new)))
        else:
            text = f"{kind.replace('_', ' ').capitalize()} {before} is now {after} ({_HOW[how]})."
            lines.append(Listed(text, (), (after,) if kind in ("unit", "bay") else ()))
    for (unit, how), pairs in ports.items():
        was, now = (several(in_order([pair[which] for pair in pairs])) for which in (0, 1))
        verb = "are" if len(pairs) > 1 else "is"
        lines.append(Listed(f"{words.unit(unit)}: {was} {verb} now {now} ({_HOW[how]}).", (), (unit,)))
    return lines


_HOW = {"declared": "the text says so", "proved": "same ports, same wiring"}


def guessed(renamed: Iterable[Renamed], matched: Matched, words: Words) -> list[str]:
    """What is probably called otherwise, one sentence each; the ports of one unit together."""
    lines: list[str] = []
    ports: dict[str, list[tuple[Label, Label]]] = defaultdict(list)
    for kind, before, after, _ in renamed:
        if kind == "port":
            unit, _, new = after.partition("/")
            ports[unit].append((_bare(before.partition("/")[2]), _bare(new)))
            continue
        was, now = (_called(plant, kind, name) for plant, name in ((matched.before, before), (matched.after, after)))
        if was == now:
            was, now = before, after
        lines.append(f"Probably renamed: {was} is now called {now}.")
    for unit, pairs in ports.items():
        was, now = (_few(in_order([pair[which] for pair in pairs])) for which in (0, 1))
        verb = "are" if len(pairs) > 1 else "is"
        lines.append(f"Probably renamed: {words.unit(unit)} {was} {verb} now called {now}.")
    return lines


def _called(plant: Plant, kind: str, name: str) -> str:
    """What people call a thing."""
    return getattr(plant.studio, kind)[name].title or name


def _bare(port: str) -> Label:
    """The name of a port without its unit."""
    return label("", port)


Thing = PlacedUnit | PlacedBay


def _things(
    before: dict[str, Thing], after: dict[str, Thing], names: dict[str, str], known: Mapping[str, Renamed]
) -> list[Listed]:
    old = {names.get(name, name): thing for name, thing in before.items()}
    lines: list[Listed] = []
    for name in sorted(old.keys() | after.keys(), key=natural):
        was, now = old.get(name), after.get(name)
        if was is None and now is not None:
            lines.append(Listed(f"New: {now.title}{_size(now)}.", (), (name,)))
        elif now is None and was is not None:
            lines.append(Listed(f"Gone: {was.title}{_size(was)}.", (), (name,)))
        elif was is not None and now is not None:
            lines += [Listed(text, (), (name,)) for text in _altered(was, now, known.get(name))]
    return lines


def _size(thing: Thing) -> str:
    if isinstance(thing, PlacedBay):
        return f", {many(thing.columns, 'column')}"
    return f", {many(len(thing.kit.sockets), 'port')}"


def _altered(was: Thing, now: Thing, renamed: Renamed | None) -> list[str]:
    lines: list[str] = []
    if was.title != now.title and (renamed is None or renamed.how != PROBABLE):
        how = f" ({_HOW[renamed.how]})" if renamed is not None else ""
        lines.append(f"{was.title} is now called {now.title}{how}.")
    if was.written.away != now.written.away:
        lines.append(f"{now.title} is away ({now.written.away})." if now.written.away else f"{now.title} is back.")
    old, new = _where(was), _where(now)
    if old != new:
        lines.append(f"{now.title} now stands in {new}. Before: {old}.")
    if isinstance(was, PlacedBay) and isinstance(now, PlacedBay) and was.columns != now.columns:
        lines.append(f"{now.title} now has {many(now.columns, 'column')}. Before: {was.columns}.")
    return lines


def _where(thing: Thing) -> str:
    written = thing.written
    place = f"rack {written.rack}" if written.rack else f"room {written.room}" if written.room else "no stated place"
    return f"{place} at unit {written.at_u}" if written.at_u else place
