"""Edits that call things otherwise: units, ports, bays and setups, declared by `was` or to be proved by their wiring."""

from __future__ import annotations

import re
from random import Random
from typing import Any

from tests.change.edit_kinds import Base, Effect, Kind, Table
from tests.change.loosened import names
from tests.reference.readings import RIGHT
from tests.reference.state import cord_end

DECLARED, PROVED = "declared", "proved"


def _turned(value: Any, turn: Any) -> Any:
    """Every text of some tables by the one it becomes."""
    if isinstance(value, dict):
        return {key: part if key in ("title", "notes", "was") else _turned(part, turn) for key, part in value.items()}
    if isinstance(value, list):
        return [_turned(part, turn) for part in value]
    return turn(value) if isinstance(value, str) else value


def _everywhere(whole: Table, turn: Any) -> None:
    for key in list(whole):
        if key != "studio":
            whole[key] = _turned(whole[key], turn)


def _called(table: Table, old: str, new: str, how: str) -> Table:
    """The tables of one kind with one id changed, in their order."""
    return {
        (new if ident == old else ident): {**inner, **({"was": old} if how == DECLARED else {})}
        if ident == old
        else inner
        for ident, inner in table.items()
    }


def thing_renamed(kind: str, how: str) -> Kind:
    """A unit or a bay with another id."""

    def edit(base: Base, whole: Table, rng: Random) -> Effect | None:
        known = [ident for ident in whole[kind] if how == DECLARED or _wired_beyond(base, ident)]
        if not known:
            return None
        old = rng.choice(known)
        new = f"{old}-west"

        def turn(text: str) -> str:
            return new + text[len(old) :] if text == old or text.startswith(f"{old}/") else text

        for place in ("cable", "normal", "route", "accept", "allowed"):
            if place in whole:
                whole[place] = _turned(whole[place], turn)
        for setup in whole.get("setup", {}).values():
            for key, value in setup.items():
                setup[key] = value if key in ("include", "title") else _turned(value, turn)
        whole[kind] = _called(whole[kind], old, new, how)
        return Effect(quiet=True, renamed=[(kind, old, new, how)])

    return edit


def _wired_beyond(base: Base, ident: str) -> bool:
    """Whether a cable leads from a thing to another one."""
    ends = [{place.partition("/")[0] for place in (cable.a, cable.b)} for cable in base.written.cables]
    return any(ident in heads and len(heads) == 2 for heads in ends)


def ports_renamed(how: str) -> Kind:
    """The ports of one statement of a unit called otherwise."""

    def edit(base: Base, whole: Table, rng: Random) -> Effect | None:
        chosen = [
            (ident, entry)
            for ident, unit in whole["unit"].items()
            if "model" not in unit
            for entry in unit.get("port", [])
            if isinstance(entry["name"], str) and _stem_alone(unit, entry)
        ]
        chosen = [
            (ident, entry) for ident, entry in chosen if how == DECLARED or _provable(base, ident, names(entry["name"]))
        ]
        if not chosen:
            return None
        ident, entry = rng.choice(chosen)
        olds = names(entry["name"])
        stem = _stem(entry["name"])
        pattern = re.compile(rf"({re.escape(ident)}/)?{re.escape(stem)}(?=[0-9]|$| ch )")

        def inner(text: str) -> str:
            found = pattern.match(text)
            return f"{found[1] or ''}west {text[len(found[1] or '') :]}" if found else text

        def outer(text: str) -> str:
            return inner(text) if text.startswith(f"{ident}/") else text

        was = entry["name"]
        unit = whole["unit"][ident]
        for key in ("port", "inside", "multipin", "phantom_on"):
            if key in unit:
                unit[key] = _turned(unit[key], inner)
        for place in ("cable", "normal", "route", "accept", "allowed", "setup"):
            if place in whole:
                whole[place] = _turned(whole[place], outer)
        if how == DECLARED:
            (mine,) = (port for port in unit["port"] if port["name"] == inner(was))
            mine["was"] = was
        return Effect(quiet=True, renamed=[("port", f"{ident}/{old}", f"{ident}/{inner(old)}", how) for old in olds])

    return edit


def _stem(name: str) -> str:
    return re.split(r"[0-9]+\.\.", name)[0]


def _stem_alone(unit: Table, entry: Table) -> bool:
    """Whether no other port of the unit, and none of its switches, begins like these."""
    others = [name for port in unit["port"] if port is not entry for name in names(port["name"])]
    stem = _stem(entry["name"])
    words = [position for switch in unit.get("switch", []) for position in (switch["name"], *switch["positions"])]
    return bool(stem) and not any(text.startswith(stem) for text in (*others, *words))


def _provable(base: Base, ident: str, olds: list[str]) -> bool:
    """Whether each port has cables to other units and bays, and no two of them the same."""
    ends: list[frozenset[str]] = []
    for name in olds:
        place = f"{ident}/{name}"
        found = frozenset(
            cable.b if cable.a == place else cable.a for cable in base.written.cables if place in (cable.a, cable.b)
        )
        if not found or any(end.partition("/")[0] == ident for end in found):
            return False
        ends.append(found)
    return len(set(ends)) == len(ends)


def setup_renamed(how: str) -> Kind:
    """A setup with another id."""

    def edit(base: Base, whole: Table, rng: Random) -> Effect | None:
        found = [ident for ident in whole.get("setup", {}) if how == DECLARED or _cords(base, whole, ident) > 1]
        if not found:
            return None
        old = rng.choice(found)
        new = f"{old}-west"
        for setup in whole["setup"].values():
            if "include" in setup:
                setup["include"] = [new if ident == old else ident for ident in names(setup["include"])]
        for entry in whole.get("accept", []):
            if "setup" in entry:
                entry["setup"] = [new if ident == old else ident for ident in names(entry["setup"])]
                entry["setup"] = entry["setup"][0] if len(entry["setup"]) == 1 else entry["setup"]
        whole["setup"] = _called(whole["setup"], old, new, how)
        return Effect(quiet=True, renamed=[("setup", old, new, how)])

    return edit


def _cords(base: Base, whole: Table, ident: str) -> int:
    """How many cords of its own a setup has whose ends can be told."""
    found = set()
    for cord in whole["setup"][ident].get("cord", []):
        for end in names(cord["to"]):
            ends = frozenset((cord_end(base.written, cord["from"], RIGHT), cord_end(base.written, end, RIGHT)))
            found |= {ends} if None not in ends else set()
    return len(found)
