"""The jobsheet and the test sheet as pieces in order, and as text of 80 columns to be printed. Markdown and the page are made of the same pieces."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from routecode.figures.soldering import UNPUBLISHED
from routecode.hands.job import RACKS, Job, Told, pins_of
from routecode.hands.job_ending import MOST_TESTS, Tried
from routecode.hands.job_rows import Row
from routecode.hands.job_said import CAUTIONS
from routecode.hands.job_setups import Patch
from routecode.hands.job_words import Stand, folded, pin_line
from routecode.hands.tests import Test
from routecode.show.escape import visible
from routecode.show.measure import wrapped
from routecode.show.spoken import counted

DIFFERENTLY = "Done differently: ______________________________  Date: ________  Initials: ____"
OK_OR_FAIL = "ok or fail"
NOTHING = "Nothing for the hands: no cable, normal, unit, label or patch sheet differs."


SAME_LABELS = "routecode labels, with the same A..B"
"""How a step tells of the labels; here it is known which sides those are."""


class Piece(NamedTuple):
    """One step or test, in visible text: a box, a number, a sentence, what to mind, circuits with a box each, pin tables."""

    number: int
    text: str
    at: str
    mind: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    pins: tuple[str, ...] = ()
    hands: bool = True
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    """The items once more, as a table for paper."""
    result: str = ""
    """Of a single test: the unit of what is to be filled in."""

    @property
    def said(self) -> tuple[str, ...]:
        """What to mind, and the blank of a single test, for forms other than paper."""
        return (*self.mind, f"Result: {_blank(self.result)}") if self.result else self.mind


class Part(NamedTuple):
    """A part of the sheet."""

    title: str
    lead: str
    pieces: tuple[Piece, ...]
    fresh: bool = False
    """On paper it begins a page."""


class Sheet(NamedTuple):
    """The whole sheet: from where to where, cautions, what it costs, its parts, the way back."""

    title: str
    sides: tuple[str, str]
    cautions: tuple[str, ...]
    costs: tuple[str, ...]
    parts: tuple[Part, ...]
    closing: tuple[str, ...]


class Named(NamedTuple):
    """What the two sides are called, and the commands for what belongs to the sheet. `back`: the way back (empty: there is none)."""

    before: str
    after: str
    back: str
    results: str
    """The command that writes the file of results."""
    labels: str = SAME_LABELS
    """The command that prints the labels that change."""


def sheet(job: Job, named: Named, *, tests_only: bool = False) -> Sheet:
    """The sheet of a job."""
    title = job.frame.after.studio.head.title or "The studio"
    parts = [] if tests_only else [_bench(job, named.labels), _racks(job)]
    parts.append(_tests(job, alone=tests_only))
    parts += [] if tests_only else [_patches(job)]
    closing = [f"The way back: {named.back}"] if named.back and not tests_only else []
    closing.append(f"For the results: {named.results}; fill in the file, then ask routecode check.")
    kind = "Test sheet" if tests_only else "Jobsheet"
    costs = () if tests_only or job.idle else tuple(_costs(job))
    whole = Sheet(
        f"{kind}: {title}", named[:2], CAUTIONS, costs, tuple(part for part in parts if part.pieces), tuple(closing)
    )
    if not whole.parts:
        return whole._replace(costs=(NOTHING,), closing=())
    return _visible(whole)


def _visible(whole: Sheet) -> Sheet:
    """The same with every text of the user's made visible."""
    parts = tuple(
        part._replace(lead=visible(part.lead), pieces=tuple(map(_visible_piece, part.pieces))) for part in whole.parts
    )
    sides = (visible(whole.sides[0]), visible(whole.sides[1]))
    return whole._replace(title=visible(whole.title), sides=sides, parts=parts, costs=tuple(map(visible, whole.costs)))


def _visible_piece(piece: Piece) -> Piece:
    return piece._replace(
        text=visible(piece.text),
        at=visible(piece.at),
        mind=tuple(map(visible, piece.mind)),
        items=tuple(map(visible, piece.items)),
        pins=tuple(map(visible, piece.pins)),
        rows=tuple(tuple(map(visible, row)) for row in piece.rows),
    )


def _costs(job: Job) -> Iterator[str]:
    down, naive = job.down, job.unplanned
    bench = sum(told.minutes for told in job.bench)
    walking = [hours(minutes) for minutes in job.walking]
    yield f"At the bench beforehand: {hours(bench)}. Operations: {down.operations}."
    if not down.minutes and not naive.minutes:
        yield "The studio need not go down."
        return
    yield (
        f"Studio down: {hours(down.minutes)}; of that {walking[0]} walking and {hours(job.testing)} testing "
        "(continuity is tested before power comes back)."
    )
    yield (
        f"Undoing everything and then doing everything: studio down {hours(naive.minutes)} ({walking[1]} walking, the same tests), "
        f"{counted(naive.operations, 'operation')}."
    )
    metres, connectors = job.saved
    if metres:
        yield f"Removed cables used again save {metres:g} m of cable and {counted(connectors, 'connector')}."
    yield "Minutes are the studio's own [times], or common practice where it says none."


def hours(minutes: float) -> str:
    """`45 min`, `2 h 05 min`."""
    whole = round(minutes)
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"


def _bench(job: Job, labels: str) -> Part:
    lead = "The studio may run. Jacks and pins are named as at the racks."
    if any(end.rear for told in job.bench for row in told.rows for end in (row.from_, row.to)):
        lead += " Rear connectors are those of the bay, which has one for each jack."
    return Part("1. At the bench beforehand", lead, tuple(_labelled(_piece(told), labels) for told in job.bench))


def _labelled(piece: Piece, labels: str) -> Piece:
    """The same with the command that prints its labels."""
    return piece._replace(mind=tuple(line.replace(SAME_LABELS, labels) for line in piece.mind))


def _racks(job: Job) -> Part:
    lead = (
        "In this order. A column has one number, counted from the left as seen from the front, and strips and drawings of the rear show "
        "that same number. 'Behind: 24th from the left' is its place as seen from behind, where the bay is mirrored."
    )
    work = _work(job)
    down = any(told.kind in ("quiet", "power off") for told in job.racks)
    title = "2. At the racks, studio down" if down else "2. At the racks"
    more = "" if down else " Nothing is switched off for it; mute what you touch."
    return Part(title, lead + more, tuple(map(_piece, work)) if not job.idle else ())


def _work(job: Job) -> list[Told]:
    """The steps before the tests."""
    return [told for told in job.racks if told.part == RACKS]


def _piece(told: Told) -> Piece:
    mind = list(told.mind)
    if told.kind == "stop":
        works = [each.title + (" (with its new cords)" if each.new else "") for each in told.works if each.works]
        fails = [each.title for each in told.works if not each.works]
        words = [f"{_and(works)} {'works' if len(works) == 1 else 'work'}"] if works else []
        words += [f"{_and(fails)} {'does' if len(fails) == 1 else 'do'} not"] if fails else []
        text = f"You may stop here: {', '.join(words)}." if words else told.text
        return Piece(told.number, text, "", tuple(mind), hands=False)
    cells = (*plugs(told), *(_cells(row) for row in told.rows if not _in_plug(row)))
    rows = tuple(row for row in told.rows if told.part == "bench" or row.at_rack)
    pins = [line for table in pins_of(rows) for line in _pin_table(table[1])] if told.kind in ("lay", "make") else []
    return Piece(
        told.number,
        told.text,
        told.at if told.part == "racks" else "",
        tuple(mind),
        told.lines or tuple(map(_item, cells)),
        tuple(pins),
        heads=("what",) if told.lines else ("cable", "from", "to", "length") if told.rows else (),
        rows=tuple((line,) for line in told.lines) or cells,
    )


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


Cells = tuple[str, str, str, str]
"""A line of a step in pieces: cable, both ends, length and the number it gets."""


def _item(cells: Cells) -> str:
    """One circuit: cable, both ends with what is on them; an end that stays as it is says so."""
    called, one, other, length = cells
    return f"{called}: {one} -- {other}{length and f'; {length}'}"


def plugs(told: Told) -> tuple[Cells, ...]:
    """The plugs of several circuits that a step lifts or plugs as they are, each once."""
    found: dict[tuple[str, str, str], list[Row]] = {}
    for row in told.rows:
        for end in (row.from_, row.to):
            if end.whole:
                found.setdefault((row.cable, end.plug, end.shared), []).append(row)
    way = "out of" if told.kind == "lift" else "into"
    return tuple(
        (
            cable or "no number",
            f"its plug {plug} with {counted(len(rows), 'circuit')}, not opened",
            f"{way} {socket}",
            _length(rows[0]),
        )
        for (cable, plug, socket), rows in found.items()
    )


def _in_plug(row: Row) -> bool:
    """Whether nothing is done with a circuit but what is done with the plug that it is in."""
    hands = [end.whole for end in (row.from_, row.to) if end.handled]
    return bool(hands) and all(hands)


def _cells(row: Row) -> Cells:
    called = _circuit(row) if row.cable else "no number"
    if row.counted:
        called += f" (circuit {row.counted} in the schedule from now on)"
    return called, _end(row.from_), _end(row.to), _length(row)


def _end(end: Stand) -> str:
    if end.whole:
        return f"({end.told}, in its plug)"
    return f"{end.told}, {end.fitted}" if end.handled else f"({end.told} stays joined)"


def _length(row: Row) -> str:
    lengths = (f"{row.metres:g} m" if row.metres else "", f"becomes {row.becomes}" if row.becomes else "")
    return "; ".join(word for word in lengths if word)


def _circuit(row: Row) -> str:
    return f"{row.cable} circuit {row.circuit}" if row.of > 1 else row.cable


def _pin_table(rows: list[Row]) -> Iterator[str]:
    row = rows[0]
    which = folded(map(_circuit, rows)) if all(each.cable for each in rows) else "these circuits"
    yield f"Pins of {which}, first end to second end, solder side:"
    for pin in row.pins:
        yield f"  {pin_line(pin)}"
    if any(UNPUBLISHED in (pin.from_pin, pin.to_pin) for pin in row.pins):
        yield f"  {UNPUBLISHED}: the pins of that connector are not published; see what is stamped on it"
    for word, end in (("first", row.from_), ("second", row.to)):
        if end.solder_side:
            yield f"  {word} end, {end.fitted}: {end.solder_side} (seen from the solder side, key up)"


def _patches(job: Job) -> Part:
    """The patch sheets that change: nothing is done now, and the next session is patched otherwise."""
    lead = "Nothing to do at the racks: from the next time each of these is patched by its new sheet. Replace the sheets that hang there."
    tests = sum(isinstance(each, Tried) for each in job.ending) + (len(job.tests) > MOST_TESTS)
    first = len(job.bench) + (0 if job.idle else len(job.racks)) + tests + 1
    pieces = [
        Piece(
            first + index,
            _patched(patch),
            "",
            (),
            patch.lines,
            heads=("what",),
            rows=tuple((line,) for line in patch.lines),
        )
        for index, patch in enumerate(job.patches)
    ]
    return Part("4. Patch sheets", lead, tuple(pieces))


def _patched(patch: Patch) -> str:
    if patch.presence == "gone":
        return f"There is no setup {patch.title} any more: take its patch sheet away."
    if patch.presence == "new":
        return f"Patch sheet of the new setup {patch.title}{':' if patch.lines else ', without cords.'}"
    return f"Patch sheet of setup {patch.title} changes:"


# -- tests ---------------------------------------------------------------------------------------------------------------

_TITLES = {
    "continuity": "",
    "level": "power on, from low level",
    "signal": "power on",
    "phantom": "phantom power as the wiring says",
    "plug": "",
}


def _tests(job: Job, *, alone: bool) -> Part:
    """The tests, with the steps between them by which the studio comes back; `alone`: those have no room for remarks."""
    lead = "What changed, and what was in hands with it. Without power first."
    lead += " Power comes back between the tests, in this order." if len(job.racks) > len(_work(job)) else ""
    if any(test.kind == "phantom" for test in job.tests):
        lead += " Phantom power stays off while a generator is joined to a microphone line, and is on for its own test."
    if job.retest:
        lead += f" In the same loom or connector, so tested too: {folded(job.retest)}."
    pieces = [
        _test(each.number, each.tests) if isinstance(each, Tried) else _piece(each)._replace(hands=not alone)
        for each in job.ending
    ]
    if len(job.tests) > MOST_TESTS:
        more = f"{len(job.tests) - MOST_TESTS} more tests are in --json and in the file of results."
        pieces.append(Piece(pieces[-1].number + 1, more, "", hands=False))
    return Part("3. Tests", lead, tuple(pieces), fresh=True)


def _test(number: int, tests: tuple[Test, ...]) -> Piece:
    test = tests[0]
    wanted = f"Wanted: {test.expect}."
    if len(tests) == 1:
        return Piece(number, test.text, _TITLES[test.kind], (wanted,), hands=False, result=test.unit)
    items = tuple(f"{each.where}: {_blank(test.unit)}" for each in tests)
    rows = tuple((each.where, "") for each in tests)
    heads = ("what", f"result ({test.unit})")
    return Piece(number, test.ask, _TITLES[test.kind], (wanted,), items, hands=False, heads=heads, rows=rows)


def _blank(unit: str) -> str:
    return "________" if unit == OK_OR_FAIL else f"________ {unit}"


# -- as text -------------------------------------------------------------------------------------------------------------


def jobsheet_text(whole: Sheet, width: int = 80) -> str:
    """The sheet to be printed."""
    lines = [whole.title, *wrapped(f"From: {whole.sides[0]}", width), *wrapped(f"To:   {whole.sides[1]}", width), ""]
    if whole.parts:
        lines.append("Before anything:")
        lines += [line for caution in whole.cautions for line in _hanging("- ", caution, width)]
        lines.append("")
    for cost in whole.costs:
        lines += wrapped(cost, width)
    for part in whole.parts:
        lines += ["", part.title, "=" * len(part.title), *wrapped(part.lead, width)]
        for piece in part.pieces:
            lines += ["", *_piece_text(piece, width)]
    if whole.closing:
        lines.append("")
        lines += [line for each in whole.closing for line in wrapped(each, width)]
    return "\n".join(lines) + "\n"


def _piece_text(piece: Piece, width: int) -> Iterator[str]:
    at = f" [{piece.at}]" if piece.at else ""
    yield from _hanging(f"[ ] {piece.number:>3}  ", f"{piece.text}{at}", width)
    for line in piece.said:
        yield from _hanging("         ", line, width)
    for line in piece.items:
        yield from _hanging("         [ ] ", line, width)
    for line in piece.pins:
        yield from _hanging("         " + " " * (len(line) - len(line.lstrip())), line.lstrip(), width)
    if piece.hands:
        yield (
            f"         {DIFFERENTLY[: width - 9]}"
            if width < 60
            else "         Done differently: ____________________ Date: _______ Initials: _____"
        )


def _hanging(start: str, text: str, width: int) -> list[str]:
    first, *rest = wrapped(text, max(20, width - len(start))) or [""]
    return [start + first, *(" " * len(start) + line for line in rest)]
