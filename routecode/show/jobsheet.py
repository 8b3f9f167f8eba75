"""The jobsheet and the test sheet as pieces in order, and as text of 80 columns to be printed. Markdown and the page are made of the same pieces."""

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from routecode.hands.job import Job, Told, pins_of
from routecode.hands.job_rows import Row
from routecode.hands.job_said import CAUTIONS
from routecode.hands.job_words import folded, pin_line
from routecode.hands.tests import Test
from routecode.show.escape import visible
from routecode.show.measure import wrapped
from routecode.show.spoken import counted

DIFFERENTLY = "Done differently: ______________________________  Date: ________  Initials: ____"
MOST_TESTS = 400
NOTHING = "Nothing for the hands: no cable, normal, unit or label differs."


class Piece(NamedTuple):
    """One step or test, in visible text: a box, a number, a sentence, what to mind, circuits with a box each, pin tables."""

    number: int
    text: str
    at: str
    mind: tuple[str, ...] = ()
    items: tuple[str, ...] = ()
    pins: tuple[str, ...] = ()
    hands: bool = True


class Part(NamedTuple):
    """A part of the sheet."""

    title: str
    lead: str
    pieces: tuple[Piece, ...]


class Sheet(NamedTuple):
    """The whole sheet: from where to where, cautions, what it costs, its parts, the way back."""

    title: str
    sides: tuple[str, str]
    cautions: tuple[str, ...]
    costs: tuple[str, ...]
    parts: tuple[Part, ...]
    closing: tuple[str, ...]


class Named(NamedTuple):
    """What the two sides are called, and the command that gives the way back (empty: there is none)."""

    before: str
    after: str
    back: str
    results: str
    """The command that writes the file of results."""


def sheet(job: Job, named: Named, *, tests_only: bool = False) -> Sheet:
    """The sheet of a job."""
    title = job.frame.after.studio.head.title or "The studio"
    parts = [] if tests_only else [_bench(job), _racks(job)]
    parts.append(_tests(job))
    closing = [f"The way back: {named.back}"] if named.back and not tests_only else []
    closing.append(f"For the results: {named.results}; fill in the file, then ask routecode check.")
    kind = "Test sheet" if tests_only else "Jobsheet"
    costs = () if tests_only or job.empty else tuple(_costs(job))
    whole = Sheet(
        f"{kind}: {title}", named[:2], CAUTIONS, costs, tuple(part for part in parts if part.pieces), tuple(closing)
    )
    if not whole.parts:
        return whole._replace(costs=(NOTHING,), closing=())
    return _visible(whole)


def _visible(whole: Sheet) -> Sheet:
    """The same with every text of the user's made visible."""
    parts = tuple(
        part._replace(
            pieces=tuple(
                Piece(
                    each.number,
                    visible(each.text),
                    visible(each.at),
                    tuple(map(visible, each.mind)),
                    tuple(map(visible, each.items)),
                    tuple(map(visible, each.pins)),
                    each.hands,
                )
                for each in part.pieces
            )
        )
        for part in whole.parts
    )
    sides = (visible(whole.sides[0]), visible(whole.sides[1]))
    return whole._replace(title=visible(whole.title), sides=sides, parts=parts, costs=tuple(map(visible, whole.costs)))


def _costs(job: Job) -> Iterator[str]:
    down, naive = job.down, job.unplanned
    bench = sum(told.minutes for told in job.bench)
    yield f"At the bench beforehand: {hours(bench)}. Studio down: {hours(down.minutes)}. Operations: {down.operations}."
    yield f"Undoing everything and then doing everything: studio down {hours(naive.minutes)}, {naive.operations} operations."
    metres, connectors = job.saved
    if metres:
        yield f"Removed cables used again save {metres:g} m of cable and {counted(connectors, 'connector')}."
    yield "Minutes are the studio's own [times], or common practice where it says none."


def hours(minutes: float) -> str:
    """`45 min`, `2 h 05 min`."""
    whole = round(minutes)
    return f"{whole} min" if whole < 60 else f"{whole // 60} h {whole % 60:02d} min"


def _bench(job: Job) -> Part:
    lead = "The studio may run. Jacks and pins are named as at the racks."
    return Part("1. At the bench beforehand", lead, tuple(_piece(told) for told in job.bench))


def _racks(job: Job) -> Part:
    lead = (
        "In this order. Columns count from the left, as seen from the front; `from behind` counts from the left as seen from behind, "
        "where the bay is mirrored."
    )
    return Part(
        "2. At the racks, studio down", lead, tuple(_piece(told) for told in job.racks) if not job.empty else ()
    )


def _piece(told: Told) -> Piece:
    mind = list(told.mind)
    if told.kind == "stop":
        works = [each.title + (" (with its new cords)" if each.new else "") for each in told.works if each.works]
        fails = [each.title for each in told.works if not each.works]
        words = [f"{_and(works)} {'works' if len(works) == 1 else 'work'}"] if works else []
        words += [f"{_and(fails)} {'does' if len(fails) == 1 else 'do'} not"] if fails else []
        text = f"You may stop here: {', '.join(words)}." if words else "You may stop here."
        mind.append("First: phantom power as before, then amplifiers and monitors on, as at the end of this part.")
        return Piece(told.number, text, "", tuple(mind), hands=False)
    pins = (
        [line for table in pins_of(told.rows) for line in _pin_table(table[1])] if told.kind in ("lay", "make") else []
    )
    return Piece(
        told.number,
        told.text,
        told.at if told.part == "racks" else "",
        tuple(mind),
        tuple(map(item, told.rows)),
        tuple(pins),
    )


def _and(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


def item(row: Row) -> str:
    """One circuit: cable, both ends with what is on them; an end that stays as it is says so."""
    called = row.cable or "no number"
    circuit = f" circuit {row.circuit}" if row.of > 1 else ""
    ends = [f"{end.told}, {end.fitted}" if end.handled else f"({end.told} stays joined)" for end in (row.from_, row.to)]
    becomes = f"; becomes {row.becomes}" if row.becomes else ""
    metres = f"; {row.metres:g} m" if row.metres else ""
    return f"{called}{circuit}: {ends[0]} -- {ends[1]}{metres}{becomes}"


def _pin_table(rows: list[Row]) -> Iterator[str]:
    row = rows[0]
    which = folded(each.cable for each in rows) if all(each.cable for each in rows) else "these circuits"
    yield f"Pins of {which}, first end to second end, solder side:"
    for pin in row.pins:
        yield f"  {pin_line(pin)}"
    for word, end in (("first", row.from_), ("second", row.to)):
        if end.solder_side:
            yield f"  {word} end, {end.fitted}: {end.solder_side} (seen from the solder side, key up)"


# -- tests ---------------------------------------------------------------------------------------------------------------

_TITLES = {
    "continuity": "",
    "level": "power on, from low level",
    "signal": "power on",
    "phantom": "phantom power as the wiring says",
    "plug": "",
}


def _tests(job: Job) -> Part:
    lead = "What changed, and what was in hands with it. Without power first."
    if any(test.kind == "phantom" for test in job.tests):
        lead += " Phantom power stays off while a generator is joined to a microphone line, and is on for its own test."
    if job.retest:
        lead += f" In the same loom or connector, so tested too: {', '.join(job.retest[:20])}{' and more' if len(job.retest) > 20 else ''}."
    first = len(job.bench) + len(job.racks) + 1
    grouped = _alike(job.tests[:MOST_TESTS])
    pieces = [_test(first + index, tests) for index, tests in enumerate(grouped)]
    if len(job.tests) > MOST_TESTS:
        more = f"{len(job.tests) - MOST_TESTS} more tests are in --json and in the file of results."
        pieces.append(Piece(first + len(pieces), more, "", hands=False))
    return Part("3. Tests", visible(lead), tuple(pieces))


def _alike(tests: Iterable[Test]) -> list[list[Test]]:
    """Tests that follow each other, are done alike and must come out alike are one piece with a box each, unit by unit."""
    found: list[list[Test]] = []
    for test in tests:
        if found and _sort(found[-1][0]) == _sort(test):
            found[-1].append(test)
        else:
            found.append([test])
    return found


def _sort(test: Test) -> object:
    return test.kind, test.ask, test.expect, tuple(name.partition("/")[0] for name in test.at)


def _test(number: int, tests: list[Test]) -> Piece:
    test = tests[0]
    blank = "________" if test.unit == "ok or fail" else f"________ {test.unit}"
    wanted = f"Wanted: {test.expect}."
    if len(tests) == 1:
        return Piece(number, test.text, _TITLES[test.kind], (wanted, f"Result: {blank}"), hands=False)
    items = tuple(f"{each.where}: {blank}" for each in tests)
    return Piece(number, test.ask, _TITLES[test.kind], (wanted,), items, hands=False)


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
    for line in piece.mind:
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
