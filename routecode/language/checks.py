"""Checks across tables that need no circuit: ids that clash, names of tables that are not there, loops of `include`."""

import re
from collections.abc import Iterator, Mapping
from typing import Any

from routecode.ground.finding import Mistake
from routecode.ground.place import At
from routecode.language.figure_checks import figure_mistakes
from routecode.language.kinds import Id
from routecode.language.mistakes import unknown_name
from routecode.language.names import name_fault
from routecode.language.paper_checks import paper_mistakes
from routecode.language.plan import KEYED_CLASSES, declarations
from routecode.language.signals import KINDS, kind_of
from routecode.language.written import (
    Accept,
    Adapter,
    Bay,
    Cable,
    CableType,
    CordType,
    Model,
    Rack,
    Setup,
    Studio,
    Switch,
    Unit,
)

UNPATCHED = "unpatched"
"""The name of the state without a setup; no setup may have it."""


def check(studio: Studio, mistakes: list[Mistake]) -> None:
    """Append every mistake that shows only when all tables are seen together."""
    mistakes.extend(_clashes(studio))
    mistakes.extend(_case_clashes(studio))
    mistakes.extend(_references(studio))
    mistakes.extend(_signals(studio))
    mistakes.extend(_switches(studio))
    mistakes.extend(_setups(studio))
    mistakes.extend(paper_mistakes(studio))
    mistakes.extend(figure_mistakes(port for model in studio.model.values() for port in model.port))
    mistakes.extend(figure_mistakes(port for unit in studio.unit.values() for port in unit.port))
    mistakes.extend(_allowed(studio))


def _clashes(studio: Studio) -> Iterator[Mistake]:
    for each in sorted(studio.unit.keys() & studio.bay.keys()):
        also = (("the unit", studio.unit[each].place),)
        text = f"`{each}` is the id of a unit and of a bay; units and bays share their names."
        yield Mistake("name-taken", text, studio.bay[each].place, do="Give one of them another id.", also=also)
    for each in sorted(studio.signal.keys() & KINDS.keys()):
        text = f"`{each}` is a kind of signal of the language."
        yield Mistake("name-taken", text, studio.signal[each].place, do="Give yours another id.")
    if UNPATCHED in studio.setup:
        text = f"`{UNPATCHED}` is the state without a setup; no setup can have this id."
        yield Mistake("name-taken", text, studio.setup[UNPATCHED].place, do="Give the setup another id.")


def _case_clashes(studio: Studio) -> Iterator[Mistake]:
    tables: dict[str, Mapping[str, Any]] = {name: getattr(studio, name) for name in KEYED_CLASSES}
    del tables["unit"], tables["bay"]
    tables["unit or bay"] = studio.bay | studio.unit
    for name, table in tables.items():
        seen: dict[str, str] = {}
        for each in table:
            first = seen.setdefault(each.casefold(), each)
            if first != each:
                text = f"The ids `{first}` and `{each}` ({name.replace('_', ' ')}) differ only in upper and lower case."
                also = (("the other one", table[first].place),)
                yield Mistake("case-only", text, table[each].place, do="Give one of them another id.", also=also)


_WITH_IDS = tuple(
    tuple((each.field, each.key.kind.table) for each in declarations(record) if isinstance(each.key.kind, Id))
    for record in (Rack, Unit, Bay, Cable, Accept, CableType, CordType, Adapter)
)


def _references(studio: Studio) -> Iterator[Mistake]:
    equipment = (studio.rack.values(), studio.unit.values(), studio.bay.values())
    owned = (studio.cable_type.values(), studio.cord_type.values(), studio.adapter.values())
    holders = (*equipment, studio.cable, studio.accept, *owned)
    for fields, records in zip(_WITH_IDS, holders, strict=True):
        for field, table in fields:
            known = getattr(studio, table)
            told = 0
            for record in records:
                name = getattr(record, field)
                if name is not None and name not in known:
                    yield unknown_name(table.replace("_", " "), name, record.where(field), known, told)
                    told += 1


def _signals(studio: Studio) -> Iterator[Mistake]:
    known = KINDS.keys() | studio.signal.keys()
    told = 0
    for each, signal in studio.signal.items():
        if signal.like is not None and signal.like not in known:
            yield unknown_name("kind of signal", signal.like, signal.where("like"), known, told)
            told += 1
        elif signal.like is not None and kind_of(each, studio.signal) is None and _in_loop(each, studio):
            text = f"The kind of signal `{each}` is like itself, by way of `{signal.like}`."
            do = "Let one of them be like a kind of the language."
            yield Mistake("signal-loop", text, signal.where("like"), do=do)
    owners: list[Model | Unit] = [*studio.model.values(), *studio.unit.values()]
    for owner in owners:
        for port in owner.port:
            if port.signal is not None and port.signal not in known:
                yield unknown_name("kind of signal", port.signal, port.where("signal"), known, told)
                told += 1


def _in_loop(each: str, studio: Studio) -> bool:
    """Whether following `like` from a signal comes back to it."""
    at: str | None = each
    for _ in studio.signal:
        at = studio.signal[at].like if at in studio.signal else None
        if at == each:
            return True
    return False


def _switches(studio: Studio) -> Iterator[Mistake]:
    owners: list[Model | Unit] = [*studio.model.values(), *studio.unit.values()]
    for owner in owners:
        for switch in owner.switch:
            yield from _switch(switch)


def _switch(switch: Switch) -> Iterator[Mistake]:
    if switch.name is not None:
        says = name_fault(switch.name) or _equals(switch.name)
        if says or ".." in switch.name:
            text = f"The name of a switch {says or 'holds no range; each switch is a table of its own'}."
            yield Mistake("bad-name", text, switch.where("name"))
    for index, position in enumerate(switch.positions):
        if says := _equals(position):
            at = switch.where("positions")
            yield Mistake("bad-name", f"A position {says}.", At(at.file, (*at.path, index)))


def _equals(text: str) -> str:
    return f"cannot be `{text[:80]}`: `=` stands between a switch and its position" if "=" in text else ""


def _setups(studio: Studio) -> Iterator[Mistake]:
    told = 0
    for setup in studio.setup.values():
        for index, name in enumerate(setup.include):
            if name not in studio.setup:
                at = setup.where("include")
                place = at if len(setup.include) == 1 else At(at.file, (*at.path, index))
                yield unknown_name("setup", name, place, studio.setup, told)
                told += 1
    yield from _include_loops(studio.setup)


_PRINT = re.compile(r"[0-9a-f]{12}")
"""Ids of changes and fingerprints of wiring."""


def _allowed(studio: Studio) -> Iterator[Mistake]:
    """Names and ids in the table of what may change."""
    allowed = studio.allowed
    if allowed is None:
        return
    told = 0
    for field in ("room", "rack", "unit", "bay", "setup"):
        names, at = getattr(allowed, f"{field}s"), allowed.where(f"{field}s")
        known = (*getattr(studio, field), *([UNPATCHED] if field == "setup" else []))
        for index, name in enumerate(names or ()):
            if name not in known:
                place = at if len(names) == 1 else At(at.file, (*at.path, index))
                yield unknown_name(field, name, place, known, told)
                told += 1
    seen: dict[str, At] = {}
    for change in allowed.change:
        if change.id is not None:
            yield from _print(change.id, change.where("id"), seen)
    at = allowed.where("wiring")
    for index, text in enumerate(allowed.wiring or ()):
        yield from _print(text, At(at.file, (*at.path, index)), {})


def _print(text: str, at: At, seen: dict[str, At]) -> Iterator[Mistake]:
    if not _PRINT.fullmatch(text):
        do = "Copy it from the diff: routecode diff --json; or let it write them: routecode diff --write-allowed FILE"
        yield Mistake(
            "bad-id", f"`{text[:80]}` is no id of a change: twelve digits, or letters from a to f.", at, do=do
        )
    elif text in seen:
        also = (("listed first here", seen[text]),)
        yield Mistake("repeated-name", f"The change {text} is listed twice.", at, do="List it once.", also=also)
    else:
        seen[text] = at


def _include_loops(setups: Mapping[str, Setup]) -> Iterator[Mistake]:
    """One mistake for each loop that a walk along `include`, in the order of ids, runs into."""
    done: set[str] = set()
    for start in setups:
        way: list[str] = []
        waiting = [(start, 0)]
        while waiting:
            name, depth = waiting.pop()
            done.update(way[depth:])
            del way[depth:]
            if name in way:
                yield _loop([*way[way.index(name) :], name], setups)
            elif name not in done and name in setups:
                way.append(name)
                waiting += [(each, depth + 1) for each in reversed(setups[name].include)]
        done.update(way)


def _loop(way: list[str], setups: Mapping[str, Setup]) -> Mistake:
    shown = way if len(way) <= 6 else [*way[:5], "...", way[-1]]
    text = f"The setup `{way[0]}` includes itself: {' > '.join(shown)}."
    return Mistake("include-loop", text, setups[way[-2]].where("include"), do="Take one `include` out.")
