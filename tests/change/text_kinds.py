"""Edits of text alone: the same studio written otherwise, so that no path, name or column may differ."""

from __future__ import annotations

from copy import deepcopy
from random import Random

from tests.change.edit_kinds import Base, Effect, Table, plain_cables
from tests.reference.toml_text import document


def cable_ends_exchanged(base: Base, whole: Table, rng: Random) -> Effect | None:
    """`from` and `to` of some cables are written the other way round: the same cables."""
    cables = plain_cables(whole)
    for entry in rng.sample(cables, min(len(cables), rng.randint(1, 6))):
        entry["from"], entry["to"] = entry["to"], entry["from"]
    return Effect(quiet=True) if cables else None


def range_unrolled(base: Base, whole: Table, rng: Random) -> Effect | None:
    """Every range of cables, columns, cords and plugs is stated one by one."""
    return Effect(quiet=True)


def comments(base: Base, whole: Table, rng: Random) -> Effect | None:
    """Comments, empty lines, and keys in another order, in the files as they are written."""
    files = {}
    for name, text in base.files.items():
        lines = []
        for line in text.splitlines():
            if line.startswith("[") and rng.random() < 0.5:
                lines += ["", "# Seen to, and left as it was."]
            plain = line and "#" not in line and '"""' not in text and "'''" not in text
            lines.append(f"{line}  # as built" if plain and line[-1] in ']"' and rng.random() < 0.3 else line)
        files[name] = "\n".join(lines) + "\n"
    return Effect(quiet=True, files=files)


def tables_moved(base: Base, whole: Table, rng: Random) -> Effect | None:
    """The same tables in other files."""
    places = ("studio.toml", "one.toml", "two/more.toml", "two/rest.toml")
    parts: dict[str, Table] = {place: {} for place in places}
    for key, table in whole.items():
        if key == "studio":
            parts["studio.toml"][key] = table
        elif isinstance(table, list):
            for entry in table:
                parts[rng.choice(places)].setdefault(key, []).append(entry)
        else:
            for ident, inner in table.items():
                parts[rng.choice(places)].setdefault(key, {})[ident] = inner
    return Effect(quiet=True, files={place: document(rng, part) for place, part in parts.items() if part})


def model_inlined(base: Base, whole: Table, rng: Random) -> Effect | None:
    """Units say themselves what their model said."""
    units = [unit for unit in whole["unit"].values() if "model" in unit and "port" not in unit]
    if not units:
        return None
    for unit in rng.sample(units, rng.randint(1, len(units))):
        model = deepcopy(whole["model"][unit["model"]])
        arrays = {key: [*model.get(key, []), *unit.get(key, [])] for key in ("inside", "switch", "multipin")}
        own = {key: value for key, value in unit.items() if key != "model"}
        model.pop("was", None)
        whole_unit = {**model, **own, **{key: value for key, value in arrays.items() if value}}
        unit.clear()
        unit.update(whole_unit)
    return Effect(quiet=True)
