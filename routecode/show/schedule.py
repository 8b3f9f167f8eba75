"""The cable schedule as text for a terminal: like cables next to each other in one entry, then spare circuits; or the loom sheets."""

from collections.abc import Iterable, Iterator

from routecode.circuit.plant import Plant
from routecode.figures.soldering import UNPUBLISHED
from routecode.hands.cables import DEAD, IS_IN, LaidCable, looms, loose
from routecode.hands.cables_ends import End
from routecode.language.ranges import fold
from routecode.rules.words import counted, listed, runs
from routecode.show.escape import visible
from routecode.show.measure import padded, width, wrapped
from routecode.show.schedule_sheets import CAUTIONS, HALF_PINS, LOOM_WORDS, NO_PINS, summary, told_of, type_title
from routecode.show.sheets.sheet import number as said

_NUMBERS = 14
"""Columns of the numbers at the left of an entry, at least."""


def schedule_text(plant: Plant, cables: tuple[LaidCable, ...], called: str, columns: int) -> str:
    """The whole schedule."""
    title = plant.studio.head.title or "the studio"
    lines = wrapped(visible(f"Cables of {title}: {called}"), columns)
    lines += ["", *wrapped(summary(told_of(cables)), columns)]
    for group in _groups(plant, cables):
        lines += ["", *_entry(plant, group, columns)]
    spare = [cable for cable in cables if cable.spare]
    if spare:
        lines += ["", "Spare circuits:"]
        lines += [line for cable in spare for line in _indented(_spare(cable), columns, 2)]
    return "".join(f"{line}\n" for line in lines)


def looms_text(plant: Plant, cables: tuple[LaidCable, ...], called: str, columns: int) -> str:
    """The loom sheets: every cable of every loom with its pins, and multipairs that are in none."""
    title = plant.studio.head.title or "the studio"
    lines = [*wrapped(visible(f"Looms of {title}: {called}"), columns), "", *wrapped(LOOM_WORDS, columns)]
    lines += wrapped(CAUTIONS[-1], columns)
    found = looms(cables)
    if not found:
        lines += ["", *wrapped('No cable says its loom. Write it at the cable: loom = "Hall"', columns)]
    for name, laced in found.items():
        lines += ["", *wrapped(visible(f"{name}: {counted(len(laced), 'cable')}, {_diameters(plant, laced)}"), columns)]
        for group in _groups(plant, laced):
            alike = all(cable.circuits and cable.circuits[0].pins == group[0].circuits[0].pins for cable in group)
            for one in [group] if alike else [[cable] for cable in group]:
                lines += ["", *_pins(plant, one, columns)]
    single = loose(cables)
    if single:
        lines += ["", f"In no loom: {counted(len(single), 'cable')} of several circuits"]
    for cable in single:
        lines += ["", *_pins(plant, [cable], columns)]
    return "".join(f"{line}\n" for line in lines)


# -- entries -------------------------------------------------------------------------------------------------------------


def _groups(plant: Plant, cables: Iterable[LaidCable]) -> Iterator[list[LaidCable]]:
    """Neighbours in the schedule that differ in numbers and ports only."""
    group: list[LaidCable] = []
    key: object = None
    for cable in cables:
        own = _alike(plant, cable)
        if group and own == key and own is not None:
            group.append(cable)
            continue
        if group:
            yield group
        group, key = [cable], own
    if group:
        yield group


def _alike(plant: Plant, cable: LaidCable) -> object:
    """What cables of one entry have in common; None for those that stand alone."""
    if len(cable.circuits) != 1:
        return None
    circuit = cable.circuits[0]
    ends = tuple((_owner(plant, end), end.fitted, end.cold, end.shield) for end in (circuit.from_, circuit.to))
    about = (cable.type, cable.metres, cable.loom, cable.status, cable.tested, cable.spare, cable.splits)
    return (cable.number is None, ends, about)


def _owner(plant: Plant, end: End) -> str:
    return plant.bay_of(end.node).id if plant.is_jack(end.node) else plant.unit_of(end.node).id


def _entry(plant: Plant, group: list[LaidCable], columns: int) -> list[str]:
    first = group[0]
    head = padded(visible(_numbers(group)), _NUMBERS) + " "
    if width(head) > columns // 2:  # a number of that length has lines of its own
        lines = [*wrapped(head.rstrip(), columns), *_indented(_about(plant, group), columns, _NUMBERS + 1)]
    else:
        lines = _indented(_about(plant, group), columns, width(head), head)
    if first.status == DEAD:
        return [*lines, *_indented(f"{first.lies[0]} to {first.lies[1]}", columns, 11, "      lies ")]
    circuits = [circuit for cable in group for circuit in cable.circuits]
    for word, ends in (("from", [one.from_ for one in circuits]), ("to", [one.to for one in circuits])):
        lines += _indented(_ends(plant, ends), columns, 11, f"      {padded(word, 5)}")
    return lines


def _numbers(group: list[LaidCable]) -> str:
    numbers = fold(cable.number for cable in group if cable.number is not None)
    return listed([each.replace("..", "-") for each in numbers], 3) if numbers else "no number"


def _about(plant: Plant, group: list[LaidCable]) -> str:
    """Type, length, loom and state, of one cable or of each of several."""
    first = group[0]
    several = len(group) > 1
    parts = [
        counted(len(group), "cable") if several else "",
        type_title(plant, first.type) or "type not said",
        f"{counted(len(first.circuits), 'circuit')}" if len(first.circuits) > 1 and not first.splits else "",
        f"{said(first.metres)} m{' each' if several else ''}" if first.metres is not None else "length not said",
        f"loom {first.loom}" if first.loom else "",
        {IS_IN: "", DEAD: "DEAD: joined to nothing"}.get(first.status, "TO BE MADE"),
        f"tested {first.tested}" if first.tested else "",
        "split" if first.splits else "",
        f"carries {first.too_many} more than it has" if first.too_many else "",
    ]
    return ", ".join(part for part in parts if part)


def _ends(plant: Plant, ends: list[End]) -> str:
    """Places and what is on the cable there; those that are alike in one phrase."""
    phrases = [f"{_places(plant, ends)}: {_fitted(ends)}"]
    made = sorted({(end.cold, end.shield) for end in ends})
    for cold, shield in made if len(made) == 1 else ():
        words = [f"cold {cold}" if cold else "", f"shield {shield}" if shield else ""]
        if any(words):
            phrases.append("; " + ", ".join(word for word in words if word))
    if len(made) > 1:
        phrases.append("; pins of each circuit with --looms" if ends[0].circuit else "; cold and shield not all alike")
    return "".join(phrases)


def _places(plant: Plant, ends: list[End]) -> str:
    """Places folded, in the order in which they come."""
    by_owner: dict[str, list[str]] = {}
    for end in ends:
        name = end.name.partition("/")[2]
        title = (plant.bay_of(end.node) if plant.is_jack(end.node) else plant.unit_of(end.node)).title
        by_owner.setdefault(title, []).append(name)
    return "; ".join(f"{title} {', '.join(_in_runs(names))}" for title, names in by_owner.items())


def _in_runs(names: list[str]) -> list[str]:
    """Names folded where they rise one by one; where their order is another it must be seen."""
    folded: list[list[str]] = []
    for name in dict.fromkeys(names):
        if folded and _rises(folded[-1][-1], name):
            folded[-1].append(name)
        else:
            folded.append([name])
    return [run for group in folded for run in runs(group)]


def _rises(one: str, other: str) -> bool:
    folded = fold([one, other])
    return len(folded) == 1 and folded[0].startswith(f"{one}..")


def _fitted(ends: list[End]) -> str:
    kinds = dict.fromkeys(_fit(end) for end in ends)
    return listed(list(kinds), 3)


def _fit(end: End) -> str:
    return f"{end.plug} {end.shared}".rstrip() if end.circuit else end.fitted


def _spare(cable: LaidCable) -> str:
    ends = (cable.circuits[0].from_.called, cable.circuits[0].to.called) if cable.circuits else cable.lies
    if cable.too_many:
        has = cable.used - cable.too_many
        return f"{cable.number or 'no number'}: {cable.used} circuits in a cable of {has}; number and type do not agree"
    circuits = cable.used + (cable.spare or 0)
    state = ", dead" if cable.status == DEAD else ""
    return f"{cable.number or 'no number'}: {cable.spare} of {circuits} free, {ends[0]} to {ends[1]}{state}"


# -- looms ---------------------------------------------------------------------------------------------------------------


def _diameters(plant: Plant, laced: list[LaidCable]) -> str:
    """How thick a loom is at least: circles of the same area, and a single cable as it is; needs every diameter."""
    sizes = [plant.studio.cable_type[cable.type].od_mm if cable.type else None for cable in laced]
    known = [size for size in sizes if size is not None]
    if len(known) < len(sizes) or not known:
        return "thickness not known (od_mm)"
    if len(known) == 1:
        return f"{known[0]:g} mm thick"
    return f"about {(sum(size * size for size in known) / _PACKED) ** 0.5:.0f} mm thick"


_PACKED = 0.7
"""How much of a round loom is cable; common practice, no source (equal circles: 0.91 at best)."""


def _pins(plant: Plant, group: list[LaidCable], columns: int) -> list[str]:
    """One cable circuit by circuit, or several of one circuit that are made alike."""
    cable = group[0]
    lines = _indented(f"{_numbers(group)}: {_about(plant, group)}", columns, 4, "  ")
    if not cable.circuits:
        return [*lines, *_indented(f"lies from {cable.lies[0]} to {cable.lies[1]}", columns, 6, "    ")]
    for index, circuit in enumerate(cable.circuits, 1):
        ahead = f"{index}. " if len(cable.circuits) > 1 else ""
        both = [circuit] if len(group) == 1 else [one.circuits[0] for one in group]
        froms, tos = [one.from_ for one in both], [one.to for one in both]
        ends = f"{_places(plant, froms)}, {froms[0].fitted}, to {_places(plant, tos)}, {tos[0].fitted}"
        lines += _indented(f"{ahead}{ends}", columns, 6, "    ")
        if not circuit.pins:
            lines += _indented(NO_PINS, columns, 8)
        for pin in circuit.pins:
            colour = f", {pin.colour}" if pin.colour else ""
            linked = f" ({pin.linked}: joined to the shield in the connector)" if pin.linked else ""
            text = f"{pin.from_pin or 'open'} > {pin.to_pin or 'open'}{colour}{linked}"
            lines += _indented(text, columns, 16, f"        {padded(visible(pin.carries), 7)} ")
    if any(UNPUBLISHED in (pin.from_pin, pin.to_pin) for circuit in cable.circuits for pin in circuit.pins):
        lines += _indented(f"{UNPUBLISHED}: {HALF_PINS}", columns, 9, "      ")
    return lines


def _indented(text: str, columns: int, indent: int, ahead: str = "") -> list[str]:
    """The text in lines; `ahead` in place of the room before the first."""
    room = " " * indent
    first, *more = wrapped(visible(text), max(20, columns - max(indent, width(ahead))))
    return [(ahead or room) + first, *(room + line for line in more)]
